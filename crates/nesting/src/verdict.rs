//! What is answered: bounds with their argument, verdicts, and what goes with them.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use pieces::Length;
use serde::{Deserialize, Serialize};

use crate::certificate::abreast::Abreast;
use crate::certificate::places::Places;
use crate::certificate::sides::{Sides, Within};
use crate::certificate::starts::Starts;
use crate::certificate::{Charged, Larger, Line, Slices};
use crate::problem::{Cut, Marker, Problem};

/// Is the cloth on hand enough?
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// A verified marker fits.
    Enough,
    /// No marker can fit: proved.
    NotEnough,
    /// Neither is shown: the truth lies between bound and marker length.
    Undecided,
}

/// Why no marker can be shorter than a bound. Items are indices into the problem.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "argument")]
pub enum Argument {
    /// The pieces' area spread over the full usable width.
    Area,
    /// One piece is that long in every allowed turn.
    LongestPiece {
        /// Which.
        item: usize,
    },
    /// These pieces can't all share a height of the cloth: side by side they are too wide.
    SideBySide {
        /// Which, one entry a copy.
        items: Vec<usize>,
        /// A line across the cloth that runs through all of them; left out of two that have no room however they lie.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        line: Option<Line>,
        /// Pieces and cloth are taken so much larger, for a spacing.
        #[serde(default, skip_serializing_if = "Larger::is_not")]
        larger: Larger,
    },
    /// Sections across the cloth that are too wide to share a height, added up.
    Sections(Charged),
    /// Lines across the cloth at equal distances, which the pieces cross so often that together they
    /// are too wide for them.
    LinesAcross {
        /// How many.
        lines: u32,
        /// What sections on them are charged.
        #[serde(flatten)]
        charged: Charged,
    },
    /// Side by side these fill so many lengths of the cloth that `count` of them must lie one behind the
    /// other; that is as long as the shortest are together.
    Behind {
        /// Which, one entry a copy.
        items: Vec<usize>,
        /// How many.
        count: u32,
        /// What their narrowest sections are charged.
        #[serde(flatten)]
        charged: Charged,
    },
    /// None of the other pieces fits beside one of these, so their lengths come on top.
    Alone {
        /// Which, one entry a copy.
        items: Vec<usize>,
        /// Pieces and cloth are taken so much larger, for a spacing.
        #[serde(default, skip_serializing_if = "Larger::is_not")]
        larger: Larger,
        /// How long the others are at least, and why.
        rest: Box<Bound>,
    },
    /// Rectangles end at sums of their lengths only, and this is the next one.
    Sums {
        /// The length from which on it is the next, and why.
        rest: Box<Bound>,
    },
    /// No two of these can lie side by side; one behind the other, as near as their shapes let them in the
    /// best order, they are that long.
    NoTwoAbreast {
        /// Which, one entry a copy.
        items: Vec<usize>,
        /// For pieces that are not convex, or have many corners: polygons within.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        within: Vec<Within>,
    },
    /// Cut across into slices, the pieces bring more than the cloth can hold: see [`crate::certificate`].
    Slices(Slices),
    /// Cut across into parts, the pieces bring more than those that have room side by side can take up.
    Abreast(Abreast),
    /// Every combination of places along the cloth was tried: at some height, pieces are always too
    /// wide together.
    EveryPlace(Places),
    /// Every way in which few pieces may keep clear of each other was tried: see [`crate::certificate::sides`].
    Sides(Sides),
    /// Rectangles: every set of them, or of the widest, was tried wherever one may start along the cloth, and at some height they are always too
    /// wide together, or the length runs out: see [`crate::certificate::starts`].
    EveryStart(Starts),
    /// Every way to part the pieces' boxes by straight cuts of the kind asked for was tried. Says nothing of pieces
    /// that are cut out freely.
    EveryStraightCut,
}

impl Argument {
    /// Whether all places were tried and that was too long to be written down, here or in what it rests on.
    pub(crate) fn is_searched_again(&self) -> bool {
        match self {
            Argument::EveryPlace(places) => places.tree.is_empty(),
            Argument::Alone { rest, .. } | Argument::Sums { rest } => {
                rest.argument.is_searched_again()
            }
            _ => false,
        }
    }
}

/// A length below which no marker exists, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bound {
    /// The length.
    pub length: Length,
    /// The argument that proves it.
    #[serde(flatten)]
    pub argument: Argument,
}

