//! No-fit regions against the verifier, which shares no code with them.

use std::f64::consts::TAU;

use pieces::{Length, Outline, Point};
use proptest::prelude::*;

use super::{COARSE, NoFit, clearance, convex_parts, simplified};
use crate::verify;

/// Simple outlines with small whole corners, so that touching is frequent; many are not convex.
pub(crate) fn outlines() -> impl Strategy<Value = Outline> {
    proptest::collection::vec((0.0..TAU, 1.0..9.0_f64), 3..9).prop_filter_map(
        "not simple",
        |spokes| {
            let mut spokes = spokes;
            spokes.sort_by(|a, b| a.0.total_cmp(&b.0));
            let corner = |(angle, reach): (f64, f64)| {
                Point::new(
                    (reach * angle.cos()).round() as i64,
                    (reach * angle.sin()).round() as i64,
                )
            };
            Outline::new(spokes.into_iter().map(corner).collect()).ok()
        },
    )
}

/// True if the verifier lets both lie there.
pub(crate) fn verified(a: &Outline, b: &Outline, spacing: i64) -> bool {
    let far = Length::from_um(100_000);
    let lift = Point::new(0, 50_000);
    let (a, b) = (a.moved(lift), b.moved(lift));
    verify::outlines(&[&a, &b], -far, far, far, &[], Length::from_um(spacing)).is_ok()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn a_place_is_forbidden_exactly_when_interiors_meet(
        a in outlines(), b in outlines(), x in -18_i64..18, y in -18_i64..18,
    ) {
        let at = Point::new(x, y);
        let region = NoFit::of(&convex_parts(&a), &convex_parts(&b), None);
        prop_assert_eq!(region.forbids(at), !verified(&a, &b.moved(at), 0));
    }

    /// Every corner of a region and every whole point of its stretches is a place that touches or is
    /// kept out by another part; one further in overlaps.
    #[test]
    fn the_ends_of_a_forbidden_stretch_are_its_last_allowed_places(
        a in outlines(), b in outlines(), x in -18_i64..18,
    ) {
        let region = NoFit::of(&convex_parts(&a), &convex_parts(&b), None);
        for part in &region.parts {
            if let Some((low, high)) = part.forbidden_along(x) {
                prop_assert!(!part.forbids(Point::new(x, low)));
                prop_assert!(!part.forbids(Point::new(x, high)));
                for y in low + 1..high {
                    prop_assert!(part.forbids(Point::new(x, y)));
                    prop_assert!(!verified(&a, &b.moved(Point::new(x, y)), 0));
                }
            }
            for y in [part.bounds.min.y, part.bounds.max.y] {
                prop_assert_eq!(part.forbidden_across(y), None);
            }
        }
    }

    #[test]
    fn what_the_clearance_allows_is_far_enough_apart(
        a in outlines(), b in outlines(), x in -40_i64..40, y in -40_i64..40, spacing in 1_i64..12,
    ) {
        let at = Point::new(x, y);
        let disc = clearance(Length::from_um(spacing));
        let region = NoFit::of(&convex_parts(&a), &convex_parts(&b), disc.as_deref());
        if !region.forbids(at) {
            prop_assert!(verified(&a, &b.moved(at), spacing));
        }
    }

    #[test]
    fn convex_parts_make_up_the_outline(a in outlines()) {
        let parts = convex_parts(&a);
        let area: i128 =
            parts.iter().map(|p| Outline::new(p.points.clone()).unwrap().doubled_area()).sum();
        prop_assert_eq!(area, a.doubled_area());
        prop_assert!(parts.iter().all(|p| Outline::new(p.points.clone()).unwrap().is_convex()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Rings of many corners: the coarse outline takes up all that the fine one does.
    #[test]
    fn a_coarse_outline_forbids_all_that_the_fine_one_forbids(
        reach in 200_000.0..900_000.0_f64, hole in 0.1..0.8_f64, arc in 0.3..5.5_f64,
        b in outlines(), x in -900_000_i64..900_000, y in -900_000_i64..900_000,
    ) {
        let steps = 40;
        let corner = |radius: f64, k: i32| {
            let angle = arc * f64::from(k) / f64::from(steps);
            Point::new((radius * angle.cos()).round() as i64, (radius * angle.sin()).round() as i64)
        };
        let outer = (0..=steps).map(|k| corner(reach, k));
        let inner = (0..=steps).rev().map(|k| corner(reach * hole, k));
        let fine = Outline::new(outer.chain(inner).collect()).unwrap();
        let coarse = simplified(&fine, COARSE);
        prop_assert!(coarse.points().len() < fine.points().len());
        prop_assert_eq!(coarse.bounds(), fine.bounds());
        let moving = convex_parts(&b);
        let at = Point::new(x, y);
        if NoFit::of(&convex_parts(&fine), &moving, None).forbids(at) {
            prop_assert!(NoFit::of(&convex_parts(&coarse), &moving, None).forbids(at));
        }
    }
}
