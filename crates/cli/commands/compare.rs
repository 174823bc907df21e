//! `lengthwise compare`: one table, one chart, one sheet, and the answer for each choice.

use std::collections::BTreeSet;

use comfy_table::{CellAlignment, Table};
use pieces::Units;
use plotting::{Choice, comparison_chart, comparison_sheet};

use super::{Exit, say};
use crate::answer::compare::{Compared, compare_job, look_over};
use crate::answer::schema::Word;
use crate::answer::{Answered, LaidCloth, Trouble, cost};
use crate::args::Compare;
use crate::job::Job;
use crate::message::{Fault, Refused};
use crate::output::{Folder, beside, file_part};
use crate::progress::Line;
use crate::report::{bare_table, bound_text, indented};

pub fn run(args: &Compare) -> Result<Exit, Trouble> {
    let mut job = Job::load(&args.job)?;
    if let Some(units) = args.units {
        job.shown_in = units;
    }
    let folder = args
        .out
        .clone()
        .unwrap_or_else(|| beside(&args.job, "-compare"));
    look_over(&job)?;
    let folder = Folder::prepare(&folder)?;
    let mut line = Line::new(job.shown_in, args.quiet);
    let all = compare_job(&job, &args.effort.settle(), &mut line)?;
    drop(line);
    refuse_if_none(&all)?;

    let text = table_text(&job, &all);
    let mut files = vec![("comparison.txt".to_owned(), text.clone())];
    files.extend(drawings(&job, &all, args.date.as_deref())?);
    files.extend(answers(&all)?);
    folder
        .write(&files)
        .map_err(|error| Trouble::Internal(format!("cannot write the files: {error}")))?;
    if !args.quiet {
        let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
        say(&format!(
            "{text}\nWritten to {}: {}\n",
            folder.path().display(),
            names.join(", ")
        ))?;
    }
    Ok(Exit::Answered)
}

/// The cloth that a choice is about, where it could be cut.
fn cloth(compared: &Compared) -> Option<&LaidCloth> {
    let answered = compared.outcome.as_ref().ok()?;
    answered
        .cloths
        .iter()
        .find(|cloth| cloth.fabric.name == compared.fabric)
}

