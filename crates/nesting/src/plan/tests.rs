//! Each engine on its own, and all together, on the same hundred random jobs.

use pieces::{Length, Outline, Point};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use super::{Held, Run, to_marker};
use crate::constructive::Layout;
use crate::constructive::board::Regions;
use crate::constructive::order::{self, improve};
use crate::jobs::random_problem;
use crate::problem::{Cloth, Item, Problem, Turn};
use crate::repeat::{self, Kinds};
use crate::separate::{Ends, Pace, Separator};
use crate::shapes::{Detail, Shapes};
use crate::verdict::{Budget, Silent};
use crate::verify;

/// For each engine.
const STEPS: u64 = 5_000;

fn by_orders(run: &Run<'_>, rows: &Layout) -> Vec<Layout> {
    let mut regions = Regions::new(run.problem, run.shapes, Detail::Coarse);
    let watch = order::Watch {
        steps: STEPS,
        bound: 0,
        seed: 1,
        stream: 0,
        streams: 1,
        stop: &|| false,
        tell: &|_| (),
    };
    improve(run.problem, run.shapes, &mut regions, &[rows], &watch).0
}

fn by_repeating(run: &Run<'_>) -> Vec<Layout> {
    let Some((kinds, fields)) = Kinds::of(run.problem, run.shapes).zip(run.fields()) else {
        return Vec::new();
    };
    let watch = repeat::Watch {
        steps: STEPS,
        threads: 1,
        seed: 1,
        stop: &|| false,
    };
    repeat::layouts(&kinds, fields, &watch).0
}

fn by_pushing(run: &Run<'_>, start: &Layout) -> Layout {
    let fields = run.fields().unwrap();
    let separator = Separator::new(run.problem, run.shapes, fields, start, Ends::Cut, &[], 1);
    let mut separator = separator.unwrap();
    let pace = |until: u64| move |spent: u64| spent as f64 / until as f64;
    let (exploring, compressing) = (pace(STEPS / 2), pace(STEPS));
    let pace = Pace {
        share: &exploring,
        goal: 0,
        tell: &|_| (),
    };
    separator.explore(&pace);
    separator.compress(&Pace {
        share: &compressing,
        ..pace
    });
    separator.best().clone()
}

#[test]
fn engines_lay_what_is_valid_and_none_makes_it_worse() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(43);
    let mut lengths = [0; 4];
    let (mut repeated, mut mixed) = (0, 0);
    for _ in 0..100 {
        let pieces = random.random_range(2..=14);
        let problem = random_problem(&mut random, pieces);
        let shapes = Shapes::of(&problem);
        let budget = Budget {
            steps: Some(STEPS),
            ..Budget::default()
        };
        let held = Held::default();
        let mut run = Run::new(&problem, &shapes, &budget, &held, &Silent);
        let rows = run.in_rows().0.layout;
        let orders = by_orders(&run, &rows);
        let pushed = by_pushing(&run, &rows);
        let pushed_on = by_pushing(&run, &orders[0]);
        let repeats = by_repeating(&run);
        repeated += usize::from(!repeats.is_empty());
        let around = run.around_rectangles(i64::MAX / 4, STEPS).0;
        mixed += usize::from(around.is_some());
        let pushed_all = [&pushed, &pushed_on];
        let all = [&rows].into_iter().chain(&orders).chain(&repeats);
        let all = all.chain(&around);
        for layout in all.chain(pushed_all) {
            let marker = to_marker(&problem, &shapes, layout);
            assert_eq!(verify::marker(&problem, &marker), Ok(()), "{problem:?}");
        }
        assert!(orders[0].length <= rows.length, "{problem:?}");
        assert!(pushed.length <= rows.length, "{problem:?}");
        assert!(pushed_on.length <= orders[0].length, "{problem:?}");
        let together = run.answer(&mut Silent).unwrap().marker.length.um();
        assert!(together <= rows.length || problem.marking_step.is_some());
        let each = [rows.length, orders[0].length, pushed.length, together];
        lengths
            .iter_mut()
            .zip(each)
            .for_each(|(sum, length)| *sum += length);
    }
    println!("rows, orders, pushed, together: {lengths:?}; {repeated} of 100 repeat");
    let [rows, orders, pushed, together] = lengths;
    assert!(orders < rows && pushed < rows && together < orders && together < pushed);
    assert!(repeated >= 15, "{repeated}");
    assert!(mixed >= 10, "{mixed}");
}

/// By hand: six bands of 30 by 20 fill 90 by 40, and the corners of two triangles of 90 by 90 meet in a square
/// above them.
#[test]
fn rectangles_come_first_and_others_lie_around_them() {
    let mm = |v: i64| v * 1_000;
    let corners = [(0, 0), (90, 0), (0, 90)];
    let triangle = corners.map(|(x, y)| Point::new(mm(x), mm(y))).to_vec();
    let item = |label: &str, outline: Outline, copies: u32, turns: Vec<Turn>| Item {
        label: label.into(),
        outline,
        copies,
        turns,
        may_mirror: false,
        garment: None,
        anchor: None,
    };
    let band = Outline::rectangle(Length::from_um(mm(30)), Length::from_um(mm(20))).unwrap();
    let problem = Problem {
        cloth: Cloth {
            right: Length::from_um(mm(90)),
            ..Cloth::default()
        },
        items: vec![
            item("band", band, 6, vec![Turn::None]),
            item(
                "corner",
                Outline::new(triangle).unwrap(),
                2,
                vec![Turn::None, Turn::Half],
            ),
        ],
        ..Problem::default()
    };
    let shapes = Shapes::of(&problem);
    let budget = Budget {
        steps: Some(STEPS),
        ..Budget::default()
    };
    let held = Held::default();
    let run = Run::new(&problem, &shapes, &budget, &held, &Silent);
    let layout = run.around_rectangles(mm(1_000), STEPS).0.unwrap();
    let marker = to_marker(&problem, &shapes, &layout);
    assert_eq!(verify::marker(&problem, &marker), Ok(()));
    assert_eq!(layout.length, mm(130));
}
