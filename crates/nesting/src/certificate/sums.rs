//! Where rectangles can end: at sums of their lengths.
//!
//! In any layout rectangles can be moved towards the cut end, one after another, until each lies there or against
//! another that does; none ends later than before. Then the last one ends at a sum of lengths of different pieces.
//! Source: normal patterns, Herz 1972; Christofides and Whitlock 1977 (from memory). With a spacing pieces may pass corner
//! to corner, so nothing is said there.

use super::Asked;
use super::larger::Larger;
use super::ways::ways;
use super::widths::height;

/// Sums looked at, at most, in units that divide all lengths.
const MOST_UNITS: i64 = 1 << 17;

/// The least sum of lengths that is no less than `from`.
pub(super) fn next(asked: &Asked<'_>, from: i64) -> Option<i64> {
    let problem = asked.problem;
    let are_rectangles = asked.laid().all(|item| item.outline.fills_box());
    if problem.spacing.is_positive() || asked.larger.is_some() || from < 1 || !are_rectangles {
        return None;
    }
    let usable = problem.cloth.usable_width();
    let lengths = |item| -> Vec<i64> {
        let ways = ways(item, usable, Larger::NOT);
        ways.iter().map(|way| height(&way.bands)).collect()
    };
    let each: Vec<(Vec<i64>, u32)> = asked
        .laid()
        .map(|item| (lengths(item), item.copies))
        .collect();
    let all = || each.iter().flat_map(|(lengths, _)| lengths).copied();
    let unit = all().fold(0, common_unit);
    if unit < 1 {
        return None;
    }
    let first = -(-from).div_euclid(unit);
    // The lengths of all are a sum, and from one sum to a greater one it is one piece at a time.
    let most = first + all().max().unwrap_or(0) / unit;
    if most > MOST_UNITS {
        return first.checked_mul(unit);
    }
    let [first, most] = [first, most].map(|v| usize::try_from(v).unwrap_or(0));
    let mut is_sum = vec![false; most + 1];
    is_sum[0] = true;
    for (lengths, copies) in &each {
        for _ in 0..*copies {
            let before = is_sum.clone();
            for length in lengths {
                let length = usize::try_from(length / unit).unwrap_or(0).min(most + 1);
                let ends = is_sum[length.min(most + 1)..].iter_mut();
                ends.zip(&before).for_each(|(end, start)| *end |= *start);
            }
            if is_sum == before {
                break;
            }
        }
    }
    let found = (first..=most).find(|&sum| is_sum[sum])?;
    i64::try_from(found).ok()?.checked_mul(unit)
}

/// The greatest length that parts both.
fn common_unit(a: i64, b: i64) -> i64 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}
