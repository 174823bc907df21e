//! What bad input gets: file, line and column, the key, what was wrong, what would be right; exit
//! code 2; nothing written. One test for each kind of mistake.

mod common;

use common::Place;

/// A job that is right, to be spoiled.
const JOB: &str = r#"title = "Skirt"
units = "cm"

[fabric.linden]
width = 140
selvedge = 1

[wearer.Ilka]
low_waist_girth = 88
hip_girth = 101
skirt_length_front = 97

[[make]]
draft = "panel skirt"
fabric = "linden"
"#;

/// The job with one text replaced is refused with all of `wanted` in the message.
fn refused(from: &str, to: &str, wanted: &[&str]) {
    assert!(JOB.contains(from), "{from}");
    refused_job(&JOB.replacen(from, to, 1), &[], wanted);
}

fn refused_job(job: &str, files: &[(&str, &str)], wanted: &[&str]) {
    let place = Place::new();
    place.write("job.toml", job);
    for (name, text) in files {
        place.write(name, text);
    }
    let before = place.names();
    let run = place.run(&["plan", "job.toml"]);
    assert_eq!(run.code, 2, "{run:?}");
    assert_eq!(run.out, "", "nothing on standard output");
    assert_eq!(place.names(), before, "nothing is written");
    // The drawing of the message breaks long lines; words are compared without breaks.
    let flat = |text: &str| {
        let words = text.split_whitespace().filter(|word| *word != "|");
        words.collect::<Vec<_>>().join(" ")
    };
    for part in wanted {
        assert!(
            flat(&run.err).contains(&flat(part)),
            "{part} missing in\n{}",
            run.err
        );
    }
    assert!(run.err.contains("Nothing was written."), "{}", run.err);
}

#[test]
fn the_job_is_right_before_it_is_spoiled() {
    let place = Place::new();
    let run = place.write("job.toml", JOB).run(&["plan", "job.toml"]);
    assert_eq!(run.code, 0, "{run:?}");
    assert_eq!(place.names(), ["job-layout", "job.toml"]);
}

#[test]
fn an_unknown_key_names_the_nearest() {
    refused(
        "width = 140",
        "widht = 140",
        &[
            "job.toml, line 5, column 1",
            "fabric.linden.widht",
            "did you mean \"width\"?",
        ],
    );
    refused(
        "units",
        "unit",
        &["line 2, column 1", "did you mean \"units\"?"],
    );
    refused(
        "fabric = \"linden\"",
        "fabric = \"linden\"\nflair = 3",
        &[
            "line 16, column 1",
            "make[1].flair",
            "did you mean \"flare\"?",
        ],
    );
    refused(
        "hip_girth",
        "hip_grith",
        &["line 10, column 1", "wearer.Ilka.hip_grith", "hip_girth"],
    );
}

#[test]
fn an_unknown_draft_fabric_or_wearer_names_the_nearest() {
    refused(
        "panel skirt",
        "pannel skirt",
        &[
            "line 14, column 9",
            "make[1].draft",
            "did you mean \"panel skirt\"?",
        ],
    );
    refused(
        "fabric = \"linden\"",
        "fabric = \"lindn\"",
        &[
            "line 15, column 10",
            "there is no [fabric.lindn]",
            "did you mean \"linden\"?",
        ],
    );
    refused(
        "fabric = \"linden\"",
        "fabric = \"linden\"\nwearers = [\"Ilke\"]",
        &["line 16, column 12", "there is no wearer \"Ilke\"", "Ilka"],
    );
}

#[test]
fn a_missing_measurement_is_asked_for_by_name_wearer_and_how_to_take_it() {
    refused(
        "low_waist_girth = 88\n",
        "",
        &[
            "line 8",
            "wearer.Ilka.low_waist_girth",
            "the low waist girth of Ilka is missing",
            "Tape round the body where the waistband will sit",
        ],
    );
}

