//! What came of the cases: a line for each, and what they amount to.

use std::collections::BTreeMap;
use std::path::Path;

use serde_json::{Value, json};

use crate::case::Outcome;

/// What shops sell in steps of, micrometres.
const SOLD: i64 = 100_000;

/// Pieces of which there are few.
const FEW: usize = 12;

/// One line.
pub fn line(outcome: &Outcome) -> String {
    let gap = 100.0 * (outcome.length - outcome.bound) as f64 / outcome.bound.max(1) as f64;
    let saving = outcome
        .saving()
        .map_or("-".into(), |saving| format!("{saving:.3}"));
    format!(
        "{:<46} {:>12.3}  {:>6.2} %  saving {saving:>8} %  gap {gap:>6.2} %  {:<12} {:>6.2} s",
        outcome.name, outcome.shown, outcome.density, outcome.engine, outcome.seconds
    )
}

/// How the cases fared against what each is compared with.
pub fn against_rivals(outcomes: &[Outcome]) -> String {
    let savings: Vec<(f64, &Outcome)> = (outcomes.iter())
        .filter_map(|o| Some((o.saving()?, o)))
        .collect();
    let order = |a: &&(f64, &Outcome), b: &&(f64, &Outcome)| a.0.total_cmp(&b.0);
    let (Some(worst), Some(most)) = (savings.iter().min_by(order), savings.iter().max_by(order))
    else {
        return "nothing to compare with".into();
    };
    let count = |is: &dyn Fn(&Outcome, i64) -> bool| {
        let is = |o: &&Outcome| o.rival.is_some_and(|rival| is(o, rival));
        outcomes.iter().filter(is).count()
    };
    let (shorter, longer) = (
        count(&|o, rival| o.length < rival),
        count(&|o, rival| o.length > rival),
    );
    let mean = savings.iter().map(|s| s.0).sum::<f64>() / savings.len() as f64;
    format!(
        "{} cases: {shorter} shorter than rows ({:.1} %), {} equal, {longer} longer; saving: mean {mean:.2} %, \
         most {:.2} % ({}), least {:.3} % ({})",
        savings.len(),
        100.0 * shorter as f64 / savings.len() as f64,
        savings.len() - shorter - longer,
        most.0,
        most.1.name,
        worst.0,
        worst.1.name,
    )
}

/// For how many the next smaller 10 cm are refused, and how near bounds come: of few pieces, and of more. Lengths in
/// micrometres.
pub fn proofs(outcomes: &[Outcome]) -> String {
    let words = |name: &str, of: &dyn Fn(&Outcome) -> bool| {
        let of: Vec<&Outcome> = outcomes.iter().filter(|o| of(o)).collect();
        let is_proved = |o: &&&Outcome| o.bound > (o.length - 1) / SOLD * SOLD;
        let gap = |o: &&Outcome| 100.0 * (o.length - o.bound) as f64 / o.bound.max(1) as f64;
        format!(
            "{name}: the next smaller 10 cm refused for {} of {}, mean gap {:.2} %\n",
            of.iter().filter(is_proved).count(),
            of.len(),
            of.iter().map(gap).sum::<f64>() / of.len().max(1) as f64,
        )
    };
    let is_low = |o: &&Outcome| o.least_bound.is_some_and(|least| o.bound < least);
    let low: Vec<&str> = outcomes
        .iter()
        .filter(is_low)
        .map(|o| o.name.as_str())
        .collect();
    let few = words("up to 12 pieces", &|o| o.pieces <= FEW);
    let many = words("more", &|o| o.pieces > FEW);
    format!(
        "{few}{many}bounds below those of the files: {} {}",
        low.len(),
        low.join(" ")
    )
}

/// How many puzzles were solved, and by how many micrometres the others are longer.
pub fn solved(outcomes: &[Outcome]) -> String {
    let mut open: Vec<(i64, &str)> = Vec::new();
    for Outcome {
        name,
        length,
        rival,
        ..
    } in outcomes
    {
        let over = rival.map(|rival| (length - rival, name.as_str()));
        open.extend(over.filter(|o| o.0 != 0));
    }
    open.sort_unstable();
    let listed: String = open
        .iter()
        .map(|(over, name)| format!("\n  {over:>8} um  {name}"))
        .collect();
    format!(
        "{} puzzles: {} solved{}{listed}",
        outcomes.len(),
        outcomes.len() - open.len(),
        if open.is_empty() { "" } else { "; longer:" },
    )
}

/// Median and most of the seconds, and the greatest memory of the whole run so far.
pub fn spent(outcomes: &[Outcome]) -> String {
    let mut seconds: Vec<f64> = outcomes.iter().map(|o| o.seconds).collect();
    seconds.sort_by(f64::total_cmp);
    let (Some(most), Some(median)) = (seconds.last(), seconds.get(seconds.len() / 2)) else {
        return "nothing was laid".into();
    };
    let memory =
        peak_megabytes().map_or(String::new(), |peak| format!("; peak memory {peak:.0} MB"));
    format!("seconds: median {median:.2}, most {most:.2}{memory}")
}

/// Where the system tells it in a file.
fn peak_megabytes() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: f64 = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    Some(kilobytes / 1_024.0)
}

/// Writes lengths by name.
pub fn save(outcomes: &[Outcome], path: &Path) -> Result<(), String> {
    let lengths: BTreeMap<&str, Value> = (outcomes.iter())
        .map(|o| (o.name.as_str(), json!(o.length)))
        .collect();
    std::fs::write(path, format!("{:#}\n", json!(lengths)))
        .map_err(|error| format!("{}: {error}", path.display()))
}

/// The ratios of the lengths to those of another run, of the cases that both have.
pub fn against(outcomes: &[Outcome], path: &Path) -> Result<String, String> {
    let at = |what: String| format!("{}: {what}", path.display());
    let text = std::fs::read_to_string(path).map_err(|error| at(error.to_string()))?;
    let other: BTreeMap<String, i64> =
        serde_json::from_str(&text).map_err(|error| at(error.to_string()))?;
    let mut over: Vec<(f64, &str)> = Vec::new();
    for Outcome { name, length, .. } in outcomes {
        if let Some(other) = other.get(name) {
            over.push((100.0 * (length - other) as f64 / *other as f64, name));
        }
    }
    over.sort_by(|a, b| b.0.total_cmp(&a.0));
    let Some(worst) = over.first() else {
        return Err(at("has none of these cases".into()));
    };
    let mean = over.iter().map(|o| o.0).sum::<f64>() / over.len() as f64;
    let far: Vec<String> = (over.iter().take_while(|o| o.0 > 1.0))
        .map(|(over, name)| format!("\n  {over:.2} %  {name}"))
        .collect();
    Ok(format!(
        "over {}: mean {mean:.3} %, most {:.3} % ({}); more than 1 % in {} of {}{}",
        path.display(),
        worst.0,
        worst.1,
        far.len(),
        over.len(),
        far.concat()
    ))
}
