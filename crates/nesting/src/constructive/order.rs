//! Looking for a good order.
//!
//! Starts from the usual orders (longest, largest, widest first; the order of a layout in rows), then
//! climbs: one random change of the best order, of the way a piece is laid or of the manner at a time, kept
//! when the layout is not longer (shorter first, then with its pieces lower), begun again from the best after
//! a while without gain. Few pieces are tried in every order. Deterministic for a seed and a number of steps.

use std::cmp::Reverse;

use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::constructive::board::Regions;
use crate::constructive::fill::{Filler, MANNERS, Manner};
use crate::constructive::{Laid, Layout, Next, PieceId};
use crate::problem::Problem;
use crate::shapes::Shapes;

/// Up to this many pieces every order is tried: 720 orders of 6.
const FEW: usize = 6;

/// What stops a search, and who is told.
pub struct Watch<'w> {
    /// Steps that may be spent; a first layout is finished all the same.
    pub steps: u64,
    /// No layout can be shorter: stop there.
    pub bound: i64,
    /// Seed of the random changes.
    pub seed: u64,
    /// Which of how many searches this is: they share out the usual orders among them.
    pub stream: usize,
    /// How many there are.
    pub streams: usize,
    /// Asked between layouts; true ends the search.
    pub stop: &'w (dyn Fn() -> bool + Sync),
    /// Told of each shorter length.
    pub tell: &'w (dyn Fn(i64) + Sync),
}

/// A layout and how it was made.
#[derive(Clone, Debug)]
struct Found {
    order: Vec<Next>,
    manner: Manner,
    layout: Layout,
    score: (i64, i128),
}

/// All copies of all items.
#[must_use]
pub fn copies(problem: &Problem) -> Vec<PieceId> {
    let copies = |(item, spec): (usize, &crate::Item)| {
        (0..spec.copies).map(move |copy| PieceId { item, copy })
    };
    problem.items.iter().enumerate().flat_map(copies).collect()
}

/// How many of the best layouts are handed on: sliding all pieces at once may turn their order round.
pub const SHORTLIST: usize = 6;

/// The best layouts found, shortest first, and the steps spent. The first is never longer than any of `starts`,
/// of which there must be one; their orders are tried before all others, however few the steps.
#[must_use]
pub fn improve<'a>(
    problem: &'a Problem,
    shapes: &'a Shapes,
    regions: &mut Regions<'a>,
    starts: &[&Layout],
    watch: &Watch<'_>,
) -> (Vec<Layout>, u64) {
    let Watch {
        seed,
        stream,
        streams,
        ..
    } = *watch;
    let shortest = starts.iter().min_by_key(|start| start.length);
    let Some(&shortest) = shortest else {
        return (Vec::new(), 0);
    };
    let as_laid = |laid: &Laid| Next {
        piece: laid.piece,
        way: shapes.variants[laid.piece.item]
            .iter()
            .position(|v| *v == laid.variant),
    };
    let in_order = |start: &Layout| -> Vec<Next> { start.laid.iter().map(as_laid).collect() };
    let mut search = Search {
        filler: Filler::new(problem, shapes, regions),
        shapes,
        watch,
        shortlist: vec![shortest.clone()],
        best: Found {
            order: in_order(shortest),
            manner: MANNERS[0],
            layout: shortest.clone(),
            score: score(shapes, shortest),
        },
        begun: false,
    };
    let orders = usual_orders(problem, shapes);
    let in_any_way = |start: &Layout| start.laid.iter().map(|l| Next::best(l.piece)).collect();
    let of_starts = starts.iter().map(|start| in_order(start));
    let of_starts = of_starts.chain(starts.iter().map(|start| in_any_way(start)));
    let orders = of_starts.chain(orders);
    let starts = orders.flat_map(|order| MANNERS.map(|manner| (order.clone(), manner)));
    for (order, manner) in starts.skip(stream).step_by(streams) {
        search.consider(&order, manner);
    }
    if copies(problem).len() <= FEW {
        let mut pieces = copies(problem).into_iter().map(Next::best).collect();
        search.every_order(&mut pieces, 0);
    }
    search.climb(&mut Xoshiro256PlusPlus::seed_from_u64(seed));
    (search.shortlist, search.filler.steps())
}

