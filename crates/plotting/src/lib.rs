//! Markers and comparisons, drawn to scale.

pub mod sheet;

pub use sheet::{Placed, Sheet};
