//! Cells of the places of a piece that lie wholly within one open part of a region: no place in them is free.
//!
//! Where many pieces of many parts lie, nearly all corners and crossings of their regions are forbidden, by a part
//! that covers all around them too. So the places are divided into square cells; those that are covered
//! are found exactly, part by part, and only what lies in the others is looked at.

use pieces::Point;

use super::board::Area;
use super::edges::Edge;
use crate::geometry::NoFitPart;

/// Cells across, or along where the places are narrow.
const CELLS: i64 = 64;

/// The cells.
#[derive(Default)]
pub(super) struct Cells {
    min: Point,
    /// Side of a cell, micrometres.
    side: i64,
    columns: i64,
    rows: i64,
    is_covered: Vec<bool>,
}

impl Cells {
    /// Cells of this area up to `top`, none of them covered yet.
    pub fn clear(&mut self, area: Area, top: i64) {
        let (width, height) = (area.max_x - area.min_x, top - area.min_y);
        self.min = Point::new(area.min_x, area.min_y);
        self.side = (width.max(height / 4) / CELLS).max(1);
        self.columns = width / self.side + 1;
        self.rows = height / self.side + 1;
        self.is_covered.clear();
        let cells = usize::try_from(self.columns * self.rows).unwrap_or(0);
        self.is_covered.resize(cells, false);
    }

    fn cell(&self, column: i64, row: i64) -> usize {
        (row * self.columns + column) as usize
    }

    /// Covers what lies inside this part, moved by `at`; returns how many rows were looked at.
    pub fn cover(&mut self, part: &NoFitPart, at: Point) -> u64 {
        let at = at.minus(self.min);
        // The first row that begins above the lowest place, and the one in which the highest lies.
        let first = (part.bounds.min.y + at.y).div_euclid(self.side) + 1;
        let last = ((part.bounds.max.y + at.y - 1).div_euclid(self.side)).min(self.rows);
        let first = first.max(0);
        let mut below: Option<(i64, i64)> = None;
        for line in first..=last {
            let here = part.forbidden_across(line * self.side - at.y);
            if let (Some((low, high)), Some((other_low, other_high))) = (below, here) {
                let (low, high) = (at.x + low.max(other_low), at.x + high.min(other_high));
                let from = low.div_euclid(self.side) + 1;
                let to = (high - 1).div_euclid(self.side).min(self.columns);
                for column in from.max(0)..to {
                    let cell = self.cell(column, line - 1);
                    self.is_covered[cell] = true;
                }
            }
            below = here;
        }
        (last - first + 1).max(0) as u64
    }

    /// True if the cell in which a place lies is covered.
    pub fn hold(&self, place: Point) -> bool {
        let off = place.minus(self.min);
        let (column, row) = (off.x.div_euclid(self.side), off.y.div_euclid(self.side));
        (0..self.columns).contains(&column)
            && (0..self.rows).contains(&row)
            && self.is_covered[self.cell(column, row)]
    }

    /// Lists the edges that run through each cell that is not covered: the cell's number and the edge's, the
    /// lowest cells first.
    pub fn edges_by_cell(&self, edges: &[Edge], through: &mut Vec<(u32, u32)>) {
        through.clear();
        for (number, edge) in edges.iter().enumerate() {
            self.run_through(edge, |cell| through.push((cell, number as u32)));
        }
        through.sort_unstable();
    }

    /// Where a cell begins along the cloth.
    pub fn begin_of(&self, cell: u32) -> i64 {
        self.min.y + i64::from(cell) / self.columns * self.side
    }

    /// The cells through which an edge runs and that are not covered, and perhaps some beside them.
    fn run_through(&self, edge: &Edge, mut visit: impl FnMut(u32)) {
        let (from, to) = (edge.from.minus(self.min), edge.to.minus(self.min));
        let (low, high) = if from.y <= to.y {
            (from, to)
        } else {
            (to, from)
        };
        let first = (low.y - 1).div_euclid(self.side).clamp(0, self.rows - 1);
        let last = (high.y + 1).div_euclid(self.side).clamp(0, self.rows - 1);
        let slope = (high.x - low.x) as f64 / (high.y - low.y).max(1) as f64;
        let ends = [low.x.min(high.x), low.x.max(high.x)];
        for row in first..=last {
            // One more on each side than the edge needs, since the float is not exact.
            let [a, b] = [row * self.side, (row + 1) * self.side].map(|y| {
                let y = y.clamp(low.y, high.y);
                low.x + ((y - low.y) as f64 * slope) as i64
            });
            let (west, east) = if low.y == high.y {
                (ends[0], ends[1])
            } else {
                (
                    (a.min(b) - 2).max(ends[0] - 1),
                    (a.max(b) + 2).min(ends[1] + 1),
                )
            };
            let west = west.div_euclid(self.side).max(0);
            let east = east.div_euclid(self.side).min(self.columns - 1);
            for column in west..=east {
                let cell = self.cell(column, row);
                if !self.is_covered[cell] {
                    visit(cell as u32);
                }
            }
        }
    }
}
