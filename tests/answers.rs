//! What the command promises to other programs: exit codes, streams, the answer file, and a check
//! that cannot be fooled.

mod common;

use common::{Place, um};
use serde_json::Value;

fn job(have: &str) -> String {
    format!(
        "title = \"Flags\"\n[fabric.linen]\nwidth = 100\n{have}\n\
         [[make]]\ndraft = \"rectangle\"\nname = \"flag\"\nwidth = 60\nlength = 50\ngrain = \"lengthwise\"\ncopies = 2\n"
    )
}

/// Two flags of 60 x 50 cm on 100 cm of cloth cannot stand side by side: 100 cm, exactly (geometry).
#[test]
fn exit_codes_follow_the_verdict() {
    for (have, code, verdict) in [
        ("", 0, "plan"),
        ("have = \"1 m\"", 0, "enough"),
        ("have = \"99.9 cm\"", 3, "not-enough"),
        ("have = [\"99.9 cm\", \"1 m\", \"3 m\"]", 0, "enough"),
    ] {
        let place = Place::new();
        let run = place
            .write("job.toml", &job(have))
            .run(&["plan", "job.toml"]);
        assert_eq!(run.code, code, "{have}: {run:?}");
        let answer = place.json("job-layout/answer.json");
        assert_eq!(answer["verdict"], verdict);
        assert_eq!(um(&answer["cloths"][0], "needed_um"), 1_000_000);
        assert_eq!(
            um(&answer["cloths"][0], "length_um"),
            1_000_000,
            "the shortest that is enough"
        );
    }
}

#[test]
fn a_wrong_command_line_is_code_2() {
    let place = Place::new();
    assert_eq!(place.run(&["plna", "job.toml"]).code, 2);
    assert_eq!(place.run(&["plan", "job.toml", "--units", "ell"]).code, 2);
    let both = ["plan", "job.toml", "--seconds", "3", "--effort", "long"];
    assert_eq!(place.run(&both).code, 2);
    for seconds in ["-1", "soon", "86401"] {
        let run = place.run(&["plan", "job.toml", "--seconds", seconds]);
        assert_eq!(run.code, 2);
        let right = "seconds are a number from 0 to 86400";
        assert!(run.err.contains(right), "{seconds}: {}", run.err);
    }
}

#[test]
fn json_goes_to_standard_output_alone() {
    let place = Place::new();
    let run = place
        .write("job.toml", &job(""))
        .run(&["plan", "job.toml", "--json"]);
    let answer: Value = serde_json::from_str(&run.out).expect("nothing but JSON");
    assert_eq!(answer, place.json("job-layout/answer.json"));
    assert_eq!(run.err, "");
}

#[test]
fn quiet_is_quiet() {
    let place = Place::new();
    let run = place
        .write("job.toml", &job(""))
        .run(&["plan", "job.toml", "--quiet"]);
    assert_eq!((run.out.as_str(), run.err.as_str()), ("", ""));
    assert!(place.path("job-layout/marker-linen.svg").exists());
}

#[test]
fn an_answer_is_written_in_the_unit_asked_for() {
    let place = Place::new();
    let run = place
        .write("job.toml", &job("price = 9"))
        .run(&["plan", "job.toml", "--units", "in"]);
    assert_eq!(run.code, 0, "{run:?}");
    // 1 m is 39.37 in, 39 3/8 in at the least.
    assert!(run.out.contains("39 3/8 in"), "{run:?}");
    assert!(
        !run.out.contains(" cm wide"),
        "units are never mixed: {run:?}"
    );
    // Still what the job says: 102 cm by steps of 10 cm, at 9 a metre.
    assert_eq!(
        um(&place.json("job-layout/answer.json")["cloths"][0], "buy_um"),
        1_100_000
    );
    assert!(run.out.contains("9.90"), "{run:?}");
}

#[test]
fn a_date_is_printed_only_when_asked_for() {
    let place = Place::new();
    place.write("job.toml", &job(""));
    place.run(&["plan", "job.toml"]);
    assert!(
        !place
            .read("job-layout/marker-linen.svg")
            .contains("1 September")
    );
    place.run(&["plan", "job.toml", "--date", "1 September"]);
    assert!(
        place
            .read("job-layout/marker-linen.svg")
            .contains("1 September")
    );
}

