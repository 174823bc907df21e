//! How many steps are spent on what.

use crate::problem::Problem;
use crate::shapes::Shapes;
use crate::verdict::{Budget, Level};

/// Steps for a problem of this many pieces when none are given: a first-rate answer for a few pieces, a good
/// one for many, in about a third of a second, and longer only from a thousand pieces on. Whether two
/// pieces meet takes steps by the corners of both, so a few curved ones get more.
pub fn usual_steps(pieces: usize, shapes: &Shapes) -> u64 {
    const MOST: u64 = 400_000;
    let few = |steps: u64| (steps * shapes.corners().pow(2) / 16).clamp(steps, MOST);
    match pieces as u64 {
        0..=3 => 5_000,
        4..=8 => few(30_000),
        9..=12 => few(60_000),
        count => 200_000.max(200 * count),
    }
}

/// Steps for pushing apart many pieces when none are given: a second or two for a thousand of them.
const STEPS_A_PIECE: u64 = 1_000;
const MOST_PUSHING: u64 = 2_000_000;

/// Such a share of the steps for pushing apart goes into all places of rectangles; and at least so many where none are
/// named, as few pieces have few steps and are settled soon.
const SETTLING: f64 = 0.6;
const LEAST_SETTLING: u64 = 400_000;

/// About a microsecond each.
pub struct Steps {
    /// For the search over orders.
    pub orders: u64,
    /// For pushing apart.
    pub pushing: u64,
    /// For all places of rectangles, on top: a proof should not make the layout longer.
    pub settling: u64,
}

impl Steps {
    /// As many as the budget names, else by the size of the problem and the level.
    pub fn of(problem: &Problem, shapes: &Shapes, budget: &Budget) -> Self {
        let usual = usual_steps(problem.piece_count(), shapes);
        let pushing = STEPS_A_PIECE * problem.piece_count() as u64;
        let pushing = pushing.min(MOST_PUSHING).max(usual);
        let steps = budget.steps.unwrap_or(budget.of_level(match budget.level {
            Level::Quick => usual / 2,
            Level::Normal => usual + pushing,
            Level::Long => 60 * (usual + pushing),
        }));
        let pushing = steps.saturating_sub(usual);
        let settling = (pushing as f64 * SETTLING) as u64;
        Steps {
            orders: usual.min(steps),
            pushing,
            settling: match budget.steps {
                Some(_) => settling,
                None => settling.max(budget.of_level(LEAST_SETTLING)),
            },
        }
    }
}
