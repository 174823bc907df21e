//! Circle skirt: a ring, or a part of one, in one piece or in sectors.
//!
//! Rules (geometry): with f the part of a circle, the waist radius is r = W / (2 pi f) and the hem
//! radius r + L; W is the girth, or with a band the length of the casing. The cut radii are r - waist seam and r + L + hem; straight edges get a seam beside
//! them. A full circle in one piece has its waist as a cut-out and no seam. Radii are rounded so that
//! the ring never gets narrower. The narrow hem of 1/4 in is that of T. Johnson, *It's Fun to Sew: a
//! Cotton School Dress*, 4-H Club Series L-87, for circle skirts.

use std::f64::consts::TAU;

use super::options::{
    self, Options, Preset, SEAM, SEAM_OPTION, skirt_length, skirt_needs, top_edge,
};
use super::shape::{FURTHEST, bare, notch};
use super::{Brief, Draft, Drafted, OptionSpec, waistband};
use crate::length::{Length, Rounding};
use crate::outline::Point;
use crate::path::{Path, Segment};
use crate::piece::{Allowance, Grain, NotchKind, Piece};
use crate::settings::{InputError, Settings};

/// See the module.
pub(super) struct CircleSkirt;

const PARTS: [&str; 4] = ["full", "three-quarter", "half", "quarter"];

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "part",
        takes: "\"full\", \"three-quarter\", \"half\" or \"quarter\"",
        default: "full",
        about: "how much of a circle the skirt is",
    },
    OptionSpec {
        key: "sectors",
        takes: "whole number",
        default: "1",
        about: "in how many equal pieces it is cut; 1 is one piece",
    },
    options::SITS_AT,
    options::WAIST_EASE,
    options::LENGTH,
    SEAM_OPTION,
    OptionSpec {
        key: "waist_seam",
        takes: "length",
        default: "1 cm (3/8 in)",
        about: "seam allowance at the waist",
    },
    OptionSpec {
        key: "hem",
        takes: "length",
        default: "0.6 cm (1/4 in)",
        about: "hem allowance; a curved hem is kept narrow",
    },
    OptionSpec {
        key: "grain",
        takes: "\"lengthwise\", \"crosswise\" or \"either\"",
        default: "lengthwise in one piece, either in sectors",
        about: "how the middle of a piece lies on the cloth; a circle holds every direction of the grain",
    },
    options::BAND,
];

/// How the middle of a sector may lie. The bias falls within it anyway.
const GRAINS: [&str; 3] = ["lengthwise", "crosswise", "either"];

const CURVED_HEM: Preset = Preset::new(60, 4);

impl Draft for CircleSkirt {
    fn name(&self) -> &'static str {
        "circle skirt"
    }

    fn summary(&self) -> &'static str {
        "a full, three-quarter, half or quarter circle, in one piece or in sectors"
    }

    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        skirt_needs(settings)
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
      full              half
     .------.
   .'        '.     +---.   .---+
  /    .--.    \    |    '-'    |
 |    (    )    |    \         /
  \    '--'    /      '.     .'
   '.        .'         '-hem
     '-hem--'
