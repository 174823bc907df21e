//! All combinations of intervals.
//!
//! A copy takes an interval, and all choices that no longer go with it are closed; what has been tried is then
//! closed to all copies, so every combination comes once. Which choices are tried first: those of the piece
//! that lies lowest, so that room left empty below it shows early; or those of the kind that has the fewest.

use std::collections::BTreeSet;

use super::choices::{Choice, Grid};
use super::halves::{Halves, Left, Placed, Split};
use super::record::{Record, Tree};
use super::side_by_side::{ALL_BLAME, Arc, Gap, MOST, Pieces, Row, in_a_row};
use super::{Asker, Job, Outcome};
use crate::bound::stances::Turns;

/// Lowest first: a kind with so few choices left goes before.
const FEW: u32 = 4;

/// After so many nodes it is asked whether to give up.
const OFTEN: u32 = 256;

/// Nodes in the search for an order across, at most.
const MOST_ORDERS: u32 = 200;

/// Which choices are tried first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Order {
    Lowest,
    Fewest,
    /// The same, and whether pieces have room side by side is not asked before all have an interval: more
    /// combinations in the same time.
    FewestByWidth,
}

/// A way to search.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    pub grid: Grid,
    pub order: Order,
    pub split: Split,
}

pub(super) struct Search<'s> {
    job: &'s Job<'s>,
    asker: &'s dyn Asker,
    is_over: &'s dyn Fn() -> bool,
    usable: i32,
    length: i64,
    lines: usize,
    /// By where they begin.
    choices: Vec<Choice>,
    /// By stance: how many choices it has.
    counts: Vec<u32>,
    /// By stance: how far right it may lie.
    limits: Vec<i64>,
    /// By kind: twice the least area.
    doubled: Vec<i128>,
    /// By kind: which of the garments it belongs to, if that matters.
    garments: Vec<Option<usize>>,
    way: Way,
    work: u64,
    patience: u32,
    nodes: u32,
    /// Of all combinations, about such a part was tried.
    seen: f64,
    /// By kind: see [`Halves`].
    blame: Vec<u64>,
    record: Record,
    was_fine: bool,
}

/// How a search ended.
pub(super) struct Ended {
    pub outcome: Outcome,
    /// What is left of the work.
    pub work: u64,
    /// Of all combinations, about such a part was tried.
    pub seen: f64,
}

/// Where the search stands.
struct Node {
    /// On each line.
    used: Vec<i32>,
    /// Copies to place, by kind.
    left: Vec<i64>,
    /// Choices that are still open, lowest first.
    open: Vec<u32>,
    /// Choices taken, and what must lie beside what.
    taken: Vec<u32>,
    gaps: Vec<Gap>,
    /// A way in which they do.
    arcs: Vec<Arc>,
    /// Twice the area to place.
    doubled: i128,
    /// The turns that are open to each garment.
    turns: Vec<Turns>,
}

impl<'s> Search<'s> {
    /// `None` if there are too many choices.
    pub fn of(
        job: &'s Job<'s>,
        usable: i32,
        length: i64,
        way: Way,
        asker: &'s dyn Asker,
        is_over: &'s dyn Fn() -> bool,
    ) -> Option<Self> {
        let (choices, counts, lines) = Choice::all(job, usable, length, way.grid)?;
        let stances = job.distances.stances.iter();
        let limits = stances.map(|stance| job.cloth - stance.across());
        let doubled = job.kinds.iter().map(|kind| {
            let ways = kind.ways.iter().map(|way| way.profile.doubled_integral());
            ways.min().unwrap_or(0)
        });
        let numbers: BTreeSet<u32> = job.kinds.iter().filter_map(|kind| kind.garment).collect();
        let number = |garment: u32| numbers.iter().position(|&other| other == garment);
        let garments = job.kinds.iter().map(|kind| kind.garment.and_then(number));
        Some(Search {
            usable,
            length,
            lines,
            choices,
            counts,
            limits: limits.collect(),
            doubled: doubled.collect(),
            garments: garments.collect(),
            way,
            work: 0,
            patience: asker.patience(),
            nodes: 0,
            seen: 0.0,
            blame: vec![ALL_BLAME; job.kinds.len()],
            record: Record::default(),
            was_fine: false,
            job,
            asker,
            is_over,
        })
    }

