//! The last millimetres: pieces pushed together by their fine outlines, then put on the marking step.
//!
//! [`pushed_down`] moves one piece at a time, lowest first, straight down and then sideways, to the lowest
//! whole position at which it meets nothing; the layout never gets longer. [`snapped`] moves
//! corners to whole marking steps where that stays valid, without making the marker longer, so that the
//! numbers a person chalks are round ones.

use std::rc::Rc;

use pieces::{Length, Point};

use crate::constructive::board::Regions;
use crate::constructive::{Laid, Layout, bands};
use crate::places::{Grid, Matched};
use crate::problem::Problem;
use crate::shapes::Shapes;

/// Moves of pieces at most, as passes over few and over many; a pass without any move ends it sooner.
const PASSES: usize = 12;
const MOST_MOVES: usize = 6_000;

/// How far down a piece is moved at once, in lengths of the longest piece: what lies further below can't
/// be reached through two rows anyway, and it keeps long markers linear.
const REACH: i64 = 2;

struct Table<'a, 'r> {
    shapes: &'a Shapes,
    regions: &'r mut Regions<'a>,
    laid: Vec<Laid>,
    /// Pieces by the cell of their least y; cells are as long as the longest piece and its spacing.
    cells: Vec<Vec<usize>>,
    cell: i64,
    /// Where the print of sets that match each other begins: that stays.
    matched: Matched,
    /// A little more than the spacing: boxes further apart can't be in each other's way.
    gap: i64,
}

impl<'a, 'r> Table<'a, 'r> {
    fn new(
        problem: &Problem,
        shapes: &'a Shapes,
        regions: &'r mut Regions<'a>,
        laid: Vec<Laid>,
    ) -> Self {
        let gap = problem.spacing.um() + problem.spacing.um() / 8 + 2;
        let longest = laid
            .iter()
            .map(|l| shapes.shape(l.variant.shape).along)
            .max()
            .unwrap_or(0);
        let cell = longest + gap;
        let top = laid.iter().map(|l| l.at.y / cell).max().unwrap_or(0);
        let mut cells = vec![Vec::new(); usize::try_from(top).unwrap_or(0) + 1];
        for (k, l) in laid.iter().enumerate() {
            cells[(l.at.y / cell) as usize].push(k);
        }
        Table {
            shapes,
            regions,
            matched: Matched::of(&laid),
            laid,
            cells,
            cell,
            gap,
        }
    }

    fn size(&self, k: usize) -> (i64, i64) {
        let shape = self.shapes.shape(self.laid[k].variant.shape);
        (shape.across, shape.along)
    }

    fn grid(&self, k: usize) -> Grid {
        self.matched.grid(&self.laid[k].variant)
    }

    fn move_to(&mut self, k: usize, at: Point) {
        let (from, to) = (self.laid[k].at.y / self.cell, at.y / self.cell);
        if from != to {
            self.cells[from as usize].retain(|&other| other != k);
            let to = usize::try_from(to).unwrap_or(0);
            if self.cells.len() <= to {
                self.cells.resize_with(to + 1, Vec::new);
            }
            self.cells[to].push(k);
        }
        self.laid[k].at = at;
    }

    /// Other pieces whose boxes come within the gap of the box from `min` to `max`.
    fn near(&self, k: usize, min: Point, max: Point) -> Vec<usize> {
        let first = ((min.y - self.gap) / self.cell - 1).max(0) as usize;
        let last = ((max.y + self.gap) / self.cell).max(0) as usize;
        let cells = self.cells.iter().take(last + 1).skip(first);
        cells
            .flatten()
            .copied()
            .filter(|&other| {
                let (at, (across, along)) = (self.laid[other].at, self.size(other));
                other != k
                    && min.x < at.x + across + self.gap
                    && at.x < max.x + self.gap
                    && min.y < at.y + along + self.gap
                    && at.y < max.y + self.gap
            })
            .collect()
    }

    /// Forbidden stretches for piece `k` along one axis, given its other coordinate and how far it may
    /// go down or left.
    fn stretches(&mut self, k: usize, along: bool, least: i64) -> Vec<(i64, i64)> {
        let me = self.laid[k];
        let (w, h) = self.size(k);
        let far = me.at.plus(Point::new(w, h));
        let min = if along {
            Point::new(me.at.x, least)
        } else {
            Point::new(least, me.at.y)
        };
        let mut stretches = Vec::new();
        for other in self.near(k, min, far) {
            let fixed = self.laid[other];
            let region = self.regions.pair(fixed.variant.shape, me.variant.shape);
            for part in &region.parts {
                let stretch = if along {
                    part.forbidden_along(me.at.x - fixed.at.x)
                        .map(|(low, high)| (low + fixed.at.y, high + fixed.at.y))
                } else {
                    part.forbidden_across(me.at.y - fixed.at.y)
                        .map(|(low, high)| (low + fixed.at.x, high + fixed.at.x))
                };
                stretches.extend(stretch);
            }
        }
        for part in &self.regions.inner_fit(me.variant.shape).flaws.parts {
            stretches.extend(if along {
                part.forbidden_along(me.at.x)
            } else {
                part.forbidden_across(me.at.y)
            });
        }
        stretches.sort_unstable();
        stretches
    }

    fn is_free(&mut self, k: usize, at: Point) -> bool {
        let me = self.laid[k];
        let (across, along) = self.size(k);
        if !self.regions.inner_fit(me.variant.shape).allows(at) {
            return false;
        }
        for other in self.near(k, at, at.plus(Point::new(across, along))) {
            let fixed = self.laid[other];
            let region = self.regions.pair(fixed.variant.shape, me.variant.shape);
            if region.forbids(at.minus(fixed.at)) {
                return false;
            }
        }
        true
    }

