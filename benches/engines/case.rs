//! One thing to lay, what it is measured against, and what came of it.

use lengthwise::answer::{self, answer_job};
use lengthwise::job::Job;
use nesting::{Cloth, Item, Problem, Silent, verify};
use pieces::{Length, Outline};

use crate::effort::Effort;
use crate::instance::Instance;

/// Micrometres in a millimetre, the unit of the tables for jobs made here.
pub const MM: f64 = 1_000.0;

/// One thing to lay.
pub struct Case {
    pub instance: Instance,
    /// The length to be compared with, in the units of the instance.
    pub rival: Option<i64>,
    /// What the bound should reach, in the same units.
    pub least_bound: Option<i64>,
}

impl Case {
    /// Items on a cloth of a usable width in micrometres, positions not put on any marking step.
    pub fn new(name: String, usable_width: i64, items: Vec<Item>, rival: Option<i64>) -> Self {
        let problem = Problem {
            cloth: Cloth {
                right: Length::from_um(usable_width),
                ..Cloth::default()
            },
            items,
            ..Problem::default()
        };
        Case {
            instance: Instance {
                name,
                file: None,
                problem,
                scale: MM,
            },
            rival,
            least_bound: None,
        }
    }
}

/// A piece of a job made here.
pub fn item(label: String, outline: Outline, copies: u32, turns: &[nesting::Turn]) -> Item {
    Item {
        label,
        outline,
        copies,
        turns: turns.to_vec(),
        may_mirror: false,
        garment: None,
        anchor: None,
    }
}

/// The problem of a job's first cloth, positions not put on any marking step.
pub fn problem_of(job: &Job) -> Result<Problem, String> {
    let least = answer::Effort {
        steps: Some(0),
        ..answer::Effort::default()
    };
    // It comes with a layout, which is of no use here.
    let answered = answer_job(job, &least, &mut Silent).map_err(|trouble| trouble.to_string())?;
    let cloth = answered.cloths.into_iter().next().ok_or("no cloth")?;
    let mut problem = cloth.problem;
    problem.marking_step = None;
    Ok(problem)
}

/// What came of a case; lengths in the units of its instance.
pub struct Outcome {
    pub name: String,
    pub length: i64,
    pub rival: Option<i64>,
    pub bound: i64,
    pub least_bound: Option<i64>,
    pub pieces: usize,
    pub density: f64,
    pub engine: &'static str,
    pub seconds: f64,
    /// The length in millimetres, or in the units of its file.
    pub shown: f64,
}

impl Outcome {
    /// Percent by which it is shorter than the rival; below zero where it is longer.
    pub fn saving(&self) -> Option<f64> {
        let rival = self.rival?;
        Some(100.0 * (rival - self.length) as f64 / rival as f64)
    }
}

/// Lays a case and checks the layout once more.
pub fn run(case: &Case, effort: &Effort, seconds: f64) -> Result<Outcome, String> {
    let instance = &case.instance;
    let (answer, seconds) = effort.lay(instance, seconds, &mut Silent)?;
    if let Err(violations) = verify::marker(&instance.problem, &answer.marker) {
        return Err(format!("{}: {violations:?}", instance.name));
    }
    if answer.bound.length > answer.marker.length {
        return Err(format!(
            "{}: the bound is above the layout: {:?}",
            instance.name, answer.bound
        ));
    }
    Ok(Outcome {
        name: instance.name.clone(),
        length: answer.marker.length.um(),
        rival: case.rival,
        bound: answer.bound.length.um(),
        least_bound: case.least_bound,
        pieces: instance.problem.piece_count(),
        density: instance.density(answer.marker.length),
        engine: answer.engine,
        seconds,
        shown: instance.in_file(answer.marker.length.um()),
    })
}
