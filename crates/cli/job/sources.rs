//! The texts a job is read from, laid end to end so that one [`Span`] is enough to name a place.
//!
//! A job file may name a CSV of wearers and files with a person's own drafts. Each text gets its
//! own stretch of one long number line; what goes wrong in any of them carries a plain span, and
//! [`Sources::find`] turns it back into a file and a place in it. Sizes are asked for before a file
//! is read: a job is a page of text, and half a gigabyte by that name is a slip of the hand.

use std::fs;
use std::io::Read;
use std::path::Path;

use pieces::settings::Span;

use crate::message::Refused;

/// No file of a job may be larger: 4 MB is a CSV of 50 000 wearers.
pub const LARGEST_FILE: u64 = 4_000_000;

/// One text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceText {
    /// Its path, as the person wrote it.
    pub name: String,
    /// What stands in it.
    pub text: String,
    start: usize,
}

impl SourceText {
    /// `span` counted from the start of this text.
    #[must_use]
    pub fn local(&self, span: Span) -> Span {
        Span {
            start: span.start.saturating_sub(self.start).min(self.text.len()),
            end: span.end.saturating_sub(self.start).min(self.text.len()),
        }
    }
}

/// All texts of one job; the job file is the first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sources {
    texts: Vec<SourceText>,
}

impl Sources {
    /// Adds a text and says where its stretch begins.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> usize {
        // One byte between two texts, so that the end of one is not the start of the next.
        let start = self
            .texts
            .last()
            .map_or(0, |last| last.start + last.text.len() + 1);
        self.texts.push(SourceText {
            name: name.into(),
            text: text.into(),
            start,
        });
        start
    }

    /// The text that `span` lies in.
    #[must_use]
    pub fn find(&self, span: Span) -> Option<&SourceText> {
        self.texts
            .iter()
            .rev()
            .find(|text| text.start <= span.start)
    }

    /// All texts, the job file first.
    #[must_use]
    pub fn texts(&self) -> &[SourceText] {
        &self.texts
    }
}

/// No answer file may be larger: 10 000 pieces with curved edges come to some 50 MB.
const LARGEST_ANSWER: u64 = 500_000_000;

/// Reads a text file, refusing one that cannot be a job before reading it.
///
/// # Errors
/// It cannot be read, is larger than [`LARGEST_FILE`], or is not text.
pub fn read_text(path: &Path) -> Result<String, Refused> {
    read_limited(
        path,
        LARGEST_FILE,
        "a job: a job and its wearers are a few pages of text",
    )
}

/// Reads the text of an answer file.
///
/// # Errors
/// As [`read_text`], with a larger limit.
pub fn read_answer_text(path: &Path) -> Result<String, Refused> {
    read_limited(path, LARGEST_ANSWER, "an answer file")
}

fn read_limited(path: &Path, limit: u64, what: &str) -> Result<String, Refused> {
    let name = path.display();
    let size = fs::metadata(path)
        .map_err(|error| cannot_read(path, &error))?
        .len();
    let mut bytes = Vec::new();
    if size <= limit {
        // A pipe has no size beforehand; reading stops one byte past the limit.
        fs::File::open(path)
            .and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
            .map_err(|error| cannot_read(path, &error))?;
    }
    if size.max(bytes.len() as u64) > limit {
        return Err(Refused::plain(
            format!(
                "{name} is too large: {} MB",
                size.max(limit + 1).div_ceil(1_000_000)
            ),
            format!(
                "at most {} MB are read as {what}; is it the right file?",
                limit / 1_000_000
            ),
        ));
    }
    String::from_utf8(bytes).map_err(|error| {
        Refused::plain(
            format!(
                "{name} is not a text file: byte {} is not UTF-8",
                error.utf8_error().valid_up_to() + 1
            ),
            "a job is a text file in TOML, wearers are a text file in CSV, both saved as UTF-8",
        )
    })
}

fn cannot_read(path: &Path, error: &std::io::Error) -> Refused {
    let help = if error.kind() == std::io::ErrorKind::NotFound {
        "check the path; `lengthwise new` writes a first job to start from"
    } else {
        "check that it is a file and that you may read it"
    };
    Refused::plain(format!("{} cannot be read: {error}", path.display()), help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_finds_its_text_again() {
        let mut sources = Sources::default();
        assert_eq!(sources.add("job.toml", "ab"), 0);
        let start = sources.add("wearers.csv", "cde");
        let span = Span {
            start: start + 1,
            end: start + 2,
        };
        let text = sources.find(span).unwrap();
        assert_eq!(text.name, "wearers.csv");
        assert_eq!(text.local(span), Span { start: 1, end: 2 });
        let end_of_first = Span { start: 2, end: 2 };
        assert_eq!(sources.find(end_of_first).unwrap().name, "job.toml");
    }
}
