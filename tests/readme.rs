//! The README shows what the program does: its job, its output and its pictures are those of the
//! examples.

#![allow(missing_docs)]

mod common;

use std::fs;
use std::path::Path;

use common::{Place, examples};

fn readme() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    fs::read_to_string(path).expect("the README")
}

/// `text` as the README shows it: four spaces before each line that is not empty.
fn shown(text: &str) -> String {
    let line = |l: &str| match l.trim_end() {
        "" => String::new(),
        l => format!("    {l}"),
    };
    text.trim_end()
        .lines()
        .map(line)
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn the_worked_example_is_what_the_command_prints() {
    let place = Place::new();
    let run =
        place
            .example("01-one-dancer.toml")
            .run(&["plan", "01-one-dancer.toml", "--out", "out"]);
    assert!(
        readme().contains(&shown(&run.out)),
        "the README's output is no longer what is printed; put this there:\n{}",
        shown(&run.out)
    );
    let job = fs::read_to_string(examples().join("01-one-dancer.toml")).expect("the example");
    let job = job.split_once("title").expect("a title").1;
    assert!(readme().contains(&shown(&format!("title{job}"))));
}

#[test]
fn the_pictures_are_what_the_command_draws() {
    for (job, drawing, picture) in [
        ("01-one-dancer.toml", "marker-linden.svg", "first-skirt.svg"),
        (
            "03-twelve-dancers.toml",
            "marker-poppies.svg",
            "twelve-dancers.svg",
        ),
    ] {
        let place = Place::new();
        let run = place
            .example(job)
            .run(&["plan", job, "--out", "out", "--quiet"]);
        assert_eq!(run.code, 0, "{run:?}");
        let drawn = place.read(&format!("out/{drawing}"));
        let path = examples().join("pictures").join(picture);
        if std::env::var_os("UPDATE_SNAPSHOTS").is_some() {
            fs::write(&path, &drawn).expect("a picture is written");
        }
        let kept = fs::read_to_string(&path);
        assert!(
            kept.is_ok_and(|kept| kept == drawn),
            "{picture} is not what `plan examples/{job}` draws; renew it with UPDATE_SNAPSHOTS=1"
        );
        assert!(readme().contains(&format!("(examples/pictures/{picture})")));
    }
}

#[test]
fn it_opens_with_the_job_and_names_every_command() {
    let text = readme();
    let opening = text.split("\n\n").nth(1).expect("a first paragraph");
    for word in [
        "costume makers",
        "cloth",
        "measurements",
        "verdict",
        "marker",
    ] {
        assert!(opening.contains(word), "{word}");
    }
    let help = Place::new().run(&["--help"]).out;
    let commands = help.split_once("Commands:").expect("commands").1;
    for line in commands.lines().take_while(|l| !l.starts_with("Options")) {
        let Some(name) = line.split_whitespace().next() else {
            continue;
        };
        if name != "help" {
            assert!(
                text.contains(&format!("lengthwise {name}")),
                "{name} is not in the README"
            );
        }
    }
}
