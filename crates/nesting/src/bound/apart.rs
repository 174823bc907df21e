//! How far apart along the cloth two pieces must lie that are too wide to lie side by side.
//!
//! Where one lies relative to the other is outside their no-fit region, and across it is no further than the
//! usable width lets it be. So if, over a whole band of distances along, the region covers that stretch
//! across, no distance of the band is possible. In a convex part of the region the borders of the sections over
//! a band lie between those at its two ends, so what both sections cover is covered all through the band.
//! Exact in integers, rounded so that less is covered. Source: own derivation.
//!
//! This is what sections don't know: that in the bow of a ring piece the next one finds room only at some
//! distance, and that flared panels of one way do not mate.
//!
//! Pieces are taken as they are, not grown for spacing: they lie no nearer than without one; curved ones by a
//! polygon of few corners that they contain.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::grown::Grown;
use super::kinds::Kind;
use super::stances::{Stance, end_for_end};
use crate::geometry::{
    ConvexPart, FEW_CORNERS, NoFit, NoFitPart, WHOLE, WITHIN, convex_parts, simplified_within,
};
use crate::problem::Problem;

/// Regions whose convex parts have more pairs than this in all take too long.
const MOST_PAIRS: usize = 20_000;

/// Bands shorter than this share of a piece whose both ends are free are not looked into: what is
/// covered between is of no use.
const SHORT: i64 = 16;

/// Kinds as they may lie, and the distances between each two of them.
pub(crate) struct Distances {
    pub stances: Vec<Stance>,
    /// By stance, then stance: the second relative to the first.
    pub apart: Vec<Vec<Apart>>,
    /// By stance: see [`end_for_end`].
    pub turned: Option<Vec<usize>>,
    /// What shapes refuse each other as they are, by their first and second stance and outline.
    whole: Mutex<HashMap<[Lying; 2], Arc<Pair>>>,
}

/// What it takes to look at two shapes as they are, in about nanoseconds, if they must be made now and then.
const WHOLE_WORK: u64 = 20_000;

/// A stance and one of its outlines.
pub(crate) type Lying = (usize, usize);

impl Distances {
    /// `None` if it would take too long.
    pub fn of(problem: &Problem, kinds: &[Kind], grown: Grown) -> Option<Self> {
        let stances = Stance::all(problem, kinds, grown);
        let cut = |stance: &Stance| -> Vec<Cut> {
            let outlines = stance.outlines.iter();
            let cut = outlines.map(|outline| Cut {
                parts: convex_parts(&simplified_within(outline, WITHIN)),
                across: outline.bounds().across().um(),
            });
            cut.collect()
        };
        let cut: Vec<Vec<Cut>> = stances.iter().map(cut).collect();
        let parts = cut.iter().flatten().map(|cut| cut.parts.len());
        if parts.sum::<usize>().pow(2) > MOST_PAIRS {
            return None;
        }
        let usable = problem.cloth.usable_width().um();
        let of = |first: usize, second: usize| {
            let ends = [-stances[second].along(), stances[first].along()];
            Apart::new(&cut[first], &cut[second], ends, usable)
        };
        let all = 0..stances.len();
        let of_first = |first: usize| all.clone().map(|second| of(first, second)).collect();
        let apart = all.clone().map(of_first).collect();
        Some(Distances {
            turned: end_for_end(&stances),
            whole: Mutex::default(),
            stances,
            apart,
        })
    }

    /// [`Apart::gaps`] between two shapes as they are (of some thousand corners, nearly so), not by the coarse polygons
    /// within them. Takes what it cost from `work`.
    pub fn whole_gaps(
        &self,
        first: Lying,
        second: Lying,
        band: [i64; 2],
        work: &mut u64,
    ) -> Vec<[i64; 2]> {
        let known = || self.whole.lock().unwrap_or_else(PoisonError::into_inner);
        let known_pair = known().get(&[first, second]).cloned();
        let pair = known_pair.unwrap_or_else(|| {
            // Unlocked, since it may take long: two may make the same.
            let parts = |(stance, outline): Lying| {
                convex_parts(&simplified_within(
                    &self.stances[stance].outlines[outline],
                    WHOLE,
                ))
            };
            let pair = Arc::new(Pair {
                parts: NoFit::of(&parts(first), &parts(second), None).parts,
                window: [0, 0],
            });
            known().insert([first, second], Arc::clone(&pair));
            pair
        });
        // Charged alike whether it was known, or what is said would depend on threads.
        *work = work.saturating_sub(WHOLE_WORK + 60 * pair.parts.len() as u64);
        pair.gaps(band)
    }

    /// Whether polygons stand for shapes of this stance.
    pub fn is_simplified(&self, stance: usize) -> bool {
        let outlines = &self.stances[stance].outlines;
        outlines
            .iter()
            .any(|outline| outline.points().len() > FEW_CORNERS)
    }

    /// Whether two copies may lie in these stances at all: if of one garment, not turned against each other.
    pub fn go_together(&self, kinds: &[Kind], first: usize, second: usize) -> bool {
        let (first, second) = (&self.stances[first], &self.stances[second]);
        let garment = kinds[first.kind].garment;
        garment.is_none()
            || garment != kinds[second.kind].garment
            || !first.turns.common(second.turns).is_empty()
    }
}

/// An outline by convex parts of it, and how wide it is.
struct Cut {
    parts: Vec<ConvexPart>,
    across: i64,
}

/// What two shapes refuse each other, for all that a stance may have.
struct Pair {
    parts: Vec<NoFitPart>,
    /// Least and greatest distance across that the width lets the second have from the first.
    window: [i64; 2],
}

