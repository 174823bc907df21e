//! Waistband casing: a strip folded lengthwise that holds an elastic.
//!
//! Rules: width = 2 x (elastic + ease) + 2 x seam, by geometry of a folded band; an elastic of 2.5 cm
//! with 0.5 cm ease and seams of 1 cm gives 8 cm (common practice, no published source; the ease of
//! 1/4 in is that of home-sewing guideline sheet 12.150, "Easy Waistband Casings"). Length = hip
//! girth + 3 cm, both end seams inside, so that the skirt passes the hips without an opening (common
//! practice, no published source); where the girth at which it sits is larger, that girth goes in
//! place of the hip girth, and seams of more than 1.5 cm lengthen the strip, so that the ring is never
//! shorter than what it goes round (geometry). Elastic = the girth where it sits + 2.5 cm overlap; try it on
//! before the last stitch. A stretch of 5 cm of the lower seam stays open near the centre back.
//!
//! A strip that does not fit across its cloth is joined (unless `join` says otherwise), even where
//! it would fit along it: a strip along the cloth takes a length that is rarely there. All strips
//! are equally long and the first is centred on the centre front, so joins lie at the sides and the
//! back; it is made longer where a join would come nearer to the centre front than `clear_front`.

use super::options::{GIRTHS, Options, Preset, SEAM, measure, sits_at, split};
use super::shape::{Shape, edge, guide, notch, rectangle};
use super::strips::{self, Join};
use super::{Brief, Draft, Drafted, Extra, OptionSpec};
use crate::fabric::Fabric;
use crate::length::Length;
use crate::measurement;
use crate::outline::Point;
use crate::piece::{Grain, NotchKind, Piece};
use crate::settings::{InputError, Settings};

/// What the strip is called; if it is joined, the beginning of its strips' names.
const NAME: &str = "waistband casing";

/// See the module.
pub(super) struct WaistbandCasing;

/// What can be set where the casing is part of another draft.
pub(super) const PART_OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "fabric",
        takes: "name of a fabric of the job",
        default: "that of the garment",
        about: "what the casing is cut from",
    },
    OPTIONS[0],
    OPTIONS[1],
    OPTIONS[2],
    OPTIONS[3],
    OptionSpec {
        default: "where the skirt sits",
        ..SITS_AT
    },
    OPTIONS[5],
    OPTIONS[6],
    OPTIONS[7],
    OPTIONS[8],
];

const SITS_AT: OptionSpec = OptionSpec {
    key: "sits_at",
    takes: "\"waist_girth\", \"low_waist_girth\" or \"hip_girth\"",
    default: "low_waist_girth",
    about: "the girth that the elastic is cut to",
};

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "elastic",
        takes: "length",
        default: "2.5 cm (1 in)",
        about: "width of the elastic",
    },
    OptionSpec {
        key: "ease",
        takes: "length",
        default: "0.5 cm (1/4 in)",
        about: "how much wider than the elastic the finished casing is",
    },
    OptionSpec {
        key: "seam",
        takes: "length",
        default: "1 cm (3/8 in)",
        about: "seam allowance on all edges and joins",
    },
    OptionSpec {
        key: "extra",
        takes: "length",
        default: "3 cm (1 1/4 in), or both end seams if they are more",
        about: "how much longer than the larger of hip girth and the girth it sits at the strip is cut, both end seams inside",
    },
    SITS_AT,
    OptionSpec {
        key: "overlap",
        takes: "length",
        default: "2.5 cm (1 in)",
        about: "by how much the ends of the elastic overlap",
    },
    OptionSpec {
        key: "opening",
        takes: "length",
        default: "5 cm (2 in)",
        about: "stretch of the lower seam that stays open for the elastic",
    },
    OptionSpec {
        key: "join",
        takes: "\"auto\", \"never\" or how many strips",
        default: "auto",
        about: "whether the strip is joined; auto joins it where it does not fit across the cloth",
    },
    OptionSpec {
        key: "clear_front",
        takes: "length",
        default: "10 cm (4 in)",
        about: "no join lies nearer than this to the centre front",
    },
];

const ELASTIC: Preset = Preset::new(250, 16);
const EASE: Preset = Preset::new(50, 4);
const EXTRA: Preset = Preset::new(300, 20);
const OVERLAP: Preset = Preset::new(250, 16);
const OPENING: Preset = Preset::new(500, 32);
const CLEAR_FRONT: Preset = Preset::new(1000, 64);

impl Draft for WaistbandCasing {
    fn name(&self) -> &'static str {
        NAME
    }

    fn summary(&self) -> &'static str {
        "a strip folded lengthwise for an elastic, joined where the cloth is too narrow"
    }

    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        let mut needs = vec!["hip_girth"];
        let girth = sits_at(settings, "low_waist_girth");
        if girth != "hip_girth" {
            needs.insert(0, girth);
        }
        needs
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
  CB                    CF                    CB
  +---------------------+----------------------+
  |                                            |
  | - - - - - - - - - - fold - - - - - - - - - |
  |                                            |
  +---------------------+-------------[open]---+
     larger girth + 3 cm, all in one or joined
