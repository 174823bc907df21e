//! What is the largest upright rectangle of cloth that is left over?
//!
//! Pieces and flaws are covered by upright boxes in whole micrometres that contain them: a polygon is
//! cut into slices along the cloth at its corners (and finer where an edge runs at a slant), and each
//! slice is boxed. The borders of all boxes form a grid; a row-by-row sweep with a stack then finds
//! the largest empty rectangle of grid cells (the classic largest rectangle under a histogram), which
//! is the largest one that avoids the boxes. All in integers.
//!
//! Promise: the rectangle lies inside the usable width and the length given, and its inside meets no
//! piece and no flaw. It is the largest such rectangle where all edges run straight along or across
//! the cloth; beside slanted and curved edges it may miss up to 5 mm a side. Of several of one
//! size it is the one nearest to the cut end, then to the left selvedge.

use std::collections::BTreeSet;

use pieces::{Bounds, Length, Outline, Point};

/// Slices of a slanted edge are made so thin that the boxes stand out by no more than this: 5 mm. A
/// smaller value finds little more usable cloth and makes the grid finer.
const SLACK: i64 = 5_000;

/// Slices between two corners at most, so that a curve of many corners stays cheap.
const MOST_SLICES: i64 = 64;

/// Grid cells up to which borders stay exact; above, boxes grow to the next step of `STEPS`.
const MOST_CELLS: usize = 20_000_000;

/// Steps the boxes' borders are rounded out to, micrometres.
const STEPS: [i64; 4] = [1, 1_000, 10_000, 100_000];

/// The largest empty upright rectangle in `within` that meets no inside of `taken`; `None` if every
/// bit is taken. See the module for what is promised.
pub fn largest_rectangle(within: Bounds, taken: &[Outline]) -> Option<Bounds> {
    let boxes: Vec<Bounds> = taken.iter().flat_map(cover).collect();
    largest_beside(within, &boxes, Length::ZERO)
}

/// As [`largest_rectangle`], for boxes that were made before, and neither side narrower than `narrowest`.
pub(crate) fn largest_beside(
    within: Bounds,
    boxes: &[Bounds],
    narrowest: Length,
) -> Option<Bounds> {
    if !within.across().is_positive() || !within.along().is_positive() {
        return None;
    }
    for step in STEPS {
        let boxes: Vec<Bounds> = boxes
            .iter()
            .filter_map(|b| clipped(*b, step, within))
            .collect();
        let grid = Grid::new(within, &boxes);
        if grid.xs.len() * grid.ys.len() <= MOST_CELLS || step == STEPS[STEPS.len() - 1] {
            return grid.largest(&boxes, narrowest);
        }
    }
    None
}

/// `b` rounded out to `step` and cut to `within`; `None` if nothing is left.
fn clipped(b: Bounds, step: i64, within: Bounds) -> Option<Bounds> {
    let down = |v: i64| v.div_euclid(step) * step;
    let up = |v: i64| -((-v).div_euclid(step) * step);
    let min = Point::new(
        down(b.min.x).max(within.min.x),
        down(b.min.y).max(within.min.y),
    );
    let max = Point::new(up(b.max.x).min(within.max.x), up(b.max.y).min(within.max.y));
    (min.x < max.x && min.y < max.y).then_some(Bounds { min, max })
}

/// Upright boxes that together contain the outline.
pub(crate) fn cover(outline: &Outline) -> Vec<Bounds> {
    let edges: Vec<(Point, Point)> = outline.edges().collect();
    let levels: Vec<i64> = outline
        .points()
        .iter()
        .map(|p| p.y)
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    let mut boxes: Vec<Bounds> = Vec::new();
    for pair in levels.windows(2) {
        let (low, high) = (pair[0], pair[1]);
        let through: Vec<(Point, Point)> = edges
            .iter()
            .map(|&(a, b)| if a.y <= b.y { (a, b) } else { (b, a) })
            .filter(|(a, b)| a.y <= low && b.y >= high)
            .collect();
        let slant = through
            .iter()
            .map(|&e| (x_at(e, high, true) - x_at(e, low, false)).abs())
            .max()
            .unwrap_or(0);
        let slices = (slant / SLACK + 1).min(MOST_SLICES).min(high - low);
        for k in 0..slices {
            let from = low + (high - low) * k / slices;
            let to = low + (high - low) * (k + 1) / slices;
            boxes.extend(slice(&through, from, to));
        }
    }
    join_stacked(boxes)
}

/// Boxes of one slice: edges that run through it, left to right, in pairs of an entry and an exit.
fn slice(through: &[(Point, Point)], from: i64, to: i64) -> Vec<Bounds> {
    let mut spans: Vec<(i64, i64)> = through
        .iter()
        .map(|&edge| {
            (
                x_at(edge, from, false).min(x_at(edge, to, false)),
                x_at(edge, from, true).max(x_at(edge, to, true)),
            )
        })
        .collect();
    // Edges of a simple outline do not cross inside a slice, so order by either end and by the sum.
    spans.sort_by_key(|s| (s.0 + s.1, *s));
    spans
        .chunks_exact(2)
        .map(|pair| Bounds {
            min: Point::new(pair[0].0.min(pair[1].0), from),
            max: Point::new(pair[0].1.max(pair[1].1), to),
        })
        .collect()
}

