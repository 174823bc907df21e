//! A cloth in bands: how a long cloth is cut for the page, and what one band shows.
//!
//! Each band is a window on the cloth with rulers of its own. A piece that crosses a break is drawn in
//! both bands, clipped, with a sign at the break on both sides; it is labelled where most of it is seen
//! and in its other part too if that holds its words. What lies around the window is in `edges`.

use pieces::{Length, Units};

use crate::drawing::Drawn;
use crate::edges::{AROUND, BEFORE, LANE_ABOVE};
use crate::frame::{ClothFrame, PieceFrame};
use crate::labels;
use crate::list::List;
use crate::paper::{Rect, Spot};
use crate::room::{CLEARANCE, Room};
use crate::ruler::DEPTH;
use crate::scene::{Fill, Ink, Scene};
use crate::sheet::Placed;
use crate::straight;
use crate::style::{BEYOND, CLOTH, DARK, FLAW, LEFT_OVER, QUIET, SELVEDGE};
use crate::view::View;
use crate::words;

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
    /// What words in the cloth stay off: where it or the length needed ends, numbers of cuts.
    pub(crate) kept: Vec<Rect>,
    /// What ruler numbers stay off: leader lines.
    pub(crate) keep_clear: Vec<Rect>,
    /// Numbers of the rulers above and below, where they stand if nothing is in their way.
    pub(crate) ruler_numbers: Vec<Rect>,
}

/// What a band shows of a piece.
pub(crate) struct Part<'p, 'd> {
    pub(crate) piece: &'p Drawn<'d>,
    /// True in the band that shows most of it, which has to say what it is.
    pub(crate) home: bool,
    /// Whether it goes on in the band before, and in the one after.
    pub(crate) goes_on: (bool, bool),
}

/// Paper that a band takes, both ways.
pub(crate) fn outer_size(view: &View<'_>, band: Band, scale: f64) -> (f64, f64) {
    let mm = |um: i64| um as f64 / (1_000.0 * scale);
    (
        mm(band.to - band.from) + AROUND.0,
        mm(view.sheet.fabric.width.um()) + AROUND.1,
    )
}

/// Draws a band with its upper left outer corner at `corner`; numbers are those of `list`.
pub(crate) fn draw<'a>(
    scene: &mut Scene,
    view: &View<'a>,
    bands: &[Band],
    index: usize,
    (corner, scale): (Spot, f64),
    list: &mut List<'a>,
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
        kept: Vec::new(),
        keep_clear: Vec::new(),
        ruler_numbers: Vec::new(),
    };
    window.ruler_numbers = window.numbers_above_and_below();
    window.cloth(scene);
    let pieces: Vec<Drawn<'_>> = view
        .sheet
        .placed
        .iter()
        .filter(|p| reaches(p, band))
        .map(|p| Drawn::new(p, &frame, view.plain))
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
    straight::draw(scene, &view.sheet.cuts, &frame, clip);
    window.beyond(scene);
    window.ends(scene);
    window.breaks(scene, index + 1 < bands.len());
    window.broken_off(scene, index + 1 < bands.len());
    window.cut_numbers(scene);
    window.left_over(scene);
    let parts: Vec<Part<'_, '_>> = pieces
        .iter()
        .map(|piece| {
            let (low, high) = along(piece.placed);
            Part {
                piece,
                home: home_band(piece.placed, bands) == Some(index),
                goes_on: (low < band.from as f64, high > band.to as f64),
            }
        })
        .collect();
    window.labels(scene, &parts, list);
    if index == 0 {
        window.selvedge_words(scene);
    }
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
    low < band.to as f64 && high > band.from as f64
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
        let last = self.band.to == self.view.drawn.um();
        if seen.w * 2.0 < rect.w && !(last && self.view.not_drawn().is_some()) {
            return;
        }
        let mut room = Room::inside(seen, &[rect.path().flattened()]);
        for keep in &self.kept {
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