#[test]
fn lengths_that_are_none_are_refused() {
    for (value, words) in [
        ("0", "zero"),
        ("-3", "below zero"),
        ("nan", "not a number"),
        ("inf", "not a number"),
        ("\"wide\"", "not a number"),
        ("true", "a length is asked for"),
        ("[140]", "a length is asked for"),
    ] {
        let width = format!("width = {value}");
        refused(
            "width = 140",
            &width,
            &["line 5, column 9", "fabric.linden.width", words],
        );
    }
}

#[test]
fn a_piece_wider_than_the_cloth_says_by_how_much_and_what_would_help() {
    // The wider panel is 0.45 x 88 = 39.6 cm; 40 cm less two selvedges of 1 cm leave 38.
    refused(
        "width = 140",
        "width = 40",
        &[
            "line 13",
            "the back panel of Ilka is 39.6 cm wide in every turn it may take",
            "the usable width of linden is 38 cm: 1.6 cm too wide",
            "a cloth at least 41.6 cm wide",
        ],
    );
}

#[test]
fn a_flag_too_wide_is_told_how_it_may_lie_the_other_way() {
    let flag = |grain: &str, length: &str| {
        let sizes = format!("width = 60\nlength = {length}\n{grain}");
        let cloth = "[fabric.linen]\nwidth = 50\ndirection = \"two-way\"\n";
        format!("{cloth}[[make]]\ndraft = \"rectangle\"\n{sizes}\n")
    };
    let plain = flag("", "40");
    refused_job(&plain, &[], &["across the cloth (grain = \"crosswise\")"]);
    // The direction keeps it from turning, not the grain.
    let either = flag("grain = \"either\"", "40");
    refused_job(&either, &[], &["60 cm wide; or direction = \"none\""]);
    // Laid the other way it is as wide.
    let square = flag("", "60");
    refused_job(&square, &[], &["60 cm wide; or a smaller piece"]);
}

#[test]
fn a_casing_too_wide_for_two_wearers_names_both_and_what_helps() {
    let job = r#"[fabric.linden]
width = 90
direction = "two-way"

[wearer.Ilka]
low_waist_girth = 88
hip_girth = 101

[wearer.Vesna]
low_waist_girth = 92
hip_girth = 105

[[make]]
draft = "waistband casing"
join = "never"
"#;
    // 105 + 3 cm of strip for Vesna; cloth with a direction takes it only across.
    refused_job(
        job,
        &[],
        &[
            "the waistband casing of Ilka, Vesna",
            "is up to 108 cm wide in every turn it may take",
            "joining it from strips (leave out join = \"never\")",
        ],
    );
}

#[test]
fn a_way_of_cutting_that_is_none_is_refused() {
    let job = "[fabric.linden]\nwidth = 140\ncutting = \"rip\"\n\n[[make]]\ndraft = \"apron\"\n";
    refused_job(
        job,
        &[],
        &[
            "job.toml, line 3",
            "fabric.linden.cutting",
            "known: free, straight, tear",
        ],
    );
}

#[test]
fn an_outline_that_crosses_itself_is_refused() {
    let job = r#"[fabric.linden]
width = 140

[[make]]
draft = "custom"

[[make.piece]]
name = "bow"
outline = [["0", "0"], ["30", "30"], ["30", "0"], ["0", "30"]]
"#;
    refused_job(
        job,
        &[],
        &["job.toml, line", "make[1].piece[1]", "crosses the edge"],
    );
}

#[test]
fn a_formula_that_cannot_be_read_is_pointed_at() {
    let job = r#"[fabric.linden]
width = 140

[[make]]
draft = "custom"
file = "own.toml"
"#;
    let own = "[[piece]]\nname = \"sail\"\nshape = \"rectangle\"\nwidth = \"30 + girht\"\nlength = \"20\"\n";
    refused_job(
        job,
        &[("own.toml", own)],
        // At the name within the formula.
        &["own.toml, line 4, column 15", "piece[1].width", "girht"],
    );
}

