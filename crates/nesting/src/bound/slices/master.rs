//! The best worth under what is known so far: a linear program.
//!
//! Its variables say by how much sections of each width are worth more than narrower ones of their kind, in each zone;
//! what a copy of each kind brings; and the most that each zone holds. Each known filling of a zone and each known
//! place of a piece is a half-plane. The cloth holds one in all; the program asks for pieces that bring as much as
//! they can. Solved by good_lp's simplex, in floats: what comes out is a guess, to be rounded and worked out.

use good_lp::{Expression, ProblemVariables, Solution, SolverModel, Variable, microlp, variable};

use super::cut::Cut;
use super::fill::Filling;
use super::load::{Place, lengths};

/// Everything known.
pub(super) struct Known<'a> {
    pub cuts: &'a [Cut],
    /// Of zones, from 0 on.
    pub borders: &'a [i64],
    /// The length of cloth in question.
    pub length: i64,
    /// How much of it is each zone.
    pub shares: Vec<f64>,
    pub fillings: Vec<(usize, Filling)>,
    pub places: Vec<Place>,
}

/// What the program says.
pub(super) struct Guess {
    /// What the pieces bring: above one if the program thinks that they do not fit.
    pub value: f64,
    /// By kind, width and zone.
    pub worth: Vec<Vec<Vec<f64>>>,
}

impl Known<'_> {
    pub fn zones(&self) -> usize {
        self.borders.len() - 1
    }

    /// How large the program is.
    pub fn size(&self) -> u64 {
        let widths: usize = self.cuts.iter().map(|cut| cut.widths.len()).sum();
        ((self.fillings.len() + self.places.len()) * widths * self.zones()) as u64
    }

    pub fn guess(&self) -> Option<Guess> {
        let zones = self.zones();
        let length = self.length as f64;
        let mut variables = ProblemVariables::new();
        let mut some = |count: usize| variables.add_vector(variable().min(0.0), count);
        let more: Vec<Vec<Vec<Variable>>> = self
            .cuts
            .iter()
            .map(|cut| cut.widths.iter().map(|_| some(zones)).collect())
            .collect();
        let brought = some(self.cuts.len());
        let held = some(zones);
        let all = self.cuts.iter().zip(&brought);
        let all: Expression = all.map(|(cut, &b)| b * cut.copies as f64).sum();
        let mut model = variables.maximise(all).using(microlp);
        for (zone, filling) in &self.fillings {
            let mut worth: Expression = -held[*zone];
            for (&(kind, width), &count) in filling {
                for of in &more[kind][..=width] {
                    worth += of[*zone] * f64::from(count);
                }
            }
            model.add_constraint(worth.leq(0.0));
        }
        for &place in &self.places {
            let mut least = Expression::from(brought[place.kind]);
            let lengths = lengths(self.cuts, place, self.borders);
            for (of, lengths) in more[place.kind].iter().zip(lengths) {
                for (&of, along) in of.iter().zip(lengths).filter(|(_, along)| *along > 0) {
                    least -= of * (along as f64 / length);
                }
            }
            model.add_constraint(least.leq(0.0));
        }
        let parts = self.shares.iter().zip(&held);
        let cloth: Expression = parts.map(|(&share, &held)| held * share).sum();
        model.add_constraint(cloth.leq(1.0));
        let solution = model.solve().ok()?;
        let value = self.cuts.iter().zip(&brought);
        let value = value
            .map(|(cut, &b)| solution.value(b) * cut.copies as f64)
            .sum();
        let worth = more
            .iter()
            .map(|of_kind| summed(of_kind, zones, &solution))
            .collect();
        Some(Guess { value, worth })
    }
}

/// What is worth more than narrower ones, added up.
fn summed(more: &[Vec<Variable>], zones: usize, solution: &impl Solution) -> Vec<Vec<f64>> {
    let mut sums = vec![0.0; zones];
    let add = |of: &Vec<Variable>| {
        for (sum, &more) in sums.iter_mut().zip(of) {
            *sum += solution.value(more).max(0.0);
        }
        sums.clone()
    };
    more.iter().map(add).collect()
}
