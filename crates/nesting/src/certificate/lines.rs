//! Lines drawn across a cloth of the length that is refused, and what pieces must put on them.
//!
//! Wherever a piece lies it crosses some of the lines; the least that its sections there are worth, over all its places
//! and ways, is its load. On each line sections are together worth no more than the whole width, so if the loads of
//! some pieces are more than all lines can take, nothing fits in that length, or in less.
//!
//! While a piece is moved along, what it puts on the lines changes evenly until one of them comes to an end of one of its
//! bands. So the least is found at one of these places, where the lesser side of a jump counts.
//!
//! On a line that lies in the lower half it is as true of the widths just above it, in the upper half of those just below
//! (`inner`). Then a piece that can be moved no further up the cloth shows on a line in the lower half what is just above
//! it there, and one at the cut end on one in the upper half what is just below.

use std::cmp::Ordering;

use super::Asked;
use super::charged::{Charged, Valued};
use super::functions::Worth;
use super::ways::Way;
use super::widths::{Band, height};

/// Lines, and values looked at, at most.
const MOST_LINES: u32 = 64;
const MOST_VALUES: usize = 200_000_000;

/// What a piece puts on lines.
enum Load {
    /// At least this.
    Least(i64),
    /// It is longer than their length, however it lies.
    TooLong,
    /// There is too much to look at.
    TooMuch,
}

/// Lines across a length.
pub(super) struct Lines {
    pub length: i64,
    /// Where they are, in such parts of a micrometre.
    pub at: Vec<i64>,
    pub parts: i64,
    /// See the module.
    pub is_inner: bool,
}

impl Lines {
    /// At equal distances.
    pub fn even(lines: u32, length: i64) -> Option<Lines> {
        if !(1..=MOST_LINES).contains(&lines) {
            return None;
        }
        let lines = i64::from(lines);
        Some(Lines {
            length,
            at: (1..=lines).map(|line| line * length).collect(),
            parts: lines + 1,
            is_inner: false,
        })
    }

    /// The least that a piece puts on the lines, in any of its ways. Takes what is looked at from `left`.
    fn load(&self, ways: &[Way], worth: &Worth, left: &mut usize) -> Load {
        let mut least: Option<i64> = None;
        for way in ways {
            let bands = worth.bands(&way.bands);
            for bands in way.ends(&bands) {
                let values = (bands.len() + 3) * self.at.len() * self.at.len();
                let Some(after) = left.checked_sub(values) else {
                    return Load::TooMuch;
                };
                *left = after;
                if let Some(load) = self.least(&bands) {
                    least = Some(least.map_or(load, |known| known.min(load)));
                }
            }
        }
        least.map_or(Load::TooLong, Load::Least)
    }

    fn least(&self, bands: &[Band]) -> Option<i64> {
        let room = (self.length - height(bands)) * self.parts;
        if room < 0 {
            return None;
        }
        let ends = bands.iter().map(|band| band.from).chain([height(bands)]);
        let meets = ends.flat_map(|end| self.at.iter().map(move |line| line - end * self.parts));
        let places = meets.filter(|place| (0..=room).contains(place));
        let put = |place: i64| {
            self.at
                .iter()
                .map(|&line| self.put(bands, line, place, room))
                .sum::<i64>()
        };
        places.chain([0, room]).map(put).min()
    }

    /// What a piece at this place puts on one line.
    fn put(&self, bands: &[Band], line: i64, place: i64, room: i64) -> i64 {
        let (below, above) = beside(bands, line - place, self.parts);
        match (2 * line).cmp(&(self.length * self.parts)) {
            Ordering::Less if self.is_inner && place == room => above,
            Ordering::Greater if self.is_inner && place == 0 => below,
            _ => below.min(above),
        }
    }
}

/// Values just below and just above a height, rounded down; nothing outside the piece.
fn beside(bands: &[Band], y: i64, parts: i64) -> (i64, i64) {
    let value = |band: Option<&Band>| {
        let band = band.filter(|band| (band.from * parts..=band.to * parts).contains(&y));
        band.map_or(0, |band| {
            let up = i128::from(y - band.from * parts) * i128::from(band.high - band.low);
            let up = up.div_euclid(i128::from((band.to - band.from) * parts));
            // It lies between two values of the band, so it fits.
            band.low + i64::try_from(up).unwrap_or(0)
        })
    };
    let below = bands.partition_point(|band| band.to * parts < y);
    let above = bands.partition_point(|band| band.to * parts <= y);
    let begins = |at: usize| bands.get(at).filter(|band| band.from * parts < y);
    (value(begins(below)), value(bands.get(above)))
}

/// Whether these pieces, so many of each, put more on the lines than they can take.
pub(super) fn refuse(lines: &Lines, valued: &Valued, counts: impl Fn(usize) -> u32) -> bool {
    let (mut loads, mut left) = (0_i128, MOST_VALUES);
    for (item, ways) in &valued.items {
        let count = counts(*item);
        if count == 0 {
            continue;
        }
        match lines.load(ways, &valued.worth, &mut left) {
            Load::Least(load) => loads += i128::from(load) * i128::from(count),
            Load::TooLong => return true,
            Load::TooMuch => return false,
        }
    }
    !lines.at.is_empty() && loads > lines.at.len() as i128 * i128::from(valued.worth.whole)
}

/// Whether so many lines at equal distances leave nothing shorter than this.
pub(super) fn hold(asked: &Asked<'_>, lines: u32, charged: &Charged, length: i64) -> bool {
    let Some(valued) = Valued::of(asked, &charged.function, charged.larger) else {
        return false;
    };
    let below = length - 1 + charged.larger.longer.um();
    let copies = |item: usize| asked.problem.items[item].copies;
    Lines::even(lines, below).is_some_and(|lines| refuse(&lines, &valued, copies))
}
