//! Wearers from a CSV file: one row each, columns named as the measurements.
//!
//! One column is `name` (or `wearer`), one may be `size`; every other is a measurement of the
//! catalogue or one that the person's own drafts name. A blank cell is a measurement not taken, a
//! cell may carry its unit. Spreadsheets write what they like, so a mark at the start of the file
//! (BOM) is skipped, and cells may be separated by commas, semicolons or tabs: a semicolon in the
//! heading row decides for semicolons, else a tab for tabs, else it is commas. No heading holds
//! one of them by itself. With semicolons or tabs, `97,5` is a number.

use std::collections::BTreeMap;
use std::fmt;

use csv::{ReaderBuilder, StringRecord};

use super::Wearer;
use crate::length::{Length, Rounding};
use crate::measurement;
use crate::settings::{InputError, Span, known_names, nearest};
use crate::size_table::Size;
use crate::units::Units;

/// The largest file that is read, in bytes: 4 MB, some 50 000 wearers.
pub const LARGEST_CSV: u64 = 4_000_000;

/// A name has to fit on a piece of the drawing.
const LONGEST_NAME: usize = 60;

/// What is wrong with a CSV file: where, what, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvError {
    /// Line of the file, from 1.
    pub line: u64,
    /// The row in the text, in bytes.
    pub span: Span,
    /// The column's heading, where it is about one cell.
    pub column: Option<String>,
    /// What is wrong, a sentence without full stop.
    pub what: String,
    /// What would be right, a sentence without full stop.
    pub help: String,
}

impl fmt::Display for CsvError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.place(), self.what)?;
        if self.help.is_empty() {
            Ok(())
        } else {
            write!(f, " ({})", self.help)
        }
    }
}

impl std::error::Error for CsvError {}

impl CsvError {
    /// `line 3, column hip_girth`.
    #[must_use]
    pub fn place(&self) -> String {
        match &self.column {
            Some(column) => format!("line {}, column {column}", self.line),
            None => format!("line {}", self.line),
        }
    }

    /// As a complaint about an input whose text starts at byte `start` of all input.
    #[must_use]
    pub fn into_input_error(self, start: usize) -> InputError {
        let span = Span {
            start: self.span.start + start,
            end: self.span.end + start,
        };
        InputError::at(span, self.place(), self.what, self.help)
    }
}

/// Refuses a file that is too large, before it is read.
///
/// # Errors
/// If the file has more than [`LARGEST_CSV`] bytes.
pub fn check_csv_size(bytes: u64) -> Result<(), CsvError> {
    if bytes <= LARGEST_CSV {
        return Ok(());
    }
    Err(CsvError {
        line: 1,
        span: Span::default(),
        column: None,
        what: format!(
            "the file is too large for a list of wearers: {} MB",
            bytes.div_ceil(1_000_000)
        ),
        help: format!(
            "at most {} MB are read, some 50 000 wearers; is it the right file?",
            LARGEST_CSV / 1_000_000
        ),
    })
}

/// Reads wearers from the text of a CSV file; bare numbers are in `units`.
///
/// # Errors
/// The first fault, with line and column: unknown or doubled headings, too few or too many cells, a
/// wearer without name or twice, a value that is no length above zero, an unknown size.
pub fn read_csv(text: &str, units: Units) -> Result<Vec<Wearer>, CsvError> {
    read_csv_with_own(text, units, &[])
}

