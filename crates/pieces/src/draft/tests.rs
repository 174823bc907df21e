//! What holds for every draft; the trade's own numbers are in [`trade`].

mod trade;

use std::collections::BTreeMap;

use super::*;
use crate::fabric::{Cutting, Direction, Drape};
use crate::outline::Point;
use crate::path::{Path, Segment, tests::off};
use crate::piece::{Grain, NotchKind};
use crate::settings::{Entry, Setting, Span, Value};

/// Rounding of a mark or finished corner to whole micrometres on a slanted edge.
const ROUNDING: f64 = 1.5;

pub(super) fn text(text: &str) -> Value {
    Value::Text(text.into())
}

pub(super) fn number(number: &str) -> Value {
    Value::Number(number.into())
}

pub(super) fn list(values: Vec<Value>) -> Value {
    Value::List(values.into_iter().map(at).collect())
}

fn at(value: Value) -> Setting {
    Setting {
        value,
        span: Span { start: 40, end: 50 },
    }
}

/// A table whose entries stand one after the other, ten bytes each.
pub(super) fn table(entries: Vec<(&str, Value)>) -> Settings {
    let entry = |(i, (key, value)): (usize, (&str, Value))| Entry {
        key: key.into(),
        key_span: Span {
            start: 100 + 10 * i,
            end: 104 + 10 * i,
        },
        setting: Setting {
            value,
            span: Span {
                start: 105 + 10 * i,
                end: 109 + 10 * i,
            },
        },
    };
    Settings {
        entries: entries.into_iter().enumerate().map(entry).collect(),
        span: Span { start: 1, end: 2 },
    }
}

pub(super) fn fabric(name: &str, width_cm: i64, drape: Drape) -> Fabric {
    Fabric {
        name: name.into(),
        width: Length::from_cm(width_cm),
        selvedge: Length::ZERO,
        direction: Direction::None,
        drape,
        faces_alike: false,
        shrinkage_ppm: 0,
        end_allowance: Length::ZERO,
        selling_step: Length::from_cm(10),
        spacing: Length::ZERO,
        cutting: Cutting::Free,
        price: None,
        on_hand: Vec::new(),
    }
}

pub(super) fn ilka() -> Wearer {
    let cm = [
        ("waist_girth", 72),
        ("low_waist_girth", 88),
        ("hip_girth", 101),
        ("skirt_length", 60),
        ("skirt_length_front", 97),
        ("skirt_length_back", 99),
    ];
    let mut wearer = Wearer {
        name: "Ilka".into(),
        ..Wearer::default()
    };
    for (key, cm) in cm {
        wearer.measurements.insert(key.into(), Length::from_cm(cm));
    }
    wearer
}

struct Room {
    wearer: Wearer,
    fabrics: BTreeMap<String, Fabric>,
    units: Units,
}

impl Room {
    fn new() -> Self {
        let all = [
            fabric("linden", 140, Drape::Crisp),
            fabric("willow", 140, Drape::Soft),
            fabric("band", 110, Drape::Crisp),
            fabric("ribbon", 30, Drape::Crisp),
        ];
        let fabrics = all.into_iter().map(|f| (f.name.clone(), f)).collect();
        Room {
            wearer: ilka(),
            fabrics,
            units: Units::Centimetres,
        }
    }

    fn draw_in(
        &self,
        fabric: &str,
        draft: &str,
        settings: &Settings,
    ) -> Result<Drafted, Vec<InputError>> {
        let brief = Brief {
            wearer: &self.wearer,
            settings,
            path: "make[1]",
            units: self.units,
            shown_in: self.units,
            fabric: &self.fabrics[fabric],
            fabrics: &self.fabrics,
            garment: 3,
        };
        find(draft).unwrap().draw(&brief)
    }

    fn draw(&self, draft: &str, entries: Vec<(&str, Value)>) -> Drafted {
        self.draw_in("linden", draft, &table(entries)).unwrap()
    }

    fn refuse(&self, draft: &str, entries: Vec<(&str, Value)>) -> InputError {
        let errors = self.draw_in("linden", draft, &table(entries)).unwrap_err();
        assert_eq!(errors.len(), 1, "{errors:?}");
        errors[0].clone()
    }
}

fn size(piece: &Piece) -> (i64, i64) {
    let bounds = piece.cut.bounds();
    (bounds.across().um(), bounds.along().um())
}

