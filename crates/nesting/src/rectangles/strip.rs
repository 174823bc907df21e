//! From a problem to a room of whole units, and from what was found back to a layout.
//!
//! A spacing makes pieces and cloth larger by as much. The unit is the greatest that measures all sizes, so numbers
//! stay small whatever the files hold.

use std::collections::{BTreeMap, BTreeSet};

use pieces::{Length, Point, Sold};

use super::exact::{self, Job};
use super::room::{Block, Kind, Room, Spot};
use crate::constructive::{Laid, Layout, PieceId};
use crate::places::greatest_common_divisor;
use crate::problem::{Item, Problem, Turn};
use crate::shapes::{ShapeId, Shapes, Variant};

/// Sizes in units stay below this, so that sums of two are whole numbers of 32 bits.
const MOST: i64 = 1 << 30;

/// Areas stay below this, so that room and pieces together are a whole number of 64 bits.
const MOST_AREA: i128 = 1 << 60;

/// Blocks have numbers of 16 bits.
const MOST_BLOCKS: usize = 1 << 15;

/// A problem of rectangles only.
pub struct Strip<'a> {
    shapes: &'a Shapes,
    /// Micrometres in a unit, across and along.
    unit: [i64; 2],
    left: i64,
    spacing: i64,
    sold: Option<Sold>,
    /// As long as nothing.
    room: Room,
    /// By block: the shape in it.
    shape_of: Vec<ShapeId>,
    /// By kind: its pieces.
    pieces: Vec<Vec<PieceId>>,
    /// By item: the ways to lay it that are used.
    ways: Vec<Vec<Variant>>,
    /// Whether these are all ways to lay them.
    has_all_ways: bool,
}

impl<'a> Strip<'a> {
    /// `None` where some piece is no rectangle, or where it matters how far along the cloth it lies: flaws, prints.
    pub fn of(problem: &Problem, shapes: &'a Shapes) -> Option<Self> {
        let laid = || problem.items.iter().filter(|item| item.copies > 0);
        let may = |item: &Item| item.anchor.is_none() && item.outline.fills_box();
        if !problem.cloth.flaws.is_empty() || !laid().all(may) {
            return None;
        }
        let ways = ways(problem, shapes);
        let mut kinds: BTreeMap<Vec<ShapeId>, Vec<PieceId>> = BTreeMap::new();
        for (number, item) in problem.items.iter().enumerate() {
            if item.copies == 0 {
                continue;
            }
            let mut all: Vec<ShapeId> = ways[number].iter().map(|way| way.shape).collect();
            all.sort_unstable();
            all.dedup();
            if all.is_empty() {
                return None;
            }
            let copies = (0..item.copies).map(|copy| PieceId { item: number, copy });
            kinds.entry(all).or_default().extend(copies);
        }
        let spacing = problem.spacing.um();
        let size = |id: ShapeId| {
            let shape = shapes.shape(id);
            [shape.across + spacing, shape.along + spacing]
        };
        let shape_of: Vec<ShapeId> = kinds.keys().flatten().copied().collect();
        let unit = shape_of
            .iter()
            .map(|&id| size(id))
            .fold([0, 0], |unit, size| {
                [0, 1].map(|k| greatest_common_divisor(unit[k], size[k]))
            });
        let across = (problem.cloth.usable_width().um() + spacing) / unit[0].max(1);
        let longest = shape_of.iter().map(|&id| size(id)[1] / unit[1]).max()?;
        let area = |(all, pieces): (&Vec<ShapeId>, &Vec<PieceId>)| {
            let [across, along] = size(all[0]).map(i128::from);
            across * along * pieces.len() as i128
        };
        let area: i128 = kinds.iter().map(area).sum();
        let area = area / (i128::from(unit[0]) * i128::from(unit[1]));
        if shape_of.len() > MOST_BLOCKS || across.max(longest) >= MOST || area > MOST_AREA {
            return None;
        }
        let mut room = Room {
            across: across as i32,
            along: 0,
            blocks: Vec::new(),
            kinds: Vec::new(),
        };
        for (number, (all, pieces)) in kinds.iter().enumerate() {
            let first = room.blocks.len() as u16;
            let in_units = |&id: &ShapeId| {
                let [across, along] = size(id);
                [(across / unit[0]) as i32, (along / unit[1]) as i32]
            };
            room.blocks.extend(all.iter().map(|id| Block {
                size: in_units(id),
                kind: number as u16,
            }));
            let [across, along] = in_units(&all[0]).map(i64::from);
            room.kinds.push(Kind {
                copies: pieces.len() as u32,
                area: across * along,
                blocks: (first..room.blocks.len() as u16).collect(),
            });
        }
        let shapes_of = |ways: &[Variant]| {
            let all = ways.iter().map(|way| way.shape);
            all.collect::<BTreeSet<ShapeId>>().len()
        };
        let mut pairs = ways.iter().zip(&shapes.variants);
        let has_all_ways = pairs.all(|(used, all)| shapes_of(used) == shapes_of(all));
        Some(Strip {
            has_all_ways,
            shapes,
            unit,
            left: problem.cloth.left.um(),
            spacing,
            sold: problem.cloth.sold,
            room,
            shape_of,
            pieces: kinds.into_values().collect(),
            ways,
        })
    }

