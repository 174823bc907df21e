//! Pieces and jobs to lay in tests, in millimetres; and random ones.
//!
//! To use it from another test file: `mod jobs;`.

#![allow(dead_code, reason = "every test file takes the shapes that it needs")]

use std::f64::consts::PI;

use nesting::{Cloth, Item, Problem, Turn};
use pieces::{Length, Outline, Point};
use rand::{Rng, RngExt};

pub const ONE_WAY: &[Turn] = &[Turn::None];
pub const TWO_WAY: &[Turn] = &[Turn::None, Turn::Half];

pub fn mm(v: i64) -> i64 {
    v * 1_000
}

/// By its corners, in micrometres.
pub fn outline(corners: &[(i64, i64)]) -> Outline {
    let corners = corners.iter().map(|&(x, y)| Point::new(x, y));
    Outline::new(corners.collect()).unwrap()
}

fn polygon(corners: &[(i64, i64)]) -> Outline {
    let corners: Vec<(i64, i64)> = corners.iter().map(|&(x, y)| (mm(x), mm(y))).collect();
    outline(&corners)
}

/// An isosceles trapezoid standing on its wide edge.
pub fn trapezoid(top: i64, foot: i64, along: i64) -> Outline {
    let inset = mm(foot - top) / 2;
    Outline::new(vec![
        Point::new(0, 0),
        Point::new(mm(foot), 0),
        Point::new(mm(foot) - inset, mm(along)),
        Point::new(inset, mm(along)),
    ])
    .unwrap()
}

pub fn rectangle(across: i64, along: i64) -> Outline {
    Outline::rectangle(Length::from_mm(across), Length::from_mm(along)).unwrap()
}

/// A rectangle whose upper right corner is missing.
pub fn step(across: i64, along: i64, missing: (i64, i64)) -> Outline {
    let (inner, upper) = (across - missing.0, along - missing.1);
    polygon(&[
        (0, 0),
        (across, 0),
        (across, upper),
        (inner, upper),
        (inner, along),
        (0, along),
    ])
}

/// A quarter of a ring between two radii, its corners rounded to micrometres.
pub fn sector(waist: i64, hem: i64) -> Outline {
    let at = |radius: i64, k: i32, of: i32| {
        let angle = PI / 2.0 * f64::from(k) / f64::from(of);
        let radius = mm(radius) as f64;
        Point::new(
            (radius * angle.cos()).round() as i64,
            (radius * angle.sin()).round() as i64,
        )
    };
    let hem = (0..=12).map(|k| at(hem, k, 12));
    let waist = (0..=4).rev().map(|k| at(waist, k, 4));
    Outline::new(hem.chain(waist).collect()).unwrap()
}

pub fn item(outline: Outline, copies: u32, turns: &[Turn]) -> Item {
    Item {
        label: "panel".into(),
        outline,
        copies,
        turns: turns.to_vec(),
        may_mirror: false,
        garment: None,
        anchor: None,
    }
}

pub fn problem(width: i64, items: Vec<Item>) -> Problem {
    Problem {
        cloth: Cloth {
            right: Length::from_mm(width),
            ..Cloth::default()
        },
        items,
        spacing: Length::ZERO,
        marking_step: Some(Length::from_mm(1)),
        cutting: Default::default(),
    }
}

/// On so many micrometres, without a marking step.
pub fn problem_um(usable: i64, items: Vec<Item>) -> Problem {
    Problem {
        cloth: Cloth {
            right: Length::from_um(usable),
            ..Cloth::default()
        },
        items,
        ..Problem::default()
    }
}

/// Six panels and a band, with something to gain for every engine.
pub fn mixed() -> Problem {
    problem(
        1_000,
        vec![
            item(trapezoid(100, 300, 500), 2, TWO_WAY),
            item(trapezoid(150, 390, 420), 2, TWO_WAY),
            item(step(320, 380, (150, 170)), 2, TWO_WAY),
            item(rectangle(90, 560), 1, ONE_WAY),
        ],
    )
}

/// Panels, bands, steps and sectors of random sizes in copies, so many pieces in all; one-way, two-way, two-way by
/// garments, or in any turn; one in three with flaws and one in three with a spacing.
pub fn random_problem(random: &mut impl Rng, pieces: u32) -> Problem {
    let direction = random.random_range(0..4);
    let turns = [ONE_WAY, TWO_WAY, TWO_WAY, &Turn::ALL][direction];
    let mut left = pieces;
    let mut items = Vec::new();
    while left > 0 {
        let copies = random.random_range(1..=left.min(4));
        left -= copies;
        let mut piece = item(random_outline(random), copies, turns);
        piece.may_mirror = random.random_range(0..4) == 0;
        piece.garment = (direction == 2).then(|| random.random_range(0..2));
        items.push(piece);
    }
    let mut problem = problem(random.random_range(700..1_500), items);
    if random.random_range(0..2) == 0 {
        problem.marking_step = None;
    }
    if random.random_range(0..3) == 0 {
        problem.spacing = Length::from_mm(random.random_range(1..20));
    }
    if random.random_range(0..3) == 0 {
        for _ in 0..random.random_range(1..3) {
            let at = Point::new(
                mm(random.random_range(0..700)),
                mm(random.random_range(0..900)),
            );
            problem.cloth.flaws.push(rectangle(30, 60).moved(at));
        }
    }
    problem
}

fn random_outline(random: &mut impl Rng) -> Outline {
    let mut any = |from: i64, to: i64| random.random_range(from..to);
    match any(0, 4) {
        0 => rectangle(any(60, 500), any(100, 690)),
        1 => {
            let top = any(80, 300);
            trapezoid(top, top + 2 * any(10, 150), any(200, 690))
        }
        2 => {
            let (across, along) = (any(150, 500), any(200, 690));
            step(across, along, (any(50, across - 50), any(50, along - 50)))
        }
        _ => {
            let waist = any(60, 150);
            sector(waist, waist + any(100, 400))
        }
    }
}
