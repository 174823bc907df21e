//! The least that a piece brings, wherever it lies along the cloth.
//!
//! While a piece is moved along, what it brings changes evenly until an end of one of its wide parts comes to
//! the end of a zone. So the least is found where one of them does, or at one end of the cloth.

use super::sections::Intervals;

/// Sums looked at, at most: some tenths of a second.
const MOST_SUMS: usize = 100_000_000;

/// The least worth of a piece of this `height` over all places from 0 to the last of `ends`, where zones end.
///
/// `wide` says by steps where its sections are so wide, `gains` by zone what each step adds. `None` if there is
/// too much to look at. The piece is no longer than the cloth.
pub(super) fn least(
    wide: &[Intervals],
    gains: &[Vec<u32>],
    ends: &[i64],
    height: i64,
) -> Option<i128> {
    let room = ends.last()? - height;
    let corners: Vec<i64> = wide
        .iter()
        .flatten()
        .flat_map(|&(from, to)| [from, to])
        .collect();
    let mut places: Vec<i64> = ends[..ends.len() - 1]
        .iter()
        .flat_map(|end| corners.iter().map(move |corner| end - corner))
        .filter(|place| (0..=room).contains(place))
        .chain([0, room])
        .collect();
    places.sort_unstable();
    places.dedup();
    if places.len() * (corners.len() + ends.len()) * ends.len() > MOST_SUMS {
        return None;
    }
    places
        .into_iter()
        .map(|place| brought(wide, gains, ends, place))
        .min()
}

/// What it brings at one place.
fn brought(wide: &[Intervals], gains: &[Vec<u32>], ends: &[i64], place: i64) -> i128 {
    let mut sum = 0_i128;
    let mut start = 0;
    for (&end, gains) in ends.iter().zip(gains) {
        for (intervals, &gain) in wide.iter().zip(gains) {
            if gain == 0 {
                continue;
            }
            let within = intervals.iter().map(|&(from, to)| {
                let (from, to) = ((from + place).max(start), (to + place).min(end));
                i128::from((to - from).max(0))
            });
            sum += i128::from(gain) * within.sum::<i128>();
        }
        start = end;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against every place.
    #[test]
    fn no_place_brings_less() {
        for seed in 0_i64..200 {
            let digit = |k: i64, most: i64| (seed * 31 + k * 17 + seed / 7 * k) % most;
            let height = 20 + digit(1, 30);
            let a = digit(2, 10);
            let wide = vec![vec![(a, height)], vec![(a, a + 5), (height - 4, height)]];
            let ends = [10 + digit(3, 20), 40 + digit(4, 9), 60 + digit(5, 20)];
            let gains: Vec<Vec<u32>> = (0..3)
                .map(|zone| vec![digit(6 + zone, 5) as u32, digit(9 + zone, 4) as u32])
                .collect();
            let places = 0..=ends[2] - height;
            let tried = places
                .map(|place| brought(&wide, &gains, &ends, place))
                .min();
            assert_eq!(least(&wide, &gains, &ends, height), tried, "{seed}");
        }
    }

    /// Geometry: 60 of 100 long, worth 1 in the middle fifth, which it covers wherever it lies.
    #[test]
    fn a_piece_longer_than_half_the_cloth_brings_its_middle() {
        let wide = vec![vec![(0, 60)]];
        let middle = vec![vec![0], vec![1], vec![0]];
        assert_eq!(least(&wide, &middle, &[40, 60, 100], 60), Some(20));
        assert_eq!(least(&wide, &middle, &[39, 61, 100], 60), Some(21));
        assert_eq!(least(&wide, &middle, &[30, 60, 100], 60), Some(20));
    }
}
