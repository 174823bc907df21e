//! What is laid, for this search: kinds of equal pieces, the stances each may take, and the sides by which two of them
//! may be apart.
//!
//! All of it is the same, in the same order, as what [`crate::certificate::sides`] works out on its own.

use pieces::{Outline, Point};

use crate::bound::stances::Turns;
use crate::geometry::{WITHIN, convex_parts, simplified_within};
use crate::problem::{Item, Problem};

/// More pieces, pairs of parts, parts of a piece, or sides of a pair are too many; and no corner is further out.
const MOST_PIECES: usize = 10;
const MOST_PAIRS: usize = 400;
const MOST_PARTS: usize = 24;
const MOST_SIDES: usize = 64;
const FAR: i64 = 1 << 28;

/// A half-plane for where one piece lies relative to another: `normal . d >= floor`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Side {
    pub normal: Point,
    pub floor: i64,
}

/// A shape that a kind may have.
pub(super) struct Stance {
    /// The corner of its box at (0, 0).
    pub outline: Outline,
    /// The turns in which it has it.
    pub turns: Turns,
    /// Convex polygons within it.
    pub parts: Vec<Vec<Point>>,
    pub across: i64,
    pub along: i64,
    /// Which stance it becomes when turned end for end.
    pub reversed: Option<usize>,
    /// Whether turned over it looks the same.
    is_even: bool,
}

/// Equal pieces, which may change places.
pub(super) struct Kind {
    pub items: Vec<usize>,
    pub stances: Vec<Stance>,
    /// Among the garments that matter.
    pub garment: Option<u32>,
    /// Its pieces, in order.
    pub pieces: Vec<usize>,
    pub doubled_area: i128,
    /// Convex polygons within the first item's outline, from the corner of its box; none if it is one itself.
    pub parts: Vec<Vec<Point>>,
}

/// What turning the whole cloth end for end leaves out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turned {
    /// Nothing.
    No,
    /// Stances of the only piece of this kind that turning makes an earlier one; of one that stays the same, the
    /// upper half.
    Only(usize),
    /// The second of two stances for half of the pieces.
    Half(usize),
    /// The first piece further from one end than the last from the other.
    Ends(usize),
}

/// All that does not depend on the length.
pub(super) struct Pieces {
    pub kinds: Vec<Kind>,
    /// By piece.
    pub kind_of: Vec<usize>,
    pub usable: i64,
    pub turned: Turned,
    /// Whether all may be turned over with the whole cloth, as they look the same.
    pub are_even: bool,
    /// By kind and stance, twice: for each two parts, the sides.
    sides: Vec<Vec<Vec<Side>>>,
    /// Stances of all kinds.
    count: usize,
}

impl Pieces {
    /// `None` if this is no job for it.
    pub fn of(problem: &Problem) -> Option<Self> {
        let usable = problem.cloth.usable_width().um();
        let is_near = |item: &Item| {
            let mut points = item.outline.points().iter();
            points.all(|p| p.x.abs() <= FAR && p.y.abs() <= FAR)
        };
        let near = problem.items.iter().all(is_near);
        if problem.piece_count() > MOST_PIECES || !near || !(1..=FAR).contains(&usable) {
            return None;
        }
        let (kinds, kind_of) = kinds(problem);
        let parts: Vec<usize> = kind_of
            .iter()
            .map(|&k| kinds[k].stances[0].parts.len())
            .collect();
        let all: usize = parts.iter().sum();
        let own: usize = parts.iter().map(|n| n * n).sum();
        let few = |kind: &Kind| {
            let parts = &kind.stances[0].parts;
            parts.len() <= MOST_PARTS && parts.iter().all(|part| part.len() <= MOST_SIDES)
        };
        if kind_of.len() < 2 || !kinds.iter().all(few) || (all * all - own) / 2 > MOST_PAIRS {
            return None;
        }
        let around = around(problem.spacing.um().clamp(0, FAR));
        let stances: Vec<&Stance> = kinds.iter().flat_map(|kind| &kind.stances).collect();
        let count = stances.len();
        let mut sides = Vec::with_capacity(count * count);
        for one in &stances {
            for other in &stances {
                let parts = one
                    .parts
                    .iter()
                    .flat_map(|a| other.parts.iter().map(move |b| (a, b)));
                let all: Vec<Vec<Side>> = parts.map(|(a, b)| apart(a, b, &around)).collect();
                if all.iter().any(|sides| sides.len() > MOST_SIDES) {
                    return None;
                }
                sides.push(all);
            }
        }
        Some(Pieces {
            turned: turned(&kinds),
            are_even: kinds
                .iter()
                .flat_map(|kind| &kind.stances)
                .all(|s| s.is_even),
            kinds,
            kind_of,
            usable,
            sides,
            count,
        })
    }

