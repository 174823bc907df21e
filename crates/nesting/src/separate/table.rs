//! [`Table`]: all pieces on a cloth of fixed length, overlapping for the time being, and what each overlap
//! weighs.
//!
//! The cloth may be endless: then its length is that of one round, and each piece lies on it once in every
//! round ([`Ends`]).

use std::collections::HashMap;
use std::ops::Range;

use pieces::Point;

use super::field::{Fields, Frame};
use super::obstacles::{Obstacle, Obstacles};
use crate::constructive::{Copy, Laid, Layout};
use crate::places::{Every, Grid, Matched};
use crate::problem::Problem;
use crate::shapes::{ShapeId, Shapes, Variant};

/// In a round the weights of overlaps grow by the first for the slightest, by the second for the deepest; all
/// others fall by the third.
const GROWTH: [f64; 2] = [1.2, 2.0];
const DECAY: f32 = 0.97;

/// Depth counts for more between large pieces: times the product of their areas to the power of this.
const BY_AREA: f64 = 0.375;

/// Which pieces are large: the largest that make up this share of the area.
const LARGE: f64 = 0.75;

/// Every pair has a weight and a depth: more pieces than this are too many pairs.
const MOST_PIECES: usize = 2_000;

/// How the cloth ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    /// All pieces lie between its two ends.
    Cut,
    /// It has none: what goes out at one end comes in at the other, as on a belt.
    Joined,
    /// It is a stretch of a longer cloth: see [`Hold`].
    Within,
}

/// Whether a piece may be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// Anywhere on the cloth.
    Free,
    /// It lies before the stretch, and stays.
    Before,
    /// It lies behind the stretch, and moves only with the stretch's end.
    Behind,
}

/// Where a piece lies and how: least corner of its box in whole micrometres, index into its ways.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    pub x: f64,
    pub y: f64,
    pub way: usize,
}

/// One way to lay a piece.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    variant: Variant,
    /// The number of its shape among the fields.
    number: u32,
    pub across: f64,
    pub along: f64,
    /// How far along the same piece may come again, at least, straight behind itself.
    behind: f64,
    /// Where the print lets it lie, if not anywhere.
    grid: Option<Grid>,
}

struct Piece {
    copy: Copy,
    ways: Vec<Way>,
    hold: Hold,
    /// It must be turned as the rest of its garment is, so it stays as it lies.
    keeps_its_way: bool,
    area: f64,
    /// What its depths are multiplied by.
    factor: f64,
}

/// A piece lies on another, or on a flaw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overlap {
    pub piece: usize,
    /// `None`: a flaw.
    pub other: Option<usize>,
    /// How deep, times the pieces' factors.
    pub depth: f64,
}

pub struct Table<'a> {
    shapes: &'a Shapes,
    pub fields: &'a Fields,
    pieces: Vec<Piece>,
    places: Vec<Place>,
    ends: Ends,
    length: f64,
    left: f64,
    right: f64,
    /// By pair of pieces, both ways round, and by piece for flaws; the depths as last computed.
    weights: Vec<f32>,
    flaw_weights: Vec<f32>,
    depths: Vec<f32>,
    flaw_depths: Vec<f32>,
    /// Pairs looked at for overlaps.
    pub steps: u64,
}

impl<'a> Table<'a> {
    /// `None` if there are too many pieces, or one whose shape the fields do not know. `holds` of the layout's pieces; those beyond its end are free.
    pub fn new(
        problem: &Problem,
        shapes: &'a Shapes,
        fields: &'a Fields,
        layout: &Layout,
        ends: Ends,
        holds: &[Hold],
    ) -> Option<Self> {
        if layout.laid.len() > MOST_PIECES {
            return None;
        }
        let mut sizes: HashMap<u32, u32> = HashMap::new();
        let garment = |laid: &Laid| problem.items[laid.piece.item].garment;
        for item in &problem.items {
            if let Some(number) = item.garment {
                *sizes.entry(number).or_default() += item.copies;
            }
        }
        let pieces = layout
            .laid
            .iter()
            .enumerate()
            .map(|(number, laid)| {
                let area = shapes.shape(laid.variant.shape).doubled_area as f64 / 2.0;
                let variants = shapes.variants[laid.piece.item].iter();
                let ways = variants.map(|&v| Way::of(shapes, fields, v));
                Some(Piece {
                    copy: laid.piece,
                    ways: ways.collect::<Option<Vec<Way>>>()?,
                    hold: holds.get(number).copied().unwrap_or(Hold::Free),
                    keeps_its_way: garment(laid).is_some_and(|number| sizes[&number] > 1),
                    area,
                    factor: area.powf(BY_AREA),
                })
            })
            .collect::<Option<Vec<Piece>>>()?;
        let n = pieces.len();
        let mut table = Table {
            shapes,
            fields,
            pieces,
            places: Vec::new(),
            ends,
            length: 0.0,
            left: problem.cloth.left.um() as f64,
            right: problem.cloth.right.um() as f64,
            weights: vec![1.0; n * n],
            flaw_weights: vec![1.0; n],
            depths: vec![0.0; n * n],
            flaw_depths: vec![0.0; n],
            steps: 0,
        };
        table.lay(layout);
        Some(table)
    }

