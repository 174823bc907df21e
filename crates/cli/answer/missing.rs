//! Measurements that are asked for: each at its place, and a column of a CSV that is not there once, not
//! for every row.

use std::collections::{BTreeMap, BTreeSet};

use pieces::settings::Span;
use pieces::wearer::MissingMeasurement;
use pieces::{InputError, measurement};

use crate::job::Place;
use crate::job::make::Make;
use crate::lines::first_of;

/// Wearers named one by one, at most.
const MOST_NAMED: usize = 3;

/// By place and key: the measurement, and who lacks it.
#[derive(Default)]
pub struct Missing {
    found: BTreeMap<(Span, String), (MissingMeasurement, BTreeSet<String>)>,
}

impl Missing {
    /// Notes one.
    pub fn note(&mut self, lacking: MissingMeasurement, make: &Make, place: &Place) {
        let key = &lacking.key;
        let (span, path) = match &place.row {
            Some(row) => (
                row.cells.get(key).copied().unwrap_or(row.headings),
                key.clone(),
            ),
            None => (
                place.span.unwrap_or(make.span),
                format!("{}.{key}", place.path),
            ),
        };
        let name = lacking.wearer.clone();
        let entry = self.found.entry((span, path));
        entry.or_insert((lacking, BTreeSet::new())).1.insert(name);
    }

    /// What is to be said about all of them.
    pub fn into_errors(self) -> impl Iterator<Item = InputError> {
        let found = self.found.into_iter();
        found.map(|((span, path), (lacking, names))| {
            let mut error = lacking.at(span, path);
            if names.len() > 1 {
                error.what = format!(
                    "there is no such column, and {} need it",
                    first_of(
                        &names.iter().map(String::as_str).collect::<Vec<_>>(),
                        MOST_NAMED
                    )
                );
                error.help = format!(
                    "add the column {}; it holds the {}",
                    lacking.key,
                    measurement::name_of(&lacking.key)
                );
            }
            error
        })
    }
}
