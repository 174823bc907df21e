//! Why no layout can be shorter than a bound: one sentence that can be checked with a tape.

use std::collections::BTreeMap;

use nesting::certificate::starts::Starts;
use nesting::{Argument, Turn};
use pieces::{Cutting, Length, Units};

use super::Written;
use crate::answer::LaidCloth;

/// Pieces named one by one, at most.
const MOST_NAMED: usize = 4;

/// The argument for the cloth's bound.
pub fn words(cloth: &LaidCloth, units: Units) -> String {
    let bound = Written::of(cloth, units).down(cloth.bound().length);
    sentence(cloth, units, &cloth.bound().argument, &bound)
}

/// One argument, for the length `bound`.
fn sentence(cloth: &LaidCloth, units: Units, argument: &Argument, bound: &str) -> String {
    let usable = units.write_down(cloth.problem.cloth.usable_width());
    match argument {
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
        Argument::SideBySide { items, .. } => match items.as_slice() {
            [one, other] => pair(cloth, units, [*one, *other]),
            items => format!(
                "on anything shorter, one line across the cloth would run through all of these, and \
                 side by side they are wider than {usable}: {}",
                named(cloth, items)
            ),
        },
        Argument::Behind { items, count, .. } if items.len() == *count as usize => format!(
            "no two of these fit side by side on {usable}, so they lie one behind the other, and are that \
             long together: {}",
            named(cloth, items)
        ),
        Argument::Behind { items, count, .. } => format!(
            "side by side on {usable} these make {count} rows or more, so {count} of them must lie one behind \
             the other, and the {count} shortest are that long together: {}",
            named(cloth, items)
        ),
        Argument::NoTwoAbreast { items, .. } => format!(
            "no two of these fit level side by side on {usable}, however they are turned; each as little further \
             along than the one before as their shapes let it, in the best order, they take that length: {}",
            named(cloth, items)
        ),
        Argument::Alone { items, rest, .. } => {
            let others = units.write_down(rest.length);
            let who = match items.as_slice() {
                [item] => format!("the {}", label(cloth, *item)),
                items => named(cloth, items),
            };
            format!(
                "nothing else fits beside {who} on {usable}, so that length comes on top of {others} for the \
                 others: {}",
                sentence(cloth, units, &rest.argument, &others)
            )
        }
        Argument::Sections(_) => format!(
            "of the {usable} width a strip stays free beside the pieces, too narrow for another; with \
             such strips the pieces fill {bound}"
        ),
        Argument::Sums { rest } => {
            let from = units.write_down(rest.length);
            format!(
                "rectangles that lie against each other end at sums of their lengths, of which {bound} is the \
                 next from {from} on; and {}",
                sentence(cloth, units, &rest.argument, &from)
            )
        }
        Argument::Slices(slices) if slices.zones.is_empty() => format!(
            "even if the pieces were cut across into thin slices, and these laid side by side on {usable} in the best \
             way, no two of one piece level with each other, they would take {bound}"
        ),
        Argument::Slices(_) => format!(
            "on anything shorter the longest pieces cover the middle wherever they lie; beside them the others, \
             even if they were cut across into thin slices, do not fit on {usable}"
        ),
        Argument::Abreast(_) => format!(
            "only some pieces have room side by side on {usable}, with what each needs above and below; even if the pieces \
             were cut across into parts, and these laid in the best way, they would take {bound}"
        ),
        Argument::EveryPlace(places) => format!(
            "every way to share out the pieces along the length was tried: on anything shorter, some \
             that must lie side by side are wider than {usable} together{}",
            where_written(&places.tree)
        ),
        Argument::Sides(sides) => format!(
            "every way in which any two of the pieces may lie beside each other was tried, edge by edge: on anything shorter \
             some of them overlap or reach beyond {usable}{}",
            where_written(&sides.tree)
        ),
        Argument::EveryStart(starts) => format!(
            "every order in which {} may start along the length was tried: on anything shorter, some \
             that must lie side by side are wider than {usable} together{}",
            which_start(cloth, starts),
            where_written(&starts.tree)
        ),
        Argument::EveryStraightCut => format!(
            "every way to part the pieces by {} was tried; a check tries them all again",
            straight_words(cloth.fabric.cutting)
        ),
        Argument::LinesAcross { lines, .. } => format!(
            "on anything shorter, {lines} lines across the cloth at equal distances would run through \
             more pieces than fit side by side on {lines} times {usable}"
        ),
    }
}

/// Which rectangles an argument by their starts is about: a tree names them.
fn which_start(cloth: &LaidCloth, starts: &Starts) -> &'static str {
    let laid = cloth.problem.items.iter().filter(|item| item.copies > 0);
    let named: usize = starts.kinds.iter().map(|kind| kind.items.len()).sum();
    match named {
        0 => "rectangles, or the widest of them,",
        named if named < laid.count() => "the widest rectangles",
        _ => "rectangles",
    }
}

/// What is to be said of a tree that is not there.
fn where_written(tree: &[u64]) -> &'static str {
    if tree.is_empty() {
        "; that is too long to be written down, and a check tries it all again"
    } else {
        ""
    }
}

