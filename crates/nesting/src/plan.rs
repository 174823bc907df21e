//! [`plan()`]: the one way in. Runs the engines within a budget and answers with a verified marker.
//!
//! Rows come first (a whole layout within milliseconds), then patterns that are repeated where pieces are
//! alike, the search over orders, polishing by fine outlines, all places of a few pieces, and pushing pieces apart
//! on ever shorter cloth, in as many streams as there are threads: all at once, or stretch by stretch where there
//! are many; last the marking step. Where all pieces are rectangles, shorter and shorter lengths are filled with them instead of
//! patterns and pushing. Whatever happened on the way, the marker has passed [`crate::verify`] or the call is an
//! error. It stops as soon as the length meets the bound. Anytime, cancellable, and for a given problem,
//! seed, number of threads and steps the same to the byte.
//!
//! An engine takes a problem and gives layouts back; a new one is raced here and needs nothing from
//! the others.

mod apart;
mod check;
#[cfg(test)]
mod exact_tests;
mod known;
mod marker;
mod mixed;
mod proof;
mod pushed;
mod rectangular;
mod repeated;
mod steps;
mod straight;
mod stretches;
#[cfg(test)]
mod tests;

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock, mpsc};
use std::thread;
use std::time::{Duration, Instant};

use pieces::{Cutting, Length};

use crate::bound;
use crate::compact;
use crate::constructive::Layout;
use crate::constructive::board::Regions;
use crate::constructive::order::{SHORTLIST, Watch, improve};
use crate::constructive::rows::shorter_rows;
use crate::polish::pushed_down;
use crate::problem::{Item, Marker, Problem};
use crate::rectangles::Refusal;
use crate::separate::Fields;
use crate::shapes::{Detail, Shapes};
use crate::verdict::{Answer, Bound, Budget, Progress, Ruling, Snap, Verdict};
use crate::verify;

pub use known::Known;
use known::{EARLIER, Held};
pub(crate) use marker::to_marker;
use proof::{Proving, work_on_parts, work_on_slices};
use steps::Steps;

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// Nothing to lay.
    #[error("there is nothing to lay")]
    Empty,
    /// A piece is wider than the usable width in every allowed turn.
    #[error("{label} is {across} wide at least, the usable width is {usable}")]
    TooWide {
        /// Index of the item.
        item: usize,
        /// Its label.
        label: String,
        /// Its least size across over the allowed turns.
        across: Length,
        /// The usable width.
        usable: Length,
    },
    /// An item without any allowed turn.
    #[error("{label} has no allowed turn")]
    NoTurn {
        /// Its label.
        label: String,
    },
    /// A garment is turned as one, and its pieces share no turn in which each fits.
    #[error("{label} fits in no turn that the rest of its garment can take")]
    NoCommonTurn {
        /// Label of one of them.
        label: String,
    },
    /// A piece must lie on the print, which leaves it no place within the usable width.
    #[error("{label} fits the usable width at no place that the print leaves it")]
    NoPlace {
        /// Its label.
        label: String,
    },
    /// A lattice that is none.
    #[error(
        "{label}: its print repeats by 0 (anywhere) or by 0.1 mm and more, with a drop of 0 or more"
    )]
    NoLattice {
        /// Label of the item.
        label: String,
    },
    /// Items that must match each other and differ in how their print repeats.
    #[error("{label} must match others whose print repeats otherwise")]
    NoMatch {
        /// Its label.
        label: String,
    },
    /// Straight cuts are asked for where pieces must come to places of a print, or miss flaws.
    #[error("{label} can't be parted from the others by straight cuts: {why}")]
    NoStraightCuts {
        /// Label of one of the items.
        label: String,
        /// What stands against it.
        why: &'static str,
    },
    /// Pieces so many or so long, or cloth so wide, that numbers would leave the exact range.
    #[error("the pieces together, or the cloth, are too large to be computed exactly")]
    TooLong,
    /// A layout did not pass the check: a fault of the program, never shown as an answer.
    #[error("a layout did not pass the check: {0}")]
    Unverified(String),
}

