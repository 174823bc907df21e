//! Bounds on everyday jobs, against values that a separate program computed (`reference` in each file:
//! area, longest piece, a linear programme over slices, and where it was had a schedule of section
//! widths), and against each other.
//!
//! The files are read in place and not part of the repository; without them the tests say so and pass.
//! There the length runs along x; here everything is turned by a quarter.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use nesting::{Cloth, Item, Problem, Turn, bound};
use pieces::{Length, Outline, Point};
use serde_json::Value;

struct Job {
    name: String,
    problem: Problem,
    reference: Value,
}

/// Millimetres as written, in micrometres, from the decimal text: all files have at most 3 decimals.
fn um(value: &Value) -> i64 {
    let scaled = value.as_f64().expect("a number") * 1_000.0;
    assert!(
        (scaled - scaled.round()).abs() < 1e-3,
        "{value} is finer than a micrometre"
    );
    scaled.round() as i64
}

fn job(value: &Value) -> Job {
    let item = |item: &Value| {
        let corner = |p: &Value| Point::new(-um(&p[1]), um(&p[0]));
        let corners = item["polygon"]
            .as_array()
            .expect("a polygon")
            .iter()
            .map(corner)
            .collect();
        let mut turns: Vec<Turn> = item["rotations"]
            .as_array()
            .expect("rotations")
            .iter()
            .map(|r| Turn::try_from(r.as_f64().expect("degrees") as u16).expect("a quarter"))
            .collect();
        turns.sort();
        Item {
            label: item["id"].to_string(),
            outline: Outline::new(corners).expect("an outline"),
            copies: item["quantity"].as_u64().expect("a count") as u32,
            turns,
            may_mirror: false,
            garment: None,
        }
    };
    let width = Length::from_um(um(&value["strip_width"]));
    Job {
        name: value["name"].as_str().expect("a name").to_owned(),
        problem: Problem {
            cloth: Cloth {
                left: -width,
                ..Cloth::default()
            },
            items: value["items"]
                .as_array()
                .expect("items")
                .iter()
                .map(item)
                .collect(),
            ..Problem::default()
        },
        reference: value["reference"].clone(),
    }
}

fn jobs() -> Vec<Job> {
    let folder = PathBuf::from(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../../shared/data/everyday"
    ));
    let Ok(entries) = std::fs::read_dir(&folder) else {
        eprintln!("SKIPPED: no everyday jobs at {}", folder.display());
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = entries.filter_map(|e| Some(e.ok()?.path())).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "json"));
    paths.sort();
    let read = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).expect("readable");
        job(&serde_json::from_str(&text).expect("json"))
    };
    paths.iter().map(read).collect()
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

/// More freedom never needs more cloth: one way >= up and down >= either way, for every bound.
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
        assert!(
            one_way >= up_and_down && up_and_down >= either,
            "{}",
            job.name
        );
    }
}
