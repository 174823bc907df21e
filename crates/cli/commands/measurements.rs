//! `lengthwise measurements`: what is measured, and how.

use pieces::measurement;

use super::{Exit, say, wrapped};
use crate::answer::Trouble;

pub fn run() -> Result<Exit, Trouble> {
    let mut out =
        "Measurements, by their key in [wearer.NAME] or in the heading of a CSV\n".to_owned();
    for known in measurement::ALL {
        out.push_str(&format!(
            "\n  {}: {} ({})\n",
            known.key,
            known.name,
            known.origin.about()
        ));
        out.push_str(&wrapped(known.how, 6, 90));
    }
    say(&out)?;
    Ok(Exit::Answered)
}
