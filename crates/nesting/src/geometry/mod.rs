//! Exact geometry for the search: convex parts, no-fit regions, outward simplification.
//!
//! One idea carries it. Two pieces' interiors meet exactly when the interiors of some convex part of one
//! and some convex part of the other meet: where they meet, they meet in an area, and the cuts between
//! parts have none. So no place is free merely because it lies on a seam between two parts. The forbidden
//! positions of a piece are a union of *open* convex polygons ([`NoFit`]), each the Minkowski sum of one
//! part with the reflection of another. The union's border is never computed, nothing is rounded, and
//! holes, slits and single touching points stay available, since a position is allowed as soon as it is in
//! none of the open polygons. Of several lists with the same union a short one is kept (`fewer`).

mod convex;
mod fewer;
mod inner_fit;
mod no_fit;
mod simplify;
#[cfg(test)]
pub(crate) mod tests;
#[cfg(test)]
mod touching;

pub use convex::{ConvexPart, convex_parts};
pub use fewer::micros as micros_of_fewer;
pub use inner_fit::{InnerFit, Strip};
pub use no_fit::{NoFit, NoFitPart, clearance};
pub use simplify::{
    COARSE, FEW_CORNERS, FINE, Growth, WHOLE, WITHIN, simplified, simplified_within,
};
