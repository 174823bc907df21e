//! Everyday jobs from files, against the row layout that each file names, and twelve dancers in soft cloth.

use std::path::Path;

use lengthwise::job::Job;
use serde_json::Value;

use crate::case::{Case, MM, problem_of};
use crate::instance::{Instance, read_all};
use crate::rows;

/// Such shares of the bounds in the files should be reached.
const SLICES: f64 = 0.998;
const PLACES: f64 = 0.99;

/// The jobs in this folder, then the dancers.
pub fn cases(folder: &Path, few: bool) -> Result<Vec<Case>, String> {
    let mut cases = Vec::new();
    if folder.is_dir() {
        let every = if few { 4 } else { 1 };
        for instance in read_all(&[folder.to_owned()], false)
            .into_iter()
            .step_by(every)
        {
            cases.push(with_rows(folder, instance?)?);
        }
    } else {
        eprintln!("SKIPPED: no everyday jobs at {}", folder.display());
    }
    for direction in ["one-way", "two-way"] {
        cases.push(dancers(direction)?);
    }
    Ok(cases)
}

fn with_rows(folder: &Path, instance: Instance) -> Result<Case, String> {
    let file = folder.join(format!("{}.json", instance.name));
    let at = |what: String| format!("{}: {what}", file.display());
    let text = std::fs::read_to_string(&file).map_err(|error| at(error.to_string()))?;
    let value: Value = serde_json::from_str(&text).map_err(|error| at(error.to_string()))?;
    let rows = value["reference"]["row_layout"].as_f64();
    let rows = rows.ok_or_else(|| at("no reference.row_layout".into()))?;
    let rival = Some((rows * instance.scale).round() as i64);
    let bound = |key: &str, share: f64| {
        let bound = value["reference"][key].as_f64();
        bound.map(|bound| (bound * share * instance.scale).floor() as i64)
    };
    let least_bound = bound("slice_bound", SLICES).max(bound("cumulative_bound", PLACES));
    Ok(Case {
        instance,
        rival,
        least_bound,
    })
}

/// The troupe of the examples in soft cloth: 24 flared panels and 12 casings.
fn dancers(direction: &str) -> Result<Case, String> {
    let name = format!("12 dancers, soft, {direction}");
    let text = format!(
        r#"
units = "cm"
wearers = "03-troupe.csv"
[fabric.voile]
width = 150
selvedge = 1
direction = "{direction}"
drape = "soft"
[[make]]
draft = "panel skirt"
flare = 12
band = {{}}
"#
    );
    let troupe = include_str!("../../examples/03-troupe.csv");
    let job = Job::read(&name, &text, &mut |_, _| Ok(troupe.to_owned()));
    let job = job.map_err(|refused| refused.to_string())?;
    let problem = problem_of(&job)?;
    let rival = Some(rows::length(&problem)?);
    let instance = Instance {
        name,
        file: None,
        problem,
        scale: MM,
    };
    Ok(Case {
        instance,
        rival,
        least_bound: None,
    })
}
