//! Pieces that may lie only on some places of the cloth: engines, verifier and plain arithmetic agree.

mod jobs;

use std::collections::BTreeMap;

use jobs::{item, problem, random_problem, rectangle, trapezoid};
use nesting::{
    Anchor, Answer, Budget, Item, Lattice, PlanError, Problem, Silent, Turn, plan, verify,
};
use pieces::{Length, Point};
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

fn laid(problem: &Problem, steps: u64) -> Answer {
    let budget = Budget {
        steps: Some(steps),
        ..Budget::default()
    };
    let answer = plan(problem, &budget, &mut Silent).unwrap();
    assert_eq!(
        verify::marker(problem, &answer.marker),
        Ok(()),
        "{problem:?}"
    );
    assert!(answer.bound.length <= answer.marker.length, "{problem:?}");
    answer
}

/// Nothing across; along the cloth every so many millimetres.
fn along(period: i64) -> Lattice {
    Lattice {
        along: Length::from_mm(period),
        ..Lattice::default()
    }
}

fn on(lattice: Lattice, item: Item) -> Item {
    let anchor = Anchor {
        point: Point::default(),
        lattice,
        set: None,
    };
    Item {
        anchor: Some(anchor),
        ..item
    }
}

/// Worked example of a supplier's sheet for curtain drops (read second-hand): a drop of 240 cm, a repeat of
/// 37 cm, four drops, each a width of the cloth: 3 x 259 + 240 = 1017 cm.
#[test]
fn drops_lie_a_whole_number_of_repeats_apart() {
    for steps in [0, 2_000, 30_000] {
        let drop = item(rectangle(1_370, 2_400), 4, &[Turn::None]);
        let answer = laid(&problem(1_370, vec![on(along(370), drop)]), steps);
        assert_eq!(answer.marker.length, Length::from_mm(10_170));
    }
}

/// Two stand side by side in each row, so that with any repeat there are six rows.
#[test]
fn a_repeat_of_any_size_rounds_up_each_row() {
    for period in [10, 64, 320, 500, 501, 640] {
        let panel = item(rectangle(700, 500), 12, &[Turn::None]);
        let answer = laid(&problem(1_450, vec![on(along(period), panel)]), 2_000);
        let row = (500 + period - 1) / period * period;
        assert_eq!(
            answer.marker.length,
            Length::from_mm(5 * row + 500),
            "{period}"
        );
    }
}

/// A lattice that is none.
#[test]
fn without_periods_an_anchor_changes_nothing() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(11);
    for _ in 0..6 {
        let plain = random_problem(&mut random, 7);
        let mut anchored = plain.clone();
        for item in &mut anchored.items {
            *item = on(Lattice::default(), item.clone());
        }
        assert_eq!(laid(&plain, 20_000).marker, laid(&anchored, 20_000).marker);
    }
}

/// A motif in the middle of a panel: it stays on the print when the panel is turned end for end, which
/// moves the corner.
#[test]
fn the_point_turns_with_its_piece() {
    let mut panel = on(
        along(300),
        item(trapezoid(200, 400, 500), 4, &[Turn::None, Turn::Half]),
    );
    if let Some(anchor) = &mut panel.anchor {
        anchor.point = Point::new(200_000, 150_000);
        anchor.lattice.start = Point::new(0, 200_000);
    }
    let answer = laid(&problem(1_100, vec![panel]), 30_000);
    for placement in &answer.marker.placements {
        // The point lies 150 mm above the panel's lower end, or 350 mm when the panel is turned.
        let point = match placement.turn {
            Turn::None => placement.at.y + 150_000,
            _ => placement.at.y - 500_000 + 350_000,
        };
        assert_eq!((point - 200_000).rem_euclid(300_000), 0, "{placement:?}");
    }
}

fn random_lattice(random: &mut impl Rng) -> Lattice {
    let mut period = |most: i64| {
        if random.random_range(0..3) == 0 {
            Length::ZERO
        } else {
            Length::from_mm(random.random_range(20..most))
        }
    };
    let (across, along) = (period(200), period(500));
    Lattice {
        start: Point::new(
            random.random_range(0..90_000),
            random.random_range(0..90_000),
        ),
        across,
        along,
        columns: random.random_range(0..4),
    }
}

/// Most items on one print; some of these only have to match each other.
fn on_print(random: &mut impl Rng, pieces: u32) -> Problem {
    let mut problem = random_problem(random, pieces);
    let lattice = random_lattice(random);
    let is_set = random.random_range(0..2) == 0;
    for item in &mut problem.items {
        if random.random_range(0..5) > 0 {
            item.anchor = Some(Anchor {
                point: Point::new(
                    random.random_range(0..300_000),
                    random.random_range(0..300_000),
                ),
                lattice,
                set: (is_set && random.random_range(0..4) > 0).then_some(3),
            });
        }
    }
    problem
}

#[test]
fn every_engine_keeps_to_the_print() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(12);
    let mut engines: BTreeMap<&str, u32> = BTreeMap::new();
    for round in 0..90 {
        let (pieces, steps) = if round % 3 == 0 {
            (random.random_range(5..=8), 60_000)
        } else {
            (random.random_range(1..=16), 3_000)
        };
        let problem = on_print(&mut random, pieces);
        let rows = laid(&problem, 0);
        let answer = laid(&problem, steps);
        assert!(answer.marker.length <= rows.marker.length, "{problem:?}");
        *engines.entry(answer.engine).or_default() += 1;
    }
    println!("found by {engines:?}");
    assert!(engines.len() >= 3, "{engines:?}");
}

/// Stretches are not for a print along the cloth, patterns not for any.
#[test]
fn many_pieces_keep_to_the_print() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(13);
    for round in 0..4 {
        let mut problem = on_print(&mut random, 130);
        if round % 2 == 0 {
            for anchor in problem
                .items
                .iter_mut()
                .filter_map(|item| item.anchor.as_mut())
            {
                anchor.lattice.along = Length::ZERO;
            }
        }
        laid(&problem, 250_000);
    }
}

#[test]
fn a_print_that_leaves_no_place_is_refused() {
    let wide = Lattice {
        start: Point::new(1_000_000, 0),
        across: Length::from_mm(2_000),
        ..Lattice::default()
    };
    let budget = Budget::default();
    let refused = |item: Item| plan(&problem(1_400, vec![item]), &budget, &mut Silent).unwrap_err();
    let panel = || item(rectangle(500, 500), 1, &[Turn::None]);
    assert_eq!(
        refused(on(wide, panel())),
        PlanError::NoPlace {
            label: "panel".into()
        }
    );
    let negative = Lattice {
        along: Length::from_mm(-640),
        ..Lattice::default()
    };
    assert_eq!(
        refused(on(negative, panel())),
        PlanError::NoLattice {
            label: "panel".into()
        }
    );
    let matched = |period: i64| {
        let mut item = on(along(period), panel());
        if let Some(anchor) = &mut item.anchor {
            anchor.set = Some(1);
        }
        item
    };
    let both = problem(1_400, vec![matched(320), matched(640)]);
    let refusal = plan(&both, &budget, &mut Silent).unwrap_err();
    assert_eq!(
        refusal,
        PlanError::NoMatch {
            label: "panel".into()
        }
    );
}
