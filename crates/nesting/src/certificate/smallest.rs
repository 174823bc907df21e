//! How narrow and how short a piece is at the least: the figures that arguments add up.

use pieces::Length;

use super::larger::Larger;
use super::ways::{least_height, span, ways};
use crate::problem::Problem;

/// Of a piece, over all the ways in which it fits the width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Smallest {
    /// Its narrowest section across the cloth.
    pub across: Length,
    /// Its least length along it.
    pub along: Length,
}

/// The figures of an item, not taken larger for a spacing; `None` if there is no such item.
#[must_use]
pub fn smallest(problem: &Problem, item: usize) -> Option<Smallest> {
    let item = problem.items.get(item)?;
    let ways = ways(item, problem.cloth.usable_width(), Larger::NOT);
    Some(Smallest {
        across: Length::from_um(span(&ways).0),
        along: Length::from_um(least_height(&ways)),
    })
}
