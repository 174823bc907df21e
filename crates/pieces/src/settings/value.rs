//! What a single value says: a length, a share, a count, a word.
//!
//! The readers of [`Settings`] find a value by its key and ask here; an entry of a list is asked itself.
//! `at` is the value's path for messages.

use std::ops::RangeInclusive;

use super::{InputError, Setting, Settings, Value, known_names};
use crate::length::{Length, Rounding};
use crate::units::{Ratio, ReadError, Reading, Units};

/// A width or flare given outright, or as a share of another length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthOrShare {
    /// Outright.
    Length(Length),
    /// As a share: 35/100.
    Share(Ratio),
}

impl LengthOrShare {
    /// The length that it comes to, a share being one of `whole`, rounded as asked.
    #[must_use]
    pub fn of(self, whole: Length, rounding: Rounding) -> Length {
        match self {
            LengthOrShare::Length(length) => length,
            LengthOrShare::Share(share) => share.of(whole, rounding),
        }
    }
}

impl Setting {
    pub(super) fn not(&self, at: &str, wanted: &str, help: impl Into<String>) -> InputError {
        InputError::at(
            self.span,
            at,
            format!("{wanted} is asked for, and this is {}", self.value.kind()),
            help,
        )
    }

    fn unreadable(&self, at: &str, error: ReadError) -> InputError {
        InputError::at(self.span, at, error.what, error.help)
    }

    /// The characters of a number or text; numbers without the underscores that files may hold.
    fn written(&self, at: &str, wanted: &str, example: &str) -> Result<String, InputError> {
        match &self.value {
            Value::Text(text) => Ok(text.clone()),
            Value::Number(number) => Ok(number.replace('_', "")),
            _ => Err(self.not(at, wanted, format!("write it like {example}"))),
        }
    }

    fn reading(&self, at: &str, units: Units, rounding: Rounding) -> Result<Reading, InputError> {
        let text = self.written(at, "a length", &format!("\"{}\"", units.example()))?;
        units
            .read_with_unit(&text, rounding)
            .map_err(|error| self.unreadable(at, error))
    }

    /// See [`Settings::length`].
    ///
    /// # Errors
    /// If the value is no length.
    pub fn length(&self, at: &str, units: Units, rounding: Rounding) -> Result<Length, InputError> {
        Ok(self.reading(at, units, rounding)?.length)
    }

