//! Filled lengths against the verifier, against each other, and against lengths known beforehand.

use pieces::Length;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use super::room::Room;
use super::{Strip, Watch, attempt, is_refused, settled, shorter};
use crate::bound;
use crate::certificate::starts::Starts;
use crate::constructive::Layout;
use crate::constructive::board::Regions;
use crate::constructive::rows::shorter_rows;
use crate::jobs::{item, mm, problem, rectangle, trapezoid};
use crate::plan::to_marker;
use crate::problem::{Anchor, Problem, Turn};
use crate::shapes::{Detail, Shapes};
use crate::verdict::{Argument, Bound};
use crate::verify;

fn filled(problem: &Problem, length: i64, steps: u64, threads: usize) -> Option<Layout> {
    let shapes = Shapes::of(problem);
    let strip = Strip::of(problem, &shapes).unwrap();
    let mut told = Vec::new();
    let mut watch = Watch {
        steps,
        threads,
        seed: 5,
        goal: 0,
        stop: &|| false,
        tell: &mut |length| told.push(length),
    };
    let (layout, _) = shorter(&strip, length, &mut watch);
    assert_eq!(told.last().copied(), layout.as_ref().map(|l| l.length));
    assert!(told.is_sorted_by(|a, b| a > b), "{told:?}");
    if let Some(layout) = &layout {
        let marker = to_marker(problem, &shapes, layout);
        assert_eq!(verify::marker(problem, &marker), Ok(()), "{problem:?}");
        assert!(layout.length < length);
    }
    layout
}

/// Rectangles of random sizes; some may be turned, some belong to garments that are turned as one, some need
/// room between them.
fn random_order(random: &mut impl rand::Rng) -> Problem {
    let turns: &[Turn] = [&[Turn::None], &Turn::ALL[..]][random.random_range(0..2)];
    let count = random.random_range(1..7);
    let garments = random.random_range(0..4) == 0;
    let make = |number| {
        let outline = rectangle(random.random_range(50..600), random.random_range(50..900));
        let mut item = item(outline, random.random_range(0..4), turns);
        item.garment = (garments && number < 3).then_some(1);
        item
    };
    let items = (0..count).map(make).collect();
    let mut problem = problem(random.random_range(600..1_500), items);
    problem.items[0].copies = 2;
    problem.spacing = Length::from_mm([0, 0, 7][random.random_range(0..3)]);
    problem.marking_step = None;
    problem
}

#[test]
fn lengths_are_filled_with_what_is_valid_the_same_each_time() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(11);
    let (mut shorter_than_rows, mut sums) = (0, 0);
    for _ in 0..60 {
        let problem = random_order(&mut random);
        let shapes = Shapes::of(&problem);
        if Strip::of(&problem, &shapes).is_none() {
            continue;
        }
        let mut regions = Regions::new(&problem, &shapes, Detail::Coarse);
        let (rows, _) = shorter_rows(&problem, &shapes, &mut regions, &|| false);
        let layout = filled(&problem, rows.length, 2_000, 1);
        shorter_than_rows += usize::from(layout.is_some());
        assert_eq!(layout, filled(&problem, rows.length, 2_000, 1));
        let bound = bound::best(&problem);
        let shortest = layout.as_ref().unwrap_or(&rows).length;
        assert!(bound.length.um() <= shortest, "{bound:?} {problem:?}");
        sums += usize::from(matches!(bound.argument, Argument::Sums { .. }));
        let both = filled(&problem, rows.length, 2_000, 2);
        assert_eq!(both, filled(&problem, rows.length, 2_000, 2));
    }
    assert!(shorter_than_rows >= 20, "{shorter_than_rows}");
    assert!(sums >= 10, "{sums}");
}

#[test]
fn a_length_on_hand_between_sums_of_lengths_is_reached_from_below() {
    // Two beside each other, twice, are 60 cm; 65 cm lie between that and the next sum.
    let mut problem = problem(1_000, vec![item(rectangle(500, 300), 4, &[Turn::None])]);
    problem.marking_step = None;
    let shapes = Shapes::of(&problem);
    let strip = Strip::of(&problem, &shapes).unwrap();
    let mut watch = Watch {
        steps: 1_000,
        threads: 1,
        seed: 1,
        goal: mm(650),
        stop: &|| false,
        tell: &mut |_| (),
    };
    let (layout, _) = shorter(&strip, mm(900), &mut watch);
    assert_eq!(layout.map(|layout| layout.length), Some(mm(600)));
}

#[test]
fn sizes_beyond_the_exact_range_are_left_to_others() {
    let coprime = [536_870_911, 536_870_909].map(|across| {
        // So large that no unit but a micrometre measures both.
        let corners = [(0, 0), (across, 0), (across, across), (0, across)];
        let corners = corners.map(|(x, y)| pieces::Point::new(x, y)).into();
        item(pieces::Outline::new(corners).unwrap(), 2_000, &[Turn::None])
    });
    let far = problem(536_871, coprime.into());
    assert!(Strip::of(&far, &Shapes::of(&far)).is_none());
}

