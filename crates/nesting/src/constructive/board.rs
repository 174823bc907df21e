//! [`Board`]: the cloth with what lies on it, and where the next piece can go.
//!
//! The lowest free position of a piece (least y, then least or greatest x) is a corner of the region left
//! over by the no-fit regions: a corner of one of them, a crossing of two of their edges, or a crossing
//! with the border of the cloth ([`super::on_grid`] where only some places will do). Corners are whole
//! numbers; of a crossing the four whole points around it are tried. Candidates are tested in order of
//! preference against every region, exactly, and crossings are only made below what the simpler candidates
//! have already reached.

use std::collections::HashMap;
use std::rc::Rc;

use pieces::Point;

use super::covered::Cells;
use super::edges::{Edge, collect_edges, cross, cross_two};
use super::on_grid::OnGrid;
use crate::geometry::{InnerFit, NoFit, Strip};
use crate::pairs::{Pairs, Parts};
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

/// A region that has been asked for so often is worth writing with fewer parts: that takes about as long as so
/// many questions take with all.
const OFTEN: u32 = 256;

struct Asked {
    region: Rc<NoFit>,
    times: u32,
}

/// No-fit regions by pair of shapes, made when first asked for.
pub struct Regions<'a> {
    shapes: &'a Shapes,
    detail: Detail,
    made_of: Pairs<'a>,
    strip: Strip,
    pairs: HashMap<(ShapeId, ShapeId), Asked>,
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
        let (parts, times) = match self.pairs.get_mut(&(fixed, moving)) {
            Some(asked) => {
                asked.times = asked.times.saturating_add(1);
                if asked.times != OFTEN {
                    return Rc::clone(&asked.region);
                }
                (Parts::Few, OFTEN)
            }
            None => (Parts::All, 0),
        };
        let region = Rc::new(self.made_of.region(fixed, moving, parts));
        let corners: u64 = region.parts.iter().map(|p| p.points.len() as u64).sum();
        self.made += corners;
        self.kept += corners;
        if self.kept > MOST_CORNERS {
            self.pairs.clear();
            self.kept = corners;
        }
        let asked = Asked {
            region: Rc::clone(&region),
            times,
        };
        self.pairs.insert((fixed, moving), asked);
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
    looked: Looked,
}

