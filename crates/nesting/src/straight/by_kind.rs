//! Many boxes of few kinds: strips of columns, each column of one kind alone.
//!
//! What lies side by side in a strip is a [`Row`]: so many columns of each kind, as many as fit. Its strip may be of any
//! length, but for whole boxes. Without that, a linear program says how long each row is best laid, and by its dual values
//! what length of cloth a box is worth; so a strip wastes its length less what its boxes are worth. Strips
//! are put one after another by a beam search, which keeps those that have wasted least. Deterministic.
//!
//! Sources: worth by a linear program over patterns, Gilmore and Gomory 1961 and 1965; beam search, Ow and Morton 1988
//! (all from memory). That columns hold one kind, and lengths are chosen after rows, is our own.

use std::collections::HashSet;

use good_lp::{Expression, ProblemVariables, Solution, SolverModel, microlp, variable};

use super::boxes::{Boxes, Size};
use super::tree::Tree;
use crate::problem::CutDirection;

/// Rows at most: more come of many kinds, whose boxes are better laid otherwise.
const MOST_ROWS: usize = 3_000;
const MOST_LOOKS: usize = 100_000;

/// Rows looked at for a strip, those that are worth most.
const ROWS_TRIED: usize = 60;

/// Lengths looked at for a strip, for each kind in it.
const LENGTHS_TRIED: u32 = 256;

/// Strips at most that are all different.
const MOST_STRIPS: usize = 40;

/// Beginnings kept, by what there is to look at for each: so many at most, and lengths looked at for all of them.
const KEPT: usize = 40;
const LOOKS: usize = 400_000;

/// Micrometres in a metre, for the linear program.
const METRE: f64 = 1e6;

/// Less worth than this, in metres, is that of nothing; rows are added to the program as long as one is worth more than
/// its length by such a share.
const NOTHING: f64 = 1e-9;
const NEAR: f64 = 1e-7;

/// A layout of them; `None` if there are too many kinds for it, or a box fits in no way.
#[must_use]
pub fn by_kind(boxes: &Boxes<'_>) -> Option<Tree> {
    strips(boxes).map(|strips| Tree::of(CutDirection::Across, strips))
}

/// Strips of all boxes; `None` if there are too many kinds for it, or a box fits in no way.
pub(super) fn strips(boxes: &Boxes<'_>) -> Option<Vec<Tree>> {
    let columns = columns(boxes);
    let rows = rows(boxes, &columns)?;
    let worth = worth(boxes, &columns, &rows)?;
    let mut search = Search {
        columns,
        rows,
        worth,
        all: Vec::new(),
        best: None,
    };
    search.run(boxes.counts());
    let mut last = search.best;
    let mut strips = Vec::new();
    let mut left = boxes.counts();
    let mut chosen = Vec::new();
    while let Some(strip) = last {
        let Put { row, along, before } = search.all[strip];
        chosen.push((row, along));
        last = before;
    }
    for (row, along) in chosen.into_iter().rev() {
        strips.push(search.tree(row, along, &mut left));
    }
    (!strips.is_empty() && left.iter().all(|&count| count == 0)).then_some(strips)
}

/// A way to lay the boxes of a kind.
#[derive(Clone, Copy)]
struct Column {
    kind: usize,
    size: Size,
}

/// By column: how often it stands in the row.
type Row = Vec<u32>;

/// A strip: which row, how long, and the strip before it.
#[derive(Clone, Copy)]
struct Put {
    row: usize,
    along: i64,
    before: Option<usize>,
}

/// Strips so far.
struct Begun {
    left: Vec<u32>,
    length: i64,
    last: Option<usize>,
}

/// One strip more.
struct More {
    /// Length with the worth of what is left then, in metres.
    total: f64,
    length: i64,
    /// Number of the beginning.
    begun: usize,
    row: usize,
    along: i64,
    /// Whether nothing is left then.
    is_all: bool,
}

/// The widest first.
fn columns(boxes: &Boxes<'_>) -> Vec<Column> {
    let kinds = boxes.kinds.iter().enumerate();
    let mut columns: Vec<Column> = kinds
        .flat_map(|(kind, of)| of.sizes.iter().map(move |&size| Column { kind, size }))
        .filter(|column| column.size[0] <= boxes.across)
        .collect();
    columns.sort_by_key(|column| (-column.size[0], column.size[1], column.kind));
    columns
}

/// All rows to which no column can be added; `None` if they are too many, or too much is tried for them.
fn rows(boxes: &Boxes<'_>, columns: &[Column]) -> Option<Vec<Row>> {
    let mut filling = Filling {
        columns,
        counts: boxes.counts(),
        row: vec![0; columns.len()],
        rows: Vec::new(),
        looks: 0,
    };
    filling.add(0, boxes.across).then_some(filling.rows)
}

