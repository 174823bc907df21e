//! Forget across but for what must lie side by side: can the pieces take places along a trial length at all?
//!
//! Every copy's place along is one of a few intervals, in one of its ways. Wherever in the interval
//! it lies, it puts at least the least of the reachable sections on each of a row of lines across the
//! cloth; from some others it is too near to lie beside them ([`super::apart`]); and those that it must lie
//! beside need room in some order ([`side_by_side`]). If no combination of intervals is left ([`search`]), nothing
//! fits in the trial length. If one is, nothing is said: intervals are coarse.
//!
//! This is a cumulative scheduling problem with width profiles; it contains the side-by-side rule and
//! keeps what sections added up lose: that a piece is in one place. Own derivation. Exact in integers.

mod search;
mod side_by_side;

use super::apart::Distances;
use super::kinds::Kind;
use super::profile::Profile;
use search::{Order, Search};

/// At most so many lines, and so many intervals of a way.
const MOST: i64 = 256;

/// At most so many intervals in all.
const MOST_CHOICES: usize = 20_000;

/// What the search says of a trial length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// No combination of places is left: nothing fits.
    Refused,
    /// A combination is left, or the work was used up.
    Open,
}

/// An interval of places in one stance: what it puts on the lines, from the first that it meets on.
struct Choice {
    kind: usize,
    stance: usize,
    from: i64,
    to: i64,
    first: usize,
    loads: Vec<i32>,
}

/// What is laid, and on what.
pub(super) struct Job<'j> {
    pub kinds: &'j [Kind],
    pub distances: &'j Distances,
    /// What sections share, grown.
    pub usable: i64,
    /// Usable width, not grown.
    pub cloth: i64,
}

/// Tries to lay all pieces on `length`, with `fineness` intervals for the length of the longest: finer says
/// more and takes longer. `work` is in about nanoseconds.
pub(super) fn try_length(job: &Job<'_>, length: i64, fineness: i64, work: &mut u64) -> Outcome {
    // Sums of two stay within i32; that is a kilometre of width.
    let Some(usable) = i32::try_from(job.usable).ok().filter(|&u| u < i32::MAX / 2) else {
        return Outcome::Open;
    };
    let heights = || job.kinds.iter().map(Kind::least_height);
    let longest = heights().max().unwrap_or(0);
    let shortest = heights().min().unwrap_or(0);
    // A piece must be on some line wherever it lies in its interval, or the interval says nothing.
    let step = (longest / fineness)
        .min(shortest / 3)
        .max(length / MOST)
        .max(1);
    let count = (length / step).clamp(1, MOST);
    let lines: Vec<i64> = (0..count)
        .map(|j| (2 * j + 1) * length / (2 * count))
        .collect();
    let mut choices = Vec::new();
    for (number, stance) in job.distances.stances.iter().enumerate() {
        let room = length - stance.along();
        let step = (longest / fineness).min(job.kinds[stance.kind].least_height() / 3);
        let count = (room / step.max(1) + 1).clamp(1, MOST);
        *work = work.saturating_sub(count.unsigned_abs() * lines.len() as u64 * 8);
        if room < 0 {
            continue;
        }
        if *work == 0 || choices.len() > MOST_CHOICES {
            return Outcome::Open;
        }
        choices.extend((0..count).map(|part| {
            let interval = (part * room / count, (part + 1) * room / count);
            Choice::of(
                stance.kind,
                number,
                &stance.profile,
                interval,
                &lines,
                usable,
            )
        }));
    }
    choices.sort_by_key(|choice| choice.from);
    let mut search = Search::new(job, usable, length, lines.len(), choices);
    // Now one order is much faster, now another.
    let orders = [Order::FewestByWidth, Order::Lowest, Order::Fewest];
    let share = *work / orders.len() as u64;
    for order in orders {
        let (is_refused, left) = search.run(order, share);
        *work -= share - left;
        if is_refused {
            return Outcome::Refused;
        }
        // A combination is left for the strictest.
        if left > 0 && order != Order::FewestByWidth {
            break;
        }
    }
    Outcome::Open
}

impl Choice {
    fn of(
        kind: usize,
        stance: usize,
        profile: &Profile,
        (from, to): (i64, i64),
        lines: &[i64],
        usable: i32,
    ) -> Self {
        let load = |&line: &i64| least(profile, line - to, line - from, usable);
        let all: Vec<i32> = lines.iter().map(load).collect();
        let is_met = |load: &i32| *load > 0;
        let first = all.iter().position(is_met).unwrap_or(0);
        let end = all.iter().rposition(is_met).map_or(first, |last| last + 1);
        Choice {
            kind,
            stance,
            from,
            to,
            first,
            loads: all[first..end].to_vec(),
        }
    }
}

/// The least section over these heights of the piece. What is wider than the cloth counts as just too
/// wide, which refuses as well.
fn least(profile: &Profile, from: i64, to: i64, usable: i32) -> i32 {
    if from <= 0 || to >= profile.height() {
        return 0;
    }
    let width = profile
        .least_between(from, to)
        .clamp(0, i64::from(usable) + 1);
    i32::try_from(width).unwrap_or(usable + 1)
}
