use super::*;
use crate::length::{Length, Rounding};
use crate::units::{Ratio, Units};

/// A table with one key, whose value stands at bytes 10 to 20.
fn one(key: &str, value: Value) -> Settings {
    let setting = Setting {
        value,
        span: Span { start: 10, end: 20 },
    };
    let key_span = Span { start: 0, end: 5 };
    Settings {
        entries: vec![Entry {
            key: key.into(),
            key_span,
            setting,
        }],
        span: Span { start: 0, end: 20 },
    }
}

fn number(text: &str) -> Settings {
    one("flare", Value::Number(text.into()))
}

fn text(text: &str) -> Settings {
    one("flare", Value::Text(text.into()))
}

const UP: Rounding = Rounding::Up;

#[test]
fn a_length_is_a_number_or_a_text_with_a_unit() {
    for settings in [number("10"), number("1_0.0"), text("10 cm"), text("100 mm")] {
        let length = settings.positive_length("make[1]", "flare", Units::Centimetres, UP);
        assert_eq!(length, Ok(Some(Length::from_cm(10))));
    }
    assert_eq!(
        number("10").length("", "hem", Units::Centimetres, UP),
        Ok(None)
    );
}

#[test]
fn wrong_lengths_are_refused_at_their_place() {
    for (settings, part) in [
        (number("0"), "zero"),
        (number("-3"), "below zero: -3 cm"),
        (number("nan"), "not a number"),
        (number("inf"), "not a number"),
        (number("-inf"), "not a number"),
        (number("1e2"), "exponent"),
        (text("ten"), "not a number"),
        (one("flare", Value::Flag(true)), "this is true or false"),
        (one("flare", Value::List(vec![])), "this is a list"),
    ] {
        let error = settings
            .positive_length("make[1]", "flare", Units::Centimetres, UP)
            .unwrap_err();
        assert_eq!(error.key, "make[1].flare");
        assert_eq!(error.span, Some(Span { start: 10, end: 20 }));
        assert!(error.to_string().contains(part), "{error}");
        assert!(!error.help.is_empty(), "{error}");
    }
    assert_eq!(
        number("0").non_negative_length("", "flare", Units::Inches, UP),
        Ok(Some(Length::ZERO))
    );
    assert!(
        number("-1")
            .non_negative_length("", "flare", Units::Inches, UP)
            .is_err()
    );
    assert_eq!(
        number("-1").length("", "flare", Units::Inches, UP),
        Ok(Some(-Length::INCH))
    );
}

#[test]
fn shares_are_exact() {
    let share = Ratio::new(35, 100);
    assert_eq!(number("0.35").share("", "flare").unwrap(), share);
    assert_eq!(text("35 %").share("", "flare").unwrap(), share);
    assert_eq!(text("1/3").share("", "flare").unwrap(), Ratio::new(1, 3));
    let error = number("35").share("", "flare").unwrap_err();
    assert!(error.help.contains("\"35 %\""), "{error}");
    assert!(text("-5 %").share("", "flare").is_err());
    // 0.35 x 88 cm: no float in between.
    let width = Ratio::new(35, 100).unwrap().of(Length::from_cm(88), UP);
    assert_eq!(width, Length::from_um(308_000));
}

#[test]
fn a_length_and_a_share_are_told_apart_or_refused() {
    let read = |settings: Settings, units| settings.length_or_share("", "flare", units, UP);
    let half = LengthOrShare::Share(Ratio::percent(50));
    assert_eq!(read(number("0.5"), Units::Centimetres), Ok(Some(half)));
    assert_eq!(read(text("50 %"), Units::Inches), Ok(Some(half)));
    let length = LengthOrShare::Length(Length::from_cm(8));
    assert_eq!(read(number("8"), Units::Centimetres), Ok(Some(length)));
    assert_eq!(read(text("8 cm"), Units::Inches), Ok(Some(length)));
    assert_eq!(
        read(number("0"), Units::Inches),
        Ok(Some(LengthOrShare::Length(Length::ZERO)))
    );
    let error = read(number("0.5"), Units::Inches).unwrap_err();
    assert!(error.help.contains("\"0.5 in\" or \"50 %\""), "{error}");
    assert!(read(text("-8 cm"), Units::Inches).is_err());
}

#[test]
fn counts_stay_in_their_range() {
    assert_eq!(number("6").count("", "flare", 1..=24), Ok(Some(6)));
    for wrong in ["0", "25", "-1", "2.5", "99999999999"] {
        let error = number(wrong).count("", "flare", 1..=24).unwrap_err();
        assert!(
            error.to_string().contains("whole number from 1 to 24"),
            "{error}"
        );
    }
    assert_eq!(number("1.5").number("", "flare").unwrap(), Ratio::new(3, 2));
}

#[test]
fn words_flags_and_tables() {
    assert_eq!(
        text("soft").choice("", "flare", &["crisp", "soft"]),
        Ok(Some("soft"))
    );
    let error = text("sofft")
        .choice("fabric.linden", "flare", &["crisp", "soft"])
        .unwrap_err();
    assert!(
        error.help.contains("did you mean \"soft\"") && error.help.contains("crisp"),
        "{error}"
    );
    assert!(number("1").choice("", "flare", &["crisp"]).is_err());
    assert_eq!(
        one("flare", Value::Flag(true)).flag("", "flare"),
        Ok(Some(true))
    );
    assert!(text("true").flag("", "flare").is_err());
    assert_eq!(text(" Ilka ").text("", "flare"), Ok(Some("Ilka")));
    assert!(text(" ").text("", "flare").is_err());
    assert!(number("1").text("", "flare").is_err());
    assert!(number("1").list("", "flare").is_err());
    assert_eq!(
        number("1").one_or_list("flare").map(<[Setting]>::len),
        Some(1)
    );
    assert!(number("1").table("", "flare").is_err());
    let inside = one("flare", Value::Table(number("1")));
    assert_eq!(inside.table("", "flare"), Ok(Some(&number("1"))));
}

#[test]
fn an_unknown_key_names_the_nearest() {
    assert_eq!(number("1").only("make[1]", &["flare", "hem"]), Ok(()));
    let error = one("flair", Value::Flag(true))
        .only("make[1]", &["hem", "flare"])
        .unwrap_err();
    assert_eq!(error.key, "make[1].flair");
    assert_eq!(error.span, Some(Span { start: 0, end: 5 }));
    assert!(error.help.contains("did you mean \"flare\""), "{error}");
}

#[test]
fn the_nearest_word_is_near() {
    let known = ["panel skirt", "gored skirt", "circle skirt", "sash"];
    assert_eq!(nearest("panel-skirt", known), Some("panel skirt"));
    assert_eq!(nearest("Circel Skirt", known), Some("circle skirt"));
    assert_eq!(nearest("sahs", known), Some("sash"));
    assert_eq!(nearest("wheelbarrow", known), None);
    assert_eq!(nearest("", known), None);
    assert_eq!(nearest(&"x".repeat(1_000_000), known), None);
}
