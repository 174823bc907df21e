//! What lies around a band: rulers, where the cloth ends, breaks, words in the lanes.
//!
//! Above the cloth a ruler and a lane (selvedge words, numbers of small pieces), below it a ruler and a
//! lane for the ends, left of it a ruler across. Numbers of the rulers come first: lines of the ends
//! stop short of them.

use pieces::Length;

use crate::bands::Window;
use crate::font;
use crate::paper::{PagePath, Rect, Spot, Stretch};
use crate::ruler::{DEPTH, Ruler, Side, place_along};
use crate::scene::{Anchor, Fill, Ink, Scene, Slope, Text};
use crate::style::{DARK, PAGE, QUIET};
use crate::words::Written;

/// Paper left of the window: ruler across, words of a break.
pub(crate) const BEFORE: f64 = 12.5;
/// Paper right of the window: words of a break.
const AFTER: f64 = 5.0;
/// Lane above the upper ruler: two rows of numbers.
pub(crate) const LANE_ABOVE: f64 = 6.2;
/// Lane below the lower ruler: two rows of words or of numbers.
const LANE_BELOW: f64 = 6.4;
/// Words in the lanes.
const WORDS: f64 = 2.1;
/// How far the line of an end reaches beyond the cloth where a number of the ruler is in its way.
const SHORT_END: f64 = 1.6;

/// Paper around a window, both ways.
pub(crate) const AROUND: (f64, f64) = (BEFORE + AFTER, LANE_ABOVE + LANE_BELOW + 2.0 * DEPTH);

const END_NEEDED: Ink = Ink::solid(DARK, 0.5);
const END_THERE: Ink = Ink::dashed(DARK, 0.4, "2.4 0.9");
const BREAK: Ink = Ink::dashed(QUIET, 0.2, "0.4 0.8");
const BROKEN_OFF: Ink = Ink::solid(DARK, 0.25);

impl Window<'_, '_> {
    /// Lines where the length needed and the cloth end, and their words in the lane below.
    pub(crate) fn ends(&mut self, scene: &mut Scene) {
        let sheet = self.view.sheet;
        let written = Written::of(sheet, sheet.units);
        let mut ends = vec![(
            sheet.needed,
            format!("length needed {}", written.up(sheet.needed)),
            END_NEEDED,
        )];
        if let Some(there) = self.view.there {
            let what = if sheet.on_hand.is_some() {
                "cloth ends"
            } else {
                "bought cloth ends"
            };
            if there == sheet.needed {
                ends[0].1.push_str(", cloth ends");
            } else {
                ends.push((there, format!("{what} {}", written.down(there)), END_THERE));
            }
        }
        for (at, words, ink) in ends {
            let last = self.band.to == self.view.drawn.um();
            if at.um() <= self.band.from || at.um() > self.band.to && !last {
                continue;
            }
            let x = self.frame.spot(0.0, at.um() as f64).x;
            if at > self.view.drawn {
                // Its line lies behind the break.
                self.word_below(scene, self.rect.right(), &words);
                continue;
            }
            // Down to its words, unless a number of the ruler stands there.
            let below = Rect::new(x - 0.5, self.rect.bottom() + 2.0, 1.0, DEPTH - 2.6);
            let free = self.ruler_numbers.iter().all(|n| !n.overlaps(below));
            let top = self.rect.y - SHORT_END;
            let foot = self.rect.bottom() + if free { DEPTH - 0.6 } else { SHORT_END };
            scene.stroke(
                vec![PagePath::line(Spot::new(x, top), Spot::new(x, foot))],
                ink,
                None,
                true,
            );
            self.kept.push(Rect::new(x - 0.5, top, 1.0, foot - top));
            self.word_below(scene, x, &words);
        }
    }

    /// A word in the lane below, as near to `x` as the page and the other words let it.
    fn word_below(&mut self, scene: &mut Scene, x: f64, words: &str) {
        let most = self.rect.right() + AFTER;
        let least = self.rect.x - BEFORE;
        let width = font::width(words, WORDS, false);
        for row in 0..2 {
            let y = self.rect.bottom() + DEPTH + WORDS * 0.98 + f64::from(row) * 3.0 + 0.1;
            for start in [x - width / 2.0, x - width, x] {
                let start = start.min(most - width).max(least);
                let text = Text::new(Spot::new(start, y), WORDS, Anchor::Start, words);
                let bounds = text.bounds();
                if self
                    .lane_taken
                    .iter()
                    .all(|r| !r.overlaps(bounds.inflated(0.3)))
                {
                    self.lane_taken.push(bounds);
                    scene.text(text);
                    return;
                }
            }
        }
    }

