//! Regions as half-planes against the regions themselves, lines against all their spots, and the search
//! against the verifier.

use std::f64::consts::TAU;

use pieces::{Length, Outline, Point};
use proptest::prelude::*;

use super::field::Fields;
use super::line::{Line, Run};
use super::obstacles::{Obstacle, Obstacles};
use super::table::Place;
use super::view::View;
use super::weights::Weights;
use super::{Ends, Pace, Separator};
use crate::compact::compacted;
use crate::constructive::board::Regions;
use crate::constructive::rows::{Filling, rows};
use crate::constructive::{Layout, order};
use crate::geometry::tests::outlines;
use crate::geometry::{NoFit, convex_parts};
use crate::places::Grid;
use crate::polish::pushed_down;
use crate::problem::{Anchor, Cloth, Item, Lattice, Problem, Turn};
use crate::shapes::{Detail, Shapes};
use crate::verify;

fn region(a: &Outline, b: &Outline) -> NoFit {
    NoFit::of(&convex_parts(a), &convex_parts(b), None)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn there_is_depth_exactly_where_the_region_forbids(
        a in outlines(), b in outlines(), x in -18_i64..18, y in -18_i64..18,
    ) {
        let no_fit = region(&a, &b);
        let mut fields = Fields::none(Vec::new(), false);
        let index = fields.add(&no_fit);
        let depth = fields.depth(index, x as i32, y as i32);
        prop_assert_eq!(depth > 0.0, no_fit.forbids(Point::new(x, y)));
    }

    /// At the corners of large regions and next to them, where narrow floats are not sure.
    #[test]
    fn depths_and_stretches_are_exact_in_large_regions_too(
        a in outlines(), b in outlines(), scale in 10_000_i64..10_000_000, dx in -1_i64..=1, dy in -1_i64..=1,
    ) {
        let large = |outline: &Outline| {
            let corners = outline.points().iter();
            Outline::new(corners.map(|p| Point::new(scale * p.x, scale * p.y)).collect()).unwrap()
        };
        let no_fit = region(&large(&a), &large(&b));
        let mut fields = Fields::none(Vec::new(), false);
        let index = fields.add(&no_fit);
        for (number, part) in no_fit.parts.iter().enumerate() {
            for at in part.points.iter().map(|corner| corner.plus(Point::new(dx, dy))) {
                let depth = fields.depth(index, at.x as i32, at.y as i32);
                prop_assert_eq!(depth > 0.0, no_fit.forbids(at));
                for is_along in [true, false] {
                    let fixed = if is_along { at.x } else { at.y };
                    let Some([low, high]) = fields.stretch(number, fixed as i32, is_along) else {
                        continue;
                    };
                    let forbids = |v: i32| {
                        let v = i64::from(v);
                        part.forbids(if is_along { Point::new(fixed, v) } else { Point::new(v, fixed) })
                    };
                    prop_assert!(!forbids(low) && !forbids(high));
                    prop_assert!(high - low < 2 || forbids(low + 1) && forbids(high - 1));
                }
            }
        }
    }

    /// No whole spot between the ends is cheaper than the one that is found.
    #[test]
    fn a_line_is_followed_to_its_cheapest_spot(
        shapes in proptest::collection::vec((outlines(), -20_i64..20, -20_i64..20, 0.5..4.0_f32), 1..5),
        moving in outlines(), x in -10_i64..10, y in -10_i64..10, along in any::<bool>(), period in 1_i64..9,
    ) {
        let mut fields = Fields::none(Vec::new(), false);
        let mut seen = Vec::new();
        for (number, (fixed, dx, dy, _)) in shapes.iter().enumerate() {
            let region = fields.add(&region(fixed, &moving));
            let obstacle = Obstacle { x: *dx as i32, y: *dy as i32, region, piece: number as u32 };
            seen.push((fields.frame(region).moved(obstacle.x, obstacle.y), obstacle));
        }
        let mut obstacles = Obstacles::default();
        let list = obstacles.fill(&mut seen).to_vec();
        let factors = shapes.iter().map(|(_, _, _, factor)| *factor).chain([1.0]);
        let weights = Weights::new(factors.collect());
        let piece = shapes.len();
        let costs = weights.of(piece);
        let view = View { fields: &fields, obstacles: &obstacles, costs, piece: piece as u32 };
        let cost = |x: i32, y: i32| -> f32 {
            list.iter().map(|o| costs.of(o.piece) * fields.depth(o.region, x - o.x, y - o.y)).sum()
        };
        let place = Place { x: x as i32, y: y as i32, way: 0 };
        let lattice = Lattice {
            start: Point::new(2, 3),
            across: Length::from_um(if along { 1 } else { period }),
            along: Length::from_um(if along { period } else { 1 }),
            columns: 1,
        };
        let grid = Grid::new(&lattice, Point::default(), Point::default());
        let spots = if along { grid.along(x) } else { grid.across(y) };
        let run = Run { place, is_along: along, ends: [-30, 30], spots };
        let (spot, least) = Line::default().cheapest(&view, run, f32::INFINITY);
        let is_allowed = |v: i32| {
            let v = i64::from(v);
            grid.allows(if along { Point::new(x, v) } else { Point::new(v, y) })
        };
        prop_assert!(is_allowed(spot));
        let at = |v: i32| if along { cost(place.x, v) } else { cost(v, place.y) };
        prop_assert!((at(spot) - least).abs() < 1e-4);
        for v in (-30..=30).filter(|&v| is_allowed(v)) {
            prop_assert!(at(v) > least - 1e-4, "{} at {}: {}", least, v, at(v));
        }
    }
}