    /// How many sides there are to choose from, over all pairs of pieces.
    pub fn choices(&self) -> usize {
        let mut first = 0;
        let starts: Vec<usize> = self
            .kinds
            .iter()
            .map(|kind| {
                first += kind.stances.len();
                first - kind.stances.len()
            })
            .collect();
        let of = |one: usize, other: usize| -> usize {
            let sides = self.sides_of(starts[one], starts[other]);
            sides.iter().map(Vec::len).sum()
        };
        let pieces = self.kind_of.iter().enumerate();
        pieces
            .map(|(number, &other)| {
                let before = self.kind_of[..number].iter();
                before.map(|&one| of(one, other)).sum::<usize>()
            })
            .sum()
    }

    /// Of two stances, counted over all kinds, the sides of each two parts.
    pub fn sides_of(&self, one: usize, other: usize) -> &[Vec<Side>] {
        &self.sides[one * self.count + other]
    }
}

fn kinds(problem: &Problem) -> (Vec<Kind>, Vec<usize>) {
    let mut kinds: Vec<Kind> = Vec::new();
    let mut kind_of = Vec::new();
    for (number, item) in problem.items.iter().enumerate() {
        if item.copies == 0 {
            continue;
        }
        let ways = ways(item);
        let garment = item.garment.filter(|_| ways.len() > 1);
        let is_it = |kind: &Kind| {
            let mut both = kind.stances.iter().zip(&ways);
            kind.garment == garment
                && kind.stances.len() == ways.len()
                && both.all(|(s, w)| s.outline == w.outline && s.turns == w.turns)
        };
        let at = kinds.iter().position(is_it).unwrap_or(kinds.len());
        if at == kinds.len() {
            kinds.push(kind(item, ways, garment));
        }
        kinds[at].items.push(number);
        for _ in 0..item.copies {
            kinds[at].pieces.push(kind_of.len());
            kind_of.push(at);
        }
    }
    (kinds, kind_of)
}

/// A shape of an item, and the first way it comes about.
struct Way {
    outline: Outline,
    turns: Turns,
    mirrored: bool,
    quarters: u8,
}

/// The different shapes an item may have: first as it is, then turned over.
fn ways(item: &Item) -> Vec<Way> {
    let mut ways: Vec<Way> = Vec::new();
    for mirrored in [false, true] {
        if mirrored && !item.may_mirror {
            continue;
        }
        for &turn in &item.turns {
            let quarters = turn.quarters();
            let outline = lying(&item.outline, mirrored, quarters);
            let outline = level(&outline);
            match ways.iter_mut().find(|way| way.outline == outline) {
                Some(way) => way.turns = way.turns.and(turn),
                None => ways.push(Way {
                    outline,
                    turns: Turns::NONE.and(turn),
                    mirrored,
                    quarters,
                }),
            }
        }
    }
    ways
}

fn lying(outline: &Outline, mirrored: bool, quarters: u8) -> Outline {
    if mirrored {
        outline.mirrored().turned(quarters)
    } else {
        outline.turned(quarters)
    }
}

/// The corner of its box at (0, 0), and its list of corners from the least one on.
fn level(outline: &Outline) -> Outline {
    let min = outline.bounds().min;
    let mut points: Vec<Point> = outline.points().iter().map(|p| p.minus(min)).collect();
    let least = (0..points.len()).min_by_key(|&i| points[i]).unwrap_or(0);
    points.rotate_left(least);
    Outline::new(points).unwrap_or_else(|_| outline.clone())
}

