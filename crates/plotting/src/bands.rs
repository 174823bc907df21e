//! A cloth in bands: how a long cloth is cut for the page, and what one band shows.
//!
//! Each band is a window on the cloth with rulers of its own. A piece that crosses a break is drawn in
//! both bands, clipped, and labelled in the one that shows most of it. Around the window lie a lane
//! above (selvedge words, numbers of small pieces), a lane below (ends of the cloth) and rulers.

use pieces::{Length, Units};

use crate::drawing::Drawn;
use crate::font;
use crate::frame::{ClothFrame, PieceFrame};
use crate::labels;
use crate::paper::{PagePath, Rect, Spot};
use crate::room::{CLEARANCE, Room};
use crate::ruler::{DEPTH, Ruler, Side};
use crate::scene::{Anchor, Fill, Ink, Scene, Text};
use crate::sheet::Placed;
use crate::style::{BEYOND, CLOTH, DARK, FLAW, LEFT_OVER, QUIET, SELVEDGE};
use crate::view::View;
use crate::words;

/// Paper left of the window: ruler across, words of a break.
const BEFORE: f64 = 12.5;
/// Paper right of the window: words of a break.
const AFTER: f64 = 5.0;
/// Lane above the upper ruler: two rows of numbers.
const LANE_ABOVE: f64 = 5.0;
/// Lane below the lower ruler: two rows of words.
const LANE_BELOW: f64 = 6.2;
/// Words in the lanes.
const WORDS: f64 = 2.1;

/// Paper around a window, both ways.
pub(crate) const AROUND: (f64, f64) = (BEFORE + AFTER, LANE_ABOVE + LANE_BELOW + 2.0 * DEPTH);

const END_NEEDED: Ink = Ink::solid(DARK, 0.5);
const END_THERE: Ink = Ink::dashed(DARK, 0.4, "2.4 0.9");
const BREAK: Ink = Ink::dashed(QUIET, 0.2, "0.4 0.8");
const OVER: Ink = Ink::dashed(QUIET, 0.2, "3 0.8 0.5 0.8");

/// A stretch of cloth from `from` to `to`, micrometres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Band {
    pub(crate) from: i64,
    pub(crate) to: i64,
}

/// The cloth in `count` bands of equal length, a whole number of steps each (10 cm or a foot) where
/// there is more than one; the last one ends where the cloth does.
pub(crate) fn split(drawn: Length, count: i64, units: Units) -> Vec<Band> {
    let step = if words::is_inches(units) {
        Length::INCH * 12
    } else {
        Length::from_cm(10)
    };
    let each = if count <= 1 {
        drawn.um()
    } else {
        Length::from_um(-(-drawn.um()).div_euclid(count))
            .up_to_step(step)
            .um()
    };
    let mut bands = Vec::new();
    let mut from = 0;
    while from < drawn.um() && each > 0 {
        let to = (from + each).min(drawn.um());
        bands.push(Band { from, to });
        from = to;
    }
    bands
}

/// A piece that got a number instead of, or beside, its words.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Listed {
    pub(crate) number: usize,
    pub(crate) line: String,
    /// False if the number found no place on the drawing.
    pub(crate) shown: bool,
}

/// One band being drawn.
pub(crate) struct Window<'v, 'a> {
    pub(crate) view: &'v View<'a>,
    pub(crate) frame: ClothFrame,
    pub(crate) rect: Rect,
    pub(crate) band: Band,
    pub(crate) clip: usize,
    /// Words and leader lines in the lanes so far.
    pub(crate) lane_taken: Vec<Rect>,
    /// Texts in and around the band so far, and how many of the scene's were looked at for it.
    pub(crate) texts_near: Vec<Rect>,
    pub(crate) texts_seen: usize,
    /// Where the cloth or the length needed ends.
    pub(crate) ends: Vec<Rect>,
    /// What ruler numbers stay off: the ends, and leader lines.
    pub(crate) keep_clear: Vec<Rect>,
}

/// Paper that a band takes, both ways.
pub(crate) fn outer_size(view: &View<'_>, band: Band, scale: f64) -> (f64, f64) {
    let mm = |um: i64| um as f64 / (1_000.0 * scale);
    (
        mm(band.to - band.from) + AROUND.0,
        mm(view.sheet.fabric.width.um()) + AROUND.1,
    )
}

