//! `lengthwise check`: an answer file, looked at again from itself alone.

use super::{Exit, say};
use crate::answer::Trouble;
use crate::answer::recheck::{read, recheck};
use crate::args::Check;
use crate::job::sources::read_answer_text;

/// Of a heap of things that do not hold the first ones say enough.
const MOST_LINES: usize = 20;

pub fn run(args: &Check) -> Result<Exit, Trouble> {
    let text = read_answer_text(&args.answer)?;
    let file = read(&args.answer.display().to_string(), &text)?;
    let found = recheck(&file);
    if found.broken.is_empty() {
        if !args.quiet {
            let mut out = format!(
                "The answer holds: {}, {}.\n",
                file.verdict.as_str(),
                file.job.title
            );
            for line in &found.held {
                out.push_str(&format!("  - {line}\n"));
            }
            say(&out)?;
        }
        return Ok(Exit::Answered);
    }
    eprintln!("The answer does not hold. Do not cut by it.");
    for line in found.broken.iter().take(MOST_LINES) {
        eprintln!("  - {line}");
    }
    if found.broken.len() > MOST_LINES {
        eprintln!("  and {} more", found.broken.len() - MOST_LINES);
    }
    Ok(Exit::Failed)
}
