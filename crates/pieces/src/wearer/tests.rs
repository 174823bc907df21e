use proptest::prelude::*;

use super::*;
use crate::settings::{Entry, Setting, Value};

fn cm(cm: i64) -> Length {
    Length::from_cm(cm)
}

fn read(text: &str) -> Vec<Wearer> {
    let rows = read_csv(text, Units::Centimetres, &[]).unwrap_or_else(|e| panic!("{e:?}"));
    rows.into_iter().map(|row| row.wearer).collect()
}

fn refused(text: &str) -> CsvError {
    match read_csv(text, Units::Centimetres, &[]) {
        Ok(rows) => panic!("read {rows:?}"),
        Err(errors) => errors[0].clone(),
    }
}

#[test]
fn a_missing_measurement_is_asked_for_by_name_wearer_and_how_to_take_it() {
    let ilka = Wearer::new("Ilka");
    let said = ilka.require("low_waist_girth").unwrap_err().to_string();
    for part in [
        "low waist girth of Ilka is missing",
        "low_waist_girth",
        "where the waistband will sit",
    ] {
        assert!(said.contains(part), "{said}");
    }
    let mut own = Wearer::new("Ilka");
    own.measurements.insert("sleve_length".into(), cm(58));
    let said = own.require("sleeve_length").unwrap_err().to_string();
    assert!(said.contains("\"sleve_length\" meant"), "{said}");
}

#[test]
fn a_size_fills_in_only_what_was_not_taken() {
    let mut wearer = Wearer::new("Ilka");
    wearer.measurements.insert("hip_girth".into(), cm(101));
    wearer.fill_in(Size::read("EN 13402-3 bust 88").unwrap());
    assert_eq!(wearer.require("waist_girth"), Ok(cm(72)));
    assert_eq!(wearer.require("hip_girth"), Ok(cm(101)));
    let said = wearer.require("low_waist_girth").unwrap_err().to_string();
    assert!(
        said.contains("EN 13402-3 bust 88 does not have it"),
        "{said}"
    );
}

#[test]
fn a_table_of_the_job_is_a_wearer() {
    let entry = |key: &str, value: Value, start: usize| Entry {
        key: key.into(),
        key_span: Span {
            start,
            end: start + 5,
        },
        setting: Setting {
            value,
            span: Span {
                start: start + 6,
                end: start + 9,
            },
        },
    };
    let number = |text: &str| Value::Number(text.into());
    let settings = |entries: Vec<Entry>| Settings {
        entries,
        span: Span::default(),
    };
    let from = |entries: Vec<Entry>| {
        Wearer::from_settings(
            "Ilka",
            &settings(entries),
            "wearer.Ilka",
            Units::Centimetres,
            &["cuff"],
            &[],
        )
    };
    let ilka = from(vec![
        entry("hip_girth", number("101"), 0),
        entry("skirt_length", number("38"), 20),
        entry("cuff", Value::Text("6 in".into()), 40),
        entry("size", Value::Text("EN 13402-3 bust 92".into()), 60),
    ])
    .unwrap();
    assert_eq!(ilka.measurement("hip_girth"), Some(cm(101)));
    assert_eq!(ilka.measurement("waist_girth"), Some(cm(76)));
    assert_eq!(ilka.measurement("cuff"), Some(Length::INCH * 6));
    assert_eq!(ilka.warnings.len(), 1);
    let warning = &ilka.warnings[0];
    assert_eq!(warning.key, "wearer.Ilka.skirt_length");
    assert!(
        warning
            .what
            .starts_with("38 cm is short for a skirt length")
    );
    assert!(warning.span.is_some());

    let refuse = |entries| from(entries).unwrap_err().remove(0);
    let error = refuse(vec![entry("hip_grith", number("101"), 7)]);
    assert_eq!(error.span, Some(Span { start: 7, end: 12 }));
    assert!(error.help.contains("\"hip_girth\""), "{error}");
    let no_such_size = Value::Text("EN 13402-3 bust 90".into());
    let error = refuse(vec![entry("size", no_such_size, 7)]);
    assert_eq!(
        (error.key.as_str(), error.span),
        ("wearer.Ilka.size", Some(Span { start: 13, end: 16 }))
    );
    let errors = from(vec![
        entry("hip_girth", number("0"), 7),
        entry("wiast_girth", number("72"), 17),
        entry("skirt_length", number("-9"), 27),
    ])
    .unwrap_err();
    assert_eq!(errors.len(), 3, "{errors:?}");
}