struct Filling<'c> {
    columns: &'c [Column],
    /// Boxes of each kind.
    counts: Vec<u32>,
    row: Row,
    rows: Vec<Row>,
    looks: usize,
}

impl Filling<'_> {
    /// Tries every number of the columns from `at` on in the rest of the width; false once there is too much of it.
    fn add(&mut self, at: usize, rest: i64) -> bool {
        self.looks += 1;
        let Some(column) = self.columns.get(at) else {
            if !(0..self.columns.len()).any(|at| self.most(at, rest) > self.row[at]) {
                self.rows.push(self.row.clone());
            }
            return self.rows.len() <= MOST_ROWS && self.looks <= MOST_LOOKS;
        };
        let across = column.size[0];
        let most = self.most(at, rest);
        let least = if at + 1 == self.columns.len() {
            most
        } else {
            0
        };
        for count in (least..=most).rev() {
            self.row[at] = count;
            if !self.add(at + 1, rest - i64::from(count) * across) {
                return false;
            }
        }
        self.row[at] = 0;
        true
    }

    /// How many of a column there may be in all, if it has the rest of the width.
    fn most(&self, at: usize, rest: i64) -> u32 {
        let column = self.columns[at];
        let more = u32::try_from(rest / column.size[0]).unwrap_or(u32::MAX);
        let most = self.row[at].saturating_add(more);
        most.min(self.counts[column.kind])
    }
}

/// What length of cloth a box of each kind is worth, in metres, so that no row is worth more than its length: as much as
/// possible for all together.
fn worth(boxes: &Boxes<'_>, columns: &[Column], rows: &[Row]) -> Option<Vec<f64>> {
    let mut asked: Vec<usize> = Vec::new();
    let mut most = Vec::new();
    for kind in 0..boxes.kinds.len() {
        // Alone in its best row, so that the program is bounded from the beginning.
        let alone = |row: &Row| rate(columns, row, |of| f64::from(u8::from(of == kind)));
        let best = (0..rows.len()).max_by(|&a, &b| alone(&rows[a]).total_cmp(&alone(&rows[b])))?;
        let each = alone(&rows[best]);
        if each <= 0.0 {
            return None;
        }
        most.push(1.0 / each);
        asked.push(best);
    }
    loop {
        let mut variables = ProblemVariables::new();
        let values: Vec<_> = most
            .iter()
            .map(|&most| variables.add(variable().min(0.0).max(most)))
            .collect();
        let of_all = values.iter().zip(boxes.counts());
        let all: Expression = of_all.map(|(&value, count)| value * f64::from(count)).sum();
        let mut model = variables.maximise(all).using(microlp);
        for &row in &asked {
            let of_row = columns.iter().zip(&rows[row]).filter(|(_, n)| **n > 0);
            let sum: Expression = of_row
                .map(|(column, &count)| {
                    values[column.kind] * (f64::from(count) / metres(column.size[1]))
                })
                .sum();
            model.add_constraint(sum.leq(1.0));
        }
        let solution = model.solve().ok()?;
        let worth: Vec<f64> = values.iter().map(|&value| solution.value(value)).collect();
        let of = |row: &Row| rate(columns, row, |kind| worth[kind]);
        let worst = (0..rows.len()).max_by(|&a, &b| of(&rows[a]).total_cmp(&of(&rows[b])))?;
        if of(&rows[worst]) <= 1.0 + NEAR || asked.contains(&worst) {
            return Some(worth);
        }
        asked.push(worst);
    }
}

/// What a row is worth, for one of its length.
fn rate(columns: &[Column], row: &Row, worth: impl Fn(usize) -> f64) -> f64 {
    let of_row = columns.iter().zip(row).filter(|(_, n)| **n > 0);
    of_row
        .map(|(column, &count)| f64::from(count) * worth(column.kind) / metres(column.size[1]))
        .sum()
}

fn metres(um: i64) -> f64 {
    um as f64 / METRE
}

struct Search {
    columns: Vec<Column>,
    rows: Vec<Row>,
    worth: Vec<f64>,
    /// Strips of all beginnings.
    all: Vec<Put>,
    /// The last strip of the shortest layout.
    best: Option<usize>,
}