    /// Moves the pieces of a band to the right, leftmost first, each to the next whole step that is free
    /// of those before it: rounding adds up over a row, so single moves would find no room. Leaves the
    /// band as it was if the width does not allow it, or the print of one of its pieces.
    fn spread(&mut self, band: &[usize], step: i64) {
        let before: Vec<Point> = band.iter().map(|&k| self.laid[k].at).collect();
        let mut order = band.to_vec();
        if !order.iter().all(|&k| self.grid(k).is_any()) {
            return;
        }
        order.sort_by_key(|&k| (self.laid[k].at.x, self.laid[k].at.y, k));
        for (n, &k) in order.iter().enumerate() {
            let me = self.laid[k];
            let fit = self.regions.inner_fit(me.variant.shape);
            let (least, limit) = fit.across.clone().into_inner();
            let flaws = Rc::clone(&fit.flaws);
            let mut x = me.at.x - me.at.x.rem_euclid(step);
            if x < least {
                x += step;
            }
            let mut stretches = Vec::new();
            for &other in &order[..n] {
                let fixed = self.laid[other];
                let region = self.regions.pair(fixed.variant.shape, me.variant.shape);
                let across = region
                    .parts
                    .iter()
                    .filter_map(|part| part.forbidden_across(me.at.y - fixed.at.y));
                stretches.extend(across.map(|(low, high)| (low + fixed.at.x, high + fixed.at.x)));
            }
            stretches.extend(
                flaws
                    .parts
                    .iter()
                    .filter_map(|p| p.forbidden_across(me.at.y)),
            );
            while let Some(&(_, high)) = stretches.iter().find(|&&(low, high)| low < x && x < high)
            {
                x = high + (step - high.rem_euclid(step)) % step;
            }
            if x > limit {
                for (&k, &at) in band.iter().zip(&before) {
                    self.laid[k].at = at;
                }
                return;
            }
            self.laid[k].at.x = x;
        }
    }
}

/// The same layout with its pieces pushed together; never longer.
pub fn pushed_down<'a>(
    problem: &Problem,
    shapes: &'a Shapes,
    regions: &mut Regions<'a>,
    layout: Layout,
    stop: &dyn Fn() -> bool,
) -> Layout {
    let mut table = Table::new(problem, shapes, regions, layout.laid);
    let mut order: Vec<usize> = (0..table.laid.len()).collect();
    for _ in 0..PASSES.min(MOST_MOVES / order.len().max(1)).max(2) {
        let mut moved = false;
        order.sort_by_key(|&k| (table.laid[k].at.y, table.laid[k].at.x, k));
        for &k in &order {
            if stop() {
                break;
            }
            for along in [true, false] {
                let at = table.laid[k].at;
                let least = if along {
                    (at.y - REACH * table.cell).max(0)
                } else {
                    problem.cloth.left.um()
                };
                let grid = table.grid(k);
                let stretches = table.stretches(k, along, least);
                let better = if along {
                    let places = grid.along(at.x);
                    let y = places.and_then(|p| p.first_outside(&stretches, least, at.y));
                    y.map(|y| Point::new(at.x, y))
                } else {
                    let places = grid.across(at.y);
                    let x = places.and_then(|p| p.first_outside(&stretches, least, at.x));
                    x.map(|x| Point::new(x, at.y))
                };
                if let Some(better) = better.filter(|&b| b != at) {
                    table.move_to(k, better);
                    moved = true;
                }
            }
        }
        if !moved {
            break;
        }
    }
    Layout::of(shapes, table.laid)
}

/// The same layout with corners on whole multiples of `step` where that stays valid; never longer.
pub fn snapped<'a>(
    problem: &Problem,
    shapes: &'a Shapes,
    regions: &mut Regions<'a>,
    layout: Layout,
    step: Length,
    stop: &dyn Fn() -> bool,
) -> Layout {
    let limit = layout.length;
    let mut table = Table::new(problem, shapes, regions, layout.laid);
    let step = step.um().max(1);
    let off = |v: i64| v.rem_euclid(step);
    let mut order: Vec<usize> = (0..table.laid.len()).collect();
    for band in bands(shapes, &table.laid, table.gap) {
        if stop() {
            break;
        }
        table.spread(&band, step);
    }
    for _ in 0..3 {
        let mut moved = false;
        order.sort_by_key(|&k| (table.laid[k].at.y, table.laid[k].at.x, k));
        for &k in &order {
            if stop() {
                break;
            }
            let at = table.laid[k].at;
            let along = table.size(k).1;
            let choices = |v: i64| {
                let down = v - off(v);
                let up = if off(v) == 0 { v } else { down + step };
                if v - down <= up - v {
                    [down, up, v]
                } else {
                    [up, down, v]
                }
            };
            let places = choices(at.x)
                .into_iter()
                .flat_map(|x| choices(at.y).into_iter().map(move |y| Point::new(x, y)));
            let grid = table.grid(k);
            let allowed = places.filter(|&p| p.y + along <= limit && grid.allows(p));
            let mut places: Vec<Point> = allowed.collect();
            places.sort_by_key(|p| u8::from(off(p.x) != 0) + u8::from(off(p.y) != 0));
            let place = places.into_iter().find(|&p| p == at || table.is_free(k, p));
            if let Some(place) = place.filter(|&p| p != at) {
                table.move_to(k, place);
                moved = true;
            }
        }
        if !moved {
            break;
        }
    }
    Layout::of(shapes, table.laid)
}
