//! The pieces' area, spread over the full usable width.
//!
//! With a spacing a piece takes at least its height times the spacing more, of a width that is the spacing more: it is swept
//! across by so much. Or it is taken larger by a disc of that diameter, which adds half its perimeter times the
//! diameter and the disc (Steiner's formula, from memory), on a cloth that is larger by the diameter both ways. Of a piece
//! that is not convex the disc adds no less than its greater extent times the diameter, and two half discs beyond.

use pieces::{Length, Outline};

use super::Asked;
use super::larger::Larger;
use super::ways::{least_height, ways};

/// The length that the pieces need at least. A disc may be taken only where they keep the spacing itself.
pub(super) fn least(asked: &Asked<'_>) -> Option<i64> {
    let usable = asked.problem.cloth.usable_width();
    let spacing = asked.problem.spacing.um().max(0);
    let wider = asked.larger.map_or(spacing, |larger| larger.wider.um());
    let room = usable.um() + wider;
    let (mut swept, mut rounded) = (0_i128, 0_i128);
    for item in asked.laid() {
        let copies = i128::from(item.copies);
        let area = item.outline.doubled_area();
        let height = least_height(&ways(item, usable, Larger::NOT));
        let more = 2 * i128::from(wider) * i128::from(height);
        swept = swept.checked_add(copies.checked_mul(area + more)?)?;
        let more = by_disc(&item.outline, i128::from(spacing));
        rounded = rounded.checked_add(copies.checked_mul(area + more)?)?;
    }
    let swept = up(swept, 2 * i128::from(room));
    if asked.larger.is_some() || spacing == 0 {
        return swept;
    }
    let rounded = up(rounded, 2 * i128::from(usable.um() + spacing))? - spacing;
    swept.map(|swept| swept.max(rounded))
}

/// Twice the area that a disc adds, rounded down.
fn by_disc(outline: &Outline, diameter: i128) -> i128 {
    let around: i128 = if outline.is_convex() {
        let long = |v: i64| i128::from(v) * i128::from(v);
        let edges = outline.edges();
        edges
            .map(|(a, b)| (long(b.x - a.x) + long(b.y - a.y)).isqrt())
            .sum()
    } else {
        let bounds = outline.bounds();
        let extent: Length = bounds.across().max(bounds.along());
        2 * i128::from(extent.um())
    };
    // Half of pi is a little more than 1.570795.
    around * diameter + 1_570_795 * diameter * diameter / 1_000_000
}

/// Rounded up.
pub(super) fn up(numerator: i128, denominator: i128) -> Option<i64> {
    i64::try_from(-(-numerator).div_euclid(denominator)).ok()
}
