//! Does an answer file hold? Looked at from the file alone.
//!
//! The file carries the text of the job. From that text and from the places of the pieces the whole
//! answer is built a second time, without any search: pieces are drafted again, the layout is checked
//! against them, the bound is proved again, and verdicts, lengths, shopping list and notes are worked
//! out anew. What stands in the file must then be what was built, field by field; only what tells of
//! the search itself (effort, engine, steps) is taken as it stands.

use std::collections::BTreeSet;
use std::path::Path;

use nesting::bound::{self, Shown};
use nesting::{
    Answer, Argument, Bound, Marker, Placement, Problem, Ruling, Snap, Straight, Verdict,
};
use nesting::{problem, verify};
use pieces::{Bounds, Cutting, Fabric, Length, Outline, Units};
use serde_json::Value;

use super::earlier::Begin;
use super::schema::{AnswerFile, ClothRecord, SCHEMA};
use super::{Answered, DraftedJob, Effort, comparison, proofs};
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
    let help = "`lengthwise plan JOB.toml` writes one as answer.json";
    let place =
        |error: &serde_json::Error| format!("line {}, column {}", error.line(), error.column());
    let value: Value = serde_json::from_str(text).map_err(|error| {
        let what = if error.is_eof() {
            "the file ends in the middle"
        } else {
            "it is not JSON"
        };
        let what = format!("{name} is no answer file: {what}, {}", place(&error));
        Refused::plain(what, help)
    })?;
    match value.get("schema").and_then(Value::as_str) {
        Some(SCHEMA) => {}
        Some(comparison::SCHEMA) => {
            return Err(Refused::plain(
                format!("{name} is a comparison, which holds no layouts"),
                "check the answer of a choice: the answer-*.json files beside it",
            ));
        }
        Some(other) => {
            let other: String = other.chars().take(60).collect();
            return Err(Refused::plain(
                format!("{name} is of version \"{other}\""),
                format!("this program reads \"{SCHEMA}\""),
            ));
        }
        None => {
            let what = format!("{name} is no answer file: it does not say which version it is of");
            return Err(Refused::plain(what, help));
        }
    }
    serde_json::from_str(text).map_err(|error| {
        Refused::plain(
            format!(
                "{name} is no whole answer file: up to {}, something is missing or is not what \
                 belongs there",
                place(&error)
            ),
            help,
        )
    })
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
    let mut shown = Vec::new();
    match rebuilt(file, &mut shown) {
        Ok(answered) => {
            compare(file, &answered, &mut found.broken);
            if found.broken.is_empty() {
                bare_outlines(file, answered.job.shown_in, &mut found.broken);
            }
        }
        Err(broken) => found.broken = broken,
    }
    let mut told = BTreeSet::new();
    found.broken.retain(|what| told.insert(what.clone()));
    let is_straight = file.cloths.iter().any(|c| c.cutting != Cutting::Free);
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
            format!("every bound was proved again: {}", proofs::words(&shown)),
            "verdicts and lengths to buy follow from the layouts and the bounds".to_owned(),
            "the job in the file drafts the pieces that were laid".to_owned(),
        ];
        if is_straight {
            let words = "the straight cuts, one after the other, part all pieces; that they could be cut out freely \
                         of less cloth is not checked";
            found.held.push(words.to_owned());
        }
    }
    found
}

fn counted(number: usize, thing: &str) -> String {
    format!("{number} {thing}{}", if number == 1 { "" } else { "s" })
}

/// The answer, built from the job's text and the places in the file.
fn rebuilt(file: &AnswerFile, shown: &mut Vec<(String, Shown)>) -> Result<Answered, Vec<String>> {
    let job = job_of(file)?;
    let drafted = DraftedJob::new(&job)
        .map_err(|refused| listed("the job in the file cannot be drafted again", &refused))?;
    let units = job.shown_in;
    drafted.laid(&Effort::default(), &mut |fabric, problem| {
        let cloth = file.cloths.iter().find(|cloth| cloth.fabric == fabric.name);
        let named = |broken: Vec<String>| {
            let broken = broken.iter().map(|b| format!("{}: {b}", fabric.name));
            broken.collect::<Vec<String>>()
        };
        match cloth {
            Some(cloth) => {
                let (answer, how) = laid(cloth, fabric, problem, units).map_err(named)?;
                shown.push((fabric.name.clone(), how));
                Ok((answer, Begin::Nothing))
            }
            None => Err(vec![format!("the layout of {} is missing", fabric.name)]),
        }
    })
}