#[test]
fn all_faults_of_an_own_draft_are_told_and_counted() {
    let own = r#"needs = [{ name = "nape", how = "From the neck bone to the waist." }]
[[piece]]
name = "sail"
shape = "rectangle"
width = "30 + "
length = "min(20)"
[[piece]]
name = "fin"
outline = [["0", "0"], ["9", "0"], ["18", "0"], ["9", "0"], ["9", "9"]]
"#;
    let job = "[fabric.linden]\nwidth = 140\n[wearer.Ilka]\nhip_girth = 101\n\
               [[make]]\ndraft = \"custom\"\nfile = \"own.toml\"\n";
    let with_nape = job.replace("hip_girth", "nape = 40\nhip_girth");
    refused_job(
        &with_nape,
        &[("own.toml", own)],
        &[
            "own.toml, line 5, column 14",
            "the formula ends where a value is missing",
            "own.toml, line 6, column 17",
            "min takes two values, and there is one",
            "2 things to put right",
        ],
    );
    let folded = own.replace("30 + ", "30").replace("min(20)", "20");
    refused_job(
        &with_nape,
        &[("own.toml", &folded)],
        &[
            "own.toml, line 9",
            "the outline of \"fin\"",
            "runs back along itself",
        ],
    );
    // A measurement of its own is asked for where the wearer stands.
    refused_job(
        job,
        &[("own.toml", own)],
        &[
            "job.toml, line 3",
            "wearer.Ilka.nape",
            "the nape of Ilka is missing",
            "From the neck bone to the waist",
        ],
    );
    // A piece too wide is pointed at, not the make.
    let wide = folded
        .replace("\"30\"", "\"150\"")
        .replace("[\"18\", \"0\"], [\"9\", \"0\"], ", "");
    let wide = wide.replace("length = \"20\"", "length = \"nape * 4\"");
    refused_job(
        &with_nape,
        &[("own.toml", &wide)],
        &[
            "own.toml, line 2",
            "the sail of Ilka is 150 cm wide",
            "another grain for this piece",
        ],
    );
}

#[test]
fn faults_of_a_csv_are_named_by_line() {
    let job = "wearers = \"troupe.csv\"\n[fabric.linden]\nwidth = 140\n[[make]]\ndraft = \"panel skirt\"\n";
    let heading = "name,low_waist_girth,skirt_length_front\n";
    for (rows, wanted) in [
        (
            "Ilka,88,97\nVeda,82\n",
            &["troupe.csv, line 3, column 8: skirt_length_front: the row has 2 cells"][..],
        ),
        (
            "Ilka,88,97\nVeda,82,94\nIlka,80,90\n",
            &["troupe.csv, line 4", "Ilka stands twice"],
        ),
        (
            "Ilka,88,97\nVeda,-82,94\n",
            &["troupe.csv, line 3, column 6: low_waist_girth: \"-82\" is not above zero"],
        ),
        (
            "Ilka,88,\n",
            &[
                "troupe.csv, line 2, column 9: skirt_length_front: the skirt length front of Ilka is missing",
            ],
        ),
    ] {
        refused_job(job, &[("troupe.csv", &format!("{heading}{rows}"))], wanted);
    }
    refused_job(
        job,
        &[],
        &[
            "job.toml, line 1, column 11",
            "troupe.csv cannot be read: there is no such file or folder",
            "it starts at the folder of the job",
            "saved as CSV",
        ],
    );
    let rows = "name,low_waist_girth\nIlka,88\nVeda,82\nRuna,95\nSigne,77\nOlin,90\n";
    refused_job(
        job,
        &[("troupe.csv", rows)],
        &[
            "troupe.csv, line 1, column 1: skirt_length_front: there is no such column, and Ilka, \
             Olin, Runa and 2 more need it",
            "add the column skirt_length_front",
        ],
    );
    refused_job(
        job,
        &[("troupe.csv", "name,low_waist_grith\nIlka,88\n")],
        &["troupe.csv, line 1", "low_waist_girth"],
    );
}

