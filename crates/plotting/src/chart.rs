//! [`comparison_chart`]: length needed, proved bound and length to buy, for each choice.
//!
//! A bar for each of the three, told apart by fill and hatch as well as by their order, each with its
//! value written behind it, so that the chart reads in grey and without its axis. A cloth on hand is
//! a dashed line across the choice's bars. The axis starts at zero, so lengths compare as lengths.
//! Axis and surface are those of crate `plotters`; words are placed with our own widths, because the
//! SVG backend has no font to measure with.

use nesting::Verdict;
use pieces::{Length, Units};
use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use crate::font;
use crate::ruler::unit_word;
use crate::words::bound_of;
use crate::words::is_inches;

/// One choice of a comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What is chosen: `soft, 140 cm wide`.
    pub label: String,
    /// Length of the marker found.
    pub needed: Length,
    /// No marker is shorter: proved.
    pub bound: Length,
    /// Length to buy, if it is to be bought.
    pub to_buy: Option<Length>,
    /// Length on hand that was asked about, as far as it can be laid on.
    pub on_hand: Option<Length>,
    /// Verdict on `on_hand`.
    pub verdict: Option<Verdict>,
}

/// Why there is no chart.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ChartError {
    /// The list is empty.
    #[error("a comparison needs at least one choice to draw")]
    NoChoices,
    /// The drawing surface failed.
    #[error("the chart could not be drawn: {0}")]
    Surface(String),
}

/// Width of the chart, px.
const WIDTH: i32 = 960;
/// Column of the choices' words, px.
const WORDS: i32 = 240;
/// Room for the longest value behind a bar, px.
const VALUES: i32 = 130;
/// Paper above the bars: title and legend, px.
const HEAD: i32 = 92;
/// Paper below them: axis, px.
const FOOT: i32 = 52;
/// Height of a bar and of the space between choices, px.
const BAR: i32 = 17;
const SPACE: i32 = 26;

const INK: RGBColor = RGBColor(0x1c, 0x1b, 0x19);
const QUIET: RGBColor = RGBColor(0x5c, 0x58, 0x51);
const GRID: RGBColor = RGBColor(0xdd, 0xd8, 0xcc);

type Surface<'a> = DrawingArea<SVGBackend<'a>, Shift>;

/// How a bar is filled: ground colour, and stripes that rise, cross, or none.
#[derive(Clone, Copy)]
struct Look {
    ground: RGBColor,
    rising: bool,
    falling: bool,
    meaning: &'static str,
}

const NEEDED: Look = Look {
    ground: RGBColor(0x56, 0xb4, 0xe9),
    rising: false,
    falling: false,
    meaning: "length needed",
};
const BOUND: Look = Look {
    ground: RGBColor(0xfb, 0xf8, 0xf0),
    rising: true,
    falling: false,
    meaning: "bound (proved): no marker is shorter",
};
const BUY: Look = Look {
    ground: RGBColor(0xf5, 0xcf, 0x7a),
    rising: true,
    falling: true,
    meaning: "to buy",
};

/// The choices side by side as an SVG chart, in the person's unit.
///
/// # Errors
/// [`ChartError::NoChoices`] for an empty list; [`ChartError::Surface`] if drawing fails.
pub fn comparison_chart(
    title: &str,
    units: Units,
    choices: &[Choice],
) -> Result<String, ChartError> {
    if choices.is_empty() {
        return Err(ChartError::NoChoices);
    }
    let mut out = String::new();
    draw(&mut out, title, units, choices).map_err(|e| ChartError::Surface(e.to_string()))?;
    Ok(out)
}

/// Each bar with its length and what is written beside it.
fn bars(choice: &Choice, units: Units) -> Vec<(Length, Look, String)> {
    let up = |length: Length| units.write_up(length);
    let bound = bound_of(units, choice.needed, choice.bound);
    let mut bars = vec![
        (choice.needed, NEEDED, up(choice.needed)),
        (choice.bound, BOUND, bound),
    ];
    bars.extend(choice.to_buy.map(|buy| (buy, BUY, up(buy))));
    bars
}

