//! [`comparison_chart`]: length needed, proved bound and length to buy, for each cloth of each choice.
//!
//! A bar for each of the three, told apart by fill and hatch as well as by their order, each with its
//! value written behind it, so that the chart reads in grey and without its axis. Each length on hand is
//! a dashed line across its bars, with its length below them; where washing takes some of it, a
//! thinner one shows what is left to lay on. The axis starts at zero, so lengths compare as lengths,
//! and ends beyond every mark. A choice of several cloths has its label above them.
//! Axis and surface are those of crate `plotters`; words are placed with our own widths, because the
//! SVG backend has no font to measure with.

mod surface;

use nesting::Verdict;
use pieces::{Length, Units};
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

use crate::font;
use crate::ruler::unit_name;
use crate::sheet::{Choice, Sheet};
use crate::words::{Written, is_inches};
use surface::{
    BOUND, BUY, Failure, GRID, INK, Letters, Look, NEEDED, QUIET, Surface, bar, dashed, text,
    text_on_paper,
};

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
const WORDS: i32 = 250;
/// Room for the longest value behind a bar, px.
const VALUES: i32 = 160;
/// Paper above the bars: title and legend, px.
const HEAD: i32 = 50;
/// Paper below them: axis, px.
const FOOT: i32 = 52;
/// Height of a bar and of the space between choices, px.
const BAR: i32 = 17;
const SPACE: i32 = 26;
/// Between two lines of words, px.
const LINE: i32 = 18;
/// Between two cloths of one choice, px.
const BETWEEN: i32 = 12;

const LABEL: Letters = Letters::new(14.0, INK).bold();
const NAME: Letters = Letters::new(13.0, INK);
const VALUE: Letters = Letters::new(13.0, INK);
const ASIDE: Letters = Letters::new(12.0, QUIET);
const AXIS: Letters = Letters::new(13.0, QUIET);

