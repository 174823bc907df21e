//! Two pieces alone: the least length that holds both, exactly, for convex pieces.
//!
//! Where the second lies relative to the first is a vector outside the interior of their no-fit
//! polygon (first plus the second reflected), which is convex. If it leaves room beside itself in
//! the usable width, they stand side by side. If not, the second lies beyond its far or near border,
//! which are concave and convex, so they are passed most cheaply at one end of the window of places
//! across that the width allows. Both ends are whole, so the answer is the exact optimum for the
//! pair, not just a bound. Source: own derivation; two convex polygons are added by merging their edges in order of
//! slope (textbook geometry).
//!
//! The no-fit polygon is built here anew: proofs share no code with the search either.

use std::cmp::Ordering;

use pieces::{Bounds, Outline, Point};

/// Least extent along over all places of `second` beside or beyond `first`, both as turned; `None` if
/// one of them is wider than `usable`. Both must be convex.
pub(super) fn least_length(first: &Outline, second: &Outline, usable: i64) -> Option<i64> {
    let (a, b) = (first.bounds(), second.bounds());
    let from = a.max.x - usable - b.min.x;
    let to = a.min.x + usable - b.max.x;
    if a.across().um() > usable || b.across().um() > usable {
        return None;
    }
    let side_by_side = a.along().um().max(b.along().um());
    if a.across().um() + b.across().um() <= usable {
        return Some(side_by_side);
    }
    let no_fit = no_fit(first.points(), second.points());
    let far = [from, to]
        .into_iter()
        .map(|x| border(&no_fit, x, true))
        .min()?;
    let near = [from, to]
        .into_iter()
        .map(|x| border(&no_fit, x, false))
        .max()?;
    // Of the shifts allowed on each side, the one that keeps the two most nearly level.
    let level = a.min.y - b.min.y;
    let level_top = a.max.y - b.max.y;
    let beyond = far.max(level.min(level_top));
    let before = near.min(level.max(level_top));
    Some(extent(a, b, beyond).min(extent(a, b, before)))
}

fn extent(a: Bounds, b: Bounds, shift: i64) -> i64 {
    a.max.y.max(b.max.y + shift) - a.min.y.min(b.min.y + shift)
}

/// First plus second reflected at the origin, counter-clockwise from its lowest corner.
pub(super) fn no_fit(first: &[Point], second: &[Point]) -> Vec<Point> {
    let reflected: Vec<Point> = second.iter().map(|p| Point::new(-p.x, -p.y)).collect();
    let start = |list: &[Point]| {
        (0..list.len())
            .min_by_key(|&i| (list[i].y, list[i].x))
            .unwrap_or(0)
    };
    let (n, m) = (first.len(), reflected.len());
    let (i0, j0) = (start(first), start(&reflected));
    let (mut i, mut j) = (0, 0);
    let mut sum = Vec::with_capacity(n + m);
    while i < n || j < m {
        let (p, q) = (first[(i0 + i) % n], reflected[(j0 + j) % m]);
        sum.push(p.plus(q));
        let u = first[(i0 + i + 1) % n].minus(p);
        let v = reflected[(j0 + j + 1) % m].minus(q);
        let turn = if i == n {
            Ordering::Less
        } else if j == m {
            Ordering::Greater
        } else {
            pieces::orientation(Point::default(), u, v)
        };
        if turn != Ordering::Less {
            i += 1;
        }
        if turn != Ordering::Greater {
            j += 1;
        }
    }
    sum
}

/// The far border's y at `x`, rounded up, or the near border's, rounded down.
fn border(polygon: &[Point], x: i64, far: bool) -> i64 {
    let mut best = if far { i64::MIN } else { i64::MAX };
    for (&a, &b) in polygon.iter().zip(polygon.iter().cycle().skip(1)) {
        let (l, r) = if a.x <= b.x { (a, b) } else { (b, a) };
        if x < l.x || x > r.x {
            continue;
        }
        let ys = if l.x == r.x {
            [l.y, r.y]
        } else {
            let run = i128::from(r.y - l.y) * i128::from(x - l.x);
            let step = i128::from(r.x - l.x);
            let down = run.div_euclid(step);
            let up = if run.rem_euclid(step) == 0 {
                down
            } else {
                down + 1
            };
            let y = l.y + i64::try_from(if far { up } else { down }).expect("within the edge");
            [y, y]
        };
        best = if far {
            best.max(ys[0].max(ys[1]))
        } else {
            best.min(ys[0].min(ys[1]))
        };
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::verify;
    use pieces::Length;

    fn outline(corners: &[(i64, i64)]) -> Outline {
        Outline::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
    }

    /// All places of the second on the whole micrometre, by the independent verifier.
    fn by_trying(first: &Outline, second: &Outline, usable: i64) -> Option<i64> {
        let (a, b) = (first.bounds(), second.bounds());
        let reach = a.along().um() + b.along().um();
        let mut best = None;
        if a.across().um() > usable || b.across().um() > usable {
            return best;
        }
        for x in a.max.x - usable - b.min.x..=a.min.x + usable - b.max.x {
            for y in -reach..=reach {
                let moved = second.moved(Point::new(x, y));
                let far = Length::from_um(1 << 20);
                let lift = Point::new(0, 1 << 15);
                let (p, q) = (first.moved(lift), moved.moved(lift));
                if verify::outlines(&[&p, &q], -far, far, far, &[], Length::ZERO).is_ok() {
                    let length = extent(a, b, y);
                    best = Some(best.map_or(length, |least: i64| least.min(length)));
                }
            }
        }
        best
    }

    #[test]
    fn agrees_with_trying_every_place() {
        let shapes = [
            outline(&[(0, 0), (9, 0), (9, 7), (0, 7)]),
            outline(&[(0, 0), (12, 0), (8, 15), (4, 15)]),
            outline(&[(4, 0), (8, 0), (12, 13), (0, 13)]),
            outline(&[(0, 0), (11, 3), (2, 9)]),
            outline(&[(0, 2), (3, 0), (8, 1), (10, 5), (6, 9), (1, 7)]),
        ];
        for first in &shapes {
            for second in &shapes {
                for usable in [11, 13, 16, 19, 24] {
                    let exact = least_length(first, second, usable);
                    assert_eq!(
                        exact,
                        by_trying(first, second, usable),
                        "{first:?} {second:?} {usable}"
                    );
                }
            }
        }
    }

    #[test]
    fn rectangles_too_wide_to_stand_side_by_side_lie_one_after_the_other() {
        let of = |x, y| outline(&[(0, 0), (x, 0), (x, y), (0, y)]);
        assert_eq!(least_length(&of(70, 97), &of(70, 99), 140), Some(99));
        assert_eq!(least_length(&of(71, 97), &of(70, 99), 140), Some(196));
        assert_eq!(least_length(&of(141, 97), &of(70, 99), 140), None);
    }
}
