//! From both sides: shorter layouts and greater bounds by the exact search, until they meet or work runs out.
//!
//! Source: own; halving and doubling distances are textbook search. Which questions are asked, in what order and for what
//! work, was measured (benches/README.md).

use super::exact::{self, Manner, Outcome};
use super::refusal::Refusal;
use super::{Strip, Watch};
use crate::constructive::Layout;
use crate::problem::Problem;
use crate::shapes::Shapes;
use pieces::Length;

/// More rectangles than this, or more side by side in the mean, have too many combinations of places.
const MOST: usize = 64;
const MOST_ABREAST: i64 = 6;

/// Work on one question, at most: what [`is_refused`] can do again.
pub const HARDEST: u64 = 6_000_000;

/// A question that is asked to raise the bound takes this share of all work, and one for a shorter layout this.
const CHEAP: u64 = 256;
const DEAR: u64 = 8;

/// Whether a step less would do at the shop takes this share of what is left.
const OF_SHOP: u64 = 2;

/// So many of the latter may stay open, one after another.
const PATIENCE: u32 = 4;

/// Bound and layout are near if this part of the length or less is between them.
const NEAR: i32 = 128;

/// Questions that are asked to raise the bound, at most.
const QUESTIONS: u32 = 12;

/// What both sides have come to.
pub struct Settled {
    /// The shortest layout found that is shorter than what there was.
    pub layout: Option<Layout>,
    /// No layout is shorter than what this leaves.
    pub refusal: Option<Refusal>,
    pub spent: u64,
}

/// Looks for layouts shorter than `length`, and for the greatest length that is refused.
pub fn settled(strip: &Strip<'_>, length: i64, watch: &mut Watch<'_>) -> Settled {
    let mut settled = Settled {
        layout: None,
        refusal: None,
        spent: 0,
    };
    let Some(job) = strip.job() else {
        return settled;
    };
    let low = strip.units_up(watch.goal).max(strip.least());
    let high = strip.units_up(length);
    let mut sides = Sides {
        strip,
        job,
        low,
        high,
        settled: &mut settled,
        watch,
    };
    sides.widest();
    sides.raise();
    sides.lower();
    sides.ask_of_shop();
    sides.insist();
    settled
}

/// What refuses this length, if so much work shows that something does.
pub fn refusal_of(
    strip: &Strip<'_>,
    length: Length,
    work: u64,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<Refusal> {
    let units = strip.units_down(length.um());
    let work = work.min(HARDEST);
    let job = strip.job().filter(|_| strip.is_exact())?;
    let manner = if units < strip.least() {
        Manner::first(work)
    } else {
        match exact::ask(&job, units, &mut work.clone(), 1, stop) {
            Outcome::Refused(manner) => manner,
            _ => return None,
        }
    };
    Some(Refusal {
        units,
        work,
        manner,
    })
}

/// Whether this length can be shown again to be refused, with so much work; 0: as much as there ever is.
pub fn is_refused(problem: &Problem, length: Length, work: u64) -> bool {
    let shapes = Shapes::of(problem);
    let strip = Strip::of(problem, &shapes);
    let work = if work == 0 { HARDEST } else { work };
    strip.is_some_and(|strip| refusal_of(&strip, length, work, &|| false).is_some())
}

/// Whether rectangles are few enough for that.
pub fn is_worth_settling(strip: &Strip<'_>) -> bool {
    let most = MOST_ABREAST * i64::from(strip.least());
    strip
        .job()
        .is_some_and(|job| job.count() <= MOST && job.along() <= most)
}

struct Sides<'s, 'w, 'a> {
    strip: &'s Strip<'a>,
    job: exact::Job,
    /// All shorter lengths are refused, in units, and this one has a layout.
    low: i32,
    high: i32,
    settled: &'s mut Settled,
    watch: &'s mut Watch<'w>,
}

