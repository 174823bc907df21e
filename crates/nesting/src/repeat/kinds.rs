//! Kinds: pieces that can stand for each other, whatever item or wearer they are of.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::constructive::{Laid, PieceId};
use crate::problem::{Item, Problem, Turn};
use crate::shapes::{ShapeId, Shapes, Variant};

/// More kinds than this are no order of equal pieces.
const MOST_KINDS: usize = 100;

/// Fewer pieces of more kinds than this are searched better as a whole.
const MANY: usize = 120;
const FEW_KINDS: usize = 3;

/// An order by kinds.
pub struct Kinds {
    /// The same cloth, with one item for each kind and as many copies as there are in all.
    pub problem: Problem,
    /// The same shapes, with the ways of each kind.
    pub shapes: Shapes,
    /// By kind: the copies, and the ways of their item.
    stock: Vec<Vec<(PieceId, Vec<Variant>)>>,
}

impl Kinds {
    /// Of a problem; `None` where flaws or a print make places differ, or no two pieces are alike.
    pub fn of(problem: &Problem, shapes: &Shapes) -> Option<Self> {
        let is_anchored = |item: &Item| item.copies > 0 && item.anchor.is_some();
        if !problem.cloth.flaws.is_empty() || problem.items.iter().any(is_anchored) {
            return None;
        }
        let turns = garment_turns(problem, shapes);
        let mut by_shapes: BTreeMap<Vec<ShapeId>, Vec<usize>> = BTreeMap::new();
        let ways = |item: usize| -> Vec<Variant> {
            let garment = problem.items[item].garment;
            let turn = garment.and_then(|garment| turns.get(&garment));
            let all = shapes.variants[item].iter().copied();
            all.filter(|v| turn.is_none_or(|&turn| v.turn == turn))
                .collect()
        };
        for (item, spec) in problem.items.iter().enumerate() {
            if spec.copies > 0 {
                let mut key: Vec<ShapeId> = ways(item).iter().map(|v| v.shape).collect();
                key.sort_unstable();
                by_shapes.entry(key).or_default().push(item);
            }
        }
        let (kinds, pieces) = (by_shapes.len(), problem.piece_count());
        if kinds > MOST_KINDS || kinds == pieces || pieces < MANY && kinds > FEW_KINDS {
            return None;
        }
        let mut items = Vec::new();
        let mut variants = Vec::new();
        let mut stock = Vec::new();
        for members in by_shapes.into_values() {
            let first = members[0];
            let copies = |item: usize| {
                let ways = ways(item);
                (0..problem.items[item].copies)
                    .map(move |copy| (PieceId { item, copy }, ways.clone()))
            };
            let all: Vec<(PieceId, Vec<Variant>)> =
                members.iter().copied().flat_map(copies).collect();
            items.push(Item {
                copies: all.len() as u32,
                garment: None,
                ..problem.items[first].clone()
            });
            variants.push(ways(first));
            stock.push(all);
        }
        Some(Kinds {
            problem: Problem {
                items,
                ..problem.clone()
            },
            shapes: Shapes {
                shapes: shapes.shapes.clone(),
                known: Arc::clone(&shapes.known),
                variants,
            },
            stock,
        })
    }

    /// How many kinds there are.
    pub fn count(&self) -> usize {
        self.stock.len()
    }

    /// By kind: how many are to be laid.
    pub fn demand(&self) -> Vec<u32> {
        self.stock.iter().map(|all| all.len() as u32).collect()
    }

    /// Twice the area of a piece of this kind.
    pub fn doubled_area(&self, kind: usize) -> i128 {
        let first = self.shapes.variants[kind].first();
        first.map_or(0, |v| self.shapes.shape(v.shape).doubled_area)
    }

    /// Length of a piece as it lies.
    pub fn along(&self, laid: &Laid) -> i64 {
        self.shapes.shape(laid.variant.shape).along
    }

    /// Pieces by kind become the copies that were ordered, each laid in the shape it has here.
    pub fn named(&self, laid: &mut [Laid]) {
        let mut next = vec![0; self.count()];
        for laid in laid {
            let kind = laid.piece.item;
            let (copy, ways) = &self.stock[kind][next[kind]];
            next[kind] += 1;
            let same = ways.iter().find(|v| v.shape == laid.variant.shape);
            laid.piece = *copy;
            laid.variant = same.copied().unwrap_or(laid.variant);
        }
    }
}

/// A turn for each garment that has to take one: those it can take by turns, so that as many lie one way as
/// the other.
fn garment_turns(problem: &Problem, shapes: &Shapes) -> BTreeMap<u32, Turn> {
    let mut turns: BTreeMap<u32, Turn> = BTreeMap::new();
    for (item, spec) in problem.items.iter().enumerate() {
        let Some(garment) = spec.garment else {
            continue;
        };
        let number = turns.len();
        let all = &shapes.variants[item];
        turns
            .entry(garment)
            .or_insert_with(|| all[number % all.len()].turn);
    }
    turns
}
