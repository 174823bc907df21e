//! Does an answer file hold? Looked at from the file alone, cloth by cloth.
//!
//! The layout is checked as it stands in the file (bare outlines) and once more against the pieces
//! that were to be laid (turns, copies, garments); the bound is proved again; verdicts, lengths and
//! lengths to buy must follow from both; and the job's own text, which the file carries, must draft
//! the very pieces that were laid.

use std::path::Path;

use nesting::{Cloth, Item, Marker, Placement, Problem, bound, verify};
use pieces::{Fabric, Length, Outline};

use super::drafting;
use super::schema::{AnswerFile, ClothRecord, SCHEMA, Word};
use crate::job::Job;
use crate::message::Refused;

/// What was looked at, and what does not hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Recheck {
    /// How many cloths the answer has.
    pub cloths: usize,
    /// How many pieces lie on them.
    pub pieces: usize,
    /// How many alternatives were looked at in the same way.
    pub alternatives: usize,
    /// What was found to hold, a sentence each.
    pub held: Vec<String>,
    /// What does not hold, a sentence each; empty if the answer is good.
    pub broken: Vec<String>,
}

/// Reads an answer file.
///
/// # Errors
/// It is no answer file of this version.
pub fn read(name: &str, text: &str) -> Result<AnswerFile, Refused> {
    let file: AnswerFile = serde_json::from_str(text).map_err(|error| {
        Refused::plain(
            format!(
                "{name} is no answer file, line {}, column {}: {error}",
                error.line(),
                error.column()
            ),
            "`lengthwise plan JOB.toml` writes one as answer.json",
        )
    })?;
    if file.schema != SCHEMA {
        return Err(Refused::plain(
            format!("{name} is of version \"{}\"", file.schema),
            format!("this program reads \"{SCHEMA}\""),
        ));
    }
    Ok(file)
}

/// Checks all of it.
#[must_use]
pub fn recheck(file: &AnswerFile) -> Recheck {
    let mut found = Recheck {
        cloths: file.cloths.len(),
        pieces: file.cloths.iter().map(|c| c.placements.len()).sum(),
        alternatives: file.alternatives.len(),
        ..Recheck::default()
    };
    let alternatives = file
        .alternatives
        .iter()
        .enumerate()
        .map(|(i, a)| (format!("alternative {}, ", i + 1), a.verdict, &a.cloths));
    let all = std::iter::once((String::new(), file.verdict, &file.cloths)).chain(alternatives);
    for (prefix, verdict, cloths) in all {
        for cloth in cloths {
            let name = format!("{prefix}{}", cloth.fabric);
            for broken in check_cloth(cloth) {
                found.broken.push(format!("{name}: {broken}"));
            }
        }
        let worst = cloths.iter().map(|c| c.verdict).max().unwrap_or(Word::Plan);
        if worst != verdict {
            found.broken.push(format!(
                "{prefix}the verdict is {}, its cloths come to {}",
                verdict.as_str(),
                worst.as_str()
            ));
        }
    }
    if let Err(broken) = check_job(file) {
        found.broken.push(broken);
    }
    if found.broken.is_empty() {
        found.held = vec![
            format!(
                "{} on {}{}: none overlap, all lie within the usable width and the length, every copy \
                 is there once, in a turn it may take",
                counted(found.pieces, "piece"),
                counted(found.cloths, "cloth"),
                match found.alternatives {
                    0 => String::new(),
                    n => format!(", and {}", counted(n, "alternative")),
                }
            ),
            "every bound was proved again".to_owned(),
            "verdicts and lengths to buy follow from the layouts and the bounds".to_owned(),
            "the job in the file drafts the pieces that were laid".to_owned(),
        ];
    }
    found
}

fn counted(number: usize, thing: &str) -> String {
    format!("{number} {thing}{}", if number == 1 { "" } else { "s" })
}

