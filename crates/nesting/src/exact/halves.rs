//! Every copy has an interval of places along: halved, the longest first, until nothing is left of the
//! combination or all are short.
//!
//! Once they are fairly short each copy takes one of the shapes that it may have in its stance, and curved ones
//! are looked at as they are: before, a polygon within them is enough.

use super::side_by_side::{Arc, Gap, Row, in_a_row, leftmost};
use super::{Asker, Job, Outcome, Spot};
use crate::bound::kinds::Kind;

/// Such a share of the longest piece, or so many micrometres, is short, and fairly short.
const SHORT: (i64, i64) = (10_000, 200);
const FAIRLY_SHORT: (i64, i64) = (150, 6_000);

/// What it takes to look at two shapes as they are, in about nanoseconds.
const FINE_WORK: u64 = 20_000;

/// Nodes in the search for an order across, at most.
const MOST_ORDERS: u32 = 5_000;

/// A copy in its interval.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    pub stance: usize,
    /// Which of the stance's outlines, once that is chosen.
    pub outline: Option<usize>,
    pub from: i64,
    pub to: i64,
}

/// How long a short interval is.
fn share(job: &Job<'_>, (share, most): (i64, i64)) -> i64 {
    let longest = job.kinds.iter().map(Kind::least_height).max();
    (longest.unwrap_or(0) / share).min(most)
}

/// Halves one combination.
pub(super) struct Halves<'h> {
    job: &'h Job<'h>,
    asker: &'h dyn Asker,
    /// By copy: how far right it may lie.
    limits: Vec<i64>,
    short: i64,
    fairly_short: i64,
    /// Nodes may still take so much, in about nanoseconds.
    pub work: u64,
    /// How often spots may still be tried in vain.
    pub patience: u32,
    /// Whether shapes are looked at as they are.
    is_fine: bool,
}

impl<'h> Halves<'h> {
    pub fn new(job: &'h Job<'h>, asker: &'h dyn Asker, limits: Vec<i64>) -> Self {
        Halves {
            short: share(job, SHORT),
            fairly_short: share(job, FAIRLY_SHORT),
            job,
            asker,
            limits,
            work: 0,
            patience: 0,
            is_fine: false,
        }
    }

    /// Refused if nothing is left of it.
    pub fn run(&mut self, pieces: &[Placed], known: &[Arc]) -> Outcome {
        let mut gaps = Vec::new();
        for second in 0..pieces.len() {
            if !self.add_gaps(pieces, second, second, &mut gaps) {
                return Outcome::Refused;
            }
        }
        self.ask(pieces, &gaps, known)
    }

    /// What must lie beside `piece`, of those before `end` and itself left out; false if one is too near to it.
    fn add_gaps(
        &mut self,
        pieces: &[Placed],
        piece: usize,
        end: usize,
        gaps: &mut Vec<Gap>,
    ) -> bool {
        let Job { distances, .. } = self.job;
        for other in (0..end).filter(|&other| other != piece) {
            let (first, second) = (piece.min(other), piece.max(other));
            let (one, two) = (pieces[first], pieces[second]);
            let along = |placed: Placed| distances.stances[placed.stance].along();
            let band = [two.from - one.to, two.to - one.from];
            if band[0] >= along(one) || -band[1] >= along(two) {
                continue;
            }
            let apart = &distances.apart[one.stance][two.stance];
            self.spend(apart.work());
            if apart.refuses(band) {
                return false;
            }
            let refused = match (one.outline, two.outline) {
                (Some(a), Some(b)) if self.is_fine => {
                    self.spend(FINE_WORK);
                    distances.whole_gaps((one.stance, a), (two.stance, b), band)
                }
                _ => apart.gaps(band, one.outline, two.outline),
            };
            gaps.extend(refused.into_iter().map(|[above, below]| Gap {
                first,
                second,
                above,
                below,
            }));
        }
        true
    }

