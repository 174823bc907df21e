//! Going on from an earlier answer: what its file knows of each cloth.
//!
//! The pieces are drafted again from the text in the file. Where they are to be laid just as those of the job at hand, layout
//! and bound are handed to [`nesting::plan_from`], which checks both before it uses either. What is on hand, what it
//! costs and what everybody is called may have changed.

use nesting::{Bound, Known, Marker, Placement, Problem};
use pieces::{Fabric, Length};

use super::recheck::{self, job_of, names_pieces};
use super::schema::{AnswerFile, ClothRecord};
use super::{DraftedJob, Effort, LaidCloth};
use crate::job::Job;
use crate::message::Refused;

/// So many searches each look twice as hard as the one before them.
const MOST_DOUBLED: u32 = 6;

/// An earlier answer.
#[derive(Clone, Debug)]
pub struct Earlier {
    file: AnswerFile,
    /// What was asked about each of its cloths, by fabric.
    asked: Vec<(String, Problem)>,
}

/// What a search had to begin with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Begin {
    /// No earlier answer was asked for.
    #[default]
    Nothing,
    /// The earlier answer has nothing of this fabric.
    New,
    /// What is cut from it, or the cloth itself, has changed since.
    Changed,
    /// The earlier answer of the same pieces.
    From {
        /// The length of its layout.
        needed: Length,
        /// Its bound.
        bound: Length,
    },
}

impl Earlier {
    /// Of an answer file of this name.
    ///
    /// # Errors
    /// It is no answer file, the job in it can't be drafted again, or it is about none of the fabrics of `job`.
    pub fn read(name: &str, text: &str, job: &Job) -> Result<Self, Refused> {
        let file = recheck::read(name, text)?;
        let asked = asked(&file).map_err(|broken| {
            let why = broken.first().map_or("", String::as_str);
            Refused::plain(
                format!("{name} can't be gone on from: {why}"),
                "plan the job once without --go-on",
            )
        })?;
        if !asked
            .iter()
            .any(|(fabric, _)| job.fabrics.contains_key(fabric))
        {
            return Err(Refused::plain(
                format!("{name} answers another job, \"{}\"", file.job.title),
                "name the folder of this job's answer with --out FOLDER, or plan the job once without \
                 --go-on",
            ));
        }
        Ok(Earlier { file, asked })
    }

    /// The same effort for the search after this one, by the next seed unless a person has given one.
    #[must_use]
    pub fn next(&self, effort: Effort, seed: Option<u64>) -> Effort {
        Effort {
            seed: seed.unwrap_or(self.file.effort.seed.wrapping_add(1)),
            runs: self.file.effort.runs.saturating_add(1),
            ..effort
        }
    }

    /// What is known of a cloth.
    #[must_use]
    pub fn of(&self, fabric: &Fabric, problem: &Problem) -> (Begin, Option<Known>) {
        let cloth = self.file.cloths.iter().find(|c| c.fabric == fabric.name);
        let asked = self.asked.iter().find(|(name, _)| *name == fabric.name);
        let (Some(cloth), Some((_, asked))) = (cloth, asked) else {
            return (Begin::New, None);
        };
        if !problem.is_laid_as(asked) {
            return (Begin::Changed, None);
        }
        let begin = Begin::From {
            needed: cloth.needed_um,
            bound: cloth.bound_um,
        };
        (begin, Some(known(cloth, problem)))
    }
}

/// What was asked about each cloth of an answer, by fabric.
fn asked(file: &AnswerFile) -> Result<Vec<(String, Problem)>, Vec<String>> {
    let job = job_of(file)?;
    let drafted = DraftedJob::new(&job).map_err(|refused| {
        recheck::listed("the job in the file cannot be drafted again", &refused)
    })?;
    let problems = drafted.problems();
    Ok(problems
        .map(|(fabric, posed)| (fabric.name.clone(), posed.problem))
        .collect())
}

fn known(cloth: &ClothRecord, problem: &Problem) -> Known {
    let placements = cloth.placements.iter().map(Placement::from);
    let stated = Bound {
        length: cloth.bound_um,
        argument: cloth.proof.clone(),
    };
    let bound = Some(stated).filter(|bound| names_pieces(&bound.argument, problem));
    Known {
        marker: Marker {
            placements: placements.collect(),
            length: cloth.needed_um,
        },
        cuts: cloth.straight_cuts.clone(),
        bound: bound.unwrap_or_else(|| nesting::bound::best(problem)),
    }
}

impl Effort {
    /// How many times as hard as its level says: twice as hard each time that a search is gone on with, unless the clock
    /// counts.
    pub(super) fn times(&self) -> u32 {
        match self.time {
            Some(_) => 1,
            None => 1 << self.runs.saturating_sub(1).min(MOST_DOUBLED),
        }
    }
}

impl LaidCloth {
    /// What there is to say of the earlier answer that this one should have gone on from, and did not.
    #[must_use]
    pub fn lost(&self) -> Option<String> {
        let name = &self.fabric.name;
        match self.begin {
            Begin::Nothing => None,
            Begin::New => Some(format!(
                "{name} was not in the earlier answer; its search began at nothing."
            )),
            Begin::Changed => Some(format!(
                "{name}, or what is cut from it, has changed since; its search began anew."
            )),
            Begin::From { needed, bound } => {
                let what = match (self.needed() > needed, self.bound().length < bound) {
                    (false, false) => return None,
                    (true, false) => "layout",
                    (false, true) => "bound",
                    (true, true) => "layout and the bound",
                };
                Some(format!(
                    "{name}: the {what} of the earlier answer did not hold when checked again, and went \
                     unused."
                ))
            }
        }
    }
}
