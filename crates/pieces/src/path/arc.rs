//! Arcs as chains of straight edges that never cut the piece short.
//!
//! How: an arc that bulges out of the piece is replaced by a chain of tangents, an arc that bulges
//! into it by a chain of chords, so both chains lie outside the piece. Corners are put on whole
//! micrometres with a margin larger than the rounding. Tangents are also laid at the leftmost,
//! rightmost, lowest and highest point of each arc, so that a circle is as wide as it is and a
//! piece that just fits the cloth is not refused.

use std::f64::consts::FRAC_PI_2;

use super::{CURVE_TOLERANCE, angle, sweep};
use crate::outline::Point;

/// What of the tolerance is kept for whole micrometres: margins of up to 2 um, the rounding of both
/// coordinates, and the lever of a margin at short tangents.
const ROUNDING_RESERVE: f64 = 10.0;

/// An arc of a piece walked counter-clockwise.
pub(super) struct Arc {
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
    pub(super) fn new(from: Point, to: Point, centre: Point, counter_clockwise: bool) -> Self {
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
    pub(super) fn tangents(&self) -> Vec<Point> {
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
    pub(super) fn chords(&self) -> Vec<Point> {
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
