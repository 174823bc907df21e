//! Whether arguments hold: looked at from the problem and the argument alone, by code that shares nothing with what makes
//! bounds.
//!
//! [`holds`] takes any bound; `stated` says which module looks at which argument. Each argument brings what is needed to
//! check it without a search: which function charges sections (`functions`, `charged`), where lines are drawn (`lines`,
//! `side_by_side`), which pieces lie one behind the other (`behind`, `one_by_one`) or have nothing beside them (`alone`).
//! How wide pieces are at their heights is cut from the outlines here (`widths`, `ways`), how they lie turned and mirrored
//! is worked out in `sides`. What tried everything brings it as a tree (`sides`, `places`, `starts`). All is whole numbers,
//! rounded so that it stays true.
//!
//! # Slices
//!
//! Whoever makes such an argument says what sections across the pieces are worth: those of a piece that are at
//! least so wide, so much, at each height of the cloth. Two sums are then worked out here, exactly:
//!
//! - *What the cloth can hold.* Pieces at one height lie side by side, so their sections there are together
//!   at most as wide as the usable width, and each copy has one section there at most. The most that such
//!   sections can be worth (`fill`), times the length of cloth for which it is so, is all that the cloth can hold.
//! - *What the pieces bring.* Wherever a copy lies, and however it is turned, its sections are worth at least the
//!   least over all its turns and places (`load`).
//!
//! If the pieces bring more than the cloth can hold, they do not fit. Where all heights are alike, a
//! cloth holds in proportion to its length, so the quotient of the two sums is a length that no layout undercuts.
//! Else the cloth is parted into zones along its length, and the argument refuses that one length (and
//! shorter ones, since a layout on less cloth lies on more too).
//!
//! Worth is any number, so the argument holds whoever made it up, and a checker need not know how. By linear
//! programming duality the best values by widths say as much as the best way to spread all slices of the pieces
//! over the cloth with at most one slice of each copy at a height (Martello, Monaci and Vigo 2003 for rectangles,
//! from memory). Zones hold the compulsory parts of tall pieces too: one that is longer than half the cloth covers
//! its middle wherever it lies. Let its sections be worth more there than all that could take their place, and
//! the most that fits there is what fits beside it, while it brings that worth from every place.
//!
//! With a spacing pieces and cloth are taken larger: swept by a rectangle whose diagonal is at most the spacing,
//! pieces that keep their distance do not overlap. Sections grow by its width; and of a piece swept along, the
//! section at a height covers those that pass through it.
//!
//! This shares no code with what makes bounds: sections are cut from the outlines here (`sections`).

pub mod abreast;
mod alone;
mod area;
mod behind;
mod beside;
mod charged;
mod distances;
mod figures;
mod fill;
mod functions;
mod larger;
mod lines;
mod load;
pub(crate) mod numbers;
mod one_by_one;
pub mod places;
mod room;
mod sections;
mod side_by_side;
pub mod sides;
mod smallest;
pub mod starts;
mod stated;
pub mod straight;
mod sums;
mod ways;
mod widths;

use pieces::{Length, Outline};
use serde::{Deserialize, Serialize};

use crate::problem::{Item, Problem};
use fill::{Choice, most};
use load::least;
use sections::{Intervals, Sections};

pub use charged::Charged;
pub use functions::Function;
pub use larger::Larger;
pub(crate) use one_by_one::least as least_one_by_one;
pub use side_by_side::Line;
pub use smallest::{Smallest, smallest};
pub use stated::holds;
use stated::{Asked, counted};

/// What sections across the pieces are worth.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Slices {
    /// How much wider all pieces are taken, and the cloth.
    #[serde(rename = "wider_um")]
    pub wider: Length,
    /// How much longer all pieces are taken, and the cloth.
    #[serde(rename = "longer_um")]
    pub longer: Length,
    /// Where each zone of the cloth ends, ascending; the last one at the length that is refused, made `longer`.
    /// Empty where all heights are alike.
    #[serde(rename = "zones_um", default, skip_serializing_if = "Vec::is_empty")]
    pub zones: Vec<Length>,
    /// The worth of each piece that has any.
    pub pieces: Vec<Worth>,
}

