//! Open convex polygons with whole corners, laid out for speed: how deep a place lies inside one, and where
//! a line runs through it.
//!
//! Each edge is a half-plane `a x + b y < c` with whole coefficients, so whether a place lies inside is
//! decided exactly as [`crate::geometry::NoFitPart::forbids`] decides it. Most places are so far from every edge
//! that narrow floats, four edges at a time, are sure of the answer; only the others are looked at again. A
//! depth is rounded, and decides nothing.

use std::ops::Range;

use wide::f32x4;

use super::frame::Frame;
use crate::geometry::NoFitPart;

/// Edges that are looked at together.
const LANES: usize = 4;

/// Narrow floats are sure of what is further from an edge than the sum of a polygon's width and height
/// divided by this: eight roundings of half a unit in the 24th place, and as much again.
const SURE: f32 = (1 << 20) as f32;

/// A place inside is never less deep than this (um), however the depth is rounded.
const SHALLOWEST: f32 = 0.001;

/// Inside is `a x + b y < c`. Coordinates below 2^30 keep all that is computed of it below 2^62.
#[derive(Clone, Copy, Debug)]
struct Edge {
    a: i64,
    b: i64,
    c: i64,
    /// 1/a and 1/b, rounded; infinite where there is none.
    inverse: [f64; 2],
}

impl Edge {
    #[inline]
    fn has_inside(&self, x: i32, y: i32) -> bool {
        self.a * i64::from(x) + self.b * i64::from(y) < self.c
    }

    /// Where a line at `at` leaves or enters: the first whole place outside, or the last.
    #[inline]
    fn end(&self, at: i32, is_along: bool) -> i32 {
        let (slope, other) = if is_along {
            (self.b, self.a)
        } else {
            (self.a, self.b)
        };
        // slope * v < rest inside.
        let rest = self.c - other * i64::from(at);
        // The nearest whole number, or the other one where two are all but equally near.
        let near = whole(rest as f64 * self.inverse[usize::from(is_along)]) as i32;
        let is_inside = slope * i64::from(near) < rest;
        near + i32::from(is_inside) * slope.signum() as i32
    }
}

/// Rounded to a whole number; for numbers below 2^51. Faster than a call of `round`.
#[inline]
fn whole(v: f64) -> f64 {
    const SHIFT: f64 = 6_755_399_441_055_744.0; // 1.5 * 2^52: no room is left for a fraction
    (v + SHIFT) - SHIFT
}

/// Distances from edges, positive inside: `c - a x - b y` seen from the polygon's middle.
#[derive(Clone, Copy, Debug)]
struct Distances {
    a: f32x4,
    b: f32x4,
    c: f32x4,
}

impl Distances {
    /// Nothing is near.
    const NONE: Distances = Distances {
        a: f32x4::ZERO,
        b: f32x4::ZERO,
        c: f32x4::splat(f32::INFINITY),
    };
}

/// The edges that lines in one direction may leave by, or enter by: in order along the polygon, each up to
/// where the next begins.
#[derive(Clone, Copy, Debug, Default)]
struct Chain {
    /// Where the edges end, in [`Polygons::ends`]; the first of them, and how many fours.
    first: u32,
    fours: u32,
    /// The first of the edges, counted from the polygon's first.
    edge: u32,
}

/// Which chain: lines along the cloth and across it, where they enter and where they leave. Lines across the
/// cloth run from left to right.
const ENTERS: [usize; 2] = [0, 1];
const LEAVES: [usize; 2] = [2, 3];

#[derive(Clone, Debug)]
struct Polygon {
    middle: [i32; 2],
    /// Narrow floats are sure of what is further than this from an edge.
    unsure: f32,
    distances: Range<u32>,
    edges: Range<u32>,
    chains: [Chain; 4],
}

/// Polygons by number.
#[derive(Default)]
pub struct Polygons {
    /// Least x and y, greatest x and y with their signs turned; outside themselves.
    frames: Vec<[i32; 4]>,
    all: Vec<Polygon>,
    distances: Vec<Distances>,
    edges: Vec<Edge>,
    /// Where edges of chains end on the axis across the lines, ascending, filled up with what none reaches.
    ends: Vec<[i32; LANES]>,
}

fn range(range: &Range<u32>) -> Range<usize> {
    range.start as usize..range.end as usize
}

