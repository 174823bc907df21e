//! The engine for rectangles: is there room for all on so much cloth?
//!
//! A length is tried by a beam search that lays the rest greedily ([`beam`]). At first the lengths tried are far
//! apart, then ever closer to the shortest reached; when the next unit less is not reached either, more
//! beginnings are followed at once. Attempts differ in what they prefer, and as many as there are threads go on
//! at the same time; the next length is chosen when all are done, so that the same steps give the same layout.
//!
//! To judge a beginning by what a greedy rest makes of it: Duin and Voß 1999, the pilot method (from memory).
//! Ours: the cloth ends at the length asked about, the area that is left over is what beginnings are took
//! by, and half of the attempts fill the room from its side.

mod beam;
mod exact;
mod greedy;
mod manner;
mod refusal;
mod room;
mod settle;
mod sizes;
mod skyline;
mod strip;
#[cfg(test)]
mod tests;

use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use rayon::prelude::*;

use crate::constructive::Layout;
use beam::Attempt;
use manner::Manner;
pub use refusal::Refusal;
use room::{Room, Spot};
pub use settle::{Settled, is_refused, is_worth_settling, refusal_of, settled};
use sizes::Sizes;
pub use strip::Strip;

/// Turns of the greedy filling in a step of about a microsecond.
const TURNS_A_STEP: u64 = 16;

/// Once the next unit less is not reached either, so much larger is the number of beginnings that are followed at
/// once (one and a half times), and so far below the shortest found the next length is (of what is open).
const WIDER: usize = 2;
const AFRESH: i32 = 16;

/// Beyond so many beginnings at once it starts with one again, and next time goes on to half as many more: some attempts are
/// lucky, and narrow ones are cheap.
const FIRST_WIDEST: usize = 24;

/// Beginnings followed at once, at most: some dozen megabytes for the most pieces that have so many.
const WIDEST: usize = 3_000;

/// After so many rounds of attempts that left nothing out another is not likely to find more.
const WHOLE: u32 = 4;

/// When to stop, and who is told.
pub struct Watch<'w> {
    /// Steps at most, over all threads.
    pub steps: u64,
    /// Attempts at once.
    pub threads: usize,
    /// Of every random choice.
    pub seed: u64,
    /// No layout need be shorter than this, micrometres.
    pub goal: i64,
    /// Whether to end now.
    pub stop: &'w (dyn Fn() -> bool + Sync),
    /// Told of each shorter length, micrometres.
    pub tell: &'w mut dyn FnMut(i64),
}

/// The shortest layout found that is shorter than `length` (micrometres), if one is, and the steps it took.
pub fn shorter(strip: &Strip<'_>, length: i64, watch: &mut Watch<'_>) -> (Option<Layout>, u64) {
    let lower = strip.units_down(watch.goal).max(strip.least());
    // Lengths below it have not been reached.
    let mut upper = strip.units_up(length);
    let mut best: Option<Layout> = None;
    let (mut width, mut widest) = (0, FIRST_WIDEST);
    let (mut leap, mut whole) = (upper - lower, 0);
    let (mut round, mut took) = (0, 0);
    let most = watch.steps.saturating_mul(TURNS_A_STEP);
    while upper > lower && whole < WHOLE && took < most && !(watch.stop)() {
        leap = leap.clamp(1, upper - lower);
        let room = strip.room(upper - leap);
        let limit = (most - took) / watch.threads.max(1) as u64;
        let streams = (0..watch.threads.max(1)).into_par_iter();
        let try_it = |stream: usize| {
            let seed = watch.seed ^ (stream as u64) << 32 ^ round;
            attempt(&room, width, seed, limit, watch.stop)
        };
        let tries: Vec<Try> = streams.map(try_it).collect();
        took += tries.iter().map(|one| one.took).sum::<u64>();
        let all_whole = tries.iter().all(|one| one.is_whole);
        let found = tries.into_iter().filter_map(|one| one.spots);
        round += 1;
        if let Some(spots) = found.min_by_key(|spots| strip.end(spots)) {
            upper = strip.end(&spots);
            let layout = strip.layout(&spots);
            (watch.tell)(layout.length);
            best = Some(layout);
            whole = 0;
        } else if leap > 1 {
            leap /= 2;
        } else {
            whole += u32::from(all_whole);
            width += 1 + width / WIDER;
            if width > widest {
                width = 0;
                widest = (widest + widest / 2).min(WIDEST);
            }
            leap = (upper - lower) / AFRESH;
        }
    }
    (best, took / TURNS_A_STEP)
}

/// What became of one attempt.
struct Try {
    spots: Option<Vec<Spot>>,
    took: u64,
    is_whole: bool,
}

/// One attempt to fill a room, from below or from the side.
fn attempt(room: &Room, width: usize, seed: u64, limit: u64, stop: &dyn Fn() -> bool) -> Try {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
    let is_sideways = random.random::<bool>();
    let turned = is_sideways.then(|| room.sideways());
    let room = turned.as_ref().unwrap_or(room);
    let manner = Manner::drawn(room, width, &mut random);
    let order = manner.order.clone();
    let room = &room.ordered(&order);
    let mut attempt = Attempt {
        room,
        sizes: Sizes::of(room),
        manner,
        random: &mut random,
        took: 0,
        limit,
        is_whole: true,
        stop,
    };
    let mut spots = attempt.run();
    for spot in spots.iter_mut().flatten() {
        spot.block = order[usize::from(spot.block)];
        if is_sideways {
            spot.at.reverse();
        }
    }
    Try {
        spots,
        took: attempt.took,
        is_whole: attempt.is_whole,
    }
}
