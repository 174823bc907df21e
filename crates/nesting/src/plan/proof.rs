//! Proofs, and layouts that turn up where there is none, for few pieces.

use std::time::{Duration, Instant};

use pieces::{Length, Outline, Point};

use super::{Found, Run, to_marker};
use crate::bound::{self, HARDER, Layer, Lying, MOST_CHOICES, Questions, Said};
use crate::compact;
use crate::constructive::board::Regions;
use crate::constructive::{Laid, Layout, PieceId};
use crate::problem::Problem;
use crate::shapes::Detail;
use crate::sides::{Asker, BySides, Outcome};
use crate::verdict::{Argument, Bound, Budget, Level};
use crate::verify;

/// Up to how many pieces there is a point in it.
const FEW: usize = 16;

/// How many lengths are asked about, at most.
const QUESTIONS: usize = 16;

/// Lengths are not asked about nearer than this to each other, micrometres.
const NEAR: i64 = 1_000;

/// Sides are asked about the layout's own length, less a micrometre: before lengths between are asked about, and after.
/// So often at most, and so many layouts may fail to become one.
const OWN_QUESTIONS: usize = 32;
const OWN_PATIENCE: u32 = 3;

/// In percent, the work on it before and what is kept of the rest for it, by how many sides there are to choose from: the
/// steps are four, five, six and eight panels of four corners.
fn shares_of_own(choices: usize) -> [u32; 2] {
    match choices {
        0..=50 => [50, 50],
        51..=80 => [12, 50],
        81..=120 => [12, 25],
        121..=MOST_CHOICES => [6, 0],
        _ => [0, 0],
    }
}

/// Work for the normal level, in about nanoseconds.
const NORMAL: u64 = 100_000_000;

/// Where steps are given, work for each of them, and at most: what [`bound::recheck`] can do again.
const A_STEP: u64 = 250;
const MOST: u64 = 20_000_000_000;

/// Where time is given, such a share of it before pieces are pushed apart, and after, though no longer than this.
const BEFORE: u32 = 8;
const AFTER: u32 = 2;
const LONGEST: Duration = Duration::from_secs(20);

/// Work for slices, in about nanoseconds: for each step where steps are given, this share where time is, and at most.
const SLICES_A_STEP: u64 = 20;
const SLICES_SHARE: u32 = 50;
const MOST_SLICES: u64 = 200_000_000;

/// The same for parts abreast; less than the least finds nothing.
const ABREAST_A_STEP: u64 = 100;
const ABREAST_SHARE: u32 = 5;
const LEAST_ABREAST: u64 = 200_000_000;
const MOST_ABREAST: u64 = 3_000_000_000;

/// What may be spent on slices beside what [`bound::best`] spends.
pub(super) fn work_on_slices(budget: &Budget) -> u64 {
    work_of(budget, SLICES_A_STEP, SLICES_SHARE, MOST_SLICES).min(MOST_SLICES)
}

/// What may be spent on parts abreast.
pub(super) fn work_on_parts(budget: &Budget) -> u64 {
    match work_of(budget, ABREAST_A_STEP, ABREAST_SHARE, MOST_ABREAST / 4) {
        0..LEAST_ABREAST => 0,
        work => work.min(MOST_ABREAST),
    }
}

/// So much for each step where steps are given, this share where time is, and so much where all is to be tried.
fn work_of(budget: &Budget, a_step: u64, share: u32, long: u64) -> u64 {
    match (budget.time, budget.steps, budget.level) {
        (Some(time), ..) => u64::try_from((time / share).as_nanos()).unwrap_or(u64::MAX),
        (None, Some(steps), _) => steps.saturating_mul(a_step),
        (None, None, Level::Quick | Level::Normal) => 0,
        (None, None, Level::Long) => budget.of_level(long),
    }
}

/// What may be spent on proofs at one time.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Proving {
    /// In about nanoseconds.
    work: u64,
    /// What it may take on the clock, if that is given.
    pub time: Option<Duration>,
}

impl Proving {
    /// Before pieces are pushed apart, and after: what is soon proved or laid need not be searched, and a proof is
    /// the easier the shorter the layout is by then.
    pub fn of(problem: &Problem, budget: &Budget) -> [Self; 2] {
        if problem.piece_count() > FEW || budget.steps == Some(0) {
            return [Proving::default(); 2];
        }
        if let Some(time) = budget.time {
            return [BEFORE, AFTER].map(|share| Proving::within(time / share, budget.threads));
        }
        let work = match (budget.steps, budget.level) {
            (Some(steps), _) => steps.saturating_mul(A_STEP).min(MOST),
            (None, Level::Quick) => budget.of_level(NORMAL / 4).min(MOST),
            (None, Level::Normal) => budget.of_level(NORMAL).min(MOST),
            (None, Level::Long) => budget.of_level(NORMAL * 60).min(MOST),
        };
        let with = |work| Proving { work, time: None };
        [
            with(work * u64::from(AFTER) / u64::from(BEFORE)),
            with(work),
        ]
    }