fn kind(item: &Item, ways: Vec<Way>, garment: Option<u32>) -> Kind {
    let min = item.outline.bounds().min;
    let back = Point::new(-min.x, -min.y);
    let within = simplified_within(&item.outline, WITHIN);
    let is_whole = within.is_convex() && within == item.outline;
    let parts: Vec<Vec<Point>> = convex_parts(&within)
        .into_iter()
        .map(|part| part.points.iter().map(|p| p.plus(back)).collect())
        .collect();
    let shapes: Vec<Outline> = ways.iter().map(|way| way.outline.clone()).collect();
    let turns: Vec<Turns> = ways.iter().map(|way| way.turns).collect();
    let stance = |way: Way| {
        let lie = |p: &Point| {
            let p = p.plus(min);
            let p = if way.mirrored {
                Point::new(-p.x, p.y)
            } else {
                p
            };
            p.turned(way.quarters)
        };
        let corner = lying(&item.outline, way.mirrored, way.quarters)
            .bounds()
            .min;
        let part = |part: &Vec<Point>| {
            let mut points: Vec<Point> = part.iter().map(|p| lie(p).minus(corner)).collect();
            if way.mirrored {
                points.reverse();
            }
            points
        };
        let end_for_end = level(&way.outline.turned(2));
        let bounds = way.outline.bounds();
        Stance {
            parts: parts.iter().map(part).collect(),
            across: bounds.across().um(),
            along: bounds.along().um(),
            reversed: (0..shapes.len()).find(|&other| {
                shapes[other] == end_for_end && turns[other] == way.turns.reversed()
            }),
            is_even: level(&way.outline.mirrored()) == way.outline,
            turns: way.turns,
            outline: way.outline,
        }
    };
    Kind {
        stances: ways.into_iter().map(stance).collect(),
        items: Vec::new(),
        garment,
        pieces: Vec::new(),
        doubled_area: item.outline.doubled_area(),
        parts: if is_whole { Vec::new() } else { parts },
    }
}

/// The first kind that serves to tell a layout from the same turned end for end.
fn turned(kinds: &[Kind]) -> Turned {
    let all = || kinds.iter().flat_map(|kind| &kind.stances);
    if all().any(|stance| stance.reversed.is_none()) {
        return Turned::No;
    }
    let of = |(number, kind): (usize, &Kind)| match (kind.pieces.len(), kind.stances.as_slice()) {
        (1, _) => Some(Turned::Only(number)),
        (_, [one]) if one.reversed == Some(0) => Some(Turned::Ends(number)),
        (_, [one, other]) if one.reversed == Some(1) && other.reversed == Some(0) => {
            Some(Turned::Half(number))
        }
        _ => None,
    };
    kinds.iter().enumerate().find_map(of).unwrap_or(Turned::No)
}

/// A polygon in the disc that spacing keeps free around a point; the point if there is none.
fn around(spacing: i64) -> Vec<Point> {
    if spacing == 0 {
        return vec![Point::new(0, 0)];
    }
    let (s, o) = (spacing, 0);
    [(s, o), (o, s), (-s, o), (o, -s)]
        .map(|(x, y)| Point::new(x, y))
        .to_vec()
}

/// The sides by which the second of two convex polygons may be apart from the first.
fn apart(one: &[Point], other: &[Point], around: &[Point]) -> Vec<Side> {
    let mut sides: Vec<Side> = Vec::new();
    let flipped = other.iter().map(|p| Point::new(-p.x, -p.y)).collect();
    let summands: [Vec<Point>; 3] = [one.to_vec(), flipped, around.to_vec()];
    for points in &summands {
        for (k, from) in points.iter().enumerate() {
            let along = points[(k + 1) % points.len()].minus(*from);
            let size = greatest_common_divisor(along.x, along.y);
            if size == 0 {
                continue;
            }
            let normal = Point::new(along.y / size, -along.x / size);
            if sides.iter().any(|side| side.normal == normal) {
                continue;
            }
            let reach = |points: &Vec<Point>| {
                let reach = points.iter().map(|p| normal.x * p.x + normal.y * p.y);
                reach.max().unwrap_or(0)
            };
            sides.push(Side {
                normal,
                floor: summands.iter().map(reach).sum(),
            });
        }
    }
    sides
}

fn greatest_common_divisor(a: i64, b: i64) -> i64 {
    let (mut a, mut b) = (a.abs(), b.abs());
    while b > 0 {
        (a, b) = (b, a % b);
    }
    a
}
