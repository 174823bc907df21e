//! Who has room side by side.

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
    /// Whether companies were refused.
    said: HashMap<Company, bool>,
}

/// Numbers of parts in rising order, one for each piece; one number may come again.
pub(super) type Company = Vec<usize>;

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

    pub fn spend(&mut self, work: u64) {
        self.work = self.work.saturating_sub(work);
    }

    /// Whether they are narrow enough together, there are so many copies, and no garment is turned two ways: of a company
    /// for which that is so without the last one.
    pub fn has_width_for(&self, company: &[usize]) -> bool {
        let widths = company.iter().map(|&number| self.parts[number].width);
        let Some((&last, others)) = company.split_last() else {
            return true;
        };
        let part = self.parts[last];
        let of_kind = others
            .iter()
            .filter(|&&other| self.parts[other].kind == part.kind);
        let together = |&other: &usize| {
            let other = self.parts[other].stance;
            self.distances.go_together(self.kinds, other, part.stance)
        };
        // A part whose width is nothing is taken as one micrometre wide; of these there are no more than pieces.
        company.len() <= MOST
            && widths.sum::<i64>() <= self.usable + MOST as i64
            && (of_kind.count() as i64) < self.kinds[part.kind].copies
            && others.iter().all(together)
    }

    /// Whether these have no room side by side, wherever in their parts the height is that they share.
    pub fn is_refused(&mut self, company: &[usize]) -> bool {
        if company.len() < 2 {
            return false;
        }
        self.spend(A_COMPANY);
        self.looked += 1;
        if self.looked.is_multiple_of(OFTEN) && (self.stop)() {
            self.work = 0;
        }
        if let Some(&said) = self.said.get(company) {
            return said;
        }
        let part = |&number: &usize| self.parts[number];
        let mut lying: Vec<[i64; 2]> = company.iter().map(part).map(|p| [p.from, p.to]).collect();
        let limit = |part: Part| self.cloth - self.distances.stances[part.stance].across();
        let limits: Vec<i64> = company.iter().map(part).map(limit).collect();
        // In the middles they may have room at once.
        let middles = lying.iter().map(|[from, to]| (from + to) / 2);
        let mut middles: Vec<[i64; 2]> = middles.map(|middle| [middle; 2]).collect();
        let mut questions = MOST_HALVES;
        let is_refused = self.is_refused_in(company, &limits, &mut middles, &mut 1)
            && self.is_refused_in(company, &limits, &mut lying, &mut questions);
        if self.said.len() < MOST_SAID {
            self.said.insert(company.to_vec(), is_refused);
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
