use super::*;
use crate::jobs::{self, outline, problem_um as problem};
use crate::problem::{Item, Turn};
use pieces::Outline;
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

fn item(outline: Outline, copies: u32, turns: &[Turn], garment: Option<u32>) -> Item {
    Item {
        garment,
        ..jobs::item(outline, copies, turns)
    }
}

fn ask(problem: &Problem, length: i64, work: u64, threads: usize) -> (Outcome, u64) {
    let asker = Asker {
        can_lay: &|_| true,
        patience: 1,
        stop: &|| false,
        threads,
    };
    let mut left = work;
    let said = BySides::about(problem)
        .unwrap()
        .ask(length, &mut left, &asker);
    (said, left)
}

/// What is said of a length: that it fits, that it does not, or neither.
fn fits(problem: &Problem, length: i64) -> Option<bool> {
    match ask(problem, length, 2_000_000_000, 2).0 {
        Outcome::Refused(_) => Some(false),
        Outcome::Laid(_) => Some(true),
        Outcome::Open => None,
    }
}

/// Geometry: head to tail two panels take the sum of their means and half of the flare across; of one garment they lie
/// one way, and the lower one leaves room for a foot beside itself from 67.5 mm on.
#[test]
fn two_panels_mate_head_to_tail_unless_they_are_of_one_garment() {
    let panel = outline(&[(0, 0), (60_000, 0), (40_000, 90_000), (20_000, 90_000)]);
    let ends = [Turn::None, Turn::Half];
    let two = |usable, garment| problem(usable, vec![item(panel.clone(), 2, &ends, garment)]);
    assert_eq!(fits(&two(100_000, None), 90_000), Some(true));
    assert_eq!(fits(&two(100_000, None), 89_999), Some(false));
    assert_eq!(fits(&two(99_999, None), 90_000), Some(false));
    assert_eq!(fits(&two(105_000, Some(1)), 157_500), Some(true));
    assert_eq!(fits(&two(105_000, Some(1)), 157_499), Some(false));
}

/// Rectangles cut out of one fill it without waste.
#[test]
fn rectangles_that_leave_no_waste_are_laid() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(31);
    for round in 0..20 {
        let (width, length) = (random.random_range(50..90), random.random_range(50..90));
        let mut parts = vec![(width, length)];
        while parts.len() < 3 + round % 3 {
            let (w, h) = parts.remove(0);
            let share = random.random_range(2..5);
            let cut = |side: i64| (side * share / 7, side - side * share / 7);
            if w > h {
                parts.extend([(cut(w).0, h), (cut(w).1, h)]);
            } else {
                parts.extend([(w, cut(h).0), (w, cut(h).1)]);
            }
        }
        let turns: &[Turn] = if round % 2 == 0 {
            &[Turn::None]
        } else {
            &Turn::ALL
        };
        let rectangle =
            |&(w, h): &(i64, i64)| item(outline(&[(0, 0), (w, 0), (w, h), (0, h)]), 1, turns, None);
        let puzzle = problem(width, parts.iter().map(rectangle).collect());
        assert_eq!(fits(&puzzle, length), Some(true), "{puzzle:?}");
        assert_eq!(fits(&puzzle, length - 1), Some(false), "{puzzle:?}");
    }
}

/// The corners of a flared or a pointed piece.
fn piece(random: &mut impl Rng) -> Outline {
    let (w, h) = (random.random_range(100..400), random.random_range(150..500));
    let flare = random.random_range(1..w / 2);
    outline(&[(0, 0), (w, 0), (w - flare, h), (flare / 2, h)])
}

#[test]
fn says_the_same_on_one_thread_and_on_two_and_stops_where_work_ends() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(32);
    let mut open = 0;
    for _ in 0..12 {
        let ends = [Turn::None, Turn::Half];
        let items = (0..5).map(|_| item(piece(&mut random), 1, &ends, None));
        let problem = problem(600, items.collect());
        for (length, work) in [(500, 40_000_000), (700, 40_000_000), (800, 1_000_000)] {
            let [one, two] = [1, 2].map(|threads| ask(&problem, length, work, threads));
            assert_eq!(one, two);
            open += usize::from(one.0 == Outcome::Open);
        }
    }
    assert!(open > 0);
}