/// The job that the file carries, in the unit and under the choice that it states.
pub(super) fn job_of(file: &AnswerFile) -> Result<Job, Vec<String>> {
    let Some(first) = file.job.files.first() else {
        return Err(vec!["the job's text is missing".to_owned()]);
    };
    let mut others = file.job.files[1..].iter();
    let mut job = Job::read(&first.name, &first.text, &mut |name, _| {
        // They are asked for in the order in which they were first read.
        let wanted = Path::new(name).file_name();
        others
            .find(|file| Some(file.name.as_ref()) == wanted)
            .map(|file| file.text.clone())
            .ok_or_else(|| Refused::plain(format!("{name} is missing"), ""))
    })
    .map_err(|refused| listed("the job in the file cannot be read again", &refused))?;
    let Some(units) = Units::from_name(&file.job.units) else {
        return Err(vec![format!("there is no unit \"{}\"", file.job.units)]);
    };
    job.shown_in = units;
    match &file.job.choice {
        None => Ok(job),
        Some(label) => {
            let choice = job.comparison.choices.iter().find(|c| c.label == *label);
            let choice =
                choice.ok_or_else(|| vec![format!("the job has no choice \"{label}\"")])?;
            Ok(job.under(choice))
        }
    }
}

/// What is wrong with the job in the file, after what follows from it.
pub(super) fn listed(what: &str, refused: &Refused) -> Vec<String> {
    let faults = refused.faults.iter();
    faults.map(|fault| format!("{what}: {fault}")).collect()
}

/// A length in the person's unit with all the decimals that it takes, so that no two lengths read alike.
fn exactly(units: Units, length: Length) -> String {
    let one = i128::from(units.one().um());
    // A micrometre is a millionth of a metre and some 40 millionths of an inch.
    let millionths = i128::from(length.um()) * 1_000_000 / one;
    let (whole, rest) = (millionths.abs() / 1_000_000, millionths.abs() % 1_000_000);
    let sign = if millionths < 0 { "-" } else { "" };
    let number = format!("{whole}.{rest:06}");
    let number = number.trim_end_matches('0').trim_end_matches('.');
    format!("{sign}{number} {}", units.name())
}

/// What the layout of a cloth in the file answers to the problem that its job poses.
fn laid(
    cloth: &ClothRecord,
    fabric: &Fabric,
    problem: &Problem,
    units: Units,
) -> Result<(Answer, Shown), Vec<String>> {
    let placements = cloth.placements.iter().map(Placement::from);
    let marker = Marker {
        placements: placements.collect(),
        length: cloth.needed_um,
    };
    if let Err(found) = verify::marker(problem, &marker) {
        let write = |length| exactly(units, length);
        return Err(found.iter().map(|f| f.in_words(&write)).collect());
    }
    let straight = straight(cloth, problem, &marker, units)?;
    let (bound, shown) = proved(cloth, problem, units).map_err(|broken| vec![broken])?;
    let ruling = |&on_hand: &Length| Ruling {
        on_hand: fabric.after_washing(on_hand),
        verdict: match fabric.after_washing(on_hand) {
            on_hand if marker.length <= on_hand => Verdict::Enough,
            on_hand if bound.length > on_hand => Verdict::NotEnough,
            _ => Verdict::Undecided,
        },
        bound: bound.clone(),
    };
    let answer = Answer {
        rulings: fabric.on_hand.iter().map(ruling).collect(),
        snap: Snap::of(problem, &marker),
        marker,
        bound,
        straight,
        engine: "",
        steps: cloth.steps,
    };
    Ok((answer, shown))
}