/// What the sections of some items are worth.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Worth {
    /// Which; no item twice in all.
    pub items: Vec<usize>,
    /// From narrow to wide, worth ever more.
    pub steps: Vec<Step>,
}

/// Sections from one width up to the next step.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// At least so wide, taken wider.
    #[serde(rename = "from_um")]
    pub from: Length,
    /// Worth this in each zone.
    pub worth: Vec<u32>,
}

/// Limits of what is looked at: files come from anywhere.
const MOST_ZONES: usize = 64;
const MOST_STEPS: usize = 2_000;
const FAR: i64 = 1 << 36;

/// The length below which these slices prove that there is no layout.
///
/// Micrometres, rounded up. `None` if they prove nothing: they are not well formed, too many, or the pieces bring
/// no more than the cloth can hold.
#[must_use]
pub fn proved(problem: &Problem, slices: &Slices) -> Option<Length> {
    if !is_well_formed(problem, slices) {
        return None;
    }
    let usable = problem.cloth.usable_width().um();
    let room = usable + slices.wider.um();
    let zones = slices.zones.len().max(1);
    let held = (0..zones)
        .map(|zone| held(problem, slices, zone, room))
        .collect::<Option<Vec<u64>>>()?;
    let ends: Vec<i64> = slices.zones.iter().map(|end| end.um()).collect();
    let mut brought = 0_i128;
    for worth in &slices.pieces {
        for &item in &worth.items {
            let item = &problem.items[item];
            if item.copies == 0 {
                continue;
            }
            match brought_by(item, usable, slices, worth, &ends)? {
                Brought::Worth(worth) => brought += i128::from(item.copies) * worth,
                // It is longer than the length in question however it is turned.
                Brought::TooLong => return Some(refused(slices)),
            }
        }
    }
    if ends.is_empty() {
        let held = i128::from(held[0]);
        let length = -(-brought).div_euclid(held.max(1));
        let length = i64::try_from(length)
            .ok()
            .filter(|_| held > 0 && brought > 0)?;
        return Some((Length::from_um(length) - slices.longer).max(Length::ZERO));
    }
    let starts = std::iter::once(0).chain(ends.iter().copied());
    let lengths = starts.zip(&ends).map(|(start, end)| end - start);
    let all: i128 = lengths
        .zip(held)
        .map(|(length, held)| i128::from(length) * i128::from(held))
        .sum();
    (brought > all).then(|| refused(slices))
}

/// The least length that zones leave open.
fn refused(slices: &Slices) -> Length {
    let end = slices.zones.last().copied().unwrap_or_default();
    end - slices.longer + Length::from_um(1)
}

/// What a copy brings.
enum Brought {
    Worth(i128),
    TooLong,
}

/// The least over all turns in which the item goes on the cloth at all; `None` if there is too much to look at.
fn brought_by(
    item: &Item,
    usable: i64,
    slices: &Slices,
    worth: &Worth,
    ends: &[i64],
) -> Option<Brought> {
    let mut turned: Vec<Outline> = Vec::new();
    for turn in &item.turns {
        let outline = item.outline.turned(turn.quarters());
        if outline.bounds().across().um() <= usable {
            turned.push(outline);
        }
    }
    if turned.is_empty() {
        // It lies nowhere; whatever is said of its layouts holds.
        turned.push(item.outline.clone());
    }
    let mut least_of_all: Option<i128> = None;
    for outline in &turned {
        let sections = Sections::of(outline);
        let height = sections.height() + slices.longer.um();
        let at_least =
            |step: &Step| sections.at_least(step.from.um() - slices.wider.um(), slices.longer.um());
        let wide: Vec<Intervals> = worth.steps.iter().map(at_least).collect();
        let brought = if ends.is_empty() {
            let gains = gains(worth, 0);
            let lengths = wide
                .iter()
                .map(|of| of.iter().map(|(a, b)| b - a).sum::<i64>());
            let each = lengths.zip(gains);
            Some(
                each.map(|(length, gain)| i128::from(length) * i128::from(gain))
                    .sum(),
            )
        } else if height > ends[ends.len() - 1] {
            None
        } else {
            let gains: Vec<Vec<u32>> = (0..ends.len()).map(|zone| gains(worth, zone)).collect();
            Some(least(&wide, &gains, ends, height)?)
        };
        if let Some(brought) = brought {
            least_of_all = Some(least_of_all.map_or(brought, |least: i128| least.min(brought)));
        }
    }
    Some(least_of_all.map_or(Brought::TooLong, Brought::Worth))
}

