//! `lengthwise measurements`: what is measured, and how.

use pieces::{measurement, size_table};

use super::{Exit, say};
use crate::answer::Trouble;
use crate::lines::{self, indented, wrapped};

pub fn run() -> Result<Exit, Trouble> {
    let width = lines::of_output();
    let mut out =
        "Measurements, by their key in [wearer.NAME] or in the heading of a CSV\n".to_owned();
    for known in measurement::ALL {
        let name = format!("{}: {}; {}", known.key, known.name, known.origin.about());
        out.push('\n');
        out.push_str(&wrapped(&name, "  ", "    ", width));
        out.push_str(&indented(known.how, 6, width));
    }
    out.push_str(
        "\nSize tables, for girths that were not measured: size = \"...\" in [wearer.NAME]\n",
    );
    for table in size_table::tables() {
        let head = format!("{}: size = \"{}\"", table.name, table.written);
        out.push('\n');
        out.push_str(&wrapped(&head, "  ", "    ", width));
        for line in [
            format!("sizes: {}", table.sizes),
            format!("gives: {}", table.gives.join(", ")),
            format!("values: {}", table.status),
        ] {
            out.push_str(&wrapped(&line, "      ", "        ", width));
        }
    }
    say(&out)?;
    Ok(Exit::Answered)
}
