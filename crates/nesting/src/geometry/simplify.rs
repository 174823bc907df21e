//! A coarser outline around a finer one, so that curved pieces don't slow the search.
//!
//! A circle sector has a hundred corners, and most of them only matter once pieces are pushed together
//! at the end. So the search works with a polygon that contains the piece and has few corners: whichever
//! change adds least area is made first, either cutting off a hollow corner or replacing an edge by the
//! meeting point of its neighbours. It never leaves the piece's box, so widths stay true. Whatever is
//! laid with it is valid for the piece itself; [`crate::polish`] then uses a much finer one.

use std::cmp::Ordering;

use pieces::{Outline, Point, orientation};

/// Corners below which nothing is simplified: panels, gores and most free shapes stay as they are.
pub const FEW_CORNERS: usize = 16;

/// How much an outline may grow.
#[derive(Clone, Copy, Debug)]
pub struct Growth {
    /// In parts per thousand of its area.
    pub per_mille: i128,
    /// More corners than this are too many, whatever it takes: two such pieces are tested by pairs of their
    /// parts.
    pub most_corners: usize,
}

/// For searching: a half circle keeps about a dozen corners. Less keeps more of them, more gives away cloth
/// that polishing can't always win back.
pub const COARSE: Growth = Growth {
    per_mille: 15,
    most_corners: 48,
};

/// For polishing: within a millimetre or two of the true edge in hollow curves, half a millimetre
/// elsewhere. Less makes thousands of parts for each pair of circle sectors.
pub const FINE: Growth = Growth {
    per_mille: 1,
    most_corners: 400,
};

/// For proofs: what is left of a half ring is cut into four convex parts or so.
pub const WITHIN: Growth = Growth {
    per_mille: 10,
    most_corners: 32,
};

/// For proofs in the end: as they are, but for pieces of more corners than drafts have.
pub const WHOLE: Growth = Growth {
    per_mille: 0,
    most_corners: 160,
};

/// A simple outline that contains `outline`, inside the same box, and has grown no more than it may.
#[must_use]
pub fn simplified(outline: &Outline, may: Growth) -> Outline {
    let mut points = outline.points().to_vec();
    drop_corners(&mut points, outline, may);
    // Should rounding ever have spoiled it, the exact outline is always right.
    Outline::new(points).unwrap_or_else(|_| outline.clone())
}

/// A simple outline that `outline` contains, and has shrunk no more than it may grow.
#[must_use]
pub fn simplified_within(outline: &Outline, may: Growth) -> Outline {
    // Walked the other way round, what lies outside lies on its left, and grows.
    let mut points = outline.points().to_vec();
    points.reverse();
    drop_corners(&mut points, outline, may);
    points.reverse();
    Outline::new(points).unwrap_or_else(|_| outline.clone())
}

/// What lies left of the border grows within the box of `outline`, by no more than it may.
fn drop_corners(points: &mut Vec<Point>, outline: &Outline, may: Growth) {
    if points.len() <= FEW_CORNERS {
        return;
    }
    let allowed = outline.doubled_area() * may.per_mille / 1_000;
    let bounds = outline.bounds();
    let inside_box = |p: Point| {
        (bounds.min.x..=bounds.max.x).contains(&p.x) && (bounds.min.y..=bounds.max.y).contains(&p.y)
    };
    let mut grown = 0;
    while points.len() > FEW_CORNERS / 2 {
        let n = points.len();
        let mut changes: Vec<Change> = (0..n).filter_map(|k| Change::at(points, k)).collect();
        changes.sort_unstable_by_key(|c| (c.added, c.at));
        // The dear test comes last, and mostly only for the first.
        let change = changes
            .into_iter()
            .find(|c| c.corner.is_none_or(inside_box) && c.is_free(points));
        match change {
            Some(change) if grown + change.added <= allowed || points.len() > may.most_corners => {
                grown += change.added;
                change.make(points);
            }
            _ => break,
        }
    }
}

/// One way to drop a corner.
struct Change {
    /// Index of the hollow corner, or of the first end of the edge that goes.
    at: usize,
    /// The new corner that replaces the edge; `None` where a hollow corner is cut off.
    corner: Option<Point>,
    /// Twice the area that is added.
    added: i128,
}

impl Change {
    fn at(points: &[Point], k: usize) -> Option<Self> {
        let n = points.len();
        let (a, b, c, d) = (
            points[(k + n - 1) % n],
            points[k],
            points[(k + 1) % n],
            points[(k + 2) % n],
        );
        if orientation(a, b, c) == Ordering::Less {
            return Some(Change {
                at: k,
                corner: None,
                added: doubled(a, c, b),
            });
        }
        if orientation(b, c, d) != Ordering::Greater {
            return None;
        }
        let corner = meeting_point(a, b, c, d)?;
        Some(Change {
            at: k,
            corner: Some(corner),
            added: doubled(b, corner, c),
        })
    }

    /// No other corner may lie in the area that is added.
    fn is_free(&self, points: &[Point]) -> bool {
        let n = points.len();
        let triangle = match self.corner {
            None => [
                points[(self.at + n - 1) % n],
                points[(self.at + 1) % n],
                points[self.at],
            ],
            Some(corner) => [points[self.at], corner, points[(self.at + 1) % n]],
        };
        points.iter().all(|&p| {
            triangle.contains(&p)
                || (0..3)
                    .any(|i| orientation(triangle[i], triangle[(i + 1) % 3], p) == Ordering::Less)
        })
    }

