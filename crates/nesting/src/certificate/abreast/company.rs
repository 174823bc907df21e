//! What a company is worth at most: all that are not refused, the best for their width first.

use std::collections::{HashMap, HashSet};

use super::super::beside::{Beside, Lying};
use super::super::figures::Figures;
use super::super::room::is_missing;
use super::super::sections::PARTS;

/// A piece between two heights of its own, and what it is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Part {
    pub figure: usize,
    pub from: i64,
    pub to: i64,
    pub worth: u64,
}

/// Pieces in a company at most; with more nothing is proved.
const MOST: usize = 24;

/// Heights are halved down to so many micrometres, in so many questions about one company.
const SHORT: i64 = 200;
const QUESTIONS: u32 = 600;

/// Orders across that are tried in one question.
const ORDERS: u64 = 5_000;

/// Companies, and polygons that meet in them, looked at at most: some ten seconds.
const MOST_LOOKS: u64 = 20_000_000;
const MOST_POLYGONS: u64 = 50_000_000;

/// After so many companies it is asked whether to stop.
const OFTEN: u64 = 64;

/// A part that is worth something.
#[derive(Clone, Copy)]
struct Worthy {
    part: Part,
    /// The least section, in parts of a micrometre, one at least.
    width: i64,
}

/// A company that grows.
struct Company {
    /// In rising order.
    members: Vec<usize>,
    worth: u64,
    /// Width that is left.
    left: i64,
}

/// The search for the best company.
pub(super) struct Worth<'w> {
    figures: &'w Figures,
    beside: Beside<'w>,
    /// Those that are worth most for their width first.
    order: Vec<Worthy>,
    room: i64,
    best: u64,
    looks: u64,
    stop: &'w dyn Fn() -> bool,
    refused: HashSet<Vec<usize>>,
    /// What was asked in vain, at a first look or closely.
    open: HashMap<Vec<usize>, bool>,
}

impl<'w> Worth<'w> {
    pub fn new(
        figures: &'w Figures,
        parts: &[Part],
        wider: i64,
        stop: &'w dyn Fn() -> bool,
    ) -> Self {
        let in_parts = |um: i64| um.saturating_mul(PARTS as i64);
        let worthy = |part: &Part| {
            let figure = &figures.all[part.figure];
            let section = figure.narrowest(part.from, part.to).unwrap_or(0);
            Worthy {
                part: *part,
                width: (section + in_parts(wider)).max(1),
            }
        };
        let worthies = parts.iter().filter(|part| part.worth > 0).map(worthy);
        let mut order: Vec<Worthy> = worthies.collect();
        let density = |w: &Worthy| (i128::from(w.part.worth), i128::from(w.width));
        order.sort_by(|a, b| {
            let ((one, wide), (other, width)) = (density(a), density(b));
            (other * wide).cmp(&(one * width))
        });
        Worth {
            beside: Beside::new(figures),
            order,
            // One that is narrower than a part is taken as wide as one.
            room: in_parts(figures.usable + wider) + MOST as i64,
            figures,
            best: 0,
            looks: 0,
            stop,
            refused: HashSet::new(),
            open: HashMap::new(),
        }
    }

    /// The most that a company is worth; `None` if there is too much to look at, or it is to stop.
    pub fn most(mut self) -> Option<u64> {
        let nobody = Company {
            members: Vec::new(),
            worth: 0,
            left: self.room,
        };
        self.grow(&nobody, 0)?;
        Some(self.best)
    }

    /// All companies that begin like this one and go on with those from `first` on.
    fn grow(&mut self, company: &Company, first: usize) -> Option<()> {
        for next in first..self.order.len() {
            let Worthy { part, width } = self.order[next];
            // At most all that is left, at this worth for its width.
            let more = i128::from(company.left) * i128::from(part.worth);
            let missing = i128::from(self.best) - i128::from(company.worth);
            if more <= missing * i128::from(width) {
                return Some(());
            }
            self.looks += 1;
            let is_too_much = self.looks > MOST_LOOKS || self.beside.looks() > MOST_POLYGONS;
            if is_too_much || self.looks.is_multiple_of(OFTEN) && (self.stop)() {
                return None;
            }
            if width > company.left || !self.may_join(&company.members, next) {
                continue;
            }
            if company.members.len() == MOST {
                return None;
            }
            let mut members = company.members.clone();
            members.push(next);
            let worth = company.worth + part.worth;
            let is_better = worth > self.best;
            if self.is_refused(&members, is_better) {
                continue;
            }
            self.best = self.best.max(worth);
            let with = Company {
                members,
                worth,
                left: company.left - width,
            };
            self.grow(&with, next)?;
        }
        Some(())
    }

    /// Whether there is a copy left, and garments need not be turned two ways.
    fn may_join(&self, members: &[usize], next: usize) -> bool {
        let figure = self.order[next].part.figure;
        let kind = self.figures.all[figure].kind;
        let others = || members.iter().map(|&m| self.order[m].part.figure);
        let of_kind = others().filter(|&other| self.figures.all[other].kind == kind);
        (of_kind.count() as u64) < self.figures.kinds[kind].copies
            && others().all(|other| self.figures.go_together(other, figure))
    }

    /// Whether these have no room side by side, at a first look, or closely.
    fn is_refused(&mut self, members: &[usize], closely: bool) -> bool {
        if members.len() < 2 {
            return false;
        }
        if self.refused.contains(members) {
            return true;
        }
        if let Some(&was_closely) = self.open.get(members)
            && (was_closely || !closely)
        {
            return false;
        }
        let lying = |&member: &usize| {
            let part = self.order[member].part;
            // The lower end, if the height that all of them share is nothing.
            Lying {
                figure: part.figure,
                shape: None,
                from: -part.to,
                to: -part.from,
            }
        };
        let mut all: Vec<Lying> = members.iter().map(lying).collect();
        let limit = |lying: &Lying| self.figures.usable - self.figures.all[lying.figure].across;
        let limits: Vec<i64> = all.iter().map(limit).collect();
        let mut left = if closely { QUESTIONS } else { 1 };
        let is_refused = self.is_nowhere(&limits, &mut all, &mut left);
        if is_refused {
            self.refused.insert(members.to_vec());
        } else {
            self.open.insert(members.to_vec(), closely);
        }
        is_refused
    }

    /// Whether all halves of these heights are refused.
    fn is_nowhere(&mut self, limits: &[i64], all: &mut [Lying], left: &mut u32) -> bool {
        if *left == 0 {
            return false;
        }
        *left -= 1;
        let gaps = self.beside.gaps(all, 1);
        if gaps.is_none_or(|gaps| is_missing(limits, &gaps, &mut ORDERS.clone())) {
            return true;
        }
        let length = |lying: &Lying| lying.to - lying.from;
        let longest = (0..all.len()).max_by_key(|&piece| length(&all[piece]));
        let Some(piece) = longest.filter(|&piece| length(&all[piece]) > SHORT) else {
            return false;
        };
        let whole = all[piece];
        let middle = whole.from + length(&whole) / 2;
        let is_refused =
            [(whole.from, middle), (middle, whole.to)]
                .into_iter()
                .all(|(from, to)| {
                    all[piece] = Lying { from, to, ..whole };
                    self.is_nowhere(limits, all, left)
                });
        all[piece] = whole;
        is_refused
    }
}
