//! Strips right across the cloth, one after another: the longest box left opens one, columns of what still fits
//! fill it.

use rand::{Rng, RngExt};

use super::boxes::{Boxes, Size};
use super::tree::Tree;
use crate::problem::CutDirection;

/// Which of the longest boxes opens a strip, and how often one that would fit is passed over.
pub struct Whim<'r> {
    /// One of so many kinds opens a strip.
    pub openers: usize,
    /// One in so many.
    pub passed: u32,
    /// Where it comes from.
    pub random: &'r mut dyn Rng,
}

/// Strips of so many boxes of each kind: always the longest and widest that fit, but for whims.
pub fn strips(boxes: &Boxes<'_>, counts: &[u32], mut whim: Option<Whim<'_>>) -> Vec<Tree> {
    let mut left = counts.to_vec();
    let mut strips = Vec::new();
    // The kinds are sorted by length, so those of which none are left gather at the front.
    let mut first = 0;
    loop {
        while left.get(first) == Some(&0) {
            first += 1;
        }
        let open = (first..left.len()).filter(|&kind| left[kind] > 0);
        let opener = match &mut whim {
            Some(whim) => {
                let kinds: Vec<usize> = open.take(whim.openers).collect();
                let drawn = whim.random.random_range(0..kinds.len().max(1));
                kinds.get(drawn).copied()
            }
            None => open.take(1).next(),
        };
        let Some(opener) = opener else {
            return strips;
        };
        let fitting = boxes.kinds[opener].sizes.iter();
        let mut fitting = fitting.filter(|size| size[0] <= boxes.across);
        // Short, or sometimes narrow.
        let is_narrow = whim.as_mut().is_some_and(|whim| whim.random.random());
        let size = if is_narrow {
            fitting.next_back()
        } else {
            fitting.next()
        };
        let Some(&size) = size else {
            return strips;
        };
        left[opener] -= 1;
        let along = size[1];
        let mut columns = vec![Tree::Piece { kind: opener, size }];
        let mut rest = boxes.across - size[0];
        while let Some(column) = column(boxes, &mut left, [rest, along], first, &mut whim) {
            rest -= column.size()[0];
            columns.push(column);
        }
        strips.push(Tree::of(CutDirection::Along, columns));
    }
}

/// A column of what fits into this room.
fn column(
    boxes: &Boxes<'_>,
    left: &mut [u32],
    room: Size,
    first: usize,
    whim: &mut Option<Whim<'_>>,
) -> Option<Tree> {
    let (kind, size) = fitting(boxes, left, room, first, whim)?;
    left[kind] -= 1;
    let mut pieces = vec![Tree::Piece { kind, size }];
    let mut rest = [size[0], room[1] - size[1]];
    while let Some((kind, size)) = fitting(boxes, left, rest, first, whim) {
        left[kind] -= 1;
        pieces.push(Tree::Piece { kind, size });
        rest[1] -= size[1];
    }
    Some(Tree::of(CutDirection::Across, pieces))
}

/// The longest box that fits, in the widest way it does.
fn fitting(
    boxes: &Boxes<'_>,
    left: &[u32],
    room: Size,
    first: usize,
    whim: &mut Option<Whim<'_>>,
) -> Option<(usize, Size)> {
    for (kind, &count) in left.iter().enumerate().skip(first) {
        let sizes = &boxes.kinds[kind].sizes;
        let fits = |size: &&Size| size[0] <= room[0] && size[1] <= room[1];
        let size = (count > 0).then(|| sizes.iter().rfind(fits)).flatten();
        if let Some(&size) = size {
            let is_passed = whim
                .as_mut()
                .is_some_and(|whim| whim.random.random_range(0..whim.passed) == 0);
            if !is_passed {
                return Some((kind, size));
            }
        }
    }
    None
}
