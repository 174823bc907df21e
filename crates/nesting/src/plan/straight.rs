//! Layouts that straight cuts part: [`crate::straight`] within a budget, against a free layout of the same pieces.
//!
//! Few boxes are laid by trying all trees, which also proves the shortest; the rest strip by strip. What can be torn
//! can be cut straight, so straight cuts begin with the torn layout. Where not all trees can be tried for
//! the shortest, they are for the lengths that a person asks about, and some between bound and layout: the less
//! cloth, the fewer trees. A free layout is looked for as hard, to say what straightness costs, and its bound
//! holds here too. Positions stay where the cuts are, whatever the marking step.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use pieces::{Cutting, Length};

use super::known::{EARLIER, Held, is_of_straight_cuts};
use super::{PlanError, to_marker};
use crate::bound;
use crate::problem::{Cut, Marker, Problem};
use crate::shapes::Shapes;
use crate::straight::{Boxes, Fronts, Limits, PARTS_A_STEP, Tree, Watch, shorter, tree_of};
use crate::verdict::{
    Answer, Argument, Bound, Budget, Level, Progress, Ruling, Snap, Straight, Verdict,
};
use crate::verify;

/// Parts that are looked at to try all trees: under half a second, and a minute.
const WORK: u64 = 20_000_000;
const LONG_WORK: u64 = 3_000_000_000;

/// With a clock each question about all trees may take so many parts, of which so many are looked at in a second.
const PARTS_A_SECOND: f64 = 5e7;
const EACH: u64 = 10;

/// Steps for strips of each piece when none are given, and at most: about a microsecond each.
const STEPS_A_PIECE: u64 = 20_000;
const MOST_STEPS: u64 = 800_000;

/// Pieces from which on one more step would not be worth its time.
const MANY: usize = 2_000;

/// Lengths between bound and layout that are asked about, and how many of all may stay open.
const QUESTIONS: u32 = 4;
const PATIENCE: u32 = 2;

/// The best marker whose pieces straight cuts part.
pub(super) fn plan(
    problem: &Problem,
    budget: &Budget,
    held: &Held,
    progress: &mut dyn Progress,
) -> Result<Answer, PlanError> {
    check(problem)?;
    let cancel = progress.cancel_flag();
    let shapes = Shapes::of(problem);
    let boxes = Boxes::of(problem, &shapes);
    progress.phase("cutting straight");
    let least = Boxes::at_least(problem, &shapes);
    let freely = held.freely();
    let refused = held
        .bound
        .as_ref()
        .filter(|bound| is_of_straight_cuts(bound));
    let mut search = Search {
        boxes: &boxes,
        least: &least,
        budget,
        bound: freely.greater(bound::best(problem)),
        known: held
            .marker
            .as_ref()
            .map(|marker| marker.length.um() + boxes.spacing()),
        cancel: cancel.clone(),
        begin: Instant::now(),
        best: held
            .marker
            .as_ref()
            .and_then(|marker| tree_of(&boxes, marker)),
        torn: None,
        proved: refused.map(|bound| bound.length.um()),
        is_settled: false,
        open: 0,
        spent: 0,
    };
    search.run(problem, progress);
    let (marker, cuts, engine) = match (search.shorter(), &held.marker) {
        (Some(tree), _) => {
            let (marker, cuts) = parted(problem, &boxes, &shapes, tree)?;
            (marker, cuts, "straight")
        }
        (None, Some(earlier)) => (earlier.clone(), held.cuts.clone(), EARLIER),
        (None, None) => return Err(PlanError::Unverified("no strips".to_owned())),
    };
    let free = free(problem, budget, &freely, progress, cancel)?;
    let straight = search.proved.map(|least| Bound {
        length: Length::from_um(least),
        argument: Argument::EveryStraightCut,
    });
    let greater = |of: &Bound| match &straight {
        Some(straight) if straight.length > of.length => straight.clone(),
        _ => of.clone(),
    };
    let ruling = |(free, &on_hand): (&Ruling, &Length)| {
        let bound = greater(&free.bound);
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
    let on_hand = &problem.cloth.on_hand;
    Ok(Answer {
        rulings: free.rulings.iter().zip(on_hand).map(ruling).collect(),
        snap: Snap::of(problem, &marker),
        bound: greater(&free.bound),
        straight: Some(Straight {
            cuts,
            free: free.marker.length.min(marker.length),
        }),
        marker,
        engine,
        steps: free.steps + search.spent,
    })
}

/// The tree as a marker and its cuts, which have passed the check.
fn parted(
    problem: &Problem,
    boxes: &Boxes<'_>,
    shapes: &Shapes,
    tree: &Tree,
) -> Result<(Marker, Vec<Cut>), PlanError> {
    let (layout, cuts) = tree
        .laid(boxes, shapes)
        .ok_or_else(|| PlanError::Unverified("a piece has no way to be laid".to_owned()))?;
    let marker = to_marker(problem, shapes, &layout);
    verify::marker(problem, &marker)
        .and_then(|()| verify::cuts(problem, &marker, &cuts))
        .map_err(|broken| {
            PlanError::Unverified(broken.first().map_or(String::new(), ToString::to_string))
        })?;
    Ok((marker, cuts))
}

struct Search<'s> {
    boxes: &'s Boxes<'s>,
    /// What may be parted at least; the same boxes, as a rule.
    least: &'s Boxes<'s>,
    budget: &'s Budget,
    /// Of free layouts.
    bound: Bound,
    cancel: Option<Arc<AtomicBool>>,
    begin: Instant,
    /// Length of the layout that is known, the spacing added.
    known: Option<i64>,
    best: Option<Tree>,
    /// The shortest whose strips were found for tearing.
    torn: Option<Tree>,
    /// No layout is shorter.
    proved: Option<i64>,
    /// All trees prove no more than that.
    is_settled: bool,
    /// Questions that stayed open since the last time that some were asked.
    open: u32,
    spent: u64,
}

