use proptest::prelude::*;

use super::*;
use crate::length::Rounding;

fn read(units: Units, text: &str) -> i64 {
    units
        .read(text, Rounding::Up)
        .unwrap_or_else(|e| panic!("{text}: {e}"))
        .um()
}

fn refused(text: &str) -> String {
    match Units::Centimetres.read(text, Rounding::Up) {
        Ok(length) => panic!("{text} was read as {length}"),
        Err(error) => error.to_string(),
    }
}

/// International yard and pound agreement, 1959: 1 in = 25.4 mm, 1 yd = 0.9144 m.
#[test]
fn inches_and_yards_are_exact() {
    assert_eq!(read(Units::Centimetres, "5/8 in"), 15_875);
    assert_eq!(read(Units::Centimetres, "3 yd"), 2_743_200);
    assert_eq!(read(Units::Centimetres, "1/8 yd"), 114_300);
    assert_eq!(read(Units::Centimetres, "60 in"), 1_524_000);
    assert_eq!(read(Units::Centimetres, "1/8 in"), 3_175);
}

#[test]
fn one_length_in_every_way_of_writing_it() {
    for text in [
        "97.5 cm",
        "97,5 cm",
        "0.975 m",
        "975 mm",
        "97.5",
        "97 1/2",
        "97½cm",
        " 97.5\u{a0}cm ",
        "+97.5 CM",
    ] {
        assert_eq!(read(Units::Centimetres, text), 975_000, "{text}");
    }
    for text in [
        "38 3/8 in",
        "38.375 in",
        "38⅜ in",
        "38⅜",
        "38-3/8\"",
        "38 3\u{2044}8″",
        "38⅜''",
        "3'2 3/8\"",
        "38 3/8 inches",
    ] {
        assert_eq!(read(Units::Inches, text), 974_725, "{text}");
    }
    for text in [
        "3'6\"",
        "3′ 6″",
        "3 ft 6 in",
        "3'6",
        "42\"",
        "1 yd 6 in",
        "1 1/6 yd",
        "3.5 ft",
        "42 in.",
    ] {
        assert_eq!(read(Units::Inches, text), 1_066_800, "{text}");
    }
    assert_eq!(read(Units::Yards, "1 1/2"), 1_371_600);
    assert_eq!(read(Units::Metres, "1.5"), 1_500_000);
    assert_eq!(read(Units::Centimetres, "1 m 50 cm"), 1_500_000);
    assert_eq!(read(Units::Centimetres, "-2 cm"), -20_000);
    assert_eq!(read(Units::Centimetres, ".5"), 5_000);
    assert_eq!(read(Units::Centimetres, "0,125 m"), 125_000);
    assert_eq!(read(Units::Centimetres, "1234,567 mm"), 1_234_567);
}

/// The Unicode names of these characters say their value (Unicode Number Forms, U+2150 to U+2189).
#[test]
fn every_fraction_character_is_its_value() {
    let forms = [
        ("¼", 1, 4),
        ("½", 1, 2),
        ("¾", 3, 4),
        ("⅐", 1, 7),
        ("⅑", 1, 9),
        ("⅒", 1, 10),
        ("⅓", 1, 3),
        ("⅔", 2, 3),
        ("⅕", 1, 5),
        ("⅖", 2, 5),
        ("⅗", 3, 5),
        ("⅘", 4, 5),
        ("⅙", 1, 6),
        ("⅚", 5, 6),
        ("⅛", 1, 8),
        ("⅜", 3, 8),
        ("⅝", 5, 8),
        ("⅞", 7, 8),
        ("↉", 0, 3),
        ("⅟16", 1, 16),
    ];
    for (text, upper, lower) in forms {
        assert_eq!(
            Ratio::read(text),
            Ok(Ratio::new(upper, lower).unwrap()),
            "{text}"
        );
    }
}

#[test]
fn what_is_finer_than_a_micrometre_is_rounded_as_asked() {
    let sixteenth = |rounding| Units::Inches.read("1/16", rounding).unwrap().um();
    assert_eq!(
        (sixteenth(Rounding::Down), sixteenth(Rounding::Up)),
        (1_587, 1_588)
    );
    // The parts of one text are added before they are rounded.
    assert_eq!(read(Units::Inches, "3 ft 2/16 in"), 917_575);
    assert_eq!(
        Units::Inches.read("-1/16", Rounding::Up).unwrap().um(),
        -1_587
    );
}

