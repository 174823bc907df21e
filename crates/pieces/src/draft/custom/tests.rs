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

fn refuse(settings: &Settings) -> InputError {
    let errors = draw(settings).unwrap_err();
    assert_eq!(errors.len(), 1, "{errors:?}");
    errors[0].clone()
}

fn draw(settings: &Settings) -> Result<Drafted, Vec<InputError>> {
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
    let errors = draw(&settings).unwrap_err();
    let keys: Vec<&str> = errors.iter().map(|error| error.key.as_str()).collect();
    assert_eq!(
        keys,
        ["width", "length", "allowance"].map(|key| format!("make[1].piece[1].{key}"))
    );
    assert_eq!(errors[0].what, "\"haf\" is not known here");
    assert_eq!(errors[0].help, "did you mean \"half\"?");
    // The third entry of the piece's table.
    assert_eq!(
        errors[0].span,
        Some(crate::settings::Span {
            start: 125,
            end: 129
        })
    );
}

#[test]
fn a_measurement_that_is_not_among_the_needs_is_to_be_added() {
    let rectangle = |width: &str| {
        refuse(&vest(vec![
            ("name", text("back")),
            ("shape", text("rectangle")),
            ("width", text(width)),
            ("length", text("10")),
        ]))
    };
    // "hip_girth" is needed and like it, but this is another measurement of the catalogue.
    assert_eq!(
        rectangle("low_hip_girth").help,
        "did you mean \"hip_girth\"?"
    );
    assert_eq!(
        rectangle("waist_girth").help,
        "add \"waist_girth\" to needs"
    );
    assert!(rectangle("hip_girth / 0").what.contains("divides by zero"));
    assert!(rectangle("sqrt(0 - ease)").what.contains("gives no number"));
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
    let error = refuse(&rectangle("half - 60", "10"));
    assert!(error.what.contains("gives -7.5 cm (for Ilka)"), "{error}");
    let errors = draw(&rectangle("half - 60", "0")).unwrap_err();
    assert_eq!(errors.len(), 2, "{errors:?}");
    assert_eq!(error.key, "make[1].piece[1].width");
    assert!(
        refuse(&rectangle("1 / (ease - 4)", "10"))
            .help
            .contains("ease = 4")
    );
    assert!(
        refuse(&rectangle("half * 10000", "10"))
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
    let error = refuse(&bow);
    assert!(
        error
            .what
            .contains("the edge after corner 1 crosses the edge after corner 3"),
        "{error}"
    );
    assert_eq!(error.key, "make[1].piece[1].outline");
    let hem = vest(vec![
        ("name", text("flap")),
        ("outline", corners(&[("0", "0"), ("9", "0"), ("9", "9")])),
        ("hem", number("4")),
    ]);
    assert!(refuse(&hem).help.contains("from 1 to 3"));
}

#[test]
fn own_measurements_are_needed_by_name() {
    let settings = vest(vec![
        ("name", text("back")),
        ("shape", text("rectangle")),
        ("width", text("half")),
        ("length", text("elbow_reach")),
    ]);
    let custom = crate::draft::find("custom").unwrap();
    let own = custom.own_needs(&settings);
    assert_eq!(own.len(), 1);
    assert_eq!((own[0].key.as_str(), &own[0].how), ("elbow_reach", &None));
    assert_eq!(custom.needs(&settings), ["hip_girth"]);
    let no_piece = CustomDraft::read(&table(vec![]), "").unwrap_err();
    assert!(no_piece[0].help.contains("[[piece]]"));
    let twice = table(vec![(
        "needs",
        list(vec![text("PI"), text("a"), text("a")]),
    )]);
    assert_eq!(CustomDraft::read(&twice, "").unwrap_err().len(), 2);
}

#[test]
fn needs_may_say_how_to_take_a_measurement() {
    let reach = table(vec![
        ("name", text("elbow_reach")),
        ("how", text("From the shoulder to the elbow, arm bent.")),
    ]);
    let needs = |one: Settings| table(vec![("needs", list(vec![Value::Table(one)]))]);
    let own = crate::draft::find("custom")
        .unwrap()
        .own_needs(&needs(reach));
    let missing = ilka().require_own("elbow_reach", own[0].how.as_deref());
    assert_eq!(
        missing.unwrap_err().help(),
        "give Ilka a value for elbow_reach. From the shoulder to the elbow, arm bent"
    );
    let nameless = table(vec![("how", text("somehow"))]);
    let errors = CustomDraft::read(&needs(nameless), "").unwrap_err();
    assert_eq!(errors[0].key, "needs[1]");
}

#[test]
fn an_outline_that_folds_back_is_refused() {
    let outline =
        |points: &[(&str, &str)]| vest(vec![("name", text("flap")), ("outline", corners(points))]);
    let spike = [
        ("0", "0"),
        ("10", "0"),
        ("20", "0"),
        ("10", "0"),
        ("10", "8"),
    ];
    let error = refuse(&outline(&spike));
    assert!(
        error.what.contains("at corner 3 the edge runs back"),
        "{error}"
    );
    let twice = [("0", "0"), ("10", "0"), ("half - 42.5", "0"), ("10", "8")];
    let error = refuse(&outline(&twice));
    assert!(
        error.what.contains("corners 2 and 3 are in the same place"),
        "{error}"
    );
    let flat = [("0", "0"), ("10", "0"), ("20", "0")];
    assert!(refuse(&outline(&flat)).what.contains("runs back"));
}

#[test]
fn a_faulty_outline_is_counted_by_its_own_corners() {
    let triple = list(["9", "0", "3"].map(text).to_vec());
    let outline = list(vec![
        list(vec![text("0"), text("0")]),
        triple,
        list(vec![text("9"), text("9")]),
    ]);
    let notches = Value::Table(table(vec![("4", text("side"))]));
    let piece = vec![
        ("name", text("flap")),
        ("outline", outline),
        ("notches", notches),
    ];
    let errors = draw(&vest(piece)).unwrap_err();
    assert_eq!(errors.len(), 2, "{errors:?}");
    assert!(errors[1].help.contains("from 1 to 3"), "{}", errors[1]);
}

#[test]
fn notches_stand_at_corners_of_either_walk() {
    let piece = |points: &[(&str, &str)], corner: &str| {
        let settings = vest(vec![
            ("name", text("flap")),
            ("outline", corners(points)),
            ("allowance", number("1")),
            ("notches", Value::Table(table(vec![(corner, text("side"))]))),
        ]);
        draw(&settings).map(|mut drafted| drafted.pieces.remove(0).notches)
    };
    // The middle of the right edge; 1 cm out is where it is chalked.
    let one = piece(
        &[("0", "0"), ("9", "0"), ("9", "4"), ("9", "8"), ("0", "8")],
        "3",
    )
    .unwrap();
    assert_eq!(one[0].at, Point::new(100_000, 40_000));
    assert_eq!(one[0].label, "side");
    let other = piece(
        &[("0", "0"), ("0", "8"), ("9", "8"), ("9", "4"), ("9", "0")],
        "4",
    )
    .unwrap();
    assert_eq!(one, other);
    let errors = piece(&[("0", "0"), ("9", "0"), ("9", "4")], "4").unwrap_err();
    assert_eq!(errors[0].key, "make[1].piece[1].notches.4");
}

/// A front by its outline, on cloth without direction.
fn fronts(outline: &[(&str, &str)], more: Vec<(&str, Value)>) -> Result<Drafted, Vec<InputError>> {
    let mut piece = vec![("name", text("front")), ("outline", corners(outline))];
    piece.extend(more);
    draw(&vest(piece))
}

const SLANTED: [(&str, &str); 4] = [("0", "0"), ("9", "0"), ("7", "8"), ("0", "6")];

#[test]
fn a_pair_is_one_left_and_one_right() {
    let notches = || Value::Table(table(vec![("3", text("neck"))]));
    let more = vec![("pair", Value::Flag(true)), ("notches", notches())];
    let drafted = fronts(&SLANTED, more).unwrap();
    let [one, other] = drafted.pieces.as_slice() else {
        panic!("{drafted:?}");
    };
    assert_eq!((one.copies, other.copies), (1, 1));
    assert_eq!(
        (one.name.as_str(), other.name.as_str()),
        ("front", "front, mirrored")
    );
    // Geometry: left becomes right, heights stay, and so does the area.
    let flipped = |p: Point| Point::new(-p.x, p.y);
    assert_eq!(other.notches[0].at, flipped(one.notches[0].at));
    assert_eq!(other.cut.doubled_area(), one.cut.doubled_area());
    for corner in one.cut.points() {
        assert!(other.cut.points().contains(&flipped(*corner)));
    }
    assert_eq!(drafted.notes, [""; 0]);

    let more = vec![("pair", Value::Flag(true)), ("copies", number("6"))];
    let six = fronts(&SLANTED, more).unwrap().pieces;
    assert_eq!(six.iter().map(|p| p.copies).collect::<Vec<_>>(), [3, 3]);
    let more = vec![("pair", Value::Flag(true)), ("copies", number("3"))];
    let odd = fronts(&SLANTED, more).unwrap_err();
    assert_eq!(odd[0].key, "make[1].piece[1].copies");
    assert!(odd[0].help.contains("copies = 4"), "{}", odd[0]);
}

#[test]
fn copies_that_differ_left_and_right_are_asked_about() {
    let notes = |outline: &[(&str, &str)], copies: &str| {
        let drafted = fronts(outline, vec![("copies", number(copies))]).unwrap();
        assert_eq!(drafted.pieces.len(), 1);
        drafted.notes
    };
    let asked = notes(&SLANTED, "2");
    assert!(asked[0].contains("pair = true"), "{asked:?}");
    assert_eq!(notes(&SLANTED, "1"), [""; 0]);
    // The same mirrored: a trapezoid, though its corners come out of sums; the same turned: one lying
    // on its side.
    let upright = [("0", "0"), ("0.3", "0"), ("0.1 + 0.1", "8"), ("0.1", "8")];
    assert_eq!(notes(&upright, "2"), [""; 0]);
    let lying = [("0", "0"), ("9", "2"), ("9", "6"), ("0", "8")];
    assert_eq!(notes(&lying, "2"), [""; 0]);
}
