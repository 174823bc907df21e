//! Pieces by name: "the back panel (Ilka)", "piece A1", "the 20 × 33.3 cm rectangle".

use nesting::{Item, Turn};
use pieces::{Length, Units};

use crate::answer::LaidCloth;

/// Pieces named one by one, at most.
pub const MOST_NAMED: usize = 4;

/// Pieces that are called the same.
pub struct Named {
    /// One of their items.
    pub item: usize,
    /// How many.
    pub count: u32,
    /// How one of them is called.
    pub name: String,
}

/// These pieces, one entry a copy, by how they are called, in the order of the job.
pub fn named(cloth: &LaidCloth, units: Units, items: &[usize]) -> Vec<Named> {
    let mut sorted = items.to_vec();
    sorted.sort_unstable();
    let mut all: Vec<Named> = Vec::new();
    let mut last = None;
    for item in sorted {
        if last != Some(item) {
            let name = the(cloth, units, item);
            last = Some(item);
            if !all.iter().any(|known| known.name == name) {
                let count = 0;
                all.push(Named { item, count, name });
            }
        }
        let name = the(cloth, units, item);
        if let Some(known) = all.iter_mut().find(|known| known.name == name) {
            known.count += 1;
        }
    }
    all
}

/// `2 of the gore (Veda), the back panel (Ilka) and 3 more pieces`.
pub fn listed(cloth: &LaidCloth, units: Units, items: &[usize]) -> String {
    let all = named(cloth, units, items);
    let mut names: Vec<String> = all
        .iter()
        .take(MOST_NAMED)
        .map(|of| match of.count {
            1 => of.name.clone(),
            count => format!("{count} of {}", of.name),
        })
        .collect();
    let rest: u32 = all.iter().skip(MOST_NAMED).map(|of| of.count).sum();
    let last = match rest {
        0 if names.len() > 1 => names.pop(),
        0 => None,
        1 => Some("1 more piece".to_owned()),
        rest => Some(format!("{rest} more pieces")),
    };
    match last {
        Some(last) => format!("{} and {last}", names.join(", ")),
        None => names.join(", "),
    }
}

/// A piece as it is spoken of, with its size where another is called the same and has another.
pub fn the(cloth: &LaidCloth, units: Units, item: usize) -> String {
    let items = &cloth.problem.items;
    let Some(item) = items.get(item) else {
        return "a piece".to_owned();
    };
    let label = item.label.as_str();
    let sides = |item: &Item| {
        let bounds = item.outline.bounds();
        [bounds.across(), bounds.along()]
    };
    let is_other =
        |other: &Item| other.copies > 0 && other.label == item.label && sides(other) != sides(item);
    let size = items.iter().any(is_other).then(|| size(units, sides(item)));
    match (takes_article(label), size) {
        (true, None) => format!("the {label}"),
        (true, Some(size)) => format!("the {size} {label}"),
        (false, None) => format!("piece {label}"),
        (false, Some(size)) => format!("piece {label} ({size})"),
    }
}

/// Whether a label begins with a common noun, or what stands before one: `back panel (Ilka)`, and not `A1` or `Sleeve`.
fn takes_article(label: &str) -> bool {
    let word = label.split(' ').next().unwrap_or_default();
    let is_in = |c: char| c.is_lowercase() || c == '-' || c == ',';
    word.chars().count() > 1 && word.chars().all(is_in) && !matches!(word, "the" | "my" | "piece")
}

/// `20 × 33.3 cm`.
fn size(units: Units, [across, along]: [Length; 2]) -> String {
    let across = units.write(across);
    let across = across
        .rsplit_once(' ')
        .map_or(&*across, |(number, _)| number);
    format!("{across} \u{d7} {}", units.write(along))
}

/// Which ways up an item fits the width of the cloth: as it is worn, and sideways.
fn ways(cloth: &LaidCloth, item: usize) -> Option<(&Item, [bool; 2])> {
    let item = cloth.problem.items.get(item)?;
    let bounds = item.outline.bounds();
    let usable = cloth.problem.cloth.usable_width();
    let may = |turns: [Turn; 2]| turns.iter().any(|turn| item.turns.contains(turn));
    let upright = may([Turn::None, Turn::Half]) && bounds.across() <= usable;
    let sideways = may([Turn::Quarter, Turn::ThreeQuarters]) && bounds.along() <= usable;
    Some((item, [upright, sideways]))
}

/// What is to be said of a width that is the least of a piece: that it is so laid sideways, or is not so everywhere.
pub fn of_width(cloth: &LaidCloth, item: usize, least: Length) -> &'static str {
    let Some((item, [upright, sideways])) = ways(cloth, item) else {
        return "";
    };
    let bounds = item.outline.bounds();
    let box_least = match [upright, sideways] {
        [true, true] => bounds.across().min(bounds.along()),
        [_, true] => bounds.along(),
        _ => bounds.across(),
    };
    match [upright, sideways] {
        _ if least < box_least => " at the narrowest",
        [_, true] if bounds.along() < bounds.across() => " even laid sideways",
        [true, true] => " however it is turned",
        _ => "",
    }
}

/// The same of a length.
pub fn of_length(cloth: &LaidCloth, item: usize) -> &'static str {
    let Some((item, [upright, sideways])) = ways(cloth, item) else {
        return "";
    };
    let bounds = item.outline.bounds();
    let may_lie = item.turns.contains(&Turn::Quarter);
    match [upright, sideways] {
        [_, true] if bounds.across() < bounds.along() => ", even laid sideways",
        [true, true] => ", however it is turned",
        [true, false] if may_lie => ", and laid sideways it is too wide for the cloth",
        _ => "",
    }
}
