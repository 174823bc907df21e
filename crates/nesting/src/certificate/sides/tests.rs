use super::word::LEAF;
use super::*;
use crate::bound::refuse_by_sides;
use crate::jobs::{item, outline, problem_um as problem};
use crate::problem::Turn;
use crate::verdict::Argument;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

const ENDS: [Turn; 2] = [Turn::None, Turn::Half];

/// Geometry: on 100 mm two panels of 60 and 20 lie beside each other head to tail, not one way.
fn panels(turns: &[Turn]) -> Problem {
    let panel = [(0, 0), (60_000, 0), (40_000, 90_000), (20_000, 90_000)];
    problem(100_000, vec![item(outline(&panel), 2, turns)])
}

fn refused(problem: &Problem, length: i64) -> Option<Sides> {
    let bound = refuse_by_sides(problem, Length::from_um(length), 1_000_000_000)?;
    match bound.argument {
        Argument::Sides(sides) => Some(sides),
        _ => None,
    }
}

fn holds(problem: &Problem, sides: &Sides, length: i64) -> bool {
    proves(problem, sides, Length::from_um(length))
}

#[test]
fn holds_for_the_length_and_less_though_not_for_more() {
    let panels = panels(&ENDS);
    let sides = refused(&panels, 89_999).unwrap();
    assert!(holds(&panels, &sides, 89_999));
    assert!(!holds(&panels, &sides, 90_000));
    assert_eq!(refused(&panels, 90_000), None);
}

/// With one direction panels do not mate: only beyond the lower one's 67.5 mm is there room for a foot.
#[test]
fn says_nothing_of_pieces_that_may_be_turned_otherwise() {
    let one_way = panels(&[Turn::None]);
    let sides = refused(&one_way, 120_000).unwrap();
    assert!(holds(&one_way, &sides, 120_000));
    assert!(!holds(&panels(&ENDS), &sides, 120_000));
    let mut wider = one_way.clone();
    wider.cloth.right = Length::from_um(120_000);
    assert!(!holds(&wider, &sides, 120_000));
}

#[test]
fn a_tree_with_something_missing_or_left_over_does_not_hold() {
    let panels = panels(&[Turn::None]);
    let sides = refused(&panels, 120_000).unwrap();
    for at in 0..sides.tree.len() {
        let mut missing = sides.clone();
        missing.tree.remove(at);
        assert!(!holds(&panels, &missing, 120_000), "without {at}");
    }
    let mut more = sides.clone();
    more.tree.extend([LEAF, 0]);
    assert!(!holds(&panels, &more, 120_000));
    let empty = Sides::default();
    assert!(!holds(&panels, &empty, 120_000));
}

/// Where there is a layout no tree may hold, whatever stands in it.
#[test]
fn no_change_to_a_tree_refuses_a_length_that_is_enough() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(21);
    let mut tight = panels(&ENDS);
    tight.items.push(item(
        outline(&[(0, 0), (50_000, 0), (50_000, 30_000), (0, 30_000)]),
        1,
        &Turn::ALL,
    ));
    let length = (90_000..)
        .step_by(1_000)
        .find(|&l| refused(&tight, l).is_none())
        .unwrap();
    let sides = refused(&tight, length - 1_000).unwrap();
    assert!(sides.tree.len() > 50);
    for _ in 0..5_000 {
        let mut other = sides.clone();
        for _ in 0..random.random_range(1..4) {
            let at = random.random_range(0..other.tree.len());
            match random.random_range(0..4) {
                0 => other.tree[at] += 1,
                1 => other.tree[at] = other.tree[random.random_range(0..sides.tree.len())],
                2 => other.tree[at] = random.random_range(0..4),
                _ => other.tree[at] = u64::MAX >> random.random_range(0..64),
            }
        }
        assert!(!holds(&tight, &other, length), "{:?}", other.tree);
    }
}

