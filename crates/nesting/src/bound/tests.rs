use super::*;
use crate::certificate::Larger;
use crate::jobs::{item, outline, problem_um as problem};
use pieces::Outline;

fn rectangle(across: i64, along: i64, copies: u32, turns: &[Turn]) -> Item {
    let um = Length::from_um;
    item(
        Outline::rectangle(um(across), um(along)).unwrap(),
        copies,
        turns,
    )
}

const UPRIGHT: [Turn; 1] = [Turn::None];
const ENDS: [Turn; 2] = [Turn::None, Turn::Half];

fn length(problem: &Problem) -> i64 {
    let bound = best(problem);
    assert!(recheck(problem, &bound), "{bound:?}");
    assert_eq!(
        refuse(problem, bound.length - Length::from_um(1)).is_some(),
        bound.length.um() > 1
    );
    bound.length.um()
}

#[test]
fn area_is_rounded_up_once() {
    let problem = problem(
        100,
        vec![rectangle(3, 7, 1, &UPRIGHT), rectangle(1, 1, 480, &UPRIGHT)],
    );
    assert_eq!(
        best(&problem),
        Bound {
            length: Length::from_um(7),
            argument: Argument::LongestPiece { item: 0 }
        }
    );
    let many = self::problem(100, vec![rectangle(1, 1, 1_001, &UPRIGHT)]);
    assert_eq!(
        best(&many),
        Bound {
            length: Length::from_um(11),
            argument: Argument::Area
        }
    );
}

#[test]
fn a_piece_that_may_lie_sideways_counts_with_its_lesser_length() {
    let either = problem(100, vec![rectangle(30, 80, 1, &Turn::ALL)]);
    assert_eq!(length(&either), 30);
    // Too long to lie sideways.
    assert_eq!(length(&problem(79, either.items)), 80);
}

#[test]
fn two_panels_too_wide_for_the_cloth_lie_one_after_the_other() {
    let problem = problem(
        140,
        vec![
            rectangle(71, 97, 1, &UPRIGHT),
            rectangle(70, 99, 1, &UPRIGHT),
        ],
    );
    assert_eq!(length(&problem), 196);
    assert_eq!(
        best(&problem).argument,
        Argument::SideBySide {
            items: vec![0, 1],
            line: None,
            larger: Larger::NOT,
        }
    );
}

#[test]
fn three_in_a_row_and_seven_panels_take_three_rows() {
    // Widths 46 on 140: three in a row, never four. By hand: ceil(7 / 3) rows.
    assert_eq!(
        length(&problem(140, vec![rectangle(46, 97, 7, &UPRIGHT)])),
        291
    );
    assert_eq!(
        length(&problem(140, vec![rectangle(36, 97, 7, &UPRIGHT)])),
        291
    );
}

#[test]
fn a_row_that_is_too_wide_is_refused_on_the_middle_of_the_cloth() {
    // Flared, one way, 60 to 40 wide and 97 long, three on 140: within 110 all cross the middle with at
    // least their section at 55 of 97, which is 48.6; 3 x 48.6 = 146.
    let panel = outline(&[(0, 0), (600, 0), (500, 970), (100, 970)]);
    let problem = problem(1_400, vec![item(panel, 3, &UPRIGHT)]);
    let bound = refuse(&problem, Length::from_um(1_100)).unwrap();
    let Argument::SideBySide { items, line, .. } = &bound.argument else {
        panic!("{bound:?}");
    };
    assert_eq!((items, line.is_some()), (&vec![0, 0, 0], true));
    assert!(bound.length > Length::from_um(1_100));
}

#[test]
fn widths_of_which_no_three_fit_take_half_the_sum_of_lengths() {
    // The narrowest three, 278 + 283 + 335, are wider than 880: never more than two share a height.
    let sizes = [
        (283, 1006),
        (363, 1026),
        (278, 727),
        (357, 747),
        (335, 982),
        (430, 1002),
    ];
    let items = sizes
        .iter()
        .map(|&(across, along)| rectangle(across, along, 1, &UPRIGHT))
        .collect();
    assert!(length(&problem(880, items)) >= (1006 + 1026 + 727 + 747 + 982 + 1002) / 2);
}

#[test]
fn a_circle_skirt_in_one_piece_fits_150_and_not_140() {
    // Geometry: waist 72 cm, length 60 cm, hem 1.5 cm, waist seam 1.5 cm: a cut square of 145.918 cm.
    let square = || rectangle(1_459_180, 1_459_180, 1, &Turn::ALL);
    assert_eq!(too_wide(&problem(1_500_000, vec![square()])), []);
    let wide = too_wide(&problem(1_400_000, vec![square()]));
    let um = Length::from_um;
    assert_eq!(
        wide,
        [TooWide {
            item: 0,
            across: um(1_459_180),
            over: um(59_180)
        }]
    );
}

