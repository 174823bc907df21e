//! Rows: what a person does with many equal pieces, head to tail across the cloth.
//!
//! The longest piece left opens a row and sets its length; then the pieces that still fit are laid into it,
//! each at its lowest and outermost place in the turn that leaves most room, so flared panels alternate
//! head to tail and short pieces fill up the row. Where the opening piece may lie along or across, both rows
//! are made and the denser one is kept. For n equal trapezoids (edges a < b) that gives rows of
//! k with width k (a + b) / 2 + (b - a) / 2, or k b in one direction. A row for which there are the same
//! items once more is copied, so thousands of equal pieces cost no more than dozens.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use pieces::Point;

use crate::constructive::board::{Regions, Selvedge, Window};
use crate::constructive::fill::{Filler, Manner, Taste};
use crate::constructive::{Laid, Layout, PieceId, end};
use crate::places::{Every, Grid, common_period};
use crate::problem::Problem;
use crate::shapes::{ShapeId, Shapes, Variant};

/// What is tried first once a row is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filling {
    /// The longest piece along the cloth: rows of alike lengths.
    Longest,
    /// The widest piece: rows that use the width.
    Widest,
}

const MANNER: Manner = Manner {
    taste: Taste::LowEnd,
    from: Selvedge::Left,
};

/// So many steps are taken whatever `stop` says: some hundredths of a second, in which most orders by people are
/// laid whole.
const AT_LEAST: u64 = 20_000;

/// A layout in rows, and the steps it took. Once `stop` says so, the rest is laid by boxes alone.
#[must_use]
pub fn rows<'a>(
    problem: &Problem,
    shapes: &'a Shapes,
    regions: &mut Regions<'a>,
    filling: Filling,
    stop: &dyn Fn() -> bool,
) -> (Layout, u64) {
    let mut stock = Stock::of(problem, shapes, filling);
    let mut filler = Filler::new(problem, shapes, regions);
    let mut layout = Layout::default();
    let mut base = 0;
    let free_of_flaws = problem.cloth.flaws.is_empty();
    loop {
        if filler.steps() > AT_LEAST && stop() {
            boxes(&mut filler, problem, shapes, &stock, base, &mut layout);
            break;
        }
        let Some(row) = densest_row(&mut filler, problem, shapes, &mut stock, base) else {
            break;
        };
        let end = end(shapes, &row);
        let advance = end - base + problem.spacing.um();
        layout.laid.extend_from_slice(&row);
        layout.length = layout.length.max(end);
        base += advance;
        // Where the print is the same again the row may be copied.
        let period = row.iter().try_fold(1, |period, laid| {
            common_period(period, laid.variant.grid.period())
        });
        let again = period.map(|period| Every::multiple_of(period).at_least(advance));
        let Some(again) = again.filter(|_| free_of_flaws) else {
            filler.forget_below(i64::MAX);
            continue;
        };
        let mut shift = again;
        while stock.holds(&row) {
            for laid in &row {
                if let Some(piece) = stock.take(laid.piece.item) {
                    let at = Point::new(laid.at.x, laid.at.y + shift);
                    layout.laid.push(Laid { piece, at, ..*laid });
                }
            }
            layout.length += again;
            base += again;
            shift += again;
        }
        filler.forget_below(i64::MAX);
    }
    (layout, filler.steps())
}

/// Different items that may find no place in a row before it is closed: enough for any order by people, and
/// keeps thousands of different pieces from being tried in every row.
const MOST_REFUSALS: usize = 24;

