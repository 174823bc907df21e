//! Do these few pieces go on this length? Settled by the sides on which they keep clear of each other.
//!
//! Two convex pieces do not overlap exactly if one lies beyond some edge of their no-fit polygon, seen from the other.
//! To lie beyond an edge is linear in the places of both; so with an edge chosen for each two pieces, whether they fit is a
//! linear program. The search starts with no edge chosen and, where two pieces overlap in a solution of the program so far,
//! tries all edges by which they may be apart ([`search`]); an edge that no solution allows drops out for all that
//! follows. Edges are tried in such a way that no place counts twice: beyond this one, and beyond none before it.
//! (Branching over edges of no-fit polygons with a linear program at each node: Fischetti and Luzzi 2009; from memory.)
//!
//! The programs are solved in floats ([`simplex`]), and prove nothing: where one says that rows refuse each other, how
//! much each counts is rounded to whole numbers, with which the contradiction is shown exactly ([`multipliers`]: Farkas'
//! lemma). The tree of all that was tried is an argument that can be checked, and is before it is said
//! ([`crate::certificate::sides`]).
//!
//! Unlike the search over places ([`crate::exact`]) this one is exact to the last micrometre, though for fewer pieces. Pieces
//! that are not convex are taken by convex parts of what they contain, spacing by a square within its disc; prints and flaws are
//! left out. So a refusal always holds, and a layout still has to be made one.

mod kinds;
mod multipliers;
mod node;
mod search;
mod simplex;
#[cfg(test)]
mod tests;

use pieces::{Length, Point};
use rayon::prelude::*;

use crate::bound::Lying;
use crate::certificate::numbers;
use crate::certificate::sides::{Sides, Within, proves};
use crate::problem::Problem;
use kinds::Pieces;
use search::{Child, Done, MOST_NUMBERS, Purse, Search, Spot, Step};

/// What is said of a length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// Nothing fits, and why.
    Refused(Sides),
    /// These, nearly where they lie, can be made a layout.
    Laid(Vec<Lying>),
    /// Neither is known.
    Open,
}

/// Who asks.
pub(crate) struct Asker<'s> {
    /// Whether these can be made a layout.
    pub can_lay: &'s (dyn Fn(&[Lying]) -> bool + Sync),
    /// How often that is tried in vain; never, if only a proof is wanted.
    pub patience: u32,
    /// Whether to give up.
    pub stop: &'s (dyn Fn() -> bool + Sync),
    pub threads: usize,
}

/// Questions about one problem.
pub(crate) struct BySides<'q> {
    problem: &'q Problem,
    pieces: Pieces,
}

/// Letters of a tree at most, as it stands in a file: a longer one is searched again instead.
const MOST_TEXT: usize = 2_000_000;

/// The tree is parted into so many, which may be searched at once; so many are begun together, each with such a share of
/// the work that is left.
const PARTED: usize = 24;
const TOGETHER: usize = 4;
const SHARE: u64 = 2;

impl<'q> BySides<'q> {
    /// How many sides there are to choose from, over all pairs of pieces: eight for each pair of panels.
    pub fn choices(&self) -> usize {
        self.pieces.choices()
    }

    /// `None` if the pieces are too many, or have too many corners.
    pub fn about(problem: &'q Problem) -> Option<Self> {
        let pieces = Pieces::of(problem)?;
        Some(BySides { problem, pieces })
    }

    /// Asks about one length. `work` is in about nanoseconds; what is left of it is given back. What is said depends on
    /// it, though not on the number of threads.
    pub fn ask(&self, length: i64, work: &mut u64, asker: &Asker<'_>) -> Outcome {
        if length > 1 << 28 {
            return Outcome::Open;
        }
        let search = Search::new(&self.pieces, length);
        let given = *work;
        let can_lay = |spots: &[Spot]| (asker.can_lay)(&self.lying(spots));
        let purse = |work: u64| Purse {
            work,
            patience: asker.patience,
            can_lay: &can_lay,
            stop: asker.stop,
            numbers: 0,
            spare: Vec::new(),
        };
        let mut first = purse(given);
        let mut top = Tree::parted(&search, &mut first);
        *work = first.work;
        let mut numbers = 0;
        let pending: Vec<usize> = top.pending();
        let mut is_open = top.is_open();
        if let Some(spots) = top.laid.take() {
            return Outcome::Laid(self.lying(&spots));
        }
        for wave in pending.chunks(TOGETHER) {
            if is_open && asker.patience == 0 || *work == 0 || (asker.stop)() {
                return Outcome::Open;
            }
            let share = (*work / SHARE).max(1);
            let nodes: Vec<_> = wave.iter().filter_map(|&at| top.take(at)).collect();
            let run = |node| {
                let mut purse = purse(share);
                let done = search.run(node, &mut purse);
                (done, share - purse.work, purse.numbers)
            };
            let all: Vec<(Done, u64, usize)> = if asker.threads > 1 {
                nodes.into_par_iter().map(run).collect()
            } else {
                nodes.into_iter().map(run).collect()
            };
            for (&at, (done, spent, more)) in wave.iter().zip(all) {
                *work = work.saturating_sub(spent);
                numbers += more;
                match done {
                    Done::Laid(spots) => return Outcome::Laid(self.lying(&spots)),
                    Done::Open => is_open = true,
                    Done::Refused(numbers) => top.nodes[at] = Top::Done(numbers),
                }
            }
        }
        if is_open || (asker.stop)() {
            return Outcome::Open;
        }
        let tree = Some(numbers).filter(|&numbers| numbers <= MOST_NUMBERS);
        let tree = tree
            .map(|_| top.numbers(0))
            .filter(|tree| numbers::text(tree).len() <= MOST_TEXT);
        let sides = Sides {
            parts: self.parts(),
            work: given,
            tree: tree.unwrap_or_default(),
        };
        let is_shown =
            sides.tree.is_empty() || proves(self.problem, &sides, Length::from_um(length));
        debug_assert!(is_shown);
        if is_shown {
            Outcome::Refused(sides)
        } else {
            Outcome::Open
        }
    }

