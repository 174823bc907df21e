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
    for table in pieces::size_table::tables() {
        assert!(pieces::size_table::Size::read(table.written).is_ok());
        assert!(measurements.out.contains(table.written), "{}", table.name);
        assert!(measurements.out.contains(&table.gives.join(", ")));
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
    for name in [&["Circle", "SKIRT"][..], &["circle_skirt"], &["ci"]] {
        let args: Vec<&str> = std::iter::once("drafts")
            .chain(name.iter().copied())
            .collect();
        let run = place.run(&args);
        assert!(run.out.starts_with("circle skirt\n"), "{args:?}: {run:?}");
    }
    let several = place.run(&["drafts", "c"]);
    assert_eq!(several.code, 2);
    assert!(several.err.contains("circle skirt, custom"), "{several:?}");
    assert!(
        !several.err.contains("written"),
        "it writes nothing anyway: {several:?}"
    );
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

#[test]
fn a_new_job_says_how_it_is_planned() {
    let place = Place::new();
    assert_eq!(place.run(&["new", "dance skirt.toml"]).code, 0);
    let text = place.read("dance skirt.toml");
    assert!(
        text.contains("lengthwise plan \"dance skirt.toml\"\n"),
        "{text}"
    );
    assert!(
        !text.contains("job.toml") && !text.contains("JOB"),
        "{text}"
    );
}

/// What is not looked at on a terminal is set for 80 columns: every line of every command.
#[test]
fn lines_have_at_most_eighty_columns() {
    let place = Place::new();
    place.example("01-one-dancer.toml");
    let mut runs = vec![
        vec!["keys"],
        vec!["measurements"],
        vec!["drafts"],
        vec!["--help"],
        vec!["compare", "07-lace-or-chiffon.toml"],
        vec!["compare", "07-lace-or-chiffon.toml", "--units", "in"],
    ];
    let jobs: Vec<String> = common::names_in(&common::examples())
        .into_iter()
        .filter(|name| name.ends_with(".toml") && name != "06-waistcoat.toml")
        .collect();
    for job in &jobs {
        runs.push(vec!["plan", job, "--effort", "quick"]);
        runs.push(vec!["plan", job, "--effort", "quick", "--units", "in"]);
    }
    for command in ["plan", "compare", "check", "drafts", "new"] {
        runs.push(vec![command, "--help"]);
    }
    runs.extend(
        pieces::draft::all()
            .iter()
            .map(|d| vec!["drafts", d.name()]),
    );
    runs.push(vec!["plan", "no/such/file/anywhere/on/this/long/path.toml"]);
    for args in runs {
        let run = place.run(&args);
        // A file that is shown as it stands keeps its lines.
        let out = run.out.split("\nA whole one").next().unwrap_or_default();
        for line in out.lines().chain(run.err.lines()) {
            assert!(line.chars().count() <= 80, "{args:?}: {line}");
        }
    }
}

/// A dancer's hem near the floor is one to trip over; a short apron, and a skirt that ends well above
/// the floor that was measured, are not.
#[test]
fn only_a_hem_near_the_floor_gets_the_caution() {
    let job = |length: &str, floor: &str| {
        format!(
            "[fabric.linen]\nwidth = 140\n[wearer.Ilka]\nlow_waist_girth = 88\n\
             skirt_length_front = {length}\n{floor}\n[[make]]\ndraft = \"panel skirt\"\n"
        )
    };
    let place = Place::new();
    for (length, floor, trips) in [
        ("97", "", true),
        ("70", "", false),
        ("70", "waist_to_floor_front = 75", true),
        ("88", "waist_to_floor_front = 104", false),
    ] {
        let run = place
            .write("job.toml", &job(length, floor))
            .run(&["plan", "job.toml"]);
        assert_eq!(run.code, 0, "{run:?}");
        assert_eq!(
            run.out.contains("Long hems trip"),
            trips,
            "{length} {floor}: {run:?}"
        );
    }
}

#[test]
fn the_header_says_how_the_cloth_is_treated() {
    let place = Place::new();
    let job = "[fabric.linen]\nwidth = 140\n[wearer.Ilka]\nlow_waist_girth = 88\n\
               skirt_length_front = 70\n[[make]]\ndraft = \"panel skirt\"\ndrape = \"soft\"\n";
    let run = place.write("job.toml", job).run(&["plan", "job.toml"]);
    assert!(run.out.contains("direction none, soft\n"), "{run:?}");
    assert!(run.out.contains("Soft cloth drops"), "{run:?}");
    let both = format!("{job}[[make]]\ndraft = \"panel skirt\"\n");
    let run = place.write("job.toml", &both).run(&["plan", "job.toml"]);
    assert!(
        run.out.contains("direction none, crisp and soft\n"),
        "{run:?}"
    );
}
