//! From a job to an answer: draft, lay, rule, shop. Nothing here prints or writes.
//!
//! [`answer_job`] is the one way in, for the command and for anything else that shows answers.
//! [`Answered`] holds what a drawing needs; [`Answered::file`] is what goes into `answer.json`,
//! described in [`schema`]; [`recheck`] looks at such a file with nothing else in hand.

pub mod compare;
pub mod comparison;
mod drafting;
pub mod earlier;
mod grains;
mod missing;
mod proofs;
pub mod recheck;
mod record;
pub mod schema;
mod shopping;

pub use drafting::Haberdashery;
pub use shopping::{cost, list as shopping_list};

use std::time::Duration;

use nesting::{Budget, Level, PlanError, Progress, Verdict};
use pieces::{Drape, Fabric, Length, Piece};
use plotting::{Placed, Sheet};

use crate::job::Job;
use crate::job::fabric::drape_named;
use crate::message::Refused;
use crate::progress::About;
use earlier::{Begin, Earlier};
use schema::Word;

/// How much may be spent on an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Steps at most; `None`: by the size of the job and the level.
    pub steps: Option<u64>,
    /// How hard to look where no steps are given.
    pub level: Level,
    /// Wall-clock limit for each cloth; without one the same job gives the same bytes.
    pub time: Option<Duration>,
    /// Threads.
    pub threads: usize,
    /// Seed of every random choice.
    pub seed: u64,
    /// Which search of the job it is, from 1: each that goes on from the last looks harder.
    pub runs: u32,
}

impl Default for Effort {
    fn default() -> Self {
        Effort {
            steps: None,
            level: Level::Normal,
            time: None,
            threads: 1,
            seed: 1,
            runs: 1,
        }
    }
}

impl Effort {
    fn budget(self) -> Budget {
        Budget {
            steps: self.steps,
            level: self.level,
            times: self.times(),
            time: self.time,
            threads: self.threads,
            seed: self.seed,
        }
    }
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Trouble {
    /// The job is wrong.
    #[error(transparent)]
    Refused(#[from] Refused),
    /// The program is wrong; never the person's doing.
    #[error("{0}")]
    Internal(String),
}

/// A job with its layouts.
#[derive(Clone)]
pub struct Answered {
    /// The job.
    pub job: Job,
    /// What was spent.
    pub effort: Effort,
    /// One for each fabric that something is cut from, in the order of the job.
    pub cloths: Vec<LaidCloth>,
    /// What to buy beside cloth.
    pub extras: Vec<Haberdashery>,
    /// What the person should know.
    pub notes: Vec<String>,
}

/// One fabric with the layout of everything that is cut from it.
#[derive(Clone)]
pub struct LaidCloth {
    /// The fabric.
    pub fabric: Fabric,
    /// What is cut, in the order of the problem's items.
    pub pieces: Vec<Piece>,
    /// For each of them, how many garments its copies are spread over.
    pub spread: Vec<u32>,
    /// What was asked.
    pub problem: nesting::Problem,
    /// What was answered.
    pub answer: nesting::Answer,
    /// What the search began with.
    pub begin: Begin,
}

/// What is laid on one fabric.
struct Posed {
    pieces: Vec<Piece>,
    spread: Vec<u32>,
    problem: nesting::Problem,
}

/// Gives the layout of a fabric, and what its search began with.
type Lay<'l, E> = dyn FnMut(&Fabric, &nesting::Problem) -> Result<(nesting::Answer, Begin), E> + 'l;

/// A job whose pieces are drafted and known to fit the width of their cloths.
pub struct DraftedJob<'a> {
    job: &'a Job,
    garments: drafting::Garments,
}

impl<'a> DraftedJob<'a> {
    /// Drafts every garment. Cheap: whatever can be wrong with a job is found here, before any
    /// layout is looked for and before any folder is made.
    ///
    /// # Errors
    /// What in the job cannot be drafted or laid.
    pub fn new(job: &'a Job) -> Result<Self, Refused> {
        let garments = drafting::draft(job)?;
        drafting::refuse_too_wide(job, &garments)?;
        Ok(DraftedJob { job, garments })
    }

    /// How many pieces are to be laid.
    #[must_use]
    pub fn piece_count(&self) -> u64 {
        let copies = self.garments.pieces.iter().map(|p| u64::from(p.copies));
        copies.sum()
    }

    /// How many of them differ, at most: copies are alike.
    #[must_use]
    pub fn different_count(&self) -> u64 {
        self.garments.pieces.len() as u64
    }

    /// True if something is cut from this fabric.
    #[must_use]
    pub fn cuts_from(&self, fabric: &str) -> bool {
        self.garments.pieces.iter().any(|p| p.fabric == fabric)
    }

    /// Lays every fabric, and rules on what is on hand.
    ///
    /// # Errors
    /// A failure of the program.
    pub fn answer(self, effort: &Effort, progress: &mut dyn Progress) -> Result<Answered, Trouble> {
        self.answer_from(None, effort, progress)
    }

