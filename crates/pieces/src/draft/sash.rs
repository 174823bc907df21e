//! Sash: a long band round the waist with hanging tails, straight or on the bias.
//!
//! Rules: length = the girth + two tails; a folded sash is cut 2 x width + 2 x seam wide, a single one
//! width + 2 x seam (geometry); the tails of 60 cm are common practice, no published source. Strips
//! are joined as the cloth allows. A strip l long and w wide on the bias takes (l + w) / sqrt 2 of
//! the usable width (see [`super::bias`]). Pointed ends are cut at 45 degrees, the tip at the fold.

use super::options::{GIRTHS, Options, Preset, SEAM, SEAM_OPTION, measure, sits_at, split};
use super::shape::{Edge, Shape, edge, guide, notch};
use super::strips::{self, Join};
use super::{Brief, Draft, Drafted, OptionSpec, bias};
use crate::length::Length;
use crate::outline::Point;
use crate::piece::{Grain, NotchKind, Piece};
use crate::settings::{InputError, Settings};

/// See the module.
pub(super) struct Sash;

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "width",
        takes: "length",
        default: "8 cm (3 in)",
        about: "finished width",
    },
    OptionSpec {
        key: "tail",
        takes: "length",
        default: "60 cm (24 in)",
        about: "length of each hanging end",
    },
    OptionSpec {
        key: "sits_at",
        takes: "\"waist_girth\", \"low_waist_girth\" or \"hip_girth\"",
        default: "waist_girth",
        about: "the girth that it goes round",
    },
    OptionSpec {
        key: "length",
        takes: "length",
        default: "the girth and two tails",
        about: "finished length from tip to tip",
    },
    OptionSpec {
        key: "cut",
        takes: "\"straight\" or \"bias\"",
        default: "straight",
        about: "along or across the cloth, or at 45 degrees to it",
    },
    OptionSpec {
        key: "folded",
        takes: "true or false",
        default: "true",
        about: "double, with a fold along one edge, or single",
    },
    OptionSpec {
        key: "ends",
        takes: "\"straight\" or \"pointed\"",
        default: "straight",
        about: "shape of the ends",
    },
    SEAM_OPTION,
    OptionSpec {
        key: "join",
        takes: "\"auto\", \"never\" or how many strips",
        default: "auto",
        about: "from how many strips it is joined; auto takes as few as fit across the cloth",
    },
];

impl Draft for Sash {
    fn name(&self) -> &'static str {
        "sash"
    }

    fn summary(&self) -> &'static str {
        "a long band round the waist with two tails, straight or on the bias"
    }

    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        if settings.get("length").is_some() {
            return Vec::new();
        }
        vec![sits_at(settings, "waist_girth")]
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
     tail          girth           tail
  +------------------+-----------------+
 /                   |                  \
<- - - - - - fold - -|- - - - - - - - - ->
 \                   |                  /
  +------------------+-----------------+
