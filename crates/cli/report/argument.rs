//! Why no layout can be shorter than a bound: one sentence that can be checked with a tape.

use std::collections::BTreeMap;

use nesting::{Argument, Turn};
use pieces::{Length, Units};

use super::bound_text;
use crate::answer::LaidCloth;

/// Pieces named one by one, at most.
const MOST_NAMED: usize = 4;

/// The argument for the cloth's bound.
pub fn words(cloth: &LaidCloth, units: Units) -> String {
    let bound = bound_text(cloth, units);
    let usable = units.write_down(cloth.problem.cloth.usable_width());
    match &cloth.bound().argument {
        Argument::Area => {
            let spacing = if cloth.problem.spacing.is_positive() {
                " with the spacing around them"
            } else {
                ""
            };
            format!(
                "laid without a gap, the pieces{spacing} would still fill {bound} of the {usable} width"
            )
        }
        Argument::LongestPiece { item } => {
            format!("the {} is that long", label(cloth, *item))
        }
        Argument::SideBySide { items } => match items.as_slice() {
            [one, other] => pair(cloth, units, [*one, *other]),
            items => format!(
                "on anything shorter, one line across the cloth would run through all of these, and \
                 side by side they are wider than {usable}: {}",
                named(cloth, items)
            ),
        },
        Argument::Sections => format!(
            "of the {usable} width a strip stays free beside the pieces, too narrow for another; with \
             such strips the pieces fill {bound}"
        ),
        Argument::EveryPlace => format!(
            "every way to share out the pieces along the length was tried: on anything shorter, some \
             that lie side by side are wider than {usable} together"
        ),
        Argument::LinesAcross { lines } => format!(
            "on anything shorter, {lines} lines across the cloth at equal distances would run through \
             more pieces than fit side by side on {lines} times {usable}"
        ),
    }
}

fn label(cloth: &LaidCloth, item: usize) -> &str {
    cloth
        .problem
        .items
        .get(item)
        .map_or("a piece", |item| item.label.as_str())
}

/// Two pieces, with their widths where these alone show that they cannot lie side by side.
fn pair(cloth: &LaidCloth, units: Units, items: [usize; 2]) -> String {
    let usable = cloth.problem.cloth.usable_width();
    let [one, other] = items.map(|item| (label(cloth, item), least_across(cloth, item)));
    let spacing = cloth.problem.spacing;
    if one.1 + other.1 + spacing <= usable {
        return format!(
            "the {} and the {} take that length together, however they are turned",
            one.0, other.0
        );
    }
    let [first, second] = [one.1, other.1].map(|across| units.write_down(across));
    let usable = units.write_down(usable);
    let who = if one == other {
        format!("two of the {}, each {first} wide,", one.0)
    } else {
        format!(
            "the {} ({first} wide) and the {} ({second} wide)",
            one.0, other.0
        )
    };
    format!(
        "{who} do not fit side by side on {usable}, and one beyond the other they are that long, \
         however they are slid"
    )
}

/// The least width of a piece over the turns it may take.
fn least_across(cloth: &LaidCloth, item: usize) -> Length {
    let Some(item) = cloth.problem.items.get(item) else {
        return Length::ZERO;
    };
    let bounds = item.outline.bounds();
    let across = |turn: &Turn| match turn {
        Turn::None | Turn::Half => bounds.across(),
        Turn::Quarter | Turn::ThreeQuarters => bounds.along(),
    };
    item.turns.iter().map(across).min().unwrap_or_default()
}

/// `2 x gore (Veda), back panel (Ilka) and 3 more`.
fn named(cloth: &LaidCloth, items: &[usize]) -> String {
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for item in items {
        *counts.entry(*item).or_default() += 1;
    }
    let mut names: Vec<String> = counts
        .iter()
        .take(MOST_NAMED)
        .map(|(item, count)| match count {
            1 => label(cloth, *item).to_owned(),
            count => format!("{count} x {}", label(cloth, *item)),
        })
        .collect();
    let rest: usize = counts.values().skip(MOST_NAMED).sum();
    let last = if rest > 0 {
        Some(format!("{rest} more"))
    } else if names.len() > 1 {
        names.pop()
    } else {
        None
    };
    match last {
        Some(last) => format!("{} and {last}", names.join(", ")),
        None => names.join(", "),
    }
}
