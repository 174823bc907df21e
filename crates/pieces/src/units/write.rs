//! Writing a length for a person.
//!
//! Metric lengths are written to 1 mm, inches to 1/8 (radii to 1/16), as a tape shows them. What is
//! needed must not be printed shorter than it is, nor cloth on hand longer: `_up` and `_down` say
//! which way to round; the plain forms take the nearest and are for what is only looked at.

use super::Units;
use crate::length::{Length, Rounding};

const EIGHTH_YARD: i64 = 114_300;

/// Beyond this nobody thinks of cloth in centimetres.
const LONG_CLOTH: Length = Length::from_cm(1_000);

/// Lengths are counted in eighths of a micrometre here, of which 1/64 in is a whole number.
const EIGHTHS_OF_A_UM: i128 = 8;

/// A millimetre and an inch in them.
const MM: i64 = 8_000;
const INCH: i64 = 8 * Length::INCH.um();

/// How much finer than usual lengths are written: each step is one digit more, or the next finer
/// fraction of an inch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Finer(u8);

impl Finer {
    /// Metric lengths are exact then, and inches written to 1/64.
    const MOST: u8 = 3;

    pub(super) const FINEST: Finer = Finer(Finer::MOST);

    /// From the usual one to the finest.
    pub(super) fn ways() -> impl Iterator<Item = Finer> {
        (0..=Finer::MOST).map(Finer)
    }
}

/// Which printed step a length goes to.
#[derive(Clone, Copy)]
enum Way {
    Nearest,
    To(Rounding),
}

impl Way {
    /// How many steps of so many eighths of a micrometre a length is, rounded this way.
    fn steps(self, length: Length, step: i64) -> i64 {
        let eighths = i128::from(length.um()) * EIGHTHS_OF_A_UM;
        let step = i128::from(step);
        let steps = match self {
            Way::To(Rounding::Down) => eighths.div_euclid(step),
            Way::To(Rounding::Up) => -(-eighths).div_euclid(step),
            // Halves go away from zero, so that a length and its opposite read alike.
            Way::Nearest => eighths.signum() * ((2 * eighths.abs() + step) / (2 * step)),
        };
        // A step is no less than a micrometre, so there are no more steps than micrometres.
        i64::try_from(steps).unwrap_or(i64::MAX)
    }
}

impl Units {
    /// Metric to 1 mm, inches to 1/8, the nearest: `97.5 cm`, `975 mm`, `0.975 m`, `38 3/8 in`.
    #[must_use]
    pub fn write(self, length: Length) -> String {
        self.body(length, Way::Nearest, 8)
    }

    /// How finely lengths of one cloth are written so that they read in the order that they have:
    /// `needed`, rounded up, no longer than the cloth that it fits on; cloth, rounded down, shorter
    /// than a `bound` that is longer. A bound of a micrometre more says that the cloth is refused and may read
    /// like it: "more than" is the word for that. No bound reads as nothing.
    #[must_use]
    pub fn finer_for(self, needed: Length, bound: Length, cloths: &[Length]) -> Finer {
        let proved = |finer| self.steps(bound, Rounding::Down, finer);
        let reads_true = |finer: Finer| {
            let is_seen = !bound.is_positive() || proved(finer) > 0;
            is_seen
                && cloths.iter().all(|&cloth| {
                    let there = self.steps(cloth, Rounding::Down, finer);
                    (needed > cloth || self.steps(needed, Rounding::Up, finer) <= there)
                        && (bound <= cloth + Length::from_um(1) || proved(finer) > there)
                })
        };
        // What differs by less than a 64th of an inch is told apart by words alone.
        Finer::ways()
            .find(|&finer| reads_true(finer))
            .unwrap_or(Finer::FINEST)
    }

    /// Like [`Units::write_up`], but finer.
    #[must_use]
    pub fn write_up_finer(self, length: Length, finer: Finer) -> String {
        self.body_finer(length, Rounding::Up, finer)
    }

    /// Like [`Units::write_down`], but finer.
    #[must_use]
    pub fn write_down_finer(self, length: Length, finer: Finer) -> String {
        self.body_finer(length, Rounding::Down, finer)
    }

    /// Like [`Units::write`], never less than it is: for what is needed.
    #[must_use]
    pub fn write_up(self, length: Length) -> String {
        self.body(length, Way::To(Rounding::Up), 8)
    }

    /// Like [`Units::write`], never more than it is: for what is on hand or to spare.
    #[must_use]
    pub fn write_down(self, length: Length) -> String {
        self.body(length, Way::To(Rounding::Down), 8)
    }

    /// A radius: metric to 1 mm, inches to 1/16, the nearest.
    #[must_use]
    pub fn write_radius(self, length: Length) -> String {
        self.body(length, Way::Nearest, 16)
    }

    /// A length of cloth as a shop says it, the nearest: metric jobs in metres, to 1 cm where that
    /// is exact and else to 1 mm (`1.50 m`, `1.523 m`); others in yards where it is whole eighths
    /// of a yard (`1 5/8 yd`) and else in inches (`57 1/4 in`).
    #[must_use]
    pub fn write_cloth(self, length: Length) -> String {
        self.cloth(length, Way::Nearest)
    }