/// The best marker found within the budget, the best bound, and a verdict on each length on hand.
///
/// # Errors
/// [`PlanError`]: nothing to lay, a piece that fits nowhere on the cloth in a turn it may take, a print
/// that is none, numbers too large to be exact. That a layout did not pass the check would be a fault of
/// the program.
pub fn plan(
    problem: &Problem,
    budget: &Budget,
    progress: &mut dyn Progress,
) -> Result<Answer, PlanError> {
    check::check(problem)?;
    searched(problem, budget, &Held::default(), progress)
}

/// The same, going on from what is known: the marker is never longer than a known one that holds, and the bound never
/// lower than a known one that does.
///
/// Checking them comes on top of the budget. The same seed looks at the same layouts again: give another.
///
/// # Errors
/// As [`plan()`].
pub fn plan_from(
    problem: &Problem,
    known: &Known,
    budget: &Budget,
    progress: &mut dyn Progress,
) -> Result<Answer, PlanError> {
    check::check(problem)?;
    progress.phase("checking what is known");
    let held = Held::of(problem, known);
    searched(problem, budget, &held, progress)
}

fn searched(
    problem: &Problem,
    budget: &Budget,
    held: &Held,
    progress: &mut dyn Progress,
) -> Result<Answer, PlanError> {
    if problem.cutting != Cutting::Free {
        return straight::plan(problem, budget, held, progress);
    }
    let proving = Proving::of(problem, budget);
    let kept = proving[1].time.unwrap_or_default();
    let search = budget.time.map(|time| time.saturating_sub(kept));
    let deadline = search.map(|time| Instant::now() + time);
    let shapes = Shapes::of(problem);
    let mut ways = problem.items.iter().zip(&shapes.variants);
    if let Some((item, _)) = ways.find(|(item, ways)| item.copies > 0 && ways.is_empty()) {
        let label = item.label.clone();
        return Err(if item.anchor.is_some() && item.garment.is_none() {
            PlanError::NoPlace { label }
        } else {
            PlanError::NoCommonTurn { label }
        });
    }
    let mut run = Run {
        deadline,
        proving,
        ..Run::new(problem, &shapes, budget, held, progress)
    };
    run.answer(progress)
}

/// Where time is given, such a share of what is left of it goes to each engine that comes before pushing apart, at most: what
/// they do with curved pieces takes far longer than their steps say.
const TURN: f64 = 0.2;

/// How many times the usual steps are spent on a length on hand that is neither reached nor refused.
const INSIST: u64 = 3;

/// From so many pieces on a layout is searched by stretches.
const LONG: usize = 120;

struct Run<'p> {
    problem: &'p Problem,
    shapes: &'p Shapes,
    bound: Bound,
    /// For the search over orders.
    steps: u64,
    /// For pushing apart.
    pushing: u64,
    /// For all places of rectangles.
    settling: u64,
    /// For parts abreast, in about nanoseconds.
    abreast: u64,
    streams: usize,
    seed: u64,
    /// Before pieces are pushed apart, and after.
    proving: [Proving; 2],
    deadline: Option<Instant>,
    /// When whoever is at work has to end, if that is before the deadline.
    turn: Option<Instant>,
    cancel: Option<Arc<AtomicBool>>,
    /// What refused all starts of rectangles, if that made the bound.
    refused: Option<Refusal>,
    /// A marker that was found earlier, and passes the check.
    earlier: Option<&'p Marker>,
    /// Made when first asked for.
    fields: OnceLock<Option<Fields>>,
}

struct Finished {
    layout: Layout,
    engine: &'static str,
}

/// The best so far, what it took, and who is told of better ones.
struct Found<'r> {
    best: Finished,
    /// Rows, which lead elsewhere than the best layout where pieces are pushed apart from them.
    rows: Layout,
    spent: u64,
    progress: &'r mut dyn Progress,
}

