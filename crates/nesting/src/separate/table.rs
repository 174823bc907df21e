//! [`Table`]: all pieces on a cloth of fixed length, overlapping for the time being, and what each overlap
//! weighs.
//!
//! The cloth may be endless: then its length is that of one round, and each piece lies on it once in every
//! round ([`Ends`]).

mod overlaps;

use std::collections::HashMap;

use pieces::Point;
use rand::{Rng, RngExt};

use super::field::Fields;
use super::surroundings::Surroundings;
use super::weights::Weights;
use crate::constructive::{Laid, Layout, PieceId};
use crate::places::{Every, Grid, Matched};
use crate::problem::Problem;
use crate::shapes::{ShapeId, Shapes, Variant};
pub use overlaps::Overlap;

/// Depth counts for more between large pieces: times the product of their areas to the power of this.
const BY_AREA: f64 = 0.375;

/// Which pieces are large: the largest that make up this share of the area.
const LARGE: f64 = 0.75;

/// Every pair has a weight: more pieces than this are too many pairs.
const MOST_PIECES: usize = 2_000;

/// Places on a longer cloth than this (1 km) may not be whole numbers of this width.
const LONGEST: i64 = 1 << 30;

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

/// Where a piece lies and how: least corner of its box in micrometres, index into its ways.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    pub x: i32,
    pub y: i32,
    pub way: usize,
}

/// One way to lay a piece.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    variant: Variant,
    /// The number of its shape among the fields.
    number: u32,
    pub across: i32,
    pub along: i32,
    /// How far along the same piece may come again, at least, straight behind itself.
    behind: i32,
    /// Where the print lets it lie, if not anywhere.
    grid: Option<Grid>,
}

struct Piece {
    copy: PieceId,
    ways: Vec<Way>,
    hold: Hold,
    /// It must be turned as the rest of its garment is, so it stays as it lies.
    keeps_its_way: bool,
    area: f64,
}

pub struct Table<'a> {
    shapes: &'a Shapes,
    pub fields: &'a Fields,
    pieces: Vec<Piece>,
    places: Vec<Place>,
    ends: Ends,
    length: i32,
    left: i32,
    right: i32,
    pub weights: Weights,
    around: Surroundings,
    /// Pieces looked at for the surroundings and for overlaps.
    pub steps: u64,
}

