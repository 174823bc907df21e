//! A job: what a person wrote, turned into what can be planned.
//!
//! The raw job is a [`Settings`] table, keys and values with their places; the settled one is
//! [`Job`], in which every length is exact, every name is found and every default is filled in.
//! `settle` is the one place that turns one into the other, and it reads on after a mistake so
//! that a person hears of all of them at once. What can stand in a job file is listed in [`keys`].

pub mod compare;
pub mod fabric;
pub mod faults;
pub mod keys;
pub mod make;
pub mod sources;
pub mod starter;
pub mod toml_text;
mod wearers;

use std::collections::BTreeMap;
use std::path::Path;

use pieces::settings::Span;
use pieces::{Fabric, InputError, Settings, Units, Wearer};

use crate::message::{Fault, Refused};
use compare::Comparison;
use faults::Faults;
use make::Make;
use sources::{Kind, Sources, read_text};

/// Gives the text of a file that a job names.
pub type Open<'a> = dyn FnMut(&str, Kind) -> Result<String, Refused> + 'a;

/// A job that can be planned.
#[derive(Clone)]
pub struct Job {
    /// Printed on every drawing.
    pub title: String,
    /// The unit it is written in.
    pub units: Units,
    /// The unit answers are written in: `units`, unless the command line says otherwise.
    pub shown_in: Units,
    /// Printed beside costs; may be empty.
    pub currency: String,
    /// The fabrics by their key.
    pub fabrics: BTreeMap<String, Fabric>,
    /// Their keys in the order of the file.
    pub fabric_order: Vec<String>,
    /// The wearers in the order of the file, those of a CSV last.
    pub wearers: Vec<Wearer>,
    /// Where each wearer stands.
    pub wearer_places: Vec<Place>,
    /// What to make.
    pub makes: Vec<Make>,
    /// What to compare.
    pub comparison: Comparison,
    /// The choice that this job is planned under, once one is taken.
    pub choice: Option<String>,
    /// What looks odd.
    pub warnings: Vec<String>,
    /// The texts it was read from.
    pub sources: Sources,
}

/// Where something stands in the job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// Its path: `wearer.Ilka`.
    pub path: String,
    /// Its place in the sources.
    pub span: Option<Span>,
    /// For a row of a CSV: its cells by measurement, and the row of headings.
    pub row: Option<RowPlace>,
}

/// Where the parts of a row stand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RowPlace {
    /// By measurement; none for a measurement without a column.
    pub cells: BTreeMap<String, Span>,
    /// The row of headings.
    pub headings: Span,
}

impl Job {
    /// Reads a job file and what it names.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn load(path: &Path) -> Result<Job, Refused> {
        let text = read_text(path, Kind::Job)?;
        refuse_other_kind(path)?;
        let folder = path.parent().unwrap_or(Path::new(""));
        Job::read(&path.display().to_string(), &text, &mut |name, kind| {
            read_text(&folder.join(name), kind)
        })
    }

    /// Reads a job from its text. `open` gives the text of a file that the job names.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn read(name: &str, text: &str, open: &mut Open<'_>) -> Result<Job, Refused> {
        let mut sources = Sources::default();
        let start = sources.add(name, text);
        let raw = match toml_text::read(text, start) {
            Ok(raw) => raw,
            Err(errors) => return Err(Refused::from_errors(&sources, errors)),
        };
        if raw.get("piece").is_some() && raw.get("make").is_none() && raw.get("fabric").is_none() {
            let file = Path::new(name).file_name().unwrap_or(name.as_ref());
            return Err(Refused::plain(
                format!("{name} is a draft of your own, not a job"),
                format!(
                    "a job names it in a [[make]]:\ndraft = \"custom\"\nfile = \"{}\"",
                    file.display()
                ),
            ));
        }
        let mut faults = Faults::default();
        let mut job = settle(&raw, &mut sources, open, &mut faults);
        if !faults.is_empty() {
            return Err(Refused::from_errors(&sources, faults.into_errors()).warned(&job.warnings));
        }
        job.sources = sources;
        Ok(job)
    }

    /// The same job under one of its choices.
    #[must_use]
    pub fn under(&self, choice: &compare::Choice) -> Job {
        let mut job = self.clone();
        let stands_in = self.comparison.compared.contains(&choice.fabric.name);
        for make in &mut job.makes {
            if stands_in && self.comparison.compared.contains(&make.fabric) {
                make.fabric.clone_from(&choice.fabric.name);
            }
        }
        job.fabrics
            .insert(choice.fabric.name.clone(), choice.fabric.clone());
        job.choice = Some(choice.label.clone());
        job
    }
}

/// The files that go with a job are told from it by their endings.
fn refuse_other_kind(path: &Path) -> Result<(), Refused> {
    let ending = path.extension().unwrap_or_default().to_ascii_lowercase();
    let file = path.file_name().unwrap_or_default().display();
    let (what, help) = match ending.to_str() {
        Some("csv") => (
            "a list of wearers",
            format!("a job names it: wearers = \"{file}\"; `lengthwise new` writes a first job"),
        ),
        Some("json") => (
            "an answer",
            "`lengthwise check` looks at it again; the job it answers is a .toml file".to_owned(),
        ),
        _ => return Ok(()),
    };
    let what = format!("{} looks like {what}, not like a job", path.display());
    Err(Refused::plain(what, help))
}

