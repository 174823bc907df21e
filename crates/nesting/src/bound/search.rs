//! The arguments in their order, from cheap to dear, and the best bound so far.

use std::cell::OnceCell;
use std::collections::BTreeSet;
use std::rc::Rc;

use pieces::{Length, Outline};

use super::apart::Distances;
use super::dual::{self, Dual};
use super::grown::{self, Grown};
use super::kinds::{Kind, kinds};
use super::layer::{Layer, Lying};
use super::profile::Profile;
use super::stances::Turns;
use super::{HARDER, WORK, pair};
use crate::certificate::{Charged as Charge, Function};
use crate::problem::Problem;
use crate::sides::BySides;
use crate::verdict::{Argument, Bound};

/// Work in the search over places, in about nanoseconds, at most, in [`best`].
const PLACES_WORK: u64 = 4_000_000;

/// Work on slices, in about nanoseconds, at most, in [`best`].
const SLICES_WORK: u64 = 5_000_000;

/// More pieces than this have too many combinations of places.
const MOST_PLACED: i64 = 16;

/// `numerator / denominator`, rounded up; the denominator is positive.
pub(super) fn up(numerator: i128, denominator: i128) -> i64 {
    let value = -(-numerator).div_euclid(denominator);
    i64::try_from(value).unwrap_or(i64::MAX)
}

/// The values of a dual feasible function on the sections of every kind, one profile a way.
pub(super) struct Charged {
    /// The function, as arguments say it.
    pub(super) function: Function,
    /// Its value of the width that sections share.
    pub(super) whole: i64,
    /// By kind, then way.
    pub(super) values: Vec<Vec<Profile>>,
    /// By kind: twice the least integral over its ways.
    pub(super) doubled: Vec<i128>,
}

pub(super) struct Search<'a> {
    pub(super) problem: &'a Problem,
    pub(super) kinds: Vec<Kind>,
    /// How much larger than they are all pieces are taken.
    pub(super) grown: Grown,
    /// What sections share: usable width and what pieces are grown across.
    pub(super) usable: i64,
    /// Only bounds above this matter.
    pub(super) floor: i64,
    pub(super) best: Bound,
    pub(super) work: u64,
    /// Work for the search over places, in about nanoseconds.
    pub(super) work_on_places: u64,
    /// Work for slices, in about nanoseconds.
    pub(super) work_on_slices: u64,
    /// Who wants a layout where nothing is refused, if this is about all pieces.
    pub(super) layer: Option<&'a Layer<'a>>,
    /// The search by sides, if it is to be asked.
    pub(super) by_sides: Option<&'a BySides<'a>>,
    pub(super) is_about_all: bool,
    /// Where pieces lie for it.
    pub(super) lying: Option<Vec<Lying>>,
    /// Between all kinds, once they have been asked for.
    distances: Known,
}

/// Distances, once they have been asked for; none if they would take too long.
pub(super) type Known = Rc<OnceCell<Option<Rc<Distances>>>>;

