//! Custom: a person's own draft, from named measurements and formulas.
//!
//! It stands in a file of its own or, with the same keys, in the `[[make]]` table itself. Numbers are
//! in the job's unit. All keys:
//!
//! ```toml
//! name = "harvest vest"                     # optional
//! needs = ["bust_girth", "back_length"]     # measurements, also own ones
//!
//! [values]                                  # optional, in order; later ones may use earlier ones
//! ease = 4
//! half = "(bust_girth + ease) / 2"
//!
//! [[piece]]                                 # [[make.piece]] in the job itself
//! name = "back"
//! copies = 1                                # default 1
//! grain = "lengthwise"                      # or "crosswise", "bias", "either"
//! fabric = "lining"                         # default: the fabric of the garment
//! shape = "trapezoid"                       # or "rectangle"; or an outline instead:
//! width = "half"                            # at the top
//! length = "back_length"
//! flare = "3"                               # trapezoid: wider at the hem by this, on each side
//! # outline = [["0", "0"], ["half", "0"], ["half - 2", "back_length"], ["0", "back_length"]]
//! edges = ["hem", "side", "top", "side"]    # names of the edges; the first goes from corner 1 to 2
//! sizes = "finished"                        # default; "cut": allowances lie inside the shape
//! allowance = "1"                           # on all edges, default 0
//! allowances = { hem = "3", 3 = "0.5" }     # by name or number of the edge
//! hem = "hem"                               # which edge or edges are the hem
//! ```
//!
//! A rectangle or trapezoid has the edges hem, right, top, left, in this order, and its first edge is
//! the hem unless `hem` says otherwise. Corners of an outline are rounded to the nearest micrometre,
//! sizes and allowances up. The first error is reported with how many there are in all; each points
//! at its formula.

mod formula;
mod piece;

use super::options::measure;
use super::{Brief, Draft, Drafted, OptionSpec};
use crate::measurement;
use crate::settings::{InputError, Settings, Value};
use formula::{Formula, Names, check_name};
use piece::PieceRule;

/// A person's own draft, read and checked as far as it can be without measurements.
#[derive(Clone, Debug)]
pub struct CustomDraft {
    name: Option<String>,
    needs: Vec<String>,
    values: Vec<(String, Formula)>,
    pieces: Vec<PieceRule>,
}

const OPTIONS: &[OptionSpec] = &[
    OptionSpec {
        key: "name",
        takes: "text",
        default: "custom",
        about: "what the draft is called",
    },
    OptionSpec {
        key: "needs",
        takes: "list of measurements",
        default: "none",
        about: "measurements that the formulas use, also own ones",
    },
    OptionSpec {
        key: "values",
        takes: "table of formulas",
        default: "none",
        about: "named values, in order; later ones may use earlier ones",
    },
    OptionSpec {
        key: "piece",
        takes: "list of tables",
        default: "must be set",
        about: "the pieces: shape or outline, allowances, grain, copies",
    },
];

impl CustomDraft {
    /// Reads a draft; `path` is that of its table for messages, empty for a file of its own.
    ///
    /// # Errors
    /// All errors, in the order of the text.
    pub fn read(settings: &Settings, path: &str) -> Result<Self, Vec<InputError>> {
        let mut errors = Vec::new();
        let at = |key: &str| {
            if path.is_empty() {
                key.to_string()
            } else {
                format!("{path}.{key}")
            }
        };
        let known: Vec<&str> = OPTIONS.iter().map(|o| o.key).collect();
        errors.extend(settings.only(path, &known).err());
        let name = settings.text(path, "name").unwrap_or_else(|e| {
            errors.push(e);
            None
        });
        let mut draft = CustomDraft {
            name: name.map(str::to_string),
            needs: Vec::new(),
            values: Vec::new(),
            pieces: Vec::new(),
        };
        // While reading, only which names there are counts.
        let mut names = Names::new();
        for (i, need) in settings
            .list(path, "needs")
            .unwrap_or_else(|e| {
                errors.push(e);
                None
            })
            .unwrap_or_default()
            .iter()
            .enumerate()
        {
            let key = format!("{}[{}]", at("needs"), i + 1);
            match need
                .text(&key)
                .and_then(|n| check_name(n, need.span, &key).map(|()| n))
            {
                Ok(name) => {
                    if names.insert(name.to_string(), 0.0).is_some() {
                        let what = format!("\"{name}\" is named twice");
                        errors.push(InputError::at(need.span, key, what, "name it once"));
                    }
                    draft.needs.push(name.to_string());
                }
                Err(e) => errors.push(e),
            }
        }
        let values = settings.table(path, "values").unwrap_or_else(|e| {
            errors.push(e);
            None
        });
        for entry in values.map(|t| t.entries.as_slice()).unwrap_or_default() {
            let key = format!("{}.{}", at("values"), entry.key);
            errors.extend(check_name(&entry.key, entry.key_span, &key).err());
            match Formula::read(&entry.setting, key.clone(), &names) {
                Ok(formula) => draft.values.push((entry.key.clone(), formula)),
                Err(e) => errors.push(e),
            }
            // A faulty value is known all the same: one complaint about it is enough.
            if names.insert(entry.key.clone(), 0.0).is_some() {
                let what = format!("\"{}\" is named twice", entry.key);
                errors.push(InputError::at(
                    entry.key_span,
                    key,
                    what,
                    "choose another name",
                ));
            }
        }
        let pieces = settings.list(path, "piece").unwrap_or_else(|e| {
            errors.push(e);
            None
        });
        if pieces.is_none_or(<[_]>::is_empty) && errors.is_empty() {
            let help = if path.is_empty() {
                "add a [[piece]] table"
            } else {
                "add a [[make.piece]] table"
            };
            errors.push(InputError::at(
                settings.span,
                at("piece"),
                "the draft has no piece",
                help,
            ));
        }
        for (i, setting) in pieces.unwrap_or_default().iter().enumerate() {
            let key = format!("{}[{}]", at("piece"), i + 1);
            match &setting.value {
                Value::Table(table) => match PieceRule::read(table, &key, &names) {
                    Ok(rule) => draft.pieces.push(rule),
                    Err(more) => errors.extend(more),
                },
                other => {
                    let what = format!("a piece is a table, and this is {}", other.kind());
                    errors.push(InputError::at(setting.span, key, what, "write [[piece]]"));
                }
            }
        }
        if errors.is_empty() {
            Ok(draft)
        } else {
            Err(errors)
        }
    }

