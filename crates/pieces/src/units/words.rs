//! What the words and characters in a length mean: names of units, typographic forms, fractions.
//!
//! Phones and word processors put curly quotes, prime characters, narrow spaces and fraction
//! characters in by themselves, so each is read as the plain one. Source of the fraction
//! characters' values: their names in the Unicode character tables (Latin-1, Number Forms).

use super::Units;
use crate::length::Length;

/// The units that a text may name: those of a job, and feet.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Named {
    Unit(Units),
    Foot,
}

impl Named {
    pub(super) fn um(self) -> i128 {
        match self {
            Named::Unit(units) => i128::from(units.one().um()),
            Named::Foot => i128::from(Length::INCH.um() * 12),
        }
    }

    pub(super) fn is_metric(self) -> bool {
        matches!(self, Named::Unit(units) if units.is_metric())
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Named::Unit(units) => units.name(),
            Named::Foot => "ft",
        }
    }

    pub(super) fn plural(self) -> &'static str {
        match self {
            Named::Unit(Units::Centimetres) => "centimetres",
            Named::Unit(Units::Millimetres) => "millimetres",
            Named::Unit(Units::Metres) => "metres",
            Named::Unit(Units::Inches) => "inches",
            Named::Unit(Units::Yards) => "yards",
            Named::Foot => "feet",
        }
    }

    pub(super) fn from_word(word: &str) -> Option<Named> {
        Some(match word.to_ascii_lowercase().as_str() {
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => {
                Named::Unit(Units::Centimetres)
            }
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => {
                Named::Unit(Units::Millimetres)
            }
            "m" | "metre" | "metres" | "meter" | "meters" => Named::Unit(Units::Metres),
            "in" | "ins" | "inch" | "inches" => Named::Unit(Units::Inches),
            "ft" | "foot" | "feet" => Named::Foot,
            "yd" | "yds" | "yard" | "yards" => Named::Unit(Units::Yards),
            _ => return None,
        })
    }
}

/// Puts the plain character in for its typographic forms.
pub(super) fn plain(character: char) -> char {
    match character {
        c if c.is_whitespace() => ' ',
        '\u{200B}' | '\u{2060}' | '\u{FEFF}' => ' ',
        '\u{2044}' | '\u{2215}' => '/',
        '\u{2212}' | '\u{2013}' | '\u{2010}' | '\u{2011}' => '-',
        '\u{2032}' | '\u{2018}' | '\u{2019}' | '\u{00B4}' => '\'',
        '\u{2033}' | '\u{201C}' | '\u{201D}' => '"',
        c => c,
    }
}

/// The fraction that a single character stands for; `(1, 0)` for the one whose lower number
/// follows it as digits.
pub(super) fn vulgar(character: char) -> Option<(i128, i128)> {
    Some(match character {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '↉' => (0, 3),
        '⅟' => (1, 0),
        _ => return None,
    })
}
