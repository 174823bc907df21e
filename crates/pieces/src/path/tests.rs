//! Containment is tested against points sampled on the true curve and moved onto a grid of 1/1024 um
//! towards the inside of the piece, with an exact winding test that shares nothing with the module.

use std::f64::consts::FRAC_PI_2;

use proptest::prelude::*;

use super::*;

const GRID: i128 = 1024;

/// Whether (x, y), in 1/1024 um, lies in the closed polygon. Exact.
fn contains(outline: &Outline, (x, y): (i128, i128)) -> bool {
    let mut winding = 0;
    for (a, b) in outline.edges() {
        let (ax, ay) = (i128::from(a.x) * GRID, i128::from(a.y) * GRID);
        let (bx, by) = (i128::from(b.x) * GRID, i128::from(b.y) * GRID);
        let side = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
        let within =
            (ax.min(bx)..=ax.max(bx)).contains(&x) && (ay.min(by)..=ay.max(by)).contains(&y);
        if side == 0 && within {
            return true;
        }
        if ay <= y && by > y && side > 0 {
            winding += 1;
        }
        if ay > y && by <= y && side < 0 {
            winding -= 1;
        }
    }
    winding != 0
}

/// A point of the true arc, rounded towards the centre (bulging out) or away from it.
fn sample(from: Point, to: Point, centre: Point, counter_clockwise: bool, at: f64) -> (i128, i128) {
    let turn = sweep(from, to, centre, counter_clockwise);
    let (r0, r1) = (distance(centre, from), distance(centre, to));
    let (radius, phase) = (r0 + (r1 - r0) * at, angle(centre, from) + turn * at);
    let grid = |centre: i64, offset: f64| {
        // 1e-6 um for the floats of the sample itself.
        let steps = (offset.abs() - 1e-6) * GRID as f64;
        let steps = if counter_clockwise {
            steps.floor()
        } else {
            steps.ceil() + 1.0
        };
        i128::from(centre) * GRID + (steps.max(0.0) * offset.signum()) as i128
    };
    (
        grid(centre.x, radius * phase.cos()),
        grid(centre.y, radius * phase.sin()),
    )
}

