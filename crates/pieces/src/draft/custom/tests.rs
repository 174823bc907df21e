//! Custom drafts: what is drawn, and where errors point.

use std::collections::BTreeMap;

use super::*;
use crate::draft::tests::{fabric, ilka, list, number, table, text};
use crate::fabric::Drape;
use crate::outline::Point;
use crate::piece::Grain;
use crate::units::Units;

fn vest(piece: Vec<(&str, Value)>) -> Settings {
    let values = table(vec![
        ("ease", number("4")),
        ("half", text("(hip_girth + ease) / 2")),
    ]);
    table(vec![
        ("needs", list(vec![text("hip_girth"), text("elbow_reach")])),
        ("values", Value::Table(values)),
        ("piece", list(vec![Value::Table(table(piece))])),
    ])
}

fn draw(settings: &Settings) -> Result<Drafted, InputError> {
    let mut wearer = ilka();
    wearer
        .measurements
        .insert("elbow_reach".into(), crate::Length::from_cm(40));
    let linden = fabric("linden", 140, Drape::Crisp);
    let fabrics: BTreeMap<_, _> = [("linden".to_string(), linden.clone())]
        .into_iter()
        .collect();
    let brief = Brief {
        wearer: &wearer,
        settings,
        path: "make[1]",
        units: Units::Centimetres,
        shown_in: Units::Centimetres,
        fabric: &linden,
        fabrics: &fabrics,
        garment: 0,
    };
    crate::draft::find("custom").unwrap().draw(&brief)
}

fn corners(list_of: &[(&str, &str)]) -> Value {
    list(
        list_of
            .iter()
            .map(|(x, y)| list(vec![text(x), text(y)]))
            .collect(),
    )
}

#[test]
fn a_trapezoid_from_formulas_with_named_allowances() {
    let allowances = table(vec![
        ("hem", text("3")),
        ("side", text("1 + 0.5")),
        ("3", number("2")),
    ]);
    let drafted = draw(&vest(vec![
        ("name", text("back")),
        ("copies", number("2")),
        ("grain", text("crosswise")),
        ("shape", text("trapezoid")),
        ("width", text("half")),
        ("length", text("elbow_reach * 2")),
        ("flare", text("0")),
        (
            "edges",
            list(["hem", "side", "top", "side"].map(text).to_vec()),
        ),
        ("allowances", Value::Table(allowances)),
    ]))
    .unwrap();
    let piece = &drafted.pieces[0];
    assert_eq!(
        (piece.name.as_str(), piece.copies, piece.grain),
        ("back", 2, Grain::Crosswise)
    );
    // (101 + 4) / 2 = 52.5 and 80 cm finished; 1.5 cm at the sides, 3 + 2 below and above.
    let bounds = piece.cut.bounds();
    assert_eq!(
        (bounds.across().um(), bounds.along().um()),
        (555_000, 850_000)
    );
    assert_eq!(bounds.min, Point::new(-15_000, -30_000));
    assert_eq!(
        piece.hem.as_ref().unwrap().end(),
        Point::new(540_000, -30_000)
    );
}

#[test]
fn an_outline_drawn_either_way_round_is_the_same_piece() {
    let piece = |points: &[(&str, &str)], edges: [&str; 4]| {
        let allowances = table(vec![("low", text("3")), ("right", text("2"))]);
        let settings = vest(vec![
            ("name", text("flap")),
            ("outline", corners(points)),
            ("edges", list(edges.map(text).to_vec())),
            ("allowances", Value::Table(allowances)),
            ("hem", text("low")),
        ]);
        draw(&settings).unwrap().pieces.remove(0)
    };
    let one = piece(
        &[("0", "0"), ("half", "0"), ("half - 2", "10"), ("0", "10")],
        ["low", "right", "top", "left"],
    );
    let other = piece(
        &[("0", "0"), ("0", "10"), ("half - 2", "10"), ("half", "0")],
        ["left", "top", "right", "low"],
    );
    assert_eq!(one.cut.bounds(), other.cut.bounds());
    assert_eq!(one.cut.doubled_area(), other.cut.doubled_area());
    assert_eq!(one.hem, other.hem);
    assert_eq!(one.cut.bounds().min, Point::new(0, -30_000));
}

#[test]
fn errors_are_counted_and_point_at_their_formula() {
    let settings = vest(vec![
        ("name", text("back")),
        ("shape", text("rectangle")),
        ("width", text("haf")),
        ("length", text("half +")),
        ("allowance", text("grain")),
    ]);
    let errors = CustomDraft::read(&settings, "make[1]").unwrap_err();
    assert_eq!(errors.len(), 3);
    let first = draw(&settings).unwrap_err();
    assert_eq!(first.key, "make[1].piece[1].width");
    assert_eq!(
        first.what,
        "\"haf\" is not known here (the first of 3 errors in this draft)"
    );
    assert_eq!(first.help, "did you mean \"half\"?");
    // The third entry of the piece's table.
    assert_eq!(
        first.span,
        Some(crate::settings::Span {
            start: 125,
            end: 129
        })
    );
}

#[test]
fn impossible_pieces_are_told() {
    let rectangle = |width: &str, length: &str| {
        vest(vec![
            ("name", text("back")),
            ("shape", text("rectangle")),
            ("width", text(width)),
            ("length", text(length)),
        ])
    };
    let error = draw(&rectangle("half - 60", "10")).unwrap_err();
    assert!(error.what.contains("gives -7.5 cm"), "{error}");
    assert_eq!(error.key, "make[1].piece[1].width");
    assert!(
        draw(&rectangle("1 / (ease - 4)", "10"))
            .unwrap_err()
            .help
            .contains("ease = 4")
    );
    assert!(
        draw(&rectangle("half * 10000", "10"))
            .unwrap_err()
            .what
            .contains("kilometre")
    );
    let bow = vest(vec![
        ("name", text("bow")),
        (
            "outline",
            corners(&[("0", "0"), ("10", "10"), ("10", "0"), ("0", "12")]),
        ),
    ]);
    let error = draw(&bow).unwrap_err();
    assert!(
        error
            .what
            .contains("the edge after corner 1 meets the edge after corner 3"),
        "{error}"
    );
    assert_eq!(error.key, "make[1].piece[1].outline");
    let hem = vest(vec![
        ("name", text("flap")),
        ("outline", corners(&[("0", "0"), ("9", "0"), ("9", "9")])),
        ("hem", number("4")),
    ]);
    assert!(draw(&hem).unwrap_err().help.contains("from 1 to 3"));
}

#[test]
fn own_measurements_are_needed_by_name() {
    let settings = vest(vec![
        ("name", text("back")),
        ("shape", text("rectangle")),
        ("width", text("half")),
        ("length", text("elbow_reach")),
    ]);
    let draft = CustomDraft::from_settings(&settings, "").unwrap();
    assert_eq!(draft.needs(), ["hip_girth", "elbow_reach"]);
    assert_eq!(
        crate::draft::find("custom").unwrap().needs(&settings),
        ["hip_girth"]
    );
    assert!(
        CustomDraft::from_settings(&table(vec![]), "")
            .unwrap_err()
            .help
            .contains("[[piece]]")
    );
    let twice = table(vec![(
        "needs",
        list(vec![text("PI"), text("a"), text("a")]),
    )]);
    assert_eq!(CustomDraft::read(&twice, "").unwrap_err().len(), 2);
}
