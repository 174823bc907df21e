//! Can pieces whose places along are known but for an interval each lie across the cloth at all?
//!
//! Two of them that meet wherever they lie in their intervals leave a gap: across, the second's distance from the
//! first is not between two values. A tree over which of both lies further left, with the leftmost places as
//! longest paths; a pair that is too near at these places parts the tree. Source: disjunctive scheduling (the
//! disjunctive graph, Roy and Sussmann 1964, from memory). Exact in integers.

/// The second of two pieces does not lie further right of the first than `above` unless it is `below` or more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Gap {
    pub first: usize,
    pub second: usize,
    pub above: i64,
    pub below: i64,
}

impl Gap {
    /// Of two pieces, one for each stretch that the second may not lie in from the first.
    pub fn between(
        first: usize,
        second: usize,
        stretches: Vec<[i64; 2]>,
    ) -> impl Iterator<Item = Gap> {
        stretches.into_iter().map(move |[above, below]| Gap {
            first,
            second,
            above,
            below,
        })
    }
}

/// What lies right of what, and how far at least.
pub(crate) type Arc = (usize, usize, i64);

/// What is known of an order across.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Row {
    /// In none can these lie, whatever the others do.
    None(Pieces),
    /// They can by these arcs, at their [`leftmost`] places.
    Some(Vec<Arc>),
    /// Not settled within the nodes allowed.
    Open,
}

/// A set of pieces, by their numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Pieces(u32);

impl Pieces {
    pub fn of(pieces: impl IntoIterator<Item = usize>) -> Self {
        Pieces(pieces.into_iter().fold(0, |set, piece| set | 1 << piece))
    }

    pub fn has(self, piece: usize) -> bool {
        self.0 >> piece & 1 == 1
    }

    pub fn bits(self) -> u32 {
        self.0
    }

    pub fn and(self, other: Pieces) -> Pieces {
        Pieces(self.0 | other.0)
    }

    fn meets(self, other: Pieces) -> bool {
        self.0 & other.0 != 0
    }
}

/// What one refusal blames all pieces for.
pub(super) const ALL_BLAME: u64 = 1_000;

/// More pieces than this are never asked about.
pub(crate) const MOST: usize = 16;

/// How pieces can lie across, each at 0 or further and no further than its limit. First those orders are looked into
/// that keep the arcs `known` for the first of the pieces.
///
/// Pieces that no gaps link with each other do not care for each other, and are asked about by themselves; of those
/// that have arcs only if `changed`, the one piece whose gaps are not what they were, is among them.
pub(crate) fn in_a_row(
    limits: &[i64],
    gaps: &[Gap],
    known: &[Arc],
    changed: Option<usize>,
    most_nodes: u32,
    work: &mut u64,
    blame: &mut [u64],
) -> Row {
    let mut arcs = Vec::with_capacity(gaps.len());
    let mut is_open = false;
    for part in parts(gaps) {
        let known = known.iter().filter(|arc| part.has(arc.0)).copied();
        let known: Vec<Arc> = known.collect();
        if !known.is_empty() && changed.is_some_and(|piece| !part.has(piece)) {
            arcs.extend(known);
            continue;
        }
        let gaps: Vec<Gap> = of_these(gaps, part).collect();
        match within(limits, &gaps, known, most_nodes, work, blame) {
            Ok(Some(found)) => arcs.extend(found),
            Err(these) => return Row::None(these),
            Ok(None) => is_open = true,
        }
    }
    if is_open { Row::Open } else { Row::Some(arcs) }
}

/// Sets of pieces that gaps link.
fn parts(gaps: &[Gap]) -> Vec<Pieces> {
    let mut parts: Vec<Pieces> = Vec::new();
    for gap in gaps {
        let mut part = Pieces::of([gap.first, gap.second]);
        parts.retain(|other| {
            let is_apart = !other.meets(part);
            if !is_apart {
                part = part.and(*other);
            }
            is_apart
        });
        parts.push(part);
    }
    parts
}

fn of_these(gaps: &[Gap], pieces: Pieces) -> impl Iterator<Item = Gap> {
    let is_in = move |gap: &Gap| pieces.has(gap.first) && pieces.has(gap.second);
    gaps.iter().copied().filter(is_in)
}