    /// The argument if it refuses the length; no layout is looked for.
    pub fn refused(&self, length: i64, mut work: u64) -> Option<Sides> {
        let asker = Asker {
            can_lay: &|_| false,
            patience: 0,
            stop: &|| false,
            threads: 1,
        };
        match self.ask(length, &mut work, &asker) {
            Outcome::Refused(sides) => Some(sides),
            _ => None,
        }
    }

    /// Convex polygons within pieces that are none.
    fn parts(&self) -> Vec<Within> {
        let kinds = self
            .pieces
            .kinds
            .iter()
            .filter(|kind| !kind.parts.is_empty());
        let of = |kind: &kinds::Kind| Within {
            item: kind.items[0],
            polygons: kind.parts.clone(),
        };
        kinds.map(of).collect()
    }

    fn lying(&self, spots: &[Spot]) -> Vec<Lying> {
        let left = self.problem.cloth.left.um();
        let lying = |(spot, &kind): (&Spot, &usize)| {
            let kind = &self.pieces.kinds[kind];
            Lying {
                items: kind.items.clone(),
                outline: kind.stances[spot.stance].outline.clone(),
                at: Point::new(left + spot.x, spot.y),
            }
        };
        spots.iter().zip(&self.pieces.kind_of).map(lying).collect()
    }
}

/// The top of the tree.
struct Tree {
    nodes: Vec<Top>,
    laid: Option<Vec<Spot>>,
}

enum Top {
    Pending(Box<node::Node>),
    Taken,
    Open,
    Done(Vec<u64>),
    Parted(Vec<u64>, Vec<usize>),
}

impl Tree {
    /// Level by level, until there are so many to go on with.
    fn parted(search: &Search<'_>, purse: &mut Purse<'_>) -> Self {
        let mut tree = Tree {
            nodes: vec![Top::Pending(Box::new(search.root()))],
            laid: None,
        };
        let mut at = 0;
        while at < tree.nodes.len() && tree.pending().len() < PARTED {
            if let Some(node) = tree.take(at) {
                match search.step(node, purse) {
                    Step::Open => tree.nodes[at] = Top::Open,
                    Step::Laid(spots) => {
                        tree.laid = Some(spots);
                        return tree;
                    }
                    Step::Children(head, children, _) => {
                        let first = tree.nodes.len();
                        tree.nodes
                            .extend(children.into_iter().map(|child| match child {
                                Child::Done(numbers) => Top::Done(numbers),
                                Child::Open => Top::Open,
                                Child::Node(node) => Top::Pending(node),
                            }));
                        tree.nodes[at] = Top::Parted(head, (first..tree.nodes.len()).collect());
                    }
                }
            }
            at += 1;
        }
        tree
    }

    fn pending(&self) -> Vec<usize> {
        let all = self.nodes.iter().enumerate();
        all.filter(|(_, node)| matches!(node, Top::Pending(_)))
            .map(|(at, _)| at)
            .collect()
    }

    fn is_open(&self) -> bool {
        self.nodes.iter().any(|node| matches!(node, Top::Open))
    }

    fn take(&mut self, at: usize) -> Option<node::Node> {
        match std::mem::replace(&mut self.nodes[at], Top::Taken) {
            Top::Pending(node) => Some(*node),
            other => {
                self.nodes[at] = other;
                None
            }
        }
    }

    /// All of the tree below a node.
    fn numbers(&self, at: usize) -> Vec<u64> {
        match &self.nodes[at] {
            Top::Done(numbers) => numbers.clone(),
            Top::Parted(head, children) => {
                let mut numbers = head.clone();
                for &child in children {
                    numbers.extend(self.numbers(child));
                }
                numbers
            }
            _ => Vec::new(),
        }
    }
}
