//! How a tree is written: as numbers, each node before what is below it.
//!
//! `0 n row times ...` is a leaf, with so many rows and how often each counts; `1 piece` a piece that takes its
//! stances; `2 one other parts` two pieces of which these parts are apart, those of the other counted first.

/// What a node begins with.
pub(super) const LEAF: u64 = 0;
pub(super) const STANCE: u64 = 1;
pub(super) const PAIR: u64 = 2;

/// Nothing lies here, as these rows so many times ask for more than there is.
pub(crate) fn leaf(by: &[(usize, u64)]) -> Vec<u64> {
    let mut numbers = vec![LEAF, by.len() as u64];
    numbers.extend(by.iter().flat_map(|&(row, times)| [row as u64, times]));
    numbers
}

/// A piece takes each of its stances.
pub(crate) fn stance(piece: usize) -> Vec<u64> {
    vec![STANCE, piece as u64]
}

/// Of two pieces these parts are apart by each of their sides.
pub(crate) fn pair([one, other]: [usize; 2], parts: usize) -> Vec<u64> {
    vec![PAIR, one as u64, other as u64, parts as u64]
}
