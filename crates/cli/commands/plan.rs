//! `lengthwise plan`: the answer, the drawings, and the short answer.

use std::path::Path;

use nesting::Progress;
use plotting::{chalk_list, marker_svg};
use serde_json::Value;

use super::{Exit, say, written};
use crate::answer::earlier::Earlier;
use crate::answer::{Answered, DraftedJob, Trouble};
use crate::args::Plan;
use crate::interrupt;
use crate::job::Job;
use crate::job::sources::{Kind, read_text};
use crate::lines::{self, wrapped};
use crate::message::Refused;
use crate::output::{Folder, beside, file_names};
use crate::progress::{Line, patience};
use crate::report;

/// Name of the answer file.
const ANSWER: &str = "answer.json";

pub fn run(args: &Plan) -> Result<Exit, Trouble> {
    let mut job = Job::load(&args.job)?;
    if let Some(units) = args.units {
        job.shown_in = units;
    }
    let drafted = DraftedJob::new(&job)?;
    let folder = args
        .out
        .clone()
        .unwrap_or_else(|| beside(&args.job, "-layout"));
    let earlier = args.go_on.then(|| earlier(&folder, args, &job));
    let earlier = earlier.transpose()?;
    let cancel = interrupt::flag();
    let folder = Folder::prepare(&folder)?;
    if !args.quiet
        && let Some(patience) = patience(drafted.piece_count(), drafted.different_count())
    {
        let hint = match args.effort.seconds {
            None => " `--seconds S` sets a limit to the search.",
            Some(_) => "",
        };
        eprint!(
            "{}",
            wrapped(&format!("{patience}{hint}"), "", "", lines::of_messages())
        );
    }
    let mut line = Line::new(job.shown_in, args.quiet, cancel);
    let effort = args.effort.settle();
    let effort = earlier
        .as_ref()
        .map_or(effort, |earlier| earlier.next(effort, args.effort.seed));
    let answered = drafted.answer_from(earlier.as_ref(), &effort, &mut line)?;
    line.phase("drawing");
    let file = answered.to_json()?;
    let mut files = vec![(ANSWER.to_owned(), file.clone())];
    files.extend(drawings(&answered, args.date.as_deref()));
    let stale = earlier_drawings(folder.path());
    folder.replace(&files, &stale)?;
    drop(line);
    if args.json {
        say(&file)?;
    } else if !args.quiet {
        let width = lines::of_output();
        say(&format!(
            "{}\n{}",
            report::text(&answered, width),
            written(&folder, &files, width)
        ))?;
    }
    Ok(answered.verdict().into())
}

/// The answer in the folder, to go on from.
fn earlier(folder: &Path, args: &Plan, job: &Job) -> Result<Earlier, Refused> {
    let path = folder.join(ANSWER);
    if !path.exists() {
        let command = format!("lengthwise plan {}", args.job.display());
        return Err(Refused::plain(
            format!("there is no {} to go on from", path.display()),
            format!(
                "run `{command}` first, or name the folder of an earlier answer with --out FOLDER"
            ),
        ));
    }
    let text = read_text(&path, Kind::Answer)?;
    Earlier::read(&path.display().to_string(), &text, job)
}

/// A marker and a chalk list for each cloth, by file name.
fn drawings(answered: &Answered, date: Option<&str>) -> Vec<(String, String)> {
    let sheets = answered.sheets(date);
    let fabrics = sheets.iter().map(|sheet| sheet.fabric.name.as_str());
    let texts = sheets
        .iter()
        .flat_map(|sheet| [marker_svg(sheet), chalk_list(sheet)]);
    names(fabrics).into_iter().zip(texts).collect()
}

/// File names of marker and chalk list of each of these fabrics.
fn names<'a>(fabrics: impl Iterator<Item = &'a str> + Clone) -> Vec<String> {
    let markers = file_names("marker-", fabrics.clone(), ".svg");
    let lists = file_names("chalk-", fabrics, ".txt");
    markers
        .into_iter()
        .zip(lists)
        .flat_map(|(marker, list)| [marker, list])
        .collect()
}

/// The drawings that the folder's earlier answer tells of: beside a new answer they would mislead.
/// Of whatever version it is, its cloths name their fabrics.
fn earlier_drawings(folder: &Path) -> Vec<String> {
    let text = read_text(&folder.join(ANSWER), Kind::Answer).unwrap_or_default();
    let file: Value = serde_json::from_str(&text).unwrap_or_default();
    let cloths = file["cloths"].as_array().into_iter().flatten();
    names(cloths.filter_map(|cloth| cloth["fabric"].as_str()))
}
