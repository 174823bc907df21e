//! Which sets of pieces to look for patterns of.

use std::collections::BTreeSet;

use crate::constructive::board::Regions;
use crate::constructive::rows::shorter_rows;
use crate::constructive::{Laid, Layout, bands};

use super::kinds::Kinds;
use super::trial::{Pattern, Set};

/// Pieces of one kind in a pattern, at most.
const MOST_ALIKE: u32 = 10;

/// Kinds that get patterns of their own: those of the largest area in the order.
const MOST_OWN: usize = 4;

/// Patterns that are joined with each other: those that waste most cloth as often as they are laid.
const MOST_USED: usize = 6;

/// Pieces in patterns that have the proportions of the whole order, about.
const PROPORTIONAL: [u32; 6] = [4, 6, 9, 13, 19, 28];

/// The rows of the whole order, each as a pattern: bands that no piece reaches across.
pub fn rows<'a>(
    kinds: &'a Kinds,
    regions: &mut Regions<'a>,
    stop: &dyn Fn() -> bool,
) -> Vec<Pattern> {
    if stop() {
        return Vec::new();
    }
    let spacing = kinds.problem.spacing.um();
    let (layout, _) = shorter_rows(&kinds.problem, &kinds.shapes, regions, stop);
    let bands = bands(&kinds.shapes, &layout.laid, 0);
    let mut seen = BTreeSet::new();
    let patterns = bands.iter().map(|band| {
        let laid: Vec<Laid> = band.iter().map(|&k| layout.laid[k]).collect();
        let base = laid[0].at.y;
        let band = Layout::of(&kinds.shapes, laid);
        Pattern::new(kinds, &band, band.length - base + spacing)
    });
    patterns
        .filter(|p| seen.insert((p.counts.clone(), p.period)))
        .collect()
}

/// Kinds that get patterns of their own.
pub fn own(kinds: &Kinds) -> Vec<usize> {
    let demand = kinds.demand();
    let mut own: Vec<usize> = (0..kinds.count()).filter(|&k| demand[k] > 1).collect();
    own.sort_by_key(|&k| -kinds.doubled_area(k) * i128::from(demand[k]));
    own.truncate(MOST_OWN);
    own
}

/// All sets, none twice. `times`: how often each pattern would be laid as things are.
pub fn sets(kinds: &Kinds, patterns: &[Pattern], times: &[u32]) -> Vec<Set> {
    let demand = kinds.demand();
    let mut found = BTreeSet::new();
    let mut add = |counts: Vec<u32>, is_endless: bool| {
        let repeats = demand.iter().zip(&counts).filter(|(_, c)| **c > 0);
        let repeats = repeats.map(|(&d, &c)| d / c).min().unwrap_or(0);
        // The whole order as a block is what the general engine looks at.
        if repeats > 1 || repeats == 1 && !is_endless && counts != demand {
            found.insert(Set { counts, is_endless });
        }
    };
    for kind in own(kinds) {
        for count in 1..=MOST_ALIKE / if kinds.count() > 2 { 2 } else { 1 } {
            let mut counts = vec![0; demand.len()];
            counts[kind] = count;
            add(counts.clone(), true);
            if kinds.count() <= 2 {
                add(counts, false);
            }
        }
    }
    if kinds.count() > 1 {
        for total in PROPORTIONAL {
            add(proportional(&demand, total), true);
        }
    }
    let mut used: Vec<usize> = (0..patterns.len()).filter(|&k| times[k] > 1).collect();
    used.sort_by_key(|&k| (-patterns[k].waste(kinds) * i128::from(times[k]), k));
    used.truncate(MOST_USED);
    for (number, &one) in used.iter().enumerate() {
        add(patterns[one].counts.clone(), true);
        for &other in &used[number..] {
            let both = patterns[one].counts.iter().zip(&patterns[other].counts);
            add(both.map(|(a, b)| a + b).collect(), true);
        }
    }
    found.into_iter().collect()
}

/// About `total` pieces in the proportions of the demand, by largest remainders.
fn proportional(demand: &[u32], total: u32) -> Vec<u32> {
    let pieces: u64 = demand.iter().map(|&d| u64::from(d)).sum();
    let exact = |d: u32| u64::from(d) * u64::from(total);
    let mut counts: Vec<u32> = demand.iter().map(|&d| (exact(d) / pieces) as u32).collect();
    let mut order: Vec<usize> = (0..demand.len()).collect();
    order.sort_by_key(|&k| (std::cmp::Reverse(exact(demand[k]) % pieces), k));
    let missing = total.saturating_sub(counts.iter().sum());
    for &kind in order.iter().take(missing as usize) {
        counts[kind] += 1;
    }
    counts
}
