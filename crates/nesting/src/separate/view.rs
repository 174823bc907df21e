//! The table as one piece sees it that moves, laid in one way: what its places cost.

use super::field::Fields;
use super::frame::Frame;
use super::obstacles::{Obstacle, Obstacles};
use super::weights::Costs;

/// All that a piece may meet, and what the depths in it cost.
#[derive(Clone, Copy)]
pub struct View<'t> {
    pub fields: &'t Fields,
    pub obstacles: &'t Obstacles,
    pub costs: Costs<'t>,
    /// The piece itself, which is no obstacle.
    pub piece: u32,
}

impl View<'_> {
    /// Calls `each` with all obstacles that a place in the frame may meet, until it says false.
    #[inline]
    pub fn near(&self, frame: &Frame, mut each: impl FnMut(u32, &Obstacle) -> bool) {
        self.obstacles.near(frame, |index, obstacle| {
            obstacle.piece == self.piece || each(index, obstacle)
        });
    }

    /// The cost of a place, or any number not below `most` as soon as that is sure. Counts what it looks
    /// at.
    #[inline]
    pub fn cost(&self, x: i32, y: i32, most: f32, steps: &mut u64) -> f32 {
        let mut seen = self.obstacles.len() / 8 + 4;
        let mut sum = 0.0;
        self.near(&Frame::at(x, y), |_, o| {
            seen += 2 + 2 * self.fields.parts(o.region).len();
            let depth = self.fields.depth(o.region, x - o.x, y - o.y);
            sum += self.costs.of(o.piece) * depth;
            sum < most
        });
        *steps += seen as u64;
        sum
    }
}
