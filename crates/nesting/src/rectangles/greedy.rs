//! Fills a room step by step: into the lowest gap goes the block that fits it best.
//!
//! Fit counts before size: a block as wide as the gap, level with one wall or both, leaves fewer steps.
//! Source of the scheme: Burke, Kendall, Whitwell 2004; grades of fit as in Leung, Zhang, Sim 2011 (both
//! from memory). Ours: the room is closed above, and the area that finds no place in it is the score.

use super::room::{Room, Spot, Stock};
use super::skyline::{Gap, Skyline};

/// So many blocks are compared with a gap at once.
const LANES: usize = 8;

/// Blocks by preference: the first among those that fit equally well is laid.
pub struct Order {
    blocks: Vec<u16>,
    /// By block: its place in the order.
    places: Vec<u16>,
}

impl Order {
    /// By falling worth of each block.
    pub fn by(worth: &[f64]) -> Self {
        let mut blocks: Vec<u16> = (0..worth.len() as u16).collect();
        let of = |block: u16| worth[usize::from(block)];
        blocks.sort_by(|&a, &b| of(b).total_cmp(&of(a)));
        let mut places = vec![0; blocks.len()];
        for (place, &block) in blocks.iter().enumerate() {
            places[usize::from(block)] = place as u16;
        }
        Order { blocks, places }
    }
}

/// The sizes of what may still be laid, in an order and flat.
#[derive(Default)]
pub struct Live {
    /// `i32::MAX` where too few pieces are left for the block.
    across: Vec<i32>,
    along: Vec<i32>,
}

impl Live {
    fn fill(&mut self, room: &Room, order: &Order, stock: &Stock) {
        self.across.clear();
        self.along.clear();
        for &block in &order.blocks {
            let [across, along] = room.size(block);
            let may = stock.holds(room, block);
            self.across.push(if may { across } else { i32::MAX });
            self.along.push(along);
        }
        let whole = order.blocks.len().next_multiple_of(LANES);
        self.across.resize(whole, i32::MAX);
        self.along.resize(whole, 0);
    }

    /// The place in the order of the block that fits the gap best.
    fn best(&self, gap: Gap, height: i32) -> Option<usize> {
        let walls = gap.walls.map(|wall| wall.min(height));
        let mut best = [-1; LANES];
        let across = self.across.chunks_exact(LANES);
        let sizes = across.zip(self.along.chunks_exact(LANES));
        for (number, (across, along)) in sizes.enumerate() {
            for lane in 0..LANES {
                let size = [across[lane], along[lane]];
                let place = (number * LANES + lane) as i32;
                let key = (fit(size, gap.step.across, walls) << 16) + i32::from(u16::MAX) - place;
                let may = size[0] <= gap.step.across && size[1] <= height;
                // All bits set in place of a branch, so that all lanes go the same way.
                best[lane] = best[lane].max(key | (i32::from(may) - 1));
            }
        }
        let best = best.into_iter().max().filter(|&key| key >= 0)?;
        Some(usize::from(u16::MAX) - (best & i32::from(u16::MAX)) as usize)
    }
}

/// How well a size fits a gap between walls, 0 to 6. As wide: level with both walls, with one, not above the
/// lower one, or none of these. Narrower: level with the higher one, or not.
pub fn fit([across, along]: [i32; 2], gap: i32, [left, right]: [i32; 2]) -> i32 {
    let (low, high) = (left.min(right), left.max(right));
    let (level_left, level_right) = (i32::from(along == left), i32::from(along == right));
    let levels = (level_left | level_right) + (level_left & level_right);
    let as_wide = 3 + i32::from(along <= low) + levels;
    let narrower = 2 * i32::from(along == high);
    let is_as_wide = i32::from(across == gap);
    is_as_wide * as_wide + (1 - is_as_wide) * narrower
}

/// Lays what finds a place in the room, and notes it. The area of what finds none. Counts the blocks compared
/// with gaps.
pub fn complete(
    room: &Room,
    order: &Order,
    (skyline, stock): (&mut Skyline, &mut Stock),
    live: &mut Live,
    compared: &mut u64,
    laid: &mut Vec<Spot>,
) -> i64 {
    live.fill(room, order, stock);
    while stock.area > 0 {
        let gap = skyline.gap();
        let height = room.along - gap.step.y;
        if height <= 0 {
            break;
        }
        *compared += live.across.len() as u64;
        let Some(place) = live.best(gap, height) else {
            skyline.raise(gap, room.along);
            continue;
        };
        let block = order.blocks[place];
        let at = skyline.lay(gap, room.size(block));
        laid.push(Spot { block, at });
        for &gone in stock.take(room, block) {
            if !stock.holds(room, gone) {
                live.across[usize::from(order.places[usize::from(gone)])] = i32::MAX;
            }
        }
    }
    stock.area
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_levels_with_more_walls_fits_better() {
        let walls = [4, 7];
        let fits = [[5, 4], [5, 7], [5, 2], [5, 5], [3, 7], [3, 4]];
        assert_eq!(fits.map(|size| fit(size, 5, walls)), [5, 4, 4, 3, 2, 0]);
        assert_eq!(fit([5, 4], 5, [4, 4]), 6);
    }

    #[test]
    fn the_first_in_the_order_is_taken_among_equals_and_only_while_there_are_some() {
        let room = Room::of(10, 100, &[([4, 3], 2), ([5, 9], 1)]);
        let (mut skyline, mut stock) = (Skyline::level(10), Stock::whole(&room));
        let (mut live, mut compared, mut laid) = (Live::default(), 0, Vec::new());
        let order = Order::by(&[1.0, 2.0]);
        let in_room = (&mut skyline, &mut stock);
        let left = complete(&room, &order, in_room, &mut live, &mut compared, &mut laid);
        let laid: Vec<_> = laid.iter().map(|spot| (spot.block, spot.at)).collect();
        // Once more for the gap beside them that nothing fits.
        assert_eq!((left, compared), (0, 4 * LANES as u64));
        assert_eq!(laid, [(1, [0, 0]), (0, [6, 0]), (0, [6, 3])]);
    }
}
