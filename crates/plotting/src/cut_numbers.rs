//! Which straight cut comes first? A light number on a dark disc on each, as in the list of cuts.
//!
//! A disc hides what runs beneath it, so it keeps off small signs and other discs where its cut leaves it a place.

use nesting::Cut;

use crate::bands::Window;
use crate::font;
use crate::paper::{PagePath, Rect, Spot};
use crate::scene::{Anchor, Fill, Scene, Text};
use crate::straight;
use crate::style::{DARK, PAGE};

/// Half of a disc on paper, mm, and its number.
const RADIUS: f64 = 1.6;
const SIZE: f64 = 1.9;

/// What a number may take of a disc, mm.
const WIDEST: f64 = 2.6;

/// Where on what is seen of its cut a disc is put, the first that is free. Notches are mostly in the middle of an edge.
const SHARES: [f64; 9] = [0.2, 0.8, 0.35, 0.65, 0.12, 0.88, 0.27, 0.73, 0.5];

impl Window<'_, '_> {
    /// Numbers of the cuts that are seen in this band, and where they are.
    pub(crate) fn cut_numbers(&mut self, scene: &mut Scene) {
        let signs = scene.signs();
        let mut discs: Vec<Rect> = Vec::new();
        for (number, cut) in self.view.sheet.cuts.iter().enumerate() {
            let Some(seen) = self.seen_of(cut) else {
                continue;
            };
            let on = |share: f64| {
                let centre = Spot::new(seen.x + share * seen.w, seen.y + share * seen.h);
                Rect::new(centre.x, centre.y, 0.0, 0.0).inflated(RADIUS)
            };
            let is_off = |disc: &Rect, all: &[Rect]| all.iter().all(|other| !other.overlaps(*disc));
            let places = || SHARES.into_iter().map(on);
            let free = places().find(|disc| is_off(disc, &discs) && is_off(disc, &signs));
            let disc = free.or_else(|| places().find(|disc| is_off(disc, &discs)));
            let disc = disc.unwrap_or_else(|| on(SHARES[0]));
            draw(scene, disc.centre(), number + 1);
            discs.push(disc);
        }
        self.kept.extend(discs);
    }

    /// What this band shows of a cut, as a box without breadth.
    fn seen_of(&self, cut: &Cut) -> Option<Rect> {
        let ends = straight::ends(cut).map(|end| self.frame.point(end));
        let whole = Rect::around(&ends)?;
        let (x, y) = (whole.x.max(self.rect.x), whole.y.max(self.rect.y));
        let (right, bottom) = (
            whole.right().min(self.rect.right()),
            whole.bottom().min(self.rect.bottom()),
        );
        (x <= right && y <= bottom).then(|| Rect::new(x, y, right - x, bottom - y))
    }
}

fn draw(scene: &mut Scene, centre: Spot, number: usize) {
    let disc = vec![PagePath::circle(centre, RADIUS)];
    scene.fill(disc, Fill::Plain(DARK), None);
    let content = number.to_string();
    let size = size_of(&content);
    let baseline = centre.plus(0.0, font::ascent(&content) * size / 2.0);
    let text = Text::new(baseline, size, Anchor::Middle, content);
    scene.text(text.bold().ink(PAGE).on_ground());
}

/// Three digits are as wide as the disc, so they are set smaller.
fn size_of(number: &str) -> f64 {
    SIZE * (WIDEST / font::width(number, SIZE, true)).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_fit_their_discs() {
        for number in ["7", "42", "206", "1041"] {
            let width = font::width(number, size_of(number), true);
            assert!(width < 2.0 * RADIUS, "{number}: {width}");
        }
        assert!(size_of("42") > size_of("206"));
    }
}
