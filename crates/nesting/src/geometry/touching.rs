//! Places where pieces just touch, and one micrometre from them, against the verifier: it shares no code with
//! the regions.

use std::f64::consts::TAU;

use pieces::{Length, Outline, Point};
use proptest::prelude::*;

use super::tests::{outlines, verified};
use super::{NoFit, clearance, convex_parts};

fn outline(list: &[[i64; 2]]) -> Outline {
    Outline::new(list.iter().copied().map(Point::from).collect()).unwrap()
}

/// Teeth of this height upon a back, as far apart as they are wide; two are a U.
fn comb(teeth: i64, width: i64, back: i64, height: i64) -> Outline {
    let end = (2 * teeth - 1) * width;
    let mut corners = vec![[0, 0], [end, 0]];
    for tooth in (0..teeth).rev() {
        let (left, right) = (2 * tooth * width, (2 * tooth + 1) * width);
        corners.extend([[right, back + height], [left, back + height]]);
        if tooth > 0 {
            corners.extend([[left, back], [left - width, back]]);
        }
    }
    outline(&corners)
}

/// Corners on two radii by turns.
fn star(spikes: usize, outer: f64, inner: f64) -> Option<Outline> {
    let corner = |k: usize| {
        let reach = if k.is_multiple_of(2) { outer } else { inner };
        let angle = TAU * k as f64 / (2 * spikes) as f64;
        Point::new(
            (reach * angle.cos()).round() as i64,
            (reach * angle.sin()).round() as i64,
        )
    };
    Outline::new((0..2 * spikes).map(corner).collect()).ok()
}

/// Part of a ring, many corners.
fn sector(outer: f64, inner: f64, arc: f64) -> Option<Outline> {
    const STEPS: i32 = 12;
    let corner = |radius: f64, k: i32| {
        let angle = arc * f64::from(k) / f64::from(STEPS);
        Point::new(
            (radius * angle.cos()).round() as i64,
            (radius * angle.sin()).round() as i64,
        )
    };
    let out = (0..=STEPS).map(|k| corner(outer, k));
    let back = (0..=STEPS).rev().map(|k| corner(inner, k));
    Outline::new(out.chain(back).collect()).ok()
}

/// Pieces of all kinds, in any turn, turned over or not.
fn kinds() -> impl Strategy<Value = Outline> {
    let kind = prop_oneof![
        outlines(),
        (1_i64..9, 1_i64..9, 1_i64..9, 1_i64..9).prop_map(|(w, h, a, b)| {
            outline(&[
                [0, 0],
                [w + a, 0],
                [w + a, h],
                [w, h],
                [w, h + b],
                [0, h + b],
            ])
        }),
        (2_i64..5, 1_i64..6, 1_i64..6, 1_i64..30).prop_map(|(t, w, b, h)| comb(t, w, b, h)),
        (3_usize..7, 10.0..90.0_f64, 4.0..9.0_f64)
            .prop_filter_map("not simple", |(n, outer, inner)| star(n, outer, inner)),
        (40.0..900.0_f64, 0.1..0.8_f64, 0.3..5.5_f64)
            .prop_filter_map("not simple", |(r, hole, arc)| sector(r, r * hole, arc)),
        (20_i64..900, 0_i64..3, 1_i64..3).prop_map(|(long, low, thick)| outline(&[
            [0, 0],
            [long, low],
            [long, low + thick]
        ])),
    ];
    (kind, 0_u8..4, any::<bool>()).prop_map(|(kind, quarters, over)| {
        let kind = if over { kind.mirrored() } else { kind };
        kind.turned(quarters)
    })
}

/// Corners of a region's parts, the middles of their edges, and where edges of two parts cross, put on whole
/// places.
fn border(region: &NoFit) -> Vec<Point> {
    let edges: Vec<(Point, Point)> = region
        .parts
        .iter()
        .flat_map(|part| {
            let ends = part.points.iter().cycle().skip(1);
            part.points.iter().copied().zip(ends.copied())
        })
        .collect();
    let mut places = Vec::new();
    for (k, &(a, b)) in edges.iter().enumerate() {
        places.extend([a, Point::new((a.x + b.x) / 2, (a.y + b.y) / 2)]);
        for &(c, d) in &edges[k + 1..] {
            let cross = |u: Point, v: Point| (u.x * v.y - u.y * v.x) as f64;
            let (u, v, w) = (b.minus(a), d.minus(c), c.minus(a));
            let share = [cross(w, v) / cross(u, v), cross(w, u) / cross(u, v)];
            if share.iter().all(|s| (0.0..=1.0).contains(s)) {
                let along = |from: i64, by: i64| (from as f64 + share[0] * by as f64).round();
                places.push(Point::new(along(a.x, u.x) as i64, along(a.y, u.y) as i64));
            }
        }
    }
    places
}