fn lesser(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

impl Polygons {
    /// How many edges there are in all.
    pub fn edge_count(&self) -> u64 {
        self.edges.len() as u64
    }

    pub fn len(&self) -> usize {
        self.all.len()
    }

    pub fn add(&mut self, part: &NoFitPart) {
        let (min, max) = (part.bounds.min, part.bounds.max);
        let narrow = |v: i64| v as i32;
        let middle = [(min.x + max.x) / 2, (min.y + max.y) / 2];
        let corners: Vec<[i64; 2]> = part.points.iter().map(|p| [p.x, p.y]).collect();
        let first_edge = self.edges.len() as u32;
        let first_four = self.distances.len() as u32;
        let ends = corners.iter().cycle().skip(1);
        let spans: Vec<[[i64; 2]; 2]> = corners.iter().zip(ends).map(|(&p, &q)| [p, q]).collect();
        for four in spans.chunks(LANES) {
            let mut distances = Distances::NONE;
            for (lane, &[p, q]) in four.iter().enumerate() {
                // Left of the edge is inside: (q - p) x (t - p) > 0.
                let (u, v) = (q[0] - p[0], q[1] - p[1]);
                let c = v * p[0] - u * p[1];
                let (a, b) = (v as f64, -u as f64);
                self.edges.push(Edge {
                    a: v,
                    b: -u,
                    c,
                    inverse: [1.0 / a, 1.0 / b],
                });
                let length = a.hypot(b);
                distances.a.as_mut_array()[lane] = (a / length) as f32;
                distances.b.as_mut_array()[lane] = (b / length) as f32;
                let from_middle = v * (p[0] - middle[0]) - u * (p[1] - middle[1]);
                distances.c.as_mut_array()[lane] = (from_middle as f64 / length) as f32;
            }
            self.distances.push(distances);
        }
        let chains = [
            self.chain(&spans, |[p, q]| (q[0] > p[0]).then_some(q[0])),
            self.chain(&spans, |[p, q]| (q[1] < p[1]).then_some(-q[1])),
            self.chain(&spans, |[p, q]| (q[0] < p[0]).then_some(-q[0])),
            self.chain(&spans, |[p, q]| (q[1] > p[1]).then_some(q[1])),
        ];
        self.frames.push([min.x, min.y, -max.x, -max.y].map(narrow));
        self.all.push(Polygon {
            middle: middle.map(narrow),
            unsure: (max.x - min.x + max.y - min.y) as f32 / SURE,
            distances: first_four..self.distances.len() as u32,
            edges: first_edge..self.edges.len() as u32,
            chains,
        });
    }

    /// Of the edges for which `end` says where they end; they follow each other round the polygon.
    fn chain(
        &mut self,
        spans: &[[[i64; 2]; 2]],
        end: impl Fn([[i64; 2]; 2]) -> Option<i64>,
    ) -> Chain {
        let count = spans.len();
        let is_in = |k: usize| end(spans[k % count]).is_some();
        let first = (0..count).find(|&k| is_in(k) && !is_in(k + count - 1));
        let Some(edge) = first else {
            return Chain::default();
        };
        let ends: Vec<i32> = (edge..edge + count)
            .map_while(|k| end(spans[k % count]))
            .map(|v| v as i32)
            .collect();
        let first = self.ends.len() as u32;
        for four in ends.chunks(LANES) {
            let mut filled = [i32::MAX; LANES];
            filled[..four.len()].copy_from_slice(four);
            self.ends.push(filled);
        }
        Chain {
            first,
            fours: ends.len().div_ceil(LANES) as u32,
            edge: edge as u32,
        }
    }

    pub fn frame(&self, number: usize) -> Frame {
        let [x0, y0, x1, y1] = self.frames[number];
        Frame {
            x: [x0, -x1],
            y: [y0, -y1],
        }
    }

    /// How far the nearest edge is, micrometres; 0 exactly where the place is not inside.
    #[inline]
    pub fn depth(&self, number: usize, x: i32, y: i32) -> f32 {
        let frame = &self.frames[number];
        let at = [x, y, -x, -y];
        let is_in = (0..4).fold(true, |all, k| all & (at[k] > frame[k]));
        if !is_in {
            return 0.0;
        }
        let polygon = &self.all[number];
        let near = self.nearest(polygon, x, y);
        if near > polygon.unsure {
            near
        } else if near < -polygon.unsure || !self.has_inside(polygon, x, y) {
            0.0
        } else {
            near.max(SHALLOWEST)
        }
    }

    /// The same for a place that is known to be inside.
    #[inline]
    pub fn depth_inside(&self, number: usize, x: i32, y: i32) -> f32 {
        self.nearest(&self.all[number], x, y).max(SHALLOWEST)
    }

    #[inline]
    fn nearest(&self, polygon: &Polygon, x: i32, y: i32) -> f32 {
        let x = f32x4::splat((x - polygon.middle[0]) as f32);
        let y = f32x4::splat((y - polygon.middle[1]) as f32);
        let mut least = f32x4::splat(f32::INFINITY);
        for edges in &self.distances[range(&polygon.distances)] {
            least = (edges.c - edges.a * x - edges.b * y).fast_min(least);
        }
        let [a, b, c, d] = least.to_array();
        lesser(lesser(a, b), lesser(c, d))
    }

    #[cold]
    fn has_inside(&self, polygon: &Polygon, x: i32, y: i32) -> bool {
        let mut edges = self.edges[range(&polygon.edges)].iter();
        edges.all(|edge| edge.has_inside(x, y))
    }

    /// Where the line at `at` runs inside: the last whole place outside before it and the first after it.
    #[inline]
    pub fn stretch(&self, number: usize, at: i32, is_along: bool) -> Option<[i32; 2]> {
        let [x0, y0, x1, y1] = self.frames[number];
        let sides = if is_along { [x0, x1] } else { [y0, y1] };
        if at <= sides[0] || -at <= sides[1] {
            return None;
        }
        let polygon = &self.all[number];
        let direction = usize::from(!is_along);
        // Lines along the cloth enter by edges that lead to the right, lines across it by those that lead down.
        let signed = if is_along { at } else { -at };
        let enters = self.edge_at(polygon, ENTERS[direction], signed);
        let leaves = self.edge_at(polygon, LEAVES[direction], -signed);
        let ends = [enters.end(at, is_along), leaves.end(at, is_along)];
        (ends[0] < ends[1]).then_some(ends)
    }

    /// The edge of a chain over this place on the axis across the lines.
    #[inline]
    fn edge_at(&self, polygon: &Polygon, chain: usize, at: i32) -> &Edge {
        let Chain { first, fours, edge } = polygon.chains[chain];
        let ends = &self.ends[first as usize..][..fours as usize];
        let before: i32 = ends
            .iter()
            .map(|four| four.iter().map(|&end| i32::from(end < at)).sum::<i32>())
            .sum();
        let edges = &self.edges[range(&polygon.edges)];
        let number = (edge as i32 + before) as usize;
        &edges[if number < edges.len() {
            number
        } else {
            number - edges.len()
        }]
    }
}
