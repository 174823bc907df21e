//! What `compare` promises: all cloths of a choice are counted and named, ties are said, and what
//! cannot be compared is refused with a reason. Lengths are worked out by hand (geometry).

mod common;

use common::{Place, Run, names_in, um};
use serde_json::Value;

/// Flags of 60 x 50 cm, lengthwise, with a hem strip of 60 x 10 cm from another fabric. On less than
/// 120 cm of width two flags lie one after the other.
const JOB: &str = r#"title = "Flags"
currency = "EUR"

[fabric.linen]
width = 100
price = 10
have = ["60 cm", "1.2 m"]

[fabric.silk]
width = 130
price = 30

[fabric.strip]
width = 60
price = 5

[[make]]
draft = "rectangle"
name = "flag"
fabric = "linen"
width = 60
length = 50
grain = "lengthwise"
copies = 2

[[make]]
draft = "rectangle"
name = "hem strip"
fabric = "strip"
width = 60
length = 10
grain = "lengthwise"
copies = 2

[compare]
fabrics = ["linen", "silk"]
"#;

fn compare(job: &str, args: &[&str]) -> (Place, Run) {
    let place = Place::new();
    place.write("job.toml", job);
    let mut all = vec!["compare", "job.toml", "--out", "out"];
    all.extend(args);
    let run = place.run(&all);
    (place, run)
}

/// The choice's records of a comparison.
fn choice(file: &Value, number: usize) -> &Value {
    &file["choices"][number]
}

/// A slip in what is made is one slip, however many choices are compared.
#[test]
fn what_is_wrong_under_every_choice_is_said_once() {
    let place = Place::new();
    let job = "title = \"Dance\"\nunits = \"cm\"\n[fabric.lace]\nwidth = 90\n[fabric.voile]\nwidth = 150\n\
               [wearer.Ann]\nwaist_girth = 70\nskirt_length = 60\n\
               [[make]]\ndraft = \"circle skirt\"\ncircle = \"half\"\nfabric = \"lace\"\n\
               [compare]\nfabrics = [\"lace\", \"voile\"]\n";
    let run = place.write("job.toml", job).run(&["compare", "job.toml"]);
    assert_eq!(run.code, 2, "{run:?}");
    assert!(run.err.contains("circle"), "{run:?}");
    assert!(!run.err.contains("under"), "{run:?}");
    assert!(!run.err.contains("2 things"), "{run:?}");
}

#[test]
fn every_cloth_of_a_choice_is_counted_and_named() {
    let (place, run) = compare(JOB, &[]);
    assert_eq!(run.code, 0, "{run:?}");
    let file = place.json("out/comparison.json");
    for (number, flags) in [(0, 1_000_000), (1, 500_000)] {
        let choice = choice(&file, number);
        let cloths = choice["cloths"].as_array().unwrap();
        assert_eq!(cloths.len(), 2, "{choice}");
        assert_eq!(um(&cloths[0], "needed_um"), flags);
        assert_eq!(cloths[1]["fabric"], "strip");
        // Two strips one after the other.
        assert_eq!(um(&cloths[1], "needed_um"), 200_000);
        assert_eq!(um(choice, "needed_um"), flags + 200_000);
    }
    // Silk: 50 + 2 cm by 10 cm is 60 cm at 30 a metre, 18.00; strips: 30 cm at 5, 1.50.
    assert_eq!(um(choice(&file, 1), "cost_hundredths"), 1_950);
    // The linen on hand is enough, so only the strip is bought.
    assert_eq!(um(choice(&file, 0), "cost_hundredths"), 150);
    assert_eq!(file["least_needed"], serde_json::json!(["silk"]));
    assert_eq!(file["least_cost"], serde_json::json!(["linen"]));
    assert!(run.out.starts_with("Enough: linen.\n"), "{}", run.out);
    assert!(
        run.out.contains("silk needs least cloth in all: 70 cm."),
        "{}",
        run.out
    );
    assert!(
        run.out.contains("linen costs least: 1.50 EUR."),
        "{}",
        run.out
    );
    assert_eq!(run.out.matches("    strip ").count(), 2, "{}", run.out);
    let sheet = place.read("out/comparison-sheet.svg");
    assert!(
        sheet.contains("silk: strip"),
        "the strip's marker is drawn too"
    );
}

#[test]
fn every_offer_has_its_own_row_and_verdict() {
    let (place, run) = compare(JOB, &[]);
    let rows: Vec<&str> = run.out.lines().filter(|l| l.contains("enough")).collect();
    assert!(
        rows.iter().any(|l| l.contains("60 cm  not enough")),
        "{}",
        run.out
    );
    assert!(
        rows.iter().any(|l| l.trim() == "120 cm  enough"),
        "{}",
        run.out
    );
    let file = place.json("out/comparison.json");
    let offers = &choice(&file, 0)["cloths"][0]["on_hand"];
    assert_eq!(um(&offers[0], "length_um"), 600_000);
    assert_eq!(offers[0]["verdict"], "not-enough");
    assert_eq!(offers[1]["verdict"], "enough");
}

