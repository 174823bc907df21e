//! [`Path`]: the true edge of a piece, lines and circular arcs, for drawing.
//!
//! What decides is the [`crate::Outline`], a polygon that contains the piece. The path is what a
//! person chalks. [`Path::outline`] makes the one from the other: never cut short, and nowhere
//! further out than [`CURVE_TOLERANCE`].
//!
//! How arcs become chains of straight edges is in `path/arc.rs`.

mod arc;

use std::f64::consts::TAU;

use crate::length::Length;
use crate::outline::{Outline, OutlineError, Point};
use arc::Arc;

/// How far the cut polygon may lie outside the true curve: 0.2 mm, about the width of a sharp chalk
/// line. Smaller makes more corners (they grow with its inverse square root) and slower layouts,
/// larger gives cloth away.
pub const CURVE_TOLERANCE: Length = Length::from_um(200);

/// Dents of up to this depth (um) at the ends of arcs are filled: they come from rounding where two
/// stretches meet smoothly, and would make a convex piece look like one that is not.
const DENT: f64 = 4.0;

/// One stretch of a path, from where the last one ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Straight to the point.
    Line {
        /// End of the line.
        to: Point,
    },
    /// Along a circle to the point. An arc that ends where it starts is the whole circle.
    Arc {
        /// End of the arc, on the circle to the micrometre.
        to: Point,
        /// Centre of the circle.
        centre: Point,
        /// Counter-clockwise (left-turning) or clockwise.
        counter_clockwise: bool,
    },
}

impl Segment {
    /// Where the stretch ends.
    #[must_use]
    pub fn to(&self) -> Point {
        match *self {
            Segment::Line { to } | Segment::Arc { to, .. } => to,
        }
    }
}

/// A chain of lines and arcs in the piece's own frame. Closed when it ends where it starts.
///
/// Ends of arcs are whole micrometres, so the distance from the centre may differ by a micrometre
/// between the two ends; the true arc is the one whose radius goes evenly from the one to the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// Where the chain begins.
    pub start: Point,
    /// The stretches in order.
    pub segments: Vec<Segment>,
}

impl Path {
    /// Straight from point to point.
    #[must_use]
    pub fn open(points: &[Point]) -> Self {
        let start = points.first().copied().unwrap_or_default();
        Path {
            start,
            segments: points
                .iter()
                .skip(1)
                .map(|&to| Segment::Line { to })
                .collect(),
        }
    }

    /// Straight from point to point and back to the first.
    #[must_use]
    pub fn closed(points: &[Point]) -> Self {
        let mut path = Path::open(points);
        if points.len() > 1 {
            path.segments.push(Segment::Line { to: path.start });
        }
        path
    }

    /// A whole circle, counter-clockwise from its lowest point, as two half arcs.
    #[must_use]
    pub fn circle(centre: Point, radius: Length) -> Self {
        let (low, high) = (Point::new(0, -radius.um()), Point::new(0, radius.um()));
        let half = |to: Point| Segment::Arc {
            to: centre.plus(to),
            centre,
            counter_clockwise: true,
        };
        Path {
            start: centre.plus(low),
            segments: vec![half(high), half(low)],
        }
    }

    /// Where the chain ends.
    #[must_use]
    pub fn end(&self) -> Point {
        self.segments.last().map_or(self.start, Segment::to)
    }

    /// True if it ends where it starts.
    #[must_use]
    pub fn is_closed(&self) -> bool {
        !self.segments.is_empty() && self.end() == self.start
    }

