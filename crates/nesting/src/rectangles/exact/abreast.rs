//! Places across for rectangles whose places along are known.
//!
//! The cloth is seen from its left side: at each height, how far it is filled. Into the stretch of heights that is
//! filled least goes a rectangle that lies within it, or none does and it counts as filled up to a neighbour. So
//! all layouts are seen in which everything lies as far to the left as it goes; what is still to be laid at some
//! height must fit beside what lies there. Source: the check of Côté, Dell'Amico, Iori 2014 (from memory).

/// Where a rectangle lies along, and its size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lying {
    pub across: i32,
    pub along: i32,
    pub y: i32,
}

/// Places across for all of these within a cloth this wide, if some are found after so many tries; and what is left of
/// the tries.
pub fn places(lying: &[Lying], across: i32, tries: u32) -> (Option<Vec<i32>>, u32) {
    let mut ends: Vec<i32> = lying.iter().flat_map(|l| [l.y, l.y + l.along]).collect();
    ends.sort_unstable();
    ends.dedup();
    let at = |y: i32| ends.partition_point(|&end| end < y);
    let spans: Vec<(usize, usize)> = lying.iter().map(|l| (at(l.y), at(l.y + l.along))).collect();
    let heights = ends.len().saturating_sub(1);
    let filled = vec![0; heights];
    let mut open = vec![0; heights];
    for (rectangle, &(from, to)) in lying.iter().zip(&spans) {
        open[from..to]
            .iter_mut()
            .for_each(|open| *open += rectangle.across);
    }
    let mut order: Vec<usize> = (0..lying.len()).collect();
    order.sort_by_key(|&k| {
        std::cmp::Reverse(i64::from(lying[k].across) * i64::from(lying[k].along))
    });
    let mut search = Search {
        lying,
        spans,
        order,
        across,
        filled,
        open,
        x: vec![None; lying.len()],
        tries,
    };
    let is_full = search.fits() && search.fill();
    let left = search.tries;
    let places = is_full.then(|| search.x.into_iter().collect());
    (places.flatten(), left)
}

struct Search<'l> {
    lying: &'l [Lying],
    /// By rectangle: its heights, as indices.
    spans: Vec<(usize, usize)>,
    /// Which is tried first.
    order: Vec<usize>,
    across: i32,
    /// By height: up to where it is filled, and the width of what is still to come.
    filled: Vec<i32>,
    open: Vec<i32>,
    x: Vec<Option<i32>>,
    tries: u32,
}

impl Search<'_> {
    fn fits(&self) -> bool {
        let mut heights = self.filled.iter().zip(&self.open);
        heights.all(|(filled, open)| filled + open <= self.across)
    }

    fn fill(&mut self) -> bool {
        let heights = 0..self.filled.len();
        let Some(lowest) = heights
            .filter(|&k| self.open[k] > 0)
            .min_by_key(|&k| self.filled[k])
        else {
            return true;
        };
        if self.tries == 0 {
            return false;
        }
        self.tries -= 1;
        let level = self.filled[lowest];
        let mut to = lowest;
        while self.level(to) == Some(level) {
            to += 1;
        }
        for number in 0..self.order.len() {
            let piece = self.order[number];
            let (first, last) = self.spans[piece];
            if self.x[piece].is_some() || first < lowest || last > to {
                continue;
            }
            let across = self.lying[piece].across;
            self.x[piece] = Some(level);
            self.shift(first, last, across);
            if self.fill() {
                return true;
            }
            self.shift(first, last, -across);
            self.x[piece] = None;
        }
        self.give_up(lowest, to)
    }

    /// Up to where it is filled, if something is still to come there.
    fn level(&self, height: usize) -> Option<i32> {
        let is_open = *self.open.get(height)? > 0;
        is_open.then_some(self.filled[height])
    }

    /// Moves a width from what is to come to what is filled.
    fn shift(&mut self, first: usize, last: usize, across: i32) {
        for height in first..last {
            self.filled[height] += across;
            self.open[height] -= across;
        }
    }

    /// Lets the stretch count as filled up to its lower neighbour.
    fn give_up(&mut self, from: usize, to: usize) -> bool {
        let level = self.filled[from];
        let before = from.checked_sub(1).and_then(|height| self.level(height));
        let Some(up) = before.into_iter().chain(self.level(to)).min() else {
            return false;
        };
        if (from..to).any(|height| up + self.open[height] > self.across) {
            return false;
        }
        self.filled[from..to].fill(up);
        let is_full = self.fill();
        if !is_full {
            self.filled[from..to].fill(level);
        }
        is_full
    }
}