/// Room for what is looked at to find a place.
#[derive(Default)]
struct Looked {
    edges: Vec<Edge>,
    cells: Cells,
    /// Cell and number of an edge that runs through it.
    through: Vec<(u32, u32)>,
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
        let (found, work) = if grid.is_any() {
            Finder::new(&scratch.obstacles, area, from, known).run(&mut scratch.looked)
        } else {
            OnGrid::new(&scratch.obstacles, area, from).run(&grid)
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

/// From so many parts of regions on it is worth finding out first what they cover.
const CROWDED: usize = 96;

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
    /// What is known to be forbidden, where that is worth knowing.
    covered: Option<&'s Cells>,
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
            covered: None,
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
            || self.covered.is_some_and(|cells| cells.hold(p))
        {
            return;
        }
        let obstacles = self.obstacles;
        let mut forbids = |k: usize| {
            let (region, at) = &obstacles[k];
            let place = p.minus(*at);
            let parts = if region.is_near(place) {
                region.parts.len()
            } else {
                0
            };
            self.work += 1 + parts as u64;
            region.forbids(place)
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
    fn run(self, looked: &'s mut Looked) -> (Option<Point>, u64) {
        let parts = self.obstacles.iter().map(|(region, _)| region.parts.len());
        let is_crowded = parts.sum::<usize>() >= CROWDED;
        self.run_by(looked, is_crowded)
    }

    /// The same by cells or without them.
    fn run_by(mut self, looked: &'s mut Looked, is_crowded: bool) -> (Option<Point>, u64) {
        let Looked {
            edges,
            cells,
            through,
        } = looked;
        if is_crowded {
            self.work += cover(cells, self.obstacles, self.area);
            self.covered = Some(cells);
        }
        self.offer_corners();
        let limit = self.best.map_or(self.area.max_y, |p| p.y);
        if limit > self.area.min_y {
            collect_edges(self.obstacles, self.area, limit, edges);
            if is_crowded {
                cells.edges_by_cell(edges, through);
                self.cross_in_cells(cells, edges, through);
            } else {
                self.work += cross(edges, |p| self.offer(p));
            }
        }
        (self.best, self.work)
    }

    fn offer_corners(&mut self) {
        let Area {
            min_x,
            max_x,
            min_y,
            ..
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
    }

    fn cross_in_cells(&mut self, cells: &Cells, edges: &[Edge], through: &[(u32, u32)]) {
        self.work += through.len() as u64;
        for cell in through.chunk_by(|a, b| a.0 == b.0) {
            let low = cells.begin_of(cell[0].0);
            if self.best.is_some_and(|best| best.y < low) {
                break;
            }
            self.work += (cell.len() * (cell.len() - 1) / 2) as u64;
            for (k, (_, a)) in cell.iter().enumerate() {
                for (_, b) in &cell[k + 1..] {
                    cross_two(&edges[*a as usize], &edges[*b as usize], |p| self.offer(p));
                }
            }
        }
    }
}

/// Finds out what the regions cover; returns the work it took.
fn cover(cells: &mut Cells, obstacles: &[(Rc<NoFit>, Point)], area: Area) -> u64 {
    let tops = obstacles.iter().filter_map(|(region, at)| {
        let tops = region.parts.iter().map(|part| part.bounds.max.y + at.y);
        tops.max()
    });
    let top = tops.max().unwrap_or(area.min_y).min(area.max_y);
    cells.clear(area, top.max(area.min_y));
    let mut work = 0;
    for (region, at) in obstacles {
        for part in &region.parts {
            work += cells.cover(part, *at);
        }
    }
    work
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::convex_parts;
    use crate::geometry::tests::outlines;
    use pieces::Outline;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        /// Every place is tried.
        #[test]
        fn the_lowest_free_place_is_found_by_cells_and_without_them(
            fixed in proptest::collection::vec((outlines(), 0_i64..40, 0_i64..40), 1..16),
            moving in outlines(), is_left: bool, height in 8_i64..60, scale in 1_i64..300,
        ) {
            let scale = if scale < 100 { 1 } else { scale };
            let larger = |outline: &Outline| {
                let points = outline.points().iter();
                Outline::new(points.map(|p| Point::new(p.x * scale, p.y * scale)).collect()).unwrap()
            };
            let parts = convex_parts(&larger(&moving));
            let region = |(outline, x, y): &(Outline, i64, i64)| {
                let region = NoFit::of(&convex_parts(&larger(outline)), &parts, None);
                (Rc::new(region), Point::new(x * scale, y * scale))
            };
            let obstacles: Vec<(Rc<NoFit>, Point)> = fixed.iter().map(region).collect();
            let [max_x, max_y] = [40 * scale, height * scale];
            let area = Area { min_x: 0, max_x, min_y: 0, max_y };
            let from = if is_left { Selvedge::Left } else { Selvedge::Right };
            let found = [true, false].map(|by_cells| {
                let finder = Finder::new(&obstacles, area, from, None);
                finder.run_by(&mut Looked::default(), by_cells).0
            });
            let is_free = |p: Point| {
                obstacles.iter().all(|(region, at)| !region.forbids(p.minus(*at)))
            };
            let across = |y: i64| {
                let mut xs: Vec<i64> = (0..=40).collect();
                if !is_left {
                    xs.reverse();
                }
                xs.into_iter().map(move |x| Point::new(x, y))
            };
            prop_assert_eq!(found[0], found[1]);
            if scale > 1 {
                return Ok(());
            }
            let lowest = (0..=height).flat_map(across).find(|&p| is_free(p));
            // A crossing between whole places may leave a whole one free that is not beside it.
            let order = |p: Point| (p.y, if is_left { p.x } else { -p.x });
            if let Some(found) = found[0] {
                prop_assert!(is_free(found));
                prop_assert!(lowest.is_some_and(|lowest| order(lowest) <= order(found)));
            }
        }
    }
}
