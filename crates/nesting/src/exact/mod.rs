//! Do these pieces go on this length at all? Exhausted, or a layout found, for a dozen pieces or so.
//!
//! Places along the cloth first, places across as the check:
//!
//! - every copy takes one of a few intervals of places along, in one of its stances ([`choices`]). Wherever in
//!   the interval it lies, it puts at least the least of the reachable sections on each of a row of lines
//!   across the cloth; from some others it is too near to lie beside them ([`Apart`]); and those that it must
//!   lie beside need room in some order ([`side_by_side`]). [`places`] tries all combinations of intervals;
//! - a combination that is left is halved, one interval after another, until a few pieces refuse each other or
//!   all intervals are short ([`halves`]). Then order and places across are known as well, and it is handed on, to be
//!   made a layout. What can't be made one says nothing.
//!
//! So if no combination is left, nothing fits, and whoever asks for it gets layouts in the same search. Coarse
//! intervals and fine ones, one order and another take times that differ by factors of thousands from job to job:
//! several of them are tried in rounds, each with four times the work of the one before; those that get on best stay.
//!
//! This is a cumulative scheduling problem with width profiles, and what it leaves is checked across: the
//! scheme of logic-based Benders decomposition (for rectangles: Côté, Dell'Amico, Iori 2014; from memory), with
//! the check in every node. The relaxation is our own derivation. Exact in integers.
//!
//! [`Apart`]: crate::bound::apart::Apart

mod choices;
mod halves;
mod places;
mod record;
pub(crate) mod side_by_side;

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use crate::bound::apart::Distances;
use crate::bound::kinds::Kind;
use choices::Grid;
use halves::Split;
use places::{Ended, Order, Search, Way};
pub(crate) use record::Tree;
use side_by_side::MOST;

/// What is laid, and on what.
pub(crate) struct Job<'j> {
    pub kinds: &'j [Kind],
    pub distances: &'j Distances,
    /// What sections share, grown.
    pub usable: i64,
    /// Usable width, not grown.
    pub cloth: i64,
}

/// What the search says of a length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// No combination of places is left: nothing fits. The tree of all that were tried, if it is not too long.
    Refused(Option<Box<Tree>>),
    /// A combination could be made a layout.
    Laid(Vec<Spot>),
    /// A combination is left that was not, or the work was used up.
    Open,
}

/// A copy in one of its stances, nearly where it may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Spot {
    /// Index into the distances' stances.
    pub stance: usize,
    /// Index into its outlines.
    pub outline: usize,
    /// Least corner of its box, from the left end of the usable width.
    pub x: i64,
    pub y: i64,
}

/// Who asks.
pub(crate) trait Asker: Sync {
    /// Whether these spots, one a copy, can be made a layout.
    fn can_lay(&self, spots: &[Spot]) -> bool;
    /// How often that is tried in vain before a way to search is given up.
    fn patience(&self) -> u32;
    /// Whether to give up.
    fn stop(&self) -> bool;
}

/// Asks for a proof only, until it is told to stop.
pub(crate) struct ForProof<'s>(pub &'s (dyn Fn() -> bool + Sync));

impl Asker for ForProof<'_> {
    fn can_lay(&self, _: &[Spot]) -> bool {
        false
    }

    fn patience(&self) -> u32 {
        0
    }

    fn stop(&self) -> bool {
        (self.0)()
    }
}

/// Ways to search, the most promising first.
const WAYS: [Way; 6] = [
    Way {
        grid: Grid::loose(3),
        order: Order::Fewest,
        split: Split::Blamed,
    },
    Way {
        grid: Grid::loose(2),
        order: Order::Fewest,
        split: Split::Longest,
    },
    Way {
        grid: Grid::strict(4),
        order: Order::Lowest,
        split: Split::Blamed,
    },
    Way {
        grid: Grid::strict(12),
        order: Order::Fewest,
        split: Split::Longest,
    },
    Way {
        grid: Grid::loose(4),
        order: Order::Fewest,
        split: Split::Longest,
    },
    Way {
        grid: Grid::strict(8),
        order: Order::FewestByWidth,
        split: Split::Blamed,
    },
];

/// Work of each way in the first round, at least; and how many rounds, each with four times as much.
const FIRST: u64 = 200_000;
const ROUNDS: u32 = 12;

/// After so many rounds half of the ways, those that have seen least, are left out; so many stay.
const ALL_ROUNDS: u32 = 3;
const FEW_WAYS: usize = 2;

/// Tries to lay all pieces on `length`, in so many ways at once. `work` is in about nanoseconds; what is left of
/// it is given back. What is said depends on it, though not on `threads`.
pub(crate) fn ask(
    job: &Job<'_>,
    length: i64,
    work: &mut u64,
    threads: usize,
    asker: &dyn Asker,
) -> Outcome {
    // Sums of two stay within i32; that is a kilometre of width.
    let Some(usable) = i32::try_from(job.usable).ok().filter(|&u| u < i32::MAX / 2) else {
        return Outcome::Open;
    };
    let copies: i64 = job.kinds.iter().map(|kind| kind.copies).sum();
    if copies > MOST as i64 {
        return Outcome::Open;
    }
    let mut ways: Vec<usize> = (0..WAYS.len()).collect();
    for round in 0..ROUNDS {
        let share = FIRST << (2 * round);
        let mut seen = [0.0; WAYS.len()];
        // Whoever asks on several threads gets the same.
        let share = share.min(*work / ways.len().max(1) as u64);
        if share == 0 || asker.stop() {
            return Outcome::Open;
        }
        for ways in ways.chunks(threads.max(1)) {
            // The first one that comes to an end says what is said, whichever is done sooner.
            let first = AtomicUsize::new(usize::MAX);
            let search = |&way: &usize| {
                let is_over = || first.load(Ordering::Relaxed) < way || asker.stop();
                let search = Search::of(job, usable, length, WAYS[way], asker, &is_over);
                let ended = search.map(|mut search| search.run(share));
                if ended
                    .as_ref()
                    .is_some_and(|ended| ended.outcome != Outcome::Open)
                {
                    first.fetch_min(way, Ordering::Relaxed);
                }
                ended
            };
            let all: Vec<Option<Ended>> = if let [way] = ways {
                vec![search(way)]
            } else {
                ways.par_iter().map(search).collect()
            };
            for (&way, ended) in ways.iter().zip(all) {
                let Some(ended) = ended else {
                    seen[way] = -1.0;
                    continue;
                };
                *work -= share - ended.work;
                if ended.outcome != Outcome::Open {
                    return ended.outcome;
                }
                // More work says no more.
                seen[way] = if ended.work > 0 { -1.0 } else { ended.seen };
            }
            if asker.stop() {
                return Outcome::Open;
            }
        }
        ways.retain(|&way| seen[way] >= 0.0);
        if round + 1 >= ALL_ROUNDS {
            ways.sort_by(|&a, &b| seen[b].total_cmp(&seen[a]));
            ways.truncate(ways.len().div_ceil(2).max(FEW_WAYS));
            ways.sort_unstable();
        }
    }
    Outcome::Open
}