#[test]
fn a_tie_is_said() {
    let wide = JOB.replace("width = 100", "width = 125");
    let (place, run) = compare(&wide, &[]);
    assert!(
        run.out
            .contains("A tie: all need the same cloth in all, 70 cm."),
        "{}",
        run.out
    );
    let file = place.json("out/comparison.json");
    assert_eq!(file["least_needed"], serde_json::json!(["linen", "silk"]));
    let third = format!("{wide}\n[[compare.choice]]\nlabel = \"narrow\"\nwidth = 100\n");
    let (_, run) = compare(&third, &[]);
    assert!(
        run.out
            .contains("A tie: linen and silk need least cloth in all, 70 cm each."),
        "{}",
        run.out
    );
}

#[test]
fn a_cost_that_leaves_something_out_says_so_and_is_not_called_least() {
    let job = JOB.replace("width = 60\nprice = 5\n", "width = 60\n");
    let (place, run) = compare(&job, &[]);
    assert!(
        run.out
            .contains("the cost leaves out strip, which has no price"),
        "{}",
        run.out
    );
    assert!(!run.out.contains("costs least"), "{}", run.out);
    let file = place.json("out/comparison.json");
    assert_eq!(choice(&file, 1)["cost_is_whole"], false);
    assert_eq!(file["least_cost"], serde_json::json!([]));
}

#[test]
fn json_is_the_file_and_nothing_else() {
    let (place, run) = compare(JOB, &["--json"]);
    let printed: Value = serde_json::from_str(&run.out).expect("nothing but JSON");
    assert_eq!(printed, place.json("out/comparison.json"));
    assert_eq!(printed["schema"], "lengthwise-comparison/1");
    for choice in printed["choices"].as_array().unwrap() {
        let answer = format!("out/{}", choice["answer"].as_str().unwrap());
        let check = place.run(&["check", &answer]);
        assert_eq!(check.code, 0, "{check:?}");
    }
    let check = place.run(&["check", "out/comparison.json"]);
    assert_eq!(check.code, 2);
    assert!(check.err.contains("is a comparison"), "{check:?}");
}

#[test]
fn a_choice_that_cannot_be_cut_is_a_finding_unless_all_are() {
    let job =
        format!("{JOB}\n[[compare.choice]]\nlabel = \"narrow\"\nfabric = \"linen\"\nwidth = 50\n");
    let (place, run) = compare(&job, &[]);
    assert_eq!(run.code, 0, "{run:?}");
    assert!(run.out.contains("cannot be cut"), "{}", run.out);
    let file = place.json("out/comparison.json");
    assert!(choice(&file, 2).get("answer").is_none());
    let reason = choice(&file, 2)["cannot_be_cut"][0].as_str().unwrap();
    assert!(reason.contains("10 cm too wide"), "{reason}");

    let none = JOB
        .replace("width = 100", "width = 40")
        .replace("width = 130", "width = 45");
    let (place, run) = compare(&none, &[]);
    assert_eq!(run.code, 2, "{run:?}");
    let words = run
        .err
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" | ", " ");
    for wanted in [
        "under \"linen\"",
        "20 cm too wide",
        "under \"silk\"",
        "15 cm too wide",
    ] {
        assert!(words.contains(wanted), "{wanted} missing in {}", run.err);
    }
    assert!(
        run.err
            .ends_with("2 things to put right. Nothing was written.\n"),
        "{}",
        run.err
    );
    assert_eq!(
        (run.out.as_str(), place.names()),
        ("", vec!["job.toml".to_owned()])
    );
}

#[test]
fn one_choice_none_or_two_of_one_name_are_refused() {
    for (from, to, wanted) in [
        (
            "fabrics = [\"linen\", \"silk\"]",
            "fabrics = [\"linen\"]",
            "only one choice, \"linen\"",
        ),
        (
            "[compare]\nfabrics = [\"linen\", \"silk\"]\n",
            "",
            "names nothing to compare",
        ),
        (
            "[\"linen\", \"silk\"]",
            "[\"linen\", \"linen\"]",
            "line 36, column 21: compare.fabrics: two choices are called \"linen\"",
        ),
        (
            "[\"linen\", \"silk\"]\n",
            "[\"linen\", \"silk\"]\n[[compare.choice]]\nlabel = \"Silk\"\n",
            "compare.choice[1].label: two choices are called \"Silk\"",
        ),
    ] {
        assert!(JOB.contains(from), "{from}");
        let (place, run) = compare(&JOB.replace(from, to), &[]);
        assert_eq!(run.code, 2, "{run:?}");
        let words = run
            .err
            .split_whitespace()
            .filter(|w| *w != "|")
            .collect::<Vec<_>>()
            .join(" ");
        assert!(words.contains(wanted), "{wanted} missing in {}", run.err);
        assert_eq!(place.names(), ["job.toml"]);
    }
}

