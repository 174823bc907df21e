//! Arguments by straight cuts: all ways to part a few boxes, tried once more from what a cut is.
//!
//! Asked is in which parts so many boxes of each kind have room: of one box those of its size, in each way to lay it. Of more, some
//! first cut parts them: across the cloth, and lengths add up; or along it, and widths do. What comes off as
//! waste alone makes a part smaller, and is left out. For tearing a part is a row of strips, a strip a row of columns, and a column
//! a row of single boxes.
//!
//! Sizes are kept than which no other is smaller both ways. One that wastes more than all of the cloth may is of no use in it, nor
//! is one that does not fit. Which boxes are alike does not matter, nor the order of parts: one side of each cut holds one of the
//! first kind there is. A piece keeps half of the spacing from every cut, rounded down, so boxes and cloth are larger by that at
//! each side. Pieces of a garment may each be turned as they like here: that is more than they may, so what is refused stays so.
//!
//! Source: stages by Gilmore and Gomory 1965 (from memory). This shares no code with the search for layouts.

use std::collections::BTreeMap;

use pieces::{Cutting, Length};

use crate::problem::{Item, Problem};

/// What is tried, at most: some seconds. Sizes looked at, and choices of so many of each kind.
const MOST_WORK: u64 = 1_000_000_000;
const MOST_CHOICES: usize = 20_000;

/// Sizes at most.
const FAR: i64 = 1 << 36;

/// Across and along.
type Size = [i64; 2];

/// Sizes of which none is smaller than another both ways, the narrowest first.
type Sizes = Vec<Size>;

/// Whether no layout of this length or less can be parted as is asked for; `None` where there is too much to try.
#[must_use]
pub fn refuses(problem: &Problem, length: Length) -> Option<bool> {
    let kept = problem.spacing.um().max(0) / 2 * 2;
    let usable = problem.cloth.usable_width().um();
    let is_near = (1..=FAR).contains(&usable) && length.um() <= FAR && kept <= FAR;
    if problem.cutting == Cutting::Free || !is_near {
        return None;
    }
    let room = [usable + kept, length.um() + kept];
    let kinds = kinds(problem, kept)?;
    let choices = kinds.iter().try_fold(1_usize, |all, (_, count)| {
        let all = all.checked_mul(*count as usize + 1);
        all.filter(|&all| all <= MOST_CHOICES)
    })?;
    let mut search = Search {
        kinds,
        room,
        wasted: 0,
        work: MOST_WORK,
    };
    search.wasted = product(room) - search.area(choices - 1);
    let is_found = match problem.cutting {
        Cutting::Tear => search.torn(choices),
        Cutting::Straight | Cutting::Free => search.parted(choices),
    };
    is_found.map(|is_found| !is_found)
}

/// Boxes that are alike, and how many; `None` if there are none, or sizes are out of range.
fn kinds(problem: &Problem, kept: i64) -> Option<Vec<(Sizes, u32)>> {
    let mut kinds: BTreeMap<Sizes, u32> = BTreeMap::new();
    for item in problem.items.iter().filter(|item| item.copies > 0) {
        let count = kinds.entry(sizes(item, kept)?).or_default();
        *count = count.checked_add(item.copies)?;
    }
    (!kinds.is_empty()).then(|| kinds.into_iter().collect())
}

/// With what is kept free around it.
fn sizes(item: &Item, kept: i64) -> Option<Sizes> {
    let mut points = item.outline.points().iter();
    if !points.all(|p| p.x.abs() <= FAR && p.y.abs() <= FAR) {
        return None;
    }
    let bounds = item.outline.bounds();
    let [x, y] = [bounds.across().um() + kept, bounds.along().um() + kept];
    let size = |quarters: u8| {
        if quarters.is_multiple_of(2) {
            [x, y]
        } else {
            [y, x]
        }
    };
    let turns = item.turns.iter();
    let sizes = smallest(turns.map(|turn| size(turn.quarters())).collect());
    (x > kept && y > kept && !sizes.is_empty()).then_some(sizes)
}

fn product([across, along]: Size) -> i128 {
    i128::from(across) * i128::from(along)
}

/// Leaves out what is larger than another both ways.
fn smallest(mut sizes: Sizes) -> Sizes {
    sizes.sort_unstable();
    let mut kept: Sizes = Vec::new();
    for size in sizes {
        if kept.last().is_none_or(|last| size[1] < last[1]) {
            kept.push(size);
        }
    }
    kept
}

/// How long, at least, what is no wider than this.
fn least_along(sizes: &[Size], across: i64) -> Option<i64> {
    let narrower = sizes.partition_point(|size| size[0] <= across);
    sizes[..narrower].last().map(|size| size[1])
}

/// How wide, at least, what is no longer than this.
fn least_across(sizes: &[Size], along: i64) -> Option<i64> {
    let longer = sizes.partition_point(|size| size[1] > along);
    sizes.get(longer).map(|size| size[0])
}

struct Search {
    /// A choice is so many of each, as one number.
    kinds: Vec<(Sizes, u32)>,
    /// Of the cloth.
    room: Size,
    /// Square micrometres: what no box needs of it.
    wasted: i128,
    /// What is left of it.
    work: u64,
}

