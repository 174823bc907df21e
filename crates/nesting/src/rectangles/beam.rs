//! One attempt to fill a room: the best few beginnings, one block more at a time.
//!
//! A beginning is as good as what comes of it when the rest is laid greedily ([`complete`]). So each block that
//! fits the lowest gap of each beginning is laid, the rest with it, and those go on that leave least area without a
//! place; the first that leaves none is the answer. Every attempt prefers other blocks, so that many
//! narrow ones see more than a single wide one; half of them see the room from the side.

use std::collections::HashSet;

use rand::RngExt;
use rand::seq::SliceRandom;
use rand_xoshiro::Xoshiro256PlusPlus;

use super::greedy::{Live, Order, complete, fit};
use super::room::{Block, Room, Spot, Stock};
use super::skyline::Skyline;

/// What one attempt prefers.
pub struct Manner {
    orders: Vec<Order>,
    /// How many go on, and how many of them from one beginning.
    width: usize,
    siblings: usize,
    /// Blocks tried in a gap at most.
    tried: usize,
    /// Blocks laid before the next choice.
    stride: usize,
}

/// Above this many pieces a choice is followed by several blocks at once; above so many blocks not all are tried.
const CHOICES: usize = 400;
const TRIED: usize = 12_000;

impl Manner {
    /// Drawn by lot; `width` beginnings at once.
    pub fn drawn(room: &Room, width: usize, random: &mut Xoshiro256PlusPlus) -> Self {
        let noise = [0.0, 0.1, 0.3][random.random_range(0..3)];
        let count = 1 + usize::from(random.random_range(0..4) == 0);
        let orders = (0..count).map(|_| order(room, noise, random)).collect();
        let pieces: u32 = room.kinds.iter().map(|kind| kind.copies).sum();
        let pieces = pieces as usize;
        Manner {
            orders,
            width,
            siblings: [2, 4, usize::MAX][random.random_range(0..3)],
            tried: (TRIED / pieces.max(1)).max(8),
            stride: pieces.div_ceil(CHOICES),
        }
    }
}

/// By area, by one side, or by the longer one, each blurred a little.
fn order(room: &Room, noise: f64, random: &mut Xoshiro256PlusPlus) -> Order {
    let rule = random.random_range(0..4);
    let longest = f64::from(room.across.max(room.along));
    let worth = |block: &Block| {
        let [across, along] = block.size.map(f64::from);
        let worth = match rule {
            0 => across * along,
            1 => across * longest + along,
            2 => along * longest + across,
            _ => across.max(along) * longest + across.min(along),
        };
        worth * (1.0 + noise * (random.random::<f64>() - 0.5))
    };
    Order::by(&room.blocks.iter().map(worth).collect::<Vec<f64>>())
}

/// Blocks laid, in a tree of beginnings.
struct Node {
    before: Option<u32>,
    spots: Vec<Spot>,
}

/// What is laid so far, and what may still go to waste.
#[derive(Clone)]
struct Beginning {
    skyline: Skyline,
    stock: Stock,
    waste: i64,
    node: Option<u32>,
}

/// What may come after a beginning.
struct Branch {
    /// Area that the greedy rest leaves without a place.
    without: i64,
    lot: u32,
    parent: usize,
    /// The block that is laid, and some of the rest.
    spots: Vec<Spot>,
}

