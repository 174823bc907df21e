//! One job under several choices: [`compare_job`].
//!
//! A choice is judged by everything that is cut under it, not by the fabric alone that it changes:
//! its length and its cost are those of all its cloths together.

use nesting::Progress;
use pieces::Length;

use super::{Answered, DraftedJob, Effort, LaidCloth, Trouble, answer_job};
use crate::job::Job;
use crate::message::{Fault, Refused};
use crate::progress::About;

/// One choice and what came of it.
#[derive(Clone)]
pub struct Compared {
    /// The choice's label.
    pub label: String,
    /// Key of its fabric.
    pub fabric: String,
    /// The answer, or why the job can't be cut this way.
    pub outcome: Result<Answered, Refused>,
}

/// What the cloth of a choice costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cost {
    /// In hundredths of the job's currency.
    pub hundredths: i64,
    /// True if every cloth to be bought has a price.
    pub whole: bool,
}

impl Compared {
    /// All its cloths; none if it cannot be cut.
    #[must_use]
    pub fn cloths(&self) -> &[LaidCloth] {
        self.outcome
            .as_ref()
            .map_or(&[], |answered| answered.cloths.as_slice())
    }

    /// The length of all layouts together, if it can be cut.
    #[must_use]
    pub fn needed(&self) -> Option<Length> {
        let lengths = self.cloths().iter().map(LaidCloth::needed);
        lengths.reduce(|sum, length| sum + length)
    }

    /// What is to be bought costs; `None` where nothing of it is priced.
    #[must_use]
    pub fn cost(&self) -> Option<Cost> {
        let bought = self.cloths().iter().filter(|c| c.bought().is_some());
        let (mut hundredths, mut priced, mut unpriced) = (0_i64, 0, 0);
        for cloth in bought {
            match cloth.cost() {
                Some(cost) => {
                    hundredths = hundredths.saturating_add(cost);
                    priced += 1;
                }
                None => unpriced += 1,
            }
        }
        (priced > 0).then_some(Cost {
            hundredths,
            whole: unpriced == 0,
        })
    }
}

/// How much there is to lay.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Size {
    /// Pieces under all choices together.
    pub pieces: u64,
    /// How many of them differ, under the choice that has most.
    pub different: u64,
}

/// Finds out what is wrong before any layout is looked for. A choice that can't be cut is a finding,
/// not a failure, as long as another one can.
///
/// # Errors
/// The job names no choices or only one, or none of them can be cut.
pub fn look_over(job: &Job) -> Result<Size, Refused> {
    let choices = &job.comparison.choices;
    if let [only] = choices.as_slice() {
        return Err(Refused::plain(
            format!(
                "there is only one choice, \"{}\", and nothing to compare it with",
                only.label
            ),
            "name two fabrics or more under [compare], or add a [[compare.choice]] table; \
             `lengthwise plan` answers for a single one",
        ));
    }
    if choices.is_empty() {
        return Err(Refused::plain(
            "the job names nothing to compare",
            "add, for two fabrics of the job:\n[compare]\nfabrics = [\"lace\", \"chiffon\"]\n\
             or one [[compare.choice]] table for each choice; `lengthwise keys` lists what it takes",
        ));
    }
    let mut faults: Vec<(&str, Fault)> = Vec::new();
    let mut size = Size::default();
    let (mut one_can_be_cut, mut one_is_compared) = (false, false);
    for choice in choices {
        match DraftedJob::new(&job.under(choice)) {
            Ok(drafted) => {
                one_can_be_cut = true;
                one_is_compared |= drafted.cuts_from(&choice.fabric.name);
                size.pieces += drafted.piece_count();
                size.different = size.different.max(drafted.different_count());
            }
            Err(refused) => {
                let label = choice.label.as_str();
                faults.extend(refused.faults.into_iter().map(|fault| (label, fault)));
            }
        }
    }
    if one_is_compared {
        return Ok(size);
    }
    Err(if one_can_be_cut {
        Refused::plain(
            "nothing is cut from any of the choices",
            "compare fabrics that a [[make]] names",
        )
    } else {
        Refused::of(by_choice(&faults, choices.len())).warned(&job.warnings)
    })
}

/// What is wrong under every choice is said once; anything else names its choice.
fn by_choice(faults: &[(&str, Fault)], choices: usize) -> Vec<Fault> {
    let everywhere = |fault: &Fault| faults.iter().filter(|(_, f)| f == fault).count() == choices;
    let mut said: Vec<Fault> = Vec::new();
    for (label, fault) in faults {
        if !everywhere(fault) {
            said.push(Fault {
                what: format!("under \"{label}\": {}", fault.what),
                ..fault.clone()
            });
        } else if !said.contains(fault) {
            said.push(fault.clone());
        }
    }
    said
}

/// Plans the job under each of its choices.
///
/// # Errors
/// As [`look_over`]; or a failure of the program.
pub fn compare_job(
    job: &Job,
    effort: &Effort,
    progress: &mut dyn Progress,
) -> Result<Vec<Compared>, Trouble> {
    look_over(job)?;
    let mut all = Vec::new();
    for choice in &job.comparison.choices {
        let mut about = About::new(&choice.label, progress);
        let outcome = match answer_job(&job.under(choice), effort, &mut about) {
            Ok(answered) => Ok(answered),
            Err(Trouble::Refused(refused)) => Err(refused),
            Err(trouble) => return Err(trouble),
        };
        all.push(Compared {
            label: choice.label.clone(),
            fabric: choice.fabric.name.clone(),
            outcome,
        });
    }
    Ok(all)
}