#[test]
fn a_choice_that_changes_nothing_is_pointed_out() {
    let job = format!("{JOB}\n[[compare.choice]]\nlabel = \"again\"\nfabric = \"silk\"\n");
    let (_, run) = compare(&job, &[]);
    assert!(
        run.out.contains("again asks the same as silk"),
        "{}",
        run.out
    );
}

/// The strip is no flag cloth: a wider strip changes the strips alone, which then lie side by side.
#[test]
fn a_choice_of_another_cloth_of_the_job_changes_that_cloth_alone() {
    let start = JOB.split("[compare]").next().unwrap();
    let job = format!(
        "{start}[[compare.choice]]\nlabel = \"as it is\"\n\
         [[compare.choice]]\nlabel = \"wide strip\"\nfabric = \"strip\"\nwidth = 120\n"
    );
    let (place, run) = compare(&job, &[]);
    assert_eq!(run.code, 0, "{run:?}");
    let file = place.json("out/comparison.json");
    for (number, strips) in [(0, 200_000), (1, 100_000)] {
        let cloths = choice(&file, number)["cloths"].as_array().unwrap();
        assert_eq!(cloths[0]["fabric"], "linen");
        assert_eq!(um(&cloths[0], "needed_um"), 1_000_000);
        assert_eq!(um(&cloths[1], "needed_um"), strips);
    }
    // A fabric that only a choice brings in is cut instead of the job's own.
    let job = format!(
        "{start}[[compare.choice]]\nlabel = \"as it is\"\n\
         [[compare.choice]]\nlabel = \"in silk\"\nfabric = \"silk\"\n"
    );
    let (place, _) = compare(&job, &[]);
    let file = place.json("out/comparison.json");
    assert_eq!(choice(&file, 0)["cloths"][0]["fabric"], "linen");
    assert_eq!(choice(&file, 1)["cloths"][0]["fabric"], "silk");
    assert_eq!(place.run(&["check", "out/answer-in-silk.json"]).code, 0);
}

#[test]
fn a_warning_about_a_fabric_is_not_repeated_for_a_choice_that_inherits_it() {
    let job = format!(
        "{}\n[[compare.choice]]\nlabel = \"dear\"\nfabric = \"silk\"\nprice = 40\n",
        JOB.replace("width = 130", "width = 30")
    );
    let (place, run) = compare(&job, &[]);
    assert_eq!(run.code, 0, "{run:?}");
    let answer = place.json("out/answer-linen.json");
    let notes = answer["notes"].as_array().unwrap();
    let about = notes
        .iter()
        .filter(|n| n.as_str().unwrap().contains("30 cm is short"));
    assert_eq!(about.count(), 1, "{notes:?}");
}

#[test]
fn answers_of_an_earlier_comparison_do_not_stay() {
    let (place, _) = compare(JOB, &[]);
    place.write("out/answer-mine.json", "kept");
    let job = JOB
        .replace("fabric.silk", "fabric.wool")
        .replace("\"silk\"", "\"wool\"");
    place.write("job.toml", &job);
    assert_eq!(place.run(&["compare", "job.toml", "--out", "out"]).code, 0);
    let answers: Vec<String> = names_in(&place.path("out"))
        .into_iter()
        .filter(|name| name.starts_with("answer"))
        .collect();
    assert_eq!(
        answers,
        ["answer-linen.json", "answer-mine.json", "answer-wool.json"]
    );
}

#[test]
fn a_label_of_any_length_and_sort_has_a_file_and_a_line() {
    let long = "the linen from the shop behind the mill, which is a little narrower / and, says Ilka, \
                softer: \\\"for the dance\\\"";
    let job = format!(
        "{JOB}\n[[compare.choice]]\nlabel = \"{long}\"\nfabric = \"linen\"\nwidth = 90\n\
         [[compare.choice]]\nlabel = \"{long}!\"\nfabric = \"linen\"\nwidth = 91\n"
    );
    let (place, run) = compare(&job, &[]);
    assert_eq!(run.code, 0, "{run:?}");
    let file = place.json("out/comparison.json");
    let names: Vec<&str> = (0..4)
        .map(|i| choice(&file, i)["answer"].as_str().unwrap())
        .collect();
    assert_ne!(names[2], names[3]);
    for name in names {
        assert!(
            name.len() < 60 && place.path(&format!("out/{name}")).exists(),
            "{name}"
        );
    }
    for line in run.out.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}
