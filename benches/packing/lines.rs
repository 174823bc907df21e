//! The file of results: a line for each layout.

use std::fs::{self, File};
use std::io::{Error, Write};
use std::path::{Path, PathBuf};

use serde_json::Value;

/// Written beside its name, as `NAME.part`, and given the name when all lines are there: a run may take hours,
/// and be stopped, and what it has found is not lost.
pub struct Lines {
    path: PathBuf,
    part: PathBuf,
    file: File,
    count: usize,
}

impl Lines {
    /// Makes sure that the file can be written.
    pub fn begin(path: &Path) -> Result<Self, String> {
        let mut part = path.as_os_str().to_owned();
        part.push(".part");
        let part = PathBuf::from(part);
        if path.is_dir() {
            return Err(format!("{}: this is a folder", path.display()));
        }
        Ok(Lines {
            file: File::create(&part).map_err(|error| named(&part, &error))?,
            path: path.to_owned(),
            part,
            count: 0,
        })
    }

    pub fn add(&mut self, line: &Value) -> Result<(), String> {
        self.count += 1;
        writeln!(self.file, "{line}").map_err(|error| named(&self.part, &error))
    }

    /// Without any line nothing is written, and what was there before stays.
    pub fn finish(self) -> Result<(), String> {
        drop(self.file);
        let done = if self.count > 0 {
            fs::rename(&self.part, &self.path)
        } else {
            fs::remove_file(&self.part)
        };
        done.map_err(|error| named(&self.path, &error))
    }
}

fn named(path: &Path, error: &Error) -> String {
    format!("{}: {error}", path.display())
}
