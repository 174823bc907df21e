//! What two figures refuse each other across, wherever between two distances along they lie.
//!
//! Two convex polygons are clear of each other beyond one of the sides of their no-fit polygon ([`super::sides`]); else they
//! overlap. At a distance along, that is a stretch across, and what lies in the stretches of two distances lies in those of all
//! between them, as the no-fit polygon is convex. Stretches of all polygons within a shape add up; of shapes that are taken
//! for one another, what all of them refuse counts. Rounded so that less is refused.

use std::cell::{Cell, OnceCell};

use pieces::Point;

use super::figures::Figures;
use super::room::Gap;
use super::sides::apart::{Side, sides};

/// Of the length of two figures, stretches along that are looked at first; they are halved where one end is refused.
const STRETCHES: i64 = 32;

/// From where to where; ends are not in it.
type Open = (i64, i64);

/// Where each polygon of one shape overlaps each of another, at a distance along.
type Section = Vec<Option<Open>>;

/// All figures, two by two.
pub(super) struct Beside<'f> {
    figures: &'f Figures,
    pairs: Vec<OnceCell<Pair>>,
    /// Polygons looked at.
    looks: Cell<u64>,
}

/// Two figures.
struct Pair {
    /// Of each shape of the first with each of the second.
    shapes: Vec<Shapes>,
    /// Distances along at which they can't lie beside each other at all: ends are in it, in rising order.
    refused: OnceCell<Vec<Open>>,
}

struct Shapes {
    /// Of each polygon of the first with each of the second.
    polygons: Vec<Apart>,
    /// Distances across that the cloth lets them have: ends are in it.
    window: (i64, i64),
}

/// A convex polygon of one and one of the other.
struct Apart {
    sides: Vec<Side>,
    /// Distances along between which they may overlap.
    reach: Open,
}

/// Figures with the shapes they have, if these are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lying {
    pub figure: usize,
    pub shape: Option<usize>,
    /// The lower end lies from here to there.
    pub from: i64,
    pub to: i64,
}

impl<'f> Beside<'f> {
    pub fn new(figures: &'f Figures) -> Self {
        let count = figures.all.len().pow(2);
        Beside {
            figures,
            pairs: (0..count).map(|_| OnceCell::new()).collect(),
            looks: Cell::new(0),
        }
    }

    fn pair(&self, one: usize, other: usize) -> &Pair {
        let all = &self.figures.all;
        self.pairs[one * all.len() + other].get_or_init(|| {
            let usable = self.figures.usable;
            let shapes_of = |figure: usize| all[figure].shapes.iter().zip(&all[figure].insets);
            let both = shapes_of(one).flat_map(|a| shapes_of(other).map(move |b| (a, b)));
            let shapes = both.map(|((a, in_a), (b, in_b))| {
                let further = in_b - in_a;
                let moved = |side: Side| Side {
                    least: side.least + side.x * further,
                    ..side
                };
                let apart = |p: &Vec<Point>, q: &Vec<Point>| Apart {
                    sides: sides(p, q, 0).into_iter().map(moved).collect(),
                    reach: (lowest(p) - highest(q), highest(p) - lowest(q)),
                };
                Shapes {
                    polygons: a
                        .parts
                        .iter()
                        .flat_map(|p| b.parts.iter().map(move |q| apart(p, q)))
                        .collect(),
                    window: (a.across - usable + further, usable - b.across + further),
                }
            });
            Pair {
                shapes: shapes.collect(),
                refused: OnceCell::new(),
            }
        })
    }

    /// How many polygons it has looked at.
    pub fn looks(&self) -> u64 {
        self.looks.get()
    }

    /// Whether there is no room for these two.
    pub fn refuse(&self, one: Lying, other: Lying) -> bool {
        let [low, high] = apart(one, other);
        let pair = self.pair(one.figure, other.figure);
        let refused = pair.refused.get_or_init(|| {
            let all = &self.figures.all;
            pair.all_refused(-all[other.figure].along, all[one.figure].along)
        });
        refused.iter().any(|&(from, to)| from <= low && high <= to)
    }

    /// What any two of these may not lie in from each other, seen from the first, their distances along parted in so many;
    /// `None` if two refuse each other.
    pub fn gaps(&self, all: &[Lying], parted: i64) -> Option<Vec<Gap>> {
        let mut gaps = Vec::new();
        for second in 1..all.len() {
            for first in 0..second {
                if self.refuse(all[first], all[second]) {
                    return None;
                }
                self.add_gaps((first, second), all, parted, &mut gaps);
            }
        }
        Some(gaps)
    }

    fn add_gaps(&self, numbers: (usize, usize), lying: &[Lying], parted: i64, gaps: &mut Vec<Gap>) {
        let (one, other) = (lying[numbers.0], lying[numbers.1]);
        let band = apart(one, other);
        let all = &self.figures.all;
        if band[0] >= all[one.figure].along || -band[1] >= all[other.figure].along {
            return;
        }
        let pair = self.pair(one.figure, other.figure);
        let polygons = pair.shapes.iter().map(|shapes| shapes.polygons.len());
        let looks = polygons.sum::<usize>() as u64 * parted.unsigned_abs();
        self.looks.set(self.looks.get() + looks);
        let seconds = all[other.figure].shapes.len();
        let is_asked = |number: usize| {
            one.shape.is_none_or(|shape| shape == number / seconds)
                && other.shape.is_none_or(|shape| shape == number % seconds)
        };
        let asked = pair.shapes.iter().enumerate().filter(|(n, _)| is_asked(*n));
        let mut stretches = asked.map(|(_, shapes)| shapes.refused_in_parts(band, parted));
        let first = stretches.next().unwrap_or_default();
        let common = stretches.fold(first, |all, next| common(&all, &next));
        gaps.extend(common.into_iter().map(|(above, below)| Gap {
            first: numbers.0,
            second: numbers.1,
            above,
            below,
        }));
    }
}

