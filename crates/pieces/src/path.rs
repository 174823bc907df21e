//! [`Path`]: the true edge of a piece, lines and circular arcs, for drawing.
//!
//! What decides is the [`crate::Outline`], a polygon that contains the piece. The path is what a
//! person chalks. [`Path::outline`] makes the one from the other: never cut short, and nowhere
//! further out than [`CURVE_TOLERANCE`].

use crate::length::Length;
use crate::outline::{Outline, OutlineError, Point};

/// How far the cut polygon may lie outside the true curve: 0.2 mm, about the width of a sharp chalk
/// line. Smaller makes more corners (they grow with its inverse square root) and slower layouts,
/// larger gives cloth away.
pub const CURVE_TOLERANCE: Length = Length::from_um(200);

/// One stretch of a path, from where the last one ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Straight to the point.
    Line {
        /// End of the line.
        to: Point,
    },
    /// Along a circle to the point.
    Arc {
        /// End of the arc, on the circle to the micrometre.
        to: Point,
        /// Centre of the circle.
        centre: Point,
        /// Counter-clockwise (left-turning) or clockwise.
        counter_clockwise: bool,
    },
}

impl Segment {
    /// Where the stretch ends.
    #[must_use]
    pub fn to(&self) -> Point {
        match *self {
            Segment::Line { to } | Segment::Arc { to, .. } => to,
        }
    }
}

/// A chain of lines and arcs in the piece's own frame. Closed when it ends where it starts.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// Where the chain begins.
    pub start: Point,
    /// The stretches in order.
    pub segments: Vec<Segment>,
}
