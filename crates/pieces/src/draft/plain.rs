//! Plain rectangle and trapezoid: sizes given outright.
//!
//! Rules (geometry): the sizes are those of the finished piece; allowances are added outside and are
//! zero unless set, so that without them the sizes are what is cut. The trapezoid is isosceles.

use super::options::{Options, Preset};
use super::shape::{Shape, edge, trapezoid};
use super::{Brief, Draft, Drafted, OptionSpec};
use crate::length::Length;
use crate::piece::{Grain, Piece};
use crate::settings::{InputError, Settings};

const NAME: OptionSpec = OptionSpec {
    key: "name",
    takes: "text",
    default: "the name of the draft",
    about: "what the piece is called",
};
const LENGTH: OptionSpec = OptionSpec {
    key: "length",
    takes: "length",
    default: "must be set",
    about: "finished length, along the grain",
};
const GRAIN: OptionSpec = OptionSpec {
    key: "grain",
    takes: "\"lengthwise\", \"crosswise\", \"bias\" or \"either\"",
    default: "lengthwise",
    about: "how its length lies on the cloth",
};
const HEM: OptionSpec = OptionSpec {
    key: "hem",
    takes: "length",
    default: "0",
    about: "allowance at the lower edge",
};
const SIDE: OptionSpec = OptionSpec {
    key: "side",
    takes: "length",
    default: "0",
    about: "allowance at each side",
};
const TOP: OptionSpec = OptionSpec {
    key: "top",
    takes: "length",
    default: "0",
    about: "allowance at the upper edge",
};

const NARROWER: &str = "a smaller piece";

/// A rectangle. See the module.
pub(super) struct Rectangle;

/// An isosceles trapezoid. See the module.
pub(super) struct Trapezoid;

const RECTANGLE: &[OptionSpec] = &[
    NAME,
    OptionSpec {
        key: "width",
        takes: "length",
        default: "must be set",
        about: "finished width",
    },
    LENGTH,
    GRAIN,
    HEM,
    SIDE,
    TOP,
];

const TRAPEZOID: &[OptionSpec] = &[
    NAME,
    OptionSpec {
        key: "top_width",
        takes: "length",
        default: "must be set",
        about: "finished width of the upper edge",
    },
    OptionSpec {
        key: "hem_width",
        takes: "length",
        default: "must be set",
        about: "finished width of the lower edge",
    },
    LENGTH,
    GRAIN,
    HEM,
    SIDE,
    TOP,
];

impl Draft for Rectangle {
    fn name(&self) -> &'static str {
        "rectangle"
    }

    fn summary(&self) -> &'static str {
        "a rectangle of a given width and length"
    }

    fn needs(&self, _: &Settings) -> Vec<&'static str> {
        Vec::new()
    }

    fn options(&self) -> &'static [OptionSpec] {
        RECTANGLE
    }

    fn sketch(&self) -> &'static str {
        r"
  +-----------+
  |     ^     |
  |     |     |  length
  |     |     |
  +----hem----+
      width
"
    }

    fn narrower(&self, _: &Brief<'_>, _: &Piece) -> String {
        NARROWER.into()
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, RECTANGLE)?;
        let width = options.needed_size("width", "the width")?;
        draw(brief, &options, "rectangle", width, width)
    }
}

impl Draft for Trapezoid {
    fn name(&self) -> &'static str {
        "trapezoid"
    }

    fn summary(&self) -> &'static str {
        "an isosceles trapezoid of given widths and length"
    }

    fn needs(&self, _: &Settings) -> Vec<&'static str> {
        Vec::new()
    }

    fn options(&self) -> &'static [OptionSpec] {
        TRAPEZOID
    }

    fn sketch(&self) -> &'static str {
        r"
    top_width
    +-------+
   /    ^    \
  /     |     \  length
 /      |      \
+------hem------+
    hem_width
"
    }

    fn narrower(&self, _: &Brief<'_>, _: &Piece) -> String {
        NARROWER.into()
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, TRAPEZOID)?;
        let top = options.needed_size("top_width", "the upper width")?;
        let bottom = options.needed_size("hem_width", "the lower width")?;
        draw(brief, &options, "trapezoid", top, bottom)
    }
}

fn draw(
    brief: &Brief<'_>,
    options: &Options<'_>,
    name: &str,
    top: Length,
    bottom: Length,
) -> Result<Drafted, Vec<InputError>> {
    const NONE: Preset = Preset::new(0, 0);
    let length = options.needed_size("length", "the length")?;
    let side = options.allowance("side", NONE)?;
    let edges = [
        edge("hem", options.allowance("hem", NONE)?),
        edge("sides", side),
        edge("top", options.allowance("top", NONE)?),
        edge("sides", side),
    ];
    let grain = match options.choice("grain", &GRAINS, "lengthwise")? {
        "crosswise" => Grain::Crosswise,
        "bias" => Grain::Bias,
        "either" => Grain::Either,
        _ => Grain::Lengthwise,
    };
    let shape = Shape::from_finished(&trapezoid(top, bottom, length), &edges).map_err(|what| {
        options.error(
            "length",
            format!("it cannot be drawn: {what}"),
            "check the sizes and allowances",
        )
    })?;
    let name = options.text("name")?.unwrap_or(name);
    let mut piece = shape.piece(brief, name, &brief.fabric.name, grain);
    piece.hem = Some(shape.edge_path(0));
    Ok(Drafted {
        pieces: vec![piece],
        ..Drafted::default()
    })
}

/// The words for [`Grain`] in a job.
pub(super) const GRAINS: [&str; 4] = ["lengthwise", "crosswise", "bias", "either"];