"
    }

    fn narrower(&self, brief: &Brief<'_>, _: &Piece) -> String {
        strips::in_more(brief.settings)
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        Ok(draw(brief, &options, brief.fabric, "low_waist_girth")?)
    }
}

/// The casing as part of another draft, from the options in its own table.
pub(super) fn draw_part(
    brief: &Brief<'_>,
    options: &Options<'_>,
    sits_at: &'static str,
) -> Result<Drafted, InputError> {
    let fabric = options.fabric(brief)?;
    draw(brief, options, fabric, sits_at)
}

/// What makes `piece` shorter if it is of the casing that is part of another draft.
pub(super) fn in_more_strips(brief: &Brief<'_>, piece: &Piece) -> Option<String> {
    let band = brief.settings.table("", "band").ok().flatten()?;
    piece.name.contains(NAME).then(|| strips::in_more(band))
}

/// The sewn casing as a ring.
pub(super) struct Ring {
    /// All round, end seams sewn: what the top of a skirt is sewn to.
    pub(super) finished: Length,
    seam: Length,
    /// The girth where it sits.
    girth: Length,
    notes: Vec<String>,
}

/// How long the casing is, from its options.
pub(super) fn ring(
    brief: &Brief<'_>,
    options: &Options<'_>,
    sits_by_default: &'static str,
) -> Result<Ring, InputError> {
    let seam = options.allowance("seam", SEAM)?;
    let extra = options.allowance("extra", EXTRA)?;
    let extra = if options.is_set("extra") {
        extra
    } else {
        extra.max(seam * 2)
    };
    let girth_key = options.choice("sits_at", &GIRTHS, sits_by_default)?;
    let girth = measure(brief, girth_key)?;
    let hip = measure(brief, "hip_girth")?;
    let (largest, largest_key) = if girth > hip {
        (girth, girth_key)
    } else {
        (hip, "hip_girth")
    };
    let length = largest + extra;
    let finished = length - seam * 2;
    let write = |length| brief.shown_in.write(length);
    if !finished.is_positive() {
        let help = format!("the strip is {} long in all", write(length));
        return Err(options.error("seam", "the seams are longer than the casing", help));
    }
    let name = measurement::name_of(largest_key);
    let mut notes = Vec::new();
    if girth > hip {
        notes.push(format!(
            "The casing is cut by the {name} of {}, which is larger than the hip girth of {}.",
            write(girth),
            write(hip)
        ));
    }
    if finished < largest {
        notes.push(format!(
            "The casing is {} round when it is sewn, less than the {name} of {}: make extra longer, or \
             leave an opening.",
            brief.shown_in.write_down(finished),
            write(largest)
        ));
    }
    Ok(Ring {
        finished,
        seam,
        girth,
        notes,
    })
}

struct Casing<'a> {
    fabric: &'a Fabric,
    /// Across the strip.
    width: Length,
    seam: Length,
    opening: Length,
}