/// Like [`read_csv`], with columns for `own` measurements of the person's own drafts.
///
/// # Errors
/// As [`read_csv`].
pub fn read_csv_with_own(text: &str, units: Units, own: &[&str]) -> Result<Vec<Wearer>, CsvError> {
    check_csv_size(text.len() as u64)?;
    let body = text.trim_start_matches('\u{FEFF}');
    let file = File {
        text,
        offset: text.len() - body.len(),
    };
    let delimiter = delimiter(body);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(body.as_bytes());
    let mut rows = Vec::new();
    for row in reader.records() {
        let row = row.map_err(|error| CsvError {
            line: error.position().map_or(1, csv::Position::line),
            span: Span::default(),
            column: None,
            what: format!("the file cannot be read: {error}"),
            help: "save it again as CSV".into(),
        })?;
        // Spreadsheets leave rows of nothing but separators behind.
        if !row.iter().all(|cell| cell.trim().is_empty()) {
            rows.push(row);
        }
    }
    let Some((heading, rows)) = rows.split_first() else {
        return Err(file.fault(
            &StringRecord::new(),
            None,
            "the file is empty",
            "write a heading row: name, hip_girth, ...",
        ));
    };
    let columns = file.columns(heading, own)?;
    let mut seen: BTreeMap<String, &StringRecord> = BTreeMap::new();
    let mut wearers = Vec::with_capacity(rows.len());
    for row in rows {
        let wearer = file.wearer(row, &columns, units, delimiter)?;
        if let Some(first) = seen.insert(wearer.name.to_lowercase(), row) {
            let first = file.place(first).0;
            let what = format!("{} stands twice: first in line {first}", wearer.name);
            let help =
                "one row for each wearer; tell two of one name apart, like Ilka M. and Ilka S.";
            return Err(file.fault(row, columns.name_heading(), what, help));
        }
        wearers.push(wearer);
    }
    if wearers.is_empty() {
        return Err(file.fault(
            heading,
            None,
            "there is no wearer below the headings",
            "write one row for each wearer",
        ));
    }
    Ok(wearers)
}

/// What separates the cells; see the module.
fn delimiter(body: &str) -> u8 {
    let heading = body
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or("");
    [b';', b'\t']
        .into_iter()
        .find(|&d| heading.contains(char::from(d)))
        .unwrap_or(b',')
}

/// What a column holds.
enum Holds {
    Name,
    Size,
    Measurement(String),
    /// It has no heading, and must be blank all the way down.
    Nothing,
}

struct Columns(Vec<(String, Holds)>);

impl Columns {
    fn name_heading(&self) -> Option<&str> {
        self.0
            .iter()
            .find(|(_, holds)| matches!(holds, Holds::Name))
            .map(|(heading, _)| heading.as_str())
    }
}

/// The text, for the places of its rows.
struct File<'a> {
    text: &'a str,
    offset: usize,
}

