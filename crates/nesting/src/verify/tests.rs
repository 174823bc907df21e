use super::*;
use crate::problem::{Anchor, Item, Lattice, Placement};

fn outline(corners: &[(i64, i64)]) -> Outline {
    Outline::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
}

fn rectangle(x: i64, y: i64, across: i64, along: i64) -> Outline {
    outline(&[
        (x, y),
        (x + across, y),
        (x + across, y + along),
        (x, y + along),
    ])
}

fn check(list: &[Outline], spacing: i64) -> Result<(), Vec<Violation>> {
    let borrowed: Vec<&Outline> = list.iter().collect();
    let um = Length::from_um;
    outlines(
        &borrowed,
        um(-1_000_000),
        um(1_000_000),
        um(1_000_000),
        &[],
        um(spacing),
    )
}

fn rules(result: Result<(), Vec<Violation>>) -> Vec<Rule> {
    result
        .unwrap_err()
        .into_iter()
        .map(|violation| violation.rule)
        .collect()
}

#[test]
fn pieces_may_share_an_edge_a_corner_or_a_point_of_an_edge() {
    let square = rectangle(0, 0, 100, 100);
    for other in [
        rectangle(100, 0, 100, 100),
        rectangle(100, 37, 50, 10),
        rectangle(100, 100, 100, 100),
        outline(&[(100, 50), (180, 20), (180, 80)]),
        outline(&[(0, 100), (100, 100), (50, 150)]),
    ] {
        assert_eq!(
            check(&[square.clone(), other.clone()], 0),
            Ok(()),
            "{other:?}"
        );
        assert_eq!(check(&[other, square.clone()], 0), Ok(()));
    }
}

#[test]
fn one_micrometre_of_overlap_is_found_and_placed() {
    let violations =
        check(&[rectangle(0, 0, 100, 100), rectangle(99, 0, 100, 100)], 0).unwrap_err();
    assert_eq!(violations.len(), 1);
    assert_eq!(violations[0].rule, Rule::Overlap);
    let at = violations[0].at.unwrap();
    assert!(
        (99..=100).contains(&at.x) && (0..=100).contains(&at.y),
        "{at:?}"
    );
    assert_eq!(
        rules(check(
            &[rectangle(0, 0, 9, 9), outline(&[(8, 9), (9, 8), (20, 20)])],
            0
        )),
        [Rule::Overlap]
    );
}

#[test]
fn slanted_sides_head_to_tail_share_one_line() {
    // The sides lean by 10 001 over a length of 97 003: the second fits where foot meets head.
    let up = outline(&[(0, 0), (60_002, 0), (50_001, 97_003), (10_001, 97_003)]);
    let down = |x: i64| up.turned(2).moved(Point::new(x, 97_003));
    assert_eq!(check(&[up.clone(), down(60_002 + 50_001)], 0), Ok(()));
    assert_eq!(
        rules(check(&[up.clone(), down(60_002 + 50_000)], 0)),
        [Rule::Overlap]
    );
}

#[test]
fn equal_and_contained_pieces_overlap() {
    let square = rectangle(0, 0, 100, 100);
    assert_eq!(
        rules(check(&[square.clone(), square.clone()], 0)),
        [Rule::Overlap]
    );
    assert_eq!(
        rules(check(&[square.clone(), rectangle(40, 40, 10, 10)], 0)),
        [Rule::Overlap]
    );
    assert_eq!(
        rules(check(&[rectangle(0, 0, 100, 10), square], 0)),
        [Rule::Overlap]
    );
}

#[test]
fn crossing_bars_overlap_though_no_corner_lies_in_the_other() {
    assert_eq!(
        rules(check(
            &[rectangle(0, 40, 100, 10), rectangle(40, 0, 10, 100)],
            0
        )),
        [Rule::Overlap]
    );
}