#[test]
fn the_place_of_a_fault_is_said_once_and_marked() {
    let place = Place::new();
    place.write(
        "job.toml",
        "wearers = \"troupe.csv\"\n[fabric.linden]\nwidth = 140\n[[make]]\ndraft = \"panel skirt\"\n",
    );
    place.write(
        "troupe.csv",
        "name,low_waist_girth,skirt_length_front\nIlka,88,long\n",
    );
    let run = place.run(&["plan", "job.toml"]);
    assert_eq!(run.err.matches("line 2").count(), 1, "{}", run.err);
    let (cell, mark) = ("2 | Ilka,88,long", "  :         ^^^^");
    assert!(
        run.err.contains(&format!("{cell}\n {mark}\n")),
        "{}",
        run.err
    );
}

#[test]
fn a_file_that_is_no_list_of_wearers_says_so() {
    let job = "wearers = \"troupe.csv\"\n[fabric.linden]\nwidth = 140\n[[make]]\ndraft = \"panel skirt\"\n";
    for text in [
        "{\"wearers\": []}",
        "title = \"Skirt\"\n",
        "Dear Ilka,\nthe dance is on Sunday.\n",
    ] {
        refused_job(
            job,
            &[("troupe.csv", text)],
            &[
                "troupe.csv, line 1",
                "this is not a list of wearers",
                "saves as CSV",
            ],
        );
    }
    let place = Place::new();
    place.write("job.toml", job);
    std::fs::write(
        place.path("troupe.csv"),
        b"name,low_waist_girth\nIlka,88\n\xaf\xbfaneta,80\n",
    )
    .unwrap();
    let run = place.run(&["plan", "job.toml"]);
    assert!(run.err.contains("troupe.csv is not a text file"), "{run:?}");
    assert!(run.err.contains("in line 3"), "{run:?}");
    assert!(run.err.contains("a spreadsheet"), "{run:?}");
}

#[test]
fn what_looks_odd_is_said_beside_an_error_too() {
    let job = JOB
        .replace("skirt_length_front = 97", "skirt_length_front = 38")
        .replace("width = 140", "width = 40");
    refused_job(
        &job,
        &[],
        &["too wide", "38 cm is short for a skirt length"],
    );
    let job = job.replace("panel skirt", "panl skirt");
    refused_job(
        &job,
        &[],
        &["did you mean", "38 cm is short for a skirt length"],
    );
}

#[test]
fn wearers_that_are_no_path_or_nobody_are_explained() {
    refused(
        "units = \"cm\"\n",
        "units = \"cm\"\nwearers = []\n",
        &[
            "line 3, column 11",
            "the path of a CSV is asked for, and this is a list",
            "[wearer.NAME]",
        ],
    );
    refused(
        "fabric = \"linden\"\n",
        "fabric = \"linden\"\nwearers = []\n",
        &[
            "line 16, column 11",
            "make[1].wearers: the list is empty",
            "leave `wearers` out",
        ],
    );
}

#[test]
fn the_files_that_go_with_a_job_are_told_from_it() {
    let place = Place::new();
    place.example("06-own-draft.toml");
    place.write("answer.json", "{}");
    for (file, wanted) in [
        ("03-troupe.csv", "looks like a list of wearers"),
        ("answer.json", "looks like an answer"),
        ("06-waistcoat.toml", "is a draft of your own, not a job"),
    ] {
        let run = place.run(&["plan", file]);
        assert_eq!(run.code, 2, "{run:?}");
        assert!(run.err.contains(wanted), "{file}: {run:?}");
        assert!(
            !run.err.contains("things to put right"),
            "once is enough: {run:?}"
        );
    }
}

