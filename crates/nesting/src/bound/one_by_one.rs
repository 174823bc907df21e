//! Pieces no two of which can lie side by side: one behind the other, in the best order.
//!
//! Taken in the order of their lower ends, each is at least as far from the one before as the two allow
//! ([`Apart::least`]). The least that these distances add up to, with the length of the last piece, over
//! all orders and ways to turn them, is a bound: by how many copies of each kind are laid, and which lies
//! last. Source of the scheme over subsets: Held and Karp 1962 (from memory).
//!
//! What is then said is what a certificate of it proves ([`crate::certificate`]), which is as much or nearly so.
//!
//! [`Apart::least`]: super::apart::Apart::least

use std::rc::Rc;

use super::apart::Distances;
use super::kinds::Kind;
use super::search::Search;
use super::within::within;
use crate::certificate;
use crate::geometry::WITHIN;
use crate::verdict::Argument;

/// Steps from one state to the next, at most; and kinds.
const MOST_STEPS: usize = 2_000_000;
const MOST_KINDS: usize = 16;

impl Search<'_> {
    /// Pieces of which no two can lie side by side.
    pub(super) fn one_by_one(&mut self) {
        let cloth = self.problem.cloth.usable_width().um();
        let narrowest = |kind: &Kind| {
            let items = kind
                .items
                .iter()
                .map(|&(item, _)| &self.problem.items[item]);
            let boxes = items.map(|item| item.outline.bounds());
            boxes
                .map(|b| b.across().min(b.along()).um())
                .min()
                .unwrap_or(0)
        };
        // Two of them at least are wider than the cloth together.
        let mut wide: Vec<(i64, usize)> = (0..self.kinds.len())
            .map(|kind| (narrowest(&self.kinds[kind]), kind))
            .collect();
        wide.sort_unstable_by(|a, b| b.cmp(a));
        let widest = wide.first().map_or(0, |&(across, _)| across);
        wide.retain(|&(across, _)| across + widest > cloth);
        wide.truncate(MOST_KINDS);
        let order: Vec<usize> = wide.into_iter().map(|(_, kind)| kind).collect();
        if order.iter().map(|&k| self.kinds[k].copies).sum::<i64>() < 2 {
            return;
        }
        // Those between all kinds are needed later, where there are few.
        let (all, order, distances) = if self.are_few() {
            (self.kinds.clone(), order, self.distances())
        } else {
            let all: Vec<Kind> = order.iter().map(|&k| self.kinds[k].clone()).collect();
            let distances = Distances::of(self.problem, &all, self.grown).map(Rc::new);
            let order = (0..all.len()).collect();
            (all, order, distances)
        };
        let Some(distances) = distances else {
            return;
        };
        let chosen = no_two_abreast(&all, &order, &distances);
        let Some(length) = shortest_chain(&all, &chosen, &distances) else {
            return;
        };
        let mut items: Vec<usize> = chosen.iter().flat_map(|&k| all[k].each_copy()).collect();
        items.sort_unstable();
        // To check it takes a while, so only what is an answer is.
        if length <= self.best.length.um().max(self.floor) {
            return;
        }
        // Said is what can be checked, with polygons that are cut anew for each item.
        let mut named = items.clone();
        named.dedup();
        let within = within(self.problem, named.into_iter(), &[WITHIN]);
        if let Some(least) = certificate::least_one_by_one(self.problem, &items, &within) {
            let length = least.um() + self.grown.along;
            self.offer(length, || Argument::NoTwoAbreast { items, within });
        }
    }
}

/// Those of the kinds, taken in this order, no two copies of which can lie side by side.
fn no_two_abreast(kinds: &[Kind], order: &[usize], distances: &Distances) -> Vec<usize> {
    let Distances { stances, apart, .. } = distances;
    let meet = |one: usize, other: usize| {
        let of = |kind: usize| (0..stances.len()).filter(move |&s| stances[s].kind == kind);
        let pairs = of(one).flat_map(|s| of(other).map(move |t| (s, t)));
        let mut pairs = pairs.filter(|&(s, t)| distances.go_together(kinds, s, t));
        pairs.all(|(s, t)| apart[s][t].least() > 0 && apart[t][s].least() > 0)
    };
    let mut chosen: Vec<usize> = Vec::new();
    for &kind in order {
        let is_alone = kinds[kind].copies < 2 || meet(kind, kind);
        if is_alone && chosen.iter().all(|&other| meet(other, kind)) {
            chosen.push(kind);
        }
    }
    chosen
}

/// The least length of all copies of these kinds one behind the other; `None` if there are too many orders.
fn shortest_chain(kinds: &[Kind], chosen: &[usize], distances: &Distances) -> Option<i64> {
    let stances: Vec<usize> = (0..distances.stances.len())
        .filter(|&s| chosen.contains(&distances.stances[s].kind))
        .collect();
    // A state is how many copies of each kind are laid, written as one number.
    let mut places = Vec::new();
    let mut states = 1_usize;
    for &kind in chosen {
        places.push(states);
        let digits = usize::try_from(kinds[kind].copies).ok()?.checked_add(1)?;
        states = states.checked_mul(digits)?;
        if states.checked_mul(stances.len().pow(2))? > MOST_STEPS {
            return None;
        }
    }
    let digit = |stance: usize| {
        let kind = distances.stances[stance].kind;
        chosen.iter().position(|&k| k == kind)
    };
    let digits: Vec<usize> = stances.iter().filter_map(|&s| digit(s)).collect();
    let copies = |digit: usize| kinds[chosen[digit]].copies as usize;
    // Where the last one begins at least, by state and last stance.
    let mut least = vec![i64::MAX; states * stances.len()];
    for (last, &digit) in digits.iter().enumerate() {
        least[places[digit] * stances.len() + last] = 0;
    }
    for state in 1..states {
        for (last, &from) in stances.iter().enumerate() {
            let here = least[state * stances.len() + last];
            if here == i64::MAX {
                continue;
            }
            for (next, (&to, &digit)) in stances.iter().zip(&digits).enumerate() {
                let is_left = state / places[digit] % (copies(digit) + 1) < copies(digit);
                if is_left && distances.go_together(kinds, from, to) {
                    let after = &mut least[(state + places[digit]) * stances.len() + next];
                    *after = (*after).min(here + distances.apart[from][to].least());
                }
            }
        }
    }
    let last = &least[(states - 1) * stances.len()..];
    let ends = stances.iter().zip(last).filter(|(_, y)| **y < i64::MAX);
    ends.map(|(&s, y)| y + distances.stances[s].along()).min()
}
