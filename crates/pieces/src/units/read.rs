//! Reading a length or a number as a person writes it.
//!
//! One small reader walks the characters: number, unit, and again where a smaller unit follows
//! (`3'6"`, `1 m 50 cm`). What could be meant in two ways is refused with both readings, because a
//! wrong length ends in cut cloth. It never panics and never rounds before the end.

mod number;

use std::fmt;

use super::words::{Named, plain, vulgar};
use super::{Ratio, Units};
use crate::length::{Length, Rounding};
use number::either_way;

/// The longest length that is read: 10 km. Longer is a slip of the keyboard.
pub const LONGEST: Length = Length::from_um(10_000_000_000);

/// The greatest number without unit: times the longest length it stays far within 64 bits.
const GREATEST: i128 = 1_000_000;
/// Longer texts are not lengths.
const MOST_CHARACTERS: usize = 60;

/// A length and whether its text named a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The length.
    pub length: Length,
    /// False if the number stood bare and took the job's unit.
    pub had_unit: bool,
}

/// Why a text is no length or number, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// What is wrong, a sentence without full stop.
    pub what: String,
    /// What would be right, a sentence without full stop.
    pub help: String,
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.what, self.help)
    }
}

impl std::error::Error for ReadError {}

impl Units {
    /// Reads a length: `97.5 cm`, `38 3/8 in`, `38⅜`, `1 1/2 yd`, `3'6"`, `97,5 cm`. A bare number
    /// takes this unit. What is finer than a micrometre is rounded as asked; negative lengths are
    /// read, whoever asks decides whether they make sense.
    ///
    /// # Errors
    /// If the text is no length, or could be meant in two ways.
    pub fn read(self, text: &str, rounding: Rounding) -> Result<Length, ReadError> {
        self.read_with_unit(text, rounding)
            .map(|reading| reading.length)
    }

    /// Like [`Units::read`], and says whether the text named a unit.
    ///
    /// # Errors
    /// If the text is no length, or could be meant in two ways.
    pub fn read_with_unit(self, text: &str, rounding: Rounding) -> Result<Reading, ReadError> {
        let shown = shorten(text);
        let fail = |complaint: Complaint| ReadError {
            what: format!("{shown} {}", complaint.what),
            help: complaint
                .help
                .unwrap_or_else(|| format!("write a number and a unit, like {}", self.example())),
        };
        let mut reader = Reader::new(text).map_err(fail)?;
        let sum = reader.length(self).map_err(fail)?;
        let length = round(sum.um, rounding)
            .filter(|length| length.abs() <= LONGEST)
            .ok_or_else(|| {
                fail(Complaint::new("is longer than 10 km").help("check the number and its unit"))
            })?;
        Ok(Reading {
            length,
            had_unit: sum.had_unit,
        })
    }
}

impl Ratio {
    /// Reads a number without unit: `1.5`, `1 1/2`, `⅔`, `-2`.
    ///
    /// # Errors
    /// If the text is no number, or could be meant in two ways.
    pub fn read(text: &str) -> Result<Ratio, ReadError> {
        let (ratio, percent) = Ratio::read_percent(text)?;
        if percent {
            return Err(ReadError {
                what: format!("{} is a percentage", shorten(text)),
                help: "write a plain number, like 1.5".into(),
            });
        }
        Ok(ratio)
    }

    /// Reads a number, or a percentage (`35 %` is 35/100 and true).
    ///
    /// # Errors
    /// If the text is neither, or could be meant in two ways.
    pub fn read_percent(text: &str) -> Result<(Ratio, bool), ReadError> {
        let shown = shorten(text);
        let fail = |complaint: Complaint| ReadError {
            what: format!("{shown} {}", complaint.what),
            help: complaint
                .help
                .unwrap_or_else(|| "write a number, like 0.35 or 35 %".into()),
        };
        let mut reader = Reader::new(text).map_err(fail)?;
        let negative = reader.sign();
        let number = reader.number().map_err(fail)?;
        reader.spaces();
        let percent = reader.eat('%');
        reader.spaces();
        if reader.peek().is_some_and(|c| c.eq_ignore_ascii_case(&'e')) {
            return Err(fail(exponent()));
        }
        if !reader.at_end() {
            let rest = reader.rest();
            return Err(fail(Complaint::new(format!(
                "has \"{rest}\" after the number"
            ))));
        }
        let sign = if negative { -1 } else { 1 };
        let hundred = if percent { 100 } else { 1 };
        if number.numerator > GREATEST * number.denominator {
            return Err(fail(Complaint::new("is larger than a million")));
        }
        Ratio::new(sign * number.numerator, number.denominator * hundred)
            .map(|ratio| (ratio, percent))
            .ok_or_else(|| fail(Complaint::new("has more digits than can be kept exactly")))
    }
}

