//! Published size tables: bust, waist and hip of a size, where a wearer was not measured.
//!
//! A job names a size in one text: `EN 13402-3 bust 88`, `ASTM D5585-11e1 8 curvy`. Values are kept
//! as printed, centimetres in one table and inches and eighths in the other, and both are whole
//! micrometres. [`Size::status`] says how the row came to be known. No table has the girth where a
//! waistband sits: that is taken on the wearer.
//!
//! Sources: EN 13402-3:2004, women, bust 76 to 122 read second-hand in a data listing that credits
//! p. 13 of a metric pattern-cutting textbook, the rest from memory (a later edition exists).
//! ASTM D5585-11e1, table 1, misses, read on the standard body's page; its hip rows were cut off
//! there and are left out.

use crate::length::Length;
use crate::settings::nearest;
use crate::units::ReadError;

const EN_NAME: &str = "EN 13402-3";
const ASTM_NAME: &str = "ASTM D5585-11e1";

const COLUMNS_EN: usize = 16;
const EN_BUST: [i64; COLUMNS_EN] = [
    76, 80, 84, 88, 92, 96, 100, 104, 110, 116, 122, 128, 134, 140, 146, 152,
];
const EN_WAIST: [i64; COLUMNS_EN] = [
    60, 64, 68, 72, 76, 80, 84, 88, 94, 100, 106, 112, 118, 124, 130, 136,
];
const EN_HIP: [i64; COLUMNS_EN] = [
    84, 88, 92, 96, 100, 104, 108, 112, 117, 122, 127, 132, 137, 142, 147, 152,
];
/// The largest bust whose row was read, if second-hand.
const EN_LAST_READ: i64 = 122;

const COLUMNS_ASTM: usize = 12;
const ASTM_SIZE: [&str; COLUMNS_ASTM] = [
    "00", "0", "2", "4", "6", "8", "10", "12", "14", "16", "18", "20",
];
/// Inches and eighths, as are the next two rows.
const ASTM_BUST: [(i64, i64); COLUMNS_ASTM] = [
    (31, 1),
    (31, 6),
    (33, 0),
    (34, 1),
    (35, 2),
    (36, 2),
    (37, 2),
    (38, 6),
    (40, 3),
    (42, 1),
    (44, 0),
    (46, 0),
];
const ASTM_WAIST_CURVY: [(i64, i64); COLUMNS_ASTM] = [
    (23, 7),
    (24, 5),
    (25, 3),
    (26, 1),
    (27, 0),
    (28, 0),
    (29, 0),
    (30, 6),
    (32, 4),
    (34, 4),
    (36, 6),
    (39, 0),
];
const ASTM_WAIST_STRAIGHT: [(i64, i64); COLUMNS_ASTM] = [
    (25, 3),
    (26, 1),
    (26, 7),
    (27, 5),
    (28, 4),
    (29, 4),
    (30, 4),
    (32, 2),
    (34, 0),
    (36, 0),
    (38, 2),
    (40, 4),
];

/// What a published table offers, for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Its name and whom it is for.
    pub name: &'static str,
    /// How a size of it is written.
    pub written: &'static str,
    /// The sizes that there are.
    pub sizes: String,
    /// How its values came to be known.
    pub status: String,
    /// Keys of the measurements that it gives.
    pub gives: Vec<&'static str>,
}

/// The tables that sizes can be taken from.
#[must_use]
pub fn tables() -> [Listed; 2] {
    let gives = |size: Size| {
        size.measurements()
            .into_iter()
            .map(|(key, _)| key)
            .collect()
    };
    let en = |column: usize| Size(Column::En(column));
    [
        Listed {
            name: "EN 13402-3, women",
            written: "EN 13402-3 bust 88",
            sizes: format!(
                "bust {} cm",
                EN_BUST.map(|bust| bust.to_string()).join(", ")
            ),
            status: format!(
                "{} up to bust {EN_LAST_READ}, {} beyond",
                en(0).status(),
                en(COLUMNS_EN - 1).status()
            ),
            gives: gives(en(0)),
        },
        Listed {
            name: "ASTM D5585-11e1, misses",
            written: "ASTM D5585-11e1 8 curvy",
            sizes: format!("{}, each curvy or straight", ASTM_SIZE.join(", ")),
            status: Size(Column::Astm(0, Figure::Curvy)).status().to_owned(),
            gives: gives(Size(Column::Astm(0, Figure::Curvy))),
        },
    ]
}

/// The two figures that ASTM D5585-11e1 tells apart by their waist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// The smaller waist.
    Curvy,
    /// The larger waist.
    Straight,
}

/// One column of a published table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size(Column);

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    En(usize),
    Astm(usize, Figure),
}

impl Size {
    /// The women's size of EN 13402-3 with that bust girth in whole centimetres.
    #[must_use]
    pub fn en_13402_3(bust_cm: i64) -> Option<Size> {
        EN_BUST
            .iter()
            .position(|&bust| bust == bust_cm)
            .map(|column| Size(Column::En(column)))
    }

