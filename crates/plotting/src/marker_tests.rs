use super::*;
use crate::paper::Rect;
use crate::test_sheets::{self as jobs, Job};
use pieces::{Direction, GuideLine, Length, Point, Units};

fn all_jobs() -> Vec<(&'static str, Job)> {
    let mut inches = jobs::one_dancer();
    inches.units = Units::Inches;
    let mut sixty_inches = jobs::many(60, Direction::OneWay);
    sixty_inches.units = Units::Inches;
    let mut shrinking = jobs::one_dancer();
    shrinking.fabric.shrinkage_ppm = 50_000;
    vec![
        ("one-piece", jobs::one_piece()),
        ("one-dancer", jobs::one_dancer()),
        ("inches", inches),
        ("sixty-inches", sixty_inches),
        ("shrinking", shrinking),
        ("too-short", jobs::too_short()),
        ("two", jobs::many(2, Direction::OneWay)),
        ("twelve", jobs::many(12, Direction::None)),
        ("sixty", jobs::many(60, Direction::None)),
        ("sixty-one-way", jobs::many(60, Direction::OneWay)),
        ("strips", jobs::strips(26)),
        ("sixty-strips", jobs::strips(57)),
        ("circles", jobs::circles()),
        ("patches", jobs::patches(60)),
        ("few-patches", jobs::patches(7)),
        ("bias", jobs::bias()),
        ("equal-patches", jobs::equal_patches()),
        ("much-cloth", jobs::much_cloth()),
        ("torn", jobs::torn(6)),
        ("much-torn", jobs::torn(40)),
    ]
}

/// Writes every job's drawing where the environment asks for it, to be looked at.
fn keep(name: &str, svg: &str) {
    if let Some(folder) = std::env::var_os("LENGTHWISE_LOOK") {
        std::fs::write(
            std::path::Path::new(&folder).join(format!("{name}.svg")),
            svg,
        )
        .unwrap();
    }
}

/// Checks what XML 1.0 asks of a document like ours: tags nest, attributes are quoted once each, no
/// bare `<` or `&`. Returns the elements' names in order.
fn well_formed(svg: &str) -> Vec<String> {
    let entities = |text: &str| {
        for part in text.split('&').skip(1) {
            let name = part.split(';').next().unwrap();
            assert!(
                ["amp", "lt", "gt", "quot", "#39"].contains(&name),
                "&{name}"
            );
        }
    };
    let (mut open, mut names): (Vec<&str>, Vec<String>) = (Vec::new(), Vec::new());
    let body = svg
        .strip_prefix("<?xml version=\"1.0\" encoding=\"UTF-8\"?>")
        .unwrap();
    let (before, rest) = body.split_once('<').unwrap();
    assert!(before.trim().is_empty());
    for chunk in rest.split('<') {
        let (tag, text) = chunk.split_once('>').expect("a tag ends");
        entities(text);
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
            continue;
        }
        let (tag, closed) = tag.strip_suffix('/').map_or((tag, false), |t| (t, true));
        let name = tag.split_whitespace().next().unwrap();
        names.push(name.to_owned());
        let mut seen = Vec::new();
        let mut rest = tag[name.len()..].trim_start();
        while !rest.is_empty() {
            let (key, after) = rest.split_once("=\"").expect("a quoted attribute");
            let (value, after) = after.split_once('"').expect("a closing quote");
            entities(value);
            assert!(!seen.contains(&key), "{key} twice in {tag}");
            seen.push(key);
            rest = after.trim_start();
        }
        if !closed {
            open.push(name);
        }
    }
    assert!(open.is_empty());
    names
}

