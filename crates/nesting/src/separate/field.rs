//! No-fit regions laid out for speed: how deep a relative place lies inside them.
//!
//! Each open convex polygon of a region becomes a list of half-planes `a x + b y < c` with whole
//! coefficients. Whole numbers below 2^53 are exact in a float, so whether a place lies inside is
//! decided exactly as [`crate::geometry::NoFitPart::forbids`] decides it, at the speed of floats; only
//! the depth (how far the nearest edge is) is rounded, and it decides nothing.

use std::ops::Range;

use pieces::Outline;

use super::line::stretch;
use crate::geometry::{NoFit, Strip};
use crate::pairs::Pairs;
use crate::problem::Problem;
use crate::shapes::{Detail, Shape, ShapeId, Shapes};

/// Pieces and their places within this (33 m) keep all that the half-planes compute below 2^53.
const FARTHEST: i64 = 1 << 25;

/// Half-planes in all, some 200 MB: a hundred shapes of a few corners take a hundredth of it, forty different
/// sectors with their curves all of it.
const MOST_PLANES: usize = 4_000_000;

/// Least and greatest x and y, the borders themselves outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    pub x: [f64; 2],
    pub y: [f64; 2],
}

impl Frame {
    /// Just this place.
    pub fn at(x: f64, y: f64) -> Self {
        Frame {
            x: [x, x],
            y: [y, y],
        }
    }

    pub fn moved(self, x: f64, y: f64) -> Self {
        Frame {
            x: self.x.map(|v| v + x),
            y: self.y.map(|v| v + y),
        }
    }

    #[inline]
    fn contains(&self, x: f64, y: f64) -> bool {
        x > self.x[0] && x < self.x[1] && y > self.y[0] && y < self.y[1]
    }

    fn around(frames: &[Frame]) -> Self {
        let none = Frame {
            x: [f64::INFINITY, f64::NEG_INFINITY],
            y: [f64::INFINITY, f64::NEG_INFINITY],
        };
        let join = |a: [f64; 2], b: [f64; 2]| [a[0].min(b[0]), a[1].max(b[1])];
        frames.iter().fold(none, |all, frame| Frame {
            x: join(all.x, frame.x),
            y: join(all.y, frame.y),
        })
    }
}

/// Inside is `a x + b y < c`.
#[derive(Clone, Copy, Debug)]
pub struct HalfPlane {
    pub a: f64,
    pub b: f64,
    pub c: f64,
    /// 1 / |(a, b)|: turns what is left of `c` into a distance.
    scale: f64,
    /// 1/a and 1/b, rounded; infinite where there is none.
    pub inverse: [f64; 2],
}

impl HalfPlane {
    /// Positive inside.
    #[inline]
    fn inside(&self, x: f64, y: f64) -> f64 {
        self.c - self.a * x - self.b * y
    }
}

/// One open convex polygon.
#[derive(Clone, Debug)]
pub struct Part {
    pub frame: Frame,
    planes: Range<u32>,
}

/// A region: its parts, and the box around them.
#[derive(Clone, Debug)]
struct Region {
    frame: Frame,
    parts: Range<u32>,
}

/// The regions of all pairs of some shapes, and of the flaws. Made once, shared by all streams.
pub struct Fields {
    planes: Vec<HalfPlane>,
    parts: Vec<Part>,
    regions: Vec<Region>,
    /// The shapes, ascending; each has its place in this list for a number.
    shapes: Vec<ShapeId>,
    has_flaws: bool,
}

fn range(range: &Range<u32>) -> Range<usize> {
    range.start as usize..range.end as usize
}

impl Fields {
    /// Of all shapes of a problem; `None` if they are too large for floats to be exact, or so many that
    /// their regions would fill the memory.
    pub fn of(problem: &Problem, shapes: &Shapes) -> Option<Self> {
        let all = (0..shapes.shapes.len() as u32).map(ShapeId).collect();
        Fields::of_some(problem, shapes, all)
    }

