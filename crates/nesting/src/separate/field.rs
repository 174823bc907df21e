//! No-fit regions laid out for speed: how deep a relative place lies inside them.
//!
//! Each open convex polygon of a region becomes a list of half-planes `a x + b y < c` with whole
//! coefficients. Whole numbers below 2^53 are exact in a float, so whether a place lies inside is
//! decided exactly as [`crate::geometry::NoFitPart::forbids`] decides it, at the speed of floats; only
//! the depth (how far the nearest edge is) is rounded, and it decides nothing.

use std::collections::HashMap;
use std::ops::Range;

use crate::constructive::board::Regions;
use crate::geometry::NoFit;
use crate::shapes::ShapeId;

/// Pieces and their places within this (33 m) keep all that the half-planes compute below 2^53.
pub const FARTHEST: i64 = 1 << 25;

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

/// All regions that have been asked for, one for each pair of shapes.
#[derive(Default)]
pub struct Fields {
    planes: Vec<HalfPlane>,
    parts: Vec<Part>,
    regions: Vec<Region>,
    flaws: HashMap<ShapeId, Option<u32>>,
}

fn range(range: &Range<u32>) -> Range<usize> {
    range.start as usize..range.end as usize
}

impl Fields {
    /// Takes a region in; its index.
    pub fn add(&mut self, region: &NoFit) -> u32 {
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

    /// Index of the region of the flaws, if there are any, in the cloth's frame.
    pub fn flaws(&mut self, regions: &mut Regions<'_>, moving: ShapeId) -> Option<u32> {
        if let Some(&known) = self.flaws.get(&moving) {
            return known;
        }
        let region = regions.flaws(moving);
        let index = (!region.parts.is_empty()).then(|| self.add(&region));
        self.flaws.insert(moving, index);
        index
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
