//! Open data sets against what others published for them: a bound is never above a layout that others found, and
//! no layout takes less than its area or a known optimum.
//!
//! Free shapes: the best densities that Gardeyn, Vanden Berghe, Wauters 2025, arXiv:2509.13329, list (in the
//! files). Rectangles: Hopper and Turton 2001 and Burke et al. 2004, zero-waste sets with the optimum in the file.

mod data;

use data::{free_shapes, name, read, rectangles, um};
use nesting::{Budget, Problem, Silent, bound, plan, verify};
use pieces::Length;

/// Area over width: no layout is shorter.
fn area_length(problem: &Problem) -> f64 {
    let doubled = |i: &nesting::Item| i.outline.doubled_area() * i128::from(i.copies);
    let area = problem.items.iter().map(doubled).sum::<i128>() as f64 / 2.0;
    area / problem.cloth.usable_width().um() as f64
}

fn length(problem: &Problem) -> Length {
    let budget = Budget {
        steps: Some(50),
        ..Budget::default()
    };
    let answer = plan(problem, &budget, &mut Silent).unwrap();
    assert_eq!(verify::marker(problem, &answer.marker), Ok(()));
    assert!(answer.bound.length <= answer.marker.length);
    answer.marker.length
}

#[test]
fn free_shapes_take_no_less_than_their_area_and_no_bound_is_above_a_published_layout() {
    for set in read("irregular") {
        let problem = free_shapes(&set);
        let area = area_length(&problem);
        // The area that the file states, in its own units.
        let stated = set["total_area"].as_f64().unwrap();
        let width = set["strip_width"].as_f64().unwrap();
        assert!(
            (area / 1_000.0 - stated / width).abs() < 1e-3,
            "{}",
            name(&set)
        );
        // Published densities are rounded to 0.01.
        let best = set["published"]["best_density_pct"].as_f64().unwrap() - 0.005;
        let published = area / (best / 100.0);
        let bound = bound::best(&problem).length.um() as f64;
        assert!(bound <= published, "{}: {bound} > {published}", name(&set));
        let ours = length(&problem).um() as f64;
        println!("{}: {:.2} % at 50 steps", name(&set), 100.0 * area / ours);
        assert!(area <= ours, "{}: {ours} for {area}", name(&set));
    }
}

#[test]
fn rectangles_take_no_less_than_a_known_optimum_and_no_bound_is_above_it() {
    for set in read("rect") {
        let problem = rectangles(&set);
        if set["optimal_length"].is_null() || problem.piece_count() > 100 {
            continue;
        }
        let optimum = Length::from_um(um(&set["optimal_length"]));
        let bound = bound::best(&problem);
        assert!(bound.length <= optimum, "{}: {bound:?}", name(&set));
        assert_eq!(bound::refuse(&problem, optimum), None, "{}", name(&set));
        let ours = length(&problem);
        assert!(ours >= optimum, "{}: {ours} < {optimum}", name(&set));
    }
}