fn check_cloth(cloth: &ClothRecord) -> Vec<String> {
    let mut broken = Vec::new();
    let [left, right] = cloth.usable_x_um;
    if left < Length::ZERO || right > cloth.width_um || left >= right {
        broken.push("the usable width does not lie within the width".to_owned());
    }
    let flaws: Vec<Outline> = cloth.flaws.iter().map(|f| f.outline_um.clone()).collect();

    let placed: Result<Vec<Outline>, _> = cloth
        .placements
        .iter()
        .map(|p| Outline::new(p.outline_um.clone()).map_err(|error| (&p.piece, error)))
        .collect();
    let placed = match placed {
        Ok(placed) => placed,
        Err((piece, error)) => {
            broken.push(format!("{piece}: {error}"));
            return broken;
        }
    };
    let bare: Vec<&Outline> = placed.iter().collect();
    let spacing = cloth.spacing_um;
    if let Err(found) = verify::outlines(&bare, left, right, cloth.length_um, &flaws, spacing) {
        broken.extend(found.iter().map(ToString::to_string));
    }

    let problem = problem_of(cloth, flaws);
    let marker = marker_of(cloth);
    let known = |p: &Placement| p.item < problem.items.len();
    if marker.placements.iter().all(known) {
        for (placement, outline) in marker.placements.iter().zip(&placed) {
            if problem.placed(placement).points() != outline.points() {
                let label = &problem.items[placement.item].label;
                broken.push(format!(
                    "{label}: the outline is not that of the piece in its place"
                ));
            }
        }
    }
    if let Err(found) = verify::marker(&problem, &marker) {
        broken.extend(found.iter().map(ToString::to_string));
    }
    broken.dedup();
    check_lengths(cloth, &problem, &mut broken);
    broken
}

/// Bound, verdict and lengths must follow from the layout and from each other.
fn check_lengths(cloth: &ClothRecord, problem: &Problem, broken: &mut Vec<String>) {
    if cloth.bound_um > cloth.needed_um {
        broken.push("the bound lies above the length of the layout".to_owned());
    }
    // Only a problem that can be laid has a bound to prove.
    if broken.is_empty() {
        let mut proved = bound::best(problem).length;
        if proved < cloth.bound_um {
            // The bound may come from the refusal of a length on hand.
            for &on_hand in &problem.cloth.on_hand {
                if let Some(refused) = bound::refuse(problem, on_hand) {
                    proved = proved.max(refused.length);
                }
            }
        }
        let just_below = cloth.bound_um - Length::from_um(1);
        if proved < cloth.bound_um && bound::refuse(problem, just_below).is_none() {
            broken.push(format!(
                "the bound of {} could not be proved again, {proved} could",
                cloth.bound_um
            ));
        }
    }
    let verdict = match cloth.on_hand_washed_um {
        None => Word::Plan,
        Some(on_hand) if cloth.needed_um <= on_hand => Word::Enough,
        Some(on_hand) if cloth.bound_um > on_hand => Word::NotEnough,
        Some(_) => Word::Undecided,
    };
    if verdict != cloth.verdict {
        broken.push(format!(
            "the verdict is {}, the lengths say {}",
            cloth.verdict.as_str(),
            verdict.as_str()
        ));
    }
    let kept = 1_000_000 - i64::from(cloth.shrinkage_ppm.min(999_999));
    if let (Some(on_hand), Some(washed)) = (cloth.on_hand_um, cloth.on_hand_washed_um) {
        let left = on_hand.times_ratio(kept, 1_000_000, pieces::Rounding::Down);
        if left != washed {
            broken.push("the washed length does not follow from the length on hand".to_owned());
        }
    }
    if (cloth.verdict == Word::Enough) == cloth.buy_um.is_some() {
        broken.push("cloth is to be bought exactly where what is on hand is not enough".to_owned());
    }
    if let Some(buy) = cloth.buy_um {
        let washed = buy.times_ratio(kept, 1_000_000, pieces::Rounding::Down);
        if washed < cloth.needed_um {
            broken.push("the length to buy is too short for the layout".to_owned());
        }
    }
}

