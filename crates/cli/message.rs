//! What a person is told when the input is wrong: where, what, and what would be right.
//!
//! Readers and drafts give plain [`InputError`]s; here they meet the text they are about and become
//! diagnostics with file, line, column and the line itself. On a terminal they are drawn in colour,
//! elsewhere in plain characters, so that a log or a test reads the same words.

use std::fmt;

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode};
use pieces::InputError;

use crate::job::sources::Sources;
use crate::lines::{USUAL, listed};

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Where it is, if it is in a file.
    pub place: Option<FaultPlace>,
    /// What is wrong, with the key it is about.
    pub what: String,
    /// What would be right; may be empty.
    pub help: String,
}

/// A place in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FaultPlace {
    /// The file's path, as the person wrote it.
    pub file: String,
    /// The file's whole text.
    pub text: String,
    /// First byte.
    pub start: usize,
    /// How many bytes.
    pub length: usize,
}

impl FaultPlace {
    /// Line and column, both from 1; columns count characters.
    #[must_use]
    pub fn line_and_column(&self) -> (usize, usize) {
        let before = &self.text[..self.start];
        let line_start = before.rfind('\n').map_or(0, |i| i + 1);
        (
            before.matches('\n').count() + 1,
            before[line_start..].chars().count() + 1,
        )
    }
}

/// More messages than this are no help: a missing column of a long CSV breaks every row.
const MOST_SHOWN: usize = 20;

/// How messages are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// In colour, for a terminal.
    pub colour: bool,
    /// Columns of a line.
    pub width: usize,
}

/// The input is wrong, in one or several ways. Nothing has been written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Everything found, in the order of the file.
    pub faults: Vec<Fault>,
    /// What looked odd on the way, and may be why.
    pub warnings: Vec<String>,
}

impl Refused {
    /// These faults.
    #[must_use]
    pub fn of(faults: Vec<Fault>) -> Self {
        Refused {
            faults,
            warnings: Vec::new(),
        }
    }

    /// One fault that is not about a place in a file.
    #[must_use]
    pub fn plain(what: impl Into<String>, help: impl Into<String>) -> Self {
        Refused::of(vec![Fault {
            place: None,
            what: what.into(),
            help: help.into(),
        }])
    }

    /// All errors of a job, each with its place.
    #[must_use]
    pub fn from_errors(sources: &Sources, mut errors: Vec<InputError>) -> Self {
        errors.sort_by_key(|error| error.span.map(|span| span.start));
        // A value that two keys lead to (a choice takes it from its fabric) is wrong once.
        errors.dedup_by(|b, a| {
            a == b || (a.span.is_some() && (a.span, &a.what) == (b.span, &b.what))
        });
        let faults = errors.into_iter().map(|error| Fault::new(sources, error));
        Refused::of(faults.collect())
    }

    /// With what looked odd.
    #[must_use]
    pub fn warned(mut self, warnings: &[String]) -> Self {
        self.warnings.extend_from_slice(warnings);
        self
    }

    /// The messages as a person reads them.
    #[must_use]
    pub fn render(&self, look: Look) -> String {
        let theme = if look.colour {
            GraphicalTheme::unicode()
        } else {
            GraphicalTheme::none()
        };
        let handler = GraphicalReportHandler::new_themed(theme)
            .with_width(look.width)
            .with_links(false)
            .with_context_lines(1)
            .without_syntax_highlighting();
        let mut out = String::new();
        for fault in self.faults.iter().take(MOST_SHOWN) {
            // Writing into a string does not fail; if the drawing should, the bare words are left.
            if handler.render_report(&mut out, fault).is_err() {
                out.push_str(&format!("{fault}\n{}\n", fault.help));
            }
            while out.ends_with("\n\n") {
                out.pop();
            }
        }
        if self.faults.len() > MOST_SHOWN {
            out.push_str(&format!(
                "  ... and {} more like these\n",
                self.faults.len() - MOST_SHOWN
            ));
        }
        if !self.warnings.is_empty() {
            out.push_str("\nMind\n");
            for warning in self.warnings.iter().take(MOST_SHOWN) {
                out.push_str(&listed(warning, look.width));
            }
        }
        out
    }

    /// How many there are, and, where the command `writes`, that it has not.
    #[must_use]
    pub fn closing(&self, writes: bool) -> String {
        let count = match self.faults.len() {
            0 | 1 => String::new(),
            count => format!("{count} things to put right. "),
        };
        let nothing = if writes { "Nothing was written." } else { "" };
        match format!("{count}{nothing}").trim_end() {
            "" => String::new(),
            closing => format!("\n{closing}\n"),
        }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(Look {
            colour: false,
            width: USUAL,
        }))
    }
}

impl std::error::Error for Refused {}

impl Fault {
    /// The error, with the text it is about.
    #[must_use]
    pub fn new(sources: &Sources, error: InputError) -> Self {
        let place = error.span.and_then(|span| {
            let text = sources.find(span)?;
            let local = text.local(span);
            let first_line = text.text.get(local.start..local.end)?.lines().next();
            Some(FaultPlace {
                file: text.name.clone(),
                text: text.text.clone(),
                start: local.start,
                // A span over several lines (a whole table) is pointed at by its first line.
                length: first_line.map_or(0, str::len),
            })
        });
        let what = if error.key.is_empty() {
            error.what
        } else {
            format!("{}: {}", error.key, error.what)
        };
        Fault {
            place,
            what,
            help: error.help,
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = &self.place {
            let (line, column) = place.line_and_column();
            write!(f, "{}, line {line}, column {column}: ", place.file)?;
        }
        f.write_str(&self.what)
    }
}

impl std::error::Error for Fault {}

impl Diagnostic for Fault {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        (!self.help.is_empty()).then(|| Box::new(&self.help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.place.as_ref().map(|place| place as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let place = self.place.as_ref()?;
        Some(Box::new(std::iter::once(LabeledSpan::new(
            None,
            place.start,
            place.length,
        ))))
    }
}

impl SourceCode for FaultPlace {
    fn read_span<'a>(
        &'a self,
        span: &miette::SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn miette::SpanContents<'a> + 'a>, miette::MietteError> {
        let contents = self.text.read_span(span, before, after)?;
        Ok(Box::new(miette::MietteSpanContents::new_named(
            self.file.clone(),
            contents.data(),
            *contents.span(),
            contents.line(),
            contents.column(),
            contents.line_count(),
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pieces::settings::Span;

    #[test]
    fn a_message_names_file_line_column_key_and_what_would_be_right() {
        let mut sources = Sources::default();
        sources.add("skirt.toml", "[fabric.linden]\nwidht = 140\n");
        let error = InputError::at(
            Span { start: 16, end: 21 },
            "fabric.linden.widht",
            "there is no such key",
            "did you mean `width`?",
        );
        let text = Refused::from_errors(&sources, vec![error]).to_string();
        for wanted in [
            "skirt.toml",
            "line 2, column 1",
            "fabric.linden.widht: there is no such key",
            "widht = 140",
            "did you mean `width`?",
        ] {
            assert!(text.contains(wanted), "{wanted} missing in\n{text}");
        }
    }
}
