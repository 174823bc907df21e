//! Is this marker valid? Exact, and on its own: no code is shared with what made the marker.
//!
//! Every outline is cut into convex parts (ear clipping, in `parts`). Two convex parts keep their
//! interiors apart exactly if the line through an edge of one of them separates them, which is a
//! handful of exact orientation tests. Pairs come from a sweep along the cloth over upright boxes.
//! Spacing is a comparison of squares in integers, in `distance`. Touching is fine: pieces share
//! cut lines. Why this way: a checker has to be short and dull enough to be believed, so it knows no
//! no-fit polygons and no solver.
//!
//! [`outlines`] works from bare outlines, as they stand in an answer file; [`marker`] also checks
//! what only the problem knows: turns, mirrors, garments and copies. Neither ever passes a marker
//! that breaks a rule; floats only choose the place that a message points at.

mod cuts;
mod distance;
mod parts;
mod print;
mod violation;

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use pieces::{Bounds, Length, Outline, Point};

use crate::problem::{Cloth, Marker, Problem, Turn};
pub use cuts::{boxes_parted, cuts};
use distance::nearer_than;
use parts::{Part, conflict_place, convex_parts, interiors_meet};
use print::{Offset, anchored, off_print};
pub use violation::{Named, Rule, Side, Violation};

/// At most this many violations are listed: a heap of ten thousand pieces would give millions.
pub const MOST_VIOLATIONS: usize = 1_000;

/// Coordinates beyond this are refused unseen, so that every difference and product below is exact.
const FAR: u64 = 1 << 60;

/// Do these pieces, as they lie, keep all rules of the cloth?
///
/// Each must lie in `left <= x <= right` and `0 <= y <= length`, with its interior clear of the
/// others and of the `flaws`, and at least `spacing` from the others. The cloth's edges and the
/// flaws need no spacing. Works for any number of pieces.
///
/// # Errors
/// The rules that are broken, by piece or pair, up to [`MOST_VIOLATIONS`].
pub fn outlines(
    pieces: &[&Outline],
    left: Length,
    right: Length,
    length: Length,
    flaws: &[Outline],
    spacing: Length,
) -> Result<(), Vec<Violation>> {
    let cloth = Cloth {
        left,
        right,
        flaws: flaws.to_vec(),
        on_hand: Vec::new(),
        sold: None,
    };
    let mut found = Found::default();
    lying(pieces, None, &cloth, length, spacing, &mut found);
    found.into_result()
}

