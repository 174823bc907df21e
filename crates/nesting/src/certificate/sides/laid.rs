//! What is laid: kinds of equal pieces, and the stances that each may take.

use pieces::Point;

use super::apart::{MOST_CORNERS, Side, is_convex, is_within, sides};
use super::{FAR, Within};
use crate::problem::{Item, Problem};

/// Pieces, polygons of one, and corners of an outline at most.
const MOST_PIECES: usize = 12;
const MOST_PARTS: usize = 64;
const MOST_OUTLINE: usize = 20_000;

/// All pieces.
pub(super) struct Laid {
    pub kinds: Vec<Kind>,
    /// By piece.
    pub kind_of: Vec<usize>,
    pub usable: i64,
    pub spacing: i64,
    /// Which kind tells a layout from the same turned end for end.
    pub turned: Option<usize>,
    /// Whether turned over all look the same.
    pub are_even: bool,
}

/// Equal pieces.
pub(super) struct Kind {
    /// In order.
    pub pieces: Vec<usize>,
    pub stances: Vec<Stance>,
    /// If its pieces have a choice that they share with others.
    pub garment: Option<u32>,
}

/// One shape of a kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::certificate) struct Stance {
    /// From its least corner on, the corner of its box at (0, 0).
    pub shape: Vec<Point>,
    /// The turns in which it comes about, as bits.
    pub turns: u8,
    pub parts: Vec<Vec<Point>>,
    pub across: i64,
    pub along: i64,
    /// What it is turned end for end.
    pub about: Option<usize>,
    is_even: bool,
}

impl Laid {
    /// `None` if polygons are not within outlines, or there is too much to look at.
    pub fn of(problem: &Problem, within: &[Within]) -> Option<Self> {
        let usable = problem.cloth.usable_width().um();
        let spacing = problem.spacing.um();
        if !(1..=FAR).contains(&usable) || !(0..=FAR).contains(&spacing) {
            return None;
        }
        let (mut kinds, mut kind_of): (Vec<Kind>, Vec<usize>) = (Vec::new(), Vec::new());
        let mut named = 0;
        for (number, item) in problem.items.iter().enumerate() {
            if item.copies == 0 {
                continue;
            }
            if kind_of.len() + item.copies as usize > MOST_PIECES || !is_near(item) {
                return None;
            }
            let shapes = stances(item, &[])?;
            let garment = item.garment.filter(|_| shapes.len() > 1);
            let is_equal = |kind: &Kind| {
                let both = kind.stances.iter().zip(&shapes);
                kind.garment == garment
                    && kind.stances.len() == shapes.len()
                    && both
                        .into_iter()
                        .all(|(one, other)| one.shape == other.shape && one.turns == other.turns)
            };
            let at = kinds.iter().position(is_equal).unwrap_or(kinds.len());
            if at == kinds.len() {
                let mut given = within.iter().filter(|within| within.item == number);
                let parts = parts(item, given.next())?;
                named += usize::from(within.iter().any(|within| within.item == number));
                kinds.push(Kind {
                    pieces: Vec::new(),
                    stances: stances(item, &parts)?,
                    garment,
                });
            }
            for _ in 0..item.copies {
                kinds[at].pieces.push(kind_of.len());
                kind_of.push(at);
            }
        }
        // Each is named once, and none that is not there.
        if named != within.len() {
            return None;
        }
        let all = || kinds.iter().flat_map(|kind| &kind.stances);
        let are_turned = all().all(|stance| stance.about.is_some());
        let tells = |kind: &Kind| {
            let about: Vec<Option<usize>> = kind.stances.iter().map(|s| s.about).collect();
            kind.pieces.len() == 1 || about == [Some(0)] || about == [Some(1), Some(0)]
        };
        let turned = kinds.iter().position(tells).filter(|_| are_turned);
        Some(Laid {
            turned,
            are_even: all().all(|stance| stance.is_even),
            kinds,
            kind_of,
            usable,
            spacing,
        })
    }

    /// Sides by which parts of two pieces may be apart, those that boxes on this length rule out left out.
    pub fn sides(&self, one: (&Stance, usize), other: (&Stance, usize), length: i64) -> Vec<Side> {
        let (a, b) = (one.0, other.0);
        let mut all = sides(&a.parts[one.1], &b.parts[other.1], self.spacing);
        all.retain(|side| {
            let x = [a.across - self.usable, self.usable - b.across];
            let y = [a.along - length, length - b.along];
            let most = (side.x * x[0]).max(side.x * x[1]) + (side.y * y[0]).max(side.y * y[1]);
            most >= side.least
        });
        all
    }
}

