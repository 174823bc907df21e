//! What each overlap costs: rising while it lasts, falling afterwards.

use super::table::Overlap;

/// In a round the weights of overlaps grow by the first for the slightest, by the second for the deepest; all
/// others fall by the third.
const GROWTH: [f64; 2] = [1.2, 2.0];
const DECAY: f32 = 0.97;

/// A weight beyond this would leave nothing of the others in a sum.
const MOST: f32 = 1e15;

/// A weight by pair of pieces, and by piece for the flaws.
pub struct Weights {
    /// What depths count for, by piece.
    factors: Vec<f32>,
    /// A row for each piece, the flaws last in it.
    rows: Vec<f32>,
    /// Where weights are not 1: row and column, a pair in either order.
    raised: Vec<(usize, usize)>,
}

impl Weights {
    /// All weights are 1; the factors by piece.
    pub fn new(factors: Vec<f32>) -> Self {
        let pieces = factors.len();
        Weights {
            factors,
            rows: vec![1.0; pieces * (pieces + 1)],
            raised: Vec::new(),
        }
    }

    /// What depths cost a piece.
    #[inline]
    pub fn of(&self, piece: usize) -> Costs<'_> {
        let row = self.factors.len() + 1;
        Costs {
            own: self.factors[piece],
            factors: &self.factors,
            weights: &self.rows[piece * row..][..row],
        }
    }

    /// All weights are 1 again.
    pub fn forget(&mut self) {
        for (row, column) in std::mem::take(&mut self.raised) {
            self.set(row, column, 1.0);
        }
    }

    fn set(&mut self, row: usize, column: usize, weight: f32) {
        let n = self.factors.len();
        self.rows[row * (n + 1) + column] = weight;
        if column < n {
            self.rows[column * (n + 1) + row] = weight;
        }
    }

    /// Weights of these overlaps rise with their depth, all others fall.
    pub fn change(&mut self, overlaps: &[Overlap]) {
        let mut raised = std::mem::take(&mut self.raised);
        raised.retain(|&(row, column)| {
            let weight = (self.of(row).weights[column] * DECAY).max(1.0);
            self.set(row, column, weight);
            weight > 1.0
        });
        self.raised = raised;
        let deepest = overlaps.iter().map(|o| o.depth).fold(0.0, f64::max);
        for overlap in overlaps {
            let (row, column) = (overlap.piece, overlap.other.unwrap_or(self.factors.len()));
            let weight = self.of(row).weights[column];
            if weight == 1.0 {
                self.raised.push((row, column));
            }
            let [least, most] = GROWTH;
            let growth = (least + (most - least) * overlap.depth / deepest) as f32 / DECAY;
            self.set(row, column, (weight * growth).min(MOST));
        }
    }
}

/// What depths cost one piece, by the other piece; the number of pieces stands for the flaws.
#[derive(Clone, Copy)]
pub struct Costs<'w> {
    own: f32,
    factors: &'w [f32],
    weights: &'w [f32],
}

impl Costs<'_> {
    /// The pieces' factors: what a depth counts for whatever the weights.
    #[inline]
    pub fn factor(&self, other: u32) -> f32 {
        self.own * self.factors.get(other as usize).unwrap_or(&self.own)
    }

    /// The same times the weight.
    #[inline]
    pub fn of(&self, other: u32) -> f32 {
        self.factor(other) * self.weights[other as usize]
    }
}
