//! How do wearers look, so that they are told apart in colour, in grey and by the label?
//!
//! Seven colours times sixteen hatches: 7 and 16 have no common divisor, so counting both on together
//! gives 112 different looks before one comes again. The first sixteen wearers differ by hatch alone,
//! so they are told apart in grey; with every further sixteen the hatch gets wider. The colours are
//! those of Okabe and Ito, "Color Universal Design" (2008), without black, which is kept for lines and
//! letters; values from memory. Their yellow is darkened for the hatch, since it would vanish in
//! grey. Hatches lie on a light ground, so that letters on them stay legible. A piece that is
//! nobody's is an even grey: the only piece without a hatch, and no left-over cloth, which has one.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::scene::Fill;
use crate::sheet::Sheet;
use crate::svg::number;

/// Off-white cloth.
pub(crate) const CLOTH: &str = "#fbf8f0";
/// The page.
pub(crate) const PAGE: &str = "#ffffff";
/// Lines and letters.
pub(crate) const DARK: &str = "#1c1b19";
/// Rulers, selvedges, what is secondary.
pub(crate) const QUIET: &str = "#6b675f";
/// Hairlines and what is left over.
pub(crate) const FAINT: &str = "#c9c3b4";

/// Ground of pieces that are nobody's.
const NOBODY: &str = "#e4e1d9";

/// Orange, sky blue, bluish green, yellow, blue, vermilion, reddish purple: of the ground, and of the
/// hatch.
const COLOURS: [(&str, &str); 7] = [
    ("#e69f00", "#d08f00"),
    ("#56b4e9", "#3f9fd6"),
    ("#009e73", "#009e73"),
    ("#f0e442", "#a89c00"),
    ("#0072b2", "#0072b2"),
    ("#d55e00", "#d55e00"),
    ("#cc79a7", "#c0639a"),
];

/// Share of the colour in the ground under a hatch.
const GROUND: f64 = 0.16;

/// Number of hatches in [`hatch`].
const HATCHES: usize = 16;

/// Hatch of the selvedges.
pub(crate) const SELVEDGE: &str = "selvedge";
/// Hatch of what is left over.
pub(crate) const LEFT_OVER: &str = "left-over";
/// Hatch of what lies beyond the cloth on hand.
pub(crate) const BEYOND: &str = "beyond";
/// Hatch of flaws.
pub(crate) const FLAW: &str = "flaw";

/// The wearers of one or more sheets in the order of their names, each with a look of its own.
#[derive(Clone, Debug, Default)]
pub(crate) struct Wearers {
    names: Vec<String>,
}

