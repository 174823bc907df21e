//! Points, rectangles and paths on paper, in millimetres, y downwards.
//!
//! Everything here is for drawing and for keeping texts clear of lines; nothing decides about cloth.
//! Arcs stay arcs so that the drawing shows the true curve; [`PagePath::flattened`] is for finding
//! room and for checks.

use std::f64::consts::{PI, TAU};

/// A point on the page, millimetres from its upper left corner.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Spot {
    pub(crate) x: f64,
    pub(crate) y: f64,
}

impl Spot {
    pub(crate) const fn new(x: f64, y: f64) -> Self {
        Spot { x, y }
    }

    pub(crate) fn plus(self, x: f64, y: f64) -> Self {
        Spot {
            x: self.x + x,
            y: self.y + y,
        }
    }

    /// Turned about a spot, clockwise on the page.
    pub(crate) fn turned(self, about: Spot, degrees: f64) -> Spot {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let (x, y) = (self.x - about.x, self.y - about.y);
        about.plus(x * cos - y * sin, x * sin + y * cos)
    }

    pub(crate) fn distance(self, other: Spot) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// An upright rectangle on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Rect {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) w: f64,
    pub(crate) h: f64,
}

impl Rect {
    pub(crate) const fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Rect { x, y, w, h }
    }

    pub(crate) fn around(spots: &[Spot]) -> Option<Rect> {
        let first = *spots.first()?;
        let (mut low, mut high) = (first, first);
        for s in spots {
            low = Spot::new(low.x.min(s.x), low.y.min(s.y));
            high = Spot::new(high.x.max(s.x), high.y.max(s.y));
        }
        Some(Rect::new(low.x, low.y, high.x - low.x, high.y - low.y))
    }

    pub(crate) fn right(self) -> f64 {
        self.x + self.w
    }

    pub(crate) fn bottom(self) -> f64 {
        self.y + self.h
    }

    pub(crate) fn centre(self) -> Spot {
        Spot::new(self.x + self.w / 2.0, self.y + self.h / 2.0)
    }

    pub(crate) fn inflated(self, by: f64) -> Rect {
        Rect::new(
            self.x - by,
            self.y - by,
            self.w + 2.0 * by,
            self.h + 2.0 * by,
        )
    }

    /// True if no part of `other` lies outside.
    pub(crate) fn contains(self, other: Rect) -> bool {
        self.x <= other.x
            && self.y <= other.y
            && self.right() >= other.right()
            && self.bottom() >= other.bottom()
    }

    /// True if the insides meet.
    pub(crate) fn overlaps(self, other: Rect) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.bottom()
            && other.y < self.bottom()
    }

    pub(crate) fn meet(self, other: Rect) -> Option<Rect> {
        let (x, y) = (self.x.max(other.x), self.y.max(other.y));
        let (w, h) = (
            self.right().min(other.right()) - x,
            self.bottom().min(other.bottom()) - y,
        );
        (w > 0.0 && h > 0.0).then_some(Rect::new(x, y, w, h))
    }

    /// From the upper left, clockwise.
    pub(crate) fn corners(self) -> [Spot; 4] {
        let (a, c) = (
            Spot::new(self.x, self.y),
            Spot::new(self.right(), self.bottom()),
        );
        [a, Spot::new(c.x, a.y), c, Spot::new(a.x, c.y)]
    }

    pub(crate) fn path(self) -> PagePath {
        PagePath::ring(&self.corners())
    }
}

/// The part of the stretch from `a` to `b` that lies in `rect` (Liang and Barsky's clipping).
pub(crate) fn clip_stretch(a: Spot, b: Spot, rect: Rect) -> Option<(Spot, Spot)> {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let borders = [
        (-dx, a.x - rect.x),
        (dx, rect.right() - a.x),
        (-dy, a.y - rect.y),
        (dy, rect.bottom() - a.y),
    ];
    for (speed, room) in borders {
        if speed == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if speed < 0.0 {
            enter = enter.max(room / speed);
        } else {
            leave = leave.min(room / speed);
        }
    }
    (enter <= leave).then(|| {
        (
            a.plus(dx * enter, dy * enter),
            a.plus(dx * leave, dy * leave),
        )
    })
}

/// True if `spot` lies inside the closed chain (even-odd).
pub(crate) fn is_inside(ring: &[Spot], spot: Spot) -> bool {
    ring.windows(2)
        .filter(|w| (w[0].y <= spot.y) != (w[1].y <= spot.y))
        .filter(|w| {
            let share = (spot.y - w[0].y) / (w[1].y - w[0].y);
            w[0].x + share * (w[1].x - w[0].x) > spot.x
        })
        .count()
        % 2
        == 1
}

/// The spot of the chain nearest to `spot`, and the direction of the chain there (length 1).
pub(crate) fn nearest_on(chain: &[Spot], spot: Spot) -> Option<(Spot, Spot)> {
    let mut best: Option<(f64, Spot, Spot)> = None;
    for w in chain.windows(2) {
        let (dx, dy) = (w[1].x - w[0].x, w[1].y - w[0].y);
        let length = dx.hypot(dy);
        if length <= 0.0 {
            continue;
        }
        let share = ((spot.x - w[0].x) * dx + (spot.y - w[0].y) * dy) / (length * length);
        let share = share.clamp(0.0, 1.0);
        let here = w[0].plus(dx * share, dy * share);
        let distance = here.distance(spot);
        if best.is_none_or(|(least, ..)| distance < least) {
            best = Some((distance, here, Spot::new(dx / length, dy / length)));
        }
    }
    best.map(|(_, here, way)| (here, way))
}

