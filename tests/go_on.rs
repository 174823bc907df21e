//! A search that goes on from where an earlier one stopped: never a step back, and nothing believed unseen.

mod common;

use common::{Place, Run, um};
use serde_json::Value;

const PANELS: [(u32, u32, u32); 9] = [
    (22, 46, 78),
    (30, 51, 64),
    (18, 39, 92),
    (26, 57, 71),
    (15, 33, 58),
    (35, 49, 83),
    (20, 44, 69),
    (28, 61, 55),
    (17, 41, 88),
];

/// Panels of nine sizes with much to gain, and a sash from another cloth.
fn job(have: &str) -> String {
    let mut job = format!(
        "title = \"Wreath bearers\"\n[fabric.linden]\nwidth = 150\n{have}\n[fabric.silk]\nwidth = 90\n\
         [[make]]\ndraft = \"rectangle\"\nname = \"sash\"\nfabric = \"silk\"\nwidth = 20\nlength = 80\n"
    );
    for (number, (top, hem, length)) in PANELS.into_iter().enumerate() {
        job += &format!(
            "[[make]]\ndraft = \"trapezoid\"\nname = \"panel {number}\"\nfabric = \"linden\"\n\
             top_width = {top}\nhem_width = {hem}\nlength = {length}\n"
        );
    }
    job
}

fn go_on(place: &Place) -> Run {
    place.run(&["plan", "job.toml", "--go-on"])
}

