//! Instances of the open data sets as problems, and back.
//!
//! In a file the strip's length runs along x and its width along y; on our cloth they are y and x. A
//! quarter turn leads from one to the other, so that nothing is mirrored: (x, y) there is (-y, x) here.
//! Numbers of a file are decimals; they are multiplied by a power of ten that makes them whole, and by
//! more where that lets pieces touch more closely.

use std::path::{Path, PathBuf};

use nesting::{Cloth, Item, Problem, Turn};
use pieces::{Bounds, Length, Outline, Point};
use serde_json::Value;

/// The width in our units, or the longest piece if that is more, where decimals ask for no more.
const ENOUGH: f64 = 8e6;

/// The same at most: beyond the 2^28 that all engines take, the rows still do.
const MOST: f64 = (1_u64 << 38) as f64;

/// Copies of an item at most.
const MOST_COPIES: f64 = 1e6;

/// How far from whole a number may be once it is multiplied.
const NEARLY: f64 = 1e-4;

/// One strip and what is laid on it.
pub struct Instance {
    pub name: String,
    /// Where it was read.
    pub file: Option<PathBuf>,
    pub problem: Problem,
    /// How many of our units make one of the file's.
    pub scale: f64,
}

impl Instance {
    /// A length in the file's units.
    pub fn in_file(&self, length: i64) -> f64 {
        length as f64 / self.scale
    }

    /// Percent of the strip that is covered.
    pub fn density(&self, length: Length) -> f64 {
        let doubled = |item: &Item| item.outline.doubled_area() * i128::from(item.copies);
        let area = self.problem.items.iter().map(doubled).sum::<i128>() as f64 / 2.0;
        let strip = self.problem.cloth.usable_width().um() as f64;
        100.0 * area / (strip * length.um() as f64)
    }
}

/// All instances of these files and folders, in the order of their names; what cannot be read as a message.
pub fn read_all(paths: &[PathBuf], quarter_turns: bool) -> Vec<Result<Instance, String>> {
    let mut all = Vec::new();
    for path in paths {
        match files(path) {
            Ok(files) => all.extend(files.iter().flat_map(|file| read(file, quarter_turns))),
            Err(error) => all.push(Err(format!("{}: {error}", path.display()))),
        }
    }
    all
}

fn files(path: &Path) -> std::io::Result<Vec<PathBuf>> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let mut files = Vec::new();
    for entry in std::fs::read_dir(path)? {
        let file = entry?.path();
        if file.extension().is_some_and(|ending| ending == "json") {
            files.push(file);
        }
    }
    if files.is_empty() {
        return Err(std::io::Error::other("no file ends in .json"));
    }
    files.sort();
    Ok(files)
}

fn read(file: &Path, quarter_turns: bool) -> Vec<Result<Instance, String>> {
    let at = |what: String| format!("{}: {what}", file.display());
    let from_here = |instance: Instance| Instance {
        file: Some(file.to_owned()),
        ..instance
    };
    let value = std::fs::read_to_string(file)
        .map_err(|error| at(error.to_string()))
        .and_then(|text| {
            serde_json::from_str::<Value>(&text).map_err(|error| at(error.to_string()))
        });
    match value {
        Err(message) => vec![Err(message)],
        Ok(Value::Array(list)) => list
            .iter()
            .enumerate()
            .map(|(index, value)| {
                rectangles(value, quarter_turns)
                    .map(from_here)
                    .map_err(|what| at(format!("[{index}]: {what}")))
            })
            .collect(),
        Ok(value) => vec![free_shapes(&value).map(from_here).map_err(at)],
    }
}

fn number(value: &Value, key: &str) -> Result<f64, String> {
    value[key]
        .as_f64()
        .ok_or_else(|| format!("\"{key}\" is no number"))
}

fn copies(value: &Value, key: &str) -> Result<u32, String> {
    let copies = number(value, key)?;
    if copies.fract() == 0.0 && (0.0..=MOST_COPIES).contains(&copies) {
        Ok(copies as u32)
    } else {
        Err(format!(
            "\"{key}\" is {copies}, and should be a whole number from 0 to {MOST_COPIES}"
        ))
    }
}

fn text(value: &Value, key: &str) -> Result<String, String> {
    let text = value[key].as_str();
    text.map(str::to_owned)
        .ok_or_else(|| format!("\"{key}\" is no text"))
}

fn list<'v>(value: &'v Value, key: &str) -> Result<&'v Vec<Value>, String> {
    value[key]
        .as_array()
        .ok_or_else(|| format!("\"{key}\" is no list"))
}

/// Pieces by their corners in the file's frame.
struct Raw {
    corners: Vec<(f64, f64)>,
    copies: u32,
    turns: Vec<Turn>,
}

impl Raw {
    /// The longer side of its box.
    fn longest(&self) -> f64 {
        let side = |of: fn(&(f64, f64)) -> f64| {
            let all = || self.corners.iter().map(of);
            all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
        };
        side(|c| c.0).max(side(|c| c.1))
    }
}