/// Samples of a path: corners and points between, arcs included.
fn samples(path: &Path) -> Vec<(f64, f64)> {
    let mut all = vec![(path.start.x as f64, path.start.y as f64)];
    for (from, segment) in path.stretches() {
        for i in 1..=16 {
            let t = f64::from(i) / 16.0;
            all.push(match segment {
                Segment::Line { to } => (
                    from.x as f64 + (to.x - from.x) as f64 * t,
                    from.y as f64 + (to.y - from.y) as f64 * t,
                ),
                Segment::Arc {
                    to,
                    centre,
                    counter_clockwise,
                } => {
                    let polar = |p: Point| {
                        let d = p.minus(centre);
                        (
                            (d.y as f64).atan2(d.x as f64),
                            (d.x as f64).hypot(d.y as f64),
                        )
                    };
                    let ((a, r), (b, _)) = (polar(from), polar(to));
                    let full = std::f64::consts::TAU;
                    let turn = if counter_clockwise {
                        (b - a).rem_euclid(full)
                    } else {
                        -(a - b).rem_euclid(full)
                    };
                    let phase = a + turn * t;
                    (
                        centre.x as f64 + r * phase.cos(),
                        centre.y as f64 + r * phase.sin(),
                    )
                }
            });
        }
    }
    all
}

fn inside(piece: &Piece, (x, y): (f64, f64)) -> bool {
    let mut winding = 0;
    for (a, b) in piece.cut.edges() {
        let (ax, ay, bx, by) = (a.x as f64, a.y as f64, b.x as f64, b.y as f64);
        let side = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
        if ay <= y && by > y && side > 0.0 {
            winding += 1;
        } else if ay > y && by <= y && side < 0.0 {
            winding -= 1;
        }
    }
    winding != 0 || off(&Path::closed(piece.cut.points()), (x, y)) <= ROUNDING
}

fn check(piece: &Piece, room: &Room) {
    let name = &piece.name;
    assert!(room.fabrics.contains_key(&piece.fabric), "{name}");
    assert_eq!((piece.garment, piece.wearer.as_deref()), (3, Some("Ilka")));
    assert!(piece.copies >= 1 && piece.cut_path.is_closed(), "{name}");
    assert!(!piece.finished.is_empty());
    for path in piece
        .finished
        .iter()
        .chain(&piece.cut_outs)
        .chain([&piece.cut_path])
    {
        for p in samples(path) {
            assert!(inside(piece, p), "{name}: {p:?} lies outside the cut edge");
        }
    }
    for p in piece.hem.iter().flat_map(samples) {
        let off = off(&piece.cut_path, p);
        assert!(
            off <= ROUNDING,
            "{name}: the hem is {off} um off the cut edge at {p:?}"
        );
    }
    for notch in &piece.notches {
        let p = (notch.at.x as f64, notch.at.y as f64);
        let nearest = piece
            .cut_outs
            .iter()
            .chain([&piece.cut_path])
            .map(|path| off(path, p));
        let nearest = nearest.fold(f64::INFINITY, f64::min);
        assert!(
            nearest <= ROUNDING,
            "{name}: notch {notch:?} is {nearest} um off"
        );
    }
    for guide in &piece.guides {
        assert!(
            samples(&guide.path).into_iter().all(|p| inside(piece, p)),
            "{name}: {}",
            guide.label
        );
    }
    // Finished and cut edge are apart by the least allowance, or touch where one edge has none.
    let least = piece
        .allowances
        .iter()
        .map(|a| a.width.um())
        .min()
        .unwrap_or(0);
    assert!(
        piece
            .allowances
            .iter()
            .all(|a| a.width.is_positive() && !a.edge.is_empty()),
        "{name}"
    );
    let apart = piece
        .finished
        .iter()
        .flat_map(samples)
        .map(|p| off(&piece.cut_path, p));
    let apart = apart.fold(f64::INFINITY, f64::min);
    // Gores take their seams across a slant of at most 45 degrees.
    let kept = apart >= least as f64 * 0.7 - ROUNDING || apart <= ROUNDING;
    assert!(
        kept,
        "{name}: finished and cut edge are {apart} um apart, allowances {least}"
    );
    assert!(piece.cut.doubled_area() > 0);
    assert!(piece.on_grain().doubled_area() >= piece.cut.doubled_area());
}

