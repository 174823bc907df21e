//! Circle skirt: a ring, or a part of one, in one piece or in sectors.
//!
//! Rules (geometry): with f the part of a circle, the waist radius is r = W / (2 pi f) and the hem
//! radius r + L; W is the girth, or with a band the length of the casing. The cut radii are r - waist
//! seam and r + L + hem; straight edges get a seam beside them. A full circle in one piece has its
//! waist as a cut-out and no seam. Radii are rounded so that the ring never gets narrower.
//!
//! A sector lies with its middle or with one straight edge along the selvedge; both are usual (common
//! practice, no published source). Unless `grain` is set, of these and of the middle across the cloth
//! whichever fits and takes least in rows is taken, see [`super::rows`]. The narrow hem of 1/4 in is that
//! of T. Johnson, *It's Fun to Sew: a Cotton School Dress*, 4-H Club Series L-87, for circle skirts.

use std::f64::consts::TAU;

use super::options::{
    self, Options, Preset, SEAM, SEAM_OPTION, skirt_length, skirt_needs, top_edge,
};
use super::shape::{FURTHEST, bare, notch};
use super::{Brief, Draft, Drafted, OptionSpec, rows, strips, waistband};
use crate::fabric::{Direction, Fabric};
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
        takes: "\"lengthwise\", \"crosswise\", \"either\" or \"straight edge\"",
        default: "what fits and takes less cloth; across a print only where nothing else fits",
        about: "how the middle of a sector lies on the cloth, or that one straight edge lies along the selvedge",
    },
    options::BAND,
];

/// How a sector may lie. The bias falls within it anyway.
const GRAINS: [&str; 4] = ["lengthwise", "crosswise", "either", STRAIGHT_EDGE];
const STRAIGHT_EDGE: &str = "straight edge";

/// More would be all seam.
const MOST_SECTORS: u32 = 24;

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

    fn tables(&self) -> &'static [(&'static str, &'static [OptionSpec])] {
        &[("band", waistband::PART_OPTIONS)]
    }

    fn narrower(&self, brief: &Brief<'_>, piece: &Piece) -> String {
        waistband::in_more_strips(brief, piece).unwrap_or_else(|| in_sectors(brief))
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        let top_edge = top_edge(brief, &options)?;
        let girth_key = top_edge.girth_key;
        let mut skirt = Circle::read(brief, &options, top_edge.length)?;
        let length = skirt.length;
        let impossible = |(key, what): (&str, String)| {
            let radius = Length::from_um(skirt.radius as i64);
            let help = format!(
                "the waist radius is {}",
                brief.shown_in.write_radius(radius)
            );
            options.error(key, what, help)
        };
        let mut drafted = Drafted {
            notes: top_edge.note.into_iter().collect(),
            ..Drafted::default()
        };
        let piece = match options.choice("grain", &GRAINS, "")? {
            "" => {
                let (piece, note) = skirt.that_takes_least(brief).map_err(impossible)?;
                drafted.notes.extend(note);
                piece
            }
            word => {
                (skirt.grain, skirt.upright) = set_grain(word);
                skirt.piece(brief).map_err(impossible)?
            }
        };
        drafted.pieces.push(piece);
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

/// What lets a skirt fit that is too wide: another grain, or in how many sectors at least.
fn in_sectors(brief: &Brief<'_>) -> String {
    let read = || {
        let options = Options::of(brief, OPTIONS)?;
        let grain = options.choice("grain", &GRAINS, "")?;
        let waist = top_edge(brief, &options)?.length;
        Ok::<_, InputError>((grain, Circle::read(brief, &options, waist)?))
    };
    let mut ways = Vec::new();
    if let Ok((grain, skirt)) = read() {
        if !grain.is_empty() && skirt.fits(brief, "") {
            ways.push(format!(
                "any grain that fits (leave out grain = \"{grain}\")"
            ));
        }
        let fewest = (skirt.sectors + 1..=MOST_SECTORS).find(|&sectors| {
            let more = Circle {
                sectors,
                ..skirt.clone()
            };
            more.fits(brief, grain)
        });
        ways.extend(fewest.map(|sectors| format!("cutting it in sectors (sectors = {sectors})")));
    }
    if ways.is_empty() {
        ways.push("a shorter skirt, or a smaller part of a circle".into());
    }
    ways.join("; or ")
}

/// What a word of [`GRAINS`] says.
fn set_grain(word: &str) -> (Grain, Upright) {
    match word {
        "crosswise" => (Grain::Crosswise, Upright::Middle),
        "either" => (Grain::Either, Upright::Middle),
        STRAIGHT_EDGE => (Grain::Lengthwise, Upright::Edge),
        _ => (Grain::Lengthwise, Upright::Middle),
    }
}

/// W / (2 pi f) with f = quarters / 4.
fn waist_radius_um(waist: Length, quarters: u32) -> f64 {
    waist.um() as f64 * 4.0 / (TAU * f64::from(quarters))
}

/// What the copies of a piece take in rows, as grain and direction let them lie. `None` if one is too wide.
fn in_rows(piece: &Piece, fabric: &Fabric) -> Option<Length> {
    let usable = strips::usable(fabric);
    let may_turn = matches!(fabric.direction, Direction::None | Direction::TwoWay);
    let laid = piece.on_grain();
    let sideways = (fabric.direction == Direction::None && piece.grain == Grain::Either)
        .then(|| rows::length(&laid.turned(1), piece.copies, usable, may_turn));
    let upright = rows::length(&laid, piece.copies, usable, may_turn);
    upright.into_iter().chain(sideways.flatten()).min()
}

/// What of a sector runs along the piece's own y axis.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Upright {
    /// Its middle.
    Middle,
    /// Its left straight edge.
    Edge,
}

