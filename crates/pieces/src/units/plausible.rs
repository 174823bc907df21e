//! [`Plausible`]: does a bare number make sense in the job's unit?
//!
//! The commonest slip is a number in another unit: 38 for a skirt length in a job in centimetres.
//! It is not refused, since dolls and banners exist; it is asked about, with the unit that would
//! make sense. A number that names its unit is taken at its word.

use super::{Reading, Units};
use crate::length::{Length, Rounding};

/// What is usual for a kind of length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plausible {
    /// What it is, with its article: `a skirt length`.
    pub what: &'static str,
    /// The shortest that is not asked about.
    pub low: Length,
    /// The longest that is not asked about.
    pub high: Length,
}

impl Plausible {
    /// From whole centimetres.
    #[must_use]
    pub const fn cm(what: &'static str, low: i64, high: i64) -> Self {
        Plausible {
            what,
            low: Length::from_cm(low),
            high: Length::from_cm(high),
        }
    }

    /// True if the length is usual.
    #[must_use]
    pub fn holds(&self, length: Length) -> bool {
        (self.low..=self.high).contains(&length)
    }

    /// A warning if a bare number is unusual in the job's unit: what it looks like, and how to
    /// write it. `None` where it is usual or named its unit.
    #[must_use]
    pub fn doubt(&self, units: Units, reading: Reading) -> Option<String> {
        if reading.had_unit || self.holds(reading.length) {
            return None;
        }
        let short = reading.length < self.low;
        let size = if short { "short" } else { "long" };
        let written = units.write(reading.length);
        let doubt = format!("{written} is {size} for {}", self.what);
        // The commonest slip first.
        let others = if units.is_metric() {
            [
                Units::Centimetres,
                Units::Inches,
                Units::Metres,
                Units::Millimetres,
            ]
        } else {
            [
                Units::Inches,
                Units::Centimetres,
                Units::Yards,
                Units::Millimetres,
            ]
        };
        let other = others
            .into_iter()
            .filter(|&other| other != units)
            .map(|other| {
                let same_number =
                    reading
                        .length
                        .times_ratio(other.one().um(), units.one().um(), Rounding::Down);
                (other, same_number)
            })
            .find(|&(_, length)| self.holds(length));
        Some(match other {
            Some((other, length)) => {
                let meant = match other {
                    Units::Yards => other.write_cloth(length),
                    _ => other.write(length),
                };
                let in_job = units.write(length);
                format!("{doubt}; {meant} would be {in_job}: write \"{meant}\" if that is meant")
            }
            None => format!("{doubt}: if it is meant, write the unit too, \"{written}\""),
        })
    }
}
