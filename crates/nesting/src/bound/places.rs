//! Forget across, keep along: can the pieces take places along a trial length at all?
//!
//! Every copy's place along is one of a few intervals, in one of its ways. Wherever in the interval
//! it lies, it puts at least the least of the reachable sections on each of a row of lines across the
//! cloth. A search over all combinations, the kind with the fewest intervals left first, keeps the
//! sum on every line within the usable width; which two intervals exclude each other is worked out
//! beforehand. If no combination is left, nothing fits in the trial length. If one is, nothing is
//! said: intervals are coarse and across is forgotten.
//!
//! This is a cumulative scheduling problem with width profiles; it contains the side-by-side rule and
//! keeps what sections added up lose: that a piece is in one place. Own derivation. Exact in integers.
//! Equal copies are taken in order of their intervals.

use super::kinds::Kind;
use super::profile::Profile;

/// At most so many lines, and so many intervals of a way.
const MOST: i64 = 128;

/// At most so many intervals in all: the table of pairs grows with the square.
const MOST_CHOICES: usize = 2_000;

/// What the search says of a trial length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// No combination of places is left: nothing fits.
    Refused,
    /// A combination is left, or the work was used up.
    Open,
}

/// An interval of places of one kind in one way: what it puts on each line, and on all.
struct Choice {
    loads: Vec<i32>,
    total: i64,
}

struct Search {
    usable: i32,
    choices: Vec<Choice>,
    /// By kind: its first choice and one past its last.
    ranges: Vec<(usize, usize)>,
    /// By kind: the least total of its choices.
    least: Vec<i64>,
    /// By choice: one bit for every choice that can go with it.
    goes_with: Vec<Vec<u64>>,
    work: u64,
}

/// Where the search stands.
struct State {
    /// On each line.
    used: Vec<i32>,
    free: i64,
    /// Copies to place, by kind.
    left: Vec<i64>,
    /// One bit for every choice that is still open.
    open: Vec<u64>,
}

/// Tries to place all `kinds` on `length`, with `fineness` intervals for the length of the longest
/// piece: finer says more and takes longer. `work` is in about nanoseconds.
pub(super) fn try_length(
    kinds: &[Kind],
    usable: i64,
    length: i64,
    fineness: i64,
    work: &mut u64,
) -> Outcome {
    // Sums of two stay within i32; that is a kilometre of width.
    let Some(usable) = i32::try_from(usable).ok().filter(|&u| u < i32::MAX / 2) else {
        return Outcome::Open;
    };
    let longest = kinds.iter().map(Kind::least_height).max().unwrap_or(0);
    let shortest = kinds.iter().map(Kind::least_height).min().unwrap_or(0);
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
    let mut ranges = Vec::new();
    for kind in kinds {
        let first = choices.len();
        let step = (longest / fineness).min(kind.least_height() / 3).max(1);
        choices.extend(intervals(kind, usable, length, step, &lines));
        ranges.push((first, choices.len()));
        let pairs = (choices.len() * choices.len() * lines.len()) as u64 / 4;
        let built = ((choices.len() - first) * lines.len()) as u64 * 8;
        *work = work.saturating_sub(built);
        if choices.len() > MOST_CHOICES || pairs > *work {
            return Outcome::Open;
        }
    }
    let least = ranges
        .iter()
        .map(|&(first, end)| {
            choices[first..end]
                .iter()
                .map(|c| c.total)
                .min()
                .unwrap_or(0)
        })
        .collect();
    let goes_with = pairs(&choices, usable);
    *work -= (choices.len() * choices.len() * lines.len()) as u64 / 4;
    let mut open = vec![0; choices.len().div_ceil(64)];
    (0..choices.len()).for_each(|n| open[n / 64] |= 1 << (n % 64));
    let state = State {
        used: vec![0; lines.len()],
        free: i64::from(usable) * count,
        left: kinds.iter().map(|kind| kind.copies).collect(),
        open,
    };
    let mut search = Search {
        usable,
        choices,
        ranges,
        least,
        goes_with,
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
fn intervals(kind: &Kind, usable: i32, length: i64, step: i64, lines: &[i64]) -> Vec<Choice> {
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
                let loads: Vec<i32> = lines.iter().map(load).collect();
                let total = loads.iter().map(|&l| i64::from(l)).sum();
                all.push((from, Choice { loads, total }));
            }
        }
    }
    all.sort_by_key(|&(from, _)| from);
    all.into_iter().map(|(_, choice)| choice).collect()
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

/// True if these loads on top of those stay within the width on every line.
fn fits(used: &[i32], loads: &[i32], usable: i32) -> bool {
    // A negative remainder keeps its sign through the or; there is no branch to stop at.
    used.iter()
        .zip(loads)
        .fold(0, |signs, (sum, load)| signs | (usable - (sum + load)))
        >= 0
}

