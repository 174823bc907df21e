//! Are two outlines nearer to each other than a spacing? By squares, in integers.

use pieces::{Outline, Point};

/// A corner of one outline that is nearer than `gap` to the other's border, if there is one.
///
/// For outlines whose interiors do not meet: then the least distance is taken at a corner of one.
pub(super) fn nearer_than(a: &Outline, b: &Outline, gap: i64) -> Option<Point> {
    corner_near(a, b, gap).or_else(|| corner_near(b, a, gap))
}

fn corner_near(corners: &Outline, edges: &Outline, gap: i64) -> Option<Point> {
    let bounds = edges.bounds();
    let close = |p: &Point| {
        p.x > bounds.min.x - gap
            && p.x < bounds.max.x + gap
            && p.y > bounds.min.y - gap
            && p.y < bounds.max.y + gap
    };
    corners
        .points()
        .iter()
        .copied()
        .filter(close)
        .find(|&p| edges.edges().any(|(u, v)| point_near(p, u, v, gap)))
}

/// True if `p` is nearer than `gap` to the segment from `u` to `v`.
///
/// Past an end it is the distance to that end; between them it is |cross| / |v - u|, compared as
/// cross^2 < gap^2 * |v - u|^2.
fn point_near(p: Point, u: Point, v: Point, gap: i64) -> bool {
    let (edge, from_u, from_v) = (v.minus(u), p.minus(u), p.minus(v));
    let gap_squared = square(gap);
    if dot(edge, from_u) <= 0 {
        return length_squared(from_u) < gap_squared;
    }
    if dot(edge, from_v) >= 0 {
        return length_squared(from_v) < gap_squared;
    }
    let cross =
        i128::from(edge.x) * i128::from(from_u.y) - i128::from(edge.y) * i128::from(from_u.x);
    let cross = cross.unsigned_abs();
    wide_product(cross, cross) < wide_product(gap_squared, length_squared(edge))
}

fn dot(a: Point, b: Point) -> i128 {
    i128::from(a.x) * i128::from(b.x) + i128::from(a.y) * i128::from(b.y)
}

fn square(a: i64) -> u128 {
    let a = u128::from(a.unsigned_abs());
    a * a
}

fn length_squared(a: Point) -> u128 {
    square(a.x) + square(a.y)
}

/// The full product as (high, low) halves: squares of cross products of far points pass 2^127.
fn wide_product(a: u128, b: u128) -> (u128, u128) {
    const LOW: u128 = u64::MAX as u128;
    let (a_high, a_low, b_high, b_low) = (a >> 64, a & LOW, b >> 64, b & LOW);
    let low = a_low * b_low;
    let middle = a_high * b_low + (low >> 64);
    let carry = a_low * b_high + (middle & LOW);
    let high = a_high * b_high + (middle >> 64) + (carry >> 64);
    (high, (carry << 64) | (low & LOW))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_products_agree_with_plain_ones_and_go_on_where_those_end() {
        for (a, b) in [(0, 7), (u128::from(u64::MAX), 3), (1 << 63, (1 << 63) + 5)] {
            assert_eq!(wide_product(a, b), (0, a * b));
        }
        assert_eq!(wide_product(1 << 100, 1 << 100), (1 << 72, 0));
        assert_eq!(wide_product(u128::MAX, u128::MAX), (u128::MAX - 1, 1));
    }

    #[test]
    fn a_slanted_edge_is_measured_across() {
        // The line 3x + 4y = 0 seen from (3, 4): distance 25 / 5 = 5.
        let (u, v, p) = (Point::new(-40, 30), Point::new(40, -30), Point::new(3, 4));
        assert!(!point_near(p, u, v, 5));
        assert!(point_near(p, u, v, 6));
    }

    #[test]
    fn past_the_end_it_is_the_distance_to_the_end() {
        let (u, v, p) = (Point::new(0, 0), Point::new(10, 0), Point::new(13, 4));
        assert!(!point_near(p, u, v, 5));
        assert!(point_near(p, u, v, 6));
    }
}
