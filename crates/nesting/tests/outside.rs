//! The exact predicates and the verifier against other people's code: crate `robust` (adaptive
//! floating-point predicates after Shewchuk 1997) and crate `geo` (boolean operations on polygons).

use std::cmp::Ordering;

use geo::{Area, BooleanOps};
use nesting::verify::{self, Rule};
use pieces::{Length, Outline, Point, orientation};
use proptest::prelude::*;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

fn robust_orientation(a: Point, b: Point, c: Point) -> Ordering {
    let coord = |p: Point| robust::Coord {
        x: p.x as f64,
        y: p.y as f64,
    };
    let value = robust::orient2d(coord(a), coord(b), coord(c));
    value.partial_cmp(&0.0).expect("a number")
}

/// Coordinates stay below 2^52, so that they are exact as `f64`; most triples are on a line or next
/// to one, on both sides of the size where `orientation` changes to wider integers.
#[test]
fn orientation_agrees_with_crate_robust_on_a_million_triples() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(1);
    let mut on_line = 0;
    for round in 0..1_000_000_u32 {
        let size = 1_i64 << [6, 20, 26, 30, 31, 33, 48][round as usize % 7];
        let mut any = || {
            Point::new(
                random.random_range(-size..size),
                random.random_range(-size..size),
            )
        };
        let (a, b) = (any(), any());
        let c = match round % 3 {
            0 => any(),
            1 => {
                // On the line, by a whole multiple of the direction.
                let (k, d) = (random.random_range(-3..=3), b.minus(a));
                Point::new(a.x + k * d.x, a.y + k * d.y)
            }
            _ => {
                // A micrometre beside the middle.
                let (dx, dy) = (random.random_range(-1..=1), random.random_range(-1..=1));
                Point::new((a.x + b.x) / 2 + dx, (a.y + b.y) / 2 + dy)
            }
        };
        let ours = orientation(a, b, c);
        let theirs = robust_orientation(a, b, c);
        assert_eq!(ours, theirs, "{a:?} {b:?} {c:?}");
        on_line += u32::from(ours == Ordering::Equal);
    }
    assert!(on_line > 300_000, "{on_line}");
}

/// A star-shaped polygon: corners at random distances around a centre, mostly not convex.
fn random_outline(random: &mut Xoshiro256PlusPlus) -> Outline {
    loop {
        let corners = random.random_range(3..12);
        let size = random.random_range(20.0..400_000.0);
        let points = (0..corners)
            .map(|k| {
                let angle = std::f64::consts::TAU * (f64::from(k) + random.random_range(0.0..0.9))
                    / f64::from(corners);
                let radius = size * random.random_range(0.1..1.0);
                Point::new((radius * angle.cos()) as i64, (radius * angle.sin()) as i64)
            })
            .collect();
        if let Ok(outline) = Outline::new(points) {
            return outline;
        }
    }
}

fn geo_polygon(outline: &Outline) -> geo::Polygon<f64> {
    let ring: Vec<(f64, f64)> = outline
        .points()
        .iter()
        .map(|p| (p.x as f64, p.y as f64))
        .collect();
    geo::Polygon::new(ring.into(), Vec::new())
}

fn overlap_by_verify(a: &Outline, b: &Outline) -> bool {
    let far = Length::from_um(10_000_000);
    let lifted = Point::new(0, 5_000_000);
    match verify::outlines(
        &[&a.moved(lifted), &b.moved(lifted)],
        -far,
        far,
        far,
        &[],
        Length::ZERO,
    ) {
        Ok(()) => false,
        Err(violations) => {
            assert!(
                violations.iter().all(|v| v.rule == Rule::Overlap),
                "{violations:?}"
            );
            true
        }
    }
}

