//! The searches that try everything about few pieces: sides first, for a small share of the work, then places.

use pieces::Length;

use super::apart::Distances;
use super::layer::PATIENCE;
use super::search::Search;
use super::stances::Stance;
use super::within::within;
use crate::certificate::places::{Figure, Places};
use crate::exact::{self, ForProof, Outcome, Tree};
use crate::geometry::{WHOLE, WITHIN};
use crate::sides;
use crate::verdict::Argument;

/// Such a share of the work on places goes into sides.
const SIDES_SHARE: u64 = 8;

impl Search<'_> {
    /// The search by sides at the length asked about, for a small share of the work.
    pub(super) fn sides(&mut self) {
        let (Some(by_sides), Some(layer)) = (self.by_sides, self.layer) else {
            return;
        };
        let mut share = self.work_on_places / SIDES_SHARE;
        self.work_on_places -= share;
        let asker = sides::Asker {
            can_lay: layer.can_lay,
            patience: PATIENCE,
            stop: layer.stop,
            threads: layer.threads,
        };
        let outcome = by_sides.ask(self.floor - self.grown.along, &mut share, &asker);
        self.work_on_places += share;
        match outcome {
            sides::Outcome::Refused(sides) => {
                self.offer(self.floor + 1, || Argument::Sides(sides));
            }
            sides::Outcome::Laid(lying) => self.lying = Some(lying),
            sides::Outcome::Open => {}
        }
    }

    /// The search over places: at the length asked about, or at rising lengths.
    pub(super) fn places(&mut self) {
        if !self.are_few() {
            return;
        }
        let Some(distances) = self.distances() else {
            return;
        };
        let job = exact::Job {
            kinds: &self.kinds,
            distances: &distances,
            usable: self.usable,
            cloth: self.problem.cloth.usable_width().um(),
        };
        let (stop, threads) = self
            .layer
            .map_or((&never as &_, 1), |layer| (layer.stop, layer.threads));
        let start = self.best.length.um();
        let mut work = self.work_on_places;
        if self.floor > 0 {
            let length = start.max(self.floor);
            let layer = self.layer.filter(|_| self.is_about_all);
            let asker = layer.map(|layer| layer.asker(self.problem, &self.kinds, &distances));
            let outcome = match &asker {
                None => exact::ask(&job, length, &mut work, threads, &ForProof(stop)),
                Some(asker) => exact::ask(&job, length, &mut work, threads, asker),
            };
            self.work_on_places = work;
            match (outcome, asker) {
                (Outcome::Refused(tree), _) => {
                    let places = self.as_tree(&distances, tree);
                    self.offer(length + 1, || Argument::EveryPlace(places));
                }
                (Outcome::Laid(spots), Some(asker)) => self.lying = Some(asker.lying(&spots)),
                _ => {}
            }
            return;
        }
        let mut last = (0, None);
        let mut refuses = |length: i64| {
            // Some of the questions are hard, and one should not take all.
            let mut share = (self.work_on_places / 8).min(work);
            work -= share;
            let outcome = exact::ask(&job, length, &mut share, threads, &ForProof(stop));
            work += share;
            let Outcome::Refused(tree) = outcome else {
                return false;
            };
            last = (length, tree);
            true
        };
        let mut refused = start - 1;
        let mut step = (start / 32).max(1);
        let smallest = (start / 256).max(1);
        let mut growing = true;
        while step >= smallest {
            if refuses(refused + step) {
                refused += step;
                step *= if growing { 2 } else { 1 };
            } else {
                growing = false;
                step /= 2;
            }
        }
        self.work_on_places = work;
        let (length, tree) = last;
        if length >= start {
            let places = self.as_tree(&distances, tree);
            self.offer(length + 1, || Argument::EveryPlace(places));
        }
    }

    /// The tree as it is written, if there is one that can be; whether it holds as it stands is looked at later, once.
    fn as_tree(&self, distances: &Distances, tree: Option<Box<Tree>>) -> Places {
        let Some(tree) = tree.filter(|_| self.grown.along == 0) else {
            return Places::default();
        };
        let figure = |(stance, &intervals): (&Stance, &u32)| Figure {
            items: stance.items(&self.kinds),
            turns: stance.turns.all(),
            intervals,
        };
        let ways: &[_] = if tree.is_fine {
            &[WITHIN, WHOLE]
        } else {
            &[WITHIN]
        };
        let items = self.kinds.iter().flat_map(|kind| &kind.items);
        let items = items.map(|&(item, _)| item);
        Places {
            wider: Length::from_um(self.grown.across),
            within: within(self.problem, items, ways),
            figures: distances
                .stances
                .iter()
                .zip(&tree.intervals)
                .map(figure)
                .collect(),
            lines: tree.lines,
            turned: tree.turned,
            tree: tree.numbers,
        }
    }
}

fn never() -> bool {
    false
}
