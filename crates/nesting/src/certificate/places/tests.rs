use super::*;
use crate::bound::{recheck, refuse_with};
use crate::jobs::{ONE_WAY, TWO_WAY, item, problem_um, random_problem, trapezoid};
use crate::verdict::{Argument, Bound, Budget, Silent};
use pieces::Outline;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

fn um(length: i64) -> Length {
    Length::from_um(length)
}

/// Two of 60 on a width of 100, each 100 long.
fn two() -> Problem {
    let strip = Outline::rectangle(um(60), um(100)).unwrap();
    problem_um(100, vec![item(strip, 2, ONE_WAY)])
}

fn places(tree: &[u64]) -> Places {
    Places {
        figures: vec![Figure {
            items: vec![0],
            turns: vec![Turn::None],
            intervals: 1,
        }],
        lines: 1,
        tree: tree.to_vec(),
        ..Places::default()
    }
}

/// Worked by hand: whichever copy takes the only interval, the other has no place beside it; and one must.
#[test]
fn two_that_are_too_wide_to_lie_abreast() {
    let tree = [TAKE, 0, NOTHING, 0, NOTHING, 0];
    assert!(proves(&two(), &places(&tree), um(199)));
    assert!(!proves(&two(), &places(&tree), um(200)));
    // With intervals of half the length: one from the cut end on and one beyond, then both beyond, or none at the cut end.
    let halves = |tree: &[u64]| {
        let mut places = places(tree);
        places.figures[0].intervals = 2;
        proves(&two(), &places, um(199))
    };
    let one = [TAKE, 0, NOTHING, 0];
    assert!(halves(
        &[&one[..], &[TAKE, 1, NOTHING, 0, NOTHING, 0]].concat()
    ));
    assert!(halves(&[&one[..], &[DOWN]].concat()));
    assert!(!halves(&[&one[..], &[LITTLE]].concat()));
    for tree in [
        &[][..],
        &[NOTHING, 0],
        &[DOWN],
        &[TAKE, 0, NOTHING, 0],
        &[TAKE, 0, ROOM, 1, NOTHING, 0],
        &[TAKE, 0, NOTHING, 1, NOTHING, 0],
        &[TAKE, 1, NOTHING, 0, NOTHING, 0],
        &[TAKE, 0, NOTHING, 0, NOTHING, 0, 0],
        &[HALVE, 0, NOTHING, 0, NOTHING, 0],
        &[9],
    ] {
        assert!(!proves(&two(), &places(tree), um(199)), "{tree:?}");
    }
}

/// Geometry: three of 60, 100 and 100 long on a width of 100, and strips of 40 that all fit beside them.
#[test]
fn what_is_named_must_be_there_and_what_is_not_takes_no_room() {
    let tree = [TAKE, 0, NOTHING, 0, NOTHING, 0];
    let mut problem = two();
    let beside = Outline::rectangle(um(40), um(100)).unwrap();
    problem.items.push(item(beside, 2, ONE_WAY));
    assert!(proves(&problem, &places(&tree), um(199)));
    let with = |change: &dyn Fn(&mut Places)| {
        let mut places = places(&tree);
        change(&mut places);
        proves(&problem, &places, um(199))
    };
    assert!(!with(&|p| p.figures[0].items = vec![1]));
    assert!(!with(&|p| p.figures[0].items = vec![7]));
    assert!(!with(&|p| p.figures[0].items = vec![]));
    assert!(!with(&|p| p.figures[0].turns = vec![Turn::Half]));
    assert!(!with(&|p| p.figures[0].intervals = 0));
    assert!(!with(&|p| p.figures.clear()));
    assert!(!with(&|p| p.figures.push(p.figures[0].clone())));
    assert!(!with(&|p| p.wider = um(1)));
    assert!(!with(&|p| p.lines = u32::MAX));
    // There are two of it.
    assert!(!with(&|p| p.turned = Some(0)));
}

/// The places by which a length is refused, where places refuse it.
fn refused(problem: &Problem, length: i64) -> Option<(Places, Bound)> {
    let bound = refuse_with(problem, um(length), 20)?;
    match &bound.argument {
        Argument::EveryPlace(places) => Some((places.clone(), bound.clone())),
        _ => None,
    }
}

/// Pieces of all shapes, with spacing, turned over or by garments: nearly all that is refused is written down and holds, and
/// no such tree, nor one with a number changed, refuses a length that has a layout.
#[test]
fn trees_of_random_jobs_hold_and_refuse_no_layout() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(5);
    let (mut whole, mut again, mut curved, mut spaced, mut changed) = (0, 0, 0, 0, 0);
    for _ in 0..40 {
        let pieces = random.random_range(3..7);
        let mut problem = random_problem(&mut random, pieces);
        problem.cloth.flaws.clear();
        let budget = Budget {
            steps: Some(2_000),
            ..Budget::default()
        };
        let layout = crate::plan(&problem, &budget, &mut Silent)
            .unwrap()
            .marker
            .length
            .um();
        let low = crate::bound::best(&problem).length.um();
        for share in [1, 2] {
            let length = low + (layout - low) * share / 4;
            let Some((places, bound)) = refused(&problem, length) else {
                continue;
            };
            if places.tree.is_empty() {
                again += 1;
                continue;
            }
            whole += 1;
            curved += u32::from(!places.within.is_empty());
            spaced += u32::from(places.wider > Length::ZERO);
            assert!(recheck(&problem, &bound));
            assert!(!proves(&problem, &places, um(layout)));
            for _ in 0..20 {
                let mut other = places.clone();
                let at = random.random_range(0..other.tree.len());
                other.tree[at] = random.random_range(0..8);
                assert!(!proves(&problem, &other, um(layout)));
                changed += 1;
            }
        }
    }
    eprintln!("{whole} whole, {again} again, {curved} curved, {spaced} spaced, {changed} changed");
    assert!(whole > 12 && again * 4 < whole && curved > 5 && spaced > 0 && changed > 200);
}

/// A single piece whose two ends differ tells a layout from the same turned end for end.
#[test]
fn layouts_turned_end_for_end_are_left_out_only_where_they_are_the_same() {
    let panels = item(trapezoid(350, 600, 840), 5, TWO_WAY);
    let flag = item(trapezoid(200, 300, 500), 1, TWO_WAY);
    let problem = crate::jobs::problem(1_100, vec![panels, flag]);
    let low = crate::bound::best(&problem).length.um();
    let mut found = (0..12).filter_map(|n| refused(&problem, low + n * 10_000));
    let (places, bound) = found.next().unwrap();
    assert!(places.turned.is_some() && !places.tree.is_empty());
    assert!(recheck(&problem, &bound));
    // One way only, its turned layouts are none.
    let mut one_way = problem.clone();
    one_way.items[1].turns = ONE_WAY.to_vec();
    assert!(!proves(&one_way, &places, bound.length - um(1)));
}
