//! Goes through a tree, node by node.

use super::apart::Side;
use super::laid::{Laid, Stance};
use super::word::{LEAF, PAIR, STANCE};

/// Nodes below each other at most, and rows on the way.
const MOST_DEEP: usize = 600;
const MOST_ROWS: usize = 40_000;

/// How often a row may count.
const MOST_TIMES: u64 = 1 << 53;

/// Factors of variables, and what their sum is at least.
struct Row {
    terms: [(usize, i64); 4],
    least: i64,
}

/// On the way through a tree.
pub(super) struct Walk<'w> {
    laid: &'w Laid,
    length: i64,
    numbers: std::slice::Iter<'w, u64>,
    /// By piece.
    stances: Vec<Option<usize>>,
    /// By variable: x and y of each piece.
    most: Vec<i64>,
    rows: Vec<Row>,
    /// Turns left to garments.
    open: Vec<(u32, u8)>,
}

impl<'w> Walk<'w> {
    pub fn new(laid: &'w Laid, length: i64, numbers: &'w [u64]) -> Self {
        let count = laid.kind_of.len();
        Walk {
            laid,
            length,
            numbers: numbers.iter(),
            stances: vec![None; count],
            most: vec![0; 2 * count],
            rows: Vec::new(),
            open: Vec::new(),
        }
    }

    /// Whether all of it holds, and nothing is left over.
    pub fn holds(mut self) -> bool {
        self.node(0).is_some() && self.numbers.next().is_none()
    }

    fn next(&mut self) -> Option<usize> {
        let next = self.numbers.next()?;
        usize::try_from(*next).ok()
    }

    /// A node and all below it; `None` if it does not hold.
    fn node(&mut self, deep: usize) -> Option<()> {
        if deep > MOST_DEEP || self.rows.len() > MOST_ROWS {
            return None;
        }
        match *self.numbers.next()? {
            LEAF => self.leaf(),
            STANCE => self.stances_of(deep),
            PAIR => self.sides_of(deep),
            _ => None,
        }
    }

    /// Whether the rows named ask for more than there is.
    fn leaf(&mut self) -> Option<()> {
        let mut sums = vec![0_i128; self.most.len()];
        let mut least = 0_i128;
        for _ in 0..self.next()? {
            let row = self.next()?;
            let times = *self.numbers.next()?;
            let row = self.rows.get(row).filter(|_| times <= MOST_TIMES)?;
            let times = i128::from(times);
            least = least.checked_add(times.checked_mul(i128::from(row.least))?)?;
            for &(variable, factor) in &row.terms {
                let more = times.checked_mul(i128::from(factor))?;
                sums[variable] = sums[variable].checked_add(more)?;
            }
        }
        let mut most = 0_i128;
        for (sum, &high) in sums.iter().zip(&self.most) {
            most = most.checked_add(sum.max(&0).checked_mul(i128::from(high))?)?;
        }
        (most < least).then_some(())
    }

    fn stances_of(&mut self, deep: usize) -> Option<()> {
        let piece = self.next()?;
        let laid = self.laid;
        let kind_of = *laid.kind_of.get(piece)?;
        let kind = &laid.kinds[kind_of];
        let place = kind.pieces.iter().position(|&other| other == piece)?;
        let before = place.checked_sub(1).map(|place| kind.pieces[place]);
        if self.stances[piece].is_some() || before.is_some_and(|b| self.stances[b].is_none()) {
            return None;
        }
        let least = before.and_then(|before| self.stances[before]).unwrap_or(0);
        let is_told = laid.turned == Some(kind_of);
        let count = kind.pieces.len();
        for (number, stance) in kind.stances.iter().enumerate().skip(least) {
            let is_left_out = is_told
                && if count == 1 {
                    stance.about.is_some_and(|about| about < number)
                } else {
                    number > 0 && place < count.div_ceil(2)
                };
            let fits = stance.across <= laid.usable && stance.along <= self.length;
            let open = self.open.clone();
            if is_left_out || !fits || !self.turn(kind.garment, stance.turns) {
                continue;
            }
            let rows = self.rows.len();
            let (x, y) = (2 * piece, 2 * piece + 1);
            let free = [laid.usable - stance.across, self.length - stance.along];
            self.stances[piece] = Some(number);
            [self.most[x], self.most[y]] = free;
            if let Some(before) = before.filter(|_| least == number) {
                self.add(&[(y, 1), (2 * before + 1, -1)], 0);
            }
            if is_told && stance.about == Some(number) {
                if count == 1 {
                    self.add(&[(y, -2)], -free[1]);
                } else if place + 1 == count {
                    self.add(&[(2 * kind.pieces[0] + 1, -1), (y, -1)], -free[1]);
                }
            }
            if laid.are_even && piece == 0 {
                self.add(&[(x, -2)], -free[0]);
            }
            self.node(deep + 1)?;
            self.rows.truncate(rows);
            self.open = open;
        }
        self.stances[piece] = None;
        Some(())
    }

    /// Leaves a garment these turns only; false, and all as it was, if none is left.
    fn turn(&mut self, garment: Option<u32>, turns: u8) -> bool {
        let Some(garment) = garment else {
            return turns != 0;
        };
        match self.open.iter_mut().find(|(other, _)| *other == garment) {
            Some((_, open)) if *open & turns == 0 => false,
            Some((_, open)) => {
                *open &= turns;
                true
            }
            None => {
                self.open.push((garment, turns));
                turns != 0
            }
        }
    }

    fn sides_of(&mut self, deep: usize) -> Option<()> {
        let (one, other, parts) = (self.next()?, self.next()?, self.next()?);
        let first = self.stance(one)?;
        let second = self.stance(other)?;
        let seconds = second.parts.len();
        if one == other || parts >= first.parts.len() * seconds {
            return None;
        }
        let (of_first, of_second) = (parts / seconds, parts % seconds);
        let sides = self
            .laid
            .sides((first, of_first), (second, of_second), self.length);
        let rows = self.rows.len();
        for (number, side) in sides.iter().enumerate() {
            self.beyond(one, other, side, 1);
            for before in &sides[..number] {
                self.beyond(one, other, before, -1);
            }
            self.node(deep + 1)?;
            self.rows.truncate(rows);
        }
        Some(())
    }

    fn stance(&self, piece: usize) -> Option<&'w Stance> {
        let number = (*self.stances.get(piece)?)?;
        Some(&self.laid.kinds[self.laid.kind_of[piece]].stances[number])
    }

    /// The other lies beyond a side of the one, or not beyond it.
    fn beyond(&mut self, one: usize, other: usize, side: &Side, sign: i64) {
        let (x, y) = (sign * side.x, sign * side.y);
        let terms = [
            (2 * other, x),
            (2 * other + 1, y),
            (2 * one, -x),
            (2 * one + 1, -y),
        ];
        self.add(&terms, sign * side.least);
    }

    fn add(&mut self, terms: &[(usize, i64)], least: i64) {
        let mut all = [(0, 0); 4];
        all[..terms.len()].copy_from_slice(terms);
        self.rows.push(Row { terms: all, least });
    }
}
