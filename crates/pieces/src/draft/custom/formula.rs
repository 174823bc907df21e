//! Formulas of a custom draft: parsed once, every name checked, evaluated in the job's unit.
//!
//! Arithmetic is that of crate `exmex`: + - * / ^, parentheses, `min(a, b)`, `max(a, b)`, `sqrt`, `abs`,
//! `floor`, `ceil`, `round`, trigonometry in radians, `PI`. A sign binds tighter than a power: -w^2 is
//! (-w)^2. Formulas are rewritten before they are parsed, see [`infix`]. Results are floats; they
//! become lengths by rounding up to a whole micrometre.

use std::collections::BTreeMap;

use exmex::Express;

use crate::length::{Length, Rounding};
use crate::settings::{InputError, Setting, Span, Value, nearest};
use crate::units::Units;

/// Longer formulas than this are taken for a mistake.
const LONGEST: usize = 400;

/// Words that mean something in a formula and so can't name a measurement or value.
const RESERVED: [&str; 34] = [
    "E", "PI", "TAU", "abs", "acos", "acosh", "asin", "asinh", "atan", "atan2", "atanh", "cbrt",
    "ceil", "cos", "cosh", "e", "exp", "floor", "fract", "ln", "log", "log10", "log2", "max",
    "min", "round", "signum", "sin", "sinh", "sqrt", "tan", "tanh", "to_int", "trunc",
];

/// Functions of two values, written `min(a, b)`.
const TWO_VALUES: [&str; 3] = ["atan2", "max", "min"];

/// The names that a formula may use, with their values once they are known.
pub(super) type Names = BTreeMap<String, f64>;

/// A formula and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Formula {
    text: String,
    /// The same for the parser, see [`infix`].
    infix: String,
    /// The names in it, in the order in which their values are passed.
    names: Vec<String>,
    pub(super) span: Span,
    pub(super) key: String,
}

/// Complains about `name` if no formula could use it.
pub(super) fn check_name(name: &str, span: Span, key: &str) -> Result<(), InputError> {
    let letter = |c: char| c.is_ascii_alphabetic() || c == '_';
    let well_formed =
        name.starts_with(letter) && name.chars().all(|c| letter(c) || c.is_ascii_digit());
    if !well_formed {
        let help = "use letters, digits and _, and begin with a letter";
        return Err(InputError::at(
            span,
            key,
            format!("\"{name}\" cannot be used in a formula"),
            help,
        ));
    }
    if RESERVED.contains(&name) {
        let what = format!("\"{name}\" has a meaning of its own in formulas");
        return Err(InputError::at(span, key, what, "choose another name"));
    }
    Ok(())
}

/// The value of a number or constant as it stands in a formula.
fn literal(text: &str) -> Option<f64> {
    match text {
        "PI" => Some(std::f64::consts::PI),
        "TAU" => Some(std::f64::consts::TAU),
        "E" | "e" => Some(std::f64::consts::E),
        _ if text.starts_with(|c: char| c.is_ascii_digit() || c == '.') => text.parse().ok(),
        _ => None,
    }
}

