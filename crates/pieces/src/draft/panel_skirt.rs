//! Panel skirt: a front and a back panel that hang from a waistband casing, open at the sides.
//!
//! Rules (common practice, no published source): the front panel is cut 0.35 and the back panel 0.45
//! of the low waist girth wide. These are cut widths: the side hems lie inside them. The cut length
//! is the skirt length + 2 cm, 1 cm for the top seam and 1 cm for the hem. The back is as long as
//! its own measurement says, where it was taken, for hems that touch the floor. Crisp cloth gets
//! rectangles; soft cloth gets isosceles trapezoids, wider at the hem by the flare on each side. The
//! default flare of a tenth of the skirt length is a choice of this draft: enough to be seen, little
//! enough for one length of 140 cm cloth. Of more than two panels half are front panels; where a
//! panel is split, both new edges get a hem or seam of their own.

use super::options::{self, NARROW_HEM, Options, SEAM, measure, split};
use super::shape::{Shape, edge, guide, notch, trapezoid};
use super::{Brief, Draft, Drafted, OptionSpec, waistband};
use crate::fabric::Drape;
use crate::length::{Length, Rounding};
use crate::piece::{Grain, NotchKind, Piece};
use crate::settings::{InputError, Settings};
use crate::units::Ratio;

/// See the module.
pub(super) struct PanelSkirt;

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "front_width",
        takes: "length or share of the low waist girth",
        default: "0.35",
        about: "cut width of the front at the top, side hems inside",
    },
    OptionSpec {
        key: "back_width",
        takes: "length or share of the low waist girth",
        default: "0.45",
        about: "cut width of the back at the top, side hems inside",
    },
    OptionSpec {
        key: "panels",
        takes: "whole number from 2",
        default: "2",
        about: "how many panels in all; of an odd number the back gets one more",
    },
    OptionSpec {
        key: "back_longer",
        takes: "length",
        default: "by the skirt length back, or 0",
        about: "how much longer than the front the back is",
    },
    OptionSpec {
        key: "drape",
        takes: "\"crisp\" or \"soft\"",
        default: "that of the fabric",
        about: "crisp gives rectangles, soft gives panels that flare",
    },
    OptionSpec {
        key: "flare",
        takes: "length or share of the skirt length",
        default: "0.1",
        about: "how much wider the hem is than the top, on each side, in soft cloth",
    },
    OptionSpec {
        key: "top",
        takes: "length",
        default: "1 cm (3/8 in)",
        about: "allowance at the top, to be sewn to the casing",
    },
    OptionSpec {
        key: "hem",
        takes: "length",
        default: "1 cm (1/2 in)",
        about: "hem allowance",
    },
    OptionSpec {
        key: "sides",
        takes: "\"hemmed\" or \"sewn\"",
        default: "hemmed",
        about: "whether the side edges hang free or are sewn to each other",
    },
    OptionSpec {
        key: "side",
        takes: "length",
        default: "1 cm (3/8 in)",
        about: "allowance at each side edge",
    },
    OptionSpec {
        key: "band",
        takes: "table: fabric and the options of the waistband casing",
        default: "no band",
        about: "adds a waistband casing",
    },
];

struct Allowances {
    top: Length,
    hem: Length,
    side: Length,
    sewn: bool,
}

struct Panel {
    name: &'static str,
    mark: &'static str,
    width: Length,
    length: Length,
    flare: Length,
    copies: u32,
}

impl Draft for PanelSkirt {
    fn name(&self) -> &'static str {
        "panel skirt"
    }

    fn summary(&self) -> &'static str {
        "front and back panel hanging from a casing: rectangles, or flared in soft cloth"
    }

    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        let mut needs = vec!["low_waist_girth", "skirt_length_front"];
        if settings.get("band").is_some() {
            needs.push("hip_girth");
        }
        needs
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
   crisp                    soft
  +------+ +--------+        +----+   +------+
  |  CF  | |   CB   |       /  CF  \ /   CB   \
  |  ^   | |   ^    |      /   ^    \    ^     \
  |  |   | |   |    |     /    |   / \   |      \
  |  |   | |   |    |    +----hem-+   +---hem----+
  |      | |        |
  +-hem--+ |        |
           +--hem---+
