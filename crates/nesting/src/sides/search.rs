//! Nodes and their children, depth first.

use std::cmp::Reverse;

use super::kinds::{Pieces, Side};
use super::node::{Node, Solved};
use super::simplex::Simplex;
use crate::certificate::sides::word;

/// Sides nearer than this are kept, micrometres.
const NEAR: f64 = 1e-3;

/// So many pairs are looked at closely before one is chosen.
const CLOSELY: usize = 4;

/// Numbers of a tree at most: more are not kept.
pub(super) const MOST_NUMBERS: usize = 700_000;

/// A piece where it may lie: its stance, and the corner of its box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    pub stance: usize,
    pub x: i64,
    pub y: i64,
}

/// What is known of a node and all below it.
pub(super) enum Done {
    /// Nothing fits; the tree, of which something is missing if it is too long.
    Refused(Vec<u64>),
    Laid(Vec<Spot>),
    Open,
}

pub(super) enum Child {
    Done(Vec<u64>),
    Open,
    Node(Box<Node>),
}

pub(super) enum Step {
    /// What the tree says here, and the children in its order; those to be looked at first.
    Children(Vec<u64>, Vec<Child>, Vec<usize>),
    Laid(Vec<Spot>),
    Open,
}

/// The pair to go on with, and the guess beyond each side that is left.
struct Chosen {
    pair: usize,
    left: Vec<(usize, Simplex)>,
}

/// Two parts of two pieces.
struct Pair {
    pieces: [usize; 2],
    parts: usize,
}

pub(super) struct Search<'s> {
    pub pieces: &'s Pieces,
    pub length: i64,
    /// Pieces in the order in which they take stances.
    order: Vec<usize>,
    pairs: Vec<Pair>,
    /// Sides that boxes allow, by stance and stance.
    sides: Vec<Vec<Vec<Side>>>,
    first: Vec<usize>,
}

/// What is left to spend.
pub(super) struct Purse<'p> {
    /// In about nanoseconds.
    pub work: u64,
    /// Layouts that may still be tried in vain.
    pub patience: u32,
    pub can_lay: &'p (dyn Fn(&[Spot]) -> bool + Sync),
    pub stop: &'p (dyn Fn() -> bool + Sync),
    /// Of the tree so far.
    pub numbers: usize,
    /// Room for guesses.
    pub spare: Vec<Simplex>,
}

impl<'s> Search<'s> {
    pub fn new(pieces: &'s Pieces, length: i64) -> Self {
        let count = pieces.kind_of.len();
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by_key(|&p| (Reverse(pieces.kinds[pieces.kind_of[p]].doubled_area), p));
        let parts = |p: usize| pieces.kinds[pieces.kind_of[p]].stances[0].parts.len();
        let mut pairs = Vec::new();
        for other in 0..count {
            for one in 0..other {
                pairs.extend((0..parts(one) * parts(other)).map(|parts| Pair {
                    pieces: [one, other],
                    parts,
                }));
            }
        }
        let mut first = vec![0];
        for kind in &pieces.kinds {
            first.push(first[first.len() - 1] + kind.stances.len());
        }
        let all = || pieces.kinds.iter().flat_map(|kind| &kind.stances);
        let mut sides = Vec::new();
        for (a, one) in all().enumerate() {
            for (b, other) in all().enumerate() {
                let least = [one.across - pieces.usable, one.along - length];
                let most = [pieces.usable - other.across, length - other.along];
                let is_possible = |side: &&Side| {
                    let reach = |n: i64, way: usize| n * if n > 0 { most[way] } else { least[way] };
                    reach(side.normal.x, 0) + reach(side.normal.y, 1) >= side.floor
                };
                let of_stances = pieces.sides_of(a, b).iter();
                sides.push(
                    of_stances
                        .map(|sides| sides.iter().filter(is_possible).copied().collect())
                        .collect(),
                );
            }
        }
        Search {
            pieces,
            length,
            order,
            pairs,
            sides,
            first,
        }
    }

    pub fn root(&self) -> Node {
        Node::root(self.pieces, self.length, self.pairs.len())
    }

