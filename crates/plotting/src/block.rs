//! A block of words in columns: headings, facts, swatches, a numbered list.
//!
//! Rows are measured first and then poured into columns, so that the same rows make a narrow block
//! beside a cloth or a broad one below it, and so that it is known before drawing whether they fit.

use crate::font;
use crate::paper::{PagePath, Rect, Spot};
use crate::scene::{Anchor, Fill, Ink, Scene, Text};
use crate::style::{FAINT, QUIET};
use crate::symbols::{BADGE, badge, badge_size, badge_text};

/// Width of a column on paper, mm: so much that two metres of cloth at 1:10 stand beside one on A4.
pub(crate) const COLUMN: f64 = 58.0;
/// Paper between columns, mm.
pub(crate) const GUTTER: f64 = 6.0;
/// Swatches: width and height, mm.
pub(crate) const SWATCH: (f64, f64) = (9.0, 3.6);

/// Draws a swatch or a sign with its upper left corner at a spot.
type Sign = Box<dyn Fn(&mut Scene, Spot)>;

/// One row of a block.
pub(crate) enum Row {
    /// Lines of text of one size.
    Words {
        lines: Vec<String>,
        size: f64,
        bold: bool,
        quiet: bool,
    },
    /// What, and how much: on one line where both fit.
    Fact { what: String, lines: Vec<String> },
    /// A swatch or sign and what it means.
    Key { sign: Sign, lines: Vec<String> },
    /// A number and what it stands for.
    Item { number: usize, lines: Vec<String> },
    /// A thin line across.
    Rule,
    /// Empty paper.
    Gap(f64),
}

const FACT: f64 = 2.6;
const SMALL: f64 = 2.3;

impl Row {
    pub(crate) fn words(text: &str, size: f64, bold: bool) -> Row {
        Row::Words {
            lines: font::wrap(text, size, bold, COLUMN),
            size,
            bold,
            quiet: false,
        }
    }

    pub(crate) fn note(text: &str) -> Row {
        let lines = font::wrap(text, SMALL, false, COLUMN);
        Row::Words {
            lines,
            size: SMALL,
            bold: false,
            quiet: true,
        }
    }

    pub(crate) fn fact(what: &str, value: &str) -> Row {
        let room = COLUMN - font::width(what, FACT, false) - 3.0;
        let lines = if font::width(value, FACT, true) <= room {
            vec![value.to_owned()]
        } else {
            font::wrap(value, FACT, true, COLUMN - 6.0)
        };
        Row::Fact {
            what: what.to_owned(),
            lines,
        }
    }

    pub(crate) fn key(sign: Sign, text: &str) -> Row {
        let lines = font::wrap(text, SMALL, false, COLUMN - SWATCH.0 - 2.5);
        Row::Key { sign, lines }
    }

    pub(crate) fn item(number: usize, text: &str) -> Row {
        Row::Item {
            number,
            lines: font::wrap(text, SMALL, false, COLUMN - 8.0),
        }
    }

    fn height(&self) -> f64 {
        match self {
            Row::Words { lines, size, .. } => lines.len() as f64 * size * 1.3,
            Row::Fact { what, lines } => {
                let extra = usize::from(!fits_one_line(what, lines));
                (lines.len() + extra) as f64 * FACT * 1.45
            }
            Row::Key { lines, .. } => (lines.len() as f64 * SMALL * 1.35).max(SWATCH.1) + 0.9,
            Row::Item { lines, .. } => lines.len() as f64 * SMALL * 1.35 + 0.6,
            Row::Rule => 2.8,
            Row::Gap(height) => *height,
        }
    }

    fn draw(&self, scene: &mut Scene, at: Spot) {
        let mut y = at.y;
        match self {
            Row::Words {
                lines,
                size,
                bold,
                quiet,
            } => {
                for line in lines {
                    let spot = Spot::new(at.x, y + size * 1.0);
                    let mut text = Text::new(spot, *size, Anchor::Start, line.clone());
                    text.bold = *bold;
                    scene.text(if *quiet { text.ink(QUIET) } else { text });
                    y += size * 1.3;
                }
            }
            Row::Fact { what, lines } => {
                let base = FACT * 1.05;
                let text = Text::new(Spot::new(at.x, y + base), FACT, Anchor::Start, what.clone());
                scene.text(text.ink(QUIET));
                if !fits_one_line(what, lines) {
                    y += FACT * 1.45;
                }
                for line in lines {
                    let spot = Spot::new(at.x + COLUMN, y + base);
                    scene.text(Text::new(spot, FACT, Anchor::End, line.clone()).bold());
                    y += FACT * 1.45;
                }
            }
            Row::Key { sign, lines } => {
                sign(scene, at);
                let first = SWATCH.1 / 2.0 + SMALL * 0.36;
                for (k, line) in lines.iter().enumerate() {
                    let down = first + SMALL * 1.35 * k as f64;
                    let spot = at.plus(SWATCH.0 + 2.5, down);
                    scene.text(Text::new(spot, SMALL, Anchor::Start, line.clone()));
                }
            }
            Row::Item { number, lines } => {
                let base = SMALL * 1.0;
                let (w, h) = badge_size(&number.to_string());
                let middle = Spot::new(at.x + 3.4, y + base - SMALL * 0.365);
                let place = Rect::new(middle.x - w / 2.0, middle.y - h / 2.0, w, h);
                scene.stroke(vec![badge(place)], BADGE, None, false);
                scene.text(badge_text(place, *number));
                for line in lines {
                    let spot = Spot::new(at.x + 8.0, y + base);
                    scene.text(Text::new(spot, SMALL, Anchor::Start, line.clone()));
                    y += SMALL * 1.35;
                }
            }
            Row::Rule => {
                let y = y + 1.2;
                scene.line(
                    Spot::new(at.x, y),
                    Spot::new(at.x + COLUMN, y),
                    Ink::solid(FAINT, 0.25),
                );
            }
            Row::Gap(_) => {}
        }
    }
}

