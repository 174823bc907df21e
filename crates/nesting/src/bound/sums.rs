//! Where rectangles can end: at sums of their lengths.
//!
//! In any layout rectangles can be moved towards the cut end, one after another, until each lies there or
//! against another that does; none ends later than before. Then every one ends at a sum of the lengths of
//! different pieces, and so does the layout. So a bound may be raised to the next such sum. Source: normal
//! patterns, Herz 1972; Christofides and Whitlock 1977 (from memory).
//!
//! Flaws and prints only take layouts away. With a spacing pieces may pass corner to corner, so nothing is
//! said there.

use super::kinds::Kind;
use super::search::Search;
use crate::places::greatest_common_divisor;
use crate::verdict::Argument;

/// Lengths in units up to which sums are made.
const MOST_UNITS: i64 = 1 << 16;

impl Search<'_> {
    /// The best bound raised to the next sum of lengths.
    pub(super) fn sums(&mut self) {
        let least = self.best.length.um();
        if self.problem.spacing.is_positive() || least <= 0 || !self.are_rectangles() {
            return;
        }
        let heights = |kind: &Kind| -> Vec<i64> {
            let ways = kind.ways.iter();
            ways.map(|way| way.profile.height()).collect()
        };
        let kinds: Vec<(Vec<i64>, i64)> = self
            .kinds
            .iter()
            .map(|kind| (heights(kind), kind.copies))
            .collect();
        let all = || kinds.iter().flat_map(|(heights, _)| heights).copied();
        let unit = all().fold(0, greatest_common_divisor).max(1);
        let first = -(-least).div_euclid(unit);
        // All behind each other end at a sum, and from one sum to the next greater it is one piece at most.
        let most = first + all().max().unwrap_or(0) / unit;
        let next = if most <= MOST_UNITS {
            let mut ends = Ends::none(most as usize);
            for (heights, copies) in &kinds {
                let units: Vec<usize> = heights.iter().map(|v| (v / unit) as usize).collect();
                (0..*copies).for_each(|_| ends.add(&units));
            }
            ends.from(first as usize)
        } else {
            Some(first)
        };
        let Some(next) = next else {
            return;
        };
        let rest = Box::new(self.best.clone());
        self.offer(next * unit, || Argument::Sums { rest });
    }

    fn are_rectangles(&self) -> bool {
        let mut items = self.kinds.iter().flat_map(|kind| &kind.items);
        items.all(|&(item, _)| self.problem.items[item].outline.fills_box())
    }
}

/// Which sums there are, one bit each.
struct Ends {
    bits: Vec<u64>,
}

impl Ends {
    /// Zero only, up to `most`.
    fn none(most: usize) -> Self {
        let mut bits = vec![0; most / 64 + 1];
        bits[0] = 1;
        Ends { bits }
    }

    /// One piece more, of any of these lengths.
    fn add(&mut self, lengths: &[usize]) {
        let before = self.bits.clone();
        for &length in lengths {
            let (words, bits) = (length / 64, length % 64);
            for (number, &word) in before.iter().enumerate() {
                let Some(low) = self.bits.get_mut(number + words) else {
                    break;
                };
                *low |= word << bits;
                if bits > 0
                    && let Some(high) = self.bits.get_mut(number + words + 1)
                {
                    *high |= word >> (64 - bits);
                }
            }
        }
    }

    /// The least sum from here on.
    fn from(&self, first: usize) -> Option<i64> {
        let is_sum = |&sum: &usize| self.bits[sum / 64] >> (sum % 64) & 1 == 1;
        (first..self.bits.len() * 64)
            .find(is_sum)
            .map(|sum| sum as i64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_sums_of_different_pieces_and_no_others() {
        let mut ends = Ends::none(200);
        ends.add(&[70]);
        ends.add(&[70]);
        ends.add(&[3, 60]);
        let sums: Vec<i64> = (0..200)
            .filter_map(|first| ends.from(first).filter(|&sum| sum == first as i64))
            .collect();
        assert_eq!(sums, [0, 3, 60, 70, 73, 130, 140, 143]);
        assert_eq!(ends.from(141), Some(143));
        assert_eq!(ends.from(201), None);
    }
}
