//! One attempt to fill a room: the best few beginnings, one block more at a time.
//!
//! A beginning is as good as what comes of it when the rest is laid greedily ([`complete`]). So each block that
//! fits the lowest gap of each beginning is laid, the rest with it, and those go on that leave least area without a
//! place; the first that leaves none is the answer. A rest is given up as soon as more goes to waste than in all that go on
//! so far. Every attempt prefers other blocks, so that many
//! narrow ones see more than a single wide one; half of them see the room from the side.
//!
//! Source: beam search, Lowerre 1976 and, for schedules, Ow and Morton 1988; a greedy rest as the judge, Duin and Voß 1999
//! (all from memory). That waste decides, and when a rest is given up, is our own.

use std::collections::{BinaryHeap, HashSet};

use rand::RngExt;
use rand::seq::SliceRandom;
use rand_xoshiro::Xoshiro256PlusPlus;

use super::greedy::{complete, turns};
use super::manner::Manner;
use super::room::{Room, Spot, Stock};
use super::sizes::{Sizes, fit};
use super::skyline::Skyline;

/// Blocks laid, in a tree of beginnings.
struct Node {
    before: Option<u32>,
    spot: Spot,
    more: Vec<Spot>,
}

/// What is laid so far, and what may still go to waste.
struct Beginning {
    skyline: Skyline,
    stock: Stock,
    waste: i64,
    node: Option<u32>,
    /// Alike for those that have laid the same pieces.
    mark: u64,
}

/// What may come after a beginning.
struct Branch {
    /// Area that the greedy rest leaves without a place.
    without: i64,
    lot: u32,
    parent: usize,
    /// The block that is laid, and some of the rest.
    spot: Spot,
    more: Vec<Spot>,
}

/// One attempt, and what it works with.
pub struct Attempt<'a> {
    /// Its blocks by preference.
    pub room: &'a Room,
    pub sizes: Sizes,
    pub manner: Manner,
    pub random: &'a mut Xoshiro256PlusPlus,
    /// Turns taken so far; it ends when they reach the limit.
    pub took: u64,
    pub limit: u64,
    /// False once some beginning has not been followed.
    pub is_whole: bool,
    pub stop: &'a dyn Fn() -> bool,
}

impl Attempt<'_> {
    /// All pieces at their places, if these are found.
    pub fn run(&mut self) -> Option<Vec<Spot>> {
        let room = self.room;
        let lots: Vec<u64> = room.kinds.iter().map(|_| self.random.random()).collect();
        let mut nodes: Vec<Node> = Vec::new();
        let mut beginnings = vec![Beginning::of(room)];
        let mut next = Beginning::of(room);
        let (mut fitting, mut laid) = (Vec::new(), Vec::new());
        while !beginnings.is_empty() {
            let mut branches = Vec::new();
            let mut seen = HashSet::new();
            let mut least = Least::of(self.manner.width);
            for (parent, beginning) in beginnings.iter_mut().enumerate() {
                self.give_up_gaps(beginning);
                if beginning.waste < 0 {
                    continue;
                }
                self.find_fitting(beginning, &mut fitting);
                let mut own = Least::of(self.manner.siblings);
                for &block in &fitting {
                    if self.took >= self.limit || (self.stop)() {
                        self.is_whole = false;
                        return None;
                    }
                    next.clone_from(beginning);
                    let spot = next.lay(room, block, &lots);
                    if !seen.insert(next.whole_mark()) {
                        continue;
                    }
                    laid.clear();
                    let most = own.most().min(least.most());
                    let Some(without) = self.lay_rest(&mut next, most, &mut laid) else {
                        self.is_whole = false;
                        continue;
                    };
                    if without == 0 {
                        let mut all = laid_before(&nodes, beginning.node);
                        all.push(spot);
                        all.append(&mut laid);
                        return Some(all);
                    }
                    own.add(without);
                    let more = laid.iter().take(self.manner.stride - 1);
                    branches.push(Branch {
                        without,
                        lot: self.random.random(),
                        parent,
                        spot,
                        more: more.copied().collect(),
                    });
                }
                own.values.into_iter().for_each(|value| least.add(value));
            }
            beginnings = self.go_on(branches, &beginnings, &mut nodes, &lots);
        }
        None
    }

    /// Gives up gaps into which nothing fits that is left.
    fn give_up_gaps(&mut self, beginning: &mut Beginning) {
        let room = self.room;
        loop {
            let gap = beginning.skyline.gap();
            let height = room.along - gap.step.y;
            self.took += turns(room);
            let most = [gap.step.across, height];
            let live = beginning.stock.live();
            let fits = self.sizes.fitting(room, live, most).next().is_some();
            if height <= 0 || fits {
                return;
            }
            beginning.give_up(room);
            if beginning.waste < 0 {
                return;
            }
        }
    }

    /// The blocks that fit the lowest gap; where they are too many, those that fit it best and others by lot.
    fn find_fitting(&mut self, beginning: &Beginning, fitting: &mut Vec<u16>) {
        let room = self.room;
        let gap = beginning.skyline.gap();
        let height = room.along - gap.step.y;
        let most = [gap.step.across, height];
        fitting.clear();
        fitting.extend(self.sizes.fitting(room, beginning.stock.live(), most));
        let most = self.manner.tried;
        if fitting.len() > most {
            fitting.shuffle(self.random);
            let walls = gap.walls.map(|wall| wall.min(height));
            let how_well = |&block: &u16| fit(room.size(block), gap.step.across, walls);
            fitting[..].sort_by_key(|block| std::cmp::Reverse(how_well(block)));
            fitting[most / 2..].shuffle(self.random);
            fitting.truncate(most);
            self.is_whole = false;
        }
    }

    /// Lays the rest greedily. The area that is left without a place, if that is not more than `most`.
    fn lay_rest(&mut self, next: &mut Beginning, most: i64, laid: &mut Vec<Spot>) -> Option<i64> {
        // What is without a place at last is the room for it, which is waste, less what waste there may be.
        let spare = most.saturating_add(next.waste);
        let in_room = (&mut next.skyline, &mut next.stock);
        complete(self.room, &self.sizes, in_room, spare, &mut self.took, laid)
    }

    /// The beginnings that go on.
    fn go_on(
        &mut self,
        mut branches: Vec<Branch>,
        beginnings: &[Beginning],
        nodes: &mut Vec<Node>,
        lots: &[u64],
    ) -> Vec<Beginning> {
        branches.sort_by_key(|branch| (branch.without, branch.lot));
        let mut siblings = vec![0; beginnings.len()];
        let mut next = Vec::new();
        for branch in branches {
            siblings[branch.parent] += 1;
            if next.len() == self.manner.width || siblings[branch.parent] > self.manner.siblings {
                self.is_whole = false;
                continue;
            }
            let mut beginning = beginnings[branch.parent].clone();
            for spot in [branch.spot].iter().chain(&branch.more) {
                beginning.follow(self.room, spot, lots);
            }
            let before = beginning.node.replace(nodes.len() as u32);
            nodes.push(Node {
                before,
                spot: branch.spot,
                more: branch.more,
            });
            next.push(beginning);
        }
        next
    }
}

