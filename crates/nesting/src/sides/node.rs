//! A node of the search: stances taken and sides chosen so far, and where pieces would lie.

use std::sync::Arc;

use super::kinds::{Pieces, Side, Turned};
use super::multipliers::{Row, whole};
use super::simplex::{Found, Simplex};
use crate::bound::stances::Turns;

/// Multipliers of rows on the way to a node.
pub(super) type Times = Vec<(usize, u64)>;

/// A side of a pair that is refused from here on, and by what: the row of the side itself comes last.
pub(super) struct Dead {
    pair: usize,
    side: usize,
    by: Times,
    own: u64,
    before: Option<Arc<Dead>>,
}

pub(super) struct Node {
    guess: Simplex,
    /// All rows, as the checker numbers them.
    pub rows: Vec<Row>,
    /// Which row each of the guess's is.
    row_of: Vec<usize>,
    /// Greatest place of each piece, across and along.
    high: Vec<i64>,
    /// By piece.
    pub stances: Vec<Option<usize>>,
    /// The sides left of each pair of parts.
    pub left: Vec<u64>,
    /// Turns left to garments.
    open: Vec<(u32, Turns)>,
    dead: Option<Arc<Dead>>,
}

/// What became of a node.
pub(super) enum Solved {
    Point,
    Refused(Times),
    Unclear,
}

impl Node {
    pub fn root(pieces: &Pieces, length: i64, pairs: usize) -> Self {
        let mut high = Vec::new();
        for &kind in &pieces.kind_of {
            let stances = &pieces.kinds[kind].stances;
            let most = |room: &mut dyn Iterator<Item = i64>| room.max().unwrap_or(0).max(0) as f64;
            high.push(most(&mut stances.iter().map(|s| pieces.usable - s.across)));
            high.push(most(&mut stances.iter().map(|s| length - s.along)));
        }
        Node {
            guess: Simplex::new(high),
            rows: Vec::new(),
            row_of: Vec::new(),
            high: vec![0; 2 * pieces.kind_of.len()],
            stances: vec![None; pieces.kind_of.len()],
            left: vec![0; pairs],
            open: Vec::new(),
            dead: None,
        }
    }

    /// Whether a piece may take a stance, by the rules that leave out what is alike.
    pub fn may_take(&self, pieces: &Pieces, length: i64, piece: usize, number: usize) -> bool {
        let kind = &pieces.kinds[pieces.kind_of[piece]];
        let stance = &kind.stances[number];
        let place = kind.pieces.iter().position(|&p| p == piece).unwrap_or(0);
        let before = place
            .checked_sub(1)
            .and_then(|before| self.stances[kind.pieces[before]]);
        let of_kind = pieces.kind_of[piece];
        let is_left = match pieces.turned {
            Turned::Only(k) if k == of_kind => stance.reversed.is_some_and(|r| number <= r),
            Turned::Half(k) if k == of_kind => {
                number == 0 || place >= kind.pieces.len().div_ceil(2)
            }
            _ => true,
        };
        stance.across <= pieces.usable
            && stance.along <= length
            && is_left
            && before.is_none_or(|before| before <= number)
            && !self
                .turns_left(kind.garment)
                .common(stance.turns)
                .is_empty()
    }

    fn turns_left(&self, garment: Option<u32>) -> Turns {
        let open = self.open.iter().find(|(other, _)| Some(*other) == garment);
        open.map_or(Turns::ALL, |(_, turns)| *turns)
    }

    /// Takes it.
    pub fn take(&mut self, pieces: &Pieces, length: i64, piece: usize, number: usize) {
        let kind = &pieces.kinds[pieces.kind_of[piece]];
        let stance = &kind.stances[number];
        if let Some(garment) = kind.garment {
            let left = self.turns_left(kind.garment).common(stance.turns);
            self.open.retain(|(other, _)| *other != garment);
            self.open.push((garment, left));
        }
        self.stances[piece] = Some(number);
        let (x, y) = (2 * piece, 2 * piece + 1);
        (self.high[x], self.high[y]) = (pieces.usable - stance.across, length - stance.along);
        self.guess.narrow(x, self.high[x] as f64);
        self.guess.narrow(y, self.high[y] as f64);
        let place = kind.pieces.iter().position(|&p| p == piece).unwrap_or(0);
        if let Some(before) = place.checked_sub(1).map(|before| kind.pieces[before])
            && self.stances[before] == Some(number)
        {
            self.add(Row::new(&[(y, 1), (2 * before + 1, -1)], 0));
        }
        let first = kind.pieces[0];
        let (of_kind, is_last) = (pieces.kind_of[piece], place + 1 == kind.pieces.len());
        match pieces.turned {
            Turned::Only(k) if k == of_kind && stance.reversed == Some(number) => {
                self.add(Row::new(&[(y, -2)], -self.high[y]));
            }
            Turned::Ends(k) if k == of_kind && is_last => {
                self.add(Row::new(&[(2 * first + 1, -1), (y, -1)], -self.high[y]));
            }
            _ => {}
        }
        if pieces.are_even && piece == 0 {
            self.add(Row::new(&[(x, -2)], -self.high[x]));
        }
    }

