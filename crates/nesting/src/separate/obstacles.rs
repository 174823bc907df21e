//! What one piece may meet while it moves: all others, their boxes kept apart so that many are looked at
//! at once.

use super::field::Frame;

/// Another piece, or the flaws, seen from the piece that moves.
#[derive(Clone, Copy, Debug)]
pub struct Obstacle {
    /// Where its region's origin lies.
    pub x: f64,
    pub y: f64,
    /// What a depth in it costs.
    pub weight: f64,
    /// Index of its region.
    pub region: u32,
}

/// Obstacles whose boxes are looked at together.
const LANES: usize = 8;

/// Boxes are kept this much larger (um): narrow floats of this size skip whole numbers. The regions themselves
/// decide.
const WIDER: f64 = 4.0;

/// All obstacles to a piece that is laid in one way.
#[derive(Default)]
pub struct Obstacles {
    /// Least x, greatest x, least y, greatest y; filled up to whole lanes with boxes that meet nothing.
    sides: [Vec<f32>; 4],
    list: Vec<Obstacle>,
}

impl Obstacles {
    pub fn clear(&mut self) {
        self.list.clear();
        self.sides.iter_mut().for_each(Vec::clear);
    }

    pub fn push(&mut self, frame: Frame, obstacle: Obstacle) {
        let sides = [
            frame.x[0] - WIDER,
            frame.x[1] + WIDER,
            frame.y[0] - WIDER,
            frame.y[1] + WIDER,
        ];
        for (all, side) in self.sides.iter_mut().zip(sides) {
            all.push(side as f32);
        }
        self.list.push(obstacle);
    }

    /// To be called after the last [`Obstacles::push`].
    pub fn fill_up(&mut self) {
        let whole = self.list.len().div_ceil(LANES) * LANES;
        for (side, all) in self.sides.iter_mut().enumerate() {
            let nowhere = if side % 2 == 0 {
                f32::INFINITY
            } else {
                f32::NEG_INFINITY
            };
            all.resize(whole, nowhere);
        }
    }

    pub fn len(&self) -> usize {
        self.list.len()
    }

    #[inline]
    pub fn get(&self, index: u32) -> &Obstacle {
        &self.list[index as usize]
    }

    /// Calls `each` with all obstacles that a point between these borders may meet, and some more, until
    /// it says false.
    #[inline]
    pub fn near(&self, frame: Frame, mut each: impl FnMut(u32, &Obstacle) -> bool) {
        let (x0, x1) = (frame.x[0] as f32, frame.x[1] as f32);
        let (y0, y1) = (frame.y[0] as f32, frame.y[1] as f32);
        let [left, right, low, high] = &self.sides;
        let across = left.chunks_exact(LANES).zip(right.chunks_exact(LANES));
        let along = low.chunks_exact(LANES).zip(high.chunks_exact(LANES));
        for (chunk, ((left, right), (low, high))) in across.zip(along).enumerate() {
            let mut hits = 0_u32;
            for k in 0..LANES {
                let hit = (left[k] < x1) & (right[k] > x0) & (low[k] < y1) & (high[k] > y0);
                hits |= u32::from(hit) << k;
            }
            while hits != 0 {
                let index = chunk * LANES + hits.trailing_zeros() as usize;
                hits &= hits - 1;
                if !each(index as u32, &self.list[index]) {
                    return;
                }
            }
        }
    }
}