/// Is `marker` a valid answer to `problem`?
///
/// Checks everything [`outlines`] does, and that every copy of every item is there exactly once, in
/// an allowed turn, turned over only where that is allowed, with one turn per garment, and that
/// the marker's length is the greatest y of any piece.
///
/// # Errors
/// The rules that are broken, by piece or pair, up to [`MOST_VIOLATIONS`]. Pieces are counted in the
/// order of the marker's placements.
pub fn marker(problem: &Problem, marker: &Marker) -> Result<(), Vec<Violation>> {
    let mut found = Found::default();
    let name = |index: usize| Named {
        index,
        label: problem
            .items
            .get(marker.placements[index].item)
            .map(|item| item.label.clone()),
    };
    let mut laid: BTreeMap<(usize, u32), usize> = BTreeMap::new();
    let mut garments: BTreeMap<u32, (usize, Turn)> = BTreeMap::new();
    let mut sets: BTreeMap<u32, (usize, Offset)> = BTreeMap::new();
    let mut known: Vec<usize> = Vec::with_capacity(marker.placements.len());
    for (index, placement) in marker.placements.iter().enumerate() {
        let Some(item) = problem.items.get(placement.item) else {
            found.add(
                Rule::UnknownItem {
                    item: placement.item,
                },
                vec![name(index)],
                None,
            );
            continue;
        };
        let at = Some(placement.at);
        if placement.copy >= item.copies {
            let rule = Rule::TooManyCopies {
                copies: item.copies,
            };
            found.add(rule, vec![name(index)], at);
        }
        if let Some(first) = laid.insert((placement.item, placement.copy), index) {
            let rule = Rule::CopyTwice {
                copy: placement.copy,
            };
            found.add(rule, vec![name(first), name(index)], at);
        }
        if !item.turns.contains(&placement.turn) {
            let rule = Rule::Turned {
                turn: placement.turn,
                allowed: item.turns.clone(),
            };
            found.add(rule, vec![name(index)], at);
        }
        if placement.mirrored && !item.may_mirror {
            found.add(Rule::Mirrored, vec![name(index)], at);
        }
        if let Some(garment) = item.garment {
            let (first, turn) = *garments.entry(garment).or_insert((index, placement.turn));
            if turn != placement.turn {
                found.add(
                    Rule::GarmentTurned { garment },
                    vec![name(first), name(index)],
                    at,
                );
            }
        }
        if let Some(anchor) = &item.anchor {
            let place = anchored(placement, anchor);
            let first = anchor
                .set
                .map(|set| *sets.entry(set).or_insert((index, place)));
            if off_print(place, anchor, first.map(|(_, place)| place)) {
                match first {
                    Some((first, _)) if first != index => {
                        found.add(Rule::Unmatched, vec![name(first), name(index)], at);
                    }
                    _ => found.add(Rule::OffPrint, vec![name(index)], at),
                }
            }
        }
        if placement.at.x.unsigned_abs() > FAR || placement.at.y.unsigned_abs() > FAR {
            found.add(Rule::TooFar, vec![name(index)], at);
            continue;
        }
        known.push(index);
    }
    for (number, item) in problem.items.iter().enumerate() {
        let missing = (0..item.copies)
            .filter(|&copy| !laid.contains_key(&(number, copy)))
            .count();
        if missing > 0 {
            let rule = Rule::Missing {
                item: number,
                label: item.label.clone(),
                copies: missing,
            };
            found.add(rule, Vec::new(), None);
        }
    }
    let placed: Vec<Outline> = known
        .iter()
        .map(|&index| problem.placed(&marker.placements[index]))
        .collect();
    let greatest = placed
        .iter()
        .map(|outline| outline.bounds().max.y)
        .max()
        .unwrap_or(0);
    if known.len() == marker.placements.len() && greatest != marker.length.um() {
        let rule = Rule::Length {
            stated: marker.length,
            greatest: Length::from_um(greatest),
        };
        found.add(rule, Vec::new(), None);
    }
    let names: Vec<Named> = known.into_iter().map(name).collect();
    let borrowed: Vec<&Outline> = placed.iter().collect();
    lying(
        &borrowed,
        Some(&names),
        &problem.cloth,
        marker.length,
        problem.spacing,
        &mut found,
    );
    found.into_result()
}

/// What has been found so far.
#[derive(Default)]
struct Found(Vec<Violation>);

impl Found {
    fn add(&mut self, rule: Rule, pieces: Vec<Named>, at: Option<Point>) {
        if !self.is_full() {
            self.0.push(Violation { rule, pieces, at });
        }
    }

    fn is_full(&self) -> bool {
        self.0.len() >= MOST_VIOLATIONS
    }

    fn into_result(self) -> Result<(), Vec<Violation>> {
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(self.0)
        }
    }
}

/// An outline with its box and its convex parts; equal shapes share the parts, which are relative to
/// the first corner.
struct Lying<'a> {
    outline: &'a Outline,
    bounds: Bounds,
    origin: Point,
    parts: Rc<Vec<Part>>,
}

/// Cuts shapes into convex parts, each shape once.
#[derive(Default)]
struct Cutter(HashMap<Outline, Rc<Vec<Part>>>);

impl Cutter {
    fn lying<'a>(&mut self, outline: &'a Outline) -> Lying<'a> {
        let origin = outline.points()[0];
        let shape = outline.moved(Point::new(-origin.x, -origin.y));
        let parts = match self.0.get(&shape) {
            Some(parts) => Rc::clone(parts),
            None => {
                let parts = Rc::new(convex_parts(shape.points()));
                self.0.insert(shape, Rc::clone(&parts));
                parts
            }
        };
        Lying {
            outline,
            bounds: outline.bounds(),
            origin,
            parts,
        }
    }
}