/// x of the edge (upwards) at height `y`, rounded down or up.
fn x_at((a, b): (Point, Point), y: i64, up: bool) -> i64 {
    let (run, rise) = (i128::from(b.x - a.x), i128::from(b.y - a.y));
    let product = run * i128::from(y - a.y);
    let whole = product.div_euclid(rise);
    let whole = if up && product.rem_euclid(rise) != 0 {
        whole + 1
    } else {
        whole
    };
    a.x + i64::try_from(whole).unwrap_or(0)
}

/// Boxes of the same width that lie on each other become one, which keeps the grid small.
fn join_stacked(boxes: Vec<Bounds>) -> Vec<Bounds> {
    let mut out: Vec<Bounds> = Vec::new();
    for b in boxes {
        match out
            .iter_mut()
            .rev()
            .find(|o| o.max.y == b.min.y && o.min.x == b.min.x && o.max.x == b.max.x)
        {
            Some(below) => below.max.y = b.max.y,
            None => out.push(b),
        }
    }
    out
}

/// Borders of all boxes, both ways, ascending.
struct Grid {
    xs: Vec<i64>,
    ys: Vec<i64>,
}

impl Grid {
    fn new(within: Bounds, boxes: &[Bounds]) -> Self {
        let borders = |least: i64, most: i64, of: fn(&Bounds) -> [i64; 2]| {
            let mut all: BTreeSet<i64> = boxes.iter().flat_map(of).collect();
            all.extend([least, most]);
            all.into_iter().collect()
        };
        Grid {
            xs: borders(within.min.x, within.max.x, |b| [b.min.x, b.max.x]),
            ys: borders(within.min.y, within.max.y, |b| [b.min.y, b.max.y]),
        }
    }

    fn largest(&self, boxes: &[Bounds], narrowest: Length) -> Option<Bounds> {
        let column = |x: i64| self.xs.partition_point(|&v| v < x);
        let mut waiting: Vec<&Bounds> = boxes.iter().collect();
        waiting.sort_by_key(|b| std::cmp::Reverse(b.min.y));
        let mut active: Vec<&Bounds> = Vec::new();
        // Row from which each column has been free; a blocked one starts again above.
        let mut free_from = vec![0_usize; self.xs.len() - 1];
        let mut best: Option<(i128, Bounds)> = None;
        for row in 0..self.ys.len() - 1 {
            let low = self.ys[row];
            active.retain(|b| b.max.y > low);
            while waiting.last().is_some_and(|b| b.min.y <= low) {
                active.extend(waiting.pop());
            }
            for b in &active {
                free_from[column(b.min.x)..column(b.max.x)].fill(row + 1);
            }
            self.widest_under(row, &free_from, narrowest, &mut best);
        }
        best.map(|(_, bounds)| bounds)
    }

