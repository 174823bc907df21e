//! Tiny rectangle layouts solved to optimality by an integer model, as a reference for bounds and
//! markers: crate `good_lp` with its pure Rust solver `microlp`.
//!
//! The model is the usual one with four either-or choices a pair (left of, right of, before,
//! beyond) and a constant large enough to switch a constraint off. It shares nothing with the
//! project but the problem's words.

mod model;

use model::{Rectangle, least_length};
use nesting::{Budget, Cloth, Item, Problem, Silent, Turn, Verdict, bound, plan};
use pieces::{Length, Outline};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

fn problem(usable_width: i64, rectangles: &[Rectangle]) -> Problem {
    let um = Length::from_um;
    let item = |r: &Rectangle| Item {
        label: format!("{} by {}", r.across, r.along),
        outline: Outline::rectangle(um(r.across), um(r.along)).unwrap(),
        copies: 1,
        turns: if r.may_turn {
            vec![Turn::None, Turn::Quarter]
        } else {
            vec![Turn::None]
        },
        may_mirror: false,
        garment: None,
        anchor: None,
    };
    Problem {
        cloth: Cloth {
            right: um(usable_width),
            ..Cloth::default()
        },
        items: rectangles.iter().map(item).collect(),
        ..Problem::default()
    }
}

fn random_rectangles(random: &mut Xoshiro256PlusPlus, turns: bool) -> (i64, Vec<Rectangle>) {
    let usable_width = random.random_range(8..16);
    let count = random.random_range(2..=5);
    let rectangles = (0..count)
        .map(|_| Rectangle {
            across: random.random_range(2..=8),
            along: random.random_range(2..=8),
            may_turn: turns && random.random_range(0..2) == 0,
        })
        .collect();
    (usable_width, rectangles)
}

#[test]
fn the_model_finds_what_can_be_seen_by_hand() {
    let fixed = |across, along| Rectangle {
        across,
        along,
        may_turn: false,
    };
    assert_eq!(least_length(10, &[fixed(5, 7), fixed(5, 9)]), 9);
    assert_eq!(least_length(10, &[fixed(6, 7), fixed(5, 9)]), 16);
    assert_eq!(
        least_length(10, &[fixed(6, 7), fixed(4, 3), fixed(4, 4)]),
        7
    );
    // A pinwheel of four 2 by 3 around one square fills 5 by 5.
    let free = |across, along| Rectangle {
        across,
        along,
        may_turn: true,
    };
    assert_eq!(
        least_length(
            5,
            &[free(2, 3), free(2, 3), free(2, 3), free(2, 3), free(1, 1)]
        ),
        5
    );
}

#[test]
fn no_bound_is_above_the_optimum_and_none_refuses_it() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(3);
    let (mut tight, mut all) = (0, 0);
    for round in 0..60 {
        let (usable_width, rectangles) = random_rectangles(&mut random, round % 2 == 1);
        let optimum = Length::from_um(least_length(usable_width, &rectangles));
        let problem = problem(usable_width, &rectangles);
        let best = bound::best(&problem);
        assert!(
            best.length <= optimum,
            "{best:?} above {optimum}: {usable_width} {rectangles:?}"
        );
        assert_eq!(
            bound::refuse(&problem, optimum),
            None,
            "{usable_width} {rectangles:?}"
        );
        all += 1;
        tight += u32::from(best.length == optimum);
    }
    println!("the bound is the optimum in {tight} of {all}");
    // A bound of nothing would pass the lines above.
    assert!(2 * tight > all, "{tight} of {all}");
}

/// The model keeps a spacing that counts across or along on its own if all pieces and the cloth are
/// taken larger by it. That is at least what corners need, so its optimum is still a layout's length.
#[test]
fn no_bound_with_spacing_is_above_a_layout_of_the_model() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(11);
    let (mut tight, mut all) = (0, 0);
    for round in 0..40 {
        let (usable_width, rectangles) = random_rectangles(&mut random, round % 2 == 1);
        let spacing = random.random_range(1..=3);
        let larger: Vec<Rectangle> = rectangles
            .iter()
            .map(|r| Rectangle {
                across: r.across + spacing,
                along: r.along + spacing,
                ..*r
            })
            .collect();
        let optimum = least_length(usable_width + spacing, &larger) - spacing;
        let optimum = Length::from_um(optimum);
        let mut problem = problem(usable_width, &rectangles);
        problem.spacing = Length::from_um(spacing);
        let best = bound::best(&problem);
        assert!(
            best.length <= optimum,
            "{best:?} above {optimum}: {usable_width} {spacing} {rectangles:?}"
        );
        assert_eq!(
            bound::refuse(&problem, optimum),
            None,
            "{usable_width} {spacing} {rectangles:?}"
        );
        all += 1;
        tight += u32::from(best.length == optimum);
    }
    println!("with spacing the bound is the optimum in {tight} of {all}");
    assert!(3 * tight > all, "{tight} of {all}");
}

#[test]
fn markers_of_a_few_rectangles_are_as_short_as_the_optimum() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(7);
    for round in 0..60 {
        let (usable_width, rectangles) = random_rectangles(&mut random, round % 2 == 1);
        let optimum = Length::from_um(least_length(usable_width, &rectangles));
        let mut problem = problem(usable_width, &rectangles);
        let answer = plan(&problem, &Budget::default(), &mut Silent).unwrap();
        assert_eq!(
            answer.marker.length, optimum,
            "{usable_width} {rectangles:?}"
        );
        // Cloth of that length is enough; a micrometre less may be undecided, never enough.
        let short = optimum - Length::from_um(1);
        problem.cloth.on_hand = vec![short, optimum];
        let rulings = plan(&problem, &Budget::default(), &mut Silent)
            .unwrap()
            .rulings;
        assert_ne!(rulings[0].verdict, Verdict::Enough);
        assert_eq!(rulings[1].verdict, Verdict::Enough);
    }
}
