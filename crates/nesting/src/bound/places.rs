//! Forget across, keep along: can the pieces take places along a trial length at all?
//!
//! Every copy's place along is one of a few intervals, in one of its ways. Wherever in the interval
//! it lies, it puts at least the least of the reachable sections on each of a row of lines across the
//! cloth. A search over all combinations, the piece with the fewest intervals left first, keeps the sum
//! on every line within the usable width. If no combination is left, nothing fits in the trial
//! length. If one is, nothing is said: intervals are coarse and across is forgotten.
//!
//! This is a cumulative scheduling problem with width profiles; it contains the side-by-side rule and
//! keeps what sections added up lose: that a piece is in one place. Own derivation. Exact in integers.
//! Equal copies are taken in order of their intervals.

use super::kinds::Kind;
use super::profile::Profile;

/// Intervals and lines for the length of the longest piece: finer says more and takes longer.
const FINENESS: i64 = 24;

/// At most so many lines and so many intervals of a way.
const MOST: i64 = 96;

/// What the search says of a trial length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// No combination of places is left: nothing fits.
    Refused,
    /// A combination is left, or the work was used up.
    Open,
}

/// An interval of places of one kind in one way.
struct Choice {
    /// On each line.
    loads: Vec<u32>,
    total: u64,
}

struct Search {
    usable: u32,
    /// By kind.
    choices: Vec<Vec<Choice>>,
    work: u64,
}

/// Where the search stands: what is on the lines, and what each kind can still choose.
struct State {
    used: Vec<u32>,
    free: u64,
    left: Vec<i64>,
    open: Vec<Vec<u32>>,
}

/// Tries to place all `kinds` on `length`; `work` counts lines compared.
pub(super) fn try_length(kinds: &[Kind], usable: i64, length: i64, work: &mut u64) -> Outcome {
    let Ok(usable) = u32::try_from(usable) else {
        return Outcome::Open;
    };
    if usable > u32::MAX / 2 {
        return Outcome::Open;
    }
    let longest = kinds.iter().map(Kind::least_height).max().unwrap_or(0);
    let step = (longest / FINENESS).max(1);
    let count = (length / step).clamp(1, MOST);
    let lines: Vec<i64> = (0..count)
        .map(|j| (2 * j + 1) * length / (2 * count))
        .collect();
    let choices: Vec<Vec<Choice>> = kinds
        .iter()
        .map(|kind| choices(kind, usable, length, step, &lines))
        .collect();
    *work = work.saturating_sub(choices.iter().map(|c| (c.len() * lines.len()) as u64).sum());
    let state = State {
        used: vec![0; lines.len()],
        free: u64::from(usable) * lines.len() as u64,
        left: kinds.iter().map(|kind| kind.copies).collect(),
        open: choices
            .iter()
            .map(|c| (0..c.len() as u32).collect())
            .collect(),
    };
    let mut search = Search {
        usable,
        choices,
        work: *work,
    };
    let refused = search.is_refused(&state);
    *work = search.work;
    if refused {
        Outcome::Refused
    } else {
        Outcome::Open
    }
}

/// All intervals of a kind, ordered by place.
fn choices(kind: &Kind, usable: u32, length: i64, step: i64, lines: &[i64]) -> Vec<Choice> {
    let mut all: Vec<(i64, Choice)> = Vec::new();
    for way in &kind.ways {
        let room = length - way.profile.height();
        if room < 0 {
            continue;
        }
        let count = (room / step + 1).clamp(1, MOST);
        let reversed = way.both_ends.then(|| way.profile.reversed());
        for profile in std::iter::once(&way.profile).chain(&reversed) {
            for part in 0..count {
                let (from, to) = (part * room / count, (part + 1) * room / count);
                let load = |&line: &i64| least(profile, line - to, line - from, usable);
                let loads: Vec<u32> = lines.iter().map(load).collect();
                let total = loads.iter().map(|&l| u64::from(l)).sum();
                all.push((from, Choice { loads, total }));
            }
        }
    }
    all.sort_by_key(|&(from, _)| from);
    all.into_iter().map(|(_, choice)| choice).collect()
}

/// The least section over these heights of the piece. What is wider than the cloth counts as just too
/// wide, which refuses as well.
fn least(profile: &Profile, from: i64, to: i64, usable: u32) -> u32 {
    if from <= 0 || to >= profile.height() {
        return 0;
    }
    let width = profile
        .least_between(from, to)
        .clamp(0, i64::from(usable) + 1);
    u32::try_from(width).unwrap_or(usable + 1)
}

impl Search {
    /// True if no combination of choices is left below `state`.
    fn is_refused(&mut self, state: &State) -> bool {
        let waiting = (0..state.left.len()).filter(|&k| state.left[k] > 0);
        let Some(kind) = waiting.min_by_key(|&k| (state.open[k].len(), k)) else {
            return false;
        };
        for (at, &number) in state.open[kind].iter().enumerate() {
            if self.work == 0 {
                return false;
            }
            if let Some(next) = self.choose(state, kind, at, number) {
                if !self.is_refused(&next) {
                    return false;
                }
            }
        }
        true
    }

    /// The state after one copy of `kind` took a choice; `None` if some piece then has no place.
    fn choose(&mut self, state: &State, kind: usize, at: usize, number: u32) -> Option<State> {
        let choice = &self.choices[kind][number as usize];
        let lines = state.used.len() as u64;
        let mut used = state.used.clone();
        for (sum, load) in used.iter_mut().zip(&choice.loads) {
            *sum += load;
            if *sum > self.usable {
                return None;
            }
        }
        let free = state.free - choice.total;
        let mut left = state.left.clone();
        left[kind] -= 1;
        let mut open: Vec<Vec<u32>> = Vec::with_capacity(left.len());
        let mut wanted = 0_u64;
        for (k, choices) in self.choices.iter().enumerate() {
            if left[k] == 0 {
                open.push(Vec::new());
                continue;
            }
            let before = if k == kind {
                &state.open[k][at..]
            } else {
                &state.open[k][..]
            };
            self.work = self
                .work
                .saturating_sub(before.len() as u64 * lines / 4 + 1);
            let fits = |n: &u32| {
                let loads = &choices[*n as usize].loads;
                used.iter()
                    .zip(loads)
                    .all(|(sum, load)| sum + load <= self.usable)
            };
            let kept: Vec<u32> = before.iter().copied().filter(fits).collect();
            let least = kept.iter().map(|&n| choices[n as usize].total).min()?;
            wanted += least * left[k].unsigned_abs();
            open.push(kept);
        }
        (wanted <= free).then_some(State {
            used,
            free,
            left,
            open,
        })
    }
}