/// The least values of all that are added.
struct Least {
    /// How many of them at most.
    count: usize,
    values: BinaryHeap<i64>,
}

impl Least {
    fn of(count: usize) -> Self {
        let values = BinaryHeap::new();
        Least { count, values }
    }

    /// A value above it is none of them; 0 where there are none.
    fn most(&self) -> i64 {
        if self.values.len() < self.count {
            return i64::MAX;
        }
        self.values.peek().copied().unwrap_or(0)
    }

    fn add(&mut self, value: i64) {
        if value < self.most() {
            self.values.push(value);
            if self.values.len() > self.count {
                self.values.pop();
            }
        }
    }
}

/// All that is laid down to this node, first things first.
fn laid_before(nodes: &[Node], mut node: Option<u32>) -> Vec<Spot> {
    let mut chain = Vec::new();
    while let Some(number) = node {
        let at = &nodes[number as usize];
        chain.extend(at.more.iter().rev().copied());
        chain.push(at.spot);
        node = at.before;
    }
    chain.reverse();
    chain
}

/// By hand, since the derived one has no `clone_from` that takes no memory.
impl Clone for Beginning {
    fn clone(&self) -> Self {
        Beginning {
            skyline: self.skyline.clone(),
            stock: self.stock.clone(),
            ..*self
        }
    }

    fn clone_from(&mut self, other: &Self) {
        self.skyline.clone_from(&other.skyline);
        self.stock.clone_from(&other.stock);
        (self.waste, self.node, self.mark) = (other.waste, other.node, other.mark);
    }
}

impl Beginning {
    fn of(room: &Room) -> Self {
        Beginning {
            skyline: Skyline::level(room.across),
            stock: Stock::whole(room),
            waste: room.waste(),
            node: None,
            mark: 0,
        }
    }

    /// Lays a block that fits into the lowest gap; `lots` by kind.
    fn lay(&mut self, room: &Room, block: u16, lots: &[u64]) -> Spot {
        let gap = self.skyline.gap();
        let at = self.skyline.lay(gap, room.size(block));
        self.stock.take(room, block);
        let kind = room.blocks[usize::from(block)].kind;
        self.mark = self.mark.wrapping_add(lots[usize::from(kind)]);
        Spot { block, at }
    }

    /// Gives the lowest gap up.
    fn give_up(&mut self, room: &Room) {
        let gap = self.skyline.gap();
        let by = self.skyline.raise(gap, room.along);
        self.waste -= i64::from(by) * i64::from(gap.step.across);
    }

    /// Lays a block where it has been laid from here before.
    fn follow(&mut self, room: &Room, spot: &Spot, lots: &[u64]) {
        loop {
            let step = self.skyline.gap().step;
            let [x, y] = spot.at;
            if step.y >= y && (step.x..step.x + step.across).contains(&x) {
                break;
            }
            self.give_up(room);
        }
        self.lay(room, spot.block, lots);
    }

    /// Alike for beginnings that leave the same.
    fn whole_mark(&self) -> u64 {
        let mut mark = self.mark;
        for step in self.skyline.steps() {
            let [x, y] = [step.x, step.y].map(|v| v as u64);
            mark =
                mark.rotate_left(7) ^ x.wrapping_mul(ODD[0]).wrapping_add(y.wrapping_mul(ODD[1]));
        }
        mark
    }
}

/// Odd numbers without pattern: bits of the golden ratio, and of a prime used in hashing.
const ODD: [u64; 2] = [0x9e37_79b9_7f4a_7c15, 0xc2b2_ae3d_27d4_eb4f];
