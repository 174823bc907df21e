//! The company that is worth most.

use std::collections::HashMap;

use super::super::apart::Distances;
use super::super::kinds::Kind;
use super::part::Part;
use crate::exact::side_by_side::{Gap, MOST, Row, in_a_row};

/// Parts are halved no further than to so many micrometres.
const SHORT: i64 = 400;

/// Questions about one company, at most.
const MOST_HALVES: u32 = 400;

/// How much longer a question takes than its gaps and orders say.
const A_ROW: u64 = 3;

/// After so many companies it is asked whether to give up.
const OFTEN: u32 = 256;

/// Companies remembered, at most.
const MOST_SAID: usize = 1_000_000;

/// What it takes to look up a company, in about nanoseconds.
const A_COMPANY: u64 = 1_000;

/// Nodes in the search for an order across, at most.
const MOST_ORDERS: u32 = 200;

/// Who may lie abreast.
pub(super) struct Companies<'c> {
    pub parts: &'c [Part],
    pub kinds: &'c [Kind],
    pub distances: &'c Distances,
    /// What sections share, grown.
    pub usable: i64,
    /// Usable width, not grown.
    pub cloth: i64,
    /// In about nanoseconds.
    pub work: u64,
    stop: &'c dyn Fn() -> bool,
    looked: u32,
    /// What was said of companies, in rising order of their parts.
    said: HashMap<Company, Said>,
}

/// What was said of a company.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Said {
    Refused,
    /// Not at a first look, or not in all questions.
    Open(bool),
}

/// Numbers of parts, one for each piece; one number may come again.
pub(super) type Company = Vec<usize>;

/// A part that is worth something.
pub(super) struct Worthy {
    pub part: usize,
    worth: u64,
    /// For its width.
    density: f64,
}

/// What was found.
pub(super) struct Worthiest {
    /// The worth of the best.
    pub most: u64,
    /// Ever better ones.
    pub found: Vec<Company>,
}

/// A company, the width it leaves, and its worth.
struct Node {
    company: Company,
    left: i64,
    worth: u64,
}

impl<'c> Companies<'c> {
    pub fn new(
        parts: &'c [Part],
        kinds: &'c [Kind],
        distances: &'c Distances,
        [usable, cloth]: [i64; 2],
        work: u64,
        stop: &'c dyn Fn() -> bool,
    ) -> Self {
        Companies {
            parts,
            kinds,
            distances,
            usable,
            cloth,
            work,
            stop,
            looked: 0,
            said: HashMap::new(),
        }
    }

    /// What all pieces bring at least, of parts that are worth so much: lengths times worth.
    pub fn brought(&self, worth: &[u64]) -> i128 {
        let mut least: Vec<Option<i128>> = vec![None; self.kinds.len()];
        let mut rest = worth;
        for parts in self.parts.chunk_by(|one, other| one.stance == other.stance) {
            let (of_these, others) = rest.split_at(parts.len());
            rest = others;
            let each = parts.iter().zip(of_these);
            let sum = each
                .map(|(part, &w)| i128::from(part.thick()) * i128::from(w))
                .sum();
            let least = &mut least[parts[0].kind];
            *least = Some(least.map_or(sum, |known| known.min(sum)));
        }
        let kinds = self.kinds.iter().zip(least);
        kinds
            .map(|(kind, least)| i128::from(kind.copies) * least.unwrap_or(0))
            .sum()
    }

    /// Parts that are worth something, those first that are worth most for their width.
    pub fn order(&self, worth: &[u64]) -> Vec<Worthy> {
        let parts = self.parts.iter().zip(worth).enumerate();
        let worthy = parts.map(|(part, (Part { width, .. }, &worth))| Worthy {
            part,
            worth,
            density: worth as f64 / *width as f64,
        });
        let mut all: Vec<Worthy> = worthy.filter(|worthy| worthy.worth > 0).collect();
        all.sort_by(|a, b| b.density.total_cmp(&a.density).then(a.part.cmp(&b.part)));
        all
    }

    /// The company that is worth most, if that is more than `above`, of all or of those that hold `with`; and some
    /// others on the way there. `None` if there is too little work to look at all.
    pub fn worthiest(
        &mut self,
        order: &[Worthy],
        with: Option<&Worthy>,
        above: u64,
    ) -> Option<Worthiest> {
        let mut best = Worthiest {
            most: above,
            found: Vec::new(),
        };
        // A part whose width is nothing is taken as one micrometre wide; of these there are no more than pieces.
        let room = self.usable + MOST as i64;
        let node = Node {
            left: room - with.map_or(0, |with| self.parts[with.part].width),
            worth: with.map_or(0, |with| with.worth),
            company: with.iter().map(|with| with.part).collect(),
        };
        self.extend(&node, order, &mut best).then_some(best)
    }