/// Raw to settled: the one place. What stands in for a mistake is no job to plan: `faults` has it.
fn settle(raw: &Settings, sources: &mut Sources, open: &mut Open<'_>, faults: &mut Faults) -> Job {
    let known: Vec<&str> = keys::TOP.names().collect();
    faults.only(raw, "", &known);
    let units = faults
        .optional(raw.choice("", "units", &Units::NAMES))
        .and_then(Units::from_name)
        .unwrap_or_default();
    let title = faults.optional(raw.text("", "title")).map(str::to_owned);
    let currency = faults.optional(raw.text("", "currency")).unwrap_or("");
    let mut warnings: Vec<InputError> = Vec::new();

    let raw_fabrics = faults.optional(raw.table("", "fabric"));
    let mut fabrics = BTreeMap::new();
    let mut fabric_order = Vec::new();
    for entry in raw_fabrics.map_or(&[][..], |table| &table.entries) {
        let path = format!("fabric.{}", entry.key);
        let table = faults.keep(entry.setting.table(&path));
        let read = table
            .and_then(|table| fabric::read(&entry.key, table, &path, units, faults, &mut warnings));
        fabric_order.push(entry.key.clone());
        // A fabric that could not be read still has its name, so that makes find it.
        let fabric = read.unwrap_or_else(|| nameless(&entry.key));
        fabrics.insert(entry.key.clone(), fabric);
    }
    if fabric_order.is_empty() && raw.get("fabric").is_none() {
        faults.note(missing(
            raw,
            "fabric",
            "a fabric",
            "[fabric.linden]\nwidth = 140",
        ));
    }

    // A person's own drafts name measurements of their own, so they are opened before wearers are read.
    let mut tables = Vec::new();
    let make_list = raw.one_or_list("make").unwrap_or_default();
    for (i, setting) in make_list.iter().enumerate() {
        let path = format!("make[{}]", i + 1);
        if let Some(table) = faults.keep(setting.table(&path)) {
            let options = make::options(table, &path, sources, open, faults);
            tables.push((path, table, options));
        }
    }
    let own: Vec<String> = tables
        .iter()
        .flat_map(|(_, _, options)| make::own_measurements(&options.settings))
        .collect();
    let own: Vec<&str> = own.iter().map(String::as_str).collect();

    let people = wearers::read(raw, units, &own, sources, open, faults);
    let (wearers, wearer_places): (Vec<Wearer>, Vec<Place>) = people.into_iter().unzip();
    warnings.extend(wearers.iter().flat_map(|w| w.warnings.iter().cloned()));

    let mut makes = Vec::new();
    for (path, table, options) in tables {
        let draft = table.text(&path, "draft").ok().flatten();
        if let Some(draft) = draft.and_then(pieces::draft::find) {
            warnings.extend(pieces::draft::doubts(
                draft,
                &options.settings,
                &options.path,
                units,
            ));
        }
        makes.extend(make::read(
            table, options, &path, &fabrics, &wearers, faults,
        ));
    }
    if make_list.is_empty() {
        faults.note(missing(
            raw,
            "make",
            "something to make",
            "[[make]]\ndraft = \"panel skirt\"",
        ));
    }

    let comparison = match (faults.optional(raw.table("", "compare")), raw_fabrics) {
        (Some(table), Some(raw_fabrics)) => compare::read(
            table,
            raw_fabrics,
            &fabrics,
            &makes,
            units,
            faults,
            &mut warnings,
        ),
        _ => Comparison::default(),
    };
    Job {
        title: title.unwrap_or_else(|| file_title(sources)),
        units,
        shown_in: units,
        currency: currency.to_owned(),
        fabrics,
        fabric_order,
        wearers,
        wearer_places,
        makes,
        comparison,
        choice: None,
        warnings: told(sources, warnings),
        sources: Sources::default(),
    }
}

/// More doubts than this are one mistake made many times: a CSV in another unit.
const MOST_TOLD: usize = 100;

/// What looks odd, with file and line.
fn told(sources: &Sources, warnings: Vec<InputError>) -> Vec<String> {
    let more = warnings.len().saturating_sub(MOST_TOLD);
    let mut told: Vec<String> = warnings
        .into_iter()
        .take(MOST_TOLD)
        .map(|warning| {
            let mut doubt = Fault::new(sources, warning);
            if let Some(place) = &mut doubt.place {
                // Without folders: it goes into the answer, which is passed on and read elsewhere.
                let name = Path::new(&place.file).file_name();
                place.file = name.map_or_else(String::new, |n| n.to_string_lossy().into_owned());
            }
            doubt.to_string()
        })
        .collect();
    if more > 0 {
        told.push(format!("... and {more} more numbers that look odd"));
    }
    told
}

fn missing(raw: &Settings, key: &str, what: &str, example: &str) -> InputError {
    InputError::at(
        Span {
            start: raw.span.start,
            end: raw.span.start,
        },
        key,
        format!("the job has nothing under `{key}`: {what} is missing"),
        format!("add:\n{example}\nor let `lengthwise new` write a whole job"),
    )
}

/// The job file's name without folders and ending.
fn file_title(sources: &Sources) -> String {
    let name = sources.texts().first().map_or("job", |text| &text.name);
    Path::new(name).file_stem().map_or_else(
        || "job".to_owned(),
        |stem| stem.to_string_lossy().into_owned(),
    )
}

/// Stands in for a fabric whose table is wrong, while the rest of the job is read.
fn nameless(name: &str) -> Fabric {
    Fabric {
        name: name.to_owned(),
        width: pieces::Length::from_cm(100),
        selvedge: pieces::Length::ZERO,
        direction: pieces::Direction::default(),
        drape: pieces::Drape::default(),
        faces_alike: false,
        shrinkage_ppm: 0,
        end_allowance: pieces::Length::ZERO,
        selling_step: pieces::Length::from_cm(10),
        spacing: pieces::Length::ZERO,
        cutting: pieces::Cutting::default(),
        price: None,
        on_hand: Vec::new(),
    }
}