/// Whatever the shape: the stretches that are chalked are those of the placements that were checked.
#[test]
fn the_chalk_list_says_where_the_answer_places_its_pieces() {
    for (example, fabric) in [
        ("02-soft-cloth.toml", "voile"),
        ("03-twelve-dancers.toml", "poppies"),
        ("05-circle-skirt.toml", "satin"),
    ] {
        let place = Place::new();
        let run = place
            .example(example)
            .run(&["plan", example, "--out", "out"]);
        assert_eq!(run.code, 0, "{run:?}");
        let list = place.read(&format!("out/chalk-{fabric}.txt"));
        let numbers = |line: &str| -> Vec<f64> {
            line.split([' ', ',', ';'])
                .filter_map(|word| word.parse().ok())
                .collect()
        };
        let mut said: Vec<Vec<f64>> = list
            .lines()
            .filter(|line| line.trim_start().starts_with("along ") && line.contains(" to "))
            .map(numbers)
            .collect();
        let answer = place.json("out/answer.json");
        let placements = answer["cloths"][0]["placements"].as_array().unwrap();
        let mut laid: Vec<Vec<f64>> = placements.iter().map(stretches).collect();
        let order = |a: &Vec<f64>, b: &Vec<f64>| {
            let rounded = |v: &[f64]| v.iter().map(|x| x.round() as i64).collect::<Vec<_>>();
            rounded(a).cmp(&rounded(b))
        };
        assert_eq!(said.len(), laid.len(), "{list}");
        said.sort_by(order);
        laid.sort_by(order);
        for (said, laid) in said.iter().zip(&laid) {
            let near = said.iter().zip(laid).all(|(s, l)| (s - l).abs() <= 0.0501);
            assert!(said.len() == 4 && near, "{said:?} {laid:?}");
        }
    }
}

/// Along from, to, across from, to, in centimetres.
fn stretches(placement: &Value) -> Vec<f64> {
    let corners = placement["outline_um"].as_array().unwrap();
    let of = |axis: usize| {
        let values = corners.iter().map(|c| c[axis].as_f64().unwrap() / 1e4);
        let least = values.clone().fold(f64::INFINITY, f64::min);
        [least, values.fold(f64::NEG_INFINITY, f64::max)]
    };
    [of(1), of(0)].concat()
}

/// Changes a good answer and has it checked.
fn spoiled(change: impl Fn(&mut Value)) -> common::Run {
    let place = Place::new();
    place.write("job.toml", &job("have = [\"99.9 cm\", \"1 m\"]"));
    assert_eq!(place.run(&["plan", "job.toml"]).code, 0);
    let mut answer = place.json("job-layout/answer.json");
    change(&mut answer);
    place.write("spoiled.json", &answer.to_string());
    place.run(&["check", "spoiled.json"])
}

#[test]
fn a_good_answer_passes_the_check() {
    let run = spoiled(|_| {});
    assert_eq!(run.code, 0, "{run:?}");
}

