use super::*;
use crate::test_sheets::{self as jobs, Job};
use pieces::{Direction, Units};

fn all_jobs() -> Vec<(&'static str, Job)> {
    let mut inches = jobs::one_dancer();
    inches.units = Units::Inches;
    vec![
        ("one-piece", jobs::one_piece()),
        ("one-dancer", jobs::one_dancer()),
        ("inches", inches),
        ("too-short", jobs::too_short()),
        ("twelve", jobs::many(12, Direction::None)),
        ("sixty", jobs::many(60, Direction::None)),
        ("sixty-one-way", jobs::many(60, Direction::OneWay)),
        ("strips", jobs::strips(26)),
        ("circles", jobs::circles()),
        ("patches", jobs::patches(60)),
        ("bias", jobs::bias()),
    ]
}

/// Writes every job's drawing where the environment asks for it, to be looked at.
fn keep(name: &str, svg: &str) {
    if let Some(folder) = std::env::var_os("LENGTHWISE_LOOK") {
        std::fs::write(std::path::Path::new(&folder).join(format!("{name}.svg")), svg).unwrap();
    }
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
