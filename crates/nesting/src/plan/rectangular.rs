//! Orders of rectangles: [`crate::rectangles`] within a budget.

use std::time::Instant;

use pieces::{Cutting, Length};

use super::{Found, Run};
use crate::rectangles::{Settled, Strip, Watch, is_worth_settling, refusal_of, settled, shorter};
use crate::straight::{Boxes, by_kind};
use crate::verdict::{Argument, Bound};

/// The share of the time there is until the deadline; the search over orders has the rest.
const SHARE: f64 = 0.8;

/// Of the steps, for a proof that a length on hand is too short.
const REFUSING: u64 = 8;

/// Such a share of it goes into a first layout, and of the time into all places, where all of them may be tried.
const FIRST: f64 = 1.0 / 16.0;
const SETTLING: f64 = 0.6;

impl Run<'_> {
    /// Looks for the shortest layout of rectangles, and for a proof that it is. False if this job is nothing for it.
    pub(super) fn lay_rectangles(&mut self, found: &mut Found<'_>, steps: u64) -> bool {
        let Some(strip) = Strip::of(self.problem, self.shapes) else {
            return false;
        };
        self.in_strips(found);
        let goal = self.bound.length.um();
        if is_worth_settling(&strip) {
            let first = (steps as f64 * FIRST) as u64;
            self.fill(&strip, found, first, goal, FIRST * SHARE);
            self.settle(&strip, found, self.settling);
        }
        self.fill(&strip, found, steps, self.bound.length.um(), SHARE);
        true
    }

    /// Many of few kinds lie in strips of columns: a person's way, and hard to beat where hundreds are alike.
    fn in_strips(&self, found: &mut Found<'_>) {
        let (problem, shapes) = (self.problem, self.shapes);
        let mut items = problem.items.iter();
        if !problem.cloth.flaws.is_empty() || items.any(|item| item.anchor.is_some()) {
            return;
        }
        let boxes = Boxes::of(problem, shapes).cut_by(Cutting::Tear);
        let laid = by_kind(&boxes).and_then(|tree| tree.laid(&boxes, shapes));
        if let Some((layout, _)) = laid {
            self.offer(found, layout, "strips");
        }
    }

    /// Looks for a layout of `goal` or less by filling ever shorter lengths. False if this job is nothing for
    /// it.
    pub(super) fn fill_lengths(&self, found: &mut Found<'_>, steps: u64, goal: i64) -> bool {
        let strip = Strip::of(self.problem, self.shapes);
        if let Some(strip) = &strip {
            self.fill(strip, found, steps, goal, SHARE);
        }
        strip.is_some()
    }

    /// The same, with this share of the time that is left if that counts.
    fn fill(&self, strip: &Strip<'_>, found: &mut Found<'_>, steps: u64, goal: i64, share: f64) {
        if found.best.layout.length <= goal || self.stopped() {
            return;
        }
        found.progress.phase("filling lengths with rectangles");
        let until = self.left().map(|left| Instant::now() + left.mul_f64(share));
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
        let (layout, spent) = shorter(strip, found.best.layout.length, &mut watch);
        found.spent += spent;
        if let Some(layout) = layout {
            self.offer(found, layout, "rectangles");
        }
    }

    /// Tries all places of some dozens of rectangles: for a shorter layout, and for a greater bound.
    fn settle(&mut self, strip: &Strip<'_>, found: &mut Found<'_>, steps: u64) {
        if found.best.layout.length <= self.bound.length.um() || self.stopped() {
            return;
        }
        found.progress.phase("trying all places of rectangles");
        let time = self.left().map(|left| left.mul_f64(SHARE * SETTLING));
        let until = time.map(|time| Instant::now() + time);
        let in_time = time.map(|time| time.as_micros() as u64 * self.streams as u64);
        let is_over = || until.is_some_and(|until| Instant::now() >= until);
        let (bound, progress) = (self.bound.length, &mut *found.progress);
        let mut watch = Watch {
            steps: in_time.unwrap_or(steps),
            threads: self.streams,
            seed: self.stream_seed(0),
            goal: bound.um(),
            stop: &|| is_over() || self.stopped(),
            tell: &mut |length| {
                progress.report(Some(Length::from_um(length)), bound, "rectangles");
            },
        };
        let Settled {
            layout,
            refusal,
            spent,
        } = settled(strip, found.best.layout.length, &mut watch);
        found.spent += spent;
        if let Some(refusal) = refusal {
            let bound = refusal.bound(strip);
            if bound.length > self.bound.length {
                (self.bound, self.refused) = (bound, Some(refusal));
            }
        }
        if let Some(layout) = layout {
            self.offer(found, layout, "rectangles");
        }
    }

    /// A proof that rectangles have no places along on this length.
    pub(super) fn refusal_of_rectangles(&self, on_hand: Length) -> Option<Bound> {
        let strip =
            Strip::of(self.problem, self.shapes).filter(|strip| is_worth_settling(strip))?;
        let stop = || self.is_cancelled();
        let refusal = refusal_of(&strip, on_hand, self.pushing / REFUSING, &stop)?;
        Some(refusal.noted(self.problem, &strip, &stop))
    }

    /// Writes down what refuses all starts of rectangles, where the bound says so.
    pub(super) fn note_starts(&mut self) {
        let (Argument::EveryStart(_), Some(refusal)) = (&self.bound.argument, self.refused) else {
            return;
        };
        if let Some(strip) = Strip::of(self.problem, self.shapes) {
            self.bound = refusal.noted(self.problem, &strip, &|| self.is_cancelled());
        }
    }
}
