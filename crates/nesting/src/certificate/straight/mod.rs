//! Arguments by straight cuts: all ways to part a few boxes, tried once more from what a cut is.
//!
//! Asked is the least length of a part so wide that holds these boxes. Of one box it is that of a way to lay it that fits the
//! width. Of more, some first cut parts them: across the cloth, and lengths add up; or along it, and the widths of both
//! sides share that of the part. What comes off as waste alone makes a part smaller, and is left out. For tearing a part is a row
//! of strips, a strip a row of columns, and a column a row of single boxes.
//!
//! Where everything lies as far to the left as it goes, widths are sums of widths; no others are tried. The further to the right a
//! cut along the cloth runs, the less length the left side takes and the more the right: the least of both is found by halving.
//! Which boxes are alike does not matter, nor the order of parts: one side of each cut holds one of the first kind there is.
//! Parts with less area than their boxes are refused at once. Pieces of a garment may each be turned as they like here: that is
//! more than they may, so what is refused stays so.
//!
//! Source: stages by Gilmore and Gomory 1965 (from memory). This shares no code with the search for layouts.

use std::collections::{BTreeMap, HashMap};

use pieces::{Cutting, Length};

use crate::problem::{Item, Problem};

/// What is tried, at most: some seconds. Boxes; choices of so many of each kind, and sums of widths.
const MOST_WORK: u64 = 100_000_000;
const MOST_BOXES: usize = 24;
const MOST_CHOICES: usize = 1 << 12;
const MOST_SUMS: usize = 1 << 12;

/// Sizes at most.
const FAR: i64 = 1 << 36;

/// Sizes of a box across and along, one for each way to lay it.
type Sizes = Vec<[i64; 2]>;

/// Whether no layout of this length or less can be parted as is asked for; `None` where there is too much to try.
#[must_use]
pub fn refuses(problem: &Problem, length: Length) -> Option<bool> {
    let usable = problem.cloth.usable_width().um();
    let length = length.um();
    let is_near = (1..=FAR).contains(&usable) && length <= FAR && problem.spacing.um() == 0;
    let is_few = (1..=MOST_BOXES).contains(&problem.piece_count());
    if problem.cutting == Cutting::Free || !is_near || !is_few {
        return None;
    }
    let kinds = kinds(problem)?;
    let widths = sums(&kinds, usable)?;
    let choices = kinds.iter().try_fold(1_usize, |all, (_, count)| {
        let all = all.checked_mul(*count as usize + 1);
        all.filter(|&all| all <= MOST_CHOICES)
    })?;
    let stage = match problem.cutting {
        Cutting::Tear => Stage::Strips,
        Cutting::Straight | Cutting::Free => Stage::Any,
    };
    let mut search = Search {
        kinds,
        widest: widths.len() - 1,
        widths,
        length,
        work: MOST_WORK,
        known: HashMap::new(),
    };
    let least = search.least(stage, choices - 1, search.widest);
    (search.work > 0).then_some(least.is_none())
}

/// Boxes that are alike, and how many; `None` if sizes are out of range.
fn kinds(problem: &Problem) -> Option<Vec<(Sizes, u32)>> {
    let mut kinds: BTreeMap<Sizes, u32> = BTreeMap::new();
    for item in problem.items.iter().filter(|item| item.copies > 0) {
        let count = kinds.entry(sizes(item)?).or_default();
        *count = count.checked_add(item.copies)?;
    }
    Some(kinds.into_iter().collect())
}

fn sizes(item: &Item) -> Option<Sizes> {
    let mut points = item.outline.points().iter();
    if !points.all(|p| p.x.abs() <= FAR && p.y.abs() <= FAR) {
        return None;
    }
    let bounds = item.outline.bounds();
    let [x, y] = [bounds.across().um(), bounds.along().um()];
    let size = |quarters: u8| {
        if quarters.is_multiple_of(2) {
            [x, y]
        } else {
            [y, x]
        }
    };
    let turns = item.turns.iter();
    let mut sizes: Sizes = turns.map(|turn| size(turn.quarters())).collect();
    sizes.sort_unstable();
    sizes.dedup();
    (x > 0 && y > 0 && !sizes.is_empty()).then_some(sizes)
}

/// All sums of widths up to this, ascending, and nothing.
fn sums(kinds: &[(Sizes, u32)], usable: i64) -> Option<Vec<i64>> {
    let mut sums = vec![0];
    for (sizes, count) in kinds {
        for _ in 0..*count {
            let before = sums.len();
            let more: Vec<i64> = sizes
                .iter()
                .flat_map(|[across, _]| sums.iter().map(move |sum| sum + across))
                .filter(|&sum| sum <= usable)
                .collect();
            sums.extend(more);
            sums.sort_unstable();
            sums.dedup();
            if sums.len() == before {
                break;
            }
            if sums.len() > MOST_SUMS {
                return None;
            }
        }
    }
    Some(sums)
}

