//! Wearers, from `[wearer.NAME]` tables and from a CSV that the job names.

use pieces::settings::Span;
use pieces::wearer::read_csv_with_own;
use pieces::{InputError, Settings, Units, Wearer};

use super::Place;
use super::faults::Faults;
use super::sources::Sources;
use crate::message::Refused;

/// Reads all of them, in the order of the file, those of the CSV last.
pub fn read(
    raw: &Settings,
    units: Units,
    own: &[&str],
    sources: &mut Sources,
    open: &mut dyn FnMut(&str) -> Result<String, Refused>,
    faults: &mut Faults,
) -> Vec<(Wearer, Place)> {
    let mut people = Vec::new();
    let tables = faults.optional(raw.table("", "wearer"));
    for entry in tables.map_or(&[][..], |table| &table.entries) {
        let path = format!("wearer.{}", entry.key);
        let Some(table) = faults.keep(entry.setting.table(&path)) else {
            continue;
        };
        let wearer = Wearer::from_settings(&entry.key, table, &path, units, own, &[]);
        // A wearer that could not be read is still there to be named by a make.
        let wearer = faults
            .keep(wearer)
            .unwrap_or_else(|| Wearer::new(&entry.key));
        let span = Some(entry.key_span);
        people.push((wearer, Place { path, span }));
    }
    if let Some(name) = faults.optional(raw.text("", "wearers")) {
        let place = raw.get("wearers").map(|setting| setting.span);
        match open(name) {
            Ok(text) => from_csv(name, &text, units, own, sources, faults, &mut people),
            Err(refused) => {
                for fault in refused.faults {
                    faults.note(InputError {
                        span: place,
                        key: "wearers".to_owned(),
                        what: fault.what,
                        help: fault.help,
                    });
                }
            }
        }
    }
    people
}

fn from_csv(
    name: &str,
    text: &str,
    units: Units,
    own: &[&str],
    sources: &mut Sources,
    faults: &mut Faults,
    people: &mut Vec<(Wearer, Place)>,
) {
    let start = sources.add(name, text);
    let rows = read_csv_with_own(text, units, own).map_err(|error| error.into_input_error(start));
    for wearer in faults.keep(rows).unwrap_or_default() {
        let span = row_of(text, &wearer.name).map(|row| Span {
            start: row.start + start,
            end: row.end + start,
        });
        let twice = people
            .iter()
            .any(|(known, _)| known.name.to_lowercase() == wearer.name.to_lowercase());
        if twice {
            faults.note(InputError {
                span: span.or(Some(Span { start, end: start })),
                key: "name".to_owned(),
                what: format!("{} stands in the job and in {name}", wearer.name),
                help: "keep one of the two".to_owned(),
            });
        }
        let path = format!("{name}, {}", wearer.name);
        people.push((wearer, Place { path, span }));
    }
}

/// The row that a wearer stands in: the first below the headings that holds the name.
fn row_of(text: &str, name: &str) -> Option<Span> {
    let mut start = 0;
    for (number, line) in text.split_inclusive('\n').enumerate() {
        if number > 0 && line.contains(name) {
            let end = start + line.trim_end().len();
            return Some(Span { start, end });
        }
        start += line.len();
    }
    None
}
