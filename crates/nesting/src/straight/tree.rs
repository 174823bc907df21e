//! What is cut apart, and in what order.

use pieces::{Length, Point};

use super::boxes::{Boxes, Size};
use crate::constructive::{Laid, Layout};
use crate::problem::{Cut, CutDirection};
use crate::shapes::Shapes;

/// A piece, or parts that straight cuts part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tree {
    /// One piece of a kind.
    Piece {
        /// Number of the kind.
        kind: usize,
        /// Its size.
        size: Size,
    },
    /// Parts one behind the other, or side by side.
    Parts {
        /// Which way the cuts between them run.
        cuts: CutDirection,
        /// From the cut end, or from the left.
        parts: Vec<Tree>,
        /// Of all of them.
        size: Size,
    },
}

impl Tree {
    /// Of these parts, those of the same direction taken apart.
    #[must_use]
    pub fn of(cuts: CutDirection, parts: Vec<Tree>) -> Tree {
        let mut all: Vec<Tree> = Vec::with_capacity(parts.len());
        for part in parts {
            match part {
                Tree::Parts {
                    cuts: same, parts, ..
                } if same == cuts => all.extend(parts),
                other => all.push(other),
            }
        }
        let (added, other) = match cuts {
            CutDirection::Across => (1, 0),
            CutDirection::Along => (0, 1),
        };
        let mut size = [0, 0];
        for part in &all {
            size[added] += part.size()[added];
            size[other] = part.size()[other].max(size[other]);
        }
        Tree::Parts {
            cuts,
            parts: all,
            size,
        }
    }

    /// Sizes across and along, the spacing added.
    #[must_use]
    pub fn size(&self) -> Size {
        match self {
            Tree::Piece { size, .. } | Tree::Parts { size, .. } => *size,
        }
    }

    /// Adds the pieces of each kind to `counts`.
    pub fn count(&self, counts: &mut [u32]) {
        match self {
            Tree::Piece { kind, .. } => counts[*kind] += 1,
            Tree::Parts { parts, .. } => parts.iter().for_each(|part| part.count(counts)),
        }
    }

    /// The pieces in their places, and the cuts that part them, in order; the first cuts the layout off the cloth.
    /// `None` if a piece can't be laid in the size it has in the tree.
    #[must_use]
    pub fn laid(&self, boxes: &Boxes<'_>, shapes: &Shapes) -> Option<(Layout, Vec<Cut>)> {
        let mut cutter = Cutter {
            boxes,
            next: vec![0; boxes.kinds.len()],
            laid: Vec::new(),
            cuts: Vec::new(),
        };
        let [left, right] = [boxes.left(), boxes.right()];
        let end = self.size()[1] - boxes.spacing();
        cutter.cut(CutDirection::Across, end, [left, right]);
        let start = Point::new(left, 0);
        let whole = [start, Point::new(right, end)];
        cutter.cut_apart(self, start, whole, CutDirection::Across)?;
        let layout = Layout::of(shapes, cutter.laid);
        Some((layout, cutter.cuts))
    }
}

struct Cutter<'b> {
    boxes: &'b Boxes<'b>,
    /// By kind, how many are laid.
    next: Vec<usize>,
    laid: Vec<Laid>,
    cuts: Vec<Cut>,
}

impl Cutter<'_> {
    fn cut(&mut self, direction: CutDirection, at: i64, [from, to]: [i64; 2]) {
        let [at, from, to] = [at, from, to].map(Length::from_um);
        self.cuts.push(Cut {
            direction,
            at,
            from,
            to,
        });
    }

    /// Cuts off what lies beyond `far` in a part; the greatest corner of what is left. No more than is kept free
    /// between pieces is not worth a cut, nor is a sliver beyond that.
    fn trim(&mut self, far: Point, [min, max]: [Point; 2], direction: CutDirection) -> Point {
        let least = self.boxes.spacing() + self.boxes.sliver().max(1);
        match direction {
            CutDirection::Across if far.y + least <= max.y => {
                self.cut(direction, far.y, [min.x, max.x]);
                Point::new(max.x, far.y)
            }
            CutDirection::Along if far.x + least <= max.x => {
                self.cut(direction, far.x, [min.y, max.y]);
                Point::new(far.x, max.y)
            }
            _ => max,
        }
    }

    /// Lays a tree with its least corner at `at`, and cuts it apart and out of the part in which it lies. Cuts run
    /// in the middle of what is kept free between pieces.
    fn cut_apart(
        &mut self,
        tree: &Tree,
        at: Point,
        [min, max]: [Point; 2],
        last: CutDirection,
    ) -> Option<()> {
        let spacing = self.boxes.spacing();
        let back = (spacing + 1) / 2;
        let far = at.plus(Point::new(tree.size()[0] - back, tree.size()[1] - back));
        // What is left over comes off by cuts like the last ones first: one turn less, and once for all.
        let max = self.trim(far, [min, max], last);
        match tree {
            Tree::Piece { kind, size } => {
                let other = match last {
                    CutDirection::Across => CutDirection::Along,
                    CutDirection::Along => CutDirection::Across,
                };
                self.trim(far, [min, max], other);
                let piece = *self.boxes.kinds[*kind].pieces.get(self.next[*kind])?;
                self.next[*kind] += 1;
                self.laid.push(Laid {
                    piece,
                    variant: self.boxes.way(piece, *size)?,
                    at,
                });
            }
            Tree::Parts { cuts, parts, .. } => {
                // All parts first, so that cuts of one kind come one after the other; then each by itself.
                let (mut at, mut min) = (at, min);
                let mut places = Vec::with_capacity(parts.len());
                for (number, part) in parts.iter().enumerate() {
                    let [across, along] = part.size();
                    let mut far = max;
                    let next = match cuts {
                        CutDirection::Across => at.plus(Point::new(0, along)),
                        CutDirection::Along => at.plus(Point::new(across, 0)),
                    };
                    let mut rest = min;
                    if number + 1 < parts.len() {
                        match cuts {
                            CutDirection::Across => {
                                far.y = next.y - back;
                                rest.y = far.y;
                                self.cut(*cuts, far.y, [min.x, max.x]);
                            }
                            CutDirection::Along => {
                                far.x = next.x - back;
                                rest.x = far.x;
                                self.cut(*cuts, far.x, [min.y, max.y]);
                            }
                        }
                    }
                    places.push((at, [min, far]));
                    (at, min) = (next, rest);
                }
                for (part, (at, place)) in parts.iter().zip(places) {
                    self.cut_apart(part, at, place, *cuts)?;
                }
            }
        }
        Some(())
    }
}
