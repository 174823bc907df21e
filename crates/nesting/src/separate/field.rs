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

/// Half-planes in all, some 110 MB: a hundred shapes of a few corners take a hundredth of it, fifty different
/// sectors with their curves more.
const MOST_PLANES: usize = 2_000_000;

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

/// The regions of all pairs of shapes, and of the flaws. Made once, shared by all streams.
pub struct Fields {
    planes: Vec<HalfPlane>,
    parts: Vec<Part>,
    regions: Vec<Region>,
    /// How many shapes there are: the region of a pair is at fixed * kinds + moving, those of flaws after them.
    kinds: usize,
    has_flaws: bool,
}

fn range(range: &Range<u32>) -> Range<usize> {
    range.start as usize..range.end as usize
}

impl Fields {
    /// Of a problem; `None` if its pieces are too large for floats to be exact, or so many different ones
    /// that their regions would fill the memory.
    pub fn of(problem: &Problem, shapes: &Shapes) -> Option<Self> {
        let longest = |s: &Shape| s.across.max(s.along);
        let reach = shapes.shapes.iter().map(longest).max()?;
        let flaws = problem.cloth.flaws.iter().map(Outline::bounds);
        let ends = flaws.flat_map(|b| [b.min.x, b.min.y, b.max.x, b.max.y]);
        let sides = [problem.cloth.left.um(), problem.cloth.right.um()];
        let furthest = ends.chain(sides).map(i64::abs).max().unwrap_or(0);
        if 2 * (reach + problem.spacing.um()) > FARTHEST || furthest + reach > FARTHEST {
            return None;
        }
        // A part of one and a part of another have no more edges in their region than they have corners.
        let parts: usize = shapes.shapes.iter().map(|s| s.fine.len()).sum();
        let all_parts = shapes.shapes.iter().flat_map(|s| &s.fine);
        let corners: usize = all_parts.map(|p| p.points.len()).sum();
        if 2 * parts.saturating_mul(corners) > MOST_PLANES {
            return None;
        }
        let mut fields = Fields::none(shapes.shapes.len(), !problem.cloth.flaws.is_empty());
        let mut pairs = Pairs::new(problem, shapes, Detail::Fine);
        let kinds = shapes.shapes.len() as u32;
        for fixed in 0..kinds {
            for moving in 0..kinds {
                fields.add(&pairs.region(ShapeId(fixed), ShapeId(moving)));
            }
        }
        if fields.has_flaws {
            let cloth = &problem.cloth;
            let strip = Strip::new(cloth.left, cloth.right, &cloth.flaws);
            for moving in &shapes.shapes {
                fields.add(&strip.flaws(&moving.fine));
            }
        }
        Some(fields)
    }

    pub(super) fn none(kinds: usize, has_flaws: bool) -> Self {
        Fields {
            planes: Vec::new(),
            parts: Vec::new(),
            regions: Vec::new(),
            kinds,
            has_flaws,
        }
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

    /// Index of the region where `moving` may not go, seen from `fixed`.
    #[inline]
    pub fn pair(&self, fixed: ShapeId, moving: ShapeId) -> u32 {
        (fixed.0 as usize * self.kinds + moving.0 as usize) as u32
    }

    /// Index of the region of the flaws, if there are any, in the cloth's frame.
    pub fn flaws(&self, moving: ShapeId) -> Option<u32> {
        self.has_flaws
            .then(|| (self.kinds * self.kinds) as u32 + moving.0)
    }

    /// How far behind a piece the same may lie at least, straight along the cloth.
    pub fn behind(&self, shape: ShapeId) -> f64 {
        let parts = self.parts(self.pair(shape, shape)).iter();
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