impl Search<'_> {
    /// Time is up for straight cuts, half of it being left for a free layout; or the person has had enough.
    fn is_over(&self) -> bool {
        self.is_over_by(1)
    }

    /// Whether one in so many parts of the time for straight cuts is up.
    fn is_over_by(&self, parts: u32) -> bool {
        let flag = self.cancel.as_ref();
        let is_late = |time: Duration| self.begin.elapsed() >= time / (2 * parts);
        flag.is_some_and(|flag| flag.load(Ordering::Relaxed))
            || self.budget.time.is_some_and(is_late)
    }

    fn length(&self) -> i64 {
        let found = self.best.as_ref().map_or(i64::MAX, |tree| tree.size()[1]);
        self.known.map_or(found, |known| found.min(known))
    }

    /// The best tree, if it is shorter than what is known.
    fn shorter(&self) -> Option<&Tree> {
        let is_shorter = |tree: &&Tree| self.known.is_none_or(|known| tree.size()[1] < known);
        self.best.as_ref().filter(is_shorter)
    }

    fn keep(&mut self, tree: Option<Tree>) {
        let best = self.best.as_ref().map_or(i64::MAX, |tree| tree.size()[1]);
        if let Some(tree) = tree.filter(|tree| tree.size()[1] < best) {
            self.best = Some(tree);
        }
    }

    fn run(&mut self, problem: &Problem, progress: &mut dyn Progress) {
        let torn = self.boxes.cut_by(Cutting::Tear);
        let steps = steps(problem, self.budget);
        // Some strips, quick and always; then all trees, if they are few; then more strips.
        let few = if self.budget.time.is_some() {
            0
        } else {
            steps / 4
        };
        self.strips(&torn, few, 1, progress);
        if self.boxes.cutting == Cutting::Straight {
            let all = self.all_trees(&torn, self.length());
            self.keep(all.tree.filter(|_| all.is_whole));
        }
        let all = self.all_trees(self.boxes, self.length());
        if all.is_whole {
            self.keep(all.tree);
            if self.boxes.are_all() {
                self.proved = Some(self.shown());
                return;
            }
        }
        let all = all.is_whole;
        let steps = if self.budget.time.is_some() {
            u64::MAX
        } else {
            steps
        };
        self.ask(problem);
        // Where all trees were tried there is none shorter.
        if all {
            return;
        }
        if self.boxes.cutting == Cutting::Straight {
            self.strips(&torn, steps, 2, progress);
        }
        self.strips(self.boxes, steps, 1, progress);
        self.ask(problem);
    }

    /// Lays strips anew, for so many steps or one in so many `parts` of the time.
    fn strips(&mut self, boxes: &Boxes<'_>, steps: u64, parts: u32, progress: &mut dyn Progress) {
        let (spacing, bound) = (boxes.spacing(), self.bound.length);
        let known = self.known.unwrap_or(i64::MAX);
        let is_torn = boxes.cutting == Cutting::Tear;
        let begin = if boxes.cutting == self.boxes.cutting {
            self.best.clone()
        } else {
            self.torn.clone()
        };
        let mut watch = Watch {
            steps,
            seed: self.budget.seed,
            goal: bound.um() + spacing,
            stop: &|| self.is_over_by(parts),
            tell: &mut |grown| {
                if grown < known {
                    progress.report(Some(Length::from_um(grown - spacing)), bound, "straight");
                }
            },
        };
        let (tree, spent) = shorter(boxes, begin, &mut watch);
        self.spent += spent;
        if is_torn {
            self.torn.clone_from(&tree);
        }
        self.keep(tree);
    }

    /// All trees of this length or less, the spacing added.
    fn all_trees(&mut self, boxes: &Boxes<'_>, along: i64) -> Fronts {
        let Budget {
            steps, level, time, ..
        } = *self.budget;
        let limits = Limits {
            work: match (time, level) {
                (Some(time), _) => (PARTS_A_SECOND * time.as_secs_f64()) as u64 / EACH,
                (None, Level::Long) => LONG_WORK,
                (None, _) => match steps {
                    Some(steps) => WORK.min(PARTS_A_STEP * steps),
                    None => self.budget.of_level(WORK).min(LONG_WORK),
                },
            },
            along,
            stop: &|| self.is_over(),
        };
        let all = Fronts::of(boxes, &boxes.counts(), &limits);
        self.spent += all.work / PARTS_A_STEP;
        all
    }

    /// Asks about lengths between bound and layout: those on hand, what one selling step less would be, and some
    /// more. Each is refused, or gives a shorter layout, or is left open.
    fn ask(&mut self, problem: &Problem) {
        self.open = 0;
        let cloth = &problem.cloth;
        let less = cloth
            .sold
            .map(|sold| sold.usable_of_less(Length::from_um(self.shown())));
        let asked = cloth.on_hand.iter().copied().chain(less);
        let mut asked: Vec<i64> = asked.map(Length::um).collect();
        asked.sort_unstable();
        for along in asked {
            self.question(along);
        }
        for _ in 0..QUESTIONS {
            let low = self.low();
            self.question(low + (self.shown() - low) / 2);
        }
    }

    /// Length of the best layout.
    fn shown(&self) -> i64 {
        self.length() - self.boxes.spacing()
    }

    /// No layout is shorter than this.
    fn low(&self) -> i64 {
        let free = self.bound.length.um();
        self.proved.map_or(free, |proved| proved.max(free))
    }

    fn question(&mut self, along: i64) {
        let is_between = (self.low()..self.shown()).contains(&along);
        if !is_between || self.is_settled || self.open == PATIENCE || self.is_over() {
            return;
        }
        let spacing = self.least.spacing();
        let all = self.all_trees(self.least, along + spacing);
        if !all.is_whole {
            self.open += 1;
            return;
        }
        match all.tree {
            // All trees were tried, so there is none shorter than it either.
            Some(tree) => {
                self.proved = Some(tree.size()[1] - spacing);
                self.is_settled = true;
                if self.boxes.are_all() {
                    self.keep(Some(tree));
                }
            }
            None => self.proved = Some(along + 1),
        }
    }
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
    budget.steps.unwrap_or(budget.of_level(match budget.level {
        Level::Quick => usual / 4,
        Level::Normal => usual,
        Level::Long => 60 * usual,
    }))
}

/// A free layout of the same pieces, within half of the time if there is a clock.
fn free(
    problem: &Problem,
    budget: &Budget,
    held: &Held,
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
    super::searched(&free, &budget, held, &mut Passing { progress, cancel })
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
