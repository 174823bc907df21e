//! Pieces that are too wide to lie side by side.
//!
//! Either a line across the cloth would run through all of them (`lines`). Or they are two and convex: where the second
//! lies, seen from the first, width and length leave a box of places, and if the corners of that box are inside their
//! no-fit polygon, all of it is. It is inside if it lies before each of the polygon's sides.

use pieces::{Length, Point};
use serde::{Deserialize, Serialize};

use super::charged::Valued;
use super::functions::Function;
use super::larger::Larger;
use super::lines::{Lines, refuse};
use super::sides::apart::{Side, sides};
use super::sides::laid::{Stance, is_near, stances};
use super::{Asked, counted};

/// Corners of the two together, at most.
const MOST_CORNERS: usize = 600;

/// A line across the cloth.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Line {
    /// How far from the cut end; left out where it is the middle of the length that is refused.
    #[serde(rename = "at_um", default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Length>,
    /// Whether what lies just beside it counts, on the side to the middle.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub inner: bool,
    /// What sections on it are worth.
    #[serde(flatten)]
    pub function: Function,
}

/// Whether they leave no layout shorter than this.
pub(super) fn hold(
    asked: &Asked<'_>,
    items: &[usize],
    line: Option<&Line>,
    larger: Larger,
    length: i64,
) -> bool {
    let Some(counts) = counted(asked.problem, items).filter(|_| asked.may_take(larger)) else {
        return false;
    };
    let below = length - 1 + larger.longer.um();
    let Some(line) = line else {
        return are_apart(asked, items, larger, below).unwrap_or(false);
    };
    let lines = match line.at {
        None => Lines::even(1, below),
        Some(at) => (0..=below).contains(&at.um()).then(|| Lines {
            length: below,
            at: vec![at.um()],
            parts: 1,
            is_inner: line.inner,
        }),
    };
    let count = |item: usize| counts.get(&item).copied().unwrap_or(0);
    let valued = Valued::of(asked, &line.function, larger);
    lines
        .zip(valued)
        .is_some_and(|(lines, valued)| refuse(&lines, &valued, count))
}

/// Whether two convex pieces have no room on this length, however they are turned; `None` if it can't be said.
fn are_apart(asked: &Asked<'_>, items: &[usize], larger: Larger, length: i64) -> Option<bool> {
    let [one, other] = *items else {
        return None;
    };
    let [first, second] = [one, other].map(|item| &asked.problem.items[item]);
    let corners = first.outline.points().len() + second.outline.points().len();
    let both = [first, second];
    let are_fine = both
        .iter()
        .all(|item| item.outline.is_convex() && is_near(item));
    if !are_fine || corners > MOST_CORNERS {
        return None;
    }
    let usable = asked.problem.cloth.usable_width().um();
    let room = [usable + larger.wider.um(), length];
    let (ones, others) = (stances(first, &[])?, stances(second, &[])?);
    let are_one = first.garment.is_some() && first.garment == second.garment;
    for a in &ones {
        for b in &others {
            let are_turned_apart = are_one && a.turns & b.turns == 0;
            if !are_turned_apart && have_room(a, b, larger, room) {
                return Some(false);
            }
        }
    }
    Some(true)
}

/// Whether two shapes have, on so much across and along.
fn have_room(one: &Stance, other: &Stance, larger: Larger, [across, along]: [i64; 2]) -> bool {
    let size = |stance: &Stance| {
        [
            stance.across + larger.wider.um(),
            stance.along + larger.longer.um(),
        ]
    };
    let ([a, b], [c, d]) = (size(one), size(other));
    let [left, right, low, high] = [a - across, across - c, b - along, along - d];
    if a > across || c > across || b > along || d > along {
        return false;
    }
    if a + c <= across || b + d <= along {
        return true;
    }
    let sides = sides(&larger.swept(&one.shape), &larger.swept(&other.shape), 0);
    let is_inside = |p: Point| {
        let before = |side: &Side| side.x * p.x + side.y * p.y < side.least;
        sides.iter().all(before)
    };
    let corners = [(left, low), (right, low), (left, high), (right, high)];
    !corners.iter().all(|&(x, y)| is_inside(Point::new(x, y)))
}