struct Search<'a, 'r, 'w> {
    filler: Filler<'a, 'r>,
    shapes: &'a Shapes,
    watch: &'w Watch<'w>,
    shortlist: Vec<Layout>,
    best: Found,
    /// Whether a whole layout has been tried.
    begun: bool,
}

impl Search<'_, '_, '_> {
    fn over(&self) -> bool {
        (self.begun && self.filler.steps() >= self.watch.steps)
            || self.best.layout.length <= self.watch.bound
            || (self.watch.stop)()
    }

    /// Lays pieces in this order; those that come first in `near` too stay where they lie there.
    fn lay_out(
        &mut self,
        order: &[Next],
        manner: Manner,
        limit: i64,
        near: Option<&Found>,
    ) -> Option<Found> {
        let kept = match near {
            Some(near) if near.manner == manner => {
                let same = order
                    .iter()
                    .zip(&near.order)
                    .take_while(|(a, b)| a == b)
                    .count();
                &near.layout.laid[..same]
            }
            _ => &[],
        };
        let watch = self.watch;
        let begun = std::mem::replace(&mut self.begun, true);
        let give_up = |steps| (begun && steps >= watch.steps) || (watch.stop)();
        let layout = self.filler.fill(kept, order, manner, limit, &give_up)?;
        let score = score(self.shapes, &layout);
        Some(Found {
            order: order.to_vec(),
            manner,
            layout,
            score,
        })
    }

    fn shortlist(&mut self, layout: &Layout) {
        let at = self.shortlist.partition_point(|l| l.length < layout.length);
        let known = self
            .shortlist
            .get(at)
            .is_some_and(|l| l.length == layout.length);
        if known {
            // Of equally long layouts the later one has its pieces lower.
            self.shortlist[at] = layout.clone();
        } else if at < SHORTLIST {
            self.shortlist.insert(at, layout.clone());
            self.shortlist.truncate(SHORTLIST);
        }
    }

    fn keep(&mut self, found: Found) {
        if found.layout.length < self.best.layout.length {
            (self.watch.tell)(found.layout.length);
        }
        self.best = found;
    }

    fn consider(&mut self, order: &[Next], manner: Manner) {
        if self.over() {
            return;
        }
        let limit = self.best.layout.length;
        if let Some(found) = self.lay_out(order, manner, limit, None) {
            self.shortlist(&found.layout);
            if found.score < self.best.score {
                self.keep(found);
            }
        }
    }

    /// All orders of `pieces[at..]`, equal shapes not exchanged.
    fn every_order(&mut self, pieces: &mut Vec<Next>, at: usize) {
        if at == pieces.len() {
            for manner in MANNERS {
                self.consider(&pieces.clone(), manner);
            }
            return;
        }
        let mut used: Vec<usize> = Vec::new();
        for k in at..pieces.len() {
            let item = pieces[k].piece.item;
            let same = used
                .iter()
                .any(|&other| self.shapes.variants[other] == self.shapes.variants[item]);
            if same || self.over() {
                continue;
            }
            used.push(item);
            pieces.swap(at, k);
            self.every_order(pieces, at + 1);
            pieces.swap(at, k);
        }
    }

    fn climb(&mut self, random: &mut impl Rng) {
        /// Changes without gain after which the climb starts again from the best.
        const PATIENCE: u32 = 60;
        let count = self.best.order.len();
        if count < 2 {
            return;
        }
        let mut here = self.best.clone();
        let mut quiet = 0;
        while !self.over() {
            let mut order = here.order.clone();
            let mut manner = here.manner;
            self.change(&mut order, &mut manner, random);
            // A little longer than the place climbed from is of no use, so layouts end early.
            if let Some(found) = self.lay_out(&order, manner, here.layout.length, Some(&here))
                && found.score <= here.score
            {
                if found.score < here.score {
                    quiet = 0;
                    self.shortlist(&found.layout);
                }
                here = found;
                if here.score < self.best.score {
                    self.keep(here.clone());
                }
            }
            quiet += 1;
            if quiet > PATIENCE {
                quiet = 0;
                let mut order = self.best.order.clone();
                let mut manner = self.best.manner;
                for _ in 0..2 + count / 12 {
                    self.change(&mut order, &mut manner, random);
                }
                let limit = self.best.layout.length + self.best.layout.length / 10;
                if let Some(found) = self.lay_out(&order, manner, limit, None) {
                    here = found;
                }
            }
        }
    }

    fn change(&self, order: &mut [Next], manner: &mut Manner, random: &mut impl Rng) {
        let n = order.len();
        match random.random_range(0..10_u32) {
            0 => *manner = MANNERS[random.random_range(0..MANNERS.len())],
            1..=4 => order.swap(random.random_range(0..n), random.random_range(0..n)),
            5..=7 => {
                // One piece to another place in the order.
                let (a, b) = (random.random_range(0..n), random.random_range(0..n));
                if a < b {
                    order[a..=b].rotate_left(1)
                } else {
                    order[b..=a].rotate_right(1)
                }
            }
            8 => {
                // A stretch the other way round.
                let (a, b) = (random.random_range(0..n), random.random_range(0..n));
                order[a.min(b)..=a.max(b)].reverse();
            }
            _ => {
                // Where several ways end equally low, only what follows can tell which is good.
                let next = &mut order[random.random_range(0..n)];
                let ways = self.shapes.variants[next.piece.item].len();
                let way = random.random_range(0..=ways);
                next.way = (way < ways && ways > 1).then_some(way);
            }
        }
    }
}

