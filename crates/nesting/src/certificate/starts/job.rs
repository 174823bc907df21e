//! What starts: kinds of rectangles and their ways, in whole units of what measures them.

use super::fill::{Alike, most};
use super::{FAR, Kind};
use crate::problem::{Item, Problem};

/// Pieces, ways, units across and along at most.
const MOST_PIECES: u32 = 64;
const MOST_WAYS: usize = 128;
const MOST_ACROSS: i64 = 1 << 14;
const MOST_ALONG: i64 = 1 << 30;

/// Sums for the check of widths.
const MOST_SUMS: u64 = 1 << 26;

/// One way to lay a rectangle, in units; the width is what it is taken for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    pub kind: usize,
    pub across: i64,
    pub along: i64,
}

/// All that is looked at.
pub(super) struct Job {
    /// Of the cloth.
    pub across: i64,
    pub length: i64,
    /// Kind by kind.
    pub ways: Vec<Way>,
    /// By kind.
    pub copies: Vec<u32>,
    /// By kind: the least over its ways, across and along.
    pub least: Vec<[i64; 2]>,
    /// Kinds, the longest first.
    pub longest: Vec<usize>,
}

impl Job {
    /// `None` if kinds and problem do not go together, or there is too much to look at.
    pub fn of(problem: &Problem, kinds: &[Kind], length: i64) -> Option<Job> {
        let usable = problem.cloth.usable_width().um();
        if !(1..=FAR).contains(&usable) || problem.spacing.um() != 0 {
            return None;
        }
        let copies = copies(problem, kinds, usable)?;
        let all = || kinds.iter().flat_map(|kind| &kind.ways);
        let is_sound = |way: &super::Way| {
            let sizes = [way.across, way.along, way.taken].map(|size| size.um());
            sizes.iter().all(|size| (1..=FAR).contains(size))
        };
        if all().count() > MOST_WAYS || !all().all(is_sound) {
            return None;
        }
        let widths = all().flat_map(|way| [way.across.um(), way.taken.um()]);
        let (across, along) = (measure(widths), measure(all().map(|way| way.along.um())));
        let units = usable / across;
        if units > MOST_ACROSS || length / along > MOST_ALONG {
            return None;
        }
        if !may_be_taken(kinds, &copies, across, units) {
            return None;
        }
        let numbered = kinds.iter().enumerate();
        let in_units = |(kind, of): (usize, &Kind)| -> Vec<Way> {
            let way = |way: &super::Way| Way {
                kind,
                across: way.taken.um() / across,
                along: way.along.um() / along,
            };
            of.ways.iter().map(way).collect()
        };
        let ways: Vec<Way> = numbered.flat_map(in_units).collect();
        let least = |kind: usize| {
            let of_kind = || ways.iter().filter(|way| way.kind == kind);
            let across = of_kind().map(|way| way.across).min()?;
            Some([across, of_kind().map(|way| way.along).min()?])
        };
        let least = (0..kinds.len())
            .map(least)
            .collect::<Option<Vec<[i64; 2]>>>()?;
        let mut longest: Vec<usize> = (0..kinds.len()).collect();
        longest.sort_by_key(|&kind| std::cmp::Reverse(least[kind][1]));
        Some(Job {
            across: units,
            length: length / along,
            ways,
            copies,
            least,
            longest,
        })
    }
}

/// How many of each kind; `None` unless every item is of one kind at most, which has all its ways.
fn copies(problem: &Problem, kinds: &[Kind], usable: i64) -> Option<Vec<u32>> {
    let mut is_named = vec![false; problem.items.len()];
    let mut copies = Vec::new();
    let mut all = 0_u32;
    for kind in kinds {
        let mut count = 0_u32;
        for &number in &kind.items {
            let item = problem.items.get(number)?;
            if std::mem::replace(&mut is_named[number], true) || !has_all_ways(item, kind, usable) {
                return None;
            }
            count = count.checked_add(item.copies)?;
        }
        all = all.checked_add(count).filter(|&all| all <= MOST_PIECES)?;
        copies.push(count);
    }
    Some(copies)
}

/// Whether an item is a rectangle, and the kind has each way in which it fits the width.
fn has_all_ways(item: &Item, kind: &Kind, usable: i64) -> bool {
    let mut points = item.outline.points().iter();
    if !points.all(|p| p.x.abs() <= FAR && p.y.abs() <= FAR) || !item.outline.fills_box() {
        return false;
    }
    let bounds = item.outline.bounds();
    let size = [bounds.across(), bounds.along()];
    item.turns.iter().all(|turn| {
        let [across, along] = if turn.quarters().is_multiple_of(2) {
            size
        } else {
            [size[1], size[0]]
        };
        let mut ways = kind.ways.iter();
        across.um() > usable || ways.any(|way| way.across == across && way.along == along)
    })
}

/// Whether no set that fits is too wide for the cloth as its ways are taken.
fn may_be_taken(kinds: &[Kind], copies: &[u32], unit: i64, units: i64) -> bool {
    let alike = |(kind, &count): (&Kind, &u32)| {
        let choice = |way: &super::Way| (way.across.um() / unit, way.taken.um() / unit);
        Alike {
            count,
            choices: kind.ways.iter().map(choice).collect(),
        }
    };
    let all: Vec<Alike> = kinds.iter().zip(copies).map(alike).collect();
    most(&all, units, &mut MOST_SUMS.clone()).is_some_and(|most| most <= units)
}

/// The greatest number that measures all of these, which are more than nothing; 1 if there are none.
fn measure(all: impl Iterator<Item = i64>) -> i64 {
    let measure = all.fold(0, |mut a, mut b| {
        while b != 0 {
            (a, b) = (b, a % b);
        }
        a
    });
    measure.max(1)
}