/// The straight cuts in the file, if they are asked for and part the pieces.
fn straight(
    cloth: &ClothRecord,
    problem: &Problem,
    marker: &Marker,
    units: Units,
) -> Result<Option<Straight>, Vec<String>> {
    if problem.cutting == Cutting::Free {
        return Ok(None);
    }
    if let Err(found) = verify::cuts(problem, marker, &cloth.straight_cuts) {
        let write = |length| exactly(units, length);
        return Err(found.iter().map(|f| f.in_words(&write)).collect());
    }
    let free = cloth.cut_freely_um.unwrap_or(marker.length);
    if free > marker.length || free < bound::best(problem).length {
        let said = exactly(units, free);
        return Err(vec![format!("cut out freely they can't lie on {said}")]);
    }
    Ok(Some(Straight {
        cuts: cloth.straight_cuts.clone(),
        free,
    }))
}

/// The bound in the file, if its own argument proves it, and no easier one reaches further; and how that was seen.
fn proved(cloth: &ClothRecord, problem: &Problem, units: Units) -> Result<(Bound, Shown), String> {
    let stated = Bound {
        length: cloth.bound_um,
        argument: cloth.proof.clone(),
    };
    if stated.length > cloth.needed_um {
        return Err("the bound lies above the length of the layout".to_owned());
    }
    let easy = bound::best(problem);
    if stated.length < easy.length {
        return Err(format!(
            "the bound of {} is too low: {} can be proved",
            exactly(units, stated.length),
            exactly(units, easy.length)
        ));
    }
    let names_pieces = names_pieces(&stated.argument, problem);
    if !names_pieces || (stated.length == easy.length && stated.argument != easy.argument) {
        return Err("the argument for the bound is not the one that proves it".to_owned());
    }
    match bound::shown_again(problem, &stated) {
        Some(shown) => Ok((stated, shown)),
        None => Err(format!(
            "the bound of {} could not be proved again",
            exactly(units, stated.length)
        )),
    }
}

/// True if an argument names only pieces that are there.
pub(super) fn names_pieces(argument: &Argument, problem: &Problem) -> bool {
    let known = |item: &usize| *item < problem.items.len();
    let all = |items: &[usize]| !items.is_empty() && items.iter().all(known);
    match argument {
        Argument::LongestPiece { item } => known(item),
        Argument::SideBySide { items, .. }
        | Argument::Behind { items, .. }
        | Argument::NoTwoAbreast { items, .. } => all(items),
        Argument::Alone { items, rest, .. } => all(items) && names_pieces(&rest.argument, problem),
        Argument::Slices(slices) => {
            let items = slices.pieces.iter().flat_map(|piece| &piece.items);
            all(&items.copied().collect::<Vec<usize>>())
        }
        Argument::Abreast(abreast) => abreast.pieces.iter().flat_map(|of| &of.items).all(known),
        Argument::EveryPlace(places) => places.figures.iter().flat_map(|of| &of.items).all(known),
        Argument::Sides(sides) => sides.parts.iter().all(|part| known(&part.item)),
        Argument::EveryStart(starts) => starts.kinds.iter().flat_map(|of| &of.items).all(known),
        Argument::Sums { rest } => names_pieces(&rest.argument, problem),
        Argument::Area
        | Argument::Sections(_)
        | Argument::LinesAcross { .. }
        | Argument::EveryStraightCut => true,
    }
}

/// What the file says beside what was built.
fn compare(file: &AnswerFile, answered: &Answered, broken: &mut Vec<String>) {
    let mut built = answered.file();
    built.effort = file.effort.clone();
    let alternatives = built.alternatives.iter_mut().flat_map(|a| &mut a.cloths);
    for cloth in built.cloths.iter_mut().chain(alternatives) {
        let known = file.cloths.iter().find(|c| c.fabric == cloth.fabric);
        if let Some(known) = known {
            cloth.engine.clone_from(&known.engine);
        }
    }
    // Written and read like the file, so that numbers with decimals went the same way.
    let built = serde_json::to_string(&built)
        .and_then(|text| serde_json::from_str::<AnswerFile>(&text))
        .and_then(serde_json::to_value);
    match (serde_json::to_value(file), built) {
        (Ok(stated), Ok(built)) => {
            let mut found = Vec::new();
            differences("", answered.job.shown_in, (&stated, &built), &mut found);
            // The cloths stand in the alternatives again, and so would what is wrong with them.
            let mut told = BTreeSet::new();
            for (path, what) in found {
                let cloth = path
                    .split_once("].")
                    .filter(|(a, _)| a.starts_with("alternatives"));
                let cloth = cloth.map_or(path.as_str(), |(_, cloth)| cloth).to_owned();
                if told.insert((cloth, what.clone())) {
                    broken.push(format!("{path} {what}"));
                }
            }
        }
        _ => broken.push("the answer cannot be written again".to_owned()),
    }
}

