//! [`Path`]: the true edge of a piece, lines and circular arcs, for drawing.
//!
//! What decides is the [`crate::Outline`], a polygon that contains the piece. The path is what a
//! person chalks. [`Path::outline`] makes the one from the other: never cut short, and nowhere
//! further out than [`CURVE_TOLERANCE`].
//!
//! How: an arc that bulges out of the piece is replaced by a chain of tangents, an arc that bulges
//! into it by a chain of chords, so both chains lie outside the piece. Corners are put on whole
//! micrometres with a margin larger than the rounding. Tangents are also laid at the leftmost,
//! rightmost, lowest and highest point of each arc, so that a circle is as wide as it is and a
//! piece that just fits the cloth is not refused.

use std::f64::consts::{FRAC_PI_2, TAU};

use crate::length::Length;
use crate::outline::{Outline, OutlineError, Point};

/// How far the cut polygon may lie outside the true curve: 0.2 mm, about the width of a sharp chalk
/// line. Smaller makes more corners (they grow with its inverse square root) and slower layouts,
/// larger gives cloth away.
pub const CURVE_TOLERANCE: Length = Length::from_um(200);

/// What of the tolerance is kept for whole micrometres: margins of up to 2 um, the rounding of both
/// coordinates, and the lever of a margin at short tangents.
const ROUNDING_RESERVE: f64 = 10.0;

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

/// An arc of a piece walked counter-clockwise.
struct Arc {
    from: Point,
    to: Point,
    centre: Point,
    /// Angle of `from`.
    first: f64,
    /// Positive: bulges out of the piece.
    sweep: f64,
}

/// A line that touches the circle.
#[derive(Clone, Copy)]
struct Tangent {
    angle: f64,
    /// Set where the line is upright or level: the direction of the touching point.
    axis: Option<(i64, i64)>,
    /// Set at the ends of the arc: the end, seen from the centre.
    end: Option<Point>,
}

impl Arc {
    fn new(from: Point, to: Point, centre: Point, counter_clockwise: bool) -> Self {
        let first = angle(centre, from);
        Arc {
            from,
            to,
            centre,
            first,
            sweep: sweep(from, to, centre, counter_clockwise),
        }
    }

    fn squared_radii(&self) -> (i128, i128) {
        let squared = |p: Point| {
            let d = p.minus(self.centre);
            i128::from(d.x) * i128::from(d.x) + i128::from(d.y) * i128::from(d.y)
        };
        let (a, b) = (squared(self.from), squared(self.to));
        (a.min(b), a.max(b))
    }

    /// How many equal parts so that each deviates by no more than the tolerance allows.
    fn parts(gap: f64, largest_step: f64) -> usize {
        // The steps of an everyday arc number in the dozens; the cast cannot overflow.
        ((gap / largest_step.min(FRAC_PI_2)) - 1e-9).ceil().max(1.0) as usize
    }

    /// The corners of a chain of tangents around the outside, between `from` and `to`.
    fn tangents(&self) -> Vec<Point> {
        let (_, squared) = self.squared_radii();
        let radius = (squared as f64).sqrt();
        if radius < 1.0 {
            return Vec::new();
        }
        let whole_radius = i64::try_from(ceil_root(squared)).unwrap_or(i64::MAX / 4);
        let touching = self.touching(radius);
        touching
            .windows(2)
            .map(|pair| self.corner(pair[0], pair[1], radius, whole_radius))
            .collect()
    }

    fn touching(&self, radius: f64) -> Vec<Tangent> {
        let last = self.first + self.sweep;
        let end = |p: Point, angle: f64| {
            let d = p.minus(self.centre);
            let axis = (d.x == 0 || d.y == 0).then(|| (d.x.signum(), d.y.signum()));
            Tangent {
                angle,
                axis,
                end: Some(d),
            }
        };
        let mut fixed = vec![end(self.from, self.first)];
        let quarter = (self.first / FRAC_PI_2).floor() as i64;
        for k in quarter..=quarter + 5 {
            let angle = k as f64 * FRAC_PI_2;
            if angle - self.first > 1e-9 && last - angle > 1e-9 {
                let axis = match k.rem_euclid(4) {
                    0 => (1, 0),
                    1 => (0, 1),
                    2 => (-1, 0),
                    _ => (0, -1),
                };
                fixed.push(Tangent {
                    angle,
                    axis: Some(axis),
                    end: None,
                });
            }
        }
        fixed.push(end(self.to, last));
        let outside = (CURVE_TOLERANCE.um() as f64 - ROUNDING_RESERVE) / radius;
        let largest_step = 2.0 * (1.0 / (1.0 + outside)).acos();
        let mut all = vec![fixed[0]];
        for pair in fixed.windows(2) {
            let gap = pair[1].angle - pair[0].angle;
            let parts = Arc::parts(gap, largest_step);
            for i in 1..parts {
                let angle = pair[0].angle + gap * i as f64 / parts as f64;
                all.push(Tangent {
                    angle,
                    axis: None,
                    end: None,
                });
            }
            all.push(pair[1]);
        }
        all
    }

