//! A constructive solver: pieces one after another, each to its best free place.
//!
//! [`board`] finds the place: the lowest position that meets nothing, among the touching positions that
//! no-fit regions offer. [`rows`] fills the cloth in rows, which is what equal pieces want; [`fill`] lays
//! pieces in a given order wherever they fit; [`order`] looks for good orders. All work on coarse
//! outlines, exactly; see [`crate::polish`] for what comes after.

pub mod board;
pub mod fill;
pub mod order;
pub mod rows;

use pieces::Point;

use crate::shapes::Variant;

/// A piece to lay: one copy of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Copy {
    /// Index of the item.
    pub item: usize,
    /// Which copy of it, from 0.
    pub copy: u32,
}

/// A piece in an order, and in which way it is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Next {
    /// Which piece.
    pub piece: Copy,
    /// Index into the item's variants; `None`: in whichever finds the best place.
    pub way: Option<usize>,
}

impl Next {
    /// In whichever way finds the best place.
    #[must_use]
    pub fn best(piece: Copy) -> Self {
        Next { piece, way: None }
    }
}

/// A piece with its place: least corner of its box at `at`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Laid {
    /// Which piece.
    pub piece: Copy,
    /// How it is laid.
    pub variant: Variant,
    /// Least corner of its box.
    pub at: Point,
}

/// A layout in the making, or done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// The pieces, in the order they were laid.
    pub laid: Vec<Laid>,
    /// Greatest y.
    pub length: i64,
}
