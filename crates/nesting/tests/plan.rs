//! The main call, checked by rules a person can check by hand and by the independent verifier.

mod jobs;

use jobs::{ONE_WAY, TWO_WAY, item, mm, problem, rectangle, trapezoid};
use nesting::{Budget, Item, PlanError, Problem, Silent, Turn, Verdict, plan, verify};
use pieces::{Length, Outline, Point};

fn length(problem: &Problem) -> Length {
    let answer = plan(problem, &Budget::default(), &mut Silent).unwrap();
    verify::marker(problem, &answer.marker).unwrap();
    assert!(answer.bound.length <= answer.marker.length);
    answer.marker.length
}

/// Geometry: six gores 15/43 x 74.5 cm on 115 cm stand three in a row head to tail (101 cm), two in one
/// direction (86 cm). Free layouts may be shorter, never shorter than the area: 6 x 29 x 74.5 / 115.
#[test]
fn six_gores_take_no_more_than_their_rows() {
    let gore = trapezoid(150, 430, 745);
    let floor = Length::from_um(6 * 290 * 745 * 1_000 / 1_150);
    let two_way = length(&problem(1_150, vec![item(gore.clone(), 6, TWO_WAY)]));
    let one_way = length(&problem(1_150, vec![item(gore, 6, ONE_WAY)]));
    assert!(
        floor <= two_way && two_way <= Length::from_mm(1_490),
        "{two_way}"
    );
    assert!(
        two_way <= one_way && one_way <= Length::from_mm(2_235),
        "{one_way}"
    );
}

/// Geometry: n equal trapezoids in rows on width U take ceil(n / k) rows, where k is the most with
/// k (a + b) / 2 + (b - a) / 2 <= U head to tail, or k b <= U in one direction.
#[test]
fn equal_panels_are_never_longer_than_the_best_rows() {
    let shapes = [
        (150, 430, 745),
        (308, 428, 990),
        (396, 516, 1_010),
        (200, 200, 600),
        (90, 600, 400),
    ];
    for (top, foot, along) in shapes {
        for width in [880, 1_120, 1_400] {
            for count in [1_i64, 2, 3, 5, 8, 13, 40, 200] {
                let in_row = |fits: &dyn Fn(i64) -> bool| {
                    let k = (1..=count).take_while(|&k| fits(k)).last().unwrap();
                    (count + k - 1) / k * along
                };
                let two_way = in_row(&|k| k * (top + foot) + (foot - top) <= 2 * width);
                let one_way = in_row(&|k| k * foot <= width);
                for (turns, best_rows) in [(TWO_WAY, two_way), (ONE_WAY, one_way)] {
                    let mut problem = problem(
                        width,
                        vec![item(trapezoid(top, foot, along), count as u32, turns)],
                    );
                    problem.marking_step = None;
                    let budget = Budget {
                        steps: Some(200),
                        ..Budget::default()
                    };
                    let answer = plan(&problem, &budget, &mut Silent).unwrap();
                    assert!(
                        answer.marker.length <= Length::from_mm(best_rows),
                        "{count} of {top}/{foot} x {along} on {width}: {} > {best_rows} mm",
                        answer.marker.length
                    );
                }
            }
        }
    }
}

/// Common practice, no published source: with one-way cloth nothing may be turned, with nap up and down a
/// garment may, with plain cloth each piece may. Each allows all that the one before does, so the proven
/// order of the optimal lengths is one way >= up and down >= either way. Here all three are optimal.
#[test]
fn more_freedom_never_needs_more_cloth() {
    let panels = |turns: &[Turn], garments: bool| {
        let mut items = Vec::new();
        for garment in 0..2 {
            for _ in 0..2 {
                let mut panel = item(trapezoid(100, 300, 500), 1, turns);
                panel.garment = garments.then_some(garment);
                items.push(panel);
            }
        }
        problem(1_000, items)
    };
    let one_way = length(&panels(ONE_WAY, false));
    let up_and_down = length(&panels(TWO_WAY, true));
    let either_way = length(&panels(TWO_WAY, false));
    assert!(one_way >= up_and_down && up_and_down >= either_way);
    // Four heads to tails: 4 x 200 + 100 = 900 <= 1000 fits one row; in one direction 4 x 300 does not.
    assert_eq!(either_way, Length::from_mm(500));
    assert!(one_way > Length::from_mm(500));
}

#[test]
fn a_single_garment_turned_as_a_whole_is_no_gain() {
    let mut panels = vec![
        item(trapezoid(100, 300, 500), 2, TWO_WAY),
        item(trapezoid(200, 350, 400), 1, TWO_WAY),
    ];
    for panel in &mut panels {
        panel.garment = Some(0);
    }
    let per_garment = length(&problem(700, panels.clone()));
    for panel in &mut panels {
        panel.garment = None;
        panel.turns = ONE_WAY.to_vec();
    }
    assert_eq!(per_garment, length(&problem(700, panels)));
}

