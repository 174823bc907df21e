//! [`Board`]: the cloth with what lies on it, and where the next piece can go.
//!
//! The lowest free position of a piece (least y, then least or greatest x) is a corner of the region left
//! over by the no-fit regions: a corner of one of them, a crossing of two of their edges, or a crossing
//! with the border of the cloth ([`super::on_grid`] where only some places will do). Corners are whole
//! numbers; of a crossing the four whole points around it are tried. Candidates are tested in order of
//! preference against every region, exactly, and crossings are only made below what the simpler candidates
//! have already reached.

use std::cmp::Ordering;
use std::collections::HashMap;
use std::rc::Rc;

use pieces::{Point, orientation};

use super::on_grid::OnGrid;
use crate::geometry::{InnerFit, NoFit, Strip};
use crate::pairs::Pairs;
use crate::places::Grid;
use crate::problem::Problem;
use crate::shapes::{Detail, ShapeId, Shapes};

/// From which selvedge pieces are laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Selvedge {
    /// Least x first.
    Left,
    /// Greatest x first.
    Right,
}

/// Corners of regions kept at most, some 100 MB; beyond that all are forgotten and made again as needed.
const MOST_CORNERS: u64 = 4_000_000;

/// No-fit regions by pair of shapes, made when first asked for.
pub struct Regions<'a> {
    shapes: &'a Shapes,
    detail: Detail,
    made_of: Pairs<'a>,
    strip: Strip,
    pairs: HashMap<(ShapeId, ShapeId), Rc<NoFit>>,
    inner_fits: HashMap<ShapeId, InnerFit>,
    /// Corners of the regions kept, and of all that were ever made.
    kept: u64,
    made: u64,
}

impl<'a> Regions<'a> {
    /// For the shapes of `problem`.
    #[must_use]
    pub fn new(problem: &Problem, shapes: &'a Shapes, detail: Detail) -> Self {
        let cloth = &problem.cloth;
        Regions {
            shapes,
            detail,
            made_of: Pairs::new(problem, shapes, detail),
            strip: Strip::new(cloth.left, cloth.right, &cloth.flaws),
            pairs: HashMap::new(),
            inner_fits: HashMap::new(),
            kept: 0,
            made: 0,
        }
    }

    /// Where `moving` may not go, seen from `fixed`.
    pub fn pair(&mut self, fixed: ShapeId, moving: ShapeId) -> Rc<NoFit> {
        if let Some(region) = self.pairs.get(&(fixed, moving)) {
            return Rc::clone(region);
        }
        let region = Rc::new(self.made_of.region(fixed, moving));
        let corners: u64 = region.parts.iter().map(|p| p.points.len() as u64).sum();
        self.made += corners;
        self.kept += corners;
        if self.kept > MOST_CORNERS {
            self.pairs.clear();
            self.kept = corners;
        }
        self.pairs.insert((fixed, moving), Rc::clone(&region));
        region
    }

    /// Where `moving` may lie on the cloth.
    pub fn inner_fit(&mut self, moving: ShapeId) -> &InnerFit {
        self.inner_fits.entry(moving).or_insert_with(|| {
            let shape = self.shapes.shape(moving);
            self.strip.inner_fit(shape.parts(self.detail), shape.across)
        })
    }
}

/// Where a piece may be laid: least corner of its box within these, inclusive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// Lowest y of the box.
    pub floor: i64,
    /// Greatest y of the box, if it must end somewhere.
    pub ceiling: Option<i64>,
}

/// The cloth and the pieces on it.
pub struct Board<'a, 'r> {
    shapes: &'a Shapes,
    regions: &'r mut Regions<'a>,
    laid: Vec<(ShapeId, Point)>,
    /// By shape and grid: nothing before this place was free, and the cloth only gets fuller.
    reached: HashMap<(ShapeId, Grid), (Selvedge, Point)>,
    /// Tests made so far, in the boxes and edges looked at: what a search has cost, on any machine.
    work: u64,
    scratch: Scratch,
}

#[derive(Default)]
struct Scratch {
    obstacles: Vec<(Rc<NoFit>, Point)>,
    edges: Vec<Edge>,
}

#[derive(Clone, Copy)]
struct Edge {
    from: Point,
    to: Point,
    part: u32,
    low: i64,
    high: i64,
}

impl<'a, 'r> Board<'a, 'r> {
    /// An empty cloth.
    #[must_use]
    pub fn new(shapes: &'a Shapes, regions: &'r mut Regions<'a>) -> Self {
        Board {
            shapes,
            regions,
            laid: Vec::new(),
            reached: HashMap::new(),
            work: 0,
            scratch: Scratch::default(),
        }
    }

    /// Takes everything off.
    pub fn clear(&mut self) {
        self.laid.clear();
        self.reached.clear();
    }

