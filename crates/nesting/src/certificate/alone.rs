//! Pieces beside which none of the others fits at any height, on top of what the others need.
//!
//! Their heights hold nothing else. Cut out, they leave a layout of the others that is shorter by as much. What is said of
//! the others must be said of pieces taken no larger than here: where they come together from both sides of what was cut
//! out they may be nearer than the spacing. If all were taken longer by the whole of it, and no wider, they keep it: two
//! that lie one behind the other then have a place across in common, and there the spacing between them.

use pieces::Length;

use super::larger::Larger;
use super::ways::{least_height, span, ways};
use super::{Asked, counted};
use crate::problem::Problem;
use crate::verdict::Bound;

/// Whether these are so alone, and with what the others need are so long.
pub(super) fn hold(
    asked: &Asked<'_>,
    items: &[usize],
    larger: Larger,
    rest: &Bound,
    length: i64,
) -> bool {
    let Some(on_top) = on_top(asked, items, larger) else {
        return false;
    };
    let least = on_top.checked_add(rest.length.um().max(0));
    least.is_some_and(|least| least >= length) && others_need(asked, items, larger, rest)
}

/// How long these are together, taken larger, if nothing else fits beside one of them and there are others.
fn on_top(asked: &Asked<'_>, items: &[usize], larger: Larger) -> Option<i64> {
    let problem = asked.problem;
    let counts = counted(problem, items).filter(|_| asked.may_take(larger))?;
    let usable = problem.cloth.usable_width();
    let room = usable.um() + larger.wider.um();
    let laid = problem.items.iter().enumerate();
    let mut narrow: Vec<(i64, usize, i64)> = laid
        .filter(|(_, item)| item.copies > 0)
        .map(|(number, item)| {
            let ways = ways(item, usable, larger);
            (span(&ways).0, number, least_height(&ways))
        })
        .collect();
    narrow.sort_unstable();
    let copies: u64 = problem
        .items
        .iter()
        .map(|item| u64::from(item.copies))
        .sum();
    if copies <= items.len() as u64 {
        return None;
    }
    let mut on_top = 0_i64;
    for &(width, number, height) in &narrow {
        let Some(&count) = counts.get(&number) else {
            continue;
        };
        // The narrowest other piece: maybe another copy of the same.
        let is_only = problem.items[number].copies == 1;
        let mut others = narrow
            .iter()
            .filter(|(_, other, _)| *other != number || !is_only);
        if others
            .next()
            .is_some_and(|(other, ..)| other + width <= room)
        {
            return None;
        }
        on_top = on_top.checked_add(height.checked_mul(i64::from(count))?)?;
    }
    Some(on_top)
}

/// Whether the others need what is said of them.
fn others_need(asked: &Asked<'_>, items: &[usize], larger: Larger, rest: &Bound) -> bool {
    let mut problem: Problem = asked.problem.clone();
    for &item in items {
        problem.items[item].copies = problem.items[item].copies.saturating_sub(1);
    }
    let spacing = problem.spacing.max(Length::ZERO);
    let keeps_spacing =
        asked.larger.is_none() && larger.wider == Length::ZERO && larger.longer == spacing;
    asked
        .about(&problem, (!keeps_spacing).then_some(larger))
        .is_some_and(|asked| asked.holds(rest))
}