/// Arcs that let all gaps hold, `None` if that is not settled; or the pieces that can't.
fn within(
    limits: &[i64],
    gaps: &[Gap],
    known: Vec<Arc>,
    most_nodes: u32,
    work: &mut u64,
    blame: &mut [u64],
) -> Result<Option<Vec<Arc>>, Pieces> {
    let is_known = !known.is_empty();
    let mut tree = Tree {
        gaps,
        arcs: known,
        pieces: limits.len(),
        failed: [0; MOST],
        linked: Pieces::default(),
        nodes: 0,
        most_nodes,
    };
    let mut most = [0; MOST];
    most[..limits.len()].copy_from_slice(limits);
    let room = Room {
        least: [0; MOST],
        most,
    };
    let mut can = tree.can_lie(room);
    if can == Some(false) && is_known {
        tree.arcs.clear();
        can = tree.can_lie(room);
    }
    *work += u64::from(tree.nodes) * (gaps.len() as u64 * 8 + 60);
    match can {
        Some(true) => Ok(Some(tree.arcs)),
        None => Ok(None),
        Some(false) => {
            let all: u64 = tree.failed.iter().sum();
            for (blame, failed) in blame.iter_mut().zip(tree.failed) {
                *blame += failed * ALL_BLAME / all.max(1);
            }
            Err(tree.linked)
        }
    }
}

/// The leftmost places at which all arcs hold; of arcs that [`in_a_row`] gave for these limits.
pub(super) fn leftmost(limits: &[i64], arcs: &[Arc]) -> Vec<i64> {
    let mut least = vec![0; limits.len()];
    for _ in 0..limits.len() {
        for &(left, right, apart) in arcs {
            least[right] = least[right].max(least[left] + apart);
        }
    }
    least
}

struct Tree<'t> {
    gaps: &'t [Gap],
    arcs: Vec<Arc>,
    pieces: usize,
    /// How often each found no room.
    failed: [u64; MOST],
    /// Those that had to do with it.
    linked: Pieces,
    nodes: u32,
    most_nodes: u32,
}

/// Between which places each piece must lie.
#[derive(Clone, Copy)]
struct Room {
    least: [i64; MOST],
    most: [i64; MOST],
}

