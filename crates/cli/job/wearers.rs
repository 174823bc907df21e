//! Wearers, from `[wearer.NAME]` tables and from a CSV that the job names.

use pieces::settings::{Span, Value};
use pieces::wearer::{CsvError, read_csv};
use pieces::{InputError, Settings, Units, Wearer};

use super::faults::Faults;
use super::sources::{Kind, Sources};
use super::{Open, Place, RowPlace};

/// Reads all of them, in the order of the file, those of the CSV last.
pub fn read(
    raw: &Settings,
    units: Units,
    own: &[&str],
    sources: &mut Sources,
    open: &mut Open<'_>,
    faults: &mut Faults,
) -> Vec<(Wearer, Place)> {
    let mut people = Vec::new();
    let tables = faults.optional(raw.table("", "wearer"));
    for entry in tables.map_or(&[][..], |table| &table.entries) {
        let path = format!("wearer.{}", entry.key);
        let Some(table) = faults.keep(entry.setting.table(&path)) else {
            continue;
        };
        let read = Wearer::from_settings(&entry.key, table, &path, units, own, &[]);
        // A wearer that could not be read is still there to be named by a make.
        let wearer = read.unwrap_or_else(|errors| {
            faults.extend(errors);
            Wearer::new(&entry.key)
        });
        let span = Some(entry.key_span);
        let row = None;
        people.push((wearer, Place { path, span, row }));
    }
    if let Some(name) = csv_name(raw, faults) {
        let place = raw.get("wearers").map(|setting| setting.span);
        match open(name, Kind::Wearers) {
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
    let start = sources.add(sources.path_of(name), text);
    let at = |span: Span| Span {
        start: span.start + start,
        end: span.end + start,
    };
    let rows = match read_csv(text, units, own) {
        Ok(rows) => rows,
        Err(errors) => {
            let errors = errors.into_iter();
            faults.extend(errors.map(|error: CsvError| error.into_input_error(start)));
            return;
        }
    };
    for row in rows {
        let mut wearer = row.wearer;
        for span in wearer.warnings.iter_mut().filter_map(|w| w.span.as_mut()) {
            *span = at(*span);
        }
        let twice = people
            .iter()
            .any(|(known, _)| known.name.to_lowercase() == wearer.name.to_lowercase());
        if twice {
            faults.note(InputError::at(
                at(row.span),
                "name",
                format!("{} stands in the job and in {name}", wearer.name),
                "keep one of the two",
            ));
        }
        let cells = row.cells.into_iter();
        let place = Place {
            // The file and the line say where it is; what is left is the column.
            path: String::new(),
            span: Some(at(row.span)),
            row: Some(RowPlace {
                cells: cells.map(|(key, span)| (key, at(span))).collect(),
                headings: at(row.headings),
            }),
        };
        people.push((wearer, place));
    }
}

/// The CSV that the job names.
fn csv_name<'a>(raw: &'a Settings, faults: &mut Faults) -> Option<&'a str> {
    let setting = raw.get("wearers")?;
    if let Value::Text(_) = setting.value {
        return faults.optional(raw.text("", "wearers"));
    }
    faults.note(InputError::at(
        setting.span,
        "wearers",
        format!(
            "the path of a CSV is asked for, and this is {}",
            setting.value.kind()
        ),
        "write wearers = \"people.csv\", or leave it out and give each wearer a [wearer.NAME] table; \
         who gets a garment is said by `wearers` in its [[make]]",
    ));
    None
}
