//! All trees of a few boxes: for every choice of so many of each kind, the sizes of the parts they can be cut
//! from, as far as none is larger than another both ways (a front).
//!
//! The front of a choice comes from the fronts of two choices that make it up, set side by side or one behind
//! the other; for tearing, columns come from single pieces, strips from columns, and the least length from
//! strips. A part that wastes more than the whole cloth may is dropped. So when all is gone through, nothing
//! shorter can be cut, and the shortest is known. To keep fronts of undominated sizes, and to go through two of them at once
//! as they lie sorted: Stockmeyer 1983 (from memory).

use std::ops::ControlFlow;

use pieces::Cutting;

use super::boxes::{Boxes, Size};
use super::tree::Tree;
use crate::problem::CutDirection;

/// Choices of so many of each kind, beyond which nothing is begun.
const MOST_CHOICES: usize = 20_000;

/// What may be spent, and what is asked for.
pub struct Limits<'l> {
    /// Parts to look at, at most.
    pub work: u64,
    /// No more than this length is asked for, the spacing added.
    pub along: i64,
    /// Asked now and then; true gives up.
    pub stop: &'l dyn Fn() -> bool,
}

/// What became of it.
pub struct Fronts {
    /// A tree of the least length, if there is one within the limit; meaningless where not all was tried.
    pub tree: Option<Tree>,
    /// Whether all was gone through: then there is none shorter.
    pub is_whole: bool,
    /// Parts looked at.
    pub work: u64,
}

impl Fronts {
    /// Of so many boxes of each kind.
    #[must_use]
    pub fn of(boxes: &Boxes<'_>, counts: &[u32], limits: &Limits<'_>) -> Fronts {
        let (kinds, counts): (Vec<usize>, Vec<u32>) = counts
            .iter()
            .enumerate()
            .filter(|(_, count)| **count > 0)
            .map(|(kind, &count)| (kind, count))
            .unzip();
        let choices = counts
            .iter()
            .try_fold(1_usize, |all, &count| all.checked_mul(count as usize + 1));
        let Some(choices) = choices.filter(|&choices| choices <= MOST_CHOICES) else {
            return Fronts {
                tree: None,
                is_whole: false,
                work: 0,
            };
        };
        let mut search = Search {
            boxes,
            kinds,
            counts,
            limits,
            wasted: 0,
            work: 0,
            all: vec![Choice::default(); choices],
        };
        search.begin();
        let whole = i128::from(boxes.across) * i128::from(limits.along);
        search.wasted = whole - search.area(choices - 1);
        let flow = match boxes.cutting {
            Cutting::Tear => search.tear(),
            Cutting::Free | Cutting::Straight => search.straight(),
        };
        let tree = search.tree(choices - 1);
        Fronts {
            tree,
            is_whole: flow.is_continue(),
            work: search.work,
        }
    }
}

/// A part: its size and how it is made.
#[derive(Clone, Copy)]
struct Part {
    size: Size,
    made: Made,
}

/// A list of parts of a choice.
#[derive(Clone, Copy)]
enum List {
    Parts,
    Columns,
    /// Of one part.
    Shortest,
}

/// A part by its choice, the list, and its place there.
#[derive(Clone, Copy)]
struct Source {
    choice: u32,
    list: List,
    at: u32,
}

impl Source {
    fn new(choice: usize, list: List, at: usize) -> Self {
        Source {
            choice: choice as u32,
            list,
            at: at as u32,
        }
    }
}

#[derive(Clone, Copy)]
enum Made {
    Piece {
        kind: u32,
    },
    Of(CutDirection, Source, Source),
    /// The same part in another list: a column as a strip, a strip as all of them.
    Same(Source),
}

/// So many of each kind: their fronts.
#[derive(Clone, Default)]
struct Choice {
    counts: Vec<u32>,
    /// Any tree; for tearing, strips.
    parts: Vec<Part>,
    /// Pieces one behind the other.
    columns: Vec<Part>,
    /// For tearing: the strips one behind the other of the least length.
    shortest: Option<Part>,
}

struct Search<'s> {
    boxes: &'s Boxes<'s>,
    /// Those of which there is one, and of which so many.
    kinds: Vec<usize>,
    counts: Vec<u32>,
    limits: &'s Limits<'s>,
    /// A part may waste no more.
    wasted: i128,
    work: u64,
    all: Vec<Choice>,
}