    /// Largest rectangle whose upper border is that of `row`.
    fn widest_under(
        &self,
        row: usize,
        free_from: &[usize],
        narrowest: Length,
        best: &mut Option<(i128, Bounds)>,
    ) {
        let top = self.ys[row + 1];
        // (first column, row it is free from), rows falling from bottom to top of the stack.
        let mut stack: Vec<(usize, usize)> = Vec::new();
        for column in 0..=free_from.len() {
            let here = free_from.get(column).copied().unwrap_or(usize::MAX);
            let mut start = column;
            while let Some(&(first, from)) = stack.last() {
                if from >= here {
                    break;
                }
                stack.pop();
                start = first;
                let bounds = Bounds {
                    min: Point::new(self.xs[first], self.ys[from]),
                    max: Point::new(self.xs[column], top),
                };
                let area = i128::from(bounds.across().um()) * i128::from(bounds.along().um());
                let better = best.as_ref().is_none_or(|(most, b)| {
                    area > *most
                        || (area == *most && (bounds.min.y, bounds.min.x) < (b.min.y, b.min.x))
                });
                let wide = bounds.across().min(bounds.along()) >= narrowest;
                if area > 0 && wide && better {
                    *best = Some((area, bounds));
                }
            }
            if here <= row && stack.last().is_none_or(|&(_, from)| from > here) {
                stack.push((start, here));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bounds(x0: i64, y0: i64, x1: i64, y1: i64) -> Bounds {
        Bounds {
            min: Point::new(x0, y0),
            max: Point::new(x1, y1),
        }
    }

    fn rectangle(x: i64, y: i64, across: i64, along: i64) -> Outline {
        Outline::rectangle(Length::from_um(across), Length::from_um(along))
            .unwrap()
            .moved(Point::new(x, y))
    }

    /// Every rectangle between four borders of the boxes, one after another.
    fn by_hand(within: Bounds, boxes: &[Bounds]) -> i128 {
        let grid = Grid::new(within, boxes);
        let mut most = 0;
        for (i, &x0) in grid.xs.iter().enumerate() {
            for &x1 in &grid.xs[i + 1..] {
                for (j, &y0) in grid.ys.iter().enumerate() {
                    for &y1 in &grid.ys[j + 1..] {
                        let free = boxes.iter().all(|b| {
                            b.max.x <= x0 || b.min.x >= x1 || b.max.y <= y0 || b.min.y >= y1
                        });
                        if free {
                            most = most.max(i128::from(x1 - x0) * i128::from(y1 - y0));
                        }
                    }
                }
            }
        }
        most
    }

    #[test]
    fn the_whole_cloth_is_left_where_nothing_lies() {
        let cloth = bounds(1_000, 0, 139_000, 100_000);
        assert_eq!(largest_rectangle(cloth, &[]), Some(cloth));
    }

    #[test]
    fn a_long_sliver_does_not_hide_a_smaller_piece_of_use() {
        // A strip 1 wide over the whole length, and a field of 10 by 9 at one end.
        let within = bounds(0, 0, 50, 1_000);
        let boxes = [bounds(1, 0, 50, 991), bounds(11, 991, 50, 1_000)];
        let narrowest = |n| largest_beside(within, &boxes, Length::from_um(n));
        assert_eq!(narrowest(0), Some(bounds(0, 0, 1, 1_000)));
        assert_eq!(narrowest(2), Some(bounds(0, 991, 11, 1_000)));
        assert_eq!(narrowest(10), None);
    }

    #[test]
    fn nothing_is_left_where_pieces_fill_the_cloth() {
        let cloth = bounds(0, 0, 100, 200);
        let pieces = [rectangle(0, 0, 40, 200), rectangle(40, 0, 60, 200)];
        assert_eq!(largest_rectangle(cloth, &pieces), None);
    }

    #[test]
    fn the_end_piece_and_the_side_strip_are_weighed() {
        // Geometry: 140 x 150 cm, panels of 35 and 45 cm by 99 cm side by side; left are a strip
        // 60 x 150 cm (9000) and an end 140 x 51 cm (7140).
        let cloth = bounds(0, 0, 140, 150);
        let pieces = [rectangle(0, 0, 35, 99), rectangle(35, 0, 45, 99)];
        assert_eq!(
            largest_rectangle(cloth, &pieces),
            Some(bounds(80, 0, 140, 150))
        );
        let wide = [rectangle(0, 0, 55, 99), rectangle(55, 0, 45, 99)];
        assert_eq!(
            largest_rectangle(cloth, &wide),
            Some(bounds(0, 99, 140, 150))
        );
    }

    #[test]
    fn the_sweep_agrees_with_trying_every_rectangle() {
        // A small generator with a fixed seed: enough for a few hundred layouts of boxes.
        let mut state = 7_u64;
        let mut next = |most: u64| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            ((state >> 33) % most) as i64
        };
        let within = bounds(0, 0, 30, 40);
        for _ in 0..300 {
            let boxes: Vec<Bounds> = (0..next(9))
                .map(|_| {
                    let (x, y) = (next(30), next(40));
                    bounds(x, y, (x + 1 + next(12)).min(30), (y + 1 + next(12)).min(40))
                })
                .collect();
            let found = largest_beside(within, &boxes, Length::ZERO).map_or(0, |b| {
                i128::from(b.across().um()) * i128::from(b.along().um())
            });
            assert_eq!(found, by_hand(within, &boxes), "{boxes:?}");
        }
    }

    #[test]
    fn a_cover_contains_its_outline_and_stands_out_little() {
        // A trapezoid 45 cm wide at the hem, 35 at the top, 99 long: area 3960 cm2.
        let trapezoid = Outline::new(vec![
            Point::new(0, 0),
            Point::new(450_000, 0),
            Point::new(400_000, 990_000),
            Point::new(50_000, 990_000),
        ])
        .unwrap();
        let boxes = cover(&trapezoid);
        let area: i128 = boxes
            .iter()
            .map(|b| i128::from(b.across().um()) * i128::from(b.along().um()))
            .sum();
        let doubled = trapezoid.doubled_area();
        assert!(2 * area >= doubled);
        assert!(2 * area <= doubled + 2 * 2 * i128::from(SLACK) * 990_000);
        for (a, b) in trapezoid.edges() {
            for k in 0..=10 {
                let p = Point::new(a.x + (b.x - a.x) * k / 10, a.y + (b.y - a.y) * k / 10);
                assert!(boxes.iter().any(|r| {
                    (r.min.x..=r.max.x).contains(&p.x) && (r.min.y..=r.max.y).contains(&p.y)
                }));
            }
        }
    }

    #[test]
    fn the_bay_of_a_hollow_outline_is_not_covered() {
        let bay = Outline::new(vec![
            Point::new(0, 0),
            Point::new(100, 0),
            Point::new(100, 100),
            Point::new(70, 100),
            Point::new(70, 20),
            Point::new(30, 20),
            Point::new(30, 100),
            Point::new(0, 100),
        ])
        .unwrap();
        let left = largest_rectangle(bounds(0, 0, 100, 100), &[bay]);
        assert_eq!(left, Some(bounds(30, 20, 70, 100)));
    }
}
