//! `lengthwise new`: a commented job to start from. A file that is there is left alone.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};

use super::{Exit, say};
use crate::answer::Trouble;
use crate::args::New;
use crate::job::starter::STARTER;
use crate::message::Refused;

pub fn run(args: &New) -> Result<Exit, Trouble> {
    let name = args.file.display();
    let opened = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&args.file);
    let mut file = opened.map_err(|error| {
        if error.kind() == ErrorKind::AlreadyExists {
            Refused::plain(
                format!("{name} is there already"),
                "give another name: lengthwise new second.toml",
            )
        } else {
            Refused::plain(
                format!("{name} cannot be written: {error}"),
                "give a path that you may write to",
            )
        }
    })?;
    file.write_all(STARTER.as_bytes())
        .map_err(|error| Trouble::Internal(format!("cannot write {name}: {error}")))?;
    say(&format!(
        "Written: {name}. Put in your own measurements and cloth, then run\n  lengthwise plan {name}\n"
    ))?;
    Ok(Exit::Answered)
}