#[derive(Clone)]
struct Circle {
    quarters: u32,
    sectors: u32,
    radius: f64,
    length: Length,
    seam: Length,
    waist_seam: Length,
    hem: Length,
    grain: Grain,
    upright: Upright,
}

impl Circle {
    /// With its middle on the grain.
    fn read(brief: &Brief<'_>, options: &Options<'_>, waist: Length) -> Result<Self, InputError> {
        let length = skirt_length(brief, options)?;
        let quarters = match options.choice("part", &PARTS, "full")? {
            "full" => 4,
            "three-quarter" => 3,
            "half" => 2,
            _ => 1,
        };
        Ok(Circle {
            quarters,
            sectors: options.count("sectors", (1, MOST_SECTORS), 1)?,
            // In micrometres; decides nothing before it is rounded.
            radius: waist_radius_um(waist, quarters),
            length,
            seam: options.allowance("seam", SEAM)?,
            waist_seam: options.allowance("waist_seam", SEAM)?,
            hem: options.allowance("hem", CURVED_HEM)?,
            upright: Upright::Middle,
            grain: Grain::Lengthwise,
        })
    }

    /// Whether a piece fits across the cloth on the grain that is set, or if none is on any.
    fn fits(&self, brief: &Brief<'_>, grain: &str) -> bool {
        let piece = if grain.is_empty() {
            self.that_takes_least(brief).map(|(piece, _)| piece)
        } else {
            let (grain, upright) = set_grain(grain);
            Circle {
                grain,
                upright,
                ..self.clone()
            }
            .piece(brief)
        };
        piece.is_ok_and(|piece| in_rows(&piece, brief.fabric).is_some())
    }

    fn is_whole(&self) -> bool {
        self.quarters == 4 && self.sectors == 1
    }

    /// The angle of one sector.
    fn angle(&self) -> f64 {
        TAU * f64::from(self.quarters) / 4.0 / f64::from(self.sectors)
    }

