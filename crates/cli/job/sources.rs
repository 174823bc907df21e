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
use crate::output::reason;

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

    /// The path of a file that the job names: it starts at the folder of the job.
    #[must_use]
    pub fn path_of(&self, name: &str) -> String {
        let job = self.texts.first().map(|job| Path::new(&job.name));
        let folder = job.and_then(Path::parent).unwrap_or(Path::new(""));
        folder.join(name).display().to_string()
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

/// What a file is read as: decides how large it may be and what is said when it cannot be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A job.
    Job,
    /// The wearers of a job.
    Wearers,
    /// A person's own draft.
    Draft,
    /// An answer.
    Answer,
}

impl Kind {
    const fn largest(self) -> u64 {
        match self {
            Kind::Answer => LARGEST_ANSWER,
            _ => LARGEST_FILE,
        }
    }

    /// Where one comes from, for a file that is not there.
    const fn whence(self) -> &'static str {
        match self {
            Kind::Job => "check the path; `lengthwise new` writes a first job to start from",
            Kind::Wearers => {
                "check the path, it starts at the folder of the job; the file is a list with one \
                 row for each wearer, saved as CSV"
            }
            Kind::Draft => {
                "check the path, it starts at the folder of the job; `lengthwise drafts custom` shows \
                 such a file"
            }
            Kind::Answer => {
                "check the path; `lengthwise plan JOB.toml` writes answer.json into the folder that \
                 it names"
            }
        }
    }

    /// What it is made of.
    const fn form(self) -> &'static str {
        match self {
            Kind::Job => "a job is a text file in TOML, saved as UTF-8",
            Kind::Wearers => {
                "wearers are a text file in CSV, saved as UTF-8; a spreadsheet program writes one when \
                 it saves as CSV"
            }
            Kind::Draft => "a draft is a text file in TOML, saved as UTF-8",
            Kind::Answer => "an answer is the answer.json that `lengthwise plan` writes",
        }
    }

    const fn size(self) -> &'static str {
        match self {
            Kind::Job => "a job: it is a few pages of text",
            Kind::Wearers => "a list of wearers: they are a few pages of text",
            Kind::Draft => "a draft: it is a page of text",
            Kind::Answer => "an answer",
        }
    }
}

/// Reads a text file, refusing one that cannot be what it should before reading it.
///
/// # Errors
/// It is no file, cannot be read, is too large, or is not text.
pub fn read_text(path: &Path, kind: Kind) -> Result<String, Refused> {
    let name = path.display();
    let limit = kind.largest();
    let unread = |error: std::io::Error| {
        let what = format!("{name} cannot be read: {}", reason(&error));
        Refused::plain(what, kind.whence())
    };
    let known = fs::metadata(path).map_err(unread)?;
    if !known.is_file() {
        // A pipe would be waited for, a device never ends.
        let what = if known.is_dir() {
            "a folder"
        } else {
            "not a file"
        };
        return Err(Refused::plain(
            format!("{name} cannot be read: it is {what}"),
            kind.whence(),
        ));
    }
    let mut bytes = Vec::new();
    if known.len() <= limit {
        // It may grow meanwhile; reading stops one byte past the limit.
        fs::File::open(path)
            .and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
            .map_err(unread)?;
    }
    let size = known.len().max(bytes.len() as u64);
    if size > limit {
        return Err(Refused::plain(
            format!("{name} is too large: {} MB", size.div_ceil(1_000_000)),
            format!(
                "at most {} MB are read as {}; is it the right file?",
                limit / 1_000_000,
                kind.size()
            ),
        ));
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let before = &error.as_bytes()[..good];
        let line = 1 + before.iter().filter(|&&byte| byte == b'\n').count();
        let what = format!(
            "{name} is not a text file: byte {}, in line {line}, is not UTF-8",
            good + 1
        );
        Refused::plain(what, kind.form())
    })
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