impl Search<'_> {
    /// The counts of a choice, by its number.
    fn counts_of(&self, mut number: usize) -> Vec<u32> {
        let digit = |&count: &u32| {
            let base = count as usize + 1;
            let digit = number % base;
            number /= base;
            digit as u32
        };
        self.counts.iter().map(digit).collect()
    }

    /// By how much the number grows with one more of a kind.
    fn strides(&self) -> Vec<usize> {
        let next = |stride: &mut usize, &count: &u32| {
            let here = *stride;
            *stride *= count as usize + 1;
            Some(here)
        };
        self.counts.iter().scan(1, next).collect()
    }

    /// Every way to split a choice in two, by the number of the one, neither of them empty.
    fn splits(&self, number: usize) -> Vec<usize> {
        let counts = &self.all[number].counts;
        let mut splits = vec![0];
        for (&count, stride) in counts.iter().zip(self.strides()) {
            let before = splits.clone();
            for taken in 1..=count as usize {
                splits.extend(before.iter().map(|split| split + taken * stride));
            }
        }
        splits.retain(|&split| split != 0 && split != number);
        splits
    }

    /// Of all boxes of a choice.
    fn area(&self, number: usize) -> i128 {
        let of = |(&kind, &count): (&usize, &u32)| self.boxes.area(kind) * i128::from(count);
        self.kinds
            .iter()
            .zip(&self.all[number].counts)
            .map(of)
            .sum()
    }

    fn begin(&mut self) {
        for number in 0..self.all.len() {
            self.all[number].counts = self.counts_of(number);
        }
    }

    /// The pieces themselves.
    fn single(&self, number: usize) -> Vec<Part> {
        let counts = &self.all[number].counts;
        if counts.iter().sum::<u32>() != 1 {
            return Vec::new();
        }
        let kind = counts.iter().position(|&count| count == 1).unwrap_or(0);
        let kind = self.kinds[kind];
        let sizes = &self.boxes.kinds[kind].sizes;
        let room = [self.boxes.across, self.limits.along];
        let fitting = sizes
            .iter()
            .filter(|size| size[0] <= room[0] && size[1] <= room[1]);
        let piece = |&size: &Size| Part {
            size,
            made: Made::Piece { kind: kind as u32 },
        };
        fitting.map(piece).collect()
    }

    /// Counts parts that are looked at; breaks once they are too many.
    fn spend(&mut self, parts: usize) -> ControlFlow<()> {
        let before = self.work;
        self.work += parts as u64 + 1;
        let is_over = self.work > self.limits.work
            || (before >> 16 != self.work >> 16 && (self.limits.stop)());
        if is_over {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }

    /// Adds to some parts what comes of two fronts, set side by side or one behind the other; returns how many were
    /// looked at.
    ///
    /// What lies one behind the other is as wide as one of the two, and of the other front the shortest that is no wider
    /// comes with it; side by side it is the same with lengths.
    fn combine(
        &self,
        made: &mut Vec<Part>,
        (one, list): (usize, List),
        (other, other_list): (usize, List),
        cuts: CutDirection,
        area: i128,
    ) -> usize {
        let ones = self.all[one].list(list);
        let others = self.all[other].list(other_list);
        let room = [self.boxes.across, self.limits.along];
        let mut add = |k: usize, l: usize| {
            let (a, b) = (ones[k].size, others[l].size);
            let size = match cuts {
                CutDirection::Along => [a[0] + b[0], a[1].max(b[1])],
                CutDirection::Across => [a[0].max(b[0]), a[1] + b[1]],
            };
            let whole = i128::from(size[0]) * i128::from(size[1]);
            if size[0] <= room[0] && size[1] <= room[1] && whole - area <= self.wasted {
                let source = [(one, list, k), (other, other_list, l)];
                let [one, other] = source.map(|(choice, list, at)| Source::new(choice, list, at));
                made.push(Part {
                    size,
                    made: Made::Of(cuts, one, other),
                });
            }
        };
        match cuts {
            // Ever wider, and ever shorter.
            CutDirection::Across => {
                let (mut k, mut l) = (0, 0);
                while k < ones.len() && l < others.len() {
                    let next = |parts: &[Part], at: usize| {
                        parts.get(at + 1).map_or(i64::MAX, |part| part.size[0])
                    };
                    add(k, l);
                    let (one, other) = (next(ones, k), next(others, l));
                    k += usize::from(one <= other);
                    l += usize::from(other <= one);
                }
            }
            // Ever longer, and ever narrower.
            CutDirection::Along => {
                let (mut k, mut l) = (ones.len(), others.len());
                while k > 0 && l > 0 {
                    let next = |parts: &[Part], at: usize| match at {
                        0 | 1 => i64::MAX,
                        at => parts[at - 2].size[1],
                    };
                    add(k - 1, l - 1);
                    let (one, other) = (next(ones, k), next(others, l));
                    k -= usize::from(one <= other);
                    l -= usize::from(other <= one);
                }
            }
        }
        ones.len() + others.len()
    }

    /// Cuts both ways as often as one likes.
    fn straight(&mut self) -> ControlFlow<()> {
        for number in 1..self.all.len() {
            let mut made = self.single(number);
            let area = self.area(number);
            for one in self.splits(number) {
                let other = number - one;
                if one > other {
                    continue;
                }
                let (a, b) = ((one, List::Parts), (other, List::Parts));
                for cuts in [CutDirection::Across, CutDirection::Along] {
                    let looked_at = self.combine(&mut made, a, b, cuts, area);
                    self.spend(looked_at)?;
                }
            }
            self.all[number].parts = front(made);
        }
        ControlFlow::Continue(())
    }

    /// Pieces in columns, columns in strips, strips one behind the other.
    fn tear(&mut self) -> ControlFlow<()> {
        let strides = self.strides();
        let kind_of: Vec<Option<usize>> = (0..self.all.len())
            .map(|number| strides.iter().position(|&stride| stride == number))
            .collect();
        for number in 1..self.all.len() {
            let area = self.area(number);
            let splits = self.splits(number);
            let mut columns = self.single(number);
            for &one in splits.iter().filter(|&&one| kind_of[one].is_some()) {
                let (a, b) = ((one, List::Columns), (number - one, List::Columns));
                let looked_at = self.combine(&mut columns, a, b, CutDirection::Across, area);
                self.spend(looked_at)?;
            }
            let columns = front(columns);
            let same = |list: List, at: usize, size: Size| Part {
                size,
                made: Made::Same(Source::new(number, list, at)),
            };
            let as_strip = |(k, part): (usize, &Part)| same(List::Columns, k, part.size);
            let mut strips: Vec<Part> = columns.iter().enumerate().map(as_strip).collect();
            self.all[number].columns = columns;
            // The first column, or strip, holds one of the first kind there is.
            let first = self.all[number].counts.iter().position(|&count| count > 0);
            let holds_first = |&&one: &&usize| first.is_some_and(|k| self.all[one].counts[k] > 0);
            let splits: Vec<usize> = splits.iter().filter(holds_first).copied().collect();
            for &one in &splits {
                let (a, b) = ((one, List::Columns), (number - one, List::Parts));
                let looked_at = self.combine(&mut strips, a, b, CutDirection::Along, area);
                self.spend(looked_at)?;
            }
            self.all[number].parts = front(strips);
            let strip = self.all[number].lowest();
            let mut shortest = strip.map(|(k, strip)| same(List::Parts, k, strip.size));
            for &one in &splits {
                let strip = self.all[one].lowest();
                let rest = self.all[number - one].shortest;
                if let Some(((k, strip), rest)) = strip.zip(rest) {
                    let along = strip.size[1] + rest.size[1];
                    let is_shorter = shortest.is_none_or(|part| along < part.size[1]);
                    if is_shorter && along <= self.limits.along {
                        let size = [strip.size[0].max(rest.size[0]), along];
                        let made = Made::Of(
                            CutDirection::Across,
                            Source::new(one, List::Parts, k),
                            Source::new(number - one, List::Shortest, 0),
                        );
                        shortest = Some(Part { size, made });
                    }
                }
                self.spend(1)?;
            }
            self.all[number].shortest = shortest;
        }
        ControlFlow::Continue(())
    }

    /// The tree of the least length of a choice.
    fn tree(&self, number: usize) -> Option<Tree> {
        let choice = &self.all[number];
        let part = match self.boxes.cutting {
            Cutting::Tear => choice.shortest,
            Cutting::Free | Cutting::Straight => choice.lowest().map(|(_, part)| part),
        };
        part.map(|part| self.tree_of(part))
    }

    fn tree_of(&self, part: Part) -> Tree {
        let of = |source: Source| {
            let list = self.all[source.choice as usize].list(source.list);
            self.tree_of(list[source.at as usize])
        };
        match part.made {
            Made::Piece { kind } => Tree::Piece {
                kind: kind as usize,
                size: part.size,
            },
            Made::Of(cuts, one, other) => Tree::of(cuts, vec![of(one), of(other)]),
            Made::Same(source) => of(source),
        }
    }
}

impl Choice {
    fn list(&self, list: List) -> &[Part] {
        match list {
            List::Parts => &self.parts,
            List::Columns => &self.columns,
            List::Shortest => self.shortest.as_slice(),
        }
    }

    /// The part of the least length, and its place in the list: the widest.
    fn lowest(&self) -> Option<(usize, Part)> {
        self.parts.iter().copied().enumerate().next_back()
    }
}

/// Those than which none is smaller both ways, the narrowest first.
fn front(mut parts: Vec<Part>) -> Vec<Part> {
    parts.sort_by_key(|part| part.size);
    let mut shortest = i64::MAX;
    parts.retain(|part| {
        let is_shorter = part.size[1] < shortest;
        shortest = shortest.min(part.size[1]);
        is_shorter
    });
    parts
}