impl Sides<'_, '_, '_> {
    /// Whether the widest alone refuses the next shorter length: that is soon known, and nothing else is to be asked then.
    fn widest(&mut self) {
        let units = self.high - 1;
        let share = self.left().min(HARDEST);
        if units < self.low || share == 0 || (self.watch.stop)() {
            return;
        }
        let mut work = share;
        let outcome = exact::ask_widest(&self.job, units, &mut work, self.watch.stop);
        self.settled.spent += share - work;
        self.take(units, share, &outcome);
    }

    /// Raises the bound by halves, cheaply: where charges alone refuse a length, or nearly.
    fn raise(&mut self) {
        let mut open = self.high;
        for _ in 0..QUESTIONS {
            if open <= self.low {
                return;
            }
            let middle = self.low + (open - self.low) / 2;
            match self.ask(middle, self.watch.steps / CHEAP) {
                Some(Outcome::Refused(_)) => {}
                Some(Outcome::Laid(_)) => open = open.min(self.high),
                Some(Outcome::Open) => open = middle,
                None => return,
            }
        }
    }

    /// Asks for a little less, for twice as much less, and so on, as some lengths are far easier than others
    /// beside them; afresh from each layout that turns up.
    fn lower(&mut self) {
        let (mut less, mut in_vain) = (1, 0);
        while self.high - less >= self.low && in_vain < PATIENCE {
            match self.ask(self.high - less, self.watch.steps / DEAR) {
                Some(Outcome::Laid(_)) => {
                    (less, in_vain) = (1, 0);
                    if self.is_near() {
                        self.widest();
                    }
                }
                Some(Outcome::Refused(_)) => less *= 2,
                Some(Outcome::Open) => (less, in_vain) = (2 * less, in_vain + 1),
                None => return,
            }
        }
    }

    /// Asks whether a step less would do at the shop, since that is what a person acts on.
    fn ask_of_shop(&mut self) {
        while let Some(less) = self.strip.less_at_shop(self.high) {
            let is_open = self.low <= less && less < self.high;
            let share = self.left() / OF_SHOP;
            let said = is_open.then(|| self.ask(less, share)).flatten();
            if !matches!(said, Some(Outcome::Laid(_))) {
                return;
            }
        }
    }

    /// Asks for a little less with all work that is left, where bound and layout are near each other.
    fn insist(&mut self) {
        while self.low < self.high && self.is_near() {
            let said = self.ask(self.high - 1, u64::MAX);
            if said.is_none_or(|said| said == Outcome::Open) {
                return;
            }
        }
    }

    fn is_near(&self) -> bool {
        self.high - self.low <= self.low / NEAR
    }

    /// Asks about a length in units, and takes over what is said; `None` at the end of all work.
    fn ask(&mut self, units: i32, share: u64) -> Option<Outcome> {
        let share = share.min(self.left()).min(HARDEST);
        if share == 0 || (self.watch.stop)() {
            return None;
        }
        let mut work = share;
        let threads = self.watch.threads;
        let outcome = exact::ask(&self.job, units, &mut work, threads, self.watch.stop);
        self.settled.spent += share - work;
        self.take(units, share, &outcome);
        Some(outcome)
    }

    /// Work that is left.
    fn left(&self) -> u64 {
        self.watch.steps.saturating_sub(self.settled.spent)
    }

    /// Takes over what was said of a length with so much work.
    fn take(&mut self, units: i32, share: u64, outcome: &Outcome) {
        match outcome {
            Outcome::Laid(spots) => {
                let spots = self.strip.spots(spots);
                self.high = self.strip.end(&spots);
                let layout = self.strip.layout(&spots);
                (self.watch.tell)(layout.length);
                self.settled.layout = Some(layout);
            }
            &Outcome::Refused(manner) if units >= self.low => {
                self.low = units + 1;
                if self.strip.is_exact() {
                    self.settled.refusal = Some(Refusal {
                        units,
                        work: share,
                        manner,
                    });
                }
            }
            Outcome::Refused(_) | Outcome::Open => {}
        }
    }
}
