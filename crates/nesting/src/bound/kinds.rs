//! The pieces of a problem as the bounds see them: equal items together, each as its section widths
//! in every turn it may take.
//!
//! Turning end for end reverses a profile; turning sideways gives another one. Mirroring changes no
//! section. Spacing is in them as pieces and cloth that are both larger (`grown`). (Flaws only take room away, so
//! they are left out.) Pieces of different garments are different kinds where a garment's turn is one of several.

use std::collections::BTreeMap;

use crate::problem::{Problem, Turn};

use super::grown::Grown;
use super::profile::Profile;

/// One way a piece may lie: upright or sideways.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Way {
    /// Section widths at rising heights.
    pub profile: Profile,
    /// True if it may also lie end for end and that makes a difference.
    pub both_ends: bool,
    /// True if it lies across the grain.
    pub is_sideways: bool,
}

/// Equal pieces.
#[derive(Clone, Debug)]
pub(crate) struct Kind {
    /// The items, with how many copies of each.
    pub items: Vec<(usize, u32)>,
    /// All copies.
    pub copies: i64,
    /// The ways it fits the usable width; all allowed ones if none does.
    pub ways: Vec<Way>,
    /// Twice the area of one, not grown.
    pub doubled_area: i128,
    /// The garment all of them belong to, if its pieces must be turned alike and that leaves out any layout.
    pub garment: Option<u32>,
}

impl Kind {
    /// The least extent along over all ways.
    pub fn least_height(&self) -> i64 {
        self.ways
            .iter()
            .map(|way| way.profile.height())
            .min()
            .unwrap_or(0)
    }

    /// The least section over all ways and heights.
    pub fn narrowest(&self) -> i64 {
        let sections = self.ways.iter().flat_map(|way| &way.profile.stretches);
        sections.map(|s| s.low.min(s.high)).min().unwrap_or(0)
    }

    /// One entry a copy, as arguments name them.
    pub fn each_copy(&self) -> impl Iterator<Item = usize> + '_ {
        self.items
            .iter()
            .flat_map(|&(item, copies)| (0..copies).map(move |_| item))
    }
}

/// The kinds of a problem, in the order of their first items, and the width that sections share.
pub(crate) fn kinds(problem: &Problem, grown: Grown) -> (Vec<Kind>, i64) {
    let usable = problem.cloth.usable_width().um();
    let mut numbers: BTreeMap<(Vec<Way>, i128, Option<u32>), usize> = BTreeMap::new();
    let mut kinds: Vec<Kind> = Vec::new();
    for (number, item) in problem.items.iter().enumerate() {
        if item.copies == 0 {
            continue;
        }
        let mut upright = turned(&item.turns, [Turn::None, Turn::Half]);
        let mut sideways = turned(&item.turns, [Turn::Quarter, Turn::ThreeQuarters]);
        let bounds = item.outline.bounds();
        let fits = (
            bounds.across().um() <= usable,
            bounds.along().um() <= usable,
        );
        match (upright.is_some() && fits.0, sideways.is_some() && fits.1) {
            (true, false) => sideways = None,
            (false, true) => upright = None,
            _ => {}
        }
        let mut ways = Vec::new();
        for (turns, quarters) in [(upright, 0), (sideways, 1)] {
            let Some((plain, reversed)) = turns else {
                continue;
            };
            let profile = grown.profile(&item.outline.turned(quarters));
            let other = profile.reversed();
            ways.push(Way {
                both_ends: plain && reversed && other != profile,
                is_sideways: quarters == 1,
                profile: if plain { profile } else { other },
            });
        }
        let has_ends = ways.len() > 1 || ways.iter().any(|way| way.both_ends);
        let garment = item.garment.filter(|_| has_ends);
        let key = (ways, item.outline.doubled_area(), garment);
        let next = kinds.len();
        let at = *numbers.entry(key.clone()).or_insert(next);
        if at == next {
            let (ways, doubled_area, garment) = key;
            kinds.push(Kind {
                items: Vec::new(),
                copies: 0,
                ways,
                doubled_area,
                garment,
            });
        }
        kinds[at].items.push((number, item.copies));
        kinds[at].copies += i64::from(item.copies);
    }
    (kinds, usable + grown.across)
}

/// Whether each of two opposite turns is allowed; `None` if neither is.
fn turned(allowed: &[Turn], pair: [Turn; 2]) -> Option<(bool, bool)> {
    let [plain, reversed] = pair.map(|turn| allowed.contains(&turn));
    (plain || reversed).then_some((plain, reversed))
}
