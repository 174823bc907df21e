//! `lengthwise check`: an answer file, looked at again from itself alone.

use super::{Exit, say};
use crate::answer::Trouble;
use crate::answer::recheck::{read, recheck};
use crate::args::Check;
use crate::job::sources::{Kind, read_text};
use crate::lines::{self, listed, wrapped};

/// Of a heap of things that do not hold the first ones say enough.
const MOST_LINES: usize = 20;

pub fn run(args: &Check) -> Result<Exit, Trouble> {
    let text = read_text(&args.answer, Kind::Answer)?;
    let file = read(&args.answer.display().to_string(), &text)?;
    let found = recheck(&file);
    if found.broken.is_empty() {
        if !args.quiet {
            let width = lines::of_output();
            let holds = format!(
                "The answer holds: {}, {}.",
                file.verdict.said(),
                file.job.title
            );
            let mut out = wrapped(&holds, "", "  ", width);
            for line in &found.held {
                out.push_str(&listed(line, width));
            }
            say(&out)?;
        }
        return Ok(Exit::Answered);
    }
    let mut out = "The answer does not hold. Do not cut by it.\n".to_owned();
    let width = lines::of_messages();
    for line in found.broken.iter().take(MOST_LINES) {
        out.push_str(&listed(line, width));
    }
    if found.broken.len() > MOST_LINES {
        let rest = found.broken.len() - MOST_LINES;
        out.push_str(&format!("  and {rest} more\n"));
    }
    eprint!("{out}");
    Ok(Exit::Failed)
}
