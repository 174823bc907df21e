//! Finds blocks by their sizes: sets of them as bits, one for each size of either side.
//!
//! Which blocks are left, no wider than a gap and no longer than its height are three sets, and the first of all that are in
//! each of them is the one preferred: so it takes a few words in place of a look at every block.

use super::room::Room;
use super::skyline::Gap;

/// Blocks in a word.
const WORD: usize = 64;

/// Sets for one side, at most; sizes between two of them are looked up one by one.
const ROWS: usize = 512;

/// Cells of the table from a size to its place among all, at most.
const CELLS: usize = 4_096;

/// Blocks that are no larger than something by one side.
struct Sides {
    words: usize,
    /// All there are, ascending.
    sizes: Vec<i32>,
    /// So many sizes from one set to the next.
    stride: usize,
    /// The sets, one after another; the first is empty.
    rows: Vec<u64>,
    /// By size without its lowest bits: how many sizes are below the first of the cell.
    cells: Vec<u32>,
    low_bits: u32,
}

impl Sides {
    fn of(all: &[i32]) -> Self {
        let words = all.len().div_ceil(WORD);
        let mut sizes = all.to_vec();
        sizes.sort_unstable();
        sizes.dedup();
        let stride = sizes.len().div_ceil(ROWS).max(1);
        let mut rows = vec![0; words];
        for some in sizes.chunks(stride) {
            let most = some.last().copied().unwrap_or(0);
            let mut row = vec![0; words];
            for (block, _) in all.iter().enumerate().filter(|&(_, &size)| size <= most) {
                row[block / WORD] |= 1 << (block % WORD);
            }
            rows.append(&mut row);
        }
        let last = sizes.last().copied().unwrap_or(0);
        let low_bits = (0..31).find(|&bits| ((last >> bits) as usize) < CELLS);
        let low_bits = low_bits.unwrap_or(0);
        let below = |cell: i32| sizes.partition_point(|&size| size < cell << low_bits) as u32;
        Sides {
            cells: (0..=last >> low_bits).map(below).collect(),
            words,
            stride,
            rows,
            low_bits,
            sizes,
        }
    }

    /// How many sizes are below this one, and how many are not above it.
    fn places(&self, size: i32) -> (usize, usize) {
        let Some(&below) = self.cells.get((size >> self.low_bits) as usize) else {
            return (self.sizes.len(), self.sizes.len());
        };
        let mut place = below as usize;
        while self.sizes.get(place).is_some_and(|&other| other < size) {
            place += 1;
        }
        let is_one = self.sizes.get(place) == Some(&size);
        (place, place + usize::from(is_one))
    }

    /// All among the first sizes, and maybe some more.
    fn first(&self, count: usize) -> &[u64] {
        self.row(count.div_ceil(self.stride))
    }

    /// Of those among the first sizes all or some, no others.
    fn surely(&self, count: usize) -> &[u64] {
        self.row(count / self.stride)
    }

    fn row(&self, number: usize) -> &[u64] {
        &self.rows[number * self.words..][..self.words]
    }
}

/// The blocks of a room by both sides. Those with lower numbers are preferred.
pub struct Sizes {
    across: Sides,
    along: Sides,
}

impl Sizes {
    pub fn of(room: &Room) -> Self {
        let sides = |k: usize| {
            let all: Vec<i32> = room.blocks.iter().map(|block| block.size[k]).collect();
            Sides::of(&all)
        };
        Sizes {
            across: sides(0),
            along: sides(1),
        }
    }

    /// Of these blocks, those that fit so much room, ascending.
    pub fn fitting(&self, room: &Room, live: &[u64], most: [i32; 2]) -> impl Iterator<Item = u16> {
        let across = self.across.first(self.across.places(most[0]).1);
        let along = self.along.first(self.along.places(most[1]).1);
        let sets = live.iter().zip(across).zip(along);
        let words = sets.map(|((live, across), along)| live & across & along);
        let blocks = words.enumerate().flat_map(|(k, word)| bits(k, word));
        blocks.filter(move |&block| fits(room, block, most))
    }

