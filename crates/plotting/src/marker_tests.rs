use super::*;
use crate::test_sheets::{self as jobs, Job};
use pieces::{Direction, Length, Units};

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

#[test]
fn every_piece_is_named_or_numbered_once() {
    for count in [1, 12, 60] {
        let job = jobs::many(count, Direction::None);
        let scene = marker_scene(&job.sheet());
        let named = scene
            .texts()
            .filter(|t| t.content.contains(" panel"))
            .count();
        assert_eq!(named, count, "also where a piece crosses a break");
    }
    let numbered = jobs::patches(60);
    let scene = marker_scene(&numbered.sheet());
    let listed = scene
        .texts()
        .filter(|t| t.content.starts_with("patch, "))
        .count();
    for number in 1..=listed {
        let shown = scene
            .texts()
            .filter(|t| t.bold && t.content == number.to_string())
            .count();
        assert!(shown >= 2, "{number} in the list and on the cloth");
    }
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
}
