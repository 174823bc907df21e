//! Gored skirt: n equal gores, narrow at the waist and wide at the hem.
//!
//! Rules (geometry): a gore is finished W / n wide at the waist line and sweep / n at the hem line; the
//! side seams lie outside that, taken across the gore and not square to its slant, so that the cut widths
//! at those two lines are W / n + 2 s and sweep / n + 2 s: 15 and 43 cm for W 72, sweep 240, n 6, s 1.5.
//! Above the waist line and below the hem line the slants go on through the allowances. The grain runs down
//! the centre of each gore, so all seams are alike (both ways are described in a college text of the
//! 1910s). The default sweep, two and a half times the top edge, is a choice of this draft. W is the girth,
//! or with a band the length of the casing. Waist and hem are cut straight and levelled after the skirt has
//! hung for a day.

use super::options::{
    self, HEM, NARROW_HEM, Options, SEAM, SEAM_OPTION, TOP, skirt_length, skirt_needs, top_edge,
};
use super::shape::{Shape, edge, notch};
use super::{Brief, Draft, Drafted, OptionSpec, waistband};
use crate::length::{Length, Rounding};
use crate::outline::Point;
use crate::piece::{Grain, NotchKind, Piece};
use crate::settings::{InputError, Settings};
use crate::units::Ratio;

/// See the module.
pub(super) struct GoredSkirt;

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "gores",
        takes: "whole number from 3",
        default: "6",
        about: "how many gores",
    },
    OptionSpec {
        key: "sweep",
        takes: "length or share of the top edge",
        default: "250 %",
        about: "length of the hem all round",
    },
    options::SITS_AT,
    options::WAIST_EASE,
    options::LENGTH,
    SEAM_OPTION,
    TOP,
    HEM,
    options::BAND,
];

/// How far the fullest level of the hips lies below the waist where it was not taken: 20 cm or 8 in
/// (common practice, no published source).
const WAIST_TO_HIP: options::Preset = options::Preset::new(2000, 128);

impl Draft for GoredSkirt {
    fn name(&self) -> &'static str {
        "gored skirt"
    }

    fn summary(&self) -> &'static str {
        "equal gores that flare from the waist to a given sweep"
    }

    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        skirt_needs(settings)
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
      waist / n
      +------+
     /   ^    \
    /    |     \     n gores
   /     |      \
  /      |       \
 +------hem-------+
     sweep / n
"
    }

    fn tables(&self) -> &'static [(&'static str, &'static [OptionSpec])] {
        &[("band", waistband::PART_OPTIONS)]
    }

    fn narrower(&self, brief: &Brief<'_>, piece: &Piece) -> String {
        waistband::in_more_strips(brief, piece)
            .unwrap_or_else(|| "more and narrower gores (gores = 8), or a smaller sweep".into())
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        let top_edge = top_edge(brief, &options)?;
        let (girth_key, waist) = (top_edge.girth_key, top_edge.length);
        let length = skirt_length(brief, &options)?;
        let sweep = options.share_of("sweep", waist, Ratio::percent(250))?;
        if sweep < waist {
            let what = format!(
                "the sweep of {} is smaller than the top edge of {}",
                brief.shown_in.write(sweep),
                brief.shown_in.write(waist)
            );
            let help = "make the sweep at least as long as the top edge";
            return Err(options.error("sweep", what, help).into());
        }
        let gore = Gore {
            count: options.count("gores", (3, 60), 6)?,
            waist,
            sweep,
            length,
            seam: options.allowance("seam", SEAM)?,
            top: options.allowance("top", SEAM)?,
            hem: options.allowance("hem", NARROW_HEM)?,
        };
        let shape = gore.shape().map_err(|(what, help)| {
            options.error("gores", format!("a gore cannot be drawn: {what}"), help)
        })?;
        let mut piece = shape.piece(brief, "gore", &brief.fabric.name, Grain::Lengthwise);
        piece.copies = gore.count;
        piece.hem = Some(shape.edge_path(0));
        for level in [0, 2] {
            piece
                .notches
                .push(notch(shape.on_edge(level, 1, 2), NotchKind::Centre, ""));
        }
        for side in [1, 3] {
            piece
                .notches
                .push(notch(shape.on_edge(side, 1, 2), NotchKind::Match, "seam"));
        }
        let mut drafted = Drafted {
            pieces: vec![piece],
            notes: top_edge.note.into_iter().collect(),
            ..Drafted::default()
        };
        drafted.notes.push(
            "Let the skirt hang for a day before the hem is levelled: the slanted seams stretch."
                .to_string(),
        );
        if let Some(note) = gore.hip_note(brief, girth_key) {
            drafted.notes.push(note);
        }
        if let Some(part) = options.part("band", waistband::PART_OPTIONS)? {
            drafted.add(waistband::draw_part(brief, &part, girth_key)?);
        }
        Ok(drafted)
    }
}

