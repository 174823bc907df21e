//! How often each pattern is laid.
//!
//! Shortest cloth such that of each kind at least as many pieces are laid as were ordered: an integer program,
//! solved by branching on its linear relaxation (good_lp), which is never far off. What is laid too much is
//! left out afterwards. Branching stops after so many relaxations, so that it is the same on every machine.

use good_lp::{Expression, ProblemVariables, Solution, SolverModel, microlp, variable};

use super::METRE;
use super::kinds::Kinds;
use super::trial::Pattern;

/// Relaxations solved at most.
const MOST_NODES: usize = 400;

/// Choices handed on.
const KEPT: usize = 6;

/// By pattern: how often it is laid.
pub type Times = Vec<u32>;

/// Choices by their length, the shortest first.
pub fn choose(kinds: &Kinds, patterns: &[Pattern], stop: &dyn Fn() -> bool) -> Vec<Times> {
    let mut search = Search {
        patterns,
        demand: kinds.demand(),
        found: Vec::new(),
        nodes: 0,
        stop,
    };
    let most = patterns.iter().map(|p| search.most(p)).collect();
    search.branch(vec![0; patterns.len()], most);
    search.found.into_iter().map(|(_, times)| times).collect()
}

struct Search<'s> {
    patterns: &'s [Pattern],
    demand: Vec<u32>,
    found: Vec<(i64, Times)>,
    nodes: usize,
    stop: &'s dyn Fn() -> bool,
}

impl Search<'_> {
    /// How often a pattern can be of use.
    fn most(&self, pattern: &Pattern) -> u32 {
        let each = pattern.counts.iter().zip(&self.demand);
        let times = each.filter(|(c, _)| **c > 0).map(|(c, d)| d.div_ceil(*c));
        times.max().unwrap_or(0)
    }

    fn length(&self, times: &Times) -> i64 {
        let laid = self.patterns.iter().zip(times).filter(|(_, t)| **t > 0);
        laid.map(|(p, &t)| p.period * i64::from(t) + p.over).sum()
    }

    fn branch(&mut self, least: Times, most: Times) {
        if self.nodes >= MOST_NODES || (self.stop)() {
            return;
        }
        self.nodes += 1;
        let Some((bound, exact)) = self.relaxed(&least, &most) else {
            return;
        };
        let up: Times = exact
            .iter()
            .map(|v| (v - 1e-6).ceil().max(0.0) as u32)
            .collect();
        self.offer(up.clone());
        let worst = self.found.last().map_or(i64::MAX, |(length, _)| *length);
        if self.found.len() == KEPT && bound * METRE >= worst as f64 {
            return;
        }
        let fraction = |k: usize| exact[k] - (exact[k] + 1e-6).floor();
        let open = (0..exact.len()).filter(|&k| fraction(k) > 1e-6);
        let fractional = open.max_by(|&a, &b| fraction(a).total_cmp(&fraction(b)));
        // Where all are whole, what hangs over may still count for less than it is.
        let hangs_over = |k: &usize| {
            least[*k] == 0 && up[*k] > 0 && up[*k] < most[*k] && self.patterns[*k].over > 0
        };
        let Some(at) = fractional.or_else(|| (0..up.len()).find(hangs_over)) else {
            return;
        };
        let whole = if fractional.is_some() { up[at] } else { 1 };
        let mut more = least.clone();
        more[at] = whole;
        self.branch(more, most.clone());
        let mut less = most;
        less[at] = whole - 1;
        self.branch(least, less);
    }

    /// Length in metres and how often each is laid, in fractions.
    fn relaxed(&self, least: &Times, most: &Times) -> Option<(f64, Vec<f64>)> {
        let mut variables = ProblemVariables::new();
        let times: Vec<_> = least
            .iter()
            .zip(most)
            .map(|(&low, &high)| variables.add(variable().min(f64::from(low)).max(f64::from(high))))
            .collect();
        let each = self.patterns.iter().zip(&times);
        let costs = each.clone().zip(least.iter().zip(most));
        let length: Expression = costs
            .map(|((p, &t), (&least, &most))| {
                // What hangs over counts once, however often it is laid.
                let (period, over) = (p.period as f64 / METRE, p.over as f64 / METRE);
                if least > 0 {
                    t * period + over
                } else {
                    t * (period + over / f64::from(most.max(1)))
                }
            })
            .sum();
        let mut model = variables.minimise(length.clone()).using(microlp);
        for (kind, &wanted) in self.demand.iter().enumerate() {
            let laid: Expression = each
                .clone()
                .filter(|(p, _)| p.counts[kind] > 0)
                .map(|(p, &t)| t * f64::from(p.counts[kind]))
                .sum();
            model.add_constraint(laid.geq(f64::from(wanted)));
        }
        let solution = model.solve().ok()?;
        let values = times.iter().map(|&t| solution.value(t)).collect();
        Some((solution.eval(&length), values))
    }

    /// Keeps a choice that meets the order if it is one of the shortest.
    fn offer(&mut self, mut times: Times) {
        let mut spare: Vec<i64> = self.demand.iter().map(|&d| -i64::from(d)).collect();
        for (pattern, &times) in self.patterns.iter().zip(&times) {
            for (spare, &count) in spare.iter_mut().zip(&pattern.counts) {
                *spare += i64::from(count) * i64::from(times);
            }
        }
        if spare.iter().any(|&s| s < 0) {
            return;
        }
        // Rounding up lays too much: what can be left out whole is, the longest first.
        let mut order: Vec<usize> = (0..times.len()).filter(|&k| times[k] > 0).collect();
        order.sort_by_key(|&k| std::cmp::Reverse(self.patterns[k].period));
        for k in order {
            let counts = &self.patterns[k].counts;
            let can_go = |spare: &[i64]| spare.iter().zip(counts).all(|(s, &c)| *s >= i64::from(c));
            while times[k] > 0 && can_go(&spare) {
                times[k] -= 1;
                spare
                    .iter_mut()
                    .zip(counts)
                    .for_each(|(s, &c)| *s -= i64::from(c));
            }
        }
        let length = self.length(&times);
        if self.found.iter().any(|(_, known)| *known == times) {
            return;
        }
        let at = self.found.partition_point(|(known, _)| *known <= length);
        self.found.insert(at, (length, times));
        self.found.truncate(KEPT);
    }
}
