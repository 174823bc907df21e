//! A thousand pieces of twenty shapes: panels flared and straight, sectors of circle skirts, gores with a step,
//! bands.

use std::f64::consts::PI;

use nesting::Turn;
use pieces::{Outline, Point};
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::case::{Case, item};
use crate::rows;

const SHAPES: usize = 20;
const COPIES: u32 = 50;
const WIDTH: i64 = 1_480_000;

/// The order two-way and one-way, or two-way only.
pub fn cases(seed: u64, few: bool) -> Result<Vec<Case>, String> {
    let ways: &[(&str, &[Turn])] = &[
        ("two-way", &[Turn::None, Turn::Half]),
        ("one-way", &[Turn::None]),
    ];
    let mut cases = Vec::new();
    for (way, turns) in &ways[..if few { 1 } else { 2 }] {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
        let piece = |kind| {
            item(
                format!("shape {kind}"),
                shape(&mut random, kind),
                COPIES,
                turns,
            )
        };
        let items = (0..SHAPES).map(piece).collect();
        let mut case = Case::new(format!("1000 of 20 shapes, {way}"), WIDTH, items, None);
        case.rival = Some(rows::length(&case.instance.problem)?);
        cases.push(case);
    }
    Ok(cases)
}

fn shape(random: &mut impl Rng, kind: usize) -> Outline {
    let mut mm = |from: i64, to: i64| random.random_range(from..to) * 1_000;
    let corners = match kind % 4 {
        0 => {
            let (top, flare, along) = (mm(150, 450), mm(40, 150), mm(500, 1_050));
            let foot = top + 2 * flare;
            vec![(0, 0), (foot, 0), (foot - flare, along), (flare, along)]
        }
        1 => {
            let (across, along) = (mm(60, 500), mm(300, 1_000));
            vec![(0, 0), (across, 0), (across, along), (0, along)]
        }
        2 => {
            let (waist, hem) = (mm(80, 140) as f64, mm(450, 750) as f64);
            let at = |radius: f64, k: i32, of: i32| {
                let angle = PI * (0.25 + 0.5 * f64::from(k) / f64::from(of));
                let (x, y) = (radius * angle.cos(), radius * angle.sin());
                (x.round() as i64, y.round() as i64)
            };
            let outer = (0..=24).map(|k| at(hem, k, 24));
            outer
                .chain((0..=8).rev().map(|k| at(waist, k, 8)))
                .collect()
        }
        _ => {
            let (across, along, step) = (mm(200, 450), mm(400, 800), mm(60, 150));
            vec![
                (0, 0),
                (across, 0),
                (across, along / 2),
                (across - step, along / 2),
                (across - step, along),
                (0, along),
            ]
        }
    };
    let corners = corners.into_iter().map(|(x, y)| Point::new(x, y));
    Outline::new(corners.collect()).expect("a simple polygon")
}
