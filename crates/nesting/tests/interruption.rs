//! A run that is ended early, before it begins or by what it is asked: a whole, verified layout, or a refusal
//! before any search.

mod jobs;

use std::collections::BTreeSet;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use jobs::{ONE_WAY, TWO_WAY, item, mixed, problem, rectangle, trapezoid};
use nesting::{Budget, PlanError, Problem, Progress, Silent, Turn, plan, verify};
use pieces::Length;

/// Raises the flag at the call with a given number, from 0, and remembers what it was told until then.
struct CancelAt {
    number: usize,
    calls: usize,
    flag: Arc<AtomicBool>,
    phase: String,
    engine: &'static str,
    best: Option<Length>,
}

impl CancelAt {
    fn call(number: usize) -> Self {
        CancelAt {
            number,
            calls: 0,
            flag: Arc::default(),
            phase: String::new(),
            engine: "",
            best: None,
        }
    }

    /// True up to the call that raises the flag.
    fn is_listening(&mut self) -> bool {
        let is_listening = self.calls <= self.number;
        if self.calls == self.number {
            self.flag.store(true, Ordering::Relaxed);
        }
        self.calls += 1;
        is_listening
    }
}

impl Progress for CancelAt {
    fn report(&mut self, best: Option<Length>, _: Length, engine: &'static str) {
        if self.is_listening() {
            (self.best, self.engine) = (best.or(self.best), engine);
        }
    }

    fn phase(&mut self, name: &str) {
        if self.is_listening() {
            self.phase = name.to_owned();
        }
    }

    fn cancel_flag(&self) -> Option<Arc<AtomicBool>> {
        Some(Arc::clone(&self.flag))
    }
}

/// The length on hand stays open, so every phase is reached.
fn undecided() -> Problem {
    let mut problem = mixed();
    problem.cloth.on_hand = vec![Length::from_mm(800)];
    problem
}

fn pieces_one_behind_the_other(problem: &Problem) -> Length {
    let stacked = |i: &nesting::Item| i.outline.bounds().along().um() * i64::from(i.copies);
    Length::from_um(problem.items.iter().map(stacked).sum())
}

#[test]
fn cancelled_at_any_call_there_is_the_best_verified_layout_so_far() {
    let problem = undecided();
    let budget = Budget {
        steps: Some(120_000),
        ..Budget::default()
    };
    let (mut phases, mut engines) = (BTreeSet::new(), BTreeSet::new());
    for number in 0.. {
        let mut progress = CancelAt::call(number);
        let answer = plan(&problem, &budget, &mut progress).unwrap();
        assert_eq!(
            verify::marker(&problem, &answer.marker),
            Ok(()),
            "call {number}"
        );
        assert!(
            progress
                .best
                .is_none_or(|best| answer.marker.length <= best),
            "call {number} in {}: {} > {:?} by {}",
            progress.phase,
            answer.marker.length,
            progress.best,
            progress.engine
        );
        phases.insert(progress.phase.clone());
        engines.insert(progress.engine);
        if !progress.flag.load(Ordering::Relaxed) {
            println!("{number} calls in {phases:?} by {engines:?}");
            break;
        }
    }
    assert!(phases.len() >= 4, "{phases:?}");
    assert!(
        engines.contains("constructive") && engines.contains("separate"),
        "{engines:?}"
    );
}

/// Between two reports too, wherever the search happens to be.
#[test]
fn cancelled_by_another_thread_there_is_a_verified_layout() {
    let problem = undecided();
    for milliseconds in [0, 1, 2, 5, 10, 20, 50, 100, 200] {
        let mut progress = CancelAt::call(usize::MAX);
        let flag = Arc::clone(&progress.flag);
        let canceller = std::thread::spawn(move || {
            std::thread::sleep(Duration::from_millis(milliseconds));
            flag.store(true, Ordering::Relaxed);
        });
        let budget = Budget {
            steps: Some(u64::MAX / 64),
            threads: 2,
            ..Budget::default()
        };
        let answer = plan(&problem, &budget, &mut progress).unwrap();
        canceller.join().unwrap();
        assert_eq!(verify::marker(&problem, &answer.marker), Ok(()));
        assert!(
            progress
                .best
                .is_some_and(|best| answer.marker.length <= best)
        );
    }
}

#[test]
fn without_any_budget_there_are_rows() {
    for budget in [
        Budget {
            steps: Some(0),
            ..Budget::default()
        },
        Budget {
            time: Some(Duration::ZERO),
            ..Budget::default()
        },
    ] {
        let problem = undecided();
        let answer = plan(&problem, &budget, &mut Silent).unwrap();
        assert_eq!(verify::marker(&problem, &answer.marker), Ok(()));
        assert!(answer.marker.length < pieces_one_behind_the_other(&problem));
        // Geometry: three of 300 across stand in each row of 1,000.
        let equal = jobs::problem(1_000, vec![item(rectangle(300, 500), 7, ONE_WAY)]);
        let answer = plan(&equal, &budget, &mut Silent).unwrap();
        assert_eq!(answer.marker.length, Length::from_mm(1_500), "{budget:?}");
    }
}

#[test]
fn what_cannot_be_laid_is_refused_before_any_search() {
    let good = item(rectangle(300, 400), 2, TWO_WAY);
    // Geometry: on 500 none of 600 by 700 fits in any turn, 450 by 900 fits upright only.
    for (bad, turns) in [
        (rectangle(600, 700), &Turn::ALL[..]),
        (rectangle(450, 900), &[Turn::Quarter, Turn::ThreeQuarters]),
        (trapezoid(100, 501, 300), TWO_WAY),
    ] {
        let asked = problem(500, vec![good.clone(), item(bad, 1, turns)]);
        let mut progress = CancelAt::call(usize::MAX);
        let refused = plan(&asked, &Budget::default(), &mut progress);
        assert!(
            matches!(refused, Err(PlanError::TooWide { item: 1, .. })),
            "{refused:?}"
        );
        assert_eq!(progress.calls, 0);
    }
    let unturned = problem(500, vec![good, item(rectangle(100, 100), 1, &[])]);
    let refused = plan(&unturned, &Budget::default(), &mut Silent);
    assert!(
        matches!(refused, Err(PlanError::NoTurn { .. })),
        "{refused:?}"
    );
}
