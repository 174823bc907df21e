//! Each item on its own, one behind the other.
//!
//! The copies of one item often fit into each other in a way that a search over all pieces together is
//! slow to find: four quarter discs, two by two. So each item is planned alone, the layouts are set one
//! behind the other, and all is pushed together. No joint layout that is worse is ever the answer.

use std::sync::OnceLock;

use pieces::Point;

use super::steps::usual_steps;
use super::{Found, Run};
use crate::bound;
use crate::constructive::{Laid, Layout};
use crate::places::Every;
use crate::verdict::Silent;

/// With more items than this the search over all pieces has more to gain, and each takes its time.
const MOST_ITEMS: usize = 24;

impl Run<'_> {
    /// Plans each item alone, and offers what comes of it.
    pub(super) fn by_items(&self, found: &mut Found<'_>, goal: i64) {
        if found.best.layout.length > goal
            && let Some((apart, spent)) = self.apart()
        {
            found.spent += spent;
            self.offer(found, apart, "apart");
        }
    }

    /// The items one behind the other, and the steps spent; `None` where pieces depend on each other or
    /// on places of the cloth, or where no item has copies to fit together.
    fn apart(&self) -> Option<(Layout, u64)> {
        let items = &self.problem.items;
        let laid = || items.iter().enumerate().filter(|(_, item)| item.copies > 0);
        let count = laid().count();
        if !(2..=MOST_ITEMS).contains(&count)
            || !self.problem.cloth.flaws.is_empty()
            || laid().any(|(_, item)| item.garment.is_some())
            || laid().any(|(_, item)| item.anchor.is_some_and(|anchor| anchor.set.is_some()))
            || laid().all(|(_, item)| item.copies == 1)
        {
            return None;
        }
        let (mut layout, mut steps, mut base) = (Layout::default(), 0, 0);
        for (number, item) in laid() {
            if self.stopped() {
                return None;
            }
            // It is planned from the cut end, and lies on the print as it does there.
            let print = item.anchor.map_or(0, |anchor| anchor.lattice.along.um());
            base = Every::multiple_of(print.max(1)).at_least(base);
            let mut alone = self.problem.clone();
            for (other, item) in alone.items.iter_mut().enumerate() {
                if other != number {
                    item.copies = 0;
                }
            }
            let share = self.steps / count as u64;
            let run = Run {
                problem: &alone,
                bound: bound::best(&alone),
                steps: share.min(usual_steps(item.copies as usize, self.shapes)),
                cancel: self.cancel.clone(),
                fields: OnceLock::new(),
                ..*self
            };
            let (best, spent) = run.in_rows();
            let mut found = Found {
                rows: best.layout.clone(),
                best,
                spent,
                progress: &mut Silent,
            };
            run.improve(&mut found, run.steps, run.bound.length.um());
            steps += found.spent;
            let best = found.best;
            let behind = |l: &Laid| Laid {
                at: l.at.plus(Point::new(0, base)),
                ..*l
            };
            layout.laid.extend(best.layout.laid.iter().map(behind));
            layout.length = base + best.layout.length;
            base = layout.length + self.problem.spacing.um();
        }
        Some((self.compacted(layout), steps))
    }
}
