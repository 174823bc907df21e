//! From a piece's own frame to the cloth, and from the cloth to the page.
//!
//! The cloth lies along the page: (x, y) on the cloth is (y, x) on the page, whose second axis points
//! down. Seen from above that is a turn by a quarter circle and no mirror image, so the right side of
//! the cloth is up and a left-turning arc still turns left to the eye. Quarter turns of a piece are
//! exact; any other turn (bias) is rounded for drawing only.

use pieces::{Outline, Path, Point, Segment};

use crate::paper::{PagePath, Spot};
use crate::sheet::Placed;

/// Where a placed piece's own points lie on the cloth.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PieceFrame {
    mirrored: bool,
    cos: f64,
    sin: f64,
    at: Point,
}

impl PieceFrame {
    pub(crate) fn of(placed: &Placed<'_>) -> Self {
        let (cos, sin) = match placed.turned_deg % 360 {
            0 => (1.0, 0.0),
            90 => (0.0, 1.0),
            180 => (-1.0, 0.0),
            270 => (0.0, -1.0),
            other => {
                let radians = f64::from(other).to_radians();
                (radians.cos(), radians.sin())
            }
        };
        PieceFrame {
            mirrored: placed.mirrored,
            cos,
            sin,
            at: placed.at,
        }
    }

    /// (across, along) on the cloth, micrometres.
    pub(crate) fn on_cloth(&self, point: Point) -> (f64, f64) {
        let x = if self.mirrored { -point.x } else { point.x } as f64;
        let y = point.y as f64;
        (
            x * self.cos - y * self.sin + self.at.x as f64,
            x * self.sin + y * self.cos + self.at.y as f64,
        )
    }

    /// Where the piece's own y axis points, on the page.
    pub(crate) fn up_on_page(&self) -> Spot {
        Spot::new(self.cos, -self.sin)
    }
}

/// Cut edges of a placed piece on the cloth, exact for quarter turns; `None` for any other turn.
pub(crate) fn exact_outline(placed: &Placed<'_>) -> Option<Outline> {
    let degrees = placed.turned_deg % 360;
    if !degrees.is_multiple_of(90) {
        return None;
    }
    let cut = &placed.piece.cut;
    let cut = if placed.mirrored {
        cut.mirrored()
    } else {
        cut.clone()
    };
    let quarters = u8::try_from(degrees / 90).unwrap_or(0);
    Some(cut.turned(quarters).moved(placed.at))
}

/// Where a stretch of cloth lies on the page.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ClothFrame {
    /// Page place of x = 0, y = `from`.
    pub(crate) origin: Spot,
    /// Along the cloth where this stretch begins, micrometres.
    pub(crate) from: i64,
    /// Cloth millimetres to one on paper.
    pub(crate) scale: f64,
}

impl ClothFrame {
    /// A cloth point, micrometres, on the page.
    pub(crate) fn spot(&self, x: f64, y: f64) -> Spot {
        let um = 1.0 / (1_000.0 * self.scale);
        Spot::new(
            self.origin.x + (y - self.from as f64) * um,
            self.origin.y + x * um,
        )
    }

    pub(crate) fn point(&self, point: Point) -> Spot {
        self.spot(point.x as f64, point.y as f64)
    }

    /// Page size of a length in micrometres.
    pub(crate) fn size(&self, um: i64) -> f64 {
        um as f64 / (1_000.0 * self.scale)
    }

    /// A piece's point on the page.
    pub(crate) fn piece_spot(&self, piece: &PieceFrame, point: Point) -> Spot {
        let (x, y) = piece.on_cloth(point);
        self.spot(x, y)
    }

    /// A piece's path on the page; `closed` if it ends where it starts.
    pub(crate) fn piece_path(&self, piece: &PieceFrame, path: &Path) -> PagePath {
        let end = path.segments.last().map_or(path.start, Segment::to);
        let mut out = PagePath {
            start: self.piece_spot(piece, path.start),
            stretches: Vec::new(),
            closed: end == path.start && !path.segments.is_empty(),
        };
        for segment in &path.segments {
            match *segment {
                Segment::Line { to } => out.stretches.push(crate::paper::Stretch::Line {
                    to: self.piece_spot(piece, to),
                }),
                Segment::Arc {
                    to,
                    centre,
                    counter_clockwise,
                } => {
                    // A left turn on the cloth is a left turn to the eye, which SVG calls sweep 0; a
                    // mirrored piece turns the other way.
                    let sweep = counter_clockwise == piece.mirrored;
                    let (to, centre) = (self.piece_spot(piece, to), self.piece_spot(piece, centre));
                    out.push_arc(to, centre, sweep);
                }
            }
        }
        out
    }

    /// An outline on the cloth, on the page.
    pub(crate) fn outline(&self, outline: &Outline) -> PagePath {
        let spots: Vec<Spot> = outline.points().iter().map(|&p| self.point(p)).collect();
        PagePath::ring(&spots)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twice the area of a ring on the page as seen by the eye: positive if it turns left.
    fn seen_turn(spots: &[Spot]) -> f64 {
        let n = spots.len();
        (0..n)
            .map(|i| {
                let (a, b) = (spots[i], spots[(i + 1) % n]);
                -(a.x * b.y - b.x * a.y)
            })
            .sum()
    }

    #[test]
    fn the_right_side_of_the_cloth_is_up() {
        // Geometry: a turn keeps a counter-clockwise ring counter-clockwise, a mirror image does not.
        let frame = ClothFrame {
            origin: Spot::new(10.0, 10.0),
            from: 0,
            scale: 10.0,
        };
        let ring = [(0, 0), (100_000, 0), (100_000, 300_000), (0, 300_000)];
        let spots: Vec<Spot> = ring
            .iter()
            .map(|&(x, y)| frame.point(Point::new(x, y)))
            .collect();
        assert!(seen_turn(&spots) > 0.0);
        assert_eq!(spots[1], Spot::new(10.0, 20.0), "across runs down the page");
        assert_eq!(spots[3], Spot::new(40.0, 10.0), "along runs to the right");
    }

    #[test]
    fn an_arc_bulges_to_the_same_side_as_on_the_cloth() {
        // Half a circle about the origin from (50, 0) mm to (-50, 0) mm, counter-clockwise: its top
        // is (0, 50) mm, on the page at 1:10 (5, 0) from the origin.
        let path = Path {
            start: Point::new(50_000, 0),
            segments: vec![Segment::Arc {
                to: Point::new(-50_000, 0),
                centre: Point::new(0, 0),
                counter_clockwise: true,
            }],
        };
        let cloth = ClothFrame {
            origin: Spot::new(0.0, 0.0),
            from: 0,
            scale: 10.0,
        };
        for (mirrored, turned, top) in [
            (false, 0.0, (5.0, 0.0)),
            (true, 0.0, (5.0, 0.0)),
            (false, 1.0, (0.0, -5.0)),
        ] {
            let (cos, sin) = (1.0 - turned, turned);
            let piece = PieceFrame {
                mirrored,
                cos,
                sin,
                at: Point::new(0, 0),
            };
            let spots = cloth.piece_path(&piece, &path).flattened();
            let top = Spot::new(top.0, top.1);
            let nearest = spots
                .iter()
                .map(|s| s.distance(top))
                .fold(f64::MAX, f64::min);
            assert!(nearest < 0.3, "{mirrored} {turned}: {spots:?}");
        }
    }
}
