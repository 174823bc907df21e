//! Crossings of the edges of regions: where two of them leave a corner free between them.

use std::cmp::Ordering;
use std::rc::Rc;

use pieces::{Point, orientation};

use super::board::Area;
use crate::geometry::NoFit;

/// An edge of a part.
#[derive(Clone, Copy)]
pub(super) struct Edge {
    pub from: Point,
    pub to: Point,
    /// Number of the part.
    part: u32,
    low: i64,
    high: i64,
}

/// The edges of all parts that reach into the area up to `limit`, the lowest first.
pub(super) fn collect_edges(
    obstacles: &[(Rc<NoFit>, Point)],
    area: Area,
    limit: i64,
    edges: &mut Vec<Edge>,
) {
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
pub(super) fn cross(edges: &[Edge], mut offer: impl FnMut(Point)) -> u64 {
    let mut looked = 0;
    for (k, a) in edges.iter().enumerate() {
        let level = edges[k + 1..].iter().take_while(|b| b.low <= a.high);
        for b in level {
            looked += 1;
            cross_two(a, b, &mut offer);
        }
    }
    looked
}

/// Offers the whole points around the crossing of two edges of different parts, if they cross.
pub(super) fn cross_two(a: &Edge, b: &Edge, mut offer: impl FnMut(Point)) {
    let reach = |e: &Edge| (e.from.x.min(e.to.x), e.from.x.max(e.to.x));
    let ((a_west, a_east), (b_west, b_east)) = (reach(a), reach(b));
    if a.part == b.part || b_west > a_east || b_east < a_west || b.low > a.high || b.high < a.low {
        return;
    }
    // An end that lies on the other edge is a corner and has been offered already.
    let are_parted = |one: &Edge, other: &Edge| {
        let sides = [other.from, other.to].map(|end| orientation(one.from, one.to, end));
        sides[0] != sides[1] && !sides.contains(&Ordering::Equal)
    };
    if !are_parted(a, b) || !are_parted(b, a) {
        return;
    }
    let (x, y) = crossing(a, b);
    let (x0, y0) = (x.floor() as i64, y.floor() as i64);
    for p in [(x0, y0), (x0 + 1, y0), (x0, y0 + 1), (x0 + 1, y0 + 1)] {
        offer(Point::new(p.0, p.1));
    }
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
