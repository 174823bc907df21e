//! Moving the edges of a polygon in or out: from finished edge to cut edge and back.
//!
//! Every edge has its own allowance. The edge lines are moved and meet again at the corners; a sharp
//! corner is cut off square, as one trims the point of a seam allowance. Moving out is checked
//! exactly: no corner of the cut edge lies nearer to an edge line than its allowance, so a piece
//! never comes out smaller. Moving in is for the dashed line only and rounds to the nearest
//! micrometre. Source: geometry.

use crate::length::Length;
use crate::outline::Point;

/// How far the point of a corner may stick out, in multiples of the larger of its two allowances,
/// before it is cut off: 3 keeps corners down to 39 degrees whole. Larger gives long needles at the
/// ends of ties, smaller cuts allowance off everyday corners.
pub const MITRE_LIMIT: f64 = 3.0;

/// The cut edge around finished corners.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutEdge {
    /// For each finished corner its one or two cut corners, in order.
    pub at_corner: Vec<Vec<Point>>,
}

impl CutEdge {
    /// All corners in order.
    #[must_use]
    pub fn points(&self) -> Vec<Point> {
        self.at_corner.iter().flatten().copied().collect()
    }

    /// Both ends of the cut edge that belongs to the finished edge after corner `edge`.
    #[must_use]
    pub fn edge(&self, edge: usize) -> Option<(Point, Point)> {
        let next = (edge + 1) % self.at_corner.len().max(1);
        Some((
            *self.at_corner.get(edge)?.last()?,
            *self.at_corner.get(next)?.first()?,
        ))
    }
}

/// Moves every edge of the counter-clockwise polygon `finished` out by its allowance; `allowances[i]`
/// belongs to the edge after corner i. `None` if there are fewer than three corners, two neighbours
/// are equal, the counts differ, or an allowance is negative. Whether the result crosses itself is
/// for [`crate::Outline::new`] to say.
#[must_use]
pub fn outward(finished: &[Point], allowances: &[Length]) -> Option<CutEdge> {
    let lines = lines(finished, allowances)?;
    if allowances.iter().any(|a| a.um() < 0) {
        return None;
    }
    let n = lines.len();
    let at_corner = (0..n)
        .map(|i| lines[(i + n - 1) % n].corner_outside(&lines[i]))
        .collect();
    Some(CutEdge { at_corner })
}

/// Moves every edge of the counter-clockwise polygon `cut` in by its allowance, to the nearest
/// micrometre, one corner for each. `None` as for [`outward`], or if an edge vanishes.
#[must_use]
pub fn inward(cut: &[Point], allowances: &[Length]) -> Option<Vec<Point>> {
    let lines = lines(cut, allowances)?;
    let n = lines.len();
    let points: Vec<Point> = (0..n)
        .map(|i| {
            let (x, y) = lines[(i + n - 1) % n].meeting(&lines[i], -1.0)?;
            Some(Point::new(x.round() as i64, y.round() as i64))
        })
        .collect::<Option<_>>()?;
    let keeps_its_way = |i: usize| {
        let (was, is) = (lines[i].way, points[(i + 1) % n].minus(points[i]));
        i128::from(was.x) * i128::from(is.x) + i128::from(was.y) * i128::from(is.y) > 0
    };
    (0..n).all(keeps_its_way).then_some(points)
}

struct Line {
    from: Point,
    way: Point,
    length: f64,
    allowance: Length,
}

fn lines(corners: &[Point], allowances: &[Length]) -> Option<Vec<Line>> {
    let n = corners.len();
    if n < 3 || n != allowances.len() {
        return None;
    }
    (0..n)
        .map(|i| {
            let way = corners[(i + 1) % n].minus(corners[i]);
            let length = (way.x as f64).hypot(way.y as f64);
            (length > 0.0).then_some(Line {
                from: corners[i],
                way,
                length,
                allowance: allowances[i],
            })
        })
        .collect()
}

impl Line {
    /// Unit vector out of the polygon.
    fn out(&self) -> (f64, f64) {
        (
            self.way.y as f64 / self.length,
            -self.way.x as f64 / self.length,
        )
    }