impl Wearers {
    pub(crate) fn of(sheets: &[&Sheet<'_>]) -> Self {
        let names: BTreeSet<&str> = sheets
            .iter()
            .flat_map(|s| s.placed.iter().filter_map(|p| p.piece.wearer.as_deref()))
            .collect();
        Wearers {
            names: names.into_iter().map(str::to_owned).collect(),
        }
    }

    pub(crate) fn names(&self) -> &[String] {
        &self.names
    }

    /// What a wearer's pieces are filled with; plain where the piece is nobody's.
    pub(crate) fn fill(&self, wearer: Option<&str>) -> Fill {
        wearer
            .and_then(|wearer| self.names.iter().position(|n| n == wearer))
            .map_or(Fill::Plain(NOBODY), |index| {
                Fill::Pattern(pattern_name(index))
            })
    }

    /// The definitions of all patterns that a drawing of these wearers uses.
    pub(crate) fn definitions(&self) -> String {
        let mut out = String::new();
        for index in 0..self.names.len() {
            let _ = write!(out, "{}", wearer_pattern(index));
        }
        out.push_str(&lines(SELVEDGE, QUIET, 0.15, 0.9, 45.0));
        out.push_str(&lines(LEFT_OVER, FAINT, 0.12, 2.4, -45.0));
        out.push_str(&lines(BEYOND, QUIET, 0.12, 1.4, 0.0));
        out.push_str(&pattern(
            FLAW,
            "none",
            1.2,
            45.0,
            &format!("<path d=\"M0 .6H1.2M.6 0V1.2\" stroke=\"{DARK}\" stroke-width=\".2\"/>"),
        ));
        out
    }
}

pub(crate) fn pattern_name(index: usize) -> String {
    format!("w{index}")
}

fn lines(name: &str, colour: &str, weight: f64, gap: f64, degrees: f64) -> String {
    let (g, h) = (number(gap), number(gap / 2.0));
    let body = format!(
        "<path d=\"M0 {h}H{g}\" stroke=\"{colour}\" stroke-width=\"{}\"/>",
        number(weight)
    );
    pattern(name, "none", gap, degrees, &body)
}

fn pattern(name: &str, ground: &str, size: f64, degrees: f64, body: &str) -> String {
    let s = number(size);
    let ground = if ground == "none" {
        String::new()
    } else {
        format!("<path d=\"M0 0H{s}V{s}H0Z\" fill=\"{ground}\"/>")
    };
    format!(
        "<pattern id=\"{name}\" width=\"{s}\" height=\"{s}\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate({})\">{ground}{body}</pattern>\n",
        number(degrees)
    )
}

/// The look of wearer number `index`: a light ground of the colour under a hatch of the colour.
fn wearer_pattern(index: usize) -> String {
    let (ground, line) = COLOURS[index % COLOURS.len()];
    let hatch = hatch(index % HATCHES, 1.0 + 0.45 * (index / HATCHES) as f64);
    let d = hatch.path;
    let body = if hatch.filled {
        format!("<path d=\"{d}\" fill=\"{line}\"/>")
    } else {
        format!(
            "<path d=\"{d}\" fill=\"none\" stroke=\"{line}\" stroke-width=\"{}\"/>",
            number(hatch.weight)
        )
    };
    pattern(
        &pattern_name(index),
        &mixed(ground, GROUND),
        hatch.size,
        hatch.degrees,
        &body,
    )
}

/// A tile that is repeated.
#[derive(Clone, Debug, PartialEq)]
struct Hatch {
    /// Side of the tile, mm.
    size: f64,
    degrees: f64,
    path: String,
    /// True if the path is filled, not stroked.
    filled: bool,
    /// Weight of the stroke, mm.
    weight: f64,
}

/// Hatch number `kind`, its tile `wider` than usual. Lines that run off a tile go on in the next.
fn hatch(kind: usize, wider: f64) -> Hatch {
    let stripe = "M0 {h}H{n}";
    let double = "M0 {q}H{n}M0 {h}H{n}";
    let dashes = "M0 {q}H{h}M{h} {t}H{n}";
    let ring = "M{h} {h}m-{r} 0a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0 -{d} 0Z";
    // Side, degrees, path in shares of the side, filled, weight.
    let (size, degrees, shape, filled, weight) = match kind {
        0 => (1.8, 45.0, stripe, false, 0.25),
        1 => (2.0, 30.0, ring, true, 0.25),
        2 => (1.8, -45.0, stripe, false, 0.25),
        3 => (1.8, 90.0, stripe, false, 0.25),
        4 => (2.2, 45.0, "M0 {h}H{n}M{h} 0V{n}", false, 0.25),
        5 => (1.8, 0.0, stripe, false, 0.25),
        6 => (2.8, 0.0, dashes, false, 0.3),
        7 => (2.8, 45.0, double, false, 0.25),
        8 => (2.4, 0.0, "M0 {h}H{n}M{h} 0V{n}", false, 0.25),
        9 => (2.6, 0.0, "M{q} {h}H{t}M{h} {q}V{t}", false, 0.3),
        10 => (2.8, 90.0, double, false, 0.25),
        11 => (2.4, 0.0, "M0 {t}L{h} {q}L{n} {t}", false, 0.25),
        12 => (2.8, 0.0, ring, false, 0.25),
        13 => (2.8, 90.0, dashes, false, 0.3),
        14 => (3.0, -45.0, stripe, false, 0.9),
        _ => (2.8, -45.0, double, false, 0.25),
    };
    let size = size * wider;
    let radius = if filled { 0.3 } else { 0.6 };
    let shares = [
        ("{n}", size),
        ("{h}", size / 2.0),
        ("{q}", size / 4.0),
        ("{t}", size * 0.75),
        ("{r}", radius),
        ("{d}", 2.0 * radius),
    ];
    let path = shares.iter().fold(shape.to_owned(), |path, (name, value)| {
        path.replace(name, &number(*value))
    });
    Hatch {
        size,
        degrees,
        path,
        filled,
        weight,
    }
}

/// `colour` mixed with cloth white: `share` of it.
fn mixed(colour: &str, share: f64) -> String {
    let channel = |range: std::ops::Range<usize>, white: f64| {
        let value = colour
            .get(range)
            .and_then(|h| u8::from_str_radix(h, 16).ok())
            .unwrap_or(0);
        (f64::from(value) * share + white * (1.0 - share)).round() as u8
    };
    let (r, g, b) = (
        channel(1..3, 253.0),
        channel(3..5, 251.0),
        channel(5..7, 246.0),
    );
    format!("#{r:02x}{g:02x}{b:02x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A wearer's pattern without its name.
    fn look(index: usize) -> String {
        wearer_pattern(index).replace(&format!("id=\"{}\"", pattern_name(index)), "")
    }

    /// Brightness as a grey print has it (ITU-R BT.601, from memory), 0 to 255.
    fn grey(colour: &str) -> f64 {
        let channel = |at: usize| f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap());
        0.299 * channel(1) + 0.587 * channel(3) + 0.114 * channel(5)
    }

    #[test]
    fn a_hundred_wearers_all_look_different() {
        let looks: BTreeSet<String> = (0..100).map(look).collect();
        assert_eq!(looks.len(), 100);
    }

    #[test]
    fn forty_eight_wearers_differ_by_their_hatch_alone() {
        let hatches: BTreeSet<String> = (0..48)
            .map(|i| hatch(i % HATCHES, 1.0 + 0.45 * (i / HATCHES) as f64))
            .map(|h| format!("{h:?}"))
            .collect();
        assert_eq!(hatches.len(), 48, "so that grey print tells them apart");
    }

    #[test]
    fn neighbours_differ_in_colour_and_in_hatch() {
        for i in 0..60 {
            assert_ne!(COLOURS[i % 7], COLOURS[(i + 1) % 7]);
            assert_ne!(hatch(i % HATCHES, 1.0), hatch((i + 1) % HATCHES, 1.0));
        }
    }

    #[test]
    fn every_hatch_is_seen_in_grey() {
        for (ground, line) in COLOURS {
            let contrast = grey(&mixed(ground, GROUND)) - grey(line);
            assert!(contrast > 75.0, "{line} on {ground}: {contrast}");
        }
        assert!(grey(CLOTH) - grey(NOBODY) > 15.0, "unlike bare cloth");
    }
}
