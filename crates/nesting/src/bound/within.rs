//! Convex polygons within outlines, for arguments that say where pieces meet.
//!
//! Source: own derivation, since what is true of a part of a piece refuses the whole as well; parts and fewer corners
//! come from `geometry`.

use pieces::Point;

use crate::certificate::sides::Within;
use crate::geometry::{FEW_CORNERS, Growth, convex_parts, simplified_within};
use crate::problem::Problem;

/// Of those of these items that are not convex, or have many corners: in few parts, which refuse most over long
/// distances, or in as many ways as are given.
pub(super) fn within(
    problem: &Problem,
    items: impl Iterator<Item = usize>,
    ways: &[Growth],
) -> Vec<Within> {
    let of = |item: usize| {
        let outline = &problem.items[item].outline;
        let is_simple = outline.is_convex() && outline.points().len() <= FEW_CORNERS;
        let corner = outline.bounds().min;
        let seen = |p: &Point| p.minus(corner);
        let parts = ways
            .iter()
            .flat_map(|&may| convex_parts(&simplified_within(outline, may)));
        (!is_simple).then(|| Within {
            item,
            polygons: parts
                .map(|part| part.points.iter().map(seen).collect())
                .collect(),
        })
    };
    items.filter_map(of).collect()
}