fn problem_of(cloth: &ClothRecord, flaws: Vec<Outline>) -> Problem {
    let items = cloth.pieces.iter().map(|piece| Item {
        label: match &piece.wearer {
            Some(wearer) => format!("{} ({wearer})", piece.piece),
            None => piece.piece.clone(),
        },
        outline: piece.outline_um.clone(),
        copies: piece.copies,
        turns: piece.turns_deg.clone(),
        may_mirror: piece.may_mirror,
        garment: piece.turns_with_garment.then_some(piece.garment),
    });
    Problem {
        cloth: Cloth {
            left: cloth.usable_x_um[0],
            right: cloth.usable_x_um[1],
            flaws,
            on_hand: cloth.on_hand_washed_um.into_iter().collect(),
        },
        items: items.collect(),
        spacing: cloth.spacing_um,
        marking_step: Some(cloth.marking_step_um),
    }
}

fn marker_of(cloth: &ClothRecord) -> Marker {
    Marker {
        placements: cloth
            .placements
            .iter()
            .map(|p| Placement {
                item: p.item,
                copy: p.copy,
                turn: p.on_grain_turned_deg,
                mirrored: p.mirrored,
                at: p.at_um,
            })
            .collect(),
        length: cloth.needed_um,
    }
}

/// The job's own text drafts the pieces that were laid, on the cloth that was meant.
fn check_job(file: &AnswerFile) -> Result<(), String> {
    let Some(first) = file.job.files.first() else {
        return Err("the job's text is missing".to_owned());
    };
    let mut others = file.job.files[1..].iter();
    let job = Job::read(&first.name, &first.text, &mut |name| {
        // They are asked for in the order in which they were first read.
        let wanted = Path::new(name).file_name();
        others
            .find(|file| Some(file.name.as_ref()) == wanted)
            .map(|file| file.text.clone())
            .ok_or_else(|| Refused::plain(format!("{name} is missing"), ""))
    })
    .map_err(|refused| format!("the job in the file cannot be read again:\n{refused}"))?;
    let job = match &file.job.choice {
        None => job,
        Some(label) => {
            let choice = job.comparison.choices.iter().find(|c| c.label == *label);
            let choice = choice.ok_or_else(|| format!("the job has no choice \"{label}\""))?;
            job.under(choice)
        }
    };
    let garments = drafting::draft(&job)
        .map_err(|refused| format!("the job in the file cannot be drafted again:\n{refused}"))?;
    let alternatives = file.alternatives.iter().flat_map(|a| &a.cloths);
    for cloth in file.cloths.iter().chain(alternatives) {
        let Some(fabric) = job.fabrics.get(&cloth.fabric) else {
            return Err(format!("the job has no fabric {}", cloth.fabric));
        };
        let pieces = garments.pieces.iter().filter(|p| p.fabric == cloth.fabric);
        let items: Vec<Item> = pieces.map(|p| nesting::turns::item(p, fabric)).collect();
        if items != problem_of(cloth, Vec::new()).items {
            return Err(format!(
                "{}: the job in the file drafts other pieces than were laid",
                cloth.fabric
            ));
        }
        if !same_cloth(cloth, fabric) {
            return Err(format!(
                "{}: the cloth is not the one that the job in the file names",
                cloth.fabric
            ));
        }
    }
    Ok(())
}

fn same_cloth(cloth: &ClothRecord, fabric: &Fabric) -> bool {
    let (left, right) = fabric.usable_width();
    cloth.width_um == fabric.width
        && cloth.usable_x_um == [left, right]
        && cloth.spacing_um == fabric.spacing
        && cloth.direction == fabric.direction
        && cloth.shrinkage_ppm == fabric.shrinkage_ppm
        && cloth
            .on_hand_um
            .is_none_or(|length| fabric.on_hand.contains(&length))
        && cloth
            .buy_um
            .is_none_or(|buy| buy == fabric.length_to_buy(cloth.needed_um))
}
