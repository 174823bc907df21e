//! No-fit regions: where a piece may not be moved because it would meet another.
//!
//! For convex A and B the translations t at which the interiors of A and B + t meet are the interior of
//! A + (-B), a convex polygon whose edges are those of A and of -B merged by direction. For outlines
//! of several convex parts it is the union over all pairs of parts (see the module above), which
//! [`super::fewer`] then writes with fewer of them. Spacing adds a third summand, a polygon around the disc
//! of that radius. Exact.

use std::cmp::Ordering;

use geo::{ConvexHull, MultiPoint};
use pieces::{Bounds, Length, Point, orientation};

use super::convex::ConvexPart;
use super::fewer::fewer;

/// One open convex polygon of forbidden translations.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoFitPart {
    /// Corners, counter-clockwise, starting at the lowest (then leftmost).
    pub points: Vec<Point>,
    /// Box around them.
    pub bounds: Bounds,
    /// True if the polygon is its box: then the box decides alone.
    pub is_box: bool,
}

impl NoFitPart {
    /// Of the corners of a convex polygon, counter-clockwise; `None` if there are none.
    pub(super) fn new(mut points: Vec<Point>) -> Option<Self> {
        let bounds = Bounds::of(&points)?;
        let first = lowest(&points);
        points.rotate_left(first);
        let is_box = points.len() == 4
            && points.iter().all(|p| {
                (p.x == bounds.min.x || p.x == bounds.max.x)
                    && (p.y == bounds.min.y || p.y == bounds.max.y)
            });
        Some(NoFitPart {
            points,
            bounds,
            is_box,
        })
    }

    /// True if `at` lies strictly inside: the pieces would overlap.
    #[must_use]
    pub fn forbids(&self, at: Point) -> bool {
        let Bounds { min, max } = self.bounds;
        if at.x <= min.x || at.x >= max.x || at.y <= min.y || at.y >= max.y {
            return false;
        }
        if self.is_box {
            return true;
        }
        let n = self.points.len();
        (0..n)
            .all(|i| orientation(self.points[i], self.points[(i + 1) % n], at) == Ordering::Greater)
    }

    /// The open stretch of y that is forbidden at this x, as the last allowed whole y below and the first
    /// above; `None` if the line x = const misses the interior.
    #[must_use]
    pub fn forbidden_along(&self, x: i64) -> Option<(i64, i64)> {
        let Bounds { min, max } = self.bounds;
        if x <= min.x || x >= max.x {
            return None;
        }
        if self.is_box {
            return Some((min.y, max.y));
        }
        self.section(x, |p| (p.x, p.y), [0, 1])
    }

    /// The open stretch of x that is forbidden at this y, as the last allowed whole x to the left and the
    /// first to the right; `None` if the line y = const misses the interior.
    #[must_use]
    pub fn forbidden_across(&self, y: i64) -> Option<(i64, i64)> {
        let Bounds { min, max } = self.bounds;
        if y <= min.y || y >= max.y {
            return None;
        }
        if self.is_box {
            return Some((min.x, max.x));
        }
        self.section(y, |p| (p.y, p.x), [0, 1])
    }

    /// Whole x between which all is forbidden at this y; `None` if there are none.
    #[must_use]
    pub fn covered_across(&self, y: i64) -> Option<(i64, i64)> {
        let Bounds { min, max } = self.bounds;
        if y <= min.y || y >= max.y {
            return None;
        }
        if self.is_box {
            return Some((min.x, max.x));
        }
        let section = self.section(y, |p| (p.y, p.x), [1, 0]);
        section.filter(|(left, right)| left < right)
    }

    /// For a line that meets the interior; 1 is added to the lesser, and the greater, end rounded down where
    /// it is none of the whole ones.
    fn section(
        &self,
        at: i64,
        axes: impl Fn(Point) -> (i64, i64),
        [for_low, for_high]: [i64; 2],
    ) -> Option<(i64, i64)> {
        let n = self.points.len();
        let mut low: Option<i64> = None;
        let mut high: Option<i64> = None;
        for i in 0..n {
            let (u0, v0) = axes(self.points[i]);
            let (u1, v1) = axes(self.points[(i + 1) % n]);
            if u0.min(u1) > at || u0.max(u1) < at || u0 == u1 {
                continue;
            }
            let (floor, is_whole) = share(v1 - v0, at - u0, u1 - u0);
            let (floor, part) = (v0 + floor, i64::from(!is_whole));
            let (least, most) = (floor + part * for_low, floor + part * for_high);
            low = Some(low.map_or(least, |l| l.min(least)));
            high = Some(high.map_or(most, |h| h.max(most)));
        }
        low.zip(high)
    }
}

