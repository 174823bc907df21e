//! What a person is told when the input is wrong: where, what, and what would be right.
//!
//! Readers and drafts give plain [`InputError`]s; here they meet the text they are about and become
//! diagnostics with file, line, column and the line itself. On a terminal they are drawn in colour,
//! elsewhere in plain characters, so that a log or a test reads the same words.

use std::fmt;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode, SourceSpan,
};
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
    /// The whole line that it starts in.
    fn line(&self) -> SourceSpan {
        let start = self.text[..self.start].rfind('\n').map_or(0, |i| i + 1);
        let rest = &self.text[start..];
        let length = rest.find('\n').unwrap_or(rest.len());
        SourceSpan::new(start.into(), length)
    }

    /// The length in bytes of the longest among its line and so many lines on each side.
    fn longest_line(&self, beside: usize) -> usize {
        let (line, _) = self.line_and_column();
        let first = line.saturating_sub(beside + 1);
        let lines = self.text.lines().skip(first).take(line + beside - first);
        lines.map(str::len).max().unwrap_or(0)
    }

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

/// A line longer than this is no help beside a message that names the column.
const LONGEST_LINE: usize = 300;

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

impl Fault {
    /// The place, where its line can be shown.
    fn shown(&self) -> Option<&FaultPlace> {
        let place = self.place.as_ref()?;
        (place.longest_line(0) <= LONGEST_LINE).then_some(place)
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
        self.shown().map(|place| place as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let place = self.shown()?;
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
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn miette::SpanContents<'a> + 'a>, miette::MietteError> {
        let contents = if self.longest_line(1) > LONGEST_LINE {
            self.text.read_span(&self.line(), 0, 0)?
        } else {
            self.text.read_span(span, before, after)?
        };
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
    fn a_line_of_any_length_leaves_the_message_short() {
        let long = "x".repeat(5_000);
        for (text, shown) in [
            (format!("title = \"{long}\"\n"), false),
            (format!("units = 3\ntitle = \"{long}\"\n"), true),
        ] {
            let mut sources = Sources::default();
            sources.add("skirt.toml", &text);
            let span = Span { start: 8, end: 9 };
            let error = InputError::at(span, "units", "this is no unit", "");
            let said = Refused::from_errors(&sources, vec![error]).to_string();
            assert!(
                said.contains("line 1, column 9") && said.len() < 500,
                "{said}"
            );
            assert_eq!(said.contains("units = 3"), shown, "{said}");
        }
    }

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
