//! The general engine: shorten the cloth a little, let pieces overlap, push them apart again.
//!
//! A sequence of questions at fixed length. All pieces stay on the cloth and may overlap; one at a time, in
//! random order, each that overlaps goes to its cheapest place ([`mover`]), the cost being how deep it lies
//! in each other piece's no-fit region times a weight for the pair. Weights of pairs that stay in conflict
//! rise, others fall. What cannot be pushed apart is begun again from one of the least overlapping
//! attempts with two large pieces exchanged. First long strides ([`Separator::explore`]), then ever shorter
//! ones from the best ([`Separator::compress`]). Source of the scheme: Umetani et al. 2009; Gardeyn,
//! Vanden Berghe, Wauters 2025, arXiv:2509.13329. Ours: regions of convex parts with whole
//! corners ([`field`]), so that pieces may touch and zero overlap is exact, and moves along a line to its
//! exact minimum ([`line`]).
//!
//! Deterministic for a seed and a number of steps; a layout that leaves it has no overlap of the outlines
//! it searched with, and is verified by `plan` all the same.

mod convex;
mod field;
mod frame;
mod line;
mod mover;
mod obstacles;
mod stuck;
mod surroundings;
mod table;
#[cfg(test)]
mod tests;
mod view;
mod weights;

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::constructive::Layout;
use crate::problem::Problem;
use crate::shapes::Shapes;
pub use field::Fields;
use mover::Mover;
use stuck::{Pool, Stuck};
pub use table::{Ends, Hold};
use table::{Overlap, Table};

/// How much shorter the next question is while exploring, of the length.
const STRIDE: f64 = 0.001;

/// The same while compressing, at its begin and at its end.
const SHORTER_STRIDES: [f64; 2] = [0.000_5, 0.000_01];

/// Rounds without gain before going back to the least overlap, by the number of pieces: what moves takes
/// that long to come to rest. And how often that may be for nothing; once where more overlap is left than in
/// the better half of the attempts at the same length.
const ROUNDS_A_PIECE: usize = 2;
const ROUNDS: [usize; 2] = [50, 100];
const STRIKES_EXPLORING: usize = 3;
const STRIKES_COMPRESSING: usize = 5;

/// Attempts in vain at one length, for each pair of pieces and at least, after which all pieces are laid
/// anywhere: few pieces have few neighbourhoods, and the search would keep to those it knows.
const VAIN_A_PAIR: f64 = 0.5;
const VAIN: usize = 20;

/// Less than this of the overlap left is a gain worth new patience.
const GAIN: f64 = 0.98;

/// When to stop, and who is told.
pub struct Pace<'w> {
    /// Share of the budget that is used up, given the steps spent; 1 or more ends the search.
    pub share: &'w (dyn Fn(u64) -> f64 + Sync),
    /// No layout can be shorter, or none need be: stop there.
    pub goal: i64,
    /// Told of each shorter length.
    pub tell: &'w (dyn Fn(i64) + Sync),
}

/// One search with everything it has learnt; may be stopped and go on.
pub struct Separator<'a> {
    table: Table<'a>,
    mover: Mover,
    random: Xoshiro256PlusPlus,
    best: Layout,
    pool: Pool,
    /// Attempts at the present length that did not come apart.
    vain: usize,
    /// True once the table holds a question that has not been given up.
    asked: bool,
}

impl<'a> Separator<'a> {
    /// Begins from a valid layout; `None` where there are too many pieces for all pairs to be
    /// looked at.
    #[must_use]
    pub fn new(
        problem: &Problem,
        shapes: &'a Shapes,
        fields: &'a Fields,
        start: &Layout,
        ends: Ends,
        holds: &[Hold],
        seed: u64,
    ) -> Option<Self> {
        Some(Separator {
            table: Table::new(problem, shapes, fields, start, ends, holds)?,
            mover: Mover::default(),
            random: Xoshiro256PlusPlus::seed_from_u64(seed),
            best: start.clone(),
            pool: Pool::default(),
            vain: 0,
            asked: false,
        })
    }

    /// The shortest layout so far.
    #[must_use]
    pub fn best(&self) -> &Layout {
        &self.best
    }

    /// Whether nothing overlaps as the pieces lie now.
    pub fn is_apart(&mut self) -> bool {
        self.table.overlaps().is_empty()
    }

    /// Steps spent so far: what was looked at, in fifties, about a microsecond each.
    #[must_use]
    pub fn steps(&self) -> u64 {
        (self.mover.steps() + self.table.steps) / 50
    }

    /// Goes on from this layout if it is shorter.
    pub fn adopt(&mut self, layout: &Layout) {
        if layout.length < self.best.length {
            self.best = layout.clone();
            self.pool.clear();
            self.asked = false;
        }
    }

    fn is_over(&self, pace: &Pace<'_>) -> bool {
        self.best.length <= pace.goal || (pace.share)(self.steps()) >= 1.0
    }

