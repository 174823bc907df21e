//! How short can a marker not be? Lengths below which none exists, each with its argument.
//!
//! - area over usable width, and the longest piece;
//! - sections across the pieces, charged by dual feasible functions (`dual`);
//! - two pieces alone, exactly (`pair`);
//! - lines across the cloth, which pieces must cross (`lines`): side by side, and in rows;
//! - places along the cloth, all combinations of them (`places`), for small jobs.
//!
//! - lines at the very ends of long pieces.
//!
//! With a spacing, all of this is asked about grown pieces on grown cloth (`grown`): once grown
//! across, once along, once both ways.
//!
//! All are exact in integers and rounded so that they stay true; turns and mirrors are in them. They are tried from cheap to dear within a fixed amount of work, so the result is
//! deterministic. [`best`] gives the greatest; [`refuse`] asks about one length and tries harder.

mod dual;
mod grown;
mod kinds;
mod lines;
mod pair;
mod places;
mod profile;

use std::collections::BTreeSet;

use pieces::{Length, Outline};

use crate::problem::{Item, Problem, Turn};
use crate::verdict::{Argument, Bound};
use dual::Dual;
use grown::Grown;
use kinds::{Kind, kinds};
use lines::Lines;
use places::Outcome;
use profile::Profile;

/// Sections looked at on lines, at most, in [`best`]: a few milliseconds.
const WORK: u64 = 150_000;

/// How much harder [`refuse`] tries.
const HARDER: u64 = 6;

/// Most lines drawn: beyond a dozen rows the sections say nearly as much.
const MOST_LINES: i64 = 12;

/// Work in the search over places, in about nanoseconds, at most, in [`best`].
const PLACES_WORK: u64 = 4_000_000;

/// More pieces than this have too many combinations of places.
const MOST_PLACED: i64 = 16;

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
    greatest(problem, None, WORK)
}

/// A proof that nothing fits in `length`: a bound above it, if one is found.
#[must_use]
pub fn refuse(problem: &Problem, length: Length) -> Option<Bound> {
    let bound = greatest(problem, Some(length), WORK * HARDER);
    (bound.length > length).then_some(bound)
}

/// True if `bound` can be shown again from the problem alone: some argument reaches its length.
#[must_use]
pub fn recheck(problem: &Problem, bound: &Bound) -> bool {
    let below = bound.length - Length::from_um(1);
    best(problem).length >= bound.length || refuse(problem, below).is_some()
}

/// The greatest bound over all ways to grow the pieces; the first one above `length`, if given.
fn greatest(problem: &Problem, length: Option<Length>, work: u64) -> Bound {
    let mut best = Bound {
        length: Length::ZERO,
        argument: Argument::Area,
    };
    for grown in grown::all(problem.spacing.um()) {
        let floor = length.map_or(0, |length| length.um().saturating_add(grown.along));
        let bound = Search::new(problem, grown, floor, work).run();
        if bound.length > best.length {
            best = bound;
        }
        if length.is_some_and(|length| best.length > length) {
            break;
        }
    }
    best
}

/// `numerator / denominator`, rounded up; the denominator is positive.
fn up(numerator: i128, denominator: i128) -> i64 {
    let value = -(-numerator).div_euclid(denominator);
    i64::try_from(value).unwrap_or(i64::MAX)
}

/// The values of a dual feasible function on the sections of every kind, one profile a way.
struct Charged {
    /// Its value of the width that sections share.
    whole: i64,
    /// By kind, then way.
    values: Vec<Vec<Profile>>,
    /// By kind: twice the least integral over its ways.
    doubled: Vec<i128>,
}