/// Draws a band with its upper left outer corner at `corner`; numbers go on after `listed`.
pub(crate) fn draw(
    scene: &mut Scene,
    view: &View<'_>,
    bands: &[Band],
    index: usize,
    (corner, scale): (Spot, f64),
    listed: &mut Vec<Listed>,
) {
    let band = bands[index];
    let origin = corner.plus(BEFORE, LANE_ABOVE + DEPTH);
    let frame = ClothFrame {
        origin,
        from: band.from,
        scale,
    };
    let rect = Rect::new(
        origin.x,
        origin.y,
        frame.size(band.to - band.from),
        frame.size(view.sheet.fabric.width.um()),
    );
    let clip = scene.clip(rect);
    let mut window = Window {
        view,
        frame,
        rect,
        band,
        clip,
        lane_taken: Vec::new(),
        texts_near: Vec::new(),
        texts_seen: 0,
        ends: Vec::new(),
        keep_clear: Vec::new(),
    };
    window.cloth(scene);
    let pieces: Vec<Drawn<'_>> = view
        .sheet
        .placed
        .iter()
        .filter(|p| reaches(p, band))
        .map(|p| Drawn::new(p, &frame))
        .collect();
    for piece in pieces.iter().filter(|p| p.bounds.overlaps(rect)) {
        piece.draw(scene, view, clip);
    }
    for flaw in &view.sheet.flaws {
        let paths = vec![frame.outline(flaw)];
        scene.fill(paths.clone(), Fill::Plain(CLOTH), Some(clip));
        scene.fill(paths.clone(), Fill::Pattern(FLAW.to_owned()), Some(clip));
        scene.stroke(paths, Ink::solid(DARK, 0.3), Some(clip), true);
    }
    window.beyond(scene);
    window.ends(scene);
    if index == 0 {
        window.selvedge_words(scene);
    }
    window.breaks(scene, index + 1 < bands.len());
    window.left_over(scene);
    let home: Vec<&Drawn<'_>> = pieces
        .iter()
        .filter(|p| home_band(p.placed, bands) == Some(index))
        .collect();
    window.labels(scene, &home, listed);
    window.rulers(scene);
}

/// Where a piece begins and ends along the cloth, micrometres.
fn along(placed: &Placed<'_>) -> (f64, f64) {
    let frame = PieceFrame::of(placed);
    let ys = placed
        .piece
        .cut
        .points()
        .iter()
        .map(|&p| frame.on_cloth(p).1);
    ys.fold((f64::MAX, f64::MIN), |(l, h), y| (l.min(y), h.max(y)))
}

fn reaches(placed: &Placed<'_>, band: Band) -> bool {
    let (low, high) = along(placed);
    low <= band.to as f64 && high >= band.from as f64
}

/// The band that shows most of the piece; the first of several.
fn home_band(placed: &Placed<'_>, bands: &[Band]) -> Option<usize> {
    let (low, high) = along(placed);
    let shown = |b: &Band| high.min(b.to as f64) - low.max(b.from as f64);
    (0..bands.len()).max_by(|&i, &j| {
        shown(&bands[i])
            .total_cmp(&shown(&bands[j]))
            .then(j.cmp(&i))
    })
}

impl Window<'_, '_> {
    fn cloth(&self, scene: &mut Scene) {
        let whole = vec![self.rect.path()];
        scene.fill(whole.clone(), Fill::Plain(CLOTH), None);
        scene.fill(whole, Fill::Pattern(LEFT_OVER.to_owned()), None);
        let fabric = &self.view.sheet.fabric;
        let depth = self.frame.size(fabric.selvedge.um());
        if depth > 0.0 {
            let (x, w) = (self.rect.x, self.rect.w);
            for y in [self.rect.y, self.rect.bottom() - depth] {
                let strip = Rect::new(x, y, w, depth);
                scene.fill(vec![strip.path()], Fill::Plain(CLOTH), None);
                scene.fill(vec![strip.path()], Fill::Pattern(SELVEDGE.to_owned()), None);
            }
            for y in [self.rect.y + depth, self.rect.bottom() - depth] {
                scene.line(
                    Spot::new(x, y),
                    Spot::new(x + w, y),
                    Ink::solid(QUIET, 0.12),
                );
            }
        }
        let (a, c) = (Spot::new(self.rect.x, self.rect.y), self.rect);
        let ink = Ink::solid(DARK, 0.35);
        scene.line(a, Spot::new(c.right(), c.y), ink);
        scene.line(
            Spot::new(c.x, c.bottom()),
            Spot::new(c.right(), c.bottom()),
            ink,
        );
        if self.band.from == 0 {
            scene.line(a, Spot::new(c.x, c.bottom()), ink);
        }
    }

    /// Hatches what lies beyond a cloth that is too short.
    fn beyond(&self, scene: &mut Scene) {
        let Some(there) = self.view.there.filter(|_| self.view.too_short()) else {
            return;
        };
        let from = self.frame.spot(0.0, there.um() as f64).x.max(self.rect.x);
        if from < self.rect.right() {
            let area = Rect::new(from, self.rect.y, self.rect.right() - from, self.rect.h);
            scene.fill(vec![area.path()], Fill::Pattern(BEYOND.to_owned()), None);
        }
    }