"
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, InputError> {
        let options = Options::of(brief, OPTIONS)?;
        let top_edge = top_edge(brief, &options)?;
        let (girth_key, waist) = (top_edge.girth_key, top_edge.length);
        let length = skirt_length(brief, &options)?;
        let part = options.choice("part", &PARTS, "full")?;
        let quarters = match part {
            "full" => 4,
            "three-quarter" => 3,
            "half" => 2,
            _ => 1,
        };
        let skirt = Circle {
            quarters,
            sectors: options.count("sectors", (1, 24), 1)?,
            // In micrometres; decides nothing before it is rounded.
            radius: waist_radius_um(waist, quarters),
            length,
            seam: options.allowance("seam", SEAM)?,
            waist_seam: options.allowance("waist_seam", SEAM)?,
            hem: options.allowance("hem", CURVED_HEM)?,
            grain: match options.choice("grain", &GRAINS, "")? {
                "lengthwise" => Grain::Lengthwise,
                "crosswise" => Grain::Crosswise,
                "either" => Grain::Either,
                _ if options.count("sectors", (1, 24), 1)? > 1 => Grain::Either,
                _ => Grain::Lengthwise,
            },
        };
        let mut drafted = Drafted {
            notes: top_edge.note.into_iter().collect(),
            ..Drafted::default()
        };
        drafted
            .pieces
            .push(skirt.piece(brief).map_err(|(key, what)| {
                let radius = Length::from_um(skirt.radius as i64);
                let help = format!(
                    "the waist radius is {}",
                    brief.shown_in.write_radius(radius)
                );
                options.error(key, what, help)
            })?);
        let radius = Length::from_um_f64(skirt.radius, Rounding::Up).unwrap_or_default();
        drafted.notes.push(format!(
            "Waist radius {}, hem radius {}, measured from the centre to the finished edges.",
            brief.shown_in.write_radius(radius),
            brief.shown_in.write_radius(radius + length)
        ));
        drafted.notes.push(
            "Let the skirt hang for a day before the hem is levelled: it drops where it lies on the bias."
                .to_string(),
        );
        if let Some(part) = options.part("band", waistband::PART_OPTIONS)? {
            drafted.add(waistband::draw_part(brief, &part, girth_key)?);
        }
        Ok(drafted)
    }
}

/// W / (2 pi f) with f = quarters / 4.
fn waist_radius_um(waist: Length, quarters: u32) -> f64 {
    waist.um() as f64 * 4.0 / (TAU * f64::from(quarters))
}

struct Circle {
    quarters: u32,
    sectors: u32,
    radius: f64,
    length: Length,
    seam: Length,
    waist_seam: Length,
    hem: Length,
    grain: Grain,
}

impl Circle {
    /// The error names the option it is about.
    fn piece(&self, brief: &Brief<'_>) -> Result<Piece, (&'static str, String)> {
        let too_large = || {
            (
                "length",
                "the circle is larger than a kilometre".to_string(),
            )
        };
        let outward = |um: f64| Length::from_um_f64(um, Rounding::Up).ok_or_else(too_large);
        let inner = Length::from_um_f64(self.radius - self.waist_seam.um() as f64, Rounding::Down)
            .ok_or_else(too_large)?;
        let outer = outward(self.radius + (self.length + self.hem).um() as f64)?;
        if outer.um() > FURTHEST / 2 {
            return Err(too_large());
        }
        if !inner.is_positive() {
            return Err((
                "waist_seam",
                "the waist seam is wider than the waist radius".into(),
            ));
        }
        let finished = [outward(self.radius)?, outward(self.radius)? + self.length];
        let centre = Point::new(0, outer.um());
        let whole = self.quarters == 4 && self.sectors == 1;
        let (cut_path, cut_outs, finished_paths, hem) = if whole {
            let circle = |radius| Path::circle(centre, radius);
            (
                circle(outer),
                vec![circle(inner)],
                finished.into_iter().map(circle).collect(),
                circle(outer),
            )
        } else {
            let angle = TAU * f64::from(self.quarters) / 4.0 / f64::from(self.sectors);
            let room = inner.um() as f64 * (angle / 2.0).sin().abs();
            if room <= self.seam.um() as f64 + 2.0 {
                let what = "the seams of a sector meet before they reach the waist";
                return Err(("seam", what.into()));
            }
            // A micrometre against the rounding of the corners.
            let cut = sector(centre, inner, outer, angle, self.seam + Length::from_um(1));
            let finished = sector(centre, finished[0], finished[1], angle, Length::ZERO);
            let hem = Path {
                start: cut.start,
                segments: cut.segments[..1].to_vec(),
            };
            (cut, Vec::new(), vec![finished], hem)
        };
        let outline = cut_path
            .outline()
            .map_err(|e| ("length", format!("the piece cannot be drawn: {e}")))?;
        let name = match (whole || self.sectors == 1, self.quarters) {
            (true, 4) => "circle",
            (true, 3) => "three-quarter circle",
            (true, 2) => "half circle",
            (true, _) => "quarter circle",
            (false, _) => "sector",
        };
        let fabric = &brief.fabric.name;
        let mut piece = bare(brief, name, fabric, self.grain, outline, cut_path);
        piece.copies = self.sectors;
        piece.cut_outs = cut_outs;
        piece.finished = finished_paths;
        piece.hem = Some(hem);
        let (front, back) = if self.sectors == 1 {
            ("CF", "CB")
        } else {
            ("", "seam")
        };
        let at_hem = Point::new(0, 0);
        let at_waist = centre.plus(Point::new(0, -inner.um()));
        for at in [at_hem, at_waist] {
            piece.notches.push(notch(at, NotchKind::Centre, front));
        }
        if whole {
            for radius in [outer, inner] {
                let at = centre.plus(Point::new(0, radius.um()));
                piece.notches.push(notch(at, NotchKind::Centre, back));
            }
        } else {
            for (from, segment) in piece.cut_path.stretches() {
                if let Segment::Line { to } = segment {
                    let at = super::shape::between(from, to, 1, 2);
                    piece.notches.push(notch(at, NotchKind::Match, back));
                }
            }
        }
        let allowance = |edge: &str, width| Allowance {
            edge: edge.into(),
            width,
        };
        piece.allowances = vec![
            allowance("hem", self.hem),
            allowance("waist", self.waist_seam),
        ];
        if !whole {
            piece.allowances.push(allowance("seams", self.seam));
        }
        piece.allowances.retain(|a| a.width.is_positive());
        Ok(piece)
    }
}

