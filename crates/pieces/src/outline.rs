//! Points and simple polygons in whole micrometres, and the exact orientation test they rest on.
//!
//! An [`Outline`] is what gets cut: simple (no edge crosses or touches another but its neighbours),
//! counter-clockwise, at least three corners, no corner on the straight line through its
//! neighbours. The constructor checks all of it, so nothing downstream has to.

use std::cmp::Ordering;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::length::Length;

/// A point in whole micrometres. x runs across the cloth, y along it; right-handed.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(from = "[i64; 2]", into = "[i64; 2]")]
pub struct Point {
    /// Across, in micrometres.
    pub x: i64,
    /// Along, in micrometres.
    pub y: i64,
}

impl Point {
    /// The point (x, y), micrometres.
    #[must_use]
    pub const fn new(x: i64, y: i64) -> Self {
        Point { x, y }
    }

    /// Moved by `by`.
    #[must_use]
    pub const fn plus(self, by: Point) -> Self {
        Point {
            x: self.x + by.x,
            y: self.y + by.y,
        }
    }

    /// Turned about (0, 0) by `quarters` times 90 degrees, counter-clockwise. Exact.
    #[must_use]
    pub const fn turned(self, quarters: u8) -> Point {
        match quarters % 4 {
            0 => self,
            1 => Point::new(-self.y, self.x),
            2 => Point::new(-self.x, -self.y),
            _ => Point::new(self.y, -self.x),
        }
    }

    /// The vector from `from` to `self`.
    #[must_use]
    pub const fn minus(self, from: Point) -> Self {
        Point {
            x: self.x - from.x,
            y: self.y - from.y,
        }
    }
}

impl From<[i64; 2]> for Point {
    fn from([x, y]: [i64; 2]) -> Self {
        Point { x, y }
    }
}

impl From<Point> for [i64; 2] {
    fn from(point: Point) -> Self {
        [point.x, point.y]
    }
}

/// Differences below this keep every cross product exact in `i64`: 2 * 2^62 would overflow, so both
/// factors stay below 2^31, which is two kilometres of cloth. Larger ones go through `i128`.
const SMALL: u64 = 1 << 31;

/// Where `c` lies seen along the line from `a` to `b`: `Greater` left, `Less` right, `Equal` on it.
///
/// Exact for all coordinates below 2^62.
#[must_use]
pub fn orientation(a: Point, b: Point, c: Point) -> Ordering {
    let (u, v) = (b.minus(a), c.minus(a));
    if [u.x, u.y, v.x, v.y]
        .iter()
        .all(|d| d.unsigned_abs() < SMALL)
    {
        (u.x * v.y).cmp(&(u.y * v.x))
    } else {
        (i128::from(u.x) * i128::from(v.y)).cmp(&(i128::from(u.y) * i128::from(v.x)))
    }
}

/// The smallest upright rectangle around something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// Corner with the least x and y.
    pub min: Point,
    /// Corner with the greatest x and y.
    pub max: Point,
}

impl Bounds {
    /// Around all points; `None` for none.
    #[must_use]
    pub fn of(points: &[Point]) -> Option<Self> {
        let first = *points.first()?;
        Some(points.iter().fold(
            Bounds {
                min: first,
                max: first,
            },
            |b, p| Bounds {
                min: Point::new(b.min.x.min(p.x), b.min.y.min(p.y)),
                max: Point::new(b.max.x.max(p.x), b.max.y.max(p.y)),
            },
        ))
    }

    /// Size across.
    #[must_use]
    pub fn across(self) -> Length {
        Length::from_um(self.max.x - self.min.x)
    }

    /// Size along.
    #[must_use]
    pub fn along(self) -> Length {
        Length::from_um(self.max.y - self.min.y)
    }
}

