//! [`Stance`]: a kind in one of its ways, one end up; and the shapes its copies may have in it.

use std::collections::BTreeSet;

use pieces::{Outline, Point};

use super::grown::Grown;
use super::kinds::{Kind, Way};
use super::profile::Profile;
use crate::problem::{Problem, Turn};

/// One way a kind may lie, one end up.
pub(crate) struct Stance {
    /// Index of the kind.
    pub kind: usize,
    /// Section widths of one, grown.
    pub profile: Profile,
    /// The shapes that copies may have, not grown, the corner of their box at (0, 0).
    pub outlines: Vec<Outline>,
    /// The turns in which they have them.
    pub turns: Turns,
}

/// A set of turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Turns(u8);

impl Turns {
    pub const NONE: Turns = Turns(0);
    pub const ALL: Turns = Turns(0b1111);

    #[must_use]
    pub fn and(self, turn: Turn) -> Turns {
        Turns(self.0 | 1 << turn.quarters())
    }

    /// Those in both.
    #[must_use]
    pub fn common(self, other: Turns) -> Turns {
        Turns(self.0 & other.0)
    }

    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// In order.
    pub fn all(self) -> Vec<Turn> {
        let is_in = |turn: &Turn| self.0 >> turn.quarters() & 1 == 1;
        Turn::ALL.into_iter().filter(is_in).collect()
    }

    /// All turned end for end.
    #[must_use]
    pub fn reversed(self) -> Turns {
        Turns((self.0 << 2 | self.0 >> 2) & Turns::ALL.0)
    }
}

impl Stance {
    /// Whose copies may lie so.
    pub fn items(&self, kinds: &[Kind]) -> Vec<usize> {
        let items = kinds[self.kind].items.iter();
        items.map(|&(item, _)| item).collect()
    }

    /// Of all kinds, in their order.
    pub fn all(problem: &Problem, kinds: &[Kind], grown: Grown) -> Vec<Stance> {
        let mut all = Vec::new();
        for (number, kind) in kinds.iter().enumerate() {
            for way in &kind.ways {
                let reversed = way.both_ends.then(|| way.profile.reversed());
                for profile in std::iter::once(way.profile.clone()).chain(reversed) {
                    let (outlines, turns) = outlines(problem, kind, way, &profile, grown);
                    all.push(Stance {
                        kind: number,
                        outlines,
                        profile,
                        turns,
                    });
                }
            }
        }
        all
    }

    /// How wide its box is at least.
    pub fn across(&self) -> i64 {
        let across = self.outlines.iter().map(|o| o.bounds().across().um());
        across.min().unwrap_or(0)
    }

    /// How long it is, grown.
    pub fn along(&self) -> i64 {
        self.profile.height()
    }
}

/// What each stance becomes when the whole cloth is turned end for end; `None` if that is not allowed for all.
pub(crate) fn end_for_end(stances: &[Stance]) -> Option<Vec<usize>> {
    let turned = |stance: &Stance| -> BTreeSet<Vec<Point>> {
        let outlines = stance.outlines.iter();
        outlines
            .map(|outline| corners(&outline.turned(2)))
            .collect()
    };
    let same =
        |stance: &Stance| -> BTreeSet<Vec<Point>> { stance.outlines.iter().map(corners).collect() };
    let other = |stance: &Stance| {
        let (profile, outlines) = (stance.profile.reversed(), turned(stance));
        stances.iter().position(|other| {
            other.kind == stance.kind
                && other.profile == profile
                && other.turns == stance.turns.reversed()
                && same(other) == outlines
        })
    };
    stances.iter().map(other).collect()
}

/// The corners of an outline from the least one on, its box at (0, 0): equal for equal shapes.
fn corners(outline: &Outline) -> Vec<Point> {
    let min = outline.bounds().min;
    let mut points: Vec<Point> = outline.points().iter().map(|p| p.minus(min)).collect();
    let least = (0..points.len()).min_by_key(|&i| points[i]).unwrap_or(0);
    points.rotate_left(least);
    points
}

/// Every shape in which a copy has this profile, and in which turns.
fn outlines(
    problem: &Problem,
    kind: &Kind,
    way: &Way,
    profile: &Profile,
    grown: Grown,
) -> (Vec<Outline>, Turns) {
    let mut all: Vec<Outline> = Vec::new();
    let mut turns = Turns::NONE;
    for &(item, _) in &kind.items {
        let item = &problem.items[item];
        for &turn in &item.turns {
            let is_sideways = matches!(turn, Turn::Quarter | Turn::ThreeQuarters);
            let turned = item.outline.turned(turn.quarters());
            // Growing along is not the same from both ends where the widest section comes twice.
            let has_profile = || {
                let from_above = grown.profile(&turned.turned(2)).reversed();
                grown.profile(&turned) == *profile || from_above == *profile
            };
            if is_sideways != way.is_sideways || !has_profile() {
                continue;
            }
            turns = turns.and(turn);
            let mirrored = item.may_mirror.then(|| turned.mirrored());
            for outline in std::iter::once(turned).chain(mirrored) {
                let min = outline.bounds().min;
                let outline = outline.moved(Point::new(-min.x, -min.y));
                if all.iter().all(|known| corners(known) != corners(&outline)) {
                    all.push(outline);
                }
            }
        }
    }
    // In an order that whoever checks an argument about them has as well.
    all.sort_by_key(corners);
    (all, turns)
}