    fn sides(&self, node: &Node, pair: usize) -> Option<&[Side]> {
        let Pair { pieces, parts } = self.pairs[pair];
        let [one, other] = pieces.map(|p| {
            let stance = node.stances[p]?;
            Some(self.first[self.pieces.kind_of[p]] + stance)
        });
        let all = self.first[self.first.len() - 1];
        Some(&self.sides[one? * all + other?][parts])
    }

    /// All below a node.
    pub fn run(&self, node: Node, purse: &mut Purse<'_>) -> Done {
        let (mut head, children, order) = match self.step(node, purse) {
            Step::Laid(spots) => return Done::Laid(spots),
            Step::Open => return Done::Open,
            Step::Children(head, children, order) => (head, children, order),
        };
        let leaves = children.iter().map(|child| match child {
            Child::Done(leaf) => leaf.len(),
            _ => 0,
        });
        purse.numbers += head.len() + leaves.sum::<usize>();
        let mut is_open = children.iter().any(|child| matches!(child, Child::Open));
        if is_open && purse.patience == 0 {
            return Done::Open;
        }
        let mut children: Vec<Option<Child>> = children.into_iter().map(Some).collect();
        for at in order {
            let Some(Child::Node(node)) = children[at].take_if(|c| matches!(c, Child::Node(_)))
            else {
                continue;
            };
            match self.run(*node, purse) {
                Done::Refused(tree) => children[at] = Some(Child::Done(tree)),
                Done::Laid(spots) => return Done::Laid(spots),
                Done::Open => is_open = true,
            }
            if is_open && (purse.patience == 0 || purse.work == 0 || (purse.stop)()) {
                return Done::Open;
            }
        }
        if is_open {
            return Done::Open;
        }
        for child in children.into_iter().flatten() {
            if let Child::Done(tree) = child
                && purse.numbers <= MOST_NUMBERS
            {
                head.extend(tree);
            }
        }
        Done::Refused(head)
    }

    /// One node.
    pub fn step(&self, mut node: Node, purse: &mut Purse<'_>) -> Step {
        purse.work = purse
            .work
            .saturating_sub(3_000 + 30 * self.pairs.len() as u64);
        if purse.work == 0 || (purse.stop)() {
            return Step::Open;
        }
        let mut violated: Vec<(u32, usize, f64)> = Vec::new();
        for pair in 0..self.pairs.len() {
            let Some(sides) = self.sides(&node, pair) else {
                continue;
            };
            let (x, y) = node.apart(self.pairs[pair].pieces);
            let most = sides.iter().map(|&side| beyond_by(side, x, y));
            let most = most.fold(f64::MIN, f64::max);
            if most < -NEAR {
                violated.push((node.left[pair].count_ones(), pair, -most));
            }
        }
        if let Some(chosen) = self.choose(&mut node, violated, purse) {
            let step = self.by_sides(&node, chosen, purse);
            purse.spare.push(node.into_guess());
            return step;
        }
        let next = self.order.iter().find(|&&p| node.stances[p].is_none());
        match next {
            Some(&piece) => self.by_stances(&node, piece, purse),
            None => {
                let spots = self.spots(&node);
                if purse.patience > 0 && (purse.can_lay)(&spots) {
                    return Step::Laid(spots);
                }
                purse.patience = purse.patience.saturating_sub(1);
                Step::Open
            }
        }
    }