#[test]
fn check_finds_what_was_changed() {
    type Change = fn(&mut Value);
    let changes: [(&str, Change); 31] = [
        ("a piece moved onto another", |a| {
            a["cloths"][0]["placements"][1] = a["cloths"][0]["placements"][0].clone();
            a["cloths"][0]["placements"][1]["copy"] = 1.into();
        }),
        ("a piece out of the cloth", |a| {
            a["cloths"][0]["placements"][0]["outline_um"][0][0] = (-1).into();
        }),
        ("a piece left out", |a| {
            a["cloths"][0]["placements"].as_array_mut().unwrap().pop();
        }),
        ("a smaller outline", |a| {
            a["cloths"][0]["placements"][0]["outline_um"][2][1] = 400_000.into();
        }),
        ("smaller pieces throughout", |a| {
            a["cloths"][0]["pieces"][0]["outline_um"][2][1] = 400_000.into();
        }),
        ("a turn that is not allowed", |a| {
            a["cloths"][0]["placements"][0]["on_grain_turned_deg"] = 90.into();
        }),
        ("a bound that is not proved", |a| {
            a["cloths"][0]["bound_um"] = 1_000_001.into();
        }),
        ("a kinder verdict", |a| {
            a["alternatives"][0]["verdict"] = "enough".into();
            a["alternatives"][0]["cloths"][0]["verdict"] = "enough".into();
        }),
        ("a wider cloth", |a| {
            a["cloths"][0]["width_um"] = 1_200_000.into();
            a["cloths"][0]["usable_x_um"][1] = 1_200_000.into();
        }),
        ("less to buy", |a| {
            a["alternatives"][0]["cloths"][0]["buy_um"] = 1_000_000.into();
        }),
        ("another job", |a| {
            let text = a["job"]["files"][0]["text"].as_str().unwrap();
            a["job"]["files"][0]["text"] = text.replace("width = 60", "width = 61").into();
        }),
        ("another turn in words", |a| {
            a["cloths"][0]["placements"][0]["turned_deg"] = 270.into();
        }),
        ("turned over", |a| {
            a["cloths"][0]["placements"][0]["mirrored"] = true.into();
        }),
        ("somebody else's", |a| {
            a["cloths"][0]["placements"][0]["wearer"] = "Zoe".into();
        }),
        ("another name", |a| {
            a["cloths"][0]["placements"][0]["piece"] = "sail".into();
        }),
        ("another name to cut", |a| {
            a["cloths"][0]["pieces"][0]["piece"] = "sail".into();
        }),
        ("another garment", |a| {
            a["cloths"][0]["placements"][0]["garment"] = 5.into();
        }),
        ("a copy twice", |a| {
            let copy = a["cloths"][0]["placements"][1]["copy"].clone();
            a["cloths"][0]["placements"][0]["copy"] = copy;
        }),
        ("something to buy", |a| {
            a["shopping"] = serde_json::json!([{"what": "linen", "quantity": 1.0, "unit": "m",
                "length_um": 1_000_000, "text": "1 m"}]);
        }),
        ("an alternative left out", |a| {
            a["alternatives"].as_array_mut().unwrap().pop();
        }),
        ("an alternative's wearer", |a| {
            a["alternatives"][1]["cloths"][0]["placements"][0]["wearer"] = "Zoe".into();
        }),
        ("no cloth at all", |a| a["cloths"] = serde_json::json!([])),
        ("a cloth twice", |a| {
            let cloth = a["cloths"][0].clone();
            a["cloths"].as_array_mut().unwrap().push(cloth);
        }),
        ("no bound", |a| a["cloths"][0]["bound_um"] = 0.into()),
        ("a proof about a piece that is not there", |a| {
            a["cloths"][0]["proof"] = serde_json::json!({"longest-piece": {"item": 9}});
        }),
        ("another length", |a| {
            a["cloths"][0]["length_um"] = 1_200_000.into()
        }),
        ("another step", |a| {
            a["cloths"][0]["marking_step_um"] = 5.into()
        }),
        ("rounder places than they are", |a| {
            a["cloths"][0]["positions"]["on_step"] = 3.into();
        }),
        ("another title", |a| a["job"]["title"] = "Sails".into()),
        ("another unit", |a| a["job"]["units"] = "yd".into()),
        ("another note", |a| {
            a["notes"] = serde_json::json!(["cut freely"])
        }),
    ];
    for (name, change) in changes {
        let run = spoiled(change);
        if name.starts_with("a proof") {
            // An argument of another form is no answer file at all.
            assert!(run.code == 1 || run.code == 2, "{name}: {run:?}");
            continue;
        }
        assert_eq!(run.code, 1, "{name}: {run:?}");
        assert!(run.err.contains("does not hold"), "{name}: {run:?}");
        assert_eq!(run.out, "", "{name}");
    }
}

#[test]
fn each_fault_is_said_once_in_the_units_of_the_job() {
    let run = spoiled(|a| {
        a["cloths"][0]["placements"][0]["at_um"][0] = 500_000.into();
    });
    assert_eq!(run.code, 1, "{run:?}");
    assert!(run.err.contains("reaches 10 cm over"), "{run:?}");
    assert!(
        !run.err.contains(" mm") && !run.err.contains("written"),
        "{run:?}"
    );
    let run = spoiled(|a| {
        for list in ["cloths", "alternatives"] {
            for cloth in a[list].as_array_mut().unwrap() {
                let cloths = match cloth.get_mut("cloths") {
                    Some(cloths) => &mut cloths[0],
                    None => cloth,
                };
                cloths["placements"][0]["wearer"] = "Zoe".into();
            }
        }
    });
    assert_eq!(run.err.matches("Zoe").count(), 1, "{run:?}");
    let run = spoiled(|a| a["cloths"][0]["buy_um"] = 1_000_000.into());
    assert!(run.err.contains("buy_um is 100 cm"), "{run:?}");
}