fn draw(
    out: &mut String,
    title: &str,
    units: Units,
    choices: &[Choice],
) -> Result<(), DrawingAreaErrorKind<std::io::Error>> {
    let rows: Vec<i32> = choices
        .iter()
        .map(|c| bars(c, units).len() as i32 * BAR + SPACE)
        .collect();
    let height = HEAD + rows.iter().sum::<i32>() + FOOT;
    let (w, h) = (WIDTH.unsigned_abs(), height.unsigned_abs());
    let root = SVGBackend::with_string(out, (w, h)).into_drawing_area();
    root.fill(&WHITE)?;

    let value = |length: Length| in_unit(units, length);
    let longest = choices
        .iter()
        .flat_map(|c| bars(c, units).into_iter().map(|b| b.0).chain(c.on_hand))
        .max()
        .unwrap_or(Length::ZERO);
    let most = value(longest).max(1e-3) * 1.02;
    let mut chart = ChartBuilder::on(&root)
        .margin_top(HEAD)
        .margin_right(VALUES)
        .margin_left(WORDS)
        .x_label_area_size(FOOT)
        .build_cartesian_2d(0.0..most, 0.0..1.0)?;
    chart
        .configure_mesh()
        .disable_y_mesh()
        .disable_y_axis()
        .x_labels(8)
        .light_line_style(TRANSPARENT)
        .bold_line_style(GRID)
        .axis_style(QUIET)
        .label_style(face(13.0).color(&QUIET))
        .x_label_formatter(&|v| {
            if most < 10.0 {
                format!("{v:.1}")
            } else {
                format!("{v:.0}")
            }
        })
        .draw()?;
    let x = |length: Length| {
        chart
            .plotting_area()
            .map_coordinate(&(value(length), 0.0))
            .0
    };

    let left = x(Length::ZERO);
    let unit = format!("lengths in {}", unit_word(units));
    text(&root, (left, height - 14), 13.0, QUIET, HPos::Left, &unit)?;
    let heading = font::shorten(title, 22.0, true, f64::from(WIDTH - 40));
    let bold = face(22.0)
        .style(FontStyle::Bold)
        .color(&INK)
        .pos(Pos::new(HPos::Left, VPos::Center));
    root.draw(&Text::new(heading, (20, 30), bold))?;
    legend(&root, choices)?;

    let mut top = HEAD;
    for (choice, row) in choices.iter().zip(&rows) {
        words(&root, choice, top + (row - SPACE) / 2 + SPACE / 2)?;
        let mut y = top + SPACE / 2;
        for (length, look, written) in bars(choice, units) {
            bar(&root, (left, y), (x(length), y + BAR - 3), look)?;
            let wide = font::width(&written, 13.0, false).ceil() as i32;
            let mut from = x(length) + 8;
            // The value steps aside for the line of the cloth on hand.
            if let Some(line) = choice.on_hand.map(x)
                && (from - 4..from + wide + 4).contains(&line)
            {
                from = line + 8;
            }
            let paper = [(from - 2, y), (from + wide, y + BAR - 3)];
            root.draw(&Rectangle::new(paper, WHITE.filled()))?;
            let at = (from, y + (BAR - 3) / 2);
            text(&root, at, 13.0, INK, HPos::Left, &written)?;
            y += BAR;
        }
        if let Some(on_hand) = choice.on_hand {
            dashed(&root, x(on_hand), top + SPACE / 2 - 5, y + 2)?;
        }
        top += row;
        root.draw(&PathElement::new(vec![(20, top), (WIDTH - 20, top)], GRID))?;
    }
    root.present()
}

fn face(size: f64) -> TextStyle<'static> {
    // The backend writes sizes divided by 1.24.
    (font::FAMILY, size * 1.24).into_font().into()
}

trait Styled<'a> {
    fn style(self, style: FontStyle) -> Self;
}

impl<'a> Styled<'a> for TextStyle<'a> {
    fn style(mut self, style: FontStyle) -> Self {
        self.font = self.font.style(style);
        self
    }
}

fn in_unit(units: Units, length: Length) -> f64 {
    match units {
        Units::Millimetres => length.mm(),
        Units::Metres => length.mm() / 1_000.0,
        _ if is_inches(units) => length.mm() / 25.4,
        _ => length.mm() / 10.0,
    }
}

fn text(
    root: &Surface<'_>,
    at: (i32, i32),
    size: f64,
    colour: RGBColor,
    side: HPos,
    words: &str,
) -> Result<(), DrawingAreaErrorKind<std::io::Error>> {
    let style = face(size).color(&colour).pos(Pos::new(side, VPos::Center));
    root.draw(&Text::new(words.to_owned(), at, style))
}

/// Label and verdict left of the bars.
fn words(
    root: &Surface<'_>,
    choice: &Choice,
    middle: i32,
) -> Result<(), DrawingAreaErrorKind<std::io::Error>> {
    let room = f64::from(WORDS - 36);
    let label = font::shorten(&choice.label, 14.0, false, room);
    let verdict = match choice.verdict {
        Some(Verdict::Enough) => "enough",
        Some(Verdict::NotEnough) => "not enough, proved",
        Some(Verdict::Undecided) => "undecided",
        None => "",
    };
    let up = if verdict.is_empty() { 0 } else { 9 };
    text(
        root,
        (WORDS - 16, middle - up),
        14.0,
        INK,
        HPos::Right,
        &label,
    )?;
    if !verdict.is_empty() {
        text(
            root,
            (WORDS - 16, middle + 9),
            12.0,
            QUIET,
            HPos::Right,
            verdict,
        )?;
    }
    Ok(())
}