impl<'p> Run<'p> {
    fn new(
        problem: &'p Problem,
        shapes: &'p Shapes,
        budget: &Budget,
        held: &'p Held,
        progress: &dyn Progress,
    ) -> Self {
        let steps = Steps::of(problem, shapes, budget);
        let bound = held.greater(bound::best(problem));
        Run {
            problem,
            bound: bound::with_slices(problem, bound, work_on_slices(budget)),
            steps: steps.orders,
            pushing: steps.pushing,
            settling: steps.settling,
            abreast: work_on_parts(budget),
            shapes,
            streams: budget.threads.max(1),
            seed: budget.seed,
            proving: [Proving::default(); 2],
            deadline: None,
            turn: None,
            cancel: progress.cancel_flag(),
            refused: None,
            earlier: held.marker.as_ref(),
            fields: OnceLock::new(),
        }
    }

    /// Takes a layout over, and tells of it, if it is shorter and valid: whatever an engine gets wrong, what was
    /// valid before stays the answer.
    fn offer(&self, found: &mut Found<'_>, layout: Layout, engine: &'static str) {
        if layout.length < found.best.layout.length {
            let marker = to_marker(self.problem, self.shapes, &layout);
            let verdict = verify::marker(self.problem, &marker);
            debug_assert_eq!(verdict, Ok(()), "{engine}");
            if verdict.is_ok() {
                let length = Length::from_um(layout.length);
                found.best = Finished { layout, engine };
                found
                    .progress
                    .report(Some(length), self.bound.length, engine);
            }
        }
    }

    fn stopped(&self) -> bool {
        self.end().is_some_and(|end| Instant::now() >= end) || self.is_cancelled()
    }

    fn end(&self) -> Option<Instant> {
        self.turn.or(self.deadline)
    }

    /// Gives whoever works next this share of the time until the deadline, if there is one.
    fn begin_turn(&mut self, share: f64) {
        let now = Instant::now();
        let turn = |deadline: Instant| now + deadline.saturating_duration_since(now).mul_f64(share);
        self.turn = self.deadline.map(turn);
    }

    fn is_cancelled(&self) -> bool {
        let flag = self.cancel.as_ref();
        flag.is_some_and(|flag| flag.load(Ordering::Relaxed))
    }

    /// Time until then, if there is one.
    fn left(&self) -> Option<Duration> {
        let end = self.end()?;
        Some(end.saturating_duration_since(Instant::now()))
    }

    /// No-fit regions laid out for pushing apart; `None` if this job is nothing for it.
    fn fields(&self) -> Option<&Fields> {
        let fields = self
            .fields
            .get_or_init(|| Fields::of(self.problem, self.shapes, self.preparing()));
        fields.as_ref()
    }

    /// Microseconds that may be spent on regions before pieces are pushed apart: a third of what that may take.
    fn preparing(&self) -> u64 {
        let pushing = self.left().map_or(self.pushing, |left| {
            u64::try_from(left.as_micros()).unwrap_or(u64::MAX)
        });
        pushing / 3
    }

    fn stream_seed(&self, stream: usize) -> u64 {
        let spread = self.seed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        spread.wrapping_add(stream as u64)
    }

