//! What each command does: settled choices in, words and files out, an exit code back.

mod check;
mod compare;
mod drafts;
mod keys;
mod measurements;
mod new;
mod plan;

use std::io::{IsTerminal, Write};

use crate::answer::Trouble;
use crate::answer::schema::Word;
use crate::args::{Cli, Command};
use crate::lines::{self, wrapped};
use crate::message::{Look, Refused};
use crate::output::Folder;

/// How a run ended, as other programs see it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Answered: enough, or a plan.
    Answered = 0,
    /// The program failed, or an answer that was checked does not hold.
    Failed = 1,
    /// The input or the command line is wrong; nothing was written.
    Wrong = 2,
    /// Not enough, proved.
    NotEnough = 3,
    /// Undecided.
    Undecided = 4,
}

impl From<Word> for Exit {
    fn from(word: Word) -> Self {
        match word {
            Word::Plan | Word::Enough => Exit::Answered,
            Word::NotEnough => Exit::NotEnough,
            Word::Undecided => Exit::Undecided,
        }
    }
}

/// Runs one command.
#[must_use]
pub fn run(cli: &Cli) -> Exit {
    let (result, writes) = match &cli.command {
        Command::Plan(args) => (plan::run(args), true),
        Command::Compare(args) => (compare::run(args), true),
        Command::Check(args) => (check::run(args), false),
        Command::Drafts(args) => (drafts::run(args), false),
        Command::Measurements => (measurements::run(), false),
        Command::Keys => (keys::run(), false),
        Command::New(args) => (new::run(args), true),
    };
    match result {
        Ok(exit) => exit,
        Err(Trouble::Refused(refused)) => {
            say_wrong(&refused, writes);
            Exit::Wrong
        }
        Err(Trouble::Internal(what)) => {
            eprintln!("lengthwise failed: {what}");
            eprintln!("This is a fault of the program, not of the job.");
            Exit::Failed
        }
    }
}

/// Says what is wrong; a command that `writes` also says that it has not.
fn say_wrong(refused: &Refused, writes: bool) {
    let terminal = std::io::stderr().is_terminal();
    let look = Look {
        colour: terminal && std::env::var_os("NO_COLOR").is_none(),
        width: lines::of_messages(),
    };
    eprint!("{}{}", refused.render(look), refused.closing(writes));
}

/// Prints to standard output. A reader that has gone away (`| head`) is no failure.
fn say(text: &str) -> Result<(), Trouble> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Trouble::Internal(format!("cannot print: {error}")))
        }
        _ => Ok(()),
    }
}

/// Where the files went.
fn written(folder: &Folder, files: &[(String, String)], width: usize) -> String {
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    let text = format!(
        "Written to {}: {}",
        folder.path().display(),
        names.join(", ")
    );
    wrapped(&text, "", "  ", width)
}
