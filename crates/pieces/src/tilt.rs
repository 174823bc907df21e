//! Outlines turned by 45 degrees, for pieces on the bias.
//!
//! A corner turned by 45 degrees has no whole coordinates. Every edge of the turned outline is
//! therefore moved out by more than the rounding of its corners before they are rounded, so the
//! result contains the turned outline exactly and lies at most 1.5 um outside its edges, a few
//! micrometres more at a sharp tip. The tests prove the containment with whole numbers: with a and b
//! whole, the sign of a / sqrt 2 - b follows from comparing a^2 with 2 b^2. Source: geometry.

use std::cmp::Ordering;
use std::f64::consts::FRAC_1_SQRT_2;

use crate::outline::{Outline, Point, orientation};

/// How far edges are moved out, in um: a corner rounds by at most 0.7072 um, and the floats add less
/// than a millionth.
const MARGIN: f64 = 0.75;

/// Corners that would move further out than this, in um, are cut off: needles only.
const FURTHEST: f64 = 20.0;

/// `outline` turned by 45 degrees counter-clockwise about the origin, rounded outward.
///
/// Costs one pass over the corners and the check of [`Outline::new`]. Should the outward rounding
/// make the outline meet itself (parts less than 3 um apart), its convex hull is given: that
/// contains it too.
#[must_use]
pub fn half_quarter(outline: &Outline) -> Outline {
    let corners: Vec<(f64, f64)> = outline
        .points()
        .iter()
        .map(|p| {
            // Whole numbers first: their sum and difference are exact.
            let (across, along) = ((p.x - p.y) as f64, (p.x + p.y) as f64);
            (across * FRAC_1_SQRT_2, along * FRAC_1_SQRT_2)
        })
        .collect();
    let n = corners.len();
    let out = |i: usize| {
        let ((ax, ay), (bx, by)) = (corners[i], corners[(i + 1) % n]);
        let length = (bx - ax).hypot(by - ay);
        ((by - ay) / length, (ax - bx) / length)
    };
    let mut rounded = Vec::with_capacity(n);
    for (i, &(x, y)) in corners.iter().enumerate() {
        let ((ax, ay), (bx, by)) = (out((i + n - 1) % n), out(i));
        let reach = MARGIN / (1.0 + ax * bx + ay * by);
        if reach.is_finite() && reach < FURTHEST {
            rounded.push(whole(x + (ax + bx) * reach, y + (ay + by) * reach));
        } else {
            // Off both edges and past the tip; an edge's own direction is its outward one turned left.
            let past = 2.0 * MARGIN;
            rounded.push(whole(
                x + ax * MARGIN - ay * past,
                y + ay * MARGIN + ax * past,
            ));
            rounded.push(whole(
                x + bx * MARGIN + by * past,
                y + by * MARGIN - bx * past,
            ));
        }
    }
    Outline::new(rounded.clone()).unwrap_or_else(|_| hull(rounded, outline))
}

fn whole(x: f64, y: f64) -> Point {
    Point::new(x.round() as i64, y.round() as i64)
}

/// The convex hull of the points; `otherwise` if they lie on one line, which moved-out corners of
/// an outline never do.
fn hull(mut points: Vec<Point>, otherwise: &Outline) -> Outline {
    points.sort();
    points.dedup();
    let mut chain: Vec<Point> = Vec::new();
    let half = |list: &mut dyn Iterator<Item = Point>, chain: &mut Vec<Point>| {
        let floor = chain.len();
        for p in list {
            while chain.len() >= floor + 2
                && orientation(chain[chain.len() - 2], chain[chain.len() - 1], p)
                    != Ordering::Greater
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
    };
    half(&mut points.iter().copied(), &mut chain);
    half(&mut points.iter().rev().copied(), &mut chain);
    Outline::new(chain).unwrap_or_else(|_| otherwise.clone())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::length::Length;

    /// Sign of a / sqrt 2 - b.
    fn sign(a: i128, b: i128) -> Ordering {
        (a.signum() * a * a).cmp(&(2 * b.signum() * b * b))
    }

    /// Where the turned corner `p` lies seen along the edge a -> b of the result.
    fn side(a: Point, b: Point, p: Point) -> Ordering {
        let wide = |v: i64| i128::from(v);
        let d = b.minus(a);
        let turned = wide(d.x) * wide(p.x + p.y) - wide(d.y) * wide(p.x - p.y);
        sign(turned, wide(d.x) * wide(a.y) - wide(d.y) * wide(a.x))
    }

    #[test]
    fn a_square_on_its_corner() {
        // Geometry: the diagonal of a 10 cm square is 141.421356 mm.
        let square = Outline::rectangle(Length::from_cm(10), Length::from_cm(10)).unwrap();
        let turned = half_quarter(&square);
        let bounds = turned.bounds();
        assert_eq!(turned.points().len(), 4);
        assert!(
            (141_422..=141_426).contains(&bounds.across().um()),
            "{}",
            bounds.across()
        );
        assert!(
            (141_422..=141_426).contains(&bounds.along().um()),
            "{}",
            bounds.along()
        );
    }

    proptest! {
        #[test]
        fn a_convex_outline_turned_lies_inside_the_result(
            list in prop::collection::vec((-3_000_000_i64..3_000_000, -3_000_000_i64..3_000_000), 3..12),
        ) {
            let points: Vec<Point> = list.into_iter().map(Point::from_pair).collect();
            let around = Outline::rectangle(Length::from_um(1), Length::from_um(1)).unwrap();
            let outline = hull(points, &around);
            let turned = half_quarter(&outline);
            for (a, b) in turned.edges() {
                for &p in outline.points() {
                    prop_assert_ne!(side(a, b, p), Ordering::Less);
                }
            }
            let grown = turned.doubled_area() - outline.doubled_area();
            let around: f64 = outline.edges().map(|(a, b)| {
                let d = b.minus(a);
                (d.x as f64).hypot(d.y as f64)
            }).sum();
            prop_assert!(grown as f64 <= 2.0 * 1.5 * around + 1e4);
        }

        /// Hollow shapes: each turned edge keeps to the inner side of the result's edge.
        #[test]
        fn edges_of_a_hollow_outline_move_out(radii in prop::collection::vec(50_000_i64..900_000, 5..14)) {
            let n = radii.len();
            let star = radii.iter().enumerate().map(|(i, &r)| {
                let a = std::f64::consts::TAU * i as f64 / n as f64;
                Point::new((r as f64 * a.cos()) as i64, (r as f64 * a.sin()) as i64)
            }).collect();
            let outline = Outline::new(star).unwrap();
            let turned = half_quarter(&outline);
            prop_assume!(turned.points().len() == outline.points().len());
            // Outline::new keeps the order but may start elsewhere only when it drops corners.
            for ((a, b), (p, q)) in turned.edges().zip(outline.edges()) {
                prop_assert_ne!(side(a, b, p), Ordering::Less);
                prop_assert_ne!(side(a, b, q), Ordering::Less);
            }
        }
    }

    impl Point {
        fn from_pair((x, y): (i64, i64)) -> Point {
            Point::new(x, y)
        }
    }
}