fn legend(
    root: &Surface<'_>,
    choices: &[Choice],
) -> Result<(), DrawingAreaErrorKind<std::io::Error>> {
    let mut looks = vec![NEEDED, BOUND];
    if choices.iter().any(|c| c.to_buy.is_some()) {
        looks.push(BUY);
    }
    let (mut x, y) = (20, 64);
    for look in looks {
        bar(root, (x, y - 7), (x + 30, y + 7), look)?;
        text(root, (x + 38, y), 13.0, INK, HPos::Left, look.meaning)?;
        x += 38 + font::width(look.meaning, 13.0, false).ceil() as i32 + 26;
    }
    if choices.iter().any(|c| c.on_hand.is_some()) {
        dashed(root, x + 8, y - 10, y + 10)?;
        text(root, (x + 20, y), 13.0, INK, HPos::Left, "on hand")?;
    }
    Ok(())
}

fn bar(
    root: &Surface<'_>,
    from: (i32, i32),
    to: (i32, i32),
    look: Look,
) -> Result<(), DrawingAreaErrorKind<std::io::Error>> {
    root.draw(&Rectangle::new([from, to], look.ground.filled()))?;
    let high = to.1 - from.1;
    let stripe = INK.mix(0.55).stroke_width(1);
    let mut x = from.0 - high;
    while x < to.0 {
        // Each stripe runs at 45 degrees and is cut at the bar's ends.
        let (first, last) = ((from.0 - x).max(0), (to.0 - x).min(high));
        if first < last {
            if look.rising {
                let ends = [(x + first, to.1 - first), (x + last, to.1 - last)];
                root.draw(&PathElement::new(ends.to_vec(), stripe))?;
            }
            if look.falling {
                let ends = [(x + first, from.1 + first), (x + last, from.1 + last)];
                root.draw(&PathElement::new(ends.to_vec(), stripe))?;
            }
        }
        x += 7;
    }
    root.draw(&Rectangle::new([from, to], INK.stroke_width(1)))
}

fn dashed(
    root: &Surface<'_>,
    x: i32,
    from: i32,
    to: i32,
) -> Result<(), DrawingAreaErrorKind<std::io::Error>> {
    let mut y = from;
    while y < to {
        let ends = vec![(x, y), (x, (y + 6).min(to))];
        root.draw(&PathElement::new(ends, INK.stroke_width(3)))?;
        y += 9;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn choices() -> Vec<Choice> {
        let cm = Length::from_cm;
        let choice = |label: &str, needed, bound, to_buy, on_hand, verdict| Choice {
            label: label.into(),
            needed: cm(needed),
            bound: cm(bound),
            to_buy,
            on_hand,
            verdict,
        };
        vec![
            choice("lace & border, 140 cm", 127, 127, Some(cm(130)), None, None),
            choice("soft, 140 cm wide", 201, 168, Some(cm(210)), None, None),
            choice(
                "soft, 1.5 m on hand",
                201,
                168,
                None,
                Some(cm(150)),
                Some(Verdict::NotEnough),
            ),
            choice(
                "crisp, 1.5 m on hand",
                127,
                127,
                None,
                Some(cm(150)),
                Some(Verdict::Enough),
            ),
        ]
    }

    #[test]
    fn every_length_is_written_and_the_bytes_repeat() {
        let svg = comparison_chart("Lace or soft?", Units::Centimetres, &choices()).unwrap();
        if let Some(folder) = std::env::var_os("LENGTHWISE_LOOK") {
            std::fs::write(std::path::Path::new(&folder).join("chart.svg"), &svg).unwrap();
        }
        for c in choices() {
            for (length, _, _) in bars(&c, Units::Centimetres) {
                assert!(svg.contains(&Units::Centimetres.write(length)), "{length}");
            }
        }
        assert!(svg.contains("not enough, proved") && svg.contains("&amp; border"));
        assert!(svg.contains("length needed") && svg.contains("on hand"));
        let again = comparison_chart("Lace or soft?", Units::Centimetres, &choices()).unwrap();
        assert_eq!(svg, again);
    }

    #[test]
    fn bars_are_in_proportion() {
        // Geometry: twice the length is twice the bar.
        let choice = |cm| Choice {
            label: String::new(),
            needed: Length::from_cm(cm),
            bound: Length::from_cm(cm),
            to_buy: None,
            on_hand: None,
            verdict: None,
        };
        let svg = comparison_chart("", Units::Centimetres, &[choice(100), choice(200)]).unwrap();
        let widths: Vec<i32> = svg
            .split("<rect ")
            .filter(|r| r.contains("fill=\"#56B4E9\""))
            .filter_map(|r| r.split("width=\"").nth(1)?.split('"').next()?.parse().ok())
            .collect();
        // The first is the legend's.
        assert_eq!(widths.len(), 3, "{widths:?}");
        assert!((widths[2] - 2 * widths[1]).abs() <= 2, "{widths:?}");
    }

    #[test]
    fn no_choices_is_an_error() {
        assert_eq!(
            comparison_chart("x", Units::Inches, &[]),
            Err(ChartError::NoChoices)
        );
    }
}
