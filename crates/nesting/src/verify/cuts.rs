//! Do straight cuts part a marker's pieces? Followed cut by cut, as a person would.
//!
//! The cloth is a list of parts, at first what the first cut takes off. Every cut must run from edge to edge
//! of a part, between pieces, and keep half of the spacing from each; at the end no part may hold two, nor much more than its piece: what is kept free
//! around it, and at each side less than a sliver more ([`crate::problem::sliver`]).

use pieces::{Bounds, Cutting, Length, Point};

use super::violation::{Named, Rule, Violation};
use crate::problem::{Cut, CutDirection, Marker, Problem, sliver};

/// Parts by turns of direction: for tearing, across the cloth first, then along, then across, and then along only
/// where one side is waste.
const TEARS: u32 = 3;

struct Part {
    bounds: Bounds,
    /// Placements by number.
    pieces: Vec<usize>,
    /// How often the direction has changed; the direction of the last cut.
    stage: u32,
    last: CutDirection,
}

/// Do these cuts, in this order, part all pieces of the marker from each other, in the way that is asked
/// for?
///
/// The first must run across the cloth at the marker's length. Pieces count as their boxes.
///
/// # Errors
/// The first rule that is broken.
pub fn cuts(problem: &Problem, marker: &Marker, cuts: &[Cut]) -> Result<(), Vec<Violation>> {
    let boxes: Vec<Bounds> = marker
        .placements
        .iter()
        .map(|placement| problem.placed(placement).bounds())
        .collect();
    let (left, right) = (problem.cloth.left, problem.cloth.right);
    let left_on = (problem.spacing, sliver(problem.marking_step));
    boxes_parted(
        &boxes,
        [left, right],
        marker.length,
        cuts,
        (problem.cutting, left_on),
    )
}

/// The same for boxes, as they stand in an answer file; pieces are counted in their order. How they are cut, the spacing, and
/// what need not be taken off if it is narrower.
///
/// # Errors
/// The first rule that is broken.
pub fn boxes_parted(
    boxes: &[Bounds],
    [left, right]: [Length; 2],
    length: Length,
    cuts: &[Cut],
    (cutting, (spacing, sliver)): (Cutting, (Length, Length)),
) -> Result<(), Vec<Violation>> {
    let refused = |rule: Rule, pieces: &[usize], at: Option<Point>| {
        let named = |&index: &usize| Named { index, label: None };
        Err(vec![Violation {
            rule,
            pieces: pieces.iter().map(named).collect(),
            at,
        }])
    };
    let whole = Cut {
        direction: CutDirection::Across,
        at: length,
        from: left,
        to: right,
    };
    if cuts.first() != Some(&whole) {
        return refused(Rule::NotCutOff, &[], None);
    }
    let mut parts = vec![Part {
        bounds: Bounds {
            min: Point::new(left.um(), 0),
            max: Point::new(right.um(), length.um()),
        },
        pieces: (0..boxes.len()).collect(),
        stage: 1,
        last: CutDirection::Across,
    }];
    for (number, cut) in cuts.iter().enumerate().skip(1) {
        let rule = |rule: fn(usize) -> Rule| rule(number + 1);
        let place = match cut.direction {
            CutDirection::Across => Point::new(cut.from.um(), cut.at.um()),
            CutDirection::Along => Point::new(cut.at.um(), cut.from.um()),
        };
        let Some(index) = parts.iter().position(|part| spans(&part.bounds, cut)) else {
            return refused(
                rule(|cut| Rule::CutNotFromEdgeToEdge { cut }),
                &[],
                Some(place),
            );
        };
        let part = parts.swap_remove(index);
        let at = cut.at.um();
        let side = |piece: &&usize| match cut.direction {
            CutDirection::Across => (boxes[**piece].min.y, boxes[**piece].max.y),
            CutDirection::Along => (boxes[**piece].min.x, boxes[**piece].max.x),
        };
        let crossed = part.pieces.iter().find(|piece| {
            let (low, high) = side(piece);
            low < at && at < high
        });
        if let Some(&piece) = crossed {
            let rule = rule(|cut| Rule::CutThrough { cut });
            return refused(rule, &[piece], Some(place));
        }
        // A cut in the middle of what is kept free leaves half of it on both sides.
        let half = spacing.um() / 2;
        let near = part.pieces.iter().find(|piece| {
            let (low, high) = side(piece);
            high <= at && at - high < half || low >= at && low - at < half
        });
        if let Some(&piece) = near {
            let rule = rule(|cut| Rule::CutTooNear { cut });
            return refused(rule, &[piece], Some(place));
        }
        let (before, behind): (Vec<usize>, Vec<usize>) =
            part.pieces.iter().partition(|piece| side(piece).1 <= at);
        let stage = part.stage + u32::from(part.last != cut.direction);
        let is_trim = before.is_empty() || behind.is_empty();
        let most = if is_trim { TEARS + 1 } else { TEARS };
        if cutting == Cutting::Tear && stage > most {
            return refused(rule(|cut| Rule::CutNoTear { cut }), &[], Some(place));
        }
        let [mut one, mut other] = [part.bounds; 2];
        match cut.direction {
            CutDirection::Across => (one.max.y, other.min.y) = (at, at),
            CutDirection::Along => (one.max.x, other.min.x) = (at, at),
        }
        for (bounds, pieces) in [(one, before), (other, behind)] {
            parts.push(Part {
                bounds,
                pieces,
                stage,
                last: cut.direction,
            });
        }
    }
    if let Some(part) = parts.iter().find(|part| part.pieces.len() > 1) {
        return refused(Rule::NotParted, &part.pieces[..2], None);
    }
    // Cuts run in the middle of what is kept free, and no more than that and a sliver is left at the far sides.
    let most = 2 * spacing.um() + (sliver.um() - 1).max(0);
    let is_large = |part: &&Part| {
        part.pieces.iter().any(|&piece| {
            let (inner, outer) = (boxes[piece], part.bounds);
            let sides = [
                inner.min.x - outer.min.x,
                inner.min.y - outer.min.y,
                outer.max.x - inner.max.x,
                outer.max.y - inner.max.y,
            ];
            sides.into_iter().any(|side| side > most)
        })
    };
    match parts.iter().find(is_large) {
        Some(part) => refused(Rule::NotTrimmed, &part.pieces, None),
        None => Ok(()),
    }
}

/// True if the cut runs from edge to edge of the part, through its inside.
fn spans(part: &Bounds, cut: &Cut) -> bool {
    let [at, from, to] = [cut.at, cut.from, cut.to].map(Length::um);
    let Bounds { min, max } = part;
    match cut.direction {
        CutDirection::Across => from == min.x && to == max.x && min.y < at && at < max.y,
        CutDirection::Along => from == min.y && to == max.y && min.x < at && at < max.x,
    }
}