/// A number of micrometres as a ratio; the denominator is positive.
#[derive(Clone, Copy)]
struct Exact {
    numerator: i128,
    denominator: i128,
}

/// What a text adds up to.
struct Sum {
    um: Exact,
    had_unit: bool,
}

fn round(um: Exact, rounding: Rounding) -> Option<Length> {
    let floor = um.numerator.div_euclid(um.denominator);
    let exact = um.numerator.rem_euclid(um.denominator) == 0;
    let whole = if exact || rounding == Rounding::Down {
        floor
    } else {
        floor + 1
    };
    i64::try_from(whole).ok().map(Length::from_um)
}

/// A fault of a text; what is missing is filled in by whoever knows the text and the unit.
struct Complaint {
    what: String,
    help: Option<String>,
}

impl Complaint {
    fn new(what: impl Into<String>) -> Self {
        Complaint {
            what: what.into(),
            help: None,
        }
    }

    fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

/// Walks over the characters of a text, plain forms put in for their typographic ones.
struct Reader {
    characters: Vec<char>,
    at: usize,
    /// The last number, if it could have a point between thousands: before and after the point.
    thousands: Option<(String, String)>,
}

impl Reader {
    fn new(text: &str) -> Result<Reader, Complaint> {
        let characters: Vec<char> = text.chars().take(MOST_CHARACTERS + 1).map(plain).collect();
        if characters.len() > MOST_CHARACTERS {
            return Err(Complaint::new("is too long to be read"));
        }
        let mut reader = Reader {
            characters,
            at: 0,
            thousands: None,
        };
        reader.spaces();
        if reader.at_end() {
            return Err(Complaint::new("is empty"));
        }
        Ok(reader)
    }

    fn peek(&self) -> Option<char> {
        self.characters.get(self.at).copied()
    }

    fn at_end(&self) -> bool {
        self.at >= self.characters.len()
    }

    fn eat(&mut self, character: char) -> bool {
        let found = self.peek() == Some(character);
        self.at += usize::from(found);
        found
    }

    fn spaces(&mut self) {
        while self.eat(' ') {}
    }

    fn rest(&self) -> String {
        self.characters[self.at..]
            .iter()
            .collect::<String>()
            .trim()
            .to_string()
    }

    fn take_while(&mut self, wanted: impl Fn(char) -> bool) -> String {
        let from = self.at;
        while self.peek().is_some_and(&wanted) {
            self.at += 1;
        }
        self.characters[from..self.at].iter().collect()
    }

    fn digits(&mut self) -> String {
        self.take_while(|c| c.is_ascii_digit())
    }

    fn sign(&mut self) -> bool {
        let negative = self.eat('-');
        if !negative {
            self.eat('+');
        }
        self.spaces();
        negative
    }

    /// The whole text as one length.
    fn length(&mut self, job: Units) -> Result<Sum, Complaint> {
        let negative = self.sign();
        let mut sum = Exact {
            numerator: 0,
            denominator: 1,
        };
        let mut last: Option<Named> = None;
        let mut had_unit = true;
        loop {
            self.thousands = None;
            let number = self.number()?;
            let unit = match (self.unit()?, last) {
                (Some(unit), _) => {
                    self.is_not_thousands(unit)?;
                    unit
                }
                (None, None) => {
                    had_unit = false;
                    Named::Unit(job)
                }
                // 3'6 is how feet and inches are often written.
                (None, Some(Named::Foot)) if self.at_end() => Named::Unit(Units::Inches),
                (None, Some(larger)) => {
                    return Err(Complaint::new(format!(
                        "has a number without a unit after the {}",
                        larger.plural()
                    ))
                    .help("write the unit of both numbers, like 1 m 50 cm"));
                }
            };
            if let Some(larger) = last {
                follows(larger, unit, number, sum.denominator == 1)?;
            }
            // `follows` has refused what came before unless it is whole micrometres.
            sum = Exact {
                numerator: sum.numerator * number.denominator + number.numerator * unit.um(),
                denominator: number.denominator,
            };
            last = Some(unit);
            self.spaces();
            if self.at_end() {
                break;
            }
            self.must_be_number(had_unit)?;
        }
        if negative {
            sum.numerator = -sum.numerator;
        }
        Ok(Sum { um: sum, had_unit })
    }

