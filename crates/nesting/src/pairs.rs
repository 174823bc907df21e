//! No-fit regions of pairs of shapes, each made once for a pair of base outlines and their relative turn.
//!
//! Turn both pieces of a pair and their region turns with them; let them change roles and it is turned end
//! for end. So of the region of each two bases, at most four are computed, one for each turn of the second
//! against the first, and every other is one of these turned and moved. Exact.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use pieces::Point;

use crate::geometry::{NoFit, clearance};
use crate::problem::Problem;
use crate::shapes::{Detail, Pose, ShapeId, Shapes};

/// Corners of regions kept at most, some 100 MB; beyond that all are forgotten and made again as needed.
const MOST_CORNERS: usize = 4_000_000;

/// How a region is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Parts {
    /// By the sums of all parts: made at once.
    All,
    /// By [few parts](NoFit::with_fewer_parts): worth the time where the region is asked often.
    Few,
}

/// Two bases, the lesser first, and the quarters by which the second is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Key {
    fixed: ShapeId,
    moving: ShapeId,
    quarters: u8,
    detail: Detail,
    parts: Parts,
    /// Micrometres.
    spacing: i64,
}

/// The regions of bases that have been made, for all who look for a layout of the same shapes.
#[derive(Debug, Default)]
pub struct Known(Mutex<Made>);

#[derive(Debug, Default)]
struct Made {
    regions: HashMap<Key, Arc<NoFit>>,
    corners: usize,
}

impl Known {
    fn made(&self) -> MutexGuard<'_, Made> {
        // What is in it is whole, whoever gave up.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn get(&self, key: Key, make: impl FnOnce() -> NoFit) -> Arc<NoFit> {
        if let Some(known) = self.made().regions.get(&key) {
            return Arc::clone(known);
        }
        // Unlocked, since it may take long: two may make the same.
        let region = Arc::new(make());
        let corners = region.parts.iter().map(|p| p.points.len()).sum();
        let mut made = self.made();
        made.corners += corners;
        if made.corners > MOST_CORNERS {
            made.regions.clear();
            made.corners = corners;
        }
        made.regions.insert(key, Arc::clone(&region));
        region
    }
}

/// Makes regions.
pub struct Pairs<'a> {
    shapes: &'a Shapes,
    detail: Detail,
    spacing: i64,
    clearance: Option<Vec<Point>>,
}

impl<'a> Pairs<'a> {
    /// For the shapes of `problem` and its spacing.
    #[must_use]
    pub fn new(problem: &Problem, shapes: &'a Shapes, detail: Detail) -> Self {
        Pairs {
            shapes,
            detail,
            spacing: problem.spacing.um(),
            clearance: clearance(problem.spacing),
        }
    }

    /// How far the spacing reaches, micrometres.
    #[must_use]
    pub fn reach(&self) -> i64 {
        let corners = self.clearance.iter().flatten();
        corners.map(|p| p.y).max().unwrap_or(0)
    }

    /// Where `moving` may not go, seen from `fixed`.
    #[must_use]
    pub fn region(&self, fixed: ShapeId, moving: ShapeId, parts: Parts) -> NoFit {
        let (still, moved) = (self.pose(fixed), self.pose(moving));
        let by = still.by.minus(moved.by);
        let relative = |from: Pose, to: Pose| (4 + to.quarters - from.quarters) % 4;
        let quarters = relative(still, moved);
        // Of a base against itself, three quarters on is one quarter on with the roles changed.
        let is_direct = still.base < moved.base || still.base == moved.base && quarters < 3;
        if is_direct {
            let region = self.of_bases(still.base, moved.base, quarters, parts);
            region.turned(still.quarters, by)
        } else {
            let region = self.of_bases(moved.base, still.base, relative(moved, still), parts);
            region.turned(moved.quarters + 2, by)
        }
    }

    fn pose(&self, shape: ShapeId) -> Pose {
        self.shapes.shape(shape).pose
    }

