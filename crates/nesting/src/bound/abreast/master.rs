//! What parts are worth under the companies known so far: a linear program.
//!
//! Solved by good_lp's simplex, in floats: what comes out is a guess, to be rounded and worked out.

use good_lp::{Expression, ProblemVariables, Solution, SolverModel, microlp, variable};

use super::company::{Companies, Company};

/// What the program says.
pub(super) struct Guess {
    /// What the pieces bring: above one if the program thinks that they do not fit.
    pub value: f64,
    /// By part.
    pub worth: Vec<f64>,
}

/// The worth at which pieces bring most of a length, no company more than one.
pub(super) fn guess(of: &Companies<'_>, known: &[Company], length: i64) -> Option<Guess> {
    let (parts, kinds) = (of.parts, of.kinds);
    let mut variables = ProblemVariables::new();
    let worth = variables.add_vector(variable().min(0.0), parts.len());
    let brought = variables.add_vector(variable().min(0.0), kinds.len());
    let all: Expression = kinds
        .iter()
        .zip(&brought)
        .map(|(k, &b)| b * k.copies as f64)
        .sum();
    let mut model = variables.maximise(all).using(microlp);
    for company in known {
        let of: Expression = company.iter().map(|&part| worth[part]).sum();
        model.add_constraint(of.leq(1.0));
    }
    let stances = parts.chunk_by(|one, other| one.stance == other.stance);
    let mut first = 0;
    for of_stance in stances {
        let mut least = Expression::from(brought[of_stance[0].kind]);
        for (number, part) in of_stance.iter().enumerate() {
            least -= worth[first + number] * (part.thick() as f64 / length as f64);
        }
        first += of_stance.len();
        model.add_constraint(least.leq(0.0));
    }
    let solution = model.solve().ok()?;
    let value = kinds.iter().zip(&brought);
    Some(Guess {
        value: value
            .map(|(k, &b)| solution.value(b) * k.copies as f64)
            .sum(),
        worth: worth.iter().map(|&w| solution.value(w).max(0.0)).collect(),
    })
}