    /// What is said after so much work; if it is all used up, nothing.
    pub fn run(&mut self, work: u64) -> Ended {
        self.work = work;
        let copies = self.job.kinds.iter().map(|kind| kind.copies);
        let areas = self.doubled.iter().zip(copies.clone());
        let garments = self.garments.iter().flatten().max().map_or(0, |g| g + 1);
        let root = Node {
            used: vec![0; self.lines],
            left: copies.collect(),
            open: self.at_first(),
            taken: Vec::new(),
            gaps: Vec::new(),
            arcs: Vec::new(),
            doubled: areas.map(|(area, n)| area * i128::from(n)).sum(),
            turns: vec![Turns::ALL; garments],
        };
        let outcome = match self.ask(root, 1.0) {
            Left::Nothing(_) => Outcome::Refused(self.tree().map(Box::new)),
            Left::Laid(spots) => Outcome::Laid(spots),
            Left::Open => Outcome::Open,
        };
        Ended {
            outcome,
            work: self.work,
            seen: self.seen,
        }
    }

    /// What was refused, if it is not too long.
    fn tree(&mut self) -> Option<Tree> {
        let numbers = std::mem::take(&mut self.record).numbers()?;
        Some(Tree {
            intervals: self.counts.clone(),
            lines: self.lines as u32,
            turned: self.turned(),
            is_fine: self.was_fine,
            numbers,
        })
    }

    /// The kind that tells a layout from the same turned end for end: one piece of which there is no equal, if there is one
    /// with two ends.
    fn turned(&self) -> Option<usize> {
        let turned = self.job.distances.turned.as_ref()?;
        let kinds = self.job.kinds.iter().enumerate();
        let single: Vec<usize> = kinds
            .filter(|(_, kind)| kind.copies == 1)
            .map(|(number, _)| number)
            .collect();
        let of = |kind: usize| {
            let stances = self.job.distances.stances.iter().enumerate();
            stances.filter(move |(_, stance)| stance.kind == kind)
        };
        let has_ends = |kind: &usize| of(*kind).all(|(s, _)| turned[s] != s);
        let chosen = single.iter().copied().find(has_ends);
        chosen.or_else(|| single.first().copied())
    }

    /// All choices but those that turning the whole cloth end for end makes others of: one piece of which there
    /// is no equal lies in one of two opposite stances, or not in the upper half.
    fn at_first(&self) -> Vec<u32> {
        let all = 0..self.choices.len() as u32;
        let Some((turned, chosen)) = self.job.distances.turned.as_ref().zip(self.turned()) else {
            return all.collect();
        };
        let goes = |&number: &u32| {
            let choice = self.choice(number);
            let room = self.length - self.job.distances.stances[choice.stance].along();
            let other = turned[choice.stance];
            choice.kind != chosen
                || choice.stance < other
                || choice.stance == other && 2 * choice.from <= room
        };
        all.filter(goes).collect()
    }

    fn spend(&mut self, work: u64) {
        self.work = self.work.saturating_sub(work);
    }

    fn choice(&self, number: u32) -> &Choice {
        &self.choices[number as usize]
    }