    /// The same, where the guess has gone on.
    pub fn with(&self, guess: Simplex) -> Self {
        Node {
            guess,
            rows: self.rows.clone(),
            row_of: self.row_of.clone(),
            high: self.high.clone(),
            stances: self.stances.clone(),
            left: self.left.clone(),
            open: self.open.clone(),
            dead: self.dead.clone(),
        }
    }

    /// The same again.
    pub fn again(&self) -> Self {
        self.with(self.guess.clone())
    }

    /// What it has no more need of.
    pub fn into_guess(self) -> Simplex {
        self.guess
    }

    /// Where a piece lies.
    pub fn at(&self, piece: usize) -> (f64, f64) {
        (self.guess.value(2 * piece), self.guess.value(2 * piece + 1))
    }

    /// A row that counts, and that the guess knows of.
    fn add(&mut self, row: Row) {
        let (terms, floor) = row.guess();
        self.guess.add(terms, floor);
        self.row_of.push(self.rows.len());
        self.rows.push(row);
    }

    /// The second of two pieces lies beyond this side of the first, as the guess already knows.
    pub fn put_beyond(&mut self, pair: [usize; 2], side: Side) {
        self.row_of.push(self.rows.len());
        self.rows.push(beyond(pair, side, 1));
    }

    /// Whether it can lie there: how the guess goes on if so, else what refuses it. `spare` has room for guesses.
    pub fn probe(
        &mut self,
        pair: [usize; 2],
        side: Side,
        spare: &mut Vec<Simplex>,
        work: &mut u64,
    ) -> Result<Simplex, Times> {
        let row = beyond(pair, side, 1);
        let mut guess = spare.pop().unwrap_or_default();
        guess.clone_from(&self.guess);
        let (terms, floor) = row.guess();
        guess.add(terms, floor);
        *work = work.saturating_sub(600);
        match guess.solve(work) {
            Found::Point | Found::Lost => Ok(guess),
            Found::None(by) => {
                self.row_of.push(self.rows.len());
                self.rows.push(row);
                let refused = self.refused(&by, work);
                self.row_of.pop();
                self.rows.pop();
                match refused {
                    Some(by) => {
                        spare.push(guess);
                        Err(by)
                    }
                    None => Ok(guess),
                }
            }
        }
    }

    /// It does not lie beyond this one, which the guess need not know.
    pub fn put_before(&mut self, pair: [usize; 2], side: Side, is_known: bool) {
        let row = beyond(pair, side, -1);
        if is_known {
            self.add(row);
        } else {
            self.rows.push(row);
        }
    }

    /// Where the second of two pieces lies from the first.
    pub fn apart(&self, [one, other]: [usize; 2]) -> (f64, f64) {
        let of = |way: usize| self.guess.value(2 * other + way) - self.guess.value(2 * one + way);
        (of(0), of(1))
    }

    pub fn solve(&mut self, work: &mut u64) -> Solved {
        match self.guess.solve(work) {
            Found::Point => Solved::Point,
            Found::Lost => Solved::Unclear,
            Found::None(by) => {
                let refused = self.refused(&by, work);
                refused.map_or(Solved::Unclear, Solved::Refused)
            }
        }
    }

    /// In whole numbers.
    fn refused(&self, by: &[(usize, f64)], work: &mut u64) -> Option<Times> {
        *work = work.saturating_sub(1_500);
        let of = |&(row, times): &(usize, f64)| (self.row_of[row], times);
        let by: Vec<(usize, f64)> = by.iter().map(of).collect();
        whole(&self.rows, &by, &self.high)
    }

    /// Notes that a side is refused; the last row of `by`, if it is `own`, is that of the side itself.
    pub fn bury(&mut self, pair: usize, side: usize, mut by: Times) {
        self.left[pair] &= !(1 << side);
        let own = match by.last() {
            Some(&(row, times)) if row == self.rows.len() => {
                by.pop();
                times
            }
            _ => 0,
        };
        self.dead = Some(Arc::new(Dead {
            pair,
            side,
            by,
            own,
            before: self.dead.take(),
        }));
    }

    /// What refuses a side, where its own row would be the next.
    pub fn refusing(&self, pair: usize, side: usize) -> Option<Times> {
        let mut next = self.dead.as_ref();
        while let Some(dead) = next {
            if (dead.pair, dead.side) == (pair, side) {
                let mut by = dead.by.clone();
                if dead.own > 0 {
                    by.push((self.rows.len(), dead.own));
                }
                return Some(by);
            }
            next = dead.before.as_ref();
        }
        None
    }
}

fn beyond([one, other]: [usize; 2], side: Side, sign: i64) -> Row {
    let (x, y) = (sign * side.normal.x, sign * side.normal.y);
    let terms = [
        (2 * other, x),
        (2 * other + 1, y),
        (2 * one, -x),
        (2 * one + 1, -y),
    ];
    Row::new(&terms, sign * side.floor)
}
