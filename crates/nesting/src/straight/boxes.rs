//! The boxes of pieces: those of one kind may be exchanged for each other.

use std::collections::BTreeMap;

use pieces::{Cutting, Outline};

use crate::constructive::PieceId;
use crate::problem::{Placement, Problem};
use crate::shapes::{Shapes, Variant};

/// Sizes across and along, the spacing added.
pub type Size = [i64; 2];

/// Pieces whose boxes may have the same sizes.
#[derive(Clone, Debug)]
pub struct Kind {
    /// Those they may have, the least long first: none is larger than another both ways.
    pub sizes: Vec<Size>,
    /// The pieces.
    pub pieces: Vec<PieceId>,
}

/// All boxes, and the cloth they are cut from.
#[derive(Debug)]
pub struct Boxes<'p> {
    problem: &'p Problem,
    shapes: &'p Shapes,
    /// The longest first.
    pub kinds: Vec<Kind>,
    /// Of the cloth, the spacing added.
    pub across: i64,
    /// See [`Cutting`].
    pub cutting: Cutting,
}

impl<'p> Boxes<'p> {
    /// Of a problem without flaws and prints.
    #[must_use]
    pub fn of(problem: &'p Problem, shapes: &'p Shapes) -> Self {
        let mut kinds: BTreeMap<Vec<Size>, Vec<PieceId>> = BTreeMap::new();
        for (item, spec) in problem.items.iter().enumerate() {
            if spec.copies > 0 {
                let pieces = kinds.entry(sizes(problem, shapes, item)).or_default();
                pieces.extend((0..spec.copies).map(|copy| PieceId { item, copy }));
            }
        }
        let mut kinds: Vec<Kind> = kinds
            .into_iter()
            .map(|(sizes, pieces)| Kind { sizes, pieces })
            .collect();
        kinds.sort_by_key(|kind| {
            let [across, along] = kind.sizes[0];
            (-along, -across)
        });
        Boxes {
            problem,
            shapes,
            kinds,
            across: problem.cloth.usable_width().um() + problem.spacing.um(),
            cutting: problem.cutting,
        }
    }

    /// The same, to be parted in another way.
    #[must_use]
    pub fn cut_by(&self, cutting: Cutting) -> Self {
        Boxes {
            kinds: self.kinds.clone(),
            cutting,
            ..*self
        }
    }

    /// Whether trees are all there is: no straight cuts part the pieces of a shorter layout. With a spacing pieces
    /// need it only from those that they face, so columns may come nearer to each other than trees have it;
    /// and of a garment only one turn is in them.
    #[must_use]
    pub fn are_all(&self) -> bool {
        let has_one_box = |item: usize| {
            let all = &self.shapes.variants[item];
            let size = |way: &Variant| grown(self.problem, self.shapes, way);
            all.windows(2).all(|two| size(&two[0]) == size(&two[1]))
        };
        let items = self.problem.items.iter().enumerate();
        let mut bound = items.filter(|(_, item)| item.garment.is_some());
        self.spacing() == 0 && bound.all(|(item, _)| has_one_box(item))
    }

    /// How many there are of each kind.
    #[must_use]
    pub fn counts(&self) -> Vec<u32> {
        let counts = self.kinds.iter().map(|kind| kind.pieces.len() as u32);
        counts.collect()
    }

    /// The area of a box of this kind, square micrometres.
    #[must_use]
    pub fn area(&self, kind: usize) -> i128 {
        let [across, along] = self.kinds[kind].sizes[0].map(i128::from);
        across * along
    }

    /// A piece as it lies.
    #[must_use]
    pub fn placed(&self, placement: &Placement) -> Outline {
        self.problem.placed(placement)
    }

    /// Kept free between pieces, micrometres.
    #[must_use]
    pub fn spacing(&self) -> i64 {
        self.problem.spacing.um()
    }

    /// Left border of the usable width, micrometres.
    #[must_use]
    pub fn left(&self) -> i64 {
        self.problem.cloth.left.um()
    }

    /// Right border of the usable width, micrometres.
    #[must_use]
    pub fn right(&self) -> i64 {
        self.problem.cloth.right.um()
    }

    /// A way to lay a piece in which its box has this size.
    pub fn way(&self, piece: PieceId, size: Size) -> Option<Variant> {
        let ways = ways(self.problem, self.shapes, piece.item);
        ways.into_iter()
            .find(|way| grown(self.problem, self.shapes, way) == size)
    }
}

/// The ways in which an item may be laid. Pieces of a garment share a turn: all take the first, which is the same
/// for each of them, and no other turn makes another box of them.
fn ways(problem: &Problem, shapes: &Shapes, item: usize) -> Vec<Variant> {
    let all = &shapes.variants[item];
    let is_open = |way: &&Variant| problem.items[item].garment.is_none() || way.turn == all[0].turn;
    all.iter().filter(is_open).copied().collect()
}

fn grown(problem: &Problem, shapes: &Shapes, way: &Variant) -> Size {
    let shape = shapes.shape(way.shape);
    let spacing = problem.spacing.um();
    [shape.across + spacing, shape.along + spacing]
}

fn sizes(problem: &Problem, shapes: &Shapes, item: usize) -> Vec<Size> {
    let all = ways(problem, shapes, item);
    let mut sizes: Vec<Size> = all.iter().map(|way| grown(problem, shapes, way)).collect();
    sizes.sort_unstable_by_key(|&[across, along]| (along, across));
    // Those that are longer and no narrower are of no use.
    let mut kept: Vec<Size> = Vec::new();
    for size in sizes {
        if kept.last().is_none_or(|last| size[0] < last[0]) {
            kept.push(size);
        }
    }
    kept
}