    /// Tries all that can be added, in their order; false if there was too little work, or more pieces than are asked about.
    fn extend(&mut self, node: &Node, order: &[Worthy], best: &mut Worthiest) -> bool {
        if node.company.len() == MOST {
            return false;
        }
        for (place, next) in order.iter().enumerate() {
            self.spend(20);
            if self.work == 0 {
                return false;
            }
            let at_most = node.worth as f64 + node.left as f64 * next.density * (1.0 + 1e-9);
            if at_most < best.most as f64 + 1.0 {
                return true;
            }
            let part = self.parts[next.part];
            if part.width > node.left {
                continue;
            }
            self.spend(30 * node.company.len() as u64);
            if !self.goes_with(&node.company, next.part) {
                continue;
            }
            self.spend(A_COMPANY);
            self.looked += 1;
            if self.looked.is_multiple_of(OFTEN) && (self.stop)() {
                self.work = 0;
            }
            let mut company = node.company.clone();
            company.push(next.part);
            let node = Node {
                left: node.left - part.width,
                worth: node.worth + next.worth,
                company,
            };
            let is_better = node.worth > best.most;
            if self.is_refused(&node.company, is_better) {
                continue;
            }
            if is_better {
                best.most = node.worth;
                best.found.push(node.company.clone());
            }
            if !self.extend(&node, &order[place..], best) {
                return false;
            }
        }
        true
    }

    fn spend(&mut self, work: u64) {
        self.work = self.work.saturating_sub(work);
    }

    /// Whether there is a copy left, and its garment may be turned so.
    fn goes_with(&self, company: &[usize], number: usize) -> bool {
        let part = self.parts[number];
        let of_kind = company
            .iter()
            .filter(|&&other| self.parts[other].kind == part.kind);
        let together = |&other: &usize| {
            let other = self.parts[other].stance;
            self.distances.go_together(self.kinds, other, part.stance)
        };
        (of_kind.count() as i64) < self.kinds[part.kind].copies && company.iter().all(together)
    }

    /// Whether these have no room side by side, wherever in their parts the height is that they share; looked at
    /// once, or `closely`.
    fn is_refused(&mut self, company: &[usize], closely: bool) -> bool {
        if company.len() < 2 {
            return false;
        }
        let mut company = company.to_vec();
        company.sort_unstable();
        match self.said.get(&company) {
            Some(Said::Refused) => return true,
            Some(Said::Open(was_closely)) if *was_closely || !closely => return false,
            _ => {}
        }
        let part = |&number: &usize| self.parts[number];
        let mut lying: Vec<[i64; 2]> = company.iter().map(part).map(|p| [p.from, p.to]).collect();
        let limit = |part: Part| self.cloth - self.distances.stances[part.stance].across();
        let limits: Vec<i64> = company.iter().map(part).map(limit).collect();
        let mut questions = if closely { MOST_HALVES } else { 1 };
        let is_refused = self.is_refused_in(&company, &limits, &mut lying, &mut questions);
        let said = if is_refused {
            Said::Refused
        } else {
            Said::Open(closely)
        };
        if self.said.len() < MOST_SAID {
            self.said.insert(company, said);
        }
        is_refused
    }

    fn is_refused_in(
        &mut self,
        company: &[usize],
        limits: &[i64],
        lying: &mut [[i64; 2]],
        questions: &mut u32,
    ) -> bool {
        if *questions == 0 || self.work == 0 {
            return false;
        }
        *questions -= 1;
        let mut work = 500;
        let mut gaps = Vec::new();
        for second in 1..company.len() {
            for first in 0..second {
                let (one, two) = (self.parts[company[first]], self.parts[company[second]]);
                // Where the second's lower end is, from the first's.
                let band = [
                    lying[first][0] - lying[second][1],
                    lying[first][1] - lying[second][0],
                ];
                let apart = &self.distances.apart[one.stance][two.stance];
                if apart.refuses(band) {
                    self.spend(A_ROW * work);
                    return true;
                }
                work += apart.work();
                gaps.extend(Gap::between(first, second, apart.gaps(band, None, None)));
            }
        }
        let row = in_a_row(
            limits,
            &gaps,
            &[],
            None,
            MOST_ORDERS,
            &mut work,
            &mut [0; MOST],
        );
        self.spend(A_ROW * work);
        if matches!(row, Row::None(_)) {
            return true;
        }
        let longest = (0..lying.len()).max_by_key(|&piece| lying[piece][1] - lying[piece][0]);
        let Some(longest) = longest.filter(|&l| lying[l][1] - lying[l][0] > SHORT) else {
            return false;
        };
        let [from, to] = lying[longest];
        let middle = from + (to - from) / 2;
        let halves = [[from, middle], [middle, to]].into_iter();
        let is_refused = halves.into_iter().all(|half| {
            lying[longest] = half;
            self.is_refused_in(company, limits, lying, questions)
        });
        lying[longest] = [from, to];
        is_refused
    }
}
