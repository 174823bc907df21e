//! All that is made holds, and what is changed does not.

use std::collections::BTreeMap;

use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use super::*;
use crate::bound::{best, refuse};
use crate::jobs::{ONE_WAY, TWO_WAY, item, outline, problem, random_problem, rectangle};
use crate::problem::Turn;
use crate::verdict::{Argument, Bound};

/// What an argument is called, that it rests on too.
fn names(argument: &Argument) -> Vec<&'static str> {
    match argument {
        Argument::Area => vec!["area"],
        Argument::LongestPiece { .. } => vec!["longest"],
        Argument::SideBySide { line: None, .. } => vec!["two"],
        Argument::SideBySide { line: Some(_), .. } => vec!["line"],
        Argument::Sections(_) => vec!["sections"],
        Argument::LinesAcross { .. } => vec!["lines"],
        Argument::Behind { .. } => vec!["behind"],
        Argument::NoTwoAbreast { .. } => vec!["one by one"],
        Argument::Alone { rest, .. } => [vec!["alone"], names(&rest.argument)].concat(),
        Argument::Sums { rest } => [vec!["sums"], names(&rest.argument)].concat(),
        _ => vec!["other"],
    }
}

/// Looked at here alone.
fn holds_alone(problem: &Problem, bound: &Bound) -> bool {
    holds(problem, bound, &|_, _| false)
}

/// Pieces of which few, or none, fit beside each other: panels, bands, and bows.
fn wide_problem(random: &mut Xoshiro256PlusPlus) -> Problem {
    let mut items = Vec::new();
    for _ in 0..random.random_range(2..7) {
        let turns = [ONE_WAY, TWO_WAY, &Turn::ALL][random.random_range(0..3)];
        let copies = random.random_range(1..3);
        let across = random.random_range(180..620);
        let along = random.random_range(40..700);
        let piece = match random.random_range(0..3) {
            0 => {
                let (x, y) = (across * 1_000, along * 1_000);
                let deep = y / 3;
                let corners = [
                    (0, 0),
                    (x / 2, y - deep),
                    (x, 0),
                    (x, deep),
                    (x / 2, y),
                    (0, deep),
                ];
                outline(&corners)
            }
            1 => {
                let lean = random.random_range(0..150);
                let corners = [
                    (0, 0),
                    (across, lean / 3),
                    (across - lean, along),
                    (lean / 2, along),
                ];
                outline(&corners.map(|(x, y)| (x * 1_000 + 7 * y, y * 1_000 + x)))
            }
            _ => rectangle(across, along),
        };
        items.push(item(piece, copies, turns));
    }
    let mut problem = problem(random.random_range(600..1_100), items);
    if random.random_range(0..2) == 0 {
        problem.spacing = Length::from_um(random.random_range(1..30_000));
    }
    if random.random_range(0..2) == 0 {
        let garment = random.random_range(0..2);
        problem.items[0].garment = Some(garment);
        problem.items[1].garment = Some(garment);
        problem.items[1].may_mirror = true;
    }
    problem
}

/// Rectangles whose lengths have few sums.
fn flags(random: &mut Xoshiro256PlusPlus) -> Problem {
    let items = (0..random.random_range(2..6)).map(|_| {
        let turns = [ONE_WAY, &Turn::ALL][random.random_range(0..2)];
        let across = 10 * random.random_range(7..60);
        let along = 70 * random.random_range(1..9);
        item(rectangle(across, along), random.random_range(1..5), turns)
    });
    let items = items.collect();
    problem(random.random_range(600..900), items)
}

/// Bounds of a problem that differ in what they ask.
fn bounds(problem: &Problem) -> Vec<Bound> {
    let first = best(problem);
    let lengths = [500, 800, 900, 960, 985, 995, 1_003, 1_020];
    let lengths = lengths.map(|share| Length::from_um(first.length.um() * share / 1_000));
    let asked = lengths.iter().filter_map(|&length| refuse(problem, length));
    let mut all: Vec<Bound> = asked.chain([first]).collect();
    all.dedup();
    all
}

fn random_problems() -> impl Iterator<Item = Problem> {
    let problem = |number: u64| {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(number);
        match number % 4 {
            0 => {
                let pieces = random.random_range(2..14);
                random_problem(&mut random, pieces)
            }
            1 | 2 => wide_problem(&mut random),
            _ => flags(&mut random),
        }
    };
    (0..400).map(problem)
}

#[test]
fn what_is_made_holds_to_the_micrometre() {
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    for problem in random_problems() {
        for bound in bounds(&problem) {
            let names = names(&bound.argument);
            let is_here = !names.contains(&"other");
            names
                .iter()
                .for_each(|name| *counts.entry(name).or_default() += 1);
            assert!(
                !is_here || holds_alone(&problem, &bound),
                "{bound:?} {problem:?}"
            );
        }
    }
    println!("{counts:?}");
    for name in [
        "area",
        "longest",
        "two",
        "line",
        "sections",
        "lines",
        "behind",
        "one by one",
        "alone",
        "sums",
    ] {
        assert!(
            counts.get(name).is_some_and(|count| *count >= 10),
            "{name}: {counts:?}"
        );
    }
}
