//! Laying pieces in a given order, each to its best free place.

use crate::constructive::board::{Board, Regions, Selvedge, Window};
use crate::constructive::{Laid, Layout, Next, PieceId};
use crate::garments::Garments;
use crate::places::{Grid, Matched};
use crate::problem::Problem;
use crate::shapes::{ShapeId, Shapes, Variant};

/// What makes a place good.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Taste {
    /// The piece's far end as low as possible.
    LowEnd,
    /// The piece's near end as low as possible.
    LowStart,
}

/// How an order is turned into a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Manner {
    /// What makes a place good.
    pub taste: Taste,
    /// From which selvedge.
    pub from: Selvedge,
}

/// All four, most often useful first.
pub const MANNERS: [Manner; 4] = [
    Manner {
        taste: Taste::LowEnd,
        from: Selvedge::Left,
    },
    Manner {
        taste: Taste::LowStart,
        from: Selvedge::Left,
    },
    Manner {
        taste: Taste::LowEnd,
        from: Selvedge::Right,
    },
    Manner {
        taste: Taste::LowStart,
        from: Selvedge::Right,
    },
];

/// Lays pieces on a board, keeping to one turn a garment where that is asked.
pub struct Filler<'a, 'r> {
    problem: &'r Problem,
    shapes: &'a Shapes,
    board: Board<'a, 'r>,
    garments: Garments,
    matched: Matched,
    /// How far below the top of the layout places are looked for; keeps long markers linear.
    reach: i64,
    tries: u64,
}

impl<'a, 'r> Filler<'a, 'r> {
    /// On an empty cloth.
    #[must_use]
    pub fn new(problem: &'r Problem, shapes: &'a Shapes, regions: &'r mut Regions<'a>) -> Self {
        let longest = shapes
            .shapes
            .iter()
            .map(|s| s.along.max(s.across))
            .max()
            .unwrap_or(0);
        Filler {
            problem,
            shapes,
            board: Board::new(shapes, regions),
            garments: Garments::default(),
            matched: Matched::default(),
            reach: longest.saturating_mul(3),
            tries: 0,
        }
    }

    /// Steps spent so far: one for each placement tried and one for each [`STEP`] boxes and edges looked at
    /// for it, so that a step takes about the same time whatever the pieces are.
    #[must_use]
    pub fn steps(&self) -> u64 {
        self.tries + self.board.work() / STEP
    }

    /// Takes everything off.
    pub fn clear(&mut self) {
        self.board.clear();
        self.garments.clear();
        self.matched.clear();
    }

    /// The ways `item` may be laid now.
    pub fn variants(&self, item: usize) -> Vec<Variant> {
        let garment = self.problem.items[item].garment;
        let all = self.shapes.variants[item].iter().copied();
        all.filter(|v| self.garments.allows(garment, v.turn))
            .collect()
    }

    /// The turns that are open to garments, and where the sets lie that match each other.
    #[must_use]
    pub fn settled(&self) -> (Garments, Matched) {
        (self.garments.clone(), self.matched.clone())
    }

    /// Takes everything off and holds garments and sets to these.
    pub fn start_again(&mut self, (garments, matched): &(Garments, Matched)) {
        self.board.clear();
        self.garments.clone_from(garments);
        self.matched.clone_from(matched);
    }

    /// Where a piece may lie that is laid so, as far as the print goes.
    #[must_use]
    pub fn grid(&self, variant: &Variant) -> Grid {
        self.matched.grid(variant)
    }

    fn is_open(&self, item: usize, way: usize) -> bool {
        let wanted = self.shapes.variants[item][way];
        self.variants(item).contains(&wanted)
    }

    /// The best place for `piece` in `window`, and how it is laid there.
    pub fn best_place(&mut self, piece: PieceId, window: Window, manner: Manner) -> Option<Laid> {
        let variants = self.variants(piece.item);
        self.best_place_as(piece, variants.into_iter(), window, manner)
    }

