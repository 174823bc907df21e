//! Getting values of a certain kind out of [`Settings`].
//!
//! `Ok(None)` means the key is not there, an error that it is there and wrong; every error carries
//! the place of the value, its path (`make[1].flare`) and what would be right. Lengths may be bare
//! numbers in the job's unit or texts with a unit; numbers are exact.

use std::ops::RangeInclusive;

use super::value::LengthOrShare;
use super::{InputError, Setting, Settings, Value, known_names};
use crate::length::{Length, Rounding};
use crate::units::{Ratio, Reading, Units};

/// `path.key`, or `key` at the top of the job.
fn join(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_string()
    } else {
        format!("{path}.{key}")
    }
}

impl Settings {
    /// A complaint about every key that is not among `known`, naming the nearest that is.
    #[must_use]
    pub fn unknown(&self, path: &str, known: &[&str]) -> Vec<InputError> {
        let complaint = |entry: &super::Entry| {
            let shown: String = entry.key.chars().take(60).collect();
            InputError::at(
                entry.key_span,
                join(path, &shown),
                format!("\"{shown}\" is not known here"),
                known_names(&entry.key, known),
            )
        };
        self.entries
            .iter()
            .filter(|entry| !known.contains(&entry.key.as_str()))
            .map(complaint)
            .collect()
    }

    /// Refuses keys that are not among `known`.
    ///
    /// # Errors
    /// The first complaint of [`Settings::unknown`].
    pub fn only(&self, path: &str, known: &[&str]) -> Result<(), InputError> {
        self.unknown(path, known)
            .into_iter()
            .next()
            .map_or(Ok(()), Err)
    }

    /// Reads the value under `key` with `read`, which gets the full path for its messages.
    fn value<'a, T>(
        &'a self,
        path: &str,
        key: &str,
        read: impl FnOnce(&'a Setting, &str) -> Result<T, InputError>,
    ) -> Result<Option<T>, InputError> {
        self.get(key)
            .map(|setting| read(setting, &join(path, key)))
            .transpose()
    }

    /// A length, which may be zero or negative (an ease).
    ///
    /// # Errors
    /// If the value is no length.
    pub fn length(
        &self,
        path: &str,
        key: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<Option<Length>, InputError> {
        self.value(path, key, |s, at| s.length(at, units, rounding))
    }

    /// A length above zero.
    ///
    /// # Errors
    /// If the value is no length above zero.
    pub fn positive_length(
        &self,
        path: &str,
        key: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<Option<Length>, InputError> {
        Ok(self
            .positive_reading(path, key, units, rounding)?
            .map(|reading| reading.length))
    }

    /// A length above zero and whether it named its unit, for [`crate::units::Plausible::doubt`].
    ///
    /// # Errors
    /// If the value is no length above zero.
    pub fn positive_reading(
        &self,
        path: &str,
        key: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<Option<Reading>, InputError> {
        self.value(path, key, |s, at| s.positive_reading(at, units, rounding))
    }

    /// A length of zero or more.
    ///
    /// # Errors
    /// If the value is no length or negative.
    pub fn non_negative_length(
        &self,
        path: &str,
        key: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<Option<Length>, InputError> {
        self.value(path, key, |s, at| {
            s.non_negative_length(at, units, rounding)
        })
    }

    /// A share of something: `0.35` or `"35 %"`. Zero or more; above 1 only in per cent.
    ///
    /// # Errors
    /// If the value is no share.
    pub fn share(&self, path: &str, key: &str) -> Result<Option<Ratio>, InputError> {
        self.value(path, key, Setting::share)
    }

    /// A length, or a share of one. See [`Setting::length_or_share`].
    ///
    /// # Errors
    /// If the value is neither, or could be both.
    pub fn length_or_share(
        &self,
        path: &str,
        key: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<Option<LengthOrShare>, InputError> {
        self.value(path, key, |s, at| s.length_or_share(at, units, rounding))
    }

    /// A whole number within `range`.
    ///
    /// # Errors
    /// If the value is no whole number, or outside the range.
    pub fn count(
        &self,
        path: &str,
        key: &str,
        range: RangeInclusive<u32>,
    ) -> Result<Option<u32>, InputError> {
        self.value(path, key, |s, at| s.count(at, range))
    }

    /// An exact number, of either sign.
    ///
    /// # Errors
    /// If the value is no number.
    pub fn number(&self, path: &str, key: &str) -> Result<Option<Ratio>, InputError> {
        self.value(path, key, Setting::number)
    }

    /// `true` or `false`.
    ///
    /// # Errors
    /// If the value is neither.
    pub fn flag(&self, path: &str, key: &str) -> Result<Option<bool>, InputError> {
        self.value(path, key, Setting::flag)
    }

    /// A text.
    ///
    /// # Errors
    /// If the value is no text, or an empty one.
    pub fn text(&self, path: &str, key: &str) -> Result<Option<&str>, InputError> {
        self.value(path, key, Setting::text)
    }

    /// One of a few words; gives back the one of `choices` that was written.
    ///
    /// # Errors
    /// If the value is none of them; the message lists them.
    pub fn choice<'c>(
        &self,
        path: &str,
        key: &str,
        choices: &[&'c str],
    ) -> Result<Option<&'c str>, InputError> {
        self.value(path, key, |s, at| s.choice(at, choices))
    }

    /// A list.
    ///
    /// # Errors
    /// If the value is no list.
    pub fn list(&self, path: &str, key: &str) -> Result<Option<&[Setting]>, InputError> {
        self.value(path, key, |setting, at| match &setting.value {
            Value::List(list) => Ok(list.as_slice()),
            _ => Err(setting.not(at, "a list", "put it in brackets: [...]")),
        })
    }

    /// A list, or one value standing for a list of one.
    #[must_use]
    pub fn one_or_list(&self, key: &str) -> Option<&[Setting]> {
        self.get(key).map(|setting| match &setting.value {
            Value::List(list) => list.as_slice(),
            _ => std::slice::from_ref(setting),
        })
    }

    /// A table inside this one.
    ///
    /// # Errors
    /// If the value is no table.
    pub fn table(&self, path: &str, key: &str) -> Result<Option<&Settings>, InputError> {
        self.value(path, key, Setting::table)
    }
}
