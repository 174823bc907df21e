//! [`Table`]: all pieces on a cloth of fixed length, overlapping for the time being, and what each overlap
//! weighs.

use std::collections::HashMap;
use std::ops::Range;

use pieces::Point;

use super::field::Fields;
use super::obstacles::{Obstacle, Obstacles};
use crate::constructive::{Copy, Laid, Layout};
use crate::problem::Problem;
use crate::shapes::{ShapeId, Shapes, Variant};

/// In a round the weights of overlaps grow by the first for the slightest, by the second for the deepest; all
/// others fall by the third.
const GROWTH: [f64; 2] = [1.2, 2.0];
const DECAY: f32 = 0.99;

/// Depth counts for more between large pieces: times the product of their areas to the power of this.
const BY_AREA: f64 = 0.375;

/// Which pieces are large: the largest that make up this share of the area.
const LARGE: f64 = 0.75;

/// Every pair has a weight and a depth: more pieces than this are too many pairs.
const MOST_PIECES: usize = 2_000;

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
    pub across: f64,
    pub along: f64,
}

struct Piece {
    copy: Copy,
    ways: Vec<Way>,
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
    /// `None` if there are too many pieces.
    pub fn new(
        problem: &Problem,
        shapes: &'a Shapes,
        fields: &'a Fields,
        layout: &Layout,
    ) -> Option<Self> {
        if layout.laid.len() > MOST_PIECES {
            return None;
        }
        let mut sizes: HashMap<u32, usize> = HashMap::new();
        let garment = |laid: &Laid| problem.items[laid.piece.item].garment;
        for number in layout.laid.iter().filter_map(garment) {
            *sizes.entry(number).or_default() += 1;
        }
        let pieces: Vec<Piece> = layout
            .laid
            .iter()
            .map(|laid| {
                let area = shapes.shape(laid.variant.shape).doubled_area as f64 / 2.0;
                let variants = shapes.variants[laid.piece.item].iter();
                Piece {
                    copy: laid.piece,
                    ways: variants.map(|&v| Way::of(shapes, v)).collect(),
                    keeps_its_way: garment(laid).is_some_and(|number| sizes[&number] > 1),
                    area,
                    factor: area.powf(BY_AREA),
                }
            })
            .collect();
        let n = pieces.len();
        let mut table = Table {
            shapes,
            fields,
            pieces,
            places: Vec::new(),
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
        let end = |l: &Laid| l.at.y + self.shapes.shape(l.variant.shape).along;
        let length = laid.iter().map(end).max().unwrap_or(0);
        Layout { laid, length }
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
        self.places[piece] = place;
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

    /// The ways a piece may be laid in and is not longer than the cloth.
    pub fn ways(&self, piece: usize) -> impl Iterator<Item = usize> + '_ {
        let now = self.places[piece].way;
        let all = &self.pieces[piece];
        let free = move |way: &usize| *way == now || !all.keeps_its_way;
        (0..all.ways.len())
            .filter(free)
            .filter(|&way| all.ways[way].along <= self.length)
    }

    /// Least and greatest x of a piece's place.
    pub fn room_across(&self, way: &Way) -> [f64; 2] {
        [self.left, self.right - way.across]
    }

    /// Least and greatest y of a piece's place.
    pub fn room_along(&self, way: &Way) -> [f64; 2] {
        [0.0, self.length - way.along]
    }

    /// Length of the longest piece as it lies.
    pub fn longest(&self) -> f64 {
        let along = |piece: usize| self.lies(piece).along;
        (0..self.pieces.len()).map(along).fold(0.0, f64::max)
    }

    /// Shortens the cloth: pieces whose middle lies beyond the line move down by as much.
    pub fn shorten(&mut self, to: f64, line: f64) {
        let by = self.length - to;
        self.length = to;
        for piece in 0..self.pieces.len() {
            let mut place = self.places[piece];
            if place.y + self.lies(piece).along / 2.0 > line {
                place.y = (place.y - by).round();
            }
            self.places[piece] = self.inside(piece, place);
        }
    }

    /// The nearest place on the cloth.
    fn inside(&self, piece: usize, place: Place) -> Place {
        let way = self.way(piece, place.way);
        let ([left, right], [low, high]) = (self.room_across(way), self.room_along(way));
        Place {
            x: place.x.min(right).max(left),
            y: place.y.min(high).max(low),
            way: place.way,
        }
    }

    /// The largest pieces that make up most of the area.
    pub fn large(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.pieces.len()).collect();
        order.sort_by(|&a, &b| self.pieces[b].area.total_cmp(&self.pieces[a].area));
        let whole: f64 = self.pieces.iter().map(|p| p.area).sum();
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
        let moving = self.pieces[piece].ways[way].variant.shape;
        let factor = self.pieces[piece].factor;
        for other in (0..n).filter(|&other| other != piece) {
            let region = self.fields.pair(self.shape(other), moving);
            let Place { x, y, .. } = self.places[other];
            let weight = f64::from(self.weights[piece * n + other]);
            let obstacle = Obstacle {
                x,
                y,
                weight: weight * factor * self.pieces[other].factor,
                region,
            };
            out.push(self.fields.frame(region).moved(x, y), obstacle);
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

    fn depth(&self, piece: usize, other: usize) -> f64 {
        let region = self.fields.pair(self.shape(other), self.shape(piece));
        let (a, b) = (self.places[piece], self.places[other]);
        let factor = self.pieces[piece].factor * self.pieces[other].factor;
        self.fields.depth(region, a.x - b.x, a.y - b.y) * factor
    }

    fn depth_on_flaws(&self, piece: usize) -> f64 {
        let Place { x, y, .. } = self.places[piece];
        let region = self.fields.flaws(self.shape(piece));
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
    fn of(shapes: &Shapes, variant: Variant) -> Self {
        let shape = shapes.shape(variant.shape);
        Way {
            variant,
            across: shape.across as f64,
            along: shape.along as f64,
        }
    }
}
