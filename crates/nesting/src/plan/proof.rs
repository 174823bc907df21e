//! Proofs that are looked for once a layout is there.

use pieces::Length;

use super::Run;
use crate::bound;
use crate::verdict::Bound;

/// How often a length between bound and layout is asked about to raise the bound, and up to how many pieces
/// that is likely to be refused: each question is some milliseconds.
const TIGHTENINGS: usize = 3;
const FEW: usize = 12;

impl Run<'_> {
    /// The bound, raised where asking about lengths between it and the layout's gives a refusal.
    pub(super) fn tightened(&self, length: i64) -> Bound {
        let mut bound = self.bound.clone();
        let mut high = length;
        for _ in 0..TIGHTENINGS {
            let low = bound.length.um();
            if self.problem.piece_count() > FEW || low >= length || self.stopped() {
                break;
            }
            let middle = low + (high - low) / 2;
            match bound::refuse(self.problem, Length::from_um(middle)) {
                Some(refusal) => bound = refusal,
                None => high = middle,
            }
        }
        bound
    }

    /// A proof that nothing fits in `on_hand`.
    pub(super) fn refusal(&self, bound: &Bound, on_hand: Length) -> Option<Bound> {
        if bound.length > on_hand {
            Some(bound.clone())
        } else {
            bound::refuse(self.problem, on_hand)
        }
    }
}