#[test]
fn a_broken_answer_file_is_explained_without_the_words_of_a_reader() {
    let place = Place::new();
    place.write("job.toml", &job("")).run(&["plan", "job.toml"]);
    let text = place.read("job-layout/answer.json");
    let without = text.replacen("\"fabric\"", "\"cloth\"", 1);
    for (name, text, wanted) in [
        (
            "cut.json",
            &text[..text.len() / 2],
            "the file ends in the middle",
        ),
        (
            "job.toml",
            "[fabric.linen]\nwidth = 100\n",
            "it is not JSON, line 1, column 4",
        ),
        (
            "without.json",
            &without,
            "something is missing or is not what belongs there",
        ),
        ("other.json", "{}", "does not say which version it is of"),
    ] {
        let run = place.write(name, text).run(&["check", name]);
        assert_eq!(run.code, 2, "{run:?}");
        let words = run.err.split_whitespace().filter(|w| *w != "|");
        let words = words.collect::<Vec<_>>().join(" ");
        assert!(words.contains(wanted), "{name}: {}", run.err);
        for raw in ["expected", "EOF", "missing field", "Nothing was written"] {
            assert!(!run.err.contains(raw), "{name}: {}", run.err);
        }
    }
    let run = place.run(&["check", "none.json"]);
    assert!(run.err.contains("writes answer.json"), "{run:?}");
}

/// Copies of one piece are laid in any order; each still belongs to a garment of its own.
#[test]
fn copies_on_plain_cloth_belong_to_their_own_garments() {
    let place = Place::new();
    place.write(
        "job.toml",
        "[fabric.linen]\nwidth = 140\n[wearer.Ilka]\nwaist_girth = 72\nskirt_length = 60\n\
         [[make]]\ndraft = \"gored skirt\"\ngores = 4\ncopies = 3\n\
         [[make]]\ndraft = \"rectangle\"\nwidth = 20\nlength = 20\n",
    );
    let run = place.run(&["plan", "job.toml"]);
    assert_eq!(run.code, 0, "{run:?}");
    let answer = place.json("job-layout/answer.json");
    let mut garments: Vec<i64> = answer["cloths"][0]["placements"]
        .as_array()
        .unwrap()
        .iter()
        .map(|placement| um(placement, "garment"))
        .collect();
    garments.sort_unstable();
    assert_eq!(garments, [0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3]);
    assert_eq!(place.run(&["check", "job-layout/answer.json"]).code, 0);
}

#[test]
fn quantities_are_exact_whatever_unit_is_printed() {
    let place = Place::new();
    place.write("job.toml", &job(""));
    for unit in ["cm", "in", "yd", "m"] {
        place.run(&["plan", "job.toml", "--units", unit]);
        let cloth = &place.json("job-layout/answer.json")["shopping"][0];
        // 1 m and 2 cm for the ends, by 10 cm.
        assert_eq!(cloth["quantity"].as_f64(), Some(1.1), "{unit}");
        assert_eq!(cloth["unit"], "m", "{unit}");
    }
    // 36 in and 1 in for the ends, by an eighth of a yard (4 1/2 in): 40 1/2 in, 1 1/8 yd.
    let inches = "units = \"in\"\n[fabric.linen]\nwidth = 50\n[[make]]\ndraft = \"rectangle\"\n\
                  width = 40\nlength = 36\ngrain = \"lengthwise\"\n";
    place
        .write("job.toml", inches)
        .run(&["plan", "job.toml", "--units", "cm"]);
    let cloth = &place.json("job-layout/answer.json")["shopping"][0];
    assert_eq!(
        (cloth["quantity"].as_f64(), cloth["unit"].as_str()),
        (Some(1.125), Some("yd"))
    );
    assert_eq!(cloth["text"], "102.9 cm");
}