    /// The piece as it fits and takes least, and a note about the choice where there was one.
    fn that_takes_least(
        &self,
        brief: &Brief<'_>,
    ) -> Result<(Piece, Option<String>), (&'static str, String)> {
        if self.is_whole() {
            return Ok((self.piece(brief)?, None));
        }
        let turns_freely = brief.fabric.direction == Direction::None && self.sectors > 1;
        let (middle, edge, across) = (
            "the middle on the grain",
            "a straight edge on the grain",
            "the middle across the grain",
        );
        let mut ways = if turns_freely {
            vec![
                (middle, Grain::Either, Upright::Middle),
                (edge, Grain::Either, Upright::Edge),
            ]
        } else {
            vec![
                (middle, Grain::Lengthwise, Upright::Middle),
                (edge, Grain::Lengthwise, Upright::Edge),
                (across, Grain::Crosswise, Upright::Middle),
            ]
        }
        .into_iter()
        .map(|(words, grain, upright)| {
            let way = Circle {
                grain,
                upright,
                ..self.clone()
            };
            let piece = way.piece(brief)?;
            Ok((words, in_rows(&piece, brief.fabric), piece))
        })
        .collect::<Result<Vec<_>, _>>()?;
        let alike = ways.iter().all(|(_, length, _)| *length == ways[0].1);
        // A print would lie on its side, so across only where nothing else fits. Stable: where two take the
        // same, the usual one comes first.
        let print = brief.fabric.direction != Direction::None;
        ways.sort_by_key(|(words, length, _)| {
            (length.is_none(), print && *words == across, *length)
        });
        let what = match self.sectors {
            1 => format!("The {} lies", ways[0].2.name),
            n => format!("The {n} sectors lie"),
        };
        let takes: Vec<String> = ways
            .iter()
            .map(|(words, length, _)| match length {
                Some(length) => {
                    let length = brief.shown_in.write_up(*length);
                    format!("with {words} in about {length} of cloth")
                }
                None => format!("not at all with {words}"),
            })
            .collect();
        let mut note = format!("{what} {} if laid in rows", takes[0]);
        for other in &takes[1..] {
            note += &format!(", {other}");
        }
        note += ".";
        let print_leans = print && ways[0].0 != middle;
        if print_leans
            && ways
                .iter()
                .any(|(words, length, _)| *words == middle && length.is_some())
        {
            note += " For a print that must stand upright write grain = \"lengthwise\".";
        }
        Ok((ways.swap_remove(0).2, (!alike).then_some(note)))
    }

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
        let whole = self.is_whole();
        let angle = self.angle();
        // Counter-clockwise from straight down, where the hem is.
        let first = match self.upright {
            Upright::Middle => -angle / 2.0,
            Upright::Edge => 0.0,
        };
        let (cut_path, cut_outs, finished_paths, hem) = if whole {
            let circle = |radius| Path::circle(centre, radius);
            (
                circle(outer),
                vec![circle(inner)],
                finished.into_iter().map(circle).collect(),
                circle(outer),
            )
        } else {
            let room = inner.um() as f64 * (angle / 2.0).sin().abs();
            if room <= self.seam.um() as f64 + 2.0 {
                let what = "the seams of a sector meet before they reach the waist";
                return Err(("seam", what.into()));
            }
            // A micrometre against the rounding of the corners.
            let seam = self.seam + Length::from_um(1);
            let cut = sector(centre, [inner, outer], first, angle, seam);
            let finished = sector(centre, finished, first, angle, Length::ZERO);
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
        let middle = if whole { 0.0 } else { first + angle / 2.0 };
        for radius in [outer, inner] {
            let (sin, cos) = middle.sin_cos();
            let radius = radius.um() as f64;
            let at = Point::new(
                (radius * sin).round() as i64,
                -(radius * cos).round() as i64,
            );
            piece
                .notches
                .push(notch(centre.plus(at), NotchKind::Centre, front));
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

/// A sector of a ring from the angle `first` on, counter-clockwise from straight down, with its
/// straight edges moved out by `beside`: outer arc, right edge, inner arc back, left edge. A left edge
/// straight down is exactly upright.
fn sector(
    centre: Point,
    [inner, outer]: [Length; 2],
    first: f64,
    angle: f64,
    beside: Length,
) -> Path {
    // Along a straight edge from the centre, and square to it out of the sector.
    let corner = |radius: Length, at: f64, out: f64| {
        let (sin, cos) = at.sin_cos();
        let beside = beside.um() as f64;
        let along = ((radius.um() as f64).powi(2) - beside * beside)
            .max(0.0)
            .sqrt();
        let (x, y) = (
            along * sin + out * beside * cos,
            out * beside * sin - along * cos,
        );
        centre.plus(Point::new(x.round() as i64, y.round() as i64))
    };
    let left = |radius| corner(radius, first, -1.0);
    let right = |radius| corner(radius, first + angle, 1.0);
    let arc = |to: Point, counter_clockwise| Segment::Arc {
        to,
        centre,
        counter_clockwise,
    };
    Path {
        start: left(outer),
        segments: vec![
            arc(right(outer), true),
            Segment::Line { to: right(inner) },
            arc(left(inner), false),
            Segment::Line { to: left(outer) },
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
