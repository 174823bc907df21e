//! The measurements that a custom draft names under `needs`: by name, or by name with how to take it.

use super::formula::check_name;
use crate::draft::OwnMeasurement;
use crate::settings::{InputError, Setting, Settings, Value};

/// One entry: `"back_length"` or `{ name = "back_length", how = "..." }`.
fn read_one(setting: &Setting, at: &str) -> Result<OwnMeasurement, InputError> {
    let (name, how, span) = match &setting.value {
        Value::Table(table) => {
            table.only(at, &["name", "how"])?;
            let name = table.text(at, "name")?.ok_or_else(|| {
                let help = "write { name = \"back_length\", how = \"...\" }";
                InputError::at(table.span, at, "the measurement has no name", help)
            })?;
            let span = table.get("name").map_or(table.span, |name| name.span);
            (name, table.text(at, "how")?, span)
        }
        _ => (setting.text(at)?, None, setting.span),
    };
    check_name(name, span, at)?;
    Ok(OwnMeasurement {
        key: name.to_string(),
        how: how.map(str::to_string),
    })
}

/// Those that can be read, and what is wrong with the others.
pub(super) fn read(settings: &Settings, path: &str) -> (Vec<OwnMeasurement>, Vec<InputError>) {
    let (mut named, mut errors) = (Vec::<OwnMeasurement>::new(), Vec::new());
    let list = settings.list(path, "needs").unwrap_or_else(|error| {
        errors.push(error);
        None
    });
    for (i, setting) in list.unwrap_or_default().iter().enumerate() {
        let dot = if path.is_empty() { "" } else { "." };
        let at = format!("{path}{dot}needs[{}]", i + 1);
        match read_one(setting, &at) {
            Ok(one) if named.iter().any(|known| known.key == one.key) => {
                let what = format!("\"{}\" is named twice", one.key);
                errors.push(InputError::at(setting.span, at, what, "name it once"));
            }
            Ok(one) => named.push(one),
            Err(error) => errors.push(error),
        }
    }
    (named, errors)
}