#[test]
fn rows_are_wearers() {
    let wearers = read(
        "name,low_waist_girth,Hip girth,skirt_length,size\n\
         Ilka,88,101,97,\n\
         \n\
         \"Maren, the tall\",,39 3/4 in,\"97,5\",EN 13402-3 bust 88\n",
    );
    assert_eq!(wearers.len(), 2);
    assert_eq!(wearers[0].measurement("low_waist_girth"), Some(cm(88)));
    assert_eq!(wearers[1].name, "Maren, the tall");
    assert_eq!(wearers[1].measurement("low_waist_girth"), None);
    // 39 3/4 x 25.4 mm.
    assert_eq!(
        wearers[1].measurement("hip_girth"),
        Some(Length::from_um(1_009_650))
    );
    assert_eq!(
        wearers[1].measurement("skirt_length"),
        Some(Length::from_mm(975))
    );
    assert_eq!(wearers[1].measurement("bust_girth"), Some(cm(88)));
}

#[test]
fn spreadsheets_may_write_semicolons_tabs_and_a_mark_at_the_start() {
    let plain = read("name,hip_girth\nIlka,97.5\n");
    for text in [
        "\u{FEFF}name;hip_girth\r\nIlka;97,5\r\n;\r\n",
        "wearer\thip_girth\nIlka\t97,5",
        "Name ; HIP-GIRTH;\n Ilka ; 97.5 cm ;",
    ] {
        assert_eq!(read(text), plain, "{text}");
    }
}

#[test]
fn faults_name_line_and_column_and_what_would_be_right() {
    for (text, line, column, part) in [
        ("", 1, None, "heading row"),
        ("name,hip_girth\n", 1, None, "no wearer"),
        ("hip_girth\n99\n", 1, None, "head one column \"name\""),
        (
            "name,hip_grith\nIlka,99\n",
            1,
            Some("hip_grith"),
            "did you mean \"hip_girth\"",
        ),
        (
            "name,hip_girth,Hip Girth\nIlka,99,99\n",
            1,
            Some("Hip Girth"),
            "stands twice",
        ),
        ("name,hip_girth\nIlka\n", 2, Some("hip_girth"), "too few"),
        ("name,hip_girth\nIlka,97,5\n", 2, None, "semicolons"),
        ("name;hip_girth\nIlka;97;5\n", 2, None, "too many"),
        (
            "name,hip_girth\r\n\r\n\r\nIlka,99\r\nIlka,98\r\n",
            5,
            Some("name"),
            "first in line 4",
        ),
        (
            "name,hip_girth\nIlka,99\nilka ,98\n",
            3,
            Some("name"),
            "first in line 2",
        ),
        ("name,hip_girth\n,99\n", 2, Some("name"), "no name"),
        (
            "name,hip_girth\nIlka,wide\n",
            2,
            Some("hip_girth"),
            "97.5 cm",
        ),
        (
            "name,hip_girth\nIlka,0\n",
            2,
            Some("hip_girth"),
            "above zero",
        ),
        (
            "name,hip_girth\nIlka,-99\n",
            2,
            Some("hip_girth"),
            "above zero",
        ),
        (
            "name,hip_girth\nIlka,nan\n",
            2,
            Some("hip_girth"),
            "not a number",
        ),
        ("name,size\nIlka,M\n", 2, Some("size"), "EN 13402-3 bust 88"),
        (
            "name,hip_girth,\nIlka,99,5\n",
            2,
            Some(""),
            "without heading",
        ),
        (
            "name,hip_girth\n\"Ilka,99\nMaren,98\n",
            2,
            Some("hip_girth"),
            "too few",
        ),
        (
            "name,hip_girth\nIlka,\"99\nMaren,98\n",
            2,
            Some("hip_girth"),
            "close the quotes",
        ),
    ] {
        let error = refused(text);
        assert_eq!(
            (error.line, error.column.as_deref()),
            (line, column),
            "{text:?}: {error}"
        );
        assert!(error.to_string().contains(part), "{text:?}: {error}");
    }
}

#[test]
fn a_name_has_to_fit_on_a_piece() {
    let error = refused(&format!("name,hip_girth\n{},99\n", "e".repeat(61)));
    assert!(error.what.contains("longer than 60"), "{error}");
}

