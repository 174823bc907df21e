//! The `[compare]` table: the choices that `lengthwise compare` plans the same job under.
//!
//! A choice is a fabric, as it stands in the job or with some keys changed. The fabrics of the list stand
//! in for each other: a make whose fabric is one of them takes the choice's fabric. So does a fabric that
//! a choice brings in and nothing else is cut from. A choice that starts from any other fabric of the
//! job changes that cloth alone; bands and linings from other cloth stay as they are.

use std::collections::{BTreeMap, BTreeSet};

use pieces::settings::{Span, Value};
use pieces::{Fabric, InputError, Settings, Units};

use super::faults::{Faults, joined};
use super::make::{self, Make};
use super::{fabric, keys};

/// One choice.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What it is called.
    pub label: String,
    /// Its fabric; the name is that of the fabric it starts from.
    pub fabric: Fabric,
}

/// All choices, and the fabrics that take turns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comparison {
    /// In the order of the file.
    pub choices: Vec<Choice>,
    /// Keys of the fabrics that stand in for each other.
    pub compared: BTreeSet<String>,
}

/// Reads the table. `raw` holds the fabrics' own tables, which choices change.
pub fn read(
    settings: &Settings,
    raw: &Settings,
    fabrics: &BTreeMap<String, Fabric>,
    makes: &[Make],
    units: Units,
    faults: &mut Faults,
    warnings: &mut Vec<InputError>,
) -> Comparison {
    let path = "compare";
    let known: Vec<&str> = keys::COMPARE.names().collect();
    faults.only(settings, path, &known);
    let mut comparison = Comparison::default();
    let used = used(makes);
    for setting in settings.one_or_list("fabrics").unwrap_or_default() {
        let at = joined(path, "fabrics");
        let names: Vec<&str> = fabrics.keys().map(String::as_str).collect();
        if let Some(name) = faults.keep(setting.choice(&at, &names)) {
            comparison.compared.insert(name.to_owned());
            comparison.add(name, fabrics[name].clone(), (setting.span, &at), faults);
        }
    }
    let choices = settings.list(path, "choice");
    for (i, setting) in faults
        .optional(choices)
        .unwrap_or_default()
        .iter()
        .enumerate()
    {
        let at = format!("compare.choice[{}]", i + 1);
        let Some(table) = faults.keep(setting.table(&at)) else {
            continue;
        };
        let label = faults.needed(
            table,
            &at,
            "label",
            "\"narrow cloth\"",
            table.text(&at, "label"),
        );
        let base = match (table.get("fabric"), makes.first()) {
            (None, Some(first)) => Some(first.fabric.clone()),
            _ => make::fabric(table, &at, fabrics, faults),
        };
        let Some(base) = base else { continue };
        if !used.contains(base.as_str()) {
            // It takes the place of what the job is cut from without it.
            comparison.compared.insert(base.clone());
            comparison
                .compared
                .extend(makes.first().map(|make| make.fabric.clone()));
        }
        let changed = changed(table, raw, &base);
        let mut doubts = Vec::new();
        let fabric = fabric::read(&base, &changed, &at, units, faults, &mut doubts);
        // What is inherited has been asked about where it stands.
        let own = |doubt: &InputError| {
            let key = doubt
                .key
                .strip_prefix(&at)
                .and_then(|rest| rest.strip_prefix('.'));
            let end = |c: char| !c.is_alphanumeric() && c != '_';
            key.and_then(|rest| rest.split(end).next())
                .is_none_or(|key| table.get(key).is_some())
        };
        warnings.extend(doubts.into_iter().filter(own));
        if let (Some(label), Some(fabric)) = (label, fabric) {
            let span = table.get("label").map_or(table.span, |label| label.span);
            let key = joined(&at, "label");
            comparison.add(label, fabric, (span, &key), faults);
        }
    }
    comparison
}

/// Keys of the fabrics that makes name, for the whole garment or for a part of it.
fn used(makes: &[Make]) -> BTreeSet<&str> {
    fn named<'a>(settings: &'a Settings, used: &mut BTreeSet<&'a str>) {
        for entry in &settings.entries {
            let tables = settings.one_or_list(&entry.key).unwrap_or_default();
            for setting in tables {
                match &setting.value {
                    Value::Table(table) => named(table, used),
                    Value::Text(text) if entry.key == "fabric" => {
                        used.insert(text);
                    }
                    _ => {}
                }
            }
        }
    }
    let mut used = BTreeSet::new();
    for make in makes {
        used.insert(make.fabric.as_str());
        named(&make.options, &mut used);
    }
    used
}

impl Comparison {
    /// Adds a choice, unless another one is called the same: then nobody could tell them apart.
    fn add(&mut self, label: &str, fabric: Fabric, (span, key): (Span, &str), faults: &mut Faults) {
        let lower = label.to_lowercase();
        if self
            .choices
            .iter()
            .any(|choice| choice.label.to_lowercase() == lower)
        {
            faults.note(InputError::at(
                span,
                key,
                format!("two choices are called \"{label}\""),
                "name each fabric once, and give each choice a label of its own",
            ));
            return;
        }
        let label = label.to_owned();
        self.choices.push(Choice { label, fabric });
    }
}

/// The base fabric's table with the choice's keys in place of its own.
fn changed(choice: &Settings, raw: &Settings, base: &str) -> Settings {
    let own: Vec<&str> = keys::CHOICE.names().collect();
    let mut entries: Vec<_> = choice
        .entries
        .iter()
        .filter(|entry| !own.contains(&entry.key.as_str()))
        .cloned()
        .collect();
    if let Some(pieces::settings::Value::Table(table)) = raw.get(base).map(|s| &s.value) {
        let rest = table
            .entries
            .iter()
            .filter(|entry| choice.get(&entry.key).is_none());
        entries.extend(rest.cloned());
    }
    Settings {
        entries,
        span: choice.span,
    }
}