/// Geometry: two bows of 20 mm of cloth and 70 mm in all, one in the other.
#[test]
fn polygons_must_lie_within_the_outline() {
    let bow = [(0, 0), (50, 50), (100, 0), (100, 20), (50, 70), (0, 20)];
    let bow = bow.map(|(x, y)| (x * 1_000, y * 1_000));
    let bows = problem(100_000, vec![item(outline(&bow), 2, &[Turn::None])]);
    let sides = refused(&bows, 89_999).unwrap();
    assert!(holds(&bows, &sides, 89_999));
    assert_eq!(refused(&bows, 90_000), None);
    let corners = sides.parts[0].polygons.len();
    for polygon in 0..corners {
        for corner in 0..sides.parts[0].polygons[polygon].len() {
            for away in [(1, 0), (0, 1), (-1, 0), (0, -1)] {
                let mut other = sides.clone();
                let point = &mut other.parts[0].polygons[polygon][corner];
                *point = point.plus(Point::new(away.0, away.1));
                // Nothing outside counts, and what is smaller proves less.
                assert!(!holds(&bows, &other, 90_000));
            }
        }
    }
    let mut hull = sides.clone();
    hull.parts[0].polygons = vec![
        [
            (0, 0),
            (100_000, 0),
            (100_000, 20_000),
            (50_000, 70_000),
            (0, 20_000),
        ]
        .map(|(x, y)| Point::new(x, y))
        .to_vec(),
    ];
    assert!(!holds(&bows, &hull, 89_999));
    hull.parts.clear();
    assert!(!holds(&bows, &hull, 89_999));
    let mut none = sides.clone();
    none.parts[0].item = 7;
    assert!(!holds(&bows, &none, 89_999));
}

#[test]
fn a_polygon_is_within_an_outline_though_it_touches_it() {
    let points = |corners: &[(i64, i64)]| -> Vec<Point> {
        corners.iter().map(|&(x, y)| Point::new(x, y)).collect()
    };
    let angle = points(&[(0, 0), (9, 0), (9, 3), (3, 3), (3, 9), (0, 9)]);
    let is_within = |corners: &[(i64, i64)]| apart::is_within(&points(corners), &angle);
    assert!(is_within(&[(0, 0), (9, 0), (9, 3), (0, 3)]));
    assert!(is_within(&[(0, 0), (3, 0), (3, 9), (0, 9)]));
    assert!(is_within(&[(1, 1), (5, 1), (1, 5)]));
    assert!(!is_within(&[(0, 0), (9, 0), (9, 4), (0, 3)]));
    assert!(!is_within(&[(0, 0), (9, 0), (0, 9)]));
    assert!(!is_within(&[(4, 4), (9, 4), (9, 9), (4, 9)]));
    assert!(!is_within(&[(3, 3), (9, 3), (3, 9)]));
    assert!(!is_within(&[(10, 0), (12, 0), (12, 2)]));
    assert!(!is_within(&[(-1, -1), (10, -1), (10, 10), (-1, 10)]));
}

/// By hand: two of 40 mm with 10 between them take 90 across. On a micrometre less one lies higher by its 50 and what makes a
/// distance of 10 of 9.999 across, 0.142.
#[test]
fn spacing_is_kept_between_pieces() {
    let square = [(0, 0), (40_000, 0), (40_000, 50_000), (0, 50_000)];
    let spaced = |usable| Problem {
        spacing: Length::from_um(10_000),
        ..problem(usable, vec![item(outline(&square), 2, &[Turn::None])])
    };
    assert_eq!(refused(&spaced(90_000), 50_000), None);
    let sides = refused(&spaced(89_999), 100_000).unwrap();
    assert!(holds(&spaced(89_999), &sides, 100_000));
    assert!(!holds(&spaced(90_000), &sides, 100_000));
    assert_eq!(refused(&spaced(89_999), 100_142), None);
}

#[test]
fn stands_in_a_file_as_it_is() {
    let panels = panels(&ENDS);
    let sides = refused(&panels, 89_999).unwrap();
    let text = serde_json::to_string(&sides).unwrap();
    assert_eq!(serde_json::from_str::<Sides>(&text).unwrap(), sides);
    assert!(serde_json::from_str::<Sides>("{\"work\":1,\"tree\":\"0 x\"}").is_err());
}
