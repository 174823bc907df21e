//! Ruffle: a strip gathered to the edge it is sewn to.
//!
//! Rules: length = edge x fullness, then as few strips as the cloth allows, joined to a ring or to a
//! strip with ends. The default fullness 1 1/2 is the upper value for a straight ruffle in L. I.
//! Baldt, *Clothing for Women* (1916); common practice goes to 2 for full and 3 for sheer cloth. The
//! narrow hem is that of T. Johnson, *It's Fun to Sew: a Cotton School Dress*, 4-H Club Series L-87.

use super::options::{
    FULL_WIDTHS, HEM, JOIN, NARROW_HEM, Options, Preset, SEAM, SEAM_OPTION, TOP, split,
};
use super::shape::{Shape, edge, guide, notch, rectangle};
use super::strips::{self, Join};
use super::{Brief, Draft, Drafted, OptionSpec};
use crate::length::{Length, Rounding};
use crate::outline::Point;
use crate::piece::{Grain, NotchKind, Piece};
use crate::settings::{InputError, Settings};
use crate::units::Ratio;

/// See the module.
pub(super) struct Ruffle;

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "edge",
        takes: "length",
        default: "must be set",
        about: "length of the edge that it is sewn to",
    },
    OptionSpec {
        key: "depth",
        takes: "length",
        default: "10 cm (4 in)",
        about: "finished depth from the seam to the hem",
    },
    OptionSpec {
        key: "fullness",
        takes: "number from 1 to 10",
        default: "1.5",
        about: "how many times longer than the edge it is before it is gathered",
    },
    OptionSpec {
        key: "closed",
        takes: "true or false",
        default: "true",
        about: "whether it is sewn to a ring; otherwise both ends get a seam",
    },
    SEAM_OPTION,
    TOP,
    HEM,
    JOIN,
    FULL_WIDTHS,
];

impl Draft for Ruffle {
    fn name(&self) -> &'static str {
        "ruffle"
    }

    fn summary(&self) -> &'static str {
        "a strip gathered to an edge, joined from strips across the cloth"
    }

    fn needs(&self, _: &Settings) -> Vec<&'static str> {
        Vec::new()
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
       edge x fullness, in strips
  +~~~~~~gather~~~~~~+~~~~~~~~~~~~~~~~~~+
  |                  |                  |  depth
  +-------hem--------+-------hem--------+
"
    }

    fn narrower(&self, brief: &Brief<'_>, _: &Piece) -> String {
        strips::in_more(brief.settings)
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        let edge_length = options.needed_size("edge", "the edge that the ruffle is sewn to")?;
        let fullness = options.fullness("fullness", Ratio::percent(150))?;
        let strips = Strips {
            name: "ruffle strip".into(),
            total: fullness.of(edge_length, Rounding::Up),
            depth: options.size("depth", Preset::new(1000, 64))?,
            closed: options.flag("closed", true)?,
            seam: options.allowance("seam", SEAM)?,
            top: options.allowance("top", SEAM)?,
            bottom: options.allowance("hem", NARROW_HEM)?,
            hemmed: true,
        };
        let (piece, note) = strips.draw(brief, &options)?;
        Ok(Drafted {
            pieces: vec![piece],
            notes: vec![note],
            ..Drafted::default()
        })
    }
}

/// Equal strips, joined and gathered at the top.
pub(super) struct Strips {
    pub(super) name: String,
    /// Finished length of the whole, ungathered.
    pub(super) total: Length,
    pub(super) depth: Length,
    pub(super) closed: bool,
    pub(super) seam: Length,
    pub(super) top: Length,
    pub(super) bottom: Length,
    /// Whether the lower edge is the hem or is sewn to the next tier.
    pub(super) hemmed: bool,
}

impl Strips {
    /// The strip, with how many to cut, and a note that says how they are joined. Reads the options
    /// `join` and `full_widths`.
    pub(super) fn draw(
        &self,
        brief: &Brief<'_>,
        options: &Options<'_>,
    ) -> Result<(Piece, String), InputError> {
        let (fabric, seam) = (brief.fabric, self.seam);
        let usable = strips::usable(fabric);
        let least = if self.closed {
            strips::for_ring(self.total, usable, seam)
        } else {
            strips::for_open(self.total + seam * 2, usable, seam)
        };
        let count = Join::read(options)?.strips(least, options, fabric)?;
        let full = options.flag("full_widths", false)?;
        let (width, all) = if full {
            (usable, strips::ring_of_full_widths(count, usable, seam))
        } else {
            // To the marking step, so that the strips can be chalked as they are printed; no wider than
            // the cloth, which they fit.
            let each = split(self.total, count);
            let marked = each.up_to_step(brief.units.marking_step());
            let each = marked.min(usable - seam * 2).max(each);
            (each + seam * 2, each * i64::from(count))
        };
        if full && all < self.total {
            let are = if count == 1 { "width is" } else { "widths are" };
            let what = format!("{count} full {are} too short");
            let help = format!(
                "{} are needed; leave join out",
                brief.shown_in.write_up(self.total)
            );
            return Err(options.error("join", what, help));
        }
        let lower = if self.hemmed { "hem" } else { "lower seam" };
        let edges = [
            edge(lower, self.bottom),
            edge("side seams", seam),
            edge("top", self.top),
            edge("side seams", seam),
        ];
        let corners = rectangle(width, self.depth + self.top + self.bottom);
        let shape = Shape::from_cut(&corners, &edges).map_err(|what| {
            options.error(
                "seam",
                format!("the {} cannot be drawn: {what}", self.name),
                "check the sizes and allowances",
            )
        })?;
        let mut piece = shape.piece(brief, &self.name, &fabric.name, Grain::Lengthwise);
        piece.copies = count;
        if self.hemmed {
            piece.hem = Some(shape.edge_path(0));
        }
        // Middles meet the marks that the gathering is spread by.
        piece
            .notches
            .push(notch(shape.on_edge(2, 1, 2), NotchKind::Match, "middle"));
        if !self.hemmed {
            piece
                .notches
                .push(notch(shape.on_edge(0, 1, 2), NotchKind::Match, "middle"));
        }
        for side in [1, 3] {
            piece
                .notches
                .push(notch(shape.on_edge(side, 1, 2), NotchKind::Join, ""));
        }
        let line = (self.depth + self.bottom).um();
        let ends = [Point::new(0, line), Point::new(width.um(), line)];
        piece.guides.push(guide(&ends, "gather"));
        let form = if self.closed { "ring" } else { "strip" };
        let strips = if count == 1 {
            "1 strip makes".to_string()
        } else {
            format!("{count} strips make")
        };
        let note = format!(
            "{}: {strips} a {form} of {} before it is gathered.",
            self.name,
            brief.shown_in.write(all)
        );
        Ok((piece, note))
    }
}
