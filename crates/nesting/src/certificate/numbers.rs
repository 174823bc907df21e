//! Trees as they stand in a file: whole numbers, all in one text.

use serde::de::Error;
use serde::{Deserialize, Deserializer, Serializer};

/// The numbers as they stand in a file.
pub(crate) fn text(numbers: &[u64]) -> String {
    let words: Vec<String> = numbers.iter().map(u64::to_string).collect();
    words.join(" ")
}

pub(super) fn serialize<S: Serializer>(numbers: &[u64], to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(&text(numbers))
}

pub(super) fn deserialize<'d, D: Deserializer<'d>>(from: D) -> Result<Vec<u64>, D::Error> {
    let text = String::deserialize(from)?;
    let words = text.split_ascii_whitespace();
    words
        .map(|word| {
            word.parse()
                .map_err(|_| D::Error::custom(format!("`{word}` is no whole number")))
        })
        .collect()
}