/// Every value that differs: its path, and how. Points and texts are told from each other as a whole.
fn differences(
    path: &str,
    units: Units,
    (stated, built): (&Value, &Value),
    found: &mut Vec<(String, String)>,
) {
    match (stated, built) {
        (Value::Object(stated), Value::Object(built)) => {
            let keys: BTreeSet<&String> = stated.keys().chain(built.keys()).collect();
            for key in keys {
                let path = if path.is_empty() {
                    key.clone()
                } else {
                    format!("{path}.{key}")
                };
                let of = |from: &serde_json::Map<String, Value>| {
                    from.get(key).cloned().unwrap_or(Value::Null)
                };
                differences(&path, units, (&of(stated), &of(built)), found);
            }
        }
        (Value::Array(stated), Value::Array(built))
            if stated.len() == built.len() && stated.iter().any(Value::is_object) =>
        {
            for (i, pair) in stated.iter().zip(built).enumerate() {
                differences(&format!("{path}[{i}]"), units, pair, found);
            }
        }
        _ if stated == built => {}
        (Value::Array(stated), Value::Array(built)) if stated.len() != built.len() => {
            let what = format!(
                "has {} entries, {} follow from the job and the layout",
                stated.len(),
                built.len()
            );
            found.push((path.to_owned(), what));
        }
        (Value::Array(_) | Value::Object(_), _) | (_, Value::Array(_) | Value::Object(_)) => {
            let what = "does not follow from the job and the layout";
            found.push((path.to_owned(), what.to_owned()));
        }
        _ => {
            let said = |value| said(path, units, value);
            let what = format!(
                "is {}, from the job and the layout follows {}",
                said(stated),
                said(built)
            );
            found.push((path.to_owned(), what));
        }
    }
}

fn said(path: &str, units: Units, value: &Value) -> String {
    match value {
        Value::Null => "left out".to_owned(),
        Value::Number(number) if path.ends_with("_um") => number.as_i64().map_or_else(
            || number.to_string(),
            |um| exactly(units, Length::from_um(um)),
        ),
        Value::String(text) if text.chars().count() > 60 => {
            format!("\"{}...\"", text.chars().take(57).collect::<String>())
        }
        value => value.to_string(),
    }
}

/// The outlines as they stand in the file, checked as any other program would.
fn bare_outlines(file: &AnswerFile, units: Units, broken: &mut Vec<String>) {
    for cloth in &file.cloths {
        let outlines: Result<Vec<Outline>, _> = cloth
            .placements
            .iter()
            .map(|p| Outline::new(p.outline_um.clone()))
            .collect();
        let flaws: Vec<Outline> = cloth.flaws.iter().map(|f| f.outline_um.clone()).collect();
        let [left, right] = cloth.usable_x_um;
        match outlines {
            Err(error) => broken.push(format!("{}: {error}", cloth.fabric)),
            Ok(outlines) => {
                let write = |length| exactly(units, length);
                if cloth.cutting != Cutting::Free {
                    let boxes: Vec<Bounds> = outlines.iter().map(Outline::bounds).collect();
                    let (sides, cuts) = (cloth.usable_x_um, &cloth.straight_cuts);
                    let sliver = problem::sliver(Some(cloth.marking_step_um));
                    let how = (cloth.cutting, (cloth.spacing_um, sliver));
                    let parted = verify::boxes_parted(&boxes, sides, cloth.needed_um, cuts, how);
                    for found in parted.err().into_iter().flatten() {
                        broken.push(format!("{}: {}", cloth.fabric, found.in_words(&write)));
                    }
                }
                let bare: Vec<&Outline> = outlines.iter().collect();
                let (length, spacing) = (cloth.length_um, cloth.spacing_um);
                if let Err(found) = verify::outlines(&bare, left, right, length, &flaws, spacing) {
                    let words = found.iter().map(|f| f.in_words(&write));
                    broken.extend(words.map(|words| format!("{}: {words}", cloth.fabric)));
                }
            }
        }
    }
}
