//! Dual feasible functions on section widths.
//!
//! A function f is dual feasible for the width U if widths that add up to at most U have values that
//! add up to at most f(U). Then at every height of the cloth the values of the sections there add up
//! to at most f(U), so the integral of f over all sections, divided by f(U), is a length no marker
//! can undercut. The identity gives the area; the others charge more for sections that leave a
//! strip too narrow to use.
//!
//! Sources (from memory): Fekete and Schepers 2001 (`Cut`, `Share`); Carlier, Clautiaux and
//! Moukrim 2007 (`Steps`). Each is tested here against all ways to fill a small width.

use std::collections::BTreeSet;

use pieces::Length;

use super::profile::{Profile, Stretch};
use crate::certificate::Function;

/// A dual feasible function with whole values.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Dual {
    /// The width itself.
    Identity,
    /// 0 below the limit, U above U less the limit, the width between. Limit at most U / 2.
    Cut(i64),
    /// Whole shares of U / (k + 1) counted as U / k; exact multiples count as they are.
    Share(i64),
    /// Whole steps that fit a width up to U / 2; above, those that no longer fit beside it.
    Steps(i64),
    /// For these pieces only: how many that are at least so wide share a height. Each counts one, or, if
    /// it takes more than half, as many as no longer fit beside it.
    Count {
        /// Narrower sections count nothing.
        least: i64,
        /// Width of the narrowest one, two, three ... of those pieces together.
        sums: Vec<i64>,
    },
}

impl Dual {
    /// As arguments say it.
    pub fn function(&self) -> Function {
        let um = Length::from_um;
        match *self {
            Dual::Identity => Function::Width,
            Dual::Cut(limit) => Function::Cut { limit: um(limit) },
            Dual::Share(k) => Function::Share {
                shares: u32::try_from(k).unwrap_or(0),
            },
            Dual::Steps(step) => Function::Steps { step: um(step) },
            Dual::Count { least, .. } => Function::Count { from: um(least) },
        }
    }

    /// The value of `width`, not decreasing in it.
    pub fn at(&self, width: i64, usable: i64) -> i64 {
        match *self {
            Dual::Identity => width,
            Dual::Count { least, .. } if width < least => 0,
            Dual::Count { ref sums, .. } => {
                let beside = |room: i64| sums.partition_point(|&sum| sum <= room) as i64;
                if 2 * width <= usable {
                    return 1;
                }
                (beside(usable) - beside(usable - width)).max(1)
            }
            Dual::Cut(limit) => {
                if width < limit {
                    0
                } else if width > usable - limit {
                    usable
                } else {
                    width
                }
            }
            Dual::Share(k) => {
                let share = (k + 1) * width;
                let whole = share.div_euclid(usable);
                if share.rem_euclid(usable) == 0 {
                    whole * k
                } else {
                    whole * (k + 1)
                }
            }
            Dual::Steps(step) => {
                let all = usable / step;
                match (2 * width).cmp(&usable) {
                    std::cmp::Ordering::Less => 2 * (width / step),
                    std::cmp::Ordering::Equal => all,
                    std::cmp::Ordering::Greater => 2 * (all - (usable - width).max(0) / step),
                }
            }
        }
    }

    /// The value of the whole usable width.
    pub fn whole(&self, usable: i64) -> i64 {
        match self {
            Dual::Count { sums, .. } => sums.partition_point(|&sum| sum <= usable).max(1) as i64,
            _ => self.at(usable, usable),
        }
    }

    /// True if from `width` on, up to the next threshold, it is the width itself.
    fn follows(&self, width: i64, usable: i64) -> bool {
        match *self {
            Dual::Identity => true,
            Dual::Cut(limit) => (limit..=usable - limit).contains(&width),
            Dual::Share(_) | Dual::Steps(_) | Dual::Count { .. } => false,
        }
    }

    /// The least widths (whole, ascending) from which on, between one and the next, it either stays
    /// constant or follows the width.
    fn thresholds(&self, usable: i64) -> Vec<i64> {
        match *self {
            Dual::Identity => vec![0],
            Dual::Count { least, ref sums } => {
                let beside = sums.iter().map(|sum| usable - sum + 1);
                let mut all: Vec<i64> = beside.filter(|c| 2 * c > usable).collect();
                all.extend([0, least, usable / 2 + 1, usable + 1]);
                all.sort_unstable();
                all.dedup();
                all
            }
            Dual::Cut(limit) => vec![0, limit, usable - limit + 1],
            Dual::Share(k) => (0..=k + 1).map(|j| (j * usable) / (k + 1) + 1).collect(),
            Dual::Steps(step) => {
                let low = (1..).map(|m| m * step).take_while(|c| 2 * c < usable);
                let high = (1..)
                    .map(|m| usable - m * step + 1)
                    .take_while(|c| 2 * c > usable)
                    .collect::<Vec<_>>();
                let middle = usable / 2 + 1;
                low.chain([middle])
                    .chain(high.into_iter().rev())
                    .chain([usable + 1])
                    .collect()
            }
        }
    }