/// `a * b / c` rounded down, and whether it is whole.
fn share(a: i64, b: i64, c: i64) -> (i64, bool) {
    // Dividing is several times as fast where the product is small enough.
    if let Some(product) = a.checked_mul(b).filter(|&product| product != i64::MIN) {
        let (product, c) = if c < 0 { (-product, -c) } else { (product, c) };
        return (product.div_euclid(c), product % c == 0);
    }
    let product = i128::from(a) * i128::from(b);
    let (product, c) = (product * i128::from(c.signum()), i128::from(c.abs()));
    (product.div_euclid(c) as i64, product % c == 0)
}

/// All forbidden translations of one shape against another that stays where it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoFit {
    /// The open convex polygons whose union is forbidden.
    pub parts: Vec<NoFitPart>,
    /// Box around them; none if there are none.
    bounds: Option<Bounds>,
}

impl NoFit {
    /// Of `moving` against `fixed`, both given by their convex parts in their own frames. `clearance` is
    /// kept free between them (see [`clearance()`]).
    #[must_use]
    pub fn of(fixed: &[ConvexPart], moving: &[ConvexPart], clearance: Option<&[Point]>) -> Self {
        NoFit::new(sums(fixed, moving, clearance))
    }

    fn new(parts: Vec<NoFitPart>) -> Self {
        let corners: Vec<Point> = parts
            .iter()
            .flat_map(|part| [part.bounds.min, part.bounds.max])
            .collect();
        NoFit {
            bounds: Bounds::of(&corners),
            parts,
        }
    }

    /// The same region of fewer parts. It takes long to find them, and less each time the region is asked.
    #[must_use]
    pub fn with_fewer_parts(&self) -> Self {
        NoFit::new(fewer(self.parts.clone()))
    }

    /// Turned about (0, 0) by quarters, then moved. Two pieces that are turned together meet at the turned
    /// places, and of two that change roles each is moved to the opposite side: a half turn. Exact.
    #[must_use]
    pub fn turned(&self, quarters: u8, by: Point) -> Self {
        let part = |part: &NoFitPart| {
            let points = part.points.iter().map(|p| p.turned(quarters).plus(by));
            NoFitPart::new(points.collect())
        };
        NoFit::new(self.parts.iter().filter_map(part).collect())
    }

    /// True if the shapes would overlap with the moving one at `at`.
    #[must_use]
    pub fn forbids(&self, at: Point) -> bool {
        self.is_near(at) && self.parts.iter().any(|p| p.forbids(at))
    }

    /// True if the place lies inside the box around all parts.
    #[must_use]
    pub fn is_near(&self, at: Point) -> bool {
        self.bounds.is_some_and(|Bounds { min, max }| {
            min.x < at.x && at.x < max.x && min.y < at.y && at.y < max.y
        })
    }
}

/// The sums of each part of the one with the reflection of each part of the other.
pub(super) fn sums(
    fixed: &[ConvexPart],
    moving: &[ConvexPart],
    clearance: Option<&[Point]>,
) -> Vec<NoFitPart> {
    let reflected: Vec<Vec<Point>> = moving
        .iter()
        .map(|part| part.points.iter().map(|p| p.turned(2)).collect())
        .collect();
    let mut parts = Vec::with_capacity(fixed.len() * moving.len());
    for still in fixed {
        let still = match clearance {
            Some(disc) => convex_sum(&still.points, disc),
            None => still.points.clone(),
        };
        parts.extend(
            reflected
                .iter()
                .filter_map(|part| NoFitPart::new(convex_sum(&still, part))),
        );
    }
    parts
}

/// A convex polygon with whole corners that contains the disc of radius `spacing` and touches its box,
/// so that straight neighbours stand exactly `spacing` apart and slanted ones at most 2 % more; `None`
/// for no spacing.
#[must_use]
pub fn clearance(spacing: Length) -> Option<Vec<Point>> {
    if !spacing.is_positive() {
        return None;
    }
    let radius = spacing.um();
    // Sixteen sides keep the excess at the corners at 1.9 %. A corner lies half a side beyond each of its
    // sides' tangent points.
    let half_side = std::f64::consts::PI / 16.0;
    let reach = radius as f64 / half_side.cos();
    let away = |v: f64| (v.ceil() as i64).min(radius);
    let mut points = Vec::new();
    // Two corners of an eighth, turned and mirrored, so that pieces turned together are kept just as far apart.
    for angle in [half_side, 3.0 * half_side] {
        let (x, y) = (away(reach * angle.cos()), away(reach * angle.sin()));
        for corner in [Point::new(x, y), Point::new(y, x)] {
            points.extend((0..4).map(|quarters| corner.turned(quarters)));
        }
    }
    Some(convex_hull(&points))
}

