//! What each shape may meet on the table, kept up to date as pieces move.

use super::frame::Frame;
use super::obstacles::{Obstacle, Obstacles};

/// A list is made anew once this many times its pieces have moved: its groups have spread by then.
const SPREAD: usize = 2;

/// Moves that are remembered, in numbers of pieces.
const REMEMBERED: usize = 8;

/// The obstacles to a shape as they were when it was last asked for.
#[derive(Default)]
struct List {
    obstacles: Obstacles,
    /// By piece: where it is on the list.
    indices: Vec<u32>,
    /// Which moves it has seen, in which era.
    seen: usize,
    era: u64,
    /// Moves since it was made.
    age: usize,
}

/// Obstacles by the number of the shape that moves, and which pieces have moved lately.
pub struct Surroundings {
    lists: Vec<List>,
    pieces: usize,
    moved: Vec<usize>,
    /// Rises when pieces have moved that are not remembered; lists begin before the first.
    era: u64,
}

impl Surroundings {
    pub fn new(shapes: usize, pieces: usize) -> Self {
        Surroundings {
            lists: std::iter::repeat_with(List::default).take(shapes).collect(),
            pieces,
            moved: Vec::new(),
            era: 1,
        }
    }

    /// To be called after any piece may have moved.
    pub fn all_moved(&mut self) {
        self.era += 1;
        self.moved.clear();
    }

    /// To be called after a piece has moved.
    pub fn one_moved(&mut self, piece: usize) {
        if self.moved.len() >= REMEMBERED * self.pieces {
            self.all_moved();
        } else {
            self.moved.push(piece);
        }
    }

    /// Brings a shape's obstacles up to date. `see` adds what a piece, or for the number of pieces the flaws,
    /// is to the shape; `is_once` says that it is one obstacle each. Returns how many were looked at.
    pub fn refresh(
        &mut self,
        number: u32,
        is_once: bool,
        see: impl Fn(usize, &mut Vec<(Frame, Obstacle)>),
    ) -> u64 {
        let list = &mut self.lists[number as usize];
        let is_remembered = list.era == self.era;
        let moved = if is_remembered {
            &self.moved[list.seen..]
        } else {
            &[]
        };
        let is_young = list.age + moved.len() <= SPREAD * self.pieces;
        let mut seen = Vec::new();
        if is_remembered && (moved.is_empty() || is_once && is_young) {
            for &piece in moved {
                see(piece, &mut seen);
            }
            for (frame, obstacle) in &seen {
                let index = list.indices[obstacle.piece as usize] as usize;
                list.obstacles.replace(index, *frame, *obstacle);
            }
            list.age += moved.len();
        } else {
            for piece in 0..=self.pieces {
                see(piece, &mut seen);
            }
            list.indices.clear();
            list.indices.resize(self.pieces + 1, 0);
            for (index, obstacle) in list.obstacles.fill(&mut seen).iter().enumerate() {
                list.indices[obstacle.piece as usize] = index as u32;
            }
            list.age = 0;
        }
        list.seen = self.moved.len();
        list.era = self.era;
        seen.len() as u64
    }

    /// A shape's obstacles, as they were when they were last brought up to date.
    #[inline]
    pub fn of(&self, number: u32) -> &Obstacles {
        &self.lists[number as usize].obstacles
    }
}