    /// Like [`Units::write_cloth`], never less than it is: for lengths needed and to buy.
    #[must_use]
    pub fn write_cloth_up(self, length: Length) -> String {
        self.cloth(length, Way::To(Rounding::Up))
    }

    /// Like [`Units::write_cloth`], never more than it is: for cloth on hand.
    #[must_use]
    pub fn write_cloth_down(self, length: Length) -> String {
        self.cloth(length, Way::To(Rounding::Down))
    }

    /// A length to buy, rounded up: in the job's own unit, with what a shop sells by in brackets where
    /// that is another (`162 in (4 1/2 yd)`, `42880 cm (428.80 m)`). In yards it goes up to an eighth.
    #[must_use]
    pub fn write_bought(self, length: Length) -> String {
        let own = self.write_up(length);
        let shop = self.write_cloth_up(length);
        if self == Units::Yards {
            let eighths = Way::To(Rounding::Up).steps(length, 8 * EIGHTH_YARD);
            return format!("{} yd", fraction(eighths, 8));
        }
        let short = self.is_metric() && length <= LONG_CLOTH;
        if short || self == Units::Metres || own == shop {
            own
        } else {
            format!("{own} ({shop})")
        }
    }

    /// How far a printed place may be off, rounded up: to 0.1 mm, or to 1/16 in.
    #[must_use]
    pub fn write_rounding(self, off: Length) -> String {
        if self.is_metric() {
            format!("{:.1} mm", (off.mm() * 10.0).ceil() / 10.0)
        } else {
            self.body(off, Way::To(Rounding::Up), 16)
        }
    }

    /// How many steps as finely written as this a length is.
    pub(super) fn steps(self, length: Length, rounding: Rounding, Finer(finer): Finer) -> i64 {
        let step = if self.is_metric() {
            MM / 10_i64.pow(finer.into())
        } else {
            INCH / (8 << finer)
        };
        Way::To(rounding).steps(length, step)
    }

    fn body(self, length: Length, way: Way, parts: i64) -> String {
        if self.is_metric() {
            self.metric(way.steps(length, MM), 0)
        } else {
            format!("{} in", fraction(way.steps(length, INCH / parts), parts))
        }
    }

    fn body_finer(self, length: Length, rounding: Rounding, finer: Finer) -> String {
        self.write_steps(self.steps(length, rounding, finer), finer)
    }

    /// So many steps of what is written so finely.
    pub(super) fn write_steps(self, steps: i64, finer: Finer) -> String {
        if self.is_metric() {
            self.metric(steps, finer.0)
        } else {
            format!("{} in", fraction(steps, 8 << finer.0))
        }
    }

    /// Millimetres, or parts of them with so many digits more.
    fn metric(self, steps: i64, finer: u8) -> String {
        let (per_unit, decimals) = match self {
            Units::Millimetres => (1, 0),
            Units::Metres => (1_000, 3),
            _ => (10, 1),
        };
        let per_unit = per_unit * 10_u64.pow(finer.into());
        let decimals = decimals + usize::from(finer);
        format!("{} {}", decimal(steps, per_unit, decimals, 0), self.name())
    }

    fn cloth(self, length: Length, way: Way) -> String {
        if self.is_metric() {
            let mm = way.steps(length, MM);
            return format!("{} m", decimal(mm, 1_000, 3, 2));
        }
        if length.um() % EIGHTH_YARD == 0 {
            return format!("{} yd", fraction(length.um() / EIGHTH_YARD, 8));
        }
        self.body(length, way, 8)
    }
}

/// `steps / per_unit` with so many decimals, zeros at the end left out beyond the fewest asked for.
fn decimal(steps: i64, per_unit: u64, decimals: usize, fewest: usize) -> String {
    let sign = if steps < 0 { "-" } else { "" };
    let whole = steps.unsigned_abs() / per_unit;
    let mut digits = if decimals == 0 {
        String::new()
    } else {
        format!("{:0decimals$}", steps.unsigned_abs() % per_unit)
    };
    while digits.len() > fewest && digits.ends_with('0') {
        digits.pop();
    }
    let point = if digits.is_empty() { "" } else { "." };
    format!("{sign}{whole}{point}{digits}")
}

/// `steps / parts` as whole number and fraction in lowest terms; `parts` is a power of two.
fn fraction(steps: i64, parts: i64) -> String {
    let sign = if steps < 0 { "-" } else { "" };
    let steps = steps.unsigned_abs();
    let mut lower = parts.unsigned_abs();
    let whole = steps / lower;
    let mut upper = steps % lower;
    if upper == 0 {
        return format!("{sign}{whole}");
    }
    while upper.is_multiple_of(2) {
        (upper, lower) = (upper / 2, lower / 2);
    }
    if whole == 0 {
        format!("{sign}{upper}/{lower}")
    } else {
        format!("{sign}{whole} {upper}/{lower}")
    }
}
