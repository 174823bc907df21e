//! How short can a marker not be? Lengths below which none exists, each with its argument.
//!
//! - area over usable width, and the longest piece;
//! - sections across the pieces, charged by dual feasible functions (`dual`);
//! - two pieces alone, exactly (`pair`);
//! - pieces that must lie one behind the other (`stacked`);
//! - lines across the cloth, which pieces must cross (`lines`): side by side, and in rows;
//! - lines at the very ends of long pieces;
//! - pieces no two of which can lie side by side, in the best order (`one_by_one`, `apart`);
//! - slices of all pieces in the best spread, as a linear program finds it, and in zones of a length where tall
//!   pieces cover the middle (`slices`);
//! - parts of pieces that can lie abreast with all of the piece, in the best spread (`abreast`);
//! - places along the cloth, all combinations of them (`exact`), for small jobs;
//! - sides on which pieces keep clear of each other, all of them (`sides`), for few pieces;
//! - sums of lengths, at which alone rectangles can end (`sums`).
//!
//! With a spacing, all of this is asked about grown pieces on grown cloth (`grown`): once grown
//! across, once along, once both ways.
//!
//! An argument brings what separate code needs to check it as it stands ([`crate::certificate`]): all but those that tried
//! everything and could not write it down, which are tried again.
//!
//! All are exact in integers and rounded so that they stay true; turns and mirrors are in them. They are
//! tried from cheap to dear within a fixed amount of work (`search`, `across`), so the result is
//! deterministic. [`best`] gives the greatest; [`refuse`] asks about one length and tries harder.

mod abreast;
mod across;
pub(crate) mod apart;
mod dual;
pub(crate) mod grown;
pub(crate) mod kinds;
mod layer;
mod lines;
mod measured;
mod one_by_one;
mod pair;
pub(crate) mod profile;
mod search;
mod slices;
mod stacked;
pub(crate) mod stances;
mod sums;
mod tried;
mod within;

use std::cell::Cell;

use pieces::Length;

use crate::certificate;
use crate::certificate::places::Places;
use crate::certificate::sides::Sides;
use crate::certificate::starts::Starts;
use crate::problem::{Item, Problem, Turn};
use crate::rectangles;
use crate::sides::BySides;
use crate::straight;
use crate::verdict::{Argument, Bound};
use grown::Grown;
pub(crate) use layer::{Layer, Lying};
pub use measured::{Measured, measured};
use search::{Known, Search};

/// Sections looked at on lines, at most, in [`best`]: a few milliseconds.
const WORK: u64 = 150_000;

/// How much harder [`refuse`] tries.
pub(crate) const HARDER: u64 = 6;

/// How often [`recheck`] tries, each time ten times as hard as before.
const MOST_TRIES: u32 = 4;

/// Up to so many sides to choose from, over all pairs of pieces, the search by sides gets a share of the work on places.
pub(crate) const MOST_CHOICES: usize = 224;

/// Work for a search by sides that is done again, at most, in about nanoseconds.
const MOST_AGAIN: u64 = 20_000_000_000;

/// An item that is wider than the usable width in every turn it may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooWide {
    /// Which item.
    pub item: usize,
    /// Its least width across over the allowed turns.
    pub across: Length,
    /// How much of it does not fit.
    pub over: Length,
}

/// The items that fit the usable width in no allowed turn: with any of them there is no marker.
#[must_use]
pub fn too_wide(problem: &Problem) -> Vec<TooWide> {
    let usable = problem.cloth.usable_width();
    let narrowest = |item: &Item| {
        let bounds = item.outline.bounds();
        item.turns
            .iter()
            .map(|turn| match turn {
                Turn::None | Turn::Half => bounds.across(),
                Turn::Quarter | Turn::ThreeQuarters => bounds.along(),
            })
            .min()
    };
    let items = problem
        .items
        .iter()
        .enumerate()
        .filter(|(_, item)| item.copies > 0);
    items
        .filter_map(|(number, item)| {
            let across = narrowest(item)?;
            (across > usable).then(|| TooWide {
                item: number,
                across,
                over: across - usable,
            })
        })
        .collect()
}

