//! Orders of rectangles: [`crate::rectangles`] within a budget.

use std::time::Instant;

use pieces::Length;

use super::{Found, Run};
use crate::rectangles::{Strip, Watch, shorter};

/// The share of the time there is until the deadline; the search over orders has the rest.
const SHARE: f64 = 0.8;

impl Run<'_> {
    /// Looks for a layout of `goal` or less by filling ever shorter lengths. False if this job is nothing for
    /// it.
    pub(super) fn fill_lengths(&self, found: &mut Found<'_>, steps: u64, goal: i64) -> bool {
        let Some(strip) = Strip::of(self.problem, self.shapes) else {
            return false;
        };
        if found.best.layout.length <= goal || self.stopped() {
            return true;
        }
        found.progress.phase("filling lengths with rectangles");
        let until = self.left().map(|left| Instant::now() + left.mul_f64(SHARE));
        let is_over = || until.is_some_and(|until| Instant::now() >= until);
        let (spent, bound, progress) = (found.spent, self.bound.length, &mut *found.progress);
        let mut watch = Watch {
            steps: if until.is_some() { u64::MAX } else { steps },
            threads: self.streams,
            // Another search each time it is asked.
            seed: self.stream_seed(0) ^ spent,
            goal,
            stop: &|| is_over() || self.stopped(),
            tell: &mut |length| {
                progress.report(Some(Length::from_um(length)), bound, "rectangles");
            },
        };
        let (layout, spent) = shorter(&strip, found.best.layout.length, &mut watch);
        found.spent += spent;
        if let Some(layout) = layout {
            self.offer(found, layout, "rectangles");
        }
        true
    }
}
