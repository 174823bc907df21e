//! Arguments by places: a tree of all places along the cloth, with what refuses each.
//!
//! A piece, in one of the figures that its kind may take, begins in one of a few intervals along the cloth: a choice. The tree
//! says of one choice after another that a piece takes it, with all that follows from this, or that no piece does.
//! Pieces that have an interval are numbered in that order. A node is one of these:
//!
//! - *A choice is taken* by a copy of its kind, or else by none of those that are left: two children (`walk`).
//! - *An interval is halved*, or *a piece takes each of its shapes*: a child each.
//! - *No room*, a leaf: some of the pieces, wherever in their intervals they lie, leave no order across.
//! - *Nothing goes*, a leaf: a copy is left of a kind that has no choice left which goes with what is taken. One does not go if on
//!   one of some lines across the cloth the least sections of all are wider than the cloth, if the two
//!   are too near to lie beside each other, or if a garment would be turned two ways.
//! - *Too little*, a leaf: all that is left must begin above a height, and with what is taken has more area than there is.
//! - *Down*, a leaf: nothing is taken yet, and no piece begins at the cut end, where one may.
//!
//! What is the same but for turning the whole cloth end for end may be left out: of an only piece of its kind, figures that
//! come after the turned one, and of one that stays the same the upper half.
//!
//! With a spacing, sections and cloth are taken `wider` by that much, as in [`super`]; where pieces meet they are taken as they
//! are. Flaws and prints are left out: they only take room away. This shares no code with the search that makes
//! such trees.

mod choices;
mod walk;

use pieces::Length;
use serde::{Deserialize, Serialize};

use super::figures::Figures;
use super::sides::Within;
use crate::problem::{Problem, Turn};
use choices::Choices;
use walk::Walk;

/// What a node begins with.
pub(crate) const ROOM: u64 = 0;
pub(crate) const NOTHING: u64 = 1;
pub(crate) const LITTLE: u64 = 2;
pub(crate) const DOWN: u64 = 3;
pub(crate) const TAKE: u64 = 4;
pub(crate) const HALVE: u64 = 5;
pub(crate) const SHAPE: u64 = 6;

/// What is looked at, at most: files come from anywhere.
const MOST_NUMBERS: usize = 3_000_000;
const FAR: i64 = 1 << 28;

/// A tree of all places along the cloth, with what refuses each.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Places {
    /// How much wider sections are taken, and the cloth.
    #[serde(rename = "wider_um")]
    pub wider: Length,
    /// For items that are not convex, or have many corners: polygons within.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub within: Vec<Within>,
    /// Figures, those of a kind one after the other.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub figures: Vec<Figure>,
    /// Lines across the cloth on which sections are added up: in the middles of so many equal parts of it.
    pub lines: u32,
    /// The kind that tells a layout from the same turned end for end, numbered as figures name them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turned: Option<usize>,
    /// The tree in numbers, each node before what is below it; empty where it is too long to be kept, and the search is done
    /// again instead.
    #[serde(with = "super::numbers", skip_serializing_if = "Vec::is_empty")]
    pub tree: Vec<u64>,
}

/// Pieces that are taken for one another, in turns in which they have the same sections.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Figure {
    /// Which.
    pub items: Vec<usize>,
    /// In which turns.
    pub turns: Vec<Turn>,
    /// Equal intervals along, in which one may begin.
    pub intervals: u32,
}

/// Whether the tree proves that no layout is so short, or shorter.
#[must_use]
pub fn proves(problem: &Problem, places: &Places, length: Length) -> bool {
    let (length, wider) = (length.um(), places.wider.um());
    let is_near = (1..=FAR).contains(&length) && (0..=problem.spacing.um()).contains(&wider);
    if places.tree.is_empty() || places.tree.len() > MOST_NUMBERS || !is_near {
        return false;
    }
    let names = places.figures.iter();
    let names = names.map(|figure| (figure.items.as_slice(), figure.turns.as_slice()));
    let Some(figures) = Figures::of(problem, names, &places.within) else {
        return false;
    };
    let counts: Vec<u32> = places.figures.iter().map(|f| f.intervals).collect();
    let choices = Choices::of(&figures, &counts, places.lines, wider, length);
    choices.is_some_and(|choices| {
        Walk::new(&figures, &choices, &places.tree, places.turned).is_some_and(Walk::holds)
    })
}

#[cfg(test)]
mod tests;
