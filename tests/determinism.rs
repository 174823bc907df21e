//! The same job gives the same bytes, whatever the threads do in between.

mod common;

use common::{Place, names_in};

#[test]
fn the_same_job_gives_the_same_bytes() {
    let place = Place::new();
    place.example("02-soft-cloth.toml");
    for name in [
        "02-soft-cloth.toml",
        "05-circle-skirt.toml",
        "04-gored-skirts.toml",
    ] {
        let first = place.run(&["plan", name, "--out", "a"]);
        let second = place.run(&["plan", name, "--out", "b"]);
        assert_eq!((first.code, &first.err), (second.code, &second.err));
        assert_eq!(first.out.replace("to a:", "to b:"), second.out);
        let names = names_in(&place.path("a"));
        assert_eq!(names, names_in(&place.path("b")));
        for file in names {
            assert!(
                place.read(&format!("a/{file}")) == place.read(&format!("b/{file}")),
                "{name}: {file} differs"
            );
        }
    }
}

#[test]
fn threads_are_part_of_the_question_and_repeat_too() {
    let place = Place::new();
    place.example("04-gored-skirts.toml");
    let plan = |out: &str| {
        let args = [
            "plan",
            "04-gored-skirts.toml",
            "--threads",
            "2",
            "--seed",
            "7",
            "--out",
            out,
        ];
        assert_eq!(place.run(&args).code, 0);
        place.read(&format!("{out}/answer.json"))
    };
    assert!(plan("a") == plan("b"));
}