    fn within(time: Duration, threads: usize) -> Self {
        let time = time.min(LONGEST);
        let work = time.as_nanos().saturating_mul(threads.max(1) as u128);
        Proving {
            work: u64::try_from(work).unwrap_or(u64::MAX).min(MOST),
            time: Some(time),
        }
    }

    /// As [`bound::refuse_with`] has it.
    fn harder(self) -> u64 {
        (self.work / 4_000_000).clamp(HARDER, 10 * HARDER)
    }
}

impl Run<'_> {
    /// Looks for a greater bound by parts abreast.
    pub(super) fn part_abreast(&mut self, found: &mut Found<'_>) {
        if self.abreast == 0 || found.best.layout.length <= self.bound.length.um() {
            return;
        }
        found.progress.phase("looking for a proof by parts abreast");
        let stop = || self.stopped();
        let greater = bound::greater_abreast(self.problem, &self.bound, self.abreast, &stop);
        if let Some(bound) = greater {
            self.bound = bound;
            let length = Length::from_um(found.best.layout.length);
            let (least, engine) = (self.bound.length, found.best.engine);
            found.progress.report(Some(length), least, engine);
        }
    }

    /// Asks about lengths between bound and layout, and comes back with a greater bound or a shorter layout.
    pub(super) fn prove(
        &mut self,
        found: &mut Found<'_>,
        questions: &Questions<'_>,
        proving: Proving,
    ) {
        let Proving { mut work, time } = proving;
        // What is asked late ends with the rest.
        let last = self.deadline.zip(self.proving[1].time);
        let last = last.map(|(deadline, after)| deadline + after);
        let end = time.map(|time| Instant::now() + time);
        let end = end.map(|end| last.map_or(end, |last| end.min(last)));
        let is_over = || end.is_some_and(|end| Instant::now() >= end);
        let sides = questions.by_sides.as_ref();
        let [before, after] = sides.map_or([0, 0], |sides| shares_of_own(sides.choices()));
        let part = |work: u64, percent: u32| work / 100 * u64::from(percent);
        if let Some(sides) = sides.filter(|_| before > 0) {
            let share = part(work, before);
            work -= share;
            work += self.settle_by_sides(found, sides, share, &is_over);
        }
        let kept = part(work, after);
        work -= kept;
        let until = end.map(|end| {
            let left = end.saturating_duration_since(Instant::now());
            end - left * after / 100
        });
        let is_out = || until.is_some_and(|until| Instant::now() >= until);
        let mut open = i64::MAX;
        let mut is_first = true;
        for _ in 0..QUESTIONS {
            let is_late = || is_out() || self.is_cancelled();
            let (low, high) = (self.bound.length.um(), found.best.layout.length);
            let Some(asked) = self
                .question(low, high, open)
                .filter(|_| work > 0 && !is_late())
            else {
                break;
            };
            let asked_of = Length::from_um(asked);
            let can_lay = |lying: &[Lying]| self.laid(lying, asked).is_some();
            // One hard question should not take all, of work or of time; the first is the one that matters most.
            let mut share = if is_first { work / 4 * 3 } else { work / 2 };
            let fourths = if is_first { 3 } else { 2 };
            let turn = until.map(|until| {
                let begin = Instant::now();
                begin + until.saturating_duration_since(begin) / 4 * fourths
            });
            let is_enough = || is_late() || turn.is_some_and(|turn| Instant::now() >= turn);
            let layer = Layer {
                can_lay: &can_lay,
                stop: &is_enough,
                threads: self.streams,
            };
            is_first = false;
            work -= share;
            let said = questions.ask(asked_of, &layer, &mut share);
            work += share;
            match said {
                Said::Refused(bound) => {
                    self.bound = bound;
                    let length = Length::from_um(found.best.layout.length);
                    let (least, engine) = (self.bound.length, found.best.engine);
                    found.progress.report(Some(length), least, engine);
                }
                Said::Laid(lying) => {
                    if let Some(layout) = self.laid(&lying, asked) {
                        self.offer(found, layout, "exact");
                    }
                    if found.best.layout.length > asked {
                        open = asked;
                    }
                }
                Said::Open => open = asked,
            }
        }
        if let Some(sides) = sides.filter(|_| before > 0) {
            self.settle_by_sides(found, sides, work + kept, &is_over);
        }
    }

    /// Asks about the layout's own length, less a micrometre, until it is the bound. Gives back what is left of the work.
    fn settle_by_sides(
        &mut self,
        found: &mut Found<'_>,
        sides: &BySides<'_>,
        mut work: u64,
        is_over: &(dyn Fn() -> bool + Sync),
    ) -> u64 {
        let mut less = 1;
        for _ in 0..OWN_QUESTIONS {
            let (low, high) = (self.bound.length.um(), found.best.layout.length);
            let asked = high - less;
            if asked < low || work == 0 || is_over() || self.is_cancelled() {
                break;
            }
            let asker = Asker {
                can_lay: &|lying| self.laid(lying, asked).is_some(),
                patience: OWN_PATIENCE,
                stop: &|| is_over() || self.is_cancelled(),
                threads: self.streams,
            };
            match sides.ask(asked, &mut work, &asker) {
                Outcome::Refused(sides) => {
                    self.bound = Bound {
                        length: Length::from_um(asked + 1),
                        argument: Argument::Sides(sides),
                    };
                    let (least, engine) = (self.bound.length, found.best.engine);
                    found
                        .progress
                        .report(Some(Length::from_um(high)), least, engine);
                    break;
                }
                Outcome::Laid(lying) => {
                    if let Some(layout) = self.laid(&lying, asked) {
                        self.offer(found, layout, "exact");
                    }
                    if found.best.layout.length >= high {
                        break;
                    }
                    less = 1;
                }
                // Between whole micrometres there may be a layout that is none on them.
                Outcome::Open => less *= 2,
            }
        }
        work
    }

    /// The next length to ask about: at first whether less would do at the shop, since that is what a person acts on.
    /// What is longer than one that stayed open is passed by.
    fn question(&self, low: i64, high: i64, open: i64) -> Option<i64> {
        let sold = self.problem.cloth.sold;
        let less = sold.map(|sold| sold.usable_of_less(Length::from_um(high)).um());
        let on_hand = self.problem.cloth.on_hand.iter().map(|length| length.um());
        let mut asked: Vec<i64> = less.into_iter().chain(on_hand).collect();
        asked.sort_unstable_by(|a, b| b.cmp(a));
        let mut asked = asked.into_iter();
        // By halves, and near the layout's length for all of it.
        let middle = if open == i64::MAX && high - low <= NEAR {
            high - 1
        } else {
            low + (high.min(open) - low) / 2
        };
        let is_open = |&length: &i64| (low..high.min(open)).contains(&length);
        let is_worth_it =
            |&length: &i64| is_open(&length) && (open == i64::MAX || open - low > NEAR);
        asked
            .find(is_open)
            .or_else(|| Some(middle).filter(is_worth_it))
    }

    /// A layout no longer than `length` made of these, if that goes.
    pub(super) fn laid(&self, lying: &[Lying], length: i64) -> Option<Layout> {
        let mut copies = vec![0; self.problem.items.len()];
        let mut laid = Vec::with_capacity(lying.len());
        for piece in lying {
            let next = piece.items.iter().find_map(|&item| {
                let is_left = copies[item] < self.problem.items[item].copies;
                let variants = self.shapes.variants[item].iter().filter(|_| is_left);
                let is_it = |v: &&crate::shapes::Variant| {
                    let outline = &self.problem.items[item].outline;
                    let flat = v.mirrored.then(|| outline.mirrored());
                    let turned = flat.as_ref().unwrap_or(outline).turned(v.turn.quarters());
                    is_same(&turned, &piece.outline)
                };
                Some((item, *variants.clone().find(is_it)?))
            });
            let (item, variant) = next?;
            let piece_id = PieceId {
                item,
                copy: copies[item],
            };
            copies[item] += 1;
            laid.push(Laid {
                piece: piece_id,
                variant,
                at: piece.at,
            });
        }
        let (problem, shapes) = (self.problem, self.shapes);
        let mut regions = Regions::new(problem, shapes, Detail::Fine);
        let nearly = Layout { laid, length };
        let layout = compact::settled(problem, shapes, &mut regions, nearly)?;
        // Of shapes that one stance may have, some belong to turns that their garment can't take.
        let is_valid =
            |layout: &Layout| verify::marker(problem, &to_marker(problem, shapes, layout)).is_ok();
        let layout = Some(layout).filter(is_valid)?;
        let layout = self.compacted(layout);
        (layout.length <= length).then_some(layout)
    }

    /// A proof that nothing fits in `on_hand`.
    pub(super) fn refusal(&self, on_hand: Length) -> Option<Bound> {
        if self.bound.length > on_hand {
            Some(self.bound.clone())
        } else {
            bound::refuse_with(self.problem, on_hand, self.proving[1].harder())
                .or_else(|| self.refusal_of_rectangles(on_hand))
        }
    }
}

/// Whether two outlines have the same corners, each from the corner of its box.
pub(super) fn is_same(one: &Outline, other: &Outline) -> bool {
    let corners = |outline: &Outline| {
        let min = outline.bounds().min;
        let mut points: Vec<Point> = outline.points().iter().map(|p| p.minus(min)).collect();
        points.sort_unstable();
        points
    };
    one.points().len() == other.points().len() && corners(one) == corners(other)
}
