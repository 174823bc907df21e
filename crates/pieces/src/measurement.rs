//! The measurements that drafts ask for: their names, where the name comes from, how to take them.
//!
//! Body measurements carry the terms of ISO 8559-1 where it has one; girth where a waistband sits
//! and the skirt lengths are the trade's own (common practice, no published source). The standard
//! itself was not at hand: [`Origin`] says for each term whether its definition was read in a
//! handbook that quotes it or is from memory. How to take a measurement is said in our own words.
//! The usual ranges ask about slips only, from a child of three to a large adult; they are common
//! practice, not a standard.

use crate::length::Length;
use crate::settings;
use crate::units::Plausible;

/// Where a measurement's name and definition come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// A term of ISO 8559-1, its definition as *Anthropometry, Apparel Sizing and Design*
    /// (D. Gupta and N. Zakaria, eds), p. 52, gives it.
    IsoReadSecondHand,
    /// Listed in ISO 8559:1989 (the same handbook, table 4.1, p. 96); definition from memory.
    IsoListed,
    /// A term of ISO 8559-1, term or definition from memory.
    IsoFromMemory,
    /// The trade's own; common practice, no published source.
    Trade,
}

impl Origin {
    /// For people: `ISO 8559-1 (from memory)`.
    #[must_use]
    pub const fn about(self) -> &'static str {
        match self {
            Origin::IsoReadSecondHand => "ISO 8559-1 (read second-hand)",
            Origin::IsoListed => "ISO 8559:1989 (name read second-hand, definition from memory)",
            Origin::IsoFromMemory => "ISO 8559-1 (from memory)",
            Origin::Trade => "trade",
        }
    }
}

/// A measurement that a wearer can have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measurement {
    /// Its key in jobs and CSV columns: `low_waist_girth`.
    pub key: &'static str,
    /// Its name: `low waist girth`.
    pub name: &'static str,
    /// Where the name comes from.
    pub origin: Origin,
    /// How to take it.
    pub how: &'static str,
    /// What is usual.
    pub plausible: Plausible,
}

const fn entry(
    key: &'static str,
    name: &'static str,
    origin: Origin,
    usual: Plausible,
    how: &'static str,
) -> Measurement {
    Measurement {
        key,
        name,
        origin,
        how,
        plausible: usual,
    }
}

use Origin::{IsoFromMemory, IsoListed, IsoReadSecondHand, Trade};

/// From a child's to a train's. Short skirts from 39 to 44 cm are asked about: those are the inches of
/// floor-length ones, and the slip is commoner than the skirt.
const SKIRT_LENGTH: Plausible = Plausible::cm("a skirt length", 45, 140);

/// All of them, girths first.
pub const ALL: &[Measurement] = &[
    entry(
        "bust_girth",
        "bust girth",
        IsoFromMemory,
        Plausible::cm("a bust girth", 50, 180),
        "Tape level round the fullest part of the bust, over the undergarment to be worn.",
    ),
    entry(
        "waist_girth",
        "waist girth",
        IsoReadSecondHand,
        Plausible::cm("a waist girth", 45, 175),
        "Tape level round the body, midway between the lowest rib and the top of the hip bone.",
    ),
    entry(
        "low_waist_girth",
        "low waist girth",
        Trade,
        Plausible::cm("a low waist girth", 45, 180),
        "Tape round the body where the waistband will sit, below the natural waist. Not pulled tight.",
    ),
    entry(
        "hip_girth",
        "hip girth",
        IsoFromMemory,
        Plausible::cm("a hip girth", 50, 190),
        "Tape level round the fullest part of the buttocks, feet together.",
    ),
    entry(
        "thigh_girth",
        "thigh girth",
        IsoFromMemory,
        Plausible::cm("a thigh girth", 28, 110),
        "Tape level round the thigh at its fullest, just below the buttock.",
    ),
    entry(
        "upper_arm_girth",
        "upper arm girth",
        IsoFromMemory,
        Plausible::cm("an upper arm girth", 14, 65),
        "Tape round the arm halfway between shoulder and elbow, arm hanging.",
    ),
    entry(
        "wrist_girth",
        "wrist girth",
        IsoFromMemory,
        Plausible::cm("a wrist girth", 9, 30),
        "Tape round the wrist over the bone.",
    ),
    entry(
        "neck_girth",
        "neck girth",
        IsoFromMemory,
        Plausible::cm("a neck girth", 20, 65),
        "Tape round the neck just below the larynx.",
    ),
    entry(
        "head_girth",
        "head girth",
        IsoFromMemory,
        Plausible::cm("a head girth", 40, 70),
        "Tape round the largest part of the head, above the ears.",
    ),
    entry(
        "height",
        "height",
        IsoFromMemory,
        Plausible::cm("a height", 80, 230),
        "From the crown of the head to the floor, standing straight, without shoes.",
    ),
    entry(
        "waist_height",
        "waist height",
        IsoFromMemory,
        Plausible::cm("a waist height", 45, 145),
        "From the waist straight down to the floor at the side, standing, without shoes.",
    ),
    entry(
        "waist_to_hip",
        "waist to hip",
        IsoListed,
        Plausible::cm("a waist to hip", 9, 40),
        "From the waist down the side of the body to where the hip girth is taken; often 18 to 20 cm.",
    ),
    entry(
        "outside_leg_length",
        "outside leg length",
        IsoFromMemory,
        Plausible::cm("an outside leg length", 46, 150),
        "From the waist at the side over the curve of the hip, then straight down to the floor.",
    ),
    entry(
        "skirt_length",
        "skirt length",
        Trade,
        SKIRT_LENGTH,
        "From the lower edge of the waistband straight down to the wanted hem, in the shoes to be worn. \
         Finished length, without allowances.",
    ),
    entry(
        "skirt_length_front",
        "skirt length front",
        Trade,
        SKIRT_LENGTH,
        "At centre front, from the lower edge of the waistband over the belly down to the wanted hem, in the \
         shoes to be worn. Finished length, without allowances.",
    ),
    entry(
        "skirt_length_back",
        "skirt length back",
        Trade,
        SKIRT_LENGTH,
        "At centre back, from the lower edge of the waistband over the seat down to the wanted hem, in the \
         shoes to be worn. Finished length, without allowances.",
    ),
    entry(
        "waist_to_floor_front",
        "waist to floor front",
        Trade,
        Plausible::cm("a waist to floor", 46, 150),
        "At centre front, from where the waistband will sit over the belly down to the floor, in the shoes \
         to be worn.",
    ),
    entry(
        "waist_to_floor_back",
        "waist to floor back",
        Trade,
        Plausible::cm("a waist to floor", 46, 150),
        "At centre back, from where the waistband will sit over the seat down to the floor, in the shoes to \
         be worn.",
    ),
];

