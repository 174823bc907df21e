//! The grammar of a formula: what may follow what, checked before the parser sees it.
//!
//! So every complaint is in plain words and names its place, and nothing of the parser's own shows.
//! On the way the formula is rewritten for version 0.21 of crate `exmex`, as it computes it rightly.
//! Numbers become variables named by their digits, `{2.5}`: constants would be folded in the wrong
//! order (w - 1 - 1 - 1 as w - 1, and sqrt(w + 1 + 2) as w + sqrt(3)). `min(a, b)` becomes
//! `((a) min (b))`: a second argument that calls a function of two values itself would be refused.

use crate::settings::nearest;

/// Functions of one value.
const ONE_VALUE: [&str; 26] = [
    "abs", "acos", "acosh", "asin", "asinh", "atan", "atanh", "cbrt", "ceil", "cos", "cosh", "exp",
    "floor", "fract", "ln", "log", "log10", "log2", "round", "signum", "sin", "sinh", "sqrt",
    "tan", "tanh", "trunc",
];

/// Functions of two values, written `min(a, b)`.
const TWO_VALUES: [&str; 3] = ["atan2", "max", "min"];

/// Words that mean something in a formula besides, to us or to the parser.
const OTHER_WORDS: [&str; 5] = ["E", "PI", "TAU", "e", "to_int"];

/// Whether a measurement or value cannot have that name.
pub(super) fn is_reserved(name: &str) -> bool {
    is_function(name) || OTHER_WORDS.contains(&name)
}

fn is_function(name: &str) -> bool {
    ONE_VALUE.contains(&name) || TWO_VALUES.contains(&name)
}

/// The value of a number or constant as it stands in a formula.
pub(super) fn literal(text: &str) -> Option<f64> {
    match text {
        "PI" => Some(std::f64::consts::PI),
        "TAU" => Some(std::f64::consts::TAU),
        "E" | "e" => Some(std::f64::consts::E),
        _ if text.starts_with(|c: char| c.is_ascii_digit() || c == '.') => text.parse().ok(),
        _ => None,
    }
}

/// What is wrong in a formula, and from which byte on.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Problem {
    pub(super) at: usize,
    pub(super) what: String,
    pub(super) help: String,
}

/// What may come next.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Next {
    /// A number, name, function, sign or opening parenthesis.
    Value,
    /// The same after a sign: no second sign.
    Signed,
    /// An operator, a comma or a closing parenthesis.
    Operator,
}

/// An open parenthesis.
struct Open<'a> {
    at: usize,
    /// The function of two values it belongs to, and whether the comma has come.
    two: Option<(&'a str, bool)>,
}

struct Walk<'a> {
    text: &'a str,
    at: usize,
    next: Next,
    open: Vec<Open<'a>>,
    out: String,
}

/// The formula as the parser takes it, or what is wrong with it. The text is plain ASCII.
pub(super) fn checked(text: &str) -> Result<String, Problem> {
    let mut walk = Walk {
        text,
        at: 0,
        next: Next::Value,
        open: Vec::new(),
        out: String::with_capacity(text.len() + 16),
    };
    while walk.at < text.len() {
        walk.step()?;
    }
    if walk.next != Next::Operator {
        let help = "write a number, a name or a parenthesis there, or take the end off";
        return Err(problem(
            text.len(),
            "the formula ends where a value is missing",
            help,
        ));
    }
    match walk.open.pop() {
        Some(open) => Err(problem(
            open.at,
            "this parenthesis is not closed",
            "write the )",
        )),
        None => Ok(walk.out),
    }
}

fn problem(at: usize, what: impl Into<String>, help: impl Into<String>) -> Problem {
    Problem {
        at,
        what: what.into(),
        help: help.into(),
    }
}

impl<'a> Walk<'a> {
    fn step(&mut self) -> Result<(), Problem> {
        let rest = &self.text[self.at..];
        let length = |part: fn(char) -> bool| rest.len() - rest.trim_start_matches(part).len();
        let number = length(|c| c.is_ascii_digit() || c == '.');
        let word = length(|c| c.is_ascii_alphanumeric() || c == '_');
        if number > 0 {
            self.number(&rest[..number])
        } else if word > 0 {
            self.word(&rest[..word], &rest[word..])
        } else {
            let c = rest.chars().next().unwrap_or(' ');
            self.mark(c)?;
            self.at += c.len_utf8();
            Ok(())
        }
    }

    /// Refuses `what` where an operator has to come first.
    fn value_may_stand_here(&self, what: &str) -> Result<(), Problem> {
        if self.next == Next::Operator {
            let problem_here = format!("there is no operator before {what}");
            return Err(problem(
                self.at,
                problem_here,
                "write + - * / or ^ between the two",
            ));
        }
        Ok(())
    }

    fn number(&mut self, digits: &str) -> Result<(), Problem> {
        self.value_may_stand_here(digits)?;
        let after = self.text[self.at + digits.len()..].chars().next();
        if literal(digits).is_none() {
            let what = format!("{digits} is not a number");
            return Err(problem(
                self.at,
                what,
                "write it with one decimal point, like 2.5",
            ));
        }
        if after.is_some_and(|c| c.eq_ignore_ascii_case(&'e')) {
            let what = format!("{digits} is written with an exponent");
            return Err(problem(self.at, what, "write the number out, like 1000"));
        }
        if after.is_some_and(|c| c.is_ascii_alphabetic() || c == '_') {
            let what = format!("a letter stands right after {digits}");
            let help = "write numbers without a unit, and * to multiply";
            return Err(problem(self.at, what, help));
        }
        self.out.push_str(&format!("{{{digits}}}"));
        self.at += digits.len();
        self.next = Next::Operator;
        Ok(())
    }

