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
    /// The cell in the text, in bytes; the row where it is not about one cell.
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
        InputError::at(span, self.column.unwrap_or_default(), self.what, self.help)
    }
}

/// A wearer, and where they stand in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvRow {
    /// Who.
    pub wearer: Wearer,
    /// The row, in bytes.
    pub span: Span,
    /// The cell of each measurement that has a column, blank ones too.
    pub cells: BTreeMap<String, Span>,
    /// The row of headings.
    pub headings: Span,
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

/// Reads wearers from the text of a CSV file; bare numbers are in `units`. `own` are measurements of
/// the person's own drafts, which may have columns too.
///
/// # Errors
/// What is wrong with the headings, or else with each row: unknown or doubled headings, too few or too
/// many cells, a wearer without name or twice, a value that is no length above zero, an unknown size.
pub fn read_csv(text: &str, units: Units, own: &[&str]) -> Result<Vec<CsvRow>, Vec<CsvError>> {
    let (file, heading, rows) = File::read(text).map_err(|error| vec![error])?;
    let columns = file.columns(&heading, own)?;
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    let mut wearers = Vec::with_capacity(rows.len());
    let mut errors = Vec::new();
    for row in &rows {
        let wearer = match file.wearer(row, &columns, units) {
            Ok(wearer) => wearer,
            Err(error) => {
                errors.push(error);
                continue;
            }
        };
        if let Some(first) = seen.get(&wearer.name.to_lowercase()) {
            let what = format!("{} stands twice: first in line {first}", wearer.name);
            let help =
                "one row for each wearer; tell two of one name apart, like Ilka M. and Ilka S.";
            let name = columns.place(|holds| matches!(holds, Holds::Name));
            errors.push(file.fault(row, name.map(|n| columns.cell(n)), what, help));
            continue;
        }
        seen.insert(wearer.name.to_lowercase(), row.line);
        let cells = columns.0.iter().enumerate();
        let cells = cells.filter_map(|(number, (_, holds))| match holds {
            Holds::Measurement(key) => Some((key.clone(), file.cell(row, number))),
            _ => None,
        });
        wearers.push(CsvRow {
            cells: cells.collect(),
            wearer,
            span: row.span,
            headings: heading.span,
        });
    }
    if rows.is_empty() {
        errors.push(file.fault(
            &heading,
            None,
            "there is no wearer below the headings",
            "write one row for each wearer",
        ));
    }
    if errors.is_empty() {
        Ok(wearers)
    } else {
        Err(errors)
    }
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
    fn place(&self, is: impl Fn(&Holds) -> bool) -> Option<usize> {
        self.0.iter().position(|(_, holds)| is(holds))
    }

    /// A column by its number and heading, for a fault in one of its cells.
    fn cell(&self, number: usize) -> Cell<'_> {
        let heading = self.0.get(number).map_or("", |(heading, _)| heading);
        Cell { number, heading }
    }
}

/// Which cell of a row a fault is about.
#[derive(Clone, Copy)]
struct Cell<'a> {
    number: usize,
    heading: &'a str,
}

/// The cells of a row and where it stands.
#[derive(Default)]
struct Row {
    cells: StringRecord,
    line: u64,
    span: Span,
}

/// The text, for the places of its cells.
struct File<'a> {
    text: &'a str,
    delimiter: u8,
}

impl<'a> File<'a> {
    /// The file, its headings and the rows below.
    fn read(text: &'a str) -> Result<(Self, Row, Vec<Row>), CsvError> {
        check_csv_size(text.len() as u64)?;
        let body = text.trim_start_matches('\u{FEFF}');
        let offset = text.len() - body.len();
        let file = File {
            text,
            delimiter: delimiter(body),
        };
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(file.delimiter)
            .from_reader(body.as_bytes());
        let mut rows = Vec::new();
        let (mut line, mut counted) = (1, 0);
        for cells in reader.records() {
            let cells = cells.map_err(|error| CsvError {
                line: error.position().map_or(1, csv::Position::line),
                span: Span::default(),
                column: None,
                what: format!("the file cannot be read: {error}"),
                help: "save it again as CSV".into(),
            })?;
            // Spreadsheets leave rows of nothing but separators behind.
            if cells.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            let span = file.place(&cells, offset);
            // Lines are counted on from the row before: once over the file in all.
            let passed = &text.as_bytes()[counted..span.start];
            line += passed.iter().filter(|&&b| b == b'\n').count() as u64;
            counted = span.start;
            rows.push(Row { cells, line, span });
        }
        if rows.is_empty() {
            let first = Row {
                line: 1,
                ..Row::default()
            };
            let help = "write a heading row: name, hip_girth, ...";
            return Err(file.fault(&first, None, "the file is empty", help));
        }
        let heading = rows.remove(0);
        Ok((file, heading, rows))
    }

