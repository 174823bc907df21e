//! Reading on after a mistake, so that a person hears of all of them at once.

use pieces::settings::{known_names, nearest};
use pieces::{InputError, Settings};

/// The mistakes found so far.
#[derive(Debug, Default)]
pub struct Faults {
    errors: Vec<InputError>,
}

impl Faults {
    /// The value, or the mistake noted and `None`.
    pub fn keep<T>(&mut self, result: Result<T, InputError>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(error) => {
                self.errors.push(error);
                None
            }
        }
    }

    /// The optional value; both a missing key and a noted mistake give `None`.
    pub fn optional<T>(&mut self, result: Result<Option<T>, InputError>) -> Option<T> {
        self.keep(result).flatten()
    }

    /// The value under `key`, which has to be there.
    pub fn needed<T>(
        &mut self,
        settings: &Settings,
        path: &str,
        key: &str,
        example: &str,
        result: Result<Option<T>, InputError>,
    ) -> Option<T> {
        let value = self.keep(result)?;
        // A slip of the pen is reported as an unknown key; it is not missing as well.
        let slip = settings
            .entries
            .iter()
            .any(|entry| nearest(&entry.key, [key]).is_some());
        if value.is_none() && !slip {
            self.note(InputError::at(
                settings.span,
                joined(path, key),
                format!("`{key}` is missing"),
                format!("add a line like: {key} = {example}"),
            ));
        }
        value
    }

    /// Notes one mistake.
    pub fn note(&mut self, error: InputError) {
        self.errors.push(error);
    }

    /// Notes every key that is not among `known`.
    pub fn only(&mut self, settings: &Settings, path: &str, known: &[&str]) {
        for entry in &settings.entries {
            if !known.contains(&entry.key.as_str()) {
                self.note(InputError::at(
                    entry.key_span,
                    joined(path, &entry.key),
                    format!("\"{}\" is not known here", entry.key),
                    known_names(&entry.key, known),
                ));
            }
        }
    }

    /// Notes several.
    pub fn extend(&mut self, errors: impl IntoIterator<Item = InputError>) {
        self.errors.extend(errors);
    }

    /// True if nothing is wrong so far.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.errors.is_empty()
    }

    /// All of them.
    #[must_use]
    pub fn into_errors(self) -> Vec<InputError> {
        self.errors
    }
}

/// `path.key`, or `key` at the top.
#[must_use]
pub fn joined(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}.{key}")
    }
}
