//! Lines across the cloth, drawn by the search for a bound: one, several evenly, or at the ends of the
//! longest pieces; what every piece must put on them, by every function.
//!
//! Source: own derivation; the functions by which sections are charged have theirs in `dual`, what lines say in `lines`.

use std::collections::BTreeSet;

use pieces::Length;

use super::kinds::Kind;
use super::lines::Lines;
use super::profile::Profile;
use super::search::{Charged, Search};
use crate::certificate::Line;
use crate::verdict::Argument;

/// Most lines drawn: beyond a dozen rows the sections say nearly as much.
const MOST_LINES: i64 = 12;

impl Search<'_> {
    /// Lines at the ends of the longest kinds, where the whole of a piece's foot or head is met if it has
    /// no room to move. They get work of their own.
    pub(super) fn ends(&mut self, charged: &[Charged]) {
        const MOST_HEIGHTS: usize = 3;
        let ways = self.kinds.iter().flat_map(|kind| &kind.ways);
        let heights: BTreeSet<i64> = ways.map(|way| way.profile.height()).collect();
        let kept = self.work;
        self.work = kept / 6;
        for function in charged {
            for &height in heights.iter().rev().take(MOST_HEIGHTS) {
                for foot in [true, false] {
                    if self.work == 0 || self.is_done() {
                        break;
                    }
                    let lines = |length| Lines::end(height, foot, length);
                    self.stretch(function, Some(&lines), 1);
                }
            }
        }
        self.work = kept;
    }

    /// Lines across: one at several heights, then evenly 2, 3, ... by every function.
    pub(super) fn rows(&mut self, charged: &[Charged]) {
        for count in 1..=MOST_LINES {
            for function in charged {
                if self.work == 0 || self.is_done() {
                    return;
                }
                if count == 1 {
                    for sixteenths in [8, 4, 12, 2, 14, 6, 10, 1, 15] {
                        let lines = |length| Lines::one(sixteenths, length);
                        self.stretch(
                            function,
                            if sixteenths == 8 { None } else { Some(&lines) },
                            1,
                        );
                    }
                } else {
                    self.stretch(function, None, count);
                }
            }
        }
    }

    /// The greatest length that lines of this sort refuse, if that is news.
    fn stretch(&mut self, function: &Charged, drawn: Option<&dyn Fn(i64) -> Lines>, count: i64) {
        let even = |length| Lines::even(count, length);
        let draw: &dyn Fn(i64) -> Lines = drawn.unwrap_or(&even);
        let news = self.best.length.um().max(self.floor);
        if !self.refuses(function, &draw(news), drawn.is_none()) {
            return;
        }
        let longest = self.kinds.iter().map(Kind::least_height).max().unwrap_or(0);
        let (mut refused, mut open) = (news, (longest * (count + 1)).max(news + 1));
        while open - refused > 1 {
            let middle = refused + (open - refused) / 2;
            if self.refuses(function, &draw(middle), drawn.is_none()) {
                refused = middle;
            } else {
                open = middle;
            }
        }
        let even_count = u32::try_from(count).unwrap_or(u32::MAX);
        let lines = draw(refused);
        let crossing = (count == 1).then(|| self.crossing(function, &lines));
        let charged = self.charge_by(&function.function);
        self.offer(refused + 1, || match crossing {
            Some(items) => Argument::SideBySide {
                items,
                line: Some(Line {
                    at: drawn.is_some().then(|| Length::from_um(lines.at[0])),
                    inner: lines.inner,
                    function: charged.function,
                }),
                larger: charged.larger,
            },
            None => Argument::LinesAcross {
                lines: even_count,
                charged,
            },
        });
    }

    /// The pieces that put something on the lines, one entry a copy.
    fn crossing(&mut self, function: &Charged, lines: &Lines) -> Vec<usize> {
        let mirrored = lines.mirrored();
        let mut items = Vec::new();
        for (kind, values) in self.kinds.iter().zip(&function.values) {
            if load(kind, values, lines, &mirrored, &mut self.work) > 0 {
                items.extend(kind.each_copy());
            }
        }
        items.sort_unstable();
        items
    }

    /// True if the loads on these lines prove that nothing fits in their length.
    fn refuses(&mut self, function: &Charged, lines: &Lines, even: bool) -> bool {
        let allowed = i128::from(lines.count()) * i128::from(function.whole);
        // The least over all places is at most the mean over all phases of even lines, where all
        // phases can be taken. So what a kind can add is known before it is looked at.
        let gap = lines.length / lines.scale + 1;
        let most = |kind: &Kind, doubled: i128| {
            let all_phases = even
                && kind
                    .ways
                    .iter()
                    .all(|w| w.profile.height() + gap <= lines.length);
            let mean = doubled * i128::from(lines.scale) / (2 * i128::from(lines.length)) + 1;
            if all_phases {
                mean + i128::from(kind.copies)
            } else {
                i128::MAX / (1 << 40)
            }
        };
        let caps: Vec<i128> = self
            .kinds
            .iter()
            .zip(&function.doubled)
            .map(|(kind, &d)| most(kind, d))
            .collect();
        let mut rest: i128 = caps.iter().sum();
        let mut loads = 0_i128;
        let mirrored = lines.mirrored();
        for ((kind, values), cap) in self.kinds.iter().zip(&function.values).zip(caps) {
            if loads > allowed || loads + rest <= allowed {
                break;
            }
            rest -= cap;
            let load = load(kind, values, lines, &mirrored, &mut self.work);
            if load == i64::MAX {
                return true; // Longer than the trial length in every way.
            }
            loads += i128::from(load) * i128::from(kind.copies);
        }
        loads > allowed
    }
}

/// The least load of one piece over all ways and places; `i64::MAX` if it is longer than the lines'
/// length in all of them.
fn load(kind: &Kind, values: &[Profile], lines: &Lines, mirrored: &Lines, work: &mut u64) -> i64 {
    let mut spent = 1;
    let mut least = i64::MAX;
    for (way, values) in kind.ways.iter().zip(values) {
        let plain = lines.load(values, &mut spent);
        least = least.min(plain.unwrap_or(i64::MAX));
        if way.both_ends && lines.at != mirrored.at && least > 0 {
            let turned = mirrored.load(values, &mut spent);
            least = least.min(turned.unwrap_or(i64::MAX));
        }
    }
    *work = work.saturating_sub(spent);
    least
}