/// Lays what is left in rows of boxes, beyond `base` and all flaws: a few operations a piece, however many
/// there are.
fn boxes(
    filler: &mut Filler<'_, '_>,
    problem: &Problem,
    shapes: &Shapes,
    stock: &Stock,
    base: i64,
    layout: &mut Layout,
) {
    let gap = problem.spacing.um();
    let (left, right) = (problem.cloth.left.um(), problem.cloth.right.um());
    let flaws = problem.cloth.flaws.iter().map(|f| f.bounds().max.y);
    let mut at = Point::new(left, flaws.max().unwrap_or(base).max(base));
    let mut end = at.y;
    for &item in &stock.openers {
        for &piece in stock.left.get(&item).into_iter().flatten() {
            let along = |v: &Variant| shapes.shape(v.shape).along;
            let Some(variant) = filler.variants(item).into_iter().min_by_key(along) else {
                continue;
            };
            let shape = shapes.shape(variant.shape);
            let grid = filler.grid(&variant);
            let most = right - shape.across;
            let beside = grid.lowest(at.y, [at.x, most]);
            let place = beside.filter(|_| at.x <= most).unwrap_or_else(|| {
                at = Point::new(left, end + gap);
                grid.lowest(at.y, [left, most]).unwrap_or(at)
            });
            filler.lay(
                Laid {
                    piece,
                    variant,
                    at: place,
                },
                layout,
            );
            end = end.max(place.y + shape.along);
            at.x = place.x + shape.across + gap;
        }
    }
}

/// The pieces not laid yet.
struct Stock {
    left: BTreeMap<usize, Vec<PieceId>>,
    /// Items by length along, longest first.
    openers: Vec<usize>,
    /// Items in the order in which an open row is filled.
    fillers: Vec<usize>,
}

impl Stock {
    fn of(problem: &Problem, shapes: &Shapes, filling: Filling) -> Self {
        let left: BTreeMap<usize, Vec<PieceId>> = problem
            .items
            .iter()
            .enumerate()
            .filter(|(_, spec)| spec.copies > 0)
            .map(|(item, spec)| {
                (
                    item,
                    (0..spec.copies)
                        .rev()
                        .map(|copy| PieceId { item, copy })
                        .collect(),
                )
            })
            .collect();
        let along = |item: usize| {
            shapes.variants[item]
                .iter()
                .map(|v| shapes.shape(v.shape).along)
                .min()
                .unwrap_or(0)
        };
        let area = |item: usize| {
            shapes.variants[item]
                .first()
                .map_or(0, |v| shapes.shape(v.shape).doubled_area)
        };
        let mut openers: Vec<usize> = left.keys().copied().collect();
        openers.sort_by_key(|&i| (-along(i), -area(i), i));
        let mut fillers = openers.clone();
        if filling == Filling::Widest {
            fillers.sort_by_key(|&i| (-area(i), -along(i), i));
        }
        Stock {
            left,
            openers,
            fillers,
        }
    }

    fn take(&mut self, item: usize) -> Option<PieceId> {
        let copies = self.left.get_mut(&item)?;
        let piece = copies.pop();
        if copies.is_empty() {
            self.left.remove(&item);
        }
        piece
    }

    /// Undoes the taking of these pieces, the last first.
    fn give_back(&mut self, row: &[Laid]) {
        for laid in row.iter().rev() {
            let copies = self.left.entry(laid.piece.item).or_default();
            copies.push(laid.piece);
        }
    }

    fn next(&self, item: usize) -> Option<PieceId> {
        self.left
            .get(&item)
            .and_then(|copies| copies.last().copied())
    }

    fn holds(&self, row: &[Laid]) -> bool {
        let mut need: BTreeMap<usize, usize> = BTreeMap::new();
        for laid in row {
            *need.entry(laid.piece.item).or_default() += 1;
        }
        need.iter()
            .all(|(item, count)| self.left.get(item).is_some_and(|c| c.len() >= *count))
    }

    /// Items to try in an open row: all of a few, else the first and some spread over the rest.
    fn candidates(&self) -> Vec<usize> {
        let near = self.fillers.len().min(MOST_REFUSALS);
        let rest = &self.fillers[near..];
        let stride = (rest.len() / MOST_REFUSALS).max(1);
        let spread = rest.iter().step_by(stride);
        self.fillers[..near].iter().chain(spread).copied().collect()
    }

    fn tidy(&mut self) {
        let left = &self.left;
        self.openers.retain(|i| left.contains_key(i));
        self.fillers.retain(|i| left.contains_key(i));
    }
}

/// The shorter of the two layouts in rows, and the steps both took.
#[must_use]
pub fn shorter_rows<'a>(
    problem: &Problem,
    shapes: &'a Shapes,
    regions: &mut Regions<'a>,
    stop: &dyn Fn() -> bool,
) -> (Layout, u64) {
    let (longest, steps) = rows(problem, shapes, regions, Filling::Longest, stop);
    let (widest, more) = rows(problem, shapes, regions, Filling::Widest, stop);
    let is_shorter = widest.length < longest.length;
    let layout = if is_shorter { widest } else { longest };
    (layout, steps + more)
}

