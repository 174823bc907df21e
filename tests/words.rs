//! Snapshots of whole runs: the specification of what a person reads. They hold jobs whose length
//! is proved shortest, so that a better search does not change them. To renew them after a change
//! of words: `UPDATE_SNAPSHOTS=1 cargo test --test words`, then read the difference.

mod common;

use std::path::Path;

use common::{Place, Run};

fn same(name: &str, run: &Run) {
    let text = format!(
        "exit code {}\n--- standard output\n{}--- standard error\n{}",
        run.code, run.out, run.err
    );
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/snapshots")
        .join(format!("{name}.txt"));
    if std::env::var_os("UPDATE_SNAPSHOTS").is_some() {
        std::fs::write(&file, &text).expect("a snapshot");
        return;
    }
    let known = std::fs::read_to_string(&file).expect("a snapshot");
    assert!(
        known == text,
        "{name} reads otherwise now:\n{text}\n--- and was\n{known}"
    );
}

#[test]
fn plan_says_enough() {
    let place = Place::new();
    place.example("01-one-dancer.toml");
    same("enough", &place.run(&["plan", "01-one-dancer.toml"]));
    same(
        "check",
        &place.run(&["check", "01-one-dancer-layout/answer.json"]),
    );
    same(
        "inches",
        &place.run(&["plan", "01-one-dancer.toml", "--units", "in"]),
    );
}

#[test]
fn plan_says_not_enough() {
    let place = Place::new();
    place.example("01-one-dancer.toml");
    let job = place
        .read("01-one-dancer.toml")
        .replace("have = [\"1 m\", \"1.5 m\"]", "have = \"1 m\"");
    place.write("short.toml", &job);
    same("not-enough", &place.run(&["plan", "short.toml"]));
}

#[test]
fn wrong_jobs_are_explained() {
    let place = Place::new();
    place.write(
        "wrong.toml",
        "units = \"cm\"\n\n[fabric.linden]\nwidht = 140\nselvedge = -1\n\n\
         [[make]]\ndraft = \"pannel skirt\"\n",
    );
    same("wrong", &place.run(&["plan", "wrong.toml"]));
}

#[test]
fn lists() {
    let place = Place::new();
    same("keys", &place.run(&["keys"]));
    same("help", &place.run(&["--help"]));
}

#[test]
fn every_draft_and_measurement_is_listed_and_described() {
    let place = Place::new();
    let list = place.run(&["drafts"]);
    let measurements = place.run(&["measurements"]);
    assert_eq!((list.code, measurements.code), (0, 0));
    for known in pieces::measurement::ALL {
        assert!(measurements.out.contains(known.key), "{}", known.key);
    }
    for draft in pieces::draft::all() {
        assert!(list.out.contains(draft.name()), "{}", draft.name());
        assert!(list.out.contains(draft.sketch().trim_matches('\n')));
        let one = place.run(&["drafts", draft.name()]);
        assert_eq!(one.code, 0, "{one:?}");
        for option in draft.options() {
            assert!(
                one.out.contains(option.key),
                "{}: {}",
                draft.name(),
                option.key
            );
        }
    }
    let wrong = place.run(&["drafts", "circel skirt"]);
    assert_eq!(wrong.code, 2);
    assert!(
        wrong.err.contains("did you mean \"circle skirt\"?"),
        "{wrong:?}"
    );
}

#[test]
fn a_new_job_can_be_planned_and_is_never_overwritten() {
    let place = Place::new();
    let run = place.run(&["new"]);
    assert_eq!(run.code, 0, "{run:?}");
    let plan = place.run(&["plan", "job.toml"]);
    assert_eq!(plan.code, 0, "{plan:?}");
    place.write("job.toml", "mine");
    let again = place.run(&["new"]);
    assert_eq!(again.code, 2);
    assert!(again.err.contains("job.toml is there already"), "{again:?}");
    assert_eq!(place.read("job.toml"), "mine");
}