/// The choices side by side as an SVG chart, in the person's unit. A choice without cloths is named as
/// one that cannot be cut.
///
/// # Errors
/// [`ChartError::NoChoices`] for an empty list; [`ChartError::Surface`] if drawing fails.
pub fn comparison_chart(
    title: &str,
    units: Units,
    choices: &[Choice<'_>],
) -> Result<String, ChartError> {
    if choices.is_empty() {
        return Err(ChartError::NoChoices);
    }
    let mut out = String::new();
    draw(&mut out, title, units, choices).map_err(|e| ChartError::Surface(e.to_string()))?;
    Ok(out)
}

/// Each bar with its length and what is written behind it.
fn bars(sheet: &Sheet<'_>, units: Units) -> Vec<(Length, Look, String)> {
    let written = Written::of(sheet, units);
    let mut bars = vec![
        (sheet.needed, NEEDED, written.up(sheet.needed)),
        (sheet.bound, BOUND, written.down(sheet.bound)),
    ];
    bars.extend(sheet.to_buy.map(|buy| (buy, BUY, units.write_bought(buy))));
    bars
}

/// Every length on hand, each once, the longest first.
fn on_hand(sheet: &Sheet<'_>) -> Vec<Length> {
    let offers = sheet.fabric.on_hand.iter().copied();
    let mut all: Vec<Length> = offers.chain(sheet.on_hand).collect();
    all.sort_unstable_by(|a, b| b.cmp(a));
    all.dedup();
    all
}

/// What washing leaves of a cloth on hand, where it takes some.
fn washed(sheet: &Sheet<'_>, on_hand: Length) -> Option<Length> {
    let left = sheet.fabric.after_washing(on_hand);
    (left != on_hand).then_some(left)
}

/// Words and bars of one cloth, and how high they are.
struct Group<'s, 'a> {
    sheet: &'s Sheet<'a>,
    words: Vec<(String, Letters)>,
    height: i32,
}

/// One choice: its heading, if it has several cloths, and its groups.
struct Block<'s, 'a> {
    heading: Vec<String>,
    groups: Vec<Group<'s, 'a>>,
    height: i32,
}

fn block<'s, 'a>(choice: &'s Choice<'a>, units: Units) -> Block<'s, 'a> {
    let room = f64::from(WORDS - 36);
    let lines = |words: &str, letters: Letters, room: f64| -> Vec<(String, Letters)> {
        font::wrap(words, letters.size, letters.bold, room)
            .into_iter()
            .map(|line| (line, letters))
            .collect()
    };
    let alone = choice.cloths.len() == 1;
    let groups: Vec<Group<'s, 'a>> = choice
        .cloths
        .iter()
        .map(|sheet| {
            let mut words = if alone {
                lines(&choice.label, LABEL, room)
            } else {
                lines(&sheet.fabric.name, NAME, room)
            };
            words.extend(verdict(sheet, units).map(|v| (v, ASIDE)));
            let rows = bars(sheet, units).len() + on_hand(sheet).len();
            Group {
                sheet,
                height: (rows as i32 * BAR).max(words.len() as i32 * LINE),
                words,
            }
        })
        .collect();
    let heading = if alone {
        Vec::new()
    } else {
        let label = if groups.is_empty() {
            format!("{}: cannot be cut", choice.label)
        } else {
            choice.label.clone()
        };
        font::wrap(&label, LABEL.size, LABEL.bold, f64::from(WIDTH - 40))
    };
    let gaps = BETWEEN * groups.len().saturating_sub(1) as i32;
    let height = heading.len() as i32 * LINE + groups.iter().map(|g| g.height).sum::<i32>() + gaps;
    Block {
        heading,
        groups,
        height: height + SPACE,
    }
}

/// The verdict, and on which length where there are several.
fn verdict(sheet: &Sheet<'_>, units: Units) -> Option<String> {
    let words = match sheet.verdict? {
        Verdict::Enough => "enough",
        Verdict::NotEnough => "not enough, proved",
        Verdict::Undecided => "undecided",
    };
    let asked = sheet.on_hand.filter(|_| on_hand(sheet).len() > 1);
    Some(asked.map_or(words.to_owned(), |length| {
        format!("{}: {words}", units.write_down(length))
    }))
}

fn draw(
    out: &mut String,
    title: &str,
    units: Units,
    choices: &[Choice<'_>],
) -> Result<(), Failure> {
    let blocks: Vec<Block<'_, '_>> = choices.iter().map(|c| block(c, units)).collect();
    let keys = keys(choices);
    let head = HEAD + 28 * keys.last().map_or(0, |k| k.row + 1) + 8;
    let height = head + blocks.iter().map(|b| b.height).sum::<i32>() + FOOT;
    let (w, h) = (WIDTH.unsigned_abs(), height.unsigned_abs());
    let root = SVGBackend::with_string(out, (w, h)).into_drawing_area();
    root.fill(&WHITE)?;

    let value = |length: Length| in_unit(units, length);
    let longest = choices
        .iter()
        .flat_map(|c| &c.cloths)
        .flat_map(|s| bars(s, units).into_iter().map(|b| b.0).chain(on_hand(s)))
        .max()
        .unwrap_or(Length::ZERO);
    let steps = axis_steps(units, value(longest));
    let most = steps.last().copied().unwrap_or(1.0);
    let decimals = usize::from(steps.iter().any(|s| s.fract() != 0.0));
    let chart = ChartBuilder::on(&root)
        .margin_top(head)
        .margin_right(VALUES)
        .margin_left(WORDS)
        .x_label_area_size(FOOT)
        .build_cartesian_2d(0.0..most, 0.0..1.0)?;
    let at = |value: f64| chart.plotting_area().map_coordinate(&(value, 0.0)).0;
    let x = |length: Length| at(value(length));
    let foot = height - FOOT;
    for &step in &steps {
        let x = at(step);
        root.draw(&PathElement::new(vec![(x, head), (x, foot + 4)], GRID))?;
        let written = format!("{step:.decimals$}");
        text(&root, (x, foot + 14), AXIS, HPos::Center, &written)?;
    }

    let left = x(Length::ZERO);
    let unit = format!("length, {}", unit_name(units));
    text(&root, (left, height - 14), AXIS, HPos::Left, &unit)?;
    let letters = Letters::new(22.0, INK).bold();
    let heading = font::shorten(title, letters.size, letters.bold, f64::from(WIDTH - 40));
    text(&root, (20, 30), letters, HPos::Left, &heading)?;
    for key in &keys {
        key.draw(&root)?;
    }

    let mut top = head;
    for block in &blocks {
        let mut y = top + SPACE / 2;
        for line in &block.heading {
            text_on_paper(&root, (20, y + LINE / 2 - 3), LABEL, line)?;
            y += LINE;
        }
        for group in &block.groups {
            group_words(&root, group, y)?;
            group_bars(&root, group, y, units, &x)?;
            y += group.height + BETWEEN;
        }
        top += block.height;
        root.draw(&PathElement::new(vec![(20, top), (WIDTH - 20, top)], GRID))?;
    }
    root.present()
}

/// Where the axis is marked: from zero to the first mark that is no less than `longest`.
fn axis_steps(units: Units, longest: f64) -> Vec<f64> {
    let natural: &[f64] = if is_inches(units) {
        &[1.0, 2.0, 6.0, 12.0, 18.0, 36.0, 72.0]
    } else {
        &[0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0]
    };
    let mut larger = natural.last().copied().unwrap_or(1.0);
    let step = natural.iter().copied().find(|s| longest / s <= 8.0);
    let step = step.unwrap_or_else(|| {
        while longest / larger > 8.0 {
            larger *= 2.0;
        }
        larger
    });
    let count = (longest / step).ceil().max(1.0) as usize;
    (0..=count).map(|k| k as f64 * step).collect()
}

fn in_unit(units: Units, length: Length) -> f64 {
    match units {
        Units::Millimetres => length.mm(),
        Units::Metres => length.mm() / 1_000.0,
        _ if is_inches(units) => length.mm() / 25.4,
        _ => length.mm() / 10.0,
    }
}

/// Words left of the bars, their middle level with that of the group.
fn group_words(root: &Surface<'_>, group: &Group<'_, '_>, top: i32) -> Result<(), Failure> {
    let mut y = top + (group.height - group.words.len() as i32 * LINE) / 2 + LINE / 2;
    for (line, letters) in &group.words {
        text(root, (WORDS - 16, y), *letters, HPos::Right, line)?;
        y += LINE;
    }
    Ok(())
}

fn group_bars(
    root: &Surface<'_>,
    group: &Group<'_, '_>,
    top: i32,
    units: Units,
    x: &dyn Fn(Length) -> i32,
) -> Result<(), Failure> {
    let sheet = group.sheet;
    let left = x(Length::ZERO);
    let mut y = top;
    // Lines of the cloth on hand, the left one first.
    let mut lines: Vec<i32> = on_hand(sheet)
        .into_iter()
        .flat_map(|length| [Some(length), washed(sheet, length)])
        .flatten()
        .map(x)
        .collect();
    lines.sort_unstable();
    for (length, look, written) in bars(sheet, units) {
        bar(root, (left, y), (x(length), y + BAR - 3), look)?;
        let wide = VALUE.width(&written);
        let mut from = x(length) + 8;
        // The value steps aside for the lines.
        for &line in &lines {
            if (from - 4..from + wide + 4).contains(&line) {
                from = line + 8;
            }
        }
        text_on_paper(root, (from, y + (BAR - 3) / 2), VALUE, &written)?;
        y += BAR;
    }
    // Each has its words in a row of its own, where the shorter ones are left of them.
    let lengths = Written::of(sheet, units);
    for length in on_hand(sheet) {
        let mut written = format!("on hand {}", lengths.down(length));
        let left = washed(sheet, length);
        if let Some(left) = left {
            written.push_str(&format!(", washed {}", lengths.down(left)));
            dashed(root, x(left), (top - 5, y + BAR - 3), 1)?;
        }
        let line = x(length);
        dashed(root, line, (top - 5, y + BAR - 3), 3)?;
        let (wide, right) = (VALUE.width(&written), WIDTH - 20);
        let least = left.map_or(line, x);
        let at = if line + 8 + wide <= right {
            line + 8
        } else {
            least - 8 - wide
        };
        text_on_paper(root, (at, y + (BAR - 3) / 2), VALUE, &written)?;
        y += BAR;
    }
    Ok(())
}

/// A sign of the legend.
#[derive(Clone, Copy)]
enum Sign {
    Bar(Look),
    Line(u32),
}

/// One entry of the legend and where it stands.
struct Key {
    sign: Sign,
    words: &'static str,
    x: i32,
    row: i32,
}

/// The legend, in as many rows as it needs.
fn keys(choices: &[Choice<'_>]) -> Vec<Key> {
    let sheets = || choices.iter().flat_map(|c| &c.cloths);
    let mut entries = vec![
        (Sign::Bar(NEEDED), NEEDED.meaning),
        (Sign::Bar(BOUND), BOUND.meaning),
    ];
    if sheets().any(|s| s.to_buy.is_some()) {
        entries.push((Sign::Bar(BUY), BUY.meaning));
    }
    let shrinks = sheets().any(|s| on_hand(s).iter().any(|&l| washed(s, l).is_some()));
    if sheets().any(|s| !on_hand(s).is_empty()) {
        let words = if shrinks {
            "on hand, before washing"
        } else {
            "on hand"
        };
        entries.push((Sign::Line(3), words));
    }
    if shrinks {
        entries.push((Sign::Line(1), "what washing leaves of it to lay on"));
    }
    let (mut x, mut row) = (20, 0);
    let mut keys = Vec::new();
    for (sign, words) in entries {
        let before = match sign {
            Sign::Bar(_) => 38,
            Sign::Line(_) => 20,
        };
        let wide = before + VALUE.width(words);
        if x > 20 && x + wide > WIDTH - 20 {
            (x, row) = (20, row + 1);
        }
        keys.push(Key {
            sign,
            words,
            x,
            row,
        });
        x += wide + 24;
    }
    keys
}

impl Key {
    fn draw(&self, root: &Surface<'_>) -> Result<(), Failure> {
        let (x, y) = (self.x, HEAD + 14 + 28 * self.row);
        let before = match self.sign {
            Sign::Bar(look) => {
                bar(root, (x, y - 7), (x + 30, y + 7), look)?;
                38
            }
            Sign::Line(weight) => {
                dashed(root, x + 8, (y - 10, y + 10), weight)?;
                20
            }
        };
        text(root, (x + before, y), VALUE, HPos::Left, self.words)
    }
}

#[cfg(test)]
#[path = "chart_tests.rs"]
mod tests;