#[test]
fn no_words_meet_an_edge_or_each_other() {
    let mut found = Vec::new();
    for (name, job) in all_jobs() {
        let scene = marker_scene(&job.sheet());
        keep(name, &scene.write());
        assert!(scene.texts().count() > 20, "{name} has its title block");
        found.extend(scene.overlaps().into_iter().map(|f| format!("{name}: {f}")));
    }
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn every_drawing_is_well_formed_and_loads_nothing() {
    for (name, job) in all_jobs() {
        let svg = marker_svg(&job.sheet());
        let names = well_formed(&svg);
        assert_eq!(names[0], "svg", "{name}");
        let loads = ["href", "src=", "@import", "<image", "<script", "<style"];
        assert!(loads.iter().all(|l| !svg.contains(l)), "{name}");
        assert_eq!(
            svg.matches("http").count(),
            1,
            "{name}: only the name of SVG itself"
        );
    }
}

#[test]
fn the_same_sheet_gives_the_same_bytes_and_a_date_only_if_asked() {
    let job = jobs::many(12, Direction::OneWay);
    let svg = marker_svg(&job.sheet());
    assert_eq!(svg, marker_svg(&job.sheet()));
    assert!(!svg.contains(">date<"));
    let mut dated = job.sheet();
    dated.date = Some("12 September");
    assert!(marker_svg(&dated).contains("12 September"));
}

#[test]
fn a_metre_of_cloth_is_a_hundred_millimetres_of_paper() {
    // Geometry: at 1:10 a cloth of 100 by 140 cm is 100 by 140 mm; A4 is 297 by 210 mm (ISO 216).
    let mut job = jobs::one_piece();
    job.on_hand = Some(Length::from_cm(100));
    let scene = marker_scene(&job.sheet());
    assert_eq!((scene.width, scene.height), (297.0, 210.0));
    assert!(scene.texts().any(|t| t.content == "1:10 on A4"));
    let is_cloth = |w: f64, h: f64| (w - 100.0).abs() < 1e-9 && (h - 140.0).abs() < 1e-9;
    let sizes = scene
        .shapes()
        .filter_map(|s| crate::paper::Rect::around(&s.paths[0].flattened()));
    assert!(sizes.into_iter().any(|r| is_cloth(r.w, r.h)));
    let svg = scene.write();
    assert!(svg.contains("width=\"297mm\" height=\"210mm\" viewBox=\"0 0 297 210\""));
}

#[test]
fn curves_are_drawn_as_arcs() {
    // Geometry: radii of 12, 80 and 60 cm are 12, 80 and 60 mm at 1:10.
    let svg = marker_svg(&jobs::circles().sheet());
    for arc in ["A80 80 0 0 ", "A12 12 0 0 ", "A60 60 0 0 "] {
        assert!(svg.contains(arc), "{arc}");
    }
}

fn contents(scene: &Scene) -> Vec<String> {
    scene.texts().map(|t| t.content.clone()).collect()
}

#[test]
fn every_piece_is_named_or_numbered() {
    for count in [1, 12, 60] {
        let job = jobs::many(count, Direction::None);
        let scene = marker_scene(&job.sheet());
        let words = contents(&scene);
        let named = words.iter().filter(|w| w.ends_with(" panel")).count();
        assert!(named >= count, "{named} of {count}");
        // Each part of a piece that crosses a break bears a sign, and one of them the words.
        let again = named - count;
        let numbered = words.iter().filter(|w| w.contains(" panel, ")).count();
        let crossing = words
            .iter()
            .filter(|w| w.starts_with("continues at"))
            .count()
            * 3;
        assert!(again + numbered <= crossing, "{again} and {numbered}");
        assert_eq!(again + numbered > 0, count == 60, "both parts are labelled");
    }
}

#[test]
fn numbers_stand_in_rings_and_equal_pieces_share_one() {
    let job = jobs::equal_patches();
    let scene = marker_scene(&job.sheet());
    let words = contents(&scene);
    let lines: Vec<&String> = words.iter().filter(|w| w.starts_with("patch, ")).collect();
    let wanted = |times: i32, whose: &str| format!("patch, {whose}4 \u{d7} 3 cm, \u{d7} {times}");
    assert_eq!(lines, [&wanted(600, ""), &wanted(50, "Lioba, ")]);
    // A ring is the only mark with a line round figures in bold.
    for (number, bearers) in [("1", 600), ("2", 50)] {
        let texts = scene.texts().filter(|t| t.bold && t.content == number);
        let in_rings = texts.filter(|text| {
            scene.shapes().any(|shape| {
                let ring = crate::paper::Rect::around(&shape.paths[0].flattened());
                shape.ink.is_some()
                    && ring.is_some_and(|r| r.contains(text.bounds()) && r.w < 5.0 && r.h < 3.0)
            })
        });
        assert_eq!(in_rings.count(), bearers + 1, "and once in the list");
    }
}

#[test]
fn no_number_stands_for_words_of_edges_alone() {
    // A strip of 7 cm holds its name on one line and no word beside its marks.
    let mut job = jobs::one_piece();
    job.fabric.direction = Direction::None;
    job.pieces = vec![jobs::strip("Ilka", 70, 450)];
    let scene = marker_scene(&job.sheet());
    let words = contents(&scene);
    assert!(
        words.iter().any(|w| w.contains("waistband, Ilka")),
        "{words:?}"
    );
    assert!(!words.iter().any(|w| w == "CB" || w == "Numbered pieces"));
}

#[test]
fn every_number_of_the_rulers_is_there_also_where_the_cloth_ends() {
    for (name, job) in all_jobs() {
        let scene = marker_scene(&job.sheet());
        // Numbers of the rulers are the only quiet level texts in figures.
        let mut numbers: Vec<i64> = scene
            .texts()
            .filter(|t| t.ink == crate::style::QUIET && t.anchor == crate::scene::Anchor::Middle)
            .filter_map(|t| t.content.parse().ok())
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        let step = numbers[1] - numbers[0];
        for pair in numbers.windows(2) {
            assert_eq!(pair[1] - pair[0], step, "{name}: {pair:?}");
        }
        assert_eq!(numbers[0], 0, "{name}");
    }
    // Both rulers have the number at the very end of the cloth.
    let scene = marker_scene(&jobs::too_short().sheet());
    let at_the_end = scene.texts().filter(|t| t.content == "100");
    assert!(at_the_end.count() >= 2);
}

#[test]
fn bare_cloth_is_broken_off_before_the_scale_goes_down() {
    // Geometry: 12 m at 1:10 are longer than three A3 pages; 104 cm and a bit fit A4.
    let scene = marker_scene(&jobs::much_cloth().sheet());
    let words = contents(&scene);
    for wanted in ["1:10 on A4", "1070 cm more not drawn", "cloth ends 1200 cm"] {
        assert!(words.iter().any(|w| w == wanted), "{wanted}: {words:?}");
    }
    let whole = contents(&marker_scene(&jobs::one_dancer().sheet()));
    assert!(!whole.iter().any(|w| w.contains("not drawn")));
}

#[test]
fn a_strip_on_the_bias_is_labelled_along_itself() {
    let scene = marker_scene(&jobs::bias().sheet());
    let along: Vec<&str> = scene
        .texts()
        .filter(|t| t.slope == crate::scene::Slope::Rising)
        .map(|t| t.content.as_str())
        .collect();
    assert!(along.iter().any(|w| w.contains("waistband")), "{along:?}");
    assert!(!contents(&scene).iter().any(|w| w == "Numbered pieces"));
}

#[test]
fn centre_front_and_centre_back_have_signs_of_their_own() {
    let words = contents(&marker_scene(&jobs::one_dancer().sheet()));
    for wanted in ["notch: centre front (CF)", "notch: centre back (CB)"] {
        assert!(words.iter().any(|w| w == wanted), "{wanted}");
    }
    use crate::symbols::Mark;
    assert_ne!(Mark::CentreFront.fill(), Mark::CentreBack.fill());
}

#[test]
fn marks_at_a_cut_out_stand_there() {
    // Geometry: the waist of the circle is 110 of the hem's 600 mm from its centre.
    let mut job = jobs::circles();
    let across = |x: i64, label: &str| pieces::Notch {
        at: pieces::Point::new(x * 1_000, 0),
        kind: pieces::NotchKind::Match,
        label: label.into(),
    };
    job.pieces[1].notches = vec![
        across(-600, "hem a"),
        across(-110, "waist a"),
        across(110, "waist b"),
        across(600, "hem b"),
    ];
    let scene = marker_scene(&job.sheet());
    let at = |label: &str| {
        let found = scene.texts().find(|text| text.content == label);
        found.unwrap_or_else(|| panic!("{label} is not there")).at
    };
    let apart = |edge: &str| at(&format!("{edge} a")).distance(at(&format!("{edge} b")));
    assert!(apart("waist") < apart("hem") / 2.0);
}

#[test]
fn a_long_cloth_goes_on_in_bands() {
    let job = jobs::many(60, Direction::None);
    let scene = marker_scene(&job.sheet());
    let words: Vec<&str> = scene.texts().map(|t| t.content.as_str()).collect();
    let goes_on: Vec<&&str> = words
        .iter()
        .filter(|w| w.starts_with("continues at "))
        .collect();
    assert!(!goes_on.is_empty());
    for place in goes_on {
        let from = place.replace("continues at", "from");
        assert!(words.contains(&from.as_str()), "{from}");
    }
}

#[test]
fn a_cloth_too_long_for_any_page_gets_a_page_of_its_own() {
    let job = jobs::many(900, Direction::None);
    let scene = marker_scene(&job.sheet());
    assert!(scene.height.is_finite() && scene.height > 297.0);
    let found = scene.overlaps();
    assert!(found.is_empty(), "{:#?}", &found[..found.len().min(20)]);
}

#[test]
fn words_for_marks_of_xml_and_long_names_are_safe() {
    let job = jobs::many(60, Direction::None);
    let svg = marker_svg(&job.sheet());
    assert!(svg.contains("Petra &amp; S\u{f6}hne &lt;Tracht&gt;") && !svg.contains("<Tracht"));
    assert!(svg.contains("Wilhelmina-") && svg.contains('\u{2026}'));
}

#[test]
fn verdict_and_numbers_are_in_the_title_block() {
    let words = |job: &Job| -> Vec<String> {
        marker_scene(&job.sheet())
            .texts()
            .map(|t| t.content.clone())
            .collect()
    };
    let has = |words: &[String], wanted: &str| words.iter().any(|w| w == wanted);
    let enough = words(&jobs::one_dancer());
    let write = |cm| Units::Centimetres.write(Length::from_cm(cm));
    for wanted in [
        "Enough",
        "length needed",
        "on hand",
        "linden",
        "pieces",
        "3",
    ] {
        assert!(has(&enough, wanted), "{wanted}: {enough:?}");
    }
    assert!(has(&enough, &write(104)) && has(&enough, &format!("{} to spare.", write(46))));
    // Geometry: 308 x 990, 396 x 1010 and 80 x 1040 mm on 1400 x 1040 mm of cloth: 54.12 %.
    assert!(has(&enough, "54.1 %"), "{enough:?}");
    let short = words(&jobs::too_short());
    assert!(has(&short, "Not enough, proved"));
    assert!(has(&short, &format!("Short by at least {}.", write(4))));
    assert!(has(&short, "beyond the cloth on hand") && !has(&short, "largest left over"));
    // Refused to the micrometre: no millimetre is said to be short that is not proved.
    let mut refused = jobs::too_short();
    let there = refused.on_hand.unwrap();
    refused.bound = there + Length::from_um(1);
    let there = Units::Centimetres.write(there);
    let refused = words(&refused);
    assert!(
        has(&refused, &format!("More than {there} is needed.")),
        "{refused:?}"
    );
}

fn scale_and_page(job: &Job) -> String {
    let words = contents(&marker_scene(&job.sheet()));
    let found = words.into_iter().find(|w| w.starts_with("1:"));
    found.unwrap_or_default()
}

#[test]
fn the_largest_scale_that_fits_is_taken_and_then_the_smallest_page() {
    // Geometry: 594 cm of cloth 140 cm wide in two bands at 1:15 are 200 mm long and 2 x 93 high,
    // and rulers; A3 has 283 inside its margins. At 1:10 three bands alone are 420 high.
    assert_eq!(
        scale_and_page(&jobs::many(18, Direction::None)),
        "1:15 on A3"
    );
    // The marker fits A4 at 1:10; three metres of bare cloth are no reason for A3.
    let mut job = jobs::one_dancer();
    job.on_hand = Some(Length::from_cm(300));
    assert_eq!(scale_and_page(&job), "1:10 on A4");
}

#[test]
fn words_keep_off_a_guide_that_leaves_room_beside_it() {
    let mut job = jobs::many(36, Direction::OneWayPerGarment);
    for piece in &mut job.pieces {
        let mm = |x: i64, y: i64| Point::new(x * 1_000, y * 1_000);
        piece.guides = vec![GuideLine {
            path: jobs::line(mm(225, 0), mm(225, 990)),
            label: "centre".into(),
        }];
    }
    let scene = marker_scene(&job.sheet());
    keep("centre-guides", &scene.write());
    let guides: Vec<Rect> = scene
        .shapes()
        .filter(|s| s.ink == Some(crate::drawing::GUIDE))
        .flat_map(|s| &s.paths)
        .filter_map(|p| Rect::around(&p.flattened()))
        .map(|r| r.inflated(0.1))
        .collect();
    let names = scene.texts().filter(|t| t.content.contains(" panel"));
    let crossed: Vec<&str> = names
        .filter(|t| t.size >= 2.1 && guides.iter().any(|g| g.overlaps(t.bounds())))
        .map(|t| t.content.as_str())
        .collect();
    assert!(guides.len() >= 36 && crossed.is_empty(), "{crossed:?}");
}

#[test]
fn cuts_are_numbered_in_order_wherever_they_are_seen() {
    for count in [6, 40] {
        let job = jobs::torn(count);
        let drawing = marker_scene(&job.sheet());
        let numbers = drawing.texts().filter(|text| text.on_ground);
        let mut numbers: Vec<usize> = numbers.map(|t| t.content.parse().unwrap()).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let all: Vec<usize> = (1..=job.cuts.len()).collect();
        assert_eq!(numbers, all);
    }
}
