//! Where nothing refuses a length, the search over places may know how the pieces lie on it.
//!
//! Source: own; no algorithm, it only hands on what `exact` finds.

use pieces::{Outline, Point};

use super::apart::Distances;
use super::kinds::Kind;
use crate::exact::{Asker, Spot};
use crate::problem::Problem;

/// A copy, nearly where it may lie.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Lying {
    /// The items it may be a copy of.
    pub items: Vec<usize>,
    /// As it lies, the corner of its box at (0, 0).
    pub outline: Outline,
    /// That corner on the cloth.
    pub at: Point,
}

/// Who wants a layout.
pub(crate) struct Layer<'l> {
    /// Whether one can be made of this.
    pub can_lay: &'l (dyn Fn(&[Lying]) -> bool + Sync),
    /// Whether to give up.
    pub stop: &'l (dyn Fn() -> bool + Sync),
    pub threads: usize,
}

/// How often a way to search may end where no layout can be made.
pub(super) const PATIENCE: u32 = 20;

impl Layer<'_> {
    pub fn asker<'j>(
        &'j self,
        problem: &'j Problem,
        kinds: &'j [Kind],
        distances: &'j Distances,
    ) -> ForLayer<'j> {
        ForLayer {
            layer: self,
            problem,
            kinds,
            distances,
        }
    }
}

/// Asks the search over places for a layout.
pub(crate) struct ForLayer<'j> {
    layer: &'j Layer<'j>,
    problem: &'j Problem,
    kinds: &'j [Kind],
    distances: &'j Distances,
}

impl ForLayer<'_> {
    pub fn lying(&self, spots: &[Spot]) -> Vec<Lying> {
        let left = self.problem.cloth.left.um();
        let lying = |spot: &Spot| {
            let stance = &self.distances.stances[spot.stance];
            let items = self.kinds[stance.kind].items.iter();
            Lying {
                items: items.map(|&(item, _)| item).collect(),
                outline: stance.outlines[spot.outline].clone(),
                at: Point::new(left + spot.x, spot.y),
            }
        };
        spots.iter().map(lying).collect()
    }
}

impl Asker for ForLayer<'_> {
    fn can_lay(&self, spots: &[Spot]) -> bool {
        (self.layer.can_lay)(&self.lying(spots))
    }

    fn patience(&self) -> u32 {
        PATIENCE
    }

    fn stop(&self) -> bool {
        (self.layer.stop)()
    }
}