#[test]
fn a_job_has_to_be_a_file() {
    let place = Place::new();
    std::fs::create_dir(place.path("folder")).unwrap();
    let run = place.run(&["plan", "folder"]);
    assert_eq!(run.code, 2, "{run:?}");
    assert!(
        run.err.contains("folder cannot be read: it is a folder"),
        "{run:?}"
    );
    if cfg!(unix) {
        // A device (and a pipe, which would be waited for) is told from a file before it is opened.
        let run = place.run(&["plan", "/dev/zero"]);
        assert_eq!(run.code, 2, "{run:?}");
        assert!(
            run.err
                .contains("/dev/zero cannot be read: it is not a file"),
            "{run:?}"
        );
    }
}

#[test]
fn the_key_in_a_draft_of_its_own_starts_in_its_own_file() {
    let job = "[fabric.linden]\nwidth = 140\n[[make]]\ndraft = \"custom\"\nfile = \"own.toml\"\n";
    let own = "[[piece]]\nname = \"sail\"\nshape = \"rectangle\"\nwidth = \"30 + girht\"\nlength = \"20\"\n";
    refused_job(
        job,
        &[("own.toml", own)],
        &["own.toml, line 4, column 15: piece[1].width:"],
    );
    refused_job(
        job,
        &[],
        &[
            "make[1].file: own.toml cannot be read",
            "`lengthwise drafts custom` shows",
        ],
    );
}

#[test]
fn a_value_that_a_choice_inherits_is_wrong_once() {
    let job = JOB.replace("width = 140", "width = 140\ndirection = \"upwards\"");
    let job = format!("{job}[[compare.choice]]\nlabel = \"narrow\"\nwidth = 90\n");
    let place = Place::new();
    let run = place.write("job.toml", &job).run(&["compare", "job.toml"]);
    assert_eq!(
        run.err.matches("upwards").count(),
        2,
        "once in words, once in its line: {}",
        run.err
    );
}

#[test]
fn selvedges_may_not_eat_the_width() {
    refused(
        "selvedge = 1",
        "selvedge = 70",
        &[
            "line 6, column 12",
            "fabric.linden.selvedge",
            "two selvedges of 70 cm leave nothing of a width of 140 cm",
        ],
    );
}

