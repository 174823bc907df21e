//! Can pieces whose places along are known but for an interval each lie across the cloth at all?
//!
//! Two of them that meet wherever they lie in their intervals leave a gap: across, the second's distance from the
//! first is not between two values. A tree over which of both lies further left, with the leftmost places as
//! longest paths; a pair that is too near at these places parts the tree. Source: disjunctive scheduling (the
//! disjunctive graph, Roy and Sussmann 1964, from memory). Exact in integers.

/// The second of two pieces does not lie further right of the first than `above` unless it is `below` or more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Gap {
    pub first: usize,
    pub second: usize,
    pub above: i64,
    pub below: i64,
}

/// Nodes of the tree after which nothing is said.
const MOST_NODES: u32 = 200;

/// What lies right of what, and how far at least.
pub(super) type Arc = (usize, usize, i64);

/// Arcs in which pieces can lie across, each at 0 or further and no further than its limit; `None` if there
/// are none. If that is not settled within the nodes allowed, some arcs are given. First those are looked
/// into that keep the arcs `known` for the first of the pieces.
pub(super) fn in_a_row(
    limits: &[i64],
    gaps: &[Gap],
    known: &[Arc],
    work: &mut u64,
) -> Option<Vec<Arc>> {
    let mut tree = Tree {
        limits,
        gaps,
        arcs: known.to_vec(),
        nodes: 0,
    };
    let mut can = tree.can_lie(vec![0; limits.len()]);
    if !can && !known.is_empty() {
        tree.arcs.clear();
        can = tree.can_lie(vec![0; limits.len()]);
    }
    *work += u64::from(tree.nodes) * (gaps.len() as u64 * 4 + 60);
    can.then_some(tree.arcs)
}

struct Tree<'t> {
    limits: &'t [i64],
    gaps: &'t [Gap],
    arcs: Vec<Arc>,
    nodes: u32,
}

impl Tree<'_> {
    /// `least` places each piece as far left as the arcs before the last one allow. Where they can lie, the
    /// arcs are left as they are.
    fn can_lie(&mut self, mut least: Vec<i64>) -> bool {
        self.nodes += 1;
        if self.nodes > MOST_NODES {
            return true;
        }
        if !self.moved_right(&mut least) {
            return false;
        }
        let depth = |gap: &&Gap| {
            let apart = least[gap.second] - least[gap.first];
            (apart - gap.above).min(gap.below - apart)
        };
        let deepest = self.gaps.iter().max_by_key(depth);
        let Some(&gap) = deepest.filter(|gap| depth(gap) > 0) else {
            return true;
        };
        let apart = least[gap.second] - least[gap.first];
        let mut arcs = [
            (gap.first, gap.second, gap.below),
            (gap.second, gap.first, -gap.above),
        ];
        if apart - gap.above < gap.below - apart {
            arcs.reverse();
        }
        arcs.into_iter().any(|arc| {
            self.arcs.push(arc);
            let can = self.can_lie(least.clone());
            if !can {
                self.arcs.pop();
            }
            can
        })
    }

    /// Moves pieces right until all arcs hold; false if one leaves the cloth.
    fn moved_right(&self, least: &mut [i64]) -> bool {
        for _ in 0..=least.len() {
            let mut moved = false;
            for &(left, right, apart) in &self.arcs {
                let x = least[left] + apart;
                if x > least[right] {
                    if x > self.limits[right] {
                        return false;
                    }
                    least[right] = x;
                    moved = true;
                }
            }
            if !moved {
                return true;
            }
        }
        // Arcs in a circle that leave no room.
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All whole places.
    fn by_trying(limits: &[i64], gaps: &[Gap], at: &mut Vec<i64>) -> bool {
        let lies = |gap: &Gap| {
            if gap.first.max(gap.second) >= at.len() {
                return true;
            }
            let apart = at[gap.second] - at[gap.first];
            apart <= gap.above || apart >= gap.below
        };
        if !gaps.iter().all(lies) {
            return false;
        }
        if at.len() == limits.len() {
            return true;
        }
        (0..=limits[at.len()]).any(|x| {
            at.push(x);
            let can = by_trying(limits, gaps, at);
            at.pop();
            can
        })
    }

    #[test]
    fn agrees_with_trying_every_place() {
        let mut seed = 1_u64;
        let mut draw = |below: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) % below
        };
        let mut seen = [0, 0];
        for _ in 0..2_000 {
            let limits: Vec<i64> = (0..4).map(|_| draw(12) as i64).collect();
            let mut gaps = Vec::new();
            for second in 1..4 {
                for first in 0..second {
                    if draw(4) > 0 {
                        let above = 2 - draw(8) as i64;
                        let below = above + 1 + draw(9) as i64;
                        gaps.push(Gap {
                            first,
                            second,
                            above,
                            below,
                        });
                    }
                }
            }
            let can = in_a_row(&limits, &gaps, &[], &mut 0);
            // What goes for three of them is tried first for all, and changes nothing.
            let early: Vec<Gap> = gaps.iter().copied().filter(|gap| gap.second < 3).collect();
            if let Some(arcs) = in_a_row(&limits[..3], &early, &[], &mut 0) {
                let again = in_a_row(&limits, &gaps, &arcs, &mut 0);
                assert_eq!(again.is_some(), can.is_some());
            }
            let can = can.is_some();
            assert_eq!(
                can,
                by_trying(&limits, &gaps, &mut Vec::new()),
                "{limits:?} {gaps:?}"
            );
            seen[usize::from(can)] += 1;
        }
        assert!(seen.iter().all(|&n| n > 200), "{seen:?}");
    }
}
