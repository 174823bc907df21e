//! Long layouts, a stretch at a time.
//!
//! Pushing hundreds of pieces apart at once is slow: each stride is long and each piece has many others to
//! meet. A stretch of some dozens is shortened on its own instead. What lies before it stays, what lies
//! behind it moves up with the stretch's end, so the layout is valid after each. Stretches that are far
//! enough apart are searched at the same time.

use std::collections::BTreeSet;

use pieces::Point;

use super::{Found, Run};
use crate::constructive::{Laid, Layout, end};
use crate::separate::{Ends, Fields, Hold, Pace, Separator};
use crate::shapes::ShapeId;

/// Pieces that are moved in a stretch; fewer where each stretch makes the regions of its own shapes.
const PIECES: usize = 64;
const OWN_PIECES: usize = 16;

/// Steps for a stretch, by piece (more where regions are made for it), and how they grow after a sweep that
/// gained less than this share of the length.
const STEPS: u64 = 500;
const OWN_STEPS: u64 = 4_000;
const GROWTH: u64 = 2;
const LITTLE: f64 = 0.001;

/// A stretch is shortened by at most its length divided by this at once.
const MOST_GAIN: i64 = 4;

/// One pass over the layout.
struct Sweep {
    number: u64,
    /// Pieces that are moved in each stretch.
    pieces: usize,
    /// Steps for each stretch.
    effort: u64,
}

/// One stretch of a layout.
struct Stretch {
    /// Indices into the layout: the pieces that are moved, then those they may meet.
    members: Vec<usize>,
    holds: Vec<Hold>,
    /// Where its room begins.
    base: i64,
    layout: Layout,
    /// It is not shortened further at once.
    goal: i64,
    seed: u64,
    /// What is found, and the steps it took.
    found: Option<(Layout, u64)>,
}