#[test]
fn every_draft_draws_sound_pieces_with_varied_settings() {
    let band = |entries| Value::Table(table(entries));
    let cases: Vec<(&str, Vec<(&str, Value)>)> = vec![
        ("panel skirt", vec![]),
        (
            "panel skirt",
            vec![("band", band(vec![("fabric", text("band"))]))],
        ),
        (
            "panel skirt",
            vec![("drape", text("soft")), ("flare", number("12.3457"))],
        ),
        (
            "panel skirt",
            vec![
                ("panels", number("5")),
                ("sides", text("sewn")),
                ("drape", text("soft")),
            ],
        ),
        (
            "panel skirt",
            vec![
                ("back_longer", number("-4")),
                ("hem", number("0")),
                ("top", number("2")),
            ],
        ),
        ("waistband casing", vec![]),
        ("waistband casing", vec![("join", number("2"))]),
        (
            "waistband casing",
            vec![("join", number("3")), ("elastic", number("4"))],
        ),
        (
            "waistband casing",
            vec![("join", number("4")), ("opening", text("60 mm"))],
        ),
        (
            "waistband casing",
            vec![("join", text("never")), ("sits_at", text("waist_girth"))],
        ),
        ("gored skirt", vec![]),
        (
            "gored skirt",
            vec![
                ("gores", number("7")),
                ("sweep", number("333.3333")),
                ("seam", number("1.5")),
            ],
        ),
        (
            "gored skirt",
            vec![
                ("sweep", number("72")),
                ("hem", number("5")),
                ("ease", number("0")),
            ],
        ),
        (
            "gored skirt",
            vec![("sits_at", text("hip_girth")), ("band", band(vec![]))],
        ),
        ("circle skirt", vec![]),
        ("circle skirt", vec![("sectors", number("2"))]),
        (
            "circle skirt",
            vec![("sectors", number("3")), ("hem", number("2"))],
        ),
        ("circle skirt", vec![("part", text("three-quarter"))]),
        (
            "circle skirt",
            vec![
                ("part", text("three-quarter")),
                ("grain", text("straight edge")),
            ],
        ),
        (
            "circle skirt",
            vec![("sectors", number("5")), ("grain", text("straight edge"))],
        ),
        ("circle skirt", vec![("part", text("half"))]),
        (
            "circle skirt",
            vec![
                ("part", text("quarter")),
                ("seam", number("2.5")),
                ("waist_seam", number("0")),
            ],
        ),
        (
            "circle skirt",
            vec![
                ("part", text("half")),
                ("sectors", number("5")),
                ("ease", number("3")),
            ],
        ),
        ("gathered skirt", vec![]),
        (
            "gathered skirt",
            vec![("tiers", number("3")), ("full_widths", Value::Flag(true))],
        ),
        (
            "gathered skirt",
            vec![
                ("fullness", number("2.7")),
                ("length", number("33.333")),
                ("band", band(vec![])),
            ],
        ),
        (
            "ruffle",
            vec![("edge", number("240")), ("fullness", number("2"))],
        ),
        (
            "ruffle",
            vec![
                ("edge", number("31")),
                ("closed", Value::Flag(false)),
                ("depth", number("4")),
            ],
        ),
        ("sash", vec![]),
        (
            "sash",
            vec![("ends", text("pointed")), ("join", text("never"))],
        ),
        (
            "sash",
            vec![
                ("ends", text("pointed")),
                ("folded", Value::Flag(false)),
                ("join", number("3")),
            ],
        ),
        (
            "sash",
            vec![
                ("cut", text("bias")),
                ("width", number("6")),
                ("ends", text("pointed")),
            ],
        ),
        (
            "ties",
            vec![("count", number("6")), ("width", number("1.25"))],
        ),
        ("apron", vec![]),
        (
            "apron",
            vec![
                ("flare", number("7")),
                ("bib", band(vec![("top_width", number("19"))])),
            ],
        ),
        (
            "rectangle",
            vec![("width", number("50")), ("length", number("80"))],
        ),
        (
            "rectangle",
            vec![
                ("width", number("50")),
                ("length", number("8")),
                ("grain", text("bias")),
                ("hem", number("3")),
            ],
        ),
        (
            "trapezoid",
            vec![
                ("top_width", number("15")),
                ("hem_width", number("43")),
                ("length", number("74.5")),
            ],
        ),
        (
            "trapezoid",
            vec![
                ("top_width", number("43")),
                ("hem_width", number("15.0001")),
                ("length", number("74.5")),
                ("side", number("1.5")),
            ],
        ),
    ];
    let room = Room::new();
    for (draft, entries) in &cases {
        let settings = table(entries.clone());
        for fabric in ["linden", "willow", "ribbon"] {
            // Narrow ribbon cannot be joined to everything; wide cloth takes all.
            match room.draw_in(fabric, draft, &settings) {
                Ok(drafted) => {
                    assert!(!drafted.pieces.is_empty());
                    drafted.pieces.iter().for_each(|piece| check(piece, &room));
                    assert!(drafted.extras.iter().all(|e| e.length.is_positive()));
                }
                Err(error) => assert_eq!(fabric, "ribbon", "{draft} {entries:?}: {error:?}"),
            }
        }
    }
    for draft in all().iter().filter(|d| d.name() != "custom") {
        assert!(
            cases.iter().any(|(name, _)| *name == draft.name()),
            "{} is not tried",
            draft.name()
        );
    }
}

