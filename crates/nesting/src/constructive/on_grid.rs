//! The lowest free place on a grid: line by line, or column by column where any y will do.

use std::rc::Rc;

use pieces::Point;

use super::board::{Area, Selvedge};
use crate::geometry::NoFit;
use crate::places::{Every, Grid};

/// What a piece must keep clear of, and where it may lie.
pub(super) struct OnGrid<'s> {
    obstacles: &'s [(Rc<NoFit>, Point)],
    area: Area,
    from: Selvedge,
    stretches: Vec<(i64, i64)>,
    work: u64,
}

impl<'s> OnGrid<'s> {
    pub fn new(obstacles: &'s [(Rc<NoFit>, Point)], area: Area, from: Selvedge) -> Self {
        OnGrid {
            obstacles,
            area,
            from,
            stretches: Vec::new(),
            work: 0,
        }
    }

    /// The place, and the work it took.
    pub fn run(mut self, grid: &Grid) -> (Option<Point>, u64) {
        let found = if grid.leaves_free()[1] {
            self.in_columns(grid)
        } else {
            self.on_lines(grid)
        };
        (found, self.work)
    }

    fn on_lines(&mut self, grid: &Grid) -> Option<Point> {
        let Area {
            min_x,
            max_x,
            min_y,
            max_y,
        } = self.area;
        let tops = self.obstacles.iter().flat_map(|(region, at)| {
            let parts = region.parts.iter();
            parts.map(|part| part.bounds.max.y + at.y)
        });
        // On the lines above all obstacles every place is free.
        let top = tops.max().unwrap_or(min_y).max(min_y);
        let last = top.saturating_add(grid.period()).min(max_y);
        let lines = grid.lines(min_y).take_while(|(y, _)| *y <= last);
        for (y, every) in lines {
            self.forbid(y, false);
            let x = match self.from {
                Selvedge::Left => every.first_outside(&self.stretches, min_x, max_x),
                Selvedge::Right => {
                    let mirrored = |&(low, high): &(i64, i64)| (-high, -low);
                    let mut stretches: Vec<_> = self.stretches.iter().map(mirrored).collect();
                    stretches.sort_unstable();
                    let x = every.mirrored().first_outside(&stretches, -max_x, -min_x);
                    x.map(|x| -x)
                }
            };
            if let Some(x) = x {
                return Some(Point::new(x, y));
            }
        }
        None
    }

    fn in_columns(&mut self, grid: &Grid) -> Option<Point> {
        let Area {
            min_x,
            max_x,
            min_y,
            max_y,
        } = self.area;
        let mut best: Option<(i64, i64)> = None;
        for x in grid.columns_within([min_x, max_x]) {
            self.forbid(x, true);
            let y = Every::WHOLE.first_outside(&self.stretches, min_y, max_y);
            let key = match self.from {
                Selvedge::Left => x,
                Selvedge::Right => -x,
            };
            if let Some(y) = y.filter(|&y| best.is_none_or(|best| (y, key) < best)) {
                best = Some((y, key));
            }
        }
        best.map(|(y, key)| {
            Point::new(
                if self.from == Selvedge::Left {
                    key
                } else {
                    -key
                },
                y,
            )
        })
    }

    /// Collects what is forbidden on the line at this y, or in the column at this x.
    fn forbid(&mut self, fixed: i64, along: bool) {
        self.stretches.clear();
        for (region, at) in self.obstacles {
            self.work += region.parts.len() as u64;
            for part in &region.parts {
                let (stretch, offset) = if along {
                    (part.forbidden_along(fixed - at.x), at.y)
                } else {
                    (part.forbidden_across(fixed - at.y), at.x)
                };
                let moved = stretch.map(|(low, high)| (low + offset, high + offset));
                self.stretches.extend(moved);
            }
        }
        self.stretches.sort_unstable();
    }
}