    /// Lays a shape with the least corner of its box at `at`, unchecked.
    pub fn lay(&mut self, shape: ShapeId, at: Point) {
        self.laid.push((shape, at));
    }

    /// Forgets pieces that end at or below `floor`: nothing will be laid beside them any more.
    pub fn forget_below(&mut self, floor: i64) {
        let shapes = self.shapes;
        self.laid
            .retain(|(shape, at)| at.y + shapes.shape(*shape).along > floor);
    }

    /// What was done so far, in boxes and edges looked at and corners of regions made.
    #[must_use]
    pub fn work(&self) -> u64 {
        self.work + self.regions.made
    }

    /// The lowest free place of the grid for `shape`, then the one furthest towards the side laid `from`; `None`
    /// if there is none within `window`.
    pub fn lowest(
        &mut self,
        shape: ShapeId,
        grid: Grid,
        window: Window,
        from: Selvedge,
    ) -> Option<Point> {
        let along = self.shapes.shape(shape).along;
        let (min_x, max_x) = self.regions.inner_fit(shape).across.clone().into_inner();
        let max_y = window.ceiling.map_or(i64::MAX, |c| c - along);
        if min_x > max_x || window.floor > max_y {
            return None;
        }
        let known = self
            .reached
            .get(&(shape, grid))
            .filter(|(side, _)| *side == from);
        let known = known.map(|(_, place)| *place);
        let floor = known.map_or(window.floor, |place| place.y.max(window.floor));
        let mut scratch = std::mem::take(&mut self.scratch);
        self.collect_obstacles(shape, floor, max_y, &mut scratch.obstacles);
        let area = Area {
            min_x,
            max_x,
            min_y: floor,
            max_y,
        };
        let Scratch { obstacles, edges } = &mut scratch;
        let (found, work) = if grid.is_any() {
            Finder::new(obstacles, area, from, known).run(edges)
        } else {
            OnGrid::new(obstacles, area, from).run(&grid)
        };
        self.work += work;
        self.scratch = scratch;
        if let Some(found) = found {
            self.reached.insert((shape, grid), (from, found));
        }
        found
    }

    fn collect_obstacles(
        &mut self,
        shape: ShapeId,
        min_y: i64,
        max_y: i64,
        obstacles: &mut Vec<(Rc<NoFit>, Point)>,
    ) {
        obstacles.clear();
        let along = self.shapes.shape(shape).along;
        let slack = self.regions.made_of.reach();
        for &(fixed, at) in &self.laid {
            let top = at.y + self.shapes.shape(fixed).along + slack;
            let reaches_up = max_y == i64::MAX || at.y - slack < max_y + along;
            if top > min_y && reaches_up {
                obstacles.push((self.regions.pair(fixed, shape), at));
            }
        }
        let flaws = Rc::clone(&self.regions.inner_fit(shape).flaws);
        if !flaws.parts.is_empty() {
            obstacles.push((flaws, Point::default()));
        }
    }
}

/// Where the least corner of the box may lie.
#[derive(Clone, Copy)]
pub(super) struct Area {
    pub min_x: i64,
    pub max_x: i64,
    pub min_y: i64,
    pub max_y: i64,
}

impl Area {
    fn holds(&self, p: Point) -> bool {
        (self.min_x..=self.max_x).contains(&p.x) && (self.min_y..=self.max_y).contains(&p.y)
    }
}

/// Looks at candidates one by one and keeps the preferred free one.
struct Finder<'s> {
    obstacles: &'s [(Rc<NoFit>, Point)],
    area: Area,
    from: Selvedge,
    /// Nothing preferred to this is free.
    known: Option<(i64, i64)>,
    best: Option<Point>,
    /// Neighbouring candidates tend to be forbidden by the same piece: it is asked first.
    last: usize,
    work: u64,
}

impl<'s> Finder<'s> {
    fn new(
        obstacles: &'s [(Rc<NoFit>, Point)],
        area: Area,
        from: Selvedge,
        known: Option<Point>,
    ) -> Self {
        let mut finder = Finder {
            obstacles,
            area,
            from,
            known: None,
            best: None,
            last: 0,
            work: 0,
        };
        finder.known = known.map(|p| finder.preference(p));
        finder
    }

    fn preference(&self, p: Point) -> (i64, i64) {
        let x = match self.from {
            Selvedge::Left => p.x,
            Selvedge::Right => -p.x,
        };
        (p.y, x)
    }

