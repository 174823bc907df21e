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
use crate::message::Refused;

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
    let result = match &cli.command {
        Command::Plan(args) => plan::run(args),
        Command::Compare(args) => compare::run(args),
        Command::Check(args) => check::run(args),
        Command::Drafts(args) => drafts::run(args),
        Command::Measurements => measurements::run(),
        Command::Keys => keys::run(),
        Command::New(args) => new::run(args),
    };
    match result {
        Ok(exit) => exit,
        Err(Trouble::Refused(refused)) => {
            say_wrong(&refused);
            Exit::Wrong
        }
        Err(Trouble::Internal(what)) => {
            eprintln!("lengthwise failed: {what}");
            eprintln!("This is a fault of the program, not of the job.");
            Exit::Failed
        }
    }
}

fn say_wrong(refused: &Refused) {
    let terminal = std::io::stderr().is_terminal();
    let colour = terminal && std::env::var_os("NO_COLOR").is_none();
    eprint!("{}", refused.render(colour));
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

/// A text over several lines, each at most `width` characters and `indent` spaces in.
fn wrapped(text: &str, indent: usize, width: usize) -> String {
    let mut out = String::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && indent + line.chars().count() + 1 + word.chars().count() > width {
            out.push_str(&format!("{:indent$}{line}\n", ""));
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        out.push_str(&format!("{:indent$}{line}\n", ""));
    }
    out
}
