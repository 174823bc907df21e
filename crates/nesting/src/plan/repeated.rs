//! Orders of equal pieces: [`crate::repeat`] within a budget.

use super::{Found, Run};
use crate::repeat::{self, Kinds, Watch};

/// The share of the time of its turn that the search for patterns is to take.
const SHARE: f64 = 0.75;

/// Steps in a second, about.
const STEPS_A_SECOND: f64 = 1e6;

/// Layouts of patterns that are worth pushing together.
const SHORTLIST: usize = 3;

impl Run<'_> {
    /// Lays patterns again and again, where pieces are alike.
    pub(super) fn repeat(&self, found: &mut Found<'_>, steps: u64, goal: i64) {
        if found.best.layout.length <= goal || steps == 0 || self.stopped() {
            return;
        }
        let Some(kinds) = Kinds::of(self.problem, self.shapes) else {
            return;
        };
        let Some(fields) = self.fields() else {
            return;
        };
        let steps = match self.left() {
            Some(left) => {
                (SHARE * STEPS_A_SECOND * self.streams as f64 * left.as_secs_f64()) as u64
            }
            None => steps,
        };
        let watch = Watch {
            steps,
            threads: self.streams,
            seed: self.stream_seed(0),
            stop: &|| self.stopped(),
        };
        let (layouts, spent) = repeat::layouts(&kinds, fields, &watch);
        found.spent += spent;
        for layout in layouts.into_iter().take(SHORTLIST) {
            let layout = self.compacted(layout);
            self.offer(found, layout, "repeat");
        }
    }
}
