//! Without the narrow ones: do the wide rectangles alone go on this length?
//!
//! Narrow rectangles bring nearly all of the sets there are. Where the wide ones alone are too long, few go side by side and
//! most lie alone, so these make parts of their own, in one order only, and what can go beside others falls apart
//! into small questions. How narrow to go is found by halves: what has starts has them without the narrow ones too.

use super::along::{Asker, Said, Search, Start};
use super::{Job, Kept, Manner, Order, PATIENCE};

/// Of all work, this part for one try, and so many such shares in all.
const PART: u64 = 32;
const SHARES: u64 = 4;

/// With less for a try no charges are made.
const LEAST: u64 = 32_000;

/// Takes any starts.
struct Any;

impl Asker for Any {
    fn takes(&mut self, _: &[Start]) -> bool {
        true
    }

    fn may_begin(&mut self, _: &[Start]) -> bool {
        true
    }

    fn spent(&mut self) -> u64 {
        0
    }
}

/// The search that refuses this length for some of the widest, if one is found with a part of the work.
pub(super) fn refuses(
    job: &Job,
    length: i32,
    work: &mut u64,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<Manner> {
    let share = *work / PART;
    let mut left = SHARES * share;
    if share < LEAST {
        return None;
    }
    let widths = narrow(job);
    let (mut from, mut to) = (0, widths.len());
    while from < to && left > 0 && !stop() {
        let middle = usize::midpoint(from, to);
        let manner = Manner {
            order: Order::Half,
            is_strict: false,
            work: share.min(left),
            narrowest: widths[middle],
        };
        let kept = Kept::of(job, manner.narrowest).ordered(manner.order);
        let mut any = Any;
        let mut search = Search::new(&kept.wide, length, PATIENCE, &mut any, stop);
        let (said, spent) = search.run(manner.work);
        left = left.saturating_sub(spent);
        *work = work.saturating_sub(spent);
        match said {
            Said::Refused => return Some(manner),
            Said::Taken => from = middle + 1,
            Said::Open => to = middle,
        }
    }
    None
}

/// The widths that two may have side by side, the widest first, but for the narrowest: with these it is everything.
fn narrow(job: &Job) -> Vec<i32> {
    let sorts = 0..job.copies.len();
    let mut widths: Vec<i32> = sorts.filter_map(|sort| job.narrowest(sort)).collect();
    widths.sort_unstable_by_key(|&across| std::cmp::Reverse(across));
    widths.dedup();
    widths.pop();
    widths.retain(|across| 2 * across <= job.across);
    widths
}
