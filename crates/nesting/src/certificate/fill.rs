//! The most that sections side by side can be worth, exactly.
//!
//! For every worth the narrowest way to reach it: piece after piece, copy after copy, each with one of its sections or
//! none. The answer is the greatest worth whose narrowest way fits.

/// A section that a piece may show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Choice {
    /// Micrometres, more than nothing.
    pub width: i64,
    pub worth: u32,
}

/// Sums looked at, at most: some tenths of a second. And worth in all, which takes memory.
const MOST_SUMS: u64 = 400_000_000;
const MOST_WORTH: usize = 1 << 22;

/// The greatest worth of sections that are together at most `room` wide: of each entry up to so many copies, each
/// with one of the choices. `None` if there are too many sums to look at.
pub(super) fn most(pieces: &[(u64, Vec<Choice>)], room: i64) -> Option<u64> {
    let mut narrowest: Vec<i64> = vec![0];
    let mut sums = 0_u64;
    for (copies, choices) in pieces {
        let mut choices: Vec<Choice> = choices.clone();
        choices.retain(|c| c.worth > 0 && c.width <= room);
        let Some(least) = choices.iter().map(|c| c.width).min() else {
            continue;
        };
        // Of the same worth the narrowest will do.
        choices.sort_by_key(|c| (c.worth, c.width));
        choices.dedup_by_key(|c| c.worth);
        let greatest = choices.last().map_or(0, |c| c.worth as usize);
        for _ in 0..(*copies).min((room / least).unsigned_abs()) {
            let before = narrowest.clone();
            sums = sums.checked_add((before.len() * choices.len()) as u64)?;
            let worth = before.len().checked_add(greatest)?;
            if sums > MOST_SUMS || worth > MOST_WORTH {
                return None;
            }
            narrowest.resize(worth, i64::MAX);
            for choice in &choices {
                for (worth, &width) in before.iter().enumerate() {
                    if width <= room - choice.width {
                        let with = &mut narrowest[worth + choice.worth as usize];
                        *with = (*with).min(width + choice.width);
                    }
                }
            }
            let last = narrowest.iter().rposition(|&width| width <= room)?;
            narrowest.truncate(last + 1);
            if narrowest == before {
                break;
            }
        }
    }
    Some(narrowest.len() as u64 - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same by trying everything.
    fn tried(pieces: &[(u64, Vec<Choice>)], room: i64) -> u64 {
        let Some(((copies, choices), rest)) = pieces.split_first() else {
            return 0;
        };
        let mut best = tried(rest, room);
        if *copies > 0 {
            let mut fewer = pieces.to_vec();
            fewer[0].0 -= 1;
            for choice in choices {
                if choice.width <= room {
                    let with = u64::from(choice.worth) + tried(&fewer, room - choice.width);
                    best = best.max(with);
                }
            }
        }
        best
    }

    #[test]
    fn as_much_as_when_everything_is_tried() {
        for seed in 0_i64..300 {
            let pieces: Vec<(u64, Vec<Choice>)> = (0..3)
                .map(|k| {
                    let choice = |c: i64| Choice {
                        width: 1 + (seed * 7 + k * 5 + c * 11) % 9,
                        worth: ((seed * 3 + k * 8 + c * 13) % 10) as u32,
                    };
                    (((seed + k) % 3) as u64, (0..3).map(choice).collect())
                })
                .collect();
            for room in [0, 4, 11, 17] {
                assert_eq!(
                    most(&pieces, room),
                    Some(tried(&pieces, room)),
                    "{pieces:?} {room}"
                );
            }
        }
    }

    #[test]
    fn too_much_is_left_undecided() {
        let choice = Choice {
            width: 1,
            worth: 4_000_000_000,
        };
        assert_eq!(most(&[(1_000, vec![choice])], 10), None);
        let one = (1, vec![choice]);
        assert_eq!(most(&[one], 0), Some(0));
    }
}
