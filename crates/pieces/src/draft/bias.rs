//! How much bias strip a square of cloth gives.
//!
//! A bound from the area, and what really comes of a square sewn into a tube and cut round. Used to
//! tell how large a square a bias sash takes. Sources: the rule S^2 / w is trade advice read at
//! second hand and geometry; the tube with seams is geometry, own derivation: of a square of side S,
//! two seams a take S - 2 a of one side, a turn of strip is (S - 2 a) sqrt 2 long, and strips of
//! width w stand w sqrt 2 apart along the edge.

use std::f64::consts::SQRT_2;

use crate::length::{Length, Rounding};

/// No square of side `side` gives more strip of width `width` than this: S^2 / w.
#[must_use]
pub fn most_from_square(side: Length, width: Length) -> Length {
    if !width.is_positive() {
        return Length::ZERO;
    }
    side.times_ratio(side.um(), width.um(), Rounding::Down)
}

/// The same for a tube sewn with two seams of `seam`: (S - 2 a)^2 / w.
#[must_use]
pub fn most_from_tube(side: Length, width: Length, seam: Length) -> Length {
    most_from_square((side - seam * 2).max(Length::ZERO), width)
}

/// Whole turns that a tube gives, floor((S - 2 a) / (w sqrt 2)), and their length in micrometres.
#[must_use]
pub fn whole_turns(side: Length, width: Length, seam: Length) -> (i64, f64) {
    let inner = (side - seam * 2).max(Length::ZERO);
    if !width.is_positive() {
        return (0, 0.0);
    }
    // n w sqrt 2 <= S - 2 a, in whole numbers: 2 n^2 w^2 <= (S - 2 a)^2.
    let (w, room) = (i128::from(width.um()), i128::from(inner.um()));
    let fits = |n: i128| 2 * n * n * w * w <= room * room;
    let mut turns = (inner.um() as f64 / (width.um() as f64 * SQRT_2)) as i128;
    while fits(turns + 1) {
        turns += 1;
    }
    while turns > 0 && !fits(turns) {
        turns -= 1;
    }
    let turns = i64::try_from(turns).unwrap_or(0);
    (turns, turns as f64 * inner.um() as f64 * SQRT_2)
}

/// Side of the square whose area is that of the strip: sqrt(L w), rounded up. The strip takes at
/// least this.
#[must_use]
pub fn least_square(length: Length, width: Length) -> Length {
    let area = (length.um() as f64).max(0.0) * (width.um() as f64).max(0.0);
    Length::from_um_f64(area.sqrt(), Rounding::Up).unwrap_or(Length::ZERO)
}

/// Longest strip, in one piece, that lies at 45 degrees across a usable width: it takes
/// (l + w) / sqrt 2 of it.
#[must_use]
pub fn longest_across(usable: Length, width: Length) -> Length {
    let longest = usable.um() as f64 * SQRT_2 - width.um() as f64;
    // 3 um for the outward rounding of the turned outline.
    Length::from_um_f64((longest - 3.0).max(0.0), Rounding::Down).unwrap_or(Length::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(n: i64) -> Length {
        Length::INCH * n
    }

    #[test]
    fn squares_give_the_lengths_of_the_trade_rule() {
        // Trade rule, second-hand; geometry.
        assert_eq!(most_from_square(inches(12), inches(2)), inches(72));
        assert_eq!(most_from_square(inches(20), inches(2)), inches(200));
        assert_eq!(most_from_square(inches(36), inches(2)), inches(648));
    }

    #[test]
    fn a_tube_of_36_inches() {
        // Geometry: bound (36 - 1/2)^2 / 2 = 630.125 in; 12 whole turns of 35.5 sqrt 2 = 602.455 in.
        let seam = Length::from_um(6_350);
        let bound = most_from_tube(inches(36), inches(2), seam);
        assert!((bound.um() as f64 / 25_400.0 - 630.125).abs() < 0.001);
        let (turns, um) = whole_turns(inches(36), inches(2), seam);
        assert_eq!(turns, 12);
        assert!((um / 25_400.0 - 602.455).abs() < 0.001);
    }

    #[test]
    fn the_square_for_a_length() {
        // Trade rule, second-hand; geometry: 250 in by 2 in needs 22.36 in, 360 in by 3 in 32.86 in.
        let side = |l, w| least_square(inches(l), inches(w)).um() as f64 / 25_400.0;
        assert!((side(250, 2) - 22.3607).abs() < 0.001);
        assert!((side(360, 3) - 32.8634).abs() < 0.001);
    }
}