    /// The same, laid in one of these ways only.
    pub fn best_place_as(
        &mut self,
        piece: PieceId,
        variants: impl Iterator<Item = Variant>,
        window: Window,
        manner: Manner,
    ) -> Option<Laid> {
        let mut best: Option<((i64, i64, i64), Laid)> = None;
        let mut tried: Vec<(ShapeId, Grid)> = Vec::new();
        for variant in variants {
            let grid = self.matched.grid(&variant);
            if tried.contains(&(variant.shape, grid)) {
                continue;
            }
            tried.push((variant.shape, grid));
            self.tries += 1;
            let shape = self.shapes.shape(variant.shape);
            // Nothing above what another turn has reached is of use.
            let ceiling = match (&best, manner.taste) {
                (Some(((end, _, _), _)), Taste::LowEnd) => Some(*end),
                (Some(((start, _, _), _)), Taste::LowStart) => Some(start + shape.along),
                (None, _) => None,
            };
            let ceiling = [ceiling, window.ceiling].into_iter().flatten().min();
            let Some(at) = self.board.lowest(
                variant.shape,
                grid,
                Window {
                    floor: window.floor,
                    ceiling,
                },
                manner.from,
            ) else {
                continue;
            };
            let inner = match manner.from {
                Selvedge::Left => at.x + shape.across,
                Selvedge::Right => -at.x,
            };
            let score = match manner.taste {
                Taste::LowEnd => (at.y + shape.along, at.y, inner),
                Taste::LowStart => (at.y, inner, shape.along),
            };
            if best.as_ref().is_none_or(|(s, _)| score < *s) {
                best = Some((score, Laid { piece, variant, at }));
            }
        }
        best.map(|(_, laid)| laid)
    }

    /// Lays it and remembers its garment's turn.
    pub fn lay(&mut self, laid: Laid, layout: &mut Layout) {
        self.board.lay(laid.variant.shape, laid.at);
        self.garments.lay(self.problem, self.shapes, &laid);
        self.matched.lay(&laid);
        layout.length = layout
            .length
            .max(laid.at.y + self.shapes.shape(laid.variant.shape).along);
        layout.laid.push(laid);
    }

    /// Forgets what lies wholly below `floor`; nothing may be laid there any more.
    pub fn forget_below(&mut self, floor: i64) {
        self.board.forget_below(floor);
    }

    /// Lays all pieces in this order, the first ones as they lie in `kept`; `None` as soon as the layout
    /// would be longer than `limit`, or when `give_up` says so of the steps spent.
    pub fn fill(
        &mut self,
        kept: &[Laid],
        order: &[Next],
        manner: Manner,
        limit: i64,
        give_up: &dyn Fn(u64) -> bool,
    ) -> Option<Layout> {
        self.clear();
        let mut layout = Layout::default();
        for &laid in kept {
            self.lay(laid, &mut layout);
        }
        let long = order.len() > LONG;
        for &next in &order[kept.len()..] {
            if give_up(self.steps()) {
                return None;
            }
            let floor = if long {
                (layout.length - self.reach).max(0)
            } else {
                0
            };
            if long {
                self.forget_below(floor);
            }
            let window = Window {
                floor,
                ceiling: Some(limit),
            };
            let laid = match next.way {
                // The turn of its garment goes before.
                Some(way) if self.is_open(next.piece.item, way) => {
                    let way = self.shapes.variants[next.piece.item][way];
                    self.best_place_as(next.piece, std::iter::once(way), window, manner)
                }
                _ => self.best_place(next.piece, window, manner),
            }?;
            self.lay(laid, &mut layout);
        }
        Some(layout)
    }
}

/// See [`Filler::steps`]: one to two microseconds on a machine of 2025.
const STEP: u64 = 64;

/// Above this many pieces only the last stretch of the layout is searched for gaps.
const LONG: usize = 120;
