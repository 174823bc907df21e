//! How wide a piece is at each height of its own: exact section widths, never rounded up.
//!
//! The section of a polygon at height y is the sum of its crossings with rising edges less those with
//! falling ones (counter-clockwise, rising edges are right borders), so it is linear between
//! the heights of corners, whatever the shape. Values at those heights are rounded down to whole
//! micrometres; as both ends are, the line between them is nowhere above the true width.
//!
//! Source: a line swept over a polygon's corners, textbook geometry; the rounding is an own derivation.

use std::cmp::{Ordering, Reverse};

use pieces::{Outline, Point};

/// One stretch of heights over which the value is linear.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Stretch {
    /// Where it starts.
    pub from: i64,
    /// Where it ends, above `from`.
    pub to: i64,
    /// Value just above `from`.
    pub low: i64,
    /// Value just below `to`.
    pub high: i64,
}

impl Stretch {
    /// The value at `y / scale`, rounded down.
    fn at(&self, y: i64, scale: i64) -> i64 {
        if self.low == self.high {
            return self.low;
        }
        let run = i128::from(y - self.from * scale) * i128::from(self.high - self.low);
        let step = run.div_euclid(i128::from((self.to - self.from) * scale));
        self.low + i64::try_from(step).expect("it lies between two values of the stretch")
    }
}

/// A piecewise linear function on [0, height], not negative, with jumps only between stretches.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Profile {
    pub stretches: Vec<Stretch>,
}

impl Profile {
    /// The least section between two heights.
    pub fn narrowest(&self, from: i64, to: i64) -> i64 {
        let there = self.stretches.iter().filter(|s| s.from < to && from < s.to);
        let least = |s: &Stretch| s.at(from.max(s.from), 1).min(s.at(to.min(s.to), 1));
        there.map(least).min().unwrap_or(0)
    }