/// Why a list of points is no outline.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OutlineError {
    /// Fewer than three corners are left after doubled and straight ones are dropped.
    #[error("an outline needs at least three corners that are not on one line")]
    TooFewCorners,
    /// Two edges cross; corners are counted from 1 in the given list.
    #[error("the edge after corner {first} crosses the edge after corner {second}")]
    Crossing {
        /// First edge: the one after this corner, from 1.
        first: usize,
        /// Second edge: the one after this corner, from 1.
        second: usize,
    },
    /// Two edges that are not neighbours touch, and none cross.
    #[error(
        "the edge after corner {first} touches the edge after corner {second}: leave a gap, or make two pieces of it"
    )]
    Touching {
        /// First edge: the one after this corner, from 1.
        first: usize,
        /// Second edge: the one after this corner, from 1.
        second: usize,
    },
    /// A coordinate is beyond +-2^61 um, where the exact test would no longer be exact.
    #[error("a corner lies too far out to be computed exactly")]
    TooFar,
}

/// A simple polygon: what is cut, or a finished edge. See the module for what it promises.
#[derive(Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "Vec<Point>", into = "Vec<Point>")]
pub struct Outline {
    points: Vec<Point>,
}

impl Outline {
    /// Checks and normalises: doubled and straight corners are dropped, clockwise is turned round.
    ///
    /// # Errors
    /// [`OutlineError`], naming the edges that meet.
    pub fn new(points: Vec<Point>) -> Result<Self, OutlineError> {
        let far = |v: i64| v.unsigned_abs() > 1 << 61;
        if points.iter().any(|p| far(p.x) || far(p.y)) {
            return Err(OutlineError::TooFar);
        }
        let mut corners: Vec<(usize, Point)> = points.into_iter().enumerate().collect();
        drop_straight(&mut corners);
        if corners.len() < 3 {
            return Err(OutlineError::TooFewCorners);
        }
        check_simple(&corners)?;
        let mut points: Vec<Point> = corners.into_iter().map(|(_, p)| p).collect();
        if doubled_area(&points) < 0 {
            points.reverse();
        }
        Ok(Outline { points })
    }

    /// The upright rectangle from (0, 0) to (across, along).
    ///
    /// # Errors
    /// [`OutlineError::TooFewCorners`] if a side is not positive.
    pub fn rectangle(across: Length, along: Length) -> Result<Self, OutlineError> {
        if !across.is_positive() || !along.is_positive() {
            return Err(OutlineError::TooFewCorners);
        }
        let (x, y) = (across.um(), along.um());
        Outline::new(vec![
            Point::new(0, 0),
            Point::new(x, 0),
            Point::new(x, y),
            Point::new(0, y),
        ])
    }

    /// The corners, counter-clockwise; the last is not the first again.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Edges as (from, to), counter-clockwise.
    pub fn edges(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().copied().zip(next.copied())
    }

    /// The smallest upright rectangle around it.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        Bounds::of(&self.points).expect("an outline has corners")
    }

    /// Twice the area in square micrometres, exact.
    #[must_use]
    pub fn doubled_area(&self) -> i128 {
        doubled_area(&self.points)
    }

    /// Moved by `by`.
    #[must_use]
    pub fn moved(&self, by: Point) -> Outline {
        Outline {
            points: self.points.iter().map(|p| p.plus(by)).collect(),
        }
    }

    /// Mirrored at the y axis (left becomes right), still counter-clockwise.
    #[must_use]
    pub fn mirrored(&self) -> Outline {
        Outline {
            points: self
                .points
                .iter()
                .rev()
                .map(|p| Point::new(-p.x, p.y))
                .collect(),
        }
    }

    /// Turned about the origin by `quarters` times 90 degrees, counter-clockwise. Exact.
    #[must_use]
    pub fn turned(&self, quarters: u8) -> Outline {
        Outline {
            points: self.points.iter().map(|p| p.turned(quarters)).collect(),
        }
    }

    /// True if it is an upright rectangle: its box and nothing less.
    #[must_use]
    pub fn fills_box(&self) -> bool {
        let bounds = self.bounds();
        let [across, along] = [bounds.across(), bounds.along()].map(|side| i128::from(side.um()));
        self.doubled_area() == 2 * across * along
    }

    /// True if no corner turns right.
    #[must_use]
    pub fn is_convex(&self) -> bool {
        let n = self.points.len();
        (0..n).all(|i| {
            let (a, b, c) = (
                self.points[i],
                self.points[(i + 1) % n],
                self.points[(i + 2) % n],
            );
            orientation(a, b, c) != Ordering::Less
        })
    }
}

