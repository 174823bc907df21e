//! The `[[make]]` tables: which draft, from which fabric, for whom, how many.

use std::collections::BTreeMap;

use pieces::draft::Draft;
use pieces::settings::{Span, known_names};
use pieces::{Fabric, InputError, Settings, Wearer};

use super::faults::{Faults, joined};
use super::sources::{Kind, Sources};
use super::{Open, keys, toml_text};

/// More garments of one kind than any troupe wears.
const MOST_COPIES: u32 = 10_000;

/// One kind of garment to make.
#[derive(Clone)]
pub struct Make {
    /// Its path in the job: `make[1]`.
    pub path: String,
    /// Where its table stands.
    pub span: Span,
    /// Its draft.
    pub draft: &'static dyn Draft,
    /// Key of its fabric.
    pub fabric: String,
    /// Indices of its wearers.
    pub wearers: Vec<usize>,
    /// How many for each wearer.
    pub copies: u32,
    /// The draft's own options.
    pub options: Settings,
    /// Path of their table in its file.
    pub options_path: String,
}

/// The draft's own options.
#[derive(Clone, Debug)]
pub struct Options {
    /// What is set.
    pub settings: Settings,
    /// Path of their table in its file: `make[1]`, or nothing for a file of their own.
    pub path: String,
}

/// The draft's own options in one table: what stands beside the common keys, or, for a person's own
/// draft, what stands in the file that it names.
pub fn options(
    settings: &Settings,
    path: &str,
    sources: &mut Sources,
    open: &mut Open<'_>,
    faults: &mut Faults,
) -> Options {
    let mut options = settings.clone();
    let common: Vec<&str> = keys::MAKE.names().collect();
    options
        .entries
        .retain(|entry| !common.contains(&entry.key.as_str()));
    let Some(name) = faults.optional(settings.text(path, "file")) else {
        return Options {
            settings: options,
            path: path.to_owned(),
        };
    };
    let span = settings.get("file").map_or(settings.span, |s| s.span);
    let at = joined(path, "file");
    if let Some(entry) = options.entries.first() {
        faults.note(InputError::at(
            entry.key_span,
            joined(path, &entry.key),
            "the draft stands in a file of its own, and this beside it",
            format!("put `{}` into {name}, or leave out `file`", entry.key),
        ));
    }
    match open(name, Kind::Draft) {
        Ok(text) => {
            let start = sources.add(sources.path_of(name), text.as_str());
            match toml_text::read(&text, start) {
                Ok(settings) => {
                    return Options {
                        settings,
                        path: String::new(),
                    };
                }
                Err(errors) => faults.extend(errors),
            }
        }
        Err(refused) => faults.extend(
            refused
                .faults
                .into_iter()
                .map(|fault| InputError::at(span, at.as_str(), fault.what, fault.help)),
        ),
    }
    Options {
        settings: options,
        path: path.to_owned(),
    }
}

/// Keys of the measurements that a person's own draft names.
pub fn own_measurements(options: &Settings) -> Vec<String> {
    let named = pieces::draft::custom::named_measurements(options);
    named.into_iter().map(|need| need.key).collect()
}

/// Reads one table.
pub fn read(
    settings: &Settings,
    options: Options,
    path: &str,
    fabrics: &BTreeMap<String, Fabric>,
    wearers: &[Wearer],
    faults: &mut Faults,
) -> Option<Make> {
    let draft = draft(settings, path, faults);
    let fabric = fabric(settings, path, fabrics, faults);
    let copies = faults.optional(settings.count(path, "copies", 1..=MOST_COPIES));
    let wearers = whose(settings, path, wearers, faults);
    Some(Make {
        path: path.to_owned(),
        span: settings.span,
        draft: draft?,
        fabric: fabric?,
        wearers: wearers?,
        copies: copies.unwrap_or(1),
        options: options.settings,
        options_path: options.path,
    })
}

fn draft(settings: &Settings, path: &str, faults: &mut Faults) -> Option<&'static dyn Draft> {
    let name = settings.text(path, "draft");
    let name = faults.needed(settings, path, "draft", "\"panel skirt\"", name)?;
    let found = pieces::draft::find(name);
    if found.is_none() {
        let known: Vec<&str> = pieces::draft::all().iter().map(|d| d.name()).collect();
        faults.note(InputError {
            span: settings.get("draft").map(|s| s.span),
            key: joined(path, "draft"),
            what: format!("there is no draft \"{name}\""),
            help: known_names(name, &known),
        });
    }
    found
}

/// The fabric named, or the only one there is.
pub fn fabric(
    settings: &Settings,
    path: &str,
    fabrics: &BTreeMap<String, Fabric>,
    faults: &mut Faults,
) -> Option<String> {
    let known: Vec<&str> = fabrics.keys().map(String::as_str).collect();
    match faults.keep(settings.text(path, "fabric"))? {
        Some(name) if fabrics.contains_key(name) => Some(name.to_owned()),
        Some(name) => {
            faults.note(InputError {
                span: settings.get("fabric").map(|s| s.span),
                key: joined(path, "fabric"),
                what: format!("there is no [fabric.{name}]"),
                help: known_names(name, &known),
            });
            None
        }
        None if known.len() == 1 => Some(known[0].to_owned()),
        // That there is no fabric at all is said once, about the whole job.
        None if known.is_empty() => None,
        None => {
            faults.note(InputError::at(
                settings.span,
                joined(path, "fabric"),
                "`fabric` is missing, and the job has several",
                format!(
                    "name one of them: fabric = \"{}\"",
                    known.first().unwrap_or(&"linden")
                ),
            ));
            None
        }
    }
}

fn whose(
    settings: &Settings,
    path: &str,
    wearers: &[Wearer],
    faults: &mut Faults,
) -> Option<Vec<usize>> {
    let Some(names) = settings.one_or_list("wearers") else {
        return Some((0..wearers.len()).collect());
    };
    if names.is_empty() {
        faults.note(InputError::at(
            settings.get("wearers").map_or(settings.span, |s| s.span),
            joined(path, "wearers"),
            "the list is empty, so nobody gets one",
            "leave `wearers` out and everybody gets one, or name somebody",
        ));
    }
    let known: Vec<&str> = wearers.iter().map(|w| w.name.as_str()).collect();
    let mut chosen = Vec::new();
    for setting in names {
        let at = joined(path, "wearers");
        let name = faults.keep(setting.text(&at))?;
        match known.iter().position(|&k| k == name) {
            Some(wearer) if chosen.contains(&wearer) => faults.note(InputError::at(
                setting.span,
                at,
                format!("{name} is named twice"),
                "name each wearer once; `copies = 2` makes two for each wearer",
            )),
            Some(wearer) => chosen.push(wearer),
            None => faults.note(InputError::at(
                setting.span,
                at,
                format!("there is no wearer \"{name}\""),
                known_names(name, &known),
            )),
        }
    }
    Some(chosen)
}
