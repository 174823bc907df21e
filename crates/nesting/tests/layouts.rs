//! No bound may be above the length of a layout that exists.
//!
//! Layouts are made the other way round: a cloth is cut into rows and every row, by bent or straight
//! cuts, into pieces, so the pieces are known to fit. Some are left out, all are turned at random.
//! The independent verifier confirms each layout first.

use nesting::{Argument, Bound, Cloth, Item, Marker, Placement, Problem, Turn, bound, verify};
use pieces::{Length, Outline, Point};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// Bends of a ragged cut: so many that bounds take a simpler shape for the piece.
const RAGGED: i64 = 20;

struct Known {
    problem: Problem,
    marker: Marker,
}

/// A cut from the foot of a row to its head: straight, bent once, or ragged.
fn cut(random: &mut Xoshiro256PlusPlus, near: i64, far: i64, from: i64, to: i64) -> Vec<Point> {
    let mut cut = vec![Point::new(random.random_range(from..to), near)];
    if random.random_range(0..6) == 0 && far - near > RAGGED {
        let bend = |k| near + (far - near) * k / RAGGED;
        cut.extend((1..RAGGED).map(|k| Point::new(random.random_range(from..to), bend(k))));
    } else if random.random_range(0..3) == 0 && far - near > 2 {
        let y = random.random_range(near + 1..far);
        cut.push(Point::new(random.random_range(from..to), y));
    }
    cut.push(Point::new(random.random_range(from..to), far));
    cut
}

fn cut_cloth(random: &mut Xoshiro256PlusPlus, spacing: i64) -> Known {
    let usable = random.random_range(500..2_000);
    let mut problem = Problem {
        cloth: Cloth {
            right: Length::from_um(usable),
            ..Cloth::default()
        },
        spacing: Length::from_um(spacing),
        ..Problem::default()
    };
    let mut placements = Vec::new();
    let mut y = 0;
    for _ in 0..random.random_range(1..5) {
        let (near, far) = (y, y + random.random_range(50..1_000));
        y = far + spacing;
        let count = random.random_range(1..5_i64);
        let share = usable / count;
        let mut left = vec![Point::new(0, near), Point::new(0, far)];
        for place in 1..=count {
            let right = if place == count {
                vec![Point::new(usable, near), Point::new(usable, far)]
            } else {
                let middle = place * share;
                cut(
                    random,
                    near,
                    far,
                    middle - share / 2 + 1,
                    middle + share / 2,
                )
            };
            // Straight cuts only where a spacing has to be kept along them, one micrometre to spare
            // in it: the cut is moved across by more than the spacing times its lean.
            let corners: Vec<Point> = left.iter().rev().chain(&right).copied().collect();
            let shift = if spacing == 0 {
                0
            } else {
                let lean = right
                    .windows(2)
                    .map(|w| (w[1].x - w[0].x).abs() * 2 / (w[1].y - w[0].y).max(1));
                spacing * (2 + lean.max().unwrap_or(0))
            };
            left = right
                .into_iter()
                .map(|p| Point::new(p.x + shift, p.y))
                .collect();
            let Ok(outline) = Outline::new(corners) else {
                continue;
            };
            if random.random_range(0..5) == 0 {
                continue;
            }
            lay(random, &mut problem, &mut placements, &outline);
        }
    }
    let greatest = placements
        .iter()
        .map(|p| problem.placed(p).bounds().max.y)
        .max()
        .unwrap_or(0);
    let marker = Marker {
        placements,
        length: Length::from_um(greatest),
    };
    Known { problem, marker }
}

/// Bows, or zigzags, one in the other, cut across the cloth from edge to edge and laid on as much cloth or more.
fn cut_across(random: &mut Xoshiro256PlusPlus) -> Known {
    let width: i64 = random.random_range(300..1_000);
    let mut problem = Problem {
        cloth: Cloth {
            right: Length::from_um(
                width + random.random_range(0..width) * random.random_range(0..2),
            ),
            ..Cloth::default()
        },
        ..Problem::default()
    };
    let bends: i64 = random.random_range(1..5);
    let bow: Vec<i64> = (0..=bends).map(|_| random.random_range(0..500)).collect();
    let noise = random.random_range(1..60);
    let line = |y: i64, random: &mut Xoshiro256PlusPlus| -> Vec<Point> {
        let bend = |(k, &bow): (usize, &i64)| {
            let y = y + bow + random.random_range(0..noise);
            Point::new(k as i64 * width / bends, y)
        };
        bow.iter().enumerate().map(bend).collect()
    };
    let mut placements = Vec::new();
    let mut y = 0;
    let mut below = line(y, random);
    for _ in 0..random.random_range(2..7) {
        y += noise + random.random_range(1..300);
        let above = line(y, random);
        let corners: Vec<Point> = below.iter().chain(above.iter().rev()).copied().collect();
        below = above;
        if let Ok(outline) = Outline::new(corners)
            && random.random_range(0..6) > 0
        {
            lay(random, &mut problem, &mut placements, &outline);
        }
    }
    let bounds = placements.iter().map(|p| problem.placed(p).bounds());
    let (low, high) = bounds.fold((i64::MAX, i64::MIN), |(low, high), b| {
        (low.min(b.min.y), high.max(b.max.y))
    });
    for placement in &mut placements {
        placement.at = placement.at.minus(Point::new(0, low));
    }
    let marker = Marker {
        placements,
        length: Length::from_um(high.saturating_sub(low).max(0)),
    };
    Known { problem, marker }
}

