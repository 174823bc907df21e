//! What holds for every draft, and the trade's own numbers for each.

use std::collections::BTreeMap;

use super::*;
use crate::fabric::{Direction, Drape};
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
    ) -> Result<Drafted, InputError> {
        let brief = Brief {
            wearer: &self.wearer,
            settings,
            path: "make[1]",
            units: self.units,
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
        self.draw_in("linden", draft, &table(entries)).unwrap_err()
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
                Err(error) => assert_eq!(fabric, "ribbon", "{draft} {entries:?}: {error}"),
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
fn panel_skirt_by_the_trade_rule() {
    // Common practice, no published source: 0.35 and 0.45 of the low waist girth, length + 2 cm.
    let drafted = Room::new().draw(
        "panel skirt",
        vec![("band", Value::Table(table(vec![("fabric", text("band"))])))],
    );
    let sizes: Vec<_> = drafted
        .pieces
        .iter()
        .map(|p| (p.name.as_str(), size(p), p.copies))
        .collect();
    assert_eq!(sizes[0], ("front panel", (308_000, 990_000), 1));
    assert_eq!(sizes[1], ("back panel", (396_000, 1_010_000), 1));
    // The casing: 8 cm by hip girth + 3 cm; 104 cm fits a usable width of 110 cm.
    assert_eq!(sizes[2], ("waistband casing", (1_040_000, 80_000), 1));
    assert_eq!(drafted.pieces[2].fabric, "band");
    assert_eq!(drafted.pieces[0].fabric, "linden");
    // Elastic: 88 cm where it sits + 2.5 cm overlap.
    assert_eq!(
        drafted.extras,
        [Extra {
            what: "elastic, 2.5 cm wide".into(),
            length: Length::from_mm(905)
        }]
    );
    let front = &drafted.pieces[0];
    assert_eq!(front.cut.points().len(), 4);
    assert_eq!(
        front.hem,
        Some(Path::open(&[Point::new(0, 0), Point::new(308_000, 0)]))
    );
    let named: Vec<_> = front
        .allowances
        .iter()
        .map(|a| (a.edge.as_str(), a.width.um()))
        .collect();
    assert_eq!(
        named,
        [("hem", 10_000), ("side hems", 10_000), ("top", 10_000)]
    );
}

#[test]
fn soft_panels_flare_on_each_side() {
    let room = Room::new();
    let drafted = room
        .draw_in("willow", "panel skirt", &table(vec![]))
        .unwrap();
    // The draft's own default: a tenth of the skirt length on each side.
    assert_eq!(size(&drafted.pieces[0]), (308_000 + 2 * 97_000, 990_000));
    assert_eq!(size(&drafted.pieces[1]), (396_000 + 2 * 99_000, 1_010_000));
    let crisp = room
        .draw_in(
            "willow",
            "panel skirt",
            &table(vec![("drape", text("crisp"))]),
        )
        .unwrap();
    assert_eq!(size(&crisp.pieces[0]), (308_000, 990_000));
    let eight = room
        .draw_in(
            "willow",
            "panel skirt",
            &table(vec![("flare", number("8"))]),
        )
        .unwrap();
    assert_eq!(size(&eight.pieces[0]).0, 308_000 + 160_000);
}

#[test]
fn more_panels_share_the_width_and_pay_for_their_sides() {
    let drafted = Room::new().draw("panel skirt", vec![("panels", number("4"))]);
    // (30.8 + 2) / 2 and (39.6 + 2) / 2 cm.
    assert_eq!(
        (size(&drafted.pieces[0]).0, drafted.pieces[0].copies),
        (164_000, 2)
    );
    assert_eq!(
        (size(&drafted.pieces[1]).0, drafted.pieces[1].copies),
        (208_000, 2)
    );
    let longer = Room::new().draw("panel skirt", vec![("back_longer", text("35 mm"))]);
    assert_eq!(size(&longer.pieces[1]).1, 990_000 + 35_000);
}

#[test]
fn casing_widths_of_the_handbooks() {
    let mut room = Room::new();
    room.units = Units::Inches;
    // Geometry: 2 (1 + 1/4) + 2 x 5/8 = 3 3/4 in.
    let drafted = room.draw("waistband casing", vec![("seam", text("5/8"))]);
    assert_eq!(size(&drafted.pieces[0]).1, 3 * 25_400 + 3 * 6_350);
    // Home-sewing guideline sheet 12.150: 1 in elastic with 1/4 in ease and a turn of 1/4 in takes
    // 1 1/2 in; half of a folded casing with seams of 1/4 in.
    let turned = room.draw("waistband casing", vec![("seam", text("1/4"))]);
    assert_eq!(size(&turned.pieces[0]).1, 2 * 38_100);
}

#[test]
fn a_joined_casing_keeps_its_joins_from_the_front() {
    let room = Room::new();
    let fits = |fabric| {
        room.draw_in(fabric, "waistband casing", &table(vec![]))
            .unwrap()
    };
    assert_eq!(fits("linden").pieces.len(), 1);
    // A ring of 104 - 2 cm in strips of at most 30 - 2: four of 25.5 + 2 cm.
    let joined = fits("ribbon");
    let found: Vec<_> = joined
        .pieces
        .iter()
        .map(|p| (p.name.as_str(), size(p).0, p.copies))
        .collect();
    assert_eq!(
        found,
        [
            ("waistband casing, front strip", 275_000, 1),
            ("waistband casing, strip", 275_000, 2),
            ("waistband casing, back strip", 275_000, 1),
        ]
    );
    let centre = |p: &Piece| {
        p.notches
            .iter()
            .filter(|n| n.kind == NotchKind::Centre)
            .count()
    };
    assert_eq!(
        joined.pieces.iter().map(centre).collect::<Vec<_>>(),
        [2, 0, 1]
    );
    let openings: Vec<i64> = joined.pieces[2]
        .notches
        .iter()
        .filter(|n| n.kind == NotchKind::Opening)
        .map(|n| n.at.x)
        .collect();
    assert_eq!(openings[1] - openings[0], 50_000);
    // Each of the three joins beyond the closing one costs two seams: 4 x 27.5 = 104 + 3 x 2 cm.
    let all: i64 = joined
        .pieces
        .iter()
        .map(|p| size(p).0 * i64::from(p.copies))
        .sum();
    assert_eq!(all, 1_040_000 + 3 * 20_000);
    let wide = vec![("join", number("9")), ("clear_front", number("12"))];
    let front = room.draw("waistband casing", wide);
    assert_eq!(size(&front.pieces[0]).0, 2 * 120_000 + 20_000);
    let error = room.refuse(
        "waistband casing",
        vec![("join", number("2")), ("clear_front", number("60"))],
    );
    assert_eq!(error.key, "make[1].clear_front");
}

#[test]
fn a_gore_by_geometry() {
    // Geometry: 72 / 6 + 2 x 1.5 = 15 cm and 240 / 6 + 3 = 43 cm.
    let entries = vec![
        ("sweep", number("240")),
        ("seam", number("1.5")),
        ("length", number("74.5")),
        ("top", number("0")),
        ("hem", number("0")),
    ];
    let drafted = Room::new().draw("gored skirt", entries);
    let gore = &drafted.pieces[0];
    assert_eq!(gore.copies, 6);
    let expected = [(0, 0), (430_000, 0), (290_000, 745_000), (140_000, 745_000)];
    assert_eq!(gore.cut.points(), expected.map(|(x, y)| Point::new(x, y)));
    // With allowances above and below, the finished lines stay 12 and 40 cm.
    let entries = vec![
        ("sweep", number("240")),
        ("seam", number("1.5")),
        ("top", number("2")),
        ("hem", number("4")),
    ];
    let gore = &Room::new().draw("gored skirt", entries).pieces[0];
    let corners: Vec<Point> = gore.finished[0].stretches().map(|(p, _)| p).collect();
    assert_eq!(corners[1].x - corners[0].x, 400_000);
    assert_eq!(corners[2].x - corners[3].x, 120_000);
    assert_eq!(size(gore).1, 600_000 + 60_000);
}

#[test]
fn a_full_circle_takes_its_square() {
    // Geometry: W 72, L 60, hem and waist seam 1.5 cm: radii 9.959 and 72.959, square 145.918 cm.
    let entries = || {
        vec![
            ("hem", number("1.5")),
            ("waist_seam", number("1.5")),
            ("seam", number("1.5")),
        ]
    };
    let drafted = Room::new().draw("circle skirt", entries());
    let circle = &drafted.pieces[0];
    let (across, along) = size(circle);
    assert!(
        (across as f64 / 10_000.0 - 145.918).abs() < 0.001,
        "{across}"
    );
    assert_eq!(across, along);
    assert!(across <= 1_500_000 && across > 1_400_000);
    assert!(circle.cut.is_convex());
    let hole = circle.cut_outs[0].length_um() / std::f64::consts::TAU / 10_000.0;
    assert!((hole - 9.959).abs() < 0.001, "{hole}");
    // In two halves with 1.5 cm on the straight edges: as wide, and 1.5 cm deeper than a half.
    let mut halves = entries();
    halves.push(("sectors", number("2")));
    let half = &Room::new().draw("circle skirt", halves).pieces[0];
    assert_eq!(half.copies, 2);
    let (across, along) = size(half);
    assert!(
        (across as f64 / 10_000.0 - 145.918).abs() < 0.001,
        "{across}"
    );
    assert!(
        (along as f64 / 10_000.0 - (72.959 + 1.5)).abs() < 0.001,
        "{along}"
    );
    // The finished waist of both halves is the waist: pi r on each.
    let waist = half.finished[0].segments[2];
    let arc = Path {
        start: half.finished[0].segments[1].to(),
        segments: vec![waist],
    };
    assert!((arc.length_um() / 10_000.0 - 36.0).abs() < 0.001);
}

#[test]
fn tiers_and_ruffles_by_the_ratio() {
    // Geometry: 72 x 1.5 = 108, 162, 243 cm; a usable width of 140 with 1 cm seams holds 138.
    let drafted = Room::new().draw("gathered skirt", vec![("tiers", number("3"))]);
    let rings: Vec<_> = drafted
        .pieces
        .iter()
        .map(|p| (i64::from(p.copies) * (size(p).0 - 20_000), p.copies))
        .collect();
    assert_eq!(rings, [(1_080_000, 1), (1_620_000, 2), (2_430_000, 2)]);
    assert!(drafted.pieces[0].hem.is_none() && drafted.pieces[2].hem.is_some());
    // 240 cm x 2 = 480 cm, 480 / 138 = 3.48: four strips.
    let ruffle = Room::new().draw(
        "ruffle",
        vec![("edge", number("240")), ("fullness", number("2"))],
    );
    assert_eq!(
        (ruffle.pieces[0].copies, size(&ruffle.pieces[0]).0),
        (4, 1_200_000 + 20_000)
    );
    let full = vec![
        ("edge", number("240")),
        ("fullness", number("2")),
        ("full_widths", Value::Flag(true)),
    ];
    assert_eq!(
        size(&Room::new().draw("ruffle", full).pieces[0]).0,
        1_400_000
    );
}

#[test]
fn a_bias_sash_fits_across_the_cloth() {
    let drafted = Room::new().draw("sash", vec![("cut", text("bias"))]);
    let usable = Length::from_cm(140);
    for piece in &drafted.pieces {
        assert_eq!(piece.grain, Grain::Bias);
        assert!(
            piece.on_grain().bounds().across() <= usable,
            "{}",
            piece.on_grain().bounds().across()
        );
    }
    // Girth 72 + 2 x 60 = 192 cm, cut 194 by 18: across the bias (194 + 18) / sqrt 2 = 149.9 > 140.
    assert_eq!(drafted.pieces[0].copies, 2);
    assert_eq!(size(&drafted.pieces[0]), (980_000, 180_000));
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
        ("ruffle", vec![("edge", text("9 km"))], "edge"),
        (
            "rectangle",
            vec![("width", number("0")), ("length", number("3"))],
            "width",
        ),
        (
            "rectangle",
            vec![("width", number("5")), ("length", text("2 km"))],
            "length",
        ),
        ("apron", vec![("width", number("0"))], "width"),
    ];
    for (draft, entries, key) in cases {
        let error = room.refuse(draft, entries);
        assert_eq!(error.key, format!("make[1].{key}"), "{error}");
        assert!(error.span.is_some() && !error.what.is_empty(), "{error}");
        assert!(!error.help.is_empty(), "{error}");
    }
}
