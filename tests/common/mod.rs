//! Runs the built command the way a person would, in a folder of its own.

#![allow(dead_code, missing_docs)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;
use tempfile::TempDir;

/// What a run left behind.
#[derive(Debug)]
pub struct Run {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// A folder to work in.
pub struct Place {
    folder: TempDir,
}

impl Place {
    pub fn new() -> Self {
        Place {
            folder: tempfile::tempdir().expect("a folder for the test"),
        }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: &str) -> &Self {
        fs::write(self.path(name), text).expect("a file for the test");
        self
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).expect("a file that was written")
    }

    pub fn json(&self, name: &str) -> Value {
        serde_json::from_str(&self.read(name)).expect("JSON")
    }

    /// Names of everything in the folder, sorted.
    pub fn names(&self) -> Vec<String> {
        names_in(self.folder.path())
    }

    pub fn run(&self, args: &[&str]) -> Run {
        let output = Command::new(assert_cmd::cargo::cargo_bin!("lengthwise"))
            .args(args)
            .current_dir(self.folder.path())
            .env("NO_COLOR", "1")
            .output()
            .expect("the command runs");
        Run {
            code: output.status.code().expect("an exit code"),
            out: String::from_utf8(output.stdout).expect("text"),
            err: String::from_utf8(output.stderr).expect("text"),
        }
    }

    /// Copies an example and what it names into the folder.
    pub fn example(&self, name: &str) -> &Self {
        let folder = examples();
        for file in names_in(&folder) {
            if file.ends_with(".csv") || file.ends_with(".toml") {
                fs::copy(folder.join(&file), self.path(&file)).expect("an example");
            }
        }
        assert!(self.path(name).exists(), "no example {name}");
        self
    }
}

pub fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    names
}

pub fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

/// A whole number of an answer.
pub fn um(value: &Value, key: &str) -> i64 {
    value[key]
        .as_i64()
        .unwrap_or_else(|| panic!("{key} is no whole number in {value}"))
}
