//! Which module looks at which argument.

use std::collections::BTreeMap;

use pieces::Length;

use super::larger::Larger;
use super::{
    FAR, abreast, alone, area, behind, charged, lines, one_by_one, places, proved, side_by_side,
    sides, starts, straight, sums, ways,
};
use crate::problem::{Item, Problem};
use crate::verdict::{Argument, Bound};

/// Arguments within each other, at most.
const MOST_DEEP: u32 = 12;

/// What tries everything again.
type Otherwise<'o> = &'o dyn Fn(&Problem, &Bound) -> bool;

/// What a bound is stated about.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    pub problem: &'a Problem,
    /// All that is known of the pieces is that they do not overlap when they are taken so much larger; `None` if
    /// they keep their spacing.
    pub larger: Option<Larger>,
    deep: u32,
    otherwise: Otherwise<'a>,
}

/// Whether a bound's own argument proves it. Where everything was tried and is not written down, `otherwise` is asked, within
/// others too.
#[must_use]
pub fn holds(
    problem: &Problem,
    bound: &Bound,
    otherwise: &dyn Fn(&Problem, &Bound) -> bool,
) -> bool {
    let asked = Asked {
        problem,
        larger: None,
        deep: 0,
        otherwise,
    };
    asked.holds(bound)
}

impl<'a> Asked<'a> {
    /// The same about other pieces, which may be known to keep less apart.
    pub fn about<'b>(&self, problem: &'b Problem, larger: Option<Larger>) -> Option<Asked<'b>>
    where
        'a: 'b,
    {
        (self.deep < MOST_DEEP).then_some(Asked {
            problem,
            larger,
            deep: self.deep + 1,
            otherwise: self.otherwise,
        })
    }

    /// The items of which there are any.
    pub fn laid(&self) -> impl Iterator<Item = &'a Item> + use<'a> {
        self.problem.items.iter().filter(|item| item.copies > 0)
    }

    /// Whether pieces that are taken so much larger are known not to overlap.
    pub fn may_take(&self, larger: Larger) -> bool {
        match self.larger {
            None => larger.is_within(self.problem.spacing),
            Some(known) => {
                let are_some = larger.wider >= Length::ZERO && larger.longer >= Length::ZERO;
                are_some && larger.wider <= known.wider && larger.longer <= known.longer
            }
        }
    }

    pub fn holds(&self, bound: &Bound) -> bool {
        let length = bound.length.um();
        if length <= 0 {
            return true;
        }
        if length > FAR || !is_near(self.problem) {
            return false;
        }
        let reaches = |least: Option<i64>| least.is_some_and(|least| least >= length);
        match &bound.argument {
            Argument::Area => reaches(area::least(self)),
            Argument::LongestPiece { item } => reaches(self.long(*item)),
            Argument::SideBySide {
                items,
                line,
                larger,
            } => side_by_side::hold(self, items, line.as_ref(), *larger, length),
            Argument::Sections(charged) => reaches(charged::least(self, charged)),
            Argument::LinesAcross { lines, charged } => lines::hold(self, *lines, charged, length),
            Argument::Behind {
                items,
                count,
                charged,
            } => reaches(behind::least(self, items, *count, charged)),
            Argument::Alone {
                items,
                larger,
                rest,
            } => alone::hold(self, items, *larger, rest, length),
            Argument::Sums { rest } => {
                let next = sums::next(self, rest.length.um());
                let asked = self.about(self.problem, self.larger);
                reaches(next) && asked.is_some_and(|asked| asked.holds(rest))
            }
            Argument::NoTwoAbreast { items, within } => {
                let least = one_by_one::least(self.problem, items, within);
                reaches(least.map(Length::um))
            }
            Argument::Slices(slices) => {
                let larger = Larger {
                    wider: slices.wider,
                    longer: slices.longer,
                };
                let proved = || proved(self.problem, slices).map(Length::um);
                self.may_take(larger) && reaches(proved())
            }
            // Where pieces meet, this speaks of them as they are.
            Argument::EveryPlace(tried) if !tried.tree.is_empty() => {
                let larger = Larger {
                    wider: tried.wider,
                    longer: Length::ZERO,
                };
                let below = bound.length - Length::from_um(1);
                self.may_take(larger) && places::proves(self.problem, tried, below)
            }
            // These speak of pieces that keep their spacing.
            _ => {
                let keeps = self.larger.is_none() || !self.problem.spacing.is_positive();
                keeps && self.holds_as_tried(bound)
            }
        }
    }

    /// The same for arguments that tried everything, or all companies: as they are written, or else again.
    fn holds_as_tried(&self, bound: &Bound) -> bool {
        let (problem, below) = (self.problem, bound.length - Length::from_um(1));
        match &bound.argument {
            Argument::Abreast(abreast) => {
                abreast::proved(problem, abreast).is_some_and(|proved| proved >= bound.length)
            }
            Argument::Sides(tried) if !tried.tree.is_empty() => {
                sides::proves(problem, tried, below)
            }
            Argument::EveryStart(tried) if !tried.tree.is_empty() => {
                starts::proves(problem, tried, below)
            }
            Argument::EveryStraightCut => {
                let refuses = straight::refuses(problem, below);
                refuses.unwrap_or_else(|| (self.otherwise)(problem, bound))
            }
            _ => (self.otherwise)(problem, bound),
        }
    }

    /// How long an item is, however it may lie.
    fn long(&self, item: usize) -> Option<i64> {
        let item = self.problem.items.get(item)?;
        let ways = ways::ways(item, self.problem.cloth.usable_width(), Larger::NOT);
        (item.copies > 0).then(|| ways::least_height(&ways))
    }
}

/// How often each item is named; `None` if one is more often than it is there, or none is.
pub(super) fn counted(problem: &Problem, items: &[usize]) -> Option<BTreeMap<usize, u32>> {
    let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
    for &item in items {
        let count = counts.entry(item).or_default();
        *count += 1;
        if *count > problem.items.get(item)?.copies {
            return None;
        }
    }
    (!counts.is_empty()).then_some(counts)
}

/// Whether all numbers are such that sums of them can be made.
fn is_near(problem: &Problem) -> bool {
    let mut points = problem.items.iter().flat_map(|item| item.outline.points());
    let near = |v: i64| v.abs() <= FAR;
    near(problem.spacing.um())
        && (1..=FAR).contains(&problem.cloth.usable_width().um())
        && points.all(|p| near(p.x) && near(p.y))
}
