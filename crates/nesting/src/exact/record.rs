//! What a search has refused, written down as it goes: the tree of [`crate::certificate::places`].

use super::side_by_side::Pieces;
use crate::certificate::places::{DOWN, HALVE, LITTLE, NOTHING, ROOM, SHAPE, TAKE};

/// More numbers than this are not kept: two megabytes or so.
const MOST: usize = 600_000;

/// A tree that holds, and what its numbers mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Tree {
    /// By stance.
    pub intervals: Vec<u32>,
    pub lines: u32,
    /// The kind that tells a layout from the same turned end for end.
    pub turned: Option<usize>,
    /// Whether shapes were looked at as they are.
    pub is_fine: bool,
    pub numbers: Vec<u64>,
}

/// The numbers so far; none any more once they were too many.
#[derive(Debug, Default)]
pub(super) struct Record {
    numbers: Vec<u64>,
    is_too_long: bool,
}

impl Record {
    /// Where the next node begins.
    pub fn mark(&self) -> usize {
        self.numbers.len()
    }

    /// Of what was written since `start`, only what begins at `child` is of use.
    pub fn keep(&mut self, start: usize, child: usize) {
        if !self.is_too_long {
            self.numbers.drain(start..child);
        }
    }

    fn write(&mut self, numbers: &[u64]) {
        if self.is_too_long {
            return;
        }
        self.numbers.extend(numbers);
        if self.numbers.len() > MOST {
            self.is_too_long = true;
            self.numbers = Vec::new();
        }
    }

    pub fn no_room(&mut self, pieces: Pieces) {
        self.write(&[ROOM, u64::from(pieces.bits())]);
    }

    pub fn nothing(&mut self, kind: usize) {
        self.write(&[NOTHING, kind as u64]);
    }

    pub fn too_little(&mut self) {
        self.write(&[LITTLE]);
    }

    pub fn down(&mut self) {
        self.write(&[DOWN]);
    }

    pub fn take(&mut self, choice: u32) {
        self.write(&[TAKE, u64::from(choice)]);
    }

    pub fn halve(&mut self, piece: usize) {
        self.write(&[HALVE, piece as u64]);
    }

    pub fn shapes(&mut self, piece: usize) {
        self.write(&[SHAPE, piece as u64]);
    }

    /// All of it, if it is whole.
    pub fn numbers(self) -> Option<Vec<u64>> {
        (!self.is_too_long).then_some(self.numbers)
    }
}