    /// Section widths of an outline as it lies, each `wider` than it is (for spacing).
    pub fn of(outline: &Outline, wider: i64) -> Profile {
        let bottom = outline.bounds().min.y;
        let mut heights: Vec<i64> = outline.points().iter().map(|p| p.y).collect();
        heights.sort_unstable();
        heights.dedup();
        // Edges by their lower end, those that ended dropped as the heights pass.
        let mut waiting: Vec<(Point, Point, bool)> = outline
            .edges()
            .filter_map(|(a, b)| match a.y.cmp(&b.y) {
                Ordering::Less => Some((a, b, true)),
                Ordering::Greater => Some((b, a, false)),
                Ordering::Equal => None,
            })
            .collect();
        waiting.sort_by_key(|(low, ..)| Reverse(low.y));
        let mut crossing: Vec<(Point, Point, bool)> = Vec::new();
        let mut stretches = Vec::with_capacity(heights.len());
        for pair in heights.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            crossing.retain(|(_, high, _)| high.y > from);
            while waiting.last().is_some_and(|(low, ..)| low.y <= from) {
                crossing.extend(waiting.pop());
            }
            let width = |y: i64| {
                let total: i64 = crossing.iter().map(|edge| crossing_down(edge, y)).sum();
                total.max(0) + wider
            };
            let (low, high) = (width(from), width(to));
            stretches.push(Stretch {
                from: from - bottom,
                to: to - bottom,
                low,
                high,
            });
        }
        Profile { stretches }
    }

    /// How high it is.
    pub fn height(&self) -> i64 {
        self.stretches.last().map_or(0, |s| s.to)
    }

    /// Turned end for end.
    pub fn reversed(&self) -> Profile {
        let height = self.height();
        let turn = |s: &Stretch| Stretch {
            from: height - s.to,
            to: height - s.from,
            low: s.high,
            high: s.low,
        };
        Profile {
            stretches: self.stretches.iter().rev().map(turn).collect(),
        }
    }

    /// Twice its integral, exact for the values it has.
    pub fn doubled_integral(&self) -> i128 {
        self.stretches
            .iter()
            .map(|s| i128::from(s.to - s.from) * i128::from(s.low + s.high))
            .sum()
    }

    /// Twice its integral from `y` on, rounded down.
    pub fn doubled_integral_from(&self, y: i64) -> i128 {
        let over = |s: &Stretch| {
            let from = s.from.max(y);
            let low = if from == s.from { s.low } else { s.at(from, 1) };
            i128::from(s.to - from) * i128::from(low + s.high)
        };
        let first = self.stretches.partition_point(|s| s.to <= y);
        self.stretches[first..].iter().map(over).sum()
    }

    /// The value at height `y / scale`, the lesser of both sides at a jump, 0 at both ends and beyond.
    pub fn least_at(&self, y: i64, scale: i64) -> i64 {
        if y <= 0 {
            return 0;
        }
        let after = self.stretches.partition_point(|s| s.to * scale < y);
        let Some(stretch) = self.stretches.get(after) else {
            return 0;
        };
        if y < stretch.to * scale {
            return stretch.at(y, scale);
        }
        self.stretches
            .get(after + 1)
            .map_or(0, |next| stretch.high.min(next.low))
    }

    /// The limit from above at height `y / scale`; 0 outside.
    pub fn after(&self, y: i64, scale: i64) -> i64 {
        let at = self.stretches.partition_point(|s| s.to * scale <= y);
        match self.stretches.get(at) {
            Some(stretch) if y >= 0 => stretch.at(y, scale),
            _ => 0,
        }
    }

    /// The limit from below at height `y / scale`; 0 outside.
    pub fn before(&self, y: i64, scale: i64) -> i64 {
        let at = self.stretches.partition_point(|s| s.to * scale < y);
        match self.stretches.get(at) {
            Some(stretch) if y > 0 => stretch.at(y, scale),
            _ => 0,
        }
    }

    /// Drawn apart by `more` at its greatest value. Nowhere above the greatest of the values from
    /// `more` below to here.
    pub fn drawn_apart(&self, more: i64) -> Profile {
        let greatest = |s: &&Stretch| s.low.max(s.high);
        let Some(widest) = self.stretches.iter().max_by_key(greatest).copied() else {
            return self.clone();
        };
        let value = widest.low.max(widest.high);
        let at = if widest.low == value {
            widest.from
        } else {
            widest.to
        };
        let (below, above): (Vec<Stretch>, Vec<Stretch>) =
            self.stretches.iter().partition(|s| s.to <= at);
        let plateau = Stretch {
            from: at,
            to: at + more,
            low: value,
            high: value,
        };
        let moved = above.into_iter().map(|s| Stretch {
            from: s.from + more,
            to: s.to + more,
            ..s
        });
        Profile {
            stretches: below.into_iter().chain([plateau]).chain(moved).collect(),
        }
    }

    /// The least value over the heights from `from` to `to`, jumps included.
    pub fn least_between(&self, from: i64, to: i64) -> i64 {
        let ends = self.least_at(from, 1).min(self.least_at(to, 1));
        let first = self.stretches.partition_point(|s| s.to <= from);
        self.stretches[first..]
            .iter()
            .take_while(|s| s.from < to)
            .map(|s| {
                let low = if s.from > from { s.low } else { i64::MAX };
                let high = if s.to < to { s.high } else { i64::MAX };
                low.min(high)
            })
            .fold(ends, i64::min)
    }
}

