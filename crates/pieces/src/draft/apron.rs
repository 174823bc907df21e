//! Apron: a skirt panel on a waistband with ties, with or without a bib.
//!
//! Rules (common practice, no published source): the apron goes 0.6 of the hip girth round and 0.6 of
//! the skirt length down; its waistband is a folded strip as long as the panel is wide, with a tie
//! sewn into each end. A bib is a rectangle, or a trapezoid where its top is narrower, with two neck
//! ties. All sizes are finished; hems and seams are added.

use super::options::{NARROW_HEM, Options, Preset, SEAM, SEAM_OPTION, measure, skirt_length};
use super::shape::{Shape, edge, notch, trapezoid};
use super::ties::folded_strip;
use super::{Brief, Draft, Drafted, OptionSpec};
use crate::length::Length;
use crate::piece::{Grain, NotchKind, Piece};
use crate::settings::{InputError, Settings};
use crate::units::Ratio;

/// See the module.
pub(super) struct Apron;

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "width",
        takes: "length or share of the hip girth",
        default: "0.6",
        about: "finished width at the waist",
    },
    OptionSpec {
        key: "length",
        takes: "length or share of the skirt length",
        default: "0.6",
        about: "finished length",
    },
    OptionSpec {
        key: "flare",
        takes: "length or share of the apron's length",
        default: "0",
        about: "how much wider the hem is than the top, on each side",
    },
    OptionSpec {
        key: "band_width",
        takes: "length",
        default: "4 cm (1 1/2 in)",
        about: "finished width of the waistband and its ties",
    },
    OptionSpec {
        key: "tie_length",
        takes: "length",
        default: "80 cm (32 in)",
        about: "finished length of each waist tie",
    },
    OptionSpec {
        key: "bib",
        takes: "table: width, top_width, height, neck_tie_length",
        default: "no bib",
        about: "adds a bib and two neck ties",
    },
    SEAM_OPTION,
    OptionSpec {
        key: "side",
        takes: "length",
        default: "1 cm (1/2 in)",
        about: "side hems",
    },
    OptionSpec {
        key: "hem",
        takes: "length",
        default: "3 cm (1 1/4 in)",
        about: "hem allowance, also at the top of the bib",
    },
];

const BIB: &[OptionSpec] = &[
    OptionSpec {
        key: "width",
        takes: "length",
        default: "26 cm (10 in)",
        about: "finished width at the waist",
    },
    OptionSpec {
        key: "top_width",
        takes: "length",
        default: "as wide as at the waist",
        about: "finished width at the top",
    },
    OptionSpec {
        key: "height",
        takes: "length",
        default: "26 cm (10 in)",
        about: "finished height",
    },
    OptionSpec {
        key: "neck_tie_length",
        takes: "length",
        default: "50 cm (20 in)",
        about: "finished length of each neck tie",
    },
];

const SMALL_SIZE: Preset = Preset::new(2600, 160);

impl Draft for Apron {
    fn name(&self) -> &'static str {
        "apron"
    }

    fn summary(&self) -> &'static str {
        "a panel on a waistband with ties, with or without a bib"
    }

    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        // A share of a measurement needs it; an outright length does not. Which it is depends on the
        // job's unit, so both are asked for unless nothing is left to a share.
        let mut needs = Vec::new();
        if settings.get("width").is_none() {
            needs.push("hip_girth");
        }
        if settings.get("length").is_none() {
            needs.push("skirt_length");
        }
        needs
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
              +-----+
              | bib |
  ====ties====+-----+====ties====
          +-----CF------+
          |             |
          |      ^      |
          |      |      |
          +-----hem-----+
