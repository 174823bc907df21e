//! Which bare numbers among a draft's options look like a slip of the unit: `hem = 25` in a job in
//! centimetres was meant in millimetres.
//!
//! Options of one name mean the same in every draft, so the usual range goes by the name. The ranges are
//! wide and ask about slips only (common practice, no published source). Shares and formulas, and
//! options that may be anything, are not asked about.

use super::{Draft, OptionSpec};
use crate::length::Rounding;
use crate::measurement;
use crate::settings::{InputError, Settings, Value};
use crate::units::{Plausible, Units};

fn usual(draft: &dyn Draft, key: &str) -> Option<Plausible> {
    Some(match key {
        "seam" | "waist_seam" => Plausible::cm("a seam allowance", 0, 6),
        "top" => Plausible::cm("an allowance at the top", 0, 8),
        "side" => Plausible::cm("an allowance at the side", 0, 8),
        "hem" => Plausible::cm("a hem allowance", 0, 12),
        "elastic" => Plausible::cm("the width of an elastic", 0, 12),
        "overlap" => Plausible::cm("the overlap of an elastic", 0, 12),
        "opening" => Plausible::cm("the opening of a casing", 1, 30),
        "depth" => Plausible::cm("the depth of a ruffle", 1, 120),
        "edge" => Plausible::cm("the edge of a ruffle", 10, 5_000),
        "tail" => Plausible::cm("the tail of a sash", 5, 250),
        "band_width" => Plausible::cm("the width of a band", 1, 25),
        "tie_length" | "neck_tie_length" => Plausible::cm("the length of a tie", 15, 250),
        "length" if draft.name().ends_with("skirt") => measurement::find("skirt_length")?.plausible,
        _ => return None,
    })
}

/// What looks odd among the options of `draft`, in the order of the file, each with its place. The help
/// is empty: the doubt says what would be right.
#[must_use]
pub fn doubts(draft: &dyn Draft, settings: &Settings, path: &str, units: Units) -> Vec<InputError> {
    let mut found = Vec::new();
    let mut look = |table: &Settings, path: &str, specs: &[OptionSpec]| {
        for entry in &table.entries {
            let known = specs.iter().any(|spec| spec.key == entry.key);
            let Some(usual) = usual(draft, &entry.key).filter(|_| known) else {
                continue;
            };
            let at = format!("{path}.{}", entry.key);
            let reading = entry.setting.positive_reading(&at, units, Rounding::Up);
            let doubt = reading.ok().and_then(|reading| usual.doubt(units, reading));
            found.extend(doubt.map(|doubt| InputError::at(entry.setting.span, at, doubt, "")));
        }
    };
    look(settings, path, draft.options());
    for (key, specs) in draft.tables() {
        if let Some(Value::Table(table)) = settings.get(key).map(|setting| &setting.value) {
            look(table, &format!("{path}.{key}"), specs);
        }
    }
    found
}