    /// Of these blocks, the first of those that fit the gap best.
    pub fn best(&self, room: &Room, live: &[u64], gap: Gap, height: i32) -> Option<u16> {
        let walls = gap.walls.map(|wall| wall.min(height));
        let most = [gap.step.across, height];
        let along = self.along.first(self.along.places(height).1);
        let (narrower, across) = self.across.places(most[0]);
        if across > narrower {
            let narrower = self.across.surely(narrower);
            let across = self.across.first(across);
            let (mut best, mut best_fit) = (None, NONE_AS_WIDE);
            for (k, live) in live.iter().enumerate() {
                for block in bits(k, live & across[k] & !narrower[k] & along[k]) {
                    let how_well = fit(room.size(block), most[0], walls);
                    if how_well > best_fit && fits(room, block, most) {
                        (best, best_fit) = (Some(block), how_well);
                    }
                }
            }
            if best.is_some() {
                return best;
            }
        }
        let across = self.across.first(across);
        let high = walls[0].max(walls[1]);
        let (shorter, level) = self.along.places(high);
        let (is_some_level, level) = (level > shorter, self.along.first(level));
        let shorter = self.along.surely(shorter);
        let mut first = None;
        for (k, live) in live.iter().enumerate() {
            let may = live & across[k] & along[k];
            if is_some_level {
                let is_level = |block: &u16| room.size(*block)[1] == high;
                let mut level = bits(k, may & level[k] & !shorter[k]).filter(is_level);
                if let Some(block) = level.find(|&block| fits(room, block, most)) {
                    return Some(block);
                }
            }
            first = first.or_else(|| bits(k, may).find(|&block| fits(room, block, most)));
            if first.is_some() && !is_some_level {
                return first;
            }
        }
        first
    }
}

fn fits(room: &Room, block: u16, most: [i32; 2]) -> bool {
    let size = room.size(block);
    size[0] <= most[0] && size[1] <= most[1]
}

/// The numbers of the bits that are set in one word of a set.
fn bits(number: usize, mut word: u64) -> impl Iterator<Item = u16> {
    std::iter::from_fn(move || {
        let bit = (word != 0).then(|| word.trailing_zeros())?;
        word &= word - 1;
        Some((number * WORD) as u16 + bit as u16)
    })
}

/// [`fit`] of blocks that are not as wide as the gap, at most.
const NONE_AS_WIDE: i32 = 2;

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

#[cfg(test)]
mod tests {
    use rand::{RngExt, SeedableRng};
    use rand_xoshiro::Xoshiro256PlusPlus;

    use super::*;
    use crate::rectangles::room::Stock;
    use crate::rectangles::skyline::Skyline;

    #[test]
    fn what_levels_with_more_walls_fits_better() {
        let walls = [4, 7];
        let fits = [[5, 4], [5, 7], [5, 2], [5, 5], [3, 7], [3, 4]];
        assert_eq!(fits.map(|size| fit(size, 5, walls)), [5, 4, 4, 3, 2, 0]);
        assert_eq!(fit([5, 4], 5, [4, 4]), 6);
    }

    /// Few sizes, more than there are sets, and such that no table has a cell for each.
    #[test]
    fn the_same_is_found_as_by_a_look_at_every_block() {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(3);
        let mut found = 0;
        for (count, largest) in [(1, 4), (9, 6), (70, 12), (200, 40), (1_500, 5_000_000)] {
            let size =
                |random: &mut Xoshiro256PlusPlus| [0, 1].map(|_| random.random_range(1..=largest));
            let sizes: Vec<_> = (0..count).map(|_| (size(&mut random), 1)).collect();
            let room = Room::of(largest * 3, largest * 9, &sizes);
            let by_size = Sizes::of(&room);
            let (mut skyline, mut stock) = (Skyline::level(room.across), Stock::whole(&room));
            while stock.area > 0 {
                let gap = skyline.gap();
                let height = room.along - gap.step.y;
                let most = [gap.step.across, height];
                let all = 0..room.blocks.len() as u16;
                let live =
                    |&block: &u16| stock.live()[usize::from(block) / WORD] >> (block % 64) & 1 == 1;
                let fitting: Vec<u16> =
                    all.filter(live).filter(|&b| fits(&room, b, most)).collect();
                let walls = gap.walls.map(|wall| wall.min(height));
                let how_well = |&&block: &&u16| fit(room.size(block), most[0], walls);
                let best = fitting.iter().rev().max_by_key(how_well).copied();
                assert_eq!(by_size.best(&room, stock.live(), gap, height), best);
                assert!(by_size.fitting(&room, stock.live(), most).eq(fitting));
                let Some(block) = best else {
                    if skyline.raise(gap, room.along) == 0 {
                        break;
                    }
                    continue;
                };
                found += 1;
                skyline.lay(gap, room.size(block));
                stock.take(&room, block);
            }
        }
        assert!(found > 200, "{found}");
    }
}