/// Shorter is better; among equally long layouts those whose pieces end lower.
fn score(shapes: &Shapes, layout: &Layout) -> (i64, i128) {
    let ends = layout
        .laid
        .iter()
        .map(|l| {
            let shape = shapes.shape(l.variant.shape);
            i128::from(l.at.y + shape.along) * shape.doubled_area
        })
        .sum();
    (layout.length, ends)
}

fn usual_orders(problem: &Problem, shapes: &Shapes) -> Vec<Vec<Next>> {
    let first = |p: &PieceId| shapes.shape(shapes.variants[p.item][0].shape);
    let mut orders = Vec::new();
    let mut sorted = |key: &dyn Fn(&PieceId) -> (i64, i64)| {
        let mut order = copies(problem);
        order.sort_by_key(|p| (Reverse(key(p)), p.item, p.copy));
        orders.push(order.into_iter().map(Next::best).collect());
    };
    let area = |p: &PieceId| i64::try_from(first(p).doubled_area / 1_000_000).unwrap_or(i64::MAX);
    sorted(&|p| (first(p).along, first(p).across));
    sorted(&|p| (area(p), first(p).along));
    sorted(&|p| (first(p).across, first(p).along));
    sorted(&|p| (first(p).along.max(first(p).across), area(p)));
    orders
}

#[cfg(test)]
mod tests {
    use pieces::{Length, Outline, Point};

    use super::*;
    use crate::problem::{Cloth, Item, Turn};
    use crate::shapes::Detail;

    /// Without it, a job of thousands of different pieces would come back as it was in rows.
    #[test]
    fn a_first_layout_is_finished_whatever_the_steps() {
        let square = Outline::rectangle(Length::from_mm(10), Length::from_mm(10)).unwrap();
        let problem = Problem {
            cloth: Cloth {
                right: Length::from_mm(40),
                ..Cloth::default()
            },
            items: vec![Item {
                label: "square".into(),
                outline: square,
                copies: 8,
                turns: vec![Turn::None],
                may_mirror: false,
                garment: None,
                anchor: None,
            }],
            ..Problem::default()
        };
        let shapes = Shapes::of(&problem);
        let on_end = |copy: u32| Laid {
            piece: PieceId { item: 0, copy },
            variant: shapes.variants[0][0],
            at: Point::new(0, i64::from(copy) * 10_000),
        };
        let start = Layout {
            laid: (0..8).map(on_end).collect(),
            length: 80_000,
        };
        for stream in 0..2 {
            let watch = Watch {
                steps: 0,
                bound: 0,
                seed: 1,
                stream,
                streams: 2,
                stop: &|| false,
                tell: &|_| (),
            };
            let mut regions = Regions::new(&problem, &shapes, Detail::Coarse);
            let (layouts, _) = improve(&problem, &shapes, &mut regions, &[&start], &watch);
            assert_eq!(layouts[0].length, 20_000);
        }
    }
}
