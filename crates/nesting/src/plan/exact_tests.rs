//! The search over places, with its layouts made by the planner, against trying everything.

use super::{Held, Run, to_marker};
use crate::bound::apart::Distances;
use crate::bound::grown::Grown;
use crate::bound::kinds::kinds;
use crate::bound::{Layer, Lying};
use crate::certificate;
use crate::exact::{Job, Outcome, ask};
use crate::jobs::{self, outline, problem_um as problem};
use crate::problem::{Item, Placement, Problem, Turn};
use crate::shapes::Shapes;
use crate::sides::{self, BySides};
use crate::verdict::{Budget, Silent};
use crate::verify;
use pieces::{Length, Outline, Point};
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

fn item(outline: Outline, copies: u32, turns: &[Turn], garment: Option<u32>) -> Item {
    Item {
        garment,
        ..jobs::item(outline, copies, turns)
    }
}

/// What is said of a length: that it fits, that it does not, or neither.
fn fits(problem: &Problem, length: i64, threads: usize) -> Option<bool> {
    let grown = Grown {
        across: 0,
        along: 0,
    };
    let (kinds, usable) = kinds(problem, grown);
    let distances = Distances::of(problem, &kinds, grown).unwrap();
    let job = Job {
        kinds: &kinds,
        distances: &distances,
        usable,
        cloth: usable,
    };
    let shapes = Shapes::of(problem);
    let held = Held::default();
    let run = Run::new(problem, &shapes, &Budget::default(), &held, &Silent);
    // Valid layouts only.
    let laid = |lying: &[Lying]| {
        let layout = run.laid(lying, length)?;
        let marker = to_marker(problem, &shapes, &layout);
        assert_eq!(verify::marker(problem, &marker), Ok(()));
        Some(())
    };
    let layer = Layer {
        can_lay: &|lying| laid(lying).is_some(),
        stop: &|| false,
        threads,
    };
    let asker = layer.asker(problem, &kinds, &distances);
    match ask(&job, length, &mut 1_000_000_000, threads, &asker) {
        Outcome::Refused(_) => Some(false),
        Outcome::Laid(_) => Some(true),
        Outcome::Open => None,
    }
}

/// The same by sides; what refuses it must pass the check.
fn fits_by_sides(problem: &Problem, length: i64) -> Option<bool> {
    let shapes = Shapes::of(problem);
    let held = Held::default();
    let run = Run::new(problem, &shapes, &Budget::default(), &held, &Silent);
    let asker = sides::Asker {
        can_lay: &|lying| run.laid(lying, length).is_some(),
        patience: 20,
        stop: &|| false,
        threads: 2,
    };
    let search = BySides::about(problem).unwrap();
    match search.ask(length, &mut 4_000_000_000, &asker) {
        sides::Outcome::Refused(sides) => {
            assert!(certificate::sides::proves(
                problem,
                &sides,
                Length::from_um(length)
            ));
            Some(false)
        }
        sides::Outcome::Laid(_) => Some(true),
        sides::Outcome::Open => None,
    }
}

/// One millimetre.
const MM: i64 = 1_000;

/// The least length, over all places on whole millimetres, by the verifier.
fn by_trying(problem: &Problem) -> i64 {
    let lengths = (1..).map(|mm| mm * MM);
    let mut lengths = lengths.filter(|&length| can_be_laid(problem, length, &mut Vec::new()));
    lengths.next().expect("they fit one behind the other")
}

fn can_be_laid(problem: &Problem, length: i64, placed: &mut Vec<(Placement, Outline)>) -> bool {
    let Some(item) = problem.items.get(placed.len()) else {
        return true;
    };
    let (usable, length_um) = (problem.cloth.right, Length::from_um(length));
    for &turn in &item.turns {
        let is_turned_alike = placed.iter().all(|(other, _)| {
            let garment = problem.items[other.item].garment;
            garment.is_none() || garment != item.garment || other.turn == turn
        });
        if !is_turned_alike {
            continue;
        }
        let turned = item.outline.turned(turn.quarters());
        let bounds = turned.bounds();
        for x in 0..=(usable.um() - bounds.across().um()).div_euclid(MM) {
            for y in 0..=(length - bounds.along().um()).div_euclid(MM) {
                let at = Point::new(x * MM, y * MM).minus(bounds.min);
                let moved = turned.moved(at);
                let mut lying: Vec<&Outline> = placed.iter().map(|(_, outline)| outline).collect();
                lying.push(&moved);
                let zero = Length::ZERO;
                if verify::outlines(&lying, zero, usable, length_um, &[], zero).is_err() {
                    continue;
                }
                let placement = Placement {
                    item: placed.len(),
                    copy: 0,
                    turn,
                    mirrored: false,
                    at,
                };
                placed.push((placement, moved));
                if can_be_laid(problem, length, placed) {
                    return true;
                }
                placed.pop();
            }
        }
    }
    false
}

