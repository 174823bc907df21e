//! Goes through a tree, node by node.

use super::super::beside::{Beside, Lying};
use super::super::figures::Figures;
use super::super::room::is_missing;
use super::super::sections::PARTS;
use super::choices::Choices;
use super::{DOWN, HALVE, LITTLE, NOTHING, ROOM, SHAPE, TAKE};

/// Nodes below each other, and pieces, at most.
const MOST_DEEP: usize = 1_000;
const MOST_PIECES: usize = 32;

/// Orders across that are tried at a leaf.
const ORDERS: u64 = 20_000;

/// Parts in which distances are looked at, at a leaf: first as a whole.
const PARTED: [i64; 3] = [1, 8, 64];

/// Choices and pairs looked at, at most: some minute.
const MOST_LOOKS: u64 = 3_000_000_000;

pub(super) struct Walk<'w> {
    figures: &'w Figures,
    choices: &'w Choices,
    beside: Beside<'w>,
    numbers: std::slice::Iter<'w, u64>,
    turned: Option<usize>,
    /// By kind: twice the least area, in parts.
    areas: Vec<i128>,
    looks: u64,
}

/// Where it stands.
#[derive(Clone)]
struct Node {
    placed: Vec<Lying>,
    /// Copies to place, by kind.
    left: Vec<u64>,
    /// Choices that go, in order.
    open: Vec<usize>,
    /// On each line, in parts.
    used: Vec<i64>,
    /// Turns left to garments.
    turns: Vec<(u32, u8)>,
}

impl<'w> Walk<'w> {
    /// `None` if there is too much to look at.
    pub fn new(
        figures: &'w Figures,
        choices: &'w Choices,
        numbers: &'w [u64],
        turned: Option<usize>,
    ) -> Option<Self> {
        let copies: u64 = figures.kinds.iter().map(|kind| kind.copies).sum();
        let of_kind = |kind: usize| figures.all.iter().filter(move |f| f.kind == kind);
        let areas = (0..figures.kinds.len()).map(|kind| {
            let grown = |f| area(f, 0, choices.wider);
            of_kind(kind).map(grown).min().unwrap_or(0)
        });
        (copies <= MOST_PIECES as u64).then(|| Walk {
            figures,
            choices,
            beside: Beside::new(figures),
            numbers: numbers.iter(),
            turned,
            areas: areas.collect(),
            looks: 0,
        })
    }

    /// Whether all of it holds, and nothing is left over.
    pub fn holds(mut self) -> bool {
        let Some(open) = self.at_first() else {
            return false;
        };
        let root = Node {
            placed: Vec::new(),
            left: self.figures.kinds.iter().map(|kind| kind.copies).collect(),
            open,
            used: vec![0; self.choices.lines],
            turns: Vec::new(),
        };
        self.node(root, 0).is_some() && self.numbers.next().is_none()
    }

    /// All choices but those that turning the whole cloth end for end makes others of.
    fn at_first(&self) -> Option<Vec<usize>> {
        let all = 0..self.choices.all.len();
        let Some(kind) = self.turned else {
            return Some(all.collect());
        };
        let figures = &self.figures.all;
        let about = |one: &super::super::figures::Figure| {
            figures.iter().position(|other| one.is_turned(other))
        };
        let abouts: Vec<usize> = figures.iter().map(about).collect::<Option<_>>()?;
        let is_only = self.figures.kinds.get(kind)?.copies == 1;
        let goes = |&choice: &usize| {
            let choice = &self.choices.all[choice];
            let figure = choice.lying.figure;
            let room = self.choices.length - figures[figure].along;
            choice.kind != kind
                || figure < abouts[figure]
                || figure == abouts[figure] && 2 * choice.lying.from <= room
        };
        is_only.then(|| all.filter(goes).collect())
    }

    fn next(&mut self) -> Option<usize> {
        usize::try_from(*self.numbers.next()?).ok()
    }

    fn look(&mut self, times: usize) -> Option<()> {
        self.looks += times as u64;
        (self.looks + 100 * self.beside.looks() <= MOST_LOOKS).then_some(())
    }

    /// A node and all below it; `None` if it does not hold.
    fn node(&mut self, mut node: Node, deep: usize) -> Option<()> {
        if deep > MOST_DEEP {
            return None;
        }
        loop {
            match *self.numbers.next()? {
                TAKE => {
                    let choice = self.next()?;
                    // One that does not go may be taken all the same: whoever made the tree did not see that.
                    let next = self.take(&node, choice)?;
                    self.node(next, deep + 1)?;
                    node.open.retain(|&open| open != choice);
                }
                HALVE => return self.halve(&mut node, deep),
                SHAPE => return self.shapes(&mut node, deep),
                ROOM => return self.room(&node),
                NOTHING => {
                    let kind = self.next()?;
                    let goes = |&choice: &usize| self.choices.all[choice].kind == kind;
                    let is_left = node.left.get(kind).is_some_and(|&left| left > 0);
                    return (is_left && !node.open.iter().any(goes)).then_some(());
                }
                LITTLE => return self.is_too_little(&node).then_some(()),
                DOWN => {
                    let is_down = |&choice: &usize| self.choices.all[choice].lying.from == 0;
                    let is_bare = node.placed.is_empty() && node.left.iter().any(|&left| left > 0);
                    return (is_bare && !node.open.iter().any(is_down)).then_some(());
                }
                _ => return None,
            }
        }
    }