/// The formula as version 0.21 of the parser computes it rightly. Numbers become variables named by
/// their digits, `{2.5}`: constants would be folded in the wrong order (w - 1 - 1 - 1 as w - 1, and
/// sqrt(w + 1 + 2) as w + sqrt(3)). `min(a, b)` becomes `((a) min (b))`: a second argument that calls
/// a function of two values itself would be refused.
fn infix(text: &str) -> Result<String, String> {
    /// An open parenthesis: after which function of two values, and whether its comma has come.
    type Open<'a> = Option<(&'a str, bool)>;
    let mut open: Vec<Open<'_>> = Vec::new();
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let length = |part: fn(char) -> bool| rest.len() - rest.trim_start_matches(part).len();
        let number = length(|c| c.is_ascii_digit() || c == '.');
        if number > 0 {
            let (digits, after) = rest.split_at(number);
            if literal(digits).is_none()
                || after.starts_with(|c: char| c.is_ascii_alphabetic() || c == '_')
            {
                return Err(format!("the number {digits} is not well formed"));
            }
            out.push_str(&format!("{{{digits}}}"));
            rest = after;
            continue;
        }
        let word = length(|c| c.is_ascii_alphanumeric() || c == '_');
        if word > 0 {
            let (name, after) = rest.split_at(word);
            match after.trim_start().strip_prefix('(') {
                Some(inside) if TWO_VALUES.contains(&name) => {
                    open.push(Some((name, false)));
                    out.push_str("((");
                    rest = inside;
                }
                _ if literal(name).is_some() => {
                    out.push_str(&format!("{{{name}}}"));
                    rest = after;
                }
                _ => {
                    out.push_str(name);
                    rest = after;
                }
            }
            continue;
        }
        rest = &rest[c.len_utf8()..];
        match (c, open.last_mut()) {
            ('(', _) => {
                open.push(None);
                out.push('(');
            }
            (',', Some(Some((name, comma)))) if !*comma => {
                *comma = true;
                out.push_str(&format!(") {name} ("));
            }
            (',', Some(Some((name, _)))) => {
                return Err(format!("{name} takes two values, and there are more"));
            }
            (',', _) => return Err("a comma has no place (decimals take a point)".into()),
            (')', None) => return Err("a parenthesis is closed that was not opened".into()),
            (')', Some(Some((name, false)))) => {
                return Err(format!("{name} takes two values, and there is one"));
            }
            (')', Some(two)) => {
                out.push_str(if two.is_some() { "))" } else { ")" });
                open.pop();
            }
            _ => out.push(c),
        }
    }
    if open.is_empty() {
        Ok(out)
    } else {
        Err("a parenthesis is not closed".into())
    }
}

fn parse(text: &str) -> Result<exmex::DeepEx<'_, f64>, exmex::ExError> {
    exmex::DeepEx::parse(text)
}

impl Formula {
    /// Reads a formula or plain number; every name must be among `known`.
    pub(super) fn read(setting: &Setting, key: String, known: &Names) -> Result<Self, InputError> {
        let span = setting.span;
        let text = match &setting.value {
            Value::Text(text) => text.trim().to_string(),
            Value::Number(number) => number.replace('_', ""),
            other => {
                let what = format!("a formula is asked for, and this is {}", other.kind());
                return Err(InputError::at(
                    span,
                    key,
                    what,
                    "write it in quotes: \"hip_girth / 2\"",
                ));
            }
        };
        let fail = |what: String, help: String| Err(InputError::at(span, key.as_str(), what, help));
        if text.is_empty() {
            return fail(
                "the formula is empty".into(),
                "write a number or a formula".into(),
            );
        }
        if text.chars().count() > LONGEST {
            let help = "split it: give parts of it a name under [values]";
            return fail(
                format!("the formula is longer than {LONGEST} characters"),
                help.into(),
            );
        }
        let allowed = |c: char| c.is_ascii_alphanumeric() || "_.+-*/^(), \t".contains(c);
        if let Some(odd) = text.chars().find(|&c| !allowed(c)) {
            let what = format!("\"{odd}\" has no place in a formula");
            return fail(
                what,
                "use names, numbers, + - * / ^ ( ) and a decimal point".into(),
            );
        }
        let infix = match infix(&text) {
            Ok(infix) => infix,
            Err(what) => return fail(format!("{what} in \"{text}\""), "check the formula".into()),
        };
        let used = match parse(&infix) {
            Ok(parsed) => parsed.var_names().to_vec(),
            Err(error) => {
                let reason = error.msg().trim_end_matches(['.', ' ']).to_string();
                let what = format!("\"{text}\" cannot be read: {reason}");
                return fail(what, "check the formula".into());
            }
        };
        let unknown = used
            .iter()
            .find(|n| literal(n).is_none() && !known.contains_key(n.as_str()));
        if let Some(name) = unknown {
            let what = format!("\"{name}\" is not known here");
            let all = known.keys().map(String::as_str).collect::<Vec<_>>();
            let help = match nearest(name, all.iter().copied()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None if all.is_empty() => "name it under needs or [values] first".into(),
                None => format!(
                    "name it under needs or [values] first; known: {}",
                    all.join(", ")
                ),
            };
            return fail(what, help);
        }
        Ok(Formula {
            text,
            infix,
            names: used,
            span,
            key,
        })
    }

    /// A complaint about this formula.
    pub(super) fn error(&self, what: impl Into<String>, help: impl Into<String>) -> InputError {
        InputError::at(self.span, self.key.as_str(), what, help)
    }