/// Two panels of 99 and 101 cm: the back panel alone is longer than one metre.
#[test]
fn one_metre_is_refused_with_proof_and_one_and_a_half_is_enough() {
    let mut problem = problem(
        1_380,
        vec![
            item(rectangle(308, 990), 1, ONE_WAY),
            item(rectangle(396, 1_010), 1, ONE_WAY),
        ],
    );
    problem.cloth.on_hand = vec![Length::from_cm(100), Length::from_cm(150)];
    let answer = plan(&problem, &Budget::default(), &mut Silent).unwrap();
    let verdicts: Vec<Verdict> = answer.rulings.iter().map(|r| r.verdict).collect();
    assert_eq!(verdicts, [Verdict::NotEnough, Verdict::Enough]);
    assert!(answer.rulings[0].bound.length > Length::from_cm(100));
    assert_eq!(answer.marker.length, Length::from_mm(1_010));
}

#[test]
fn a_piece_wider_than_the_cloth_is_named_with_its_width() {
    let too_wide = problem(1_000, vec![item(rectangle(1_200, 300), 1, TWO_WAY)]);
    let error = plan(&too_wide, &Budget::default(), &mut Silent).unwrap_err();
    assert!(
        matches!(&error, PlanError::TooWide { item: 0, across, usable, .. }
            if *across == Length::from_mm(1_200) && *usable == Length::from_mm(1_000))
    );
    let turned = problem(1_000, vec![item(rectangle(1_200, 300), 1, &Turn::ALL)]);
    assert_eq!(length(&turned), Length::from_mm(1_200));
    assert_eq!(
        plan(&problem(1_000, vec![]), &Budget::default(), &mut Silent),
        Err(PlanError::Empty)
    );
}

#[test]
fn flaws_and_spacing_are_kept() {
    let mut problem = problem(1_000, vec![item(rectangle(490, 500), 6, ONE_WAY)]);
    problem.cloth.flaws = vec![
        rectangle(50, 50).moved(Point::new(mm(470), mm(200))),
        rectangle(20, 20).moved(Point::new(0, mm(700))),
    ];
    problem.spacing = Length::from_mm(20);
    let needed = length(&problem);
    // Two a row with 20 mm between them would be 3 x 500 + 2 x 20 on clean cloth.
    assert!(needed > Length::from_mm(1_540), "{needed}");
}

#[test]
fn the_same_question_gets_the_same_answer() {
    let items = vec![
        item(trapezoid(150, 430, 745), 5, TWO_WAY),
        item(trapezoid(308, 428, 990), 4, TWO_WAY),
        item(rectangle(80, 1_040), 3, &Turn::ALL),
    ];
    let problem = problem(1_400, items);
    for threads in [1, 2] {
        let budget = Budget {
            threads,
            ..Budget::default()
        };
        let ask = || plan(&problem, &budget, &mut Silent).unwrap();
        assert_eq!(ask(), ask());
    }
}

#[test]
fn corners_stand_on_the_marking_step_where_they_can() {
    let step = Length::from_mm(1);
    let mut loose = problem(1_000, vec![item(rectangle(300, 400), 3, ONE_WAY)]);
    loose.items[0].outline =
        Outline::rectangle(Length::from_um(300_400), Length::from_um(400_700)).unwrap();
    let answer = plan(&loose, &Budget::default(), &mut Silent).unwrap();
    assert_eq!(answer.snap.on_step, 3);
    assert_eq!(answer.snap.largest_rounding, Length::ZERO);
    assert!(
        answer
            .marker
            .placements
            .iter()
            .all(|p| p.at.x % step.um() == 0)
    );
    // No room to give: 2 x 500.4 on 1000.8; the second piece has to stay where it is.
    let mut tight = loose.clone();
    tight.cloth.right = Length::from_um(1_000_800);
    tight.items[0].copies = 2;
    tight.items[0].outline =
        Outline::rectangle(Length::from_um(500_400), Length::from_um(400_000)).unwrap();
    let answer = plan(&tight, &Budget::default(), &mut Silent).unwrap();
    assert_eq!(answer.marker.length, Length::from_mm(400));
    assert_eq!(
        (answer.snap.on_step, answer.snap.largest_rounding.um()),
        (1, 400)
    );
}

/// A half ring of a circle skirt nests with its twin; its exact outline decides, not the coarse one.
#[test]
fn curved_pieces_are_laid_by_their_exact_outlines() {
    let at = |r: f64, k: i32, n: i32| {
        let angle = std::f64::consts::PI * f64::from(k) / f64::from(n);
        Point::new(
            (r * angle.cos()).round() as i64,
            (r * angle.sin()).round() as i64,
        )
    };
    let ring = (0..=60)
        .map(|k| at(730_000.0, k, 60))
        .chain((0..=25).rev().map(|k| at(100_000.0, k, 25)));
    let half = Outline::new(ring.collect()).unwrap();
    let mut upright = item(half.turned(1), 2, TWO_WAY);
    upright.label = "half ring".into();
    let needed = length(&problem(1_150, vec![upright]));
    assert!(needed < Length::from_mm(2 * 1_460), "{needed}");
}

