//! Where inside a piece is there room for a text?
//!
//! A piece's area on the page is laid out in small square cells. Cells outside the piece, and cells
//! that come closer than a clearance to any line, are blocked; sums over the cells then tell in one
//! look-up whether a rectangle is free. [`Room::find`] returns the free place for a rectangle that
//! lies nearest to a wished spot. Deterministic: ties go to the upper left.

use crate::paper::{Rect, Spot, clip_stretch};

/// Side of a cell on paper, mm. Finer cells find tighter places and cost its inverse square.
const CELL: f64 = 0.12;

/// Cells of one piece at most: a large piece takes larger cells, so that work stays bounded.
const MOST_CELLS: f64 = 40_000.0;

/// Distance kept between a text box and any line, mm.
pub(crate) const CLEARANCE: f64 = 0.4;

/// Cells of one piece.
#[derive(Clone)]
pub(crate) struct Room {
    origin: Spot,
    cell: f64,
    columns: usize,
    rows: usize,
    blocked: Vec<bool>,
    /// Blocked cells above and left of each corner; made anew after a change.
    sums: Vec<u32>,
    fresh: bool,
}

impl Room {
    /// The inside of `rings` (even-odd) within `area`.
    pub(crate) fn inside(area: Rect, rings: &[Vec<Spot>]) -> Room {
        let cell = CELL.max((area.w * area.h / MOST_CELLS).sqrt());
        let count = |length: f64| ((length / cell).floor() as usize).max(1);
        let (columns, rows) = (count(area.w), count(area.h));
        let mut room = Room {
            origin: Spot::new(area.x, area.y),
            cell,
            columns,
            rows,
            blocked: vec![true; columns * rows],
            sums: Vec::new(),
            fresh: false,
        };
        for row in 0..rows {
            let y = area.y + (row as f64 + 0.5) * cell;
            let mut crossings: Vec<f64> = Vec::new();
            for pair in rings.iter().flat_map(|r| r.windows(2)) {
                let (a, b) = (pair[0], pair[1]);
                if (a.y <= y) != (b.y <= y) {
                    crossings.push(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
                }
            }
            crossings.sort_by(f64::total_cmp);
            for span in crossings.chunks_exact(2) {
                let at = |x: f64| ((x - area.x) / cell).clamp(0.0, columns as f64) as usize;
                let (from, to) = (at(span[0]), at(span[1]));
                room.blocked[row * columns + from..row * columns + to].fill(false);
            }
        }
        for pair in rings.iter().flat_map(|r| r.windows(2)) {
            room.block_stretch(pair[0], pair[1], CLEARANCE);
        }
        // The border of the area is where the view ends: keep clear of it as of a line.
        let inner = area.inflated(-CLEARANCE);
        room.keep_only(inner);
        room
    }

    fn keep_only(&mut self, inner: Rect) {
        for row in 0..self.rows {
            for column in 0..self.columns {
                let x = self.origin.x + column as f64 * self.cell;
                let y = self.origin.y + row as f64 * self.cell;
                if x < inner.x
                    || y < inner.y
                    || x + self.cell > inner.right()
                    || y + self.cell > inner.bottom()
                {
                    self.blocked[row * self.columns + column] = true;
                }
            }
        }
        self.fresh = false;
    }

    /// Blocks all cells within `clearance` of the stretch.
    pub(crate) fn block_stretch(&mut self, a: Spot, b: Spot, clearance: f64) {
        let first = ((a.y.min(b.y) - clearance - self.origin.y) / self.cell).floor();
        let last = ((a.y.max(b.y) + clearance - self.origin.y) / self.cell).ceil();
        let (low, high) = (a.x.min(b.x) - 1.0, a.x.max(b.x) + 1.0);
        for row in first.max(0.0) as usize..(last.max(0.0) as usize).min(self.rows) {
            let y = self.origin.y + row as f64 * self.cell;
            let strip = Rect::new(low, y - clearance, high - low, self.cell + 2.0 * clearance);
            if let Some((p, q)) = clip_stretch(a, b, strip) {
                self.block_row(row, p.x.min(q.x) - clearance, p.x.max(q.x) + clearance);
            }
        }
        self.fresh = false;
    }

    /// Blocks all cells that meet the rectangle.
    pub(crate) fn block(&mut self, rect: Rect) {
        let first = ((rect.y - self.origin.y) / self.cell).floor().max(0.0) as usize;
        let last = ((rect.bottom() - self.origin.y) / self.cell)
            .ceil()
            .max(0.0) as usize;
        for row in first..last.min(self.rows) {
            self.block_row(row, rect.x, rect.right());
        }
        self.fresh = false;
    }

    fn block_row(&mut self, row: usize, from: f64, to: f64) {
        let first = ((from - self.origin.x) / self.cell).floor().max(0.0) as usize;
        let last = ((to - self.origin.x) / self.cell).ceil().max(0.0) as usize;
        let (first, last) = (first.min(self.columns), last.min(self.columns));
        if first < last {
            self.blocked[row * self.columns + first..row * self.columns + last].fill(true);
        }
    }

    fn refresh(&mut self) {
        if self.fresh {
            return;
        }
        let wide = self.columns + 1;
        self.sums.clear();
        self.sums.resize(wide * (self.rows + 1), 0);
        for row in 0..self.rows {
            let mut line = 0;
            for column in 0..self.columns {
                line += u32::from(self.blocked[row * self.columns + column]);
                self.sums[(row + 1) * wide + column + 1] =
                    self.sums[row * wide + column + 1] + line;
            }
        }
        self.fresh = true;
    }

    fn is_free(&self, column: usize, row: usize, columns: usize, rows: usize) -> bool {
        let wide = self.columns + 1;
        let at = |c: usize, r: usize| self.sums[r * wide + c];
        at(column + columns, row + rows) + at(column, row)
            == at(column, row + rows) + at(column + columns, row)
    }

    /// True if the rectangle lies on free cells only.
    pub(crate) fn free(&mut self, rect: Rect) -> bool {
        self.refresh();
        let first = |v: f64, o: f64| ((v - o) / self.cell + 1e-9).floor();
        let (c0, r0) = (first(rect.x, self.origin.x), first(rect.y, self.origin.y));
        let c1 = ((rect.right() - self.origin.x) / self.cell - 1e-9).ceil();
        let r1 = ((rect.bottom() - self.origin.y) / self.cell - 1e-9).ceil();
        c0 >= 0.0
            && r0 >= 0.0
            && c1 <= self.columns as f64
            && r1 <= self.rows as f64
            && self.is_free(
                c0 as usize,
                r0 as usize,
                (c1 - c0) as usize,
                (r1 - r0) as usize,
            )
    }

    /// Middle of the free cells; `None` if there are none.
    pub(crate) fn middle(&self) -> Option<Spot> {
        let (mut x, mut y, mut count) = (0.0, 0.0, 0.0);
        for row in 0..self.rows {
            for column in 0..self.columns {
                if !self.blocked[row * self.columns + column] {
                    x += column as f64 + 0.5;
                    y += row as f64 + 0.5;
                    count += 1.0;
                }
            }
        }
        (count > 0.0).then(|| {
            self.origin
                .plus(x / count * self.cell, y / count * self.cell)
        })
    }

    /// The free place for a rectangle of this size whose middle is nearest to `wish`.
    pub(crate) fn find(&mut self, width: f64, height: f64, wish: Spot) -> Option<Rect> {
        self.refresh();
        let columns = (width / self.cell).ceil() as usize;
        let rows = (height / self.cell).ceil() as usize;
        if columns > self.columns || rows > self.rows {
            return None;
        }
        let offset = Spot::new(
            (wish.x - self.origin.x) / self.cell - columns as f64 / 2.0,
            (wish.y - self.origin.y) / self.cell - rows as f64 / 2.0,
        );
        let mut best: Option<(f64, usize, usize)> = None;
        for row in 0..=self.rows - rows {
            let down = (row as f64 - offset.y).powi(2);
            if best.is_some_and(|(least, ..)| down >= least) {
                continue;
            }
            for column in 0..=self.columns - columns {
                let distance = (column as f64 - offset.x).powi(2) + down;
                if best.is_none_or(|(least, ..)| distance < least - 1e-9)
                    && self.is_free(column, row, columns, rows)
                {
                    best = Some((distance, column, row));
                }
            }
        }
        best.map(|(_, column, row)| {
            Rect::new(
                self.origin.x + column as f64 * self.cell,
                self.origin.y + row as f64 * self.cell,
                columns as f64 * self.cell,
                rows as f64 * self.cell,
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::PagePath;

    fn square() -> (Rect, Vec<Vec<Spot>>) {
        let rect = Rect::new(10.0, 10.0, 20.0, 20.0);
        (rect, vec![rect.path().flattened()])
    }

    #[test]
    fn a_place_keeps_clear_of_the_edges() {
        let (area, rings) = square();
        let mut room = Room::inside(area, &rings);
        let place = room.find(12.0, 4.0, Spot::new(0.0, 0.0)).unwrap();
        assert!(
            place.x >= 10.0 + CLEARANCE && place.y >= 10.0 + CLEARANCE,
            "{place:?}"
        );
        assert!(room.find(19.8, 4.0, area.centre()).is_none());
    }

    #[test]
    fn a_line_through_the_middle_pushes_the_text_aside() {
        let (area, rings) = square();
        let mut room = Room::inside(area, &rings);
        room.block_stretch(Spot::new(10.0, 20.0), Spot::new(30.0, 20.0), CLEARANCE);
        let place = room.find(8.0, 4.0, area.centre()).unwrap();
        assert!(place.bottom() <= 20.0 - CLEARANCE || place.y >= 20.0 + CLEARANCE);
        room.block(Rect::new(10.0, 10.0, 20.0, 10.0));
        assert!(room.find(8.0, 4.0, area.centre()).unwrap().y > 20.0);
    }

    #[test]
    fn a_hole_is_no_room() {
        let (area, mut rings) = square();
        rings.push(PagePath::circle(area.centre(), 6.0).flattened());
        let mut room = Room::inside(area, &rings);
        let place = room.find(3.0, 3.0, area.centre()).unwrap();
        assert!(place.centre().distance(area.centre()) > 6.0);
    }
}
