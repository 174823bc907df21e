//! Columns: equal pieces straight one behind the other, and such columns side by side, each shifted along
//! so that it comes as near to the last as it can.
//!
//! All columns have one period. How near one column comes to another depends on the shift between the two
//! only, so the narrowest set of so many columns is a shortest path over the ways in which each may be
//! laid. Where one column more does not fit, a longer period leaves gaps for it to reach into.

use std::rc::Rc;

use pieces::Point;

use crate::constructive::board::Regions;
use crate::constructive::{Laid, Layout, PieceId};
use crate::geometry::NoFit;
use crate::shapes::Variant;

use super::kinds::Kinds;

/// Shifts tried between two columns: even ones, and so many at most of those at which corners meet.
const SHIFTS: i64 = 40;
const MOST_CORNERS: usize = 200;

/// A region that is longer than so many periods makes columns of slivers, which rows lay as well.
const MOST_ROUNDS: i64 = 16;

/// Parts looked at that make a step, a microsecond about.
const PARTS_A_STEP: u64 = 25;

/// The longest period tried, in lengths of the piece, and how often it is halved towards the least that will do.
const LONGEST: f64 = 1.6;
const HALVINGS: usize = 10;

/// Columns at most: what takes more is better laid in rows.
const MOST_COLUMNS: usize = 40;

/// Columns added to what fits at the least period.
const MORE: usize = 2;

/// Layouts of one piece of this kind in each column, on an endless cloth: as many columns as fit, and some
/// more. Adds the steps it takes to `spent`, and ends before `is_over` says that these are too many.
pub fn columns<'a>(
    kinds: &'a Kinds,
    regions: &mut Regions<'a>,
    kind: usize,
    spent: &mut u64,
    is_over: &dyn Fn(u64) -> bool,
) -> Vec<Layout> {
    let mut layouts = Vec::new();
    // Ended early or not, what there is will do.
    let _ = add_columns(kinds, regions, kind, &mut layouts, &mut |steps| {
        if is_over(*spent + steps) {
            return false;
        }
        *spent += steps;
        true
    });
    layouts
}

/// `may` is asked before so many steps are spent. `None` if it said no, or there are no columns of this kind.
fn add_columns<'a>(
    kinds: &'a Kinds,
    regions: &mut Regions<'a>,
    kind: usize,
    layouts: &mut Vec<Layout>,
    may: &mut dyn FnMut(u64) -> bool,
) -> Option<()> {
    let mut all = Columns::of(kinds, regions, kind)?;
    let least = all.period;
    let most = (least as f64 * LONGEST) as i64;
    all.set_period(least, may)?;
    let first = all.most_columns();
    layouts.extend(all.layout(first));
    for count in (first + 1..).take(MORE) {
        all.set_period(most, may)?;
        if all.most_columns() < count {
            break;
        }
        let (mut low, mut high) = (least, most);
        for _ in 0..HALVINGS {
            let middle = low + (high - low) / 2;
            all.set_period(middle, may)?;
            if all.most_columns() < count {
                low = middle;
            } else {
                high = middle;
            }
        }
        all.set_period(high, may)?;
        layouts.extend(all.layout(count));
    }
    Some(())
}

struct Columns<'k> {
    kinds: &'k Kinds,
    kind: usize,
    ways: Vec<Variant>,
    /// By way of the left column, then of the right one.
    regions: Vec<Vec<Rc<NoFit>>>,
    period: i64,
    /// The same: shift, and how far to the right the next column lies.
    steps: Vec<Vec<(i64, i64)>>,
}