/// Straight cuts, as a person says it.
pub(super) fn straight_words(cutting: Cutting) -> &'static str {
    match cutting {
        Cutting::Free => "any cuts",
        Cutting::Straight => "straight cuts from edge to edge",
        Cutting::Tear => "tearing across, along and across again",
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
            "the {}, {first} wide, and the {}, {second} wide,",
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

#[cfg(test)]
mod tests {
    use nesting::certificate::abreast::Abreast;
    use nesting::certificate::places::Places;
    use nesting::certificate::sides::Sides;
    use nesting::certificate::starts::Starts;
    use nesting::certificate::{Charged, Larger, Slices};
    use nesting::{Bound, Silent};

    use super::*;
    use crate::answer::{Effort, answer_job};
    use crate::job::Job;
    use crate::message::Refused;

    /// Two flags of 60 x 50 cm and a strip of 20 x 30 cm on 100 cm of cloth.
    fn cloth() -> LaidCloth {
        let text = "[fabric.linen]\nwidth = 100\n[[make]]\ndraft = \"rectangle\"\nname = \"flag\"\n\
                    width = 60\nlength = 50\ngrain = \"lengthwise\"\ncopies = 2\n[[make]]\n\
                    draft = \"rectangle\"\nname = \"strip\"\nwidth = 20\nlength = 30\n\
                    grain = \"lengthwise\"\n";
        let mut none = |name: &str, _| Err(Refused::plain(name, ""));
        let job = Job::read("job.toml", text, &mut none).unwrap_or_else(|e| panic!("{e}"));
        let mut answered = answer_job(&job, &Effort::default(), &mut Silent).unwrap();
        answered.cloths.remove(0)
    }

    fn said(argument: Argument) -> String {
        let mut cloth = cloth();
        cloth.answer.bound.argument = argument;
        words(&cloth, Units::Centimetres)
    }

    fn side_by_side(items: &[usize]) -> Argument {
        Argument::SideBySide {
            items: items.to_vec(),
            line: None,
            larger: Larger::default(),
        }
    }

    /// Each sentence holds what a tape can check: the pieces, their widths and what they share.
    #[test]
    fn a_proof_names_what_can_be_measured() {
        for (argument, parts) in [
            (
                Argument::Area,
                &["still fill 100 cm of the 100 cm width"][..],
            ),
            (
                Argument::LongestPiece { item: 1 },
                &["the strip is that long"],
            ),
            (
                side_by_side(&[0, 0]),
                &["two of the flag, each 60 cm wide", "side by side on 100 cm"],
            ),
            // 60 + 20 cm do fit on 100 cm, so their widths alone prove nothing.
            (
                side_by_side(&[0, 1]),
                &["the flag and the strip take that length together"],
            ),
            (
                side_by_side(&[0, 0, 1]),
                &["one line across", "wider than 100 cm: 2 x flag and strip"],
            ),
            (
                Argument::Behind {
                    items: vec![0, 0, 1],
                    count: 2,
                    charged: Charged::default(),
                },
                &[
                    "on 100 cm these make 2 rows or more, so 2 of them",
                    "that long together: 2 x flag and strip",
                ],
            ),
            (
                Argument::Behind {
                    items: vec![0, 0, 1],
                    count: 3,
                    charged: Charged::default(),
                },
                &[
                    "no two of these fit side by side on 100 cm",
                    "that long together: 2 x flag and strip",
                ],
            ),
            (
                Argument::Alone {
                    items: vec![0],
                    larger: Larger::default(),
                    rest: Box::new(Bound {
                        length: Length::from_cm(30),
                        argument: Argument::LongestPiece { item: 1 },
                    }),
                },
                &[
                    "beside the flag on 100 cm",
                    "on top of 30 cm for the others: the strip is that long",
                ],
            ),
            (
                Argument::Sums {
                    rest: Box::new(Bound {
                        length: Length::from_cm(30),
                        argument: Argument::LongestPiece { item: 1 },
                    }),
                },
                &["is the next from 30 cm on; and the strip is that long"],
            ),
            (
                Argument::NoTwoAbreast {
                    items: vec![0, 0, 1],
                    within: Vec::new(),
                },
                &["side by side on 100 cm", "length: 2 x flag and strip"],
            ),
            (
                Argument::Sections(Charged::default()),
                &["of the 100 cm width a strip stays free"],
            ),
            (
                Argument::LinesAcross {
                    lines: 3,
                    charged: Charged::default(),
                },
                &["3 lines across", "3 times 100 cm"],
            ),
            (
                Argument::Slices(Slices::default()),
                &["thin slices", "side by side on 100 cm", "take 100 cm"],
            ),
            (
                Argument::Slices(Slices {
                    zones: vec![Length::from_cm(40), Length::from_cm(60)],
                    ..Slices::default()
                }),
                &["cover the middle", "do not fit on 100 cm"],
            ),
            (
                Argument::EveryPlace(Places::default()),
                &["wider than 100 cm together", "a check tries it all again"],
            ),
            (
                Argument::Abreast(Abreast::default()),
                &["room side by side on 100 cm", "cut across into parts"],
            ),
            (
                Argument::Sides(Sides::default()),
                &["reach beyond 100 cm", "a check tries it all again"],
            ),
            (
                Argument::EveryStart(Starts::default()),
                &["wider than 100 cm together", "a check tries it all again"],
            ),
            (
                Argument::EveryStraightCut,
                &["every way to part the pieces"],
            ),
        ] {
            let text = said(argument.clone());
            for part in parts {
                assert!(text.contains(part), "{argument:?}: {text}");
            }
        }
    }
}