/// A job of free shapes, a flaw in the cloth, garments that are turned as one.
fn jobs() -> impl Strategy<Value = Problem> {
    let item = (outlines(), 1_u32..4, any::<bool>(), any::<bool>());
    (proptest::collection::vec(item, 1..5), 0_i64..3).prop_map(|(items, spacing)| {
        let items =
            items
                .into_iter()
                .enumerate()
                .map(|(number, (outline, copies, turned, garment))| Item {
                    label: format!("piece {number}"),
                    outline,
                    copies,
                    turns: if turned {
                        vec![Turn::None, Turn::Half]
                    } else {
                        Turn::ALL.to_vec()
                    },
                    may_mirror: !turned,
                    garment: garment.then_some(0),
                    anchor: None,
                });
        let flaw = [(3, 5), (6, 5), (6, 9), (3, 9)].map(|(x, y)| Point::new(x, y));
        Problem {
            cloth: Cloth {
                left: Length::ZERO,
                right: Length::from_um(24),
                flaws: vec![Outline::new(flaw.to_vec()).unwrap()],
                on_hand: Vec::new(),
                sold: None,
            },
            items: items.collect(),
            spacing: Length::from_um(spacing),
            marking_step: None,
            cutting: Default::default(),
        }
    })
}

fn in_rows(problem: &Problem, shapes: &Shapes) -> Layout {
    let mut regions = Regions::new(problem, shapes, Detail::Fine);
    rows(problem, shapes, &mut regions, Filling::Longest, &|| false).0
}

fn separated(problem: &Problem, shapes: &Shapes, start: &Layout, steps: u64) -> Layout {
    separated_on(problem, shapes, start, Ends::Cut, steps)
}