#[test]
fn six_gores_stay_between_their_area_and_their_rows() {
    // Geometry: gores of 15 and 43 cm, 74.5 cm long, on 115 cm: 6 x 29 x 74.5 / 115 = 112.7 cm. Rows:
    // three a row head to tail, 149 cm; two a row one way, 223.5 cm.
    let gore = outline(&[(0, 0), (430_000, 0), (290_000, 745_000), (140_000, 745_000)]);
    let ends = length(&problem(1_150_000, vec![item(gore.clone(), 6, &ENDS)]));
    let one_way = length(&problem(1_150_000, vec![item(gore, 6, &UPRIGHT)]));
    assert!((1_127_217..=1_490_000).contains(&ends), "{ends}");
    assert!((ends..=2_235_000).contains(&one_way), "{one_way}");
}

#[test]
fn spacing_counts_between_pieces_and_not_at_the_edges() {
    let row = |spacing: i64| {
        let mut problem = problem(100, vec![rectangle(24, 50, 4, &UPRIGHT)]);
        problem.spacing = Length::from_um(spacing);
        best(&problem).length.um()
    };
    // Three gaps in 4 um of room: one micrometre each fits, two don't.
    assert_eq!(row(0), 50);
    assert_eq!(row(1), 50);
    assert!(row(2) > 50);
}

fn spaced(usable: i64, spacing: i64, items: Vec<Item>) -> Problem {
    Problem {
        spacing: Length::from_um(spacing),
        ..problem(usable, items)
    }
}

#[test]
fn spacing_counts_along_between_pieces_that_lie_one_beyond_the_other() {
    // By hand: 51 + 2 + 51.
    let two = spaced(
        500_000,
        20_000,
        vec![rectangle(500_000, 510_000, 2, &UPRIGHT)],
    );
    assert_eq!(length(&two), 1_040_000);
    // By hand: 33 + 1 + 33 + 1 + 33 = 101 wide, so two rows: 50 + 1 + 50.
    let six = spaced(
        1_010_000,
        10_000,
        vec![rectangle(330_000, 500_000, 6, &UPRIGHT)],
    );
    assert_eq!(length(&six), 1_010_000);
    assert!(refuse(&six, Length::from_um(1_009_000)).is_some());
}

#[test]
fn corners_may_pass_each_other_nearer_than_the_spacing_along() {
    // Corner to corner 3 across and 4 along is a distance of 5, so 10 + 4 + 10 is long enough for
    // these two, which leave 3 beside each other.
    let pair = spaced(23, 5, vec![rectangle(10, 10, 2, &UPRIGHT)]);
    assert!(length(&pair) <= 24);
}

#[test]
fn feet_on_the_cut_end_are_wider_than_any_section_inside() {
    // At 1 m all five feet lie on the cut end: 5 x 60 = 300 on 299.9.
    let panel = |top: i64| {
        let in_from = (600_000 - top) / 2;
        outline(&[
            (0, 0),
            (600_000, 0),
            (600_000 - in_from, 1_000_000),
            (in_from, 1_000_000),
        ])
    };
    let one_way = |usable, turn| problem(usable, vec![item(panel(200_000), 5, &[turn])]);
    let metre = Length::from_um(1_000_000);
    for turn in ENDS {
        assert!(refuse(&one_way(2_999_000, turn), metre).is_some());
        // Each foot narrows by 2 in 5, so 5 x 200 um are made up 500 um above the cut end; sections
        // are rounded down to a micrometre, which is 2.5 of them along.
        assert!((1_000_497..=1_000_501).contains(&length(&one_way(2_999_000, turn))));
        assert_eq!(refuse(&one_way(3_000_000, turn), metre), None);
    }
    // End for end they fit side by side: 2 x 60 and 3 x 20 at either end.
    let ends = problem(2_999_000, vec![item(panel(200_000), 5, &ENDS)]);
    assert_eq!(refuse(&ends, metre), None);
}

/// Geometry: four panels of 40 on 130 are one too many for a row, so two of them lie one behind the other;
/// the two shortest do, with the others beside them.
#[test]
fn of_one_too_many_for_a_row_the_two_shortest_lie_one_behind_the_other() {
    let panels = [96, 98, 99, 101].map(|along| rectangle(40, along, 1, &UPRIGHT));
    assert_eq!(length(&problem(130, panels.to_vec())), 194);
}