/// Adds the outline, as it lies, as an item of its own, given in another turn than it lies in.
fn lay(
    random: &mut Xoshiro256PlusPlus,
    problem: &mut Problem,
    placements: &mut Vec<Placement>,
    outline: &Outline,
) {
    let allowed: &[Turn] = [
        &[Turn::None][..],
        &[Turn::Half],
        &[Turn::None, Turn::Half],
        &Turn::ALL,
    ][random.random_range(0..4)];
    let turn = allowed[random.random_range(0..allowed.len())];
    // All of a garment are turned alike.
    let garment = (random.random_range(0..3) == 0).then(|| u32::from(turn.quarters()));
    let item = problem.items.len();
    problem.items.push(Item {
        label: format!("piece {item}"),
        outline: outline.turned(4 - turn.quarters()),
        copies: 1,
        turns: allowed.to_vec(),
        may_mirror: random.random_range(0..2) == 0,
        garment,
        anchor: None,
    });
    placements.push(Placement {
        item,
        copy: 0,
        turn,
        mirrored: false,
        at: Point::new(0, 0),
    });
}

#[test]
fn no_bound_is_above_a_layout_that_exists() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(4);
    hold(240, [120, 40], |round| {
        let spacing = [0, 0, 7, 0, 40, 23][round % 6];
        cut_cloth(&mut random, spacing)
    });
}

#[test]
fn no_bound_is_above_bows_that_lie_in_each_other() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(5);
    hold(120, [100, 40], |_| cut_across(&mut random));
}

/// Bounds against known layouts; so many of them must be valid, and so many bounds near them.
fn hold(rounds: usize, least: [usize; 2], mut known: impl FnMut(usize) -> Known) {
    let (mut valid, mut tight, mut by_sides, mut abreast) = (0, 0, 0, 0);
    for round in 0..rounds {
        let known = known(round);
        if known.marker.placements.is_empty()
            || verify::marker(&known.problem, &known.marker).is_err()
        {
            continue;
        }
        valid += 1;
        let best = bound::best(&known.problem);
        let length = known.marker.length;
        assert!(
            best.length <= length,
            "{best:?} above {length}: {:?}",
            known.problem
        );
        assert_eq!(
            bound::refuse(&known.problem, length),
            None,
            "{:?}",
            known.problem
        );
        by_sides += usize::from(hold_by_sides(&known));
        abreast += usize::from(holds_abreast(&known));
        tight += usize::from(best.length * 100 >= length * 95);
    }
    println!(
        "{valid} layouts, {tight} bounds within 5 % of them, {by_sides} where sides refuse a tenth less, \
         {abreast} where parts abreast say more than half"
    );
    assert!(valid > least[0] && tight > least[1], "{valid} {tight}");
    assert!(by_sides > 0 && abreast > 0);
}

/// Parts abreast say no more than there is. Whether they say more than half of it, and then their argument is one.
fn holds_abreast(known: &Known) -> bool {
    const WORK: u64 = 20_000_000;
    let (problem, length) = (&known.problem, known.marker.length);
    let half = Bound {
        length: Length::from_um(length.um() / 2),
        argument: Argument::Area,
    };
    let greater = bound::greater_abreast(problem, &half, WORK, &|| false);
    let is_one = |bound: &Bound| bound.length <= length && bound::recheck(problem, bound);
    assert!(
        greater.iter().all(is_one),
        "{greater:?} above {length}: {problem:?}"
    );
    greater.is_some()
}

/// The search by sides refuses neither the length of a layout nor more. Whether it refuses a tenth less, and then its
/// argument is one.
fn hold_by_sides(known: &Known) -> bool {
    const WORK: u64 = 20_000_000;
    let problem = &known.problem;
    let length = known.marker.length;
    for more in [0, 1, length.um() / 7] {
        let more = length + Length::from_um(more);
        let refused = bound::refuse_by_sides(problem, more, WORK);
        assert!(refused.is_none(), "{more}: {problem:?}");
    }
    let refused = bound::refuse_by_sides(problem, Length::from_um(length.um() * 9 / 10), WORK);
    let is_shown = |bound: &Bound| bound::recheck(problem, bound);
    assert!(refused.iter().all(is_shown), "{refused:?}: {problem:?}");
    refused.is_some()
}
