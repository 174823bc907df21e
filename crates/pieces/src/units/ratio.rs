//! [`Ratio`]: an exact number, for shares (35 %) and fullness (1 1/2).

use std::fmt;

use crate::length::{Length, Rounding};

/// A ratio of whole numbers in lowest terms, the lower one positive.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ratio {
    numerator: i64,
    denominator: i64,
}

impl Ratio {
    /// Nothing.
    pub const ZERO: Ratio = Ratio {
        numerator: 0,
        denominator: 1,
    };
    /// The whole.
    pub const ONE: Ratio = Ratio {
        numerator: 1,
        denominator: 1,
    };

    /// `numerator / denominator`; `None` if the denominator is zero or the ratio in lowest terms
    /// does not fit.
    #[must_use]
    pub fn new(numerator: i128, denominator: i128) -> Option<Ratio> {
        let (mut a, mut b) = (numerator.unsigned_abs(), denominator.unsigned_abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        if denominator == 0 {
            return None;
        }
        let divisor = i128::try_from(a).ok()?;
        let sign = denominator.signum();
        Some(Ratio {
            numerator: i64::try_from((numerator / divisor).checked_mul(sign)?).ok()?,
            denominator: i64::try_from((denominator / divisor).checked_mul(sign)?).ok()?,
        })
    }

    /// `percent` hundredths.
    #[must_use]
    pub fn percent(percent: u32) -> Ratio {
        Ratio::new(i128::from(percent), 100).unwrap_or(Ratio::ZERO)
    }

    /// The upper number, in lowest terms.
    #[must_use]
    pub const fn numerator(self) -> i64 {
        self.numerator
    }

    /// The lower number, in lowest terms; positive.
    #[must_use]
    pub const fn denominator(self) -> i64 {
        self.denominator
    }

    /// This much of `length`, rounded as asked.
    #[must_use]
    pub fn of(self, length: Length, rounding: Rounding) -> Length {
        length.times_ratio(self.numerator, self.denominator, rounding)
    }

    /// As parts per million, rounded up: a loss is never taken as smaller than it is.
    #[must_use]
    pub fn ppm_up(self) -> i64 {
        Length::from_um(1_000_000)
            .times_ratio(self.numerator, self.denominator, Rounding::Up)
            .um()
    }

    /// As a float, for formulas and drawings.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Ratio) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ratio {
    fn cmp(&self, other: &Ratio) -> std::cmp::Ordering {
        let left = i128::from(self.numerator) * i128::from(other.denominator);
        left.cmp(&(i128::from(other.numerator) * i128::from(self.denominator)))
    }
}

/// As decimals, at most six: `0.35`, `1.5`, `0.333333`.
impl fmt::Display for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = format!("{:.6}", self.to_f64());
        f.write_str(text.trim_end_matches('0').trim_end_matches('.'))
    }
}