/// What a part may still be parted into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Stage {
    /// Both ways, as often as one likes.
    Any,
    /// Strips one behind the other.
    Strips,
    /// Columns side by side.
    Columns,
    /// Boxes one behind the other.
    Boxes,
}

struct Search {
    /// A choice is so many of each, as one number.
    kinds: Vec<(Sizes, u32)>,
    widths: Vec<i64>,
    widest: usize,
    /// What is longer does not count.
    length: i64,
    /// What is left of it.
    work: u64,
    known: HashMap<(Stage, usize, usize), Option<i64>>,
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

    /// One side of each way to part a choice: it holds one of the first kind there is, and not all.
    fn sides(&self, counts: &[usize]) -> Vec<usize> {
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

    /// The least length of a choice in a part of this width, by its number; `None` if it is more than is asked about, or
    /// work runs out.
    fn least(&mut self, stage: Stage, choice: usize, width: usize) -> Option<i64> {
        if let Some(known) = self.known.get(&(stage, choice, width)) {
            return *known;
        }
        let counts = self.counts(choice);
        let least = if self.is_too_much(&counts, width) {
            None
        } else {
            self.parted(stage, choice, &counts, width)
        };
        self.known.insert((stage, choice, width), least);
        least
    }

    /// Whether boxes have more area than the longest part so wide.
    fn is_too_much(&self, counts: &[usize], width: usize) -> bool {
        let area = |((sizes, _), &count): (&(Sizes, u32), &usize)| {
            let [across, along] = sizes[0].map(i128::from);
            across * along * count as i128
        };
        let all: i128 = self.kinds.iter().zip(counts).map(area).sum();
        all > i128::from(self.widths[width]) * i128::from(self.length)
    }

    fn parted(
        &mut self,
        stage: Stage,
        choice: usize,
        counts: &[usize],
        width: usize,
    ) -> Option<i64> {
        let length = self.length;
        let within = move |least: &i64| *least <= length;
        if stage == Stage::Boxes || counts.iter().sum::<usize>() == 1 {
            return self.one_behind_the_other(counts, width).filter(within);
        }
        let mut best: Option<i64> = None;
        let mut offer = |least: Option<i64>| {
            let is_less = |least: &i64| best.is_none_or(|best| *least < best);
            best = least.filter(within).filter(is_less).or(best);
        };
        match stage {
            // One strip, one column.
            Stage::Strips => offer(self.least(Stage::Columns, choice, width)),
            Stage::Columns => offer(self.least(Stage::Boxes, choice, width)),
            Stage::Any | Stage::Boxes => {}
        }
        for side in self.sides(counts) {
            if self.work == 0 {
                return None;
            }
            self.work -= 1;
            let rest = choice - side;
            if stage != Stage::Columns {
                let of_side = if stage == Stage::Any {
                    stage
                } else {
                    Stage::Columns
                };
                let one = self.least(of_side, side, width);
                offer(one.and_then(|one| Some(one + self.least(stage, rest, width)?)));
            }
            if stage != Stage::Strips {
                let of_side = if stage == Stage::Any {
                    stage
                } else {
                    Stage::Boxes
                };
                offer(self.side_by_side((of_side, side), (stage, rest), width));
            }
        }
        best
    }

    /// Boxes that no cut along the cloth parts.
    fn one_behind_the_other(&self, counts: &[usize], width: usize) -> Option<i64> {
        let mut all = 0_i64;
        for ((sizes, _), &count) in self.kinds.iter().zip(counts).filter(|(_, n)| **n > 0) {
            let fitting = sizes.iter().filter(|size| size[0] <= self.widths[width]);
            let along = fitting.map(|size| size[1]).min()?;
            all = all.checked_add(along.checked_mul(count as i64)?)?;
        }
        Some(all)
    }

    /// The least length of two choices side by side.
    fn side_by_side(
        &mut self,
        (stage, one): (Stage, usize),
        (other_stage, other): (Stage, usize),
        width: usize,
    ) -> Option<i64> {
        let both = |search: &mut Search, left: usize| {
            let rest = search.widths[width] - search.widths[left];
            let right = search.widths.partition_point(|&sum| sum <= rest) - 1;
            search.work = search.work.saturating_sub(1);
            let lengths = [
                search.least(stage, one, left),
                search.least(other_stage, other, right),
            ];
            lengths.map(|length| length.unwrap_or(i64::MAX))
        };
        // The first width at which the left side is no longer than the right, and the one before.
        let (mut low, mut high) = (0, width);
        while low < high {
            let middle = low + (high - low) / 2;
            let [left, right] = both(self, middle);
            if left <= right {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        let around = [low.saturating_sub(1), low];
        let longer = around.map(|left| both(self, left).into_iter().max());
        longer
            .into_iter()
            .flatten()
            .min()
            .filter(|&least| least < i64::MAX)
    }
}

#[cfg(test)]
mod tests;