/// A sector of a ring that opens upwards, symmetric to x = 0, with its straight edges moved out by
/// `beside`: outer arc, right edge, inner arc back, left edge.
fn sector(centre: Point, inner: Length, outer: Length, angle: f64, beside: Length) -> Path {
    let (sin, cos) = (angle / 2.0).sin_cos();
    // Along the right edge from the centre, and square to it out of the sector.
    let corner = |radius: Length, side: i64| {
        let beside = beside.um() as f64;
        let along = ((radius.um() as f64).powi(2) - beside * beside)
            .max(0.0)
            .sqrt();
        let (x, y) = (along * sin + beside * cos, beside * sin - along * cos);
        centre.plus(Point::new(side * x.round() as i64, y.round() as i64))
    };
    let arc = |to: Point, counter_clockwise| Segment::Arc {
        to,
        centre,
        counter_clockwise,
    };
    Path {
        start: corner(outer, -1),
        segments: vec![
            arc(corner(outer, 1), true),
            Segment::Line {
                to: corner(inner, 1),
            },
            arc(corner(inner, -1), false),
            Segment::Line {
                to: corner(outer, -1),
            },
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waist_radii() {
        // Geometry: r = W / (2 pi f), for a waist of 72 cm (EN 13402-3 pictogram example 88-72-96,
        // second-hand) and of 28 in (ASTM D5585-11e1, curvy, size 8).
        let cm = |quarters| waist_radius_um(Length::from_cm(72), quarters) / 10_000.0;
        let inches = |quarters| waist_radius_um(Length::INCH * 28, quarters) / 25_400.0;
        let pairs = [
            (4, 11.4592, 4.456),
            (3, 15.2789, 5.942),
            (2, 22.9183, 8.913),
            (1, 45.8366, 17.825),
        ];
        for (quarters, metric, imperial) in pairs {
            assert!((cm(quarters) - metric).abs() < 0.0001, "{}", cm(quarters));
            assert!(
                (inches(quarters) - imperial).abs() < 0.001,
                "{}",
                inches(quarters)
            );
        }
    }
}
