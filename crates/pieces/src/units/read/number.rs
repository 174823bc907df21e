//! The number in a length: whole, decimal, a fraction, or a whole number and a fraction.
//!
//! Kept exact, as a ratio of whole numbers. A decimal mark that could stand between thousands is
//! refused here where it is a comma, and left to the unit to judge where it is a point.

use super::{Complaint, Exact, Reader};
use crate::units::words::vulgar;

/// Digits read before and after the decimal point: enough for any length, few enough that whole
/// ratios cannot overflow (10^9 x 10^15 x 10^6 stays below 2^127).
const MOST_DIGITS: usize = 9;
const MOST_DECIMALS: usize = 15;
impl Reader {
    /// `38`, `38.375`, `38,5`, `38 3/8`, `38-3/8`, `38⅜`, `3/8`, `⅜`; never negative.
    pub(super) fn number(&mut self) -> Result<Exact, Complaint> {
        self.spaces();
        if let Some(fraction) = self.fraction_character()? {
            return Ok(fraction);
        }
        let whole_text = self.digits();
        if let Some(mark @ ('.' | ',')) = self.peek() {
            return self.decimal(&whole_text, mark);
        }
        if whole_text.is_empty() {
            return Err(match self.peek() {
                Some('-' | '+') => Complaint::new("has a sign in the middle"),
                Some(_) => Complaint::new("is not a number"),
                None => Complaint::new("ends where a number is missing"),
            });
        }
        let whole = whole_number(&whole_text)?;
        let before = self.at;
        self.spaces();
        if self.eat('/') {
            return self.denominator(whole);
        }
        self.eat('-');
        self.spaces();
        if let Some(part) = self.fraction_character()? {
            return mixed(whole, part);
        }
        let upper = self.digits();
        self.spaces();
        if !upper.is_empty() && self.eat('/') {
            let part = self.denominator(whole_number(&upper)?)?;
            return mixed(whole, part);
        }
        self.at = before;
        Ok(Exact {
            numerator: whole,
            denominator: 1,
        })
    }

    fn decimal(&mut self, whole: &str, mark: char) -> Result<Exact, Complaint> {
        self.at += 1;
        let decimals = self.digits();
        if matches!(self.peek(), Some('.' | ',')) {
            return Err(Complaint::new("has more than one decimal mark")
                .help("leave out marks between thousands, and write a point before the decimals, like 1234.5"));
        }
        if decimals.is_empty() {
            return Err(Complaint::new(format!("has no digits after \"{mark}\"")));
        }
        if decimals.len() > MOST_DECIMALS {
            return Err(too_many_digits());
        }
        // A mark before exactly three digits is a thousands mark to one half of the world.
        if decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') {
            if mark == ',' {
                return Err(either_way(whole, &decimals, ""));
            }
            self.thousands = Some((whole.to_string(), decimals.clone()));
        }
        let before = self.at;
        self.spaces();
        if self.peek().and_then(vulgar).is_some() || self.peek() == Some('/') {
            return Err(Complaint::new("has decimals and a fraction in one number")
                .help("write either, like 38.375 or 38 3/8"));
        }
        self.at = before;
        let whole = if whole.is_empty() {
            0
        } else {
            whole_number(whole)?
        };
        // At most 15 digits: neither the parse nor the power can overflow.
        let denominator = 10_i128.pow(decimals.len() as u32);
        let decimals = decimals.parse::<i128>().map_err(|_| too_many_digits())?;
        Ok(Exact {
            numerator: whole * denominator + decimals,
            denominator,
        })
    }

    fn denominator(&mut self, numerator: i128) -> Result<Exact, Complaint> {
        self.spaces();
        let text = self.digits();
        if text.is_empty() {
            return Err(Complaint::new("has no number under the fraction stroke"));
        }
        let denominator = whole_number(&text)?;
        if denominator == 0 {
            return Err(Complaint::new("has a zero under the fraction stroke"));
        }
        let before = self.at;
        self.spaces();
        if self.eat('/') {
            return Err(Complaint::new("has two fraction strokes"));
        }
        self.at = before;
        Ok(Exact {
            numerator,
            denominator,
        })
    }

    fn fraction_character(&mut self) -> Result<Option<Exact>, Complaint> {
        let Some((numerator, denominator)) = self.peek().and_then(vulgar) else {
            return Ok(None);
        };
        self.at += 1;
        if denominator == 0 {
            return self.denominator(1).map(Some);
        }
        Ok(Some(Exact {
            numerator,
            denominator,
        }))
    }
}

/// A decimal mark or one between thousands? Both as they would be written without doubt.
pub(super) fn either_way(whole: &str, decimals: &str, unit: &str) -> Complaint {
    let space = if unit.is_empty() { "" } else { " " };
    let short = decimals.trim_end_matches('0');
    let point = if short.is_empty() { "" } else { "." };
    let (one, other) = (
        format!("{whole}{point}{short}{space}{unit}"),
        format!("{whole}{decimals}{space}{unit}"),
    );
    Complaint::new(format!("could be {one} or {other}"))
        .help(format!("write {one} or {other}, whichever is meant"))
}

fn mixed(whole: i128, part: Exact) -> Result<Exact, Complaint> {
    if part.numerator >= part.denominator {
        return Err(
            Complaint::new("has a fraction of 1 or more after a whole number")
                .help("write the fraction below 1, like 38 3/8"),
        );
    }
    Ok(Exact {
        numerator: whole * part.denominator + part.numerator,
        denominator: part.denominator,
    })
}

fn whole_number(digits: &str) -> Result<i128, Complaint> {
    let digits = digits.trim_start_matches('0');
    if digits.len() > MOST_DIGITS {
        return Err(too_many_digits());
    }
    if digits.is_empty() {
        Ok(0)
    } else {
        digits.parse().map_err(|_| too_many_digits())
    }
}

fn too_many_digits() -> Complaint {
    Complaint::new("has too many digits").help(format!(
        "at most {MOST_DIGITS} before the point and {MOST_DECIMALS} after it are read"
    ))
}