/// One attempt, and what it works with.
pub struct Attempt<'a> {
    pub room: &'a Room,
    pub manner: Manner,
    pub random: &'a mut Xoshiro256PlusPlus,
    /// Blocks compared with gaps so far; it ends when they reach the limit.
    pub compared: u64,
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
        let mut rest = Rest::default();
        let mut beginnings = vec![Beginning::of(room)];
        while !beginnings.is_empty() {
            let mut branches = Vec::new();
            let mut seen = HashSet::new();
            for (parent, beginning) in beginnings.iter_mut().enumerate() {
                self.give_up_gaps(beginning);
                if beginning.waste < 0 {
                    continue;
                }
                for block in self.fitting(beginning) {
                    if self.compared >= self.limit || (self.stop)() {
                        self.is_whole = false;
                        return None;
                    }
                    let mut next = beginning.clone();
                    let spot = next.lay(room, block);
                    if !seen.insert(next.mark(&lots)) {
                        continue;
                    }
                    let without = self.lay_rest(&next, &mut rest);
                    if without == 0 {
                        let mut all = laid_before(&nodes, beginning.node);
                        all.push(spot);
                        all.append(&mut rest.best);
                        return Some(all);
                    }
                    let some = rest.best.iter().take(self.manner.stride - 1);
                    branches.push(Branch {
                        without,
                        lot: self.random.random(),
                        parent,
                        spots: [spot].iter().chain(some).copied().collect(),
                    });
                }
            }
            beginnings = self.go_on(branches, &beginnings, &mut nodes);
        }
        None
    }

    /// Gives up gaps into which nothing fits that is left.
    fn give_up_gaps(&mut self, beginning: &mut Beginning) {
        let room = self.room;
        loop {
            let gap = beginning.skyline.gap();
            let height = room.along - gap.step.y;
            self.compared += room.blocks.len() as u64;
            let fits = |block: u16| beginning.fits(room, block, [gap.step.across, height]);
            if height <= 0 || (0..room.blocks.len() as u16).any(fits) {
                return;
            }
            beginning.give_up(room);
            if beginning.waste < 0 {
                return;
            }
        }
    }

    /// The blocks that fit the lowest gap; where they are too many, those that fit it best and others by lot.
    fn fitting(&mut self, beginning: &Beginning) -> Vec<u16> {
        let room = self.room;
        let gap = beginning.skyline.gap();
        let height = room.along - gap.step.y;
        let blocks = 0..room.blocks.len() as u16;
        let fits = |&block: &u16| beginning.fits(room, block, [gap.step.across, height]);
        let mut fitting: Vec<u16> = blocks.filter(fits).collect();
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
        fitting
    }

    /// Lays the rest greedily in each order; the least area that is left without a place.
    fn lay_rest(&mut self, beginning: &Beginning, rest: &mut Rest) -> i64 {
        let mut least = i64::MAX;
        for order in &self.manner.orders {
            let mut skyline = beginning.skyline.clone();
            let mut stock = beginning.stock.clone();
            rest.laid.clear();
            let without = complete(
                self.room,
                order,
                (&mut skyline, &mut stock),
                &mut rest.live,
                &mut self.compared,
                &mut rest.laid,
            );
            if without < least {
                least = without;
                std::mem::swap(&mut rest.best, &mut rest.laid);
            }
        }
        least
    }

    /// The beginnings that go on.
    fn go_on(
        &mut self,
        mut branches: Vec<Branch>,
        beginnings: &[Beginning],
        nodes: &mut Vec<Node>,
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
            branch
                .spots
                .iter()
                .for_each(|spot| beginning.follow(self.room, spot));
            let before = beginning.node.replace(nodes.len() as u32);
            nodes.push(Node {
                before,
                spots: branch.spots,
            });
            next.push(beginning);
        }
        next
    }
}

/// What is laid greedily, and working memory for it.
#[derive(Default)]
struct Rest {
    live: Live,
    laid: Vec<Spot>,
    best: Vec<Spot>,
}

/// All that is laid down to this node, first things first.
fn laid_before(nodes: &[Node], mut node: Option<u32>) -> Vec<Spot> {
    let mut chain = Vec::new();
    while let Some(number) = node {
        let at = &nodes[number as usize];
        chain.push(&at.spots);
        node = at.before;
    }
    chain.into_iter().rev().flatten().copied().collect()
}

impl Beginning {
    fn of(room: &Room) -> Self {
        Beginning {
            skyline: Skyline::level(room.across),
            stock: Stock::whole(room),
            waste: room.waste(),
            node: None,
        }
    }

    fn fits(&self, room: &Room, block: u16, [across, along]: [i32; 2]) -> bool {
        let size = room.size(block);
        size[0] <= across && size[1] <= along && self.stock.holds(room, block)
    }

    /// Lays a block that fits into the lowest gap.
    fn lay(&mut self, room: &Room, block: u16) -> Spot {
        let area = self.stock.area;
        let gap = self.skyline.gap();
        let [across, along] = room.size(block);
        let at = self.skyline.lay(gap, [across, along]);
        self.stock.take(room, block);
        let pieces = area - self.stock.area;
        self.waste -= i64::from(across) * i64::from(along) - pieces;
        Spot { block, at }
    }

    /// Gives the lowest gap up.
    fn give_up(&mut self, room: &Room) {
        let gap = self.skyline.gap();
        let by = self.skyline.raise(gap, room.along);
        self.waste -= i64::from(by) * i64::from(gap.step.across);
    }

    /// Lays a block where it has been laid from here before.
    fn follow(&mut self, room: &Room, spot: &Spot) {
        loop {
            let step = self.skyline.gap().step;
            let [x, y] = spot.at;
            if step.y >= y && (step.x..step.x + step.across).contains(&x) {
                break;
            }
            self.give_up(room);
        }
        self.lay(room, spot.block);
    }

    /// Alike for beginnings that leave the same.
    fn mark(&self, lots: &[u64]) -> u64 {
        let left = lots.iter().zip(self.stock.left());
        let mut mark = left.fold(0, |sum: u64, (lot, &left)| {
            sum.wrapping_add(lot.wrapping_mul(left.into()))
        });
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
