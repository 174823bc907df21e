//! Arguments by sides: a tree of all ways in which pieces may keep clear of each other, with what refuses each.
//!
//! Where pieces lie is a number of variables, x and y of each: the corner of its box, from nothing up to what width and
//! length leave free. A node of the tree is one of three:
//!
//! - *A piece takes a stance*: a child for each shape that it may have (`laid`).
//! - *Two convex polygons, each within one of two pieces, are apart*: a child for each side of their no-fit polygon, beyond
//!   which the second piece lies from the first, and beyond none of the sides before it. Each of these is a row: a sum of
//!   variables, times whole factors, that is at least so much (`apart`).
//! - *A leaf*: some rows on the way to it, each times a whole number, add up to more than variables within their
//!   bounds can give. So nothing lies like that (the easy half of Farkas' lemma).
//!
//! As children are all there can be, and all leaves are refused, nothing fits. What is the same but for names is left
//! out, by rules that both sides know (the tree does not say them):
//!
//! - Equal pieces may change places. They take stances in order, and of two in one stance the first begins no higher.
//! - If every stance turned end for end is one too, so is a layout. Of the first kind of pieces for which this says
//!   something, an only piece takes no stance that comes after the turned one, and one that stays the same
//!   begins no further from the cut end than it ends from the other; of several pieces with one stance the first
//!   and the last do; and of several with two, half take the first.
//! - If every stance looks the same turned over, the middle of the first piece lies no further to the right than the
//!   middle of the cloth.
//!
//! Spacing is taken by a square in the disc that stays free around a point; flaws and prints are left out: they only
//! take room away. This shares no code with the search that makes such trees.

pub(in crate::certificate) mod apart;
pub(in crate::certificate) mod laid;
mod walk;
pub(crate) mod word;

use pieces::{Length, Point};
use serde::{Deserialize, Serialize};

use crate::problem::Problem;
use laid::Laid;
use walk::Walk;

/// What is looked at, at most: files come from anywhere.
const MOST_NUMBERS: usize = 3_000_000;
const FAR: i64 = 1 << 28;

/// A tree of all sides by which pieces may be apart, with what refuses each.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sides {
    /// For pieces that are not convex, or have many corners: polygons within.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Within>,
    /// What the search was given, in about nanoseconds: with as much it comes to the same end.
    pub work: u64,
    /// The tree, in numbers; empty where it is too long to be kept.
    #[serde(with = "word", default, skip_serializing_if = "Vec::is_empty")]
    pub tree: Vec<u64>,
}

/// Convex polygons within an item's outline.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Within {
    /// Which; it stands for all that are equal to it.
    pub item: usize,
    /// Their corners, counter-clockwise, seen from the corner of the outline's box.
    #[serde(rename = "polygons_um")]
    pub polygons: Vec<Vec<Point>>,
}

/// Whether the tree proves that no layout is so short, or shorter.
#[must_use]
pub fn proves(problem: &Problem, sides: &Sides, length: Length) -> bool {
    let length = length.um();
    if sides.tree.is_empty() || sides.tree.len() > MOST_NUMBERS || !(0..=FAR).contains(&length) {
        return false;
    }
    Laid::of(problem, &sides.parts)
        .is_some_and(|laid| Walk::new(&laid, length, &sides.tree).holds())
}

#[cfg(test)]
mod tests;