"
    }

    fn tables(&self) -> &'static [(&'static str, &'static [OptionSpec])] {
        &[("band", waistband::PART_OPTIONS)]
    }

    fn narrower(&self, brief: &Brief<'_>, piece: &Piece) -> String {
        waistband::in_more_strips(brief, piece).unwrap_or_else(|| {
            let bounds = piece.cut.bounds();
            let box_area = 2 * i128::from(bounds.across().um()) * i128::from(bounds.along().um());
            let less = if piece.cut.doubled_area() < box_area {
                ", or less flare"
            } else {
                ""
            };
            format!("more and narrower panels (panels = 4){less}")
        })
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        let girth = measure(brief, "low_waist_girth")?;
        let front_length = match brief.wearer.measurement("skirt_length_front") {
            Some(length) => length,
            None => brief
                .wearer
                .measurement("skirt_length")
                .map_or_else(|| measure(brief, "skirt_length_front"), Ok)?,
        };
        let mut drafted = Drafted::default();
        let measured_back = brief.wearer.measurement("skirt_length_back");
        let write = |length| brief.shown_in.write(length);
        let back_length = if options.is_set("back_longer") {
            let longer = options.ease("back_longer", options::Preset::new(0, 0))?;
            let back = front_length + longer;
            if let Some(taken) = measured_back.filter(|&taken| taken != back) {
                drafted.notes.push(format!(
                    "back_longer makes the back {} long; the skirt length back of {} that was taken is not \
                     used. Leave back_longer out to use it.",
                    write(back),
                    write(taken)
                ));
            }
            back
        } else if let Some(taken) = measured_back {
            if taken < front_length {
                drafted.notes.push(format!(
                    "The back of {} is shorter than the front of {}: check that the two were not swapped.",
                    write(taken),
                    write(front_length)
                ));
            }
            taken
        } else {
            drafted.notes.push(
                "The back is as long as the front: no skirt length back was given.".to_string(),
            );
            front_length
        };
        let sewn = options.choice("sides", &["hemmed", "sewn"], "hemmed")? == "sewn";
        if sewn && back_length != front_length {
            drafted.notes.push(format!(
                "The side edges of front and back differ by {}: sew the side seams from the top and let \
                 the hem run out between the two lengths.",
                write(Length::from_um((back_length - front_length).um().abs()))
            ));
        }
        if !back_length.is_positive() {
            let help = format!("the front is {} long", brief.shown_in.write(front_length));
            let what = "nothing is left of the back";
            return Err(options.error("back_longer", what, help).into());
        }
        let allowances = Allowances {
            top: options.allowance("top", SEAM)?,
            hem: options.allowance("hem", NARROW_HEM)?,
            side: options.allowance("side", SEAM)?,
            sewn,
        };
        let soft = match options.choice("drape", &["crisp", "soft"], "")? {
            "" => brief.fabric.drape == Drape::Soft,
            drape => drape == "soft",
        };
        if options.is_set("flare") && !soft {
            drafted
                .notes
                .push("The cloth is crisp, so the panels do not flare.".to_string());
        }
        let flare = |length| -> Result<Length, InputError> {
            let flare = options.share_of("flare", length, Ratio::percent(10))?;
            Ok(if soft { flare } else { Length::ZERO })
        };
        let count = options.count("panels", (2, 60), 2)?;
        let (fronts, backs) = (count / 2, count - count / 2);
        // Where a width is split, every new edge needs its allowance.
        let each = |width: Length, parts: u32| {
            split(width + allowances.side * 2 * i64::from(parts - 1), parts)
        };
        let front_width = options.share_of("front_width", girth, Ratio::percent(35))?;
        let back_width = options.share_of("back_width", girth, Ratio::percent(45))?;
        let panels = [
            Panel {
                name: "front panel",
                mark: "CF",
                width: each(front_width, fronts),
                length: front_length,
                flare: flare(front_length)?,
                copies: fronts,
            },
            Panel {
                name: "back panel",
                mark: "CB",
                width: each(back_width, backs),
                length: back_length,
                flare: flare(back_length)?,
                copies: backs,
            },
        ];
        for panel in &panels {
            let piece = panel.draw(brief, &allowances).map_err(|what| {
                let key = if panel.mark == "CF" {
                    "front_width"
                } else {
                    "back_width"
                };
                let help = "make the width larger, or the side allowance smaller";
                options.error(
                    key,
                    format!("the {} cannot be drawn: {what}", panel.name),
                    help,
                )
            })?;
            drafted.pieces.push(piece);
        }
        if let Some(part) = options.part("band", waistband::PART_OPTIONS)? {
            drafted.add(waistband::draw_part(brief, &part, "low_waist_girth")?);
        }
        Ok(drafted)
    }
}

impl Panel {
    fn draw(&self, brief: &Brief<'_>, allowances: &Allowances) -> Result<Piece, String> {
        let along = self.length + allowances.top + allowances.hem;
        let corners = trapezoid(self.width, self.width + self.flare * 2, along);
        let side = if allowances.sewn {
            "side seams"
        } else {
            "side hems"
        };
        let edges = [
            edge("hem", allowances.hem),
            edge(side, allowances.side),
            edge("top", allowances.top),
            edge(side, allowances.side),
        ];
        let shape = Shape::from_cut(&corners, &edges)?;
        let mut piece = shape.piece(brief, self.name, &brief.fabric.name, Grain::Lengthwise);
        piece.copies = self.copies;
        piece.hem = Some(shape.edge_path(0));
        let mark = if self.copies == 1 { self.mark } else { "" };
        for level in [0, 2] {
            piece
                .notches
                .push(notch(shape.on_edge(level, 1, 2), NotchKind::Centre, mark));
        }
        if allowances.sewn {
            for side in [1, 3] {
                piece
                    .notches
                    .push(notch(shape.on_edge(side, 1, 2), NotchKind::Match, "side"));
            }
        }
        if self.flare > Length::ZERO {
            // Down the centre: how the panel hangs, and what the slants are measured from.
            let half = self.width.times_ratio(1, 2, Rounding::Down) + self.flare;
            let ends = [shape.on_level_edge(0, half), shape.on_level_edge(2, half)];
            piece.guides.push(guide(&ends, "centre"));
        }
        Ok(piece)
    }
}