/// The verdict on one length on hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruling {
    /// The length asked about.
    pub on_hand: Length,
    /// Enough or not.
    pub verdict: Verdict,
    /// The best bound known for it; above `on_hand` exactly when the verdict is `NotEnough`.
    pub bound: Bound,
}

/// How the marker's positions relate to the marking step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Snap {
    /// How many pieces have their lower left corner on the step, both ways.
    pub on_step: usize,
    /// The largest distance, over the other pieces, from corner to the nearest step.
    pub largest_rounding: Length,
}

impl Snap {
    /// Of a marker, against the marking step of its problem; none of it without one.
    #[must_use]
    pub fn of(problem: &Problem, marker: &Marker) -> Snap {
        let Some(step) = problem.marking_step.map(|step| step.um().max(1)) else {
            return Snap::default();
        };
        let off = |v: i64| v.rem_euclid(step).min(step - v.rem_euclid(step));
        let mut snap = Snap::default();
        for placement in &marker.placements {
            let corner = problem.placed(placement).bounds().min;
            let away = off(corner.x).max(off(corner.y));
            snap.on_step += usize::from(away == 0);
            snap.largest_rounding = snap.largest_rounding.max(Length::from_um(away));
        }
        snap
    }
}

/// How a marker is cut apart by straight cuts, and what that costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Straight {
    /// In order: each runs from edge to edge of a part that those before it have left.
    pub cuts: Vec<Cut>,
    /// The shortest length found for pieces that are cut out freely.
    pub free: Length,
}

/// What [`crate::plan()`] gives back. The marker has passed [`crate::verify`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The shortest marker found.
    pub marker: Marker,
    /// The best bound on any marker's length.
    pub bound: Bound,
    /// One for each length on hand, in the problem's order.
    pub rulings: Vec<Ruling>,
    /// Where pieces are cut out by straight cuts, these, in order; the first cuts the layout off the cloth.
    pub straight: Option<Straight>,
    /// Which engine found the marker: `rows`, `rectangles`, `around`, `apart`, `repeat`, `constructive`, `exact`,
    /// `separate` or `straight`; or `earlier` if it was known before.
    pub engine: &'static str,
    /// See [`Snap`].
    pub snap: Snap,
    /// Steps spent.
    pub steps: u64,
}

/// How hard to look, for a problem of any size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// A first answer: a quarter of the normal steps for a few pieces, a twelfth for a thousand.
    Quick,
    /// Few pieces at once, many within a second or so.
    #[default]
    Normal,
    /// Sixty times the normal steps.
    Long,
}

/// How much may be spent: steps, and with them the same layout every time, or time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    /// Steps at most, a microsecond each or less, beside the rows that come first; `None`: by the size of the
    /// problem and the level.
    pub steps: Option<u64>,
    /// How hard to look where no steps are given.
    pub level: Level,
    /// How many times as hard as the level says; 0 counts as 1.
    pub times: u32,
    /// Wall-clock time from the call on. With it the search goes on until then, whatever the steps, unless the
    /// length meets the bound; for a few pieces a share of it is kept for proofs; what is done after these
    /// comes on top.
    pub time: Option<Duration>,
    /// Threads.
    pub threads: usize,
    /// Seed of every random choice.
    pub seed: u64,
}

impl Budget {
    /// The level's own steps or work, as often as the budget says.
    pub(crate) fn of_level(&self, usual: u64) -> u64 {
        usual.saturating_mul(u64::from(self.times.max(1)))
    }
}

impl Default for Budget {
    fn default() -> Self {
        Budget {
            steps: None,
            level: Level::Normal,
            times: 1,
            time: None,
            threads: 1,
            seed: 1,
        }
    }
}

/// Told how a run goes; may end it.
pub trait Progress {
    /// Called now and then with the best length so far, the bound, and the engine that found it. The length
    /// is of a layout that the engine holds for valid; the last one told has passed the check.
    fn report(&mut self, best: Option<Length>, bound: Length, engine: &'static str);
    /// Called when another part of the work begins: `searching`.
    fn phase(&mut self, _name: &str) {}
    /// A flag that ends the run, with the best marker so far, once it is set. May be asked for once.
    fn cancel_flag(&self) -> Option<Arc<AtomicBool>> {
        None
    }
}

/// Progress that nobody looks at.
pub struct Silent;

impl Progress for Silent {
    fn report(&mut self, _: Option<Length>, _: Length, _: &'static str) {}
}