fn free_shapes(value: &Value) -> Result<Instance, String> {
    let raw = list(value, "items")?
        .iter()
        .enumerate()
        .map(|(index, item)| free_shape(item).map_err(|what| format!("items[{index}]: {what}")))
        .collect::<Result<Vec<Raw>, String>>()?;
    instance(text(value, "name")?, number(value, "strip_width")?, &raw)
}

fn free_shape(item: &Value) -> Result<Raw, String> {
    let corner = |point: &Value| match point.as_array()?.as_slice() {
        [x, y] => Some((x.as_f64()?, y.as_f64()?)),
        _ => None,
    };
    let corners = list(item, "polygon")?
        .iter()
        .map(corner)
        .collect::<Option<Vec<_>>>()
        .ok_or("\"polygon\" is no list of [x, y]")?;
    let turns = list(item, "rotations")?
        .iter()
        .map(|turn| {
            let degrees = turn.as_f64().filter(|d| d.fract() == 0.0);
            let degrees = degrees.map(|d| d.rem_euclid(360.0) as u16);
            degrees
                .ok_or_else(|| format!("rotation {turn} is not a quarter turn"))
                .and_then(Turn::try_from)
        })
        .collect::<Result<Vec<Turn>, String>>()?;
    Ok(Raw {
        corners,
        copies: copies(item, "quantity")?,
        turns,
    })
}

fn rectangles(value: &Value, quarter_turns: bool) -> Result<Instance, String> {
    let mut turns = vec![Turn::None];
    turns.extend(quarter_turns.then_some(Turn::Quarter));
    let raw = list(value, "items")?
        .iter()
        .map(|item| {
            let (w, h) = (number(item, "w")?, number(item, "h")?);
            Ok(Raw {
                corners: vec![(0.0, 0.0), (h, 0.0), (h, w), (0.0, w)],
                copies: copies(item, "n")?,
                turns: turns.clone(),
            })
        })
        .collect::<Result<Vec<Raw>, String>>()?;
    instance(text(value, "name")?, number(value, "width")?, &raw)
}

fn instance(name: String, width: f64, raw: &[Raw]) -> Result<Instance, String> {
    if width <= 0.0 {
        return Err(format!(
            "{name}: the strip is {width} wide, and should be wider than 0"
        ));
    }
    let corners = raw.iter().flat_map(|item| &item.corners);
    let numbers = corners.flat_map(|&(x, y)| [x, y]).chain([width]);
    let numbers: Vec<f64> = numbers.collect();
    let laid = raw.iter().filter(|item| item.copies > 0);
    let longest = laid.map(Raw::longest).fold(width, f64::max).max(1.0);
    let scale = scale(&numbers, longest)
        .map_err(|fine| format!("{name}: {fine} has more decimals than are laid exactly"))?;
    let mut items = Vec::new();
    for (index, item) in raw.iter().enumerate() {
        let corners = item.corners.iter();
        let whole = |&(x, y): &(f64, f64)| {
            Point::new(-(y * scale).round() as i64, (x * scale).round() as i64)
        };
        let outline = Outline::new(corners.map(whole).collect())
            .map_err(|error| format!("{name}: items[{index}]: {error}"))?;
        let with_all = Bounds::of(&item.corners.iter().map(whole).collect::<Vec<_>>());
        if with_all != Some(outline.bounds()) {
            return Err(format!(
                "{name}: items[{index}]: a spike without width sticks out of it; leave it out"
            ));
        }
        let dropped = item.corners.len() - outline.points().len();
        if dropped > 0 {
            eprintln!("{name}: items[{index}]: corners that do nothing left out: {dropped}");
        }
        let mut turns = item.turns.clone();
        turns.sort_unstable();
        turns.dedup();
        items.push(Item {
            label: format!("items[{index}]"),
            outline,
            copies: item.copies,
            turns,
            may_mirror: false,
            garment: None,
            anchor: None,
        });
    }
    Ok(Instance {
        name,
        file: None,
        problem: Problem {
            cloth: Cloth {
                left: Length::from_um(-((width * scale).round() as i64)),
                right: Length::ZERO,
                ..Cloth::default()
            },
            items,
            ..Problem::default()
        },
        scale,
    })
}

/// The power of ten that makes all of them whole and, if that is less than enough, as much as is; else a
/// number that none makes whole.
fn scale(numbers: &[f64], longest: f64) -> Result<f64, f64> {
    let mut scale = 1.0;
    while longest * scale * 10.0 <= ENOUGH {
        scale *= 10.0;
    }
    loop {
        let is_whole = |v: f64| (v * scale - (v * scale).round()).abs() <= NEARLY;
        let Some(&fine) = numbers.iter().find(|&&v| !is_whole(v)) else {
            return Ok(scale);
        };
        if longest * scale * 10.0 > MOST {
            return Err(fine);
        }
        scale *= 10.0;
    }
}