struct Search<'a> {
    problem: &'a Problem,
    kinds: Vec<Kind>,
    /// How much larger than they are all pieces are taken.
    grown: Grown,
    /// What sections share: usable width and what pieces are grown across.
    usable: i64,
    /// Only bounds above this matter.
    floor: i64,
    best: Bound,
    work: u64,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, grown: Grown, floor: i64, work: u64) -> Self {
        let (kinds, usable) = kinds(problem, grown);
        let best = Bound {
            length: Length::ZERO,
            argument: Argument::Area,
        };
        Search {
            problem,
            kinds,
            grown,
            usable,
            floor,
            best,
            work,
        }
    }

    /// The greatest length found for the cloth as it is.
    fn run(mut self) -> Bound {
        if self.kinds.is_empty() || self.problem.cloth.usable_width().um() <= 0 {
            return self.best;
        }
        self.search();
        let grown = Length::from_um(self.grown.along);
        self.best.length = (self.best.length - grown).max(Length::ZERO);
        self.best
    }

    /// All arguments, from cheap to dear; lengths are those of the grown cloth.
    fn search(&mut self) {
        self.area();
        self.longest();
        if self.is_done() {
            return;
        }
        self.pairs();
        if self.is_done() {
            return;
        }
        let mut charged = self.sections();
        if self.is_done() {
            return;
        }
        // The functions that say most go first, as work is limited.
        charged.sort_by_key(|c| {
            std::cmp::Reverse(up(c.doubled.iter().sum(), 2 * i128::from(c.whole)))
        });
        self.ends(&charged);
        self.rows(&charged);
        if !self.is_done() {
            self.places();
        }
    }

    /// True if the question is answered.
    fn is_done(&self) -> bool {
        self.floor > 0 && self.best.length.um() > self.floor
    }

    fn offer(&mut self, length: i64, argument: impl FnOnce() -> Argument) {
        if length > self.best.length.um() {
            self.best = Bound {
                length: Length::from_um(length),
                argument: argument(),
            };
        }
    }

    /// The exact area over the usable width. With a spacing s, a piece of height h takes at least
    /// s h more, of a width that is s more; or all of it is grown by a disc.
    fn area(&mut self) {
        if self.grown.along > 0 {
            return;
        }
        let spacing = self.problem.spacing.um().max(0);
        let doubled: i128 = self
            .kinds
            .iter()
            .map(|kind| {
                let gaps = 2 * i128::from(spacing) * i128::from(kind.least_height());
                i128::from(kind.copies) * (kind.doubled_area + gaps)
            })
            .sum();
        self.offer(up(doubled, 2 * i128::from(self.usable)), || Argument::Area);
        if spacing > 0 {
            let items = self.problem.items.iter();
            let doubled: i128 = items
                .map(|item| {
                    i128::from(item.copies) * grown::doubled_area_by_disc(&item.outline, spacing)
                })
                .sum();
            let length = up(doubled, 2 * i128::from(self.usable)) - spacing;
            self.offer(length, || Argument::Area);
        }
    }

    fn longest(&mut self) {
        let longest = self.kinds.iter().max_by_key(|kind| kind.least_height());
        if let Some(kind) = longest {
            let (length, item) = (kind.least_height(), kind.items[0].0);
            self.offer(length, || Argument::LongestPiece { item });
        }
    }

    /// Sections charged by every function worth trying.
    fn sections(&mut self) -> Vec<Charged> {
        let mut widths = BTreeSet::new();
        for kind in &self.kinds {
            for way in &kind.ways {
                for s in &way.profile.stretches {
                    widths.extend([s.low, s.high, (s.low + s.high) / 2]);
                }
            }
        }
        let stretches: usize = self
            .kinds
            .iter()
            .flat_map(|k| &k.ways)
            .map(|w| w.profile.stretches.len())
            .sum();
        let most = (100_000 / stretches.max(1)).clamp(8, 64);
        let mut all = Vec::new();
        let span = |kind: &Kind| {
            let sections = || kind.ways.iter().flat_map(|w| &w.profile.stretches);
            let least = sections().map(|s| s.low.min(s.high)).min().unwrap_or(0);
            let greatest = sections().map(|s| s.low.max(s.high)).max().unwrap_or(0);
            (least, greatest, kind.copies)
        };
        let spans: Vec<(i64, i64, i64)> = self.kinds.iter().map(span).collect();
        let mut duals = dual::candidates(&widths, self.usable, most);
        duals.extend(dual::counts(&spans, self.usable, most / 4));
        for dual in duals {
            let charged = self.charge(&dual);
            let doubled: i128 = charged.doubled.iter().sum();
            let length = up(doubled, 2 * i128::from(charged.whole));
            self.offer(length, || Argument::Sections);
            all.push(charged);
        }
        all
    }

    fn charge(&self, dual: &Dual) -> Charged {
        let of = |kind: &Kind| -> Vec<Profile> {
            kind.ways
                .iter()
                .map(|way| dual.of(&way.profile, self.usable))
                .collect()
        };
        let values: Vec<Vec<Profile>> = self.kinds.iter().map(of).collect();
        let least = |(kind, ways): (&Kind, &Vec<Profile>)| {
            let least = ways
                .iter()
                .map(Profile::doubled_integral)
                .min()
                .unwrap_or(0);
            i128::from(kind.copies) * least
        };
        let doubled = self.kinds.iter().zip(&values).map(least).collect();
        Charged {
            whole: dual.whole(self.usable),
            values,
            doubled,
        }
    }

    /// Pairs of convex pieces, the longest kinds first.
    fn pairs(&mut self) {
        const MOST_KINDS: usize = 24;
        let mut order: Vec<usize> = (0..self.kinds.len()).collect();
        order.sort_by_key(|&k| std::cmp::Reverse(self.kinds[k].least_height()));
        order.truncate(MOST_KINDS);
        let usable = self.usable;
        let turned: Vec<Vec<Outline>> = order
            .iter()
            .map(|&k| self.turned(self.kinds[k].items[0].0))
            .collect();
        for (a, &first) in order.iter().enumerate() {
            for (b, &second) in order.iter().enumerate().skip(a) {
                let (one, other) = (&self.kinds[first], &self.kinds[second]);
                // Equal sections are one kind, though shapes may differ: take two that are there.
                let partner = other.each_copy().nth(usize::from(first == second));
                let Some(partner) = partner else {
                    continue;
                };
                let sum: i64 = [one, other]
                    .iter()
                    .map(|k| k.ways.iter().map(|w| w.profile.height()).max().unwrap_or(0))
                    .sum();
                if sum <= self.best.length.um() || turned[a].is_empty() {
                    continue;
                }
                let apart = (partner != other.items[0].0).then(|| self.turned(partner));
                let partners = apart.as_ref().unwrap_or(&turned[b]);
                let best = self.best.length.um();
                let mut least = i64::MAX;
                'turns: for p in &turned[a] {
                    for q in partners {
                        if let Some(length) = pair::least_length(p, q, usable) {
                            least = least.min(length);
                        }
                        if least <= best {
                            break 'turns;
                        }
                    }
                }
                if least < i64::MAX {
                    let mut items: Vec<usize> = one.each_copy().take(1).collect();
                    items.push(partner);
                    items.sort_unstable();
                    self.offer(least, || Argument::SideBySide { items });
                }
            }
        }
    }

    /// The different outlines an item may be laid in, grown; none if it is not convex.
    fn turned(&self, item: usize) -> Vec<Outline> {
        let item = &self.problem.items[item];
        let mut all: Vec<Outline> = Vec::new();
        if !item.outline.is_convex() {
            return all;
        }
        for mirrored in [false, true] {
            if mirrored && !item.may_mirror {
                continue;
            }
            let outline = if mirrored {
                item.outline.mirrored()
            } else {
                item.outline.clone()
            };
            for turn in &item.turns {
                let Some(turned) = self.grown.convex(&outline.turned(turn.quarters())) else {
                    return Vec::new();
                };
                if !all.contains(&turned) {
                    all.push(turned);
                }
            }
        }
        all
    }

    /// Lines at the ends of the longest kinds, where the whole of a piece's foot or head is met if it has
    /// no room to move. They get work of their own.
    fn ends(&mut self, charged: &[Charged]) {
        const MOST_HEIGHTS: usize = 3;
        let ways = self.kinds.iter().flat_map(|kind| &kind.ways);
        let heights: BTreeSet<i64> = ways.map(|way| way.profile.height()).collect();
        let kept = self.work;
        self.work = kept / 6;
        for function in charged {
            for &height in heights.iter().rev().take(MOST_HEIGHTS) {
                for foot in [true, false] {
                    if self.work == 0 || self.is_done() {
                        break;
                    }
                    let lines = |length| Lines::end(height, foot, length);
                    self.stretch(function, Some(&lines), 1);
                }
            }
        }
        self.work = kept;
    }

    /// Lines across: one at several heights, then evenly 2, 3, ... by every function.
    fn rows(&mut self, charged: &[Charged]) {
        for count in 1..=MOST_LINES {
            for function in charged {
                if self.work == 0 || self.is_done() {
                    return;
                }
                if count == 1 {
                    for sixteenths in [8, 4, 12, 2, 14, 6, 10, 1, 15] {
                        let lines = |length| Lines::one(sixteenths, length);
                        self.stretch(
                            function,
                            if sixteenths == 8 { None } else { Some(&lines) },
                            1,
                        );
                    }
                } else {
                    self.stretch(function, None, count);
                }
            }
        }
    }

    /// The search over places: at the length asked about, finer and finer, or at rising lengths.
    fn places(&mut self) {
        if self.kinds.iter().map(|kind| kind.copies).sum::<i64>() > MOST_PLACED {
            return;
        }
        let (kinds, usable) = (&self.kinds, self.usable);
        let mut work = if self.floor > 0 {
            PLACES_WORK * HARDER
        } else {
            PLACES_WORK
        };
        let mut refuses = |length: i64, finenesses: &[i64]| {
            finenesses.iter().any(|&fineness| {
                // A share of what is left, so that one hard question does not take all.
                let before = work / 3;
                let mut share = before;
                let outcome = places::try_length(kinds, usable, length, fineness, &mut share);
                work -= before - share;
                outcome == Outcome::Refused
            })
        };
        let start = self.best.length.um();
        if self.floor > 0 {
            let length = start.max(self.floor);
            if refuses(length, &[12, 24, 48, 96]) {
                self.offer(length + 1, || Argument::EveryPlace);
            }
            return;
        }
        let mut refused = start - 1;
        let mut step = (start / 32).max(1);
        let smallest = (start / 256).max(1);
        let mut growing = true;
        while step >= smallest {
            if refuses(refused + step, &[12, 24]) {
                refused += step;
                step *= if growing { 2 } else { 1 };
            } else {
                growing = false;
                step /= 2;
            }
        }
        self.offer(refused + 1, || Argument::EveryPlace);
    }

    /// The greatest length that lines of this sort refuse, if that is news.
    fn stretch(&mut self, function: &Charged, drawn: Option<&dyn Fn(i64) -> Lines>, count: i64) {
        let even = |length| Lines::even(count, length);
        let draw: &dyn Fn(i64) -> Lines = drawn.unwrap_or(&even);
        let news = self.best.length.um().max(self.floor);
        if !self.refuses(function, &draw(news), drawn.is_none()) {
            return;
        }
        let longest = self.kinds.iter().map(Kind::least_height).max().unwrap_or(0);
        let (mut refused, mut open) = (news, (longest * (count + 1)).max(news + 1));
        while open - refused > 1 {
            let middle = refused + (open - refused) / 2;
            if self.refuses(function, &draw(middle), drawn.is_none()) {
                refused = middle;
            } else {
                open = middle;
            }
        }
        let even_count = u32::try_from(count).unwrap_or(u32::MAX);
        let crossing = (count == 1).then(|| self.crossing(function, &draw(refused)));
        self.offer(refused + 1, || match crossing {
            Some(items) => Argument::SideBySide { items },
            None => Argument::LinesAcross { lines: even_count },
        });
    }

    /// The pieces that put something on the lines, one entry a copy.
    fn crossing(&mut self, function: &Charged, lines: &Lines) -> Vec<usize> {
        let mirrored = lines.mirrored();
        let mut items = Vec::new();
        for (kind, values) in self.kinds.iter().zip(&function.values) {
            if load(kind, values, lines, &mirrored, &mut self.work) > 0 {
                items.extend(kind.each_copy());
            }
        }
        items.sort_unstable();
        items
    }

    /// True if the loads on these lines prove that nothing fits in their length.
    fn refuses(&mut self, function: &Charged, lines: &Lines, even: bool) -> bool {
        let allowed = i128::from(lines.count()) * i128::from(function.whole);
        // The least over all places is at most the mean over all phases of even lines, where all
        // phases can be taken. So what a kind can add is known before it is looked at.
        let gap = lines.length / lines.scale + 1;
        let most = |kind: &Kind, doubled: i128| {
            let all_phases = even
                && kind
                    .ways
                    .iter()
                    .all(|w| w.profile.height() + gap <= lines.length);
            let mean = doubled * i128::from(lines.scale) / (2 * i128::from(lines.length)) + 1;
            if all_phases {
                mean + i128::from(kind.copies)
            } else {
                i128::MAX / (1 << 40)
            }
        };
        let caps: Vec<i128> = self
            .kinds
            .iter()
            .zip(&function.doubled)
            .map(|(kind, &d)| most(kind, d))
            .collect();
        let mut rest: i128 = caps.iter().sum();
        let mut loads = 0_i128;
        let mirrored = lines.mirrored();
        for ((kind, values), cap) in self.kinds.iter().zip(&function.values).zip(caps) {
            if loads > allowed || loads + rest <= allowed {
                break;
            }
            rest -= cap;
            let load = load(kind, values, lines, &mirrored, &mut self.work);
            if load == i64::MAX {
                return true; // Longer than the trial length in every way.
            }
            loads += i128::from(load) * i128::from(kind.copies);
        }
        loads > allowed
    }
}

/// The least load of one piece over all ways and places; `i64::MAX` if it is longer than the lines'
/// length in all of them.
fn load(kind: &Kind, values: &[Profile], lines: &Lines, mirrored: &Lines, work: &mut u64) -> i64 {
    let mut spent = 1;
    let mut least = i64::MAX;
    for (way, values) in kind.ways.iter().zip(values) {
        let plain = lines.load(values, &mut spent);
        least = least.min(plain.unwrap_or(i64::MAX));
        if way.both_ends && lines.at != mirrored.at && least > 0 {
            let turned = mirrored.load(values, &mut spent);
            least = least.min(turned.unwrap_or(i64::MAX));
        }
    }
    *work = work.saturating_sub(spent);
    least
}

#[cfg(test)]
mod tests;