    /// Words of the selvedge in the lane above, wherever numbers of pieces leave room.
    pub(crate) fn selvedge_words(&mut self, scene: &mut Scene) {
        let fabric = &self.view.sheet.fabric;
        let write = |l| self.view.sheet.units.write(l);
        let (left, right) = fabric.usable_width();
        let mut choices = Vec::new();
        if fabric.selvedge.is_positive() {
            let edge = format!("selvedge {}", write(fabric.selvedge));
            choices.push(format!(
                "{edge} (hatched), usable width {}",
                self.view.sheet.units.write_down(right - left)
            ));
            choices.push(edge);
            choices.push("selvedge".to_owned());
        } else {
            choices.push("edge of the cloth, no selvedge kept off".to_owned());
            choices.push("no selvedge".to_owned());
        }
        let places = choices.iter().flat_map(|words| {
            let spare = self.rect.w + AFTER - font::width(words, WORDS, false);
            (0..2).flat_map(move |row| {
                (0..=spare.floor() as i64).map(move |x| (words, x as f64, f64::from(row) * 3.0))
            })
        });
        let text = places
            .map(|(words, x, up)| {
                let at = Spot::new(self.rect.x + x, self.rect.y - DEPTH - 0.9 - up);
                Text::new(at, WORDS, Anchor::Start, words.clone()).ink(QUIET)
            })
            .find(|text| {
                let around = text.bounds().inflated(0.3);
                self.lane_taken.iter().all(|r| !r.overlaps(around))
            });
        if let Some(text) = text {
            self.lane_taken.push(text.bounds());
            scene.text(text);
        }
    }

    /// Broken ends and where the cloth goes on.
    pub(crate) fn breaks(&mut self, scene: &mut Scene, goes_on: bool) {
        let middle = self.rect.centre().y;
        let units = self.view.sheet.units;
        let rect = self.rect;
        let mut broken = |x: f64, word_x: f64, words: String| {
            let (a, b) = (
                Spot::new(x, rect.y - 1.0),
                Spot::new(x, rect.bottom() + 1.0),
            );
            scene.line(a, b, BREAK);
            let text = Text::new(Spot::new(word_x, middle), WORDS, Anchor::Middle, words);
            let text = text.slope(Slope::Upright).ink(QUIET);
            self.keep_clear.push(text.bounds());
            scene.text(text);
        };
        if goes_on {
            let place = place_along(units, Length::from_um(self.band.to));
            let x = rect.right();
            broken(x, x + 3.2, format!("continues at {place}"));
        }
        if self.band.from > 0 {
            let place = place_along(units, Length::from_um(self.band.from));
            broken(rect.x, rect.x - BEFORE + 2.4, format!("from {place}"));
        }
    }

    /// A zigzag where the drawing breaks off in bare cloth, and how much is behind it.
    pub(crate) fn broken_off(&mut self, scene: &mut Scene, goes_on: bool) {
        let Some(rest) = self.view.not_drawn().filter(|_| !goes_on) else {
            return;
        };
        let (x, top, foot) = (
            self.rect.right(),
            self.rect.y - 1.0,
            self.rect.bottom() + 1.0,
        );
        let middle = self.rect.centre().y;
        let zigzag = |x: f64| {
            PagePath::chain(&[
                Spot::new(x, top),
                Spot::new(x, middle - 3.0),
                Spot::new(x - 1.2, middle - 1.2),
                Spot::new(x + 1.2, middle + 1.2),
                Spot::new(x, middle + 3.0),
                Spot::new(x, foot),
            ])
        };
        // Paper between the two lines: there is a gap in the drawing.
        let mut gap = zigzag(x - 0.6);
        let back: Vec<Stretch> = {
            let mut spots = vec![zigzag(x + 0.6).start];
            spots.extend(zigzag(x + 0.6).stretches.iter().map(|s| s.to()));
            spots
                .into_iter()
                .rev()
                .map(|to| Stretch::Line { to })
                .collect()
        };
        gap.stretches.extend(back);
        scene.fill(vec![gap], Fill::Plain(PAGE), None);
        scene.stroke(
            vec![zigzag(x - 0.6), zigzag(x + 0.6)],
            BROKEN_OFF,
            None,
            true,
        );
        let units = self.view.sheet.units;
        let words = format!("{} more not drawn", units.write_down(rest));
        let at = Spot::new(x + 4.2, middle);
        let text = Text::new(at, WORDS, Anchor::Middle, words).slope(Slope::Upright);
        self.keep_clear.push(text.bounds());
        scene.text(text);
        // Words keep off the zigzag.
        self.kept.push(Rect::new(x - 1.8, top, 3.6, foot - top));
    }

    fn ruler(&self, side: Side) -> Ruler {
        let across = self.view.sheet.fabric.width.um();
        let (from, to) = match side {
            Side::Left => (0, across),
            Side::Above | Side::Below => (self.band.from, self.band.to),
        };
        let y = match side {
            Side::Below => self.rect.bottom(),
            Side::Above | Side::Left => self.rect.y,
        };
        Ruler {
            side,
            start: Spot::new(self.rect.x, y),
            from,
            to,
            scale: self.frame.scale,
            units: self.view.sheet.units,
        }
    }

    /// Where the numbers of the rulers along the cloth stand if nothing is in their way.
    pub(crate) fn numbers_above_and_below(&self) -> Vec<Rect> {
        [Side::Above, Side::Below]
            .into_iter()
            .flat_map(|side| self.ruler(side).numbers())
            .map(|number| number.bounds())
            .collect()
    }

    pub(crate) fn rulers(&self, scene: &mut Scene) {
        for side in [Side::Above, Side::Below, Side::Left] {
            self.ruler(side).draw(scene, &self.keep_clear);
        }
    }
}
