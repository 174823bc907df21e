//! Open data sets as problems, read in place from beside the repository. Where they are missing, tests say so
//! and pass.
//!
//! To use it from another test file: `mod data;`. In the files the length runs along x; here everything is
//! turned by a quarter, and a unit of a file is a millimetre.

#![allow(dead_code, reason = "one test file reads rectangles, another does not")]

use std::path::PathBuf;

use nesting::{Cloth, Item, Problem, Turn};
use pieces::{Length, Outline, Point};
use serde_json::Value;

/// The sets in the files of a folder.
pub fn read(folder: &str) -> Vec<Value> {
    let base = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/data");
    let folder = PathBuf::from(base).join(folder);
    let Ok(entries) = std::fs::read_dir(&folder) else {
        eprintln!("SKIPPED: no data sets at {}", folder.display());
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = entries.filter_map(|e| Some(e.ok()?.path())).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "json"));
    paths.sort();
    let parse = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).expect("readable");
        match serde_json::from_str(&text).expect("json") {
            Value::Array(sets) => sets,
            set => vec![set],
        }
    };
    paths.iter().flat_map(parse).collect()
}

/// Millimetres as written, in micrometres, from the decimal text: all files have at most 3 decimals.
pub fn um(value: &Value) -> i64 {
    let scaled = value.as_f64().expect("a number") * 1_000.0;
    assert!(
        (scaled - scaled.round()).abs() < 1e-3,
        "{value} is finer than a micrometre"
    );
    scaled.round() as i64
}

pub fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().expect(key)
}

/// The name of a set or of one job.
pub fn name(value: &Value) -> &str {
    value["name"].as_str().expect("a name")
}

/// A strip and free shapes.
pub fn free_shapes(value: &Value) -> Problem {
    let item = |item: &Value| {
        let corner = |p: &Value| Point::new(-um(&p[1]), um(&p[0]));
        let corners = list(item, "polygon").iter().map(corner).collect();
        let mut turns: Vec<Turn> = list(item, "rotations")
            .iter()
            .map(|r| Turn::try_from(r.as_f64().expect("degrees") as u16).expect("a quarter"))
            .collect();
        turns.sort();
        laid(corners, &item["quantity"], turns)
    };
    let items = list(value, "items").iter().map(item).collect();
    strip(&value["strip_width"], items)
}

/// A strip and rectangles, none turned.
pub fn rectangles(value: &Value) -> Problem {
    let item = |item: &Value| {
        let (across, along) = (um(&item["w"]), um(&item["h"]));
        let corners = [(0, 0), (across, 0), (across, along), (0, along)];
        let corners = corners.map(|(x, y)| Point::new(x, y)).into();
        laid(corners, &item["n"], vec![Turn::None])
    };
    let items = list(value, "items").iter().map(item).collect();
    strip(&value["width"], items)
}

fn laid(corners: Vec<Point>, copies: &Value, turns: Vec<Turn>) -> Item {
    Item {
        label: "piece".into(),
        outline: Outline::new(corners).expect("an outline"),
        copies: copies.as_u64().expect("a count") as u32,
        turns,
        may_mirror: false,
        garment: None,
        anchor: None,
    }
}

fn strip(width: &Value, items: Vec<Item>) -> Problem {
    Problem {
        cloth: Cloth {
            left: -Length::from_um(um(width)),
            ..Cloth::default()
        },
        items,
        ..Problem::default()
    }
}
