//! Writing a sum such that what is printed adds up.

use super::Units;
use super::write::Finer;
use crate::length::{Length, Rounding};

/// A sum as it is printed: every addend rounded down, and what these add up to as they stand there.
///
/// It is never more than the true sum, so "at least" may be said of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sum {
    /// Numbers without their unit, one for each addend.
    pub addends: Vec<String>,
    /// What they add up to, with its unit.
    pub total: String,
    /// Whether the total reads as more than what it was to be more than.
    pub is_above: bool,
}

impl Units {
    /// Lengths, each so many times, and their sum: as finely as it takes for the sum to lose nothing to the rounding of its
    /// addends, for none of these to read as nothing, and for it to read as more than `above`, rounded down, where it
    /// is to be more.
    #[must_use]
    pub fn write_sum(self, parts: &[(u32, Length)], above: Option<Length>) -> Sum {
        let steps = |length: Length, finer| self.steps(length, Rounding::Down, finer);
        let total = |finer| -> i64 {
            let each = parts
                .iter()
                .map(|&(count, length)| i64::from(count).saturating_mul(steps(length, finer)));
            each.fold(0, i64::saturating_add)
        };
        let all = parts.iter().fold(Length::ZERO, |all, &(count, length)| {
            all + length * i64::from(count)
        });
        let is_above = |finer| above.is_none_or(|above| total(finer) > steps(above, finer));
        let is_seen = |finer| {
            let mut parts = parts.iter();
            parts.all(|&(_, length)| !length.is_positive() || steps(length, finer) > 0)
        };
        let is_whole =
            |&finer: &Finer| is_seen(finer) && total(finer) == steps(all, finer) && is_above(finer);
        let finer = Finer::ways().find(is_whole).unwrap_or(Finer::FINEST);
        let bare = |length: Length| {
            let written = self.write_down_finer(length, finer);
            let number = written
                .rsplit_once(' ')
                .map(|(number, _)| number.to_owned());
            number.unwrap_or(written)
        };
        Sum {
            addends: parts.iter().map(|&(_, length)| bare(length)).collect(),
            total: self.write_steps(total(finer), finer),
            is_above: is_above(finer),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(units: Units, parts: &[(u32, i64)], above: Option<i64>) -> String {
        let um = Length::from_um;
        let parts: Vec<(u32, Length)> = parts.iter().map(|&(n, v)| (n, um(v))).collect();
        let sum = units.write_sum(&parts, above.map(um));
        format!(
            "{} = {} {}",
            sum.addends.join(" + "),
            sum.total,
            sum.is_above
        )
    }

    /// Arithmetic by hand. 1 in = 25,400 um.
    #[test]
    fn what_is_printed_adds_up() {
        let cm = |parts: &[(u32, i64)], above| written(Units::Centimetres, parts, above);
        let plain = [(1, 1_010_000), (1, 990_000)];
        assert_eq!(cm(&plain, None), "101 + 99 = 200 cm true");
        // A tenth of a millimetre each is lost three times, and that is no millimetre.
        assert_eq!(cm(&[(3, 333_333)], None), "33.3 = 99.9 cm true");
        // Here it is one.
        assert_eq!(cm(&[(3, 333_400)], None), "33.34 = 100.02 cm true");
        let near = [(1, 500_060), (1, 500_060)];
        assert_eq!(
            cm(&near, Some(1_000_000)),
            "50.006 + 50.006 = 100.012 cm true"
        );
        let inches = |parts: &[(u32, i64)], above| written(Units::Inches, parts, above);
        assert_eq!(inches(&[(2, 254_000)], Some(500_000)), "10 = 20 in true");
        let hair = [(2, 254_001)];
        assert_eq!(inches(&hair, Some(508_000)), "10 = 20 in false");
        assert_eq!(
            written(Units::Millimetres, &[(2, 400)], None),
            "0.4 = 0.8 mm true"
        );
    }
}
