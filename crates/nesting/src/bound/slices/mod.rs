//! Slices: the best worth of sections, and what it proves ([`crate::certificate`]).
//!
//! Every piece is cut across into slices. At each height of the cloth slices lie side by side, no two of one copy; so
//! a length that holds all pieces holds all slices. How they fit best is a linear program with a column for every
//! filling of the width; its dual asks what slices are worth when no filling is worth more than one (`master`).
//! Rows are added to the dual as they are broken: the filling that is worth most (`fill`), and, where the cloth
//! is parted into zones, the place where a piece brings least (`load`). (Gilmore and Gomory 1961 for the columns;
//! for slices of rectangles Martello, Monaci and Vigo 2003; from memory.)
//!
//! All of this only guesses. Each guess is rounded to whole numbers and worked out exactly, here, and before anything
//! is said, a second time by [`certificate::proved`], which shares no code with it. While the program itself has no
//! hope for more than is known, nothing is lost by giving up: that ends most tries at once.

mod cut;
mod fill;
mod load;
mod master;
mod rounds;
mod spread;

use std::collections::BTreeSet;

use pieces::Length;

use super::grown::Grown;
use super::kinds::Kind;
use super::search::Search;
use crate::certificate::{self, Slices, Step, Worth};
use crate::problem::Problem;
use crate::verdict::{Argument, Bound};
use cut::Cut;
use fill::Filling;
use load::Place;
use master::Known;
use spread::{Order, spread};

/// Slices a piece.
const SLICES: i64 = 48;

/// Kinds at most, and different widths in all, four times as many where there is this much work; more make the
/// program slow.
const MOST_KINDS: usize = 64;
const MOST_WIDTHS: usize = 96;
const MUCH_WORK: u64 = 100_000_000;

/// Zones at most.
const MOST_ZONES: usize = 8;

