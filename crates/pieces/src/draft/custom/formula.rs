//! Formulas of a custom draft: parsed once, every name checked, evaluated in the job's unit.
//!
//! Arithmetic is that of crate `exmex`: + - * / ^, parentheses, `min(a, b)`, `max(a, b)`, `sqrt`, `abs`,
//! `floor`, `ceil`, `round`, trigonometry in radians, `PI`. A sign binds tighter than a power: -w^2 is
//! (-w)^2. Formulas are checked and rewritten before they are parsed, see [`grammar`]. Results are
//! floats; they become lengths by rounding up to a whole micrometre.

mod grammar;

use std::collections::BTreeMap;

use exmex::Express;

use crate::length::{Length, Rounding};
use crate::measurement;
use crate::settings::{InputError, Setting, Span, Value, nearest};
use crate::units::Units;
use grammar::{checked, is_reserved, literal};

/// Longer formulas than this are taken for a mistake.
const LONGEST: usize = 400;

/// The names that a formula may use, with their values once they are known.
pub(super) type Names = BTreeMap<String, f64>;

/// A formula and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Formula {
    text: String,
    /// The same for the parser, see [`checked`].
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
    if is_reserved(name) {
        let what = format!("\"{name}\" has a meaning of its own in formulas");
        return Err(InputError::at(span, key, what, "choose another name"));
    }
    Ok(())
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
        let infix = checked(&text).map_err(|problem| {
            let number = problem.at + 1;
            let what = format!("\"{text}\", character {number}: {}", problem.what);
            InputError::at(
                place_in(setting, problem.at),
                key.as_str(),
                what,
                problem.help,
            )
        })?;
        // The grammar admits nothing that the parser refuses.
        let Ok(used) = parse(&infix).map(|parsed| parsed.var_names().to_vec()) else {
            return fail(
                format!("\"{text}\" cannot be read"),
                "check the formula".into(),
            );
        };
        let unknown = used
            .iter()
            .find(|n| literal(n).is_none() && !known.contains_key(n.as_str()));
        if let Some(name) = unknown {
            let what = format!("\"{name}\" is not known here");
            let at = text.find(name.as_str()).unwrap_or(0);
            let all = known.keys().map(String::as_str).collect::<Vec<_>>();
            let help = match nearest(name, all.iter().copied()) {
                _ if measurement::find(name).is_some() => format!("add \"{name}\" to needs"),
                Some(near) => format!("did you mean \"{near}\"?"),
                None if all.is_empty() => "name it under needs or [values] first".into(),
                None => format!(
                    "name it under needs or [values] first; known: {}",
                    all.join(", ")
                ),
            };
            return Err(InputError::at(place_in(setting, at), key, what, help));
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
            .map_err(|_| {
                let what = format!("\"{}\" cannot be computed", self.text);
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
            .map(|(name, value)| format!("{name} = {}", short(*value)))
            .collect();
        let help = if with.is_empty() {
            String::new()
        } else {
            format!("with {}", with.join(", "))
        };
        // Without powers, only what is divided by nothing is infinite.
        let divided = value.is_infinite() && self.text.contains('/') && !self.text.contains('^');
        let what = if divided {
            "divides by zero"
        } else {
            "gives no number"
        };
        Err(self.error(format!("\"{}\" {what}", self.text), help))
    }

    /// Its value as a length in micrometres, not rounded.
    pub(super) fn um(&self, names: &Names, units: Units) -> Result<f64, InputError> {
        let value = self.value(names)?;
        let um = value * units.one().um() as f64;
        if um.abs() > 1e9 {
            let what = format!(
                "\"{}\" gives {} {}, more than a kilometre",
                self.text,
                short(value),
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

/// A value as a message shows it: not as exact as it is, and never hundreds of digits.
fn short(value: f64) -> String {
    if value.abs() >= 1e9 {
        let sign = if value < 0.0 {
            "less than -"
        } else {
            "more than "
        };
        return format!("{sign}1000000000");
    }
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// The place of byte `at` of a formula: within the quotes where the text stands as it is, else all of
/// it.
fn place_in(setting: &Setting, at: usize) -> Span {
    let Value::Text(text) = &setting.value else {
        return setting.span;
    };
    let quotes = setting.span.end - setting.span.start;
    if quotes != text.len() + 2 {
        return setting.span;
    }
    let before = text.len() - text.trim_start().len();
    let start = setting.span.start + 1 + before + at;
    Span {
        start: start.min(setting.span.end - 1),
        end: setting.span.end - 1,
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
            ("2 * -w", -20.0),
            ("2 - -w", 12.0),
            ("2 ^ -1 + 1", 1.5),
            ("max(-w, +3)", 3.0),
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
        assert_eq!(
            value("w +").unwrap_err().what,
            "\"w +\", character 4: the formula ends where a value is missing"
        );
        assert!(value("w € 3").unwrap_err().what.contains('€'));
        assert!(value("w / 0").unwrap_err().what.contains("divides by zero"));
        assert!(value("sqrt(0 - w)").unwrap_err().help.contains("w = 10"));
        assert!(value("").is_err());
        let nines = "9".repeat(350);
        let huge = Formula::read(&setting(&nines), "k".into(), &names()).unwrap();
        let said = huge.um(&names(), Units::Centimetres).unwrap_err();
        assert!(said.what.ends_with("gives no number"), "{said}");
        let huge = Formula::read(&setting("w ^ 200"), "k".into(), &names()).unwrap();
        let said = huge.um(&names(), Units::Centimetres).unwrap_err();
        assert_eq!(
            said.what,
            "\"w ^ 200\" gives more than 1000000000 cm, more than a kilometre"
        );
    }

    #[test]
    fn the_place_is_within_the_quotes() {
        let quoted = Setting {
            value: Value::Text("w + haf".into()),
            span: Span { start: 20, end: 29 },
        };
        let error = Formula::read(&quoted, "k".into(), &names()).unwrap_err();
        assert_eq!(error.span, Some(Span { start: 25, end: 28 }));
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
            // What the grammar admits the parser takes.
            let said = value(&text).err().map(|e| e.what).unwrap_or_default();
            prop_assert!(!said.contains("cannot be read") && !said.contains("cannot be computed"), "{}", said);
        }
    }
}