/// The densest row that a piece of `opener` begins, on an empty cloth, filled with items in this order.
#[must_use]
pub fn row(
    filler: &mut Filler<'_, '_>,
    problem: &Problem,
    shapes: &Shapes,
    opener: usize,
    order: Vec<usize>,
) -> Vec<Laid> {
    let mut stock = Stock::of(problem, shapes, Filling::Longest);
    stock.openers = vec![opener];
    stock.fillers = order;
    densest_row(filler, problem, shapes, &mut stock, 0).unwrap_or_default()
}

/// The next row, from `base` up; `None` when nothing is left.
fn densest_row(
    filler: &mut Filler<'_, '_>,
    problem: &Problem,
    shapes: &Shapes,
    stock: &mut Stock,
    base: i64,
) -> Option<Vec<Laid>> {
    stock.tidy();
    let opener = stock.next(*stock.openers.first()?)?;
    let size = |v: &Variant| {
        let shape = shapes.shape(v.shape);
        (shape.along, shape.across)
    };
    let sizes: BTreeSet<(i64, i64)> = filler.variants(opener.item).iter().map(size).collect();
    let before = filler.settled();
    let mut best: Option<(Vec<Laid>, i128, i128)> = None;
    for wanted in sizes {
        filler.start_again(&before);
        let variants = filler
            .variants(opener.item)
            .into_iter()
            .filter(|v| size(v) == wanted);
        let window = Window {
            floor: base,
            ceiling: None,
        };
        let Some(laid) = filler.best_place_as(opener, variants, window, MANNER) else {
            continue;
        };
        let row = one_row(filler, problem, shapes, stock, base, laid);
        stock.give_back(&row);
        let doubled_area = |l: &Laid| shapes.shape(l.variant.shape).doubled_area;
        let area = row.iter().map(doubled_area).sum();
        let length = i128::from(end(shapes, &row) - base + problem.spacing.um());
        let denser = |(_, other_area, other_length): &(Vec<Laid>, i128, i128)| {
            area * other_length > other_area * length
        };
        if best.as_ref().is_none_or(denser) {
            best = Some((row, area, length));
        }
    }
    let (row, ..) = best?;
    filler.start_again(&before);
    let mut layout = Layout::default();
    for laid in &row {
        stock.take(laid.piece.item);
        filler.lay(*laid, &mut layout);
    }
    Some(row)
}

/// The row that `laid` opens.
fn one_row(
    filler: &mut Filler<'_, '_>,
    problem: &Problem,
    shapes: &Shapes,
    stock: &mut Stock,
    base: i64,
    laid: Laid,
) -> Vec<Laid> {
    let mut layout = Layout::default();
    stock.take(laid.piece.item);
    filler.lay(laid, &mut layout);
    let window = Window {
        floor: base,
        ceiling: Some(layout.length),
    };
    let width = i128::from(problem.cloth.usable_width().um());
    let mut free = 2 * width * i128::from(layout.length - base)
        - shapes.shape(laid.variant.shape).doubled_area;
    // A row only gets fuller: a shape that has found no place in it will find none later.
    let mut refused: HashSet<(ShapeId, Grid)> = HashSet::new();
    let mut refusals = 0;
    for item in stock.candidates() {
        if refusals > MOST_REFUSALS {
            break;
        }
        while let Some(piece) = stock.next(item) {
            let hopeless = filler.variants(item).iter().all(|v| {
                refused.contains(&(v.shape, filler.grid(v)))
                    || shapes.shape(v.shape).doubled_area > free
                    || shapes.shape(v.shape).along > layout.length - base
            });
            if hopeless {
                break;
            }
            let Some(laid) = filler.best_place(piece, window, MANNER) else {
                let refusal = |v: &Variant| (v.shape, filler.grid(v));
                refused.extend(filler.variants(item).iter().map(refusal));
                refusals += 1;
                break;
            };
            stock.take(item);
            free -= shapes.shape(laid.variant.shape).doubled_area;
            filler.lay(laid, &mut layout);
        }
    }
    layout.laid
}
