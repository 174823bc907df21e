//! Patterns against the verifier, the choice between them against all that could be chosen, columns against
//! geometry.

use std::f64::consts::TAU;

use pieces::{Length, Outline, Point};
use proptest::prelude::*;

use super::choose::choose;
use super::columns::columns;
use super::kinds::Kinds;
use super::trial::Pattern;
use super::unroll::unroll;
use super::{Watch, layouts};
use crate::constructive::Layout;
use crate::constructive::board::Regions;
use crate::constructive::order;
use crate::constructive::rows::shorter_rows;
use crate::geometry::tests::outlines;
use crate::problem::{Cloth, Item, Problem, Turn};
use crate::separate::Fields;
use crate::shapes::{Detail, Shapes};
use crate::verify;

/// Orders of few kinds, some of them garments that are turned as one.
fn orders() -> impl Strategy<Value = Problem> {
    let item = (outlines(), 2_u32..9, any::<bool>(), any::<bool>());
    let items = proptest::collection::vec(item, 1..4);
    (items, 0_i64..3, 22_i64..40).prop_map(|(items, spacing, width)| {
        let item = |(number, (outline, copies, quarters, garment)): (usize, _)| Item {
            label: format!("piece {number}"),
            outline,
            copies,
            turns: if quarters {
                Turn::ALL.to_vec()
            } else {
                vec![Turn::None, Turn::Half]
            },
            may_mirror: quarters,
            garment: if garment { Some(number as u32) } else { None },
            anchor: None,
        };
        Problem {
            cloth: Cloth {
                right: Length::from_um(width),
                ..Cloth::default()
            },
            items: items.into_iter().enumerate().map(item).collect(),
            spacing: Length::from_um(spacing),
            marking_step: None,
            cutting: Default::default(),
        }
    })
}

fn repeated(problem: &Problem, shapes: &Shapes, threads: usize) -> Vec<Layout> {
    let fields = Fields::of(problem, shapes, u64::MAX).unwrap();
    let watch = Watch {
        steps: 20_000,
        threads,
        seed: 3,
        stop: &|| false,
    };
    let kinds = Kinds::of(problem, shapes).unwrap();
    layouts(&kinds, &fields, &watch).0
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn whatever_is_repeated_is_the_whole_order_validly_laid(problem in orders()) {
        let shapes = Shapes::of(&problem);
        let found = repeated(&problem, &shapes, 1);
        for layout in &found {
            prop_assert_eq!(layout.laid.len(), order::copies(&problem).len());
            let marker = crate::plan::to_marker(&problem, &shapes, layout);
            prop_assert_eq!(verify::marker(&problem, &marker), Ok(()));
        }
        prop_assert_eq!(repeated(&problem, &shapes, 2), found);
    }

    /// Rows are patterns, too, each between two straight cuts with the spacing behind it; laid freely they may
    /// sink into each other a little.
    #[test]
    fn patterns_take_hardly_more_than_rows(problem in orders()) {
        let shapes = Shapes::of(&problem);
        let kinds = Kinds::of(&problem, &shapes).unwrap();
        let mut regions = Regions::new(&kinds.problem, &kinds.shapes, Detail::Fine);
        let (rows, _) = shorter_rows(&kinds.problem, &kinds.shapes, &mut regions, &|| false);
        let shortest = repeated(&problem, &shapes, 1).iter().map(|l| l.length).min().unwrap();
        let most = rows.length + rows.length / 4 + problem.spacing.um();
        prop_assert!(shortest <= most, "{} > {}", shortest, rows.length);
    }
}

fn trapezoids(top: i64, foot: i64, along: i64, width: i64, copies: u32, turns: &[Turn]) -> Problem {
    let inset = (foot - top) / 2;
    let corners = [(0, 0), (foot, 0), (foot - inset, along), (inset, along)];
    let corner = |(x, y): (i64, i64)| Point::new(1_000 * x, 1_000 * y);
    Problem {
        cloth: Cloth {
            right: Length::from_mm(width),
            ..Cloth::default()
        },
        items: vec![Item {
            label: "panel".into(),
            outline: Outline::new(corners.map(corner).to_vec()).unwrap(),
            copies,
            turns: turns.to_vec(),
            may_mirror: false,
            garment: None,
            anchor: None,
        }],
        ..Problem::default()
    }
}

