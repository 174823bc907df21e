//! Proofs that are looked for once a layout is there.

use std::time::Duration;

use pieces::Length;

use super::Run;
use crate::bound::{self, HARDER};
use crate::problem::Problem;
use crate::verdict::{Bound, Budget, Level};

/// How often a length between bound and layout is asked about to raise the bound, and up to how many pieces
/// that is likely to be refused where no time is given: each question is some milliseconds.
const TIGHTENINGS: u32 = 3;
const FEW: usize = 12;

/// Where time is given, the same, more often and for more pieces: within this share of the time, and no longer
/// than this in all.
const TIMED_TIGHTENINGS: u32 = 5;
const TIMED_FEW: usize = 16;
const SHARE: u32 = 3;
const LONGEST: Duration = Duration::from_secs(5);

/// So much harder it is asked whether one selling step less would be enough.
const AT_THE_SHOP: u64 = 3;

/// What may be spent on raising the bound.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Proving {
    questions: u32,
    /// As [`bound::refuse_with`] has it.
    harder: u64,
    /// What is kept of the time for it.
    pub time: Duration,
}

impl Proving {
    pub fn of(problem: &Problem, budget: &Budget) -> Self {
        let pieces = problem.piece_count();
        let few = if budget.time.is_some() {
            TIMED_FEW
        } else {
            FEW
        };
        if pieces > few {
            return Proving::default();
        }
        let Some(time) = budget.time else {
            let harder = match budget.level {
                Level::Quick | Level::Normal => HARDER,
                Level::Long => 10 * HARDER,
            };
            return Proving {
                questions: TIGHTENINGS,
                harder,
                time: Duration::ZERO,
            };
        };
        let time = (time / SHARE).min(LONGEST);
        let each = (time / (TIMED_TIGHTENINGS + AT_THE_SHOP as u32)).as_nanos();
        Proving {
            questions: TIMED_TIGHTENINGS,
            harder: u64::try_from(each).unwrap_or(u64::MAX) / bound::PLACES_WORK,
            time,
        }
    }
}

impl Run<'_> {
    /// The bound, raised where asking about lengths between it and the layout's gives a refusal.
    pub(super) fn tightened(&self, length: i64) -> Bound {
        let mut bound = self.bound.clone();
        let mut high = length;
        let Proving {
            questions, harder, ..
        } = self.proving;
        // First whether less would do at the shop, since that is what a person acts on.
        let less = self.problem.cloth.sold;
        let less = less.map(|sold| sold.usable_of_less(Length::from_um(length)));
        if let Some(less) = less.filter(|&less| less >= bound.length && harder > 0) {
            match bound::refuse_with(self.problem, less, harder * AT_THE_SHOP) {
                Some(refusal) => bound = refusal,
                None => high = less.um(),
            }
        }
        for _ in 0..questions {
            let low = bound.length.um();
            if low >= length || harder == 0 || self.is_cancelled() {
                break;
            }
            let middle = low + (high - low) / 2;
            match bound::refuse_with(self.problem, Length::from_um(middle), harder) {
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
            bound::refuse_with(self.problem, on_hand, self.proving.harder.max(HARDER))
        }
    }
}
