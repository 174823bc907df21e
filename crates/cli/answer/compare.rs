//! One job under several choices: [`compare_job`].

use nesting::Progress;

use super::{Answered, DraftedJob, Effort, Trouble, answer_job};
use crate::job::Job;
use crate::message::Refused;

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

/// Finds out what is wrong before any layout is looked for. A choice that can't be cut is a finding,
/// not a failure, as long as another one can.
///
/// # Errors
/// The job names no choices, or none of them can be cut.
pub fn look_over(job: &Job) -> Result<(), Refused> {
    if job.comparison.choices.is_empty() {
        return Err(Refused::plain(
            "the job names nothing to compare",
            "add, for two fabrics of the job:\n[compare]\nfabrics = [\"lace\", \"chiffon\"]\n\
             or one [[compare.choice]] table for each choice; `lengthwise keys` lists what it takes",
        ));
    }
    let mut faults = Vec::new();
    for choice in &job.comparison.choices {
        match DraftedJob::new(&job.under(choice)) {
            Ok(_) => return Ok(()),
            Err(refused) => faults.extend(refused.faults),
        }
    }
    faults.dedup();
    Err(Refused { faults })
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
        let outcome = match answer_job(&job.under(choice), effort, progress) {
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
