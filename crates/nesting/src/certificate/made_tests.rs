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
        Argument::Slices(_) => vec!["slices"],
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
    let lengths = [500, 800, 920, 980, 1_003];
    let lengths = lengths.map(|share| Length::from_um(first.length.um() * share / 1_000));
    let asked = lengths.iter().filter_map(|&length| refuse(problem, length));
    let mut all: Vec<Bound> = asked.chain([first]).collect();
    all.dedup();
    all
}

fn random_problems(count: u64) -> impl Iterator<Item = Problem> {
    let problem = |number: u64| {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(number);
        match number % 4 {
            0 => {
                let pieces = random.random_range(2..20);
                random_problem(&mut random, pieces)
            }
            1 | 2 => wide_problem(&mut random),
            _ => flags(&mut random),
        }
    };
    (0..count).map(problem)
}

/// All bounds that are looked at here.
fn made(count: u64) -> Vec<(Problem, Bound)> {
    let of = |problem: Problem| {
        let bounds = bounds(&problem).into_iter();
        let here = bounds.filter(|bound| !names(&bound.argument).contains(&"other"));
        here.map(|bound| (problem.clone(), bound))
            .collect::<Vec<_>>()
    };
    random_problems(count).flat_map(of).collect()
}

#[test]
fn what_is_made_holds_to_the_micrometre_and_what_is_changed_does_not() {
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    for (number, (problem, bound)) in made(160).into_iter().enumerate() {
        let names = names(&bound.argument);
        names
            .iter()
            .for_each(|name| *counts.entry(name).or_default() += 1);
        assert!(holds_alone(&problem, &bound), "{bound:?} {problem:?}");
        let text = serde_json::to_string(&bound).unwrap();
        assert_eq!(
            serde_json::from_str::<Bound>(&text).unwrap(),
            bound,
            "{text}"
        );
        if number % 3 == 0 {
            for changed in changed(&problem, &bound) {
                assert!(
                    !holds_alone(&problem, &changed),
                    "{bound:?} as {changed:?} of {problem:?}"
                );
            }
        }
    }
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
        "slices",
    ] {
        assert!(
            counts.get(name).is_some_and(|count| *count >= 5),
            "{name}: {counts:?}"
        );
    }
}

/// Changes after each of which an argument says too much, or what is not so.
fn changed(problem: &Problem, bound: &Bound) -> Vec<Bound> {
    let um = Length::from_um;
    let length = bound.length;
    let with = |argument: Argument| Bound { length, argument };
    let mut all = vec![Bound {
        length: length + um(length.um() / 50 + 60),
        argument: bound.argument.clone(),
    }];
    let many = um(problem.spacing.um() + 1);
    match bound.argument.clone() {
        Argument::LongestPiece { .. } => {
            let item = problem.items.len();
            all.push(with(Argument::LongestPiece { item }));
        }
        Argument::SideBySide {
            items,
            line,
            mut larger,
        } => {
            larger.wider = many;
            let said = |items: &[usize], larger| {
                with(Argument::SideBySide {
                    items: items.to_vec(),
                    line: line.clone(),
                    larger,
                })
            };
            all.push(said(&items, larger));
            all.push(said(&[], Larger::NOT));
            all.push(said(&[items.clone(), items.clone()].concat(), Larger::NOT));
        }
        Argument::Sections(mut charged) => {
            let mut wider = charged.clone();
            wider.larger.wider = many;
            all.push(with(Argument::Sections(wider)));
            charged.function = Function::Cut {
                limit: problem.cloth.usable_width(),
            };
            all.push(with(Argument::Sections(charged)));
        }
        Argument::LinesAcross { lines, charged } => {
            for lines in [0, lines - 1, u32::MAX] {
                let charged = charged.clone();
                all.push(with(Argument::LinesAcross { lines, charged }));
            }
        }
        Argument::Behind {
            items,
            count,
            charged,
        } => {
            let said = |items: &[usize], count| {
                with(Argument::Behind {
                    items: items.to_vec(),
                    count,
                    charged: charged.clone(),
                })
            };
            all.push(said(&items, count + 1));
            all.push(said(&items[..1], count.max(2)));
            all.push(said(&[items[0], problem.items.len()], count));
        }
        Argument::Alone {
            items,
            larger,
            rest,
        } => {
            let said = |items: Vec<usize>, rest: Box<Bound>| {
                with(Argument::Alone {
                    items,
                    larger,
                    rest,
                })
            };
            let copies = problem.items.iter().enumerate();
            let each = copies.flat_map(|(item, of)| vec![item; of.copies as usize]);
            all.push(said(each.clone().collect(), rest.clone()));
            let others = each.filter(|item| !items.contains(item));
            all.push(said(others.collect(), rest.clone()));
            let mut more = rest;
            more.length += um(length.um() / 50 + 60);
            all.push(said(items, more));
        }
        Argument::Sums { mut rest } => {
            rest.length = length + um(1);
            all.push(with(Argument::Sums { rest }));
        }
        Argument::NoTwoAbreast { items, within } if !within.is_empty() => {
            let said = |within| {
                let items = items.clone();
                with(Argument::NoTwoAbreast { items, within })
            };
            let mut wide = within.clone();
            let far = problem.cloth.usable_width().um() * 4;
            let corners = [(0, 0), (far, 0), (far, far), (0, far)];
            wide[0].polygons[0] = corners.map(|(x, y)| pieces::Point::new(x, y)).to_vec();
            all.push(said(wide));
            all.push(said([within.clone(), within].concat()));
        }
        _ => {}
    }
    all
}
