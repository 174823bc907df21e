//! Gathered skirt: one or more tiers, each gathered to the one above.
//!
//! Rules: every tier is `fullness` times as long as the one above, the first measured against the
//! girth it sits at, or with a band against the casing it is gathered to: 108, 162 and 243 cm for a
//! waist of 72 cm, fullness 1.5 and three tiers (geometry; the ratio is common practice). A tier is
//! rounded up to the marking step. Tiers are equally deep; each is joined from strips across the
//! cloth (see [`super::strips`]). The first tier must pass the hips if the skirt has no opening.

use super::options::{
    self, FULL_WIDTHS, HEM, JOIN, NARROW_HEM, Options, SEAM, SEAM_OPTION, TOP, skirt_length,
    skirt_needs, split, top_edge,
};
use super::ruffle::Strips;
use super::{Brief, Draft, Drafted, OptionSpec, strips, waistband};
use crate::length::Rounding;
use crate::piece::Piece;
use crate::settings::{InputError, Settings};
use crate::units::Ratio;

/// See the module.
pub(super) struct GatheredSkirt;

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "tiers",
        takes: "whole number from 1 to 6",
        default: "1",
        about: "how many tiers, equally deep",
    },
    OptionSpec {
        key: "fullness",
        takes: "number from 1 to 10",
        default: "1.5",
        about: "how many times longer each tier is than the one above",
    },
    options::SITS_AT,
    options::WAIST_EASE,
    options::LENGTH,
    SEAM_OPTION,
    TOP,
    HEM,
    JOIN,
    FULL_WIDTHS,
    options::BAND,
];

impl Draft for GatheredSkirt {
    fn name(&self) -> &'static str {
        "gathered skirt"
    }

    fn summary(&self) -> &'static str {
        "one or more tiers of joined strips, each gathered to the one above"
    }

    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        skirt_needs(settings)
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
        +~~~~~~~~~~+         waist
        |  tier 1  |
     +~~~~~~~~~~~~~~~~+      x fullness
     |     tier 2     |
  +~~~~~~~~~~~~~~~~~~~~~~+   x fullness
  |        tier 3        |
  +---------hem----------+
"
    }

    fn tables(&self) -> &'static [(&'static str, &'static [OptionSpec])] {
        &[("band", waistband::PART_OPTIONS)]
    }

    fn narrower(&self, brief: &Brief<'_>, piece: &Piece) -> String {
        waistband::in_more_strips(brief, piece).unwrap_or_else(|| strips::in_more(brief.settings))
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let options = Options::of(brief, OPTIONS)?;
        let top_edge = top_edge(brief, &options)?;
        let length = skirt_length(brief, &options)?;
        let tiers = options.count("tiers", (1, 6), 1)?;
        let fullness = options.fullness("fullness", Ratio::percent(150))?;
        let (seam, top) = (
            options.allowance("seam", SEAM)?,
            options.allowance("top", SEAM)?,
        );
        let hem = options.allowance("hem", NARROW_HEM)?;
        let mut drafted = Drafted {
            notes: top_edge.note.into_iter().collect(),
            ..Drafted::default()
        };
        let mut total = top_edge.length;
        for tier in 1..=tiers {
            total = fullness
                .of(total, Rounding::Up)
                .up_to_step(brief.units.marking_step());
            let last = tier == tiers;
            let strips = Strips {
                name: if tiers == 1 {
                    "skirt strip".into()
                } else {
                    format!("tier {tier} strip")
                },
                total,
                depth: split(length, tiers),
                closed: true,
                seam,
                top: if tier == 1 { top } else { seam },
                bottom: if last { hem } else { seam },
                hemmed: last,
            };
            let (piece, note) = strips.draw(brief, &options)?;
            drafted.pieces.push(piece);
            drafted.notes.push(note);
            if tier == 1
                && brief
                    .wearer
                    .measurement("hip_girth")
                    .is_some_and(|hip| total < hip)
            {
                drafted.notes.push(format!(
                    "The top tier, {} round, does not pass the hips: leave an opening, or make it fuller.",
                    brief.shown_in.write(total)
                ));
            }
        }
        if let Some(part) = options.part("band", waistband::PART_OPTIONS)? {
            drafted.add(waistband::draw_part(brief, &part, top_edge.girth_key)?);
        }
        Ok(drafted)
    }
}