/// What was printed, as one line.
fn printed(run: &Run) -> String {
    run.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn answer(place: &Place) -> Value {
    place.json("job-layout/answer.json")
}

fn linden(answer: &Value) -> Value {
    answer["cloths"][0].clone()
}

/// A place with the first layout there is.
fn begun(have: &str) -> Place {
    let place = Place::new();
    place.write("job.toml", &job(have));
    let run = place.run(&["plan", "job.toml", "--seconds", "0"]);
    assert!([0, 4].contains(&run.code), "{run:?}");
    place
}

fn holds(place: &Place) {
    let check = place.run(&["check", "job-layout/answer.json"]);
    assert_eq!(check.code, 0, "{check:?}");
}

/// A sash alone is as long as it is: nothing is left to be found there.
#[test]
fn each_time_it_is_no_longer_and_at_first_much_shorter() {
    let place = begun("have = \"156 cm\"");
    let first = linden(&answer(&place));
    let run = go_on(&place);
    let second = linden(&answer(&place));
    assert_eq!(run.code, 4, "{run:?}");
    assert!(um(&second, "needed_um") < um(&first, "needed_um"));
    assert!(um(&second, "bound_um") >= um(&first, "bound_um"));
    let effort = answer(&place)["effort"].clone();
    assert_eq!(
        (effort["seed"].as_u64(), effort["runs"].as_u64()),
        (Some(2), Some(2))
    );
    let words = printed(&run);
    for said in [
        "since then the layout is",
        "there is nothing shorter",
        "`--go-on` goes on from here",
    ] {
        assert!(words.contains(said), "{said}: {words}");
    }
    holds(&place);
    let run = place.run(&[
        "plan",
        "job.toml",
        "--go-on",
        "--seconds",
        "0",
        "--seed",
        "7",
    ]);
    let third = linden(&answer(&place));
    assert_eq!(run.code, 4, "{run:?}");
    assert_eq!(third["placements"], second["placements"]);
    assert_eq!(answer(&place)["effort"]["seed"], 7);
    assert_eq!(answer(&place)["effort"]["runs"], 3);
    holds(&place);
}

#[test]
fn a_plan_begins_at_nothing_unless_it_is_to_go_on() {
    let place = begun("");
    assert_eq!(go_on(&place).code, 0);
    let run = place.run(&["plan", "job.toml", "--seconds", "0"]);
    let effort = answer(&place)["effort"].clone();
    assert_eq!(
        (&effort["seed"], &effort["runs"]),
        (&1.into(), &Value::Null)
    );
    assert!(!run.out.contains("since"), "{run:?}");
}

#[test]
fn the_same_files_give_the_same_bytes() {
    let place = begun("");
    let first = place.read("job-layout/answer.json");
    let run = go_on(&place);
    let second = place.read("job-layout/answer.json");
    place.write("job-layout/answer.json", &first);
    let again = go_on(&place);
    assert_eq!((run.code, run.out), (again.code, again.out));
    assert!(second == place.read("job-layout/answer.json"));
}

#[test]
fn what_is_on_hand_and_what_it_costs_may_change() {
    let place = begun("");
    place.write("job.toml", &job("have = \"9 m\"\nprice = 12.5"));
    let run = place.run(&["plan", "job.toml", "--go-on", "--seconds", "0"]);
    assert_eq!(run.code, 0, "{run:?}");
    assert!(run.out.starts_with("Enough."), "{run:?}");
    assert!(run.out.contains("nothing more was found since"), "{run:?}");
    assert!(!run.out.contains("has changed"), "{run:?}");
    holds(&place);
}

#[test]
fn a_cloth_of_which_something_changed_begins_anew() {
    let place = begun("");
    place.write("job.toml", &job("").replace("length = 78", "length = 79"));
    let run = go_on(&place);
    assert_eq!(run.code, 0, "{run:?}");
    let words = printed(&run);
    assert!(
        words.contains("linden, or what is cut from it, has changed since; its search began anew."),
        "{run:?}"
    );
    assert!(!words.contains("silk, or"), "{run:?}");
    holds(&place);
    place.write("job.toml", &job("").replace("silk", "lace"));
    let run = go_on(&place);
    let words = printed(&run);
    assert!(
        words.contains("lace was not in the earlier answer; its search began at nothing."),
        "{run:?}"
    );
    holds(&place);
}

#[test]
fn an_answer_that_is_missing_broken_or_of_another_job_is_refused() {
    let place = Place::new();
    place.write("job.toml", &job(""));
    let missing = go_on(&place);
    assert_eq!(missing.code, 2, "{missing:?}");
    assert!(
        missing.err.contains("answer.json to go on from")
            && missing.err.contains("`lengthwise plan job.toml`"),
        "{missing:?}"
    );
    assert_eq!(place.names(), ["job.toml"], "nothing is written");

    let place = begun("");
    let good = place.read("job-layout/answer.json");
    let refused = |text: &str, words: &str| {
        place.write("job-layout/answer.json", text);
        let run = go_on(&place);
        assert_eq!(run.code, 2, "{run:?}");
        assert!(run.err.contains(words), "{words}: {run:?}");
        assert!(run.err.contains("Nothing was written."), "{run:?}");
        assert!(place.read("job-layout/answer.json") == text);
    };
    refused(&good[..good.len() / 2], "is no answer file");
    refused(&good.replace("answer/1", "answer/7"), "is of version");
    refused(
        &good.replace("[[make]]", "[[mkae]]"),
        "can't be gone on from",
    );
    place.write("job-layout/answer.json", &good);
    let other = job("").replace("linden", "poppies").replace("silk", "lace");
    place.write("job.toml", &other);
    let run = go_on(&place);
    assert_eq!(run.code, 2, "{run:?}");
    assert!(
        run.err.contains("answers another job, \"Wreath bearers\""),
        "{run:?}"
    );
    let compare = place.run(&["compare", "job.toml", "--go-on"]);
    assert_eq!(compare.code, 2, "{compare:?}");
}

#[test]
fn what_does_not_hold_is_said_and_not_used() {
    let place = begun("");
    let good = answer(&place);
    let needed = um(&linden(&good), "needed_um");
    let with = |change: &dyn Fn(&mut Value)| {
        let mut bad = good.clone();
        change(&mut bad["cloths"][0]);
        place.write("job-layout/answer.json", &bad.to_string());
        let run = place.run(&["plan", "job.toml", "--go-on", "--seconds", "0"]);
        assert_eq!(run.code, 0, "{run:?}");
        holds(&place);
        let cloth = linden(&answer(&place));
        assert_eq!(um(&cloth, "needed_um"), needed);
        assert_eq!(cloth["bound_um"], good["cloths"][0]["bound_um"]);
        printed(&run)
    };
    let overlap = |cloth: &mut Value| {
        cloth["placements"][0]["at_um"] = cloth["placements"][1]["at_um"].clone();
        cloth["needed_um"] = (needed - 1).into();
    };
    assert!(with(&overlap).contains("linden: the layout of the earlier answer did not hold"));
    let proved = |cloth: &mut Value| cloth["bound_um"] = needed.into();
    assert!(with(&proved).contains("linden: the bound of the earlier answer did not hold"));
    let elsewhere = |cloth: &mut Value| {
        cloth["proof"] = serde_json::json!({"argument": "longest-piece", "item": 99});
        cloth["bound_um"] = needed.into();
    };
    assert!(with(&elsewhere).contains("the bound of the earlier answer did not hold"));
}

#[test]
fn what_is_torn_keeps_its_tears() {
    let place = Place::new();
    let mut job = "[fabric.linen]\nwidth = 140\ncutting = \"tear\"\n".to_owned();
    for (width, length) in [
        (62, 32),
        (46, 40),
        (45, 60),
        (67, 42),
        (28, 40),
        (33, 51),
        (21, 37),
    ] {
        job += &format!(
            "[[make]]\ndraft = \"rectangle\"\nwidth = {width}\nlength = {length}\ncopies = 3\n"
        );
    }
    place.write("job.toml", &job);
    assert_eq!(place.run(&["plan", "job.toml"]).code, 0);
    let first = linden(&answer(&place));
    let run = place.run(&["plan", "job.toml", "--go-on", "--seconds", "0"]);
    assert_eq!(run.code, 0, "{run:?}");
    let second = linden(&answer(&place));
    for key in ["needed_um", "placements", "straight_cuts"] {
        assert_eq!(first[key], second[key], "{key}");
    }
    holds(&place);
    assert_eq!(go_on(&place).code, 0);
    let third = linden(&answer(&place));
    assert!(um(&third, "needed_um") <= um(&first, "needed_um"));
    assert!(um(&third, "bound_um") >= um(&first, "bound_um"));
    holds(&place);
}
