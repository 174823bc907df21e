//! From measurements to pieces.
//!
//! This crate knows people, units, fabrics and the rules of drafting; it knows nothing of layouts,
//! files or drawing. What leaves it are [`Piece`]s: polygons in whole micrometres that contain the
//! true shape, with everything that has to be chalked.
//!
//! Read [`length`] first (what is exact and which way is rounded), then [`piece`], then one of the
//! drafts in [`draft`].

pub mod draft;
pub mod fabric;
pub mod length;
pub mod measurement;
pub mod offset;
pub mod outline;
pub mod path;
pub mod piece;
pub mod settings;
pub mod size_table;
pub mod tilt;
pub mod units;
pub mod wearer;

pub use fabric::{Cutting, Direction, Drape, Fabric, Price, Sold};
pub use length::{Length, Rounding};
pub use outline::{Bounds, Outline, OutlineError, Point, doubled_area, orientation};
pub use path::{Path, Segment};
pub use piece::{Allowance, Grain, GuideLine, Notch, NotchKind, Piece};
pub use settings::{InputError, Settings};
pub use size_table::Size;
pub use units::{Ratio, Units};
pub use wearer::Wearer;