impl<'a> Table<'a> {
    /// `None` if there are too many pieces, too much cloth, or a shape that the fields do not know. `holds` of
    /// the layout's pieces; those beyond its end are free.
    pub fn new(
        problem: &Problem,
        shapes: &'a Shapes,
        fields: &'a Fields,
        layout: &Layout,
        ends: Ends,
        holds: &[Hold],
    ) -> Option<Self> {
        if layout.laid.len() > MOST_PIECES || layout.length > LONGEST {
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
                })
            })
            .collect::<Option<Vec<Piece>>>()?;
        let factor = |piece: &Piece| piece.area.powf(BY_AREA) as f32;
        let mut table = Table {
            shapes,
            fields,
            places: Vec::new(),
            ends,
            length: 0,
            left: problem.cloth.left.um() as i32,
            right: problem.cloth.right.um() as i32,
            weights: Weights::new(pieces.iter().map(factor).collect()),
            around: Surroundings::new(fields.shapes(), pieces.len()),
            pieces,
            steps: 0,
        };
        table.lay(layout);
        Some(table)
    }

    /// Takes over a layout of the same pieces, in whatever order, and its length.
    pub fn lay(&mut self, layout: &Layout) {
        let by_piece: HashMap<PieceId, &Laid> = layout.laid.iter().map(|l| (l.piece, l)).collect();
        let place = |piece: &Piece| {
            let laid = by_piece[&piece.copy];
            let same = |way: &Way| way.variant == laid.variant;
            Place {
                x: laid.at.x as i32,
                y: laid.at.y as i32,
                way: piece.ways.iter().position(same).unwrap_or(0),
            }
        };
        self.places = self.pieces.iter().map(place).collect();
        self.length = layout.length as i32;
        self.around.all_moved();
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
                at: Point::new(place.x.into(), place.y.into()),
            })
            .collect();
        match self.ends {
            Ends::Cut => Layout::of(self.shapes, laid),
            Ends::Joined | Ends::Within => Layout {
                laid,
                length: self.length.into(),
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
        self.around.all_moved();
    }

    pub fn set_place(&mut self, piece: usize, place: Place) {
        self.places[piece] = self.inside(piece, place);
        self.around.one_moved(piece);
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
    fn least_length(&self, way: &Way) -> i32 {
        match (self.ends, way.grid) {
            (Ends::Cut | Ends::Within, None) => way.along,
            (Ends::Cut | Ends::Within, Some(grid)) => {
                let across = self.room_across(way).map(i64::from);
                let first = grid.lowest(0, across);
                let end = first.map(|at| at.y + i64::from(way.along));
                // A print may begin further along than a cloth is long here.
                end.and_then(|end| i32::try_from(end).ok())
                    .unwrap_or(i32::MAX)
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
    pub fn room_across(&self, way: &Way) -> [i32; 2] {
        [self.left, self.right - way.across]
    }

    /// Least and greatest y of a piece's place; on an endless cloth all there is.
    pub fn room_along(&self, way: &Way) -> [i32; 2] {
        match self.ends {
            Ends::Cut | Ends::Within => [0, self.length - way.along],
            Ends::Joined => [0, self.length - 1],
        }
    }

    /// The part of a stretch along the cloth around a piece's place that is on the cloth.
    pub fn within(&self, way: &Way, [low, high]: [i32; 2]) -> [i32; 2] {
        match self.ends {
            Ends::Cut | Ends::Within => {
                let most = self.length - way.along;
                [low.min(most).max(0), high.min(most).max(0)]
            }
            Ends::Joined => [low, high],
        }
    }

    /// The least length of cloth that the pieces could lie on as they are turned now.
    pub fn least(&self) -> i32 {
        let free = (0..self.pieces.len()).filter(|&piece| self.is_free(piece));
        let least = |piece: usize| self.least_length(self.lies(piece));
        free.map(least).fold(0, i32::max)
    }

    /// Whether a piece may be moved on its own.
    pub fn is_free(&self, piece: usize) -> bool {
        self.pieces[piece].hold == Hold::Free
    }

    /// Shortens the cloth: pieces whose middle lies beyond the line move down by as much.
    pub fn shorten(&mut self, to: i32, line: i32) {
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
            if place.y + self.lies(piece).along / 2 > line {
                place.y -= by;
            }
            self.places[piece] = self.inside(piece, place);
        }
        self.around.all_moved();
    }

    /// The nearest place on the cloth, and on the print; the same place where the cloth is endless.
    pub fn inside(&self, piece: usize, place: Place) -> Place {
        let way = self.way(piece, place.way);
        let [left, right] = self.room_across(way);
        let y = match self.ends {
            Ends::Cut | Ends::Within => place.y.min(self.length - way.along).max(0),
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
    #[inline]
    pub fn on_print(&self, piece: usize, place: Place) -> Place {
        let way = self.way(piece, place.way);
        match &way.grid {
            Some(grid) => self.on_grid(grid, way, place),
            None => place,
        }
    }

    #[cold]
    fn on_grid(&self, grid: &Grid, way: &Way, place: Place) -> Place {
        let (across, along) = (self.room_across(way), self.room_along(way));
        let at = Point::new(place.x.into(), place.y.into());
        let near = grid.nearest(at, across.map(i64::from), along.map(i64::from));
        near.map_or(place, |at| Place {
            x: at.x as i32,
            y: at.y as i32,
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

    /// Lays all pieces that may be moved anywhere, in any way.
    pub fn scatter(&mut self, random: &mut impl Rng) {
        for piece in 0..self.pieces.len() {
            let ways: Vec<usize> = self.ways(piece).collect();
            if !self.is_free(piece) || ways.is_empty() {
                continue;
            }
            let way = ways[random.random_range(0..ways.len())];
            let size = self.way(piece, way);
            let mut pick = |[low, high]: [i32; 2]| random.random_range(low..=high.max(low));
            let (x, y) = (pick(self.room_across(size)), pick(self.room_along(size)));
            let place = self.on_print(piece, Place { x, y, way });
            self.set_place(piece, place);
        }
    }

    /// Each goes with its middle to the other's.
    pub fn exchange(&mut self, one: usize, other: usize) {
        let middle = |piece: usize| {
            let (place, way) = (self.places[piece], self.lies(piece));
            (place.x + way.across / 2, place.y + way.along / 2)
        };
        for (piece, (x, y)) in [(one, middle(other)), (other, middle(one))] {
            let way = self.lies(piece);
            let place = Place {
                x: x - way.across / 2,
                y: y - way.along / 2,
                way: self.places[piece].way,
            };
            self.set_place(piece, place);
        }
    }
}

impl Way {
    /// The spots on the line through a place where the print lets the piece lie; `None` if all will do.
    pub fn spots(&self, place: Place, is_along: bool) -> Option<Every> {
        let grid = self.grid?;
        if is_along {
            grid.along(place.x.into())
        } else {
            grid.across(place.y.into())
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
            across: shape.across as i32,
            along: shape.along as i32,
            grid: None,
        })
    }
}
