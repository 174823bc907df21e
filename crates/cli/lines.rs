//! How words are set in lines: as wide as the terminal, 80 columns where there is none.
//!
//! Lines after the first hang under the words they go on from, a number stays with its unit, and
//! nothing is broken inside a word. A run that is not looked at on a terminal gives the same bytes
//! everywhere.

use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

/// Columns where no terminal says otherwise.
pub const USUAL: usize = 80;

/// Below this nothing can be set in columns; beyond the other, lines are too long to be read.
const NARROWEST: usize = 40;
const WIDEST: usize = 120;

/// Between two columns of a table.
const GAP: usize = 2;

/// Columns of standard output.
#[must_use]
pub fn of_output() -> usize {
    columns(terminal_size::terminal_size_of(std::io::stdout()))
}

/// Columns of standard error.
#[must_use]
pub fn of_messages() -> usize {
    columns(terminal_size::terminal_size_of(std::io::stderr()))
}

fn columns(size: Option<(terminal_size::Width, terminal_size::Height)>) -> usize {
    size.map_or(USUAL, |(width, _)| {
        usize::from(width.0).clamp(NARROWEST, WIDEST)
    })
}

/// `text` in lines of at most `width` columns, the first after `first`, the others after `rest`.
#[must_use]
pub fn wrapped(text: &str, first: &str, rest: &str, width: usize) -> String {
    let mut out = String::new();
    if text.is_empty() {
        return out;
    }
    for line in broken(text, first, rest, width) {
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// `text` in lines, all of them `indent` spaces in.
#[must_use]
pub fn indented(text: &str, indent: usize, width: usize) -> String {
    let spaces = " ".repeat(indent);
    wrapped(text, &spaces, &spaces, width)
}

/// An entry of a list, after a hyphen.
#[must_use]
pub fn listed(text: &str, width: usize) -> String {
    wrapped(text, "  - ", "    ", width)
}

/// The first of these names, and how many more there are: `Ilka, Veda and 10 more`.
#[must_use]
pub fn first_of(names: &[&str], most: usize) -> String {
    let first = names[..names.len().min(most)].join(", ");
    match names.len().saturating_sub(most) {
        0 => first,
        rest => format!("{first} and {rest} more"),
    }
}

fn broken(text: &str, first: &str, rest: &str, width: usize) -> Vec<String> {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(rest)
        .break_words(false)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation);
    textwrap::wrap(&kept_together(text), options)
        .into_iter()
        .map(|line| line.replace(TOGETHER, " "))
        .collect()
}

/// Stands for a space at which no line ends.
const TOGETHER: char = '\u{a0}';

/// Spaces within `38 3/8 in`, and within a command in backticks, made such that no line ends there.
fn kept_together(text: &str) -> String {
    const UNITS: [&str; 9] = ["cm", "mm", "m", "in", "yd", "%", "MB", "x", "times"];
    let mut out = String::new();
    let (mut number, mut command, mut times) = (false, false, false);
    for (place, word) in text.split(' ').enumerate() {
        let bare = word.trim_end_matches(|c: char| c.is_ascii_punctuation() && c != '%');
        let fraction = word.contains('/') && word.starts_with(|c: char| c.is_ascii_digit());
        if place > 0 {
            let keeps = command || times || (number && (UNITS.contains(&bare) || fraction));
            out.push(if keeps { TOGETHER } else { ' ' });
        }
        out.push_str(word);
        times = number && matches!(word, "x" | "times");
        number = word.ends_with(|c: char| c.is_ascii_digit());
        command ^= word.matches('`').count() % 2 == 1;
    }
    out
}

/// Rows of cells under each other, two spaces in.
#[derive(Clone, Debug)]
pub struct Columns {
    rows: Vec<Row>,
    /// Numbers are set to the right.
    right: &'static [usize],
    /// The column that is broken where a row is too wide.
    gives_way: usize,
}

#[derive(Clone, Debug)]
enum Row {
    Cells(Vec<String>),
    Words(String),
}

impl Columns {
    /// With the columns `right` set to the right, and `gives_way` broken where a row is too wide.
    #[must_use]
    pub fn new(right: &'static [usize], gives_way: usize) -> Self {
        Columns {
            rows: Vec::new(),
            right,
            gives_way,
        }
    }

    /// Adds a row of cells.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        self.rows
            .push(Row::Cells(cells.into_iter().map(Into::into).collect()));
    }

    /// Adds words that stand across all columns.
    pub fn words(&mut self, words: impl Into<String>) {
        self.rows.push(Row::Words(words.into()));
    }

    /// The rows in lines of at most `width` columns, as far as the other columns leave room.
    #[must_use]
    pub fn set(&self, width: usize) -> String {
        let mut widths: Vec<usize> = Vec::new();
        for row in &self.rows {
            let Row::Cells(cells) = row else { continue };
            widths.resize(widths.len().max(cells.len()), 0);
            for (widest, cell) in widths.iter_mut().zip(cells) {
                *widest = display_width(cell).max(*widest);
            }
        }
        if let Some(own) = widths.get(self.gives_way).copied() {
            let all: usize = widths.iter().map(|width| width + GAP).sum();
            // A few words a line must be left, or the column is better broken nowhere.
            let room = width.saturating_sub(all - own).max(12);
            widths[self.gives_way] = own.min(room);
        }
        let mut out = String::new();
        for row in &self.rows {
            match row {
                Row::Words(words) => out.push_str(&wrapped(words, "  ", "    ", width)),
                Row::Cells(cells) => out.push_str(&self.set_row(cells, &widths)),
            }
        }
        out
    }

    fn set_row(&self, cells: &[String], widths: &[usize]) -> String {
        let broken: Vec<Vec<String>> = cells
            .iter()
            .enumerate()
            .map(|(column, cell)| {
                if column == self.gives_way {
                    broken(cell, "", "", widths[column])
                } else {
                    vec![cell.clone()]
                }
            })
            .collect();
        let high = broken.iter().map(Vec::len).max().unwrap_or(0);
        let mut out = String::new();
        for line in 0..high {
            let mut set = String::new();
            for (column, cell) in broken.iter().enumerate() {
                let words = cell.get(line).map_or("", String::as_str);
                let free = " ".repeat(widths[column].saturating_sub(display_width(words)));
                set.push_str(&" ".repeat(GAP));
                if self.right.contains(&column) {
                    set.push_str(&free);
                    set.push_str(words);
                } else {
                    set.push_str(words);
                    set.push_str(&free);
                }
            }
            out.push_str(set.trim_end());
            out.push('\n');
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_stays_with_its_fraction_and_its_unit() {
        let text = "cut 3 x it at 38 3/8 in, then at 5 cm; see `lengthwise keys`.";
        for width in 18..40 {
            let lines = wrapped(text, "", "", width);
            for line in lines.lines() {
                assert!(!line.ends_with("38") && !line.ends_with("3/8"), "{lines}");
                assert!(!line.ends_with('3') && !line.ends_with('x'), "{lines}");
                assert!(!line.ends_with(" 5") && !line.ends_with("wise"), "{lines}");
                assert!(line.len() <= width, "{width}: {lines}");
            }
        }
    }

    #[test]
    fn the_column_that_gives_way_hangs_under_itself() {
        let mut table = Columns::new(&[1], 2);
        table.row(["need", "8 cm", "one two three four five six seven"]);
        table.row(["to buy", "110 cm", "short"]);
        table.words("all of it");
        let expected = "  need      8 cm  one two three\n                  four five six\n                  \
                        seven\n  to buy  110 cm  short\n  all of it\n";
        assert_eq!(table.set(32), expected);
    }

    #[test]
    fn words_wider_than_the_line_are_left_whole() {
        let path = "a/very/long/folder/name/that/does/not/fit";
        assert_eq!(wrapped(path, "  ", "    ", 20), format!("  {path}\n"));
    }
}