    fn is_simplified(&self, pieces: &[Placed]) -> bool {
        let distances = self.job.distances;
        pieces
            .iter()
            .any(|placed| distances.is_simplified(placed.stance))
    }

    fn spend(&mut self, work: u64) {
        self.work = self.work.saturating_sub(work);
    }

    /// `gaps` are those of `pieces`.
    fn ask(&mut self, pieces: &[Placed], gaps: &[Gap], known: &[Arc]) -> Outcome {
        let mut work = 100;
        let row = in_a_row(&self.limits, gaps, known, MOST_ORDERS, &mut work);
        self.spend(work);
        let arcs = match row {
            Row::None => return Outcome::Refused,
            Row::Some(arcs) => arcs,
            // Shorter intervals may settle it.
            Row::Open => Vec::new(),
        };
        let is_settled = !arcs.is_empty() || gaps.is_empty();
        let length = |&piece: &usize| pieces[piece].to - pieces[piece].from;
        let longest = (0..pieces.len()).max_by_key(length);
        let Some(longest) = longest.filter(|_| self.work > 0) else {
            return Outcome::Open;
        };
        let open = pieces.iter().position(|placed| placed.outline.is_none());
        if length(&longest) > self.fairly_short || open.is_none() && length(&longest) > self.short {
            if length(&longest) <= self.fairly_short && !self.is_fine && self.is_simplified(pieces)
            {
                self.is_fine = true;
                let outcome = self.run(pieces, &arcs);
                self.is_fine = false;
                return outcome;
            }
            let Placed { from, to, .. } = pieces[longest];
            let middle = from + (to - from) / 2;
            let half = |(from, to)| Placed {
                from,
                to,
                ..pieces[longest]
            };
            // Two places that are next to each other are one by one.
            let second = if to - from == 1 { to } else { middle };
            let halves = [(from, middle), (second, to)].map(half);
            return self.ask_each(pieces, gaps, &arcs, longest, &halves);
        }
        if let Some(open) = open {
            let with = |outline| Placed {
                outline: Some(outline),
                ..pieces[open]
            };
            let stance = &self.job.distances.stances[pieces[open].stance];
            if stance.outlines.is_empty() {
                return Outcome::Open;
            }
            let shapes: Vec<Placed> = (0..stance.outlines.len()).map(with).collect();
            return self.ask_each(pieces, gaps, &arcs, open, &shapes);
        }
        if !is_settled {
            return Outcome::Open;
        }
        let across = leftmost(&self.limits, &arcs);
        let spot = |(placed, x): (&Placed, i64)| Spot {
            stance: placed.stance,
            outline: placed.outline.unwrap_or(0),
            x,
            y: placed.from,
        };
        let spots: Vec<Spot> = pieces.iter().zip(across).map(spot).collect();
        if self.asker.can_lay(&spots) {
            return Outcome::Laid(spots);
        }
        self.patience = self.patience.saturating_sub(1);
        Outcome::Open
    }

    /// With one of the pieces in each of these ways. What is open is passed by as long as there is patience.
    fn ask_each(
        &mut self,
        pieces: &[Placed],
        gaps: &[Gap],
        arcs: &[Arc],
        piece: usize,
        ways: &[Placed],
    ) -> Outcome {
        let mut outcome = Outcome::Refused;
        let others = gaps
            .iter()
            .filter(|g| g.first != piece && g.second != piece);
        let others: Vec<Gap> = others.copied().collect();
        for way in ways {
            let mut next = pieces.to_vec();
            next[piece] = *way;
            let mut gaps = others.clone();
            if !self.add_gaps(&next, piece, next.len(), &mut gaps) {
                continue;
            }
            match self.ask(&next, &gaps, arcs) {
                Outcome::Refused => {}
                Outcome::Laid(spots) => return Outcome::Laid(spots),
                Outcome::Open => outcome = Outcome::Open,
            }
            if outcome == Outcome::Open && (self.work == 0 || self.patience == 0) {
                return Outcome::Open;
            }
        }
        outcome
    }
}