    /// Where this line and the next meet when both are moved out (sign 1) or in (sign -1); `next`
    /// starts at the corner. `None` if they are as good as parallel and moved apart.
    fn meeting(&self, next: &Line, sign: f64) -> Option<(f64, f64)> {
        let ((ax, ay), (bx, by)) = (self.out(), next.out());
        let (a, b) = (
            sign * self.allowance.um() as f64,
            sign * next.allowance.um() as f64,
        );
        let (cross, dot) = (ax * by - ay * bx, ax * bx + ay * by);
        let corner = (next.from.x as f64, next.from.y as f64);
        if cross.abs() < 1e-6 {
            let level = dot > 0.0 && (a - b).abs() < 0.5;
            return level.then_some((corner.0 + ax * a, corner.1 + ay * a));
        }
        // Solves p . a_out = a, p . b_out = b, seen from the corner.
        let (x, y) = ((a * by - b * ay) / cross, (b * ax - a * bx) / cross);
        Some((corner.0 + x, corner.1 + y))
    }

    /// True if `p` lies at least the allowance outside this line. Exact up to a kilometre.
    fn clears(&self, p: Point) -> bool {
        let v = p.minus(self.from);
        let outside =
            i128::from(v.x) * i128::from(self.way.y) - i128::from(v.y) * i128::from(self.way.x);
        let square = i128::from(self.way.x) * i128::from(self.way.x)
            + i128::from(self.way.y) * i128::from(self.way.y);
        let a = i128::from(self.allowance.um());
        outside >= 0 && outside * outside >= a * a * square
    }

    fn excess(&self, p: Point) -> f64 {
        let (x, y) = self.out();
        let v = p.minus(self.from);
        v.x as f64 * x + v.y as f64 * y - self.allowance.um() as f64
    }

    fn corner_outside(&self, next: &Line) -> Vec<Point> {
        let corner = next.from;
        let largest = self.allowance.max(next.allowance).um() as f64;
        let turns_left = i128::from(self.way.x) * i128::from(next.way.y)
            - i128::from(self.way.y) * i128::from(next.way.x)
            > 0;
        let ((ax, ay), (bx, by)) = (self.out(), next.out());
        let (sx, sy) = (ax + bx, ay + by);
        let nearly_straight = sx.hypot(sy) > 1.9;
        let meeting = self.meeting(next, 1.0).filter(|&(x, y)| {
            let reach = (x - corner.x as f64).hypot(y - corner.y as f64);
            // In a notch the lines meet as far out as the notch is narrow.
            let notch = !turns_left && !nearly_straight;
            notch || reach <= MITRE_LIMIT * largest.max(1.0)
        });
        if let Some((x, y)) = meeting {
            return vec![settle((x, y), &[self, next])];
        }
        // Cut off square to the way the corner points, so that the flat keeps clear of the corner by
        // the larger allowance; or a step, where two edges on nearly one line have different ones.
        let on = |line: &Line, (ox, oy): (f64, f64), along: f64| {
            let a = line.allowance.um() as f64;
            let (wx, wy) = (
                line.way.x as f64 / line.length,
                line.way.y as f64 / line.length,
            );
            let at = (
                corner.x as f64 + ox * a + wx * along,
                corner.y as f64 + oy * a + wy * along,
            );
            settle(at, &[line])
        };
        if !turns_left || nearly_straight {
            return vec![on(self, (ax, ay), 0.0), on(next, (bx, by), 0.0)];
        }
        vec![on(self, (ax, ay), largest), on(next, (bx, by), -largest)]
    }
}

/// The whole micrometre nearest to `at` that clears all `lines`: the one that goes out least.
fn settle(at: (f64, f64), lines: &[&Line]) -> Point {
    let nearest = Point::new(at.0.round() as i64, at.1.round() as i64);
    for ring in 0..=6_i64 {
        let best = (-ring..=ring)
            .flat_map(|x| (-ring..=ring).map(move |y| nearest.plus(Point::new(x, y))))
            .filter(|&p| lines.iter().all(|l| l.clears(p)))
            .map(|p| (lines.iter().map(|l| l.excess(p)).fold(0.0, f64::max), p))
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        if let Some((_, p)) = best {
            return p;
        }
    }
    // Only at corners so sharp that they are cut off anyway.
    nearest
}

#[cfg(test)]
mod tests {
    use geo::{Area, BooleanOps, Coord, LineString, Polygon};
    use proptest::prelude::*;

    use super::*;
    use crate::outline::Outline;

