//! What is refused before any search: a job that can't be laid, or not computed exactly.

use std::collections::HashMap;

use pieces::Length;

use super::PlanError;
use crate::bound;
use crate::problem::{Item, Lattice, Problem};

/// Coordinates stay below this (4,000 km of cloth), far within what the exact arithmetic carries.
const FARTHEST: i64 = 1 << 42;

/// Everything fits in some turn, and nothing leaves the exact range.
pub(super) fn check(problem: &Problem) -> Result<(), PlanError> {
    if problem.piece_count() == 0 {
        return Err(PlanError::Empty);
    }
    let no_turn = |spec: &&Item| spec.copies > 0 && spec.turns.is_empty();
    if let Some(spec) = problem.items.iter().find(no_turn) {
        return Err(PlanError::NoTurn {
            label: spec.label.clone(),
        });
    }
    check_cloth(problem)?;
    if let Some(wide) = bound::too_wide(problem).first() {
        return Err(PlanError::TooWide {
            item: wide.item,
            label: problem.items[wide.item].label.clone(),
            across: wide.across,
            usable: problem.cloth.usable_width(),
        });
    }
    check_anchors(problem)?;
    let stacked: i128 = problem
        .items
        .iter()
        .map(|spec| {
            let bounds = spec.outline.bounds();
            let longest = bounds.across().max(bounds.along()) + problem.spacing;
            let print = spec.anchor.map_or(0, |anchor| anchor.lattice.along.um());
            (i128::from(longest.um()) + i128::from(print)) * i128::from(spec.copies)
        })
        .sum();
    if stacked > i128::from(FARTHEST) {
        Err(PlanError::TooLong)
    } else {
        Ok(())
    }
}

/// Its sides, its flaws, and what is kept free on it.
fn check_cloth(problem: &Problem) -> Result<(), PlanError> {
    let cloth = &problem.cloth;
    let corners = cloth.flaws.iter().flat_map(|flaw| flaw.points());
    let lengths = [cloth.left, cloth.right, problem.spacing];
    let step = problem.marking_step.map(Length::um);
    let mut all = corners
        .flat_map(|corner| [corner.x, corner.y])
        .chain(lengths.map(Length::um))
        .chain(step);
    if all.any(|v| v.unsigned_abs() > FARTHEST.unsigned_abs()) {
        Err(PlanError::TooLong)
    } else {
        Ok(())
    }
}

/// No print repeats within less than this, micrometres.
const FINEST: i64 = 100;

/// Columns of a print that may be level at different heights.
const MOST_COLUMNS: u32 = 64;

/// Lattices are lattices, and those of a set repeat alike.
fn check_anchors(problem: &Problem) -> Result<(), PlanError> {
    let mut sets: HashMap<u32, Lattice> = HashMap::new();
    for item in &problem.items {
        let Some(anchor) = item.anchor else { continue };
        let Lattice {
            start,
            across,
            along,
            columns,
        } = anchor.lattice;
        let label = item.label.clone();
        let is_lattice = |period: Length| period == Length::ZERO || period.um() >= FINEST;
        if !is_lattice(across) || !is_lattice(along) || columns > MOST_COLUMNS {
            return Err(PlanError::NoLattice { label });
        }
        let far = [start.x, start.y, anchor.point.x, anchor.point.y];
        let is_far = |v: i64| v.unsigned_abs() > FARTHEST.unsigned_abs();
        if far.into_iter().chain([across.um(), along.um()]).any(is_far) {
            return Err(PlanError::TooLong);
        }
        let period = |l: &Lattice| (l.across, l.along, l.columns.max(1));
        if let Some(set) = anchor.set {
            let first = *sets.entry(set).or_insert(anchor.lattice);
            if period(&first) != period(&anchor.lattice) {
                return Err(PlanError::NoMatch { label });
            }
        }
    }
    Ok(())
}