/// Rectangles and angles, or panels and darts, at most so large.
fn shape(random: &mut impl Rng, most: i64, is_slanted: bool) -> Outline {
    let mut size = || random.random_range(2..=most);
    let (w, h, part) = (size(), size(), size());
    let corners: &[(i64, i64)] = match (is_slanted, part % 2) {
        (false, 0) => &[(0, 0), (w, 0), (w, h), (0, h)],
        (false, _) => &[(0, 0), (w + 1, 0), (w + 1, 1), (1, 1), (1, h), (0, h)],
        (true, 0) => &[(0, 0), (w, 0), (w - w / 3, h), (w / 3, h)],
        (true, _) => &[(0, 0), (w, 0), (part.min(w), h)],
    };
    let corners: Vec<(i64, i64)> = corners.iter().map(|(x, y)| (x * MM, y * MM)).collect();
    outline(&corners)
}

#[test]
fn agrees_with_trying_every_place() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(11);
    for round in 0..120 {
        let usable = random.random_range(6..9) * MM;
        let count = random.random_range(2..4);
        let turns: &[Turn] = [&[Turn::None][..], &[Turn::None, Turn::Half], &Turn::ALL][round % 3];
        let garment = (round % 2 == 0).then_some(1);
        let is_slanted = round % 5 < 2;
        let mut piece = || item(shape(&mut random, 5, is_slanted), 1, turns, garment);
        let problem = problem(usable, (0..count).map(|_| piece()).collect());
        let least = by_trying(&problem);
        if is_slanted {
            // Places between whole millimetres may be better.
            assert_ne!(fits(&problem, least, 1), Some(false), "{problem:?}");
        } else {
            assert_eq!(fits(&problem, least, 1), Some(true), "{problem:?}");
            assert_eq!(fits(&problem, least - 1, 1), Some(false), "{problem:?}");
        }
    }
}

/// Equal pieces, turned-over ones and garments among them, as rules leave out what is the same but for names.
#[test]
fn sides_agree_with_trying_every_place() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(13);
    for round in 0..90 {
        let count = random.random_range(2..5);
        let usable = random.random_range(6..9 - i64::from(count == 4)) * MM;
        let turns: &[Turn] = [&[Turn::None][..], &[Turn::None, Turn::Half], &Turn::ALL][round % 3];
        let turns = if count == 4 {
            &turns[..turns.len().min(2)]
        } else {
            turns
        };
        let garment = (round % 2 == 0).then_some(1);
        let is_slanted = round % 5 < 2;
        let mut items: Vec<Item> = Vec::new();
        for _ in 0..count {
            let again = items
                .last()
                .filter(|_| random.random_range(0..2) == 0)
                .cloned();
            let new = || item(shape(&mut random, 5, is_slanted), 1, turns, garment);
            let next = again.unwrap_or_else(new);
            items.push(next);
        }
        let problem = problem(usable, items);
        let least = by_trying(&problem);
        if is_slanted {
            assert_ne!(fits_by_sides(&problem, least), Some(false), "{problem:?}");
            if fits(&problem, least - MM, 1) == Some(true) {
                assert_ne!(
                    fits_by_sides(&problem, least - MM),
                    Some(false),
                    "{problem:?}"
                );
            }
        } else {
            assert_eq!(fits_by_sides(&problem, least), Some(true), "{problem:?}");
            assert_eq!(
                fits_by_sides(&problem, least - 1),
                Some(false),
                "{problem:?}"
            );
        }
    }
}

#[test]
fn flared_panels_of_one_garment_do_not_mate() {
    let panel = outline(&[(0, 0), (60_000, 0), (40_000, 90_000), (20_000, 90_000)]);
    let ends = [Turn::None, Turn::Half];
    let of = |garment| problem(105_000, vec![item(panel.clone(), 2, &ends, garment)]);
    // Head to tail they take 100 mm across, both the same way 120 at the foot.
    assert_eq!(fits(&of(None), 90_000, 1), Some(true));
    assert_eq!(fits(&of(Some(1)), 90_000, 1), Some(false));
    // 67.5 mm above its foot the lower one leaves 60 mm beside itself.
    assert_eq!(fits(&of(Some(1)), 157_510, 1), Some(true));
    assert_eq!(fits(&of(Some(1)), 157_490, 1), Some(false));
}

#[test]
fn says_the_same_on_one_thread_and_on_two() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(12);
    for _ in 0..10 {
        let items = (0..5).map(|_| {
            let outline = shape(&mut random, 60, true);
            item(outline, 1, &[Turn::None, Turn::Half], None)
        });
        let problem = problem(100_000, items.collect());
        for length in [60_000, 90_000, 120_000] {
            assert_eq!(fits(&problem, length, 1), fits(&problem, length, 2));
        }
    }
}
