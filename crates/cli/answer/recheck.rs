//! Does an answer file hold? Looked at from the file alone.
//!
//! The file carries the text of the job. From that text and from the places of the pieces the whole
//! answer is built a second time, without any search: pieces are drafted again, the layout is checked
//! against them, the bound is proved again, and verdicts, lengths, shopping list and notes are worked
//! out anew. What stands in the file must then be what was built, field by field; only what tells of
//! the search itself (effort, engine, steps) is taken as it stands.

use std::path::Path;

use nesting::{Answer, Argument, Bound, Marker, Placement, Problem, Ruling, Snap, Verdict};
use nesting::{bound, verify};
use pieces::{Fabric, Length, Outline, Units};
use serde_json::Value;

use super::schema::{AnswerFile, ClothRecord, SCHEMA};
use super::{Answered, DraftedJob, Effort};
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
    match rebuilt(file) {
        Ok(answered) => {
            compare(file, &answered, &mut found.broken);
            if found.broken.is_empty() {
                bare_outlines(file, &mut found.broken);
            }
        }
        Err(broken) => found.broken = broken,
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

/// The answer, built from the job's text and the places in the file.
fn rebuilt(file: &AnswerFile) -> Result<Answered, Vec<String>> {
    let job = job_of(file).map_err(|broken| vec![broken])?;
    let drafted = DraftedJob::new(&job).map_err(|refused| {
        vec![format!(
            "the job in the file cannot be drafted again:\n{refused}"
        )]
    })?;
    drafted.laid(&Effort::default(), &mut |fabric, problem| {
        let cloth = file.cloths.iter().find(|cloth| cloth.fabric == fabric.name);
        let named = |broken: Vec<String>| {
            let broken = broken.iter().map(|b| format!("{}: {b}", fabric.name));
            broken.collect::<Vec<String>>()
        };
        match cloth {
            Some(cloth) => laid(cloth, fabric, problem).map_err(named),
            None => Err(vec![format!("the layout of {} is missing", fabric.name)]),
        }
    })
}

/// The job that the file carries, in the unit and under the choice that it states.
fn job_of(file: &AnswerFile) -> Result<Job, String> {
    let Some(first) = file.job.files.first() else {
        return Err("the job's text is missing".to_owned());
    };
    let mut others = file.job.files[1..].iter();
    let mut job = Job::read(&first.name, &first.text, &mut |name| {
        // They are asked for in the order in which they were first read.
        let wanted = Path::new(name).file_name();
        others
            .find(|file| Some(file.name.as_ref()) == wanted)
            .map(|file| file.text.clone())
            .ok_or_else(|| Refused::plain(format!("{name} is missing"), ""))
    })
    .map_err(|refused| format!("the job in the file cannot be read again:\n{refused}"))?;
    let Some(units) = Units::from_name(&file.job.units) else {
        return Err(format!("there is no unit \"{}\"", file.job.units));
    };
    job.shown_in = units;
    match &file.job.choice {
        None => Ok(job),
        Some(label) => {
            let choice = job.comparison.choices.iter().find(|c| c.label == *label);
            let choice = choice.ok_or_else(|| format!("the job has no choice \"{label}\""))?;
            Ok(job.under(choice))
        }
    }
}

/// What the layout of a cloth in the file answers to the problem that its job poses.
fn laid(cloth: &ClothRecord, fabric: &Fabric, problem: &Problem) -> Result<Answer, Vec<String>> {
    let placements = cloth.placements.iter().map(|p| Placement {
        item: p.item,
        copy: p.copy,
        turn: p.on_grain_turned_deg,
        mirrored: p.mirrored,
        at: p.at_um,
    });
    let marker = Marker {
        placements: placements.collect(),
        length: cloth.needed_um,
    };
    if let Err(found) = verify::marker(problem, &marker) {
        let mut broken: Vec<String> = found.iter().map(ToString::to_string).collect();
        broken.dedup();
        return Err(broken);
    }
    let bound = proved(cloth, problem).map_err(|broken| vec![broken])?;
    let ruling = |&on_hand: &Length| Ruling {
        on_hand: fabric.after_washing(on_hand),
        verdict: match fabric.after_washing(on_hand) {
            on_hand if marker.length <= on_hand => Verdict::Enough,
            on_hand if bound.length > on_hand => Verdict::NotEnough,
            _ => Verdict::Undecided,
        },
        bound: bound.clone(),
    };
    Ok(Answer {
        rulings: fabric.on_hand.iter().map(ruling).collect(),
        snap: Snap::of(problem, &marker),
        marker,
        bound,
        engine: "",
        steps: cloth.steps,
    })
}

/// The bound in the file, if it can be proved, and no easier argument reaches further.
fn proved(cloth: &ClothRecord, problem: &Problem) -> Result<Bound, String> {
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
            stated.length, easy.length
        ));
    }
    let known = |item: &usize| *item < problem.items.len();
    let names_pieces = match &stated.argument {
        Argument::LongestPiece { item } => known(item),
        Argument::SideBySide { items } => !items.is_empty() && items.iter().all(known),
        _ => true,
    };
    if !names_pieces || (stated.length == easy.length && stated.argument != easy.argument) {
        return Err("the argument for the bound is not the one that proves it".to_owned());
    }
    if stated.length > easy.length {
        let mut refused = problem.cloth.on_hand.iter();
        let again = bound::recheck(problem, &stated)
            || refused.any(|&on_hand| {
                bound::refuse(problem, on_hand).is_some_and(|b| b.length >= stated.length)
            });
        if !again {
            return Err(format!(
                "the bound of {} could not be proved again",
                stated.length
            ));
        }
    }
    Ok(stated)
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
        (Ok(stated), Ok(built)) => differences("", &stated, &built, broken),
        _ => broken.push("the answer cannot be written again".to_owned()),
    }
}

