//! Layouts that are cut apart by straight cuts from edge to edge: with a rotary cutter and a ruler, or torn.
//!
//! Each piece stands for its box. A layout is a [`Tree`]: what lies one behind the other, or side by side,
//! is cut apart by full cuts, and each part again, down to single pieces. For tearing the tree has three
//! levels, since woven cloth tears right across or along: strips across the cloth, columns in a strip,
//! pieces in a column; at last what is left at the side of a piece comes off.
//!
//! Few pieces are laid by trying all trees ([`fronts`]), which proves the shortest; many strip by strip
//! ([`strips`], and [`by_kind`] where there are few kinds), some strips at a time then laid anew by trying all trees ([`improve`]). The problem and its stages:
//! Gilmore and Gomory 1965 (from memory).

mod boxes;
mod by_kind;
mod fronts;
mod improve;
mod parted;
mod strips;
#[cfg(test)]
mod tests;
mod tree;

use pieces::{Cutting, Length};

use crate::problem::Problem;
use crate::shapes::Shapes;

pub use boxes::Boxes;
pub use by_kind::by_kind;
pub use fronts::{Fronts, Limits};
pub use improve::{Watch, shorter};
pub use parted::tree_of;
pub use tree::Tree;

/// Parts looked at in a step of about a microsecond.
pub const PARTS_A_STEP: u64 = 50;

/// What trying all trees may take to show a bound again, in parts looked at: some minutes.
const MOST_WORK: u64 = 20_000_000_000;

/// True if all trees were tried, as straight cuts are asked for, and none is of this length or less.
#[must_use]
pub fn is_refused(problem: &Problem, length: Length) -> bool {
    if problem.cutting == Cutting::Free {
        return false;
    }
    let shapes = Shapes::of(problem);
    let boxes = Boxes::at_least(problem, &shapes);
    let limits = Limits {
        work: MOST_WORK,
        along: length.um() + boxes.spacing(),
        stop: &|| false,
    };
    let all = Fronts::of(&boxes, &boxes.counts(), &limits);
    all.is_whole && all.tree.is_none()
}
