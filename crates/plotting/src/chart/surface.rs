//! Marks on the chart's surface: words, bars that read in grey, dashed lines.

use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::Color;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use crate::font;

pub(super) const INK: RGBColor = RGBColor(0x1c, 0x1b, 0x19);
pub(super) const QUIET: RGBColor = RGBColor(0x5c, 0x58, 0x51);
pub(super) const GRID: RGBColor = RGBColor(0xdd, 0xd8, 0xcc);

pub(super) type Surface<'a> = DrawingArea<SVGBackend<'a>, Shift>;
pub(super) type Failure = DrawingAreaErrorKind<std::io::Error>;

/// How a bar is filled: ground colour, and stripes that rise, cross, or none.
#[derive(Clone, Copy)]
pub(super) struct Look {
    ground: RGBColor,
    rising: bool,
    falling: bool,
    pub(super) meaning: &'static str,
}

pub(super) const NEEDED: Look = Look {
    ground: RGBColor(0x56, 0xb4, 0xe9),
    rising: false,
    falling: false,
    meaning: "length needed",
};
pub(super) const BOUND: Look = Look {
    ground: RGBColor(0xfb, 0xf8, 0xf0),
    rising: true,
    falling: false,
    meaning: "bound (proved): no marker is shorter",
};
pub(super) const BUY: Look = Look {
    ground: RGBColor(0xf5, 0xcf, 0x7a),
    rising: true,
    falling: true,
    meaning: "to buy",
};

/// Size and weight of letters, px.
#[derive(Clone, Copy)]
pub(super) struct Letters {
    pub(super) size: f64,
    pub(super) bold: bool,
    pub(super) colour: RGBColor,
}

impl Letters {
    pub(super) const fn new(size: f64, colour: RGBColor) -> Self {
        Letters {
            size,
            bold: false,
            colour,
        }
    }

    pub(super) const fn bold(self) -> Self {
        Letters { bold: true, ..self }
    }

    /// Width of `words`, px, rounded up.
    pub(super) fn width(self, words: &str) -> i32 {
        font::width(words, self.size, self.bold).ceil() as i32
    }

    fn style(self) -> TextStyle<'static> {
        // The backend writes sizes divided by 1.24.
        let face = (font::FAMILY, self.size * 1.24).into_font();
        let face = if self.bold {
            face.style(FontStyle::Bold)
        } else {
            face
        };
        TextStyle {
            color: self.colour.to_backend_color(),
            ..TextStyle::from(face)
        }
    }
}

/// Words with the middle of their left or right end at `at`.
pub(super) fn text(
    root: &Surface<'_>,
    at: (i32, i32),
    letters: Letters,
    side: HPos,
    words: &str,
) -> Result<(), Failure> {
    let style = letters.style().pos(Pos::new(side, VPos::Center));
    root.draw(&Text::new(words.to_owned(), at, style))
}

/// Words on a white ground, which grid lines stop at; the middle of their left end at `at`.
pub(super) fn text_on_paper(
    root: &Surface<'_>,
    at: (i32, i32),
    letters: Letters,
    words: &str,
) -> Result<(), Failure> {
    let half = letters.size as i32 / 2;
    let paper = [
        (at.0 - 2, at.1 - half),
        (at.0 + letters.width(words), at.1 + half),
    ];
    root.draw(&Rectangle::new(paper, WHITE.filled()))?;
    text(root, at, letters, HPos::Left, words)
}

pub(super) fn bar(
    root: &Surface<'_>,
    from: (i32, i32),
    to: (i32, i32),
    look: Look,
) -> Result<(), Failure> {
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

/// An upright dashed line of `weight`.
pub(super) fn dashed(
    root: &Surface<'_>,
    x: i32,
    (from, to): (i32, i32),
    weight: u32,
) -> Result<(), Failure> {
    let mut y = from;
    while y < to {
        let ends = vec![(x, y), (x, (y + 6).min(to))];
        root.draw(&PathElement::new(ends, INK.stroke_width(weight)))?;
        y += 9;
    }
    Ok(())
}