/// Geometry: a casing of 104 with no panel beside it takes its 8 for itself, whatever else is laid: two panels
/// one behind the other are 96 + 98 at least, as all four are wider than the cloth. The casing of 99 fits beside
/// the narrowest panel.
#[test]
fn a_casing_that_fits_beside_nothing_comes_on_top() {
    let pieces = [
        (308, 990),
        (396, 1_010),
        (287, 960),
        (369, 980),
        (1_040, 80),
        (990, 80),
    ];
    let items = pieces.map(|(across, along)| rectangle(across, along, 1, &UPRIGHT));
    let problem = problem(1_300, items.to_vec());
    assert_eq!(length(&problem), 2_020);
    let Argument::Alone { items, rest, .. } = best(&problem).argument else {
        panic!("{:?}", best(&problem));
    };
    assert_eq!((items, rest.length.um()), (vec![4], 1_940));
    let spaced = spaced(1_300, 10, problem.items);
    assert_eq!(length(&spaced), 2_040);
}

#[test]
fn nothing_to_lay_needs_no_length() {
    assert_eq!(best(&Problem::default()).length, Length::ZERO);
    assert_eq!(
        best(&problem(100, vec![rectangle(10, 10, 0, &UPRIGHT)])).length,
        Length::ZERO
    );
    assert_eq!(refuse(&problem(100, vec![]), Length::ZERO), None);
}

/// Geometry: a bow of 70 mm along, 20 mm of it cloth at every x, is moved up by 20 mm to lie in the next.
#[test]
fn bows_as_wide_as_the_cloth_lie_in_each_other_one_behind_the_other() {
    let corners = [(0, 0), (50, 50), (100, 0), (100, 20), (50, 70), (0, 20)];
    let bow = outline(&corners.map(|(x, y)| (x * 1_000, y * 1_000)));
    let laid = 4 * 20_000 + 70_000;
    let five = problem(100_000, vec![item(bow.clone(), 5, &UPRIGHT)]);
    // A few micrometres are lost where borders are rounded.
    assert!((laid - 10..=laid).contains(&length(&five)));
    let Argument::NoTwoAbreast { items, within } = best(&five).argument else {
        panic!("{:?}", best(&five));
    };
    assert_eq!((items, within.len()), (vec![0; 5], 1));
    // More freedom, no longer; and beside each other there are two.
    let turned = problem(104_000, vec![item(bow.clone(), 5, &ENDS)]);
    assert!((100_000..=laid).contains(&length(&turned)));
    let wide = problem(200_000, vec![item(bow, 5, &UPRIGHT)]);
    assert!(length(&wide) <= 2 * 20_000 + 70_000);
}

/// Geometry: three panels from 80 at the foot to 40 at the head, one way, are 180 wide at half their height, so
/// sections let them stand side by side on 180 if they are slid; in a row, feet that keep them apart do not.
#[test]
fn flared_panels_need_room_side_by_side_in_some_order() {
    let panel = outline(&[(0, 0), (80, 0), (60, 100), (20, 100)]);
    let three = problem(180, vec![item(panel, 3, &UPRIGHT)]);
    // Two side by side and one beyond them is a layout.
    assert!((101..=200).contains(&length(&three)));
}

#[test]
fn a_piece_that_is_widest_twice_is_grown_alike_from_both_ends() {
    let notched = outline(&[(0, 0), (60, 0), (40, 20), (60, 50), (60, 70), (0, 70)]);
    let mut problem = problem(
        200,
        vec![
            item(notched, 1, &[Turn::Half]),
            rectangle(60, 70, 1, &UPRIGHT),
        ],
    );
    problem.spacing = Length::from_um(4);
    assert_eq!(length(&problem), 70);
}

/// Geometry: a casing as wide as the cloth has 10 mm to itself, and four panels that taper from 40 mm to 20 mm do not
/// fit on the 190 mm that are left.
#[test]
fn what_is_asked_about_some_pieces_ends_when_all_is_to_end() {
    let panel = outline(&[(0, 0), (40_000, 0), (30_000, 100_000), (10_000, 100_000)]);
    let pieces = vec![
        item(panel, 4, &UPRIGHT),
        rectangle(100_000, 10_000, 1, &UPRIGHT),
    ];
    let problem = problem(100_000, pieces);
    let ask = |stop| {
        let layer = Layer {
            can_lay: &|_| false,
            stop: &move || stop,
            threads: 1,
        };
        let questions = Questions::about(&problem);
        questions.ask(Length::from_um(200_000), &layer, &mut 1_000_000_000)
    };
    let Said::Refused(bound) = ask(false) else {
        panic!("open");
    };
    let Argument::Alone { rest, .. } = bound.argument else {
        panic!("{:?}", bound.argument);
    };
    assert!(matches!(rest.argument, Argument::EveryPlace(_)));
    assert!(matches!(ask(true), Said::Open));
}