#[test]
fn a_piece_fits_the_notch_of_another_exactly() {
    let notched = outline(&[
        (0, 0),
        (90, 0),
        (90, 100),
        (60, 100),
        (60, 30),
        (30, 30),
        (30, 100),
        (0, 100),
    ]);
    assert_eq!(
        check(&[notched.clone(), rectangle(30, 30, 30, 70)], 0),
        Ok(())
    );
    assert_eq!(
        check(&[notched.clone(), rectangle(30, 30, 30, 200)], 0),
        Ok(())
    );
    assert_eq!(
        rules(check(&[notched.clone(), rectangle(30, 29, 30, 71)], 0)),
        [Rule::Overlap]
    );
    assert_eq!(
        rules(check(&[notched.clone(), rectangle(30, 30, 31, 70)], 0)),
        [Rule::Overlap]
    );
    // Only under the notch, in the bridge.
    assert_eq!(
        rules(check(&[notched, rectangle(31, 1, 28, 28)], 0)),
        [Rule::Overlap]
    );
}

#[test]
fn a_slit_of_one_micrometre_holds_a_piece_of_one_micrometre() {
    let slit = outline(&[
        (0, 0),
        (101, 0),
        (101, 100),
        (51, 100),
        (51, 10),
        (50, 10),
        (50, 100),
        (0, 100),
    ]);
    assert_eq!(check(&[slit.clone(), rectangle(50, 10, 1, 90)], 0), Ok(()));
    assert_eq!(
        rules(check(&[slit.clone(), rectangle(50, 10, 2, 90)], 0)),
        [Rule::Overlap]
    );
    assert_eq!(
        rules(check(&[slit, rectangle(50, 9, 1, 91)], 0)),
        [Rule::Overlap]
    );
}

#[test]
fn parts_of_a_comb_add_up_to_its_area() {
    let mut corners = vec![(0, 0), (1_000, 0)];
    for tooth in (0..10).rev() {
        corners.push((tooth * 100 + 90, 500 + 7 * tooth));
        corners.push((tooth * 100 + 50, 20));
        corners.push((tooth * 100 + 3, 480));
    }
    let comb = outline(&corners);
    let parts = convex_parts(comb.points());
    let area: i128 = parts
        .iter()
        .map(|part| Outline::new(part.corners.clone()).unwrap().doubled_area())
        .sum();
    assert_eq!(area, comb.doubled_area());
    assert!(parts.len() > 10);
}

#[test]
fn spacing_is_kept_to_the_micrometre() {
    let square = rectangle(0, 0, 100, 100);
    for (other, distance) in [
        (rectangle(110, 0, 10, 10), 10),
        (rectangle(0, 105, 10, 10), 5),
        (rectangle(103, 104, 10, 10), 5),
        (outline(&[(200, 40), (150, 50), (200, 60)]), 50),
    ] {
        assert_eq!(check(&[square.clone(), other.clone()], distance), Ok(()));
        let spacing = Length::from_um(distance + 1);
        assert_eq!(
            rules(check(&[square.clone(), other], distance + 1)),
            [Rule::TooClose { spacing }]
        );
    }
}

#[test]
fn spacing_does_not_hide_an_overlap() {
    assert_eq!(
        rules(check(
            &[rectangle(0, 0, 100, 100), rectangle(30, 30, 40, 40)],
            5
        )),
        [Rule::Overlap]
    );
}

#[test]
fn borders_are_borders_on_all_four_sides() {
    let um = Length::from_um;
    let test = |piece: Outline| outlines(&[&piece], um(10), um(110), um(200), &[], um(50));
    assert_eq!(test(rectangle(10, 0, 100, 200)), Ok(()));
    for (piece, side, at) in [
        (rectangle(9, 0, 10, 10), Side::Left, 9),
        (rectangle(10, 0, 101, 10), Side::Right, 111),
        (rectangle(10, -1, 10, 10), Side::Start, -1),
        (rectangle(10, 0, 10, 201), Side::End, 201),
    ] {
        let violations = test(piece).unwrap_err();
        assert_eq!(violations[0].rule, Rule::Outside { side, by: um(1) });
        let place = violations[0].at.unwrap();
        assert!(place.x == at || place.y == at);
    }
}

