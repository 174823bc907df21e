//! Where a piece brings least.

use super::cut::{Cut, Heights};

/// A place of a kind along the cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Place {
    pub kind: usize,
    /// Number of the way it lies.
    pub lying: usize,
    pub at: i64,
}

/// Lengths for which a section is at least so wide within each zone: by width, then zone.
pub(super) fn lengths(cuts: &[Cut], place: Place, borders: &[i64]) -> Vec<Vec<i64>> {
    let lying = &cuts[place.kind].lying[place.lying];
    let within = |heights: &Heights| -> Vec<i64> {
        let zones = borders.windows(2);
        zones
            .map(|zone| {
                let part = |&(from, to): &(i64, i64)| {
                    ((to + place.at).min(zone[1]) - (from + place.at).max(zone[0])).max(0)
                };
                heights.iter().map(part).sum()
            })
            .collect()
    };
    lying.wide.iter().map(within).collect()
}

/// The place of a kind where it is worth least, and how much; `worth` by width, then zone. `None` if it is too long.
///
/// What it is worth changes evenly between the places where an end of a wide part meets a border.
pub(super) fn least(
    cuts: &[Cut],
    kind: usize,
    worth: &[Vec<u32>],
    borders: &[i64],
    work: &mut u64,
) -> Option<(i128, Place)> {
    let length = borders.last()?;
    let mut best: Option<(i128, Place)> = None;
    for (number, lying) in cuts[kind].lying.iter().enumerate() {
        let room = length - lying.height;
        if room < 0 {
            continue;
        }
        for at in places(&lying.wide, borders, room) {
            let place = Place {
                kind,
                lying: number,
                at,
            };
            *work += (lying.wide.len() * borders.len() * 2) as u64;
            let sum = value(&lengths(cuts, place, borders), worth);
            if best.is_none_or(|(least, _)| sum < least) {
                best = Some((sum, place));
            }
        }
    }
    best
}

fn places(wide: &[Heights], borders: &[i64], room: i64) -> Vec<i64> {
    let ends = wide.iter().flatten().flat_map(|&(from, to)| [from, to]);
    let inner = borders.get(1..borders.len() - 1).unwrap_or_default();
    let mut all: Vec<i64> = ends
        .flat_map(|end| inner.iter().map(move |border| border - end))
        .filter(|at| (0..=room).contains(at))
        .chain([0, room])
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// What lengths are worth in all; a width counts what it is worth more than the one before.
fn value(lengths: &[Vec<i64>], worth: &[Vec<u32>]) -> i128 {
    let mut sum = 0;
    let mut before: Option<&Vec<u32>> = None;
    for (lengths, worth) in lengths.iter().zip(worth) {
        for (zone, (&length, &worth)) in lengths.iter().zip(worth).enumerate() {
            let more = worth - before.map_or(0, |before| before[zone]);
            sum += i128::from(length) * i128::from(more);
        }
        before = Some(worth);
    }
    sum
}