struct Gore {
    count: u32,
    waist: Length,
    sweep: Length,
    length: Length,
    seam: Length,
    top: Length,
    hem: Length,
}

impl Gore {
    /// An error says what cannot be drawn and what would help.
    fn shape(&self) -> Result<Shape, (String, &'static str)> {
        // Half widths at a height above the hem line, in a frame whose centre line is x = 0; two
        // halves, each rounded up, so the gore stays alike on both sides.
        let n = i64::from(self.count);
        let half = |height: Length| {
            let gain = i128::from((self.sweep - self.waist).um());
            let down = i128::from((self.length - height).um());
            let (over, under) = (
                i128::from(self.waist.um()) * i128::from(self.length.um()) + gain * down,
                i128::from(self.length.um()) * 2 * i128::from(n),
            );
            i64::try_from(-(-over).div_euclid(under)).unwrap_or(i64::MAX / 4)
        };
        let (waist_line, hem_line) = (self.length, Length::ZERO);
        let (cut_top, cut_hem) = (self.length + self.top, -self.hem);
        let corners = |low: Length, high: Length, seam: i64| {
            let (foot, head) = (half(low) + seam, half(high) + seam);
            let (y0, y1) = ((low + self.hem).um(), (high + self.hem).um());
            let x0 = half(cut_hem) + self.seam.um();
            [
                Point::new(x0 - foot, y0),
                Point::new(x0 + foot, y0),
                Point::new(x0 + head, y1),
                Point::new(x0 - head, y1),
            ]
        };
        if half(cut_top) + self.seam.um() <= 0 {
            let help = "take fewer gores, a smaller top allowance or a smaller sweep";
            return Err(("its sides meet below the top edge".into(), help));
        }
        // Seams are taken across: on a steeper slant they would come out much narrower than they are.
        if half(hem_line) - half(waist_line) > self.length.um() {
            let help = "take more gores or a smaller sweep, or make a circle skirt";
            return Err(("its sides slant by more than 45 degrees".into(), help));
        }
        let edges = [
            edge("hem", self.hem),
            edge("side seams", self.seam),
            edge("top", self.top),
            edge("side seams", self.seam),
        ];
        let cut = corners(cut_hem, cut_top, self.seam.um());
        let finished = corners(hem_line, waist_line, 0);
        Shape::from_both(&cut, &finished, &edges)
            .map_err(|what| (what, "check the sizes and allowances"))
    }

    /// Whether the skirt is wide enough where the hips are fullest.
    fn hip_note(&self, brief: &Brief<'_>, girth_key: &str) -> Option<String> {
        let hip = brief.wearer.measurement("hip_girth")?;
        let depth = match girth_key {
            "waist_girth" => brief
                .wearer
                .measurement("waist_to_hip")
                .unwrap_or(WAIST_TO_HIP.in_units(brief.units)),
            "low_waist_girth" => {
                WAIST_TO_HIP
                    .in_units(brief.units)
                    .times_ratio(1, 2, Rounding::Down)
            }
            _ => return None,
        };
        let depth = depth.min(self.length);
        let gained =
            (self.sweep - self.waist).times_ratio(depth.um(), self.length.um(), Rounding::Down);
        let there = self.waist + gained;
        (there < hip).then(|| {
            let write = |l| brief.shown_in.write(l);
            format!(
                "{} below its top the skirt measures {}, less than the hip girth of {}: make the sweep longer.",
                write(depth), write(there), write(hip)
            )
        })
    }
}
