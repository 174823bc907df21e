//! Do these rectangles go on this length at all? For some dozens, a proof or a layout.
//!
//! Places along the cloth first ([`along`]), with charges that bound what may be lost ([`charge`]); places across as
//! the check ([`abreast`]). What can't be laid even where only sections count is refused. What can be laid so is
//! handed to the check, and if that finds no places across, the search goes on, though without a proof.
//!
//! First of all without the narrow ones ([`fewer`]): often the wide ones alone are too long, which is soon seen.
//!
//! Which rectangle comes last by number decides a lot, for job after job another way: several orders are tried, some of
//! them only for a layout. More work shows whatever less has shown.
//!
//! Source: Côté, Dell'Amico, Iori 2014 (from memory). Exact in integers, and deterministic: work is counted.

mod abreast;
mod along;
mod charge;
mod fewer;
mod job;
mod notes;

#[cfg(test)]
mod tests;

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use abreast::{Lying, places};
pub use along::Said;
use along::{Asker, Search, Start};
pub use job::Job;
use notes::Notes;

/// After the first round, in which every order has the same share of all work, what some have left goes to others.
const ROUNDS: u32 = 3;

/// Sets tried before charges are made for what a beginning leaves.
const PATIENCE: u64 = 2_000;

/// With notes a search gets so many times the work.
const AGAIN: u64 = 4;

/// Tries to find places across for given places along.
const TRIES: u32 = 5_000;

/// A rectangle at its place: sort, index of its size among those of its sort that fit, least corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    pub sort: usize,
    pub size: [i32; 2],
    pub at: [i32; 2],
}

/// What is said of a length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing fits: this search says so.
    Refused(Manner),
    /// These fit.
    Laid(Vec<Spot>),
    /// Neither is known.
    Open,
}

/// One search: with the same length it comes to the same end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Manner {
    order: Order,
    /// Whether a beginning without places across is given up at once.
    is_strict: bool,
    work: u64,
    /// Those that are less wide in some way are left out.
    narrowest: i32,
}

impl Manner {
    /// The first that is tried.
    pub fn first(work: u64) -> Self {
        Manner {
            order: Order::Half,
            is_strict: false,
            work,
            narrowest: 0,
        }
    }
}

/// Some sorts, as they are and widened, and the old number of each.
struct Kept {
    numbers: Vec<usize>,
    job: Job,
    wide: Job,
}

impl Kept {
    /// Without those that are less wide than this in some way.
    fn of(job: &Job, narrowest: i32) -> Self {
        let sorts = 0..job.copies.len();
        let is_wide = |&sort: &usize| job.narrowest(sort) >= Some(narrowest);
        let numbers: Vec<usize> = sorts.filter(is_wide).collect();
        let job = job.ordered(&numbers);
        Kept {
            wide: job.widened(),
            job,
            numbers,
        }
    }

    fn ordered(&self, order: Order) -> Self {
        let order = order.of(&self.wide);
        Kept {
            numbers: order.iter().map(|&sort| self.numbers[sort]).collect(),
            job: self.job.ordered(&order),
            wide: self.wide.ordered(&order),
        }
    }
}

/// How a length was refused.
#[derive(Clone, Debug)]
pub struct Noted {
    /// The old numbers of the sorts that refuse it, in the order that was tried.
    pub order: Vec<usize>,
    /// What was searched: sorts in this order, widened.
    pub wide: Job,
    /// See [`crate::certificate::starts`].
    pub tree: Vec<u64>,
}

/// How sorts are numbered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Order {
    /// Those last that are nearest to half the width.
    Half,
    /// The longest last.
    Longest,
    /// By lot.
    Lot(u64),
}

/// Orders tried in a round.
const ORDERS: u64 = 4;

/// Tries to lay all on this length. `work` is in about microseconds, and what is left of it is given back; what is said
/// depends on it, though not on `threads`.
pub fn ask(
    job: &Job,
    length: i32,
    work: &mut u64,
    threads: usize,
    stop: &(dyn Fn() -> bool + Sync),
) -> Outcome {
    let refused = ask_widest(job, length, work, stop);
    if refused != Outcome::Open {
        return refused;
    }
    let all = Kept::of(job, 0);
    let share = (*work / ORDERS).max(1);
    for round in 0..ROUNDS {
        let share = share << (2 * round);
        let ways: Vec<u64> = (0..ORDERS).collect();
        for ways in ways.chunks(threads.max(1)) {
            let mut shares = Vec::new();
            for &way in ways {
                let share = share.min(*work);
                *work -= share;
                if share > 0 {
                    shares.push((way, share));
                }
            }
            // The first that comes to an end says what is said, whichever is done sooner.
            let first = AtomicUsize::new(usize::MAX);
            let search = |(place, &(way, share)): (usize, &(u64, u64))| {
                let is_over = || first.load(Ordering::Relaxed) < place || stop();
                let (order, is_strict) = match way {
                    0 => (Order::Half, false),
                    1 => (Order::Half, true),
                    2 => (Order::Longest, false),
                    _ => (Order::Lot(u64::from(round)), true),
                };
                let manner = Manner {
                    order,
                    is_strict,
                    work: share,
                    narrowest: 0,
                };
                let ended = in_order(&all, length, manner, &is_over);
                if ended.0 != Outcome::Open {
                    first.fetch_min(place, Ordering::Relaxed);
                }
                ended
            };
            let ended: Vec<(Outcome, u64)> = shares
                .par_iter()
                .enumerate()
                .map(|(place, share)| search((place, share)))
                .collect();
            for (outcome, left) in ended {
                *work += left;
                if outcome != Outcome::Open {
                    return outcome;
                }
            }
            if *work == 0 || stop() {
                return Outcome::Open;
            }
        }
    }
    Outcome::Open
}

