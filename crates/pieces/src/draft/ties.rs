//! Ties: narrow strips folded lengthwise, one end raw to be sewn in.
//!
//! Rule (geometry): a tie is cut 2 x finished width + 2 x seam wide and the finished length + 2 x seam
//! long. The default sizes are common practice, no published source.

use super::options::{Options, Preset, SEAM, SEAM_OPTION};
use super::shape::{Shape, edge, guide, rectangle};
use super::{Brief, Draft, Drafted, OptionSpec};
use crate::length::Length;
use crate::outline::Point;
use crate::piece::{Grain, Piece};
use crate::settings::{InputError, Settings};

/// See the module.
pub(super) struct Ties;

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "count",
        takes: "whole number",
        default: "2",
        about: "how many ties",
    },
    OptionSpec {
        key: "width",
        takes: "length",
        default: "2.5 cm (1 in)",
        about: "finished width, folded",
    },
    OptionSpec {
        key: "length",
        takes: "length",
        default: "45 cm (18 in)",
        about: "finished length",
    },
    OptionSpec {
        key: "cut",
        takes: "\"straight\" or \"bias\"",
        default: "straight",
        about: "along or across the cloth, or at 45 degrees to it",
    },
    SEAM_OPTION,
];

impl Draft for Ties {
    fn name(&self) -> &'static str {
        "ties"
    }

    fn summary(&self) -> &'static str {
        "narrow strips folded lengthwise, straight or on the bias"
    }

    fn needs(&self, _: &Settings) -> Vec<&'static str> {
        Vec::new()
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
  +--------------------------------+
  | - - - - - - - fold - - - - - - |
  +--------------------------------+
"
    }

    fn narrower(&self, _: &Brief<'_>, _: &Piece) -> String {
        "shorter or narrower ties".into()
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        let width = options.size("width", Preset::new(250, 16))?;
        let length = options.size("length", Preset::new(4500, 288))?;
        let seam = options.allowance("seam", SEAM)?;
        let mut piece = folded_strip(brief, "tie", &brief.fabric.name, length, width, seam)
            .map_err(|what| {
                options.error(
                    "width",
                    format!("the tie cannot be drawn: {what}"),
                    "check the sizes and allowances",
                )
            })?;
        if options.choice("cut", &["straight", "bias"], "straight")? == "bias" {
            piece.grain = Grain::Bias;
        }
        piece.copies = options.count("count", (1, 999), 2)?;
        Ok(Drafted {
            pieces: vec![piece],
            ..Drafted::default()
        })
    }
}

/// A strip folded lengthwise, `width` wide when folded, drawn with its length across.
pub(super) fn folded_strip(
    brief: &Brief<'_>,
    name: &str,
    fabric: &str,
    length: Length,
    width: Length,
    seam: Length,
) -> Result<Piece, String> {
    let edges = [
        edge("long seams", seam),
        edge("end seams", seam),
        edge("long seams", seam),
        edge("end seams", seam),
    ];
    let (across, along) = (length + seam * 2, width * 2 + seam * 2);
    let shape = Shape::from_cut(&rectangle(across, along), &edges)?;
    let mut piece = shape.piece(brief, name, fabric, Grain::Either);
    let middle = (width + seam).um();
    piece.guides.push(guide(
        &[Point::new(0, middle), Point::new(across.um(), middle)],
        "fold",
    ));
    Ok(piece)
}
