//! Jobs of rectangles and other pieces: rectangles first, on as little cloth as they go, and the others around them.

use std::cmp::Reverse;
use std::time::Instant;

use super::{Found, Run};
use crate::constructive::board::Regions;
use crate::constructive::fill::{Filler, MANNERS};
use crate::constructive::order::copies;
use crate::constructive::{Laid, Layout, Next, PieceId};
use crate::problem::Item;
use crate::rectangles::{Strip, Watch, shorter};
use crate::shapes::Detail;

/// Such a share of the steps, and of the time of its turn, goes into the rectangles.
const OF_STEPS: u64 = 16;
const OF_TURN: u32 = 3;

impl Run<'_> {
    /// Looks for a layout of rectangles with the others around them, where there are both.
    pub(super) fn rectangles_first(&self, found: &mut Found<'_>, steps: u64, goal: i64) {
        if found.best.layout.length <= goal || steps == 0 || self.stopped() {
            return;
        }
        found.progress.phase("laying rectangles first");
        let (around, spent) = self.around_rectangles(found.best.layout.length, steps);
        found.spent += spent;
        if let Some(layout) = around {
            let layout = self.compacted(layout);
            self.offer(found, layout, "around");
        }
    }

    /// The shortest such layout found, and the steps it took; `None` where there are not both, or the rectangles
    /// alone are not found to go on less than `length`.
    pub(super) fn around_rectangles(&self, length: i64, steps: u64) -> (Option<Layout>, u64) {
        let is_rectangle = |item: &Item| item.anchor.is_none() && item.outline.fills_box();
        let (rectangles, others): (Vec<PieceId>, Vec<PieceId>) = copies(self.problem)
            .into_iter()
            .partition(|piece| is_rectangle(&self.problem.items[piece.item]));
        if rectangles.len() < 2 || others.is_empty() {
            return (None, 0);
        }
        let mut alone = self.problem.clone();
        for item in alone.items.iter_mut().filter(|item| !is_rectangle(item)) {
            item.copies = 0;
        }
        let Some(strip) = Strip::of(&alone, self.shapes) else {
            return (None, 0);
        };
        let until = self.left().map(|left| Instant::now() + left / OF_TURN);
        let is_over = || until.is_some_and(|until| Instant::now() >= until);
        let mut watch = Watch {
            steps: if until.is_some() {
                u64::MAX
            } else {
                steps / OF_STEPS
            },
            threads: self.streams,
            seed: self.stream_seed(0),
            goal: 0,
            stop: &|| is_over() || self.stopped(),
            tell: &mut |_| {},
        };
        let (first, spent) = shorter(&strip, length, &mut watch);
        let (layout, filled) = first.map_or((None, 0), |first| self.around(&first.laid, others));
        (layout, spent + filled)
    }

    /// The shortest layout in which these stay, and the others come from large to small or from long to short.
    fn around(&self, kept: &[Laid], mut others: Vec<PieceId>) -> (Option<Layout>, u64) {
        let mut regions = Regions::new(self.problem, self.shapes, Detail::Coarse);
        let mut filler = Filler::new(self.problem, self.shapes, &mut regions);
        let outline = |piece: &PieceId| &self.problem.items[piece.item].outline;
        let mut best: Option<Layout> = None;
        for by_area in [true, false] {
            others.sort_by_key(|piece| {
                let long = i128::from(outline(piece).bounds().along().um());
                Reverse(if by_area {
                    outline(piece).doubled_area()
                } else {
                    long
                })
            });
            let pieces = kept.iter().map(|laid| laid.piece);
            let order: Vec<Next> = pieces
                .chain(others.iter().copied())
                .map(Next::best)
                .collect();
            for manner in MANNERS {
                let limit = best.as_ref().map_or(i64::MAX, |best| best.length - 1);
                let layout = filler.fill(kept, &order, manner, limit, &|_| self.stopped());
                best = layout.or(best);
            }
        }
        (best, filler.steps())
    }
}