impl Search {
    fn run(&mut self, counts: Vec<u32>) {
        let mut shortest = i64::MAX;
        let mut begun = vec![Begun {
            left: counts,
            length: 0,
            last: None,
        }];
        for _ in 0..MOST_STRIPS {
            let mut more = Vec::new();
            for (number, one) in begun.iter().enumerate() {
                self.add(number, one, &mut more);
            }
            let all = more
                .iter()
                .filter(|one| one.is_all && one.length < shortest);
            if let Some(one) = all.min_by_key(|one| one.length) {
                shortest = one.length;
                self.best = Some(self.put(one, &begun));
            }
            let kept = (LOOKS * begun.len() / more.len().max(1)).clamp(1, KEPT);
            more.retain(|one| !one.is_all && one.total < metres(shortest));
            // Of those that waste the same, what is nearer to the end.
            more.sort_by(|a, b| {
                let by_total = a.total.total_cmp(&b.total);
                by_total.then(b.length.cmp(&a.length))
            });
            let mut seen = HashSet::new();
            let mut next = Vec::new();
            for one in more {
                if next.len() == kept {
                    break;
                }
                let mut left = begun[one.begun].left.clone();
                self.take(one.row, one.along, &mut left, &mut |_, _| {});
                if seen.insert(left.clone()) {
                    next.push(Begun {
                        left,
                        length: one.length,
                        last: Some(self.put(&one, &begun)),
                    });
                }
            }
            if next.is_empty() {
                return;
            }
            begun = next;
        }
    }

    /// Notes a strip; its number.
    fn put(&mut self, one: &More, begun: &[Begun]) -> usize {
        self.all.push(Put {
            row: one.row,
            along: one.along,
            before: begun[one.begun].last,
        });
        self.all.len() - 1
    }

    /// Every strip that may come next: of another row than the last, with which it would be one.
    fn add(&self, number: usize, begun: &Begun, more: &mut Vec<More>) {
        // What is worth nothing has to go somewhere too.
        let worth = |kind: usize| match begun.left[kind] {
            0 => 0.0,
            _ => self.worth[kind].max(NOTHING),
        };
        let mut rows: Vec<(f64, usize)> = (0..self.rows.len())
            .map(|row| (rate(&self.columns, &self.rows[row], worth), row))
            .filter(|(rate, _)| *rate > 0.0)
            .collect();
        rows.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        rows.truncate(ROWS_TRIED);
        let last = begun.last.map(|last| self.all[last].row);
        for (_, row) in rows.into_iter().filter(|(_, row)| Some(*row) != last) {
            for along in self.lengths(row, &begun.left) {
                let mut left = begun.left.clone();
                let taken = self.take(row, along, &mut left, &mut |_, _| {});
                // A shorter one takes as much.
                if taken < along {
                    continue;
                }
                let worth: f64 = left
                    .iter()
                    .zip(&self.worth)
                    .map(|(&left, worth)| f64::from(left) * worth)
                    .sum();
                let length = begun.length + along;
                more.push(More {
                    total: metres(length) + worth,
                    length,
                    begun: number,
                    row,
                    along,
                    is_all: left.iter().all(|&count| count == 0),
                });
            }
        }
    }

    /// How long a strip may be, so that a column in it is full.
    fn lengths(&self, row: usize, left: &[u32]) -> Vec<i64> {
        let of_row = self.columns.iter().zip(&self.rows[row]);
        let mut lengths: Vec<i64> = of_row
            .filter(|(_, count)| **count > 0)
            .flat_map(|(column, count)| {
                let most = left[column.kind].div_ceil(*count);
                let each = most.div_ceil(LENGTHS_TRIED).max(1) as usize;
                let along = column.size[1];
                let numbers = (1..=most).rev().step_by(each);
                numbers.map(move |number| i64::from(number) * along)
            })
            .collect();
        lengths.sort_unstable();
        lengths.dedup();
        lengths
    }

    /// Takes what a strip holds from what is left, and tells of each column how many boxes it has; the length
    /// that the longest of them needs.
    fn take(
        &self,
        row: usize,
        along: i64,
        left: &mut [u32],
        tell: &mut dyn FnMut(Column, u32),
    ) -> i64 {
        let mut longest = 0;
        for (column, &count) in self.columns.iter().zip(&self.rows[row]) {
            if count == 0 {
                continue;
            }
            let fitting = u32::try_from(along / column.size[1]).unwrap_or(u32::MAX);
            let taken = fitting.saturating_mul(count).min(left[column.kind]);
            left[column.kind] -= taken;
            longest = longest.max(i64::from(taken.div_ceil(count)) * column.size[1]);
            // As even as it goes: the first columns are full.
            let [each, over] = [taken / count, taken % count];
            for number in 0..count {
                tell(*column, each + u32::from(number < over));
            }
        }
        longest
    }

    /// The strip itself.
    fn tree(&self, row: usize, along: i64, left: &mut [u32]) -> Tree {
        let mut columns = Vec::new();
        self.take(row, along, left, &mut |Column { kind, size }, count| {
            let pieces = (0..count).map(|_| Tree::Piece { kind, size }).collect();
            if count > 0 {
                columns.push(Tree::of(CutDirection::Across, pieces));
            }
        });
        Tree::of(CutDirection::Along, columns)
    }
}