/// geo's overlay works on a grid of its own and is good to about 2^-30 of the extent, so an area
/// below that times the circumference is noise; there, and only there, may it differ.
#[test]
fn overlap_agrees_with_the_area_that_crate_geo_finds() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(2);
    let (mut overlapping, mut apart, mut noise) = (0, 0, 0);
    for round in 0..20_000 {
        let a = random_outline(&mut random);
        let mut b = random_outline(&mut random);
        if round % 4 == 0 {
            // Corner on corner: many touch exactly.
            let corner = |o: &Outline, k: usize| o.points()[k % o.points().len()];
            let to = corner(&a, round).minus(corner(&b, round / 3));
            b = b.moved(to);
        } else {
            let reach = 400_000;
            b = b.moved(Point::new(
                random.random_range(-reach..reach),
                random.random_range(-reach..reach),
            ));
        }
        let area = geo_polygon(&a)
            .intersection(&geo_polygon(&b))
            .unsigned_area();
        let extent = 1_000_000.0;
        let threshold = extent * 4.0 * extent / f64::from(1 << 30);
        let ours = overlap_by_verify(&a, &b);
        if area > threshold {
            assert!(ours, "geo finds {area} um2: {a:?} {b:?}");
            overlapping += 1;
        } else if ours {
            noise += 1;
        } else {
            apart += 1;
        }
    }
    println!("overlapping {overlapping}, apart {apart}, below geo's noise {noise}");
    assert!(
        overlapping > 5_000 && apart > 5_000 && noise < 200,
        "{overlapping} {apart} {noise}"
    );
}

fn any_outline() -> impl Strategy<Value = Outline> {
    any::<u64>().prop_map(|seed| random_outline(&mut Xoshiro256PlusPlus::seed_from_u64(seed)))
}

proptest! {
    #[test]
    fn overlap_does_not_depend_on_order_turn_mirror_or_place(
        a in any_outline(),
        b in any_outline(),
        x in -300_000_i64..300_000,
        y in -300_000_i64..300_000,
        quarters in 0_u8..4,
    ) {
        let b = b.moved(Point::new(x, y));
        let answer = overlap_by_verify(&a, &b);
        prop_assert_eq!(overlap_by_verify(&b, &a), answer);
        prop_assert_eq!(overlap_by_verify(&a.turned(quarters), &b.turned(quarters)), answer);
        prop_assert_eq!(overlap_by_verify(&a.mirrored(), &b.mirrored()), answer);
    }

    #[test]
    fn a_piece_overlaps_itself_and_never_itself_beside_its_box(a in any_outline(), y in -9_i64..9) {
        prop_assert!(overlap_by_verify(&a, &a.moved(Point::new(0, 0))));
        let across = a.bounds().across().um();
        prop_assert!(!overlap_by_verify(&a, &a.moved(Point::new(across, y))));
    }

    /// Spacing is symmetric and monotone: what keeps s keeps less.
    #[test]
    fn spacing_kept_is_kept_for_less(
        a in any_outline(),
        b in any_outline(),
        x in -600_000_i64..600_000,
        spacing in 1_i64..200_000,
    ) {
        let far = Length::from_um(10_000_000);
        let lift = Point::new(0, 5_000_000);
        let (a, b) = (a.moved(lift), b.moved(lift).moved(Point::new(x, 0)));
        let keeps = |p: &Outline, q: &Outline, s: i64| {
            verify::outlines(&[p, q], -far, far, far, &[], Length::from_um(s)).is_ok()
        };
        prop_assert_eq!(keeps(&a, &b, spacing), keeps(&b, &a, spacing));
        prop_assert!(!keeps(&a, &b, spacing) || keeps(&a, &b, spacing / 2));
        // Against geo's distance, where that is clear of its rounding.
        let distance = {
            use geo::{Distance, Euclidean};
            Euclidean.distance(&geo_polygon(&a), &geo_polygon(&b))
        };
        if (distance - spacing as f64).abs() > 0.01 && distance > 0.01 {
            prop_assert_eq!(keeps(&a, &b, spacing), distance > spacing as f64);
        }
    }
}
