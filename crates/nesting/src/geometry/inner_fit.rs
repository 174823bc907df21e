//! Inner-fit regions: where a piece may lie on the strip, whatever else lies there.
//!
//! The least corner of its box may go anywhere from the left border to as far from the right one as the piece
//! is wide, and from the cut end on, but not into the open region of a flaw. Exact, borders included.

use std::ops::RangeInclusive;
use std::rc::Rc;

use pieces::{Length, Outline, Point};

use super::{ConvexPart, NoFit, convex_parts};

/// The usable width and the flaws of a cloth.
pub struct Strip {
    left: i64,
    right: i64,
    flaws: Vec<ConvexPart>,
}

/// Allowed places of one piece on a strip.
#[derive(Clone, Debug)]
pub struct InnerFit {
    /// Least and greatest x; empty if the piece is too wide.
    pub across: RangeInclusive<i64>,
    /// The open region that flaws forbid, in the strip's frame.
    pub flaws: Rc<NoFit>,
}

impl Strip {
    /// Between two borders.
    #[must_use]
    pub fn new(left: Length, right: Length, flaws: &[Outline]) -> Self {
        Strip {
            left: left.um(),
            right: right.um(),
            flaws: flaws.iter().flat_map(convex_parts).collect(),
        }
    }

    /// Where a piece may not go because of flaws.
    #[must_use]
    pub fn flaws(&self, moving: &[ConvexPart]) -> NoFit {
        NoFit::of(&self.flaws, moving, None).with_fewer_parts()
    }

    /// Where a piece may lie whose box starts at (0, 0), by its convex parts and its size across.
    #[must_use]
    pub fn inner_fit(&self, moving: &[ConvexPart], across: i64) -> InnerFit {
        InnerFit {
            across: self.left..=self.right - across,
            flaws: Rc::new(self.flaws(moving)),
        }
    }
}

impl InnerFit {
    /// True if the piece lies within the borders and covers no part of a flaw.
    #[must_use]
    pub fn allows(&self, at: Point) -> bool {
        self.across.contains(&at.x) && at.y >= 0 && !self.flaws.forbids(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::tests::outlines;
    use crate::verify;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(600))]

        /// Two flaws, one of which is often touched.
        #[test]
        fn what_is_allowed_is_what_the_verifier_passes(
            piece in outlines(), first in outlines(), second in outlines(), width in 8_i64..24,
        ) {
            let piece = piece.moved(piece.bounds().min.turned(2));
            let flaws = [first.moved(Point::new(4, 9)), second.moved(Point::new(14, 16))];
            let (left, right) = (Length::from_um(-2), Length::from_um(width - 2));
            let strip = Strip::new(left, right, &flaws);
            let fit = strip.inner_fit(&convex_parts(&piece), piece.bounds().across().um());
            for x in -4..width {
                for y in -1..20 {
                    let at = Point::new(x, y);
                    let lying = piece.moved(at);
                    let far = Length::from_um(100);
                    let verdict = verify::outlines(&[&lying], left, right, far, &flaws, Length::ZERO);
                    prop_assert_eq!(fit.allows(at), verdict.is_ok(), "{:?}", at);
                }
            }
        }
    }
}