fn fits_one_line(what: &str, lines: &[String]) -> bool {
    lines.len() == 1
        && lines.iter().all(|l| {
            font::width(what, FACT, false) + font::width(l, FACT, true) + 3.0 <= COLUMN + 1e-9
        })
}

/// Rows in columns no higher than `height`: for each column the rows in it.
fn pour(rows: &[Row], height: f64) -> Vec<std::ops::Range<usize>> {
    let mut columns = Vec::new();
    let (mut first, mut used) = (0, 0.0);
    for (k, row) in rows.iter().enumerate() {
        let more = row.height();
        if used + more > height && k > first {
            columns.push(first..k);
            (first, used) = (k, 0.0);
        }
        used += more;
    }
    if first < rows.len() {
        columns.push(first..rows.len());
    }
    columns
}

/// How many columns the rows take at this height; `None` if a single row is higher.
pub(crate) fn columns_at(rows: &[Row], height: f64) -> Option<usize> {
    rows.iter()
        .all(|r| r.height() <= height)
        .then(|| pour(rows, height).len())
}

/// The least height, by half millimetres, at which the rows take no more than `columns`.
pub(crate) fn height_in(rows: &[Row], columns: usize) -> f64 {
    let total: f64 = rows.iter().map(Row::height).sum();
    let mut height = (total / columns.max(1) as f64).ceil();
    while height < total && columns_at(rows, height).is_none_or(|c| c > columns.max(1)) {
        height += 0.5;
    }
    height.min(total)
}

/// Draws the rows in columns no higher than `height` from `corner` to the right.
pub(crate) fn draw(scene: &mut Scene, rows: &[Row], corner: Spot, height: f64) {
    for (k, column) in pour(rows, height).into_iter().enumerate() {
        let mut at = corner.plus(k as f64 * (COLUMN + GUTTER), 0.0);
        for row in &rows[column] {
            row.draw(scene, at);
            at.y += row.height();
        }
    }
}

/// Width of so many columns.
pub(crate) fn width_of(columns: usize) -> f64 {
    columns as f64 * (COLUMN + GUTTER) - GUTTER
}

/// A sign that is a filled field.
pub(crate) fn field(fill: Fill, ink: Ink) -> Sign {
    Box::new(move |scene, at| {
        let rect = Rect::new(at.x, at.y, SWATCH.0, SWATCH.1);
        scene.fill(vec![rect.path()], Fill::Plain(crate::style::CLOTH), None);
        scene.fill(vec![rect.path()], fill.clone(), None);
        scene.stroke(vec![rect.path()], ink, None, false);
    })
}

/// A sign made of lines in a field of [`SWATCH`] size.
pub(crate) fn lines(make: impl Fn(Spot) -> Vec<(Vec<PagePath>, Ink, Fill)> + 'static) -> Sign {
    Box::new(move |scene, at| {
        for (paths, ink, fill) in make(at) {
            scene.fill(paths.clone(), fill, None);
            scene.stroke(paths, ink, None, false);
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(count: usize) -> Vec<Row> {
        (1..=count)
            .map(|n| Row::item(n, "front panel, Ilka"))
            .collect()
    }

    #[test]
    fn rows_pour_into_as_many_columns_as_they_need() {
        let rows = rows(30);
        let one = rows[0].height();
        assert_eq!(columns_at(&rows, 10.0 * one + 0.01), Some(3));
        assert_eq!(columns_at(&rows, one / 2.0), None);
        let height = height_in(&rows, 3);
        assert!(columns_at(&rows, height).is_some_and(|c| c <= 3));
        assert!(height <= 10.0 * one + 1.0);
    }

    #[test]
    fn long_facts_wrap_inside_the_column() {
        let mut scene = Scene::new(100.0, 60.0);
        let rows = vec![
            Row::fact(
                "fabric",
                "linden, a very long name for a fabric that no line of paper holds",
            ),
            Row::fact("width", "140.0 cm"),
        ];
        draw(&mut scene, &rows, Spot::new(5.0, 5.0), 50.0);
        assert!(scene.overlaps().is_empty(), "{:?}", scene.overlaps());
        assert!(
            scene
                .texts()
                .all(|t| t.bounds().right() <= 5.0 + COLUMN + 0.1)
        );
    }
}