    /// See [`Settings::positive_reading`].
    ///
    /// # Errors
    /// If the value is no length above zero.
    pub fn positive_reading(
        &self,
        at: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<Reading, InputError> {
        let reading = self.reading(at, units, rounding)?;
        if reading.length.is_positive() {
            return Ok(reading);
        }
        let what = if reading.length == Length::ZERO {
            "the length is zero".to_string()
        } else {
            format!(
                "the length is below zero: {}",
                units.write_down(reading.length)
            )
        };
        let help = format!("write a length above zero, like {}", units.example());
        Err(InputError::at(self.span, at, what, help))
    }

    /// See [`Settings::positive_length`].
    ///
    /// # Errors
    /// If the value is no length above zero.
    pub fn positive_length(
        &self,
        at: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<Length, InputError> {
        Ok(self.positive_reading(at, units, rounding)?.length)
    }

    /// See [`Settings::non_negative_length`].
    ///
    /// # Errors
    /// If the value is no length or negative.
    pub fn non_negative_length(
        &self,
        at: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<Length, InputError> {
        let length = self.length(at, units, rounding)?;
        if length >= Length::ZERO {
            return Ok(length);
        }
        Err(InputError::at(
            self.span,
            at,
            format!("the length is below zero: {}", units.write_down(length)),
            "write 0 or more",
        ))
    }

    /// See [`Settings::share`].
    ///
    /// # Errors
    /// If the value is no share.
    pub fn share(&self, at: &str) -> Result<Ratio, InputError> {
        let text = self.written(at, "a share", "0.35 or \"35 %\"")?;
        let (share, percent) =
            Ratio::read_percent(&text).map_err(|error| self.unreadable(at, error))?;
        let help = if !percent && share > Ratio::ONE {
            format!("write a share like 0.35, or \"{share} %\" if that is meant")
        } else if share < Ratio::ZERO {
            "write 0 or more, like 0.35 or \"35 %\"".into()
        } else {
            return Ok(share);
        };
        Err(InputError::at(
            self.span,
            at,
            format!("{} is not a share", text.trim()),
            help,
        ))
    }

    /// A length of zero or more, or a share of one. Per cent is a share; a number with a unit, or
    /// of 1 or more, is a length. A bare number below 1 is a share in centimetres and millimetres,
    /// where it would be no length worth drafting; in inches, yards and metres it could be either,
    /// and is refused with both.
    ///
    /// # Errors
    /// If the value is neither, or could be both.
    pub fn length_or_share(
        &self,
        at: &str,
        units: Units,
        rounding: Rounding,
    ) -> Result<LengthOrShare, InputError> {
        let text = self.written(at, "a length or a share", "\"10 cm\" or \"35 %\"")?;
        match Ratio::read_percent(&text) {
            Ok((_, true)) => self.share(at).map(LengthOrShare::Share),
            Ok((number, false)) if number > Ratio::ZERO && number < Ratio::ONE => {
                if matches!(units, Units::Centimetres | Units::Millimetres) {
                    return Ok(LengthOrShare::Share(number));
                }
                let (unit, bare) = (units.name(), text.trim());
                let percent = Ratio::new(
                    i128::from(number.numerator()) * 100,
                    i128::from(number.denominator()),
                )
                .unwrap_or(number);
                Err(InputError::at(
                    self.span,
                    at,
                    format!("{bare} could be a length or a share"),
                    format!("write \"{bare} {unit}\" or \"{percent} %\", whichever is meant"),
                ))
            }
            _ => self
                .non_negative_length(at, units, rounding)
                .map(LengthOrShare::Length),
        }
    }

    /// See [`Settings::number`].
    ///
    /// # Errors
    /// If the value is no number.
    pub fn number(&self, at: &str) -> Result<Ratio, InputError> {
        let text = self.written(at, "a number", "1.5")?;
        Ratio::read(&text).map_err(|error| self.unreadable(at, error))
    }

    /// See [`Settings::count`].
    ///
    /// # Errors
    /// If the value is no whole number, or outside the range.
    pub fn count(&self, at: &str, range: RangeInclusive<u32>) -> Result<u32, InputError> {
        let (low, high) = (range.start(), range.end());
        let help = if *high == u32::MAX {
            format!("write a whole number, {low} or more")
        } else {
            format!("write a whole number from {low} to {high}")
        };
        let number = self.number(at).map_err(|error| InputError {
            help: help.clone(),
            ..error
        })?;
        let whole = (number.denominator() == 1)
            .then(|| u32::try_from(number.numerator()).ok())
            .flatten()
            .filter(|count| range.contains(count));
        whole.ok_or_else(|| {
            InputError::at(
                self.span,
                at,
                format!("{number} is not possible here"),
                help,
            )
        })
    }

    /// See [`Settings::flag`].
    ///
    /// # Errors
    /// If the value is neither `true` nor `false`.
    pub fn flag(&self, at: &str) -> Result<bool, InputError> {
        match self.value {
            Value::Flag(flag) => Ok(flag),
            _ => Err(self.not(at, "true or false", "write true or false, without quotes")),
        }
    }

    /// See [`Settings::text`].
    ///
    /// # Errors
    /// If the value is no text, or an empty one.
    pub fn text(&self, at: &str) -> Result<&str, InputError> {
        match &self.value {
            Value::Text(text) if text.trim().is_empty() => Err(InputError::at(
                self.span,
                at,
                "the text is empty",
                "write something, or leave the key out",
            )),
            Value::Text(text) => Ok(text.trim()),
            _ => Err(self.not(at, "a text", "put it in quotes: \"...\"")),
        }
    }

    /// See [`Settings::choice`].
    ///
    /// # Errors
    /// If the value is none of the choices.
    pub fn choice<'c>(&self, at: &str, choices: &[&'c str]) -> Result<&'c str, InputError> {
        let quoted = || {
            choices
                .iter()
                .map(|c| format!("\"{c}\""))
                .collect::<Vec<_>>()
                .join(", ")
        };
        let Value::Text(text) = &self.value else {
            return Err(self.not(at, "a word", format!("write one of {}", quoted())));
        };
        choices
            .iter()
            .copied()
            .find(|&choice| choice == text.trim())
            .ok_or_else(|| {
                let shown: String = text.chars().take(60).collect();
                InputError::at(
                    self.span,
                    at,
                    format!("\"{shown}\" is not known here"),
                    known_names(text, choices),
                )
            })
    }

    /// See [`Settings::table`].
    ///
    /// # Errors
    /// If the value is no table.
    pub fn table(&self, at: &str) -> Result<&Settings, InputError> {
        match &self.value {
            Value::Table(table) => Ok(table),
            _ => Err(self.not(at, "a table", "put it in braces: { ... }")),
        }
    }
}
