//! Every copy has an interval of places along: halved until nothing is left of the combination or all are short.
//!
//! Which one is halved is what matters most ([`Split`]): where nothing is left, a few pieces are to blame, and what the
//! others do is of no account. If such a few do not hold the piece that was halved, its other half need not be looked
//! at (conflict-directed backjumping, Prosser 1993; weights of what failed, Boussemart and others 2004; from memory).
//!
//! Once they are fairly short each copy takes one of the shapes that it may have in its stance, and curved ones
//! are looked at as they are: before, a polygon within them is enough.

use super::record::Record;
use super::side_by_side::{Arc, Gap, MOST, Pieces, Row, in_a_row, leftmost};
use super::{Asker, Job, Spot};
use crate::bound::kinds::Kind;

/// Such a share of the longest piece, or so many micrometres, is short, and fairly short.
const SHORT: (i64, i64) = (10_000, 200);
const FAIRLY_SHORT: (i64, i64) = (150, 6_000);

/// What it takes to make a layout of places, in about nanoseconds.
const LAYING: u64 = 1_000_000;

/// After so many nodes it is asked whether to give up.
const OFTEN: u32 = 64;

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

/// Which piece's interval is halved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Split {
    /// The longest, those of the few that failed last counting twice.
    Longest,
    /// A long one of a kind that often failed.
    Blamed,
}

/// What is left of a combination.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Left {
    /// Nothing: these can't lie in their intervals, whatever the others do.
    Nothing(Pieces),
    /// A layout.
    Laid(Vec<Spot>),
    /// Something that can't be made one, or it is not settled.
    Open,
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
    /// By kind: what a piece of it counts when one is chosen to be halved.
    pub blame: Vec<u64>,
    split: Split,
    /// Which failed last.
    last: Pieces,
    is_over: &'h dyn Fn() -> bool,
    nodes: u32,
    /// About such a part of the combination was looked at.
    pub seen: f64,
    pub record: Record,
    /// Whether shapes ever were looked at as they are.
    pub was_fine: bool,
}

impl<'h> Halves<'h> {
    pub fn new(
        job: &'h Job<'h>,
        asker: &'h dyn Asker,
        is_over: &'h dyn Fn() -> bool,
        split: Split,
        limits: Vec<i64>,
    ) -> Self {
        Halves {
            short: share(job, SHORT),
            fairly_short: share(job, FAIRLY_SHORT),
            job,
            asker,
            limits,
            work: 0,
            patience: 0,
            is_fine: false,
            blame: Vec::new(),
            last: Pieces::default(),
            split,
            is_over,
            nodes: 0,
            seen: 0.0,
            record: Record::default(),
            was_fine: false,
        }
    }

    /// What is left of it.
    pub fn run(&mut self, pieces: &[Placed], known: &[Arc]) -> Left {
        let mut gaps = Vec::new();
        for second in 0..pieces.len() {
            if let Some(other) = self.add_gaps(pieces, second, second, &mut gaps) {
                let both = Pieces::of([second, other]);
                self.record.no_room(both);
                return Left::Nothing(both);
            }
        }
        self.ask(pieces, &gaps, known, None, 1.0)
    }

