//! [`Fabric`]: what a cloth is made of, and what a shop sells it by.

use serde::{Deserialize, Serialize};

use crate::length::{Length, Rounding};

/// Whether the cloth looks the same turned end for end.
///
/// Turning rules follow the usual trade modes (either way, one way); see `nesting::turns`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// Plain cloth: looks the same however it is turned; only the grain counts.
    #[default]
    None,
    /// Looks the same turned end for end, but not turned sideways.
    TwoWay,
    /// Nap or a print that points one way: every piece points the same way.
    OneWay,
    /// Nap or print where all pieces of one garment must point the same way, but another garment
    /// may be turned end for end.
    OneWayPerGarment,
}

/// How the cloth falls.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Drape {
    /// Has body: panels are rectangles.
    #[default]
    Crisp,
    /// Soft: panels flare towards the hem.
    Soft,
}

/// How pieces are cut out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cutting {
    /// Each along its own edge.
    #[default]
    Free,
    /// Around each piece by straight cuts from edge to edge of what is left: a rotary cutter and a long ruler.
    Straight,
    /// The same, and so that the cloth can be torn: right across it, then along, then across again, and last
    /// whatever is left over at the side of a piece.
    Tear,
}

/// What a cloth is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Fabric {
    /// Its key in the job.
    pub name: String,
    /// From edge to edge, selvedges included.
    pub width: Length,
    /// Width of each selvedge, not laid on.
    pub selvedge: Length,
    /// See [`Direction`].
    pub direction: Direction,
    /// See [`Drape`].
    pub drape: Drape,
    /// True if either face may be the right side, so that a piece may be turned over.
    pub faces_alike: bool,
    /// Loss in length when washed before cutting, in parts per million (5 % = 50 000).
    pub shrinkage_ppm: u32,
    /// Added to a bought length for straightening the ends.
    pub end_allowance: Length,
    /// What shops sell it by: 10 cm, 1/8 yd.
    pub selling_step: Length,
    /// Kept free between pieces (0: they share a cut line).
    pub spacing: Length,
    /// See [`Cutting`].
    pub cutting: Cutting,
    /// Price of one metre or yard.
    pub price: Option<Price>,
    /// Lengths on hand, each an offer of its own; empty if it is to be bought.
    pub on_hand: Vec<Length>,
}

/// What one length of a fabric costs, in hundredths of the job's currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Price {
    /// Hundredths of the currency.
    pub hundredths: i64,
    /// For this much length.
    pub per: Length,
}

impl Price {
    /// What `length` costs, in hundredths, rounded up to a whole one.
    #[must_use]
    pub fn of(self, length: Length) -> i64 {
        Length::from_um(self.hundredths)
            .times_ratio(length.um(), self.per.um(), Rounding::Up)
            .um()
    }
}

/// How much is bought for a layout, and what of it can be laid on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sold {
    /// What shops sell it by.
    pub step: Length,
    /// Added for straightening the ends.
    pub end_allowance: Length,
    /// Loss in length when washed before cutting, in parts per million.
    pub shrinkage_ppm: u32,
}

impl Sold {
    fn kept_ppm(self) -> i64 {
        1_000_000 - i64::from(self.shrinkage_ppm.min(999_999))
    }

    /// The length to buy for a marker of `needed`: washed loss made up for
    /// (need / (1 - s), not need x (1 + s)), ends straightened, rounded up once to the selling step.
    #[must_use]
    pub fn to_buy(self, needed: Length) -> Length {
        (needed + self.end_allowance)
            .times_ratio(1_000_000, self.kept_ppm(), Rounding::Up)
            .up_to_step(self.step)
    }

    /// What can be laid on of a bought length, rounded down: nothing longer is had by buying no more.
    #[must_use]
    pub fn usable(self, bought: Length) -> Length {
        bought.times_ratio(self.kept_ppm(), 1_000_000, Rounding::Down) - self.end_allowance
    }

    /// What could be laid on if one selling step less were bought than for `needed`: 0 or less if that is
    /// no cloth at all.
    #[must_use]
    pub fn usable_of_less(self, needed: Length) -> Length {
        self.usable(self.to_buy(needed) - self.step)
    }
}