/// The measurement with that key.
#[must_use]
pub fn find(key: &str) -> Option<&'static Measurement> {
    ALL.iter().find(|measurement| measurement.key == key)
}

/// The measurement whose key is most like `key`; `None` if none is near.
#[must_use]
pub fn nearest(key: &str) -> Option<&'static Measurement> {
    settings::nearest(key, ALL.iter().map(|measurement| measurement.key)).and_then(find)
}

/// The name of a measurement for people; a person's own is its key with spaces.
#[must_use]
pub fn name_of(key: &str) -> String {
    find(key).map_or_else(
        || key.replace('_', " "),
        |measurement| measurement.name.to_string(),
    )
}

/// A width of fabric, selvedges included. Lace and ribbon are narrow, backdrops wide.
pub const FABRIC_WIDTH: Plausible = Plausible {
    what: "a fabric's width",
    low: Length::from_cm(70),
    high: Length::from_cm(330),
};

/// A length of cloth on hand.
pub const CLOTH_ON_HAND: Plausible = Plausible::cm("a length of cloth", 10, 20_000);

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::length::Rounding;
    use crate::units::Units;

    fn doubt(of: &Plausible, units: Units, text: &str) -> Option<String> {
        of.doubt(units, units.read_with_unit(text, Rounding::Up).unwrap())
    }

    #[test]
    fn keys_are_names_with_underscores_and_stand_once() {
        let keys: BTreeSet<_> = ALL.iter().map(|m| m.key).collect();
        assert_eq!(keys.len(), ALL.len());
        for measurement in ALL {
            assert_eq!(measurement.key, measurement.name.replace(' ', "_"));
            assert!(measurement.plausible.low < measurement.plausible.high);
            assert_eq!(find(measurement.key), Some(measurement));
        }
    }

    #[test]
    fn a_slip_finds_its_measurement() {
        assert_eq!(nearest("hip").map(|m| m.key), Some("hip_girth"));
        assert_eq!(nearest("hip_grith").map(|m| m.key), Some("hip_girth"));
        assert_eq!(
            nearest("skirt length frnt").map(|m| m.key),
            Some("skirt_length_front")
        );
        assert_eq!(nearest("colour"), None);
    }

    #[test]
    fn inches_in_a_job_in_centimetres_are_asked_about() {
        let skirt = find("skirt_length").unwrap().plausible;
        assert_eq!(
            doubt(&skirt, Units::Centimetres, "38").as_deref(),
            Some(
                "38 cm is short for a skirt length; 38 in would be 96.5 cm: write \"38 in\" if that is meant"
            ),
        );
        assert_eq!(
            doubt(&FABRIC_WIDTH, Units::Centimetres, "55").as_deref(),
            Some(
                "55 cm is short for a fabric's width; 55 in would be 139.7 cm: write \"55 in\" if that is meant"
            ),
        );
        assert!(doubt(&skirt, Units::Centimetres, "44").is_some_and(|d| d.contains("\"44 in\"")));
        assert_eq!(doubt(&skirt, Units::Centimetres, "45"), None);
        let on_hand = doubt(&CLOTH_ON_HAND, Units::Centimetres, "1.5").unwrap();
        assert!(on_hand.contains("\"1.5 m\""), "{on_hand}");
        let on_hand = doubt(&CLOTH_ON_HAND, Units::Inches, "1.5").unwrap();
        assert!(on_hand.contains("\"1 1/2 yd\""), "{on_hand}");
    }

    #[test]
    fn an_ordinary_dancer_is_not_asked_about() {
        for (key, value) in [
            ("low_waist_girth", "88"),
            ("hip_girth", "101"),
            ("skirt_length_front", "97"),
            ("skirt_length_back", "99"),
            ("waist_girth", "72"),
            ("height", "165"),
        ] {
            assert_eq!(
                doubt(&find(key).unwrap().plausible, Units::Centimetres, value),
                None,
                "{key}"
            );
        }
        assert_eq!(
            doubt(
                &find("hip_girth").unwrap().plausible,
                Units::Inches,
                "39 3/4"
            ),
            None
        );
        assert_eq!(doubt(&FABRIC_WIDTH, Units::Centimetres, "140"), None);
    }
}