#[test]
fn a_fault_spans_its_cell() {
    let text = "\u{FEFF}name,hip_girth,size\r\n\r\n\"Ilka, tall\",99,\r\nMaren, wide ,\r\n";
    let error = refused(text);
    assert_eq!(&text[error.span.start..error.span.end], "wide");
    let error = error.into_input_error(100);
    assert_eq!(error.key, "hip_girth");
    assert_eq!(
        error.span.map(|span| span.start),
        Some(100 + text.find("wide").unwrap())
    );
    let rows = read_csv(&text.replace("wide", "98"), Units::Centimetres, &[]).unwrap();
    let cell = rows[0].cells["hip_girth"];
    assert_eq!(&text[cell.start..cell.end], "99");
}

#[test]
fn every_row_at_fault_is_named() {
    let text = "name,hip_girth\nIlka,wide\nVeda,96\nRuna\n";
    let errors = read_csv(text, Units::Centimetres, &[]).unwrap_err();
    let lines: Vec<u64> = errors.iter().map(|error| error.line).collect();
    assert_eq!(lines, [2, 4]);
}

#[test]
fn a_file_of_another_kind_is_told_from_a_list_of_wearers() {
    for text in [
        "PK\u{3}\u{4} hello,\nabc",
        "{\"a\": 3,\n \"b\": [1, 2]}",
        "title = \"Skirt\"\nunits = \"cm\"\n",
    ] {
        let errors = read_csv(text, Units::Centimetres, &[]).unwrap_err();
        assert_eq!(errors.len(), 1, "{errors:?}");
        assert!(
            errors[0].what.contains("not a list of wearers"),
            "{errors:?}"
        );
    }
}

#[test]
fn a_file_too_large_is_refused_unread_with_the_limit() {
    assert_eq!(check_csv_size(LARGEST_CSV), Ok(()));
    let said = check_csv_size(50_000_000).unwrap_err().to_string();
    assert!(
        said.contains("50 MB") && said.contains("at most 4 MB"),
        "{said}"
    );
    assert!(read_csv(&"x".repeat(5_000_000), Units::Centimetres, &[]).is_err());
}

/// As many rows as fit into the largest file: each is placed only where it is at fault.
#[test]
fn the_largest_file_is_read_in_one_pass() {
    let mut text = String::from("name,hip_girth\n");
    text.extend((0..200_000).map(|n| format!("w{n},99\n")));
    assert_eq!(read(&text).len(), 200_000);
}

#[test]
fn a_column_of_a_persons_own_has_to_be_named() {
    let text = "name,cuff\nIlka,6 in\n";
    assert!(read_csv(text, Units::Centimetres, &[]).is_err());
    let rows = read_csv(text, Units::Centimetres, &["cuff"]).unwrap();
    assert_eq!(rows[0].wearer.measurement("cuff"), Some(Length::INCH * 6));
}

#[test]
fn another_skirt_length_is_pointed_out() {
    let mut wearer = Wearer::new("Bo");
    let cm = Length::from_cm(97);
    wearer.measurements.insert("skirt_length".into(), cm);
    let help = wearer.require("skirt_length_front").unwrap_err().help();
    assert_eq!(
        help,
        "Bo has a value for skirt_length: if the skirt is as long all round, give skirt_length_front the same"
    );
    let mut wearer = Wearer::new("Bo");
    wearer.measurements.insert("skirt_length_front".into(), cm);
    let help = wearer.require("skirt_length").unwrap_err().help();
    assert!(help.contains("give skirt_length the same"), "{help}");
    let help = wearer.require("hip_girth").unwrap_err().help();
    assert!(help.starts_with("give Bo a value for hip_girth."), "{help}");
}

proptest! {
    #[test]
    fn any_file_is_read_or_refused_at_a_place_in_it(rows in "(name|hip_girth|[-a-z0-9,;\"\t\r\n é\u{FEFF}]){0,40}") {
        for text in [rows.clone(), format!("name,hip_girth\n{rows}"), format!("name;hip_girth;size\n{rows}")] {
            for error in read_csv(&text, Units::Centimetres, &[]).err().unwrap_or_default() {
                prop_assert!(text.get(error.span.start..error.span.end).is_some());
                prop_assert!(error.line >= 1 && error.line <= 1 + text.matches('\n').count() as u64);
            }
        }
    }
}