#[test]
fn half_a_second_can_be_asked_for() {
    let place = Place::new();
    let run = place.write("job.toml", &job("have = \"1 m\"")).run(&[
        "plan",
        "job.toml",
        "--seconds",
        "0.5",
    ]);
    assert_eq!(run.code, 0, "{run:?}");
    assert_eq!(
        place.json("job-layout/answer.json")["effort"]["seconds"].as_f64(),
        Some(0.5)
    );
    // Nothing is searched, and the layout is checked all the same.
    assert_eq!(place.run(&["plan", "job.toml", "--seconds", "0"]).code, 0);
    for wrong in ["-1", "nan", "soon"] {
        let seconds = format!("--seconds={wrong}");
        assert_eq!(
            place.run(&["plan", "job.toml", &seconds]).code,
            2,
            "{wrong}"
        );
    }
}

/// What looks odd is told with its place, and an answer is checked far from the folder of its job.
#[test]
fn an_answer_with_a_doubt_holds_wherever_its_job_was() {
    let place = Place::new();
    std::fs::create_dir(place.path("jobs")).unwrap();
    place.write("jobs/job.toml", &job("have = 1.5"));
    let run = place.run(&["plan", "jobs/job.toml"]);
    assert_eq!(run.code, 3, "{run:?}");
    let answer = place.json("jobs/job-layout/answer.json");
    let note = answer["notes"][0].as_str().unwrap();
    assert!(note.starts_with("job.toml, line 4"), "{note}");
    let check = place.run(&["check", "jobs/job-layout/answer.json"]);
    assert_eq!(check.code, 0, "{check:?}");
}

/// Numbers at the ends of what a file can hold are refused like any other, wherever they stand.
#[test]
fn check_refuses_the_largest_and_least_numbers() {
    for path in [
        "/cloths/0/placements/0/at_um/0",
        "/cloths/0/placements/0/outline_um/0/1",
        "/cloths/0/pieces/0/outline_um/0/0",
        "/cloths/0/needed_um",
        "/cloths/0/bound_um",
    ] {
        for number in [i64::MIN, i64::MAX] {
            let run = spoiled(|answer| {
                *answer.pointer_mut(path).expect("it is there") = number.into();
            });
            assert!(run.code == 1 || run.code == 2, "{path}: {run:?}");
            assert!(!run.err.contains("panicked"), "{path}: {run:?}");
        }
    }
}

#[test]
fn a_file_that_is_no_answer_is_code_2() {
    let place = Place::new();
    place
        .write("job.toml", &job(""))
        .write("other.json", "{\"schema\": \"other/1\"}");
    for file in ["job.toml", "other.json", "none.json"] {
        let run = place.run(&["check", file]);
        assert_eq!(run.code, 2, "{run:?}");
    }
    let run = spoiled(|answer| answer["schema"] = "lengthwise-answer/9".into());
    assert_eq!(run.code, 2);
    assert!(run.err.contains("lengthwise-answer/1"), "{run:?}");
}

