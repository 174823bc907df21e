//! What is known before a search: what an earlier one came to, looked at again and then gone on from.
//!
//! An earlier layout is the first that shorter ones are measured by, and an earlier bound the first that all
//! questions begin at, so that the work goes to what was left open. Both come from outside, so neither is used unless
//! [`crate::verify`] and [`bound::recheck`] say that it holds; that comes on top of the budget. If nothing shorter is
//! found, the earlier marker is given back as it was, unless more of it can be put on the marking step.

use std::cmp::Reverse;

use pieces::Cutting;

use super::Run;
use super::proof::is_same;
use crate::bound;
use crate::constructive::{Laid, Layout, PieceId};
use crate::problem::{Cut, Marker, Placement, Problem};
use crate::shapes::Variant;
use crate::verdict::{Argument, Bound, Snap};
use crate::verify;

/// Name of the engine for a marker that is given back.
pub(super) const EARLIER: &str = "earlier";

/// What an earlier search came to. Need not be true: what does not hold is left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    /// A marker.
    pub marker: Marker,
    /// Where pieces are cut out by straight cuts, those that part it, in order; else none.
    pub cuts: Vec<Cut>,
    /// No marker is shorter.
    pub bound: Bound,
}

/// What of it holds.
#[derive(Clone, Debug, Default)]
pub(super) struct Held {
    pub marker: Option<Marker>,
    /// Of the marker.
    pub cuts: Vec<Cut>,
    pub bound: Option<Bound>,
}

impl Held {
    pub fn of(problem: &Problem, known: &Known) -> Self {
        let Known {
            marker,
            cuts,
            bound,
        } = known;
        let is_parted =
            || problem.cutting == Cutting::Free || verify::cuts(problem, marker, cuts).is_ok();
        let is_valid = verify::marker(problem, marker).is_ok() && is_parted();
        Held {
            marker: is_valid.then(|| in_order(marker)),
            cuts: if is_valid { cuts.clone() } else { Vec::new() },
            bound: holds(problem, bound).then(|| bound.clone()),
        }
    }

    /// What it says of pieces that are cut out freely.
    pub fn freely(&self) -> Self {
        let bound = self.bound.clone();
        Held {
            marker: self.marker.clone(),
            cuts: Vec::new(),
            bound: bound.filter(|bound| !is_of_straight_cuts(bound)),
        }
    }

    /// The greater bound; the one given where they are alike.
    pub fn greater(&self, bound: Bound) -> Bound {
        match &self.bound {
            Some(known) if known.length > bound.length => known.clone(),
            _ => bound,
        }
    }
}

/// A bound of pieces that are cut straight either speaks of such cuts, or of pieces that are cut out freely.
fn holds(problem: &Problem, bound: &Bound) -> bool {
    if problem.cutting == Cutting::Free || is_of_straight_cuts(bound) {
        return bound::recheck(problem, bound);
    }
    let free = Problem {
        cutting: Cutting::Free,
        ..problem.clone()
    };
    bound::recheck(&free, bound)
}

pub(super) fn is_of_straight_cuts(bound: &Bound) -> bool {
    matches!(bound.argument, Argument::EveryStraightCut)
}

fn in_order(marker: &Marker) -> Marker {
    let mut marker = marker.clone();
    marker.placements.sort_by_key(|p| (p.item, p.copy));
    marker
}

impl Run<'_> {
    /// The earlier marker as a layout, if each piece of it lies in a way that is searched.
    pub(super) fn earlier_layout(&self) -> Option<Layout> {
        let lay = |placement: &Placement| {
            Some(Laid {
                piece: PieceId {
                    item: placement.item,
                    copy: placement.copy,
                },
                variant: *self.variant_of(placement)?,
                at: self.problem.placed(placement).bounds().min,
            })
        };
        let laid = self.earlier?.placements.iter().map(lay);
        let laid = laid.collect::<Option<Vec<Laid>>>()?;
        Some(Layout::of(self.shapes, laid))
    }

    /// The way to lay it, or one that looks the same.
    fn variant_of(&self, placement: &Placement) -> Option<&Variant> {
        let item = &self.problem.items[placement.item];
        let variants = &self.shapes.variants[placement.item];
        let exact = |v: &&Variant| (v.turn, v.mirrored) == (placement.turn, placement.mirrored);
        let outline = self.problem.placed(placement);
        let alike = |v: &&Variant| {
            let other = Placement {
                turn: v.turn,
                mirrored: v.mirrored,
                ..*placement
            };
            (item.garment.is_none() || v.turn == placement.turn)
                && is_same(&outline, &self.problem.placed(&other))
        };
        let exact = variants.iter().find(exact);
        exact.or_else(|| variants.iter().find(alike))
    }

    /// The earlier marker, unless this one is shorter, or as long and more of it on the marking step.
    pub(super) fn earlier_unless_better(&self, marker: &Marker) -> Option<Marker> {
        let rank = |marker: &Marker| {
            let snap = Snap::of(self.problem, marker);
            (marker.length, Reverse(snap.on_step))
        };
        let earlier = self.earlier?;
        (rank(earlier) <= rank(marker)).then(|| earlier.clone())
    }
}