impl Search<'_> {
    /// A greater bound than this one by slices, if there is work enough to find one.
    pub(in crate::bound) fn by_slices(
        problem: &Problem,
        grown: Grown,
        known: &Bound,
        work: u64,
    ) -> Option<Bound> {
        let mut search = Search::new(problem, grown, 0, 0);
        search.best = known.clone();
        search.best.length += Length::from_um(grown.along);
        search.work_on_slices = work;
        let before = search.best.length;
        search.slices();
        if search.best.length <= before {
            return None;
        }
        search.sums();
        search.best.length -= Length::from_um(grown.along);
        Some(search.best)
    }

    /// Slices where all heights are alike.
    pub(super) fn slices(&mut self) {
        if let Some(found) = self.guessed(None) {
            self.offer_slices(found);
        }
    }

    /// Slices in zones of the length asked about: what is longer than half of it covers its middle.
    pub(super) fn zones(&mut self) {
        let length = self.best.length.um().max(self.floor);
        let tall = self.kinds.iter().map(Kind::least_height);
        let tall: BTreeSet<i64> = tall.filter(|&height| 2 * height > length).collect();
        // The tallest cover most.
        let heights = tall.into_iter().rev().take(MOST_ZONES / 2);
        let mut borders: BTreeSet<i64> = heights.flat_map(|h| [length - h, h]).collect();
        if borders.is_empty() {
            return;
        }
        borders.extend([0, length]);
        let borders: Vec<i64> = borders.into_iter().collect();
        if let Some(found) = self.guessed(Some(borders)) {
            self.offer_slices(found);
        }
    }

    fn offer_slices(&mut self, slices: Slices) {
        let Some(proved) = certificate::proved(self.problem, &slices) else {
            return;
        };
        // Lengths here are those of the grown cloth.
        let length = proved + slices.longer;
        self.offer(length.um(), || Argument::Slices(slices));
    }

    /// The best worth found that proves more than is known.
    fn guessed(&mut self, zones: Option<Vec<i64>>) -> Option<Slices> {
        let length = self.best.length.um().max(self.floor);
        if length <= 0 || self.kinds.len() > MOST_KINDS {
            return None;
        }
        let alike = zones.is_none();
        let tallest = self.kinds.iter().flat_map(|kind| &kind.ways);
        let tallest = tallest.map(|way| way.profile.height()).max()?.max(length);
        let borders = zones.unwrap_or_else(|| vec![0, tallest]);
        let count = borders.len() - 1;
        let finer = if self.work_on_slices >= MUCH_WORK {
            4
        } else {
            1
        };
        let most = (finer * MOST_WIDTHS / self.kinds.len() / count).max(2);
        let cuts: Vec<Cut> = self
            .kinds
            .iter()
            .map(|kind| Cut::of(kind, SLICES, most, alike))
            .collect();
        let widest = cuts.iter().filter_map(|cut| cut.widths.last()).max()?;
        if *widest > self.usable || cuts.iter().any(|cut| cut.widths.is_empty()) {
            return None;
        }
        let shares = if alike {
            vec![1.0]
        } else {
            let parts = borders.windows(2);
            parts
                .map(|b| (b[1] - b[0]) as f64 / length as f64)
                .collect()
        };
        let spreads =
            [Order::Widest, Order::Longest].map(|order| spread(&cuts, self.usable, order));
        if alike
            && spreads
                .iter()
                .any(|spread| spread.length <= i128::from(length))
        {
            return None;
        }
        let mut fillings = alone(&cuts, self.usable);
        fillings.extend(spreads.into_iter().flat_map(|spread| spread.fillings));
        let in_zone = |zone| fillings.iter().map(move |filling| (zone, filling.clone()));
        let known = Known {
            cuts: &cuts,
            borders: &borders,
            length,
            shares,
            fillings: (0..count).flat_map(in_zone).collect(),
            places: first_places(&cuts, &borders, alike),
        };
        self.rounds(known, alike)
    }

    /// As it is written down.
    fn written(&self, known: &Known<'_>, worth: &[Vec<Vec<u32>>], alike: bool) -> Slices {
        let um = Length::from_um;
        let of = |(cut, worth): (&Cut, &Vec<Vec<u32>>)| {
            let mut steps: Vec<Step> = Vec::new();
            for (&width, worth) in cut.widths.iter().zip(worth) {
                let is_more = match steps.last() {
                    Some(before) => before.worth != *worth,
                    None => worth.iter().any(|&worth| worth > 0),
                };
                if is_more {
                    steps.push(Step {
                        from: um(width),
                        worth: worth.clone(),
                    });
                }
            }
            Worth {
                items: cut.items.clone(),
                steps,
            }
        };
        let ends = known.borders[1..].iter().map(|&end| um(end));
        let pieces = known.cuts.iter().zip(worth).map(of);
        Slices {
            wider: um(self.grown.across),
            longer: um(self.grown.along),
            zones: if alike { Vec::new() } else { ends.collect() },
            pieces: pieces.filter(|worth| !worth.steps.is_empty()).collect(),
        }
    }
}

/// Each section with others of its kind only, as many as go.
fn alone(cuts: &[Cut], room: i64) -> BTreeSet<Filling> {
    let mut all = BTreeSet::new();
    for (kind, cut) in cuts.iter().enumerate() {
        for (number, &width) in cut.widths.iter().enumerate() {
            let count = u32::try_from(cut.abreast(width, room)).unwrap_or(u32::MAX);
            all.insert(Filling::from([((kind, number), count)]));
        }
    }
    all
}

/// Both ends of the cloth, for every way to lie.
fn first_places(cuts: &[Cut], borders: &[i64], alike: bool) -> Vec<Place> {
    let length = borders.last().copied().unwrap_or(0);
    let mut all = BTreeSet::new();
    for (kind, cut) in cuts.iter().enumerate() {
        for (lying, way) in cut.lying.iter().enumerate() {
            let room = length - way.height;
            let ends = if alike { [0, 0] } else { [0, room] };
            all.extend(
                ends.into_iter()
                    .filter(|_| room >= 0)
                    .map(|at| Place { kind, lying, at }),
            );
        }
    }
    all.into_iter().collect()
}

#[cfg(test)]
mod tests;
