//! Cutting an outline into convex parts.
//!
//! Ear clipping (Meisters 1975), then diagonals are taken out again as long as both sides stay one
//! convex part (Hertel and Mehlhorn 1983: at most four times the least possible number). How many are left
//! depends on where clipping begins, so small outlines are clipped from every corner and the fewest
//! parts kept. Exact; the parts' corners are corners of the outline, so nothing is rounded.

use std::cmp::Ordering;

use pieces::{Outline, Point, orientation};

/// Corners up to which every start is tried, since the time for it grows with their third power or more.
/// Beyond are curves, where a part more or less matters little.
const FEW_CORNERS: usize = 24;

/// A convex polygon, counter-clockwise, no three corners on a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ConvexPart {
    /// The corners.
    pub points: Vec<Point>,
}

impl ConvexPart {
    /// Turned about (0, 0) by quarters, then moved. Exact.
    #[must_use]
    pub fn turned(&self, quarters: u8, by: Point) -> Self {
        let points = self.points.iter().map(|p| p.turned(quarters).plus(by));
        ConvexPart {
            points: points.collect(),
        }
    }
}

/// Convex parts whose union is the outline and whose interiors do not meet.
#[must_use]
pub fn convex_parts(outline: &Outline) -> Vec<ConvexPart> {
    let points = outline.points();
    if outline.is_convex() {
        return vec![ConvexPart {
            points: points.to_vec(),
        }];
    }
    let starts = if points.len() <= FEW_CORNERS {
        points.len()
    } else {
        1
    };
    let from = |start: usize| {
        let mut points = points.to_vec();
        points.rotate_left(start);
        let parts = merge(&points, triangles(&points));
        (points, parts)
    };
    let cuts = (0..starts).map(from).min_by_key(|(_, parts)| parts.len());
    let (points, parts) = cuts.unwrap_or_default();
    parts
        .into_iter()
        .map(|part| {
            let mut corners: Vec<Point> = part.iter().map(|&i| points[i]).collect();
            drop_straight(&mut corners);
            ConvexPart { points: corners }
        })
        .collect()
}

fn triangles(points: &[Point]) -> Vec<Vec<usize>> {
    let mut left: Vec<usize> = (0..points.len()).collect();
    let mut triangles = Vec::with_capacity(points.len());
    while left.len() > 3 {
        let n = left.len();
        let ear = (0..n).find(|&k| {
            let (a, b, c) = (left[(k + n - 1) % n], left[k], left[(k + 1) % n]);
            is_ear(points, &left, a, b, c)
        });
        // A simple polygon always has an ear (two-ears theorem); a corner that has become straight
        // is not one, but can then be dropped without loss.
        let k = ear.unwrap_or_else(|| straight_corner(points, &left));
        let (a, b, c) = (left[(k + n - 1) % n], left[k], left[(k + 1) % n]);
        if orientation(points[a], points[b], points[c]) == Ordering::Greater {
            triangles.push(vec![a, b, c]);
        }
        left.remove(k);
    }
    if orientation(points[left[0]], points[left[1]], points[left[2]]) == Ordering::Greater {
        triangles.push(left);
    }
    triangles
}

fn straight_corner(points: &[Point], left: &[usize]) -> usize {
    let n = left.len();
    (0..n)
        .find(|&k| {
            let (a, b, c) = (left[(k + n - 1) % n], left[k], left[(k + 1) % n]);
            orientation(points[a], points[b], points[c]) == Ordering::Equal
        })
        .unwrap_or(0)
}

fn is_ear(points: &[Point], left: &[usize], a: usize, b: usize, c: usize) -> bool {
    let (pa, pb, pc) = (points[a], points[b], points[c]);
    if orientation(pa, pb, pc) != Ordering::Greater {
        return false;
    }
    left.iter()
        .filter(|&&i| i != a && i != b && i != c)
        .all(|&i| {
            let p = points[i];
            orientation(pa, pb, p) == Ordering::Less
                || orientation(pb, pc, p) == Ordering::Less
                || orientation(pc, pa, p) == Ordering::Less
        })
}

