//! The numbers of the trade, draft by draft, each with its source.

use super::*;

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
            ("front strip of the waistband casing", 275_000, 1),
            ("strip of the waistband casing", 275_000, 2),
            ("back strip of the waistband casing", 275_000, 1),
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
    // Seam edges of neighbouring gores are equally long, and their notches meet.
    let sides: Vec<f64> = gore
        .cut
        .edges()
        .map(|(a, b)| Path::open(&[a, b]).length_um())
        .collect();
    assert!((sides[1] - sides[3]).abs() < 1e-6);
    let seams: Vec<i64> = gore
        .notches
        .iter()
        .filter(|n| n.label == "seam")
        .map(|n| n.at.y)
        .collect();
    assert_eq!(seams[0], seams[1]);
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
fn a_casing_goes_round_the_larger_girth() {
    // Geometry: a ring goes round what it sits on. 110 + 3 cm where the low waist is the larger girth.
    let mut room = Room::new();
    for (key, cm) in [("low_waist_girth", 110), ("hip_girth", 100)] {
        let girth = Length::from_cm(cm);
        room.wearer.measurements.insert(key.into(), girth);
    }
    let drafted = room.draw("waistband casing", vec![]);
    assert_eq!(size(&drafted.pieces[0]).0, 1_130_000);
    assert!(drafted.notes[0].contains("low waist girth of 110 cm"));
    // Seams of 2 cm would leave 113 - 4 = 109 cm: the strip is made longer.
    let wide_seams = room.draw("waistband casing", vec![("seam", number("2"))]);
    assert_eq!(size(&wide_seams.pieces[0]).0, 1_140_000);
    let short = room.draw("waistband casing", vec![("extra", number("0"))]);
    assert!(short.notes[1].contains("less than the low waist girth"));
}

#[test]
fn the_top_of_a_skirt_with_a_band_passes_the_hips() {
    // Geometry: an opened waist passes the hips if it is no shorter than the hip girth of 101 cm; the
    // casing is 101 + 3 - 2 = 102 cm round, and the top edge is sewn to all of it.
    let band = || vec![("band", Value::Table(table(vec![])))];
    let room = Room::new();
    let gore = &room.draw("gored skirt", band()).pieces[0];
    let corners: Vec<Point> = gore.finished[0].stretches().map(|(p, _)| p).collect();
    assert_eq!(corners[2].x - corners[3].x, 170_000);
    let circle = room.draw("circle skirt", band());
    let waist = circle.pieces[0].finished[0].length_um();
    assert!((waist / 10_000.0 - 102.0).abs() < 0.001, "{waist}");
    assert!(circle.notes[0].contains("passes the hips"));
    let gathered = room.draw("gathered skirt", band());
    assert!(gathered.notes.iter().any(|n| n.contains("of 153 cm")));
    let mut with_ease = band();
    with_ease.push(("ease", number("2")));
    assert_eq!(room.refuse("gored skirt", with_ease).key, "make[1].ease");
}

#[test]
fn a_back_measured_and_set_is_told() {
    let mut room = Room::new();
    let says = |room: &Room, entries, words: &str| {
        let notes = room.draw("panel skirt", entries).notes;
        notes.iter().any(|note| note.contains(words))
    };
    // Sewn to each other, side edges of 97 and 99 cm do not come out even.
    let sewn = || vec![("sides", text("sewn"))];
    assert!(says(
        &room,
        sewn(),
        "side edges of front and back differ by 2 cm"
    ));
    assert!(!says(&room, vec![], "side edges"));
    let longer = || vec![("back_longer", number("4"))];
    assert!(says(&room, longer(), "of 99 cm that was taken is not used"));
    assert!(!says(&room, vec![("back_longer", number("2"))], "not used"));
    assert!(!says(&room, vec![], "swapped"));
    let back = Length::from_cm(95);
    room.wearer
        .measurements
        .insert("skirt_length_back".into(), back);
    assert!(says(&room, vec![], "check that the two were not swapped"));
}

#[test]
fn ties_on_the_bias() {
    let drafted = Room::new().draw("ties", vec![("cut", text("bias"))]);
    assert_eq!(drafted.pieces[0].grain, Grain::Bias);
    assert_eq!(
        Room::new().draw("ties", vec![]).pieces[0].grain,
        Grain::Either
    );
}

