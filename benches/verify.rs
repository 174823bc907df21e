//! How long the independent check of a marker takes.

use criterion::{Criterion, criterion_group, criterion_main};
use nesting::{Cloth, Item, Marker, Placement, Problem, Turn, verify};
use pieces::{Length, Outline, Point};

/// Flared panels head to tail in rows, sharing their slanted sides: every neighbour touches.
fn rows(count: u32, outline: Outline) -> (Problem, Marker) {
    let bounds = outline.bounds();
    let (across, along) = (bounds.across().um(), bounds.along().um());
    let advance = outline.points()[2].x;
    let per_row = 4;
    let placements = (0..count)
        .map(|copy| {
            let (row, place) = (i64::from(copy / per_row), i64::from(copy % per_row));
            let (x, y) = (place * advance, row * along);
            let half = place % 2 == 1;
            let at = if half {
                Point::new(x + across, y + along)
            } else {
                Point::new(x, y)
            };
            let turn = if half { Turn::Half } else { Turn::None };
            Placement {
                item: 0,
                copy,
                turn,
                mirrored: false,
                at,
            }
        })
        .collect();
    let length = Length::from_um(i64::from(count.div_ceil(per_row)) * along);
    let cloth = Cloth {
        right: Length::from_um(advance * 3 + across),
        ..Cloth::default()
    };
    let item = Item {
        label: "panel".to_owned(),
        outline,
        copies: count,
        turns: vec![Turn::None, Turn::Half],
        may_mirror: false,
        garment: None,
        anchor: None,
    };
    (
        Problem {
            cloth,
            items: vec![item],
            ..Problem::default()
        },
        Marker { placements, length },
    )
}

fn point(x: i64, y: i64) -> Point {
    Point::new(x, y)
}

fn panel() -> Outline {
    let corners = vec![
        point(0, 0),
        point(400_000, 0),
        point(300_000, 970_000),
        point(100_000, 970_000),
    ];
    Outline::new(corners).expect("a trapezoid is an outline")
}

/// A half ring of 82 corners, not convex, in a row by its box.
fn half_ring() -> Outline {
    let arc = |radius: f64, k: i32| {
        let angle = std::f64::consts::PI * f64::from(k) / 40.0;
        point(
            (radius * (1.0 - angle.cos())) as i64,
            (radius * angle.sin()) as i64,
        )
    };
    let shift = |p: Point| point(p.x + 286_000, p.y);
    let outer = (0..=40).map(|k| arc(400_000.0, k));
    let inner = (0..=40).rev().map(|k| shift(arc(114_000.0, k)));
    Outline::new(outer.chain(inner).collect()).expect("a half ring is an outline")
}

fn side_by_side(count: u32, outline: Outline) -> (Problem, Marker) {
    let (mut problem, mut marker) = rows(count, outline);
    let bounds = problem.items[0].outline.bounds();
    let (across, along) = (bounds.across().um(), bounds.along().um());
    for placement in &mut marker.placements {
        let (row, place) = (i64::from(placement.copy / 4), i64::from(placement.copy % 4));
        placement.turn = Turn::None;
        placement.at = point(place * across, row * along);
    }
    problem.cloth.right = Length::from_um(4 * across);
    (problem, marker)
}

fn verify_markers(criterion: &mut Criterion) {
    for (name, (problem, marker)) in [
        ("1 000 flared panels, sides shared", rows(1_000, panel())),
        ("10 000 flared panels, sides shared", rows(10_000, panel())),
        (
            "1 000 half rings of 82 corners",
            side_by_side(1_000, half_ring()),
        ),
    ] {
        assert_eq!(verify::marker(&problem, &marker), Ok(()), "{name}");
        criterion.bench_function(name, |bencher| {
            bencher.iter(|| verify::marker(&problem, &marker))
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = verify_markers
}
criterion_main!(benches);