fn separated_on(
    problem: &Problem,
    shapes: &Shapes,
    start: &Layout,
    ends: Ends,
    steps: u64,
) -> Layout {
    let fields = Fields::of(problem, shapes, u64::MAX).unwrap();
    let mut separator = Separator::new(problem, shapes, &fields, start, ends, &[], 7).unwrap();
    let goal = 0;
    let half = |spent: u64| spent as f64 / steps as f64;
    let pace = Pace {
        share: &half,
        goal,
        tell: &|_| {},
    };
    separator.explore(&pace);
    let whole = |spent: u64| spent as f64 / (2 * steps) as f64;
    separator.compress(&Pace {
        share: &whole,
        ..pace
    });
    separator.best().clone()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn whatever_it_lays_is_valid_and_never_longer(problem in jobs()) {
        let shapes = Shapes::of(&problem);
        let start = in_rows(&problem, &shapes);
        let laid = separated(&problem, &shapes, &start, 2_000);
        prop_assert!(laid.length <= start.length);
        prop_assert_eq!(laid.laid.len(), order::copies(&problem).len());
        let marker = crate::plan::to_marker(&problem, &shapes, &laid);
        prop_assert!(verify::marker(&problem, &marker).is_ok());
        prop_assert_eq!(&separated(&problem, &shapes, &start, 2_000), &laid);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// What is remembered from move to move is what is there.
    #[test]
    fn overlaps_after_moves_are_all_there_are(problem in jobs()) {
        let shapes = Shapes::of(&problem);
        let fields = Fields::of(&problem, &shapes, u64::MAX).unwrap();
        let start = in_rows(&problem, &shapes);
        for ends in [Ends::Cut, Ends::Joined] {
            let separator = Separator::new(&problem, &shapes, &fields, &start, ends, &[], 7);
            let mut separator = separator.unwrap();
            if !separator.ask(0.4, 0) {
                continue;
            }
            let mut overlaps = separator.table.overlaps();
            for _ in 0..12 {
                separator.table.weights.change(&overlaps);
                overlaps = separator.round(overlaps);
                let table = &mut separator.table;
                table.set_places(table.places().to_vec());
                let mut anew = table.overlaps();
                for known in [&mut anew, &mut overlaps] {
                    for o in &mut *known {
                        if o.other.is_some_and(|other| other > o.piece) {
                            (o.piece, o.other) = (o.other.unwrap(), Some(o.piece));
                        }
                    }
                    known.sort_by_key(|o| (o.piece, o.other));
                }
                prop_assert_eq!(anew.len(), overlaps.len());
                for (one, other) in anew.iter().zip(&overlaps) {
                    prop_assert_eq!((one.piece, one.other), (other.piece, other.other));
                    // Two of one shape, which is not convex, are not as deep for the one as for the other.
                    let shape = |piece: usize| table.shape(piece);
                    let are_alike = one.other.is_some_and(|o| shape(o) == shape(one.piece));
                    prop_assert!(are_alike || (one.depth / other.depth - 1.0).abs() < 1e-3);
                }
            }
        }
    }
}

/// The same jobs on a print, which some items need not keep to and some only need to match on.
fn printed() -> impl Strategy<Value = Problem> {
    let lattice = (0_i64..9, 0_i64..9, 0_i64..6, 4_i64..9, 1_u32..4);
    let anchors = proptest::collection::vec((0_i64..5, 0_i64..5, 0_u8..3), 5);
    (jobs(), lattice, anchors).prop_map(|(mut problem, (x, y, across, along, columns), anchors)| {
        for (item, (px, py, kind)) in problem.items.iter_mut().zip(anchors) {
            item.anchor = (kind > 0).then_some(Anchor {
                point: Point::new(px, py),
                lattice: Lattice {
                    start: Point::new(x, y),
                    across: Length::from_um(across),
                    along: Length::from_um(along),
                    columns,
                },
                set: (kind == 2).then_some(0),
            });
        }
        problem
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn it_keeps_to_the_print(problem in printed()) {
        let shapes = Shapes::of(&problem);
        prop_assume!(shapes.variants.iter().all(|ways| !ways.is_empty()));
        let start = in_rows(&problem, &shapes);
        let laid = separated(&problem, &shapes, &start, 2_000);
        prop_assert!(laid.length <= start.length);
        let marker = crate::plan::to_marker(&problem, &shapes, &laid);
        prop_assert_eq!(verify::marker(&problem, &marker), Ok(()));
        let mut regions = Regions::new(&problem, &shapes, Detail::Fine);
        let pushed = pushed_down(&problem, &shapes, &mut regions, start.clone(), &|| false);
        let slid = compacted(&problem, &shapes, &mut regions, start.clone(), &|| false);
        for (engine, layout) in [("rows", start), ("pushed", pushed), ("slid", slid)] {
            let marker = crate::plan::to_marker(&problem, &shapes, &layout);
            prop_assert_eq!(verify::marker(&problem, &marker), Ok(()), "{}", engine);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Three rounds of an endless cloth, cut open.
    #[test]
    fn rounds_of_an_endless_cloth_go_on_in_each_other(mut problem in jobs()) {
        problem.cloth.flaws.clear();
        let shapes = Shapes::of(&problem);
        let mut start = in_rows(&problem, &shapes);
        start.length += problem.spacing.um();
        let round = separated_on(&problem, &shapes, &start, Ends::Joined, 2_000);
        prop_assert!(round.length <= start.length);
        for item in &mut problem.items {
            item.copies *= 3;
        }
        let mut laid = Vec::new();
        for k in 0..3 {
            laid.extend(round.laid.iter().map(|l| crate::constructive::Laid {
                piece: crate::constructive::PieceId { copy: 3 * l.piece.copy + k, ..l.piece },
                at: l.at.plus(Point::new(0, i64::from(k) * round.length)),
                ..*l
            }));
        }
        let end = |l: &crate::constructive::Laid| l.at.y + shapes.shape(l.variant.shape).along;
        let length = laid.iter().map(end).max().unwrap();
        let marker = crate::plan::to_marker(&problem, &shapes, &Layout { laid, length });
        prop_assert!(verify::marker(&problem, &marker).is_ok());
    }
}

/// Half rings, each a little larger than the last.
fn half_rings(count: i64) -> Problem {
    let items = (0..count).map(|number| {
        let corner = |radius: i64, k: i32| {
            let angle = f64::from(k) * TAU / 80.0;
            let reach = (radius + 1_000 * number) as f64;
            Point::new((reach * angle.cos()) as i64, (reach * angle.sin()) as i64)
        };
        let outer = (0..=40).map(|k| corner(700_000, k));
        let inner = (0..=40).rev().map(|k| corner(200_000, k));
        Item {
            label: "half ring".into(),
            outline: Outline::new(outer.chain(inner).collect()).unwrap(),
            copies: 1,
            turns: vec![Turn::None, Turn::Half],
            may_mirror: false,
            garment: None,
            anchor: None,
        }
    });
    Problem {
        cloth: Cloth {
            right: Length::from_um(2_000_000),
            ..Cloth::default()
        },
        items: items.collect(),
        ..Problem::default()
    }
}

#[test]
fn regions_that_would_fill_the_memory_are_not_begun() {
    let fields = |problem: &Problem| Fields::of(problem, &Shapes::of(problem), 0).is_some();
    assert!(fields(&half_rings(5)));
    assert!(!fields(&half_rings(200)));
}

/// Nothing is searched on a cloth wider than 536 m.
#[test]
fn what_is_too_large_to_be_exact_is_not_begun() {
    let mut problem = half_rings(1);
    problem.cloth.right = Length::from_um(1 << 30);
    assert!(Fields::of(&problem, &Shapes::of(&problem), u64::MAX).is_none());
}

/// Geometry: two right triangles that are halves of a rectangle of 300 by 400 fit into 400, laid apart
/// they take 800 on a cloth of that width.
#[test]
fn two_halves_of_a_rectangle_find_each_other() {
    let half = [(0, 0), (300, 0), (0, 400)].map(|(x, y)| Point::new(x * 1_000, y * 1_000));
    let problem = Problem {
        cloth: Cloth {
            right: Length::from_um(300_000),
            ..Cloth::default()
        },
        items: vec![Item {
            label: "half".into(),
            outline: Outline::new(half.to_vec()).unwrap(),
            copies: 2,
            turns: vec![Turn::None, Turn::Half],
            may_mirror: false,
            garment: None,
            anchor: None,
        }],
        ..Problem::default()
    };
    let shapes = Shapes::of(&problem);
    let variant = shapes.variants[0][0];
    let laid = |(copy, y): (u32, i64)| crate::constructive::Laid {
        piece: crate::constructive::PieceId { item: 0, copy },
        variant,
        at: Point::new(0, y),
    };
    let apart = Layout {
        laid: [(0, 0), (1, 400_000)].map(laid).to_vec(),
        length: 800_000,
    };
    let found = separated(&problem, &shapes, &apart, 20_000);
    assert_eq!(found.length, 400_000);
}
