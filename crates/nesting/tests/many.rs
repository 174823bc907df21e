//! Orders of many pieces: patterns that are repeated, and layouts searched by stretches.

mod jobs;

use std::collections::BTreeSet;

use jobs::{ONE_WAY, TWO_WAY, item, mm, problem, rectangle, sector, step, trapezoid};
use nesting::{Answer, Budget, Problem, Progress, plan, verify};
use pieces::{Length, Outline, Point};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// Who has told of lengths.
#[derive(Debug, Default)]
struct Engines(BTreeSet<&'static str>);

impl Progress for Engines {
    fn report(&mut self, _: Option<Length>, _: Length, engine: &'static str) {
        self.0.insert(engine);
    }
}

fn laid(problem: &Problem, threads: usize, steps: Option<u64>) -> (Answer, Engines) {
    let budget = Budget {
        threads,
        steps,
        ..Budget::default()
    };
    let mut engines = Engines::default();
    let answer = plan(problem, &budget, &mut engines).unwrap();
    assert_eq!(verify::marker(problem, &answer.marker), Ok(()));
    assert!(answer.bound.length <= answer.marker.length);
    (answer, engines)
}

/// Row layout: head to tail k panels take k (a + b) / 2 + (b - a) / 2 across, one way k b. Elementary geometry.
fn in_rows((top, foot, along, width): (i64, i64, i64, i64), count: i64, one_way: bool) -> i64 {
    let fits = |k: i64| {
        if one_way || k == 1 {
            k * foot <= width
        } else {
            k * (top + foot) + (foot - top) <= 2 * width
        }
    };
    let a_row = (1..).take_while(|&k| fits(k)).last().unwrap();
    mm((count + a_row - 1) / a_row * along)
}

const PANELS: [(i64, i64, i64, i64); 4] = [
    (126, 256, 717, 1_400),
    (120, 142, 514, 1_100),
    (213, 333, 692, 1_400),
    (204, 310, 596, 1_400),
];

#[test]
fn many_equal_panels_take_no_more_than_rows_and_often_less() {
    let mut less = 0;
    for shape in PANELS {
        for count in [11, 47, 200] {
            for one_way in [true, false] {
                let turns = if one_way { ONE_WAY } else { TWO_WAY };
                let (top, foot, along, width) = shape;
                let panel = trapezoid(top, foot, along);
                let problem = problem(width, vec![item(panel, count, turns)]);
                let (answer, _) = laid(&problem, 2, None);
                let rows = in_rows(shape, i64::from(count), one_way);
                let length = answer.marker.length.um();
                assert!(length <= rows, "{count} of {shape:?}: {length} > {rows}");
                less += i32::from(length < rows);
            }
        }
    }
    assert!(less >= 8, "only {less} of 24 are shorter than rows");
}

/// Half of the garments may be turned end for end as a whole.
fn a_large_order(copies: u32) -> Problem {
    let shapes = [
        trapezoid(200, 330, 700),
        rectangle(400, 90),
        sector(150, 420),
        step(300, 500, (120, 260)),
        trapezoid(120, 260, 480),
    ];
    let items = shapes.into_iter().enumerate().map(|(number, shape)| {
        let mut item = item(shape, copies, TWO_WAY);
        item.garment = (number % 2 == 0).then_some(number as u32);
        item
    });
    let mut problem = problem(1_500, items.collect());
    problem.spacing = Length::from_mm(3);
    problem
}

#[test]
fn a_layout_searched_by_stretches_is_valid_and_shorter_than_rows() {
    let problem = a_large_order(40);
    let (rows, _) = laid(&problem, 1, Some(0));
    let (answer, engines) = laid(&problem, 1, None);
    assert!(answer.marker.length < rows.marker.length);
    for engine in ["rows", "repeat", "separate"] {
        assert!(
            engines.0.contains(engine),
            "{engine} is not in {:?}",
            engines.0
        );
    }
}

#[test]
fn many_pieces_lie_the_same_however_often_they_are_asked_for() {
    let problem = a_large_order(26);
    for threads in [1, 2] {
        let (first, _) = laid(&problem, threads, Some(300_000));
        let (second, _) = laid(&problem, threads, Some(300_000));
        assert_eq!(first, second);
    }
}

/// Two hangings reach through stretch after stretch of small pennants: they neither stay before one nor
/// move up behind it.
#[test]
fn long_pieces_among_many_small_ones_stay_on_the_cloth_and_apart() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(5);
    for _ in 0..3 {
        let mut items = vec![
            item(rectangle(620, 4_480), 1, TWO_WAY),
            item(rectangle(620, 4_483), 1, TWO_WAY),
        ];
        for _ in 0..60 {
            let (w, h) = (random.random_range(48..106), random.random_range(41..106));
            let (a, b) = (random.random_range(0..14), random.random_range(0..15));
            let corners = [[0, 0], [7 * w / 10, b], [w, 8 * h / 10], [a, h]];
            let corners = corners.map(|[x, y]| Point::new(mm(x), mm(y)));
            items.push(item(Outline::new(corners.to_vec()).unwrap(), 8, TWO_WAY));
        }
        let (answer, _) = laid(&problem(829, items), 1, Some(1_200_000));
        assert!(answer.marker.length >= Length::from_mm(4_480 + 4_483));
    }
}

/// So many that the regions of all pairs of them would fill the memory: each stretch makes its own.
#[test]
fn different_curved_pieces_are_pushed_apart_too() {
    let curved = |number: i64| item(sector(110 + number, 500 + 2 * number), 1, TWO_WAY);
    let problem = problem(1_500, (0..100).map(curved).collect());
    let (rows, _) = laid(&problem, 2, Some(0));
    let (answer, engines) = laid(&problem, 2, Some(800_000));
    assert!(engines.0.contains("separate"), "{engines:?}");
    assert!(answer.marker.length < rows.marker.length);
}
