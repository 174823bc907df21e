//! `lengthwise compare`: one table, one chart, one sheet, and the answer for each choice.

use std::path::Path;

use nesting::Progress;
use plotting::{Choice, comparison_chart, comparison_sheet};

use super::{Exit, say, written};
use crate::answer::Trouble;
use crate::answer::compare::{Compared, compare_job, look_over};
use crate::answer::comparison::{self, ComparisonFile};
use crate::args::Compare;
use crate::interrupt;
use crate::job::Job;
use crate::job::sources::{Kind, read_text};
use crate::lines::{self, wrapped};
use crate::output::{Folder, beside, file_names, file_part};
use crate::progress::{Line, patience};
use crate::report::comparison::text;

/// Name of the comparison for other programs.
const COMPARISON: &str = "comparison.json";

pub fn run(args: &Compare) -> Result<Exit, Trouble> {
    let mut job = Job::load(&args.job)?;
    if let Some(units) = args.units {
        job.shown_in = units;
    }
    let folder = args
        .out
        .clone()
        .unwrap_or_else(|| beside(&args.job, "-compare"));
    let size = look_over(&job)?;
    let cancel = interrupt::flag();
    let folder = Folder::prepare(&folder)?;
    if !args.quiet
        && let Some(patience) = patience(size.pieces, size.different)
    {
        eprint!("{}", wrapped(&patience, "", "", lines::of_messages()));
    }
    let mut line = Line::new(job.shown_in, args.quiet, cancel);
    let all = compare_job(&job, &args.effort.settle(), &mut line)?;
    line.phase("drawing");
    let answers = answer_names(&all);
    let record = serde_json::to_string_pretty(&comparison::file(&job, &all, &answers))
        .map(|text| text + "\n")
        .map_err(|error| Trouble::Internal(format!("cannot write the comparison: {error}")))?;
    let mut files = vec![
        (COMPARISON.to_owned(), record.clone()),
        ("comparison.txt".to_owned(), text(&job, &all, lines::USUAL)),
    ];
    files.extend(drawings(&job, &all, args.date.as_deref())?);
    for (compared, name) in all.iter().zip(answers) {
        if let (Ok(answered), Some(name)) = (&compared.outcome, name) {
            files.push((name, answered.to_json()?));
        }
    }
    let stale = earlier_answers(folder.path());
    folder.replace(&files, &stale)?;
    drop(line);
    if args.json {
        say(&record)?;
    } else if !args.quiet {
        let width = lines::of_output();
        say(&format!(
            "{}\n{}",
            text(&job, &all, width),
            written(&folder, &files, width)
        ))?;
    }
    Ok(Exit::Answered)
}

/// Chart and sheet, with every cloth of every choice.
fn drawings(
    job: &Job,
    all: &[Compared],
    date: Option<&str>,
) -> Result<Vec<(String, String)>, Trouble> {
    let choices: Vec<Choice<'_>> = all
        .iter()
        .map(|compared| Choice {
            label: compared.label.clone(),
            cloths: compared
                .cloths()
                .iter()
                .map(|cloth| cloth.sheet(job, date))
                .collect(),
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

/// A file name for the answer of each choice that can be cut.
fn answer_names(all: &[Compared]) -> Vec<Option<String>> {
    let labels = all.iter().map(|compared| compared.label.as_str());
    let names = file_names("answer-", labels, ".json").into_iter();
    names
        .zip(all)
        .map(|(name, compared)| compared.outcome.is_ok().then_some(name))
        .collect()
}

/// The answers that the folder's earlier comparison tells of: beside a new one they would mislead.
fn earlier_answers(folder: &Path) -> Vec<String> {
    let text = read_text(&folder.join(COMPARISON), Kind::Answer).unwrap_or_default();
    let file = serde_json::from_str::<ComparisonFile>(&text);
    let names = file.into_iter().flat_map(|file| file.choices);
    names
        .filter_map(|choice| choice.answer)
        .filter(|name| {
            // Only names that this command gives: the file may have been changed.
            name.strip_prefix("answer-")
                .and_then(|rest| rest.strip_suffix(".json"))
                .is_some_and(|part| file_part(part) == part)
        })
        .collect()
}