    /// What is left below `node`. What is open is passed by as long as there is patience.
    ///
    /// `share` is what it makes of the whole tree, as far as that can be told.
    fn ask(&mut self, mut node: Node, mut share: f64) -> Left {
        if node.left.iter().all(|&copies| copies == 0) {
            return self.halved(&node, share);
        }
        self.nodes += 1;
        if self.nodes.is_multiple_of(OFTEN) && (self.is_over)() {
            self.work = 0;
        }
        let mut is_open = false;
        let start = self.record.mark();
        // Without a better reason, all that is taken refuses what is left.
        let all = Pieces::of(0..node.taken.len());
        let with = Pieces::of(0..=node.taken.len());
        let without = |is_open| {
            if is_open {
                Left::Open
            } else {
                Left::Nothing(all)
            }
        };
        loop {
            self.spend(50 + 2 * node.open.len() as u64 + 10 * node.taken.len() as u64);
            if self.work == 0 {
                return Left::Open;
            }
            let mut counts = vec![0_u32; node.left.len()];
            for &number in &node.open {
                counts[self.choice(number).kind] += 1;
            }
            let waiting = (0..counts.len()).filter(|&kind| node.left[kind] > 0);
            let Some(fewest) = waiting.min_by_key(|&kind| counts[kind]) else {
                return without(is_open);
            };
            let Some(&first) = node.open.first().filter(|_| counts[fewest] > 0) else {
                self.record.nothing(fewest);
                return without(is_open);
            };
            let lowest = self.choice(first).from;
            if self.is_too_little(&node, lowest) {
                self.record.too_little();
                return without(is_open);
            }
            let by_kind = self.way.order != Order::Lowest || counts[fewest] <= FEW;
            let is_tried = |&number: &u32| {
                let choice = self.choice(number);
                if by_kind {
                    choice.kind == fewest
                } else {
                    choice.from == lowest
                }
            };
            let tried: Vec<u32> = node.open.iter().copied().filter(is_tried).collect();
            // There are lower ones and higher ones.
            let of_these = if by_kind { share } else { share / 2.0 };
            share -= of_these;
            let of_each = of_these / tried.len() as f64;
            for number in tried {
                let before = self.seen;
                self.record.take(self.choices[number as usize].number);
                let child = self.record.mark();
                let next = self.take(&node, number);
                if next.is_none() {
                    self.record.no_room(with);
                }
                if let Some(next) = next {
                    match self.ask(next, of_each) {
                        // They do so whatever this copy takes.
                        Left::Nothing(few) if !few.has(node.taken.len()) => {
                            self.record.keep(start, child);
                            return Left::Nothing(few);
                        }
                        Left::Nothing(_) => {}
                        Left::Laid(spots) => return Left::Laid(spots),
                        Left::Open => is_open = true,
                    }
                }
                if self.work > 0 {
                    self.seen = before + of_each;
                }
                if self.work == 0 || is_open && self.patience == 0 {
                    return Left::Open;
                }
                node.open.retain(|&open| open != number);
            }
            // One of all pieces may lie at the very end of the cloth.
            if by_kind {
                self.record.nothing(fewest);
                return without(is_open);
            }
            if node.taken.is_empty() {
                self.record.down();
                return without(is_open);
            }
        }
    }

    /// All copies have an interval.
    fn halved(&mut self, node: &Node, share: f64) -> Left {
        if (self.is_over)() {
            self.work = 0;
            return Left::Open;
        }
        let placed = |&number: &u32| {
            let choice = self.choice(number);
            let outlines = self.job.distances.stances[choice.stance].outlines.len();
            Placed {
                stance: choice.stance,
                outline: (outlines == 1).then_some(0),
                from: choice.from,
                to: choice.to,
            }
        };
        let pieces: Vec<Placed> = node.taken.iter().map(placed).collect();
        let limit = |placed: &Placed| self.limits[placed.stance];
        let limits = pieces.iter().map(limit).collect();
        let mut halves = Halves::new(self.job, self.asker, self.is_over, self.way.split, limits);
        (halves.work, halves.patience) = (self.work, self.patience);
        halves.blame = std::mem::take(&mut self.blame);
        halves.record = std::mem::take(&mut self.record);
        let left = halves.run(&pieces, &node.arcs);
        self.seen += share * halves.seen;
        self.blame = std::mem::take(&mut halves.blame);
        self.record = std::mem::take(&mut halves.record);
        self.was_fine |= halves.was_fine;
        (self.work, self.patience) = (halves.work, halves.patience);
        left
    }

    /// Whether there is too little room from `lowest` on for all that must lie there.
    fn is_too_little(&self, node: &Node, lowest: i64) -> bool {
        let mut there = node.doubled;
        for &number in &node.taken {
            let choice = self.choice(number);
            let profile = &self.job.distances.stances[choice.stance].profile;
            there += profile.doubled_integral_from(lowest - choice.from);
        }
        there > 2 * i128::from(self.usable) * i128::from(self.length - lowest)
    }