#[test]
fn copies_may_be_turned_each_on_their_own_where_the_nap_allows_it() {
    let place = Place::new();
    let text = job("direction = \"one-way per garment\"");
    assert_eq!(
        place
            .write("job.toml", &text)
            .run(&["plan", "job.toml"])
            .code,
        0
    );
    let answer = place.json("job-layout/answer.json");
    let garments: Vec<i64> = answer["cloths"][0]["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .map(|piece| um(piece, "garment"))
        .collect();
    assert_eq!(garments, [0, 1]);
    // Two flags that may be turned each its own way must not be mixed up.
    let mut names: Vec<&str> = Vec::new();
    for placement in answer["cloths"][0]["placements"].as_array().unwrap() {
        names.push(placement["piece"].as_str().unwrap());
    }
    names.sort_unstable();
    assert_eq!(names, ["flag, garment 1 of 2", "flag, garment 2 of 2"]);
}

/// 10 % of 1.2 m is lost (arithmetic): 1.08 m are left of it, 8 cm more than the two flags take.
#[test]
fn shrinkage_is_taken_off_once_in_words_and_drawing() {
    let place = Place::new();
    let text = job("shrinkage = \"10 %\"\nhave = \"1.2 m\"");
    let run = place.write("job.toml", &text).run(&["plan", "job.toml"]);
    assert_eq!(run.code, 0, "{run:?}");
    assert!(run.out.contains("8 cm to spare"), "{run:?}");
    let drawing = place.read("job-layout/marker-linen.svg");
    assert!(
        drawing.contains("8 cm to spare"),
        "the drawing says the same"
    );
    assert!(drawing.contains("120 cm") && drawing.contains("108 cm"));
}

#[test]
fn drawings_of_an_earlier_answer_do_not_stay() {
    let place = Place::new();
    place.write("job.toml", &job("")).run(&["plan", "job.toml"]);
    place.write("job-layout/marker-mine.svg", "drawn by hand");
    let text = job("").replace("fabric.linen", "fabric.wool");
    place.write("job.toml", &text).run(&["plan", "job.toml"]);
    assert!(place.path("job-layout/marker-wool.svg").exists());
    assert!(!place.path("job-layout/marker-linen.svg").exists());
    assert!(place.path("job-layout/marker-mine.svg").exists());
    // Nor do those of an answer that another version wrote.
    place.write(
        "job-layout/answer.json",
        "{\"schema\": \"lengthwise-answer/0\", \"cloths\": [{\"fabric\": \"silk\"}]}",
    );
    place.write("job-layout/marker-silk.svg", "of another version");
    place.run(&["plan", "job.toml"]);
    assert!(!place.path("job-layout/marker-silk.svg").exists());
}

/// In one block one unit; yards only beside the inches of what is bought. 1 m is 39.37 in; with an
/// inch for the ends that is 40.37 in, and by eighths of a yard (4 1/2 in) 40 1/2 in or 1 1/8 yd.
#[test]
fn one_block_has_one_unit() {
    let place = Place::new();
    let inches = "units = \"in\"\ntitle = \"Flags\"\n[fabric.linen]\nwidth = \"299.9 cm\"\n\
        have = \"1 yd\"\n[[make]]\ndraft = \"rectangle\"\nwidth = \"299.9 cm\"\nlength = \"1 m\"\n\
        grain = \"lengthwise\"\n";
    let run = place.write("job.toml", inches).run(&["plan", "job.toml"]);
    assert_eq!(run.code, 3, "{run:?}");
    assert!(run.out.contains("40 1/2 in (1 1/8 yd)"), "{run:?}");
    assert!(run.out.contains("36 in of linen"), "{run:?}");
    // 299.9 cm is 118.07 in: a cloth is never said to be wider than it is.
    assert!(run.out.contains("118 in wide"), "{run:?}");
    assert!(
        !run.out.contains(" mm") && !run.out.contains(" cm "),
        "{run:?}"
    );

    let run = place
        .write("job.toml", &job("have = \"1 m\""))
        .run(&["plan", "job.toml"]);
    assert!(
        run.out
            .contains("100 cm of linen is enough, it fits exactly"),
        "{run:?}"
    );
    assert!(!run.out.contains(" m "), "{run:?}");
}

/// A length needed is never printed longer than the cloth that is enough, nor a bound longer than what
/// was proved: 101 cm is 39.76 in, so at least 39 3/4 in is proved and 39 13/16 in does.
#[test]
fn what_is_printed_does_not_contradict_itself() {
    let place = Place::new();
    let strip = |have: &str, fabric: &str| {
        format!(
            "[fabric.linen]\nwidth = 140\nhave = \"{have}\"\n{fabric}\n[[make]]\n\
             draft = \"rectangle\"\nwidth = 20\nlength = 101\n"
        )
    };
    place.write("job.toml", &strip("101.2 cm", ""));
    let run = place.run(&["plan", "job.toml", "--units", "in"]);
    for part in [
        "need   39 13/16 in",
        "bound    39 3/4 in  the same before rounding",
        "have   39 13/16 in  enough, with 1/16 in to spare",
    ] {
        assert!(run.out.contains(part), "{part}: {run:?}");
    }
    let drawing = place.read("job-layout/marker-linen.svg");
    assert!(drawing.contains("length needed 39 13/16 in") && drawing.contains("39 3/4 in<"));
    let whole = place.run(&["plan", "job.toml"]);
    assert!(whole.out.contains("101 cm  the shortest there can be"));

    // 106 cm less 5 % is 100.7 cm: what washing leaves is too short, not the 106 cm.
    place.write("job.toml", &strip("106 cm", "shrinkage = \"5 %\""));
    let run = place.run(&["plan", "job.toml"]);
    let said = "106 cm of linen, 100.7 cm once washed, is not enough, however it is laid: at least";
    assert!(
        run.out.replace("\n    ", " ").contains(said),
        "{said}: {run:?}"
    );
}

/// Two wearers, one of whom goes by a size: bust 146 has a hip girth of 147 cm (EN 13402-3, from memory).
const TWO: &str = "[fabric.linden]\nwidth = 140\n[fabric.band]\nwidth = 90\n\
    direction = \"one-way\"\n[wearer.Ilka]\nlow_waist_girth = 88\nhip_girth = 101\n\
    skirt_length_front = 97\n[wearer.Tall]\nsize = \"EN 13402-3 bust 146\"\n\
    skirt_length_front = 100\nlow_waist_girth = 140\n[[make]]\ndraft = \"panel skirt\"\n\
    fabric = \"linden\"\n";

/// Elastic is bought in one length and cut for each wearer: 88 + 2.5 and 140 + 2.5 cm.
#[test]
fn the_list_says_how_long_each_elastic_is_cut_and_the_notes_what_was_not_measured() {
    let place = Place::new();
    let job = format!("{TWO}band = {{ fabric = \"band\" }}\ncopies = 2\n");
    let run = place.write("job.toml", &job).run(&["plan", "job.toml"]);
    assert_eq!(run.code, 0, "{run:?}");
    for part in [
        "466 cm  elastic, 2.5 cm wide\n",
        "2 x 90.5 cm for Ilka\n",
        "2 x 142.5 cm for Tall\n",
    ] {
        assert!(run.out.contains(part), "{part}: {run:?}");
    }
    let said = run.out.replace("\n    ", " ");
    let note =
        "Tall: hip girth 147 cm is from a table, EN 13402-3 bust 146 (from memory), not measured.";
    assert!(said.contains(note), "{run:?}");
    assert!(
        !said.contains("waist girth 130 cm"),
        "it is not asked for: {run:?}"
    );
    let cuts = &place.json("job-layout/answer.json")["shopping"][2]["cuts"];
    assert_eq!(cuts[1]["length_um"], 1_425_000, "{cuts}");
    let check = place.run(&["check", "job-layout/answer.json"]);
    assert_eq!(check.code, 0, "{check:?}");
}

/// Where a join is forbidden, allowing it is what helps; everybody whose strip is too wide is named.
#[test]
fn a_strip_that_may_not_be_joined_is_too_wide_for_all_who_are_named() {
    let place = Place::new();
    let job = format!("{TWO}band = {{ fabric = \"band\", join = \"never\" }}\n");
    let run = place.write("job.toml", &job).run(&["plan", "job.toml"]);
    assert_eq!(run.code, 2, "{run:?}");
    let said: Vec<&str> = run.err.split_whitespace().filter(|w| *w != "|").collect();
    let said = said.join(" ");
    // 147 + 3 cm for Tall.
    for part in [
        "casing of Ilka, Tall is up to 150 cm wide",
        "leave out join = \"never\"",
    ] {
        assert!(said.contains(part), "{part}: {run:?}");
    }
    assert!(!said.contains("panels"), "{run:?}");
}

/// A shop's step stays what the job says it is, and long cloth is said in what a shop measures by.
#[test]
fn lengths_to_buy_are_said_as_a_shop_says_them() {
    let place = Place::new();
    place.write("job.toml", &job(""));
    let inches = place.run(&["plan", "job.toml", "--units", "in"]);
    assert!(inches.out.contains("rounded up to 10 cm"), "{inches:?}");
    let yards = place.run(&["plan", "job.toml", "--units", "yd"]);
    assert!(yards.out.contains("yd of linen"), "{yards:?}");
}

/// An answer with straight cuts is checked cut by cut.
#[test]
fn check_follows_the_straight_cuts() {
    let place = Place::new();
    let name = "08-torn-aprons.toml";
    let run = place.example(name).run(&["plan", name, "--out", "out"]);
    assert_eq!(run.code, 0, "{run:?}");
    let good = place.json("out/answer.json");
    let list = place.read("out/chalk-linen.txt");
    let lines = list
        .lines()
        .skip_while(|line| *line != "Tear, in this order:");
    let cuts = good["cloths"][0]["straight_cuts"].as_array().unwrap();
    // Every cut once: a line says which it is about, by one number or by the first and the last.
    let numbers = |line: &str| -> Vec<usize> {
        let words = line.split_whitespace().take(3);
        let numbers = words.filter_map(|word| word.parse().ok());
        numbers.collect()
    };
    let listed = lines.filter(|line| line.contains(" the cloth, "));
    let mut next = 1;
    for line in listed {
        let numbers = numbers(line);
        assert_eq!(numbers.first(), Some(&next), "{list}");
        next = numbers.last().unwrap() + 1;
    }
    assert_eq!(next, cuts.len() + 1, "{list}");
    let checked = |change: &dyn Fn(&mut Value)| {
        let mut answer = good.clone();
        change(&mut answer["cloths"][0]);
        place.write("spoiled.json", &answer.to_string());
        let run = place.run(&["check", "spoiled.json"]);
        (run.code, format!("{}{}", run.out, run.err))
    };
    assert_eq!(checked(&|_| {}).0, 0);
    let swap = |cloth: &mut Value| cloth["straight_cuts"].as_array_mut().unwrap().swap(0, 1);
    let through = |cloth: &mut Value| cloth["straight_cuts"][1]["at_um"] = 500_000.into();
    let short = |cloth: &mut Value| cloth["straight_cuts"][2]["to_um"] = 500_000.into();
    let kinder = |cloth: &mut Value| cloth["bound_um"] = 1_280_001.into();
    type Change<'c> = (&'c dyn Fn(&mut Value), &'c str);
    let changes: [Change<'_>; 4] = [
        (&swap, "does not cut the marker off"),
        (&through, "cut through"),
        (&short, "from edge to edge"),
        (&kinder, "above the length of the layout"),
    ];
    for (change, words) in changes {
        let (code, text) = checked(change);
        assert_ne!(code, 0, "{text}");
        assert!(text.contains(words), "{text}");
    }
}

/// Forty tags of 20 by 25 cm, eight abreast on 160 cm in five rows: cuts that are alike are said once, and what is not
/// said is where it is said to be.
#[test]
fn equal_cuts_are_one_line() {
    let place = Place::new();
    place.write(
        "job.toml",
        "[fabric.linen]\nwidth = 160\ncutting = \"straight\"\n[[make]]\ndraft = \"rectangle\"\nname = \"tag\"\n\
         width = 20\nlength = 25\ngrain = \"lengthwise\"\ncopies = 40\n",
    );
    let run = place.run(&["plan", "job.toml", "--out", "out"]);
    assert_eq!(run.code, 0, "{run:?}");
    let list = place.read("out/chalk-linen.txt");
    for text in [&run.out, &list] {
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("20, 40, 60 and so on to 140"), "{text}");
        assert!(words.contains("(in steps of 20"), "{text}");
    }
}

