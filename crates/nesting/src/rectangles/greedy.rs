//! Fills a room step by step: into the lowest gap goes the block that fits it best.
//!
//! Fit counts before size: a block as wide as the gap, level with one wall or both, leaves fewer steps.
//! Source of the scheme: Burke, Kendall, Whitwell 2004; grades of fit as in Leung, Zhang, Sim 2011 (both
//! from memory). Ours: the room is closed above, and the area that finds no place in it is the score.

use super::room::{Room, Spot, Stock};
use super::sizes::Sizes;
use super::skyline::Skyline;

/// Words of a set that take as long as the rest of a turn.
const WORDS_A_TURN: usize = 8;

/// A turn is to lay one block or to give one gap up. So many of them take as long as one in a room of few blocks.
pub fn turns(room: &Room) -> u64 {
    (1 + room.blocks.len() / (64 * WORDS_A_TURN)) as u64
}

/// Lays what finds a place in the room, and notes it. The area of what finds none, if no more than `spare` goes
/// to waste on the way; `None` as soon as more does. Counts the turns it takes.
pub fn complete(
    room: &Room,
    sizes: &Sizes,
    (skyline, stock): (&mut Skyline, &mut Stock),
    mut spare: i64,
    took: &mut u64,
    laid: &mut Vec<Spot>,
) -> Option<i64> {
    let turns = turns(room);
    while stock.area > 0 {
        let gap = skyline.gap();
        let height = room.along - gap.step.y;
        if height <= 0 {
            break;
        }
        *took += turns;
        let Some(block) = sizes.best(room, stock.live(), gap, height) else {
            let by = skyline.raise(gap, room.along);
            spare -= i64::from(by) * i64::from(gap.step.across);
            if spare < 0 {
                return None;
            }
            continue;
        };
        let at = skyline.lay(gap, room.size(block));
        laid.push(Spot { block, at });
        stock.take(room, block);
    }
    Some(stock.area)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_is_taken_among_equals_and_only_while_there_are_some() {
        let room = Room::of(10, 100, &[([5, 9], 1), ([4, 3], 2)]);
        let rest = |spare: i64| {
            let (mut skyline, mut stock) = (Skyline::level(10), Stock::whole(&room));
            let (mut took, mut laid) = (0, Vec::new());
            let in_room = (&mut skyline, &mut stock);
            let left = complete(
                &room,
                &Sizes::of(&room),
                in_room,
                spare,
                &mut took,
                &mut laid,
            );
            let laid: Vec<_> = laid.iter().map(|spot| (spot.block, spot.at)).collect();
            (left, took, laid)
        };
        // Once more for the gap beside them that nothing fits, up to the three.
        let all = vec![(0, [0, 0]), (1, [6, 0]), (1, [6, 3])];
        assert_eq!(rest(3), (Some(0), 4, all));
        assert_eq!(rest(2).0, None);
    }
}