    /// The function of a profile of widths, nowhere above the true value.
    pub fn of(&self, profile: &Profile, usable: i64) -> Profile {
        if *self == Dual::Identity {
            return profile.clone();
        }
        let thresholds = self.thresholds(usable);
        let mut stretches = Vec::with_capacity(profile.stretches.len() + 4);
        for stretch in &profile.stretches {
            self.of_stretch(*stretch, &thresholds, usable, &mut stretches);
        }
        Profile { stretches }
    }

    fn of_stretch(
        &self,
        stretch: Stretch,
        thresholds: &[i64],
        usable: i64,
        into: &mut Vec<Stretch>,
    ) {
        let Stretch {
            from,
            to,
            low,
            high,
        } = stretch;
        let value = |width: i64| self.at(width, usable);
        if low == high {
            into.push(Stretch {
                from,
                to,
                low: value(low),
                high: value(low),
            });
            return;
        }
        // Seen from the narrow end, each threshold is reached at or after its true place.
        let (narrow, wide, rising) = (low.min(high), low.max(high), low < high);
        let (run, rise) = (i128::from(to - from), i128::from(wide - narrow));
        let reach = |width: i64| {
            let exact = i128::from(width - narrow) * run;
            i64::try_from(-(-exact).div_euclid(rise)).expect("within the stretch")
        };
        let width_at = |y: i64| {
            let exact = i128::from(y) * rise;
            narrow + i64::try_from(exact.div_euclid(run)).expect("within the stretch")
        };
        let mut marks: Vec<i64> = vec![0];
        marks.extend(
            thresholds
                .iter()
                .filter(|&&c| c > narrow && c <= wide)
                .map(|&c| reach(c)),
        );
        marks.push(to - from);
        let first = into.len();
        for pair in marks.windows(2) {
            let (start, end) = (pair[0], pair[1]);
            if start == end {
                continue;
            }
            let below = value(width_at(start));
            let follows = self.follows(width_at(start), usable);
            let above = if follows { width_at(end) } else { below };
            into.push(Stretch {
                from: start,
                to: end,
                low: below,
                high: above,
            });
        }
        for part in &mut into[first..] {
            *part = if rising {
                Stretch {
                    from: from + part.from,
                    to: from + part.to,
                    ..*part
                }
            } else {
                Stretch {
                    from: to - part.to,
                    to: to - part.from,
                    low: part.high,
                    high: part.low,
                }
            };
        }
        if !rising {
            into[first..].reverse();
        }
    }
}

/// The functions worth trying for these widths, at most about `most`, the identity first.
pub(super) fn candidates(widths: &BTreeSet<i64>, usable: i64, most: usize) -> Vec<Dual> {
    let mut cuts = BTreeSet::new();
    let mut steps = BTreeSet::new();
    let spread: Vec<i64> = {
        let stride = widths.len().div_ceil(most.max(1)).max(1);
        widths.iter().rev().step_by(stride).copied().collect()
    };
    for width in spread {
        if width <= 0 || width > usable {
            continue;
        }
        let limit = if 2 * width > usable {
            usable - width + 1
        } else {
            width
        };
        if 2 * limit <= usable {
            cuts.insert(Dual::Cut(limit));
        }
        for parts in 1..=3 {
            for step in [
                width / parts,
                (usable - width + 1) / parts,
                usable / parts - width / parts + 1,
            ] {
                if step * 12 >= usable && 2 * step <= usable {
                    steps.insert(Dual::Steps(step));
                }
            }
        }
    }
    let thin = |set: BTreeSet<Dual>, most: usize| {
        let stride = set.len().div_ceil(most.max(1)).max(1);
        set.into_iter().step_by(stride).collect::<Vec<_>>()
    };
    let mut all = vec![Dual::Identity];
    all.extend(thin(cuts, most / 2));
    all.extend((1..=6).map(Dual::Share));
    all.extend(thin(steps, most / 2));
    all
}