/// A place and its eight neighbours.
fn around(place: Point) -> impl Iterator<Item = Point> {
    let steps = (-1..=1).flat_map(|x| (-1..=1).map(move |y| Point::new(x, y)));
    steps.map(move |step| place.plus(step))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn on_the_border_pieces_touch_and_a_step_further_the_verifier_agrees(
        a in kinds(), b in kinds(), picks in proptest::collection::vec(any::<prop::sample::Index>(), 12),
    ) {
        let region = NoFit::of(&convex_parts(&a), &convex_parts(&b), None);
        let border = border(&region);
        for pick in picks {
            for at in around(*pick.get(&border)) {
                prop_assert_eq!(region.forbids(at), !verified(&a, &b.moved(at), 0), "{:?}", at);
            }
        }
    }

    /// A polygon of sixteen sides around a circle reaches 1 / cos(180/16 degrees) = 1.0196 of its radius at its
    /// corners, and putting those on whole places adds less than two micrometres.
    #[test]
    fn spacing_is_kept_and_no_more_than_two_per_cent_beyond_is_asked(
        a in kinds(), b in kinds(), spacing in 1_i64..400,
        picks in proptest::collection::vec(any::<prop::sample::Index>(), 6),
    ) {
        let disc = clearance(Length::from_um(spacing));
        let region = NoFit::of(&convex_parts(&a), &convex_parts(&b), disc.as_deref());
        let border = border(&region);
        let most = (spacing as f64 * 1.0196).ceil() as i64 + 2;
        for pick in picks {
            for at in around(*pick.get(&border)) {
                let moved = b.moved(at);
                if region.forbids(at) {
                    prop_assert!(!verified(&a, &moved, most), "{:?} is far enough", at);
                } else {
                    prop_assert!(verified(&a, &moved, spacing), "{:?} is too near", at);
                }
            }
        }
    }
}

/// Free places around `at`, and the verifier's word for each.
fn free_around(fixed: &[Outline], moving: &Outline, at: Point) -> Vec<Point> {
    let regions: Vec<NoFit> = fixed
        .iter()
        .map(|fixed| NoFit::of(&convex_parts(fixed), &convex_parts(moving), None))
        .collect();
    around(at)
        .filter(|&place| {
            let is_free = !regions.iter().any(|region| region.forbids(place));
            let moved = moving.moved(place);
            assert_eq!(is_free, fixed.iter().all(|f| verified(f, &moved, 0)));
            is_free
        })
        .collect()
}

#[test]
fn a_peg_slides_in_a_slot_of_its_width_and_nowhere_else() {
    let slotted = comb(2, 5, 3, 9);
    let peg = outline(&[[0, 0], [5, 0], [5, 4], [0, 4]]);
    let column = |x, low: i64, high: i64| (low..=high).map(move |y| Point::new(x, y));
    let free = |at| free_around(std::slice::from_ref(&slotted), &peg, at);
    assert!(free(Point::new(5, 5)).into_iter().eq(column(5, 4, 6)));
    assert!(free(Point::new(5, 3)).into_iter().eq(column(5, 3, 4)));
}

#[test]
fn between_two_pieces_as_far_apart_as_a_third_is_wide_there_is_one_line_of_places() {
    let post = outline(&[[0, 0], [4, 0], [4, 9], [0, 9]]);
    let pair = |gap: i64| [post.clone(), post.moved(Point::new(4 + gap, 0))];
    let peg = outline(&[[0, 0], [3, 0], [3, 2], [0, 2]]);
    let free = free_around(&pair(3), &peg, Point::new(4, 4));
    assert_eq!(free, [3, 4, 5].map(|y| Point::new(4, y)));
    // Where they touch, nothing goes between them, but it may lie on both.
    assert!(free_around(&pair(0), &peg, Point::new(3, 4)).is_empty());
    let above = free_around(&pair(0), &peg, Point::new(3, 9));
    assert_eq!(above.len(), 6);
}

#[test]
fn a_dovetail_fits_at_a_single_place() {
    let cavity = outline(&[
        [0, 0],
        [20, 0],
        [20, 10],
        [12, 10],
        [15, 4],
        [5, 4],
        [8, 10],
        [0, 10],
    ]);
    let tail = outline(&[[0, 0], [10, 0], [7, 6], [3, 6]]);
    let at = Point::new(5, 4);
    assert_eq!(free_around(&[cavity], &tail, at), [at]);
}

#[test]
fn a_triangle_touches_the_bottom_of_its_notch_at_one_place() {
    let notched = outline(&[[0, 0], [12, 0], [12, 8], [10, 8], [6, 2], [2, 8], [0, 8]]);
    let wedge = outline(&[[0, 0], [4, 6], [-4, 6]]);
    let bottom = Point::new(6, 2);
    let free = free_around(&[notched], &wedge, bottom);
    assert_eq!(free, [bottom, Point::new(6, 3)]);
}