    /// Where two tangents meet, on whole micrometres and outside both lines.
    fn corner(&self, a: Tangent, b: Tangent, radius: f64, whole_radius: i64) -> Point {
        let gap = b.angle - a.angle;
        // Tangents that meet at too flat an angle: a margin of 1 um across moves their corner further
        // along than the corner is away from where they touch. At an end of the arc the end is put
        // out on the line instead: that is less than 2 um.
        let flat = gap < 2.0 / radius.sqrt();
        let beside = |(x, y): (i64, i64), end: Point| {
            if x == 0 {
                Point::new(end.x, y * whole_radius)
            } else {
                Point::new(x * whole_radius, end.y)
            }
        };
        let on_axis = |(x, y): (i64, i64), other: Tangent| {
            // On the upright or level line exactly; along it as far as the other tangent, which
            // is pushed out by 1 um against the noise of the floats.
            let (sin, cos) = other.angle.sin_cos();
            let away = |along: f64, own: f64, across: f64| {
                let meet = (radius + 1.0 - along * own) / across;
                if across > 0.0 {
                    meet.ceil() as i64
                } else {
                    meet.floor() as i64
                }
            };
            let r = whole_radius;
            if x == 0 {
                Point::new(away((y * r) as f64, sin, cos), y * r)
            } else {
                Point::new(x * r, away((x * r) as f64, cos, sin))
            }
        };
        let one_axis = match (a.axis, b.axis) {
            (Some(axis), None) => Some((axis, b)),
            (None, Some(axis)) => Some((axis, a)),
            _ => None,
        };
        let from_centre = match (one_axis, a.axis.zip(b.axis)) {
            (_, Some(((ax, ay), (bx, by)))) if ax * bx + ay * by == 0 => {
                Point::new((ax + bx) * whole_radius, (ay + by) * whole_radius)
            }
            (Some((axis, other)), _) if !flat => on_axis(axis, other),
            (Some((axis, Tangent { end: Some(end), .. })), _) => beside(axis, end),
            _ => {
                // 2 um out against a rounding of at most 0.71 um.
                let reach = (radius + 2.0) / (gap / 2.0).cos();
                let (sin, cos) = (a.angle + gap / 2.0).sin_cos();
                Point::new((reach * cos).round() as i64, (reach * sin).round() as i64)
            }
        };
        self.centre.plus(from_centre)
    }

    /// Points just within the circle, between `from` and `to`: their chords stay within it.
    fn chords(&self) -> Vec<Point> {
        let (squared, _) = self.squared_radii();
        let radius = (squared as f64).sqrt();
        if radius < 2.0 {
            return Vec::new();
        }
        let inside = (CURVE_TOLERANCE.um() as f64 - ROUNDING_RESERVE) / radius;
        let largest_step = 2.0 * (1.0 - inside).max(0.0).acos();
        let parts = Arc::parts(self.sweep.abs(), largest_step);
        // 1 um in against a rounding of at most 0.71 um.
        (1..parts)
            .map(|i| {
                let (sin, cos) = (self.first + self.sweep * i as f64 / parts as f64).sin_cos();
                let (x, y) = ((radius - 1.0) * cos, (radius - 1.0) * sin);
                self.centre
                    .plus(Point::new(x.round() as i64, y.round() as i64))
            })
            .collect()
    }
}

/// The least whole number whose square is at least `squared`.
fn ceil_root(squared: i128) -> i128 {
    let mut root = (squared as f64).sqrt() as i128;
    while root > 0 && (root - 1) * (root - 1) >= squared {
        root -= 1;
    }
    while root * root < squared {
        root += 1;
    }
    root
}

#[cfg(test)]
pub(crate) mod tests;