/// Every value that differs, by its path. Points and texts are told from each other as a whole.
fn differences(path: &str, stated: &Value, built: &Value, broken: &mut Vec<String>) {
    match (stated, built) {
        (Value::Object(stated), Value::Object(built)) => {
            let keys: std::collections::BTreeSet<&String> =
                stated.keys().chain(built.keys()).collect();
            for key in keys {
                let path = if path.is_empty() {
                    key.clone()
                } else {
                    format!("{path}.{key}")
                };
                let of = |from: &serde_json::Map<String, Value>| {
                    from.get(key).cloned().unwrap_or(Value::Null)
                };
                differences(&path, &of(stated), &of(built), broken);
            }
        }
        (Value::Array(stated), Value::Array(built))
            if stated.len() == built.len() && stated.iter().any(Value::is_object) =>
        {
            for (i, (stated, built)) in stated.iter().zip(built).enumerate() {
                differences(&format!("{path}[{i}]"), stated, built, broken);
            }
        }
        _ if stated == built => {}
        (Value::Array(stated), Value::Array(built)) if stated.len() != built.len() => {
            broken.push(format!(
                "{path} has {} entries, {} follow from the job and the layout",
                stated.len(),
                built.len()
            ));
        }
        (Value::Array(_) | Value::Object(_), _) | (_, Value::Array(_) | Value::Object(_)) => {
            broken.push(format!(
                "{path} does not follow from the job and the layout"
            ));
        }
        _ => broken.push(format!(
            "{path} is {}, from the job and the layout follows {}",
            said(stated),
            said(built)
        )),
    }
}

fn said(value: &Value) -> String {
    match value {
        Value::Null => "left out".to_owned(),
        Value::String(text) if text.chars().count() > 60 => {
            format!("\"{}...\"", text.chars().take(57).collect::<String>())
        }
        value => value.to_string(),
    }
}

/// The outlines as they stand in the file, checked as any other program would.
fn bare_outlines(file: &AnswerFile, broken: &mut Vec<String>) {
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
                let bare: Vec<&Outline> = outlines.iter().collect();
                let (length, spacing) = (cloth.length_um, cloth.spacing_um);
                if let Err(found) = verify::outlines(&bare, left, right, length, &flaws, spacing) {
                    broken.extend(found.iter().map(|f| format!("{}: {f}", cloth.fabric)));
                }
            }
        }
    }
}
