//! `lengthwise plan`: the answer, the drawings, and the short answer.

use std::path::Path;

use nesting::Progress;
use plotting::marker_svg;

use super::{Exit, say, written};
use crate::answer::recheck::read;
use crate::answer::{Answered, DraftedJob, Trouble};
use crate::args::Plan;
use crate::job::Job;
use crate::job::sources::{Kind, read_text};
use crate::lines::{self, wrapped};
use crate::output::{Folder, beside, file_part};
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
    let mut line = Line::new(job.shown_in, args.quiet);
    let answered = drafted.answer(&args.effort.settle(), &mut line)?;
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

/// One marker for each cloth, by file name.
fn drawings(answered: &Answered, date: Option<&str>) -> Vec<(String, String)> {
    let sheets = answered.sheets(date);
    let fabrics = sheets.iter().map(|sheet| sheet.fabric.name.as_str());
    let names = marker_names(fabrics);
    names
        .into_iter()
        .zip(sheets.iter().map(marker_svg))
        .collect()
}

/// File names of the markers of these fabrics.
fn marker_names<'a>(fabrics: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for fabric in fabrics {
        let mut name = format!("marker-{}.svg", file_part(fabric));
        let mut number = 1;
        // Two fabrics may come to the same file name; none may lose its drawing.
        while names.contains(&name) {
            number += 1;
            name = format!("marker-{}-{number}.svg", file_part(fabric));
        }
        names.push(name);
    }
    names
}

/// The drawings that the folder's earlier answer tells of: beside a new answer they would mislead.
fn earlier_drawings(folder: &Path) -> Vec<String> {
    let Ok(text) = read_text(&folder.join(ANSWER), Kind::Answer) else {
        return Vec::new();
    };
    read(ANSWER, &text).map_or_else(
        |_| Vec::new(),
        |file| marker_names(file.cloths.iter().map(|cloth| cloth.fabric.as_str())),
    )
}
