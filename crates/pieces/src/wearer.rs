//! [`Wearer`]: a person with measurements.
//!
//! Measurements are taken on the person; where some were not, a size of a published table
//! ([`Size`]) may fill them in, and what was taken always goes before it. Wearers come from a table
//! of the job ([`Wearer::from_settings`]) or from rows of a CSV file ([`read_csv`]); both read
//! lengths the same way, so that a piece never gets smaller by rounding, and both keep warnings
//! about bare numbers that look like another unit. [`Wearer::require`] asks for a measurement that
//! is missing, and says how to take it.

mod csv;

#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::length::{Length, Rounding};
use crate::measurement;
use crate::settings::{InputError, Settings, Span, nearest};
use crate::size_table::Size;
use crate::units::{Reading, Units};

pub use csv::{CsvError, CsvRow, LARGEST_CSV, check_csv_size, read_csv};

/// A person with measurements.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wearer {
    /// Their name, as written in the job.
    pub name: String,
    /// Measurements by key (`hip_girth`), those of [`crate::measurement`] and a person's own.
    pub measurements: BTreeMap<String, Length>,
    /// The published size that filled in what was not taken.
    pub size: Option<Size>,
    /// Keys of the measurements that it filled in.
    pub filled_in: BTreeSet<String>,
    /// What the person should check: bare numbers that look like another unit, each with its place.
    pub warnings: Vec<InputError>,
}

impl Wearer {
    /// A wearer without measurements.
    #[must_use]
    pub fn new(name: impl Into<String>) -> Self {
        Wearer {
            name: name.into(),
            ..Wearer::default()
        }
    }

    /// Notes a measurement as taken, and a warning if a bare number is unusual for it; `span` and `at`
    /// say where it stands.
    pub fn take(&mut self, key: &str, units: Units, reading: Reading, span: Span, at: &str) {
        let known = measurement::find(key);
        if let Some(doubt) = known.and_then(|known| known.plausible.doubt(units, reading)) {
            self.warnings.push(InputError::at(span, at, doubt, ""));
        }
        self.measurements.insert(key.to_string(), reading.length);
    }

    /// Fills in from a published size what was not taken. Measurements that are there stay.
    pub fn fill_in(&mut self, size: Size) {
        self.size = Some(size);
        for (key, length) in size.measurements() {
            if !self.measurements.contains_key(key) {
                self.measurements.insert(key.to_string(), length);
                self.filled_in.insert(key.to_string());
            }
        }
    }

    /// The measurement under `key`, if there is one.
    #[must_use]
    pub fn measurement(&self, key: &str) -> Option<Length> {
        self.measurements.get(key).copied()
    }

    /// The measurement under `key`.
    ///
    /// # Errors
    /// If there is none: asks for it by name and wearer, and says how to take it.
    pub fn require(&self, key: &str) -> Result<Length, MissingMeasurement> {
        self.require_own(key, None)
    }

    /// Like [`Wearer::require`], for a measurement of the person's own: `how` says how to take it.
    ///
    /// # Errors
    /// If there is none.
    pub fn require_own(&self, key: &str, how: Option<&str>) -> Result<Length, MissingMeasurement> {
        self.measurement(key).ok_or_else(|| MissingMeasurement {
            key: key.to_string(),
            how: how.map(str::to_string),
            wearer: self.name.clone(),
            size: self.size,
            near: nearest(key, self.measurements.keys().map(String::as_str))
                // Another measurement of the catalogue is not a slip for this one.
                .filter(|near| measurement::find(near).is_none())
                .map(str::to_string),
            has_alike: alike(key).is_some_and(|other| self.measurement(other).is_some()),
        })
    }