#[test]
fn a_file_that_is_not_toml_is_refused_where_it_breaks() {
    refused(
        "width = 140",
        "width = 140 cm",
        &[
            "line 5",
            "this is not TOML",
            "in quotes: width = \"140 cm\"",
        ],
    );
    refused_job("%PDF-1.4 \u{fffd}", &[], &["line 1", "this is not TOML"]);
    let place = Place::new();
    std::fs::write(place.path("job.toml"), [0xff, 0xfe, 0x00, 0x01]).unwrap();
    let run = place.run(&["plan", "job.toml"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("not a text file"), "{run:?}");
}

#[test]
fn a_file_of_fifty_megabytes_is_refused_before_it_is_read() {
    let place = Place::new();
    let file = std::fs::File::create(place.path("job.toml")).unwrap();
    file.set_len(50_000_000).unwrap();
    let run = place.run(&["plan", "job.toml"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("too large: 50 MB"), "{run:?}");
}

#[test]
fn a_file_that_is_not_there_says_so() {
    let run = Place::new().run(&["plan", "job.toml"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("job.toml cannot be read"), "{run:?}");
}

#[test]
fn several_mistakes_are_reported_together() {
    let job = JOB
        .replace("width = 140", "width = -1")
        .replace("hip_girth = 101", "hip_girth = 0")
        .replace("panel skirt", "panl skirt");
    refused_job(
        &job,
        &[],
        &[
            "fabric.linden.width",
            "wearer.Ilka.hip_girth",
            "make[1].draft",
            "3 things to put right. Nothing was written.",
        ],
    );
}

#[test]
fn an_output_folder_that_cannot_be_written_is_named_before_any_work() {
    let place = Place::new();
    place
        .write("job.toml", JOB)
        .write("taken", "a file, not a folder");
    let run = place.run(&["plan", "job.toml", "--out", "taken/out"]);
    assert_eq!(run.code, 2, "{run:?}");
    assert!(
        run.err
            .contains("taken/out cannot be written to: a file of that name"),
        "{run:?}"
    );
    assert!(run.err.contains("--out FOLDER"), "{run:?}");
    assert_eq!(place.names(), ["job.toml", "taken"]);
}

#[test]
fn a_number_that_looks_like_another_unit_is_asked_about_but_not_refused() {
    let place = Place::new();
    let job = JOB.replace("skirt_length_front = 97", "skirt_length_front = 38");
    let run = place.write("job.toml", &job).run(&["plan", "job.toml"]);
    assert_eq!(run.code, 0, "{run:?}");
    let flat = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("38 cm is short for a skirt length"), "{flat}");
    assert!(flat.contains("38 in"), "{flat}");
    // Every one is asked about, with its key and place.
    let job = JOB
        .replace("skirt_length_front = 97", "skirt_length_front = 41")
        .replace(
            "draft = \"panel skirt\"",
            "draft = \"panel skirt\"\nhem = 25",
        );
    let run = place.write("job.toml", &job).run(&["plan", "job.toml"]);
    let flat = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "job.toml, line 11, column 22: wearer.Ilka.skirt_length_front: 41 cm is short",
        "make[1].hem: 25 cm is long for a hem allowance; 25 mm would be 2.5 cm",
    ] {
        assert!(flat.contains(part), "{part} missing in {flat}");
    }
}

#[test]
fn ten_thousand_pieces_are_allowed_with_a_word_about_the_time() {
    let job = r#"[fabric.linen]
width = 140

[[make]]
draft = "rectangle"
name = "flag"
width = 20
length = 30
copies = 10000
"#;
    let place = Place::new();
    let run = place
        .write("job.toml", job)
        .run(&["plan", "job.toml", "--effort", "quick"]);
    assert_eq!(run.code, 0, "{run:?}");
    assert!(
        run.err
            .starts_with("10000 pieces: this may take some seconds."),
        "equal pieces are quick: {run:?}"
    );
    let answer = place.json("job-layout/answer.json");
    assert_eq!(
        answer["cloths"][0]["placements"].as_array().unwrap().len(),
        10_000
    );
    assert_eq!(place.run(&["check", "job-layout/answer.json"]).code, 0);
}

#[test]
fn more_pieces_than_one_run_lays_are_refused() {
    let job = "[fabric.linen]\nwidth = 140\n[[make]]\ndraft = \"rectangle\"\nwidth = 20\nlength = 30\ncopies = 60000\n";
    refused_job(job, &[], &["make[1].copies", "10000"]);
}

/// A list of wearers lies beside the job, and a message names it as it can be opened from here.
#[test]
fn a_file_beside_the_job_is_named_with_its_folder() {
    let place = Place::new();
    std::fs::create_dir(place.path("village")).expect("a folder");
    place.write(
        "village/job.toml",
        "wearers = \"people.csv\"\n[fabric.linen]\nwidth = 140\n[[make]]\ndraft = \"panel skirt\"\n",
    );
    place.write("village/people.csv", "name,low_waist_girth\nIlka,-3\n");
    let run = place.run(&["plan", "village/job.toml"]);
    assert_eq!(run.code, 2, "{run:?}");
    assert!(run.err.contains("village/people.csv"), "{run:?}");
}

/// An empty list could mean that there is no cloth, or that it was forgotten.
#[test]
fn an_empty_list_of_cloth_is_asked_about() {
    let place = Place::new();
    place.write(
        "job.toml",
        "[fabric.linen]\nwidth = 140\nhave = []\n[[make]]\ndraft = \"rectangle\"\nwidth = 20\nlength = 30\n",
    );
    let run = place.run(&["plan", "job.toml"]);
    assert_eq!(run.code, 2, "{run:?}");
    assert!(run.err.contains("leave `have` out"), "{run:?}");
}