#[test]
fn every_draft_tells_what_it_needs_and_takes() {
    let room = Room::new();
    for draft in all() {
        assert_eq!(find(draft.name()).unwrap().name(), draft.name());
        let lines: Vec<&str> = draft.sketch().trim_matches('\n').lines().collect();
        assert!(!lines.is_empty() && lines.len() <= 14, "{}", draft.name());
        assert!(
            lines.iter().all(|l| l.is_ascii() && l.len() <= 60),
            "{}",
            draft.name()
        );
        assert!(!draft.summary().is_empty());
        for need in draft.needs(&Settings::default()) {
            assert!(crate::measurement::find(need).is_some(), "{need}");
        }
        // An option that is not declared is refused, and the nearest one named.
        let first = draft.options()[0].key;
        let slip = format!("{first}x");
        let error = room.refuse(draft.name(), vec![(&slip, number("1"))]);
        assert_eq!(error.key, format!("make[1].{slip}"));
        assert!(error.help.contains(first), "{error}");
        assert_eq!(
            error.span,
            Some(Span {
                start: 100,
                end: 104
            })
        );
    }
    assert_eq!(nearest("panel skrit"), Some("panel skirt"));
    assert!(find("no such draft").is_none());
}

#[test]
fn a_missing_measurement_is_asked_for() {
    let mut room = Room::new();
    room.wearer.measurements.clear();
    for draft in all()
        .iter()
        .filter(|d| !d.needs(&Settings::default()).is_empty())
    {
        let error = room.refuse(draft.name(), vec![]);
        assert!(
            error.what.contains("Ilka") && !error.help.is_empty(),
            "{error}"
        );
        let asked = draft.needs(&Settings::default());
        assert!(
            asked
                .iter()
                .any(|key| error.key == format!("wearer.Ilka.{key}")),
            "{error}"
        );
    }
}

#[test]
fn what_cannot_be_drawn_is_told_where_it_is_set() {
    let room = Room::new();
    let cases = [
        ("gored skirt", vec![("sweep", number("50"))], "sweep"),
        ("gored skirt", vec![("gores", number("2"))], "gores"),
        (
            "circle skirt",
            vec![("waist_seam", number("12"))],
            "waist_seam",
        ),
        (
            "circle skirt",
            vec![("sectors", number("24")), ("seam", number("2"))],
            "seam",
        ),
        ("panel skirt", vec![("side", number("20"))], "front_width"),
        ("panel skirt", vec![("flare", number("-3"))], "flare"),
        (
            "panel skirt",
            vec![("back_longer", number("-97"))],
            "back_longer",
        ),
        ("panel skirt", vec![("drape", text("sof"))], "drape"),
        (
            "panel skirt",
            vec![("band", Value::Table(table(vec![("fabric", text("bnad"))])))],
            "band.fabric",
        ),
        (
            "panel skirt",
            vec![("band", Value::Table(table(vec![("elastik", number("3"))])))],
            "band.elastik",
        ),
        (
            "waistband casing",
            vec![("opening", number("200"))],
            "opening",
        ),
        ("waistband casing", vec![("join", text("maybe"))], "join"),
        (
            "gathered skirt",
            vec![("fullness", number("0.5"))],
            "fullness",
        ),
        ("ruffle", vec![], "edge"),
        (
            "sash",
            vec![("ends", text("pointed")), ("length", number("10"))],
            "ends",
        ),
        ("ruffle", vec![("edge", text("9000 m"))], "join"),
        (
            "rectangle",
            vec![("width", number("0")), ("length", number("3"))],
            "width",
        ),
        (
            "rectangle",
            vec![("width", number("5")), ("length", text("2000 m"))],
            "length",
        ),
        ("apron", vec![("width", number("0"))], "width"),
        ("ties", vec![("seam", text("8000 m"))], "width"),
    ];
    for (draft, entries, key) in cases {
        let error = room.refuse(draft, entries);
        assert_eq!(error.key, format!("make[1].{key}"), "{error}");
        assert!(error.span.is_some() && !error.what.is_empty(), "{error}");
        assert!(!error.help.is_empty(), "{error}");
    }
}