    /// The same, going on from an earlier answer where there is one.
    ///
    /// # Errors
    /// A failure of the program.
    pub fn answer_from(
        self,
        earlier: Option<&Earlier>,
        effort: &Effort,
        progress: &mut dyn Progress,
    ) -> Result<Answered, Trouble> {
        let (job, budget) = (self.job, effort.budget());
        self.laid(effort, &mut |fabric, problem| {
            let mut about = About::new(&fabric.name, progress);
            let (begin, known) = earlier.map_or((Begin::Nothing, None), |e| e.of(fabric, problem));
            let answer = match &known {
                Some(known) => nesting::plan_from(problem, known, &budget, &mut about),
                None => nesting::plan(problem, &budget, &mut about),
            };
            let answer = answer.map_err(|error| trouble(job, &fabric.name, error))?;
            Ok((answer, begin))
        })
    }

    /// Each fabric that something is cut from, with what is laid on it, in the order of the job.
    fn problems(&self) -> impl Iterator<Item = (&'a Fabric, Posed)> {
        let job = self.job;
        let posed = |key: &String| {
            let fabric = &job.fabrics[key];
            let all = self.garments.pieces.iter().zip(&self.garments.spread);
            let (pieces, spread): (Vec<Piece>, Vec<u32>) = all
                .filter(|(piece, _)| piece.fabric == *key)
                .map(|(piece, spread)| (piece.clone(), *spread))
                .unzip();
            let problem = nesting::turns::problem(&pieces, fabric, job.shown_in.marking_step());
            let posed = Posed {
                pieces,
                spread,
                problem,
            };
            (!posed.pieces.is_empty()).then_some((fabric, posed))
        };
        job.fabric_order.iter().filter_map(posed)
    }

    /// The answer whose layouts `lay` gives: for each fabric that something is cut from.
    fn laid<E>(self, effort: &Effort, lay: &mut Lay<'_, E>) -> Result<Answered, E> {
        let job = self.job;
        let mut cloths = Vec::new();
        for (fabric, posed) in self.problems() {
            let (answer, begin) = lay(fabric, &posed.problem)?;
            cloths.push(LaidCloth {
                fabric: fabric.clone(),
                pieces: posed.pieces,
                spread: posed.spread,
                problem: posed.problem,
                answer,
                begin,
            });
        }
        let mut notes = job.warnings.clone();
        let is_unused =
            |key: &&String| !self.cuts_from(key) && !job.comparison.compared.contains(*key);
        let unused = job.fabric_order.iter().filter(is_unused);
        let unused: Vec<String> = unused
            .map(|key| format!("Nothing is cut from {key}."))
            .collect();
        notes.extend(self.garments.notes);
        notes.extend(unused);
        Ok(Answered {
            job: job.clone(),
            effort: *effort,
            cloths,
            extras: self.garments.extras,
            notes,
        })
    }
}

/// Sizes beyond all cloth are the job's doing; any other failure here is the program's, since what
/// cannot be laid has been refused before.
fn trouble(job: &Job, fabric: &str, error: PlanError) -> Trouble {
    match error {
        PlanError::TooLong => Refused::plain(
            format!("the pieces of {fabric} take thousands of kilometres of cloth"),
            "check the sizes and the copies, or split the job",
        )
        .warned(&job.warnings)
        .into(),
        error => Trouble::Internal(format!("{fabric}: {error}")),
    }
}

/// Drafts the job, lays every fabric, and rules on what is on hand.
///
/// # Errors
/// What in the job cannot be drafted or laid; or a failure of the program.
pub fn answer_job(
    job: &Job,
    effort: &Effort,
    progress: &mut dyn Progress,
) -> Result<Answered, Trouble> {
    DraftedJob::new(job)?.answer(effort, progress)
}

impl LaidCloth {
    /// Length of the layout.
    #[must_use]
    pub fn needed(&self) -> Length {
        self.answer.marker.length
    }

    /// The best bound known, from the layout and from every refusal.
    #[must_use]
    pub fn bound(&self) -> &nesting::Bound {
        let refused = self.answer.rulings.iter().map(|ruling| &ruling.bound);
        // The first of equal ones: the simplest argument comes first.
        refused.fold(&self.answer.bound, |best, bound| {
            if bound.length > best.length {
                bound
            } else {
                best
            }
        })
    }

    /// The offer that the answer is about: the shortest that is enough, else the best that is not.
    #[must_use]
    pub fn chosen(&self) -> Option<usize> {
        let rulings = &self.answer.rulings;
        let first_enough = rulings.iter().position(|r| r.verdict == Verdict::Enough);
        let undecided = rulings
            .iter()
            .rposition(|r| r.verdict == Verdict::Undecided);
        first_enough.or(undecided).or(rulings.len().checked_sub(1))
    }

    /// The verdict on one of the offers.
    #[must_use]
    pub fn verdict(&self, offer: Option<usize>) -> Word {
        offer
            .and_then(|offer| self.answer.rulings.get(offer))
            .map_or(Word::Plan, |ruling| ruling.verdict.into())
    }