    /// Refuses a point before three digits where nobody measures that finely: it may stand between
    /// thousands. Metres, inches and yards are written to a thousandth.
    fn is_not_thousands(&self, unit: Named) -> Result<(), Complaint> {
        let Some((whole, decimals)) = &self.thousands else {
            return Ok(());
        };
        match unit {
            Named::Unit(Units::Millimetres | Units::Centimetres) => {
                Err(either_way(whole, decimals, unit.name()))
            }
            _ => Ok(()),
        }
    }

    /// Refuses what follows a length unless it may be the next part of it.
    fn must_be_number(&self, had_unit: bool) -> Result<(), Complaint> {
        let rest = self.rest();
        let next = self.peek().unwrap_or(' ');
        if !(next.is_ascii_digit() || next == '.' || vulgar(next).is_some()) {
            return Err(if next == '%' {
                Complaint::new("is a percentage, where a length is asked for")
            } else {
                Complaint::new(format!("has \"{rest}\" after the length"))
            });
        }
        if had_unit {
            return Ok(());
        }
        Err(Complaint::new(format!("has a second number, \"{rest}\", with no unit between"))
            .help("write one number without spaces in it, a fraction like 38 3/8, or a unit after each number"))
    }

    fn unit(&mut self) -> Result<Option<Named>, Complaint> {
        self.spaces();
        if self.eat('"') {
            return Ok(Some(Named::Unit(Units::Inches)));
        }
        if self.eat('\'') {
            let inches = self.eat('\'');
            return Ok(Some(if inches {
                Named::Unit(Units::Inches)
            } else {
                Named::Foot
            }));
        }
        let word = self.take_while(char::is_alphabetic);
        if word.is_empty() {
            return Ok(None);
        }
        let unit = Named::from_word(&word).ok_or_else(|| {
            if word.eq_ignore_ascii_case("e") {
                exponent()
            } else {
                Complaint::new(format!("has a unit that is not known, \"{word}\""))
                    .help("units are mm, cm, m, in, ft, yd")
            }
        })?;
        if !unit.is_metric() {
            self.eat('.');
        }
        Ok(Some(unit))
    }
}

fn exponent() -> Complaint {
    Complaint::new("is written with an exponent").help("write the number out, like 1000")
}

/// Refuses `unit` after `larger` unless the two make one length, like feet and inches.
fn follows(larger: Named, unit: Named, number: Exact, whole: bool) -> Result<(), Complaint> {
    if larger.is_metric() != unit.is_metric() {
        return Err(
            Complaint::new(format!("mixes {} and {}", larger.name(), unit.name()))
                .help("write one length in one kind of unit"),
        );
    }
    if unit.um() >= larger.um() {
        return Err(
            Complaint::new(format!("has {} after {}", unit.name(), larger.name()))
                .help("write the larger unit first, each once, like 3 ft 6 in"),
        );
    }
    if !whole {
        return Err(Complaint::new(format!(
            "has a part of a {} before {}",
            larger.name(),
            unit.name()
        ))
        .help("write whole numbers of the larger unit, like 3 ft 6 1/2 in"));
    }
    if number.numerator * unit.um() >= larger.um() * number.denominator {
        return Err(Complaint::new(format!(
            "has more {} than go into 1 {}",
            unit.plural(),
            larger.name()
        ))
        .help(format!("write all of it in {}", unit.plural())));
    }
    Ok(())
}

/// The text in quotes, cut off where it goes on too long for a message.
fn shorten(text: &str) -> String {
    let mut shown: String = text.chars().take(40).filter(|c| !c.is_control()).collect();
    if text.chars().nth(40).is_some() {
        shown.push_str("...");
    }
    format!("\"{shown}\"")
}