impl Tree<'_> {
    /// Whether they can lie so that the arcs hold; then all arcs that make them do are left. `None` if that is not
    /// settled.
    fn can_lie(&mut self, mut room: Room) -> Option<bool> {
        self.nodes += 1;
        if self.nodes > self.most_nodes {
            return None;
        }
        let before = self.arcs.len();
        let Some(gap) = self.narrowed(&mut room) else {
            self.arcs.truncate(before);
            return Some(false);
        };
        let Some(gap) = gap else {
            return Some(true);
        };
        let apart = room.least[gap.second] - room.least[gap.first];
        self.linked = self.linked.and(Pieces::of([gap.first, gap.second]));
        let mut arcs = gap.arcs();
        if apart - gap.above < gap.below - apart {
            arcs.reverse();
        }
        for arc in arcs {
            let with = self.arcs.len();
            self.arcs.push(arc);
            let can = self.can_lie(room);
            if can != Some(false) {
                return can;
            }
            self.arcs.truncate(with);
        }
        self.arcs.truncate(before);
        Some(false)
    }

    /// Lets all arcs hold, and those of gaps that leave one way only. The gap that is then deepest at the leftmost
    /// places, if any; `None` if a piece has no room.
    fn narrowed(&mut self, room: &mut Room) -> Option<Option<Gap>> {
        // The arcs before the last one hold, but for those that were known beforehand.
        let mut new = if self.nodes > 1 {
            self.arcs.len().saturating_sub(1)
        } else {
            0
        };
        loop {
            self.hold(room, new)?;
            new = self.arcs.len();
            let mut deepest = (0, None);
            let mut is_forced = false;
            for gap in self.gaps {
                let apart = room.least[gap.second] - room.least[gap.first];
                let depth = (apart - gap.above).min(gap.below - apart);
                if depth <= 0 {
                    continue;
                }
                let goes =
                    |(left, right, apart): &Arc| room.least[*left] + apart <= room.most[*right];
                match gap.arcs().map(|arc| Some(arc).filter(goes)) {
                    [None, None] => {
                        self.fail(gap.first, gap.second);
                        return None;
                    }
                    [Some(arc), None] | [None, Some(arc)] => {
                        self.arcs.push(arc);
                        is_forced = true;
                    }
                    _ if depth > deepest.0 => deepest = (depth, Some(*gap)),
                    _ => {}
                }
            }
            if !is_forced {
                return Some(deepest.1);
            }
        }
    }

    /// Moves the ends of the room until all arcs hold, of which those from `new` on may not yet; `None` if a piece
    /// has no room.
    fn hold(&mut self, room: &mut Room, new: usize) -> Option<()> {
        let Room { least, most } = room;
        for round in 0..=self.pieces + 1 {
            let mut moved = false;
            let first = if round == 0 { new } else { 0 };
            for &(left, right, apart) in &self.arcs[first..] {
                if least[left] + apart > least[right] {
                    least[right] = least[left] + apart;
                    moved = true;
                }
                if most[right] - apart < most[left] {
                    most[left] = most[right] - apart;
                    moved = true;
                }
                if least[left] > most[left] || least[right] > most[right] {
                    self.fail(left, right);
                    return None;
                }
            }
            if !moved {
                return Some(());
            }
        }
        // Arcs in a circle that leave no room.
        let all: Vec<Arc> = self.arcs.clone();
        for (left, right, _) in all {
            self.fail(left, right);
        }
        None
    }

    /// These find no room: their arcs, and those that these are linked with, leave none.
    fn fail(&mut self, one: usize, other: usize) {
        self.failed[one] += 1;
        self.failed[other] += 1;
        let mut linked = Pieces::of([one, other]);
        loop {
            let arcs = self.arcs.iter();
            let ends = arcs.map(|&(left, right, _)| Pieces::of([left, right]));
            let more = ends
                .filter(|ends| ends.meets(linked))
                .fold(linked, Pieces::and);
            if more == linked {
                break;
            }
            linked = more;
        }
        self.linked = self.linked.and(linked);
    }
}

impl Gap {
    /// The second right of the first, and left of it.
    fn arcs(&self) -> [Arc; 2] {
        [
            (self.first, self.second, self.below),
            (self.second, self.first, -self.above),
        ]
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
        let (mut seen, mut fewer) = ([0, 0], 0);
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
            let mut ask = |limits: &[i64], gaps: &[Gap], known: &[Arc]| match in_a_row(
                limits,
                gaps,
                known,
                None,
                1_000,
                &mut 0,
                &mut [0; MOST],
            ) {
                Row::None(few) => {
                    // Without the others, they still can't.
                    let of_few: Vec<Gap> = of_these(gaps, few).collect();
                    assert!(!by_trying(limits, &of_few, &mut Vec::new()));
                    fewer += usize::from((0..limits.len()).any(|piece| !few.has(piece)));
                    None
                }
                Row::Some(arcs) => Some(arcs),
                Row::Open => panic!("four pieces"),
            };
            let can = ask(&limits, &gaps, &[]);
            if let Some(arcs) = &can {
                let at = leftmost(&limits, arcs);
                let lies = |gap: &Gap| {
                    let apart = at[gap.second] - at[gap.first];
                    apart <= gap.above || apart >= gap.below
                };
                assert!(gaps.iter().all(lies) && at.iter().zip(&limits).all(|(x, most)| x <= most));
            }
            // What goes for three of them is tried first for all, and changes nothing.
            let early: Vec<Gap> = gaps.iter().copied().filter(|gap| gap.second < 3).collect();
            if let Some(arcs) = ask(&limits[..3], &early, &[]) {
                let again = ask(&limits, &gaps, &arcs);
                assert_eq!(again.is_some(), can.is_some());
                let mut last = [0; MOST];
                let again = in_a_row(&limits, &gaps, &arcs, Some(3), 1_000, &mut 0, &mut last);
                assert_eq!(matches!(again, Row::Some(_)), can.is_some());
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
        assert!(fewer > 200, "{fewer}");
    }
}
