//! Sections across an outline, cut from its corners.
//!
//! Between the heights of two successive corners the same edges are crossed, in the same order: every other
//! one is where the piece begins, the next where it ends. Where they are is taken in small parts of a
//! micrometre, rounded so that the piece is not wider than it is.

use pieces::{Outline, Point};

/// Heights from and to, apart from each other and ascending.
pub(super) type Intervals = Vec<(i64, i64)>;

/// Parts of a micrometre that widths are counted in.
pub(super) const PARTS: i128 = 1 << 10;

/// Heights between which the width changes evenly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Slab {
    from: i64,
    to: i64,
    /// Width at `from` and at `to`, in parts.
    low: i128,
    high: i128,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Sections {
    slabs: Vec<Slab>,
}

impl Sections {
    pub fn of(outline: &Outline) -> Sections {
        let mut heights: Vec<i64> = outline.points().iter().map(|p| p.y).collect();
        heights.sort_unstable();
        heights.dedup();
        let bottom = heights.first().copied().unwrap_or(0);
        let mut edges: Vec<(Point, Point)> = outline
            .edges()
            .map(|(a, b)| if a.y <= b.y { (a, b) } else { (b, a) })
            .filter(|(a, b)| a.y < b.y)
            .collect();
        edges.sort_unstable_by_key(|(a, _)| a.y);
        let slab = |pair: &[i64]| {
            let (from, to) = (pair[0], pair[1]);
            let begun = edges.partition_point(|(a, _)| a.y <= from);
            let crossed = edges[..begun].iter().filter(|(_, b)| b.y >= to);
            let mut crossed: Vec<&(Point, Point)> = crossed.collect();
            // In the middle of a slab no two edges of an outline meet.
            crossed.sort_by(|one, other| {
                let ((a, below), (b, beneath)) = (middle(one, from, to), middle(other, from, to));
                (a * beneath).cmp(&(b * below))
            });
            let width = |y: i64| {
                let borders = crossed.chunks_exact(2);
                let total: i128 = borders
                    .map(|pair| x(pair[1], y, false) - x(pair[0], y, true))
                    .sum();
                total.max(0)
            };
            Slab {
                from: from - bottom,
                to: to - bottom,
                low: width(from),
                high: width(to),
            }
        };
        Sections {
            slabs: heights.windows(2).map(slab).collect(),
        }
    }

    pub fn height(&self) -> i64 {
        self.slabs.last().map_or(0, |slab| slab.to)
    }

    /// The least section from one height to another, in parts; where the width jumps, on both sides.
    pub fn narrowest(&self, from: i64, to: i64) -> i64 {
        let there = self.slabs.iter().filter(|s| s.from <= to && from <= s.to);
        let ends = there.flat_map(|s| [s.at(from.max(s.from)), s.at(to.min(s.to))]);
        let least = ends.min().unwrap_or(0);
        i64::try_from(least).unwrap_or(0)
    }

    /// Twice the area above a height, in parts.
    pub fn doubled_area_above(&self, height: i64) -> i128 {
        let there = self.slabs.iter().filter(|s| s.to > height);
        let area = |s: &Slab| {
            let from = s.from.max(height);
            i128::from(s.to - from) * (s.at(from) + s.high)
        };
        there.map(area).sum()
    }

    /// Where sections are at least so wide (micrometres); each of these heights, and those up to `longer` above it.
    pub fn at_least(&self, width: i64, longer: i64) -> Intervals {
        let least = i128::from(width) * PARTS;
        let mut all: Intervals = Vec::new();
        for slab in &self.slabs {
            let Some((from, to)) = slab.at_least(least) else {
                continue;
            };
            match all.last_mut() {
                Some((_, end)) if *end >= from => *end = (*end).max(to + longer),
                _ => all.push((from, to + longer)),
            }
        }
        all.retain(|(from, to)| from < to);
        all
    }
}

impl Slab {
    /// Rounded down.
    fn at(&self, height: i64) -> i128 {
        let run = i128::from(self.to - self.from);
        let more = (self.high - self.low) * i128::from(height - self.from);
        self.low + more.div_euclid(run)
    }

    fn at_least(&self, least: i128) -> Option<(i64, i64)> {
        let run = i128::from(self.to - self.from);
        let (narrow, wide) = (self.low.min(self.high), self.low.max(self.high));
        if narrow >= least {
            return Some((self.from, self.to));
        }
        if wide < least {
            return None;
        }
        // From the wide end, as far as it surely is so wide.
        let reach = (wide - least) * run / (wide - narrow);
        let reach = i64::try_from(reach).ok()?;
        Some(if self.low > self.high {
            (self.from, self.from + reach)
        } else {
            (self.to - reach, self.to)
        })
    }
}

/// Twice the place where an edge crosses the middle of two heights, as a fraction.
fn middle(&(low, high): &(Point, Point), from: i64, to: i64) -> (i128, i128) {
    let rise = i128::from(high.y - low.y);
    let run = i128::from(high.x - low.x) * i128::from(from + to - 2 * low.y);
    (2 * i128::from(low.x) * rise + run, rise)
}

