//! Reading and writing lengths in a person's unit.
//!
//! A job is written in one unit. A bare number takes it; a number with a unit says what it is
//! ([`Reading::had_unit`]), so that a bare number which is absurd in the job's unit can be asked
//! about ([`Plausible`]). Reading is exact: numbers are kept as whole ratios, every unit is a whole
//! number of micrometres, and only what is finer than a micrometre (1/16 in) is rounded, the way
//! the caller asks. Writing rounds to what a tape or ruler shows, and a text never mixes units.
//!
//! Source: 1 in = 25.4 mm and 1 yd = 0.9144 m exactly (international yard and pound agreement, 1959).

mod plausible;
mod ratio;
mod read;
mod sum;
mod words;
mod write;

#[cfg(test)]
mod tests;

use crate::length::Length;

pub use plausible::Plausible;
pub use ratio::Ratio;
pub use read::{LONGEST, ReadError, Reading};
pub use sum::Sum;
pub use write::Finer;

/// The unit a job is written in; decides what a bare number means and how lengths are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Units {
    /// Centimetres, written to 1 mm (`97.5 cm`).
    #[default]
    Centimetres,
    /// Millimetres.
    Millimetres,
    /// Metres.
    Metres,
    /// Inches, written to 1/8 (`38 3/8 in`).
    Inches,
    /// Yards: read as yards, written like inches, cloth lengths in yards.
    Yards,
}

impl Units {
    /// All of them.
    pub const ALL: [Units; 5] = [
        Units::Centimetres,
        Units::Millimetres,
        Units::Metres,
        Units::Inches,
        Units::Yards,
    ];

    /// Their names as a job writes them, in the order of [`Units::ALL`].
    pub const NAMES: [&'static str; 5] = ["cm", "mm", "m", "in", "yd"];

    /// The unit of that name: `cm`, `mm`, `m`, `in` or `yd`.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Units> {
        Units::ALL.into_iter().find(|units| units.name() == name)
    }

    /// Its name: `cm`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        Units::NAMES[self as usize]
    }

    /// One of it.
    #[must_use]
    pub const fn one(self) -> Length {
        match self {
            Units::Centimetres => Length::from_cm(1),
            Units::Millimetres => Length::from_mm(1),
            Units::Metres => Length::from_cm(100),
            Units::Inches => Length::INCH,
            Units::Yards => Length::YARD,
        }
    }

    /// True for the units of the metre.
    #[must_use]
    pub const fn is_metric(self) -> bool {
        matches!(
            self,
            Units::Centimetres | Units::Millimetres | Units::Metres
        )
    }

    /// What positions are chalked to: 1 mm or 1/8 in.
    #[must_use]
    pub const fn marking_step(self) -> Length {
        if self.is_metric() {
            Length::from_mm(1)
        } else {
            Length::from_um(3_175)
        }
    }

    /// What shops sell cloth by, unless the job says otherwise: 10 cm or 1/8 yd (common practice,
    /// no published source).
    #[must_use]
    pub const fn selling_step(self) -> Length {
        if self.is_metric() {
            Length::from_cm(10)
        } else {
            Length::from_um(114_300)
        }
    }

    /// A length as it could be written in this unit, for messages.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Units::Centimetres => "97.5 cm",
            Units::Millimetres => "975 mm",
            Units::Metres => "0.975 m",
            Units::Inches => "38 3/8 in",
            Units::Yards => "1 1/2 yd",
        }
    }
}