    /// The length to buy for this layout, unless the offer is enough.
    #[must_use]
    pub fn to_buy(&self, offer: Option<usize>) -> Option<Length> {
        (self.verdict(offer) != Word::Enough).then(|| self.fabric.length_to_buy(self.needed()))
    }

    /// The length to buy for the answer.
    #[must_use]
    pub fn bought(&self) -> Option<Length> {
        self.to_buy(self.chosen())
    }

    /// What that costs, in hundredths, where it is priced.
    #[must_use]
    pub fn cost(&self) -> Option<i64> {
        Some(self.fabric.price?.of(self.bought()?))
    }

    /// The number of the garment that a copy of a piece belongs to.
    #[must_use]
    pub fn garment(&self, item: usize, copy: u32) -> u32 {
        let piece = &self.pieces[item];
        let each = piece.copies / self.spread[item].max(1);
        piece.garment.saturating_add(copy / each.max(1))
    }

    /// What is drawn.
    #[must_use]
    pub fn sheet<'a>(&'a self, job: &'a Job, date: Option<&'a str>) -> Sheet<'a> {
        let offer = self.chosen();
        Sheet {
            job: &job.title,
            fabric: &self.fabric,
            units: job.shown_in,
            placed: self.placed().collect(),
            flaws: self.problem.cloth.flaws.clone(),
            cuts: self
                .answer
                .straight
                .as_ref()
                .map_or_else(Vec::new, |straight| straight.cuts.clone()),
            needed: self.needed(),
            bound: self.bound().length,
            // As measured: the drawing takes off what washing takes.
            on_hand: offer.map(|offer| self.fabric.on_hand[offer]),
            to_buy: self.to_buy(offer),
            verdict: self.verdict(offer).verdict(),
            largest_rounding: self.answer.snap.largest_rounding,
            date,
        }
    }

    fn placed(&self) -> impl Iterator<Item = Placed<'_>> {
        self.answer.marker.placements.iter().map(|placement| {
            let piece = &self.pieces[placement.item];
            Placed {
                piece,
                copy: placement.copy,
                turned_deg: turned_from_worn(piece, placement),
                mirrored: placement.mirrored,
                at: placement.at,
            }
        })
    }

    /// How much of the used length is covered by pieces, in tenths of a per cent, rounded down.
    #[must_use]
    pub fn used_permille(&self) -> i64 {
        let doubled: i128 = self
            .pieces
            .iter()
            .map(|piece| piece.cut.doubled_area() * i128::from(piece.copies))
            .sum();
        let cloth = i128::from(self.needed().um()) * i128::from(self.fabric.width.um()) * 2;
        i64::try_from(doubled * 1_000 / cloth.max(1)).unwrap_or(0)
    }
}

/// Degrees from how a piece is worn to how it lies, to be done after turning it over.
///
/// A layout turns the piece over as it lies on the grain. Turning over before the grain's own turn g
/// and the layout's turn t comes to t + g for a piece right side up, and to t - g for one that is
/// turned over, since a mirror reverses the sense of a turn.
pub(crate) fn turned_from_worn(piece: &Piece, placement: &nesting::Placement) -> u16 {
    let grain = piece.grain.degrees() % 360;
    let own = if placement.mirrored {
        360 - grain
    } else {
        grain
    };
    (placement.turn.degrees() + own) % 360
}

impl Answered {
    /// The worst verdict over the cloths that were asked about; `plan` where none was.
    #[must_use]
    pub fn verdict(&self) -> Word {
        let words = self
            .cloths
            .iter()
            .map(|cloth| cloth.verdict(cloth.chosen()));
        words.max().unwrap_or(Word::Plan)
    }

    /// True if something is cut from this fabric.
    #[must_use]
    pub fn cuts_from(&self, fabric: &str) -> bool {
        self.cloths.iter().any(|cloth| cloth.fabric.name == fabric)
    }

    /// How the makes treat a cloth: as its fabric says, unless one of them says otherwise.
    #[must_use]
    pub fn drapes(&self, cloth: &LaidCloth) -> Vec<Drape> {
        let makes = self.job.makes.iter();
        let mut drapes: Vec<Drape> = makes
            .filter(|make| make.fabric == cloth.fabric.name)
            .map(|make| match make.options.text("", "drape") {
                Ok(Some(own)) => drape_named(own).unwrap_or(cloth.fabric.drape),
                _ => cloth.fabric.drape,
            })
            .collect();
        drapes.sort_by_key(|drape| *drape == Drape::Soft);
        drapes.dedup();
        if drapes.is_empty() {
            drapes.push(cloth.fabric.drape);
        }
        drapes
    }

    /// What is drawn: one sheet for each cloth.
    #[must_use]
    pub fn sheets<'a>(&'a self, date: Option<&'a str>) -> Vec<Sheet<'a>> {
        self.cloths
            .iter()
            .map(|cloth| cloth.sheet(&self.job, date))
            .collect()
    }
}

#[cfg(test)]
mod tests;
