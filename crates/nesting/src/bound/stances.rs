//! [`Stance`]: a kind in one of its ways, one end up; and the shapes its copies may have in it.

use pieces::{Outline, Point};

use super::grown::Grown;
use super::kinds::{Kind, Way};
use super::profile::Profile;
use crate::problem::{Problem, Turn};

/// One way a kind may lie, one end up.
pub(super) struct Stance {
    /// Index of the kind.
    pub kind: usize,
    /// Section widths of one, grown.
    pub profile: Profile,
    /// The shapes that copies may have, not grown, the corner of their box at (0, 0).
    pub outlines: Vec<Outline>,
}

impl Stance {
    /// Of all kinds, in their order.
    pub fn all(problem: &Problem, kinds: &[Kind], grown: Grown) -> Vec<Stance> {
        let mut all = Vec::new();
        for (number, kind) in kinds.iter().enumerate() {
            for way in &kind.ways {
                let reversed = way.both_ends.then(|| way.profile.reversed());
                for profile in std::iter::once(way.profile.clone()).chain(reversed) {
                    all.push(Stance {
                        kind: number,
                        outlines: outlines(problem, kind, way, &profile, grown),
                        profile,
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

/// Every shape in which a copy has this profile.
fn outlines(
    problem: &Problem,
    kind: &Kind,
    way: &Way,
    profile: &Profile,
    grown: Grown,
) -> Vec<Outline> {
    let mut all: Vec<Outline> = Vec::new();
    for &(item, _) in &kind.items {
        let item = &problem.items[item];
        for &turn in &item.turns {
            let is_sideways = matches!(turn, Turn::Quarter | Turn::ThreeQuarters);
            let turned = item.outline.turned(turn.quarters());
            if is_sideways != way.is_sideways || grown.profile(&turned) != *profile {
                continue;
            }
            let mirrored = item.may_mirror.then(|| turned.mirrored());
            for outline in std::iter::once(turned).chain(mirrored) {
                let min = outline.bounds().min;
                let outline = outline.moved(Point::new(-min.x, -min.y));
                if !all.contains(&outline) {
                    all.push(outline);
                }
            }
        }
    }
    all
}
