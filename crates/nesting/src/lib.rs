//! From pieces and a cloth to a marker, a bound and a verdict.
//!
//! One way in: [`plan()`]. It knows nothing of drafts, files or drawing. Whatever leaves it has passed
//! [`verify`], which shares no code with the search.
//!
//! Read [`problem`] (what is asked), [`verdict`] (what is answered), then [`plan()`].

pub mod bound;
mod compact;
mod constructive;
mod garments;
mod geometry;
mod pairs;
mod places;
pub mod plan;
mod polish;
pub mod problem;
mod repeat;
mod separate;
mod shapes;
pub mod turns;
pub mod verdict;
pub mod verify;

pub use plan::{PlanError, plan};
pub use problem::{Anchor, Cloth, Item, Lattice, Marker, Placement, Problem, Turn};
pub use verdict::{
    Answer, Argument, Bound, Budget, Level, Progress, Ruling, Silent, Snap, Verdict,
};