    fn make(&self, points: &mut Vec<Point>) {
        match self.corner {
            None => {
                points.remove(self.at);
            }
            Some(corner) => {
                let next = (self.at + 1) % points.len();
                points[self.at] = corner;
                points.remove(next);
            }
        }
    }
}

fn doubled(a: Point, b: Point, c: Point) -> i128 {
    let (u, v) = (b.minus(a), c.minus(a));
    (i128::from(u.x) * i128::from(v.y) - i128::from(u.y) * i128::from(v.x)).abs()
}

/// A whole point at or just beyond where the lines a-b and d-c meet ahead of the edge b-c, so that b and c
/// both lie on or left of the new edges.
fn meeting_point(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    let (u, v) = (b.minus(a), c.minus(d));
    let across = |p: Point, q: Point| p.x as f64 * q.y as f64 - p.y as f64 * q.x as f64;
    let turn = across(u, Point::new(-v.x, -v.y));
    if turn <= 0.0 {
        return None;
    }
    let t = across(c.minus(b), Point::new(-v.x, -v.y)) / turn;
    if !(0.0..1e6).contains(&t) {
        return None;
    }
    let exact = (b.x as f64 + t * u.x as f64, b.y as f64 + t * u.y as f64);
    // Outward: away from the middle of the edge that goes.
    let middle = ((b.x + c.x) as f64 / 2.0, (b.y + c.y) as f64 / 2.0);
    let (dx, dy) = (exact.0 - middle.0, exact.1 - middle.1);
    let reach = dx.hypot(dy).max(1.0);
    (0..8)
        .map(f64::from)
        .map(|push| {
            Point::new(
                (exact.0 + push * dx / reach).round() as i64,
                (exact.1 + push * dy / reach).round() as i64,
            )
        })
        .find(|&q| orientation(a, q, b) != Ordering::Less && orientation(q, d, c) != Ordering::Less)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half a ring, radii 730 and 100 mm, inner edge by chords, outer edge by points on the circle.
    fn half_ring() -> Outline {
        let at = |r: f64, k: i32, n: i32| {
            let angle = std::f64::consts::PI * f64::from(k) / f64::from(n);
            Point::new(
                (r * angle.cos()).round() as i64,
                (r * angle.sin()).round() as i64,
            )
        };
        let outer = (0..=60).map(|k| at(730_000.0, k, 60));
        let inner = (0..=25).rev().map(|k| at(100_000.0, k, 25));
        Outline::new(outer.chain(inner).collect()).unwrap()
    }

    #[test]
    fn it_contains_the_piece_within_its_box_with_few_corners() {
        let fine = half_ring();
        let coarse = simplified(&fine, COARSE);
        assert!(
            coarse.points().len() < 25,
            "{} corners",
            coarse.points().len()
        );
        assert_eq!(coarse.bounds(), fine.bounds());
        assert!(coarse.doubled_area() >= fine.doubled_area());
        assert!(coarse.doubled_area() * 1_000 <= fine.doubled_area() * (1_000 + COARSE.per_mille));
        let parts = crate::geometry::convex_parts(&coarse);
        for &p in fine.points() {
            let n_inside = parts.iter().any(|part| {
                let n = part.points.len();
                (0..n).all(|i| {
                    orientation(part.points[i], part.points[(i + 1) % n], p) != Ordering::Less
                })
            });
            assert!(n_inside, "{p:?} is outside");
        }
    }

    #[test]
    fn within_the_piece_it_has_few_corners_too() {
        let fine = half_ring();
        for outline in [fine.clone(), fine.turned(1), fine.mirrored()] {
            let within = simplified_within(&outline, WITHIN);
            assert!(
                within.points().len() < 25,
                "{} corners",
                within.points().len()
            );
            let (area, whole) = (within.doubled_area(), outline.doubled_area());
            assert!(area <= whole && area * 1_000 >= whole * (1_000 - WITHIN.per_mille));
            let parts = crate::geometry::convex_parts(&outline);
            // Every corner and every middle of an edge lies in some part of the piece.
            for (a, b) in within.edges() {
                for p in [a.plus(a), a.plus(b)] {
                    let double = |q: Point| q.plus(q);
                    let is_inside = parts.iter().any(|part| {
                        let n = part.points.len();
                        (0..n).all(|i| {
                            let (q, r) = (part.points[i], part.points[(i + 1) % n]);
                            orientation(double(q), double(r), p) != Ordering::Less
                        })
                    });
                    assert!(is_inside, "{p:?} is outside");
                }
            }
        }
    }

    /// Spikes so fine that cutting them off adds more than growth allows.
    #[test]
    fn a_ragged_piece_keeps_few_corners_all_the_same() {
        let corner = |k: i32| {
            let reach = if k % 2 == 0 { 100_000.0 } else { 80_000.0 };
            let angle = f64::from(k) * std::f64::consts::TAU / 600.0;
            Point::new((reach * angle.cos()) as i64, (reach * angle.sin()) as i64)
        };
        let ragged = Outline::new((0..600).map(corner).collect()).unwrap();
        for growth in [COARSE, FINE] {
            let simple = simplified(&ragged, growth);
            assert!(simple.points().len() <= growth.most_corners);
            assert!(simple.doubled_area() >= ragged.doubled_area());
            assert_eq!(simple.bounds(), ragged.bounds());
        }
    }

    #[test]
    fn simple_pieces_stay_as_they_are() {
        let panel =
            Outline::rectangle(pieces::Length::from_cm(40), pieces::Length::from_cm(99)).unwrap();
        assert_eq!(simplified(&panel, COARSE), panel);
    }
}