/// By how much each step is worth more than the one before.
fn gains(worth: &Worth, zone: usize) -> Vec<u32> {
    let mut before = 0;
    let gain = |step: &Step| {
        let gain = step.worth[zone] - before;
        before = step.worth[zone];
        gain
    };
    worth.steps.iter().map(gain).collect()
}

/// The most that sections side by side can be worth in a zone.
fn held(problem: &Problem, slices: &Slices, zone: usize, room: i64) -> Option<u64> {
    let of = |worth: &Worth| {
        let copies = worth
            .items
            .iter()
            .map(|&item| u64::from(problem.items[item].copies));
        let steps = worth.steps.iter().map(|step| Choice {
            width: step.from.um(),
            worth: step.worth[zone],
        });
        (copies.sum(), steps.collect())
    };
    let pieces: Vec<(u64, Vec<Choice>)> = slices.pieces.iter().map(of).collect();
    most(&pieces, room)
}

fn is_well_formed(problem: &Problem, slices: &Slices) -> bool {
    let (wider, longer) = (slices.wider.um(), slices.longer.um());
    let spacing = i128::from(problem.spacing.um().clamp(0, FAR));
    let squared = |v: i64| i128::from(v) * i128::from(v);
    let grows = wider >= 0 && longer >= 0 && squared(wider) + squared(longer) <= spacing * spacing;
    let usable = problem.cloth.usable_width().um();
    let zones = slices.zones.len();
    let starts = std::iter::once(Length::ZERO).chain(slices.zones.iter().copied());
    let rises = starts.zip(&slices.zones).all(|(start, end)| start < *end);
    let ends_near = slices.zones.last().is_none_or(|end| end.um() <= FAR);
    let mut named = vec![false; problem.items.len()];
    let mut is_new = |&item: &usize| {
        let is_new = named.get(item).is_some_and(|named| !named);
        if is_new {
            named[item] = true;
        }
        is_new
    };
    let steps: usize = slices.pieces.iter().map(|worth| worth.steps.len()).sum();
    let is_near = |item: &Item| {
        let mut points = item.outline.points().iter();
        points.all(|p| p.x.abs() <= FAR && p.y.abs() <= FAR)
    };
    grows
        && (1..=FAR).contains(&usable)
        && zones <= MOST_ZONES
        && rises
        && ends_near
        && steps <= MOST_STEPS
        && slices.pieces.iter().flat_map(|w| &w.items).all(&mut is_new)
        && problem.items.iter().all(is_near)
        && slices
            .pieces
            .iter()
            .all(|worth| are_steps(worth, zones.max(1)))
}

/// Widths rise from more than nothing, worth does not fall.
fn are_steps(worth: &Worth, zones: usize) -> bool {
    let is_whole = |step: &Step| step.worth.len() == zones && (1..=FAR).contains(&step.from.um());
    let rises = |pair: &[Step]| {
        let mut worth = pair[0].worth.iter().zip(&pair[1].worth);
        pair[0].from < pair[1].from && worth.all(|(low, high)| low <= high)
    };
    worth.steps.iter().all(is_whole) && worth.steps.windows(2).all(rises)
}

#[cfg(test)]
mod made_tests;
#[cfg(test)]
mod stated_tests;
#[cfg(test)]
mod tests;