    /// Of these shapes only, ascending.
    pub fn of_some(problem: &Problem, shapes: &Shapes, some: Vec<ShapeId>) -> Option<Self> {
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
        // A part of one and a part of another have no more edges in their region than they have corners.
        let parts: usize = each().map(|s| s.fine.len()).sum();
        let corners: usize = each().flat_map(|s| &s.fine).map(|p| p.points.len()).sum();
        if 2 * parts.saturating_mul(corners) > MOST_PLANES {
            return None;
        }
        let mut fields = Fields::none(some, !problem.cloth.flaws.is_empty());
        let mut pairs = Pairs::new(problem, shapes, Detail::Fine);
        let ids = fields.shapes.clone();
        for &fixed in &ids {
            for &moving in &ids {
                fields.add(&pairs.region(fixed, moving));
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
            planes: Vec::new(),
            parts: Vec::new(),
            regions: Vec::new(),
            shapes,
            has_flaws,
        }
    }

    /// The number of a shape here; `None` if it is not one of these.
    pub fn number(&self, shape: ShapeId) -> Option<u32> {
        let found = self.shapes.binary_search(&shape).ok()?;
        Some(found as u32)
    }

    /// Takes a region in; its index.
    pub(super) fn add(&mut self, region: &NoFit) -> u32 {
        let first = self.parts.len() as u32;
        for part in &region.parts {
            let from = self.planes.len() as u32;
            let corners = part.points.iter();
            let ends = part.points.iter().cycle().skip(1);
            self.planes.extend(corners.zip(ends).map(|(p, q)| {
                // Left of the edge is inside: (q - p) x (t - p) > 0.
                let (u, v) = (q.x - p.x, q.y - p.y);
                HalfPlane {
                    a: v as f64,
                    b: -u as f64,
                    c: (v * p.x - u * p.y) as f64,
                    scale: 1.0 / (u as f64).hypot(v as f64),
                    inverse: [1.0 / v as f64, -1.0 / u as f64],
                }
            }));
            let (min, max) = (part.bounds.min, part.bounds.max);
            self.parts.push(Part {
                frame: Frame {
                    x: [min.x as f64, max.x as f64],
                    y: [min.y as f64, max.y as f64],
                },
                planes: from..self.planes.len() as u32,
            });
        }
        let parts = first..self.parts.len() as u32;
        let frames: Vec<Frame> = self.parts[range(&parts)].iter().map(|p| p.frame).collect();
        self.regions.push(Region {
            frame: Frame::around(&frames),
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
    pub fn behind(&self, number: u32) -> f64 {
        let parts = self.parts(self.pair(number, number)).iter();
        let ends = parts.filter_map(|part| stretch(part, self.planes(part), 0.0, true));
        ends.map(|(_, high)| high).fold(0.0, f64::max)
    }

    /// The box around a region.
    #[inline]
    pub fn frame(&self, region: u32) -> Frame {
        self.regions[region as usize].frame
    }

    #[inline]
    pub fn parts(&self, region: u32) -> &[Part] {
        &self.parts[range(&self.regions[region as usize].parts)]
    }

    #[inline]
    pub fn planes(&self, part: &Part) -> &[HalfPlane] {
        &self.planes[range(&part.planes)]
    }

    /// How far the nearest edge of the part is, micrometres; 0 outside.
    #[inline]
    fn depth_in(&self, part: &Part, x: f64, y: f64) -> f64 {
        if !part.frame.contains(x, y) {
            return 0.0;
        }
        let mut least = f64::INFINITY;
        for plane in self.planes(part) {
            let inside = plane.inside(x, y);
            if inside <= 0.0 {
                return 0.0;
            }
            least = least.min(inside * plane.scale);
        }
        least
    }

    /// The same for a place that is known to be inside.
    #[inline]
    pub fn depth_inside(&self, part: &Part, x: f64, y: f64) -> f64 {
        let depth = |plane: &HalfPlane| plane.inside(x, y) * plane.scale;
        let depths = self.planes(part).iter().map(depth);
        depths.fold(f64::INFINITY, f64::min).max(0.0)
    }

    /// The depths in all parts together, micrometres; 0 exactly where the region does not forbid the place.
    #[inline]
    pub fn depth(&self, region: u32, x: f64, y: f64) -> f64 {
        let region = &self.regions[region as usize];
        if !region.frame.contains(x, y) {
            return 0.0;
        }
        let parts = self.parts[range(&region.parts)].iter();
        parts.map(|part| self.depth_in(part, x, y)).sum()
    }
}