/// The greatest length found below which no marker exists.
///
/// If an item is [`too_wide`] there is no marker at all, and the bound still holds.
#[must_use]
pub fn best(problem: &Problem) -> Bound {
    greatest(problem, None, 1)
}

/// The same bound or a greater one by slices, for which there is `work` in about nanoseconds.
pub(crate) fn with_slices(problem: &Problem, bound: Bound, work: u64) -> Bound {
    let mut best = bound;
    let ways = grown::all(problem.spacing.um());
    for &grown in &ways {
        let share = work / ways.len() as u64;
        if let Some(bound) = Search::by_slices(problem, grown, &best, share) {
            best = bound;
        }
    }
    best
}

/// The bound with such trees only as hold when they are checked: what others refuse is searched again.
pub(crate) fn with_trees_that_hold(problem: &Problem, mut bound: Bound) -> Bound {
    let below = bound.length - Length::from_um(1);
    match &mut bound.argument {
        Argument::EveryPlace(places) if !certificate::places::proves(problem, places, below) => {
            *places = Places::default();
        }
        Argument::Alone { rest, .. } | Argument::Sums { rest } => {
            **rest = with_trees_that_hold(problem, (**rest).clone());
        }
        _ => {}
    }
    bound
}

/// A proof that nothing fits in `length`: a bound above it, if one is found.
#[must_use]
pub fn refuse(problem: &Problem, length: Length) -> Option<Bound> {
    refuse_with(problem, length, HARDER)
}

/// The same, trying `harder` times as hard as [`best`]: some milliseconds each for up to sixteen pieces; no
/// more than six times for others.
#[must_use]
pub fn refuse_with(problem: &Problem, length: Length, harder: u64) -> Option<Bound> {
    let bound = greatest(problem, Some(length), harder);
    (bound.length > length).then_some(bound)
}

/// A greater bound than `known` by parts of pieces that can lie abreast, if `work`, in about nanoseconds, is enough to
/// find one, and until it is to `stop`.
#[must_use]
pub fn greater_abreast(
    problem: &Problem,
    known: &Bound,
    work: u64,
    stop: &dyn Fn() -> bool,
) -> Option<Bound> {
    abreast::greater(problem, known, work, stop)
}

/// A proof that nothing fits in `length` by sides alone, for few pieces; `work` is in about nanoseconds. The bound, if
/// there is one, is a micrometre above `length`.
#[must_use]
pub fn refuse_by_sides(problem: &Problem, length: Length, work: u64) -> Option<Bound> {
    let sides = BySides::about(problem)?.refused(length.um(), work)?;
    Some(Bound {
        length: length + Length::from_um(1),
        argument: Argument::Sides(sides),
    })
}

/// What is said of a length where a layout is wanted as much as a proof.
pub(crate) enum Said {
    /// Nothing fits.
    Refused(Bound),
    /// These, nearly where they lie, can be made a layout.
    Laid(Vec<Lying>),
    /// Neither is known.
    Open,
}

/// Questions about one problem: what its pieces refuse each other is made once for all of them.
pub(crate) struct Questions<'q> {
    problem: &'q Problem,
    /// With each way to grow the pieces.
    ways: Vec<(Grown, Known)>,
    /// What sides have to say, if there are few.
    pub by_sides: Option<BySides<'q>>,
}

impl<'q> Questions<'q> {
    pub fn about(problem: &'q Problem) -> Self {
        let ways = grown::all(problem.spacing.um());
        Questions {
            problem,
            ways: ways.iter().map(|&way| (way, Known::default())).collect(),
            by_sides: BySides::about(problem).filter(|sides| sides.choices() <= MOST_CHOICES),
        }
    }