    /// After a copy took a choice, with what then still goes.
    fn take(&mut self, node: &Node, number: usize) -> Option<Node> {
        let choice = self.choices.all.get(number)?;
        let mut next = node.clone();
        next.left[choice.kind] = node.left[choice.kind].checked_sub(1)?;
        next.placed.push(choice.lying);
        self.choices.add(number, &mut next.used);
        let figure = &self.figures.all[choice.lying.figure];
        if let Some(garment) = self.figures.kinds[choice.kind].garment {
            match next.turns.iter_mut().find(|(other, _)| *other == garment) {
                Some((_, turns)) => *turns &= figure.turns,
                None => next.turns.push((garment, figure.turns)),
            }
        }
        self.look(node.open.len())?;
        let goes = |&other: &usize| {
            let other_choice = &self.choices.all[other];
            next.left[other_choice.kind] > 0
                && self.may_turn(&next.turns, other)
                && self.choices.fits(other, &next.used)
                && !self.beside.refuse(choice.lying, other_choice.lying)
        };
        let open = node.open.iter().copied().filter(goes).collect();
        next.open = open;
        Some(next)
    }

    fn may_turn(&self, turns: &[(u32, u8)], choice: usize) -> bool {
        let choice = &self.choices.all[choice];
        let garment = self.figures.kinds[choice.kind].garment;
        let mut its = turns.iter().filter(|(other, _)| Some(*other) == garment);
        its.all(|(_, open)| open & self.figures.all[choice.lying.figure].turns != 0)
    }

    /// Whether the pieces named have no room, wherever in their intervals they lie.
    fn room(&mut self, node: &Node) -> Option<()> {
        let named = *self.numbers.next()?;
        if named >> node.placed.len() != 0 {
            return None;
        }
        let is_named = |piece: &usize| named >> piece & 1 == 1;
        let pieces: Vec<usize> = (0..node.placed.len()).filter(is_named).collect();
        let lying: Vec<Lying> = pieces.iter().map(|&piece| node.placed[piece]).collect();
        let limit = |lying: &Lying| self.figures.usable - self.figures.all[lying.figure].across;
        let limits: Vec<i64> = lying.iter().map(limit).collect();
        self.look(lying.len() * lying.len())?;
        // What polygons within refuse together shows only in short parts.
        let is_refused = PARTED.iter().any(|&parted| {
            let gaps = self.beside.gaps(&lying, parted);
            gaps.is_none_or(|gaps| is_missing(&limits, &gaps, &mut ORDERS.clone()))
        });
        is_refused.then_some(())
    }

    /// Whether there is too little area above the lowest choice that goes.
    fn is_too_little(&self, node: &Node) -> bool {
        let open = node
            .open
            .iter()
            .map(|&choice| self.choices.all[choice].lying.from);
        let Some(lowest) = open.min() else {
            return false;
        };
        let to_come = self.areas.iter().zip(&node.left);
        let to_come: i128 = to_come.map(|(area, &left)| area * i128::from(left)).sum();
        let above = |lying: &Lying| {
            let figure = &self.figures.all[lying.figure];
            area(figure, lowest - lying.from, self.choices.wider)
        };
        let there: i128 = node.placed.iter().map(above).sum();
        let across = i128::from(self.figures.usable + self.choices.wider) * PARTS;
        to_come + there > 2 * across * i128::from(self.choices.length - lowest)
    }

    /// Both halves of the interval of the piece named.
    fn halve(&mut self, node: &mut Node, deep: usize) -> Option<()> {
        let piece = self.next()?;
        let whole = *node.placed.get(piece)?;
        let (from, to) = (whole.from, whole.to);
        if from >= to {
            return None;
        }
        let middle = from + (to - from) / 2;
        // Two places that are next to each other are one by one.
        let second = if to - from == 1 { to } else { middle };
        for (from, to) in [(from, middle), (second, to)] {
            node.placed[piece] = Lying { from, to, ..whole };
            self.node(node.clone(), deep + 1)?;
        }
        Some(())
    }

    /// Each of the shapes of the piece named.
    fn shapes(&mut self, node: &mut Node, deep: usize) -> Option<()> {
        let piece = self.next()?;
        let whole = *node.placed.get(piece)?;
        if whole.shape.is_some() {
            return None;
        }
        for shape in 0..self.figures.all[whole.figure].shapes.len() {
            node.placed[piece].shape = Some(shape);
            self.node(node.clone(), deep + 1)?;
        }
        Some(())
    }
}

/// Twice the area of a figure above a height of its own, made wider, in parts.
fn area(figure: &super::super::figures::Figure, height: i64, wider: i64) -> i128 {
    let long = (figure.along - height.max(0)).max(0);
    figure.doubled_area_above(height) + 2 * i128::from(long) * i128::from(wider) * PARTS
}
