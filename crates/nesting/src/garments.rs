//! Garments that are turned as one: which turns each may still take.
//!
//! A piece that has the same shape in several turns leaves all of these open, until a piece that
//! has not is laid. A piece may look turned end for end when it is turned over, so what is open is a set of turns.

use std::collections::HashMap;

use crate::constructive::Laid;
use crate::problem::{Problem, Turn};
use crate::shapes::{Shapes, Variant};

/// The turns that are open to each garment; all, for one of which nothing is laid.
#[derive(Clone, Debug, Default)]
pub struct Garments {
    open: HashMap<u32, Vec<Turn>>,
}

impl Garments {
    /// As a layout leaves them.
    #[must_use]
    pub fn of(problem: &Problem, shapes: &Shapes, laid: &[Laid]) -> Self {
        let mut garments = Garments::default();
        laid.iter().for_each(|l| garments.lay(problem, shapes, l));
        garments
    }

    /// Forgets all pieces.
    pub fn clear(&mut self) {
        self.open.clear();
    }

    /// Whether a piece of the garment may be turned so.
    #[must_use]
    pub fn allows(&self, garment: Option<u32>, turn: Turn) -> bool {
        let open = garment.and_then(|garment| self.open.get(&garment));
        open.is_none_or(|turns| turns.contains(&turn))
    }

    /// Takes a piece in.
    pub fn lay(&mut self, problem: &Problem, shapes: &Shapes, laid: &Laid) {
        if let Some(garment) = problem.items[laid.piece.item].garment {
            let turns: Vec<Turn> = alike(shapes, laid).map(|v| v.turn).collect();
            let open = self.open.entry(garment).or_insert_with(|| turns.clone());
            open.retain(|turn| turns.contains(turn));
        }
    }

    /// The way a piece is laid, in the turn that its garment takes in the end.
    #[must_use]
    pub fn settled(&self, problem: &Problem, shapes: &Shapes, laid: &Laid) -> Variant {
        let garment = problem.items[laid.piece.item].garment;
        let turns = garment.and_then(|garment| self.open.get(&garment));
        let turn = turns.and_then(|turns| turns.first());
        let same = turn.and_then(|&turn| alike(shapes, laid).find(|v| v.turn == turn));
        same.copied().unwrap_or(laid.variant)
    }
}

/// Ways to lay the same item in which it has the same shape, and may lie at the same places.
fn alike<'s>(shapes: &'s Shapes, laid: &Laid) -> impl Iterator<Item = &'s Variant> + use<'s> {
    let Variant { shape, grid, .. } = laid.variant;
    let variants = shapes.variants[laid.piece.item].iter();
    variants.filter(move |v| v.shape == shape && v.grid == grid)
}