    fn word(&mut self, name: &'a str, after: &str) -> Result<(), Problem> {
        self.value_may_stand_here(name)?;
        let called = after.trim_start().starts_with('(');
        match (is_function(name), called) {
            (true, true) => {
                let open = self.at + name.len() + (after.len() - after.trim_start().len());
                let two = TWO_VALUES.contains(&name).then_some((name, false));
                self.out.push_str(if two.is_some() { "((" } else { name });
                if two.is_none() {
                    self.out.push('(');
                }
                self.open.push(Open { at: open, two });
                self.at = open + 1;
                self.next = Next::Value;
                return Ok(());
            }
            (true, false) => {
                let what = format!("{name} stands without parentheses");
                let values = if TWO_VALUES.contains(&name) {
                    "a, b"
                } else {
                    "..."
                };
                return Err(problem(self.at, what, format!("write {name}({values})")));
            }
            (false, true) => {
                let functions = ONE_VALUE.iter().chain(&TWO_VALUES).copied();
                let meant = nearest(name, functions)
                    .map_or_else(String::new, |near| format!("did you mean {near}? "));
                let what = format!("{name} is not a function");
                let help = format!("{meant}To multiply, write {name} * (...)");
                return Err(problem(self.at, what, help));
            }
            (false, false) if literal(name).is_some() => {
                self.out.push_str(&format!("{{{name}}}"));
            }
            (false, false) => self.out.push_str(name),
        }
        self.at += name.len();
        self.next = Next::Operator;
        Ok(())
    }

    /// A character that is neither number nor word.
    fn mark(&mut self, c: char) -> Result<(), Problem> {
        match c {
            ' ' | '\t' => self.out.push(' '),
            '(' => {
                self.value_may_stand_here("this parenthesis")?;
                self.open.push(Open {
                    at: self.at,
                    two: None,
                });
                self.out.push('(');
                self.next = Next::Value;
            }
            '+' | '-' if self.next == Next::Value => {
                self.out.push(c);
                self.next = Next::Signed;
            }
            '+' | '-' | '*' | '/' | '^' => {
                self.value_must_stand_before(c)?;
                self.out.push(c);
                self.next = Next::Value;
            }
            ',' => {
                self.value_must_stand_before(c)?;
                self.comma()?;
                self.next = Next::Value;
            }
            _ => {
                self.value_must_stand_before(c)?;
                self.close()?;
            }
        }
        Ok(())
    }

    fn value_must_stand_before(&self, c: char) -> Result<(), Problem> {
        if self.next == Next::Operator {
            return Ok(());
        }
        let what = format!("there is no value before \"{c}\"");
        Err(problem(self.at, what, "write a number or a name before it"))
    }

    fn comma(&mut self) -> Result<(), Problem> {
        let at = self.at;
        match self.open.last_mut().and_then(|open| open.two.as_mut()) {
            None => {
                let help = "a decimal takes a point; min and max take two values, like min(a, b)";
                Err(problem(at, "a comma has no place here", help))
            }
            Some((name, true)) => {
                let help = format!("write one inside the other: {name}(a, {name}(b, c))");
                Err(problem(
                    at,
                    format!("{name} takes two values, and there are more"),
                    help,
                ))
            }
            Some((name, comma)) => {
                *comma = true;
                self.out.push_str(&format!(") {name} ("));
                Ok(())
            }
        }
    }

    fn close(&mut self) -> Result<(), Problem> {
        match self.open.pop() {
            None => Err(problem(
                self.at,
                "this parenthesis was not opened",
                "take it out, or write the ( it belongs to",
            )),
            Some(Open {
                two: Some((name, false)),
                ..
            }) => {
                let what = format!("{name} takes two values, and there is one");
                Err(problem(self.at, what, format!("write {name}(a, b)")))
            }
            Some(open) => {
                self.out
                    .push_str(if open.two.is_some() { "))" } else { ")" });
                Ok(())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fault_has_its_place() {
        for (text, at, words) in [
            ("w +", 3, "ends where a value is missing"),
            ("(w + 2", 0, "not closed"),
            ("2 * min(w, (3)", 7, "not closed"),
            ("w)", 1, "was not opened"),
            ("w ** 2", 3, "no value before \"*\""),
            ("--w", 1, "no value before \"-\""),
            ("()", 1, "no value before \")\""),
            ("w 2", 2, "no operator before 2"),
            ("2w", 0, "a letter stands right after 2"),
            ("1e5", 0, "1 is written with an exponent"),
            ("w (2)", 0, "w is not a function"),
            ("3 (2)", 2, "no operator before this parenthesis"),
            ("1.2.3 + w", 0, "1.2.3 is not a number"),
            ("sqrt 4", 0, "without parentheses"),
            ("rond(w)", 0, "rond is not a function"),
            ("w, 3", 1, "a comma has no place"),
            ("min(w)", 5, "takes two values, and there is one"),
            ("max(1, 2, 3)", 8, "takes two values, and there are more"),
        ] {
            let problem = checked(text).unwrap_err();
            assert_eq!(problem.at, at, "{text}: {problem:?}");
            assert!(problem.what.contains(words), "{text}: {problem:?}");
            assert!(!problem.help.is_empty());
        }
        assert!(checked("rond(w)").unwrap_err().help.contains("round"));
    }
}