#[test]
fn sectors_lie_as_they_take_less_cloth() {
    // Geometry: the hem radius is 72 / 2 pi + 60 + 0.6 = 72.06 cm, and a quarter with 1 cm seams beside
    // it 73.06 cm each way: two side by side do not fit 140 cm, but fit into each other head to tail.
    let mut room = Room::new();
    let quarters = || vec![("sectors", number("4"))];
    let drafted = room.draw("circle skirt", quarters());
    let piece = &drafted.pieces[0];
    let (across, along) = size(piece);
    assert!((across - 730_600).abs() < 100 && (along - 730_600).abs() < 100);
    // From the waist to the hem straight up and down, cut and finished.
    for path in [&piece.cut_path, &piece.finished[0]] {
        assert_eq!(path.segments[2].to().x, path.start.x);
    }
    let note = |drafted: &Drafted| {
        let chosen = drafted
            .notes
            .iter()
            .find(|note| note.contains("sectors lie"));
        chosen.cloned().unwrap_or_default()
    };
    assert!(
        note(&drafted).starts_with("The 4 sectors lie with a straight edge on the grain"),
        "{:?}",
        drafted.notes
    );
    // What is set is kept.
    let mut set = quarters();
    set.push(("grain", text("lengthwise")));
    let upright = room.draw("circle skirt", set);
    assert_eq!(note(&upright), "");
    assert!(size(&upright.pieces[0]).0 > 1_000_000);
    set = quarters();
    set.push(("grain", text("straight edge")));
    assert_eq!(room.draw("circle skirt", set).pieces[0].cut, piece.cut);
    for fabric in room.fabrics.values_mut() {
        fabric.direction = Direction::OneWay;
    }
    // All one way, quarters take least as arrowheads that point across; but then a print would lie on its
    // side, so they stand upright.
    let one_way = room.draw("circle skirt", quarters());
    assert_eq!(one_way.pieces[0].grain, Grain::Lengthwise);
    assert!(
        note(&one_way).contains("cloth, with the middle across the grain in about"),
        "{:?}",
        one_way.notes
    );
    // Halves are 2 x 72 cm with their middle upright, too wide, and half of that with a straight edge.
    let halves = room.draw("circle skirt", vec![("sectors", number("2"))]);
    assert!(halves.pieces[0].on_grain().bounds().across() < Length::from_cm(140));
    assert!(note(&halves).ends_with("not at all with the middle on the grain."));
}

#[test]
fn a_band_sits_where_its_skirt_does_and_says_so() {
    // The elastic is the girth and an overlap of 2.5 cm.
    let room = Room::new();
    for (draft, girth) in [("gored skirt", 72), ("panel skirt", 88)] {
        let drafted = room.draw(draft, vec![("band", Value::Table(table(vec![])))]);
        let long = Length::from_cm(girth) + Length::from_mm(25);
        assert_eq!(drafted.extras[0].length, long, "{draft}");
        let (_, specs) = find(draft).unwrap().tables()[0];
        let spec = specs.iter().find(|spec| spec.key == "sits_at").unwrap();
        assert_eq!(spec.default, "where the skirt sits", "{draft}");
    }
}

#[test]
fn a_waist_that_does_not_pass_the_hips_needs_an_opening() {
    // Geometry: 72 cm of waist do not pass 101 cm of hips; the girth of the hips itself does.
    let room = Room::new();
    let asked = |draft: &str, entries| {
        let notes = room.draw(draft, entries).notes;
        notes.iter().any(|note| {
            note.starts_with("An opening is needed: the top edge measures 72 cm, the hips 101 cm.")
        })
    };
    let banded = || vec![("band", Value::Table(table(vec![])))];
    for draft in ["gored skirt", "circle skirt", "gathered skirt"] {
        assert!(asked(draft, vec![]), "{draft}");
        assert!(
            !asked(draft, vec![("sits_at", text("hip_girth"))]),
            "{draft}"
        );
        assert!(!asked(draft, banded()), "{draft}");
    }
}

#[test]
fn corners_that_are_all_allowance_are_cut_off() {
    // Geometry: a side that falls 30 cm over 270 leaves a corner of 6.3 degrees at the hem, and seams
    // of 1 cm would meet 1 / sin 3.2 = 18 cm beyond the finished corner. It is cut off 1 cm beyond.
    let steep = vec![
        ("top_width", number("20")),
        ("hem_width", number("560")),
        ("length", number("30")),
        ("hem", number("1")),
        ("side", number("1")),
    ];
    let piece = &Room::new().draw("trapezoid", steep).pieces[0];
    assert!(size(piece).0 <= 5_600_000 + 2 * 30_000, "{:?}", size(piece));
    // The same where the sizes are those of the cut edge: no corner lies more than three allowances
    // from the finished one.
    let flared = vec![("drape", text("soft")), ("flare", text("600 cm"))];
    let panel = &Room::new().draw("panel skirt", flared).pieces[0];
    assert_eq!(panel.cut.points().len(), 6);
    let finished: Vec<Point> = panel.finished[0].stretches().map(|(p, _)| p).collect();
    for corner in panel.cut.points() {
        let nearest = finished.iter().map(|f| {
            let d = corner.minus(*f);
            (d.x as f64).hypot(d.y as f64)
        });
        assert!(
            nearest.fold(f64::INFINITY, f64::min) <= 30_002.0,
            "{corner:?}"
        );
    }
    let wide = vec![("sweep", number("900")), ("gores", number("4"))];
    let error = Room::new().refuse("gored skirt", wide);
    assert!(error.what.contains("more than 45 degrees"), "{error}");
    assert!(error.help.contains("more gores"), "{error}");
}