    /// What must lie beside `piece`, of those before `end` and itself left out; or one that is too near to it.
    fn add_gaps(
        &mut self,
        pieces: &[Placed],
        piece: usize,
        end: usize,
        gaps: &mut Vec<Gap>,
    ) -> Option<usize> {
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
                return Some(other);
            }
            let refused = match (one.outline, two.outline) {
                (Some(a), Some(b)) if self.is_fine => {
                    let (one, two) = ((one.stance, a), (two.stance, b));
                    distances.whole_gaps(one, two, band, &mut self.work)
                }
                _ => apart.gaps(band, one.outline, two.outline),
            };
            gaps.extend(Gap::between(first, second, refused));
        }
        None
    }

    fn is_simplified(&self, pieces: &[Placed]) -> bool {
        let distances = self.job.distances;
        pieces
            .iter()
            .any(|placed| distances.is_simplified(placed.stance))
    }

    fn kind(&self, placed: Placed) -> usize {
        self.job.distances.stances[placed.stance].kind
    }

    fn spend(&mut self, work: u64) {
        self.work = self.work.saturating_sub(work);
    }

    /// `gaps` are those of `pieces`, which make such a `share` of the whole; `known` holds but for the changed one's.
    fn ask(
        &mut self,
        pieces: &[Placed],
        gaps: &[Gap],
        known: &[Arc],
        changed: Option<usize>,
        share: f64,
    ) -> Left {
        self.nodes += 1;
        if self.nodes.is_multiple_of(OFTEN) && (self.is_over)() {
            self.work = 0;
        }
        let mut work = 100;
        let mut blame = [0; MOST];
        let row = in_a_row(
            &self.limits,
            gaps,
            known,
            changed,
            MOST_ORDERS,
            &mut work,
            &mut blame,
        );
        self.spend(work);
        let arcs = match row {
            Row::None(few) => {
                self.last = few;
                for (placed, blame) in pieces.iter().zip(blame) {
                    let kind = self.kind(*placed);
                    self.blame[kind] += blame;
                }
                self.record.no_room(few);
                return Left::Nothing(few);
            }
            Row::Some(arcs) => Some(arcs),
            // Shorter intervals may settle it.
            Row::Open => None,
        };
        let is_settled = arcs.is_some();
        let arcs = arcs.unwrap_or_default();
        let length = |&piece: &usize| pieces[piece].to - pieces[piece].from;
        let longest = self.to_halve(pieces);
        let Some(longest) = longest.filter(|_| self.work > 0) else {
            return Left::Open;
        };
        let open = pieces.iter().position(|placed| placed.outline.is_none());
        if length(&longest) > self.fairly_short || open.is_none() && length(&longest) > self.short {
            if length(&longest) <= self.fairly_short && !self.is_fine && self.is_simplified(pieces)
            {
                (self.is_fine, self.was_fine) = (true, true);
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
            let start = self.record.mark();
            self.record.halve(longest);
            return self.ask_each(pieces, gaps, &arcs, (longest, start), &halves, share);
        }
        if let Some(open) = open {
            let with = |outline| Placed {
                outline: Some(outline),
                ..pieces[open]
            };
            let stance = &self.job.distances.stances[pieces[open].stance];
            if stance.outlines.is_empty() {
                return Left::Open;
            }
            let shapes: Vec<Placed> = (0..stance.outlines.len()).map(with).collect();
            let start = self.record.mark();
            self.record.shapes(open);
            return self.ask_each(pieces, gaps, &arcs, (open, start), &shapes, share);
        }
        if !is_settled {
            return Left::Open;
        }
        let across = leftmost(&self.limits, &arcs);
        let spot = |(placed, x): (&Placed, i64)| Spot {
            stance: placed.stance,
            outline: placed.outline.unwrap_or(0),
            x,
            y: placed.from,
        };
        let spots: Vec<Spot> = pieces.iter().zip(across).map(spot).collect();
        self.spend(LAYING);
        if self.asker.can_lay(&spots) {
            return Left::Laid(spots);
        }
        self.patience = self.patience.saturating_sub(1);
        Left::Open
    }

    /// The piece whose interval is halved next.
    fn to_halve(&self, pieces: &[Placed]) -> Option<usize> {
        let length = |piece: usize| i128::from(pieces[piece].to - pieces[piece].from);
        let fairly_short = i128::from(self.fairly_short);
        let is_long = |piece: usize| length(piece) > fairly_short;
        let are_long = (0..pieces.len()).any(is_long);
        let score = |&piece: &usize| match self.split {
            _ if !are_long => length(piece),
            _ if !is_long(piece) => 0,
            Split::Blamed => {
                let blame = self.blame[self.kind(pieces[piece])];
                (length(piece) - fairly_short) * i128::from(blame)
            }
            Split::Longest if self.last.has(piece) => 2 * length(piece),
            Split::Longest => length(piece),
        };
        (0..pieces.len()).max_by_key(score)
    }

    /// With one of the pieces in each of these ways, as the record says from `start` on. What is open is passed by as long
    /// as there is patience.
    fn ask_each(
        &mut self,
        pieces: &[Placed],
        gaps: &[Gap],
        arcs: &[Arc],
        (piece, start): (usize, usize),
        ways: &[Placed],
        share: f64,
    ) -> Left {
        let share = share / ways.len() as f64;
        let mut few = Pieces::default();
        let mut is_open = false;
        let others = gaps
            .iter()
            .filter(|g| g.first != piece && g.second != piece);
        let others: Vec<Gap> = others.copied().collect();
        for way in ways {
            let (before, child) = (self.seen, self.record.mark());
            let mut next = pieces.to_vec();
            next[piece] = *way;
            let mut gaps = others.clone();
            if let Some(other) = self.add_gaps(&next, piece, next.len(), &mut gaps) {
                let both = Pieces::of([piece, other]);
                self.record.no_room(both);
                few = few.and(both);
                self.seen = before + share;
                continue;
            }
            match self.ask(&next, &gaps, arcs, Some(piece), share) {
                // Those that refuse it do so whatever way this piece takes.
                Left::Nothing(these) if !these.has(piece) => {
                    self.record.keep(start, child);
                    return Left::Nothing(these);
                }
                Left::Nothing(these) => few = few.and(these),
                Left::Laid(spots) => return Left::Laid(spots),
                Left::Open => is_open = true,
            }
            if self.work > 0 {
                self.seen = before + share;
            }
            if is_open && (self.work == 0 || self.patience == 0) {
                return Left::Open;
            }
        }
        if is_open {
            Left::Open
        } else {
            Left::Nothing(few)
        }
    }
}