    /// Its value with these names; always finite.
    pub(super) fn value(&self, names: &Names) -> Result<f64, InputError> {
        let values: Vec<f64> = self
            .names
            .iter()
            .map(|name| {
                literal(name)
                    .or_else(|| names.get(name).copied())
                    .unwrap_or(f64::NAN)
            })
            .collect();
        // Parsed anew each time: the nested form borrows the text, and formulas are few.
        let value = parse(&self.infix)
            .and_then(|parsed| parsed.eval(&values))
            .map_err(|e| {
                let what = format!("\"{}\" cannot be computed: {}", self.text, e.msg());
                self.error(what, "check the formula")
            })?;
        if value.is_finite() {
            return Ok(value);
        }
        let with: Vec<String> = self
            .names
            .iter()
            .zip(&values)
            .filter(|(name, _)| literal(name).is_none())
            .map(|(name, value)| format!("{name} = {value}"))
            .collect();
        let help = if with.is_empty() {
            String::new()
        } else {
            format!("with {}", with.join(", "))
        };
        Err(self.error(format!("\"{}\" gives no number", self.text), help))
    }

    /// Its value as a length in micrometres, not rounded.
    pub(super) fn um(&self, names: &Names, units: Units) -> Result<f64, InputError> {
        let value = self.value(names)?;
        let um = value * units.one().um() as f64;
        if um.abs() > 1e9 {
            let what = format!(
                "\"{}\" gives {value} {}, more than a kilometre",
                self.text,
                units.name()
            );
            return Err(self.error(what, "check the formula and its units"));
        }
        Ok(um)
    }

    /// Its value as a length of any sign, rounded up.
    pub(super) fn length(&self, names: &Names, units: Units) -> Result<Length, InputError> {
        let um = self.um(names, units)?;
        Length::from_um_f64(um, Rounding::Up)
            .ok_or_else(|| self.error(format!("\"{}\" gives no length", self.text), ""))
    }