/// A casing looks the same either way and is laid first, being longest; it may not fix its garment's turn.
#[test]
fn a_piece_that_looks_the_same_either_way_leaves_its_garment_free() {
    let mut items = Vec::new();
    for garment in 0..2 {
        let mut casing = item(rectangle(80, 600), 1, TWO_WAY);
        casing.garment = Some(garment);
        let mut panel = item(trapezoid(100, 300, 500), 1, TWO_WAY);
        panel.garment = Some(garment);
        items.extend([casing, panel]);
    }
    // Head to tail the panels take 2 x 200 + 100 and the casings 2 x 80: 660; one way 760.
    let problem = problem(660, items);
    assert_eq!(length(&problem), Length::from_mm(600));
}

/// A garment of pieces that may be turned in different ways takes a turn that all of them can, and is
/// refused where there is none.
#[test]
fn a_garment_takes_a_turn_that_all_its_pieces_can() {
    let mut items = vec![
        item(trapezoid(100, 300, 500), 1, TWO_WAY),
        item(trapezoid(150, 250, 400), 3, &Turn::ALL),
    ];
    for piece in &mut items {
        piece.garment = Some(0);
    }
    // Geometry: all one way they stand 300 + 3 x 250 = 1,050 wide in one row.
    assert_eq!(length(&problem(1_050, items.clone())), Length::from_mm(500));
    items[1].turns = vec![Turn::Quarter];
    let refused = plan(&problem(1_050, items), &Budget::default(), &mut Silent);
    assert!(
        matches!(refused, Err(PlanError::NoCommonTurn { .. })),
        "{refused:?}"
    );
}

/// Two hundred different sectors and no time at all: still a whole, checked marker.
#[test]
fn without_time_there_is_a_marker_all_the_same() {
    let items = (0..200)
        .map(|n| item(trapezoid(100 + n, 300 + n, 500 + n), 1, TWO_WAY))
        .collect();
    let mut problem = problem(1_400, items);
    problem.cloth.flaws = vec![rectangle(300, 200).moved(Point::new(0, mm(100)))];
    let budget = Budget {
        time: Some(std::time::Duration::ZERO),
        ..Budget::default()
    };
    let answer = plan(&problem, &budget, &mut Silent).unwrap();
    verify::marker(&problem, &answer.marker).unwrap();
}

/// Pieces further apart than the linear program lets them move still have to keep a wide spacing.
#[test]
fn a_wide_spacing_is_kept_too() {
    let items = vec![
        item(rectangle(308, 990), 3, TWO_WAY),
        item(rectangle(396, 990), 3, TWO_WAY),
        item(trapezoid(200, 500, 400), 2, TWO_WAY),
    ];
    for spacing in [130, 300, 500, 9_000_000] {
        let mut problem = problem(1_400, items.clone());
        problem.spacing = Length::from_mm(spacing);
        length(&problem);
    }
}

/// Geometry: 84 x 90 on 170 lies twice in a row of 90 (45 a piece) or once in a row of 84. Laying each piece
/// so that it ends lowest chooses the second.
#[test]
fn rows_lie_along_or_across_whichever_is_denser() {
    let either = &[Turn::None, Turn::Quarter];
    let problem = problem(170, vec![item(rectangle(84, 90), 300, either)]);
    let budget = Budget {
        steps: Some(1),
        ..Budget::default()
    };
    let answer = plan(&problem, &budget, &mut Silent).unwrap();
    assert_eq!(answer.marker.length, Length::from_mm(150 * 90));
}

/// A quarter of a disc, its centre at the origin; its corners lie on the disc, millimetres.
fn quarter_disc(radius: i64) -> Outline {
    let arc = (0..=24).map(|k| {
        let angle = f64::from(k) * std::f64::consts::FRAC_PI_2 / 24.0;
        let radius = mm(radius) as f64;
        Point::new((radius * angle.cos()) as i64, (radius * angle.sin()) as i64)
    });
    Outline::new(std::iter::once(Point::new(0, 0)).chain(arc).collect()).unwrap()
}

const ANY: &[Turn] = &[Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters];

/// Geometry: quarter discs of radius 83 on 110. Two with their round sides facing, in opposite corners, touch
/// where their centres are 166 apart, so 124.6 along; two pairs take no more than 249.2. Every first piece
/// ends equally low whichever way it is laid, and only some ways leave room for its partner.
#[test]
fn a_way_is_chosen_for_what_follows_it() {
    let needed = length(&problem(110, vec![item(quarter_disc(83), 4, ANY)]));
    assert!(needed <= Length::from_mm(250), "{needed}");
}

/// Whoever lays one wearer's pieces behind the other's needs the sum; together it is never more, but for
/// the last micrometres, far below what can be marked.
#[test]
fn two_wearers_together_take_no_more_than_one_behind_the_other() {
    let (first, second) = (
        item(quarter_disc(83), 4, ANY),
        item(quarter_disc(76), 4, ANY),
    );
    let alone = |item: &Item| length(&problem(110, vec![item.clone()]));
    let sum = alone(&first) + alone(&second);
    // In pairs as above: 2 x 124.6 + 2 x 104.9.
    assert!(sum <= Length::from_mm(460), "{sum}");
    let together = length(&problem(110, vec![first, second]));
    let most = sum + Length::from_um(100);
    assert!(together <= most, "{together} > {sum}");
}
