//! `lengthwise new`: a commented job to start from. A file that is there is left alone.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};

use super::{Exit, say};
use crate::answer::Trouble;
use crate::args::New;
use crate::job::starter::starter;
use crate::message::Refused;
use crate::output::reason;

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
                format!("{name} cannot be written: {}", reason(&error)),
                "give a path that you may write to",
            )
        }
    })?;
    let typed = typed(&name.to_string());
    file.write_all(starter(&typed).as_bytes())
        .map_err(|error| Trouble::Internal(format!("cannot write {name}: {}", reason(&error))))?;
    say(&format!(
        "Written: {name}. Put in your own measurements and cloth, then run\n  lengthwise plan {typed}\n"
    ))?;
    Ok(Exit::Answered)
}

/// A path as it is typed after a command: in quotes where a space would part it.
fn typed(path: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "/\\._-:~".contains(c);
    if path.chars().all(plain) {
        path.to_owned()
    } else {
        format!("\"{path}\"")
    }
}
