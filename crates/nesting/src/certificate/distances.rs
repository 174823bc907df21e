//! How far along the cloth one shape begins behind another at least.
//!
//! Where the second lies, seen from the first, is outside the no-fit polygon of each two of their convex parts, and across it
//! is no further than the width lets it be. If at some distance along the polygons cover all of that, the distance is
//! refused. A polygon's borders over a band of distances lie between those at its two ends, so what both ends have in
//! common is covered all through the band. Bands are halved until they are covered or one distance is not.

use super::sides::apart::{Side, sides};
use super::sides::laid::Stance;

/// Sides looked at, at most, for one two and in all.
const MOST_OF_TWO: u64 = 2_000_000;
const MOST_SIDES: u64 = 400_000_000;

/// Distances on a width, and what may still be looked at.
pub(super) struct Distances {
    usable: i64,
    left: u64,
}

/// Two shapes.
struct Two {
    /// Sides of the no-fit polygons of their parts.
    polygons: Vec<Vec<Side>>,
    /// How far across the second may lie from the first.
    across: [i64; 2],
    /// Sides that may still be looked at.
    left: u64,
}

impl Distances {
    pub fn on(usable: i64) -> Distances {
        let left = MOST_SIDES;
        Distances { usable, left }
    }

    /// The least distance, of nothing or more, that is not refused.
    pub fn least(&mut self, one: &Stance, other: &Stance) -> i64 {
        if one.across + other.across <= self.usable {
            return 0;
        }
        let corners = |stance: &Stance| stance.parts.iter().map(|part| part.len() as u64).sum();
        let (a, b): (u64, u64) = (corners(one), corners(other));
        let made =
            (a + b).saturating_mul(a * other.parts.len() as u64 + b * one.parts.len() as u64);
        if made > self.left {
            return 0;
        }
        self.left -= made;
        let parts = one.parts.iter();
        let polygons = parts.flat_map(|a| other.parts.iter().map(|b| sides(a, b, 0)));
        let given = MOST_OF_TWO.min(self.left);
        let mut two = Two {
            polygons: polygons.collect(),
            across: [one.across - self.usable, self.usable - other.across],
            left: given,
        };
        let least = two.reached([0, one.along - 1]);
        self.left -= given - two.left;
        least
    }
}

impl Two {
    /// The first distance of the band that is not refused, or else the first beyond it.
    fn reached(&mut self, [low, high]: [i64; 2]) -> i64 {
        if low > high {
            return low;
        }
        if self.refuse([low, high]) {
            return high + 1;
        }
        if low == high {
            return low;
        }
        let middle = low + (high - low) / 2;
        let reached = self.reached([low, middle]);
        if reached <= middle {
            return reached;
        }
        self.reached([middle + 1, high])
    }

    /// Whether the polygons cover all that the width leaves, at all distances of a band.
    fn refuse(&mut self, [low, high]: [i64; 2]) -> bool {
        let work: u64 = self
            .polygons
            .iter()
            .map(|sides| 2 * sides.len() as u64)
            .sum();
        if work > self.left {
            self.left = 0;
            return false;
        }
        self.left -= work;
        let both = |polygon: &Vec<Side>| {
            let ([a, b], [c, d]) = (inside(polygon, low)?, inside(polygon, high)?);
            let all = [a.max(c), b.min(d)];
            (all[0] < all[1]).then_some(all)
        };
        let mut covered: Vec<[i64; 2]> = self.polygons.iter().filter_map(both).collect();
        covered.sort_unstable();
        let mut covered = covered.into_iter().peekable();
        let [mut at, last] = self.across;
        let mut reach = i64::MIN;
        // The ends of what is covered are not.
        while at <= last {
            while let Some([_, to]) = covered.next_if(|[from, _]| *from < at) {
                reach = reach.max(to);
            }
            if reach <= at {
                return false;
            }
            at = reach;
        }
        true
    }
}

/// Between which whole places across all is inside of the polygon, at a distance along.
fn inside(polygon: &[Side], along: i64) -> Option<[i64; 2]> {
    let (mut from, mut to) = (i64::MIN, i64::MAX);
    for side in polygon {
        // x * across < left.
        let left = side.least - side.y * along;
        match side.x.signum() {
            0 if left <= 0 => return None,
            0 => {}
            1 => to = to.min(left.div_euclid(side.x)),
            _ => from = from.max(-left.div_euclid(-side.x)),
        }
    }
    (from < to).then_some([from, to])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::certificate::sides::laid::stances;
    use crate::jobs::{ONE_WAY, item, outline};
    use pieces::Point;

    fn stance(corners: &[(i64, i64)]) -> Stance {
        let points = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
        let mut all = stances(&item(outline(corners), 1, ONE_WAY), &[points]).unwrap();
        all.pop().unwrap()
    }

    /// Geometry: beside each other on 20, one behind the other on 19. Else against every whole place.
    #[test]
    fn no_further_apart_than_the_first_place_that_is_free() {
        let flag = stance(&[(0, 0), (10, 0), (10, 7), (0, 7)]);
        let gore = stance(&[(0, 0), (12, 0), (8, 15), (4, 15)]);
        let leaning = stance(&[(0, 0), (11, 3), (2, 9)]);
        let all = [&flag, &gore, &leaning];
        assert_eq!(Distances::on(19).least(&flag, &flag), 7);
        assert_eq!(Distances::on(20).least(&flag, &flag), 0);
        for (one, other) in all.iter().flat_map(|one| all.map(|other| (*one, other))) {
            for usable in 12..25 {
                let sides = sides(&one.parts[0], &other.parts[0], 0);
                let is_free = |x: i64, y: i64| sides.iter().any(|s| s.x * x + s.y * y >= s.least);
                let across = || one.across - usable..=usable - other.across;
                let tried = (0..40).find(|&y| across().any(|x| is_free(x, y)));
                let found = Distances::on(usable).least(one, other);
                let tried = tried.unwrap();
                // A little is lost where borders are rounded: a micrometre across is four along a gore.
                assert!(
                    found <= tried && tried - found <= 8,
                    "{found} {tried} {usable}"
                );
            }
        }
    }
}
