//! Arguments by hand, on whole micrometres: each holds for a length, and not for more.

use super::*;
use crate::jobs::{ONE_WAY, item, outline, problem_um};
use crate::problem::Turn;
use crate::verdict::{Argument, Bound};
use pieces::Point;

fn um(v: i64) -> Length {
    Length::from_um(v)
}

fn flag(across: i64, along: i64, copies: u32) -> Item {
    item(
        Outline::rectangle(um(across), um(along)).unwrap(),
        copies,
        ONE_WAY,
    )
}

fn by(function: Function) -> Charged {
    let larger = Larger::NOT;
    Charged { function, larger }
}

/// Holds for this length, and for a micrometre more it does not.
fn reaches(problem: &Problem, argument: &Argument, length: i64) {
    let said = |length| {
        let argument = argument.clone();
        holds(
            problem,
            &Bound {
                length: um(length),
                argument,
            },
            &|_, _| false,
        )
    };
    assert!(said(length) && said(length - 1), "{argument:?}");
    assert!(!said(length + 1), "{argument:?}");
}

/// 501 on 100; and with a spacing of 10 between them 2 x 50 x 40 of 110, as discs more than that.
#[test]
fn area_is_rounded_up_once() {
    let many = problem_um(100, vec![flag(3, 7, 1), flag(1, 1, 480)]);
    reaches(&many, &Argument::Area, 6);
    let mut spaced = problem_um(100, vec![flag(30, 50, 22)]);
    spaced.spacing = um(10);
    // Discs: 22 x (1 500 + 160 / 2 x 10 + 78.5) / 110 = 475.7, less 10.
    reaches(&spaced, &Argument::Area, 466);
}

#[test]
fn a_piece_counts_with_its_lesser_length_if_it_goes_on_the_cloth_so() {
    let mut piece = flag(30, 80, 1);
    piece.turns = Turn::ALL.to_vec();
    let longest = Argument::LongestPiece { item: 0 };
    reaches(&problem_um(100, vec![piece.clone()]), &longest, 30);
    reaches(&problem_um(79, vec![piece]), &longest, 80);
}

#[test]
fn two_too_wide_for_the_cloth_lie_one_behind_the_other() {
    let two = |usable| problem_um(usable, vec![flag(71, 97, 1), flag(70, 99, 1)]);
    let said = |larger| Argument::SideBySide {
        items: vec![0, 1],
        line: None,
        larger,
    };
    reaches(&two(140), &said(Larger::NOT), 196);
    reaches(&two(141), &said(Larger::NOT), 99);
    let mut spaced = two(140);
    spaced.spacing = um(10);
    let longer = Larger {
        longer: um(10),
        ..Larger::NOT
    };
    reaches(&spaced, &said(longer), 206);
}

/// Geometry: of two gores on 160, from 100 to 60 wide and 100 long, one way: slid by 50 they are 160 wide where they meet.
#[test]
fn two_gores_are_slid_until_they_have_room() {
    let gore = outline(&[(0, 0), (100, 0), (80, 100), (20, 100)]);
    let two = problem_um(190, vec![item(gore, 2, ONE_WAY)]);
    let argument = Argument::SideBySide {
        items: vec![0, 0],
        line: None,
        larger: Larger::NOT,
    };
    // 10 to spare: a border leans by 20 in 100, so 50 further along.
    reaches(&two, &argument, 150);
}

/// Geometry: 60 long, three of 40 on 100 cross the middle of anything below 120.
#[test]
fn a_line_runs_through_all_of_them() {
    let three = problem_um(100, vec![flag(40, 60, 3)]);
    let said = |items: &[usize], at: Option<i64>| Argument::SideBySide {
        items: items.to_vec(),
        line: Some(Line {
            at: at.map(um),
            ..Line::default()
        }),
        larger: Larger::NOT,
    };
    reaches(&three, &said(&[0, 0, 0], None), 120);
    // A line at 50 is crossed from each place below 110.
    reaches(&three, &said(&[0, 0, 0], Some(50)), 110);
    let two = said(&[0, 0], None);
    let bound = Bound {
        length: um(61),
        argument: two,
    };
    assert!(!holds(&three, &bound, &|_, _| false));
}

/// Geometry: feet of 60 on the cut end, five of them on 299; the line at the end of pieces that have no room to move.
#[test]
fn a_line_at_the_end_meets_whole_feet() {
    let panel = outline(&[(0, 0), (60, 0), (40, 100), (20, 100)]);
    let five = problem_um(299, vec![item(panel, 5, ONE_WAY)]);
    let said = |inner| Argument::SideBySide {
        items: vec![0; 5],
        line: Some(Line {
            at: Some(um(0)),
            inner,
            function: Function::Width,
        }),
        larger: Larger::NOT,
    };
    let holds = |inner| {
        let argument = said(inner);
        holds(
            &five,
            &Bound {
                length: um(101),
                argument,
            },
            &|_, _| false,
        )
    };
    assert!(holds(true) && !holds(false));
}

/// Geometry: 46 on 140, three in a row and never four: seven take three rows.
#[test]
fn rows_and_sections_that_count() {
    let seven = problem_um(140, vec![flag(46, 97, 7)]);
    let charged = by(Function::Count { from: um(46) });
    let lines = Argument::LinesAcross {
        lines: 2,
        charged: charged.clone(),
    };
    reaches(&seven, &lines, 291);
    // 7 x 97 / 3.
    reaches(&seven, &Argument::Sections(charged), 227);
    reaches(
        &seven,
        &Argument::Sections(by(Function::Share { shares: 3 })),
        227,
    );
}

