//! A hundred random jobs: what the engines find together, against rows alone, against the bound and against plain
//! geometry.

mod jobs;

use std::collections::BTreeMap;

use jobs::random_problem;
use nesting::{Answer, Budget, Problem, Silent, plan, verify};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// Verified, and not shorter than what geometry allows.
fn laid(problem: &Problem, steps: u64) -> Answer {
    let budget = Budget {
        steps: Some(steps),
        ..Budget::default()
    };
    let answer = plan(problem, &budget, &mut Silent).unwrap();
    let length = answer.marker.length;
    assert_eq!(
        verify::marker(problem, &answer.marker),
        Ok(()),
        "{problem:?}"
    );
    assert!(
        answer.bound.length <= length,
        "{:?}: {problem:?}",
        answer.bound
    );
    let area = |i: &nesting::Item| i.outline.doubled_area() * i128::from(i.copies);
    let pieces: i128 = problem.items.iter().map(area).sum();
    let cloth = i128::from(problem.cloth.usable_width().um()) * i128::from(length.um());
    assert!(
        pieces <= 2 * cloth,
        "{length} is less than the area: {problem:?}"
    );
    for item in &problem.items {
        let along = |turn: &nesting::Turn| item.outline.turned(turn.quarters()).bounds().along();
        assert!(
            item.turns.iter().map(along).min() <= Some(length),
            "{problem:?}"
        );
    }
    answer
}

#[test]
fn no_engine_makes_an_answer_worse_than_rows() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(41);
    let mut engines: BTreeMap<&str, u32> = BTreeMap::new();
    let mut shorter = 0;
    for round in 0..100 {
        // In every third job the search over orders is over before the steps are, and pieces are pushed apart.
        let (pieces, steps) = if round % 3 == 0 {
            (random.random_range(5..=8), 60_000)
        } else {
            (random.random_range(1..=16), 3_000)
        };
        let problem = random_problem(&mut random, pieces);
        let rows = laid(&problem, 0);
        let answer = laid(&problem, steps);
        assert!(
            answer.marker.length <= rows.marker.length,
            "{} by {} is longer than {} by {}: {problem:?}",
            answer.marker.length,
            answer.engine,
            rows.marker.length,
            rows.engine
        );
        shorter += u32::from(answer.marker.length < rows.marker.length);
        *engines.entry(answer.engine).or_default() += 1;
    }
    println!("{shorter} of 100 shorter than without steps; found by {engines:?}");
    // Without any of them the lines above would compare rows with rows.
    assert!(shorter >= 30, "{shorter}");
    assert!(engines.len() >= 3, "{engines:?}");
}
