//! Items that are taken for one another: fewer kinds, so that more of their companies are seen.
//!
//! Panels of six sizes are nearly the same, and what has no room beside the least of them has none beside the others. Those
//! that lose least when each is taken for what all of them have in common are put together, pair by pair, until
//! few groups are left. What is then proved is less than all of them together bring; who looks for it tries several numbers of
//! groups.

use geo::{Area, BooleanOps, Polygon};
use pieces::{Outline, Point};

use crate::geometry::FEW_CORNERS;
use crate::problem::{Item, Problem};

/// Widths are compared at so many heights of the longest item.
const HEIGHTS: i64 = 64;

/// Items taken for one another, in order.
pub(super) type Group = Vec<usize>;

/// A group, and the widths that all of its items have at least.
struct Alike {
    items: Group,
    widths: Vec<i64>,
    /// How many copies, and the sum of all their widths.
    copies: i64,
    sum: i64,
}

impl Alike {
    fn lost(&self) -> i64 {
        self.sum - self.copies * self.widths.iter().sum::<i64>()
    }

    fn with(&self, other: &Alike) -> Alike {
        let mut items = [&self.items[..], &other.items].concat();
        items.sort_unstable();
        let both = self.widths.iter().zip(&other.widths);
        Alike {
            items,
            widths: both.map(|(a, b)| *a.min(b)).collect(),
            copies: self.copies + other.copies,
            sum: self.sum + other.sum,
        }
    }
}

/// All items in at most so many groups, if that goes: only those that may lie in the same ways are put together, and no
/// curved ones, as what they have in common takes long to look at.
pub(super) fn groups(problem: &Problem, most: usize) -> Vec<Group> {
    let items = problem.items.iter().enumerate();
    let laid: Vec<(usize, &Item)> = items.filter(|(_, item)| item.copies > 0).collect();
    let longest = laid
        .iter()
        .map(|(_, item)| item.outline.bounds().along().um());
    let step = (longest.max().unwrap_or(0) / HEIGHTS).max(1);
    let alone = |&(number, item): &(usize, &Item)| {
        let widths: Vec<i64> = (0..HEIGHTS)
            .map(|height| width(&item.outline, step * height + step / 2))
            .collect();
        let copies = i64::from(item.copies);
        Alike {
            items: vec![number],
            sum: copies * widths.iter().sum::<i64>(),
            widths,
            copies,
        }
    };
    let mut all: Vec<Alike> = laid.iter().map(alone).collect();
    while all.len() > most {
        let pairs = (0..all.len()).flat_map(|one| (0..one).map(move |other| (other, one)));
        let lie_alike = |&(one, other): &(usize, usize)| {
            let [a, b] = [one, other].map(|n| &problem.items[all[n].items[0]]);
            let are_simple = [a, b]
                .iter()
                .all(|i| i.outline.points().len() <= FEW_CORNERS);
            are_simple && a.turns == b.turns && a.may_mirror == b.may_mirror
        };
        let lost = |&(one, other): &(usize, usize)| {
            all[one].with(&all[other]).lost() - all[one].lost() - all[other].lost()
        };
        let Some((one, other)) = pairs.filter(lie_alike).min_by_key(lost) else {
            break;
        };
        let last = all.remove(other);
        all[one] = all[one].with(&last);
    }
    all.into_iter().map(|alike| alike.items).collect()
}

/// How wide it is at a height above its lower end, about.
fn width(outline: &Outline, height: i64) -> i64 {
    let y = outline.bounds().min.y + height;
    let crossed = outline.edges().filter(|(a, b)| (a.y <= y) != (b.y <= y));
    let signed = crossed.map(|(a, b)| {
        let x = a.x as f64 + (b.x - a.x) as f64 * (y - a.y) as f64 / (b.y - a.y) as f64;
        if b.y > a.y { x } else { -x }
    });
    signed.sum::<f64>().round() as i64
}

/// The job with one item for each group: what all of it have in common, in as many copies as all of them.
pub(super) fn represented(problem: &Problem, groups: &[Group]) -> Problem {
    let one_for = |group: &Group| {
        let items = || group.iter().map(|&item| &problem.items[item]);
        let first = items().next()?;
        let outlines: Vec<&Outline> = items().map(|item| &item.outline).collect();
        Some(Item {
            outline: common(&outlines)?,
            copies: items().map(|item| item.copies).sum(),
            garment: first
                .garment
                .filter(|_| items().all(|item| item.garment == first.garment)),
            ..first.clone()
        })
    };
    Problem {
        items: groups.iter().filter_map(one_for).collect(),
        ..problem.clone()
    }
}

/// What these have in common when they stand on one line, one in the middle of another; about.
fn common(outlines: &[&Outline]) -> Option<Outline> {
    let (first, others) = outlines.split_first()?;
    if others.iter().all(|other| other == first) {
        return Some((*first).clone());
    }
    let mut common = standing(first);
    for other in others {
        let both = common.intersection(&standing(other));
        let size = |part: &Polygon| part.unsigned_area();
        common = both
            .into_iter()
            .max_by(|a, b| size(a).total_cmp(&size(b)))?;
    }
    let corners = common.exterior().coords().skip(1);
    let corners = corners.map(|c| Point::new(c.x.round() as i64, c.y.round() as i64));
    Outline::new(corners.collect()).ok()
}

fn standing(outline: &Outline) -> Polygon {
    let bounds = outline.bounds();
    let middle = (bounds.min.x + bounds.max.x) / 2;
    let corners = outline.points().iter();
    let corners = corners.map(|p| ((p.x - middle) as f64, (p.y - bounds.min.y) as f64));
    Polygon::new(corners.collect(), Vec::new())
}
