//! Spacing as larger pieces on larger cloth.
//!
//! Let every piece be swept by one and the same shape no two points of which are further apart than
//! the spacing s. Pieces that keep s from each other then still do not overlap: where two swept ones
//! met, p + a = q + b, the distance of p and q would be that of a and b, at most s. They lie on a
//! cloth that is larger by the shape's own extents, so a length that cannot hold them there is,
//! less what was added along, one that cannot hold the pieces here. Swept by
//!
//! - a line of s across, sections are s wider: gaps side by side;
//! - a line of s along, pieces are s longer: gaps one beyond the other;
//! - a rectangle with a diagonal of at most s: some of both, as pieces may pass corner to corner;
//! - a disc of diameter s, the area grows by perimeter times s / 2 and the disc.
//!
//! Geometry (Minkowski sums; Steiner's formula for the disc, from memory).

use pieces::{Length, Outline, Point};

use super::pair;
use super::profile::Profile;
use crate::certificate::Larger;

/// How much larger across and along pieces and cloth are taken; the diagonal is at most the spacing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Grown {
    pub across: i64,
    pub along: i64,
}

/// The ways to grow that are tried; without spacing, not at all is the only one.
pub(crate) fn all(spacing: i64) -> Vec<Grown> {
    let of = |across, along| Grown { across, along };
    if spacing <= 0 {
        return vec![of(0, 0)];
    }
    // 7 and 7 have a diagonal below 10.
    let both = spacing / 10 * 7;
    let mut all = vec![of(spacing, 0), of(0, spacing)];
    if both > 0 {
        all.push(of(both, both));
    }
    all
}

impl Grown {
    /// As arguments say it.
    pub fn larger(self) -> Larger {
        Larger {
            wider: Length::from_um(self.across),
            longer: Length::from_um(self.along),
        }
    }

    /// The sections of an outline as it lies when grown, nowhere too wide.
    pub fn profile(self, outline: &Outline) -> Profile {
        if self.along > 0
            && outline.is_convex()
            && let Some(swept) = self.convex(outline)
        {
            return Profile::of(&swept, 0);
        }
        let profile = Profile::of(outline, self.across);
        if self.along == 0 {
            return profile;
        }
        // Swept along, a section covers at least each one that passes through its height.
        profile.drawn_apart(self.along)
    }

    /// A convex outline when grown; `None` if it is none.
    pub fn convex(self, outline: &Outline) -> Option<Outline> {
        let (x, y) = (self.across, self.along);
        let corners = match (x > 0, y > 0) {
            (false, false) => return Some(outline.clone()),
            (true, false) => vec![Point::new(0, 0), Point::new(x, 0)],
            (false, true) => vec![Point::new(0, 0), Point::new(0, y)],
            (true, true) => [(0, 0), (x, 0), (x, y), (0, y)]
                .map(|(x, y)| Point::new(x, y))
                .to_vec(),
        };
        Outline::new(pair::no_fit(outline.points(), &corners)).ok()
    }
}

/// Twice the area of an outline grown by a disc of diameter `spacing`, rounded down.
///
/// A piece that is not convex is only taken `spacing` wider (or longer, whichever says more) and gets
/// two half discs at its ends.
pub(crate) fn doubled_area_by_disc(outline: &Outline, spacing: i64) -> i128 {
    let spacing = i128::from(spacing);
    let around: i128 = if outline.is_convex() {
        let edges = outline.edges();
        edges
            .map(|(a, b)| {
                let (dx, dy) = (i128::from(b.x - a.x), i128::from(b.y - a.y));
                (dx * dx + dy * dy).isqrt()
            })
            .sum()
    } else {
        let bounds = outline.bounds();
        2 * i128::from(bounds.across().max(bounds.along()).um())
    };
    // Pi is a little more than 3.14159.
    outline.doubled_area() + around * spacing + 314_159 * spacing * spacing / 200_000
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline(corners: &[(i64, i64)]) -> Outline {
        Outline::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
    }

    #[test]
    fn no_way_to_grow_has_a_diagonal_above_the_spacing() {
        for spacing in 0..500 {
            for Grown { across, along } in all(spacing) {
                assert!(across * across + along * along <= spacing * spacing);
            }
        }
    }

    #[test]
    fn grown_rectangles_and_triangles_by_hand() {
        let rectangle = Outline::rectangle(Length::from_um(30), Length::from_um(50)).unwrap();
        let triangle = outline(&[(0, 0), (40, 0), (10, 30)]);
        for (across, along) in [(10, 0), (0, 10), (7, 7)] {
            let grown = Grown { across, along };
            let swept = grown.convex(&rectangle).unwrap();
            let (x, y) = (30 + across, 50 + along);
            assert_eq!(swept.doubled_area(), i128::from(2 * x * y));
            // A triangle grows by its height across, its width along and the shape itself.
            let swept = grown.convex(&triangle).unwrap();
            let more = 30 * across + 40 * along + across * along;
            assert_eq!(swept.doubled_area(), i128::from(1_200 + 2 * more));
            let profile = grown.profile(&triangle);
            assert_eq!(profile.height(), 30 + along);
            assert!(profile.doubled_integral() <= swept.doubled_area());
        }
    }

    #[test]
    fn a_disc_adds_half_the_perimeter_times_the_spacing_and_itself() {
        // Geometry: 30 x 50 grown by a disc of 10: 1 500 + 160 / 2 x 10 + 25 pi = 2 378.5.
        let rectangle = Outline::rectangle(Length::from_um(30), Length::from_um(50)).unwrap();
        assert_eq!(doubled_area_by_disc(&rectangle, 10), 4_757);
        // An angle of two arms counts its extent only: 2 x (900 + 50 x 10) + 50 pi.
        let angle = outline(&[(0, 0), (50, 0), (50, 10), (10, 10), (10, 50), (0, 50)]);
        assert_eq!(doubled_area_by_disc(&angle, 10), 2 * (900 + 500) + 157);
    }
}