    fn offer(&mut self, p: Point) {
        if !self.area.holds(p) {
            return;
        }
        let preference = self.preference(p);
        if self.known.is_some_and(|known| preference < known)
            || self
                .best
                .is_some_and(|best| preference >= self.preference(best))
        {
            return;
        }
        let obstacles = self.obstacles;
        let mut forbids = |k: usize| {
            let (region, at) = &obstacles[k];
            self.work += region.parts.len() as u64;
            region.forbids(p.minus(*at))
        };
        if self.last < obstacles.len() && forbids(self.last) {
            return;
        }
        match (0..obstacles.len()).find(|&k| forbids(k)) {
            Some(k) => self.last = k,
            None => self.best = Some(p),
        }
    }

    /// The place, and the work it took.
    fn run(mut self, edges: &mut Vec<Edge>) -> (Option<Point>, u64) {
        let Area {
            min_x,
            max_x,
            min_y,
            max_y,
        } = self.area;
        self.offer(Point::new(min_x, min_y));
        self.offer(Point::new(max_x, min_y));
        for (region, at) in self.obstacles {
            for part in &region.parts {
                for p in &part.points {
                    self.offer(p.plus(*at));
                }
                for x in [min_x, max_x] {
                    if let Some((_, high)) = part.forbidden_along(x - at.x) {
                        self.offer(Point::new(x, high + at.y));
                    }
                }
                if let Some((low, high)) = part.forbidden_across(min_y - at.y) {
                    self.offer(Point::new(low + at.x, min_y));
                    self.offer(Point::new(high + at.x, min_y));
                }
            }
        }
        let limit = self.best.map_or(max_y, |p| p.y);
        if limit > min_y {
            collect_edges(self.obstacles, self.area, limit, edges);
            self.work += cross(edges, |p| self.offer(p));
        }
        (self.best, self.work)
    }
}

fn collect_edges(obstacles: &[(Rc<NoFit>, Point)], area: Area, limit: i64, edges: &mut Vec<Edge>) {
    edges.clear();
    let mut part_number = 0;
    for (region, at) in obstacles {
        for part in &region.parts {
            part_number += 1;
            let (low, high) = (part.bounds.min.plus(*at), part.bounds.max.plus(*at));
            if high.x < area.min_x || low.x > area.max_x || high.y < area.min_y || low.y > limit {
                continue;
            }
            let n = part.points.len();
            for i in 0..n {
                let (from, to) = (part.points[i].plus(*at), part.points[(i + 1) % n].plus(*at));
                let (low, high) = (from.y.min(to.y), from.y.max(to.y));
                let (west, east) = (from.x.min(to.x), from.x.max(to.x));
                if high >= area.min_y && low <= limit && east >= area.min_x && west <= area.max_x {
                    edges.push(Edge {
                        from,
                        to,
                        part: part_number,
                        low,
                        high,
                    });
                }
            }
        }
    }
    edges.sort_unstable_by_key(|e| (e.low, e.from, e.to));
}

/// Offers the whole points around every crossing of two edges of different parts; returns how many
/// pairs were looked at.
fn cross(edges: &[Edge], mut offer: impl FnMut(Point)) -> u64 {
    let mut looked = 0;
    for (k, a) in edges.iter().enumerate() {
        let (a_west, a_east) = (a.from.x.min(a.to.x), a.from.x.max(a.to.x));
        for b in &edges[k + 1..] {
            if b.low > a.high {
                break;
            }
            looked += 1;
            if a.part == b.part || b.from.x.min(b.to.x) > a_east || b.from.x.max(b.to.x) < a_west {
                continue;
            }
            let (c, d) = (
                orientation(a.from, a.to, b.from),
                orientation(a.from, a.to, b.to),
            );
            // An end that lies on the other edge is a corner and has been offered already.
            if c == d || c == Ordering::Equal || d == Ordering::Equal {
                continue;
            }
            let (e, f) = (
                orientation(b.from, b.to, a.from),
                orientation(b.from, b.to, a.to),
            );
            if e == f || e == Ordering::Equal || f == Ordering::Equal {
                continue;
            }
            let (x, y) = crossing(a, b);
            let (x0, y0) = (x.floor() as i64, y.floor() as i64);
            for p in [(x0, y0), (x0 + 1, y0), (x0, y0 + 1), (x0 + 1, y0 + 1)] {
                offer(Point::new(p.0, p.1));
            }
        }
    }
    looked
}

/// Where two edges that do cross meet: a guide to the whole points around it, so a float will do.
fn crossing(a: &Edge, b: &Edge) -> (f64, f64) {
    let (u, v) = (a.to.minus(a.from), b.to.minus(b.from));
    let w = b.from.minus(a.from);
    let cross = |p: Point, q: Point| p.x as f64 * q.y as f64 - p.y as f64 * q.x as f64;
    let t = cross(w, v) / cross(u, v);
    (
        a.from.x as f64 + t * u.x as f64,
        a.from.y as f64 + t * u.y as f64,
    )
}