/// What an edge adds to the section at `y`: its x, rounded so that the section is not too wide.
fn crossing_down(&(low, high, rising): &(Point, Point, bool), y: i64) -> i64 {
    let run = i128::from(high.x - low.x) * i128::from(y - low.y);
    let rise = i128::from(high.y - low.y);
    let along = run.div_euclid(rise);
    let exact = run.rem_euclid(rise) == 0;
    let x = low.x + i64::try_from(along).expect("a point of the edge lies between its ends");
    match (rising, exact) {
        (true, _) => x,
        (false, true) => -x,
        (false, false) => -x - 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pieces::Length;

    fn outline(corners: &[(i64, i64)]) -> Outline {
        Outline::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
    }

    #[test]
    fn a_trapezoid_narrows_evenly() {
        let profile = Profile::of(&outline(&[(5, 7), (45, 7), (35, 107), (15, 107)]), 0);
        assert_eq!(
            profile.stretches,
            [Stretch {
                from: 0,
                to: 100,
                low: 40,
                high: 20
            }]
        );
        assert_eq!(
            [0, 1, 50, 99, 100].map(|y| profile.least_at(y, 1)),
            [0, 39, 30, 20, 0]
        );
        assert_eq!(profile.least_at(150, 3), 30);
        assert_eq!(profile.least_between(10, 50), 30);
        assert_eq!(profile.reversed().least_between(10, 50), 22);
    }

    #[test]
    fn one_sided_values_at_a_jump_and_at_the_ends() {
        let step = outline(&[(0, 0), (9, 0), (9, 10), (5, 10), (5, 30), (0, 30)]);
        let profile = Profile::of(&step, 0);
        assert_eq!(
            [-1, 0, 10, 29, 30].map(|y| profile.after(y, 1)),
            [0, 9, 5, 5, 0]
        );
        assert_eq!(
            [0, 1, 10, 30, 31].map(|y| profile.before(y, 1)),
            [0, 9, 9, 5, 0]
        );
    }

    #[test]
    fn drawn_apart_it_is_nowhere_above_the_greatest_value_within_reach() {
        let steps = outline(&[
            (0, 0),
            (6, 0),
            (6, 10),
            (9, 10),
            (9, 20),
            (3, 20),
            (3, 30),
            (7, 30),
            (5, 40),
            (0, 40),
        ]);
        let profile = Profile::of(&steps, 0);
        for more in [1, 7, 15] {
            let apart = profile.drawn_apart(more);
            assert_eq!(apart.height(), 40 + more);
            for y in 0..40 + more {
                let reach =
                    (y - more..=y).map(|at| profile.after(at, 1).max(profile.before(at, 1)));
                assert!(apart.after(y, 1) <= reach.max().unwrap(), "{more} {y}");
            }
            let added = apart.doubled_integral() - profile.doubled_integral();
            assert_eq!(added, 2 * 9 * i128::from(more));
        }
    }

    #[test]
    fn arms_of_a_notched_piece_add_up() {
        let notched = outline(&[
            (0, 0),
            (90, 0),
            (90, 100),
            (60, 100),
            (60, 30),
            (30, 30),
            (30, 100),
            (0, 100),
        ]);
        let profile = Profile::of(&notched, 0);
        assert_eq!(
            [10, 30, 31, 99].map(|y| profile.least_at(y, 1)),
            [90, 60, 60, 60]
        );
        assert_eq!(profile.least_between(10, 20), 90);
        assert_eq!(profile.least_between(10, 40), 60);
        assert_eq!(Profile::of(&notched.turned(1), 0).least_at(45, 1), 30);
    }

    #[test]
    fn the_integral_of_whole_sections_is_the_area() {
        for shape in [
            Outline::rectangle(Length::from_um(7), Length::from_um(11)).unwrap(),
            outline(&[
                (0, 0),
                (90, 0),
                (90, 100),
                (60, 100),
                (60, 30),
                (30, 30),
                (30, 100),
                (0, 100),
            ]),
            outline(&[(0, 0), (40, 0), (30, 100), (10, 100)]),
        ] {
            assert_eq!(
                Profile::of(&shape, 0).doubled_integral(),
                shape.doubled_area()
            );
        }
    }

    #[test]
    fn sections_are_rounded_down_never_up() {
        let skew = outline(&[(0, 0), (1_000, 333), (701, 977), (-20, 500)]);
        let profile = Profile::of(&skew, 0);
        assert!(profile.doubled_integral() <= skew.doubled_area());
        assert!(profile.doubled_integral() > skew.doubled_area() - 4 * 977);
    }
}