/// Counts for pieces given by least and greatest section and number of copies; at most `most`.
pub(super) fn counts(pieces: &[(i64, i64, i64)], usable: i64, most: usize) -> Vec<Dual> {
    let mut limits: Vec<i64> = pieces.iter().map(|&(least, ..)| least.max(1)).collect();
    limits.sort_unstable();
    limits.dedup();
    let stride = limits.len().div_ceil(most.max(1)).max(1);
    let count = |&limit: &i64| {
        let mut widths: Vec<(i64, i64)> = pieces
            .iter()
            .filter(|&&(_, greatest, _)| greatest >= limit)
            .map(|&(least, _, copies)| (least.max(limit), copies))
            .collect();
        widths.sort_unstable();
        let each = widths
            .into_iter()
            .flat_map(|(width, copies)| (0..copies).map(move |_| width));
        let sums = each
            .scan(0_i64, |sum, width| {
                *sum += width;
                (*sum <= usable).then_some(*sum)
            })
            .collect();
        Dual::Count { least: limit, sums }
    };
    limits.iter().step_by(stride).map(count).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(usable: i64) -> Vec<Dual> {
        let mut all = vec![Dual::Identity];
        all.extend((1..=usable / 2).map(Dual::Cut));
        all.extend((1..=8).map(Dual::Share));
        all.extend((1..=usable / 2).map(Dual::Steps));
        all
    }

    /// The most that widths adding up to at most `usable` can be worth, by dynamic programming.
    fn most(dual: &Dual, usable: i64) -> i64 {
        let mut best = vec![0; usable as usize + 1];
        for width in 1..=usable {
            for room in width..=usable {
                let with = best[(room - width) as usize] + dual.at(width, usable);
                best[room as usize] = best[room as usize].max(with);
            }
        }
        best[usable as usize]
    }

    #[test]
    fn no_way_to_fill_the_width_is_worth_more_than_the_whole() {
        for usable in 1..=60 {
            for dual in all(usable) {
                assert_eq!(most(&dual, usable), dual.whole(usable), "{dual:?} {usable}");
            }
        }
    }

    /// All subsets of small sets of pieces, each with any section it has.
    #[test]
    fn no_set_of_pieces_that_share_a_height_counts_more_than_the_whole() {
        let usable = 20;
        for seed in 0_i64..400 {
            let piece = |k: i64| {
                let least = 1 + (seed * 7 + k * 5 + seed / 9) % 13;
                (least, least + (seed + 3 * k) % 8, 1)
            };
            let pieces: Vec<(i64, i64, i64)> = (0..5).map(piece).collect();
            for dual in counts(&pieces, usable, 8) {
                // best[w]: greatest value of pieces that take w in all, one section each or none.
                let mut best = vec![Some(0)];
                best.resize(usable as usize + 1, None);
                for &(least, greatest, _) in &pieces {
                    let before = best.clone();
                    for width in least..=greatest.min(usable) {
                        for room in width..=usable {
                            let Some(value) = before[(room - width) as usize] else {
                                continue;
                            };
                            let with = value + dual.at(width, usable);
                            let slot = &mut best[room as usize];
                            *slot = Some(slot.map_or(with, |old: i64| old.max(with)));
                        }
                    }
                }
                let most = best.into_iter().flatten().max().unwrap_or(0);
                assert!(most <= dual.whole(usable), "{dual:?} {pieces:?}");
            }
        }
    }

    #[test]
    fn functions_of_profiles_never_exceed_the_function_of_the_width() {
        let usable = 40;
        for (low, high) in [
            (0, 40),
            (40, 0),
            (7, 33),
            (33, 7),
            (13, 13),
            (20, 20),
            (19, 21),
        ] {
            let to = 97;
            let profile = Profile {
                stretches: vec![Stretch {
                    from: 0,
                    to,
                    low,
                    high,
                }],
            };
            for dual in all(usable) {
                let of = dual.of(&profile, usable);
                assert_eq!(of.height(), to);
                for y in 1..2 * to {
                    // Compared at half micrometres, between the corners too.
                    let width = (low * (2 * to - y) + high * y).div_euclid(2 * to);
                    let rest = (low * (2 * to - y) + high * y).rem_euclid(2 * to);
                    // Whole widths are compared exactly; broken ones with what is certain of them.
                    let value = if rest == 0 {
                        dual.at(width, usable)
                    } else {
                        dual.at(width + 1, usable)
                    };
                    assert!(of.least_at(y, 2) <= value, "{dual:?} {low}-{high} at {y}/2");
                }
            }
        }
    }

    #[test]
    fn little_is_lost_on_long_profiles() {
        let usable = 1_000_000;
        let stretch = Stretch {
            from: 0,
            to: 1_000_000,
            low: 200_000,
            high: 700_000,
        };
        let profile = Profile {
            stretches: vec![stretch],
        };
        // Above 600 000 (the last fifth) all of the width, below 400 000 (two fifths) nothing.
        let doubled = Dual::Cut(400_000).of(&profile, usable).doubled_integral();
        let expected = 2 * (400_000 * 500_000_i128 + 200_000 * 1_000_000);
        assert!(
            (doubled - expected).abs() < 4_000_000,
            "{doubled} {expected}"
        );
    }
}
