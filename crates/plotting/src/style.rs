//! How do wearers look, so that they are told apart in colour, in grey and by the label?
//!
//! Seven colours times eight hatches: 7 and 8 have no common divisor, so counting both on together
//! gives 56 different looks before one comes again; after that the hatch gets wider. Neighbours in
//! the list differ in colour and in hatch. The colours are the palette of Okabe and Ito, "Color
//! Universal Design" (2008), without black, which is kept for lines and letters; values from memory.
//! Hatches are light, so that letters on them stay legible.

use std::collections::BTreeSet;
use std::fmt::Write as _;

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

/// Orange, sky blue, bluish green, yellow, blue, vermilion, reddish purple.
const COLOURS: [&str; 7] = [
    "#e69f00", "#56b4e9", "#009e73", "#f0e442", "#0072b2", "#d55e00", "#cc79a7",
];

/// Number of hatches in [`hatch`].
const HATCHES: usize = 8;

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

    /// The pattern's name for a wearer; `None` where the piece is nobody's and stays plain.
    pub(crate) fn pattern(&self, wearer: Option<&str>) -> Option<String> {
        let wearer = wearer?;
        let index = self.names.iter().position(|n| n == wearer)?;
        Some(pattern_name(index))
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
    let colour = COLOURS[index % COLOURS.len()];
    let wider = 1.0 + 0.6 * (index / (COLOURS.len() * HATCHES)) as f64;
    let (size, degrees, d, dots) = hatch(index % HATCHES, wider);
    let body = if dots {
        format!("<path d=\"{d}\" fill=\"{}\"/>", mixed(colour, 0.72))
    } else {
        format!(
            "<path d=\"{d}\" stroke=\"{}\" stroke-width=\".25\"/>",
            mixed(colour, 0.72)
        )
    };
    pattern(
        &pattern_name(index),
        &mixed(colour, 0.16),
        size,
        degrees,
        &body,
    )
}

/// Size of the tile, its turn, its path, and whether it is dots.
fn hatch(kind: usize, wider: f64) -> (f64, f64, String, bool) {
    let s = match kind {
        1 | 5 => 2.0,
        6 => 3.0,
        7 => 2.6,
        _ => 1.8,
    } * wider;
    let (n, half, third, two) = (number(s), number(s / 2.0), number(s / 3.0), number(s / 1.5));
    let stripe = format!("M0 {half}H{n}");
    match kind {
        0 => (s, 45.0, stripe, false),
        1 => {
            let r = number(0.28);
            let d = format!("M{half} {half}m-{r} 0a{r} {r} 0 1 0 .56 0a{r} {r} 0 1 0 -.56 0Z");
            (s, 30.0, d, true)
        }
        2 => (s, -45.0, stripe, false),
        3 => (s, 90.0, stripe, false),
        4 => (s, 0.0, stripe, false),
        5 => (s, 45.0, format!("M0 {half}H{n}M{half} 0V{n}"), false),
        6 => (s, 20.0, format!("M0 {third}H{n}M0 {two}H{n}"), false),
        _ => (s, 0.0, format!("M0 {third}H{half}M{half} {two}H{n}"), false),
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

    #[test]
    fn a_hundred_wearers_all_look_different() {
        let looks: BTreeSet<String> = (0..100)
            .map(|i| wearer_pattern(i).replace(&format!("id=\"{}\"", pattern_name(i)), ""))
            .collect();
        assert_eq!(looks.len(), 100);
    }

    #[test]
    fn neighbours_differ_in_colour_and_in_hatch() {
        for i in 0..60 {
            assert_ne!(COLOURS[i % 7], COLOURS[(i + 1) % 7]);
            assert_ne!(
                hatch(i % 8, 1.0).1.to_bits() ^ hatch(i % 8, 1.0).0.to_bits(),
                0
            );
            assert_ne!(hatch(i % 8, 1.0), hatch((i + 1) % 8, 1.0));
        }
    }
}
