//! Spacing as larger pieces on larger cloth.
//!
//! Pieces that keep their distance do not overlap when all of them are swept by one rectangle whose diagonal is at most
//! the spacing, and they lie on a cloth that is larger by its sides. Geometry (Minkowski sums).

use pieces::{Length, Point};
use serde::{Deserialize, Serialize};

/// How much wider and longer pieces and cloth are taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Larger {
    /// Across.
    #[serde(rename = "wider_um")]
    pub wider: Length,
    /// Along.
    #[serde(rename = "longer_um")]
    pub longer: Length,
}

impl Larger {
    /// By no spacing.
    pub(crate) const NOT: Larger = Larger {
        wider: Length::ZERO,
        longer: Length::ZERO,
    };

    /// Whether they are as large as they are.
    #[must_use]
    pub fn is_not(&self) -> bool {
        *self == Larger::NOT
    }

    /// Whether pieces that keep the spacing do not overlap so.
    pub(super) fn is_within(self, spacing: Length) -> bool {
        let squared = |v: Length| i128::from(v.um()) * i128::from(v.um());
        self.wider >= Length::ZERO
            && self.longer >= Length::ZERO
            && squared(self.wider) + squared(self.longer) <= squared(spacing.max(Length::ZERO))
    }

    /// A convex polygon swept so, counter-clockwise, without straight corners: the hull of all that its corners pass.
    pub(super) fn swept(self, convex: &[Point]) -> Vec<Point> {
        if self.is_not() {
            return convex.to_vec();
        }
        let (x, y) = (self.wider.um(), self.longer.um());
        let moved = [(0, 0), (x, 0), (0, y), (x, y)].map(|(x, y)| Point::new(x, y));
        let all = convex
            .iter()
            .flat_map(|p| moved.iter().map(move |by| p.plus(*by)));
        let mut all: Vec<Point> = all.collect();
        all.sort_unstable();
        all.dedup();
        let mut hull = half(all.iter());
        hull.extend(half(all.iter().rev()));
        hull
    }
}

/// From the first point to the last, turning left; without the last. (Andrew 1979, from memory.)
fn half<'p>(points: impl Iterator<Item = &'p Point>) -> Vec<Point> {
    let mut chain: Vec<Point> = Vec::new();
    for &p in points {
        while let [.., a, b] = chain[..]
            && doubled(a, b, p) <= 0
        {
            chain.pop();
        }
        chain.push(p);
    }
    chain.pop();
    chain
}

/// Twice the area of a triangle, positive if it runs counter-clockwise.
fn doubled(a: Point, b: Point, c: Point) -> i128 {
    let wide = |v: i64| i128::from(v);
    wide(b.x - a.x) * wide(c.y - a.y) - wide(b.y - a.y) * wide(c.x - a.x)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn larger(wider: i64, longer: i64) -> Larger {
        let um = Length::from_um;
        Larger {
            wider: um(wider),
            longer: um(longer),
        }
    }

    /// Geometry: 3, 4 and 5.
    #[test]
    fn its_diagonal_is_at_most_the_spacing() {
        let spacing = Length::from_um(5);
        for (wider, longer) in [(0, 0), (5, 0), (0, 5), (3, 4)] {
            assert!(larger(wider, longer).is_within(spacing));
        }
        for (wider, longer) in [(6, 0), (5, 1), (4, 4), (-1, 0), (0, -1)] {
            assert!(!larger(wider, longer).is_within(spacing));
        }
    }

    #[test]
    fn a_triangle_swept_by_hand() {
        let points = |list: &[(i64, i64)]| -> Vec<Point> {
            list.iter().map(|&(x, y)| Point::new(x, y)).collect()
        };
        let triangle = points(&[(0, 0), (40, 0), (10, 30)]);
        let both = [(0, 0), (43, 0), (43, 4), (13, 34), (10, 34), (0, 4)];
        assert_eq!(larger(3, 4).swept(&triangle), points(&both));
        let wider = [(0, 0), (43, 0), (13, 30), (10, 30)];
        assert_eq!(larger(3, 0).swept(&triangle), points(&wider));
    }
}