impl fmt::Debug for Outline {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Outline")?;
        f.debug_list()
            .entries(self.points.iter().map(|p| (p.x, p.y)))
            .finish()
    }
}

impl TryFrom<Vec<Point>> for Outline {
    type Error = OutlineError;
    fn try_from(points: Vec<Point>) -> Result<Self, OutlineError> {
        Outline::new(points)
    }
}

impl From<Outline> for Vec<Point> {
    fn from(outline: Outline) -> Self {
        outline.points
    }
}

/// Twice the area of a polygon, square micrometres; negative if its corners run clockwise.
#[must_use]
pub fn doubled_area(points: &[Point]) -> i128 {
    let n = points.len();
    (0..n)
        .map(|i| {
            let (a, b) = (points[i], points[(i + 1) % n]);
            i128::from(a.x) * i128::from(b.y) - i128::from(a.y) * i128::from(b.x)
        })
        .sum()
}

/// Drops doubled corners and corners on the line through their neighbours, spikes included, until
/// none is left.
fn drop_straight(corners: &mut Vec<(usize, Point)>) {
    let mut at = 0;
    let mut quiet = 0;
    while corners.len() >= 3 && quiet < corners.len() {
        let n = corners.len();
        at %= n;
        let (before, here, after) = (
            corners[(at + n - 1) % n].1,
            corners[at].1,
            corners[(at + 1) % n].1,
        );
        if here == after || orientation(before, here, after) == Ordering::Equal {
            corners.remove(at);
            at = at.saturating_sub(1);
            quiet = 0;
        } else {
            at += 1;
            quiet += 1;
        }
    }
}

fn check_simple(corners: &[(usize, Point)]) -> Result<(), OutlineError> {
    let n = corners.len();
    let edge = |i: usize| (corners[i].1, corners[(i + 1) % n].1);
    // Sorted by least x, so that each edge only meets those that start before it ends.
    let mut order: Vec<usize> = (0..n).collect();
    let span = |i: usize| {
        let (a, b) = edge(i);
        (a.x.min(b.x), a.x.max(b.x))
    };
    order.sort_by_key(|&i| span(i));
    let mut touching = Ok(());
    for (k, &i) in order.iter().enumerate() {
        for &j in &order[k + 1..] {
            if span(j).0 > span(i).1 {
                break;
            }
            let neighbours = (i + 1) % n == j || (j + 1) % n == i;
            if neighbours {
                continue;
            }
            let (first, second) = (corners[i.min(j)].0 + 1, corners[i.max(j)].0 + 1);
            match meeting(edge(i), edge(j)) {
                Some(Meeting::Cross) => return Err(OutlineError::Crossing { first, second }),
                Some(Meeting::Touch) if touching.is_ok() => {
                    touching = Err(OutlineError::Touching { first, second });
                }
                _ => {}
            }
        }
    }
    touching
}

enum Meeting {
    /// Each has its ends on both sides of the other.
    Cross,
    /// An end of one lies on the other.
    Touch,
}

