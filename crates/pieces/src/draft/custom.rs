//! Custom: a person's own draft, from named measurements and formulas.
//!
//! It stands in a file of its own (`file = "waistcoat.toml"`) or, with the same keys, in the `[[make]]`
//! table itself. Numbers are in the job's unit. All keys:
//!
//! ```toml
//! name = "harvest vest"                     # optional
//! needs = ["bust_girth", { name = "back_length", how = "From the neck bone to the waist." }]
//!
//! [values]                                  # optional, in order; later ones may use earlier ones
//! ease = 4
//! half = "(bust_girth + ease) / 2"
//!
//! [[piece]]                                 # [[make.piece]] in the job itself
//! name = "back"
//! copies = 1                                # default 1, of a pair 2
//! pair = false                              # true: every second copy is mirrored, left and right
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
//! notches = { 2 = "side" }                  # by the number of the corner, with what is written there
//! ```
//!
//! A rectangle or trapezoid has the edges hem, right, top, left, in this order, and its first edge is
//! the hem unless `hem` says otherwise. A corner in the middle of a straight edge is no corner of the
//! piece, but may carry a notch. Corners of an outline are rounded to the nearest micrometre, sizes and
//! allowances up. All faults of a draft are reported, each at its formula.

mod formula;
mod needs;
mod piece;

use super::options::measure;
use super::{Brief, Draft, Drafted, OptionSpec, OwnMeasurement};
use crate::measurement;
use crate::piece::Piece;
use crate::settings::{InputError, Settings, Value};
use formula::{Formula, Names, check_name};
use piece::PieceRule;

/// A person's own draft, read and checked as far as it can be without measurements.
#[derive(Clone, Debug)]
pub struct CustomDraft {
    name: Option<String>,
    needs: Vec<OwnMeasurement>,
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
        takes: "list of measurements, or of { name = ..., how = ... }",
        default: "none",
        about: "measurements that the formulas use; how says how to take one of your own",
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
        about: "the pieces, one [[piece]] for each ([[make.piece]] in the job itself)",
    },
];

const FILE: OptionSpec = OptionSpec {
    key: "file",
    takes: "path of a TOML file",
    default: "none",
    about: "where the draft stands, instead of in the [[make]]; then with [values] and [[piece]] as here",
};

/// What `lengthwise drafts custom` lists: `file` is taken out by whoever opens it.
const LISTED: &[OptionSpec] = &[OPTIONS[0], OPTIONS[1], OPTIONS[2], OPTIONS[3], FILE];

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
        let (needs, more) = needs::read(settings, path);
        errors.extend(more);
        // While reading, only which names there are counts.
        let mut names: Names = needs.iter().map(|need| (need.key.clone(), 0.0)).collect();
        let mut draft = CustomDraft {
            name: name.map(str::to_string),
            needs,
            values: Vec::new(),
            pieces: Vec::new(),
        };
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

    /// Its name, if it has one.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        self.name.as_deref()
    }

    /// The measurements that it needs.
    #[must_use]
    pub fn needs(&self) -> &[OwnMeasurement] {
        &self.needs
    }

    /// Draws the pieces; the settings of the brief are only used to point at what has no place of
    /// its own.
    ///
    /// # Errors
    /// Missing measurements; or everything that gives no piece with those of this wearer.
    pub fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        let mut errors = Vec::new();
        let mut names = Names::new();
        // In the job's unit; floats guide here, lengths are rounded up afterwards.
        let one = brief.units.one().um() as f64;
        for need in &self.needs {
            match measure(brief, &need.key) {
                Ok(length) => {
                    names.insert(need.key.clone(), length.um() as f64 / one);
                }
                Err(missing) => errors.push(missing),
            }
        }
        if !errors.is_empty() {
            return Err(errors);
        }
        let mut drafted = Drafted::default();
        for (name, formula) in &self.values {
            match formula.value(&names) {
                Ok(value) => {
                    names.insert(name.clone(), value);
                }
                // What is made of it would be wrong as well: one complaint is enough.
                Err(error) => return Err(with_wearer(vec![error], brief)),
            }
        }
        for rule in &self.pieces {
            match rule.draw(brief, &names) {
                Ok(piece) => rule.add(piece, brief, &mut drafted),
                Err(more) => errors.extend(more),
            }
        }
        if errors.is_empty() {
            Ok(drafted)
        } else {
            Err(with_wearer(errors, brief))
        }
    }
}

/// Says with whose measurements it went wrong.
fn with_wearer(errors: Vec<InputError>, brief: &Brief<'_>) -> Vec<InputError> {
    let name = &brief.wearer.name;
    let told = |error: InputError| InputError {
        what: if name.is_empty() {
            error.what
        } else {
            format!("{} (for {name})", error.what)
        },
        ..error
    };
    errors.into_iter().map(told).collect()
}

/// The measurements that a custom draft names, as far as they can be read.
#[must_use]
pub fn named_measurements(settings: &Settings) -> Vec<OwnMeasurement> {
    needs::read(settings, "").0
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

    fn needs(&self, settings: &Settings) -> Vec<&'static str> {
        named_measurements(settings)
            .iter()
            .filter_map(|need| measurement::find(&need.key).map(|known| known.key))
            .collect()
    }

    fn own_needs(&self, settings: &Settings) -> Vec<OwnMeasurement> {
        let mut own = named_measurements(settings);
        own.retain(|need| measurement::find(&need.key).is_none());
        own
    }

    fn options(&self) -> &'static [OptionSpec] {
        LISTED
    }

    fn tables(&self) -> &'static [(&'static str, &'static [OptionSpec])] {
        &[("[[piece]]", piece::OPTIONS)]
    }

    fn narrower(&self, _: &Brief<'_>, _: &Piece) -> String {
        "another grain for this piece, or two pieces with a seam between them".into()
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

    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>> {
        CustomDraft::read(brief.settings, brief.path)?.draw(brief)
    }
}

#[cfg(test)]
mod tests;