impl Run<'_> {
    /// Shortens stretch after stretch, within the clock or so many steps, until `goal` is reached. False if
    /// there is nothing (more) to search this way.
    pub(super) fn by_stretches(&self, found: &mut Found<'_>, steps: u64, goal: i64) -> bool {
        if steps == 0 && self.deadline.is_none() {
            return true;
        }
        // `None`: there are too many different shapes, so that each stretch makes the regions of its own.
        let fields = self.fields();
        let (pieces, steps_a_piece) = match fields {
            Some(_) => (PIECES, STEPS),
            None => (OWN_PIECES, OWN_STEPS),
        };
        let mut sweep = Sweep {
            number: 0,
            pieces,
            effort: steps_a_piece * pieces as u64,
        };
        let (mut done, mut goes_on) = (0, true);
        let is_over = |done: u64| self.stopped() || self.deadline.is_none() && done >= steps;
        while found.best.layout.length > goal && !is_over(done) {
            let (before, done_before) = (found.best.layout.length, done);
            for frees in self.batches(&found.best.layout, &sweep) {
                if is_over(done) {
                    break;
                }
                let mut layout = found.best.layout.clone();
                let mut stretches = self.apart_stretches(&layout, &frees, &sweep);
                let work = |_, stretch: &mut Stretch, _: &(dyn Fn(i64) + Sync)| {
                    self.shorten(fields, stretch, sweep.effort);
                };
                let (length, told) = (layout.length, &mut *found.progress);
                self.at_once(&mut stretches, length, "separate", told, work);
                for stretch in &stretches {
                    done += stretch.found.as_ref().map_or(0, |(_, steps)| *steps);
                    self.put_back(&mut layout, stretch);
                }
                self.offer(found, layout, "separate");
            }
            // Neither this sweep nor the one before it, half a stretch off, had anything to search.
            if done == done_before && sweep.number > 0 {
                goes_on = false;
                break;
            }
            sweep.number += 1;
            if ((before - found.best.layout.length) as f64) < LITTLE * before as f64 {
                sweep.effort = sweep.effort.saturating_mul(GROWTH);
            }
        }
        found.spent += done;
        let layout = self.compacted(found.best.layout.clone());
        self.offer(found, layout, "separate");
        goes_on
    }

    /// The pieces to be moved, stretch by stretch: those that are searched at the same time together, and far from
    /// each other.
    fn batches(&self, layout: &Layout, sweep: &Sweep) -> Vec<Vec<Vec<usize>>> {
        let mut order: Vec<usize> = (0..layout.laid.len()).collect();
        order.sort_by_key(|&k| (2 * layout.laid[k].at.y + self.along(&layout.laid[k]), k));
        // Every other sweep begins half a stretch later, so that no border stays where it is.
        let skipped = if sweep.number.is_multiple_of(2) {
            0
        } else {
            sweep.pieces / 2
        };
        let frees: Vec<Vec<usize>> = order[skipped.min(order.len())..]
            .chunks(sweep.pieces)
            .map(<[usize]>::to_vec)
            .collect();
        let count = frees.len().div_ceil(self.streams).max(1);
        (0..count)
            .map(|first| frees.iter().skip(first).step_by(count).cloned().collect())
            .collect()
    }

    /// Stretches of these pieces, without those that share pieces with an earlier one.
    fn apart_stretches(
        &self,
        layout: &Layout,
        frees: &[Vec<usize>],
        sweep: &Sweep,
    ) -> Vec<Stretch> {
        let mut stretches: Vec<Stretch> = Vec::new();
        for (number, free) in frees.iter().enumerate() {
            let seed = self.stream_seed(number).wrapping_add(sweep.number << 32);
            let seed = seed.wrapping_add((free[0] as u64) << 8);
            let Some(stretch) = self.stretch(layout, free, seed) else {
                continue;
            };
            let is_apart = |other: &Stretch| {
                let shared = |k: &usize| stretch.members.contains(k);
                !other.members.iter().any(shared)
            };
            if stretches.iter().all(is_apart) {
                stretches.push(stretch);
            }
        }
        stretches
    }

    fn shorten(&self, fields: Option<&Fields>, stretch: &mut Stretch, effort: u64) {
        let own;
        let fields = match fields {
            Some(fields) => fields,
            None => {
                let Some(fields) = self.fields_of(&stretch.layout, effort) else {
                    return;
                };
                own = fields;
                &own
            }
        };
        let (start, holds) = (&stretch.layout, &stretch.holds);
        let (problem, shapes, seed) = (self.problem, self.shapes, stretch.seed);
        let separator = Separator::new(problem, shapes, fields, start, Ends::Within, holds, seed);
        let Some(mut separator) = separator else {
            return;
        };
        let share = |spent: u64| {
            if self.stopped() {
                1.0
            } else {
                spent as f64 / effort as f64
            }
        };
        separator.explore(&Pace {
            share: &share,
            goal: stretch.goal,
            tell: &|_| {},
        });
        stretch.found = Some((separator.best().clone(), separator.steps()));
    }

    /// The regions of the shapes that these pieces may have.
    fn fields_of(&self, layout: &Layout, effort: u64) -> Option<Fields> {
        let items: BTreeSet<usize> = layout.laid.iter().map(|l| l.piece.item).collect();
        let variants = items.iter().flat_map(|&item| &self.shapes.variants[item]);
        let some: BTreeSet<ShapeId> = variants.map(|v| v.shape).collect();
        let some = some.into_iter().collect();
        // Many are made again for the next stretches, so they may take longer than one is searched.
        let micros = self
            .preparing()
            .min(effort.saturating_mul(OWN_PIECES as u64));
        Fields::of_some(self.problem, self.shapes, some, micros)
    }

    fn along(&self, laid: &Laid) -> i64 {
        self.shapes.shape(laid.variant.shape).along
    }

    /// The stretch in which these pieces of a layout may be moved; `None` where a piece that is held reaches
    /// through it, so that it neither stays before nor moves behind.
    fn stretch(&self, layout: &Layout, free: &[usize], seed: u64) -> Option<Stretch> {
        let start = |k: usize| layout.laid[k].at.y;
        let end = |k: usize| start(k) + self.along(&layout.laid[k]);
        let base = free.iter().map(|&k| start(k)).min()?;
        let top = free.iter().map(|&k| end(k)).max()?;
        let middle = |k: usize| start(k) + end(k);
        let centre = free.iter().map(|&k| middle(k)).sum::<i64>() / free.len() as i64;
        let gap = 2 * self.problem.spacing.um();
        let most = (top - base) / MOST_GAIN;
        let mut is_free = vec![false; layout.laid.len()];
        for &k in free {
            is_free[k] = true;
        }
        // What moves up may come to what stays before, so all that may come there are looked at.
        let others = (0..layout.laid.len())
            .filter(|&k| !is_free[k] && end(k) > base - gap && start(k) < top + most + gap);
        let members: Vec<usize> = free.iter().copied().chain(others).collect();
        let hold = |&k: &usize| match (is_free[k], middle(k) < centre) {
            (true, _) => Some(Hold::Free),
            (false, true) => (end(k) <= top).then_some(Hold::Before),
            (false, false) => (start(k) >= base.max(most)).then_some(Hold::Behind),
        };
        let moved = |&k: &usize| {
            let laid = layout.laid[k];
            Laid {
                at: laid.at.minus(Point::new(0, base)),
                ..laid
            }
        };
        Some(Stretch {
            holds: members.iter().map(hold).collect::<Option<Vec<Hold>>>()?,
            layout: Layout {
                laid: members.iter().map(moved).collect(),
                length: top - base,
            },
            members,
            base,
            goal: top - base - most,
            seed,
            found: None,
        })
    }

    /// Takes over what was found, and moves up what lies behind.
    fn put_back(&self, layout: &mut Layout, stretch: &Stretch) {
        let Some((found, _)) = &stretch.found else {
            return;
        };
        let gain = stretch.layout.length - found.length;
        if gain <= 0 {
            return;
        }
        // Another stretch may have moved this one since it was begun.
        let first = stretch.members[0];
        let shift = layout.laid[first].at.y - (stretch.layout.laid[0].at.y + stretch.base);
        let base = stretch.base + shift;
        let top = base + stretch.layout.length;
        let mut is_member = vec![false; layout.laid.len()];
        for (&k, laid) in stretch.members.iter().zip(&found.laid) {
            is_member[k] = true;
            layout.laid[k] = Laid {
                at: laid.at.plus(Point::new(0, base)),
                ..*laid
            };
        }
        for (k, laid) in layout.laid.iter_mut().enumerate() {
            if !is_member[k] && laid.at.y >= top {
                laid.at.y -= gain;
            }
        }
        layout.length = end(self.shapes, &layout.laid);
    }
}
