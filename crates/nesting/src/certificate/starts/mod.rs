//! Arguments by starts: a tree of all ways in which rectangles may start along the cloth, with what refuses each.
//!
//! Only the length counts here: a rectangle has a start along and a way to lie, and at no height may those that lie there be
//! wider together than the cloth. Every layout gives such starts, so where there are none there is no layout. Flaws, prints and
//! that a garment is turned as one only take room away, and are left out.
//!
//! *Fewer.* Items may be left out: a layout of all holds one of the others.
//!
//! *Wider.* A way may be taken for wider than it is if no set of sections, one of each copy that is not left out at most, that fits the cloth
//! is too wide then: what lies at one height in a layout still fits (`job`, by `fill`).
//!
//! *Rules.* Some starts are the same as others but for names or order. A height that no rectangle passes parts the rest
//! from what is below. Kinds are numbered; let "the last" be the last kind, where it is of one copy. Of all starts that
//! do, and are closed up so that no height is empty, take those with most parts; of these, those in which the last begins nearest to
//! the beginning of its part; of these, those in which the distances of all rectangles from the beginnings of their parts have the
//! least sum. As parts may change places, let the first hold the greatest number of all, the second the greatest of what is left, and so on.
//! Then
//!
//! - a part that did not start any of the greatest number left at its beginning has not ended: it is *owed*;
//! - the last starts no further from the cut end than half of the length less its own: or else, its part turned end for end, it
//!   would be nearer to the part's beginning, and so many parts there would still be;
//! - what does not start with its part is wider than what is free just before it: or else it could start a little earlier.
//!   That makes no fewer parts, takes the last no further, and makes the sum less. As less is free just before only
//!   where something ends, everything starts at the beginning of a part or where something ends.
//!
//! So lengths are sums of lengths, and whole units of what measures them all.
//!
//! *The tree.* At a height what lies, what is left and what was free just before say all that matters of how that came
//! about, beside whether something is owed. All sets that may start there by the rules are gone through here, whatever the tree
//! says (`walk`); it says why each is refused:
//!
//! - *A state refused before.* The same; or one where nothing lies, with the same left, at that height or a lower one, from which
//!   there was more room.
//! - *Late.* Something left can't end in time, the last would start too far from the cut end, or those that must pass a height
//!   are too wide there together (`state`).
//! - *A charge.* Each way is charged a whole number for a unit of its length. No set of sections that fits, of what lies
//!   and what is left, pays more than the whole does for a unit of the cloth. If the rest pays more than the length that is left,
//!   it does not fit (`charge`). These are dual values of the slice relaxation (Gilmore and Gomory 1961 for the
//!   cutting stock, from memory); any others are as sound.
//!
//! This shares no code with the search that makes such trees.

mod charge;
mod fill;
mod job;
mod state;
mod walk;
pub(crate) mod word;

use pieces::Length;
use serde::{Deserialize, Serialize};

use crate::problem::Problem;
use job::Job;
use walk::Walk;

/// What is looked at, at most: files come from anywhere.
pub(crate) const MOST_NUMBERS: usize = 1 << 20;
const FAR: i64 = 1 << 36;

/// A tree of all starts along the cloth, with what refuses each.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Starts {
    /// Rectangles that are alike, of those that are not left out, in the order that the rules go by; none where there is no tree.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kinds: Vec<Kind>,
    /// What the search was given, in about microseconds: with as much it comes to the same end. None: as much as it ever gets.
    #[serde(default)]
    pub work: u64,
    /// The tree, in numbers; empty where it is too long to be kept.
    #[serde(
        with = "super::numbers",
        default,
        skip_serializing_if = "Vec::is_empty"
    )]
    pub tree: Vec<u64>,
}

/// Items that are taken for alike.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kind {
    /// Which; no item twice in all.
    pub items: Vec<usize>,
    /// All ways in which any of them fits the width, or more.
    pub ways: Vec<Way>,
}

/// One way to lay a rectangle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Way {
    /// Its size across.
    #[serde(rename = "across_um")]
    pub across: Length,
    /// Its size along.
    #[serde(rename = "along_um")]
    pub along: Length,
    /// How wide it is taken for.
    #[serde(rename = "taken_um")]
    pub taken: Length,
}

/// Whether the tree proves that no layout is so short, or shorter.
#[must_use]
pub fn proves(problem: &Problem, starts: &Starts, length: Length) -> bool {
    let length = length.um();
    if starts.tree.is_empty() || starts.tree.len() > MOST_NUMBERS || !(0..=FAR).contains(&length) {
        return false;
    }
    Job::of(problem, &starts.kinds, length).is_some_and(|job| Walk::new(&job, &starts.tree).holds())
}

#[cfg(test)]
mod tests;