/// Whether it has few corners, and none is far away.
pub(in crate::certificate) fn is_near(item: &Item) -> bool {
    let points = item.outline.points();
    points.len() <= MOST_OUTLINE && points.iter().all(|p| p.x.abs() <= FAR && p.y.abs() <= FAR)
}

/// Convex polygons within an item, as given, or itself.
pub(in crate::certificate) fn parts(
    item: &Item,
    given: Option<&Within>,
) -> Option<Vec<Vec<Point>>> {
    let corner = item.outline.bounds().min;
    let Some(given) = given else {
        let points = item.outline.points().to_vec();
        return is_convex(&points).then(|| vec![points]);
    };
    let is_near = |p: &Point| p.x.abs() <= 2 * FAR && p.y.abs() <= 2 * FAR;
    let is_few = |polygon: &Vec<Point>| polygon.len() <= MOST_CORNERS;
    let count = given.polygons.len();
    if !(1..=MOST_PARTS).contains(&count) || !given.polygons.iter().all(is_few) {
        return None;
    }
    let mut parts = Vec::new();
    for polygon in &given.polygons {
        if !polygon.iter().all(is_near) {
            return None;
        }
        let polygon: Vec<Point> = polygon.iter().map(|p| p.plus(corner)).collect();
        if !is_convex(&polygon) || !is_within(&polygon, item.outline.points()) {
            return None;
        }
        parts.push(polygon);
    }
    Some(parts)
}

/// The different shapes of an item: in each of its turns, then in each turned over.
pub(in crate::certificate) fn stances(item: &Item, parts: &[Vec<Point>]) -> Option<Vec<Stance>> {
    let mut all: Vec<Stance> = Vec::new();
    let ways = [false, true]
        .into_iter()
        .take(1 + usize::from(item.may_mirror));
    for (over, turn) in ways.flat_map(|over| item.turns.iter().map(move |turn| (over, turn))) {
        let quarters = turn.quarters();
        let put = |points: &[Point]| put(points, over, quarters);
        let outline = put(item.outline.points());
        let corner = corner(&outline)?;
        let shape = from_least(outline.iter().map(|p| p.minus(corner)).collect());
        let bit = 1_u8 << quarters;
        if let Some(known) = all.iter_mut().find(|stance| stance.shape == shape) {
            known.turns |= bit;
            continue;
        }
        let parts = parts
            .iter()
            .map(|part| put(part).iter().map(|p| p.minus(corner)).collect());
        let far = |way: fn(&Point) -> i64| shape.iter().map(way).max();
        all.push(Stance {
            across: far(|p| p.x)?,
            along: far(|p| p.y)?,
            is_even: levelled(&put_over(&shape))? == shape,
            parts: parts.collect(),
            turns: bit,
            about: None,
            shape,
        });
    }
    let abouts: Vec<Option<usize>> = all
        .iter()
        .map(|stance| {
            let about = levelled(&put_about(&stance.shape));
            let turns = (stance.turns << 2 | stance.turns >> 2) & 0b1111;
            all.iter()
                .position(|other| Some(&other.shape) == about.as_ref() && other.turns == turns)
        })
        .collect();
    for (stance, about) in all.iter_mut().zip(abouts) {
        stance.about = about;
    }
    (!all.is_empty()).then_some(all)
}

/// Turned over, if so, then by quarters; counter-clockwise still.
fn put(points: &[Point], over: bool, quarters: u8) -> Vec<Point> {
    let mut points = if over {
        put_over(points)
    } else {
        points.to_vec()
    };
    for _ in 0..quarters {
        points = points.iter().map(|p| Point::new(-p.y, p.x)).collect();
    }
    points
}

fn put_over(points: &[Point]) -> Vec<Point> {
    points.iter().rev().map(|p| Point::new(-p.x, p.y)).collect()
}

fn put_about(points: &[Point]) -> Vec<Point> {
    points.iter().map(|p| Point::new(-p.x, -p.y)).collect()
}

fn corner(points: &[Point]) -> Option<Point> {
    let x = points.iter().map(|p| p.x).min()?;
    let y = points.iter().map(|p| p.y).min()?;
    Some(Point::new(x, y))
}

/// The corner of its box at (0, 0), from the least corner on.
fn levelled(points: &[Point]) -> Option<Vec<Point>> {
    let corner = corner(points)?;
    Some(from_least(points.iter().map(|p| p.minus(corner)).collect()))
}

fn from_least(points: Vec<Point>) -> Vec<Point> {
    let least = points.iter().min().copied();
    let start = points.iter().position(|p| Some(*p) == least).unwrap_or(0);
    [&points[start..], &points[..start]].concat()
}