/// Distance from a point to the nearest point of a path, in micrometres.
pub(crate) fn off(path: &Path, (x, y): (f64, f64)) -> f64 {
    path.stretches()
        .map(|(from, segment)| match segment {
            Segment::Line { to } => {
                let d = to.minus(from);
                let (dx, dy) = (d.x as f64, d.y as f64);
                let (px, py) = (x - from.x as f64, y - from.y as f64);
                let t = ((px * dx + py * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
                (px - t * dx).hypot(py - t * dy)
            }
            Segment::Arc {
                to,
                centre,
                counter_clockwise,
            } => {
                let (px, py) = (x - centre.x as f64, y - centre.y as f64);
                let turn = sweep(from, to, centre, counter_clockwise);
                let mut at = (py.atan2(px) - angle(centre, from)).rem_euclid(TAU);
                if turn < 0.0 {
                    at = TAU - at;
                }
                if at <= turn.abs() {
                    (px.hypot(py) - distance(centre, from)).abs()
                } else {
                    let to_end = |p: Point| (x - p.x as f64).hypot(y - p.y as f64);
                    to_end(from).min(to_end(to))
                }
            }
        })
        .fold(f64::INFINITY, f64::min)
}

fn check(path: &Path) -> Outline {
    let outline = path.outline().unwrap();
    for (from, segment) in path.stretches() {
        assert!(contains(
            &outline,
            (i128::from(from.x) * GRID, i128::from(from.y) * GRID)
        ));
        if let Segment::Arc {
            to,
            centre,
            counter_clockwise,
        } = segment
        {
            // The ends are corners of the path and tested as such: moved to the grid they could
            // leave the piece over its other edge.
            for i in 1..997 {
                let p = sample(from, to, centre, counter_clockwise, f64::from(i) / 997.0);
                assert!(
                    contains(&outline, p),
                    "{p:?} of {segment:?} is cut off by {outline:?}"
                );
            }
        }
    }
    for (a, b) in outline.edges() {
        for i in 0..=8 {
            let t = f64::from(i) / 8.0;
            let p = (
                a.x as f64 + (b.x - a.x) as f64 * t,
                a.y as f64 + (b.y - a.y) as f64 * t,
            );
            assert!(
                off(path, p) <= CURVE_TOLERANCE.um() as f64,
                "{p:?} is {} um off",
                off(path, p)
            );
        }
    }
    outline
}

fn on_circle(centre: Point, radius: i64, phase: f64) -> Point {
    let (x, y) = (radius as f64 * phase.cos(), radius as f64 * phase.sin());
    centre.plus(Point::new(x.round() as i64, y.round() as i64))
}

/// A ring sector: outer arc, straight edge, inner arc back, straight edge.
fn sector(centre: Point, inner: i64, outer: i64, first: f64, turn: f64) -> Path {
    let at = |radius, phase| on_circle(centre, radius, phase);
    let arc = |to, counter_clockwise| Segment::Arc {
        to,
        centre,
        counter_clockwise,
    };
    Path {
        start: at(outer, first),
        segments: vec![
            arc(at(outer, first + turn), true),
            Segment::Line {
                to: at(inner, first + turn),
            },
            arc(at(inner, first), false),
            Segment::Line {
                to: at(outer, first),
            },
        ],
    }
}

#[test]
fn a_circle_is_as_wide_as_it_is_with_few_corners() {
    let radius = Length::from_um(729_592);
    let outline = check(&Path::circle(Point::new(0, 729_592), radius));
    assert_eq!(outline.bounds().across(), radius * 2);
    assert_eq!(outline.bounds().along(), radius * 2);
    assert!(outline.is_convex());
    // Geometry: a tangent polygon within t of radius r has about pi / sqrt(2 t / r) sides: 135.
    assert!(
        outline.points().len() <= 150,
        "{} corners",
        outline.points().len()
    );
}

#[test]
fn a_circle_walked_clockwise_or_in_one_arc_is_the_same_circle() {
    let circle = Path::circle(Point::new(5, -7), Length::from_mm(300));
    let one = Path {
        start: circle.start,
        segments: vec![Segment::Arc {
            to: circle.start,
            centre: Point::new(5, -7),
            counter_clockwise: false,
        }],
    };
    assert_eq!(
        one.outline().unwrap().bounds(),
        circle.outline().unwrap().bounds()
    );
    assert_eq!(
        circle.reversed().outline().unwrap().bounds(),
        circle.outline().unwrap().bounds()
    );
    assert!((circle.length_um() - 300_000.0 * TAU).abs() < 1e-3);
}

#[test]
fn lines_stay_as_they_are() {
    let corners = [
        Point::new(0, 0),
        Point::new(430_000, 0),
        Point::new(290_000, 745_000),
        Point::new(140_000, 745_000),
    ];
    let path = Path::closed(&corners);
    assert_eq!(path.outline().unwrap().points(), corners);
    assert_eq!(
        path.reversed().outline().unwrap().doubled_area(),
        path.outline().unwrap().doubled_area()
    );
    let (mirrored, outline) = (
        path.mirrored().outline().unwrap(),
        path.outline().unwrap().mirrored(),
    );
    assert!(
        outline
            .points()
            .iter()
            .all(|p| mirrored.points().contains(p))
    );
}

#[test]
fn a_strip_with_round_ends_stays_convex() {
    let (length, radius) = (900_000, 40_000);
    let arc = |x: i64, y: i64, centre: i64| Segment::Arc {
        to: Point::new(x, y),
        centre: Point::new(centre, 0),
        counter_clockwise: true,
    };
    let path = Path {
        start: Point::new(0, -radius),
        segments: vec![
            Segment::Line {
                to: Point::new(length, -radius),
            },
            arc(length, radius, length),
            Segment::Line {
                to: Point::new(0, radius),
            },
            arc(0, -radius, 0),
        ],
    };
    let outline = check(&path);
    assert!(outline.is_convex());
    assert_eq!(outline.bounds().along().um(), 2 * radius);
    assert_eq!(outline.bounds().across().um(), length + 2 * radius);
}

#[test]
fn a_path_that_crosses_itself_is_refused() {
    let bow = Path::closed(&[
        Point::new(0, 0),
        Point::new(10, 10),
        Point::new(10, 0),
        Point::new(0, 20),
    ]);
    assert!(matches!(bow.outline(), Err(OutlineError::Crossing { .. })));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn circles_of_every_size_are_contained(radius in 500_i64..6_000_000, x in -9_999_999_i64..9_999_999) {
        let outline = check(&Path::circle(Point::new(x, 3), Length::from_um(radius)));
        prop_assert!(outline.is_convex());
        prop_assert_eq!(outline.bounds().across().um(), 2 * radius);
    }

    #[test]
    fn ring_sectors_are_contained(
        inner in 3_000_i64..700_000,
        depth in 2_000_i64..2_000_000,
        first in -4.0_f64..4.0,
        turn in 0.05_f64..6.1,
    ) {
        check(&sector(Point::new(17, -41), inner, inner + depth, first, turn));
    }

    #[test]
    fn arcs_that_end_near_an_extreme_are_contained(
        radius in 20_000_i64..3_000_000,
        quarter in 0_i32..4,
        near in -400_i64..400,
        turn in 0.3_f64..3.0,
    ) {
        let first = f64::from(quarter) * FRAC_PI_2 + near as f64 / radius as f64;
        check(&sector(Point::new(0, 0), radius / 2, radius, first, turn));
        check(&sector(Point::new(0, 0), radius / 2, radius, first - turn, turn));
    }
}
