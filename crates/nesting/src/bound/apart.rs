//! How far apart along the cloth two pieces must lie that are too wide to lie side by side.
//!
//! Where one lies relative to the other is outside their no-fit region, and across it is no further than the
//! usable width lets it be. So if, over a whole band of distances along, the region covers that stretch
//! across, no distance of the band is possible. In a convex part of the region the borders of the sections over
//! a band lie between those at its two ends, so what both sections cover is covered all through the band.
//! Exact in integers, rounded so that less is covered. Own derivation.
//!
//! This is what sections don't know: that in the bow of a ring piece the next one finds room only at some
//! distance, and that flared panels of one way do not mate.
//!
//! Pieces are taken as they are, not grown for spacing: they lie no nearer than without one; curved ones by a
//! polygon of few corners that they contain.

use super::grown::Grown;
use super::kinds::Kind;
use super::stances::{Stance, end_for_end};
use crate::geometry::{ConvexPart, NoFit, NoFitPart, WITHIN, convex_parts, simplified_within};
use crate::problem::Problem;

/// Regions whose convex parts have more pairs than this in all take too long.
const MOST_PAIRS: usize = 20_000;

/// Bands shorter than this share of a piece whose both ends are free are not looked into: what is
/// covered between is of no use.
const SHORT: i64 = 16;

/// Kinds as they may lie, and the distances between each two of them.
pub(super) struct Distances {
    pub stances: Vec<Stance>,
    /// By stance, then stance: the second relative to the first.
    pub apart: Vec<Vec<Apart>>,
    /// By stance: see [`end_for_end`].
    pub turned: Option<Vec<usize>>,
}

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
            stances,
            apart,
        })
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
pub(super) struct Apart {
    pairs: Vec<Pair>,
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
        Apart { pairs, refused }
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
    /// distance along is; the longest such stretch, if any.
    pub fn gap(&self, band: [i64; 2]) -> Option<[i64; 2]> {
        let mut gap = [i64::MIN, i64::MAX];
        for pair in &self.pairs {
            let [from, to] = longest(pair.covered(band))?;
            gap = [gap[0].max(from), gap[1].min(to)];
        }
        (gap[0] < gap[1] && !self.pairs.is_empty()).then_some(gap)
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

/// The longest of the stretches that overlapping ones make together.
fn longest(stretches: Vec<[i64; 2]>) -> Option<[i64; 2]> {
    let length = |s: [i64; 2]| s[1] - s[0];
    let (mut longest, mut here): (Option<[i64; 2]>, Option<[i64; 2]>) = (None, None);
    for [left, right] in stretches {
        here = match here {
            Some([from, to]) if left < to => Some([from, right.max(to)]),
            _ => Some([left, right]),
        };
        if here.map(length) > longest.map(length) {
            longest = here;
        }
    }
    longest
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
    let (l, h) = (inside(part, low)?, inside(part, high)?);
    let both = [l[0].max(h[0]), l[1].min(h[1])];
    (both[0] < both[1]).then_some(both)
}

/// An open stretch across that lies inside the part at this height.
fn inside(part: &NoFitPart, y: i64) -> Option<[i64; 2]> {
    let (left, right) = part.forbidden_across(y)?;
    // What is given is rounded outwards.
    let slack = i64::from(!part.is_box);
    Some([left + slack, right - slack])
}