"
    }

    fn tables(&self) -> &'static [(&'static str, &'static [OptionSpec])] {
        &[("bib", BIB)]
    }

    fn narrower(&self, _: &Brief<'_>, _: &Piece) -> String {
        "a smaller width or flare, or shorter ties".into()
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        let seam = options.allowance("seam", SEAM)?;
        let side = options.allowance("side", NARROW_HEM)?;
        let hem = options.allowance("hem", Preset::new(300, 20))?;
        let width = share_of_measure(&options, "width", || measure(brief, "hip_girth"))?;
        let length = share_of_measure(&options, "length", || apron_skirt_length(brief, &options))?;
        let flare = options.share_of("flare", length, Ratio::ZERO)?;
        let band_width = options.size("band_width", Preset::new(400, 24))?;
        let tie_length = options.size("tie_length", Preset::new(8000, 512))?;
        let fabric = &brief.fabric.name;
        let cannot = |key: &str, part: &str, what: String| {
            options.error(
                key,
                format!("the {part} cannot be drawn: {what}"),
                "check its sizes",
            )
        };

        let edges = |bottom: &str, low: Length, top: &str, high: Length| {
            [
                edge(bottom, low),
                edge("side hems", side),
                edge(top, high),
                edge("side hems", side),
            ]
        };
        let shape = Shape::from_finished(
            &trapezoid(width, width + flare * 2, length),
            &edges("hem", hem, "top seam", seam),
        )
        .map_err(|what| cannot("width", "apron", what))?;
        let mut panel = shape.piece(brief, "apron", fabric, Grain::Lengthwise);
        panel.hem = Some(shape.edge_path(0));
        for level in [0, 2] {
            panel
                .notches
                .push(notch(shape.on_edge(level, 1, 2), NotchKind::Centre, "CF"));
        }

        let strip = |name: &str, length: Length| {
            folded_strip(brief, name, fabric, length, band_width, seam)
                .map_err(|what| cannot("band_width", name, what))
        };
        let mut band = strip("apron waistband", width)?;
        let middle = (band.cut.bounds().min.x + band.cut.bounds().max.x) / 2;
        for y in [band.cut.bounds().min.y, band.cut.bounds().max.y] {
            band.notches
                .push(notch(crate::Point::new(middle, y), NotchKind::Centre, "CF"));
        }
        let mut ties = strip("waist tie", tie_length)?;
        ties.copies = 2;
        let mut drafted = Drafted {
            pieces: vec![panel, band, ties],
            ..Drafted::default()
        };

        if let Some(bib) = options.part("bib", BIB)? {
            let bib_width = bib.size("width", SMALL_SIZE)?;
            let top_width = bib.own_size("top_width")?.unwrap_or(bib_width);
            let height = bib.size("height", SMALL_SIZE)?;
            let shape = Shape::from_finished(
                &trapezoid(top_width, bib_width, height),
                &edges("lower seam", seam, "top hem", hem),
            )
            .map_err(|what| cannot("bib", "bib", what))?;
            let mut piece = shape.piece(brief, "bib", fabric, Grain::Lengthwise);
            for level in [0, 2] {
                piece
                    .notches
                    .push(notch(shape.on_edge(level, 1, 2), NotchKind::Centre, "CF"));
            }
            drafted.pieces.push(piece);
            let length = bib.size("neck_tie_length", Preset::new(5000, 320))?;
            let mut neck = strip("neck tie", length)?;
            neck.copies = 2;
            drafted.pieces.push(neck);
        }
        Ok(drafted)
    }
}

/// The option as a length or as a share (0.6 by default) of a measurement, which is only asked for
/// where it is needed.
fn share_of_measure(
    options: &Options<'_>,
    key: &str,
    whole: impl Fn() -> Result<Length, InputError>,
) -> Result<Length, InputError> {
    use crate::settings::LengthOrShare;
    let set =
        options
            .settings
            .length_or_share(&options.path, key, options.units, crate::Rounding::Up)?;
    let length = match set {
        Some(LengthOrShare::Length(length)) => length,
        Some(LengthOrShare::Share(share)) => share.of(whole()?, crate::Rounding::Up),
        None => Ratio::percent(60).of(whole()?, crate::Rounding::Up),
    };
    if !length.is_positive() {
        return Err(options.error(key, "nothing is left of the apron", "write more than 0"));
    }
    Ok(length)
}

/// The wearer's skirt length; the option `length` is the apron's own here.
fn apron_skirt_length(brief: &Brief<'_>, options: &Options<'_>) -> Result<Length, InputError> {
    let empty = Settings {
        entries: Vec::new(),
        span: options.settings.span,
    };
    let without = Options {
        settings: &empty,
        path: options.path.clone(),
        units: options.units,
    };
    skirt_length(brief, &without)
}