#[test]
fn a_unit_in_the_text_is_told() {
    let had_unit = |text| {
        Units::Centimetres
            .read_with_unit(text, Rounding::Up)
            .unwrap()
            .had_unit
    };
    assert!(had_unit("38 in"));
    assert!(had_unit("3'6"));
    assert!(!had_unit("38"));
    assert!(!had_unit("38⅜"));
}

#[test]
fn what_can_be_meant_in_two_ways_is_refused_with_both() {
    let said = refused("1,234 cm");
    assert!(said.contains("1.234") && said.contains("1234"), "{said}");
    assert!(refused("1,234").contains("1234"));
    assert!(refused("1,234.5 cm").contains("thousands"));
    assert!(refused("1.234,5 cm").contains("thousands"));
    assert!(refused("1 234 mm").contains("without spaces"));
}

#[test]
fn refusals_say_what_would_be_right() {
    for (text, part) in [
        ("", "97.5 cm"),
        ("  ", "is empty"),
        ("nan", "not a number"),
        ("inf", "not a number"),
        ("1/0 in", "zero under"),
        ("⅟0", "zero under"),
        ("1/", "under the fraction stroke"),
        ("1/2/3", "two fraction strokes"),
        ("97 cmx", "units are mm"),
        ("97 cm x", "after the length"),
        ("97 furlongs", "units are mm, cm, m, in, ft, yd"),
        ("1e3", "with an exponent"),
        ("1e5 cm", "with an exponent"),
        ("1.5E-3 m", "with an exponent"),
        ("1.500 mm", "could be 1.5 mm or 1500 mm"),
        ("12.345 cm", "could be 12.345 cm or 12345 cm"),
        ("1,500", "could be 1.5 or 1500"),
        ("5.", "no digits after"),
        ("38.5 3/8 in", "no unit between"),
        ("38.5⅜ in", "either"),
        ("38 9/8 in", "fraction of 1 or more"),
        ("3'14\"", "more inches than"),
        ("3.5 ft 2 in", "whole numbers of the larger"),
        ("6 in 3 ft", "larger unit first"),
        ("1 m 3 in", "one kind of unit"),
        ("1 m 50", "1 m 50 cm"),
        ("35 %", "percentage"),
        ("12345678901 mm", "too many digits"),
        ("0.1234567890123456", "too many digits"),
        ("999999999 m", "10 km"),
        ("--5", "sign"),
        ("5-5", "after the length"),
    ] {
        let said = refused(text);
        assert!(said.contains(part), "{text}: {said}");
    }
    assert!(refused(&"9".repeat(100_000)).len() < 200);
    for plain in [
        "0.975 m",
        "1.523 m",
        "38.375 in",
        "0.500 mm",
        "1500.125 mm",
        "1.5000 cm",
    ] {
        let read = Units::Centimetres.read(plain, Rounding::Up);
        assert!(read.is_ok(), "{plain}: {read:?}");
    }
    let number = Ratio::read("1e5").unwrap_err();
    assert!(number.what.contains("with an exponent"), "{number}");
}

#[test]
fn lengths_are_written_in_the_persons_unit() {
    let skirt = Length::from_mm(975);
    assert_eq!(Units::Centimetres.write(skirt), "97.5 cm");
    assert_eq!(Units::Millimetres.write(skirt), "975 mm");
    assert_eq!(Units::Metres.write(skirt), "0.975 m");
    assert_eq!(Units::Inches.write(skirt), "38 3/8 in");
    assert_eq!(Units::Yards.write(skirt), "38 3/8 in");
    assert_eq!(Units::Centimetres.write(Length::from_cm(97)), "97 cm");
    assert_eq!(Units::Centimetres.write(Length::from_um(-500)), "-0.1 cm");
    assert_eq!(Units::Centimetres.write(Length::from_um(-499)), "0 cm");
    assert_eq!(Units::Inches.write(Length::from_um(9_525)), "3/8 in");
    assert_eq!(Units::Inches.write(-Length::from_um(12_700)), "-1/2 in");
    assert_eq!(Units::Inches.write(Length::ZERO), "0 in");
    // Waist radius of a full circle for 28 in: 4.456 in (geometry, W / 2 pi).
    assert_eq!(
        Units::Inches.write_radius(Length::from_um(113_182)),
        "4 7/16 in"
    );
}

