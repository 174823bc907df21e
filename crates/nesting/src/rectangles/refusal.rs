//! A length that is refused: the argument for it.

use pieces::Length;

use super::Strip;
use super::exact::{self, Manner, Noted};
use crate::certificate::numbers;
use crate::certificate::starts::{Kind, MOST_NUMBERS, Starts, Way, proves};
use crate::problem::Problem;
use crate::verdict::{Argument, Bound};

/// A tree is kept up to so many bytes of text.
const MOST_TEXT: usize = 2_000_000;

/// A length that is refused, and by what.
#[derive(Clone, Copy, Debug)]
pub struct Refusal {
    pub(super) units: i32,
    /// What the question was given.
    pub(super) work: u64,
    pub(super) manner: Manner,
}

impl Refusal {
    /// The bound, without a tree.
    pub fn bound(&self, strip: &Strip<'_>) -> Bound {
        let starts = Starts {
            work: self.work,
            ..Starts::default()
        };
        Bound {
            length: Length::from_um(strip.length(self.units + 1)),
            argument: Argument::EveryStart(starts),
        }
    }

    /// The bound, with a tree if that is short enough, and holds.
    pub fn noted(
        &self,
        problem: &Problem,
        strip: &Strip<'_>,
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Bound {
        let bound = self.bound(strip);
        let Some(noted) = strip
            .job()
            .and_then(|job| exact::noted(&job, self.units, self.manner, MOST_NUMBERS, stop))
        else {
            return bound;
        };
        let starts = Starts {
            kinds: kinds(strip, &noted),
            work: self.work,
            tree: noted.tree,
        };
        if numbers::text(&starts.tree).len() > MOST_TEXT {
            return bound;
        }
        let holds = proves(problem, &starts, bound.length - Length::from_um(1));
        debug_assert!(holds);
        if holds {
            Bound {
                argument: Argument::EveryStart(starts),
                ..bound
            }
        } else {
            bound
        }
    }
}

/// What the sorts are, in micrometres.
fn kinds(strip: &Strip<'_>, noted: &Noted) -> Vec<Kind> {
    let kind = |(sort, &old): (usize, &usize)| {
        let wide = noted.wide.ways.iter().filter(|way| way.sort == sort);
        let ways = wide.zip(strip.sizes(old));
        Kind {
            items: strip.items(old),
            ways: ways
                .map(|(wide, size)| {
                    let [across, along] = strip.in_um(size);
                    let [taken, _] = strip.in_um([wide.across, 0]);
                    Way {
                        across,
                        along,
                        taken,
                    }
                })
                .collect(),
        }
    };
    noted.order.iter().enumerate().map(kind).collect()
}