/// The rules that outlines as they lie must keep. Without names, pieces are known by their number.
fn lying(
    outlines: &[&Outline],
    names: Option<&[Named]>,
    cloth: &Cloth,
    length: Length,
    spacing: Length,
    found: &mut Found,
) {
    let name = |index: usize| match names {
        Some(names) => names[index].clone(),
        None => Named { index, label: None },
    };
    let mut cutter = Cutter::default();
    let mut pieces: Vec<(usize, Lying<'_>)> = Vec::with_capacity(outlines.len());
    for (index, outline) in outlines.iter().enumerate() {
        let bounds = outline.bounds();
        if [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y]
            .iter()
            .any(|c| c.unsigned_abs() > FAR)
        {
            found.add(Rule::TooFar, vec![name(index)], None);
            continue;
        }
        for (side, by) in [
            (Side::Left, cloth.left.um().saturating_sub(bounds.min.x)),
            (Side::Right, bounds.max.x.saturating_sub(cloth.right.um())),
            (Side::Start, bounds.min.y.saturating_neg()),
            (Side::End, bounds.max.y.saturating_sub(length.um())),
        ] {
            if by > 0 {
                let rule = Rule::Outside {
                    side,
                    by: Length::from_um(by),
                };
                found.add(
                    rule,
                    vec![name(index)],
                    Some(side.farthest(outline.points())),
                );
            }
        }
        pieces.push((index, cutter.lying(outline)));
    }
    pieces.sort_by_key(|(index, piece)| (piece.bounds.min.y, *index));
    for (k, (i, piece)) in pieces.iter().enumerate() {
        if found.is_full() {
            return;
        }
        for (j, other) in &pieces[k + 1..] {
            if other.bounds.min.y >= piece.bounds.max.y.saturating_add(spacing.um()) {
                break;
            }
            if let Some((rule, at)) = pair(piece, other, spacing) {
                found.add(rule, vec![name(*i.min(j)), name(*i.max(j))], Some(at));
            }
        }
    }
    for (number, flaw) in cloth.flaws.iter().enumerate() {
        let flaw = cutter.lying(flaw);
        for (index, piece) in &pieces {
            if let Some((_, at)) = pair(piece, &flaw, Length::ZERO) {
                found.add(Rule::OnFlaw { flaw: number }, vec![name(*index)], Some(at));
            }
        }
    }
}

/// What two outlines do wrong to each other, and where.
fn pair(a: &Lying<'_>, b: &Lying<'_>, spacing: Length) -> Option<(Rule, Point)> {
    let gap = spacing.um().max(0);
    if !boxes_meet(a.bounds, b.bounds, gap) {
        return None;
    }
    if boxes_meet(a.bounds, b.bounds, 0) {
        for part in a.parts.iter() {
            let part = part.moved(a.origin);
            if !boxes_meet(part.bounds, b.bounds, 0) {
                continue;
            }
            for other in b.parts.iter() {
                let other = other.moved(b.origin);
                if boxes_meet(part.bounds, other.bounds, 0)
                    && interiors_meet(&part.corners, &other.corners)
                {
                    return Some((Rule::Overlap, conflict_place(&part.corners, &other.corners)));
                }
            }
        }
    }
    if gap > 0 {
        let at = nearer_than(a.outline, b.outline, gap)?;
        return Some((Rule::TooClose { spacing }, at));
    }
    None
}

/// True if the open boxes, one of them widened by `gap`, share a point.
fn boxes_meet(a: Bounds, b: Bounds, gap: i64) -> bool {
    a.min.x < b.max.x + gap
        && b.min.x < a.max.x + gap
        && a.min.y < b.max.y + gap
        && b.min.y < a.max.y + gap
}

#[cfg(test)]
mod tests;