impl<'a> Search<'a> {
    pub(super) fn new(problem: &'a Problem, grown: Grown, floor: i64, harder: u64) -> Self {
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
            work: WORK * harder.min(HARDER),
            work_on_places: PLACES_WORK * harder,
            work_on_slices: SLICES_WORK * harder.min(10 * HARDER),
            layer: None,
            by_sides: None,
            is_about_all: true,
            lying: None,
            distances: Known::default(),
        }
    }

    /// With the distances of another search about the same.
    pub(super) fn knowing(mut self, known: &Known) -> Self {
        self.distances = Rc::clone(known);
        self
    }

    /// With this work for the search over places, and a layout of all pieces if one turns up.
    pub(super) fn for_layer(mut self, layer: &'a Layer<'a>, work: u64) -> Self {
        (self.layer, self.work_on_places) = (Some(layer), work);
        self
    }

    /// With the search by sides, if it is to be asked.
    pub(super) fn by_sides(mut self, by_sides: Option<&'a BySides<'a>>) -> Self {
        self.by_sides = by_sides;
        self
    }

    /// The same about some of the kinds only, from nothing found so far.
    pub(super) fn about(&self, kinds: Vec<Kind>, floor: i64) -> Search<'a> {
        Search {
            problem: self.problem,
            kinds,
            grown: self.grown,
            usable: self.usable,
            floor,
            best: Bound {
                length: Length::ZERO,
                argument: Argument::Area,
            },
            work: self.work,
            work_on_places: self.work_on_places,
            work_on_slices: self.work_on_slices,
            layer: self.layer,
            by_sides: None,
            is_about_all: false,
            lying: None,
            distances: Known::default(),
        }
    }

    /// Whether the pieces are few enough for all combinations of places.
    pub(super) fn are_few(&self) -> bool {
        self.kinds.iter().map(|kind| kind.copies).sum::<i64>() <= MOST_PLACED
    }

    /// Between all kinds; `None` if that would take too long.
    pub(super) fn distances(&self) -> Option<Rc<Distances>> {
        let make = || Distances::of(self.problem, &self.kinds, self.grown).map(Rc::new);
        self.distances.get_or_init(make).clone()
    }

    /// The greatest length found for the cloth as it is.
    pub(super) fn run(&mut self) -> Bound {
        if self.kinds.is_empty() || self.problem.cloth.usable_width().um() <= 0 {
            return self.best.clone();
        }
        self.search();
        self.sums();
        let grown = Length::from_um(self.grown.along);
        let mut best = self.best.clone();
        best.length = (best.length - grown).max(Length::ZERO);
        best
    }

    /// All arguments, from cheap to dear; lengths are those of the grown cloth.
    pub(super) fn search(&mut self) {
        self.area();
        self.longest();
        if self.is_done() {
            return;
        }
        self.pairs();
        if self.is_done() {
            return;
        }
        self.behind();
        self.one_by_one();
        self.alone();
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
            self.slices();
        }
        if !self.is_done() && self.floor > 0 {
            self.zones();
        }
        if !self.is_done() {
            self.sides();
        }
        if !self.is_done() && self.lying.is_none() {
            self.places();
        }
    }

    /// True if the question is answered.
    pub(super) fn is_done(&self) -> bool {
        self.floor > 0 && self.best.length.um() > self.floor
    }

    pub(super) fn offer(&mut self, length: i64, argument: impl FnOnce() -> Argument) {
        if length > self.best.length.um() {
            self.best = Bound {
                length: Length::from_um(length),
                argument: argument(),
            };
        }
    }

    /// The exact area over the usable width. With a spacing s, a piece of height h takes at least
    /// s h more, of a width that is s more; or all of it is grown by a disc.
    pub(super) fn area(&mut self) {
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
        // Of some pieces alone it is not known that they keep it.
        if spacing > 0 && self.is_about_all {
            let items = self.kinds.iter().flat_map(|kind| &kind.items);
            let doubled: i128 = items
                .map(|&(item, copies)| {
                    let outline = &self.problem.items[item].outline;
                    i128::from(copies) * grown::doubled_area_by_disc(outline, spacing)
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
    pub(super) fn sections(&mut self) -> Vec<Charged> {
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
            let charge = self.charge_by(&charged.function);
            self.offer(length, || Argument::Sections(charge));
            all.push(charged);
        }
        all
    }

    /// A function and how much larger pieces are taken, as arguments say it.
    pub(super) fn charge_by(&self, function: &Function) -> Charge {
        Charge {
            function: function.clone(),
            larger: self.grown.larger(),
        }
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
            function: dual.function(),
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
        let turned: Vec<Vec<(Outline, Turns)>> = order
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
                let is_one_garment = one.garment.is_some() && one.garment == other.garment;
                'turns: for (p, of_p) in &turned[a] {
                    for (q, of_q) in partners {
                        if is_one_garment && of_p.common(*of_q).is_empty() {
                            continue;
                        }
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
                    let larger = self.grown.larger();
                    self.offer(least, || Argument::SideBySide {
                        items,
                        line: None,
                        larger,
                    });
                }
            }
        }
    }

    /// The different outlines an item may be laid in, grown, and in which turns; none if it is not convex.
    fn turned(&self, item: usize) -> Vec<(Outline, Turns)> {
        /// Corners: two of more are not looked at as certificates.
        const MOST_CORNERS: usize = 300;
        let item = &self.problem.items[item];
        let mut all: Vec<(Outline, Turns)> = Vec::new();
        if !item.outline.is_convex() || item.outline.points().len() > MOST_CORNERS {
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
                match all.iter_mut().find(|(known, _)| *known == turned) {
                    Some((_, turns)) => *turns = turns.and(*turn),
                    None => all.push((turned, Turns::NONE.and(*turn))),
                }
            }
        }
        all
    }
}