impl Search {
    /// How many of each kind.
    fn counts(&self, mut choice: usize) -> Vec<usize> {
        let digit = |(_, count): &(Sizes, u32)| {
            let base = *count as usize + 1;
            let digit = choice % base;
            choice /= base;
            digit
        };
        self.kinds.iter().map(digit).collect()
    }

    fn area(&self, choice: usize) -> i128 {
        let counts = self.counts(choice);
        let each = self.kinds.iter().zip(counts);
        each.map(|((sizes, _), count)| product(sizes[0]) * count as i128)
            .sum()
    }

    /// One side of each way to part a choice: it holds one of the first kind there is, and not all.
    fn sides(&self, choice: usize) -> Vec<usize> {
        let counts = self.counts(choice);
        let first = counts.iter().position(|&count| count > 0).unwrap_or(0);
        let (mut sides, mut stride) = (vec![0], 1);
        for (kind, &count) in counts.iter().enumerate() {
            let least = usize::from(kind == first);
            let each =
                (least..=count).flat_map(|n| sides.iter().map(move |side| side + n * stride));
            sides = each.collect();
            stride *= self.kinds[kind].1 as usize + 1;
        }
        // The last one is all.
        sides.pop();
        sides
    }

    /// Keeps of some sizes those that are of use in the cloth.
    fn of_use(&self, sizes: Sizes, choice: usize) -> Sizes {
        let [across, along] = self.room;
        let area = self.area(choice);
        let is_of_use = |size: &Size| {
            size[0] <= across && size[1] <= along && product(*size) - area <= self.wasted
        };
        smallest(sizes.into_iter().filter(is_of_use).collect())
    }

    /// All sizes of boxes that no cut along the cloth parts: as wide as one of them.
    fn one_behind_the_other(&self, choice: usize) -> Sizes {
        let counts = self.counts(choice);
        let laid = || self.kinds.iter().zip(&counts).filter(|(_, n)| **n > 0);
        let along = |across: i64| {
            laid().try_fold(0_i64, |all, ((sizes, _), &count)| {
                let more = least_along(sizes, across)?.checked_mul(count as i64)?;
                all.checked_add(more)
            })
        };
        let widths = laid().flat_map(|((sizes, _), _)| sizes.iter().map(|size| size[0]));
        widths
            .filter_map(|across| Some([across, along(across)?]))
            .collect()
    }

    /// Adds all sizes of two parts one behind the other; `None` once work runs out.
    fn behind(&mut self, one: &[Size], other: &[Size], sizes: &mut Sizes) -> Option<()> {
        self.work = self.work.checked_sub((one.len() + other.len()) as u64)?;
        let widths = one.iter().chain(other).map(|size| size[0]);
        sizes.extend(widths.filter_map(|across| {
            Some([
                across,
                least_along(one, across)? + least_along(other, across)?,
            ])
        }));
        Some(())
    }

    /// Adds all sizes of two parts side by side; `None` once work runs out.
    fn beside(&mut self, one: &[Size], other: &[Size], sizes: &mut Sizes) -> Option<()> {
        self.work = self.work.checked_sub((one.len() + other.len()) as u64)?;
        let lengths = one.iter().chain(other).map(|size| size[1]);
        sizes.extend(lengths.filter_map(|along| {
            Some([
                least_across(one, along)? + least_across(other, along)?,
                along,
            ])
        }));
        Some(())
    }

    /// Whether some cuts part all of them; `None` if work runs out before that is known.
    fn parted(&mut self, choices: usize) -> Option<bool> {
        let mut known: Vec<Sizes> = vec![Vec::new()];
        for choice in 1..choices {
            // One alone, and more as if they were one.
            let mut sizes = self.one_behind_the_other(choice);
            for side in self.sides(choice) {
                let [one, other] = [&known[side], &known[choice - side]];
                self.behind(one, other, &mut sizes)?;
                self.beside(one, other, &mut sizes)?;
            }
            known.push(self.of_use(sizes, choice));
        }
        Some(known.last().is_some_and(|sizes| !sizes.is_empty()))
    }

    /// Whether they can be torn apart; `None` if work runs out before that is known.
    fn torn(&mut self, choices: usize) -> Option<bool> {
        let (mut columns, mut strips): (Vec<Sizes>, Vec<Sizes>) =
            (vec![Vec::new()], vec![Vec::new()]);
        let mut least: Vec<Option<i64>> = vec![Some(0)];
        for choice in 1..choices {
            let column = self.of_use(self.one_behind_the_other(choice), choice);
            let mut sizes = column.clone();
            columns.push(column);
            let sides = self.sides(choice);
            for &side in &sides {
                self.beside(&columns[side], &strips[choice - side], &mut sizes)?;
            }
            strips.push(self.of_use(sizes, choice));
            let along = |strip: usize| strips[strip].last().map(|size| size[1]);
            let rows = sides
                .iter()
                .filter_map(|&side| Some(along(side)? + least[choice - side]?));
            let shortest = along(choice).into_iter().chain(rows).min();
            least.push(shortest.filter(|&along| along <= self.room[1]));
        }
        Some(least.last().is_some_and(Option::is_some))
    }
}

#[cfg(test)]
mod tests;
