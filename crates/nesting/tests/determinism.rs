//! The same question, seed, threads and steps give the same bytes, however many workers the machine lends.

mod jobs;

use std::collections::BTreeSet;

use jobs::{item, mixed, problem, rectangle, sector};
use nesting::{Budget, Problem, Progress, Turn, plan};
use pieces::{Length, Point};

/// Remembers which engines told of a length.
#[derive(Default)]
struct Heard(BTreeSet<&'static str>);

impl Progress for Heard {
    fn report(&mut self, _: Option<Length>, _: Length, engine: &'static str) {
        self.0.insert(engine);
    }
}

/// Everything in the answer as text, and who told of lengths; by a pool of so many workers, one of which waits for
/// the others.
fn answer(problem: &Problem, budget: &Budget, workers: usize) -> (String, BTreeSet<&'static str>) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(workers).build();
    let mut heard = Heard::default();
    let mut asked = problem.clone();
    asked.cloth.on_hand = vec![Length::from_mm(800)];
    let answer = pool.unwrap().install(|| plan(&asked, budget, &mut heard));
    (format!("{:?}", answer.unwrap()), heard.0)
}

fn with_flaw_and_spacing() -> Problem {
    let mut problem = mixed();
    problem.spacing = Length::from_mm(4);
    problem.cloth.flaws = vec![rectangle(40, 70).moved(Point::new(300_000, 260_000))];
    problem
}

/// Too many pieces for all places to be tried.
fn many() -> Problem {
    problem(900, vec![item(sector(90, 420), 17, &Turn::ALL)])
}

fn curved() -> Problem {
    problem(900, vec![item(sector(90, 420), 3, &Turn::ALL)])
}

#[test]
fn the_same_bytes_by_one_thread_and_by_two_whatever_the_workers() {
    for threads in [1, 2] {
        let mut engines = BTreeSet::new();
        for problem in [mixed(), many(), with_flaw_and_spacing(), curved()] {
            // Beyond the steps of the search over orders, so that pieces are pushed apart too.
            let budget = Budget {
                steps: Some(60_000),
                threads,
                seed: 5,
                ..Budget::default()
            };
            let (first, heard) = answer(&problem, &budget, 2);
            engines.extend(heard);
            for workers in [1, 2, 5] {
                let again = answer(&problem, &budget, workers).0;
                assert_eq!(again, first, "{threads} threads, {workers} workers");
            }
        }
        let all = BTreeSet::from(["constructive", "rows", "separate"]);
        assert!(engines.is_superset(&all), "{threads} threads: {engines:?}");
    }
}