impl File<'_> {
    /// Line and bytes of a row.
    fn place(&self, row: &StringRecord) -> (u64, Span) {
        let byte = row
            .position()
            .map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
        let start = (self.offset + byte).min(self.text.len());
        let rest = self.text.get(start..).unwrap_or("");
        // A row's position is where the one before ended, so blank lines stand in between.
        let blank = rest.len() - rest.trim_start_matches(['\r', '\n']).len();
        let start = start + blank;
        let line = 1 + self.text.as_bytes()[..start]
            .iter()
            .filter(|&&b| b == b'\n')
            .count() as u64;
        let length = self.text[start..]
            .find(['\r', '\n'])
            .unwrap_or(self.text.len() - start);
        (
            line,
            Span {
                start,
                end: start + length,
            },
        )
    }

    fn fault(
        &self,
        row: &StringRecord,
        column: Option<&str>,
        what: impl Into<String>,
        help: impl Into<String>,
    ) -> CsvError {
        let (line, span) = self.place(row);
        CsvError {
            line,
            span,
            column: column.map(str::to_string),
            what: what.into(),
            help: help.into(),
        }
    }

    fn columns(&self, heading: &StringRecord, own: &[&str]) -> Result<Columns, CsvError> {
        let mut known = vec!["name", "wearer", "size"];
        known.extend(measurement::ALL.iter().map(|m| m.key));
        known.extend(own);
        let mut columns: Vec<(String, Holds)> = Vec::new();
        for heading_cell in heading {
            let written = heading_cell.trim();
            let key = own.iter().find(|own| **own == written).map_or_else(
                || written.to_lowercase().replace([' ', '-'], "_"),
                |own| (*own).to_string(),
            );
            let holds = match key.as_str() {
                "" => Holds::Nothing,
                "name" | "wearer" => Holds::Name,
                "size" => Holds::Size,
                _ if known.contains(&key.as_str()) => Holds::Measurement(key.clone()),
                _ => {
                    let shown: String = written.chars().take(60).collect();
                    let help = match nearest(written, known.iter().copied()) {
                        Some(near) => format!("did you mean \"{near}\"?"),
                        None => known_names(written, &known),
                    };
                    return Err(self.fault(
                        heading,
                        Some(&shown),
                        "no measurement of that name is known",
                        help,
                    ));
                }
            };
            let same = |other: &Holds| match (&holds, other) {
                (Holds::Name, Holds::Name) | (Holds::Size, Holds::Size) => true,
                (Holds::Measurement(a), Holds::Measurement(b)) => a == b,
                _ => false,
            };
            if columns.iter().any(|(_, other)| same(other)) {
                return Err(self.fault(
                    heading,
                    Some(written),
                    "the column stands twice",
                    "keep one of them",
                ));
            }
            columns.push((written.to_string(), holds));
        }
        let columns = Columns(columns);
        if columns.name_heading().is_none() {
            return Err(self.fault(
                heading,
                None,
                "no column holds the wearers' names",
                "head one column \"name\"",
            ));
        }
        Ok(columns)
    }

    fn wearer(
        &self,
        row: &StringRecord,
        columns: &Columns,
        units: Units,
        delimiter: u8,
    ) -> Result<Wearer, CsvError> {
        self.check_cells(row, columns, delimiter)?;
        let cells = || columns.0.iter().zip(row.iter().map(str::trim));
        let mut wearer = Wearer::default();
        let mut size = None;
        for ((heading, holds), cell) in cells() {
            if cell.contains(['\n', '\r']) {
                let help = "close the quotes that the cell opens";
                return Err(self.fault(
                    row,
                    Some(heading),
                    "the cell goes on over the end of the line",
                    help,
                ));
            }
            match holds {
                Holds::Name if cell.is_empty() => {
                    return Err(self.fault(
                        row,
                        Some(heading),
                        "the wearer has no name",
                        "give every wearer a name",
                    ));
                }
                Holds::Name if cell.chars().count() > LONGEST_NAME => {
                    return Err(self.fault(
                        row,
                        Some(heading),
                        format!("the name is longer than {LONGEST_NAME} characters"),
                        "shorten it: it is written on every piece",
                    ));
                }
                Holds::Name => wearer.name = cell.split_whitespace().collect::<Vec<_>>().join(" "),
                Holds::Nothing if !cell.is_empty() => {
                    return Err(self.fault(
                        row,
                        None,
                        "a cell stands in a column without heading",
                        "head the column with the name of a measurement",
                    ));
                }
                Holds::Size if !cell.is_empty() => {
                    size = Some(
                        Size::read(cell)
                            .map_err(|e| self.fault(row, Some(heading), e.what, e.help))?,
                    );
                }
                _ => {}
            }
        }
        // The name may stand in any column, and warnings carry it.
        for ((heading, holds), cell) in cells() {
            let Holds::Measurement(key) = holds else {
                continue;
            };
            if cell.is_empty() {
                continue;
            }
            let reading = units
                .read_with_unit(cell, Rounding::Up)
                .map_err(|e| self.fault(row, Some(heading), e.what, e.help))?;
            if reading.length <= Length::ZERO {
                let what = format!("\"{cell}\" is not above zero");
                let help = "write a length above zero, or leave the cell blank if it was not taken";
                return Err(self.fault(row, Some(heading), what, help));
            }
            wearer.take(key, units, reading);
        }
        if let Some(size) = size {
            wearer.fill_in(size);
        }
        Ok(wearer)
    }

    fn check_cells(
        &self,
        row: &StringRecord,
        columns: &Columns,
        delimiter: u8,
    ) -> Result<(), CsvError> {
        let (has, wants) = (row.len(), columns.0.len());
        if has == wants {
            return Ok(());
        }
        let separator = match delimiter {
            b';' => "semicolon",
            b'\t' => "tab",
            _ => "comma",
        };
        let cells = if has == 1 { "cell" } else { "cells" };
        let what = |few: &str| format!("the row has {has} {cells}, too {few} for {wants} columns");
        if has < wants {
            let missing = columns.0.get(has).map(|(heading, _)| heading.as_str());
            let help = format!("write a {separator} for every cell, also for a blank one");
            return Err(self.fault(row, missing, what("few"), help));
        }
        let help = if delimiter == b',' {
            "take the cells out that have no heading; numbers like 97,5 need semicolons between cells, or a point"
        } else {
            "take the cells out that have no heading"
        };
        Err(self.fault(row, None, what("many"), help))
    }
}
