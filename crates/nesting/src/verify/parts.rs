//! Convex parts of an outline, and whether two of them share more than their borders.

use std::cmp::Ordering;

use pieces::{Bounds, Point, orientation};

/// A convex polygon, counter-clockwise.
pub(super) struct Part {
    pub corners: Vec<Point>,
    pub bounds: Bounds,
}

impl Part {
    fn new(corners: Vec<Point>) -> Self {
        let bounds = Bounds::of(&corners).expect("a part has at least three corners");
        Part { corners, bounds }
    }

    /// Moved by `by`.
    pub fn moved(&self, by: Point) -> Part {
        Part {
            corners: self.corners.iter().map(|p| p.plus(by)).collect(),
            bounds: Bounds {
                min: self.bounds.min.plus(by),
                max: self.bounds.max.plus(by),
            },
        }
    }
}

/// The simple counter-clockwise polygon as convex parts: itself if it is convex, else triangles.
///
/// Ears are clipped one by one; flat corners that this leaves are dropped, which changes no area.
/// A simple polygon without flat corners always has an ear (Meisters 1975, from memory), so the
/// search for one cannot fail.
pub(super) fn convex_parts(corners: &[Point]) -> Vec<Part> {
    let n = corners.len();
    let turn = |i: usize| orientation(corners[i], corners[(i + 1) % n], corners[(i + 2) % n]);
    if (0..n).all(|i| turn(i) != Ordering::Less) {
        return vec![Part::new(corners.to_vec())];
    }
    let mut rest = corners.to_vec();
    let mut parts = Vec::with_capacity(n);
    let mut at = 0;
    let mut tried = 0;
    while rest.len() > 3 {
        assert!(tried <= rest.len(), "a simple polygon has an ear");
        at %= rest.len();
        let n = rest.len();
        let (a, b, c) = (rest[(at + n - 1) % n], rest[at], rest[(at + 1) % n]);
        match orientation(a, b, c) {
            Ordering::Equal => {
                rest.remove(at);
                at = at.saturating_sub(1);
                tried = 0;
            }
            Ordering::Greater if is_empty([a, b, c], &rest) => {
                parts.push(Part::new(vec![a, b, c]));
                rest.remove(at);
                at = at.saturating_sub(1);
                tried = 0;
            }
            _ => {
                at += 1;
                tried += 1;
            }
        }
    }
    if orientation(rest[0], rest[1], rest[2]) != Ordering::Equal {
        parts.push(Part::new(rest));
    }
    parts
}

/// True if no corner but its own lies in the closed triangle.
fn is_empty(triangle: [Point; 3], corners: &[Point]) -> bool {
    let [a, b, c] = triangle;
    corners.iter().filter(|p| !triangle.contains(p)).all(|&p| {
        [(a, b), (b, c), (c, a)]
            .iter()
            .any(|&(u, v)| orientation(u, v, p) == Ordering::Less)
    })
}

/// True if the interiors of two convex polygons share a point.
///
/// They don't exactly if the line through an edge of one has the other on its outer side.
pub(super) fn interiors_meet(a: &[Point], b: &[Point]) -> bool {
    !separates(a, b) && !separates(b, a)
}

fn separates(a: &[Point], b: &[Point]) -> bool {
    let edges = a.iter().zip(a.iter().cycle().skip(1));
    edges
        .into_iter()
        .any(|(&u, &v)| b.iter().all(|&p| orientation(u, v, p) != Ordering::Greater))
}

/// A place in what two overlapping convex polygons share, to a micrometre: for messages only.
pub(super) fn conflict_place(a: &[Point], b: &[Point]) -> Point {
    let origin = b[0];
    let local = |p: Point| ((p.x - origin.x) as f64, (p.y - origin.y) as f64);
    let mut shared: Vec<(f64, f64)> = a.iter().map(|&p| local(p)).collect();
    for (&u, &v) in b.iter().zip(b.iter().cycle().skip(1)) {
        let ((ux, uy), (vx, vy)) = (local(u), local(v));
        let side = |(x, y): (f64, f64)| (vx - ux) * (y - uy) - (vy - uy) * (x - ux);
        let mut kept = Vec::with_capacity(shared.len() + 1);
        for (&p, &q) in shared.iter().zip(shared.iter().cycle().skip(1)) {
            let (s, t) = (side(p), side(q));
            if s >= 0.0 {
                kept.push(p);
            }
            if (s > 0.0 && t < 0.0) || (s < 0.0 && t > 0.0) {
                let share = s / (s - t);
                kept.push((p.0 + share * (q.0 - p.0), p.1 + share * (q.1 - p.1)));
            }
        }
        if kept.is_empty() {
            break; // An overlap too thin for floats: what is left of it is still the place.
        }
        shared = kept;
    }
    let n = shared.len() as f64;
    let (x, y) = shared
        .iter()
        .fold((0.0, 0.0), |sum, p| (sum.0 + p.0 / n, sum.1 + p.1 / n));
    Point::new(origin.x + x.round() as i64, origin.y + y.round() as i64)
}