    fn of_bases(&self, fixed: ShapeId, moving: ShapeId, quarters: u8, parts: Parts) -> Arc<NoFit> {
        let shape = |base| self.shapes.shape(base);
        let is_simple = shape(fixed).is_simple && shape(moving).is_simple;
        let detail = if is_simple { Detail::Fine } else { self.detail };
        let key = Key {
            fixed,
            moving,
            quarters,
            detail,
            parts,
            spacing: self.spacing,
        };
        self.shapes.known.get(key, || {
            if parts == Parts::Few {
                let all = self.of_bases(fixed, moving, quarters, Parts::All);
                return all.with_fewer_parts();
            }
            let moving = shape(moving).parts(detail).iter();
            let turned = moving.map(|p| p.turned(quarters, Point::default()));
            let turned: Vec<_> = turned.collect();
            let fixed = shape(fixed).parts(detail);
            NoFit::of(fixed, &turned, self.clearance.as_deref())
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::tests::{outlines, verified};
    use crate::problem::{Cloth, Item, Turn};
    use pieces::{Length, Outline};
    use proptest::prelude::*;

    fn problem(outlines: &[&Outline], spacing: i64) -> Problem {
        let item = |outline: &&Outline| Item {
            label: "piece".to_owned(),
            outline: (*outline).clone(),
            copies: 1,
            turns: Turn::ALL.to_vec(),
            may_mirror: true,
            garment: None,
            anchor: None,
        };
        Problem {
            cloth: Cloth {
                right: Length::from_um(1_000),
                ..Cloth::default()
            },
            items: outlines.iter().map(item).collect(),
            spacing: Length::from_um(spacing),
            marking_step: None,
            cutting: Default::default(),
        }
    }

    #[test]
    fn all_turns_of_a_piece_are_one_base_and_its_mirror_image_another() {
        let flag = Outline::new(
            [[0, 0], [9, 0], [9, 3], [2, 7], [0, 7]]
                .map(Point::from)
                .to_vec(),
        );
        let problem = problem(&[&flag.unwrap()], 0);
        let shapes = Shapes::of(&problem);
        let bases: Vec<u32> = shapes.shapes.iter().map(|s| s.pose.base.0).collect();
        assert_eq!(bases, [0, 0, 0, 0, 4, 4, 4, 4]);
        let pairs = Pairs::new(&problem, &shapes, Detail::Fine);
        for fixed in 0..8 {
            for moving in 0..8 {
                let _ = pairs.region(ShapeId(fixed), ShapeId(moving), Parts::All);
            }
        }
        // Each against itself in three relative turns, the one against the other in four.
        assert_eq!(shapes.known.made().regions.len(), 3 + 3 + 4);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]

        /// The pieces are laid as the shapes' variants say, and the verifier looks at them.
        #[test]
        fn a_turned_region_forbids_what_the_verifier_refuses(
            a in outlines(), b in outlines(), x in -18_i64..18, y in -18_i64..18,
            ways in (0_usize..8, 0_usize..8), spacing in 0_i64..6,
        ) {
            let problem = problem(&[&a, &b], spacing);
            let shapes = Shapes::of(&problem);
            let pairs = Pairs::new(&problem, &shapes, Detail::Fine);
            let way = |item: usize, way: usize| {
                let variants = &shapes.variants[item];
                variants[way % variants.len()]
            };
            let lying = |item: usize, way: crate::shapes::Variant| {
                let outline = &problem.items[item].outline;
                let flat = if way.mirrored { outline.mirrored() } else { outline.clone() };
                let turned = flat.turned(way.turn.quarters());
                turned.moved(turned.bounds().min.turned(2))
            };
            for ((item, one), (other_item, other)) in [
                ((0, way(0, ways.0)), (1, way(1, ways.1))),
                ((1, way(1, ways.0)), (0, way(0, ways.1))),
                ((0, way(0, ways.0)), (0, way(0, ways.1))),
            ] {
                let at = Point::new(x, y);
                let region = |a: ShapeId, b: ShapeId, parts| pairs.region(a, b, parts);
                let is_forbidden = region(one.shape, other.shape, Parts::All).forbids(at);
                for parts in [Parts::All, Parts::Few] {
                    let direct = region(one.shape, other.shape, parts).forbids(at);
                    let reflected = region(other.shape, one.shape, parts).forbids(at.turned(2));
                    prop_assert_eq!([direct, reflected], [is_forbidden; 2]);
                }
                let (still, moved) = (lying(item, one), lying(other_item, other).moved(at));
                let is_fine = verified(&still, &moved, spacing);
                if spacing == 0 {
                    prop_assert_eq!(is_forbidden, !is_fine);
                } else {
                    prop_assert!(is_forbidden || is_fine);
                }
            }
        }
    }
}
