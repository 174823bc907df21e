//! Layouts that straight cuts part: [`crate::straight`] within a budget, against a free layout of the same pieces.
//!
//! Few boxes are laid by trying all trees, which also proves the shortest; the rest strip by strip. A free layout
//! is looked for as hard, to say what straightness costs, and gives the bound: what no free layout can do,
//! straight cuts can't. Positions stay where the cuts are, whatever the marking step.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use pieces::{Cutting, Length};

use super::{PlanError, to_marker};
use crate::problem::Problem;
use crate::shapes::Shapes;
use crate::straight::{Boxes, Fronts, Limits, Watch, shorter};
use crate::verdict::{
    Answer, Argument, Bound, Budget, Level, Progress, Ruling, Snap, Straight, Verdict,
};
use crate::verify;

/// Pairs of parts that are looked at to try all trees: about a tenth of a second, and a minute.
const WORK: u64 = 20_000_000;
const LONG_WORK: u64 = 5_000_000_000;

/// Steps for strips of each piece when none are given, and at most: about a microsecond each.
const STEPS_A_PIECE: u64 = 10_000;
const MOST_STEPS: u64 = 1_000_000;

/// Pieces from which on one more step would not be worth its time.
const MANY: usize = 2_000;

/// The best marker whose pieces straight cuts part.
pub(super) fn plan(
    problem: &Problem,
    budget: &Budget,
    progress: &mut dyn Progress,
) -> Result<Answer, PlanError> {
    check(problem)?;
    let begin = Instant::now();
    let cancel = progress.cancel_flag();
    let free = free(problem, budget, progress, cancel.clone())?;
    let shapes = Shapes::of(problem);
    let boxes = Boxes::of(problem, &shapes);
    progress.phase("cutting straight");
    let is_cancelled = || {
        cancel
            .as_ref()
            .is_some_and(|flag| flag.load(Ordering::Relaxed))
    };
    let is_over = || is_cancelled() || budget.time.is_some_and(|time| begin.elapsed() >= time);
    let spacing = problem.spacing.um();
    let tell_length = |grown: i64| Length::from_um(grown - spacing);
    // What comes first is quick and always done; all else ends when time is up.
    let steps = steps(problem, budget);
    let mut watch = Watch {
        steps: if budget.time.is_some() { 0 } else { steps / 4 },
        seed: budget.seed,
        goal: free.bound.length.um() + spacing,
        stop: &is_over,
        tell: &mut |grown| {
            progress.report(Some(tell_length(grown)), free.bound.length, "straight");
        },
    };
    let (first, mut spent) = shorter(&boxes, &mut watch);
    let mut best = first.ok_or_else(|| PlanError::Unverified("no strips".to_owned()))?;
    let limits = Limits {
        work: match (budget.time, budget.level) {
            (Some(_), _) => u64::MAX,
            (None, Level::Long) => LONG_WORK,
            (None, _) => budget.steps.map_or(WORK, |steps| WORK.min(100 * steps)),
        },
        along: best.size()[1],
        stop: &is_over,
    };
    let all = Fronts::of(&boxes, &boxes.counts(), &limits);
    spent += all.work / 100;
    let mut proved = None;
    match all.tree.filter(|_| all.is_whole) {
        Some(tree) => {
            proved = Some(tree.size()[1]);
            best = tree;
        }
        None => {
            watch.steps = if budget.time.is_some() {
                u64::MAX
            } else {
                steps
            };
            let (tree, more) = shorter(&boxes, &mut watch);
            spent += more;
            best = tree
                .filter(|tree| tree.size()[1] < best.size()[1])
                .unwrap_or(best);
        }
    }
    let (layout, cuts) = best
        .laid(&boxes, &shapes)
        .ok_or_else(|| PlanError::Unverified("a piece has no way to be laid".to_owned()))?;
    let marker = to_marker(problem, &shapes, &layout);
    verify::marker(problem, &marker)
        .and_then(|()| verify::cuts(problem, &marker, &cuts))
        .map_err(|broken| {
            PlanError::Unverified(broken.first().map_or(String::new(), ToString::to_string))
        })?;
    let bound = match proved.map(tell_length) {
        Some(length) if length > free.bound.length => Bound {
            length,
            argument: Argument::EveryStraightCut,
        },
        _ => free.bound,
    };
    let ruling = |(free, &on_hand): (&Ruling, &Length)| {
        let bound = if free.bound.length > bound.length {
            free.bound.clone()
        } else {
            bound.clone()
        };
        let verdict = if marker.length <= on_hand {
            Verdict::Enough
        } else if bound.length > on_hand {
            Verdict::NotEnough
        } else {
            Verdict::Undecided
        };
        Ruling {
            on_hand,
            verdict,
            bound,
        }
    };
    let rulings = free
        .rulings
        .iter()
        .zip(&problem.cloth.on_hand)
        .map(ruling)
        .collect();
    Ok(Answer {
        snap: Snap::of(problem, &marker),
        straight: Some(Straight {
            cuts,
            free: free.marker.length.min(marker.length),
        }),
        marker,
        bound,
        rulings,
        engine: "straight",
        steps: free.steps + spent,
    })
}

/// Nothing needs a place of its own.
fn check(problem: &Problem) -> Result<(), PlanError> {
    let laid = || problem.items.iter().filter(|item| item.copies > 0);
    let refused = |label: &str, why| {
        let label = label.to_owned();
        Err(PlanError::NoStraightCuts { label, why })
    };
    if let Some(item) = laid().find(|item| item.anchor.is_some()) {
        return refused(&item.label, "it must come to a place of the print");
    }
    match laid().next() {
        Some(item) if !problem.cloth.flaws.is_empty() => {
            refused(&item.label, "the cloth has flaws")
        }
        _ => Ok(()),
    }
}

fn steps(problem: &Problem, budget: &Budget) -> u64 {
    let pieces = problem.piece_count();
    let usual = (STEPS_A_PIECE * pieces as u64).min(MOST_STEPS);
    let usual = if pieces > MANY { 0 } else { usual };
    budget.steps.unwrap_or(match budget.level {
        Level::Quick => usual / 4,
        Level::Normal => usual,
        Level::Long => 60 * usual,
    })
}

/// A free layout of the same pieces, within half of the time if there is a clock.
fn free(
    problem: &Problem,
    budget: &Budget,
    progress: &mut dyn Progress,
    cancel: Option<Arc<AtomicBool>>,
) -> Result<Answer, PlanError> {
    let free = Problem {
        cutting: Cutting::Free,
        ..problem.clone()
    };
    let budget = Budget {
        time: budget.time.map(|time: Duration| time / 2),
        ..*budget
    };
    super::plan(&free, &budget, &mut Passing { progress, cancel })
}

/// Passes on what phase it is, not lengths: those of a free layout are not the answer.
struct Passing<'p> {
    progress: &'p mut dyn Progress,
    cancel: Option<Arc<AtomicBool>>,
}

impl Progress for Passing<'_> {
    fn report(&mut self, _: Option<Length>, bound: Length, engine: &'static str) {
        self.progress.report(None, bound, engine);
    }

    fn phase(&mut self, name: &str) {
        self.progress.phase(name);
    }

    fn cancel_flag(&self) -> Option<Arc<AtomicBool>> {
        self.cancel.clone()
    }
}
