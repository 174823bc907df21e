//! Guess, round, work out, learn; again.

use super::super::search::up;
use super::candidates::Candidates;
use super::company::{Companies, Company};
use super::master::{Guess, guess};

/// What a company is worth in whole numbers, about.
const WHOLE: f64 = 10_000.0;

/// How far guesses go from the best so far towards what the program says.
const STEP: f64 = 0.4;

/// Companies added in a round, and what they are worth at least.
const MOST_NEW: usize = 20;
const WORTH_IT: u64 = 10_010;

/// Work for a number of the program, in about nanoseconds.
const A_NUMBER: u64 = 2_000;

/// What is left to gain, as a share of the length, below which no more is tried.
const NEAR: f64 = 2e-4;

/// What the best of parts so far are worth, for one that the best company is.
struct Best {
    worth: Vec<f64>,
    /// What the pieces bring, of what a cloth of the length in question holds.
    reached: f64,
    /// The same in whole numbers, if it proves more than that length.
    proves: Option<Vec<u32>>,
}

/// A worth of the parts that proves more than this length.
///
/// Guesses lie between the best so far, at first the area, and what the program says, which is far off while it
/// knows little (in-out separation: Ben-Ameur and Neto 2007, from memory).
pub(super) fn rounds(
    companies: &mut Companies<'_>,
    mut candidates: Candidates,
    length: i64,
) -> Option<Vec<u32>> {
    let usable = companies.usable as f64;
    let by_width = companies.parts.iter().map(|p| p.width as f64 / usable);
    let mut best = Best {
        worth: by_width.collect(),
        reached: 0.0,
        proves: None,
    };
    let mut known: Vec<Company> = (0..companies.parts.len()).map(|part| vec![part]).collect();
    let by_width = best.worth.clone();
    best.look((companies, &mut candidates), &mut known, &by_width, length)?;
    loop {
        let size = known.len() * (companies.parts.len() + companies.kinds.len());
        let spent = size as u64 * A_NUMBER;
        if spent > companies.work {
            return best.proves;
        }
        companies.work -= spent;
        let Some(Guess { value, worth }) = guess(companies, &known, length) else {
            return best.proves;
        };
        if value <= best.reached.max(1.0) * (1.0 + NEAR) {
            return best.proves;
        }
        let is_news = [STEP, 1.0].into_iter().any(|step| {
            let mix = |(&from, &to): (&f64, &f64)| from + step * (to - from);
            let tried: Vec<f64> = best.worth.iter().zip(&worth).map(mix).collect();
            best.look((companies, &mut candidates), &mut known, &tried, length) == Some(true)
        });
        if !is_news {
            return best.proves;
        }
    }
}

impl Best {
    /// Rounds a guess, works it out, takes it if it is better, and adds the companies that it lets be worth too much;
    /// whether there were new ones, or fewer may be. `None` if there is too little work.
    fn look(
        &mut self,
        (companies, candidates): (&mut Companies<'_>, &mut Candidates),
        known: &mut Vec<Company>,
        guess: &[f64],
        length: i64,
    ) -> Option<bool> {
        let whole: Vec<u64> = guess.iter().map(|w| (w * WHOLE).round() as u64).collect();
        let looked = candidates.best(companies, &whole, WORTH_IT, MOST_NEW)?;
        let held = looked.most.max(1);
        let brought = companies.brought(&whole);
        let reached = brought as f64 / (held as f64 * length as f64);
        if reached > self.reached {
            self.reached = reached;
            self.worth = whole.iter().map(|&w| w as f64 / held as f64).collect();
            if up(brought, i128::from(held)) > length {
                let written = |&w: &u64| u32::try_from(w).unwrap_or(u32::MAX);
                self.proves = Some(whole.iter().map(written).collect());
            }
        }
        let before = known.len();
        let is_new = |company: &Company| !known.contains(company);
        let new: Vec<Company> = looked.found.into_iter().filter(is_new).collect();
        known.extend(new);
        Some(known.len() > before || looked.are_fewer)
    }
}