    /// Reads a wearer's table of the job: measurements by key, and `size` where a published size
    /// fills in the rest. `own` are the measurements that a person's own drafts name beside those
    /// of the catalogue. Keys in `apart` are left to the caller.
    ///
    /// # Errors
    /// Every unknown measurement, value that is no length above zero, and unknown size.
    pub fn from_settings(
        name: &str,
        settings: &Settings,
        path: &str,
        units: Units,
        own: &[&str],
        apart: &[&str],
    ) -> Result<Wearer, Vec<InputError>> {
        let mut known: Vec<&str> = vec!["size"];
        known.extend(measurement::ALL.iter().map(|m| m.key));
        known.extend(own);
        known.extend(apart);
        let mut errors = settings.unknown(path, &known);
        let mut wearer = Wearer::new(name);
        for entry in &settings.entries {
            let key = entry.key.as_str();
            if key == "size" || apart.contains(&key) || !known.contains(&key) {
                continue;
            }
            let (at, setting) = (format!("{path}.{key}"), &entry.setting);
            match setting.positive_reading(&at, units, Rounding::Up) {
                Ok(reading) => wearer.take(key, units, reading, setting.span, &at),
                Err(error) => errors.push(error),
            }
        }
        let size = settings.text(path, "size").and_then(|text| {
            let span = settings.get("size").map_or(settings.span, |s| s.span);
            let read = |text| {
                Size::read(text).map_err(|error| {
                    InputError::at(span, format!("{path}.size"), error.what, error.help)
                })
            };
            text.map(read).transpose()
        });
        match size {
            Ok(Some(size)) => wearer.fill_in(size),
            Ok(None) => {}
            Err(error) => errors.push(error),
        }
        if errors.is_empty() {
            Ok(wearer)
        } else {
            Err(errors)
        }
    }
}

/// A measurement that a draft needs and a wearer has not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissingMeasurement {
    /// Its key.
    pub key: String,
    /// How to take it, where a person's own draft says so.
    pub how: Option<String>,
    /// Whose it is.
    pub wearer: String,
    /// The published size that the wearer was given by, which does not have it.
    pub size: Option<Size>,
    /// A measurement of the wearer whose key looks like a slip for this one.
    pub near: Option<String>,
    /// Whether the wearer has the measurement that is the same on a skirt that is as long all round.
    pub has_alike: bool,
}

/// The measurement that is the same on a skirt that is as long all round.
fn alike(key: &str) -> Option<&'static str> {
    match key {
        "skirt_length" => Some("skirt_length_front"),
        "skirt_length_front" => Some("skirt_length"),
        _ => None,
    }
}

impl MissingMeasurement {
    /// What is missing: `the low waist girth of Ilka is missing`.
    #[must_use]
    pub fn what(&self) -> String {
        let name = measurement::name_of(&self.key);
        match self.size {
            Some(size) => format!(
                "the {name} of {} is missing, and {} does not have it",
                self.wearer,
                size.name()
            ),
            None => format!("the {name} of {} is missing", self.wearer),
        }
    }

    /// What would be right: the key to write, and how to take the measurement.
    #[must_use]
    pub fn help(&self) -> String {
        let near = self.near.as_ref().map_or_else(String::new, |near| {
            format!("is \"{near}\" meant to be it? ")
        });
        let (wearer, key) = (&self.wearer, &self.key);
        if let Some(alike) = alike(key).filter(|_| self.has_alike) {
            return format!(
                "{wearer} has a value for {alike}: if the skirt is as long all round, give {key} the same"
            );
        }
        let known = measurement::find(key).map(|known| known.how);
        let how = match self.how.as_deref().or(known) {
            Some(how) => how.trim_end_matches('.'),
            None => {
                "It is a measurement of your own draft; `how` under `needs` can say how to take it"
            }
        };
        format!("{near}give {wearer} a value for {key}. {how}")
    }

    /// As a complaint about the place `span`, under the path `at` (`make[1]`).
    #[must_use]
    pub fn at(&self, span: Span, at: impl Into<String>) -> InputError {
        InputError::at(span, at, self.what(), self.help())
    }
}

impl fmt::Display for MissingMeasurement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({})", self.what(), self.help())
    }
}

impl std::error::Error for MissingMeasurement {}