/// Five flags of which slices say more than their area: what the argument rests on stands in the file, and a file in
/// which it is worth less, or says more, does not hold.
#[test]
fn an_argument_by_slices_is_checked_as_it_stands() {
    let mut job = "[fabric.linen]\nwidth = 100\ndirection = \"one-way\"\n".to_owned();
    for (name, width, length) in [
        ("red", 62, 32),
        ("green", 46, 40),
        ("blue", 45, 60),
        ("white", 67, 42),
        ("black", 28, 40),
    ] {
        job += &format!(
            "[[make]]\ndraft = \"rectangle\"\nname = \"{name}\"\nwidth = {width}\nlength = {length}\n\
             grain = \"lengthwise\"\n"
        );
    }
    let place = Place::new();
    place.write("job.toml", &job);
    let run = place.run(&["plan", "job.toml", "--seconds", "0"]);
    assert_eq!(run.code, 0, "{run:?}");
    let good = place.json("job-layout/answer.json");
    let proof = &good["cloths"][0]["proof"];
    assert_eq!(proof["argument"], "slices", "{proof}");
    assert!(proof.to_string().len() < 2_000, "{proof}");
    let check = |answer: &Value| {
        place.write("other.json", &answer.to_string());
        place.run(&["check", "other.json"]).code
    };
    assert_eq!(check(&good), 0);
    let mut less = good.clone();
    less["cloths"][0]["proof"]["pieces"][0]["steps"][0]["worth"][0] = 1.into();
    assert_eq!(check(&less), 1);
    let mut more = good.clone();
    more["cloths"][0]["bound_um"] = (um(&good["cloths"][0], "bound_um") + 1).into();
    assert_eq!(check(&more), 1);
}
