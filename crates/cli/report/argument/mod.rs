//! Why no layout can be shorter than a bound: one sentence that can be checked with a tape.
//!
//! What is added up is named with its sum (`sums`), pieces are named such that two are told apart (`names`).

mod names;
mod sums;
#[cfg(test)]
mod tests;

use nesting::certificate::Larger;
use nesting::certificate::starts::Starts;
use nesting::{Argument, Bound};
use pieces::{Cutting, Length, Units};

use super::{Written, only_refuses};
use crate::answer::LaidCloth;

/// The argument for the cloth's bound.
pub fn words(cloth: &LaidCloth, units: Units) -> String {
    let bound = Written::of(cloth, units).down(cloth.bound().length);
    let said = Said {
        cloth,
        units,
        pieces: "the pieces",
        shorter: if only_refuses(cloth) {
            "on that length and on anything shorter"
        } else {
            "on anything shorter"
        },
    };
    said.sentence(cloth.bound(), &bound)
}

/// What is said of some pieces.
struct Said<'c> {
    cloth: &'c LaidCloth,
    units: Units,
    /// Which: all, or those that others left.
    pieces: &'static str,
    /// On what an argument says that they do not go.
    shorter: &'static str,
}

impl Said<'_> {
    /// One argument, for a length that is written as `written`.
    fn sentence(&self, bound: &Bound, written: &str) -> String {
        let (cloth, units, pieces) = (self.cloth, self.units, self.pieces);
        let shorter = self.shorter;
        let usable = units.write_down(cloth.problem.cloth.usable_width());
        let listed = |items: &[usize]| names::listed(cloth, units, items);
        match &bound.argument {
            Argument::Area => {
                let spacing = if cloth.problem.spacing.is_positive() {
                    " with the spacing around them"
                } else {
                    ""
                };
                format!(
                    "laid without a gap, {pieces}{spacing} would still fill {written} of the {usable} width"
                )
            }
            Argument::LongestPiece { item } => format!(
                "{} is that long{}",
                names::the(cloth, units, *item),
                names::of_length(cloth, *item)
            ),
            Argument::SideBySide {
                items,
                line,
                larger,
            } => self.side_by_side(items, line.is_none(), *larger, bound.length),
            Argument::Behind {
                items,
                count,
                charged,
            } => self.behind(items, *count, charged.larger),
            Argument::NoTwoAbreast { items, .. } => format!(
                "no two of these fit level side by side on {usable}, however they are turned; each as little further \
                 along than the one before as their shapes let it, in the best order, they take that length: {}",
                listed(items)
            ),
            Argument::Alone {
                items,
                larger,
                rest,
            } => self.alone(items, *larger, rest),
            Argument::Sections(_) => format!(
                "of the {usable} width a strip stays free beside {pieces}, too narrow for another; with such strips they \
                 fill {written}"
            ),
            Argument::Sums { rest } => {
                let from = units.write_down(rest.length);
                let why = self.sentence(rest, &from);
                format!(
                    "{why}, so they take {from} at least; and pushed up against each other, rectangles end where the lengths of \
                     some of them add up: the first such sum from there on is {written}"
                )
            }
            Argument::Slices(slices) if slices.zones.is_empty() => format!(
                "even if {pieces} were cut across into thin slices, and these laid side by side on {usable} in the best \
                 way, no two of one piece level with each other, they would take {written}"
            ),
            Argument::Slices(_) => format!(
                "{shorter} the longest pieces cover the middle wherever they lie; beside them the others, \
                 even if they were cut across into thin slices, do not fit on {usable}"
            ),
            Argument::Abreast(_) => format!(
                "only some pieces have room side by side on {usable}, with what each needs above and below; even if {pieces} \
                 were cut across into parts, and these laid in the best way, they would take {written}"
            ),
            Argument::EveryPlace(places) => format!(
                "every way to share out {pieces} along the length was tried: {shorter}, some \
                 that must lie side by side are wider than {usable} together{}",
                where_written(&places.tree)
            ),
            Argument::Sides(sides) => format!(
                "every way in which any two of {pieces} may lie beside each other was tried, edge by edge: {shorter} \
                 some of them overlap or reach beyond {usable}{}",
                where_written(&sides.tree)
            ),
            Argument::EveryStart(starts) => format!(
                "every order in which {} may start along the length was tried: {shorter}, some \
                 that must lie side by side are wider than {usable} together{}",
                which_start(cloth, starts),
                where_written(&starts.tree)
            ),
            Argument::EveryStraightCut => format!(
                "every way to part {pieces} by {} was tried; a check tries them all again",
                straight_words(cloth.fabric.cutting)
            ),
            Argument::LinesAcross { lines, .. } => format!(
                "{shorter}, {lines} lines across the cloth at equal distances would run through \
                 more pieces than fit side by side on {lines} times {usable}"
            ),
        }
    }

    /// Pieces that a line across runs through, or two that have no room beside each other, however they are slid.
    fn side_by_side(
        &self,
        items: &[usize],
        is_slid: bool,
        larger: Larger,
        length: Length,
    ) -> String {
        let (cloth, units, shorter) = (self.cloth, self.units, self.shorter);
        let usable = units.write_down(cloth.problem.cloth.usable_width());
        let too_wide = sums::too_wide(cloth, units, items, larger.wider);
        let are_two = items.len() == 2;
        match too_wide {
            Some(too_wide) if are_two && sums::reach(cloth, items, larger, length) => {
                let row = sums::in_a_row(cloth, units, (items, 2), larger.longer, None);
                format!("{too_wide}; so one lies beyond the other: {row}")
            }
            Some(too_wide) => format!(
                "{shorter}, one line across the cloth would run through all of these: {}; {too_wide}",
                names::listed(cloth, units, items)
            ),
            None if are_two && is_slid => self.slid(items),
            None => format!(
                "{shorter}, one line across the cloth would run through all of these, and \
                 there they are wider than {usable} side by side: {}",
                names::listed(cloth, units, items)
            ),
        }
    }

    /// Two pieces that are too near to each other wherever one lies.
    fn slid(&self, items: &[usize]) -> String {
        let (cloth, units) = (self.cloth, self.units);
        let who = names::listed(cloth, units, items);
        format!("{who} take that length together, however they are turned and slid")
    }

    /// Pieces of which `count` must lie one beyond the other.
    fn behind(&self, items: &[usize], count: u32, larger: Larger) -> String {
        let (cloth, units) = (self.cloth, self.units);
        let usable = units.write_down(cloth.problem.cloth.usable_width());
        let row = sums::in_a_row(cloth, units, (items, count), larger.longer, None);
        let all = names::listed(cloth, units, items);
        if items.len() != count as usize {
            let why = match sums::rows(cloth, units, items, (count, larger.wider)) {
                Some(needed) => {
                    let times = match count {
                        2 => String::new(),
                        count => format!("{} times ", count - 1),
                    };
                    format!(
                        "side by side these need {needed}, more than {times}the {usable} of the cloth: {all}"
                    )
                }
                None => format!("side by side on {usable} these make {count} rows or more: {all}"),
            };
            return format!(
                "{why}; so {count} of them lie one beyond the other, and the {count} shortest need {row}"
            );
        }
        let two = sums::narrowest_two(cloth, items);
        let are_two = items.len() == 2;
        match sums::too_wide(cloth, units, &two, larger.wider) {
            Some(too_wide) if are_two => {
                format!("{too_wide}; so one lies beyond the other: {row}")
            }
            Some(too_wide) if names::named(cloth, units, items).len() == 1 => {
                format!("{too_wide}; so all {count} lie one beyond the other: {row}")
            }
            Some(too_wide) => format!(
                "no two of these fit side by side: {all}. The nearest to fit: {too_wide}; so all {count} lie one beyond the \
                 other: {row}"
            ),
            None => format!(
                "no two of these fit side by side on {usable}: {all}; so they lie one beyond the other: {row}"
            ),
        }
    }

    /// Pieces beside which nothing else fits.
    fn alone(&self, items: &[usize], larger: Larger, rest: &Bound) -> String {
        let (cloth, units) = (self.cloth, self.units);
        let usable = units.write_down(cloth.problem.cloth.usable_width());
        let who = names::listed(cloth, units, items);
        let nearest = sums::nearest_to_fit(cloth, items);
        let too_wide = nearest.and_then(|two| sums::too_wide(cloth, units, &two, larger.wider));
        let why = match too_wide {
            Some(too_wide) if items.len() == 1 => {
                format!(
                    "nothing else fits beside {who}, not even the narrowest of the others: {too_wide}"
                )
            }
            Some(too_wide) => format!(
                "nothing else fits beside any of these: {who}. The nearest to fit: {too_wide}"
            ),
            None => format!("nothing else fits beside {who} on {usable}"),
        };
        let count = u32::try_from(items.len()).unwrap_or(u32::MAX);
        let row = (items, count);
        let row = sums::in_a_row(cloth, units, row, larger.longer, Some(rest.length));
        let others = units.write_down(rest.length);
        let said = Said {
            pieces: "the others",
            shorter: "on anything shorter",
            ..*self
        };
        format!(
            "{why}. So what the others need comes on top: {row}. The others need {others}: {}",
            said.sentence(rest, &others)
        )
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
