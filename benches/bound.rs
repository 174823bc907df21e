//! How long the proof of a bound takes, for small and large jobs.

use criterion::{Criterion, criterion_group, criterion_main};
use nesting::{Cloth, Item, Problem, Turn, bound};
use pieces::{Length, Outline, Point};

/// Flared panels, head narrower than foot, sizes rising with the wearer.
fn panel(number: i64, copies: u32, turns: &[Turn]) -> Item {
    let (foot, lean) = (260_000 + number % 97 * 2_100, 20_000 + number % 13 * 5_000);
    let along = 700_000 + number % 389 * 1_000;
    let corners = [(0, 0), (foot, 0), (foot - lean, along), (lean, along)];
    let corners = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Item {
        label: format!("panel {number}"),
        outline: Outline::new(corners).expect("a trapezoid is an outline"),
        copies,
        turns: turns.to_vec(),
        may_mirror: false,
        garment: None,
        anchor: None,
    }
}

fn problem(kinds: i64, copies: u32, turns: &[Turn]) -> Problem {
    Problem {
        cloth: Cloth {
            right: Length::from_cm(140),
            ..Cloth::default()
        },
        items: (0..kinds)
            .map(|number| panel(number * 7, copies, turns))
            .collect(),
        ..Problem::default()
    }
}

fn bounds(criterion: &mut Criterion) {
    let ends = [Turn::None, Turn::Half];
    for (name, problem) in [
        ("2 panels", problem(2, 1, &ends)),
        ("4 panels", problem(4, 1, &ends)),
        ("6 panels", problem(6, 1, &ends)),
        ("12 panels", problem(12, 1, &ends)),
        ("24 panels, one way", problem(24, 1, &[Turn::None])),
        ("24 panels", problem(24, 1, &ends)),
        ("1 000 panels in 20 sizes", problem(20, 50, &ends)),
        (
            "10 000 panels, all different sizes",
            problem(10_000, 1, &ends),
        ),
    ] {
        criterion.bench_function(&format!("best, {name}"), |b| {
            b.iter(|| bound::best(&problem))
        });
        let above = Length::from_um(bound::best(&problem).length.um() * 21 / 20);
        criterion.bench_function(&format!("refuse, {name}"), |b| {
            b.iter(|| bound::refuse(&problem, above));
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10).warm_up_time(std::time::Duration::from_millis(300)).measurement_time(std::time::Duration::from_secs(1));
    targets = bounds
}
criterion_main!(benches);