    /// Takes over a layout of the same pieces, in whatever order, and its length.
    pub fn lay(&mut self, layout: &Layout) {
        let by_piece: HashMap<Copy, &Laid> = layout.laid.iter().map(|l| (l.piece, l)).collect();
        let place = |piece: &Piece| {
            let laid = by_piece[&piece.copy];
            let same = |way: &Way| way.variant == laid.variant;
            Place {
                x: laid.at.x as f64,
                y: laid.at.y as f64,
                way: piece.ways.iter().position(same).unwrap_or(0),
            }
        };
        self.places = self.pieces.iter().map(place).collect();
        self.length = layout.length as f64;
        let matched = Matched::of(&layout.laid);
        for way in self.pieces.iter_mut().flat_map(|piece| &mut piece.ways) {
            way.grid = Some(matched.grid(&way.variant)).filter(|grid| !grid.is_any());
        }
    }

    /// The layout as it lies.
    pub fn layout(&self) -> Layout {
        let laid: Vec<Laid> = self
            .pieces
            .iter()
            .zip(&self.places)
            .map(|(piece, place)| Laid {
                piece: piece.copy,
                variant: piece.ways[place.way].variant,
                at: Point::new(place.x as i64, place.y as i64),
            })
            .collect();
        match self.ends {
            Ends::Cut => Layout::of(self.shapes, laid),
            Ends::Joined | Ends::Within => Layout {
                laid,
                length: self.length as i64,
            },
        }
    }

    pub fn places(&self) -> &[Place] {
        &self.places
    }

    pub fn place(&self, piece: usize) -> Place {
        self.places[piece]
    }

    pub fn set_places(&mut self, places: Vec<Place>) {
        self.places = places;
    }

    pub fn set_place(&mut self, piece: usize, place: Place) {
        self.places[piece] = self.inside(piece, place);
    }

    pub fn way(&self, piece: usize, way: usize) -> &Way {
        &self.pieces[piece].ways[way]
    }

    fn lies(&self, piece: usize) -> &Way {
        self.way(piece, self.places[piece].way)
    }

    /// The shape of a piece as it lies.
    pub fn shape(&self, piece: usize) -> ShapeId {
        self.lies(piece).variant.shape
    }

    /// The length of cloth that a piece laid so needs at least.
    fn least_length(&self, way: &Way) -> f64 {
        match (self.ends, way.grid) {
            (Ends::Cut | Ends::Within, None) => way.along,
            (Ends::Cut | Ends::Within, Some(grid)) => {
                let across = self.room_across(way).map(|v| v as i64);
                let first = grid.lowest(0, across);
                first.map_or(f64::INFINITY, |at| at.y as f64 + way.along)
            }
            (Ends::Joined, _) => way.behind,
        }
    }

