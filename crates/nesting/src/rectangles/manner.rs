//! What one attempt prefers.

use rand::RngExt;
use rand_xoshiro::Xoshiro256PlusPlus;

use super::room::{Block, Room};

/// Above this many pieces a choice is followed by several blocks at once; above so many blocks not all are tried.
const CHOICES: usize = 400;
const TRIED: usize = 12_000;

pub struct Manner {
    /// Blocks by preference: the first among those that fit equally well is laid.
    pub order: Vec<u16>,
    /// How many beginnings go on, and how many of them from one.
    pub width: usize,
    pub siblings: usize,
    /// Blocks tried in a gap at most.
    pub tried: usize,
    /// Blocks laid before the next choice.
    pub stride: usize,
}

impl Manner {
    /// Drawn by lot; `width` beginnings at once.
    pub fn drawn(room: &Room, width: usize, random: &mut Xoshiro256PlusPlus) -> Self {
        let noise = [0.0, 0.1, 0.3][random.random_range(0..3)];
        let order = order(room, noise, random);
        let pieces: u32 = room.kinds.iter().map(|kind| kind.copies).sum();
        let pieces = pieces as usize;
        Manner {
            order,
            width,
            siblings: [2, 4, usize::MAX][random.random_range(0..3)],
            tried: (TRIED / pieces.max(1)).max(8),
            stride: pieces.div_ceil(CHOICES),
        }
    }
}

/// By area, by one side, or by the longer one, each blurred a little; the largest first.
fn order(room: &Room, noise: f64, random: &mut Xoshiro256PlusPlus) -> Vec<u16> {
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
    let worth: Vec<f64> = room.blocks.iter().map(worth).collect();
    let of = |block: u16| worth[usize::from(block)];
    let mut order: Vec<u16> = (0..worth.len() as u16).collect();
    order.sort_by(|&a, &b| of(b).total_cmp(&of(a)));
    order
}
