//! Ctrl-C during a long search.

#![cfg(unix)]

mod common;

use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use common::Place;

/// Two dozen panels that no bound proves: without a signal the search takes its hour.
const JOB: &str = r#"
[fabric.linen]
width = "140 cm"

[[make]]
draft = "trapezoid"
top_width = 21
hem_width = 43
length = 71
copies = 17

[[make]]
draft = "trapezoid"
top_width = 13
hem_width = 38
length = 58
copies = 7
"#;

#[test]
fn ctrl_c_ends_the_search_with_the_best_layout_so_far() {
    let place = Place::new();
    place.write("flags.toml", JOB);
    let mut run = Command::new(assert_cmd::cargo::cargo_bin!("lengthwise"))
        .args(["plan", "flags.toml", "--seconds", "3600"])
        .current_dir(place.path(""))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command runs");
    // The folder is made once the signal can be caught.
    while !place.path("flags-layout").exists() {
        assert_eq!(run.try_wait().expect("a state"), None, "it ended by itself");
        sleep(Duration::from_millis(20));
    }
    let sent = Command::new("kill")
        .args(["-INT", &run.id().to_string()])
        .status();
    assert!(sent.expect("kill is there").success());
    let output = run.wait_with_output().expect("it ends");
    let (out, err) = (
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr),
    );
    assert_eq!(output.status.code(), Some(0), "{out}{err}");
    assert!(err.contains("best layout so far"), "{err}");
    assert!(
        place
            .read("flags-layout/marker-linen.svg")
            .ends_with("</svg>\n")
    );
    let check = place.run(&["check", "flags-layout/answer.json"]);
    assert_eq!(check.code, 0, "{}{}", check.out, check.err);
}