#[test]
fn flaws_are_kept_clear_but_may_be_touched() {
    let um = Length::from_um;
    let flaw = rectangle(50, 50, 10, 10);
    let test = |piece: Outline| {
        outlines(
            &[&piece],
            um(0),
            um(100),
            um(100),
            std::slice::from_ref(&flaw),
            um(5),
        )
    };
    assert_eq!(test(rectangle(0, 0, 50, 100)), Ok(()));
    assert_eq!(
        rules(test(rectangle(0, 0, 51, 100))),
        [Rule::OnFlaw { flaw: 0 }]
    );
}

fn problem() -> Problem {
    let item = |label: &str, garment| Item {
        label: label.to_owned(),
        outline: outline(&[(0, 0), (30, 0), (20, 50), (0, 50)]),
        copies: 2,
        turns: vec![Turn::None, Turn::Half],
        may_mirror: false,
        garment,
        anchor: None,
    };
    Problem {
        cloth: Cloth {
            right: Length::from_um(200),
            ..Cloth::default()
        },
        items: vec![
            item("front panel (Ilka)", Some(0)),
            item("back panel (Ilka)", Some(0)),
        ],
        ..Problem::default()
    }
}

fn placement(item: usize, copy: u32, turn: Turn, x: i64, y: i64) -> Placement {
    Placement {
        item,
        copy,
        turn,
        mirrored: false,
        at: Point::new(x, y),
    }
}

fn row() -> Marker {
    let placements = vec![
        placement(0, 0, Turn::None, 0, 0),
        placement(0, 1, Turn::None, 30, 0),
        placement(1, 0, Turn::None, 60, 0),
        placement(1, 1, Turn::None, 90, 0),
    ];
    Marker {
        placements,
        length: Length::from_um(50),
    }
}

#[test]
fn a_plain_row_passes() {
    assert_eq!(marker(&problem(), &row()), Ok(()));
}

#[test]
fn each_rule_of_the_marker_is_named_when_it_breaks() {
    type Change = fn(&mut Marker);
    type Broken = fn(&Rule) -> bool;
    let expect: [(Change, Broken, &str); 9] = [
        (
            |m| m.placements[1].copy = 0,
            |r| matches!(r, Rule::CopyTwice { copy: 0 }),
            "twice",
        ),
        (
            |m| m.placements[1].copy = 2,
            |r| matches!(r, Rule::TooManyCopies { copies: 2 }),
            "2",
        ),
        (
            |m| m.placements.truncate(3),
            |r| {
                matches!(
                    r,
                    Rule::Missing {
                        item: 1,
                        copies: 1,
                        ..
                    }
                )
            },
            "missing",
        ),
        (
            |m| m.placements[0].turn = Turn::Quarter,
            |r| matches!(r, Rule::Turned { .. }),
            "turn",
        ),
        (
            |m| m.placements[0].mirrored = true,
            |r| matches!(r, Rule::Mirrored),
            "mirror",
        ),
        (
            |m| {
                m.placements[3].turn = Turn::Half;
                m.placements[3].at = Point::new(120, 50);
            },
            |r| matches!(r, Rule::GarmentTurned { garment: 0 }),
            "garment",
        ),
        (
            |m| m.length = Length::from_um(51),
            |r| matches!(r, Rule::Length { greatest, .. } if greatest.um() == 50),
            "length",
        ),
        (
            |m| m.placements[0].item = 9,
            |r| matches!(r, Rule::UnknownItem { item: 9 }),
            "item",
        ),
        (
            |m| m.placements[0].at.x = i64::MAX,
            |r| matches!(r, Rule::TooFar),
            "far",
        ),
    ];
    for (change, broken, which) in expect {
        let mut changed = row();
        change(&mut changed);
        let violations = marker(&problem(), &changed).unwrap_err();
        assert!(
            violations.iter().any(|v| broken(&v.rule)),
            "{which}: {violations:?}"
        );
    }
}

