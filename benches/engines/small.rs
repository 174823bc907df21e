//! Two to six convex pieces: is the layout proved the shortest, to the micrometre?

use nesting::{Cloth, Item, Problem, Silent, Turn, bound, verify};
use pieces::{Length, Outline, Point};
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::case::MM;
use crate::effort;
use crate::instance::Instance;

const JOBS: usize = 30;
const FEW_JOBS: usize = 10;

/// Gaps up to so many micrometres are counted too: places are whole micrometres, and the bound need not be.
const NEARLY: i64 = 10;

/// Lays the jobs, a line for each, and what it amounts to.
pub fn run(seed: u64, few: bool, effort: &effort::Effort, seconds: f64) -> Result<String, String> {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
    let (mut exactly, mut nearly) = (0, 0);
    let count = if few { FEW_JOBS } else { JOBS };
    for number in 1..=count {
        let problem = job(&mut random)?;
        let instance = Instance {
            name: format!("job {number}"),
            file: None,
            problem,
            scale: MM,
        };
        let (answer, took) = effort.lay(&instance, seconds, &mut Silent)?;
        let problem = &instance.problem;
        if verify::marker(problem, &answer.marker).is_err()
            || !bound::recheck(problem, &answer.bound)
        {
            return Err(format!("job {number} is not as answered"));
        }
        let gap = (answer.marker.length - answer.bound.length).um();
        println!(
            "job {number:>2}  {} pieces  needs {:>8} um  gap {gap:>6} um  {:.2} s",
            problem.piece_count(),
            answer.marker.length.um(),
            took
        );
        exactly += usize::from(gap == 0);
        nearly += usize::from(gap <= NEARLY);
    }
    Ok(format!(
        "{exactly} of {count} proved to the micrometre, {nearly} to {NEARLY} of them"
    ))
}

/// Pieces in ones and twos, in one, two or four turns.
fn job(random: &mut impl Rng) -> Result<Problem, String> {
    let turns: &[Turn] =
        [&[Turn::None][..], &[Turn::None, Turn::Half], &Turn::ALL][random.random_range(0..3)];
    let usable = random.random_range(450..900) * 1_000;
    let mut left = random.random_range(2..=6_u32);
    let mut items = Vec::new();
    while left > 0 {
        let copies = random.random_range(1..=2).min(left);
        left -= copies;
        items.push(Item {
            label: format!("piece {}", items.len() + 1),
            outline: piece(random)?,
            copies,
            turns: turns.to_vec(),
            may_mirror: random.random_range(0..3) == 0,
            garment: None,
            anchor: None,
        });
    }
    Ok(Problem {
        cloth: Cloth {
            right: Length::from_um(usable),
            ..Cloth::default()
        },
        items,
        ..Problem::default()
    })
}

/// Four or six corners: straight, flared, flared on one side, pointed.
fn piece(random: &mut impl Rng) -> Result<Outline, String> {
    let (w, h): (i64, i64) = (random.random_range(100..400), random.random_range(150..700));
    let flare = w * random.random_range(5..40) / 100;
    let corners: &[(i64, i64)] = match random.random_range(0..4) {
        0 => &[(0, 0), (w, 0), (w, h), (0, h)],
        1 => &[(0, 0), (w, 0), (w - flare, h), (flare, h)],
        2 => &[(0, 0), (w, 0), (w - flare, h), (0, h)],
        _ => &[
            (0, 0),
            (w, 0),
            (w, h / 2),
            (w * 2 / 3, h),
            (w / 4, h),
            (0, h / 3),
        ],
    };
    let is_straight = corners[2].0 == w && corners.len() == 4;
    let off = if is_straight { 1 } else { 300 };
    let corner = |&(x, y): &(i64, i64)| {
        let mut away = || random.random_range(0..off);
        Point::new(1_000 * x + away(), 1_000 * y + away())
    };
    Outline::new(corners.iter().map(corner).collect()).map_err(|e| e.to_string())
}