/// Takes out diagonals while the two parts beside them make one convex part.
fn merge(points: &[Point], mut parts: Vec<Vec<usize>>) -> Vec<Vec<usize>> {
    let mut at = 0;
    while at < parts.len() {
        let joined = (at + 1..parts.len())
            .find_map(|other| joined(points, &parts[at], &parts[other]).map(|j| (other, j)));
        match joined {
            Some((other, part)) => {
                parts[at] = part;
                parts.swap_remove(other);
            }
            None => at += 1,
        }
    }
    parts
}

fn joined(points: &[Point], first: &[usize], second: &[usize]) -> Option<Vec<usize>> {
    let (n, m) = (first.len(), second.len());
    let (i, j) = (0..n).find_map(|i| {
        let (a, b) = (first[i], first[(i + 1) % n]);
        let j = (0..m).find(|&j| second[j] == b && second[(j + 1) % m] == a)?;
        Some((i, j))
    })?;
    // first: ... a | b ...; second: ... b | a ...: walk all of first from b round to a, then second after a.
    let mut part: Vec<usize> = (0..n).map(|k| first[(i + 1 + k) % n]).collect();
    part.extend((0..m - 2).map(|k| second[(j + 2 + k) % m]));
    let count = part.len();
    let convex = (0..count).all(|k| {
        let (p, q, r) = (part[k], part[(k + 1) % count], part[(k + 2) % count]);
        orientation(points[p], points[q], points[r]) != Ordering::Less
    });
    convex.then_some(part)
}

fn drop_straight(corners: &mut Vec<Point>) {
    let mut k = 0;
    while k < corners.len() && corners.len() > 3 {
        let n = corners.len();
        let (a, b, c) = (corners[(k + n - 1) % n], corners[k], corners[(k + 1) % n]);
        if orientation(a, b, c) == Ordering::Equal {
            corners.remove(k);
        } else {
            k += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline(list: &[(i64, i64)]) -> Outline {
        Outline::new(list.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
    }

    fn doubled_area(part: &ConvexPart) -> i128 {
        Outline::new(part.points.clone()).unwrap().doubled_area()
    }

    #[test]
    fn parts_are_convex_and_make_up_the_whole() {
        let cases = [
            outline(&[(0, 0), (9, 0), (9, 3), (3, 3), (3, 9), (0, 9)]),
            outline(&[
                (0, 0),
                (8, 0),
                (8, 8),
                (5, 8),
                (5, 2),
                (3, 2),
                (3, 8),
                (0, 8),
            ]),
            outline(&[
                (0, 0),
                (10, 4),
                (20, 0),
                (14, 10),
                (20, 20),
                (10, 15),
                (0, 20),
                (6, 10),
            ]),
        ];
        for case in &cases {
            let parts = convex_parts(case);
            assert!(parts.len() > 1);
            assert!(
                parts
                    .iter()
                    .all(|p| Outline::new(p.points.clone()).unwrap().is_convex())
            );
            assert_eq!(
                parts.iter().map(doubled_area).sum::<i128>(),
                case.doubled_area()
            );
        }
    }

    /// The least number is half as many as there are hollow corners, rounded up, and one: every cut ends two
    /// at most (Chazelle and Dobkin 1985, from memory). Here it can be had.
    #[test]
    fn the_fewest_parts_are_found_wherever_the_list_of_corners_begins() {
        let comb = outline(&[
            (0, 0),
            (14, 0),
            (14, 9),
            (12, 9),
            (12, 2),
            (8, 2),
            (8, 9),
            (6, 9),
            (6, 2),
            (2, 2),
            (2, 9),
            (0, 9),
        ]);
        let bow = outline(&[(0, 0), (5, 2), (10, 0), (10, 8), (5, 6), (0, 8)]);
        for (shape, least) in [(comb, 4), (bow, 2)] {
            for start in 0..shape.points().len() {
                let mut points = shape.points().to_vec();
                points.rotate_left(start);
                assert_eq!(convex_parts(&Outline::new(points).unwrap()).len(), least);
            }
        }
    }

    #[test]
    fn an_l_needs_two_parts_and_a_u_three() {
        let l = outline(&[(0, 0), (9, 0), (9, 3), (3, 3), (3, 9), (0, 9)]);
        assert_eq!(convex_parts(&l).len(), 2);
        let u = outline(&[
            (0, 0),
            (8, 0),
            (8, 8),
            (5, 8),
            (5, 2),
            (3, 2),
            (3, 8),
            (0, 8),
        ]);
        assert_eq!(convex_parts(&u).len(), 3);
    }
}
