//! The comparison, written down: `comparison.json`.
//!
//! Lengths are whole micrometres in fields that end in `_um`, as in the answer file; each choice that
//! can be cut has an answer file of its own beside it, named under `answer`.

use pieces::Length;
use serde::{Deserialize, Serialize};

use super::LaidCloth;
use super::compare::Compared;
use super::schema::Word;
use crate::job::Job;

/// The version that is written.
pub const SCHEMA: &str = "lengthwise-comparison/1";

/// The whole file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ComparisonFile {
    /// [`SCHEMA`].
    pub schema: String,
    /// Title of the job.
    pub title: String,
    /// In the order of the job.
    pub choices: Vec<ChoiceRecord>,
    /// Labels of the choices whose layouts are shortest, all cloths of each together.
    pub least_needed: Vec<String>,
    /// Labels of the choices that cost least; none unless all that can be cut are priced in full.
    pub least_cost: Vec<String>,
}

/// One choice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChoiceRecord {
    /// What it is called.
    pub label: String,
    /// The worst verdict of its cloths; absent if it cannot be cut.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Word>,
    /// Length of all its layouts together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub needed_um: Option<Length>,
    /// What its cloth to buy costs, in hundredths of the job's currency, as far as it is priced.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost_hundredths: Option<i64>,
    /// False if a cloth to buy has no price.
    pub cost_is_whole: bool,
    /// Its cloths.
    pub cloths: Vec<ComparedCloth>,
    /// Why it cannot be cut.
    pub cannot_be_cut: Vec<String>,
    /// Its answer file, in the same folder.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub answer: Option<String>,
}

/// One cloth of a choice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ComparedCloth {
    /// The fabric's key in the job.
    pub fabric: String,
    /// From edge to edge.
    pub width_um: Length,
    /// Length of the layout.
    pub needed_um: Length,
    /// No layout is shorter.
    pub bound_um: Length,
    /// What was on hand, and the verdict on each.
    pub on_hand: Vec<OfferRecord>,
    /// To buy, where nothing on hand is known to be enough.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buy_um: Option<Length>,
    /// What that costs, where it is priced.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost_hundredths: Option<i64>,
}

/// A length on hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OfferRecord {
    /// As measured.
    pub length_um: Length,
    /// On this length.
    pub verdict: Word,
}

/// The comparison; `answers` are the names of the answer files, `None` for what cannot be cut.
#[must_use]
pub fn file(job: &Job, all: &[Compared], answers: &[Option<String>]) -> ComparisonFile {
    ComparisonFile {
        schema: SCHEMA.to_owned(),
        title: job.title.clone(),
        choices: all
            .iter()
            .zip(answers)
            .map(|(compared, answer)| choice(compared, answer.clone()))
            .collect(),
        least_needed: least(all, Compared::needed),
        least_cost: least_cost(all),
    }
}

/// Labels of the choices with the least of a value.
pub fn least<T: Ord>(all: &[Compared], value: impl Fn(&Compared) -> Option<T>) -> Vec<String> {
    let Some(least) = all.iter().filter_map(&value).min() else {
        return Vec::new();
    };
    all.iter()
        .filter(|compared| value(compared).as_ref() == Some(&least))
        .map(|compared| compared.label.clone())
        .collect()
}

/// Labels of the choices that cost least, if all costs are known.
pub fn least_cost(all: &[Compared]) -> Vec<String> {
    let mut cut = all.iter().filter(|compared| !compared.cloths().is_empty());
    let known = |compared: &Compared| compared.cost().filter(|cost| cost.whole);
    if cut.all(|compared| known(compared).is_some()) {
        least(all, |compared| known(compared).map(|cost| cost.hundredths))
    } else {
        Vec::new()
    }
}

fn choice(compared: &Compared, answer: Option<String>) -> ChoiceRecord {
    let cost = compared.cost();
    ChoiceRecord {
        label: compared.label.clone(),
        verdict: compared.outcome.as_ref().ok().map(|a| a.verdict()),
        needed_um: compared.needed(),
        cost_hundredths: cost.map(|cost| cost.hundredths),
        cost_is_whole: cost.is_some_and(|cost| cost.whole),
        cloths: compared.cloths().iter().map(cloth).collect(),
        cannot_be_cut: match &compared.outcome {
            Ok(_) => Vec::new(),
            Err(refused) => refused.faults.iter().map(ToString::to_string).collect(),
        },
        answer,
    }
}

fn cloth(cloth: &LaidCloth) -> ComparedCloth {
    let offers = cloth.fabric.on_hand.iter().enumerate();
    ComparedCloth {
        fabric: cloth.fabric.name.clone(),
        width_um: cloth.fabric.width,
        needed_um: cloth.needed(),
        bound_um: cloth.bound().length,
        on_hand: offers
            .map(|(offer, &length)| OfferRecord {
                length_um: length,
                verdict: cloth.verdict(Some(offer)),
            })
            .collect(),
        buy_um: cloth.bought(),
        cost_hundredths: cloth.cost(),
    }
}