    fn answer(&mut self, progress: &mut dyn Progress) -> Result<Answer, PlanError> {
        progress.phase("laying rows");
        progress.report(None, self.bound.length, "rows");
        let (best, spent) = self.in_rows();
        let length = Length::from_um(best.layout.length);
        progress.report(Some(length), self.bound.length, best.engine);
        let questions = bound::Questions::about(self.problem);
        let mut found = Found {
            rows: best.layout.clone(),
            best,
            spent,
            progress,
        };
        if let Some(layout) = self.earlier_layout() {
            self.offer(&mut found, layout, EARLIER);
        }
        let are_rectangles = self.lay_rectangles(&mut found, self.pushing);
        if !are_rectangles {
            self.begin_turn(TURN);
            self.part_abreast(&mut found);
        }
        let goal = self.bound.length.um();
        if !are_rectangles {
            self.begin_turn(TURN);
            self.by_items(&mut found, goal);
            self.begin_turn(TURN);
            self.rectangles_first(&mut found, self.pushing, goal);
            found.progress.phase("repeating tight patterns");
            self.begin_turn(TURN);
            self.repeat(&mut found, self.steps, goal);
            self.begin_turn(TURN);
        }
        found.progress.phase("looking for a shorter layout");
        self.improve(&mut found, self.steps, goal);
        self.turn = None;
        found.progress.phase("trying all places");
        self.prove(&mut found, &questions, self.proving[0]);
        let goal = self.bound.length.um();
        let is_pushed = !are_rectangles && {
            found.progress.phase("pushing pieces apart");
            self.push(&mut found, self.pushing, goal)
        };
        if !is_pushed && self.deadline.is_some() {
            // Until the clock ends it.
            self.improve(&mut found, u64::MAX / 16, goal);
        }
        found.progress.phase("looking for a proof");
        self.prove(&mut found, &questions, self.proving[1]);
        self.note_starts();
        self.bound = bound::with_trees_that_hold(self.problem, self.bound.clone());
        let refusals = self.refusals(&mut found);
        let bound = self.bound.clone();
        found
            .progress
            .phase("putting pieces on the marking step, and checking");
        let marker = self.marker(found.best.layout)?;
        let (marker, engine) = match self.earlier_unless_better(&marker) {
            Some(earlier) => (earlier, EARLIER),
            None => (marker, found.best.engine),
        };
        let on_hand = self.problem.cloth.on_hand.iter();
        let rulings = on_hand.zip(refusals).map(|(&on_hand, refusal)| {
            let (verdict, bound) = match refusal {
                Some(bound) => (Verdict::NotEnough, bound),
                None if marker.length <= on_hand => (Verdict::Enough, bound.clone()),
                None => (Verdict::Undecided, bound.clone()),
            };
            Ruling {
                on_hand,
                verdict,
                bound,
            }
        });
        let rulings = rulings.collect();
        Ok(Answer {
            snap: Snap::of(self.problem, &marker),
            marker,
            bound,
            rulings,
            straight: None,
            engine,
            steps: found.spent,
        })
    }

    /// For each length on hand the bound that refuses it, if one does. Where neither a bound nor the best layout
    /// decides, the search goes on, for the longest first: what it does not reach, it won't reach
    /// for less.
    fn refusals(&self, found: &mut Found<'_>) -> Vec<Option<Bound>> {
        let on_hand = &self.problem.cloth.on_hand;
        let is_open = |found: &Found<'_>, length: Length| found.best.layout.length > length.um();
        let refusal = |&length: &Length| {
            let is_open = is_open(found, length);
            is_open.then(|| self.refusal(length)).flatten()
        };
        let refusals: Vec<Option<Bound>> = on_hand.iter().map(refusal).collect();
        let undecided = on_hand.iter().zip(&refusals);
        let undecided = undecided.filter(|(_, refusal)| refusal.is_none());
        let mut undecided: Vec<Length> = undecided.map(|(&length, _)| length).collect();
        undecided.sort_unstable();
        for length in undecided.into_iter().rev() {
            if is_open(found, length) {
                let goal = length.max(self.bound.length).um();
                self.improve(found, self.steps.saturating_mul(INSIST), goal);
                let steps = self.pushing.saturating_mul(INSIST);
                if !self.fill_lengths(found, steps, goal) {
                    self.push(found, steps, goal);
                }
            }
            if is_open(found, length) {
                break;
            }
        }
        refusals
    }

    /// Pushes pieces apart: all at once, or by stretches where there are many. False if no piece of this job can
    /// be pushed.
    fn push(&self, found: &mut Found<'_>, steps: u64, goal: i64) -> bool {
        let is_long = self.problem.piece_count() >= LONG || self.fields().is_none();
        // Flaws don't move up with the pieces behind a stretch, nor does the print.
        let is_even = |item: &Item| {
            let lattice = item.anchor.map(|anchor| anchor.lattice);
            lattice.is_none_or(|lattice| lattice.along == Length::ZERO)
        };
        let is_even = self.problem.items.iter().all(is_even);
        if is_long && self.problem.cloth.flaws.is_empty() && is_even {
            self.by_stretches(found, steps, goal)
        } else {
            self.push_apart(found, steps, goal)
        }
    }

    fn in_rows(&self) -> (Finished, u64) {
        let mut regions = Regions::new(self.problem, self.shapes, Detail::Coarse);
        let stop = || self.stopped();
        let (layout, steps) = shorter_rows(self.problem, self.shapes, &mut regions, &stop);
        let layout = self.compacted(layout);
        (
            Finished {
                layout,
                engine: "rows",
            },
            steps,
        )
    }