#[test]
fn cloth_is_written_as_a_shop_says_it() {
    assert_eq!(
        Units::Centimetres.write_cloth(Length::from_cm(150)),
        "1.50 m"
    );
    assert_eq!(
        Units::Millimetres.write_cloth(Length::from_mm(1_523)),
        "1.523 m"
    );
    assert_eq!(
        Units::Inches.write_cloth(Length::from_um(114_300 * 13)),
        "1 5/8 yd"
    );
    assert_eq!(
        Units::Yards.write_cloth(Length::INCH * 57 + Length::from_um(6_350)),
        "57 1/4 in"
    );
}

#[test]
fn a_need_is_never_printed_shorter_nor_cloth_longer() {
    let odd = Length::from_um(1_500_001);
    assert_eq!(Units::Centimetres.write_cloth_up(odd), "1.501 m");
    assert_eq!(Units::Centimetres.write_cloth_down(odd), "1.50 m");
    assert_eq!(Units::Inches.write_up(odd), "59 1/8 in");
    assert_eq!(Units::Inches.write_down(odd), "59 in");
}

#[test]
fn a_bare_number_that_looks_like_another_unit_is_asked_about() {
    let skirt = Plausible::cm("a skirt length", 20, 150);
    let doubt = |units: Units, text: &str| {
        skirt.doubt(units, units.read_with_unit(text, Rounding::Up).unwrap())
    };
    assert_eq!(doubt(Units::Centimetres, "97"), None);
    assert_eq!(doubt(Units::Centimetres, "3 mm"), None);
    assert_eq!(
        doubt(Units::Centimetres, "0.97").as_deref(),
        Some(
            "1 cm is short for a skirt length; 0.97 m would be 97 cm: write \"0.97 m\" if that is meant"
        ),
    );
    assert_eq!(
        doubt(Units::Inches, "97.5").as_deref(),
        Some(
            "97 1/2 in is long for a skirt length; 97.5 cm would be 38 3/8 in: write \"97.5 cm\" if that is meant"
        ),
    );
    assert_eq!(
        doubt(Units::Centimetres, "4000").as_deref(),
        Some("4000 cm is long for a skirt length: if it is meant, write the unit too, \"4000 cm\""),
    );
}

proptest! {
    #[test]
    fn written_lengths_read_back_within_half_a_step(um in -50_000_000_i64..50_000_000) {
        let length = Length::from_um(um);
        for units in Units::ALL {
            // Twice the difference is compared, so that 1/16 in stays a whole number.
            let step = units.marking_step().um();
            for (text, twice_most) in [
                (units.write(length), step),
                (units.write_radius(length), step),
                (units.write_cloth(length), step),
            ] {
                let back = units.read_with_unit(&text, Rounding::Down).unwrap();
                prop_assert!(back.had_unit);
                // One micrometre for sixteenths, which reading rounds.
                prop_assert!(2 * (back.length - length).abs().um() <= twice_most + 2, "{}", text);
            }
            let at_least = units.read(&units.write_up(length), Rounding::Down).unwrap();
            let at_most = units.read(&units.write_down(length), Rounding::Down).unwrap();
            prop_assert!(at_most <= length && length <= at_least);
            prop_assert!((at_least - at_most).um() <= step);
            let at_least = units.read(&units.write_cloth_up(length), Rounding::Down).unwrap();
            let at_most = units.read(&units.write_cloth_down(length), Rounding::Down).unwrap();
            prop_assert!(at_most <= length && length <= at_least);
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,70}") {
        for units in Units::ALL {
            if let Ok(length) = units.read(&text, Rounding::Up) {
                prop_assert!(length.abs() <= LONGEST);
            }
        }
    }

    #[test]
    fn any_number_read_can_be_taken_of_any_length_read(
        text in prop_oneof!["\\PC{0,30}", "-?[0-9]{1,9}([.,][0-9]{1,15})?( ?%)?", "[0-9]{1,9}/[0-9]{1,9}"],
    ) {
        if let Ok((ratio, _)) = Ratio::read_percent(&text) {
            let up = ratio.of(LONGEST, Rounding::Up);
            prop_assert!((0..=1).contains(&(up - ratio.of(LONGEST, Rounding::Down)).um()));
        }
    }

    #[test]
    fn nearly_lengths_are_read_or_refused(text in "[-+0-9 .,/'\"⅜½⅟′cmindyft%]{0,24}") {
        for units in Units::ALL {
            let up = units.read(&text, Rounding::Up);
            let down = units.read(&text, Rounding::Down);
            match (up, down) {
                (Ok(up), Ok(down)) => prop_assert!((0..=1).contains(&(up - down).um())),
                (Err(up), Err(down)) => prop_assert_eq!(up, down),
                // Only at the longest length can rounding make the difference.
                (up, down) => prop_assert!(false, "{:?} {:?}", up, down),
            }
        }
    }
}