fn table_text(job: &Job, all: &[Compared]) -> String {
    let units = job.shown_in;
    let mut table = bare_table();
    table.set_header([
        "choice", "need", "bound", "have", "verdict", "to buy", "cost", "used",
    ]);
    let mut remarks = Vec::new();
    for compared in all {
        match (&compared.outcome, cloth(compared)) {
            (Ok(answered), Some(cloth)) => {
                let cost = whole_cost(answered);
                add_row(&mut table, compared, cloth, units, (cost, &job.currency));
                let others: Vec<&str> = answered
                    .cloths
                    .iter()
                    .filter(|other| other.fabric.name != cloth.fabric.name)
                    .map(|other| other.fabric.name.as_str())
                    .collect();
                if cost.is_some() && !others.is_empty() {
                    remarks.push(format!(
                        "{}: the cost counts {} too, where priced and to be bought",
                        compared.label,
                        others.join(" and ")
                    ));
                }
            }
            (Ok(_), None) => {
                remarks.push(format!("{}: nothing is cut from it", compared.label));
            }
            (Err(refused), _) => {
                table.add_row([compared.label.as_str(), "cannot be cut"]);
                for fault in &refused.faults {
                    remarks.push(format!("{}: {}", compared.label, fault.what));
                }
            }
        }
    }
    for column in [1, 2, 3, 5, 6, 7] {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let mut out = format!("{}{}\n{}", best(job, all), job.title, indented(&table));
    for remark in remarks {
        out.push_str(&format!("  - {remark}\n"));
    }
    out
}

/// The choices that take least cloth, first of all.
fn best(job: &Job, all: &[Compared]) -> String {
    let needed = |compared: &Compared| cloth(compared).map(LaidCloth::needed);
    let Some(least) = all.iter().filter_map(needed).min() else {
        return String::new();
    };
    let labels: Vec<&str> = all
        .iter()
        .filter(|compared| needed(compared) == Some(least))
        .map(|compared| compared.label.as_str())
        .collect();
    let verb = if labels.len() == 1 { "needs" } else { "need" };
    format!(
        "{} {verb} least: {}.\n\n",
        labels.join(" and "),
        job.shown_in.write_up(least)
    )
}

/// What is wrong where no choice can be cut.
fn refuse_if_none(all: &[Compared]) -> Result<(), Trouble> {
    if all.iter().any(|compared| cloth(compared).is_some()) {
        return Ok(());
    }
    let refused = all.iter().filter_map(|c| c.outcome.as_ref().err());
    let mut faults: Vec<Fault> = refused.flat_map(|r| r.faults.clone()).collect();
    faults.dedup();
    Err(Trouble::Refused(if faults.is_empty() {
        Refused::plain(
            "nothing is cut from any of the choices",
            "compare fabrics that a [[make]] names",
        )
    } else {
        Refused { faults }
    }))
}

/// What all cloth of a choice costs, in hundredths; `None` where nothing to be bought is priced.
fn whole_cost(answered: &Answered) -> Option<i64> {
    let costs = answered.cloths.iter().filter_map(|cloth| {
        let buy = cloth.to_buy(cloth.chosen())?;
        Some(cloth.fabric.price?.of(buy))
    });
    costs.reduce(|sum, cost| sum.saturating_add(cost))
}

fn add_row(
    table: &mut Table,
    compared: &Compared,
    cloth: &LaidCloth,
    units: Units,
    (whole, currency): (Option<i64>, &str),
) {
    let dash = || "-".to_owned();
    let offer = cloth.chosen();
    let have = offer.map(|offer| cloth.fabric.on_hand[offer]);
    let buy = cloth.to_buy(offer);
    let verdict = match cloth.verdict(offer) {
        Word::Plan => dash(),
        Word::Enough => "enough".to_owned(),
        Word::NotEnough => "not enough".to_owned(),
        Word::Undecided => "undecided".to_owned(),
    };
    let used = cloth.used_permille();
    table.add_row([
        compared.label.clone(),
        units.write_up(cloth.needed()),
        bound_text(cloth, units),
        have.map_or_else(dash, |have| units.write_down(have)),
        verdict,
        buy.map_or_else(dash, |buy| units.write_bought(buy)),
        whole.map_or_else(dash, |whole| cost(whole, currency)),
        format!("{}.{} %", used / 10, used % 10),
    ]);
}

fn drawings(
    job: &Job,
    all: &[Compared],
    date: Option<&str>,
) -> Result<Vec<(String, String)>, Trouble> {
    let choices: Vec<Choice<'_>> = all
        .iter()
        .map(|compared| Choice {
            label: compared.label.clone(),
            cloths: match (&compared.outcome, cloth(compared)) {
                (Ok(answered), Some(cloth)) => vec![cloth.sheet(&answered.job, date)],
                _ => Vec::new(),
            },
        })
        .collect();
    let chart = comparison_chart(&job.title, job.shown_in, &choices)
        .map_err(|error| Trouble::Internal(error.to_string()))?;
    Ok(vec![
        ("comparison-chart.svg".to_owned(), chart),
        (
            "comparison-sheet.svg".to_owned(),
            comparison_sheet(&job.title, &choices),
        ),
    ])
}

/// An answer file for each choice, which `lengthwise check` can look at.
fn answers(all: &[Compared]) -> Result<Vec<(String, String)>, Trouble> {
    let mut names = BTreeSet::new();
    let mut files = Vec::new();
    for compared in all {
        let Ok(answered) = &compared.outcome else {
            continue;
        };
        let mut name = format!("answer-{}.json", file_part(&compared.label));
        let mut number = 1;
        while !names.insert(name.clone()) {
            number += 1;
            name = format!("answer-{}-{number}.json", file_part(&compared.label));
        }
        files.push((name, answered.to_json()?));
    }
    Ok(files)
}