    /// Asks about one length; `work` for the search over places is in about nanoseconds, and what is left of it is
    /// given back.
    pub fn ask(&self, length: Length, layer: &Layer<'_>, work: &mut u64) -> Said {
        for (number, (grown, known)) in self.ways.iter().enumerate() {
            let floor = length.um().saturating_add(grown.along);
            let share = *work / (self.ways.len() - number) as u64;
            let mut search = Search::new(self.problem, *grown, floor, HARDER)
                .knowing(known)
                .for_layer(layer, share)
                .by_sides(self.by_sides.as_ref().filter(|_| number == 0));
            let bound = search.run();
            *work -= share - search.work_on_places;
            if bound.length > length {
                return Said::Refused(bound);
            }
            if let Some(lying) = search.lying {
                return Said::Laid(lying);
            }
        }
        Said::Open
    }
}

/// How a bound was shown again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shown {
    /// What its argument adds up was added up anew, from the outlines.
    Worked,
    /// A tree of all that can be was gone through, with what refuses each leaf: in so many numbers.
    Tree(usize),
    /// All straight cuts of a few boxes were tried by code of the check's own.
    Cuts,
    /// The search that found it was done once more, by the same code.
    Searched,
}

/// True if `bound` can be shown again from the problem alone: its own argument is checked as it stands by
/// [`certificate::holds`]; one that tried everything is tried again, within others too.
#[must_use]
pub fn recheck(problem: &Problem, bound: &Bound) -> bool {
    shown_again(problem, bound).is_some()
}

/// How `bound` can be shown again, as [`recheck`] does; `None` if it can't.
#[must_use]
pub fn shown_again(problem: &Problem, bound: &Bound) -> Option<Shown> {
    let is_searched = Cell::new(false);
    let again = |problem: &Problem, bound: &Bound| {
        is_searched.set(true);
        is_found_again(problem, bound)
    };
    let holds = certificate::holds(problem, bound, &again);
    holds.then(|| match is_searched.get() {
        true => Shown::Searched,
        false => shown_by(&bound.argument),
    })
}

/// How an argument is checked as it stands, or the one that it rests on.
fn shown_by(argument: &Argument) -> Shown {
    match argument {
        Argument::EveryPlace(Places { tree, .. })
        | Argument::Sides(Sides { tree, .. })
        | Argument::EveryStart(Starts { tree, .. }) => Shown::Tree(tree.len()),
        Argument::EveryStraightCut => Shown::Cuts,
        Argument::Alone { rest, .. } | Argument::Sums { rest } => shown_by(&rest.argument),
        _ => Shown::Worked,
    }
}

/// True if a bound whose argument is not written down is found again.
fn is_found_again(problem: &Problem, bound: &Bound) -> bool {
    let below = bound.length - Length::from_um(1);
    match &bound.argument {
        Argument::EveryStraightCut => return straight::is_refused(problem, below),
        Argument::EveryStart(starts) if rectangles::is_refused(problem, below, starts.work) => {
            return true;
        }
        Argument::Sides(sides) => {
            let search = BySides::about(problem);
            let work = sides.work.min(MOST_AGAIN);
            return search.is_some_and(|search| search.refused(below.um(), work).is_some());
        }
        _ => {}
    }
    let mut tries = (0..MOST_TRIES).map(|n| HARDER * 10_u64.pow(n));
    // It may have been asked about a length on hand.
    let mut on_hand = problem.cloth.on_hand.iter();
    best(problem).length >= bound.length
        || tries.any(|harder| refuse_with(problem, below, harder).is_some())
        || on_hand.any(|&length| refuse(problem, length).is_some_and(|b| b.length >= bound.length))
}

/// The greatest bound over all ways to grow the pieces; the first one above `length`, if given.
fn greatest(problem: &Problem, length: Option<Length>, harder: u64) -> Bound {
    let mut best = Bound {
        length: Length::ZERO,
        argument: Argument::Area,
    };
    for grown in grown::all(problem.spacing.um()) {
        let floor = length.map_or(0, |length| length.um().saturating_add(grown.along));
        let bound = Search::new(problem, grown, floor, harder).run();
        if bound.length > best.length {
            best = bound;
        }
        if length.is_some_and(|length| best.length > length) {
            break;
        }
    }
    with_trees_that_hold(problem, best)
}

#[cfg(test)]
mod tests;
