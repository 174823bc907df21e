//! A constructive solver: pieces one after another, each to its best free place.
//!
//! [`board`] finds the place: the lowest position that meets nothing, among the touching positions that
//! no-fit regions offer. [`rows`] fills the cloth in rows, which is what equal pieces want; [`fill`] lays
//! pieces in a given order wherever they fit; [`order`] looks for good orders. All work on coarse
//! outlines, exactly; see [`crate::polish`] for what comes after.

pub mod board;
mod covered;
mod edges;
pub mod fill;
mod on_grid;
pub mod order;
pub mod rows;

use pieces::Point;

use crate::shapes::{Shapes, Variant};

/// A piece to lay: one copy of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PieceId {
    /// Index of the item.
    pub item: usize,
    /// Which copy of it, from 0.
    pub copy: u32,
}

/// A piece in an order, and in which way it is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Next {
    /// Which piece.
    pub piece: PieceId,
    /// Index into the item's variants; `None`: in whichever finds the best place.
    pub way: Option<usize>,
}

impl Next {
    /// In whichever way finds the best place.
    #[must_use]
    pub fn best(piece: PieceId) -> Self {
        Next { piece, way: None }
    }
}

/// A piece with its place: least corner of its box at `at`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Laid {
    /// Which piece.
    pub piece: PieceId,
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

impl Layout {
    /// Of these pieces, as long as they reach.
    #[must_use]
    pub fn of(shapes: &Shapes, laid: Vec<Laid>) -> Self {
        let length = end(shapes, &laid);
        Layout { laid, length }
    }
}

/// Greatest y of these pieces; 0 if there are none.
#[must_use]
pub fn end(shapes: &Shapes, laid: &[Laid]) -> i64 {
    let ends = laid
        .iter()
        .map(|l| l.at.y + shapes.shape(l.variant.shape).along);
    ends.max().unwrap_or(0)
}

/// Indices of pieces in bands along the cloth that no piece reaches across, counting `gap` to each; in each
/// band by where they begin.
#[must_use]
pub fn bands(shapes: &Shapes, laid: &[Laid], gap: i64) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..laid.len()).collect();
    order.sort_by_key(|&k| (laid[k].at.y, k));
    let mut bands: Vec<Vec<usize>> = Vec::new();
    let mut top = i64::MIN;
    for k in order {
        let at = laid[k].at.y;
        match bands.last_mut() {
            Some(band) if at < top => band.push(k),
            _ => bands.push(vec![k]),
        }
        top = top.max(at + shapes.shape(laid[k].variant.shape).along + gap);
    }
    bands
}