impl Fabric {
    /// Left and right border of what may be laid on, from the left edge of the cloth.
    #[must_use]
    pub fn usable_width(&self) -> (Length, Length) {
        (self.selvedge, self.width - self.selvedge)
    }

    /// How it is bought.
    #[must_use]
    pub fn sold(&self) -> Sold {
        Sold {
            step: self.selling_step,
            end_allowance: self.end_allowance,
            shrinkage_ppm: self.shrinkage_ppm,
        }
    }

    /// The length to buy for a marker of `needed`, see [`Sold::to_buy`].
    #[must_use]
    pub fn length_to_buy(&self, needed: Length) -> Length {
        self.sold().to_buy(needed)
    }

    /// What is left to lay on of a cloth on hand once it is washed, rounded down. Cloth on hand is
    /// taken to be measured between straightened ends.
    #[must_use]
    pub fn after_washing(&self, on_hand: Length) -> Length {
        let kept = 1_000_000 - i64::from(self.shrinkage_ppm.min(999_999));
        on_hand.times_ratio(kept, 1_000_000, Rounding::Down)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn linden() -> Fabric {
        Fabric {
            name: "linden".into(),
            width: Length::from_cm(140),
            selvedge: Length::from_mm(15),
            direction: Direction::None,
            drape: Drape::Crisp,
            faces_alike: false,
            shrinkage_ppm: 50_000,
            end_allowance: Length::ZERO,
            selling_step: Length::from_cm(10),
            spacing: Length::ZERO,
            cutting: Cutting::Free,
            price: None,
            on_hand: Vec::new(),
        }
    }

    /// Geometry: 3.00 m / (1 - 0.05) = 3.1579 m. 5 % is the default of AATCC 135 as ASTM F1506 names
    /// it (read second-hand).
    #[test]
    fn washing_is_made_up_for_by_dividing() {
        let needed = Length::from_cm(300);
        let mut fabric = linden();
        assert_eq!(fabric.length_to_buy(needed), Length::from_cm(320));
        fabric.selling_step = Length::from_um(1);
        assert_eq!(fabric.length_to_buy(needed), Length::from_um(3_157_895));
        // 3.15 m, which multiplying by 1.05 would call enough, is not.
        assert_eq!(
            fabric.after_washing(Length::from_cm(315)),
            Length::from_um(2_992_500)
        );
        assert!(fabric.after_washing(Length::from_cm(315)) < needed);
        assert!(fabric.after_washing(Length::from_cm(320)) >= needed);
    }

    #[test]
    fn what_is_bought_is_enough_after_washing_and_straightening() {
        for needed in [1, 999_999, 1_000_000, 2_992_500, 7_777_777].map(Length::from_um) {
            for shrinkage_ppm in [0, 1, 50_000, 333_333, 999_999] {
                let fabric = Fabric {
                    shrinkage_ppm,
                    end_allowance: Length::from_cm(2),
                    ..linden()
                };
                let washed = fabric.after_washing(fabric.length_to_buy(needed));
                assert!(
                    washed >= needed + fabric.end_allowance,
                    "{needed} {shrinkage_ppm}"
                );
                // One step less is too little, and what it leaves is the longest that it leaves.
                let (sold, one) = (fabric.sold(), Length::from_um(1));
                let (bought, less) = (sold.to_buy(needed), sold.usable_of_less(needed));
                assert!(less < needed);
                if less >= Length::ZERO {
                    assert!(sold.to_buy(less) < bought && sold.to_buy(less + one) == bought);
                }
            }
        }
    }

    #[test]
    fn both_selvedges_come_off_the_width() {
        let (left, right) = linden().usable_width();
        assert_eq!(right - left, Length::from_cm(137));
    }

    #[test]
    fn a_price_is_rounded_up_to_a_hundredth() {
        let price = Price {
            hundredths: 1_290,
            per: Length::from_cm(100),
        };
        assert_eq!(price.of(Length::from_cm(150)), 1_935);
        assert_eq!(price.of(Length::from_um(1)), 1);
    }
}
