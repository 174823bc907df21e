//! From pieces and a cloth to a marker, a bound and a verdict.
//!
//! One way in: [`plan()`], or [`plan_from()`] where an earlier answer is at hand. It knows nothing of drafts, files or drawing. Whatever leaves it has passed
//! [`verify`], which shares no code with the search.
//!
//! Everything rests on one idea: whether two pieces overlap is asked of their no-fit region, the set of
//! relative places at which they would. A region is a union of open convex polygons with whole
//! corners, so every answer is exact, pieces may touch, and a place that fits to the micrometre is found where
//! it is. Regions are made once for two shapes and their relative turn (`geometry`, `pairs`) and are all that
//! the engines know of outlines. Where a print leaves only some places, or a flaw none, `places` and the
//! regions say so; no engine takes a translation for allowed by itself.
//!
//! The engines turn layouts into shorter ones, each in its own way: `constructive` lays pieces one after
//! another, in rows or in ever better orders; `repeat` finds tight patterns and lays them again and again;
//! `separate` lets pieces overlap on too short a cloth and pushes them apart; `rectangles` fills given lengths
//! where all pieces are such; `exact` tries all places of a few pieces, which finds a layout or proves that there
//! is none, and `sides` all edges by which fewer of them may be apart, to the last micrometre; `straight` lays boxes so
//! that they can be torn apart; `compact` and `polish` slide what lies to its neighbours. [`plan()`] races them within
//! a budget. Beside them, [`bound`] proves below which length no layout exists; where its argument can be checked
//! without being found again, [`certificate`] does.
//!
//! Read [`problem`] (what is asked), [`verdict`] (what is answered), then [`plan()`]; of an engine its
//! module's page first.

#[cfg(test)]
extern crate self as nesting;

pub mod bound;
pub mod certificate;
mod compact;
mod constructive;
mod exact;
mod garments;
mod geometry;
#[cfg(test)]
#[path = "../tests/jobs/mod.rs"]
mod jobs;
mod pairs;
mod places;
pub mod plan;
mod polish;
pub mod problem;
mod rectangles;
mod repeat;
mod separate;
mod shapes;
mod sides;
mod straight;
pub mod turns;
pub mod verdict;
pub mod verify;

pub use plan::{Known, PlanError, plan, plan_from};
pub use problem::{
    Anchor, Cloth, Cut, CutDirection, Item, Lattice, Marker, Placement, Problem, Turn,
};
pub use verdict::{
    Answer, Argument, Bound, Budget, Level, Progress, Ruling, Silent, Snap, Straight, Verdict,
};
