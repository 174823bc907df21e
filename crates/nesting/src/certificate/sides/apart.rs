//! The sides by which two convex polygons may be apart, and whether a polygon lies within an outline.

use pieces::Point;

/// Corners of a polygon at most.
pub(super) const MOST_CORNERS: usize = 64;

/// Beyond it the second piece lies from the first: `x * dx + y * dy >= least`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::certificate) struct Side {
    pub x: i64,
    pub y: i64,
    pub least: i64,
}

/// Twice the area of a triangle, positive if it runs counter-clockwise.
fn turn(a: Point, b: Point, c: Point) -> i128 {
    let wide = |v: i64| i128::from(v);
    wide(b.x - a.x) * wide(c.y - a.y) - wide(b.y - a.y) * wide(c.x - a.x)
}

fn sides_of(polygon: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().copied().zip(next.copied())
}

/// Whether all corners lie left of every side or on it, and it has an inside.
pub(super) fn is_convex(polygon: &[Point]) -> bool {
    let is_left = |(a, b): (Point, Point)| {
        let mut turns = polygon.iter().map(|&p| turn(a, b, p));
        a != b && turns.all(|t| t >= 0)
    };
    let has_inside = || polygon.iter().any(|&p| turn(polygon[0], polygon[1], p) > 0);
    (3..=MOST_CORNERS).contains(&polygon.len()) && sides_of(polygon).all(is_left) && has_inside()
}

/// Whether the inside of a convex polygon lies inside an outline: no side of the outline comes into it, and a place of it
/// is inside.
pub(super) fn is_within(polygon: &[Point], outline: &[Point]) -> bool {
    let Some(third) = polygon
        .iter()
        .find(|&&p| turn(polygon[0], polygon[1], p) > 0)
    else {
        return false;
    };
    if sides_of(outline).any(|(a, b)| comes_in(a, b, polygon)) {
        return false;
    }
    // The middle of three corners, all of it three times as large.
    let middle = polygon[0].plus(polygon[1]).plus(*third);
    let mut winds = 0;
    for (a, b) in sides_of(outline) {
        let [a, b] = [a, b].map(|p| Point::new(3 * p.x, 3 * p.y));
        let side = turn(a, b, middle);
        if a.y <= middle.y && b.y > middle.y && side > 0 {
            winds += 1;
        } else if a.y > middle.y && b.y <= middle.y && side < 0 {
            winds -= 1;
        }
    }
    winds != 0
}

/// Whether some place between `a` and `b`, or one of them, is inside the convex polygon.
fn comes_in(a: Point, b: Point, polygon: &[Point]) -> bool {
    // Inside of a side where at + t * by > 0; t runs from 0 to 1. All t left: those after `from`, before `to`,
    // as fractions.
    let mut from: Option<(i128, i128)> = None;
    let mut to: Option<(i128, i128)> = None;
    for (p, q) in sides_of(polygon) {
        let at = turn(p, q, a);
        let by = turn(p, q, b) - at;
        if by == 0 {
            if at <= 0 {
                return false;
            }
        } else if by > 0 {
            let next = (-at, by);
            from = Some(from.map_or(next, |last| if is_less(last, next) { next } else { last }));
        } else {
            let next = (at, -by);
            to = Some(to.map_or(next, |last| if is_less(next, last) { next } else { last }));
        }
    }
    let is_before = |one: Option<(i128, i128)>, other: Option<(i128, i128)>| {
        one.zip(other)
            .is_none_or(|(one, other)| is_less(one, other))
    };
    is_before(from, to) && is_before(from, Some((1, 1))) && is_before(Some((0, 1)), to)
}

/// Of two fractions; what is below the lines is positive.
fn is_less((a, under_a): (i128, i128), (b, under_b): (i128, i128)) -> bool {
    a * under_b < b * under_a
}

/// All sides by which the second may be apart from the first: sides of the first, those of the second turned
/// about, those of a square that spacing keeps free; of two in one direction the first.
pub(in crate::certificate) fn sides(one: &[Point], other: &[Point], spacing: i64) -> Vec<Side> {
    let about: Vec<Point> = other.iter().map(|p| Point::new(-p.x, -p.y)).collect();
    let square: Vec<Point> = [(1, 0), (0, 1), (-1, 0), (0, -1)]
        .iter()
        .map(|(x, y)| Point::new(x * spacing, y * spacing))
        .collect();
    let mut all: Vec<Side> = Vec::new();
    for polygon in [one, &about, &square] {
        for (a, b) in sides_of(polygon) {
            let Some((x, y)) = lowest_terms(b.y - a.y, a.x - b.x) else {
                continue;
            };
            if all.iter().any(|side| (side.x, side.y) == (x, y)) {
                continue;
            }
            let furthest = |polygon: &[Point]| {
                let reach = polygon.iter().map(|p| x * p.x + y * p.y);
                reach.max().unwrap_or(0)
            };
            let least = furthest(one) + furthest(&about) + furthest(&square);
            all.push(Side { x, y, least });
        }
    }
    all
}

fn lowest_terms(x: i64, y: i64) -> Option<(i64, i64)> {
    let mut pair = (x.abs(), y.abs());
    while pair.1 != 0 {
        pair = (pair.1, pair.0 % pair.1);
    }
    (pair.0 != 0).then(|| (x / pair.0, y / pair.0))
}