    /// Pushed together by fine outlines: one piece at a time, then all at once.
    fn compacted(&self, layout: Layout) -> Layout {
        let (problem, shapes) = (self.problem, self.shapes);
        let mut regions = Regions::new(problem, shapes, Detail::Fine);
        let stop = || self.stopped();
        let pushed = pushed_down(problem, shapes, &mut regions, layout, &stop);
        if pushed.length <= self.bound.length.um() || stop() {
            return pushed;
        }
        let slid = compact::compacted(problem, shapes, &mut regions, pushed, &stop);
        pushed_down(problem, shapes, &mut regions, slid, &stop)
    }

    /// Runs `work` for every slot at once; meanwhile passes on what lengths below `shortest` it tells of.
    fn at_once<T: Send>(
        &self,
        slots: &mut [T],
        shortest: i64,
        engine: &'static str,
        progress: &mut dyn Progress,
        work: impl Fn(usize, &mut T, &(dyn Fn(i64) + Sync)) + Sync,
    ) {
        let (send, receive) = mpsc::channel::<i64>();
        rayon::in_place_scope(|scope| {
            for (number, slot) in slots.iter_mut().enumerate() {
                let (send, work) = (send.clone(), &work);
                scope.spawn(move |_| {
                    work(number, slot, &|length| {
                        // Nobody listening any more is no reason to stop.
                        let _ = send.send(length);
                    });
                });
            }
            drop(send);
            let mut told = shortest;
            while let Some(length) = wait(&receive) {
                if length < told {
                    told = length;
                    progress.report(Some(Length::from_um(told)), self.bound.length, engine);
                }
            }
        });
    }

    /// Searches for a layout of `goal` or less, in independent streams.
    fn improve(&self, found: &mut Found<'_>, steps: u64, goal: i64) {
        if found.best.layout.length <= goal || self.stopped() {
            return;
        }
        let share = steps / self.streams as u64;
        let mut slots: Vec<Option<(Vec<Layout>, u64)>> = vec![None; self.streams];
        let mut starts = vec![&found.rows];
        if found.best.layout != found.rows {
            starts.push(&found.best.layout);
        }
        self.at_once(
            &mut slots,
            found.best.layout.length,
            "constructive",
            found.progress,
            |stream, slot, tell| {
                let mut regions = Regions::new(self.problem, self.shapes, Detail::Coarse);
                let watch = Watch {
                    steps: share,
                    seed: self.stream_seed(stream),
                    stream,
                    streams: self.streams,
                    bound: goal,
                    stop: &|| self.stopped(),
                    tell,
                };
                let (problem, shapes) = (self.problem, self.shapes);
                *slot = Some(improve(problem, shapes, &mut regions, &starts, &watch));
            },
        );
        found.spent += slots.iter().flatten().map(|(_, steps)| steps).sum::<u64>();
        let mut layouts: Vec<Layout> = slots.into_iter().flatten().flat_map(|(l, _)| l).collect();
        layouts.sort_by_key(|l| l.length);
        layouts.dedup_by_key(|l| l.length);
        let worth = if steps == 0 { 1 } else { SHORTLIST };
        for layout in layouts.into_iter().take(worth) {
            if self.stopped() && layout.length >= found.best.layout.length {
                break;
            }
            let layout = self.compacted(layout);
            self.offer(found, layout, "constructive");
        }
    }
}

/// What comes next, `None` after the last. A worker of the pool that waits does the pool's work meanwhile:
/// it may be the only one there is.
fn wait(receive: &mpsc::Receiver<i64>) -> Option<i64> {
    if rayon::current_thread_index().is_none() {
        return receive.recv().ok();
    }
    loop {
        match receive.try_recv() {
            Ok(length) => return Some(length),
            Err(mpsc::TryRecvError::Disconnected) => return None,
            Err(mpsc::TryRecvError::Empty) => {
                if rayon::yield_now() != Some(rayon::Yield::Executed) {
                    thread::sleep(Duration::from_millis(1));
                }
            }
        }
    }
}