#[test]
fn a_message_names_pieces_rule_and_place() {
    let mut moved = row();
    moved.placements[1].at.x = 28;
    let violations = marker(&problem(), &moved).unwrap_err();
    let text = violations[0].to_string();
    assert!(
        text.starts_with(
            "piece 1, front panel (Ilka), and piece 2, front panel (Ilka), overlap at "
        ),
        "{text}"
    );
    let um = Length::from_um;
    let outside = outlines(
        &[&rectangle(-1_500, 0, 10, 10)],
        um(0),
        um(10),
        um(10),
        &[],
        um(0),
    );
    let text = outside.unwrap_err()[0].to_string();
    assert_eq!(
        text,
        "piece 1 reaches 1.5 mm over the left border of the usable width at -1.5 mm across, 0.01 mm along"
    );
}

#[test]
fn a_heap_of_pieces_is_reported_without_end() {
    let heap: Vec<Outline> = (0..200).map(|_| rectangle(0, 0, 10, 10)).collect();
    assert_eq!(check(&heap, 0).unwrap_err().len(), MOST_VIOLATIONS);
}

#[test]
fn an_empty_marker_is_valid_only_for_an_empty_problem() {
    assert_eq!(marker(&Problem::default(), &Marker::default()), Ok(()));
    assert_eq!(marker(&problem(), &Marker::default()).unwrap_err().len(), 2);
}

/// A print that repeats every 40 across and every 60 along, its columns half a repeat apart; the point 10
/// across, 20 along of each panel comes to it.
fn printed(set: Option<u32>) -> Problem {
    let mut printed = problem();
    for item in &mut printed.items {
        item.anchor = Some(Anchor {
            point: Point::new(10, 20),
            lattice: Lattice {
                start: Point::new(10, 20),
                across: Length::from_um(40),
                along: Length::from_um(60),
                columns: 2,
            },
            set,
        });
    }
    printed
}

#[test]
fn a_piece_off_the_print_is_named() {
    let marker_at = |places: [(Turn, i64, i64); 4]| {
        let lay = |(number, (turn, x, y)): (u32, (Turn, i64, i64))| {
            placement(number as usize / 2, number % 2, turn, x, y)
        };
        let placements: Vec<Placement> = (0..).zip(places).map(lay).collect();
        let ends = placements
            .iter()
            .map(|p| problem().placed(p).bounds().max.y);
        Marker {
            length: Length::from_um(ends.max().unwrap()),
            placements,
        }
    };
    let good = [
        (Turn::None, 0, 0),
        (Turn::None, 40, 30),
        (Turn::None, 80, 60),
        (Turn::None, 120, 90),
    ];
    assert_eq!(marker(&printed(None), &marker_at(good)), Ok(()));
    // Turned end for end the point lies at (-10, -20): the garment's pieces are moved by twice that.
    let turned = good.map(|(_, x, y)| (Turn::Half, x + 20 + 40, y + 40 + 30));
    assert_eq!(marker(&printed(None), &marker_at(turned)), Ok(()));
    let moved = |number: usize, x: i64, y: i64| {
        let mut places = good;
        places[number].1 += x;
        places[number].2 += y;
        marker_at(places)
    };
    let along = |y: i64| marker_at(good.map(|(turn, x, old)| (turn, x, old + y)));
    let broken = |problem: &Problem, marked: &Marker| -> Vec<Rule> {
        let violations = marker(problem, marked).unwrap_err();
        violations.into_iter().map(|v| v.rule).collect()
    };
    assert_eq!(broken(&printed(None), &moved(3, 1, 0)), [Rule::OffPrint]);
    assert_eq!(broken(&printed(None), &moved(3, 0, 1)), [Rule::OffPrint]);
    assert_eq!(broken(&printed(None), &moved(3, 0, 30)), [Rule::OffPrint]);
    assert_eq!(broken(&printed(None), &along(1)), vec![Rule::OffPrint; 4]);
    // A set may begin anywhere along the cloth.
    assert_eq!(marker(&printed(Some(7)), &along(1)), Ok(()));
    assert_eq!(
        broken(&printed(Some(7)), &moved(3, 0, 1)),
        [Rule::Unmatched]
    );
    let said = marker(&printed(Some(7)), &moved(3, 0, 1)).unwrap_err()[0].to_string();
    assert_eq!(
        said,
        "piece 1, front panel (Ilka), and piece 4, back panel (Ilka), must match each other and lie on \
         different parts of the print at 0.12 mm across, 0.091 mm along"
    );
}