fn meeting((a, b): (Point, Point), (c, d): (Point, Point)) -> Option<Meeting> {
    let (c_side, d_side) = (orientation(a, b, c), orientation(a, b, d));
    let (a_side, b_side) = (orientation(c, d, a), orientation(c, d, b));
    let sides = [a_side, b_side, c_side, d_side];
    if c_side != d_side && a_side != b_side && !sides.contains(&Ordering::Equal) {
        return Some(Meeting::Cross);
    }
    let on = |p: Point, q: Point, r: Point, side: Ordering| {
        side == Ordering::Equal
            && (p.x.min(q.x)..=p.x.max(q.x)).contains(&r.x)
            && (p.y.min(q.y)..=p.y.max(q.y)).contains(&r.y)
    };
    let touches =
        on(a, b, c, c_side) || on(a, b, d, d_side) || on(c, d, a, a_side) || on(c, d, b, b_side);
    touches.then_some(Meeting::Touch)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[(i64, i64)]) -> Vec<Point> {
        list.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    #[test]
    fn clockwise_doubled_and_straight_corners_are_put_right() {
        let outline = Outline::new(points(&[
            (0, 0),
            (0, 5),
            (0, 10),
            (10, 10),
            (10, 10),
            (10, 0),
        ]))
        .unwrap();
        assert_eq!(outline.points().len(), 4);
        assert_eq!(outline.doubled_area(), 200);
        assert!(outline.is_convex());
    }

    #[test]
    fn only_upright_rectangles_fill_their_box() {
        let fills = |list: &[(i64, i64)]| Outline::new(points(list)).unwrap().fills_box();
        assert!(fills(&[(2, 1), (7, 1), (7, 4), (2, 4)]));
        assert!(!fills(&[(2, 1), (7, 1), (7, 4), (3, 4)]));
        assert!(!fills(&[(0, 1), (1, 0), (3, 2), (2, 3)]));
    }

    #[test]
    fn a_bow_tie_is_refused_and_the_edges_are_named() {
        let error = Outline::new(points(&[(0, 0), (10, 10), (10, 0), (0, 10)])).unwrap_err();
        assert_eq!(
            error,
            OutlineError::Crossing {
                first: 1,
                second: 3
            }
        );
    }

    #[test]
    fn an_outline_that_touches_itself_is_refused() {
        let pinched = points(&[(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)]);
        let error = Outline::new(pinched).unwrap_err();
        assert!(
            matches!(error, OutlineError::Touching { first: 1, .. }),
            "{error}"
        );
    }

    #[test]
    fn of_edges_that_touch_and_edges_that_cross_those_that_cross_are_named() {
        // The corner at (5, 0) lies on the first edge; further right two edges cross.
        let both = [
            (0, 0),
            (20, 0),
            (20, 10),
            (10, 5),
            (20, 5),
            (10, 10),
            (5, 0),
            (0, 10),
        ];
        let error = Outline::new(points(&both)).unwrap_err();
        assert!(matches!(error, OutlineError::Crossing { .. }), "{error}");
    }

    #[test]
    fn nothing_is_left_of_a_line() {
        assert_eq!(
            Outline::new(points(&[(0, 0), (5, 5), (10, 10)])),
            Err(OutlineError::TooFewCorners)
        );
    }

    #[test]
    fn four_quarter_turns_and_two_mirrors_change_nothing() {
        let outline = Outline::new(points(&[(0, 0), (7, 1), (3, 9)])).unwrap();
        assert_eq!(outline.turned(1).turned(1).turned(2), outline);
        assert_eq!(outline.turned(3), outline.turned(1).turned(1).turned(1));
        assert_eq!(outline.mirrored().doubled_area(), outline.doubled_area());
        assert_eq!(outline.mirrored().mirrored(), outline);
    }

    #[test]
    fn orientation_is_exact_on_both_sides_of_the_size_border() {
        for size in [
            1_i64 << 20,
            1 << 30,
            (1 << 31) - 1,
            1 << 31,
            1 << 40,
            1 << 60,
        ] {
            let (a, b) = (
                Point::new(-size / 2, -size / 2),
                Point::new(size / 2, size / 2),
            );
            assert_eq!(orientation(a, b, Point::new(0, 0)), Ordering::Equal);
            assert_eq!(orientation(a, b, Point::new(0, 1)), Ordering::Greater);
            assert_eq!(orientation(a, b, Point::new(1, 0)), Ordering::Less);
        }
    }
}
