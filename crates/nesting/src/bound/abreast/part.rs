//! Parts of pieces: a stance between two heights of its own.

use super::super::stances::Stance;

/// Such a share of a piece is left out at either end: where one only just ends as another begins, they do not refuse each
/// other, and no company of both could be refused.
const ENDS: i64 = 2_000;

/// A piece as it may lie, between two heights.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Part {
    /// Index into the stances.
    pub stance: usize,
    /// Its kind.
    pub kind: usize,
    pub from: i64,
    pub to: i64,
    /// The least section between them, though at least one: the search for companies reckons by it.
    pub width: i64,
}

impl Part {
    pub fn thick(&self) -> i64 {
        self.to - self.from
    }
}

/// All stances cut across into so many, but for their very ends.
pub(super) fn parts(stances: &[Stance], cuts: usize) -> Vec<Part> {
    let cut = |(number, stance): (usize, &Stance)| {
        let height = stance.along();
        let end = height / ENDS;
        let at = |cut: usize| end + (height - 2 * end) * cut as i64 / cuts as i64;
        let part = |cut: usize| Part {
            stance: number,
            kind: stance.kind,
            from: at(cut),
            to: at(cut + 1),
            width: stance.profile.narrowest(at(cut), at(cut + 1)).max(1),
        };
        (0..cuts).map(part).collect::<Vec<_>>()
    };
    stances.iter().enumerate().flat_map(cut).collect()
}