/// The distances that one stance refuses another.
pub(crate) struct Apart {
    /// Each of the first's shapes with each of the second's.
    pairs: Vec<Pair>,
    /// How many shapes the second has.
    seconds: usize,
    /// Closed stretches of distances along, from the first's lower end to the second's, ascending.
    refused: Vec<[i64; 2]>,
}

impl Apart {
    fn new(fixed: &[Cut], moving: &[Cut], [least, most]: [i64; 2], usable: i64) -> Self {
        let mut pairs = Vec::new();
        let mut are_wide = true;
        for one in fixed {
            for other in moving {
                are_wide &= one.across + other.across > usable;
                pairs.push(Pair {
                    parts: NoFit::of(&one.parts, &other.parts, None).parts,
                    window: [one.across - usable, usable - other.across],
                });
            }
        }
        let mut refused = Vec::new();
        if are_wide && !pairs.is_empty() {
            let covered = |band: [i64; 2]| pairs.iter().all(|pair| pair.covers(band));
            let short = (most - least) / SHORT;
            // If they meet anywhere, then where both begin at the same height.
            parted(&covered, [least, 0], short, &mut refused);
            parted(&covered, [0, most], short, &mut refused);
        }
        Apart {
            pairs,
            seconds: moving.len(),
            refused,
        }
    }

    /// True if the second may lie at no distance of this band from the first, along.
    pub fn refuses(&self, [low, high]: [i64; 2]) -> bool {
        let mut refused = self.refused.iter();
        refused.any(|&[from, to]| from <= low && high <= to)
    }

    /// The least distance of 0 or more along.
    pub fn least(&self) -> i64 {
        let refused = self
            .refused
            .iter()
            .find(|[from, to]| *from <= 0 && 0 <= *to);
        refused.map_or(0, |[_, to]| to + 1)
    }

    /// Between which distances across the second may not lie right of the first, wherever in this band their
    /// distance along is; for one shape of the first or the second, if given.
    pub fn gaps(
        &self,
        band: [i64; 2],
        first: Option<usize>,
        second: Option<usize>,
    ) -> Vec<[i64; 2]> {
        let pairs = self.pairs.iter().enumerate().filter(|(number, _)| {
            first.is_none_or(|first| number / self.seconds == first)
                && second.is_none_or(|second| number % self.seconds == second)
        });
        let mut gaps = pairs.map(|(_, pair)| pair.gaps(band));
        let all = gaps.next().unwrap_or_default();
        gaps.fold(all, |all, gaps| common(&all, &gaps))
    }

    /// About how many nanoseconds a gap takes.
    pub fn work(&self) -> u64 {
        let parts = self.pairs.iter().map(|pair| pair.parts.len() as u64);
        60 + 60 * parts.sum::<u64>()
    }
}

impl Pair {
    /// Open stretches across that are refused at all distances along of the band, by where they begin.
    fn covered(&self, band: [i64; 2]) -> Vec<[i64; 2]> {
        let parts = self.parts.iter();
        let mut covered: Vec<[i64; 2]> = parts.filter_map(|part| inside_all(part, band)).collect();
        covered.sort_unstable();
        covered
    }

    /// The same, those that overlap made one.
    fn gaps(&self, band: [i64; 2]) -> Vec<[i64; 2]> {
        let mut gaps: Vec<[i64; 2]> = Vec::new();
        for [left, right] in self.covered(band) {
            match gaps.last_mut() {
                Some([_, to]) if left < *to => *to = right.max(*to),
                _ => gaps.push([left, right]),
            }
        }
        gaps
    }

    /// Whether all of the window is refused at all distances along of the band.
    fn covers(&self, band: [i64; 2]) -> bool {
        let covered = self.covered(band);
        let [mut at, last] = self.window;
        // The stretches are open, so where one ends another must have begun before.
        let mut reach = i64::MIN;
        let mut next = covered.iter().peekable();
        while at <= last {
            while let Some([_, right]) = next.next_if(|[left, _]| *left < at) {
                reach = reach.max(*right);
            }
            if reach <= at {
                return false;
            }
            at = reach;
        }
        true
    }
}

/// What two lists of stretches, ascending and apart, have in common.
fn common(one: &[[i64; 2]], other: &[[i64; 2]]) -> Vec<[i64; 2]> {
    let both = |a: &[i64; 2], b: &[i64; 2]| [a[0].max(b[0]), a[1].min(b[1])];
    let pairs = one
        .iter()
        .flat_map(|a| other.iter().map(move |b| both(a, b)));
    pairs.filter(|[from, to]| from < to).collect()
}

/// Adds the parts of the band that are covered, to the last whole number.
fn parted(
    covered: &dyn Fn([i64; 2]) -> bool,
    [low, high]: [i64; 2],
    short: i64,
    refused: &mut Vec<[i64; 2]>,
) {
    if covered([low, high]) {
        match refused.last_mut() {
            Some(last) if last[1] == low => last[1] = high,
            _ => refused.push([low, high]),
        }
        return;
    }
    let is_of_use = high - low > short || covered([low, low]) || covered([high, high]);
    if high - low > 1 && is_of_use {
        let middle = low + (high - low) / 2;
        parted(covered, [low, middle], short, refused);
        parted(covered, [middle, high], short, refused);
    }
}

/// An open stretch across that lies inside the part at all heights of the band.
fn inside_all(part: &NoFitPart, [low, high]: [i64; 2]) -> Option<[i64; 2]> {
    let (l, h) = (part.covered_across(low)?, part.covered_across(high)?);
    let both = [l.0.max(h.0), l.1.min(h.1)];
    (both[0] < both[1]).then_some(both)
}