    fn points(list: &[(i64, i64)]) -> Vec<Point> {
        list.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    fn um(list: &[i64]) -> Vec<Length> {
        list.iter().map(|&a| Length::from_um(a)).collect()
    }

    #[test]
    fn a_rectangle_takes_each_allowance_exactly() {
        let finished = points(&[(0, 0), (300_000, 0), (300_000, 970_000), (0, 970_000)]);
        let cut = outward(&finished, &um(&[15_000, 10_000, 5_000, 12_000])).unwrap();
        let expected = points(&[
            (-12_000, -15_000),
            (310_000, -15_000),
            (310_000, 975_000),
            (-12_000, 975_000),
        ]);
        assert_eq!(cut.points(), expected);
        assert_eq!(cut.edge(3), Some((expected[3], expected[0])));
        assert_eq!(
            inward(&expected, &um(&[15_000, 10_000, 5_000, 12_000])).unwrap(),
            finished
        );
    }

    #[test]
    fn a_slanted_edge_is_moved_square_to_itself() {
        // Geometry: an edge along 3-4-5, 4x + 3y = 240, moved out by 10, is 4x + 3y = 290; it meets
        // y = -10 at x = 80 and y = 50 at x = 35.
        let finished = points(&[(0, 0), (60, 0), (30, 40), (0, 40)]);
        let cut = outward(&finished, &um(&[10; 4])).unwrap();
        assert_eq!(
            cut.points(),
            points(&[(-10, -10), (80, -10), (35, 50), (-10, 50)])
        );
    }

    #[test]
    fn a_needle_is_cut_off_square() {
        let needle = points(&[(0, 0), (1_000_000, 50_000), (0, 100_000)]);
        let cut = outward(&needle, &um(&[10_000; 3])).unwrap();
        assert_eq!(
            cut.at_corner.iter().map(Vec::len).collect::<Vec<_>>(),
            [1, 2, 1]
        );
        let reach = Outline::new(cut.points()).unwrap().bounds().max.x;
        assert!((1_010_000..1_010_600).contains(&reach), "{reach}");
    }

    #[test]
    fn an_edge_that_vanishes_inward_is_told() {
        let narrow = points(&[(0, 0), (20, 0), (20, 500), (0, 500)]);
        assert_eq!(inward(&narrow, &um(&[5, 10, 5, 10])), None);
        assert_eq!(inward(&narrow, &um(&[5, 12, 5, 12])), None);
        assert_eq!(outward(&narrow[..2], &um(&[1, 1])), None);
        assert_eq!(outward(&narrow, &um(&[1, 1, -1, 1])), None);
    }

    #[test]
    fn different_allowances_on_nearly_one_line_make_a_step() {
        // The second edge rises by 1 in 100 to the right of the first: its line and that of the first
        // one, moved out by 50, meet 5 000 further on. The allowance ends at the corner instead.
        for rise in [50, -50] {
            let finished = points(&[
                (0, 0),
                (5_000, 0),
                (10_000, rise),
                (10_000, 9_000),
                (0, 9_000),
            ]);
            let cut = outward(&finished, &um(&[50, 0, 0, 0, 0])).unwrap();
            assert_eq!(cut.at_corner[1].len(), 2, "{rise}");
            assert!(cut.points().iter().all(|p| p.y >= -50 && p.x <= 10_000));
        }
    }

    fn polygon(points: &[Point]) -> Polygon {
        let ring = points.iter().map(|p| Coord {
            x: p.x as f64,
            y: p.y as f64,
        });
        Polygon::new(LineString::from_iter(ring), Vec::new())
    }

    proptest! {
        /// A star of corners around the origin; checked with the boolean operations of crate `geo`.
        #[test]
        fn the_cut_edge_contains_the_finished_one_and_keeps_the_allowance(
            radii in prop::collection::vec(150_000_i64..400_000, 5..9),
            allowances in prop::collection::vec(0_i64..20_000, 9),
        ) {
            let n = radii.len();
            let finished: Vec<Point> = radii.iter().enumerate().map(|(i, &r)| {
                let a = std::f64::consts::TAU * i as f64 / n as f64;
                Point::new((r as f64 * a.cos()) as i64, (r as f64 * a.sin()) as i64)
            }).collect();
            let cut = outward(&finished, &um(&allowances[..n])).unwrap();
            let outline = Outline::new(cut.points());
            prop_assume!(outline.is_ok());
            let lost = polygon(&finished).difference(&polygon(&cut.points()));
            prop_assert!(lost.unsigned_area() < 1.0, "{} um2 lost", lost.unsigned_area());
            for i in 0..n {
                let (a, b) = cut.edge(i).unwrap();
                let line = &lines(&finished, &um(&allowances[..n])).unwrap()[i];
                prop_assert!(line.clears(a) && line.clears(b));
                prop_assert!(line.excess(a) < 6.0 && line.excess(b) < 6.0);
            }
        }
    }
}
