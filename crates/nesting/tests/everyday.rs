//! Bounds on everyday jobs, against values that a separate program computed (`reference` in each file:
//! area, longest piece, a linear programme over slices, and where it was had a schedule of section
//! widths), and against each other.

mod data;

use std::time::{Duration, Instant};

use data::{free_shapes, name, read, um};
use nesting::{Problem, Turn, bound};
use pieces::Length;
use serde_json::Value;

struct Job {
    name: String,
    problem: Problem,
    reference: Value,
}

fn jobs() -> Vec<Job> {
    let job = |value: Value| Job {
        name: name(&value).to_owned(),
        problem: free_shapes(&value),
        reference: value["reference"].clone(),
    };
    read("everyday").into_iter().map(job).collect()
}

#[test]
fn bounds_are_not_below_area_or_longest_piece_nor_above_a_known_layout() {
    let mut spent = Duration::ZERO;
    println!("name   best mm (argument)   slices   schedule   rows");
    for job in jobs() {
        let start = Instant::now();
        let best = bound::best(&job.problem);
        spent += start.elapsed();
        let reference = |key: &str| job.reference[key].as_f64();
        let mm = best.length.mm();
        println!(
            "{}   {mm:.1} ({:?})   {:?}   {:?}   {:?}   {:?}",
            job.name,
            best.argument,
            reference("slice_bound"),
            reference("cumulative_bound"),
            reference("row_layout"),
            start.elapsed(),
        );
        // The references are rounded to 0.1 mm.
        for key in ["area_bound", "longest"] {
            assert!(
                mm + 0.051 >= reference(key).expect(key),
                "{} {key}: {mm}",
                job.name
            );
        }
        assert!(
            mm <= reference("row_layout").expect("rows") + 0.051,
            "{}: {mm}",
            job.name
        );
        let rows = Length::from_um(um(&job.reference["row_layout"]));
        assert_eq!(
            bound::refuse(&job.problem, rows + Length::from_um(100)),
            None,
            "{}",
            job.name
        );
    }
    println!("all bounds in {spent:?}");
}

/// More freedom never needs more cloth: one way >= up and down >= either way, but for what limited work may miss
/// (a search over places raises a bound by steps of a 256th).
/// Source of the modes: the usual trade modes (nap either way, up and down, one way).
#[test]
fn bounds_do_not_grow_with_the_turns_allowed() {
    for job in jobs() {
        let with = |turns: &[Turn]| {
            let mut problem = job.problem.clone();
            problem
                .items
                .iter_mut()
                .for_each(|item| item.turns = turns.to_vec());
            bound::best(&problem).length
        };
        let one_way = with(&[Turn::None]);
        let up_and_down = with(&[Turn::None, Turn::Half]);
        let either = with(&Turn::ALL);
        let is_no_less = |more: Length, less: Length| more.um() + more.um() / 128 >= less.um();
        assert!(
            is_no_less(one_way, up_and_down) && is_no_less(up_and_down, either),
            "{}: {one_way:?} {up_and_down:?} {either:?}",
            job.name
        );
    }
}
