//! The integer model: `least_length` for up to about five rectangles of small whole sizes.
//!
//! To use it from another test file: `mod model;`.

use good_lp::{
    Expression, ProblemVariables, Solution, SolverModel, Variable, constraint, microlp, variable,
};

/// A rectangle to lay, upright or, if it may turn, sideways.
#[derive(Clone, Copy, Debug)]
pub struct Rectangle {
    /// Size across as given.
    pub across: i64,
    /// Size along as given.
    pub along: i64,
    /// Whether it may be turned by 90 degrees.
    pub may_turn: bool,
}

/// The least length on which all fit side by side and one beyond the other, whole sizes.
///
/// Sizes are whole, so an optimum has whole places and the float of the solver rounds to it.
pub fn least_length(usable_width: i64, rectangles: &[Rectangle]) -> i64 {
    let far: i64 = rectangles.iter().map(|r| r.across.max(r.along)).sum();
    let (wide, far) = (usable_width as f64, far as f64);
    let mut variables = ProblemVariables::new();
    let length = variables.add(variable().min(0).max(far));
    let binary = |variables: &mut ProblemVariables| variables.add(variable().binary());
    struct Place {
        x: Variable,
        y: Variable,
        across: Expression,
        along: Expression,
    }
    let mut constraints = Vec::new();
    let mut places = Vec::new();
    for r in rectangles {
        let x = variables.add(variable().min(0).max(wide));
        let y = variables.add(variable().min(0).max(far));
        let turned = binary(&mut variables);
        if !r.may_turn {
            constraints.push(constraint!(turned == 0));
        }
        let more = (r.along - r.across) as f64;
        let across: Expression = r.across as f64 + more * turned;
        let along: Expression = r.along as f64 - more * turned;
        constraints.push(constraint!(x + across.clone() <= wide));
        constraints.push(constraint!(y + along.clone() <= length));
        places.push(Place {
            x,
            y,
            across,
            along,
        });
    }
    for (i, a) in places.iter().enumerate() {
        for b in &places[i + 1..] {
            let choices: Vec<Variable> = (0..4).map(|_| binary(&mut variables)).collect();
            let (left, right) = (choices[0], choices[1]);
            let (before, beyond) = (choices[2], choices[3]);
            constraints.push(constraint!(
                a.x + a.across.clone() <= b.x + 2.0 * wide * (1 - left)
            ));
            constraints.push(constraint!(
                b.x + b.across.clone() <= a.x + 2.0 * wide * (1 - right)
            ));
            constraints.push(constraint!(
                a.y + a.along.clone() <= b.y + 2.0 * far * (1 - before)
            ));
            constraints.push(constraint!(
                b.y + b.along.clone() <= a.y + 2.0 * far * (1 - beyond)
            ));
            constraints.push(constraint!(left + right + before + beyond >= 1));
        }
    }
    let mut model = variables.minimise(length).using(microlp);
    for constraint in constraints {
        model = model.with(constraint);
    }
    let solution = model
        .solve()
        .expect("laying them one beyond the other always fits");
    let value = solution.value(length);
    assert!(
        (value - value.round()).abs() < 1e-4,
        "whole sizes have a whole optimum: {value}"
    );
    value.round() as i64
}