#[test]
fn what_is_bought_and_what_is_off_is_rounded_up() {
    let four_and_a_half_yards = Length::YARD.times_ratio(9, 2, Rounding::Up);
    assert_eq!(
        Units::Inches.write_bought(four_and_a_half_yards),
        "162 in (4 1/2 yd)"
    );
    assert_eq!(
        Units::Centimetres.write_bought(Length::from_um(1_000_001)),
        "100.1 cm"
    );
    // 42880 cm are 428.8 m; 0.9 yd are rounded up to 1 yd (7/8 yd are 0.875).
    assert_eq!(
        Units::Centimetres.write_bought(Length::from_cm(42_880)),
        "42880 cm (428.80 m)"
    );
    assert_eq!(Units::Yards.write_bought(Length::from_um(822_960)), "1 yd");
    // 1.3 mm is a little more than 3/64 in and less than 1/16.
    assert_eq!(
        Units::Inches.write_rounding(Length::from_um(1_300)),
        "1/16 in"
    );
    assert_eq!(
        Units::Centimetres.write_rounding(Length::from_um(1_301)),
        "1.4 mm"
    );
}

/// What is needed may not read as longer than the cloth it fits on, nor cloth as long as a bound above it.
#[test]
fn lengths_close_to_each_other_are_written_finer() {
    let um = Length::from_um;
    // By hand: 101 cm is 39.76 in, 101.2 cm 39.84 in, and 39 13/16 in is 39.8125 in.
    for (units, needed, bound, cloth, written) in [
        (
            Units::Centimetres,
            1_459_140,
            0,
            1_459_300,
            ["145.92 cm", "145.93 cm"],
        ),
        (
            Units::Centimetres,
            1_459_001,
            0,
            1_459_002,
            ["145.9001 cm", "145.9002 cm"],
        ),
        (
            Units::Metres,
            1_459_140,
            0,
            1_459_300,
            ["1.4592 m", "1.4593 m"],
        ),
        (
            Units::Inches,
            1_010_000,
            0,
            1_012_000,
            ["39 13/16 in", "39 13/16 in"],
        ),
        (
            Units::Centimetres,
            1_010_000,
            1_000_150,
            1_000_050,
            ["101 cm", "100 cm"],
        ),
        (
            Units::Centimetres,
            1_010_000,
            1_000_950,
            1_000_850,
            ["101 cm", "100.08 cm"],
        ),
        // A cloth that is refused, and no more: "more than 100 cm" says it.
        (
            Units::Centimetres,
            1_010_000,
            1_000_001,
            1_000_000,
            ["101 cm", "100 cm"],
        ),
        // A bound that is there is not written as nothing.
        (Units::Centimetres, 400, 400, 50_000, ["0.04 cm", "5 cm"]),
    ] {
        let (needed, bound, cloth) = (um(needed), um(bound), um(cloth));
        let finer = units.finer_for(needed, bound, &[cloth]);
        let up = units.write_up_finer(needed, finer);
        let down = units.write_down_finer(cloth, finer);
        assert_eq!([up.as_str(), down.as_str()], written);
        let is_told = units.write_down_finer(bound, finer) != down;
        assert!(bound <= cloth + um(1) || is_told);
    }
}
