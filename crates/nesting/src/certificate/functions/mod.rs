//! Dual feasible functions: what a section across a piece is worth, such that sections that lie side by side on the cloth
//! are together worth no more than its whole width is.
//!
//! That a function is one follows from its kind, whatever its number:
//!
//! - the width itself;
//! - `cut`: nothing below a limit of at most half the width, all of the width above what the limit leaves of it (two
//!   such never lie side by side, nor does one with what is not worth nothing), the width between;
//! - `share`: whole shares of the width, a share more than the others make it worth;
//! - `steps`: two for each whole step that fits up to half the width; above, what steps no longer fit beside it;
//! - `count`: how many of these pieces lie side by side; it is counted here. One is worth one, or if it takes more than
//!   half, as many as no longer fit beside it. It is a function for these pieces only.
//!
//! Sources (from memory): Fekete and Schepers 2001 (`cut`, `share`); Carlier, Clautiaux and Moukrim 2007 (`steps`).

use std::collections::BTreeMap;

use pieces::Length;
use serde::{Deserialize, Serialize};

use super::widths::{Band, Bands};

/// Shares, or steps that fit the width, at most: files come from anywhere.
const MOST_PARTS: i64 = 200;
const MOST_COUNTED: usize = 1_000_000;

/// Which function.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "function")]
pub enum Function {
    /// The width itself.
    #[default]
    Width,
    /// See the module.
    Cut {
        /// Narrower sections are worth nothing.
        #[serde(rename = "limit_um")]
        limit: Length,
    },
    /// See the module.
    Share {
        /// One share less than the width is parted into.
        shares: u32,
    },
    /// See the module.
    Steps {
        /// One step.
        #[serde(rename = "step_um")]
        step: Length,
    },
    /// See the module.
    Count {
        /// Narrower sections count nothing.
        #[serde(rename = "from_um")]
        from: Length,
    },
}

/// The least and the greatest width of a piece, and how many there are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    pub least: i64,
    pub most: i64,
    pub copies: u32,
}

/// What widths are worth, for one width of the cloth.
pub(super) struct Worth {
    /// By the least width from which on it holds: so much, or the width itself (`None`). Ascending; it never falls.
    steps: Vec<(i64, Option<i64>)>,
    /// What the whole width is worth.
    pub whole: i64,
}

impl Worth {
    /// `None` if the number is not one that makes it a function.
    pub fn of(function: &Function, usable: i64, spans: &[Span]) -> Option<Worth> {
        let mut steps: BTreeMap<i64, Option<i64>> = BTreeMap::new();
        let whole = match function {
            Function::Width => {
                steps.insert(0, None);
                usable
            }
            Function::Cut { limit } => {
                let limit = limit.um();
                if limit < 1 || limit > usable / 2 {
                    return None;
                }
                steps.insert(0, Some(0));
                steps.insert(limit, None);
                steps.insert(usable - limit + 1, Some(usable));
                usable
            }
            Function::Share { shares } => {
                let shares = i64::from(*shares);
                if !(1..=MOST_PARTS).contains(&shares) {
                    return None;
                }
                for part in 0..=shares + 1 {
                    let (whole, rest) = whole_and_rest(part * usable, shares + 1);
                    if rest == 0 {
                        steps.insert(whole, Some(part * shares));
                    }
                    steps.insert(whole + 1, Some(part * (shares + 1)));
                }
                (shares + 1) * shares
            }
            Function::Steps { step } => steps_of(step.um(), usable, &mut steps)?,
            Function::Count { from } => count_of(from.um(), usable, spans, &mut steps)?,
        };
        Some(Worth {
            steps: steps.into_iter().collect(),
            whole,
        })
    }

    /// What a section of this width is worth.
    pub fn at(&self, width: i64) -> i64 {
        let (_, worth) = self.step(width);
        worth.unwrap_or(width)
    }

    fn step(&self, width: i64) -> (usize, Option<i64>) {
        let after = self.steps.partition_point(|&(from, _)| from <= width);
        match after.checked_sub(1) {
            Some(at) => (after, self.steps[at].1),
            None => (after, Some(0)),
        }
    }

