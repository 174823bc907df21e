//! From a layout to a marker that has passed the check.

use pieces::Length;

use super::{PlanError, Run};
use crate::constructive::board::Regions;
use crate::constructive::{Laid, Layout};
use crate::garments::Garments;
use crate::polish::snapped;
use crate::problem::{Marker, Placement, Problem};
use crate::shapes::{Detail, Shapes};
use crate::verify;

impl Run<'_> {
    /// The layout as a marker that has passed the check: on the marking step if it passes so, as it was if
    /// not.
    pub(super) fn marker(&self, layout: Layout) -> Result<Marker, PlanError> {
        if let Some(step) = self.problem.marking_step {
            let mut regions = Regions::new(self.problem, self.shapes, Detail::Fine);
            let plain = layout.clone();
            let stop = || self.stopped();
            let on_step = snapped(self.problem, self.shapes, &mut regions, plain, step, &stop);
            let marker = to_marker(self.problem, self.shapes, &on_step);
            if verify::marker(self.problem, &marker).is_ok() {
                return Ok(marker);
            }
        }
        let marker = to_marker(self.problem, self.shapes, &layout);
        match verify::marker(self.problem, &marker) {
            Ok(()) => Ok(marker),
            Err(violations) => {
                let first = violations.first().map(ToString::to_string);
                Err(PlanError::Unverified(first.unwrap_or_default()))
            }
        }
    }
}

/// The layout as placements of items; nothing is checked.
pub(crate) fn to_marker(problem: &Problem, shapes: &Shapes, layout: &Layout) -> Marker {
    let garments = Garments::of(problem, shapes, &layout.laid);
    let place = |laid: &Laid| {
        let variant = garments.settled(problem, shapes, laid);
        Placement {
            item: laid.piece.item,
            copy: laid.piece.copy,
            turn: variant.turn,
            mirrored: variant.mirrored,
            at: laid.at.minus(variant.corner),
        }
    };
    let mut placements: Vec<Placement> = layout.laid.iter().map(place).collect();
    placements.sort_by_key(|p| (p.item, p.copy));
    Marker {
        placements,
        length: Length::from_um(layout.length),
    }
}