/// The first part of [`ask`] alone: refused, if it is without the narrow ones. Takes a small part of the work.
pub fn ask_widest(
    job: &Job,
    length: i32,
    work: &mut u64,
    stop: &(dyn Fn() -> bool + Sync),
) -> Outcome {
    let refused = fewer::refuses(job, length, work, stop);
    refused.map_or(Outcome::Open, Outcome::Refused)
}

/// What one search says, and the work it left.
fn in_order(
    all: &Kept,
    length: i32,
    manner: Manner,
    stop: &(dyn Fn() -> bool + Sync),
) -> (Outcome, u64) {
    let kept = all.ordered(manner.order);
    let mut asker = Across {
        is_strict: manner.is_strict,
        ..Across::of(&kept.job)
    };
    let mut search = Search::new(&kept.wide, length, PATIENCE, &mut asker, stop);
    let (said, spent) = search.run(manner.work);
    let (laid, is_proof) = (asker.laid, asker.is_proof);
    let laid = laid.map(|spots| renumbered(spots, &kept.numbers));
    let outcome = match (said, laid) {
        (Said::Taken, Some(spots)) => Outcome::Laid(spots),
        (Said::Refused, _) if is_proof => Outcome::Refused(manner),
        _ => Outcome::Open,
    };
    (outcome, manner.work.saturating_sub(spent))
}

/// A search that refused a length once more, with notes of its way; `None` if they are more than `most` numbers.
///
/// What a beginning refused is searched again where it is begun again with more charges, so there is more work to do.
pub fn noted(
    job: &Job,
    length: i32,
    manner: Manner,
    most: usize,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<Noted> {
    let kept = Kept::of(job, manner.narrowest).ordered(manner.order);
    let mut asker = Across::of(&kept.job);
    let mut search = Search::new(&kept.wide, length, PATIENCE, &mut asker, stop);
    search.notes = Some(Notes::of(most));
    let (said, _) = search.run(manner.work.saturating_mul(AGAIN));
    let tree = search.notes.take().and_then(Notes::numbers);
    let tree = tree.filter(|_| said == Said::Refused && asker.is_proof)?;
    Some(Noted {
        order: kept.numbers,
        wide: kept.wide,
        tree,
    })
}

/// Asks for what has places across.
struct Across<'j> {
    job: &'j Job,
    /// Whether a beginning without them is given up at once. Then nothing is proved.
    is_strict: bool,
    laid: Option<Vec<Spot>>,
    is_proof: bool,
    /// Tries since somebody asked for them.
    spent: u64,
}

impl<'j> Across<'j> {
    fn of(job: &'j Job) -> Self {
        Across {
            job,
            is_strict: false,
            laid: None,
            is_proof: true,
            spent: 0,
        }
    }
}

impl Asker for Across<'_> {
    fn takes(&mut self, starts: &[Start]) -> bool {
        self.laid = across(self.job, starts, &mut self.spent);
        self.is_proof &= self.laid.is_some();
        self.laid.is_some()
    }

    fn may_begin(&mut self, starts: &[Start]) -> bool {
        let may = !self.is_strict || across(self.job, starts, &mut self.spent).is_some();
        self.is_proof &= may;
        may
    }

    fn spent(&mut self) -> u64 {
        std::mem::take(&mut self.spent)
    }
}

/// Places for all, if there are some across for these along.
fn across(job: &Job, starts: &[Start], spent: &mut u64) -> Option<Vec<Spot>> {
    let lying = |start: &Start| {
        let way = job.ways[start.way];
        Lying {
            across: way.across,
            along: way.along,
            y: start.y,
        }
    };
    let lying: Vec<Lying> = starts.iter().map(lying).collect();
    let (places, left) = places(&lying, job.across, TRIES);
    *spent += u64::from(TRIES - left);
    let places = places?;
    let spot = |(start, x): (&Start, i32)| {
        let way = job.ways[start.way];
        Spot {
            sort: way.sort,
            size: [way.across, way.along],
            at: [x, start.y],
        }
    };
    Some(starts.iter().zip(places).map(spot).collect())
}

/// With the sorts' old numbers.
fn renumbered(spots: Vec<Spot>, order: &[usize]) -> Vec<Spot> {
    let old = |spot: Spot| Spot {
        sort: order[spot.sort],
        ..spot
    };
    spots.into_iter().map(old).collect()
}

impl Order {
    /// The old numbers of the sorts, in the new order.
    fn of(self, job: &Job) -> Vec<usize> {
        let size = |sort: usize| {
            let mut ways = job.ways.iter().filter(|way| way.sort == sort);
            ways.next().map_or([0, 0], |way| [way.across, way.along])
        };
        let key = |&sort: &usize| {
            let [across, along] = size(sort).map(i64::from);
            match self {
                Order::Half => -(2 * across - i64::from(job.across)).abs(),
                Order::Longest => along,
                Order::Lot(lot) => mixed(lot << 32 | sort as u64) as i64,
            }
        };
        let mut all: Vec<usize> = (0..job.copies.len()).collect();
        all.sort_by_key(key);
        all
    }
}

/// A number without pattern for each number (the finaliser of splitmix64; Steele, Lea, Flood 2014, from memory).
fn mixed(number: u64) -> u64 {
    let number = number.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let number = (number ^ number >> 30).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let number = (number ^ number >> 27).wrapping_mul(0x94d0_49bb_1331_11eb);
    number ^ number >> 31
}
