//! The boxes of pieces: those of one kind may be exchanged for each other.

use std::collections::BTreeMap;

use pieces::{Cutting, Outline};

use crate::constructive::PieceId;
use crate::problem::{Placement, Problem, sliver};
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
    /// Kept free between them, micrometres.
    spacing: i64,
    /// Whether a piece may be turned whatever the rest of its garment does.
    each_turned: bool,
    /// See [`Cutting`].
    pub cutting: Cutting,
}

impl<'p> Boxes<'p> {
    /// Of a problem without flaws and prints: as they are laid.
    #[must_use]
    pub fn of(problem: &'p Problem, shapes: &'p Shapes) -> Self {
        Boxes::with(problem, shapes, problem.spacing.um(), false)
    }

    /// The same with no more between them than twice what each keeps from every cut, and pieces of a garment turned each as
    /// it likes. Every layout that straight cuts part is a tree of these.
    #[must_use]
    pub fn at_least(problem: &'p Problem, shapes: &'p Shapes) -> Self {
        Boxes::with(problem, shapes, problem.spacing.um() / 2 * 2, true)
    }

    fn with(problem: &'p Problem, shapes: &'p Shapes, spacing: i64, each_turned: bool) -> Self {
        let mut boxes = Boxes {
            problem,
            shapes,
            kinds: Vec::new(),
            across: problem.cloth.usable_width().um() + spacing,
            spacing,
            each_turned,
            cutting: problem.cutting,
        };
        let mut kinds: BTreeMap<Vec<Size>, Vec<PieceId>> = BTreeMap::new();
        for (item, spec) in problem.items.iter().enumerate() {
            if spec.copies > 0 {
                let pieces = kinds.entry(boxes.sizes(item)).or_default();
                pieces.extend((0..spec.copies).map(|copy| PieceId { item, copy }));
            }
        }
        let kinds = kinds.into_iter();
        boxes.kinds = kinds
            .map(|(sizes, pieces)| Kind { sizes, pieces })
            .collect();
        boxes.kinds.sort_by_key(|kind| {
            let [across, along] = kind.sizes[0];
            (-along, -across)
        });
        boxes
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

    /// Whether trees of these are all that straight cuts can part: they are the boxes of [`Boxes::at_least`].
    #[must_use]
    pub fn are_all(&self) -> bool {
        let has_one_box = |item: usize| {
            let all = &self.shapes.variants[item];
            let size = |way: &Variant| self.grown(way);
            all.windows(2).all(|two| size(&two[0]) == size(&two[1]))
        };
        let items = self.problem.items.iter().enumerate();
        let mut bound = items.filter(|(_, item)| item.garment.is_some());
        let is_open = self.each_turned || bound.all(|(item, _)| has_one_box(item));
        self.spacing % 2 == 0 && is_open
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
        self.spacing
    }

    /// What need not be cut off, if it is narrower, micrometres.
    #[must_use]
    pub fn sliver(&self) -> i64 {
        sliver(self.problem.marking_step).um()
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
        let mut ways = self.ways(piece.item);
        ways.find(|way| self.grown(way) == size)
    }

    /// The ways in which an item may be laid. Pieces of a garment share a turn: all take the first, which is the same
    /// for each of them, and no other turn makes another box of them.
    fn ways(&self, item: usize) -> impl Iterator<Item = Variant> {
        let all = &self.shapes.variants[item];
        let is_free = self.each_turned || self.problem.items[item].garment.is_none();
        let is_open = move |way: &&Variant| is_free || way.turn == all[0].turn;
        all.iter().filter(is_open).copied()
    }

    fn grown(&self, way: &Variant) -> Size {
        let shape = self.shapes.shape(way.shape);
        [shape.across + self.spacing, shape.along + self.spacing]
    }

    fn sizes(&self, item: usize) -> Vec<Size> {
        let mut sizes: Vec<Size> = self.ways(item).map(|way| self.grown(&way)).collect();
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
}