impl<'k> Columns<'k> {
    fn of<'a>(kinds: &'k Kinds, regions: &mut Regions<'a>, kind: usize) -> Option<Self> {
        let ways = kinds.shapes.variants[kind].clone();
        let pairs: Vec<Vec<_>> = ways
            .iter()
            .map(|left| {
                ways.iter()
                    .map(|right| regions.pair(left.shape, right.shape))
                    .collect()
            })
            .collect();
        let behind = |region: &NoFit| {
            let ends = region
                .parts
                .iter()
                .filter_map(|part| part.forbidden_along(0));
            ends.map(|(_, high)| high).max().unwrap_or(0)
        };
        let period = (0..ways.len()).map(|way| behind(&pairs[way][way])).max()?;
        let high = |region: &Rc<NoFit>| {
            let bounds = region.parts.iter().map(|part| part.bounds);
            let ends = bounds.map(|b| (b.min.y, b.max.y));
            let (low, high) = ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
            Some(high - low)
        };
        let highest = pairs.iter().flatten().filter_map(high).max()?;
        (period > 0 && highest <= MOST_ROUNDS * period).then_some(Columns {
            kinds,
            kind,
            ways,
            regions: pairs,
            period,
            steps: Vec::new(),
        })
    }

    /// `None` if `may` says no, asked before so many steps are spent.
    fn set_period(&mut self, period: i64, may: &mut dyn FnMut(u64) -> bool) -> Option<()> {
        self.period = period;
        let mut step = |region: &Rc<NoFit>| {
            let shifts = shifts(region, period);
            let looks = shifts.len() * region.parts.len();
            may(looks as u64 / PARTS_A_STEP).then(|| nearest(region, period, shifts))
        };
        let rows = self.regions.iter();
        let steps = rows.map(|row| row.iter().map(&mut step).collect());
        self.steps = steps.collect::<Option<_>>()?;
        Some(())
    }

    fn across(&self, way: usize) -> i64 {
        self.kinds.shapes.shape(self.ways[way].shape).across
    }

    /// Narrowest columns of each count, as ways from left to right; stops at the first that is too wide.
    fn paths(&self) -> Vec<Vec<usize>> {
        let width = self.kinds.problem.cloth.usable_width().um();
        let ways = 0..self.ways.len();
        // By the way of the last column: where its box begins, and the ways so far.
        let mut best: Vec<(i64, Vec<usize>)> = ways.clone().map(|way| (0, vec![way])).collect();
        let mut found = Vec::new();
        loop {
            let ends = best
                .iter()
                .enumerate()
                .map(|(way, (at, path))| (at + self.across(way), path));
            match ends.min() {
                Some((end, path)) if end <= width && found.len() < MOST_COLUMNS => {
                    found.push(path.clone());
                }
                _ => return found,
            }
            let next = |way: usize| {
                let from = best.iter().enumerate();
                let steps = from.map(|(last, (at, path))| (at + self.steps[last][way].1, path));
                let (at, path) = steps.min()?;
                Some((at, path.iter().copied().chain([way]).collect()))
            };
            best = ways.clone().filter_map(next).collect();
        }
    }

    fn most_columns(&self) -> usize {
        self.paths().len()
    }

    fn layout(&self, count: usize) -> Option<Layout> {
        let path = self.paths().into_iter().nth(count.checked_sub(1)?)?;
        let mut at = Point::new(self.kinds.problem.cloth.left.um(), 0);
        let mut laid = Vec::new();
        for (copy, &way) in path.iter().enumerate() {
            if copy > 0 {
                let (shift, step) = self.steps[path[copy - 1]][way];
                at = Point::new(at.x + step, (at.y + shift).rem_euclid(self.period));
            }
            laid.push(Laid {
                piece: PieceId {
                    item: self.kind,
                    copy: copy as u32,
                },
                variant: self.ways[way],
                at,
            });
        }
        Some(Layout {
            laid,
            length: self.period,
        })
    }
}

/// Even ones, and those at which corners meet.
fn shifts(region: &NoFit, period: i64) -> Vec<i64> {
    let corners = region.parts.iter().flat_map(|part| &part.points);
    let mut shifts: Vec<i64> = corners.map(|p| p.y.rem_euclid(period)).collect();
    shifts.sort_unstable();
    shifts.dedup();
    let every = shifts.len().div_ceil(MOST_CORNERS).max(1);
    let even = (0..SHIFTS).map(|k| k * period / SHIFTS);
    shifts.into_iter().step_by(every).chain(even).collect()
}

/// The shift at which the next column may lie nearest, and how far to the right it then is.
fn nearest(region: &NoFit, period: i64, shifts: Vec<i64>) -> (i64, i64) {
    let right = |shift: i64| {
        let ends = region.parts.iter().flat_map(|part| {
            let (low, high) = (part.bounds.min.y, part.bounds.max.y);
            let rounds = (low - shift).div_euclid(period)..=(high - shift).div_euclid(period) + 1;
            rounds.filter_map(move |round| part.forbidden_across(shift + round * period))
        });
        ends.map(|(_, high)| high).max().unwrap_or(0)
    };
    let steps = shifts.into_iter().map(|shift| (right(shift), shift));
    let (step, shift) = steps.min().unwrap_or_default();
    (shift, step.max(1))
}
