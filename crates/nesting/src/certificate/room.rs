//! Have pieces whose heights are about known room side by side?
//!
//! Two of them that meet leave a gap across: the second's distance from the first is not between two values. All ways to be on
//! one side of every gap are tried, each piece as far to the left as those that were chosen let it be.

/// The second of two pieces lies no further right of the first than `above`, or `below` at least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Gap {
    pub first: usize,
    pub second: usize,
    pub above: i64,
    pub below: i64,
}

/// Of two pieces, which lies further right, and by how much at least.
type Right = (usize, usize, i64);

/// Whether pieces have no room, each between nothing and its limit; false if more ways were to be tried than are left.
pub(super) fn is_missing(limits: &[i64], gaps: &[Gap], left: &mut u64) -> bool {
    let is_limit = |limit: &i64| *limit >= 0;
    let mut trial = Trial {
        limits,
        gaps,
        rights: Vec::new(),
        left,
    };
    !limits.iter().all(is_limit) || trial.fails(&vec![0; limits.len()])
}

struct Trial<'t> {
    limits: &'t [i64],
    gaps: &'t [Gap],
    rights: Vec<Right>,
    left: &'t mut u64,
}

impl Trial<'_> {
    /// Whether nothing comes of what is chosen, where all hold but the last.
    fn fails(&mut self, places: &[i64]) -> bool {
        if *self.left == 0 {
            return false;
        }
        *self.left -= 1;
        let mut places = places.to_vec();
        if !self.hold(&mut places) {
            return true;
        }
        let depth = |gap: &&Gap| {
            let apart = places[gap.second] - places[gap.first];
            (apart - gap.above).min(gap.below - apart)
        };
        let Some(gap) = self.gaps.iter().max_by_key(depth).filter(|g| depth(g) > 0) else {
            return false;
        };
        let ways = [
            (gap.first, gap.second, gap.below),
            (gap.second, gap.first, -gap.above),
        ];
        ways.into_iter().all(|way| {
            self.rights.push(way);
            let fails = self.fails(&places);
            self.rights.pop();
            fails
        })
    }

    /// Moves pieces to the right until all that is chosen holds; false if one then has no room. After as many rounds
    /// as there are pieces, it goes round in circles (Bellman and Ford, from memory).
    fn hold(&self, places: &mut [i64]) -> bool {
        for _ in 0..=places.len() {
            let mut is_still = true;
            for &(left, right, apart) in &self.rights {
                let least = places[left].saturating_add(apart);
                if least > self.limits[right] {
                    return false;
                }
                if least > places[right] {
                    places[right] = least;
                    is_still = false;
                }
            }
            if is_still {
                return true;
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gap(first: usize, second: usize, above: i64, below: i64) -> Gap {
        Gap {
            first,
            second,
            above,
            below,
        }
    }

    #[test]
    fn three_of_forty_go_on_120_and_not_on_119() {
        let gaps = [gap(0, 1, -40, 40), gap(0, 2, -40, 40), gap(1, 2, -40, 40)];
        assert!(!is_missing(&[80; 3], &gaps, &mut 100));
        assert!(is_missing(&[79; 3], &gaps, &mut 100));
        // Without leave to look it says nothing.
        assert!(!is_missing(&[79; 3], &gaps, &mut 3));
        assert!(is_missing(&[-1], &[], &mut 100));
    }

    /// All whole places.
    fn can_lie(limits: &[i64], gaps: &[Gap], at: &mut Vec<i64>) -> bool {
        let holds = |gap: &Gap| {
            let (Some(first), Some(second)) = (at.get(gap.first), at.get(gap.second)) else {
                return true;
            };
            second - first <= gap.above || second - first >= gap.below
        };
        if !gaps.iter().all(holds) {
            return false;
        }
        if at.len() == limits.len() {
            return true;
        }
        (0..=limits[at.len()]).any(|x| {
            at.push(x);
            let can = can_lie(limits, gaps, at);
            at.pop();
            can
        })
    }

    #[test]
    fn agrees_with_all_places_tried() {
        let mut seed = 7_u64;
        let mut draw = |below: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) % below
        };
        let mut seen = [0, 0];
        for _ in 0..1_000 {
            let limits: Vec<i64> = (0..4).map(|_| draw(11) as i64).collect();
            let mut gaps = Vec::new();
            for second in 1..4 {
                for first in 0..second {
                    if draw(4) > 0 {
                        let above = 1 - draw(7) as i64;
                        gaps.push(gap(first, second, above, above + 1 + draw(8) as i64));
                    }
                }
            }
            let is_missing = is_missing(&limits, &gaps, &mut 10_000);
            let can = can_lie(&limits, &gaps, &mut Vec::new());
            assert_ne!(is_missing, can, "{limits:?} {gaps:?}");
            seen[usize::from(can)] += 1;
        }
        assert!(seen.iter().all(|&n| n > 100), "{seen:?}");
    }
}
