//! A layout taken apart again: its tree, so that a search can go on from it.

use std::collections::BTreeMap;

use super::boxes::{Boxes, Size};
use super::tree::Tree;
use crate::constructive::PieceId;
use crate::problem::{CutDirection, Marker};
use pieces::{Cutting, Length, Point};

/// Cuts across, along and across again, where the cloth is torn.
const TEARS: usize = 3;

struct Laid {
    kind: usize,
    size: Size,
    at: Point,
}

/// The tree of a marker; `None` where no cuts of the kind asked for part its boxes with the spacing around them, or a
/// piece lies as none does in trees.
#[must_use]
pub fn tree_of(boxes: &Boxes<'_>, marker: &Marker) -> Option<Tree> {
    let kinds = boxes.kinds.iter().enumerate();
    let kinds = kinds.flat_map(|(kind, of)| of.pieces.iter().map(move |&piece| (piece, kind)));
    let kinds: BTreeMap<PieceId, usize> = kinds.collect();
    let laid = marker.placements.iter().map(|placement| {
        let piece = PieceId {
            item: placement.item,
            copy: placement.copy,
        };
        let bounds = boxes.placed(placement).bounds();
        let grown = |length: Length| length.um() + boxes.spacing();
        let size = [grown(bounds.across()), grown(bounds.along())];
        boxes.way(piece, size)?;
        Some(Laid {
            kind: *kinds.get(&piece)?,
            size,
            at: bounds.min,
        })
    });
    let levels = match boxes.cutting {
        Cutting::Tear => TEARS,
        _ => usize::MAX,
    };
    let laid = laid.collect::<Option<Vec<Laid>>>()?;
    parted(laid, CutDirection::Across, levels, false)
}

/// Of these boxes by cuts that first run this way, on so many levels; `is_whole` if no cut the other way parts them.
fn parted(mut laid: Vec<Laid>, cuts: CutDirection, levels: usize, is_whole: bool) -> Option<Tree> {
    if let [Laid { kind, size, .. }] = laid[..] {
        return Some(Tree::Piece { kind, size });
    }
    if levels == 0 {
        return None;
    }
    let other = match cuts {
        CutDirection::Across => CutDirection::Along,
        CutDirection::Along => CutDirection::Across,
    };
    let span = |laid: &Laid| match cuts {
        CutDirection::Across => (laid.at.y, laid.at.y + laid.size[1]),
        CutDirection::Along => (laid.at.x, laid.at.x + laid.size[0]),
    };
    laid.sort_by_key(span);
    let mut parts: Vec<Vec<Laid>> = Vec::new();
    let mut end = i64::MIN;
    for one in laid {
        let (from, to) = span(&one);
        match parts.last_mut() {
            Some(part) if from < end => part.push(one),
            _ => parts.push(vec![one]),
        }
        end = end.max(to);
    }
    if parts.len() < 2 {
        let all = parts.pop().filter(|_| !is_whole)?;
        return parted(all, other, levels - 1, true);
    }
    let parts = parts.into_iter();
    let parts = parts.map(|part| parted(part, other, levels - 1, true));
    Some(Tree::of(cuts, parts.collect::<Option<Vec<Tree>>>()?))
}