    /// The misses size of ASTM D5585-11e1 with that label: `00`, `0`, `2` to `20`.
    #[must_use]
    pub fn astm_d5585_11e1(label: &str, figure: Figure) -> Option<Size> {
        ASTM_SIZE
            .iter()
            .position(|&size| size == label)
            .map(|column| Size(Column::Astm(column, figure)))
    }

    /// Reads a size as a job names it: `EN 13402-3 bust 88`, `ASTM D5585-11e1 8 curvy`.
    ///
    /// # Errors
    /// If table, size or figure are not there; the message says which are.
    pub fn read(text: &str) -> Result<Size, ReadError> {
        let shown: String = text.chars().take(40).collect();
        let fail = |what: String, help: String| Err(ReadError { what, help });
        let lower = text.to_ascii_lowercase();
        let words: Vec<&str> = lower
            .split(|c: char| c.is_whitespace() || matches!(c, ',' | '(' | ')'))
            .filter(|word| {
                !word.is_empty() && !matches!(*word, "women" | "misses" | "size" | "cm" | "2004")
            })
            .collect();
        match words.as_slice() {
            ["en", "13402-3", rest @ ..] => match rest {
                ["bust", bust] | [bust] => match bust.trim_end_matches("cm").parse::<i64>() {
                    Ok(bust_cm) => Size::en_13402_3(bust_cm).map_or_else(
                        || {
                            fail(
                                format!("{EN_NAME} has no size with bust {bust_cm} cm"),
                                busts_near(bust_cm),
                            )
                        },
                        Ok,
                    ),
                    Err(_) => fail(
                        format!("\"{shown}\" names no bust girth"),
                        "write it like EN 13402-3 bust 88".into(),
                    ),
                },
                _ => fail(
                    format!("\"{shown}\" is no size of {EN_NAME}"),
                    "write it like EN 13402-3 bust 88".into(),
                ),
            },
            ["astm", "d5585-11e1", rest @ ..] => {
                let (label, figure) = match rest {
                    [label, "curvy"] | ["curvy", label] => (*label, Figure::Curvy),
                    [label, "straight"] | ["straight", label] => (*label, Figure::Straight),
                    [label] if ASTM_SIZE.contains(label) => {
                        return fail(
                            format!(
                                "{ASTM_NAME} has two figures in size {label}, and \"{shown}\" names neither"
                            ),
                            format!(
                                "write \"{ASTM_NAME} {label} curvy\" or \"{ASTM_NAME} {label} straight\""
                            ),
                        );
                    }
                    _ => {
                        return fail(
                            format!("\"{shown}\" is no size of {ASTM_NAME}"),
                            format!(
                                "write it like {ASTM_NAME} 8 curvy; sizes are {}",
                                ASTM_SIZE.join(", ")
                            ),
                        );
                    }
                };
                Size::astm_d5585_11e1(label, figure).map_or_else(
                    || {
                        fail(
                            format!("{ASTM_NAME} has no size {label}"),
                            format!("sizes are {}", ASTM_SIZE.join(", ")),
                        )
                    },
                    Ok,
                )
            }
            _ => {
                let near = nearest(text, [EN_NAME, ASTM_NAME]);
                let hint = near.map_or_else(String::new, |name| format!("did you mean {name}? "));
                fail(
                    format!("\"{shown}\" names no size table that is known"),
                    format!("{hint}write it like \"{EN_NAME} bust 88\" or \"{ASTM_NAME} 8 curvy\""),
                )
            }
        }
    }

    /// As [`Size::read`] reads it.
    #[must_use]
    pub fn name(self) -> String {
        match self.0 {
            Column::En(column) => format!("{EN_NAME} bust {}", EN_BUST[column]),
            Column::Astm(column, figure) => {
                let figure = if figure == Figure::Curvy {
                    "curvy"
                } else {
                    "straight"
                };
                format!("{ASTM_NAME} {} {figure}", ASTM_SIZE[column])
            }
        }
    }

    /// The measurements that the table gives for this size, by key, exactly as printed.
    #[must_use]
    pub fn measurements(self) -> Vec<(&'static str, Length)> {
        let inches =
            |(whole, eighths): (i64, i64)| Length::INCH * whole + Length::from_um(3_175) * eighths;
        match self.0 {
            Column::En(column) => vec![
                ("bust_girth", Length::from_cm(EN_BUST[column])),
                ("waist_girth", Length::from_cm(EN_WAIST[column])),
                ("hip_girth", Length::from_cm(EN_HIP[column])),
            ],
            Column::Astm(column, figure) => {
                let waist = match figure {
                    Figure::Curvy => ASTM_WAIST_CURVY[column],
                    Figure::Straight => ASTM_WAIST_STRAIGHT[column],
                };
                vec![
                    ("bust_girth", inches(ASTM_BUST[column])),
                    ("waist_girth", inches(waist)),
                ]
            }
        }
    }

