//! Pieces of which so many must lie one behind the other.
//!
//! Along the cloth every piece covers an interval. Intervals that meet two by two share a height (Helly's theorem in one
//! dimension), and there sections are together worth no more than the whole width, however narrow. Intervals form a
//! perfect graph (Berge), so the most of them that lie one behind the other are as many as the fewest groups in each of
//! which all share a height, and those are no fewer than the widths of cloth that the narrowest sections are worth. The
//! shortest pieces are added up.

use super::area::up;
use super::charged::{Charged, Valued};
use super::functions::Function;
use super::ways::{least_height, span};
use super::{Asked, counted};

/// The length of the `count` shortest of these, if so many must lie one behind the other.
pub(super) fn least(
    asked: &Asked<'_>,
    items: &[usize],
    count: u32,
    charged: &Charged,
) -> Option<i64> {
    if matches!(charged.function, Function::Count { .. }) {
        return None;
    }
    let counts = counted(asked.problem, items)?;
    let valued = Valued::of(asked, &charged.function, charged.larger)?;
    let mut widths = 0_i128;
    let mut heights: Vec<(i64, u32)> = Vec::new();
    for (item, ways) in &valued.items {
        if let Some(&copies) = counts.get(item) {
            let (narrowest, _) = span(ways);
            widths += i128::from(valued.worth.at(narrowest)) * i128::from(copies);
            heights.push((least_height(ways), copies));
        }
    }
    if up(widths, i128::from(valued.worth.whole))? < i64::from(count) {
        return None;
    }
    heights.sort_unstable();
    let (mut length, mut left) = (0_i64, count);
    for (height, copies) in heights {
        let taken = copies.min(left);
        length = length.checked_add(height.checked_mul(i64::from(taken))?)?;
        left -= taken;
    }
    (left == 0).then_some(length - charged.larger.longer.um())
}