/// From where to where the second's lower end lies from the first's.
fn apart(one: Lying, other: Lying) -> [i64; 2] {
    [other.from - one.to, other.to - one.from]
}

impl Pair {
    fn all_refused(&self, least: i64, most: i64) -> Vec<Open> {
        let mut all = Vec::new();
        let mut low = (least, self.at(least));
        for part in 1..=STRETCHES {
            let to = least + (most - least) * part / STRETCHES;
            let high = (to, self.at(to));
            self.add_refused(&low, &high, &mut all);
            low = high;
        }
        all
    }

    /// What each shape with each refuses at a distance along.
    fn at(&self, along: i64) -> Vec<Section> {
        self.shapes.iter().map(|shapes| shapes.at(along)).collect()
    }

    fn add_refused(
        &self,
        low: &(i64, Vec<Section>),
        high: &(i64, Vec<Section>),
        all: &mut Vec<Open>,
    ) {
        let is_refused = |a: &[Section], b: &[Section]| {
            let mut each = self.shapes.iter().zip(a.iter().zip(b));
            each.all(|(shapes, (a, b))| shapes.is_refused(a, b))
        };
        let (from, to) = (low.0, high.0);
        if is_refused(&low.1, &high.1) {
            match all.last_mut() {
                Some((_, end)) if *end == from => *end = to,
                _ => all.push((from, to)),
            }
        } else if to - from > 1 && [low, high].iter().any(|(_, at)| is_refused(at, at)) {
            let along = from + (to - from) / 2;
            let middle = (along, self.at(along));
            self.add_refused(low, &middle, all);
            self.add_refused(&middle, high, all);
        }
    }
}

impl Shapes {
    /// Where each polygon overlaps each, at a distance along.
    fn at(&self, along: i64) -> Section {
        let polygons = self.polygons.iter();
        polygons.map(|apart| apart.overlap(along)).collect()
    }

    /// The same as [`refused`], or more: what is refused in each of so many parts.
    fn refused_in_parts(&self, [low, high]: [i64; 2], parts: i64) -> Vec<Open> {
        let parts = if self.polygons.len() > 1 { parts } else { 1 };
        let parts = parts.clamp(1, (high - low).max(1));
        let sections = (0..=parts).map(|part| self.at(low + (high - low) * part / parts));
        let sections: Vec<Section> = sections.collect();
        let mut each = sections.windows(2).map(|ends| refused(&ends[0], &ends[1]));
        let first = each.next().unwrap_or_default();
        each.fold(first, |all, next| common(&all, &next))
    }

    fn is_refused(&self, one: &Section, other: &Section) -> bool {
        let (from, to) = self.window;
        from > to || refused(one, other).iter().any(|&(a, b)| a < from && to < b)
    }
}

/// Stretches across at two distances and all between, in rising order, those that overlap made one.
fn refused(one: &Section, other: &Section) -> Vec<Open> {
    let both = one.iter().zip(other).filter_map(|(a, b)| a.zip(*b));
    let both = both.map(|(a, b)| (a.0.max(b.0), a.1.min(b.1)));
    let mut each: Vec<Open> = both.filter(|(from, to)| from < to).collect();
    each.sort_unstable();
    let mut all: Vec<Open> = Vec::new();
    for (from, to) in each {
        match all.last_mut() {
            Some((_, end)) if from < *end => *end = to.max(*end),
            _ => all.push((from, to)),
        }
    }
    all
}

impl Apart {
    /// Where the second overlaps the first, at a distance along.
    fn overlap(&self, along: i64) -> Option<Open> {
        if along <= self.reach.0 || self.reach.1 <= along {
            return None;
        }
        let (mut from, mut to) = (i64::MIN, i64::MAX);
        for side in &self.sides {
            let rest = side.least - side.y * along;
            if side.x > 0 {
                to = to.min(rest.div_euclid(side.x));
            } else if side.x < 0 {
                from = from.max(-rest.div_euclid(-side.x));
            } else if rest <= 0 {
                return None;
            }
        }
        (from < to).then_some((from, to))
    }
}

fn lowest(polygon: &[Point]) -> i64 {
    polygon.iter().map(|p| p.y).min().unwrap_or(0)
}

fn highest(polygon: &[Point]) -> i64 {
    polygon.iter().map(|p| p.y).max().unwrap_or(0)
}

/// What lies in both.
fn common(one: &[Open], other: &[Open]) -> Vec<Open> {
    let pairs = one
        .iter()
        .flat_map(|a| other.iter().map(move |b| (a.0.max(b.0), a.1.min(b.1))));
    pairs.filter(|(from, to)| from < to).collect()
}
