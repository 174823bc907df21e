//! [`Settings`]: a table of keys and values as a person wrote it, with where each thing stands.
//!
//! Drafts read their options from this, not from a file format: the command fills it from TOML, and
//! every complaint carries the [`Span`] of what it is about, so that the message can point there.

mod nearest;
mod read;
mod value;

#[cfg(test)]
mod tests;

pub use nearest::{known_names, nearest};
pub use value::LengthOrShare;

/// A stretch of the source text, in bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// A value as written. Numbers keep their text, so that decimals stay exact.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A quoted text.
    Text(String),
    /// A number, as it stands in the file.
    Number(String),
    /// `true` or `false`.
    Flag(bool),
    /// A list.
    List(Vec<Setting>),
    /// A table inside.
    Table(Settings),
}

impl Value {
    /// What it is, for messages: `a text`, `a number` ...
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Value::Text(_) => "a text",
            Value::Number(_) => "a number",
            Value::Flag(_) => "true or false",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }
}

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The value.
    pub value: Value,
    /// Where the value stands.
    pub span: Span,
}

/// A key, where it stands, and its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// Where the key stands.
    pub key_span: Span,
    /// Its value.
    pub setting: Setting,
}

/// A table of entries in file order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Settings {
    /// The entries.
    pub entries: Vec<Entry>,
    /// Where the table stands (its header, or its braces).
    pub span: Span,
}

impl Settings {
    /// The setting under `key`.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Setting> {
        self.entries
            .iter()
            .find(|e| e.key == key)
            .map(|e| &e.setting)
    }
}

/// What is wrong with an input: where, what, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InputError {
    /// Where in the source text, if it is about a place in it.
    pub span: Option<Span>,
    /// The key or cell it is about, as a path: `fabric.linden.width`, `make[2].flare`.
    pub key: String,
    /// What was wrong, a sentence without full stop.
    pub what: String,
    /// What would be right, a sentence without full stop; may be empty.
    pub help: String,
}

impl InputError {
    /// About the place `span`, under `key`.
    pub fn at(
        span: Span,
        key: impl Into<String>,
        what: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        InputError {
            span: Some(span),
            key: key.into(),
            what: what.into(),
            help: help.into(),
        }
    }
}

/// For readers that go on after a fault and end with `?` where they cannot.
impl From<InputError> for Vec<InputError> {
    fn from(error: InputError) -> Self {
        vec![error]
    }
}

impl std::fmt::Display for InputError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.key, self.what)?;
        if self.help.is_empty() {
            Ok(())
        } else {
            write!(f, " ({})", self.help)
        }
    }
}

impl std::error::Error for InputError {}
