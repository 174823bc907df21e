//! [`Length`]: whole micrometres, the only length the program decides with.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

/// Which way a value finer than a micrometre is rounded.
///
/// A piece must never come out smaller than asked and a cloth never larger, so every conversion
/// from a finer value says which of the two it is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// Towards larger: for pieces, allowances and lengths to buy.
    Up,
    /// Towards smaller: for widths and lengths of cloth on hand.
    Down,
}

/// A length in whole micrometres; may be negative where it is a difference or a coordinate.
///
/// 1/8 in is 3175 um exactly; 1/16 in (1587.5 um) is the one everyday fraction that is not whole.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);
    /// One inch: 25.4 mm exactly (international yard and pound agreement, 1959).
    pub const INCH: Length = Length(25_400);
    /// One yard: 0.9144 m exactly.
    pub const YARD: Length = Length(914_400);

    /// From whole micrometres.
    #[must_use]
    pub const fn from_um(um: i64) -> Self {
        Length(um)
    }

    /// From whole millimetres.
    #[must_use]
    pub const fn from_mm(mm: i64) -> Self {
        Length(mm * 1_000)
    }

    /// From whole centimetres.
    #[must_use]
    pub const fn from_cm(cm: i64) -> Self {
        Length(cm * 10_000)
    }

    /// From a computed value in micrometres, rounded as asked. Values within 1e-6 um of a whole
    /// number count as that number, so that float noise of a formula does not add a micrometre.
    /// `None` for NaN and for what is beyond +-10^15 um (a million kilometres).
    #[must_use]
    pub fn from_um_f64(um: f64, rounding: Rounding) -> Option<Self> {
        if um.is_nan() || um.abs() > 1e15 {
            return None;
        }
        let nearest = um.round();
        let whole = if (um - nearest).abs() <= 1e-6 {
            nearest
        } else {
            match rounding {
                Rounding::Up => um.ceil(),
                Rounding::Down => um.floor(),
            }
        };
        Some(Length(whole as i64))
    }

    /// The whole micrometres.
    #[must_use]
    pub const fn um(self) -> i64 {
        self.0
    }

    /// Millimetres as a float: for drawing and charts, never for a decision.
    #[must_use]
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1_000.0
    }

    /// `self * numerator / denominator`, rounded as asked. The denominator must be positive.
    #[must_use]
    pub fn times_ratio(self, numerator: i64, denominator: i64, rounding: Rounding) -> Self {
        assert!(denominator > 0, "a ratio needs a positive denominator");
        let product = i128::from(self.0) * i128::from(numerator);
        let denominator = i128::from(denominator);
        let floor = product.div_euclid(denominator);
        let exact = product.rem_euclid(denominator) == 0;
        let value = match rounding {
            Rounding::Up if !exact => floor + 1,
            _ => floor,
        };
        Length(i64::try_from(value).expect("a length times a ratio stays within i64"))
    }

    /// The next multiple of `step` at or above `self`; `self` if the step is not positive.
    #[must_use]
    pub fn up_to_step(self, step: Length) -> Self {
        if step.0 <= 0 {
            return self;
        }
        let rest = self.0.rem_euclid(step.0);
        if rest == 0 {
            self
        } else {
            Length(self.0 - rest + step.0)
        }
    }

    /// Without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Length(self.0.abs())
    }

    /// True for lengths above zero.
    #[must_use]
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0 - other.0)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        self.0 -= other.0;
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(-self.0)
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, factor: i64) -> Length {
        Length(self.0 * factor)
    }
}

/// How often the other length goes into this one, rounded down.
impl Div for Length {
    type Output = i64;
    fn div(self, other: Length) -> i64 {
        self.0.div_euclid(other.0)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(lengths: I) -> Length {
        lengths.fold(Length::ZERO, Add::add)
    }
}

/// Micrometres, for messages to developers; people read lengths through [`crate::units::Units`].
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} um", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ratio_rounds_as_asked() {
        let girth = Length::from_um(880_001);
        assert_eq!(girth.times_ratio(35, 100, Rounding::Down).um(), 308_000);
        assert_eq!(girth.times_ratio(35, 100, Rounding::Up).um(), 308_001);
        assert_eq!(
            Length::from_cm(88).times_ratio(35, 100, Rounding::Up).um(),
            308_000
        );
    }

    #[test]
    fn steps_round_up_once() {
        let step = Length::from_cm(10);
        assert_eq!(Length::from_um(1).up_to_step(step), step);
        assert_eq!(step.up_to_step(step), step);
        assert_eq!((step + Length::from_um(1)).up_to_step(step), step * 2);
    }

    #[test]
    fn float_noise_does_not_add_a_micrometre() {
        assert_eq!(
            Length::from_um_f64(0.1 + 0.2 + 0.7, Rounding::Up),
            Some(Length::from_um(1))
        );
        assert_eq!(
            Length::from_um_f64(1.5, Rounding::Up),
            Some(Length::from_um(2))
        );
        assert_eq!(
            Length::from_um_f64(1.5, Rounding::Down),
            Some(Length::from_um(1))
        );
        assert_eq!(Length::from_um_f64(f64::NAN, Rounding::Up), None);
    }
}
