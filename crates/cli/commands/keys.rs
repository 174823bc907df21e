//! `lengthwise keys`: every key of a job file, with unit and default.

use super::{Exit, say};
use crate::answer::Trouble;
use crate::job::keys;
use crate::lines::{self, indented, wrapped};

pub fn run() -> Result<Exit, Trouble> {
    let width = lines::of_output();
    let mut out = String::new();
    for table in keys::ALL {
        out.push_str(&format!("{}\n", table.heading));
        out.push_str(&indented(table.about, 2, width));
        for key in table.keys {
            let takes = format!("{}: {}; default: {}", key.name, key.takes, key.default);
            out.push_str(&wrapped(&takes, "  ", "    ", width));
            out.push_str(&indented(key.about, 6, width));
        }
        out.push('\n');
    }
    out.push_str(&indented(
        "Lengths are bare numbers in the job's units, or texts with a unit: \"97.5 cm\", \
         \"1.5 m\", \"38 3/8 in\".",
        0,
        width,
    ));
    say(&out)?;
    Ok(Exit::Answered)
}