    /// The same, at least `least` micrometres: 1 for sizes, 0 for allowances.
    pub(super) fn length_from(
        &self,
        least: i64,
        names: &Names,
        units: Units,
    ) -> Result<Length, InputError> {
        let length = self.length(names, units)?;
        if length.um() >= least {
            return Ok(length);
        }
        let what = format!("\"{}\" gives {}", self.text, units.write(length));
        let help = if least > 0 {
            "it must be above zero"
        } else {
            "it must not be below zero"
        };
        Err(self.error(what, help))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn setting(text: &str) -> Setting {
        Setting {
            value: Value::Text(text.into()),
            span: Span { start: 3, end: 9 },
        }
    }

    fn names() -> Names {
        [("w".to_string(), 10.0), ("hip_girth".to_string(), 101.0)]
            .into_iter()
            .collect()
    }

    fn value(text: &str) -> Result<f64, InputError> {
        Formula::read(&setting(text), "k".into(), &names())?.value(&names())
    }

    #[test]
    fn arithmetic_is_what_a_person_expects() {
        let cases = [
            ("2 + 3 * 4", 14.0),
            ("10 - 2 - 3", 5.0),
            ("10 - 2 + 3", 11.0),
            ("12 / 2 / 3", 2.0),
            ("12 / 2 * 3", 18.0),
            ("2 * max(w, 4) + 1", 21.0),
            ("w - min(3, 4) * 2", 4.0),
            ("min(max(1, w), 7)", 7.0),
            ("max(3, min(4, max (w, 2)))", 4.0),
            ("sqrt(w * w + 2.25 - 0.25 + 44)", 146.0_f64.sqrt()),
            ("hip_girth / 4 + 1.5", 26.75),
            ("-w ^ 2", 100.0),
            ("sqrt(w + 1 + 2 + 3)", 4.0),
            ("w - 1 - 1 - 1", 7.0),
            ("w * 2 * PI / PI / .5", 40.0),
            ("ceil(w / 3)", 4.0),
        ];
        for (text, expected) in cases {
            let got = value(text).unwrap();
            assert!((got - expected).abs() < 1e-12, "{text} gave {got}");
        }
    }

    #[test]
    fn what_is_wrong_is_named() {
        let error = value("hip_grith / 2").unwrap_err();
        assert_eq!(error.what, "\"hip_grith\" is not known here");
        assert_eq!(error.help, "did you mean \"hip_girth\"?");
        assert_eq!(error.span, Some(Span { start: 3, end: 9 }));
        assert!(value("w +").is_err());
        assert!(value("(w").unwrap_err().what.contains("not closed"));
        assert!(value("w, 3").unwrap_err().what.contains("comma"));
        assert!(
            value("min(w)")
                .unwrap_err()
                .what
                .contains("takes two values")
        );
        assert!(value("max(1, 2, 3)").is_err() && value("w)").is_err());
        assert!(value("w € 3").unwrap_err().what.contains('€'));
        assert!(value("w / 0").unwrap_err().what.contains("no number"));
        assert!(value("sqrt(0 - w)").unwrap_err().help.contains("w = 10"));
        assert!(value("").is_err());
    }

    /// An expression as a tree, to be written with as few parentheses as arithmetic allows.
    #[derive(Clone, Debug)]
    enum Tree {
        Number(u8),
        Width,
        Hip,
        Negative(Box<Tree>),
        Root(Box<Tree>),
        Two(char, Box<Tree>, Box<Tree>),
    }

    impl Tree {
        fn value(&self) -> f64 {
            match self {
                Tree::Number(n) => f64::from(*n) / 4.0,
                Tree::Width => 10.0,
                Tree::Hip => 101.0,
                Tree::Negative(a) => -a.value(),
                Tree::Root(a) => a.value().abs().sqrt(),
                Tree::Two(op, a, b) => {
                    let (a, b) = (a.value(), b.value());
                    match op {
                        '+' => a + b,
                        '-' => a - b,
                        '*' => a * b,
                        '/' => a / b,
                        '<' => a.min(b),
                        _ => a.max(b),
                    }
                }
            }
        }

        fn text(&self) -> String {
            let tight = |tree: &Tree, also_products: bool| match tree {
                Tree::Two('+' | '-', ..) => format!("({})", tree.text()),
                Tree::Two('*' | '/', ..) if also_products => format!("({})", tree.text()),
                _ => tree.text(),
            };
            match self {
                Tree::Number(n) => format!("{}", f64::from(*n) / 4.0),
                Tree::Width => "w".into(),
                Tree::Hip => "hip_girth".into(),
                Tree::Negative(a) => format!("(-{})", tight(a, true)),
                Tree::Root(a) => format!("sqrt(abs({}))", a.text()),
                Tree::Two('+', a, b) => format!("{} + {}", a.text(), b.text()),
                Tree::Two('-', a, b) => format!("{} - {}", a.text(), tight(b, false)),
                Tree::Two('*', a, b) => format!("{} * {}", tight(a, false), tight(b, false)),
                Tree::Two('/', a, b) => format!("{} / {}", tight(a, false), tight(b, true)),
                Tree::Two('<', a, b) => format!("min({}, {})", a.text(), b.text()),
                Tree::Two(_, a, b) => format!("max({}, {})", a.text(), b.text()),
            }
        }
    }

    fn trees() -> impl Strategy<Value = Tree> {
        let leaf = prop_oneof![
            (1_u8..40).prop_map(Tree::Number),
            Just(Tree::Width),
            Just(Tree::Hip)
        ];
        leaf.prop_recursive(5, 24, 2, |inner| {
            let two = (
                prop::sample::select(vec!['+', '-', '*', '/', '<', '>']),
                inner.clone(),
                inner.clone(),
            );
            prop_oneof![
                1 => inner.clone().prop_map(|a| Tree::Negative(Box::new(a))),
                1 => inner.prop_map(|a| Tree::Root(Box::new(a))),
                6 => two.prop_map(|(op, a, b)| Tree::Two(op, Box::new(a), Box::new(b))),
            ]
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]

        /// Against the arithmetic of Rust itself.
        #[test]
        fn formulas_follow_the_rules_of_arithmetic(tree in trees()) {
            let expected = tree.value();
            prop_assume!(expected.is_finite() && expected.abs() < 1e12);
            let text = tree.text();
            prop_assume!(text.chars().count() <= LONGEST);
            let got = value(&text);
            let no_number = got.as_ref().is_err_and(|e| e.what.contains("no number"));
            prop_assert!(got.is_ok() || no_number, "{} is refused: {:?}", text, got);
            if let Ok(got) = got {
                let slack = 1e-6 * expected.abs().max(1.0);
                prop_assert!((got - expected).abs() <= slack, "{} gave {} for {}", text, got, expected);
            }
        }

        #[test]
        fn no_text_makes_it_panic(text in "[-+*/^(), .a-z0-9w]{0,24}") {
            let _ = value(&text);
        }
    }
}
