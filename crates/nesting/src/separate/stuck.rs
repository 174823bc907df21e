//! Attempts that did not come apart: where to begin again.

use rand::{Rng, RngExt};

use super::table::{Overlap, Place};

/// Attempts kept.
const MOST: usize = 50;

/// All places and how much overlap they leave.
#[derive(Clone, Debug)]
pub struct Stuck {
    pub loss: f64,
    pub places: Vec<Place>,
}

impl Stuck {
    pub fn of(overlaps: &[Overlap], places: &[Place]) -> Self {
        Stuck {
            loss: Stuck::loss(overlaps),
            places: places.to_vec(),
        }
    }

    pub fn loss(overlaps: &[Overlap]) -> f64 {
        overlaps.iter().map(|o| o.depth).sum()
    }
}

/// The attempts at one length, least overlap first.
#[derive(Default)]
pub struct Pool {
    attempts: Vec<Stuck>,
}

impl Pool {
    pub fn clear(&mut self) {
        self.attempts.clear();
    }

    pub fn add(&mut self, stuck: Stuck) {
        let at = self.attempts.partition_point(|a| a.loss <= stuck.loss);
        self.attempts.insert(at, stuck);
        self.attempts.truncate(MOST);
    }

    /// What is left in the middle one; no limit where there is none.
    pub fn middle(&self) -> f64 {
        let middle = self.attempts.get(self.attempts.len() / 2);
        middle.map_or(f64::INFINITY, |stuck| stuck.loss)
    }

    /// One of the better half, the better the likelier. The pool is not empty.
    pub fn pick(&self, random: &mut impl Rng) -> Vec<Place> {
        // The distance of two even picks is likelier small than large.
        let spread = (random.random::<f64>() - random.random::<f64>()).abs() / 2.0;
        let at = (spread * self.attempts.len() as f64) as usize;
        self.attempts[at.min(self.attempts.len() - 1)]
            .places
            .clone()
    }
}
