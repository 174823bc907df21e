//! Slices spread over the cloth by hand: fillings one after another until all are laid.
//!
//! Each filling takes slices in one order while they go, and lasts until one of its kinds of slices is used up. What
//! that takes in all is no less than the best spread, so where it is no more than what is known, slices can't say
//! more. That is found out in no time. The fillings are good ones to begin with.

use super::cut::Cut;
use super::fill::Filling;

/// All fillings of a spread, and the length of cloth that they take.
pub(super) struct Spread {
    pub length: i128,
    pub fillings: Vec<Filling>,
}

/// In which order slices are taken.
#[derive(Clone, Copy, Debug)]
pub(super) enum Order {
    /// The widest first.
    Widest,
    /// Those of the kind first of which each copy has most left.
    Longest,
}

/// A kind's slices of one width.
struct Slice {
    kind: usize,
    number: usize,
    width: i64,
    /// Length of all of them that is left to lay.
    left: i128,
}

/// All slices of one way to lie, spread over cloth that has `room` for them side by side.
pub(super) fn spread(cuts: &[Cut], room: i64, order: Order) -> Spread {
    let mut slices = slices(cuts);
    let mut spread = Spread {
        length: 0,
        fillings: Vec::new(),
    };
    loop {
        slices.retain(|slice| slice.left > 0);
        if slices.is_empty() {
            return spread;
        }
        let mut of_kind = vec![0_i128; cuts.len()];
        for slice in &slices {
            of_kind[slice.kind] += slice.left;
        }
        if matches!(order, Order::Longest) {
            let each = |slice: &Slice| of_kind[slice.kind] / i128::from(cuts[slice.kind].copies);
            slices.sort_by_key(|slice| std::cmp::Reverse((each(slice), slice.width)));
        } else {
            slices.sort_by_key(|slice| std::cmp::Reverse((slice.width, slice.kind)));
        }
        let mut free = room;
        let mut copies: Vec<i64> = cuts.iter().map(|cut| cut.copies).collect();
        let mut filling = Filling::new();
        let mut lasts = i128::MAX;
        for slice in &slices {
            let count = copies[slice.kind].min(free / slice.width);
            if count > 0 {
                copies[slice.kind] -= count;
                free -= count * slice.width;
                lasts = lasts.min(-(-slice.left).div_euclid(i128::from(count)));
                filling.insert(
                    (slice.kind, slice.number),
                    u32::try_from(count).unwrap_or(u32::MAX),
                );
            }
        }
        for slice in &mut slices {
            if let Some(&count) = filling.get(&(slice.kind, slice.number)) {
                slice.left -= lasts * i128::from(count);
            }
        }
        spread.length += lasts;
        spread.fillings.push(filling);
    }
}

/// What the first way of each kind to lie is cut into.
fn slices(cuts: &[Cut]) -> Vec<Slice> {
    let mut all = Vec::new();
    for (kind, cut) in cuts.iter().enumerate() {
        let Some(lying) = cut.lying.first() else {
            continue;
        };
        let lengths = lying.wide.iter().map(|heights| {
            let along = heights.iter().map(|(from, to)| i128::from(to - from));
            along.sum::<i128>()
        });
        let lengths: Vec<i128> = lengths.chain([0]).collect();
        for (number, &width) in cut.widths.iter().enumerate() {
            all.push(Slice {
                kind,
                number,
                width,
                left: i128::from(cut.copies) * (lengths[number] - lengths[number + 1]),
            });
        }
    }
    all
}
