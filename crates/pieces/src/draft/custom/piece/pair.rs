//! Left and right: of a pair every second copy is cut mirrored.
//!
//! The mirrored copy is a piece of its own and not the same one turned over, so that it also lies on
//! cloth that has a right side or points one way. Several copies of a piece that is not the same
//! mirrored are asked about: two left fronts make no waistcoat.

use super::PieceRule;
use crate::draft::{Brief, Drafted};
use crate::fabric::Direction;
use crate::outline::{Outline, Point};
use crate::piece::Piece;

/// Corners that lie no further apart (um) are one: sums in formulas are rounded.
const SAME: i64 = 2;

impl PieceRule {
    /// Adds the piece, or the pair of it.
    pub(in crate::draft::custom) fn add(
        &self,
        piece: Piece,
        brief: &Brief<'_>,
        drafted: &mut Drafted,
    ) {
        if self.pair {
            let copies = self.copies / 2;
            let mirrored = Piece {
                copies,
                ..piece.mirrored()
            };
            drafted.pieces.extend([Piece { copies, ..piece }, mirrored]);
            return;
        }
        let fabric = brief.fabrics.get(&piece.fabric).unwrap_or(brief.fabric);
        let may_turn = matches!(fabric.direction, Direction::None | Direction::TwoWay);
        if self.copies > 1 && !is_same_mirrored(&piece.cut, may_turn) {
            drafted.notes.push(format!(
                "The {} copies of \"{}\" are all cut alike. If they are for the left and the right, write \
                 pair = true: every second one is then mirrored.",
                self.copies, self.name
            ));
        }
        drafted.pieces.push(piece);
    }
}

/// Whether the mirrored outline is the same one again, or where it may be turned, that turned end for
/// end.
fn is_same_mirrored(outline: &Outline, may_turn: bool) -> bool {
    let mirrored = outline.mirrored();
    is_same(outline, &mirrored) || (may_turn && is_same(outline, &mirrored.turned(2)))
}

/// Whether one is the other moved.
fn is_same(one: &Outline, other: &Outline) -> bool {
    let local = |outline: &Outline| -> Vec<Point> {
        let corner = outline.bounds().min;
        outline.points().iter().map(|p| p.minus(corner)).collect()
    };
    let (one, other) = (local(one), local(other));
    let near = |(a, b): (&Point, &Point)| (a.x - b.x).abs() <= SAME && (a.y - b.y).abs() <= SAME;
    one.len() == other.len()
        && (0..other.len()).any(|first| one.iter().zip(other.iter().cycle().skip(first)).all(near))
}