    /// The least number of units that a length of this many micrometres or more takes.
    pub fn units_up(&self, length: i64) -> i32 {
        let (grown, unit) = (length + self.spacing, self.unit[1]);
        (-(-grown).div_euclid(unit)).clamp(0, MOST) as i32
    }

    /// The greatest number of units within a length of this many micrometres.
    pub fn units_down(&self, length: i64) -> i32 {
        let (grown, unit) = (length + self.spacing, self.unit[1]);
        grown.div_euclid(unit).clamp(0, MOST) as i32
    }

    /// What may be laid on a selling step less than what this many units need.
    pub fn less_at_shop(&self, units: i32) -> Option<i32> {
        let less = |sold: Sold| sold.usable_of_less(Length::from_um(self.length(units)));
        Some(self.units_down(less(self.sold?).um()))
    }

    /// A room of this length.
    pub fn room(&self, along: i32) -> Room {
        Room {
            along,
            ..self.room.clone()
        }
    }

    /// No room is less long than this.
    pub fn least(&self) -> i32 {
        let lowest = |kind: &Kind| kind.blocks.iter().map(|&b| self.room.size(b)[1]).min();
        let longest = self.room.kinds.iter().filter_map(lowest).max().unwrap_or(0);
        let area = self.room.waste().div_euclid(i64::from(self.room.across));
        longest.max((-area).min(MOST) as i32)
    }

    /// The same for the exact search, if it is one for it.
    pub fn job(&self) -> Option<Job> {
        let sort = |kind: &Kind| {
            let sizes = kind.blocks.iter().map(|&block| self.room.size(block));
            Some((sizes.collect(), u16::try_from(kind.copies).ok()?))
        };
        let sorts: Option<Vec<_>> = self.room.kinds.iter().map(sort).collect();
        Job::of(self.room.across, &sorts?)
    }

    /// Whether what the exact search refuses can't be laid at all: not where pieces may pass corner to corner, as with a
    /// spacing, nor where ways to lay them are left out.
    pub fn is_exact(&self) -> bool {
        self.spacing <= 0 && self.has_all_ways
    }

    /// So many units in micrometres.
    pub fn length(&self, units: i32) -> i64 {
        i64::from(units) * self.unit[1] - self.spacing
    }

    /// The items of a sort of the exact search, ascending.
    pub fn items(&self, sort: usize) -> Vec<usize> {
        let mut items: Vec<usize> = self.pieces[sort].iter().map(|piece| piece.item).collect();
        items.dedup();
        items
    }

    /// The sizes of a sort that fit the width, in the order of its ways.
    pub fn sizes(&self, sort: usize) -> impl Iterator<Item = [i32; 2]> {
        let blocks = self.room.kinds[sort].blocks.iter();
        let sizes = blocks.map(|&block| self.room.size(block));
        sizes.filter(|[across, _]| *across <= self.room.across)
    }

    /// A size in micrometres.
    pub fn in_um(&self, size: [i32; 2]) -> [Length; 2] {
        [0, 1].map(|k| Length::from_um(i64::from(size[k]) * self.unit[k]))
    }

    /// Blocks where the exact search found places for them.
    pub fn spots(&self, found: &[exact::Spot]) -> Vec<Spot> {
        let spot = |spot: &exact::Spot| {
            let mut blocks = self.room.kinds[spot.sort].blocks.iter();
            let block = blocks.find(|&&block| self.room.size(block) == spot.size);
            block.map(|&block| Spot { block, at: spot.at })
        };
        found.iter().filter_map(spot).collect()
    }

    /// How far these reach along.
    pub fn end(&self, spots: &[Spot]) -> i32 {
        let end = |spot: &Spot| spot.at[1] + self.room.size(spot.block)[1];
        spots.iter().map(end).max().unwrap_or(0)
    }

    /// The pieces at these spots.
    pub fn layout(&self, spots: &[Spot]) -> Layout {
        let mut pieces: Vec<_> = self.pieces.iter().map(|all| all.iter().copied()).collect();
        let mut laid = Vec::with_capacity(spots.len());
        for spot in spots {
            let block = usize::from(spot.block);
            let next = pieces[usize::from(self.room.blocks[block].kind)].next();
            let variant = |piece: PieceId| {
                let mut ways = self.ways[piece.item].iter();
                ways.find(|way| way.shape == self.shape_of[block]).copied()
            };
            let Some((piece, variant)) = next.and_then(|piece| Some((piece, variant(piece)?)))
            else {
                debug_assert!(false, "more spots than pieces");
                continue;
            };
            let [x, y] = [0, 1].map(|k| i64::from(spot.at[k]) * self.unit[k]);
            let at = Point::new(self.left + x, y);
            laid.push(Laid { piece, variant, at });
        }
        Layout::of(self.shapes, laid)
    }
}

/// By item, how it may be laid; the pieces of a garment in one turn, the first that all can take.
fn ways(problem: &Problem, shapes: &Shapes) -> Vec<Vec<Variant>> {
    let mut turns: BTreeMap<u32, Turn> = BTreeMap::new();
    let items = problem.items.iter().zip(&shapes.variants);
    let of = |(item, ways): (&Item, &Vec<Variant>)| {
        let first = ways.first().map(|way| way.turn);
        let turn = item.garment.zip(first);
        let turn = turn.map(|(garment, first)| *turns.entry(garment).or_insert(first));
        let may = |way: &&Variant| turn.is_none_or(|turn| way.turn == turn);
        ways.iter().filter(may).copied().collect()
    };
    items.map(of).collect()
}
