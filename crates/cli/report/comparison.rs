//! The comparison in words: which choice takes or costs least, a table, and what stands behind it.

use nesting::Verdict;
use pieces::Units;

use super::Written;
use crate::answer::compare::Compared;
use crate::answer::comparison::{least, least_cost};
use crate::answer::schema::Word;
use crate::answer::{LaidCloth, cost};
use crate::job::Job;
use crate::lines::{Columns, listed, wrapped};

/// All of it, in lines of `width` columns.
#[must_use]
pub fn text(job: &Job, all: &[Compared], width: usize) -> String {
    let mut out = String::new();
    for sentence in headline(job, all) {
        out.push_str(&wrapped(&sentence, "", "  ", width));
    }
    out.push('\n');
    out.push_str(&wrapped(&job.title, "", "  ", width));
    out.push_str(&table(job, all).set(width));
    let remarks = remarks(job, all);
    if !remarks.is_empty() {
        out.push('\n');
    }
    for remark in remarks {
        out.push_str(&listed(&remark, width));
    }
    out
}

/// Verdicts first, then the choices that take and cost least.
fn headline(job: &Job, all: &[Compared]) -> Vec<String> {
    let mut lines = Vec::new();
    for (word, said) in [
        (Word::Enough, "Enough"),
        (Word::Undecided, "Undecided"),
        (Word::NotEnough, "Not enough (proved)"),
    ] {
        let labels = all.iter().filter(|c| verdict(c) == Some(word));
        let labels: Vec<&str> = labels.map(|c| c.label.as_str()).collect();
        if !labels.is_empty() {
            lines.push(format!("{said}: {}.", labels.join("; ")));
        }
    }
    let cut: Vec<&Compared> = all.iter().filter(|c| !c.cloths().is_empty()).collect();
    if let [only] = cut.as_slice() {
        lines.push(format!("Only {} can be cut.", only.label));
        return lines;
    }
    // Lengths that read alike are a tie: nobody cuts by a tenth of a millimetre.
    let written = |c: &Compared| Some(job.shown_in.write_up(c.needed()?));
    if let Some(length) = cut
        .iter()
        .min_by_key(|c| c.needed())
        .and_then(|c| written(c))
    {
        let labels = least(all, |c| Some(written(c)? != length));
        let several = cut.iter().any(|c| c.cloths().len() > 1);
        let of = if several { "cloth in all" } else { "cloth" };
        lines.push(ranked(&labels, cut.len(), ["need", of], &length));
    }
    let cheapest = least_cost(all);
    let price = all
        .iter()
        .find(|c| cheapest.first() == Some(&c.label))
        .and_then(Compared::cost);
    if let Some(price) = price {
        let price = cost(price.hundredths, &job.currency);
        lines.push(ranked(&cheapest, cut.len(), ["cost", ""], &price));
    }
    lines
}

fn verdict(compared: &Compared) -> Option<Word> {
    compared.outcome.as_ref().ok().map(|a| a.verdict())
}

/// `chiffon needs least cloth: 194 cm.`, or that several do, or that all are alike.
fn ranked(labels: &[String], of: usize, [does, what]: [&str; 2], value: &str) -> String {
    let what = if what.is_empty() {
        String::new()
    } else {
        format!(" {what}")
    };
    match labels {
        [one] => format!("{one} {does}s least{what}: {value}."),
        all if all.len() == of => format!("A tie: all {does} the same{what}, {value}."),
        several => format!(
            "A tie: {} {does} least{what}, {value} each.",
            several.join(" and ")
        ),
    }
}

fn table(job: &Job, all: &[Compared]) -> Columns {
    let mut table = Columns::new(&[1, 2, 3, 5, 6], 5);
    table.row(["", "need", "bound", "have", "verdict", "to buy", "cost"]);
    for compared in all {
        table.words(compared.label.clone());
        if compared.outcome.is_err() {
            table.words("  cannot be cut, see below");
        }
        for cloth in compared.cloths() {
            rows(&mut table, cloth, job);
        }
        let priced = compared.cloths().iter().filter(|c| c.cost().is_some());
        if let Some(whole) = compared.cost().filter(|_| priced.count() > 1) {
            let whole = cost(whole.hundredths, &job.currency);
            table.row(["  in all", "", "", "", "", "", &whole]);
        }
    }
    table
}

/// A cloth of the table: one row, and one more for each further length on hand.
fn rows(table: &mut Columns, cloth: &LaidCloth, job: &Job) {
    let units: Units = job.shown_in;
    let written = Written::of(cloth, units);
    let dash = || "-".to_owned();
    let offers: Vec<(String, String)> = cloth
        .fabric
        .on_hand
        .iter()
        .zip(&cloth.answer.rulings)
        .map(|(&have, ruling)| {
            let verdict = match ruling.verdict {
                Verdict::Enough => "enough",
                Verdict::NotEnough => "not enough",
                Verdict::Undecided => "undecided",
            };
            (written.down(have), verdict.to_owned())
        })
        .collect();
    let (have, verdict) = offers.first().cloned().unwrap_or((dash(), dash()));
    let bought = cloth.bought().map(|buy| units.write_bought(buy));
    let price = cloth.cost().map(|price| cost(price, &job.currency));
    table.row([
        format!("  {}", shortened(&cloth.fabric.name)),
        written.up(cloth.needed()),
        written.down(cloth.bound().length),
        have,
        verdict,
        bought.unwrap_or_else(dash),
        price.unwrap_or_else(dash),
    ]);
    for (have, verdict) in offers.into_iter().skip(1) {
        let empty = String::new;
        table.row([empty(), empty(), empty(), have, verdict, empty(), empty()]);
    }
}

/// A name that leaves room for the numbers beside it.
fn shortened(name: &str) -> String {
    const MOST: usize = 16;
    if name.chars().count() <= MOST {
        return name.to_owned();
    }
    let kept: String = name.chars().take(MOST - 3).collect();
    format!("{}...", kept.trim_end())
}

/// What the numbers do not say.
fn remarks(job: &Job, all: &[Compared]) -> Vec<String> {
    let mut remarks = Vec::new();
    let choices = &job.comparison.choices;
    for (number, choice) in choices.iter().enumerate() {
        let same = choices[..number].iter().find(|c| c.fabric == choice.fabric);
        if let Some(same) = same {
            remarks.push(format!(
                "{} asks the same as {}: nothing is changed",
                choice.label, same.label
            ));
        }
    }
    for compared in all {
        let label = &compared.label;
        match &compared.outcome {
            Err(refused) => {
                let faults = refused.faults.iter();
                remarks.extend(faults.map(|fault| format!("{label}: {}", fault.what)));
            }
            Ok(answered) if !answered.cuts_from(&compared.fabric) => {
                remarks.push(format!("{label}: nothing is cut from {}", compared.fabric));
            }
            Ok(_) => {}
        }
        if compared.cost().is_some_and(|cost| !cost.whole) {
            let unpriced = compared
                .cloths()
                .iter()
                .filter(|c| c.bought().is_some() && c.fabric.price.is_none());
            let names: Vec<&str> = unpriced.map(|c| c.fabric.name.as_str()).collect();
            remarks.push(format!(
                "{label}: the cost leaves out {}, which has no price",
                names.join(" and ")
            ));
        }
    }
    remarks
}