/// Where a strip lies in the ring.
struct Strip {
    name: String,
    finished: Length,
    copies: u32,
    front: bool,
    /// Where the opening lies: centred on the strip, or near its right end.
    opening: Option<Opening>,
    /// Whether the ends of the strip meet at the centre back.
    ends_at_back: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Opening {
    Middle,
    RightEnd,
}

fn draw(
    brief: &Brief<'_>,
    options: &Options<'_>,
    fabric: &Fabric,
    sits_by_default: &'static str,
) -> Result<Drafted, InputError> {
    let elastic = options.size("elastic", ELASTIC)?;
    let ease = options.allowance("ease", EASE)?;
    let overlap = options.allowance("overlap", OVERLAP)?;
    let opening = options.size("opening", OPENING)?;
    let clear_front = options.allowance("clear_front", CLEAR_FRONT)?;
    let Ring {
        finished: ring,
        seam,
        girth,
        notes,
    } = ring(brief, options, sits_by_default)?;
    let usable = strips::usable(fabric);
    let least = strips::for_ring(ring, usable, seam);
    let count = Join::read(options)?.strips(least, options, fabric)?;
    let casing = Casing {
        fabric,
        width: (elastic + ease) * 2 + seam * 2,
        seam,
        opening,
    };

    let even = split(ring, count);
    let front = if count == 1 {
        ring
    } else {
        even.max(clear_front * 2)
    };
    let rest = split(ring - front, count.saturating_sub(1));
    if count > 1 && !rest.is_positive() {
        let what = "no join can be kept that far from the centre front";
        return Err(options.error("clear_front", what, "make it smaller, or take fewer strips"));
    }
    if count > 1 && Join::read(options)? == Join::Auto && front + seam * 2 > usable {
        let what = format!(
            "the front strip of the casing would be wider than the usable width {}",
            brief.shown_in.write_down(usable)
        );
        return Err(options.error(
            "clear_front",
            what,
            "make it smaller, or take a wider cloth",
        ));
    }

    let mut drafted = Drafted {
        notes,
        ..Drafted::default()
    };
    for strip in arrange(count, front, rest) {
        drafted
            .pieces
            .push(casing.piece(brief, &strip).map_err(|what| {
                options.error(
                    "opening",
                    format!("the casing cannot be drawn: {what}"),
                    "check the sizes and allowances",
                )
            })?);
    }
    drafted.extras.push(Extra {
        what: format!("elastic, {} wide", brief.shown_in.write(elastic)),
        length: girth + overlap,
    });
    let write = |length| brief.shown_in.write(length);
    if count > 1 {
        drafted.notes.push(format!(
            "The casing is joined from {count} strips; the joins cost {} of strip and lie {} or more \
             from the centre front.",
            write(seam * 2 * i64::from(count - 1)),
            brief.shown_in.write_down(front.times_ratio(1, 2, crate::Rounding::Down)),
        ));
    }
    drafted.notes.push(format!(
        "Leave {} of the lower casing seam open for the elastic; try the elastic on before the last stitch.",
        write(opening)
    ));
    Ok(drafted)
}

/// The strips of a ring whose first is centred on the centre front. The others follow it round; of an
/// even number one is centred on the centre back.
fn arrange(count: u32, front: Length, rest: Length) -> Vec<Strip> {
    let name = |part: &str| format!("{part} of the {NAME}");
    if count == 1 {
        return vec![Strip {
            name: NAME.into(),
            finished: front,
            copies: 1,
            front: true,
            opening: Some(Opening::RightEnd),
            ends_at_back: true,
        }];
    }
    let strip = |part: &str, finished, copies| Strip {
        name: name(part),
        finished,
        copies,
        front: false,
        opening: None,
        ends_at_back: false,
    };
    let mut strips = vec![Strip {
        front: true,
        ..strip("front strip", front, 1)
    }];
    if count > 2 {
        strips.push(strip("strip", rest, count - 2));
    }
    let opening = if count.is_multiple_of(2) {
        Opening::Middle
    } else {
        Opening::RightEnd
    };
    strips.push(Strip {
        opening: Some(opening),
        ..strip("back strip", rest, 1)
    });
    strips
}

impl Casing<'_> {
    fn piece(&self, brief: &Brief<'_>, strip: &Strip) -> Result<Piece, String> {
        let cut = strip.finished + self.seam * 2;
        let edges = [
            edge("long seams", self.seam),
            edge("end seams", self.seam),
            edge("long seams", self.seam),
            edge("end seams", self.seam),
        ];
        let shape = Shape::from_cut(&rectangle(cut, self.width), &edges)?;
        let mut piece = shape.piece(brief, &strip.name, &self.fabric.name, Grain::Either);
        piece.copies = strip.copies;
        let half = Length::from_um(self.width.um() / 2);
        let fold = [Point::new(0, half.um()), Point::new(cut.um(), half.um())];
        piece.guides.push(guide(&fold, "fold"));
        let mut mark = |at: Point, kind: NotchKind, label: &str| {
            piece.notches.push(notch(at, kind, label));
        };
        let (lower, right, upper, left) = (0, 1, 2, 3);
        if strip.front {
            mark(shape.on_edge(lower, 1, 2), NotchKind::Centre, "CF");
            mark(shape.on_edge(upper, 1, 2), NotchKind::Centre, "CF");
        }
        for end in [right, left] {
            let at = shape.on_edge(end, 1, 2);
            if strip.ends_at_back {
                mark(at, NotchKind::Centre, "CB");
            } else {
                mark(at, NotchKind::Join, "join");
            }
        }
        if let Some(place) = strip.opening {
            if place == Opening::Middle {
                mark(shape.on_edge(upper, 1, 2), NotchKind::Centre, "CB");
            }
            let first = match place {
                Opening::Middle => Length::from_um((cut - self.opening).um() / 2),
                // A seam's width beside the closing seam, so that it can be sewn and pressed.
                Opening::RightEnd => cut - self.seam * 2 - self.opening,
            };
            if first < self.seam {
                return Err("the strip is too short for the opening".into());
            }
            mark(
                shape.on_level_edge(lower, first),
                NotchKind::Opening,
                "open",
            );
            mark(
                shape.on_level_edge(lower, first + self.opening),
                NotchKind::Opening,
                "open",
            );
        }
        Ok(piece)
    }
}
