//! The places along the cloth that a piece may have, as a few intervals in each stance.

use super::Job;
use crate::bound::kinds::Kind;
use crate::bound::profile::Profile;

/// At most so many lines, and so many intervals of a stance.
const MOST: i64 = 256;

/// At most so many intervals in all.
const MOST_CHOICES: usize = 20_000;

/// How intervals are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Grid {
    /// So many for the length of the longest piece.
    fineness: i64,
    /// Whether a shorter piece gets shorter ones, so that it is on some line wherever it lies in one.
    is_strict: bool,
}

impl Grid {
    pub const fn strict(fineness: i64) -> Self {
        Grid {
            fineness,
            is_strict: true,
        }
    }

    pub const fn loose(fineness: i64) -> Self {
        Grid {
            fineness,
            is_strict: false,
        }
    }
}

/// An interval of places in one stance: what it puts on the lines, from the first that it meets on.
pub(super) struct Choice {
    /// Counted stance by stance, from the cut end on.
    pub number: u32,
    pub kind: usize,
    pub stance: usize,
    pub from: i64,
    pub to: i64,
    pub first: usize,
    pub loads: Vec<i32>,
}

impl Choice {
    /// All of a job, by where they begin, how many each stance has, and the number of lines; `None` if they are too many.
    pub fn all(
        job: &Job<'_>,
        usable: i32,
        length: i64,
        grid: Grid,
    ) -> Option<(Vec<Self>, Vec<u32>, usize)> {
        let heights = || job.kinds.iter().map(Kind::least_height);
        let longest = heights().max().unwrap_or(0) / grid.fineness;
        let shortest = heights().min().unwrap_or(0) / 3;
        let step = longest.min(shortest).max(length / MOST).max(1);
        let count = (length / step).clamp(1, MOST);
        let lines: Vec<i64> = (0..count)
            .map(|j| (2 * j + 1) * length / (2 * count))
            .collect();
        let mut choices: Vec<Choice> = Vec::new();
        let mut counts = vec![0; job.distances.stances.len()];
        for (number, stance) in job.distances.stances.iter().enumerate() {
            let room = length - stance.along();
            if room < 0 {
                continue;
            }
            if choices.len() > MOST_CHOICES {
                return None;
            }
            let step = if grid.is_strict {
                longest.min(job.kinds[stance.kind].least_height() / 3)
            } else {
                longest
            };
            let count = (room / step.max(1) + 1).clamp(1, MOST);
            let before = choices.len();
            counts[number] = count as u32;
            choices.extend((0..count).map(|part| {
                let interval = (part * room / count, (part + 1) * room / count);
                let (kind, profile) = (stance.kind, &stance.profile);
                Choice {
                    number: before as u32 + part as u32,
                    ..Choice::of(kind, number, profile, interval, &lines, usable)
                }
            }));
        }
        choices.sort_by_key(|choice| choice.from);
        Some((choices, counts, lines.len()))
    }

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
            number: 0,
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
