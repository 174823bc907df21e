//! Pieces one behind the other, each as near to the one before as their shapes let it, in the best order.
//!
//! Taken in the order of their lower ends, each begins no lower than the one before, and no nearer to it than the two
//! allow (`distances`). The least that these distances add up to, with the length of the last piece, over all orders and
//! shapes, is a length that no layout undercuts. Of several pieces of one kind only the number counts. Source of the
//! scheme over subsets: Held and Karp 1962 (from memory).
//!
//! Pieces that are not convex, or have many corners, are looked at by convex polygons within them. Spacing is left out.

use pieces::Length;

use super::counted;
use super::distances::Distances;
use super::larger::Larger;
use super::sides::Within;
use super::sides::laid::{Stance, is_near, parts, stances};
use super::ways::{Way, ways};
use super::widths::reversed;
use crate::problem::{Item, Problem};

/// Shapes, states, and steps between them, at most.
const MOST_SHAPES: usize = 96;
const MOST_STATES: usize = 4_000_000;
const MOST_STEPS: usize = 64_000_000;

/// Pieces that are alike in widths and in area, whichever shapes they have.
struct Kind {
    ways: Vec<Way>,
    doubled_area: i128,
    garment: Option<u32>,
    copies: usize,
}

/// One shape of a kind.
pub(super) struct Shape {
    kind: usize,
    garment: Option<u32>,
    pub stance: Stance,
}

impl Shape {
    /// Whether this and another may be laid together.
    fn goes_with(&self, other: &Shape) -> bool {
        let are_one = self.garment.is_some() && self.garment == other.garment;
        !are_one || self.stance.turns & other.stance.turns != 0
    }
}

/// The length that these pieces need at least; `None` if polygons do not lie within them, or there is too much to look at.
#[must_use]
pub(crate) fn least(problem: &Problem, items: &[usize], within: &[Within]) -> Option<Length> {
    let usable = problem.cloth.usable_width();
    let counts = counted(problem, items)?;
    let (mut kinds, mut shapes): (Vec<Kind>, Vec<Shape>) = (Vec::new(), Vec::new());
    let mut named = 0;
    for (&number, &copies) in &counts {
        let item = &problem.items[number];
        if !is_near(item) {
            return None;
        }
        let given = within.iter().find(|within| within.item == number);
        named += usize::from(given.is_some());
        let parts = parts(item, given)?;
        let kind = kind_of(&mut kinds, item, usable, copies);
        let all = stances(item, &parts)?;
        let goes = |stance: &Stance| stance.across <= usable.um();
        let any_goes = all.iter().any(goes);
        for stance in all {
            let is_known = |shape: &Shape| {
                let known = &shape.stance;
                shape.kind == kind && known.shape == stance.shape && known.turns == stance.turns
            };
            if (goes(&stance) || !any_goes) && !shapes.iter().any(is_known) {
                let garment = kinds[kind].garment;
                shapes.push(Shape {
                    kind,
                    garment,
                    stance,
                });
            }
        }
        if shapes.len() > MOST_SHAPES {
            return None;
        }
    }
    if named != within.len() {
        return None;
    }
    let mut distances = Distances::on(usable.um());
    shortest(&kinds, &shapes, &mut |from, to| {
        distances.least(&from.stance, &to.stance)
    })
    .map(Length::from_um)
}

fn kind_of(kinds: &mut Vec<Kind>, item: &Item, usable: Length, copies: u32) -> usize {
    let ways = ways(item, usable, Larger::NOT);
    let is_uneven = |way: &Way| way.is_either && reversed(&way.bands) != way.bands;
    let garment = item
        .garment
        .filter(|_| ways.len() > 1 || ways.iter().any(is_uneven));
    let doubled_area = item.outline.doubled_area();
    let is_same = |kind: &Kind| {
        kind.doubled_area == doubled_area && kind.garment == garment && kind.ways == ways
    };
    let known = kinds.iter().position(is_same);
    let at = known.unwrap_or(kinds.len());
    if known.is_none() {
        kinds.push(Kind {
            ways,
            doubled_area,
            garment,
            copies: 0,
        });
    }
    kinds[at].copies += copies as usize;
    at
}

/// The least length over all orders; a state is how many of each kind are laid, written as one number.
fn shortest(
    kinds: &[Kind],
    shapes: &[Shape],
    distance: &mut dyn FnMut(&Shape, &Shape) -> i64,
) -> Option<i64> {
    let count = shapes.len();
    let mut place = Vec::new();
    let mut states = 1_usize;
    for kind in kinds {
        place.push(states);
        states = states.checked_mul(kind.copies.checked_add(1)?)?;
        if states.checked_mul(count)? > MOST_STATES || states * count * count > MOST_STEPS {
            return None;
        }
    }
    let apart: Vec<Vec<Option<i64>>> = shapes
        .iter()
        .map(|from| {
            let to = shapes.iter();
            to.map(|to| from.goes_with(to).then(|| distance(from, to)))
                .collect()
        })
        .collect();
    // Where the last one begins at least, by state and its shape.
    let mut begins: Vec<Option<i64>> = vec![None; states * count];
    for (last, shape) in shapes.iter().enumerate() {
        begins[place[shape.kind] * count + last] = Some(0);
    }
    for state in 1..states {
        for last in 0..count {
            let Some(here) = begins[state * count + last] else {
                continue;
            };
            for (next, shape) in shapes.iter().enumerate() {
                let laid = state / place[shape.kind] % (kinds[shape.kind].copies + 1);
                let Some(apart) = apart[last][next].filter(|_| laid < kinds[shape.kind].copies)
                else {
                    continue;
                };
                let after = &mut begins[(state + place[shape.kind]) * count + next];
                let there = here.checked_add(apart)?;
                *after = Some(after.map_or(there, |known| known.min(there)));
            }
        }
    }
    let last = begins[(states - 1) * count..].iter().zip(shapes);
    last.filter_map(|(begins, shape)| Some((*begins)? + shape.stance.along))
        .min()
}
