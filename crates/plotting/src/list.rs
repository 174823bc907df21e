//! The numbered list: the words of pieces that were too small for them.
//!
//! Pieces that are alike in all that a person cuts by (name, wearer, shape) share a number, so that a
//! list of six hundred pieces stays as short as the job is; it says how many pieces bear the number.
//! One list may serve several drawings of a sheet of choices: there the same piece bears the same
//! number in each.

use std::collections::{BTreeMap, BTreeSet};

use pieces::Units;

use crate::block::Row;
use crate::sheet::Placed;
use crate::view::View;
use crate::words;

/// Name, wearer, size across and along, doubled area, whether it is turned over, and what is said besides.
type Key<'a> = (
    &'a str,
    Option<&'a str>,
    i64,
    i64,
    i128,
    bool,
    Option<&'a str>,
);

fn key<'a>(placed: &Placed<'a>, besides: Option<&'a str>) -> Key<'a> {
    let piece = placed.piece;
    let bounds = piece.cut.bounds();
    (
        &piece.name,
        piece.wearer.as_deref(),
        bounds.across().um(),
        bounds.along().um(),
        piece.cut.doubled_area(),
        placed.mirrored,
        besides,
    )
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq)]
struct Entry {
    line: String,
    /// Pieces that bear the number.
    bearers: usize,
}

/// The numbers given so far.
pub(crate) struct List<'a> {
    units: Units,
    numbers: BTreeMap<Key<'a>, usize>,
    entries: Vec<Entry>,
    /// Pieces whose number found no place on the drawing.
    pub(crate) unshown: usize,
    /// True once a sign says that a piece goes on beyond a break.
    pub(crate) goes_on: bool,
    /// As many figures as the largest number may have.
    pub(crate) widest: String,
}

impl<'a> List<'a> {
    /// An empty list for these drawings.
    pub(crate) fn of(views: &[&View<'a>]) -> Self {
        let kinds: BTreeSet<Key<'_>> = views
            .iter()
            .flat_map(|v| &v.sheet.placed)
            .map(|placed| key(placed, None))
            .collect();
        List {
            units: views.first().map_or(Units::Centimetres, |v| v.sheet.units),
            numbers: BTreeMap::new(),
            entries: Vec::new(),
            unshown: 0,
            goes_on: false,
            widest: "8".repeat(kinds.len().max(1).to_string().len()),
        }
    }

    /// The number of a piece, its line with `besides` after it.
    pub(crate) fn number(&mut self, placed: &Placed<'a>, besides: Option<&'static str>) -> usize {
        let next = self.entries.len() + 1;
        let number = *self.numbers.entry(key(placed, besides)).or_insert(next);
        if number == next {
            let mut line = words::piece_line(self.units, placed);
            if let Some(besides) = besides {
                line = format!("{line}; {besides}");
            }
            self.entries.push(Entry { line, bearers: 0 });
        }
        number
    }

    /// One more piece bears `number`, on the drawing or, if there was no place, only here.
    pub(crate) fn bear(&mut self, number: usize, shown: bool) {
        if let Some(entry) = number.checked_sub(1).and_then(|k| self.entries.get_mut(k)) {
            entry.bearers += 1;
        }
        self.unshown += usize::from(!shown);
    }

    /// The list; with how many pieces bear each number if they are counted.
    pub(crate) fn rows(&self, counted: bool) -> Vec<Row> {
        if self.entries.is_empty() {
            return Vec::new();
        }
        let mut rows = vec![Row::Rule, Row::note("Numbered pieces")];
        rows.extend(self.entries.iter().enumerate().map(|(k, entry)| {
            let times = if counted && entry.bearers > 1 {
                format!(", \u{d7} {}", entry.bearers)
            } else {
                String::new()
            };
            Row::item(k + 1, &format!("{}{times}", entry.line))
        }));
        rows
    }
}