    /// The bytes of a row; `offset` are those before the first.
    fn place(&self, row: &StringRecord, offset: usize) -> Span {
        let byte = row
            .position()
            .map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
        let start = (offset + byte).min(self.text.len());
        let rest = self.text.get(start..).unwrap_or("");
        // A row's position is where the one before ended, so blank lines stand in between.
        let start = start + rest.len() - rest.trim_start_matches(['\r', '\n']).len();
        let length = self.text[start..]
            .find(['\r', '\n'])
            .unwrap_or(self.text.len() - start);
        Span {
            start,
            end: start + length,
        }
    }

    /// The bytes of a cell, without the spaces around it; the row's end where the row is too short.
    fn cell(&self, row: &Row, number: usize) -> Span {
        let row = row.span;
        let (mut quoted, mut cell, mut start) = (false, 0, row.start);
        let mut end = row.end;
        for (place, byte) in self.text.as_bytes()[row.start..row.end].iter().enumerate() {
            if *byte == b'"' {
                quoted = !quoted;
            } else if *byte == self.delimiter && !quoted {
                if cell == number {
                    end = row.start + place;
                    break;
                }
                cell += 1;
                start = row.start + place + 1;
            }
        }
        if cell < number {
            start = row.end;
        }
        let written = self.text.get(start..end).unwrap_or("");
        let before = written.len() - written.trim_start().len();
        let trimmed = written.trim().len();
        if trimmed == 0 {
            return Span { start, end: start };
        }
        Span {
            start: start + before,
            end: start + before + trimmed,
        }
    }

    fn fault(
        &self,
        row: &Row,
        cell: Option<Cell<'_>>,
        what: impl Into<String>,
        help: impl Into<String>,
    ) -> CsvError {
        CsvError {
            line: row.line,
            span: cell.map_or(row.span, |cell| self.cell(row, cell.number)),
            column: cell.map(|cell| cell.heading.to_string()),
            what: what.into(),
            help: help.into(),
        }
    }

