//! Does a piece lie on the print as it must?

use crate::problem::{Anchor, Placement};

/// How far the point of an anchored piece lies from the place that its lattice starts at, across and along.
pub(super) type Offset = [i128; 2];

/// Of a placement.
pub(super) fn anchored(placement: &Placement, anchor: &Anchor) -> Offset {
    let [x, y] = [anchor.point.x, anchor.point.y].map(i128::from);
    let x = if placement.mirrored { -x } else { x };
    // A quarter of a turn, counter-clockwise, takes (x, y) to (-y, x).
    let [x, y] = (0..placement.turn.quarters()).fold([x, y], |[x, y], _| [-y, x]);
    let from = anchor.lattice.start;
    [
        x + i128::from(placement.at.x) - i128::from(from.x),
        y + i128::from(placement.at.y) - i128::from(from.y),
    ]
}

/// Whether a point misses the lattice; along the cloth it is seen from the first piece of a set, if there is
/// one, which itself may lie anywhere along it.
pub(super) fn off_print(place: Offset, anchor: &Anchor, first: Option<Offset>) -> bool {
    let lattice = &anchor.lattice;
    let [across, along] = [lattice.across, lattice.along].map(|l| i128::from(l.um()));
    let columns = i128::from(lattice.columns.max(1));
    // How far along a place lies, less what its column is dropped.
    let level = |[x, y]: Offset| {
        if across > 0 {
            y - x.div_euclid(across).rem_euclid(columns) * along / columns
        } else {
            y
        }
    };
    let off_column = across > 0 && place[0] % across != 0;
    off_column || along > 0 && (level(place) - first.map_or(0, level)) % along != 0
}