fn pairs(choices: &[Choice], usable: i32) -> Vec<Vec<u64>> {
    let mut goes_with = vec![vec![0_u64; choices.len().div_ceil(64)]; choices.len()];
    for (i, one) in choices.iter().enumerate() {
        for (j, other) in choices.iter().enumerate().skip(i) {
            if fits(&one.loads, &other.loads, usable) {
                goes_with[i][j / 64] |= 1 << (j % 64);
                goes_with[j][i / 64] |= 1 << (i % 64);
            }
        }
    }
    goes_with
}

/// The bits of `open` from `first` to before `end`, word by word, with their place.
fn words(open: &[u64], first: usize, end: usize) -> impl Iterator<Item = (usize, u64)> + '_ {
    (first / 64..end.div_ceil(64)).map(move |word| {
        let from = first.saturating_sub(word * 64).min(63);
        let to = (end - word * 64).min(64);
        let mask = (u64::MAX << from) & (u64::MAX >> (64 - to));
        (word * 64, open[word] & mask)
    })
}

fn count(open: &[u64], (first, end): (usize, usize)) -> u32 {
    if first == end {
        return 0;
    }
    words(open, first, end)
        .map(|(_, bits)| bits.count_ones())
        .sum()
}

impl Search {
    /// True if no combination of choices is left below `state`.
    fn is_refused(&mut self, state: &State) -> bool {
        let waiting = (0..state.left.len()).filter(|&k| state.left[k] > 0);
        let fewest = waiting
            .map(|k| (count(&state.open, self.ranges[k]), k))
            .min();
        let Some((choices, kind)) = fewest else {
            return false;
        };
        if choices == 0 {
            return true;
        }
        let (first, end) = self.ranges[kind];
        for (place, bits) in words(&state.open, first, end) {
            let mut bits = bits;
            while bits != 0 {
                let number = place + bits.trailing_zeros() as usize;
                bits &= bits - 1;
                self.work = self.work.saturating_sub(state.used.len() as u64 / 2 + 20);
                if self.work == 0 {
                    return false;
                }
                if let Some(next) = self.choose(state, kind, number)
                    && !self.is_refused(&next)
                {
                    return false;
                }
            }
        }
        true
    }

    /// The state after one copy of `kind` took a choice; `None` if some line is then too full.
    fn choose(&mut self, state: &State, kind: usize, number: usize) -> Option<State> {
        let choice = &self.choices[number];
        if !fits(&state.used, &choice.loads, self.usable) {
            return None;
        }
        let free = state.free - choice.total;
        let mut left = state.left.clone();
        left[kind] -= 1;
        let wanted: i64 = left
            .iter()
            .zip(&self.least)
            .map(|(copies, least)| copies * least)
            .sum();
        if wanted > free {
            return None;
        }
        self.work = self
            .work
            .saturating_sub(100 + 4 * (state.open.len() + left.len()) as u64);
        let mut open: Vec<u64> = state
            .open
            .iter()
            .zip(&self.goes_with[number])
            .map(|(a, b)| a & b)
            .collect();
        // Equal copies in order: the next one takes this interval or a later one.
        let first = self.ranges[kind].0;
        for (word, bits) in open
            .iter_mut()
            .enumerate()
            .take(number / 64 + 1)
            .skip(first / 64)
        {
            let (from, to) = (
                first.saturating_sub(word * 64).min(63),
                (number - word * 64).min(64),
            );
            if to > from {
                *bits &= !((u64::MAX << from) & (u64::MAX >> (64 - to)));
            }
        }
        if (0..left.len()).any(|k| left[k] > 0 && count(&open, self.ranges[k]) == 0) {
            return None;
        }
        let used = state
            .used
            .iter()
            .zip(&choice.loads)
            .map(|(sum, load)| sum + load)
            .collect();
        Some(State {
            used,
            free,
            left,
            open,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cover_exactly_the_range() {
        let open = [u64::MAX; 4];
        for (first, end) in [
            (0, 1),
            (0, 64),
            (3, 64),
            (3, 65),
            (64, 128),
            (70, 71),
            (1, 255),
        ] {
            let bits: Vec<usize> = words(&open, first, end)
                .flat_map(|(place, bits)| {
                    (0..64)
                        .filter(move |b| bits >> b & 1 == 1)
                        .map(move |b| place + b)
                })
                .collect();
            assert_eq!(bits, (first..end).collect::<Vec<_>>(), "{first} {end}");
            assert_eq!(count(&open, (first, end)) as usize, end - first);
        }
        assert_eq!(count(&open, (64, 64)), 0);
    }

    #[test]
    fn a_line_is_full_at_the_width_and_not_before() {
        assert!(fits(&[3, 7, 0], &[7, 3, 10], 10));
        assert!(!fits(&[3, 7, 0], &[7, 4, 10], 10));
    }
}