    /// The pair with the fewest sides left, of those looked at closely, with how the guess goes on beyond each.
    fn choose(
        &self,
        node: &mut Node,
        mut violated: Vec<(u32, usize, f64)>,
        purse: &mut Purse<'_>,
    ) -> Option<Chosen> {
        violated.sort_by(|a, b| a.0.cmp(&b.0).then(b.2.total_cmp(&a.2)).then(a.1.cmp(&b.1)));
        let mut best: Option<Chosen> = None;
        for &(_, pair, _) in violated.iter().take(CLOSELY) {
            if best.as_ref().is_some_and(|best| best.left.len() < 2) {
                break;
            }
            let mut left = Vec::new();
            let sides = self.sides(node, pair).unwrap_or_default();
            for (number, &side) in sides.iter().enumerate() {
                if node.left[pair] >> number & 1 == 0 {
                    continue;
                }
                let pieces = self.pairs[pair].pieces;
                match node.probe(pieces, side, &mut purse.spare, &mut purse.work) {
                    Ok(guess) => left.push((number, guess)),
                    Err(by) => node.bury(pair, number, by),
                }
            }
            let is_best = best
                .as_ref()
                .is_none_or(|best| left.len() < best.left.len());
            let dropped = if is_best {
                let last = best.replace(Chosen { pair, left });
                last.map(|last| last.left).unwrap_or_default()
            } else {
                left
            };
            purse
                .spare
                .extend(dropped.into_iter().map(|(_, guess)| guess));
        }
        best
    }

    fn by_sides(&self, node: &Node, chosen: Chosen, purse: &mut Purse<'_>) -> Step {
        let pair = chosen.pair;
        let sides = self.sides(node, pair).unwrap_or_default();
        let Pair { pieces, parts } = self.pairs[pair];
        let head = word::pair(pieces, parts);
        let (x, y) = node.apart(pieces);
        let mut order: Vec<(f64, usize)> = Vec::new();
        let mut children = Vec::with_capacity(sides.len());
        let mut left = chosen.left.into_iter().peekable();
        for (number, &side) in sides.iter().enumerate() {
            let Some((_, guess)) = left.next_if(|(next, _)| *next == number) else {
                let by = node.refusing(pair, number).unwrap_or_default();
                children.push(Child::Done(word::leaf(&by)));
                continue;
            };
            let mut child = node.with(guess);
            child.put_beyond(pieces, side);
            for (before, &other) in sides[..number].iter().enumerate() {
                child.put_before(pieces, other, node.left[pair] >> before & 1 == 1);
            }
            child.left[pair] &= 1 << number;
            order.push((-beyond_by(side, x, y), number));
            children.push(solved(child, purse));
        }
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        let order = order.into_iter().map(|(_, number)| number).collect();
        Step::Children(head, children, order)
    }

    fn by_stances(&self, node: &Node, piece: usize, purse: &mut Purse<'_>) -> Step {
        let mut children = Vec::new();
        for number in 0..self.pieces.kinds[self.pieces.kind_of[piece]].stances.len() {
            if !node.may_take(self.pieces, self.length, piece, number) {
                continue;
            }
            let mut child = node.again();
            child.take(self.pieces, self.length, piece, number);
            for pair in 0..self.pairs.len() {
                if self.pairs[pair].pieces.contains(&piece)
                    && let Some(sides) = self.sides(&child, pair)
                {
                    child.left[pair] = mask(sides.len());
                }
            }
            children.push(solved(child, purse));
        }
        let order = (0..children.len()).collect();
        Step::Children(word::stance(piece), children, order)
    }

    fn spots(&self, node: &Node) -> Vec<Spot> {
        let spot = |(piece, stance): (usize, &Option<usize>)| {
            let (x, y) = node.at(piece);
            Spot {
                stance: stance.unwrap_or(0),
                x: x.round() as i64,
                y: y.round() as i64,
            }
        };
        node.stances.iter().enumerate().map(spot).collect()
    }
}

/// How far beyond a side a place is.
fn beyond_by(side: Side, x: f64, y: f64) -> f64 {
    let (nx, ny) = (side.normal.x as f64, side.normal.y as f64);
    (nx * x + ny * y - side.floor as f64) / nx.hypot(ny)
}

fn solved(mut child: Node, purse: &mut Purse<'_>) -> Child {
    purse.work = purse.work.saturating_sub(1_500);
    match child.solve(&mut purse.work) {
        Solved::Point => Child::Node(Box::new(child)),
        Solved::Refused(by) => Child::Done(word::leaf(&by)),
        Solved::Unclear => Child::Open,
    }
}

fn mask(count: usize) -> u64 {
    if count >= 64 {
        u64::MAX
    } else {
        (1 << count) - 1
    }
}