#[test]
fn a_full_length_is_found_from_below_and_sideways() {
    // A spiral of four around one: no straight cut divides it.
    let sizes = [([4, 2], 2), ([2, 4], 2), ([2, 2], 1)];
    let room = Room::of(6, 6, &sizes);
    assert_eq!(room.waste(), 0);
    let mut found = 0;
    for seed in 0..64 {
        let tried = attempt(&room, 4, seed, u64::MAX, &|| false);
        // Whoever follows two of a beginning only may miss it, and says so.
        let laid = tried.spots.map(|spots| spots.len());
        assert!(
            laid == Some(5) || laid.is_none() && !tried.is_whole,
            "{seed}"
        );
        found += usize::from(laid.is_some());
    }
    assert!(found >= 60, "{found}");
    let small = Room::of(6, 5, &sizes);
    assert_eq!(attempt(&small, 4, 1, u64::MAX, &|| false).spots, None);
}

#[test]
fn pieces_are_turned_where_that_is_allowed_and_shorter() {
    let of = |turns: &[Turn]| {
        let problem = problem(1_000, vec![item(rectangle(500, 900), 2, turns)]);
        filled(&problem, mm(5_000), 1_000, 1).map(|layout| layout.length)
    };
    assert_eq!(of(&[Turn::None]), Some(mm(900)));
    let lying = problem(900, vec![item(rectangle(500, 900), 2, &Turn::ALL)]);
    let layout = filled(&lying, mm(5_000), 1_000, 1).unwrap();
    assert_eq!(layout.length, mm(1_000));
}

#[test]
fn what_is_no_rectangle_or_minds_its_place_is_left_to_others() {
    let may = |problem: &Problem| Strip::of(problem, &Shapes::of(problem)).is_some();
    let plain = problem(1_000, vec![item(rectangle(500, 900), 2, &[Turn::None])]);
    assert!(may(&plain));
    let mut flared = plain.clone();
    flared
        .items
        .push(item(trapezoid(100, 300, 500), 1, &[Turn::None]));
    assert!(!may(&flared));
    flared.items[1].copies = 0;
    assert!(may(&flared));
    let mut flawed = plain.clone();
    flawed.cloth.flaws.push(rectangle(10, 10));
    assert!(!may(&flawed));
    let mut printed = plain.clone();
    printed.items[0].anchor = Some(Anchor {
        point: pieces::Point::default(),
        lattice: nesting::Lattice {
            along: Length::from_mm(300),
            ..nesting::Lattice::default()
        },
        set: None,
    });
    assert!(!may(&printed));
}

/// What both sides come to, from rows on.
fn both_sides(problem: &Problem, steps: u64, threads: usize) -> (i64, i64) {
    let shapes = Shapes::of(problem);
    let strip = Strip::of(problem, &shapes).unwrap();
    let mut regions = Regions::new(problem, &shapes, Detail::Coarse);
    let (rows, _) = shorter_rows(problem, &shapes, &mut regions, &|| false);
    let mut watch = Watch {
        steps,
        threads,
        seed: 1,
        goal: 0,
        stop: &|| false,
        tell: &mut |_| {},
    };
    let settled = settled(&strip, rows.length, &mut watch);
    let layout = settled.layout.unwrap_or(rows);
    let marker = to_marker(problem, &shapes, &layout);
    assert_eq!(verify::marker(problem, &marker), Ok(()), "{problem:?}");
    let least = settled.refusal.map(|refusal| refusal.bound(&strip).length);
    (least.map_or(0, Length::um), layout.length)
}

#[test]
fn bound_and_layout_meet_for_a_few_and_the_bound_is_shown_again() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(21);
    let (mut met, mut spaced) = (0, 0);
    for _ in 0..60 {
        let problem = random_order(&mut random);
        let shapes = Shapes::of(&problem);
        let Some(strip) = Strip::of(&problem, &shapes) else {
            continue;
        };
        let (least, length) = both_sides(&problem, 2_000_000, 1);
        assert!(least <= length, "{problem:?}");
        let below = Length::from_um(least - 1);
        assert!(least == 0 || strip.is_exact() && is_refused(&problem, below, 0));
        assert!(!is_refused(&problem, Length::from_um(length), 0));
        met += usize::from(least == length);
        spaced += usize::from(problem.spacing.is_positive());
        // Pieces may pass corner to corner then, which boxes that are larger by the spacing don't.
        assert!(least == 0 || !problem.spacing.is_positive());
    }
    assert!(met > 20 && spaced > 10, "{met} {spaced}");
}

#[test]
fn a_bound_that_is_too_great_is_not_shown_again() {
    // By hand: 60 beside 30, and 40 beside 40, on 100: 50 + 30 long.
    let pieces = [(60, 50), (30, 50), (40, 30), (40, 20)];
    let items = pieces.map(|(x, y)| item(rectangle(x, y), 1, &[Turn::None]));
    let problem = problem(100, items.to_vec());
    let bound = |length| Bound {
        length: Length::from_mm(length),
        argument: Argument::EveryStart(Starts::default()),
    };
    assert!(bound::recheck(&problem, &bound(80)));
    assert!(!bound::recheck(&problem, &bound(81)));
}