/// Geometry: four of 40 on 130 are one too many for a row.
#[test]
fn the_two_shortest_lie_one_behind_the_other() {
    let panels = [96, 98, 99, 101].map(|along| flag(40, along, 1));
    let four = problem_um(130, panels.to_vec());
    let said = |items: &[usize], count| Argument::Behind {
        items: items.to_vec(),
        count,
        charged: by(Function::Share { shares: 3 }),
    };
    reaches(&four, &said(&[0, 1, 2, 3], 2), 194);
    for (items, count) in [(&[1, 2, 3][..], 2), (&[0, 1, 2, 3], 3), (&[0, 0, 2, 3], 2)] {
        let argument = said(items, count);
        assert!(!holds(
            &four,
            &Bound {
                length: um(150),
                argument
            },
            &|_, _| false
        ));
    }
}

/// Geometry: a casing of 104 on 130 has none of four panels beside it, two of which lie one behind the other.
#[test]
fn a_casing_comes_on_top_of_the_others() {
    let pieces = [
        (308, 990),
        (396, 1_010),
        (287, 960),
        (369, 980),
        (1_040, 80),
        (990, 80),
    ];
    let pieces = pieces.map(|(across, along)| flag(across, along, 1));
    let all = problem_um(1_300, pieces.to_vec());
    let argument = Argument::Behind {
        items: vec![0, 1, 2, 3],
        count: 2,
        charged: by(Function::Width),
    };
    let rest = |length| {
        let argument = argument.clone();
        let length = um(length);
        Box::new(Bound { length, argument })
    };
    let said = |items: &[usize], rest| Argument::Alone {
        items: items.to_vec(),
        larger: Larger::NOT,
        rest,
    };
    reaches(&all, &said(&[4], rest(1_940)), 2_020);
    for (items, rest) in [
        (&[5][..], rest(1_940)),
        (&[4], rest(1_941)),
        (&[0, 1, 2, 3, 4, 5], rest(1_940)),
    ] {
        let argument = said(items, rest);
        assert!(!holds(
            &all,
            &Bound {
                length: um(2_000),
                argument
            },
            &|_, _| false
        ));
    }
}

/// Sums of 70, 70 and 3 or 60: 130, 133, 140, 143, 200.
#[test]
fn rectangles_end_at_sums_of_their_lengths() {
    let mut either = flag(60, 3, 1);
    either.turns = Turn::ALL.to_vec();
    let three = problem_um(100, vec![flag(100, 70, 2), either]);
    let said = |from: i64| Argument::Sums {
        rest: Box::new(Bound {
            length: um(from),
            argument: Argument::Area,
        }),
    };
    // Area: 14 180 on 100.
    reaches(&three, &said(142), 143);
    reaches(&three, &said(141), 143);
    reaches(&three, &said(140), 140);
    let argument = said(144);
    assert!(!holds(
        &three,
        &Bound {
            length: um(144),
            argument
        },
        &|_, _| false
    ));
}

/// Geometry: bows of 70 along lie in each other, 20 further along each.
#[test]
fn bows_lie_in_each_other_one_behind_the_other() {
    let scaled = |corners: &[(i64, i64)]| -> Vec<(i64, i64)> {
        corners
            .iter()
            .map(|&(x, y)| (x * 1_000, y * 1_000))
            .collect()
    };
    let bow = scaled(&[(0, 0), (50, 50), (100, 0), (100, 20), (50, 70), (0, 20)]);
    let five = problem_um(100_000, vec![item(outline(&bow), 5, ONE_WAY)]);
    let arms = [
        [(0, 0), (50, 50), (50, 70), (0, 20)],
        [(50, 50), (100, 0), (100, 20), (50, 70)],
    ];
    let arm = |arm: &[(i64, i64); 4]| -> Vec<Point> {
        let corners = scaled(arm).into_iter();
        corners.map(|(x, y)| Point::new(x, y)).collect()
    };
    let said = |polygons| Argument::NoTwoAbreast {
        items: vec![0; 5],
        within: vec![sides::Within { item: 0, polygons }],
    };
    let holds = |polygons, length| {
        let argument = said(polygons);
        holds(
            &five,
            &Bound {
                length: um(length),
                argument,
            },
            &|_, _| false,
        )
    };
    let both: Vec<Vec<Point>> = arms.iter().map(arm).collect();
    // A few micrometres are lost where borders are rounded.
    assert!(holds(both.clone(), 149_990) && !holds(both.clone(), 150_001));
    assert!(!holds(Vec::new(), 149_990));
    let mut beyond = both;
    beyond[0][3].y += 1;
    assert!(!holds(beyond, 149_990));
}

/// Whatever is not looked at here is asked of others, within others too; not where pieces may be too near.
#[test]
fn what_tried_everything_is_left_to_others() {
    let mut all = problem_um(100, vec![flag(100, 10, 1), flag(40, 60, 2)]);
    let argument = Argument::Alone {
        items: vec![0],
        larger: Larger::NOT,
        rest: Box::new(Bound {
            length: um(60),
            argument: Argument::EveryPlace(crate::certificate::places::Places::default()),
        }),
    };
    let bound = Bound {
        length: um(70),
        argument,
    };
    let of_rest =
        |problem: &Problem, bound: &Bound| problem.piece_count() == 2 && bound.length == um(60);
    assert!(holds(&all, &bound, &of_rest));
    assert!(!holds(&all, &bound, &|_, _| false));
    all.spacing = um(5);
    assert!(!holds(&all, &bound, &of_rest));
}
