//! The ways in which an item may lie: upright or sideways, one end up or the other.
//!
//! Mirroring changes no width, and turning a piece end for end reverses them.

use pieces::Length;

use super::larger::Larger;
use super::widths::{Band, Bands, height, reversed, widths};
use crate::problem::{Item, Turn};

/// Upright or sideways.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Way {
    /// Its widths with an end up that is allowed.
    pub bands: Bands,
    /// Whether the other end may be up as well.
    pub is_either: bool,
}

impl Way {
    /// One end up, then the other if it may be.
    pub fn ends<'w>(&self, bands: &'w [Band]) -> impl Iterator<Item = Bands> + use<'w> {
        let other = self.is_either.then(|| reversed(bands));
        std::iter::once(bands.to_vec()).chain(other)
    }
}

/// Those in which it goes on the cloth; all that it may take if it goes on it in none, as then nothing is laid.
pub(super) fn ways(item: &Item, usable: Length, larger: Larger) -> Vec<Way> {
    let bounds = item.outline.bounds();
    let way = |turns: [Turn; 2], across: Length| {
        let [plain, about] = turns.map(|turn| item.turns.contains(&turn));
        (plain || about).then(|| {
            let bands = widths(&item.outline.turned(turns[0].quarters()), larger);
            let way = Way {
                is_either: plain && about,
                bands: if plain { bands } else { reversed(&bands) },
            };
            (way, across <= usable)
        })
    };
    let upright = way([Turn::None, Turn::Half], bounds.across());
    let sideways = way([Turn::Quarter, Turn::ThreeQuarters], bounds.along());
    let all: Vec<(Way, bool)> = upright.into_iter().chain(sideways).collect();
    let goes = all.iter().any(|(_, goes)| *goes);
    let kept = all.into_iter().filter(|(_, fits)| *fits || !goes);
    kept.map(|(way, _)| way).collect()
}

/// How long it is at least.
pub(super) fn least_height(ways: &[Way]) -> i64 {
    let heights = ways.iter().map(|way| height(&way.bands));
    heights.min().unwrap_or(0)
}

/// How wide it is at the least and at the most, over all heights and ways.
pub(super) fn span(ways: &[Way]) -> (i64, i64) {
    let bands = || ways.iter().flat_map(|way| &way.bands);
    let least = bands().map(|band| band.low.min(band.high)).min();
    let most = bands().map(|band| band.low.max(band.high)).max();
    (least.unwrap_or(0), most.unwrap_or(0))
}
