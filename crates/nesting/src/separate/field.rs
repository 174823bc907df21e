//! The no-fit regions of all pairs of shapes, laid out for speed: how deep a relative place lies inside
//! them.

use std::collections::BTreeSet;
use std::ops::Range;

use pieces::Outline;

use super::convex::Polygons;
use super::frame::Frame;
use crate::geometry::{NoFit, Strip, micros_of_fewer};
use crate::pairs::{Pairs, Parts};
use crate::problem::Problem;
use crate::shapes::{Detail, Shape, ShapeId, Shapes};

/// Pieces and their places within this (536 m) keep all that is computed of them exact.
const FARTHEST: i64 = 1 << 29;

/// Edges in all, some 200 MB: a hundred shapes of a few corners take a hundredth of it, forty different
/// sectors with their curves all of it.
const MOST_EDGES: u64 = 3_000_000;

/// A region: its convex parts, and the box around them.
#[derive(Clone, Debug)]
struct Region {
    frame: Frame,
    parts: Range<u32>,
}

/// The regions of all pairs of some shapes, and of the flaws. Made once, shared by all streams.
pub struct Fields {
    parts: Polygons,
    regions: Vec<Region>,
    /// The shapes, ascending; each has its place in this list for a number.
    shapes: Vec<ShapeId>,
    has_flaws: bool,
}

impl Fields {
    /// Of all shapes of a problem; `None` if they are too large to be computed exactly, or so many that
    /// their regions would fill the memory. Regions are written with few parts if that takes no more than
    /// so many `micros`.
    pub fn of(problem: &Problem, shapes: &Shapes, micros: u64) -> Option<Self> {
        let all = (0..shapes.shapes.len() as u32).map(ShapeId).collect();
        Fields::of_some(problem, shapes, all, micros)
    }

    /// Of these shapes only, ascending.
    pub fn of_some(
        problem: &Problem,
        shapes: &Shapes,
        some: Vec<ShapeId>,
        micros: u64,
    ) -> Option<Self> {
        let each = || some.iter().map(|&id| shapes.shape(id));
        let longest = |s: &Shape| s.across.max(s.along);
        let reach = each().map(longest).max()?;
        let flaws = problem.cloth.flaws.iter().map(Outline::bounds);
        let ends = flaws.flat_map(|b| [b.min.x, b.min.y, b.max.x, b.max.y]);
        let sides = [problem.cloth.left.um(), problem.cloth.right.um()];
        let furthest = ends.chain(sides).map(i64::abs).max().unwrap_or(0);
        if 2 * (reach + problem.spacing.um()) > FARTHEST || furthest + reach > FARTHEST {
            return None;
        }
        let sums = |a: &Shape, b: &Shape| a.fine.len() * b.fine.len();
        let of_pairs = |of: &dyn Fn(&Shape, &Shape) -> u64| -> u64 {
            each().flat_map(|a| each().map(move |b| of(a, b))).sum()
        };
        // Of two that change roles, or are turned together, the region is worked out once.
        let bases: BTreeSet<u32> = each().map(|s| s.pose.base.0).collect();
        let turns = some.len() / bases.len().max(1);
        let work = of_pairs(&|a, b| micros_of_fewer(sums(a, b))) / (2 * turns.max(1) as u64);
        let parts = if work <= micros {
            Parts::Few
        } else {
            Parts::All
        };
        // A part of one and a part of another have no more edges in their region than they have corners.
        let corners = |s: &Shape| s.fine.iter().map(|p| p.points.len()).sum::<usize>();
        let edges = |a: &Shape, b: &Shape| a.fine.len() * corners(b) + b.fine.len() * corners(a);
        if parts == Parts::All && of_pairs(&|a, b| edges(a, b) as u64) > MOST_EDGES {
            return None;
        }
        let mut fields = Fields::none(some, !problem.cloth.flaws.is_empty());
        let pairs = Pairs::new(problem, shapes, Detail::Fine);
        let ids = fields.shapes.clone();
        for &fixed in &ids {
            for &moving in &ids {
                fields.add(&pairs.region(fixed, moving, parts));
            }
            if fields.parts.edge_count() > MOST_EDGES {
                return None;
            }
        }
        if fields.has_flaws {
            let cloth = &problem.cloth;
            let strip = Strip::new(cloth.left, cloth.right, &cloth.flaws);
            for &moving in &ids {
                fields.add(&strip.flaws(&shapes.shape(moving).fine));
            }
        }
        Some(fields)
    }

    pub(super) fn none(shapes: Vec<ShapeId>, has_flaws: bool) -> Self {
        Fields {
            parts: Polygons::default(),
            regions: Vec::new(),
            shapes,
            has_flaws,
        }
    }

    /// How many shapes are known.
    pub fn shapes(&self) -> usize {
        self.shapes.len()
    }

    /// The number of a shape here; `None` if it is not one of these.
    pub fn number(&self, shape: ShapeId) -> Option<u32> {
        let found = self.shapes.binary_search(&shape).ok()?;
        Some(found as u32)
    }

    /// Takes a region in; its index.
    pub(super) fn add(&mut self, region: &NoFit) -> u32 {
        let first = self.parts.len() as u32;
        region.parts.iter().for_each(|part| self.parts.add(part));
        let parts = first..self.parts.len() as u32;
        let frames = parts.clone().map(|part| self.parts.frame(part as usize));
        self.regions.push(Region {
            frame: frames.fold(Frame::NONE, Frame::with),
            parts,
        });
        self.regions.len() as u32 - 1
    }

    /// Index of the region where `moving` may not go, seen from `fixed`; both by number.
    #[inline]
    pub fn pair(&self, fixed: u32, moving: u32) -> u32 {
        fixed * self.shapes.len() as u32 + moving
    }

    /// Index of the region of the flaws, if there are any, in the cloth's frame.
    pub fn flaws(&self, moving: u32) -> Option<u32> {
        let first = self.shapes.len().pow(2) as u32;
        self.has_flaws.then_some(first + moving)
    }

    /// How far behind a piece the same may lie at least, straight along the cloth.
    pub fn behind(&self, number: u32) -> i32 {
        let parts = self.parts(self.pair(number, number));
        let ends = parts.filter_map(|part| self.stretch(part, 0, true));
        ends.map(|[_, high]| high).fold(0, i32::max)
    }

    /// The box around a region.
    #[inline]
    pub fn frame(&self, region: u32) -> Frame {
        self.regions[region as usize].frame
    }

    /// Numbers of a region's convex parts.
    #[inline]
    pub fn parts(&self, region: u32) -> Range<usize> {
        let parts = &self.regions[region as usize].parts;
        parts.start as usize..parts.end as usize
    }

    /// The depths in all parts together, micrometres; 0 exactly where the region does not forbid the place.
    #[inline]
    pub fn depth(&self, region: u32, x: i32, y: i32) -> f32 {
        let parts = self.parts(region);
        parts.map(|part| self.parts.depth(part, x, y)).sum()
    }

    /// The depth in a part, for a place that is known to be inside.
    #[inline]
    pub fn depth_inside(&self, part: usize, x: i32, y: i32) -> f32 {
        self.parts.depth_inside(part, x, y)
    }

    /// Where the line at `at`, along the cloth or across it, runs inside a part: the last whole place outside
    /// before it and the first after it.
    #[inline]
    pub fn stretch(&self, part: usize, at: i32, is_along: bool) -> Option<[i32; 2]> {
        self.parts.stretch(part, at, is_along)
    }
}
