//! Drafts: the rule sets that turn a wearer's measurements into pieces.
//!
//! A draft declares what it needs (measurements) and what can be set (options with defaults and
//! reasons), and draws pieces. One file per draft; [`all`] lists them. To add one: write the file,
//! implement [`Draft`], add it to [`all`]. Then read [`strips`] (joined strips) and [`bias`].

pub mod bias;
pub mod custom;
pub mod strips;

mod apron;
mod circle_skirt;
mod gathered_skirt;
mod gored_skirt;
mod options;
mod panel_skirt;
mod plain;
mod rows;
mod ruffle;
mod sash;
mod shape;
mod ties;
mod usual;
mod waistband;

pub use usual::doubts;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use crate::fabric::Fabric;
use crate::length::Length;
use crate::piece::Piece;
use crate::settings::{InputError, Settings};
use crate::units::Units;
use crate::wearer::Wearer;

/// What a draft can be told beside the measurements.
#[derive(Clone, Copy, Debug)]
pub struct OptionSpec {
    /// Its key in the job: `flare`.
    pub key: &'static str,
    /// What values it takes: `length or share`, `whole number`.
    pub takes: &'static str,
    /// What is used when it is left out, as a person would write it.
    pub default: &'static str,
    /// What it does, one sentence.
    pub about: &'static str,
}

/// What a draft is given.
pub struct Brief<'a> {
    /// Who it is for.
    pub wearer: &'a Wearer,
    /// The `[[make]]` table, with the keys that every draft has already taken out (`draft`,
    /// `fabric`, `wearers`, `copies`).
    pub settings: &'a Settings,
    /// Path of that table for messages: `make[1]`.
    pub path: &'a str,
    /// The job's unit: what a bare number means.
    pub units: Units,
    /// The unit that notes and names are written in.
    pub shown_in: Units,
    /// The fabric of the garment.
    pub fabric: &'a Fabric,
    /// All fabrics of the job, for parts cut from another one.
    pub fabrics: &'a BTreeMap<String, Fabric>,
    /// Number of this garment in the job, from 0.
    pub garment: u32,
}

/// Something to buy beside cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Extra {
    /// What: `elastic, 25 mm wide`.
    pub what: String,
    /// How much.
    pub length: Length,
}

/// What a draft draws.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drafted {
    /// The pieces to cut.
    pub pieces: Vec<Piece>,
    /// What else goes on the shopping list.
    pub extras: Vec<Extra>,
    /// What the person should know: `the band is joined from 2 strips`.
    pub notes: Vec<String>,
}

impl Drafted {
    /// Adds what a part of the garment has drawn.
    pub fn add(&mut self, part: Drafted) {
        self.pieces.extend(part.pieces);
        self.extras.extend(part.extras);
        self.notes.extend(part.notes);
    }
}

/// A measurement of a person's own, that their own draft names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnMeasurement {
    /// Its key: `back_length`.
    pub key: String,
    /// How to take it, where the draft says so.
    pub how: Option<String>,
}

/// A rule set that turns measurements into pieces.
pub trait Draft: Sync {
    /// Its name in the job: `panel skirt`.
    fn name(&self) -> &'static str;
    /// One line about it.
    fn summary(&self) -> &'static str;
    /// Keys of the measurements of the catalogue that it needs with these settings.
    fn needs(&self, settings: &Settings) -> Vec<&'static str>;
    /// Measurements of the person's own that it needs beside those.
    fn own_needs(&self, _settings: &Settings) -> Vec<OwnMeasurement> {
        Vec::new()
    }
    /// What can be set.
    fn options(&self) -> &'static [OptionSpec];
    /// Tables among the options, by their heading, and what can be set in them.
    fn tables(&self) -> &'static [(&'static str, &'static [OptionSpec])] {
        &[]
    }
    /// What in its settings makes `piece` narrower, which does not fit across the cloth; a part of a
    /// sentence.
    fn narrower(&self, brief: &Brief<'_>, piece: &Piece) -> String;
    /// A small sketch in plain characters, at most 60 wide and 14 high.
    fn sketch(&self) -> &'static str;
    /// Draws the pieces.
    ///
    /// # Errors
    /// All that is missing or impossible in the measurements or settings; drafts that read on after
    /// a fault give several.
    fn draw(&self, brief: &Brief<'_>) -> Result<Drafted, Vec<InputError>>;
}

/// All drafts, in the order in which they are listed to a person.
#[must_use]
pub fn all() -> &'static [&'static dyn Draft] {
    &[
        &panel_skirt::PanelSkirt,
        &waistband::WaistbandCasing,
        &gored_skirt::GoredSkirt,
        &circle_skirt::CircleSkirt,
        &gathered_skirt::GatheredSkirt,
        &ruffle::Ruffle,
        &sash::Sash,
        &ties::Ties,
        &apron::Apron,
        &plain::Rectangle,
        &plain::Trapezoid,
        &custom::Custom,
    ]
}

/// The draft of that name.
#[must_use]
pub fn find(name: &str) -> Option<&'static dyn Draft> {
    all().iter().copied().find(|draft| draft.name() == name)
}

/// The name of the draft that `name` is most likely a slip for.
#[must_use]
pub fn nearest(name: &str) -> Option<&'static str> {
    crate::settings::nearest(name, all().iter().map(|draft| draft.name()))
}
