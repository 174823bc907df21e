//! Many boxes: some strips at a time are laid anew by trying all trees of their boxes.
//!
//! Strips are taken together as long as all trees of their boxes are few enough to be tried; what comes back
//! is never longer. Where nothing is gained any more, some strips are laid anew by whims, though not much
//! longer, and so on. (Large neighbourhoods searched exactly: Shaw 1998, from memory.) Deterministic.

use std::cmp::Reverse;

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use super::PARTS_A_STEP;
use super::boxes::Boxes;
use super::by_kind;
use super::fronts::{Fronts, Limits};
use super::strips::{Whim, strips as strips_of};
use super::tree::Tree;
use crate::problem::CutDirection;

/// Boxes laid anew at once are so many that there are so many choices of them at most: nine different ones. Parts
/// looked at for it.
const MOST_CHOICES: usize = 512;
const WORK: u64 = 150_000;

/// Strips laid anew at once, at most.
const MOST_STRIPS: usize = 4;

/// Attempts without gain, by strip, after which some strips are laid by whims.
const PATIENCE: usize = 3;

/// When to stop, and who is told.
pub struct Watch<'w> {
    /// Steps at most.
    pub steps: u64,
    /// Of every random choice.
    pub seed: u64,
    /// No layout need be shorter than this, the spacing added.
    pub goal: i64,
    /// Whether to end now.
    pub stop: &'w dyn Fn() -> bool,
    /// Told of each shorter length, the spacing added.
    pub tell: &'w mut dyn FnMut(i64),
}

/// The shortest tree found, no longer than the one to begin with, and the steps it took.
pub fn shorter(
    boxes: &Boxes<'_>,
    begin: Option<Tree>,
    watch: &mut Watch<'_>,
) -> (Option<Tree>, u64) {
    let begin = begin.map_or_else(|| first(boxes), as_strips);
    if begin.is_empty() {
        return (None, 0);
    }
    let mut search = Search {
        boxes,
        random: Xoshiro256PlusPlus::seed_from_u64(watch.seed),
        work: 0,
    };
    let mut best = begin.clone();
    let mut here = begin;
    let mut vain = 0;
    while length(&best) > watch.goal && search.work / PARTS_A_STEP < watch.steps && !(watch.stop)()
    {
        if search.lay_anew(&mut here, watch) {
            vain = 0;
        } else {
            vain += 1;
        }
        if length(&here) < length(&best) {
            best.clone_from(&here);
            (watch.tell)(length(&best));
        }
        if vain > PATIENCE * here.len() {
            vain = 0;
            here.clone_from(&best);
            search.disturb(&mut here);
        }
    }
    // The longest first: that is how a person would cut them.
    best.sort_by_key(|strip| Reverse(strip.size()[1]));
    let tree = Tree::of(CutDirection::Across, best);
    (Some(tree), search.work / PARTS_A_STEP)
}

/// The shorter of strips that are filled one by one, and of strips whose columns hold one kind each.
fn first(boxes: &Boxes<'_>) -> Vec<Tree> {
    let filled = strips_of(boxes, &boxes.counts(), None);
    let by_kind = by_kind::strips(boxes);
    match by_kind.filter(|by_kind| length(by_kind) < length(&filled)) {
        Some(by_kind) if !filled.is_empty() => by_kind,
        _ => filled,
    }
}

/// How many choices there are of so many boxes of each kind.
fn choices(counts: &[u32]) -> usize {
    let each = counts.iter().map(|&count| count as usize + 1);
    each.fold(1, usize::saturating_mul)
}

fn length(strips: &[Tree]) -> i64 {
    strips.iter().map(|strip| strip.size()[1]).sum()
}

struct Search<'s> {
    boxes: &'s Boxes<'s>,
    random: Xoshiro256PlusPlus,
    work: u64,
}

impl Search<'_> {
    fn counts(&self, strips: &[Tree]) -> Vec<u32> {
        let mut counts = vec![0; self.boxes.kinds.len()];
        strips.iter().for_each(|strip| strip.count(&mut counts));
        counts
    }

    /// Lays a few strips drawn at random anew; whether they are shorter for it.
    fn lay_anew(&mut self, strips: &mut Vec<Tree>, watch: &Watch<'_>) -> bool {
        strips.shuffle(&mut self.random);
        let wanted = self.random.random_range(1..=MOST_STRIPS.min(strips.len()));
        let mut taken = 0;
        let mut counts = vec![0; self.boxes.kinds.len()];
        while taken < wanted {
            let mut more = counts.clone();
            strips[taken].count(&mut more);
            if choices(&more) > MOST_CHOICES {
                break;
            }
            counts = more;
            taken += 1;
        }
        self.work += PARTS_A_STEP;
        if counts.iter().sum::<u32>() < 2 {
            return false;
        }
        let before = length(&strips[..taken]);
        let limits = Limits {
            work: WORK,
            along: before - 1,
            stop: watch.stop,
        };
        let fronts = Fronts::of(self.boxes, &counts, &limits);
        self.work += fronts.work;
        let Some(tree) = fronts.tree.filter(|_| fronts.is_whole) else {
            return false;
        };
        strips.splice(..taken, as_strips(tree));
        true
    }

    /// Lays some strips by whims.
    fn disturb(&mut self, strips: &mut Vec<Tree>) {
        strips.shuffle(&mut self.random);
        let taken = strips
            .len()
            .min(2 + self.random.random_range(0..MOST_STRIPS));
        let counts = self.counts(&strips[..taken]);
        let whim = Whim {
            openers: 3,
            passed: 4,
            random: &mut self.random,
        };
        let anew = strips_of(self.boxes, &counts, Some(whim));
        strips.splice(..taken, anew);
    }
}

/// The strips of a tree whose first cuts run across, or the tree as one.
fn as_strips(tree: Tree) -> Vec<Tree> {
    match tree {
        Tree::Parts {
            cuts: CutDirection::Across,
            parts,
            ..
        } => parts,
        other => vec![other],
    }
}
