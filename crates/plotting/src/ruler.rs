//! Rulers along the edges of a cloth, in the person's unit.
//!
//! Ticks and numbers are thinned by scale: a tick needs a millimetre of paper, a number its own width
//! and a gap. Numbers count from the cut end (or from the left edge) of the whole cloth, also where a
//! long cloth goes on in another band. What else is drawn there gives way to the numbers as far as it
//! can; a number that is still in the way steps aside, to the left or right of its tick.

use pieces::{Length, Units};

use crate::font;
use crate::paper::{Rect, Spot};
use crate::scene::{Anchor, Ink, Scene, Text};
use crate::style::QUIET;
use crate::words::is_inches;

/// Size of the numbers on paper, mm.
const NUMBERS: f64 = 2.0;
/// Least paper from tick to tick, mm.
const TICK_GAP: f64 = 0.95;
/// Room that a ruler takes beside the cloth, mm.
pub(crate) const DEPTH: f64 = 5.0;

/// On which side of the cloth a ruler lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Above,
    Below,
    Left,
}

/// A ruler from `from` to `to` (micrometres on the cloth).
pub(crate) struct Ruler {
    pub(crate) side: Side,
    /// Page place of `from` on the edge of the cloth.
    pub(crate) start: Spot,
    pub(crate) from: i64,
    pub(crate) to: i64,
    pub(crate) scale: f64,
    pub(crate) units: Units,
}

/// Base unit in micrometres, its steps for ticks, its steps for numbers.
fn steps(units: Units) -> (i64, &'static [i64], &'static [i64]) {
    if is_inches(units) {
        (
            Length::INCH.um(),
            &[1, 3, 6, 12, 36, 72],
            &[6, 12, 36, 72, 180, 360],
        )
    } else {
        (
            10_000,
            &[1, 2, 5, 10, 50, 100],
            &[10, 20, 50, 100, 200, 500, 1_000],
        )
    }
}

/// The number at `count` base units.
fn written(units: Units, count: i64) -> String {
    match units {
        Units::Millimetres => format!("{}", count * 10),
        Units::Metres => format!("{:.1}", count as f64 / 100.0),
        Units::Centimetres | Units::Inches | Units::Yards => format!("{count}"),
    }
}

/// The unit of the numbers, for the legend.
pub(crate) const fn unit_name(units: Units) -> &'static str {
    match units {
        Units::Millimetres => "millimetres",
        Units::Metres => "metres",
        Units::Centimetres => "centimetres",
        Units::Inches | Units::Yards => "inches",
    }
}

/// A place along the cloth as the ruler numbers it, with its unit: `590 cm`.
pub(crate) fn place_along(units: Units, place: Length) -> String {
    let unit = match units {
        Units::Millimetres => "mm",
        Units::Metres => "m",
        Units::Centimetres => "cm",
        Units::Inches | Units::Yards => "in",
    };
    let (base, _, _) = steps(units);
    format!("{} {unit}", written(units, place.um() / base))
}

impl Ruler {
    /// Steps of ticks and of numbers, in base units.
    fn chosen(&self) -> (i64, i64) {
        let (base, ticks, numbers) = steps(self.units);
        let paper = |step: i64| (step * base) as f64 / (1_000.0 * self.scale);
        let tick = ticks
            .iter()
            .copied()
            .find(|&s| paper(s) >= TICK_GAP)
            .unwrap_or(100);
        let room = match self.side {
            Side::Left => NUMBERS * 1.6,
            Side::Above | Side::Below => {
                font::width(&written(self.units, self.to / base), NUMBERS, false) + 2.0
            }
        };
        let number = numbers
            .iter()
            .copied()
            .find(|&s| s >= tick && s % tick == 0 && paper(s) >= room)
            .unwrap_or(1_000);
        (tick, number)
    }

    /// Every tick: count of base units, foot, tip, and whether it has a number.
    fn ticks(&self) -> Vec<(i64, Spot, Spot, bool)> {
        let (base, _, _) = steps(self.units);
        let (tick, number) = self.chosen();
        let first = self.from.div_euclid(base) + i64::from(self.from.rem_euclid(base) != 0);
        let mut count = first + (-first).rem_euclid(tick);
        let mut ticks = Vec::new();
        while count * base <= self.to {
            let along = (count * base - self.from) as f64 / (1_000.0 * self.scale);
            let labelled = count % number == 0;
            let middling = number % 2 == 0 && count % (number / 2) == 0;
            let long = if labelled {
                2.2
            } else if middling {
                1.6
            } else {
                1.0
            };
            let (a, b) = match self.side {
                Side::Above => (self.start.plus(along, 0.0), self.start.plus(along, -long)),
                Side::Below => (self.start.plus(along, 0.0), self.start.plus(along, long)),
                Side::Left => (self.start.plus(0.0, along), self.start.plus(-long, along)),
            };
            ticks.push((count, a, b, labelled));
            count += tick;
        }
        ticks
    }

    /// The numbers at their ticks, as they stand if nothing is in their way.
    pub(crate) fn numbers(&self) -> Vec<Text> {
        let labelled = self.ticks().into_iter().filter(|tick| tick.3);
        labelled
            .map(|(count, _, tip, _)| {
                let (at, anchor) = match self.side {
                    Side::Above => (tip.plus(0.0, -0.7), Anchor::Middle),
                    Side::Below => (tip.plus(0.0, 0.4 + NUMBERS * 0.8), Anchor::Middle),
                    Side::Left => (tip.plus(-0.5, NUMBERS * 0.36), Anchor::End),
                };
                Text::new(at, NUMBERS, anchor, written(self.units, count)).ink(QUIET)
            })
            .collect()
    }

    /// Draws ticks and numbers. A number stays off `keep_clear`: beside its tick if not at it; where
    /// even that is not free, it is left to the ruler on the other side.
    pub(crate) fn draw(&self, scene: &mut Scene, keep_clear: &[Rect]) {
        for (_, foot, tip, _) in self.ticks() {
            scene.line(foot, tip, Ink::solid(QUIET, 0.12));
        }
        let numbers = self.numbers();
        let boxes: Vec<Rect> = numbers.iter().map(Text::bounds).collect();
        for (k, number) in numbers.into_iter().enumerate() {
            let aside = boxes[k].w / 2.0 + 0.5;
            let place = [0.0, -aside, aside].into_iter().find(|&dx| {
                let moved = Rect {
                    x: boxes[k].x + dx,
                    ..boxes[k]
                };
                let others = boxes[..k].iter().chain(&boxes[k + 1..]);
                keep_clear.iter().chain(others).all(|r| !r.overlaps(moved))
            });
            if let Some(dx) = place {
                scene.text(Text {
                    at: number.at.plus(dx, 0.0),
                    ..number
                });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_break_is_named_as_the_rulers_number_it() {
        let at = Length::from_cm(590);
        assert_eq!(place_along(Units::Centimetres, at), "590 cm");
        assert_eq!(place_along(Units::Millimetres, at), "5900 mm");
        assert_eq!(place_along(Units::Metres, at), "5.9 m");
        // The rulers of a person who thinks in yards count inches: 36 to the yard.
        assert_eq!(place_along(Units::Yards, Length::YARD * 4), "144 in");
    }
}