/// Geometry: one way, seven feet of 142 mm fill 1,100 mm; but panels that are shifted along reach into the
/// gaps beside the narrow ends, and eight columns fit at the period of one panel.
#[test]
fn shifted_columns_hold_one_panel_more_than_a_row() {
    let problem = trapezoids(120, 142, 514, 1_100, 16, &[Turn::None]);
    let shapes = Shapes::of(&problem);
    let kinds = Kinds::of(&problem, &shapes).unwrap();
    let mut regions = Regions::new(&kinds.problem, &kinds.shapes, Detail::Fine);
    let found = columns(&kinds, &mut regions, 0, &mut 0, &|_| false);
    let tightest = found.iter().find(|l| l.length == 514_000).unwrap();
    assert_eq!(tightest.laid.len(), 8);
    // Laid twice it is the order.
    let pattern = Pattern::new(&kinds, tightest, tightest.length);
    let layout = unroll(&kinds, &[pattern], &vec![2]);
    let marker = crate::plan::to_marker(&problem, &shapes, &layout);
    assert_eq!(verify::marker(&problem, &marker), Ok(()));
    assert!(layout.length < 3 * 514_000, "{}", layout.length);
}

/// A ring of spikes against itself is thousands of parts.
#[test]
fn columns_of_a_ragged_piece_end_when_their_steps_do() {
    let corner = |k: i32| {
        let reach = if k % 2 == 0 { 100_000.0 } else { 70_000.0 };
        let angle = f64::from(k) * TAU / 120.0;
        Point::new((reach * angle.cos()) as i64, (reach * angle.sin()) as i64)
    };
    let mut problem = trapezoids(120, 142, 514, 1_100, 16, &[Turn::None]);
    problem.items[0].outline = Outline::new((0..120).map(corner).collect()).unwrap();
    let shapes = Shapes::of(&problem);
    let kinds = Kinds::of(&problem, &shapes).unwrap();
    let mut regions = Regions::new(&kinds.problem, &kinds.shapes, Detail::Fine);
    let mut spent = 0;
    columns(&kinds, &mut regions, 0, &mut spent, &|spent| {
        spent > 100_000
    });
    assert!((50_000..=100_000).contains(&spent), "{spent}");
}

/// All choices of at most so many of each pattern, the shortest that meets the demand.
fn by_trying(patterns: &[Pattern], demand: &[u32], most: u32) -> i64 {
    let mut best = i64::MAX;
    let mut times = vec![0_u32; patterns.len()];
    loop {
        let laid = |kind: usize| -> u32 {
            let each = patterns.iter().zip(&times);
            each.map(|(p, t)| p.counts[kind] * t).sum()
        };
        if (0..demand.len()).all(|kind| laid(kind) >= demand[kind]) {
            let used = patterns.iter().zip(&times).filter(|(_, t)| **t > 0);
            let length = used.map(|(p, &t)| p.period * i64::from(t) + p.over).sum();
            best = best.min(length);
        }
        let Some(next) = times.iter().position(|&t| t < most) else {
            return best;
        };
        times[..next].fill(0);
        times[next] += 1;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn no_other_choice_of_patterns_is_shorter(
        demand in (1_u32..6, 1_u32..6),
        list in proptest::collection::vec((0_u32..4, 0_u32..4, 100_i64..900, 0_i64..200), 1..4),
    ) {
        let mut problem = trapezoids(100, 200, 300, 500, demand.0, &[Turn::None]);
        let mut other = trapezoids(100, 250, 300, 500, demand.1 + 1, &[Turn::None]);
        problem.items.append(&mut other.items);
        let shapes = Shapes::of(&problem);
        let kinds = Kinds::of(&problem, &shapes).unwrap();
        let demand = kinds.demand();
        let pattern = |counts: Vec<u32>, length: i64, over: i64| Pattern {
            counts,
            laid: Vec::new(),
            period: 1_000 * length,
            over: 1_000 * over,
        };
        let mut patterns = vec![pattern(vec![1, 0], 800, 0), pattern(vec![0, 1], 800, 0)];
        patterns.extend(list.into_iter().filter(|(a, b, ..)| a + b > 0).map(|(a, b, length, over)| {
            pattern(vec![a, b], length, over)
        }));
        let chosen = choose(&kinds, &patterns, &|| false);
        let used = patterns.iter().zip(&chosen[0]).filter(|(_, t)| **t > 0);
        let length: i64 = used.map(|(p, &t)| p.period * i64::from(t) + p.over).sum();
        prop_assert_eq!(length, by_trying(&patterns, &demand, 6));
    }
}