/// Counter-clockwise, straight corners dropped; crate `geo` computes it exactly on whole numbers.
pub(super) fn convex_hull(points: &[Point]) -> Vec<Point> {
    // In i128, since the products of large coordinates would overflow an i64.
    let wide = |p: &Point| (i128::from(p.x), i128::from(p.y));
    let points: MultiPoint<i128> = points.iter().map(wide).collect();
    let (ring, _) = points.convex_hull().into_inner();
    let narrow = |v: i128| v as i64;
    let mut hull: Vec<Point> = ring
        .coords()
        .map(|c| Point::new(narrow(c.x), narrow(c.y)))
        .collect();
    // The ring ends where it begins.
    hull.pop();
    hull
}

/// Index of the lowest (then leftmost) corner.
fn lowest(points: &[Point]) -> usize {
    (0..points.len())
        .min_by_key(|&i| (points[i].y, points[i].x))
        .unwrap_or(0)
}

/// Minkowski sum of two convex polygons, counter-clockwise, from the lowest (then leftmost) corner.
fn convex_sum(first: &[Point], second: &[Point]) -> Vec<Point> {
    let (n, m) = (first.len(), second.len());
    let (i0, j0) = (lowest(first), lowest(second));
    let edge =
        |points: &[Point], i: usize| points[(i + 1) % points.len()].minus(points[i % points.len()]);
    let mut at = first[i0].plus(second[j0]);
    let mut sum = Vec::with_capacity(n + m);
    let (mut i, mut j) = (0, 0);
    while i < n || j < m {
        sum.push(at);
        let (u, v) = (edge(first, i0 + i), edge(second, j0 + j));
        // The edge that turns less comes first; parallel ones become one edge.
        let turn = if i == n {
            Ordering::Less
        } else if j == m {
            Ordering::Greater
        } else {
            orientation(Point::default(), u, v)
        };
        if turn != Ordering::Less {
            at = at.plus(u);
            i += 1;
        }
        if turn != Ordering::Greater {
            at = at.plus(v);
            j += 1;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::convex_parts;
    use pieces::Outline;

    fn outline(list: &[(i64, i64)]) -> Outline {
        Outline::new(list.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
    }

    fn no_fit(fixed: &Outline, moving: &Outline) -> NoFit {
        NoFit::of(&convex_parts(fixed), &convex_parts(moving), None)
    }

    #[test]
    fn rectangles_may_touch_but_not_overlap_by_a_micrometre() {
        let (a, b) = (
            outline(&[(0, 0), (4, 0), (4, 3), (0, 3)]),
            outline(&[(0, 0), (2, 0), (2, 5), (0, 5)]),
        );
        let region = no_fit(&a, &b);
        assert!(!region.forbids(Point::new(4, 0)));
        assert!(region.forbids(Point::new(3, 0)));
        assert!(!region.forbids(Point::new(-2, 0)));
        assert!(!region.forbids(Point::new(0, 3)));
        assert!(!region.forbids(Point::new(0, -5)));
        assert!(region.forbids(Point::new(0, -4)));
        assert_eq!(region.parts[0].forbidden_along(0), Some((-5, 3)));
        assert_eq!(region.parts[0].forbidden_along(4), None);
        assert_eq!(region.parts[0].forbidden_across(0), Some((-2, 4)));
    }

    #[test]
    fn a_peg_fits_a_slot_of_its_own_width_at_single_positions_only() {
        let slot = outline(&[
            (0, 0),
            (9, 0),
            (9, 9),
            (6, 9),
            (6, 3),
            (3, 3),
            (3, 9),
            (0, 9),
        ]);
        let peg = outline(&[(0, 0), (3, 0), (3, 4), (0, 4)]);
        let region = no_fit(&slot, &peg);
        assert!(!region.forbids(Point::new(3, 3)));
        assert!(region.forbids(Point::new(2, 3)));
        assert!(region.forbids(Point::new(4, 3)));
        assert!(region.forbids(Point::new(3, 2)));
    }

    #[test]
    fn the_clearance_contains_its_disc_and_touches_its_box() {
        let r = 5_000_i64;
        let polygon = clearance(Length::from_um(r)).unwrap();
        let bounds = Bounds::of(&polygon).unwrap();
        assert_eq!(
            (bounds.min, bounds.max),
            (Point::new(-r, -r), Point::new(r, r))
        );
        for k in 0..3_600 {
            let angle = f64::from(k) * std::f64::consts::PI / 1_800.0;
            let reach = r as f64 - 1.5;
            let p = Point::new((reach * angle.cos()) as i64, (reach * angle.sin()) as i64);
            let n = polygon.len();
            assert!(
                (0..n).all(|i| orientation(polygon[i], polygon[(i + 1) % n], p) != Ordering::Less)
            );
        }
    }
}