    fn columns(&self, heading: &Row, own: &[&str]) -> Result<Columns, Vec<CsvError>> {
        let mut known = vec!["name", "wearer", "size"];
        known.extend(measurement::ALL.iter().map(|m| m.key));
        known.extend(own);
        let mut columns: Vec<(String, Holds)> = Vec::new();
        let mut errors = Vec::new();
        let mut one_is_known = false;
        for (number, written) in heading.cells.iter().map(str::trim).enumerate() {
            let shown: String = written.chars().take(60).collect();
            let cell = Cell {
                number,
                heading: &shown,
            };
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
                    let near = nearest(written, known.iter().copied());
                    one_is_known |= near.is_some();
                    let help = match near {
                        Some(near) => format!("did you mean \"{near}\"?"),
                        None => known_names(written, &known),
                    };
                    let what = "no measurement of that name is known";
                    errors.push(self.fault(heading, Some(cell), what, help));
                    Holds::Nothing
                }
            };
            one_is_known |= !matches!(holds, Holds::Nothing);
            let same = |other: &Holds| match (&holds, other) {
                (Holds::Name, Holds::Name) | (Holds::Size, Holds::Size) => true,
                (Holds::Measurement(a), Holds::Measurement(b)) => a == b,
                _ => false,
            };
            if columns.iter().any(|(_, other)| same(other)) {
                let what = "the column stands twice";
                errors.push(self.fault(heading, Some(cell), what, "keep one of them"));
            }
            columns.push((written.to_string(), holds));
        }
        if !one_is_known {
            return Err(vec![self.fault(
                heading,
                None,
                "this is not a list of wearers: none of the headings in its first row is known",
                "the first row names the columns, like name,low_waist_girth,hip_girth; a spreadsheet \
                 program writes such a file when it saves as CSV",
            )]);
        }
        let columns = Columns(columns);
        let named = columns
            .place(|holds| matches!(holds, Holds::Name))
            .is_some();
        if errors.is_empty() && !named {
            errors.push(self.fault(
                heading,
                None,
                "no column holds the wearers' names",
                "head one column \"name\"",
            ));
        }
        if errors.is_empty() {
            Ok(columns)
        } else {
            Err(errors)
        }
    }

    fn wearer(&self, row: &Row, columns: &Columns, units: Units) -> Result<Wearer, CsvError> {
        self.check_cells(row, columns)?;
        let cells = || {
            let all = columns
                .0
                .iter()
                .zip(row.cells.iter().map(str::trim))
                .enumerate();
            all.map(|(number, ((_, holds), cell))| (columns.cell(number), holds, cell))
        };
        let mut wearer = Wearer::default();
        let mut size = None;
        for (at, holds, cell) in cells() {
            if cell.contains(['\n', '\r']) {
                let help = "close the quotes that the cell opens";
                return Err(self.fault(
                    row,
                    Some(at),
                    "the cell goes on over the end of the line",
                    help,
                ));
            }
            match holds {
                Holds::Name if cell.is_empty() => {
                    return Err(self.fault(
                        row,
                        Some(at),
                        "the wearer has no name",
                        "give every wearer a name",
                    ));
                }
                Holds::Name if cell.chars().count() > LONGEST_NAME => {
                    return Err(self.fault(
                        row,
                        Some(at),
                        format!("the name is longer than {LONGEST_NAME} characters"),
                        "shorten it: it is written on every piece",
                    ));
                }
                Holds::Name => wearer.name = cell.split_whitespace().collect::<Vec<_>>().join(" "),
                Holds::Nothing if !cell.is_empty() => {
                    return Err(self.fault(
                        row,
                        Some(at),
                        "a cell stands in a column without heading",
                        "head the column with the name of a measurement",
                    ));
                }
                Holds::Size if !cell.is_empty() => {
                    size = Some(
                        Size::read(cell).map_err(|e| self.fault(row, Some(at), e.what, e.help))?,
                    );
                }
                _ => {}
            }
        }
        // The name may stand in any column, and warnings carry it.
        for (at, holds, cell) in cells() {
            let Holds::Measurement(key) = holds else {
                continue;
            };
            if cell.is_empty() {
                continue;
            }
            let reading = units
                .read_with_unit(cell, Rounding::Up)
                .map_err(|e| self.fault(row, Some(at), e.what, e.help))?;
            if reading.length <= Length::ZERO {
                let what = format!("\"{cell}\" is not above zero");
                let help = "write a length above zero, or leave the cell blank if it was not taken";
                return Err(self.fault(row, Some(at), what, help));
            }
            let about = format!("{} of {}", at.heading, wearer.name);
            let span = self.cell(row, at.number);
            wearer.take(key, units, reading, span, &about);
        }
        if let Some(size) = size {
            wearer.fill_in(size);
        }
        Ok(wearer)
    }

    fn check_cells(&self, row: &Row, columns: &Columns) -> Result<(), CsvError> {
        let (has, wants) = (row.cells.len(), columns.0.len());
        if has == wants {
            return Ok(());
        }
        let separator = match self.delimiter {
            b';' => "semicolon",
            b'\t' => "tab",
            _ => "comma",
        };
        let cells = if has == 1 { "cell" } else { "cells" };
        let what = |few: &str| format!("the row has {has} {cells}, too {few} for {wants} columns");
        if has < wants {
            let missing = Some(columns.cell(has));
            let help = format!("write a {separator} for every cell, also for a blank one");
            return Err(self.fault(row, missing, what("few"), help));
        }
        let help = if self.delimiter == b',' {
            "take the cells out that have no heading; numbers like 97,5 need semicolons between cells, or a point"
        } else {
            "take the cells out that have no heading"
        };
        Err(self.fault(row, None, what("many"), help))
    }
}
