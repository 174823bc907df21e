use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use super::*;
use crate::jobs::{item, outline, problem_um};
use crate::problem::Turn;
use crate::straight::is_refused;

/// Boxes on so much width, in micrometres.
fn job(across: i64, boxes: &[[i64; 2]], may_turn: bool, cutting: Cutting) -> Problem {
    let turns: &[Turn] = if may_turn { &Turn::ALL } else { &[Turn::None] };
    let of = |&[x, y]: &[i64; 2]| item(outline(&[(0, 0), (x, 0), (x, y), (0, y)]), 1, turns);
    let mut problem = problem_um(across, boxes.iter().map(of).collect());
    problem.cutting = cutting;
    problem
}

fn refused(problem: &Problem, length: i64) -> Option<bool> {
    refuses(problem, Length::from_um(length))
}

/// Whether these boxes can be cut from a part by every cut at every whole place. `tears` says how often
/// the direction may still change where cloth is torn, and the next cut runs across.
fn can_be_cut(part: [i64; 2], boxes: &[[i64; 2]], may_turn: bool, tears: Option<u8>) -> bool {
    let fits = |[x, y]: [i64; 2]| x <= part[0] && y <= part[1];
    let [first, ..] = boxes else {
        return true;
    };
    if boxes.len() == 1 {
        return fits(*first) || may_turn && fits([first[1], first[0]]);
    }
    // Across with three or one to go, along with two.
    let ways: &[usize] = match tears {
        None => &[0, 1],
        Some(2) => &[0],
        Some(3 | 1) => &[1],
        Some(_) => &[],
    };
    let next = tears.map(|tears| tears - u8::from(tears > 0));
    let is_cut = ways.iter().any(|&way| {
        (1..part[way]).any(|at| {
            let [mut one, mut other] = [part; 2];
            (one[way], other[way]) = (at, part[way] - at);
            (0..1_u32 << boxes.len()).any(|mask| {
                let side = |is: u32| -> Vec<[i64; 2]> {
                    let of = (0..boxes.len()).filter(|k| mask >> k & 1 == is);
                    of.map(|k| boxes[k]).collect()
                };
                let (some, rest) = (side(1), side(0));
                !some.is_empty()
                    && !rest.is_empty()
                    && can_be_cut(one, &some, may_turn, next)
                    && can_be_cut(other, &rest, may_turn, tears)
            })
        })
    });
    is_cut || next != tears && can_be_cut(part, boxes, may_turn, next)
}

#[test]
fn refuses_what_no_cuts_at_whole_places_part() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(41);
    for _ in 0..60 {
        let across = random.random_range(3..7);
        let may_turn = random.random_range(0..2) == 0;
        let count = random.random_range(1..5);
        let mut size = |_| {
            [
                random.random_range(1..=across),
                random.random_range(1..=across),
            ]
        };
        let boxes: Vec<[i64; 2]> = (0..count).map(&mut size).collect();
        for cutting in [Cutting::Straight, Cutting::Tear] {
            let tears = (cutting == Cutting::Tear).then_some(3);
            let is_enough = |&length: &i64| can_be_cut([across, length], &boxes, may_turn, tears);
            let least = (1..30).find(is_enough).unwrap();
            let problem = job(across, &boxes, may_turn, cutting);
            assert_eq!(refused(&problem, least - 1), Some(true), "{problem:?}");
            assert_eq!(refused(&problem, least), Some(false), "{problem:?}");
        }
    }
}

/// By hand: all five fill 10 by 10. Straight cuts part 10 by 4, then 4 by 6, then 6 by 3, then the others; for tearing
/// the last cut is one too many, and nothing may be wasted.
#[test]
fn tearing_ends_with_the_third_way() {
    let boxes = [[4, 6], [6, 3], [4, 3], [2, 3], [10, 4]];
    let said = |cutting, length| refused(&job(10, &boxes, false, cutting), length);
    assert_eq!(said(Cutting::Straight, 9), Some(true));
    assert_eq!(said(Cutting::Straight, 10), Some(false));
    assert_eq!(said(Cutting::Tear, 10), Some(true));
    // Two columns of 3 instead: the strip of 4 by 6 and 6 by 3, one of the other two.
    assert_eq!(said(Cutting::Tear, 13), Some(false));
}

#[test]
fn says_the_same_as_the_search_does() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(42);
    let mut both = [0, 0];
    for number in 0..40 {
        let across = random.random_range(30..60);
        let mut size = |_| [random.random_range(3..=30), random.random_range(3..=30)];
        let boxes: Vec<[i64; 2]> = (0..3 + number % 5).map(&mut size).collect();
        let cutting = [Cutting::Straight, Cutting::Tear][number % 2];
        let problem = job(across, &boxes, number % 3 == 0, cutting);
        let area: i64 = boxes.iter().map(|[x, y]| x * y).sum();
        for more in [1, 6, 11, 16] {
            let length = area / across + more;
            let said = refused(&problem, length);
            assert_eq!(
                said,
                Some(is_refused(&problem, Length::from_um(length))),
                "{boxes:?}"
            );
            both[usize::from(said == Some(true))] += 1;
        }
    }
    assert!(both.iter().all(|&count| count > 20), "{both:?}");
}

#[test]
fn leaves_what_is_too_much_or_not_asked_for() {
    let boxes = [[3, 2], [2, 2]];
    assert_eq!(
        refused(&job(4, &boxes, false, Cutting::Straight), 3),
        Some(true)
    );
    assert_eq!(refused(&job(4, &boxes, false, Cutting::Free), 3), None);
    assert_eq!(refused(&job(4, &[], false, Cutting::Straight), 3), None);
    let different: Vec<[i64; 2]> = (0..14).map(|k| [1_000 + (1 << k), 100 + k]).collect();
    let many: Vec<[i64; 2]> = [&different[..], &[[1_000, 50]]].concat();
    assert!(2_usize.pow(14) <= MOST_CHOICES && 2_usize.pow(15) > MOST_CHOICES);
    assert_eq!(
        refused(&job(1 << 20, &many, false, Cutting::Straight), 300),
        None
    );
}

/// By hand: forty of 3 by 2 on 10, three side by side, take fourteen rows.
#[test]
fn many_equal_boxes_are_few_choices() {
    for cutting in [Cutting::Straight, Cutting::Tear] {
        let many = job(10, &[[3, 2]; 40], false, cutting);
        assert_eq!(refused(&many, 27), Some(true), "{cutting:?}");
        assert_eq!(refused(&many, 28), Some(false), "{cutting:?}");
    }
}

/// Geometry: two pieces one behind the other keep 1 each from the cut between them, of a spacing of 2; nothing of one of 1,
/// whose half is none.
#[test]
fn half_of_the_spacing_is_kept_from_cuts() {
    for (spacing, least) in [(0, 4), (1, 4), (2, 6), (3, 6), (4, 8)] {
        let mut spaced = job(4, &[[3, 2], [2, 2]], false, Cutting::Straight);
        spaced.spacing = Length::from_um(spacing);
        assert_eq!(refused(&spaced, least - 1), Some(true), "{spacing}");
        assert_eq!(refused(&spaced, least), Some(false), "{spacing}");
    }
}
