//! Arguments by sides.

pub mod word;

use pieces::Point;
use serde::{Deserialize, Serialize};

/// A tree of all sides by which pieces may be apart, with what refuses each.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sides {
    /// For items that are no convex polygon, or one of many corners: polygons within.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Part>,
    /// What the search was given, in about nanoseconds.
    pub work: u64,
    /// The tree; empty if it is too long to be kept.
    pub tree: Vec<u64>,
}

/// Convex polygons within an item's outline, seen from the corner of its box.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Part {
    /// Which, and all that are equal to it.
    pub item: usize,
    /// Their corners, counter-clockwise.
    pub polygons: Vec<Vec<Point>>,
}
