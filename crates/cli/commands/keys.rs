//! `lengthwise keys`: every key of a job file, with unit and default.

use super::{Exit, say, wrapped};
use crate::answer::Trouble;
use crate::job::keys;

pub fn run() -> Result<Exit, Trouble> {
    let mut out = String::new();
    for table in keys::ALL {
        out.push_str(&format!("{}\n", table.heading));
        out.push_str(&wrapped(table.about, 2, 90));
        for key in table.keys {
            out.push_str(&format!(
                "  {}: {}; default: {}\n",
                key.name, key.takes, key.default
            ));
            out.push_str(&wrapped(key.about, 6, 90));
        }
        out.push('\n');
    }
    out.push_str(
        "Lengths are bare numbers in the job's units, or texts with a unit: \"97.5 cm\", \
         \"1.5 m\", \"38 3/8 in\".\n",
    );
    say(&out)?;
    Ok(Exit::Answered)
}