    /// Like [`CustomDraft::read`], for callers that report one error.
    ///
    /// # Errors
    /// The first error, which tells how many there are.
    pub fn from_settings(settings: &Settings, path: &str) -> Result<Self, InputError> {
        CustomDraft::read(settings, path).map_err(counted)
    }

    /// Its name, if it has one.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        self.name.as_deref()
    }

    /// The measurements that it needs, by key.
    #[must_use]
    pub fn needs(&self) -> &[String] {
        &self.needs
    }

    /// Draws the pieces; the settings of the brief are only used to point at what has no place of
    /// its own.
    ///
    /// # Errors
    /// A missing measurement, or the first formula that gives no piece, with how many there are.
    pub fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, InputError> {
        let mut names = Names::new();
        for need in &self.needs {
            let length = measure(brief, need)?;
            // In the job's unit; floats guide here, lengths are rounded up afterwards.
            let one = brief.units.one().um() as f64;
            names.insert(need.clone(), length.um() as f64 / one);
        }
        for (name, formula) in &self.values {
            let value = formula.value(&names)?;
            names.insert(name.clone(), value);
        }
        let mut errors = Vec::new();
        let mut drafted = Drafted::default();
        for rule in &self.pieces {
            match rule.draw(brief, &names) {
                Ok(piece) => drafted.pieces.push(piece),
                Err(more) => errors.extend(more),
            }
        }
        if errors.is_empty() {
            Ok(drafted)
        } else {
            Err(counted(errors))
        }
    }
}

/// The first error in the order of the text, with how many there are.
fn counted(mut errors: Vec<InputError>) -> InputError {
    errors.sort_by_key(|e| e.span);
    let count = errors.len();
    let mut first = errors.swap_remove(0);
    if count > 1 {
        first.what = format!("{} (the first of {count} errors in this draft)", first.what);
    }
    first
}

/// The custom draft written into the job itself. See the module.
pub(super) struct Custom;

impl Draft for Custom {
    fn name(&self) -> &'static str {
        "custom"
    }

    fn summary(&self) -> &'static str {
        "your own draft: named measurements, formulas, outlines"
    }

    /// Only those of the catalogue; [`CustomDraft::needs`] knows a person's own ones too.
    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        let named = settings
            .list("", "needs")
            .ok()
            .flatten()
            .unwrap_or_default();
        named
            .iter()
            .filter_map(|s| s.text("").ok())
            .filter_map(|name| measurement::find(name).map(|m| m.key))
            .collect()
    }

    fn options(&self) -> &'static [OptionSpec] {
        OPTIONS
    }

    fn sketch(&self) -> &'static str {
        r"
     4________3        [[piece]]
     /        \        outline = [
    /          \         [0, 0],
   /            \        [half, 0],
  1______________2       ... ]
     your corners
"
    }

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, InputError> {
        CustomDraft::from_settings(brief.settings, brief.path)?.draw(brief)
    }
}

#[cfg(test)]
mod tests;
