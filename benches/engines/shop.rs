//! Is what the shop is asked for proved? Jobs of one to six wearers and any mix of drafts, up to twelve pieces, on
//! cloth to be bought: the answer is proved where a bound shows that one selling step less is never enough.

use lengthwise::answer::{Effort, answer_job};
use lengthwise::job::Job;
use nesting::{Level, Silent};
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::effort;

const JOBS: usize = 200;
const FEW_JOBS: usize = 20;
const MOST_PIECES: usize = 12;

/// Lays the jobs, a line for each, and what it amounts to; those with these numbers only, if any, and prints them.
pub fn run(
    seed: u64,
    few: bool,
    only: &[usize],
    effort: &effort::Effort,
    seconds: f64,
) -> Result<String, String> {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
    let (mut proved, mut gaps, mut slow) = (0, Vec::new(), 0.0_f64);
    let count = if few { FEW_JOBS } else { JOBS };
    let mut number = 0;
    while number < count {
        let text = job(&mut random);
        let Ok(job) = Job::read("job.toml", &text, &mut |name, _| {
            Err(lengthwise::message::Refused::plain(name, ""))
        }) else {
            return Err(format!("this job is refused:\n{text}"));
        };
        let least = Effort {
            steps: Some(0),
            ..Effort::default()
        };
        // A draft may be too wide for the cloth, and a garment may have too many pieces.
        let pieces = match answer_job(&job, &least, &mut Silent) {
            Ok(answered) => answered.cloths[0].problem.piece_count(),
            Err(_) => continue,
        };
        if pieces > MOST_PIECES {
            continue;
        }
        number += 1;
        if !only.is_empty() {
            if !only.contains(&number) {
                continue;
            }
            println!("{text}");
        }
        let asked = Effort {
            time: effort
                .seconds(seconds)
                .map(std::time::Duration::from_secs_f64),
            level: Level::Normal,
            threads: effort.threads,
            seed: effort.seed,
            ..Effort::default()
        };
        let begin = std::time::Instant::now();
        let answered = answer_job(&job, &asked, &mut Silent).map_err(|t| t.to_string())?;
        let took = begin.elapsed().as_secs_f64();
        let cloth = &answered.cloths[0];
        let (needed, bound) = (cloth.needed(), cloth.bound().length);
        let less = cloth.fabric.sold().usable_of_less(needed);
        let is_proved = bound > less;
        let gap = 100.0 * ((needed - bound).um() as f64 / needed.um() as f64);
        println!(
            "job {:>3}  {pieces:>2} pieces  needs {:>6.1} cm  bound {:>6.1} cm  less {:>6.1} cm  {}  {took:>5.2} s",
            number,
            needed.um() as f64 / 1e4,
            bound.um() as f64 / 1e4,
            less.um() as f64 / 1e4,
            if is_proved { "proved" } else { "open  " },
        );
        proved += usize::from(is_proved);
        gaps.push(gap);
        slow = slow.max(took);
    }
    let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
    Ok(format!(
        "{proved} of {} jobs proved to the selling step, mean gap {mean:.2} %, slowest {slow:.2} s",
        gaps.len()
    ))
}

/// A job as a person would write it.
fn job(random: &mut impl Rng) -> String {
    let pick = |random: &mut dyn Rng, of: &[&str]| -> String {
        let drawn = random.random_range(0..of.len());
        of[drawn].to_owned()
    };
    let width = random.random_range(90..=150);
    let direction = pick(
        random,
        &["none", "two-way", "one-way", "one-way per garment"],
    );
    let drape = pick(random, &["crisp", "soft"]);
    let shrinkage = random.random_range(0..=5);
    let mut text = format!(
        "units = \"cm\"\n[fabric.cloth]\nwidth = {width}\nselvedge = 1\ndirection = \"{direction}\"\n\
         drape = \"{drape}\"\nshrinkage = \"{shrinkage} %\"\n"
    );
    let wearers = random.random_range(1..=6);
    for wearer in 0..wearers {
        let waist = random.random_range(64..=100);
        let (low_waist, hip) = (waist + 8, waist + random.random_range(20..=30));
        let (skirt, back) = (random.random_range(60..=98), random.random_range(0..=4));
        let longer = skirt + back;
        text.push_str(&format!(
            "[wearer.Dancer{wearer}]\nwaist_girth = {waist}\nlow_waist_girth = {low_waist}\n\
             hip_girth = {hip}\nskirt_length = {skirt}\nskirt_length_front = {skirt}\n\
             skirt_length_back = {longer}\n"
        ));
    }
    for _ in 0..random.random_range(1..=2) {
        let draft = match random.random_range(0..7_u32) {
            0 | 1 => "draft = \"panel skirt\"\nband = {}".to_owned(),
            2 => "draft = \"panel skirt\"".to_owned(),
            3 => format!(
                "draft = \"gored skirt\"\ngores = {}",
                random.random_range(4..=8)
            ),
            4 => "draft = \"apron\"".to_owned(),
            5 => "draft = \"sash\"\njoin = \"auto\"".to_owned(),
            _ => format!(
                "draft = \"circle skirt\"\npart = \"half\"\nsectors = {}\nlength = {}",
                random.random_range(1..=4),
                random.random_range(35..=60)
            ),
        };
        text.push_str(&format!("[[make]]\n{draft}\nfabric = \"cloth\"\n"));
    }
    text
}
