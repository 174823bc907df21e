//! Rows that are worth more than they take: columns for the program, made as they are needed.
//!
//! The program's dual says what length of cloth a piece of each kind is worth while only the known patterns may be
//! used. A row filled in the order of worth by area is a new pattern if its pieces are worth more than
//! its length; with it the dual is solved again. (Gilmore and Gomory 1961 price by a knapsack; here a row is
//! laid, so that it is sure to fit.)

use std::collections::BTreeSet;

use good_lp::{Expression, ProblemVariables, Solution, SolverModel, microlp, variable};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::constructive::Layout;
use crate::constructive::board::Regions;
use crate::constructive::fill::Filler;
use crate::constructive::rows::row;

use super::METRE;
use super::kinds::Kinds;
use super::trial::Pattern;

/// Times that the dual is solved at most.
const ROUNDS: usize = 12;

/// Orders in which a row is filled, for each kind that opens it: that of worth, and others near it.
const ORDERS: usize = 3;

/// How much worth is changed at random for those.
const SPREAD: f64 = 0.25;

/// Adds rows to the patterns while that pays; the steps it took.
pub fn add_rows<'a>(
    kinds: &'a Kinds,
    regions: &mut Regions<'a>,
    patterns: &mut Vec<Pattern>,
    seed: u64,
    is_over: &dyn Fn(u64) -> bool,
) -> u64 {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
    let spacing = kinds.problem.spacing.um();
    let mut known: BTreeSet<Vec<u32>> = patterns.iter().map(|p| p.counts.clone()).collect();
    let mut filler = Filler::new(&kinds.problem, &kinds.shapes, regions);
    for _ in 0..ROUNDS {
        let Some(worth) = worth(kinds, patterns) else {
            break;
        };
        let before = patterns.len();
        for opener in 0..kinds.count() {
            for number in 0..ORDERS {
                if is_over(filler.steps()) {
                    return filler.steps();
                }
                let mut change = || match number {
                    0 => 1.0,
                    _ => 1.0 + SPREAD * (2.0 * random.random::<f64>() - 1.0),
                };
                let by_area: Vec<f64> = (0..kinds.count())
                    .map(|kind| worth[kind] / kinds.doubled_area(kind) as f64 * change())
                    .collect();
                let mut order: Vec<usize> = (0..kinds.count()).collect();
                order.sort_by(|&a, &b| by_area[b].total_cmp(&by_area[a]));
                filler.clear();
                let laid = row(&mut filler, &kinds.problem, &kinds.shapes, opener, order);
                if laid.is_empty() {
                    continue;
                }
                let value: f64 = laid.iter().map(|l| worth[l.piece.item]).sum();
                let layout = Layout::of(&kinds.shapes, laid);
                let pattern = Pattern::new(kinds, &layout, layout.length + spacing);
                let gains = value > pattern.period as f64 / METRE * (1.0 + 1e-6);
                if gains && known.insert(pattern.counts.clone()) {
                    patterns.push(pattern);
                }
            }
        }
        if patterns.len() == before {
            break;
        }
    }
    filler.steps()
}

/// By kind: the length of cloth in metres that one piece is worth.
fn worth(kinds: &Kinds, patterns: &[Pattern]) -> Option<Vec<f64>> {
    let mut variables = ProblemVariables::new();
    let demand = kinds.demand();
    let worth = variables.add_vector(variable().min(0.0), demand.len());
    let all: Expression = demand
        .iter()
        .zip(&worth)
        .map(|(&d, &w)| w * f64::from(d))
        .sum();
    let mut model = variables.maximise(all).using(microlp);
    for pattern in patterns {
        let each = pattern.counts.iter().zip(&worth).filter(|(n, _)| **n > 0);
        let value: Expression = each.map(|(&n, &w)| w * f64::from(n)).sum();
        model.add_constraint(value.leq(pattern.period as f64 / METRE));
    }
    let solution = model.solve().ok()?;
    Some(worth.iter().map(|&w| solution.value(w)).collect())
}