    /// How the values of this size came to be known, for people.
    #[must_use]
    pub fn status(self) -> &'static str {
        match self.0 {
            Column::En(column) if EN_BUST[column] <= EN_LAST_READ => "read second-hand",
            Column::En(_) => "from memory",
            Column::Astm(..) => "read; hip girth not available",
        }
    }
}

fn busts_near(bust_cm: i64) -> String {
    let below = EN_BUST.iter().rev().find(|&&bust| bust < bust_cm);
    let above = EN_BUST.iter().find(|&&bust| bust > bust_cm);
    match (below, above) {
        (Some(below), Some(above)) => format!("the nearest are bust {below} and bust {above}"),
        (Some(largest), None) => {
            format!("the largest is bust {largest}; give the measurements instead")
        }
        _ => format!(
            "the smallest is bust {}; give the measurements instead",
            EN_BUST[0]
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn girth(size: &str, key: &str) -> Option<Length> {
        let size = Size::read(size).unwrap_or_else(|e| panic!("{e}"));
        size.measurements()
            .into_iter()
            .find(|(k, _)| *k == key)
            .map(|(_, length)| length)
    }

    /// EN 13402, pictogram example 88-72-96 (read second-hand); EN 13402-3 steps of 4 cm, and 6 cm
    /// (hip 5 cm) in larger sizes (read second-hand).
    #[test]
    fn en_sizes_follow_the_printed_steps() {
        assert_eq!(
            girth("EN 13402-3 bust 88", "waist_girth"),
            Some(Length::from_cm(72))
        );
        assert_eq!(
            girth("EN 13402-3 bust 88", "hip_girth"),
            Some(Length::from_cm(96))
        );
        for column in 1..COLUMNS_EN {
            let step = |row: [i64; COLUMNS_EN]| row[column] - row[column - 1];
            let (girths, hip) = if EN_BUST[column] <= 104 {
                (4, 4)
            } else {
                (6, 5)
            };
            assert_eq!(
                (step(EN_BUST), step(EN_WAIST), step(EN_HIP)),
                (girths, girths, hip)
            );
        }
    }

    /// ASTM D5585-11e1, table 1 (read): size 8 has a waist of 28 in curvy and 29 1/2 in straight.
    #[test]
    fn astm_sizes_are_exact() {
        assert_eq!(
            girth("ASTM D5585-11e1 8 curvy", "waist_girth"),
            Some(Length::INCH * 28)
        );
        assert_eq!(
            girth("ASTM D5585-11e1 8 straight", "waist_girth"),
            Some(Length::INCH * 29 + Length::from_um(12_700)),
        );
        // 31 1/8 in.
        assert_eq!(
            girth("ASTM D5585-11e1 00 curvy", "bust_girth"),
            Some(Length::from_um(790_575))
        );
        assert_eq!(girth("ASTM D5585-11e1 8 curvy", "hip_girth"), None);
        // In every size of the printed table the straight figure's waist is 1 1/2 in larger.
        for (curvy, straight) in ASTM_WAIST_CURVY.iter().zip(ASTM_WAIST_STRAIGHT) {
            assert_eq!(straight.0 * 8 + straight.1 - curvy.0 * 8 - curvy.1, 12);
        }
    }

    #[test]
    fn every_size_reads_back_by_its_name() {
        let en = EN_BUST.iter().map(|&bust| Size::en_13402_3(bust).unwrap());
        let astm = ASTM_SIZE.iter().flat_map(|label| {
            [Figure::Curvy, Figure::Straight]
                .map(|figure| Size::astm_d5585_11e1(label, figure).unwrap())
        });
        for size in en.chain(astm) {
            assert_eq!(Size::read(&size.name()), Ok(size));
        }
        assert_eq!(
            Size::read("en 13402-3 (2004), women, 88 cm"),
            Ok(Size::en_13402_3(88).unwrap())
        );
    }

    #[test]
    fn what_is_not_in_a_table_is_said() {
        for (text, part) in [
            ("EN 13402-3 bust 90", "bust 88 and bust 92"),
            ("EN 13402-3 bust 160", "largest is bust 152"),
            ("EN 13402-3 bust 20", "smallest is bust 76"),
            ("EN 13402-3", "EN 13402-3 bust 88"),
            ("EN 13402-3 bust large", "names no bust girth"),
            ("ASTM D5585-11e1 8", "8 straight"),
            ("ASTM D5585-11e1 9 curvy", "10, 12"),
            ("ASTM D5585-11e1", "00, 0, 2"),
            ("ASTM D5585-95 8", "names no size table"),
            ("EN 13402", "did you mean EN 13402-3"),
            ("", "names no size table"),
            ("medium", "EN 13402-3 bust 88"),
        ] {
            let said = Size::read(text).unwrap_err().to_string();
            assert!(said.contains(part), "{text}: {said}");
        }
    }
}
