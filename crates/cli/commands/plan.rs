//! `lengthwise plan`: the answer, the drawings, and the short answer.

use plotting::marker_svg;

use super::{Exit, say};
use crate::answer::{Answered, DraftedJob, Trouble};
use crate::args::Plan;
use crate::job::Job;
use crate::output::{Folder, beside, file_part};
use crate::progress::Line;
use crate::report;

/// From here on a job is large enough for a word about the time it takes.
const MANY_PIECES: u64 = 500;

pub fn run(args: &Plan) -> Result<Exit, Trouble> {
    let mut job = Job::load(&args.job)?;
    if let Some(units) = args.units {
        job.shown_in = units;
    }
    let drafted = DraftedJob::new(&job)?;
    let pieces = drafted.piece_count();
    let folder = args
        .out
        .clone()
        .unwrap_or_else(|| beside(&args.job, "-layout"));
    let folder = Folder::prepare(&folder)?;
    if pieces >= MANY_PIECES && !args.quiet {
        eprintln!("{}", patience(pieces));
    }
    let mut line = Line::new(job.shown_in, args.quiet);
    let answered = drafted.answer(&args.effort.settle(), &mut line)?;
    drop(line);

    let file = answered.to_json()?;
    let mut files = vec![("answer.json".to_owned(), file.clone())];
    files.extend(drawings(&answered, args.date.as_deref()));
    folder
        .write(&files)
        .map_err(|error| Trouble::Internal(format!("cannot write the files: {error}")))?;

    if args.json {
        say(&file)?;
    } else if !args.quiet {
        let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
        say(&format!(
            "{}\nWritten to {}: {}\n",
            report::text(&answered),
            folder.path().display(),
            names.join(", ")
        ))?;
    }
    Ok(answered.verdict().into())
}

/// One marker for each cloth, by file name.
fn drawings(answered: &Answered, date: Option<&str>) -> Vec<(String, String)> {
    let mut files: Vec<(String, String)> = Vec::new();
    for sheet in answered.sheets(date) {
        let mut name = format!("marker-{}.svg", file_part(&sheet.fabric.name));
        let mut number = 1;
        // Two fabrics may come to the same file name; none may lose its drawing.
        while files.iter().any(|(known, _)| *known == name) {
            number += 1;
            name = format!("marker-{}-{number}.svg", file_part(&sheet.fabric.name));
        }
        files.push((name, marker_svg(&sheet)));
    }
    files
}

/// How long so many pieces may take. Equal pieces are laid in rows at once; where all differ, time
/// grows with the square of their number.
fn patience(pieces: u64) -> String {
    let time = match pieces {
        0..2_000 => "some seconds",
        2_000..6_000 => "up to a minute, longest where all of them differ",
        _ => "several minutes, longest where all of them differ",
    };
    format!("{pieces} pieces: this may take {time}. `--seconds S` sets a limit.")
}
