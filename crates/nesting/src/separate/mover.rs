//! The cheapest place for one piece while all others lie still.
//!
//! Random places all over the cloth and around where it lies now, in random ways; the cheapest is then
//! moved along lines to their minimum, along the cloth and across it by turns, while that gains.

use rand::{Rng, RngExt};

use super::line::{Line, Run};
use super::table::{Place, Table};
use super::view::View;

/// Random places all over the cloth, and near the present one: within this share of the piece's size.
const ANYWHERE: usize = 25;
const NEARBY: usize = 15;
const NEAR: f64 = 0.25;

/// Lines tried from a place at most, and how far along them, in sizes of the piece. The random places see to
/// what lies further off.
const LINES: usize = 8;
const REACH: f64 = 0.4;

/// Moves pieces; keeps its working memory between moves, and counts.
#[derive(Default)]
pub struct Mover {
    line: Line,
    steps: u64,
}

impl Mover {
    /// Obstacles, parts of them, and spots looked at so far.
    pub fn steps(&self) -> u64 {
        self.steps + self.line.steps
    }

    /// Moves the piece to a cheaper place, if one is found; true if it moved.
    pub fn move_piece(
        &mut self,
        table: &mut Table<'_>,
        piece: usize,
        random: &mut impl Rng,
    ) -> bool {
        let now = table.place(piece);
        table.look_around(piece, now.way);
        let view = table.view(piece, now.way);
        let cost_now = view.cost(now.x, now.y, f32::INFINITY, &mut self.steps);
        if cost_now == 0.0 {
            return false;
        }
        let ways: Vec<usize> = table.ways(piece).collect();
        for &way in &ways {
            table.look_around(piece, way);
        }
        let ways = ways.iter().map(|&way| Choice::of(table, piece, way, now));
        let choices: Vec<Choice<'_>> = ways.collect();
        let mut best = (cost_now, now);
        for sample in 0..ANYWHERE + NEARBY {
            if choices.is_empty() {
                break;
            }
            let choice = &choices[random.random_range(0..choices.len() as u32) as usize];
            let window = if sample < ANYWHERE {
                choice.anywhere
            } else {
                choice.nearby
            };
            let place = table.on_print(piece, window.pick(choice.way, random));
            let cost = choice.view.cost(place.x, place.y, best.0, &mut self.steps);
            if cost < best.0 {
                best = (cost, place);
            }
        }
        drop(choices);
        let (cost, place) = self.along_lines(table, piece, best);
        table.set_place(piece, place);
        cost < cost_now
    }

    fn along_lines(
        &mut self,
        table: &Table<'_>,
        piece: usize,
        (mut cost, mut place): (f32, Place),
    ) -> (f32, Place) {
        let way = *table.way(piece, place.way);
        let view = table.view(piece, place.way);
        let mut idle = 0;
        for number in 0..LINES {
            let is_along = number % 2 == 0;
            let ends = if is_along {
                let reach = (REACH * f64::from(way.along)) as i32;
                table.within(&way, [place.y - reach, place.y + reach])
            } else {
                let reach = (REACH * f64::from(way.across)) as i32;
                let [left, right] = table.room_across(&way);
                [left.max(place.x - reach), right.min(place.x + reach)]
            };
            let run = Run {
                place,
                is_along,
                ends,
                spots: way.spots(place, is_along),
            };
            let (spot, least) = self.line.cheapest(&view, run, cost);
            if least < cost {
                cost = least;
                if is_along {
                    place.y = spot;
                } else {
                    place.x = spot;
                }
                place = table.inside(piece, place);
                idle = 0;
            } else {
                idle += 1;
            }
            if cost == 0.0 || idle == 2 {
                break;
            }
        }
        (cost, place)
    }
}

/// Least and greatest x and y, both allowed.
#[derive(Clone, Copy)]
struct Window {
    x: [i32; 2],
    y: [i32; 2],
}

impl Window {
    #[inline]
    fn pick(self, way: usize, random: &mut impl Rng) -> Place {
        let mut pick = |[low, high]: [i32; 2]| random.random_range(low..=high.max(low));
        Place {
            x: pick(self.x),
            y: pick(self.y),
            way,
        }
    }
}

/// A way to lay the piece, and where.
struct Choice<'t> {
    way: usize,
    view: View<'t>,
    anywhere: Window,
    nearby: Window,
}

impl<'t> Choice<'t> {
    fn of(table: &'t Table<'_>, piece: usize, way: usize, now: Place) -> Self {
        let size = table.way(piece, way);
        let [left, right] = table.room_across(size);
        let clamp = |v: i32| v.min(right).max(left);
        let near = |size: i32| (NEAR * f64::from(size)) as i32;
        let (dx, dy) = (near(size.across), near(size.along));
        Choice {
            way,
            view: table.view(piece, way),
            anywhere: Window {
                x: [left, right],
                y: table.room_along(size),
            },
            nearby: Window {
                x: [clamp(now.x - dx), clamp(now.x + dx)],
                y: table.within(size, [now.y - dy, now.y + dy]),
            },
        }
    }
}