"
    }

    fn narrower(&self, brief: &Brief<'_>, _: &Piece) -> String {
        strips::in_more(brief.settings)
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        let width = options.size("width", Preset::new(800, 48))?;
        let tail = options.allowance("tail", Preset::new(6000, 384))?;
        let length = match options.own_size("length")? {
            Some(length) => length,
            None => measure(brief, options.choice("sits_at", &GIRTHS, "waist_girth")?)? + tail * 2,
        };
        let seam = options.allowance("seam", SEAM)?;
        let on_bias = options.choice("cut", &["straight", "bias"], "straight")? == "bias";
        let folded = options.flag("folded", true)?;
        let pointed = options.choice("ends", &["straight", "pointed"], "straight")? == "pointed";
        let open_width = if folded { width * 2 } else { width };
        let usable = strips::usable(brief.fabric);
        let room = if on_bias {
            bias::longest_across(usable, open_width + seam * 2)
        } else {
            usable
        };
        let least = strips::for_open(length + seam * 2, room, seam);
        let count = Join::read(&options)?.strips(least, &options, brief.fabric)?;
        let sash = Strip {
            each: split(length, count),
            width: open_width,
            point: if pointed {
                Length::from_um(open_width.um() / 2)
            } else {
                Length::ZERO
            },
            seam,
            grain: if on_bias { Grain::Bias } else { Grain::Either },
            folded,
        };
        if sash.point * 2 >= sash.each {
            let help = "make the sash longer or narrower, or take fewer strips";
            let what = "the points are longer than the sash";
            return Err(options.error("ends", what, help).into());
        }
        let fabric = &brief.fabric.name;
        let mut drafted = Drafted::default();
        for (name, copies, ends) in sash.plan(count) {
            let mut piece = sash.piece(brief, &name, ends).map_err(|what| {
                options.error(
                    "width",
                    format!("the sash cannot be drawn: {what}"),
                    "check the sizes and allowances",
                )
            })?;
            piece.copies = copies;
            drafted.pieces.push(piece);
        }
        if count > 1 {
            let cost = brief.shown_in.write(seam * 2 * i64::from(count - 1));
            drafted.notes.push(format!(
                "The sash is joined from {count} strips across {fabric}; the joins cost {cost} of strip."
            ));
        }
        if on_bias {
            let side =
                bias::least_square(length + seam * 2 * i64::from(count), open_width + seam * 2);
            drafted.notes.push(format!(
                "The sash on the bias: a square piece of {fabric} would have to be at least {} wide.",
                brief.shown_in.write_up(side)
            ));
        }
        Ok(drafted)
    }
}

/// Whether an end of a strip is an end of the sash: left, right.
type Ends = (bool, bool);

struct Strip {
    each: Length,
    width: Length,
    point: Length,
    seam: Length,
    grain: Grain,
    folded: bool,
}

impl Strip {
    /// Names, copies and ends of the strips. Where the ends are straight all strips are alike.
    fn plan(&self, count: u32) -> Vec<(String, u32, Ends)> {
        if count == 1 {
            return vec![("sash".into(), 1, (true, true))];
        }
        if self.point == Length::ZERO {
            return vec![("sash strip".into(), count, (false, false))];
        }
        let mut plan = vec![("sash, left strip".to_string(), 1, (true, false))];
        if count > 2 {
            plan.push(("sash, middle strip".into(), count - 2, (false, false)));
        }
        plan.push(("sash, right strip".into(), 1, (false, true)));
        plan
    }

    fn piece(&self, brief: &Brief<'_>, name: &str, ends: Ends) -> Result<Piece, String> {
        let (x, y) = (self.each.um(), self.width.um());
        let tip = self.point.um();
        let mut corners: Vec<Point> = Vec::new();
        let mut edges: Vec<Edge> = Vec::new();
        let (left, right) = (if ends.0 { tip } else { 0 }, if ends.1 { tip } else { 0 });
        let mut add = |at: Point, name: &str| {
            corners.push(at);
            edges.push(edge(name, self.seam));
        };
        // In the order of the corners; each edge goes on to the next corner.
        add(Point::new(left, 0), "long seams");
        add(Point::new(x - right, 0), "ends");
        if right > 0 {
            add(Point::new(x, y / 2), "ends");
        }
        add(Point::new(x - right, y), "long seams");
        add(Point::new(left, y), "ends");
        if left > 0 {
            add(Point::new(0, y / 2), "ends");
        }
        let shape = Shape::from_finished(&corners, &edges)?;
        let mut piece = shape.piece(brief, name, &brief.fabric.name, self.grain);
        if self.folded {
            piece
                .guides
                .push(guide(&[Point::new(0, y / 2), Point::new(x, y / 2)], "fold"));
        }
        // Joins: the edges at the inner ends. The right one follows the first long seam.
        if !ends.1 {
            piece
                .notches
                .push(notch(shape.on_edge(1, 1, 2), NotchKind::Join, "join"));
        }
        if !ends.0 {
            let last = corners.len() - 1;
            piece
                .notches
                .push(notch(shape.on_edge(last, 1, 2), NotchKind::Join, "join"));
        }
        if ends == (true, true) {
            piece
                .notches
                .push(notch(shape.on_edge(0, 1, 2), NotchKind::Centre, "CF"));
        }
        Ok(piece)
    }
}