    /// Lines where the length needed and the cloth end, and their words in the lane below.
    fn ends(&mut self, scene: &mut Scene) {
        let sheet = self.view.sheet;
        let mut ends = vec![(
            sheet.needed,
            format!("length needed {}", sheet.units.write_up(sheet.needed)),
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
                ends.push((
                    there,
                    format!("{what} {}", sheet.units.write_down(there)),
                    END_THERE,
                ));
            }
        }
        for (at, words, ink) in ends {
            let last = self.band.to == self.view.drawn.um();
            if at.um() <= self.band.from || at.um() > self.band.to && !last {
                continue;
            }
            let x = self.frame.spot(0.0, at.um() as f64).x;
            let (top, foot) = (self.rect.y - DEPTH, self.rect.bottom() + DEPTH - 0.6);
            scene.stroke(
                vec![PagePath::line(
                    Spot::new(x, self.rect.y - 1.6),
                    Spot::new(x, foot),
                )],
                ink,
                None,
                true,
            );
            self.ends
                .push(Rect::new(x - 0.5, top, 1.0, self.rect.h + 2.0 * DEPTH));
            self.keep_clear.extend(self.ends.last().copied());
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

    fn selvedge_words(&mut self, scene: &mut Scene) {
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
        let room = self.rect.w + AFTER;
        let Some(words) = choices
            .into_iter()
            .find(|c| font::width(c, WORDS, false) <= room)
        else {
            return;
        };
        let at = Spot::new(self.rect.x, self.rect.y - DEPTH - 0.9);
        let text = Text::new(at, WORDS, Anchor::Start, words).ink(QUIET);
        self.lane_taken.push(text.bounds());
        scene.text(text);
    }

    /// Broken ends and where the cloth goes on.
    fn breaks(&mut self, scene: &mut Scene, goes_on: bool) {
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
            let text = text.turned(true).ink(QUIET);
            self.keep_clear.push(text.bounds());
            scene.text(text);
        };
        if goes_on {
            let place = words::place_along(units, Length::from_um(self.band.to));
            let x = rect.right();
            broken(x, x + 3.2, format!("continues at {place}"));
        }
        if self.band.from > 0 {
            let place = words::place_along(units, Length::from_um(self.band.from));
            broken(rect.x, rect.x - BEFORE + 2.4, format!("from {place}"));
        }
    }

    /// The largest rectangle that is left over, with its size.
    fn left_over(&self, scene: &mut Scene) {
        let Some(bounds) = self.view.left_over else {
            return;
        };
        let (a, c) = (self.frame.point(bounds.min), self.frame.point(bounds.max));
        let rect = Rect::new(a.x, a.y, c.x - a.x, c.y - a.y);
        let Some(seen) = rect.meet(self.rect) else {
            return;
        };
        scene.stroke(
            vec![rect.inflated(-0.3).path()],
            OVER,
            Some(self.clip),
            true,
        );
        if seen.w * 2.0 < rect.w {
            return;
        }
        let mut room = Room::inside(seen, &[rect.path().flattened()]);
        for keep in &self.keep_clear {
            room.block(keep.inflated(CLEARANCE));
        }
        let size = words::size_down(self.view.sheet.units, bounds.across(), bounds.along());
        let wish = seen.centre();
        for text_size in [2.8, 2.3, 1.9] {
            for lines in [
                vec!["largest left over".to_owned(), size.clone()],
                vec![size.clone()],
            ] {
                for turned in [false, true] {
                    let (w, h) = labels::text_size(&lines, text_size, turned);
                    let Some(place) = room.find(w, h, wish) else {
                        continue;
                    };
                    for text in labels::texts_in(place, &lines, text_size, turned, 0) {
                        scene.text(text.ink(QUIET));
                    }
                    return;
                }
            }
        }
    }

    fn rulers(&self, scene: &mut Scene) {
        let (from, to) = (self.band.from, self.band.to);
        let units = self.view.sheet.units;
        let scale = self.frame.scale;
        let (top, foot) = (Spot::new(self.rect.x, self.rect.y), self.rect.bottom());
        let keep_clear = &self.keep_clear[..];
        for (side, start) in [(Side::Above, top), (Side::Below, Spot::new(top.x, foot))] {
            Ruler {
                side,
                start,
                from,
                to,
                scale,
                units,
                keep_clear,
            }
            .draw(scene);
        }
        let to = self.view.sheet.fabric.width.um();
        Ruler {
            side: Side::Left,
            start: top,
            from: 0,
            to,
            scale,
            units,
            keep_clear,
        }
        .draw(scene);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_are_equal_and_end_with_the_cloth() {
        let bands = split(Length::from_mm(10_340), 3, Units::Centimetres);
        let ends: Vec<i64> = bands.iter().map(|b| b.to / 1_000).collect();
        assert_eq!(ends, [3_500, 7_000, 10_340]);
        let inches = split(Length::YARD * 10, 3, Units::Inches);
        assert_eq!(inches[0].to, Length::INCH.um() * 120);
        assert_eq!(split(Length::from_cm(127), 1, Units::Centimetres).len(), 1);
    }
}