    /// What sections are worth at their heights, nowhere too much: a width counts from the next whole height on at which
    /// it is surely reached.
    pub fn bands(&self, widths: &[Band]) -> Bands {
        let mut all = Bands::with_capacity(widths.len() + 4);
        for band in widths {
            let start = all.len();
            self.add(band, &mut all);
            if band.low > band.high {
                all[start..].reverse();
            }
        }
        all
    }

    /// Adds the parts of a band from its narrow end on, each turned as the band is.
    fn add(&self, band: &Band, all: &mut Bands) {
        let (narrow, wide) = (band.low.min(band.high), band.low.max(band.high));
        let run = i128::from(band.to - band.from);
        let rise = i128::from(wide - narrow);
        let whole = |value: i128| i64::try_from(value).unwrap_or(0);
        let width_at = |away: i64| {
            let risen = whole((i128::from(away) * rise).div_euclid(run));
            narrow + risen
        };
        let mut at = 0;
        let end = band.to - band.from;
        while at < end {
            let (after, worth) = self.step(width_at(at));
            // Up to where the next step is reached.
            let next = self.steps.get(after).map(|&(from, _)| from);
            let next = next.filter(|&from| from <= wide).map_or(end, |from| {
                let away = i128::from(from - narrow) * run;
                whole(-(-away).div_euclid(rise.max(1))).min(end)
            });
            let (low, high) = match worth {
                Some(worth) => (worth, worth),
                None => (width_at(at), width_at(next)),
            };
            all.push(if band.low > band.high {
                Band {
                    from: band.to - next,
                    to: band.to - at,
                    low: high,
                    high: low,
                }
            } else {
                Band {
                    from: band.from + at,
                    to: band.from + next,
                    low,
                    high,
                }
            });
            at = next;
        }
    }
}

/// Rounded down, and what is left of the numerator.
fn whole_and_rest(numerator: i64, denominator: i64) -> (i64, i64) {
    (
        numerator.div_euclid(denominator),
        numerator.rem_euclid(denominator),
    )
}

fn steps_of(step: i64, usable: i64, steps: &mut BTreeMap<i64, Option<i64>>) -> Option<i64> {
    if step < 1 || step > usable / 2 || usable / step > MOST_PARTS {
        return None;
    }
    let all = usable / step;
    // Up to half: whole steps. From half on: all steps but those that still fit beside.
    for number in 0..=all {
        if 2 * number * step < usable {
            steps.insert(number * step, Some(2 * number));
        }
        let from = usable - (number + 1) * step + 1;
        if 2 * from > usable {
            steps.insert(from, Some(2 * (all - number)));
        }
    }
    let beside = usable - (usable / 2 + 1);
    steps.insert(usable / 2 + 1, Some(2 * (all - beside / step)));
    if usable % 2 == 0 {
        steps.insert(usable / 2, Some(all));
    }
    Some(2 * all)
}

fn count_of(
    from: i64,
    usable: i64,
    spans: &[Span],
    steps: &mut BTreeMap<i64, Option<i64>>,
) -> Option<i64> {
    if from < 1 {
        return None;
    }
    let wide = spans.iter().filter(|span| span.most >= from);
    let mut narrowest: Vec<(i64, u32)> = wide
        .map(|span| (span.least.max(from), span.copies))
        .collect();
    narrowest.sort_unstable();
    // How wide the narrowest one, two, three ... are side by side.
    let mut sums: Vec<i64> = Vec::new();
    let mut sum = 0_i64;
    'all: for (width, copies) in narrowest {
        for _ in 0..copies {
            sum = sum.checked_add(width)?;
            if sum > usable {
                break 'all;
            }
            if sums.len() == MOST_COUNTED {
                return None;
            }
            sums.push(sum);
        }
    }
    let fit = |room: i64| i64::try_from(sums.partition_point(|&sum| sum <= room)).unwrap_or(0);
    let all = fit(usable);
    let above_half = usable / 2 + 1;
    steps.insert(0, Some(0));
    if from < above_half {
        steps.insert(from, Some(1));
    }
    let changes = sums.iter().map(|sum| usable - sum + 1);
    for width in changes.chain([above_half, from]) {
        if width >= above_half && width >= from {
            steps.insert(width, Some((all - fit(usable - width)).max(1)));
        }
    }
    Some(all.max(1))
}

#[cfg(test)]
mod tests;