    /// After one copy took a choice; `None` if that does not go.
    fn take(&mut self, node: &Node, number: u32) -> Option<Node> {
        let mut work = 200 + 12 * node.open.len() as u64;
        let beside = self.beside(node, number, &mut work);
        self.spend(work);
        let (gaps, arcs) = beside?;
        let choice = self.choice(number);
        let mut used = node.used.clone();
        for (sum, load) in used[choice.first..].iter_mut().zip(&choice.loads) {
            *sum += load;
        }
        let mut left = node.left.clone();
        left[choice.kind] -= 1;
        let mut turns = node.turns.clone();
        if let Some(garment) = self.garments[choice.kind] {
            turns[garment] = turns[garment].common(self.turns_of(choice));
        }
        let may_turn = |next: &Choice| {
            let garment = self.garments[next.kind];
            garment.is_none_or(|g| !turns[g].common(self.turns_of(next)).is_empty())
        };
        let goes = |&number: &u32| {
            let next = self.choice(number);
            let band = [next.from - choice.to, next.to - choice.from];
            left[next.kind] > 0
                && may_turn(next)
                && !self.job.distances.apart[choice.stance][next.stance].refuses(band)
                && fits(&used[next.first..], &next.loads, self.usable)
        };
        let open = node.open.iter().copied().filter(goes).collect();
        let mut taken = node.taken.clone();
        taken.push(number);
        Some(Node {
            used,
            left,
            open,
            taken,
            gaps,
            arcs,
            doubled: node.doubled - self.doubled[choice.kind],
            turns,
        })
    }

    fn turns_of(&self, choice: &Choice) -> Turns {
        self.job.distances.stances[choice.stance].turns
    }

    /// What must lie beside what once a choice is taken, and how it can; `None` if it can't.
    fn beside(&self, node: &Node, number: u32, work: &mut u64) -> Option<(Vec<Gap>, Vec<Arc>)> {
        if self.way.order == Order::FewestByWidth {
            return Some((Vec::new(), Vec::new()));
        }
        let distances = self.job.distances;
        let choice = self.choice(number);
        let along = |stance: usize| distances.stances[stance].along();
        let mut gaps = node.gaps.clone();
        for (first, &other) in node.taken.iter().enumerate() {
            let other = self.choice(other);
            let band = [choice.from - other.to, choice.to - other.from];
            if band[0] >= along(other.stance) || -band[1] >= along(choice.stance) {
                continue;
            }
            let apart = &distances.apart[other.stance][choice.stance];
            *work += apart.work();
            let second = node.taken.len();
            gaps.extend(Gap::between(first, second, apart.gaps(band, None, None)));
        }
        if gaps.len() == node.gaps.len() || node.taken.len() < 2 {
            return Some((gaps, node.arcs.clone()));
        }
        let numbers = node.taken.iter().chain([&number]);
        let limit = |&number: &u32| self.limits[self.choice(number).stance];
        let limits: Vec<i64> = numbers.map(limit).collect();
        match in_a_row(
            &limits,
            &gaps,
            &node.arcs,
            Some(node.taken.len()),
            MOST_ORDERS,
            work,
            &mut [0; MOST],
        ) {
            Row::None(_) => None,
            Row::Some(arcs) => Some((gaps, arcs)),
            Row::Open => Some((gaps, Vec::new())),
        }
    }
}

/// True if these loads on top of those stay within the width on every line.
fn fits(used: &[i32], loads: &[i32], usable: i32) -> bool {
    // A negative remainder keeps its sign through the or; there is no branch to stop at.
    let sums = used.iter().zip(loads);
    sums.fold(0, |signs, (sum, load)| signs | (usable - (sum + load))) >= 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_full_at_the_width_and_not_before() {
        assert!(fits(&[3, 7, 0], &[7, 3, 10], 10));
        assert!(!fits(&[3, 7, 0], &[7, 4, 10], 10));
        assert!(fits(&[3, 7, 11], &[7, 3], 10));
    }
}
