//! The `lengthwise` command.

use std::panic::catch_unwind;
use std::process::ExitCode;

use clap::Parser;
use lengthwise::args::Cli;
use lengthwise::commands::{Exit, run};

fn main() -> ExitCode {
    let cli = Cli::parse();
    // A panic is a fault of the program: it leaves with the code that says so.
    let exit = catch_unwind(|| run(&cli)).unwrap_or(Exit::Failed);
    ExitCode::from(exit as u8)
}