    /// Moved by `by`.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        self.mapped(false, |p| p.plus(by))
    }

    /// Mirrored at the y axis (left becomes right); arcs turn the other way.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        self.mapped(true, |p| Point::new(-p.x, p.y))
    }

    fn mapped(&self, flip: bool, map: impl Fn(Point) -> Point) -> Self {
        let segment = |s: &Segment| match *s {
            Segment::Line { to } => Segment::Line { to: map(to) },
            Segment::Arc {
                to,
                centre,
                counter_clockwise,
            } => Segment::Arc {
                to: map(to),
                centre: map(centre),
                counter_clockwise: counter_clockwise != flip,
            },
        };
        Path {
            start: map(self.start),
            segments: self.segments.iter().map(segment).collect(),
        }
    }

    /// The same line, walked the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let segments = self
            .stretches()
            .map(|(from, segment)| match segment {
                Segment::Line { .. } => Segment::Line { to: from },
                Segment::Arc {
                    centre,
                    counter_clockwise,
                    ..
                } => Segment::Arc {
                    to: from,
                    centre,
                    counter_clockwise: !counter_clockwise,
                },
            })
            .collect::<Vec<_>>();
        Path {
            start: self.end(),
            segments: segments.into_iter().rev().collect(),
        }
    }

    /// Each stretch with the point it starts from.
    pub fn stretches(&self) -> impl Iterator<Item = (Point, Segment)> + '_ {
        let starts = std::iter::once(self.start).chain(self.segments.iter().map(Segment::to));
        starts.zip(self.segments.iter().copied())
    }

    /// How long the line is, in micrometres: for guidance and notes, never for a decision.
    #[must_use]
    pub fn length_um(&self) -> f64 {
        self.stretches()
            .map(|(from, segment)| match segment {
                Segment::Line { to } => distance(from, to),
                Segment::Arc {
                    to,
                    centre,
                    counter_clockwise,
                } => {
                    let radius = (distance(centre, from) + distance(centre, to)) / 2.0;
                    radius * sweep(from, to, centre, counter_clockwise).abs()
                }
            })
            .sum()
    }

    /// Twice the enclosed area in square micrometres, as a float, negative if walked clockwise.
    fn doubled_area(&self) -> f64 {
        let relative = |p: Point| {
            let d = p.minus(self.start);
            (d.x as f64, d.y as f64)
        };
        self.stretches()
            .map(|(from, segment)| {
                let ((ax, ay), (bx, by)) = (relative(from), relative(segment.to()));
                match segment {
                    Segment::Line { .. } => ax * by - ay * bx,
                    Segment::Arc {
                        to,
                        centre,
                        counter_clockwise,
                    } => {
                        let (cx, cy) = relative(centre);
                        let radius = (distance(centre, from) + distance(centre, to)) / 2.0;
                        radius * radius * sweep(from, to, centre, counter_clockwise)
                            + cx * (by - ay)
                            - cy * (bx - ax)
                    }
                }
            })
            .sum()
    }

    /// A polygon that contains what the path encloses and lies nowhere more than
    /// [`CURVE_TOLERANCE`] outside it. An open path is closed by a straight line. A path of lines
    /// gives exactly its corners.
    ///
    /// # Errors
    /// [`OutlineError`]: the path encloses nothing, or crosses or touches itself. Edges are
    /// counted along the polygon.
    pub fn outline(&self) -> Result<Outline, OutlineError> {
        let reversed;
        let path = if self.doubled_area() < 0.0 {
            reversed = self.reversed();
            &reversed
        } else {
            self
        };
        // Corners, and whether an arc ends there.
        let mut corners = vec![(path.start, false)];
        for (from, segment) in path.stretches() {
            let is_arc = matches!(segment, Segment::Arc { .. });
            if let Segment::Arc {
                to,
                centre,
                counter_clockwise,
            } = segment
            {
                let arc = Arc::new(from, to, centre, counter_clockwise);
                let between = if counter_clockwise {
                    arc.tangents()
                } else {
                    arc.chords()
                };
                if let Some(last) = corners.last_mut() {
                    last.1 = true;
                }
                corners.extend(between.into_iter().map(|p| (p, false)));
            }
            corners.push((segment.to(), is_arc));
        }
        if corners.len() > 1 && corners[0].0 == corners[corners.len() - 1].0 {
            let last_is_arc = corners.pop().is_some_and(|(_, arc)| arc);
            corners[0].1 |= last_is_arc;
        }
        fill_dents(&mut corners);
        Outline::new(corners.into_iter().map(|(p, _)| p).collect())
    }
}

fn distance(a: Point, b: Point) -> f64 {
    let d = b.minus(a);
    (d.x as f64).hypot(d.y as f64)
}

fn angle(centre: Point, p: Point) -> f64 {
    let d = p.minus(centre);
    (d.y as f64).atan2(d.x as f64)
}

/// The angle that an arc sweeps, negative for clockwise.
fn sweep(from: Point, to: Point, centre: Point, counter_clockwise: bool) -> f64 {
    if from == to {
        return if counter_clockwise { TAU } else { -TAU };
    }
    let turn = (angle(centre, to) - angle(centre, from)).rem_euclid(TAU);
    if counter_clockwise { turn } else { turn - TAU }
}

/// Removes shallow right turns at the ends of arcs. That only adds to the polygon.
fn fill_dents(corners: &mut Vec<(Point, bool)>) {
    let mut at = 0;
    while at < corners.len() && corners.len() > 3 {
        let n = corners.len();
        let (before, here, after) = (
            corners[(at + n - 1) % n].0,
            corners[at].0,
            corners[(at + 1) % n].0,
        );
        let base = distance(before, after);
        let (u, v) = (after.minus(before), here.minus(before));
        let side = i128::from(u.x) * i128::from(v.y) - i128::from(u.y) * i128::from(v.x);
        if corners[at].1 && side > 0 && side as f64 <= DENT * base {
            corners.remove(at);
        } else {
            at += 1;
        }
    }
}

#[cfg(test)]
pub(crate) mod tests;
