//! What a shape may meet on the table, the boxes of it kept apart so that many are looked at at once.

use wide::i32x8;

use super::frame::Frame;

/// A piece, or the flaws, seen from a shape that moves.
#[derive(Clone, Copy, Debug)]
pub struct Obstacle {
    /// Where its region's origin lies.
    pub x: i32,
    pub y: i32,
    /// Index of its region.
    pub region: u32,
    /// The piece; for the flaws the number of pieces.
    pub piece: u32,
}

/// Boxes that are looked at together.
const LANES: usize = 8;

/// Boxes side by side: a side of all of them in each row.
#[derive(Clone, Debug)]
struct Boxes {
    left: i32x8,
    right: i32x8,
    low: i32x8,
    high: i32x8,
}

impl Boxes {
    fn of(frames: impl Iterator<Item = Frame>) -> Self {
        let mut boxes = Boxes {
            left: i32x8::MAX,
            right: i32x8::MIN,
            low: i32x8::MAX,
            high: i32x8::MIN,
        };
        frames
            .enumerate()
            .for_each(|(lane, frame)| boxes.set(lane, frame));
        boxes
    }

    /// The same frame in all lanes.
    #[inline]
    fn all(frame: &Frame) -> Self {
        Boxes {
            left: i32x8::splat(frame.x[0]),
            right: i32x8::splat(frame.x[1]),
            low: i32x8::splat(frame.y[0]),
            high: i32x8::splat(frame.y[1]),
        }
    }

    fn set(&mut self, lane: usize, frame: Frame) {
        self.left.as_mut_array()[lane] = frame.x[0];
        self.right.as_mut_array()[lane] = frame.x[1];
        self.low.as_mut_array()[lane] = frame.y[0];
        self.high.as_mut_array()[lane] = frame.y[1];
    }

    fn get(&self, lane: usize) -> Frame {
        let side = |all: &i32x8| all.as_array()[lane];
        Frame {
            x: [side(&self.left), side(&self.right)],
            y: [side(&self.low), side(&self.high)],
        }
    }

    /// The bits of those that meet the box in the same lane.
    #[inline]
    fn hits(&self, others: &Boxes) -> u32 {
        let across = self.left.simd_lt(others.right) & self.right.simd_gt(others.left);
        let along = self.low.simd_lt(others.high) & self.high.simd_gt(others.low);
        (across & along).to_bitmask()
    }
}

/// All obstacles to a shape: in groups that lie near each other along the cloth, as long as few have moved, and
/// the boxes around the groups.
#[derive(Default)]
pub struct Obstacles {
    around: Vec<Boxes>,
    groups: Vec<Boxes>,
    list: Vec<Obstacle>,
}

impl Obstacles {
    /// Takes these in place of those it had, and puts them in order; they are returned by index.
    pub fn fill(&mut self, all: &mut [(Frame, Obstacle)]) -> &[Obstacle] {
        all.sort_unstable_by_key(|(frame, obstacle)| (frame.y, obstacle.piece));
        let frame = |(frame, _): &(Frame, Obstacle)| *frame;
        let group = |some: &[(Frame, Obstacle)]| Boxes::of(some.iter().map(frame));
        let join =
            |some: &[(Frame, Obstacle)]| some.iter().map(frame).fold(Frame::NONE, Frame::with);
        self.groups.clear();
        self.groups.extend(all.chunks(LANES).map(group));
        let joined: Vec<Frame> = all.chunks(LANES).map(join).collect();
        self.around.clear();
        let around = joined
            .chunks(LANES)
            .map(|some| Boxes::of(some.iter().copied()));
        self.around.extend(around);
        self.list.clear();
        self.list.extend(all.iter().map(|(_, obstacle)| *obstacle));
        &self.list
    }

    /// Another obstacle in place of one.
    pub fn replace(&mut self, index: usize, frame: Frame, obstacle: Obstacle) {
        self.list[index] = obstacle;
        let group = index / LANES;
        self.groups[group].set(index % LANES, frame);
        let around = &mut self.around[group / LANES];
        around.set(group % LANES, around.get(group % LANES).with(frame));
    }

    pub fn len(&self) -> usize {
        self.list.len()
    }

    #[inline]
    pub fn get(&self, index: u32) -> &Obstacle {
        &self.list[index as usize]
    }

    /// Calls `each` with all obstacles whose boxes meet this one, until it says false.
    #[inline]
    pub fn near(&self, frame: &Frame, mut each: impl FnMut(u32, &Obstacle) -> bool) {
        let frame = Boxes::all(frame);
        for (number, around) in self.around.iter().enumerate() {
            for group in bits(around.hits(&frame)) {
                let group = number * LANES + group;
                for lane in bits(self.groups[group].hits(&frame)) {
                    let index = group * LANES + lane;
                    if !each(index as u32, &self.list[index]) {
                        return;
                    }
                }
            }
        }
    }
}

/// The places of the bits that are set.
fn bits(mut bits: u32) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let lowest = (bits != 0).then(|| bits.trailing_zeros() as usize)?;
        bits &= bits - 1;
        Some(lowest)
    })
}
