//! A set of pieces that is being laid ever more tightly.

use crate::constructive::board::Regions;
use crate::constructive::rows::shorter_rows;
use crate::constructive::{Laid, Layout};
use crate::problem::Problem;
use crate::separate::{Ends, Fields, Pace, Separator};

use super::kinds::Kinds;

/// A tight layout of a few pieces that can be laid again and again.
#[derive(Clone, Debug)]
pub struct Pattern {
    /// By kind: how many pieces it has.
    pub counts: Vec<u32>,
    /// Its pieces; their item is the kind. Sorted by where they begin.
    pub laid: Vec<Laid>,
    /// How far behind itself it comes again.
    pub period: i64,
    /// What one round is longer than its period, at least: pieces that reach into the next round.
    pub over: i64,
}

impl Pattern {
    /// Of a layout that comes again after `period`, cut open where least hangs over.
    pub fn new(kinds: &Kinds, layout: &Layout, period: i64) -> Self {
        let mut counts = vec![0; kinds.count()];
        for laid in &layout.laid {
            counts[laid.piece.item] += 1;
        }
        let mut laid = layout.laid.clone();
        laid.sort_by_key(|l| (l.at.y, l.at.x));
        let over = |first: usize| {
            let base = laid[first].at.y;
            let ends = laid.iter().enumerate().map(|(k, l)| {
                let next = if k < first { period } else { 0 };
                l.at.y + next + kinds.along(l)
            });
            ends.max().unwrap_or(0) - base - period
        };
        let first = (0..laid.len())
            .min_by_key(|&first| over(first))
            .unwrap_or(0);
        let over = over(first).max(0);
        let base = laid[first].at.y;
        for (k, l) in laid.iter_mut().enumerate() {
            let next = if k < first { period } else { 0 };
            l.at.y += next - base;
        }
        laid.rotate_left(first);
        Pattern {
            counts,
            laid,
            period,
            over,
        }
    }

    /// Twice the area that no piece covers.
    pub fn waste(&self, kinds: &Kinds) -> i128 {
        let width = i128::from(kinds.problem.cloth.usable_width().um());
        let covered = self.laid.iter().map(|l| kinds.doubled_area(l.piece.item));
        2 * width * i128::from(self.period) - covered.sum::<i128>()
    }
}

/// Pieces by kind, and how they are to be laid.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Set {
    pub counts: Vec<u32>,
    /// On an endless cloth, or as a block.
    pub is_endless: bool,
}

/// A search for a pattern, which may be stopped and go on.
pub struct Trial<'a> {
    separator: Separator<'a>,
    pieces: u64,
    doubled_area: i128,
    is_endless: bool,
    kinds: &'a Kinds,
}

impl<'a> Trial<'a> {
    /// Begins with columns on an endless cloth; `None` if they are not valid as they lie.
    pub fn of_columns(
        kinds: &'a Kinds,
        fields: &'a Fields,
        start: &Layout,
        seed: u64,
    ) -> Option<Self> {
        let mut counts = vec![0; kinds.count()];
        for laid in &start.laid {
            counts[laid.piece.item] += 1;
        }
        let set = Set {
            counts,
            is_endless: true,
        };
        let mut trial = Trial::begin(kinds, fields, &set, start, seed)?;
        trial.separator.is_apart().then_some(trial)
    }

    /// Begins with rows.
    pub fn new(
        kinds: &'a Kinds,
        regions: &mut Regions<'a>,
        fields: &'a Fields,
        set: Set,
        seed: u64,
        stop: &dyn Fn() -> bool,
    ) -> Option<Self> {
        let problem = of_counts(kinds, &set.counts);
        let (mut start, _) = shorter_rows(&problem, &kinds.shapes, regions, stop);
        if set.is_endless {
            start.length += problem.spacing.um();
        }
        Trial::begin(kinds, fields, &set, &start, seed)
    }

    fn begin(
        kinds: &'a Kinds,
        fields: &'a Fields,
        set: &Set,
        start: &Layout,
        seed: u64,
    ) -> Option<Self> {
        let ends = if set.is_endless {
            Ends::Joined
        } else {
            Ends::Cut
        };
        let counted = set.counts.iter().enumerate();
        let areas = counted.map(|(kind, &n)| kinds.doubled_area(kind) * i128::from(n));
        let (problem, shapes) = (&kinds.problem, &kinds.shapes);
        Some(Trial {
            separator: Separator::new(problem, shapes, fields, start, ends, &[], seed)?,
            pieces: set.counts.iter().map(|&n| u64::from(n)).sum(),
            doubled_area: areas.sum(),
            is_endless: set.is_endless,
            kinds,
        })
    }

    /// Its share of the work: by its pieces, and one more.
    pub fn weight(&self) -> u64 {
        self.pieces + 1
    }

    pub fn steps(&self) -> u64 {
        self.separator.steps()
    }

    /// Goes on for so many steps.
    pub fn run(&mut self, steps: u64, stop: &(dyn Fn() -> bool + Sync)) {
        let (from, width) = (
            self.separator.steps(),
            self.kinds.problem.cloth.usable_width(),
        );
        let share = |spent: u64| {
            if stop() {
                1.0
            } else {
                (spent - from) as f64 / steps.max(1) as f64
            }
        };
        let least = self
            .doubled_area
            .div_euclid(2 * i128::from(width.um().max(1))) as i64;
        self.separator.explore(&Pace {
            share: &share,
            goal: least,
            tell: &|_| {},
        });
    }

    /// Cloth for each unit of area, as far as it comes again.
    pub fn waste(&self) -> f64 {
        let width = self.kinds.problem.cloth.usable_width().um() as f64;
        self.period() as f64 * width / (self.doubled_area as f64 / 2.0)
    }

    /// How far behind itself the tightest comes again.
    fn period(&self) -> i64 {
        let spacing = if self.is_endless {
            0
        } else {
            self.kinds.problem.spacing.um()
        };
        self.separator.best().length + spacing
    }

    /// The tightest so far.
    pub fn pattern(&self) -> Pattern {
        Pattern::new(self.kinds, self.separator.best(), self.period())
    }
}

/// The kinds with so many copies each.
pub fn of_counts(kinds: &Kinds, counts: &[u32]) -> Problem {
    let mut problem = kinds.problem.clone();
    for (item, &count) in problem.items.iter_mut().zip(counts) {
        item.copies = count;
    }
    problem
}