    /// Long strides, and other neighbourhoods where they fail.
    pub fn explore(&mut self, pace: &Pace<'_>) {
        while !self.is_over(pace) {
            if !self.asked && !self.ask(STRIDE, pace.goal) {
                break;
            }
            match self.push_apart(STRIKES_EXPLORING, pace) {
                Outcome::Apart => {
                    self.take(pace);
                    self.pool.clear();
                    self.asked = false;
                }
                Outcome::Stuck(stuck) => {
                    self.vain += 1;
                    if self.vain.is_multiple_of(self.patience()) {
                        self.pool.clear();
                        self.table.scatter(&mut self.random);
                    } else {
                        self.pool.add(stuck);
                        self.table.set_places(self.pool.pick(&mut self.random));
                        self.exchange();
                    }
                    self.table.weights.forget();
                }
                Outcome::Stopped => break,
            }
        }
    }

    /// Ever shorter strides from the best layout.
    pub fn compress(&mut self, pace: &Pace<'_>) {
        self.asked = false;
        self.pool.clear();
        while !self.is_over(pace) {
            let done = (pace.share)(self.steps());
            let [first, last] = SHORTER_STRIDES;
            if !self.ask(first + (last - first) * done, pace.goal) {
                break;
            }
            if let Outcome::Apart = self.push_apart(STRIKES_COMPRESSING, pace) {
                self.take(pace);
            }
        }
        self.asked = false;
    }

    fn take(&mut self, pace: &Pace<'_>) {
        let layout = self.table.layout();
        if layout.length < self.best.length {
            self.best = layout;
            (pace.tell)(self.best.length);
        }
    }

    /// The best layout on a cloth shorter by this share, though not below the goal: what lies beyond a
    /// random line moves down. False if a piece is as long as the cloth as it lies.
    fn ask(&mut self, stride: f64, goal: i64) -> bool {
        let length = self.best.length;
        self.table.lay(&self.best);
        let to = ((length as f64 * (1.0 - stride)) as i64)
            .max(goal)
            .min(length - 1)
            .max(self.table.least().into());
        if to >= length {
            return false;
        }
        let line = self.random.random_range(0..length);
        self.table.shorten(to as i32, line as i32);
        self.table.weights.forget();
        self.vain = 0;
        self.asked = true;
        true
    }

    /// Attempts in vain until all pieces are laid anywhere.
    fn patience(&self) -> usize {
        let pieces = self.table.places().len() as f64;
        ((VAIN_A_PAIR * pieces * (pieces - 1.0) / 2.0) as usize).max(VAIN)
    }

    fn push_apart(&mut self, most_strikes: usize, pace: &Pace<'_>) -> Outcome {
        let [fewest, most] = ROUNDS;
        let pieces = self.table.places().len();
        let rounds = (ROUNDS_A_PIECE * pieces).clamp(fewest, most);
        let mut overlaps = self.table.overlaps();
        let mut least = Stuck::of(&overlaps, self.table.places());
        let mut strikes = 0;
        let worth_it = self.pool.middle();
        while strikes < most_strikes && (strikes == 0 || least.loss <= worth_it) {
            let before = least.loss;
            let mut idle = 0;
            while idle < rounds {
                if overlaps.is_empty() {
                    return Outcome::Apart;
                }
                if (pace.share)(self.steps()) >= 1.0 {
                    return Outcome::Stopped;
                }
                self.table.weights.change(&overlaps);
                overlaps = self.round(overlaps);
                let loss = Stuck::loss(&overlaps);
                idle = if loss < GAIN * least.loss {
                    0
                } else {
                    idle + 1
                };
                if loss < least.loss {
                    least = Stuck::of(&overlaps, self.table.places());
                }
            }
            strikes = if least.loss < GAIN * before {
                0
            } else {
                strikes + 1
            };
            self.table.set_places(least.places.clone());
            overlaps = self.table.overlaps();
        }
        Outcome::Stuck(least)
    }

    /// Every piece that overlaps is moved once.
    fn round(&mut self, overlaps: Vec<Overlap>) -> Vec<Overlap> {
        let mut order: Vec<usize> = overlaps
            .iter()
            .flat_map(|o| [Some(o.piece), o.other])
            .flatten()
            .collect();
        order.sort_unstable();
        order.dedup();
        order.retain(|&piece| self.table.is_free(piece));
        order.shuffle(&mut self.random);
        order.retain(|&piece| {
            self.mover
                .move_piece(&mut self.table, piece, &mut self.random)
        });
        self.table.overlaps_after(overlaps, &order)
    }

    /// Two large pieces of different shape change places.
    fn exchange(&mut self) {
        let large = self.table.large();
        if large.len() < 2 {
            return;
        }
        let one = large[self.random.random_range(0..large.len())];
        let others: Vec<usize> = large
            .iter()
            .copied()
            .filter(|&other| self.table.shape(other) != self.table.shape(one))
            .collect();
        if others.is_empty() {
            return;
        }
        let other = others[self.random.random_range(0..others.len())];
        self.table.exchange(one, other);
    }
}

enum Outcome {
    /// Nothing overlaps.
    Apart,
    /// The least overlapping attempt.
    Stuck(Stuck),
    /// The budget ended.
    Stopped,
}