/// One stretch of a path on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Stretch {
    Line {
        to: Spot,
    },
    /// Less than half a circle; `sweep` as SVG means it: clockwise on the page.
    Arc {
        to: Spot,
        centre: Spot,
        radius: f64,
        sweep: bool,
    },
}

impl Stretch {
    pub(crate) fn to(self) -> Spot {
        match self {
            Stretch::Line { to } | Stretch::Arc { to, .. } => to,
        }
    }
}

/// A chain of lines and arcs on the page.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PagePath {
    pub(crate) start: Spot,
    pub(crate) stretches: Vec<Stretch>,
    pub(crate) closed: bool,
}

/// How far a flattened arc may lie from the arc: below what a printer shows.
const FLAT: f64 = 0.02;

impl PagePath {
    pub(crate) fn line(a: Spot, b: Spot) -> Self {
        PagePath {
            start: a,
            stretches: vec![Stretch::Line { to: b }],
            closed: false,
        }
    }

    pub(crate) fn ring(spots: &[Spot]) -> Self {
        let mut path = PagePath::chain(spots);
        path.closed = true;
        path
    }

    pub(crate) fn chain(spots: &[Spot]) -> Self {
        PagePath {
            start: spots.first().copied().unwrap_or_default(),
            stretches: spots
                .iter()
                .skip(1)
                .map(|&to| Stretch::Line { to })
                .collect(),
            closed: false,
        }
    }

    pub(crate) fn circle(centre: Spot, radius: f64) -> Self {
        let start = centre.plus(radius, 0.0);
        let mut path = PagePath {
            start,
            stretches: Vec::new(),
            closed: true,
        };
        path.push_arc(start, centre, true);
        path
    }

    /// Adds an arc round `centre`, cut into parts below half a circle; back to where it stands is a
    /// full circle.
    pub(crate) fn push_arc(&mut self, to: Spot, centre: Spot, sweep: bool) {
        let from = self.stretches.last().map_or(self.start, |s| s.to());
        let angle = |s: Spot| (s.y - centre.y).atan2(s.x - centre.x);
        let (first, radius) = (angle(from), centre.distance(from));
        let mut turn = (angle(to) - first) * if sweep { 1.0 } else { -1.0 };
        turn = turn.rem_euclid(TAU);
        if turn < 1e-9 || from.distance(to) < 1e-9 {
            turn = TAU;
        }
        let parts = (turn / (PI * 0.9)).ceil().max(1.0) as usize;
        for k in 1..=parts {
            let end = if k == parts {
                to
            } else {
                let sign = if sweep { 1.0 } else { -1.0 };
                let a = first + sign * turn * k as f64 / parts as f64;
                centre.plus(radius * a.cos(), radius * a.sin())
            };
            self.stretches.push(Stretch::Arc {
                to: end,
                centre,
                radius,
                sweep,
            });
        }
    }

    /// The path as a chain of points; a closed one ends where it starts.
    pub(crate) fn flattened(&self) -> Vec<Spot> {
        let mut spots = vec![self.start];
        let mut from = self.start;
        for stretch in &self.stretches {
            if let Stretch::Arc {
                to,
                centre,
                radius,
                sweep,
            } = *stretch
            {
                let angle = |s: Spot| (s.y - centre.y).atan2(s.x - centre.x);
                let sign = if sweep { 1.0 } else { -1.0 };
                let turn = ((angle(to) - angle(from)) * sign).rem_euclid(TAU);
                let step = 2.0 * (1.0 - FLAT / radius.max(FLAT)).acos().max(0.02);
                let parts = (turn / step).ceil().clamp(1.0, 400.0) as usize;
                for k in 1..parts {
                    let a = angle(from) + sign * turn * k as f64 / parts as f64;
                    spots.push(centre.plus(radius * a.cos(), radius * a.sin()));
                }
            }
            spots.push(stretch.to());
            from = stretch.to();
        }
        if self.closed && from.distance(self.start) > 1e-9 {
            spots.push(self.start);
        }
        spots
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flattened_circle_keeps_its_length_and_closes() {
        // Geometry: the circumference of a circle of radius 40 is 80 pi.
        let spots = PagePath::circle(Spot::new(5.0, 5.0), 40.0).flattened();
        let length: f64 = spots.windows(2).map(|w| w[0].distance(w[1])).sum();
        assert!((length - 80.0 * PI).abs() < 0.3, "{length}");
        assert!(spots[0].distance(*spots.last().unwrap()) < 1e-9);
    }

    #[test]
    fn a_stretch_is_clipped_at_the_border() {
        let rect = Rect::new(0.0, 0.0, 10.0, 10.0);
        let (a, b) =
            clip_stretch(Spot::new(-5.0, 5.0), Spot::new(15.0, 5.0), rect).expect("it crosses");
        assert_eq!((a, b), (Spot::new(0.0, 5.0), Spot::new(10.0, 5.0)));
        assert!(clip_stretch(Spot::new(-5.0, 11.0), Spot::new(15.0, 11.0), rect).is_none());
    }
}