    /// The ways a piece may be laid in and is not longer than the cloth.
    pub fn ways(&self, piece: usize) -> impl Iterator<Item = usize> + '_ {
        let now = self.places[piece].way;
        let all = &self.pieces[piece];
        let free = move |way: &usize| *way == now || !all.keeps_its_way;
        (0..all.ways.len())
            .filter(free)
            .filter(|&way| self.least_length(&all.ways[way]) <= self.length)
    }

    /// Least and greatest x of a piece's place.
    pub fn room_across(&self, way: &Way) -> [f64; 2] {
        [self.left, self.right - way.across]
    }

    /// Least and greatest y of a piece's place; on an endless cloth all there is.
    pub fn room_along(&self, way: &Way) -> [f64; 2] {
        match self.ends {
            Ends::Cut | Ends::Within => [0.0, self.length - way.along],
            Ends::Joined => [0.0, self.length - 1.0],
        }
    }

    /// The part of a stretch along the cloth around a piece's place that is on the cloth.
    pub fn within(&self, way: &Way, [low, high]: [f64; 2]) -> [f64; 2] {
        match self.ends {
            Ends::Cut | Ends::Within => {
                let most = self.length - way.along;
                [low.min(most).max(0.0), high.min(most).max(0.0)]
            }
            Ends::Joined => [low, high],
        }
    }

    /// The least length of cloth that the pieces could lie on as they are turned now.
    pub fn least(&self) -> f64 {
        let free = (0..self.pieces.len()).filter(|&piece| self.is_free(piece));
        let least = |piece: usize| self.least_length(self.lies(piece));
        free.map(least).fold(0.0, f64::max)
    }

    /// Whether a piece may be moved on its own.
    pub fn is_free(&self, piece: usize) -> bool {
        self.pieces[piece].hold == Hold::Free
    }

    /// Shortens the cloth: pieces whose middle lies beyond the line move down by as much.
    pub fn shorten(&mut self, to: f64, line: f64) {
        let by = self.length - to;
        self.length = to;
        for piece in 0..self.pieces.len() {
            let mut place = self.places[piece];
            match self.pieces[piece].hold {
                Hold::Before => continue,
                Hold::Behind => {
                    self.places[piece].y -= by;
                    continue;
                }
                Hold::Free => {}
            }
            if place.y + self.lies(piece).along / 2.0 > line {
                place.y = (place.y - by).round();
            }
            self.places[piece] = self.inside(piece, place);
        }
    }

    /// The nearest place on the cloth, and on the print; the same place where the cloth is endless.
    pub fn inside(&self, piece: usize, place: Place) -> Place {
        let way = self.way(piece, place.way);
        let [left, right] = self.room_across(way);
        let y = match self.ends {
            Ends::Cut | Ends::Within => place.y.min(self.length - way.along).max(0.0),
            Ends::Joined => place.y.rem_euclid(self.length),
        };
        let place = Place {
            x: place.x.min(right).max(left),
            y,
            way: place.way,
        };
        self.on_print(piece, place)
    }

    /// The place near this one where the print lets the piece lie.
    pub fn on_print(&self, piece: usize, place: Place) -> Place {
        let way = self.way(piece, place.way);
        let Some(grid) = way.grid else {
            return place;
        };
        let whole = |ends: [f64; 2]| ends.map(|v| v as i64);
        let (across, along) = (self.room_across(way), self.room_along(way));
        let at = Point::new(place.x as i64, place.y as i64);
        let near = grid.nearest(at, whole(across), whole(along));
        near.map_or(place, |at| Place {
            x: at.x as f64,
            y: at.y as f64,
            way: place.way,
        })
    }

    /// The largest pieces that make up most of the area.
    pub fn large(&self) -> Vec<usize> {
        let free = (0..self.pieces.len()).filter(|&piece| self.is_free(piece));
        let mut order: Vec<usize> = free.collect();
        order.sort_by(|&a, &b| self.pieces[b].area.total_cmp(&self.pieces[a].area));
        let whole: f64 = order.iter().map(|&piece| self.pieces[piece].area).sum();
        let mut larger = 0.0;
        order.retain(|&piece| {
            let is_large = larger < LARGE * whole;
            larger += self.pieces[piece].area;
            is_large
        });
        order
    }

    /// Each goes with its middle to the other's.
    pub fn exchange(&mut self, one: usize, other: usize) {
        let middle = |piece: usize| {
            let (place, way) = (self.places[piece], self.lies(piece));
            (place.x + way.across / 2.0, place.y + way.along / 2.0)
        };
        for (piece, (x, y)) in [(one, middle(other)), (other, middle(one))] {
            let way = self.lies(piece);
            let place = Place {
                x: (x - way.across / 2.0).round(),
                y: (y - way.along / 2.0).round(),
                way: self.places[piece].way,
            };
            self.places[piece] = self.inside(piece, place);
        }
    }

    /// Everything that a piece may meet when it is laid in this way.
    pub fn obstacles(&self, piece: usize, way: usize, out: &mut Obstacles) {
        out.clear();
        let n = self.pieces.len();
        let moving = self.pieces[piece].ways[way].number;
        let factor = self.pieces[piece].factor;
        for other in (0..n).filter(|&other| other != piece) {
            let region = self.fields.pair(self.lies(other).number, moving);
            let Place { x, y, .. } = self.places[other];
            let weight = f64::from(self.weights[piece * n + other]);
            let frame = self.fields.frame(region).moved(x, y);
            let reach = self.pieces[piece].ways[way].along;
            for round in self.rounds(frame, [-reach, self.length + reach]) {
                let obstacle = Obstacle {
                    x,
                    y: y + round,
                    weight: weight * factor * self.pieces[other].factor,
                    region,
                };
                out.push(frame.moved(0.0, round), obstacle);
            }
        }
        if let Some(region) = self.fields.flaws(moving) {
            let obstacle = Obstacle {
                x: 0.0,
                y: 0.0,
                weight: f64::from(self.flaw_weights[piece]) * factor * factor,
                region,
            };
            out.push(self.fields.frame(region), obstacle);
        }
        out.fill_up();
    }

    /// How far along a frame must be moved to meet a stretch: nothing on a cloth with ends, else all whole
    /// rounds that bring it there.
    fn rounds(&self, frame: Frame, [low, high]: [f64; 2]) -> impl Iterator<Item = f64> + use<> {
        let length = self.length;
        let [first, last] = match self.ends {
            Ends::Cut | Ends::Within => [0, 0],
            Ends::Joined => [
                ((low - frame.y[1]) / length).floor() as i64,
                ((high - frame.y[0]) / length).ceil() as i64,
            ],
        };
        (first..=last).map(move |round| round as f64 * length)
    }

    fn depth(&self, piece: usize, other: usize) -> f64 {
        let region = self
            .fields
            .pair(self.lies(other).number, self.lies(piece).number);
        let (a, b) = (self.places[piece], self.places[other]);
        let factor = self.pieces[piece].factor * self.pieces[other].factor;
        let depth = |round: f64| self.fields.depth(region, a.x - b.x, a.y - b.y - round);
        if self.ends != Ends::Joined {
            return depth(0.0) * factor;
        }
        let frame = self.fields.frame(region).moved(0.0, b.y);
        self.rounds(frame, [a.y, a.y]).map(depth).sum::<f64>() * factor
    }

    fn depth_on_flaws(&self, piece: usize) -> f64 {
        let Place { x, y, .. } = self.places[piece];
        let region = self.fields.flaws(self.lies(piece).number);
        let factor = self.pieces[piece].factor.powi(2);
        region.map_or(0.0, |region| self.fields.depth(region, x, y) * factor)
    }

    fn look_again(&mut self, piece: usize, others: Range<usize>) {
        let n = self.pieces.len();
        self.steps += others.len() as u64;
        for other in others.filter(|&other| other != piece) {
            let depth = self.depth(piece, other) as f32;
            self.depths[piece * n + other] = depth;
            self.depths[other * n + piece] = depth;
        }
        self.flaw_depths[piece] = self.depth_on_flaws(piece) as f32;
    }

    /// All overlaps, where any pieces may have moved since the last call.
    pub fn overlaps(&mut self) -> Vec<Overlap> {
        for piece in 0..self.pieces.len() {
            self.look_again(piece, 0..piece);
        }
        self.known_overlaps()
    }

    /// All overlaps, where only these pieces have moved since the last call.
    pub fn overlaps_after(&mut self, moved: &[usize]) -> Vec<Overlap> {
        for &piece in moved {
            self.look_again(piece, 0..self.pieces.len());
        }
        self.known_overlaps()
    }

    fn known_overlaps(&self) -> Vec<Overlap> {
        let n = self.pieces.len();
        let mut found = Vec::new();
        for piece in 0..n {
            let others = self.depths[piece * n..piece * n + piece].iter().enumerate();
            let others = others.map(|(other, depth)| (Some(other), depth));
            let flaws = std::iter::once((None, &self.flaw_depths[piece]));
            let deep = others.chain(flaws).filter(|(_, depth)| **depth > 0.0);
            found.extend(deep.map(|(other, &depth)| Overlap {
                piece,
                other,
                depth: f64::from(depth),
            }));
        }
        found
    }

    pub fn forget_weights(&mut self) {
        self.weights.fill(1.0);
        self.flaw_weights.fill(1.0);
    }

    /// Weights of these overlaps rise with their depth, all others fall.
    pub fn reweigh(&mut self, overlaps: &[Overlap]) {
        let n = self.pieces.len();
        let deepest = overlaps.iter().map(|o| o.depth).fold(0.0, f64::max);
        for weight in self.weights.iter_mut().chain(&mut self.flaw_weights) {
            *weight = (*weight * DECAY).max(1.0);
        }
        for &Overlap {
            piece,
            other,
            depth,
        } in overlaps
        {
            let [least, most] = GROWTH;
            let growth = (least + (most - least) * depth / deepest) as f32 / DECAY;
            match other {
                Some(other) => {
                    self.weights[piece * n + other] *= growth;
                    self.weights[other * n + piece] = self.weights[piece * n + other];
                }
                None => self.flaw_weights[piece] *= growth,
            }
        }
    }
}

impl Way {
    /// The spots on the line through a place where the print lets the piece lie; `None` if all will do.
    pub fn spots(&self, place: Place, is_along: bool) -> Option<Every> {
        let grid = self.grid?;
        if is_along {
            grid.along(place.x as i64)
        } else {
            grid.across(place.y as i64)
        }
    }

    /// `None` if the fields do not know the shape.
    fn of(shapes: &Shapes, fields: &Fields, variant: Variant) -> Option<Self> {
        let shape = shapes.shape(variant.shape);
        let number = fields.number(variant.shape)?;
        Some(Way {
            behind: fields.behind(number),
            variant,
            number,
            across: shape.across as f64,
            along: shape.along as f64,
            grid: None,
        })
    }
}
