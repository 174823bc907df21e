//! Orders of equal or nearly equal pieces: a few pieces laid tightly, again and again.
//!
//! Copies that can stand for each other are one kind ([`kinds`]). For many small sets of pieces ([`sets`]) a tight
//! pattern is looked for: on an endless cloth, where the pattern interlocks with itself, or as a block
//! between two straight cuts ([`trial`]). A small integer program says how often each pattern is laid so that the
//! order is met on the shortest cloth ([`choose`]), and the patterns are laid out one behind the other
//! ([`unroll`]). Rows are patterns as well, so what comes out is hardly longer than the rows, and mostly shorter.
//!
//! Columns priced by what they are worth to the program are the method of Gilmore and Gomory 1961 (from
//! memory); patterns on an endless cloth are our own.

mod choose;
mod columns;
mod kinds;
mod price;
mod sets;
#[cfg(test)]
mod tests;
mod trial;
mod unroll;

use std::sync::Mutex;

use crate::constructive::Layout;
use crate::constructive::board::Regions;
use crate::separate::Fields;
use crate::shapes::Detail;
pub use kinds::Kinds;
use trial::{Pattern, Set, Trial};

/// How long to look, and when to stop.
pub struct Watch<'w> {
    /// Steps to spend at most.
    pub steps: u64,
    pub threads: usize,
    pub seed: u64,
    /// Says when to stop at once.
    pub stop: &'w (dyn Fn() -> bool + Sync),
}

/// Lengths enter linear programs in metres: they work best with numbers near one.
const METRE: f64 = 1e6;

/// Of shapes with more corners, rows and columns are made by coarse outlines: a place among thousands of
/// parts takes too long to find. Pushing apart makes up for it.
const RICH: usize = 100;

/// Share of the steps for making rows.
const PRICING: f64 = 0.2;

/// The same for columns.
const COLUMNS: f64 = 0.2;

/// Shares of the rest for rounds of trials; after each the better ones go on: this many for one.
const ROUNDS: [f64; 3] = [0.3, 0.3, 0.4];
const SIFT: usize = 3;

/// Steps that a trial has use for at most, by its weight.
const MOST_STEPS: u64 = 20_000;

/// Layouts of patterns, shortest first as far as the program can tell, and the steps spent.
#[must_use]
pub fn layouts(kinds: &Kinds, fields: &Fields, watch: &Watch<'_>) -> (Vec<Layout>, u64) {
    let detail = if kinds.shapes.most_corners() > RICH {
        Detail::Coarse
    } else {
        Detail::Fine
    };
    let mut regions = Regions::new(&kinds.problem, &kinds.shapes, detail);
    let mut patterns: Vec<Pattern> = sets::rows(kinds, &mut regions, watch.stop);
    let pricing = |spent: u64| (watch.stop)() || spent as f64 > PRICING * watch.steps as f64;
    let mut spent = price::add_rows(kinds, &mut regions, &mut patterns, watch.seed, &pricing);
    let times = choose::choose(kinds, &patterns, watch.stop)
        .into_iter()
        .next();
    let times = times.unwrap_or_else(|| vec![0; patterns.len()]);
    let sets = sets::sets(kinds, &patterns, &times);
    let (mut trials, columns_steps) = trials(kinds, &mut regions, fields, sets, watch);
    spent += columns_steps;
    let begun = spent;
    for share in ROUNDS {
        if (watch.stop)() || trials.is_empty() {
            break;
        }
        let weight: u64 = trials.iter().map(Trial::weight).sum();
        let most = watch.steps.saturating_sub(begun).min(MOST_STEPS * weight);
        let budget = share * most as f64 / weight as f64;
        let steps = |trial: &Trial<'_>| (budget * trial.weight() as f64) as u64;
        all_at_once(&mut trials, watch, steps);
        trials.sort_by(|a, b| a.waste().total_cmp(&b.waste()));
        let left = trials.len().div_ceil(SIFT);
        for trial in trials.drain(left..) {
            spent += trial.steps();
            patterns.push(trial.pattern());
        }
    }
    for trial in trials {
        spent += trial.steps();
        patterns.push(trial.pattern());
    }
    let chosen = choose::choose(kinds, &patterns, watch.stop);
    let mut layouts: Vec<Layout> = chosen
        .iter()
        .map(|plan| unroll::unroll(kinds, &patterns, plan))
        .collect();
    layouts.sort_by_key(|l| l.length);
    (layouts, spent)
}

/// Of all sets, and of columns; and the steps spent.
fn trials<'a>(
    kinds: &'a Kinds,
    regions: &mut Regions<'a>,
    fields: &'a Fields,
    sets: Vec<Set>,
    watch: &Watch<'_>,
) -> (Vec<Trial<'a>>, u64) {
    let mut trials = Vec::new();
    for (number, set) in sets.into_iter().enumerate() {
        if (watch.stop)() {
            return (trials, 0);
        }
        let seed = watch.seed.wrapping_add(number as u64);
        trials.extend(Trial::new(kinds, regions, fields, set, seed, watch.stop));
    }
    let mut spent = 0;
    let most = (COLUMNS * watch.steps as f64) as u64;
    let is_over = |spent: u64| spent > most || (watch.stop)();
    for kind in sets::own(kinds) {
        let starts = columns::columns(kinds, regions, kind, &mut spent, &is_over);
        for (number, start) in starts.iter().enumerate() {
            let seed = watch.seed.wrapping_sub(number as u64);
            trials.extend(Trial::of_columns(kinds, fields, start, seed));
        }
    }
    (trials, spent)
}

/// Each trial goes on for its steps; as many run at once as there are threads.
fn all_at_once(
    trials: &mut [Trial<'_>],
    watch: &Watch<'_>,
    steps: impl Fn(&Trial<'_>) -> u64 + Sync,
) {
    let queue = Mutex::new(trials.iter_mut());
    let work = || {
        let next = || queue.lock().ok().and_then(|mut queue| queue.next());
        while let Some(trial) = next() {
            trial.run(steps(trial), watch.stop);
        }
    };
    rayon::in_place_scope(|scope| {
        for _ in 1..watch.threads {
            scope.spawn(|_| work());
        }
        work();
    });
}
