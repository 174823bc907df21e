//! The cheapest place for one piece while all others lie still.
//!
//! Random places all over the cloth and around where it lies now, in random ways; the cheapest is then
//! moved along lines to their minimum, along the cloth and across it by turns, while that gains.

use rand::{Rng, RngExt};

use super::field::{Fields, Frame};
use super::line::{Line, Run};
use super::obstacles::Obstacles;
use super::table::{Place, Table};

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
    /// By way of the piece.
    obstacles: Vec<Obstacles>,
    known: Vec<bool>,
    line: Line,
    steps: u64,
}

impl Mover {
    /// Obstacles, parts of them, and spots looked at so far.
    pub fn steps(&self) -> u64 {
        self.steps + self.line.steps
    }

    fn prepare(&mut self, table: &Table<'_>, piece: usize, way: usize) {
        if self.obstacles.len() <= way {
            self.obstacles.resize_with(way + 1, Obstacles::default);
            self.known.resize(way + 1, false);
        }
        if !self.known[way] {
            table.obstacles(piece, way, &mut self.obstacles[way]);
            self.steps += self.obstacles[way].len() as u64;
            self.known[way] = true;
        }
    }

    /// The cost of a place, or any number not below `most` as soon as that is sure.
    fn cost(&mut self, fields: &Fields, place: Place, most: f64) -> f64 {
        let obstacles = &self.obstacles[place.way];
        self.steps += obstacles.len() as u64 / 8 + 4;
        let mut sum = 0.0;
        obstacles.near(Frame::at(place.x, place.y), |_, o| {
            self.steps += 2 + 2 * fields.parts(o.region).len() as u64;
            sum += o.weight * fields.depth(o.region, place.x - o.x, place.y - o.y);
            sum < most
        });
        sum
    }

    /// Moves the piece to a cheaper place, if one is found; true if it moved.
    pub fn move_piece(
        &mut self,
        table: &mut Table<'_>,
        piece: usize,
        random: &mut impl Rng,
    ) -> bool {
        self.known.fill(false);
        let now = table.place(piece);
        self.prepare(table, piece, now.way);
        let cost_now = self.cost(table.fields, now, f64::INFINITY);
        if cost_now == 0.0 {
            return false;
        }
        let mut best = (cost_now, now);
        let ways: Vec<usize> = table.ways(piece).collect();
        for sample in 0..ANYWHERE + NEARBY {
            if ways.is_empty() {
                break;
            }
            let way = ways[random.random_range(0..ways.len())];
            let around = (sample >= ANYWHERE).then_some(now);
            let place = random_place(table, piece, way, around, random);
            self.prepare(table, piece, way);
            let cost = self.cost(table.fields, place, best.0);
            if cost < best.0 {
                best = (cost, place);
            }
        }
        let (cost, place) = self.along_lines(table, piece, best);
        table.set_place(piece, place);
        cost < cost_now
    }

    fn along_lines(
        &mut self,
        table: &Table<'_>,
        piece: usize,
        (mut cost, mut place): (f64, Place),
    ) -> (f64, Place) {
        let way = *table.way(piece, place.way);
        let obstacles = &self.obstacles[place.way];
        let mut idle = 0;
        for number in 0..LINES {
            let along = number % 2 == 0;
            let ends = if along {
                let reach = REACH * way.along;
                table.within(&way, [place.y - reach, place.y + reach])
            } else {
                let reach = REACH * way.across;
                let [left, right] = table.room_across(&way);
                [left.max(place.x - reach), right.min(place.x + reach)]
            };
            let run = Run {
                place,
                along,
                ends: ends.map(f64::round),
                spots: way.spots(place, along),
            };
            let (spot, least) = self.line.cheapest(table.fields, obstacles, run, cost);
            if least < cost {
                cost = least;
                if along {
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

fn random_place(
    table: &Table<'_>,
    piece: usize,
    way: usize,
    around: Option<Place>,
    random: &mut impl Rng,
) -> Place {
    let size = table.way(piece, way);
    let [left, right] = table.room_across(size);
    let (across, along) = match around {
        Some(Place { x, y, .. }) => {
            let clamp = |v: f64| v.min(right).max(left);
            let (dx, dy) = (NEAR * size.across, NEAR * size.along);
            (
                [clamp(x - dx), clamp(x + dx)],
                table.within(size, [y - dy, y + dy]),
            )
        }
        None => ([left, right], table.room_along(size)),
    };
    let mut pick = |[low, high]: [f64; 2]| {
        let share = random.random::<f64>();
        (low + share * (high.max(low) - low)).round()
    };
    let place = Place {
        x: pick(across),
        y: pick(along),
        way,
    };
    table.on_print(piece, place)
}
