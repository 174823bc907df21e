//! Arguments by parts abreast: what they say, and whether they hold.
//!
//! Every piece, as it may lie, is cut across into equally long parts, and somebody says what each part is worth. At each
//! height of the cloth, pieces lie there with one part each: a company, which has room side by side with all of its
//! pieces, at some heights of their own within the parts (`company`). Two sums are then worked out, exactly: what a
//! company is worth at most, times the length, is all that the cloth can hold; and wherever a copy lies, it brings its parts'
//! lengths times their worth, at least the least of this over its ways to lie. If the pieces bring more than the cloth can
//! hold, they do not fit; the quotient is a length that no layout undercuts.
//!
//! A company is refused if its sections are wider than the cloth, or if the halves of halves of its parts leave no order
//! across (`room`, `beside`). What is not refused counts as if it could lie so.
//!
//! With a spacing, sections and cloth are taken `wider` by that much, as in [`super`]. This shares no code with what makes
//! such arguments.

mod company;

use pieces::Length;
use serde::{Deserialize, Serialize};

use super::figures::Figures;
use super::sides::Within;
use crate::problem::{Problem, Turn};
use company::{Part, Worth};

/// Such a share of a piece is in no part at either end: where one only just ends as another begins, they do not refuse each
/// other, and no company of both could be refused.
const ENDS: i64 = 2_000;

/// Parts of a piece, and in all, at most.
const MOST_PARTS: usize = 64;
const MOST: usize = 1_000;

/// What parts of pieces are worth, where no company of them is worth more than another.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Abreast {
    /// How much wider sections are taken, and the cloth.
    #[serde(rename = "wider_um")]
    pub wider: Length,
    /// For items that are not convex, or have many corners: polygons within.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub within: Vec<Within>,
    /// By items and the turns in which their copies are alike from end to end.
    pub pieces: Vec<Parts>,
}

/// What the parts of some items are worth.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Parts {
    /// Which.
    pub items: Vec<usize>,
    /// In which turns.
    pub turns: Vec<Turn>,
    /// From the end nearer the cut end of the cloth on. All parts of a piece are equally long; a 2,000th of it at either
    /// end is in none.
    pub worth: Vec<u32>,
}

/// The length below which this proves that there is no layout.
///
/// Micrometres, rounded up. `None` if it proves nothing: it is not well formed, there is too much to look at, or nothing is
/// brought.
#[must_use]
pub fn proved(problem: &Problem, abreast: &Abreast) -> Option<Length> {
    proved_unless(problem, abreast, &|| false)
}

/// The same, or `None` once it is to stop.
pub(crate) fn proved_unless(
    problem: &Problem,
    abreast: &Abreast,
    stop: &dyn Fn() -> bool,
) -> Option<Length> {
    let wider = abreast.wider.um();
    if wider < 0 || wider > problem.spacing.um().max(0) {
        return None;
    }
    let names = abreast.pieces.iter();
    let names = names.map(|of| (of.items.as_slice(), of.turns.as_slice()));
    let figures = Figures::of(problem, names, &abreast.within)?;
    let parts = parts(&figures, abreast)?;
    let mut brought = 0_i128;
    for number in 0..figures.kinds.len() {
        let of_figure = |figure: usize| -> i128 {
            let of = parts.iter().filter(|part| part.figure == figure);
            of.map(|part| i128::from(part.to - part.from) * i128::from(part.worth))
                .sum()
        };
        let its = (0..figures.all.len()).filter(|&f| figures.all[f].kind == number);
        brought += its.map(of_figure).min()? * i128::from(figures.kinds[number].copies);
    }
    let most = Worth::new(&figures, &parts, wider, stop).most()?;
    let length = -(-brought).div_euclid(i128::from(most.max(1)));
    let length = i64::try_from(length).ok().filter(|_| brought > 0)?;
    Some(Length::from_um(length))
}

/// All parts, with their worth.
fn parts(figures: &Figures, abreast: &Abreast) -> Option<Vec<Part>> {
    let mut all = Vec::new();
    for (number, (figure, of)) in figures.all.iter().zip(&abreast.pieces).enumerate() {
        let count = of.worth.len();
        if !(1..=MOST_PARTS).contains(&count) || all.len() + count > MOST {
            return None;
        }
        let end = figure.along / ENDS;
        let at = |part: usize| end + (figure.along - 2 * end) * part as i64 / count as i64;
        all.extend(of.worth.iter().enumerate().map(|(part, &worth)| Part {
            figure: number,
            from: at(part),
            to: at(part + 1),
            worth: u64::from(worth),
        }));
    }
    Some(all)
}

#[cfg(test)]
mod tests;
