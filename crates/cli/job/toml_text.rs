//! TOML text to [`Settings`]: every key and value with its place, numbers as they were written.
//!
//! The toml crate's spanned tables keep what its serde side loses: where a value stands and the
//! digits of a decimal, which stay exact that way. A text with several faults in its form gets all
//! of them named, not only the first.

use pieces::InputError;
use pieces::settings::{Entry, Setting, Settings, Span, Value};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Reads a TOML text whose first byte has the place `start`.
///
/// # Errors
/// One for each fault in the form of the text.
pub fn read(text: &str, start: usize) -> Result<Settings, Vec<InputError>> {
    let (table, faults) = DeTable::parse_recoverable(text);
    if faults.is_empty() {
        return Ok(settings(table.get_ref(), shift(table.span(), start), start));
    }
    let mut errors: Vec<InputError> = faults
        .iter()
        .map(|fault| InputError {
            span: Some(shift(fault.span().unwrap_or(0..0), start)),
            key: String::new(),
            what: format!("this is not TOML: {}", fault.message().trim()),
            help: help_for(text, fault.span()),
        })
        .collect();
    // One slip often breaks every line after it; the first few say enough.
    errors.truncate(3);
    Err(errors)
}

/// The usual slips of a person who types TOML for the first time.
fn help_for(text: &str, span: Option<std::ops::Range<usize>>) -> String {
    let at = span.map_or(0, |s| s.start.min(text.len()));
    let line_start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let line = text[line_start..].lines().next().unwrap_or_default();
    if let Some((key, value)) = line.split_once('=') {
        let bare = value.trim();
        let quoted = bare.starts_with(['"', '\'', '[', '{']);
        if !quoted && !bare.is_empty() && bare.parse::<f64>().is_err() {
            let bare = bare.split('#').next().unwrap_or_default().trim();
            return format!(
                "a value with letters, a unit or a fraction stands in quotes: {} = \"{bare}\"",
                key.trim()
            );
        }
        if let Some(written) = feet_and_inches(bare) {
            let key = key.trim();
            return format!("write out feet and inches within the quotes: {key} = \"{written}\"");
        }
        if quoted {
            return "close the quotes, the bracket or the brace on this line".to_owned();
        }
    }
    "a line is `key = value`, a heading stands in brackets: [fabric.linden]; \
     `lengthwise new` shows a whole job"
        .to_owned()
}

/// `3 ft 6 in` for `"3'6""`, in which the sign for inches ends the quotes.
fn feet_and_inches(value: &str) -> Option<String> {
    let value = value.split('#').next()?.trim();
    let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''))?;
    let inner = value.strip_prefix(quote)?;
    let inner = inner.strip_suffix(quote).unwrap_or(inner);
    let signs = |c: char| matches!(c, '"' | '\'');
    let length = |c: char| c.is_ascii_digit() || " /.".contains(c) || signs(c);
    let parts = inner.contains(signs) && inner.chars().all(length);
    let written = inner.replace('\'', " ft ").replace('"', " in");
    parts.then(|| written.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn shift(range: std::ops::Range<usize>, start: usize) -> Span {
    Span {
        start: range.start + start,
        end: range.end + start,
    }
}

fn settings(table: &DeTable<'_>, span: Span, start: usize) -> Settings {
    let mut entries: Vec<Entry> = table
        .iter()
        .map(|(key, value)| Entry {
            key: key.get_ref().to_string(),
            key_span: shift(key.span(), start),
            setting: setting(value, start),
        })
        .collect();
    // The crate sorts by name; a person's order is the order of the file.
    entries.sort_by_key(|entry| entry.key_span);
    Settings { entries, span }
}

fn setting(value: &Spanned<DeValue<'_>>, start: usize) -> Setting {
    let span = shift(value.span(), start);
    let value = match value.get_ref() {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(number) => Value::Number(number.to_string()),
        DeValue::Float(number) => Value::Number(number.as_str().to_owned()),
        DeValue::Boolean(flag) => Value::Flag(*flag),
        // Nothing in a job is a date; as a text it gets the message that its key gives a text.
        DeValue::Datetime(date) => Value::Text(date.to_string()),
        DeValue::Array(list) => Value::List(list.iter().map(|item| setting(item, start)).collect()),
        DeValue::Table(table) => Value::Table(settings(table, span, start)),
    };
    Setting { value, span }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_order_and_digits_are_kept() {
        let text = "b = 97.50\na = \"1 m\"\n[t]\nc = [1, 2]\n";
        let table = read(text, 100).unwrap();
        let keys: Vec<&str> = table.entries.iter().map(|e| e.key.as_str()).collect();
        assert_eq!(keys, ["b", "a", "t"]);
        let b = table.get("b").unwrap();
        assert_eq!(b.value, Value::Number("97.50".to_owned()));
        assert_eq!(&text[b.span.start - 100..b.span.end - 100], "97.50");
    }

    /// The sign for inches is the sign that ends a text of TOML.
    #[test]
    fn feet_and_inches_are_to_be_written_out() {
        for (typed, right) in [
            ("\"3'6\"\"", "3 ft 6 in"),
            ("\"38 3/8\"\"   # hip", "38 3/8 in"),
            ("'3'6\"'", "3 ft 6 in"),
        ] {
            let errors = read(&format!("[t]\nlength = {typed}\n"), 0).unwrap_err();
            let help = &errors[0].help;
            assert!(
                help.contains(&format!("length = \"{right}\"")),
                "{typed}: {help}"
            );
        }
        let errors = read("title = \"Dancers' skirts\n", 0).unwrap_err();
        assert!(errors[0].help.contains("close the quotes"), "{errors:?}");
    }

    #[test]
    fn a_bare_value_with_a_unit_is_told_to_take_quotes() {
        let errors = read("[fabric.linden]\nhave = 1 m\n", 0).unwrap_err();
        assert!(errors[0].help.contains("have = \"1 m\""), "{errors:?}");
    }
}