#[test]
fn strips_are_as_long_as_they_can_be_chalked() {
    // Geometry: 71.7 x 1.7 = 121.89 cm is marked as 121.9 cm; 121.9 x 1.7 = 207.23 as 207.3 cm, and its
    // halves as 103.7 cm each.
    let mut room = Room::new();
    let waist = Length::from_mm(717);
    room.wearer.measurements.insert("waist_girth".into(), waist);
    let entries = vec![("tiers", number("2")), ("fullness", number("1.7"))];
    let drafted = room.draw("gathered skirt", entries);
    let widths: Vec<i64> = drafted.pieces.iter().map(|p| size(p).0).collect();
    assert_eq!(widths, [1_219_000 + 20_000, 1_037_000 + 20_000]);
    assert!(
        drafted.notes[1].contains("1 strip makes a ring of 121.9 cm"),
        "{:?}",
        drafted.notes
    );
    assert!(
        drafted.notes[2].contains("2 strips make a ring of 207.4 cm"),
        "{:?}",
        drafted.notes
    );
}

#[test]
fn numbers_that_look_like_another_unit_are_asked_about() {
    let doubts = |draft: &str, entries: Vec<(&str, Value)>| {
        let found = doubts(
            find(draft).unwrap(),
            &table(entries),
            "make[1]",
            Units::Centimetres,
        );
        found
            .into_iter()
            .map(|d| (d.key, d.what))
            .collect::<Vec<_>>()
    };
    let band = Value::Table(table(vec![("elastic", number("25"))]));
    let found = doubts(
        "panel skirt",
        vec![
            ("hem", number("25")),
            ("side", text("25 cm")),
            ("top", number("10")),
            ("band", band),
        ],
    );
    let keys: Vec<&str> = found.iter().map(|(key, _)| key.as_str()).collect();
    assert_eq!(keys, ["make[1].hem", "make[1].top", "make[1].band.elastic"]);
    assert!(
        found[0]
            .1
            .ends_with("25 mm would be 2.5 cm: write \"25 mm\" if that is meant"),
        "{found:?}"
    );
    assert_eq!(
        doubts("circle skirt", vec![("length", number("40"))]).len(),
        1
    );
    assert_eq!(doubts("rectangle", vec![("length", number("40"))]), []);
}

#[test]
fn what_makes_a_piece_narrower_is_what_helps() {
    let mut room = Room::new();
    let help = |room: &Room, draft: &str, entries, which: usize| {
        let settings = table(entries);
        let brief = Brief {
            wearer: &room.wearer,
            settings: &settings,
            path: "make[1]",
            units: room.units,
            shown_in: room.units,
            fabric: &room.fabrics["linden"],
            fabrics: &room.fabrics,
            garment: 0,
        };
        let draft = find(draft).unwrap();
        let drafted = draft.draw(&brief).unwrap();
        draft.narrower(&brief, &drafted.pieces[which])
    };
    // Geometry: the hem radius is 72.06 cm, 144 cm across; a half is 73 cm wide on its straight edge.
    let circle = |more: Option<(&'static str, &str)>| {
        more.map(|(key, value)| (key, text(value)))
            .into_iter()
            .collect()
    };
    let said = help(&room, "circle skirt", circle(None), 0);
    assert_eq!(said, "cutting it in sectors (sectors = 2)");
    // Three quarters have a larger waist: radius 15.28 + 60.6 cm, 152 across and 1.71 x 75.9 = 130 high.
    let three_quarters = |grain| vec![("part", text("three-quarter")), ("grain", text(grain))];
    let said = help(&room, "circle skirt", three_quarters("straight edge"), 0);
    assert!(
        said.starts_with("any grain that fits (leave out grain = \"straight edge\"); or cutting"),
        "{said}"
    );
    // The casing is not made shorter by panels.
    let banded = |join| table(vec![("join", join)]);
    let with = |join| vec![("band", Value::Table(banded(join)))];
    room.wearer
        .measurements
        .insert("hip_girth".into(), Length::from_cm(146));
    let said = help(&room, "panel skirt", with(text("never")), 2);
    assert_eq!(said, "joining it from strips (leave out join = \"never\")");
    assert!(help(&room, "panel skirt", with(text("never")), 0).contains("panels = 4"));
    let said = help(&room, "waistband casing", vec![], 0);
    assert_eq!(said, "joining it from strips (join = 2)");
}