/// Where an edge crosses a height, in parts, rounded up or down.
fn x(&(low, high): &(Point, Point), y: i64, up: bool) -> i128 {
    let run = i128::from(high.x - low.x) * i128::from(y - low.y) * PARTS;
    let rise = i128::from(high.y - low.y);
    let whole = run.div_euclid(rise);
    let broken = run.rem_euclid(rise) > 0;
    i128::from(low.x) * PARTS + whole + i128::from(up && broken)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sections(corners: &[(i64, i64)]) -> Sections {
        let corners = corners.iter().map(|&(x, y)| Point::new(x, y));
        Sections::of(&Outline::new(corners.collect()).unwrap())
    }

    /// Geometry: 40 at the foot, 20 at the head, 100 long.
    #[test]
    fn a_trapezoid_is_wide_up_to_a_height() {
        let panel = sections(&[(5, 7), (45, 7), (35, 107), (15, 107)]);
        assert_eq!(panel.height(), 100);
        assert_eq!(panel.at_least(20, 0), [(0, 100)]);
        assert_eq!(panel.at_least(30, 0), [(0, 50)]);
        assert_eq!(panel.at_least(30, 10), [(0, 60)]);
        assert_eq!(panel.at_least(39, 0), [(0, 5)]);
        assert_eq!(panel.at_least(40, 0), []);
        assert_eq!(panel.at_least(41, 5), []);
    }

    /// Geometry: 40 at the foot, 20 at the head, 100 long; and an arm of 30 on a foot of 90.
    #[test]
    fn sections_and_areas_above_a_height() {
        let parts = |um: i64| um * PARTS as i64;
        let panel = sections(&[(5, 7), (45, 7), (35, 107), (15, 107)]);
        assert_eq!(panel.narrowest(0, 50), parts(30));
        assert_eq!(panel.narrowest(25, 25), parts(35));
        assert_eq!(panel.narrowest(25, 1_000), parts(20));
        assert_eq!(panel.doubled_area_above(-5), 6_000 * PARTS);
        assert_eq!(panel.doubled_area_above(50), 50 * (20 + 30) * PARTS);
        assert_eq!(panel.doubled_area_above(100), 0);
        let arm = sections(&[(0, 0), (90, 0), (90, 30), (30, 30), (30, 100), (0, 100)]);
        assert_eq!(arm.narrowest(10, 29), parts(90));
        assert_eq!(arm.narrowest(10, 30), parts(30));
        assert_eq!(arm.narrowest(30, 30), parts(30));
    }

    /// Geometry: 90 wide up to 30, then two arms of 30.
    #[test]
    fn arms_add_up_and_heights_apart_stay_apart() {
        let arms = sections(&[
            (0, 0),
            (90, 0),
            (90, 100),
            (60, 100),
            (60, 30),
            (30, 30),
            (30, 100),
            (0, 100),
        ]);
        assert_eq!(arms.at_least(61, 0), [(0, 30)]);
        assert_eq!(arms.at_least(60, 0), [(0, 100)]);
        let waist = sections(&[(0, 0), (50, 0), (20, 50), (50, 100), (0, 100)]);
        assert_eq!(waist.at_least(35, 0), [(0, 25), (75, 100)]);
        assert_eq!(waist.at_least(35, 49), [(0, 74), (75, 149)]);
        assert_eq!(waist.at_least(35, 50), [(0, 150)]);
    }

    /// Integers against a fine ladder of heights: nowhere wider than the piece is.
    #[test]
    fn no_section_is_taken_wider_than_it_is() {
        let corners = [(0, 0), (1_000, 333), (701, 977), (-20, 500)];
        let skew = sections(&corners);
        // Left and right border at y, by the two edges that are met there.
        let at = |(a, b): ((i64, i64), (i64, i64)), y: i64| {
            a.0 as f64 + (b.0 - a.0) as f64 * (y - a.1) as f64 / (b.1 - a.1) as f64
        };
        let width = |y: i64| {
            let right = if y <= 333 {
                (corners[0], corners[1])
            } else {
                (corners[1], corners[2])
            };
            let left = if y <= 500 {
                (corners[0], corners[3])
            } else {
                (corners[3], corners[2])
            };
            at(right, y) - at(left, y)
        };
        for least in (1..1_000).step_by(7) {
            let found = skew.at_least(least, 0);
            for &(from, to) in &found {
                for y in [from, (from + to) / 2, to] {
                    assert!(width(y) >= least as f64 - 1e-6, "{least} at {y}");
                }
            }
            let length: i64 = found.iter().map(|(from, to)| to - from).sum();
            let really = (0..977).filter(|&y| width(y) >= least as f64).count() as i64;
            assert!(
                (really - 3..=really + 1).contains(&length),
                "{least}: {length} of {really}"
            );
        }
    }
}
