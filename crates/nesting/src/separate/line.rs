//! The cheapest spot on a line through a piece's place, along the cloth or across it.
//!
//! The line runs through each open convex part of the obstacles' regions in one stretch, and the depth in
//! it is a concave function there. So between two ends of stretches the cost, a sum of such functions, is
//! concave too, and its minimum lies at an end: a place where the piece touches another. Ends are whole
//! numbers, the last outside before a stretch and the first after it, exactly.

use super::frame::Frame;
use super::table::Place;
use super::view::View;
use crate::places::Every;

#[derive(Clone, Copy)]
struct Stretch {
    low: i32,
    high: i32,
    obstacle: u32,
    part: u32,
}

/// Where a piece may be moved: between two ends on the line through its place.
#[derive(Clone, Copy)]
pub struct Run {
    pub place: Place,
    /// Along the cloth, or across it.
    pub is_along: bool,
    pub ends: [i32; 2],
    /// Which spots are allowed; `None`: all.
    pub spots: Option<Every>,
}

/// Working memory, kept between lines.
#[derive(Default)]
pub struct Line {
    stretches: Vec<Stretch>,
    active: Vec<Stretch>,
    spots: Vec<i32>,
    pub steps: u64,
}

impl Line {
    /// Spot and cost of the cheapest place between the ends if it costs less than `cost`, else a spot that
    /// does not.
    pub fn cheapest(&mut self, view: &View<'_>, run: Run, cost: f32) -> (i32, f32) {
        let Run {
            place, is_along, ..
        } = run;
        let (fixed, now) = if is_along {
            (place.x, place.y)
        } else {
            (place.y, place.x)
        };
        self.collect(view, run, fixed);
        self.spots.extend(run.ends);
        if let Some(every) = run.spots {
            self.keep_to(every, run.ends);
        }
        self.spots.sort_unstable();
        self.spots.dedup();
        self.stretches.sort_unstable_by_key(|stretch| stretch.low);
        self.active.clear();
        let mut next = 0;
        let mut best = (now, cost);
        for &spot in &self.spots {
            while next < self.stretches.len() && self.stretches[next].low < spot {
                self.active.push(self.stretches[next]);
                next += 1;
            }
            self.active.retain(|s| s.high > spot);
            let (x, y) = if is_along {
                (fixed, spot)
            } else {
                (spot, fixed)
            };
            let mut sum = 0.0;
            for stretch in &self.active {
                let o = view.obstacles.get(stretch.obstacle);
                let depth = view
                    .fields
                    .depth_inside(stretch.part as usize, x - o.x, y - o.y);
                sum += view.costs.of(o.piece) * depth;
                if sum >= best.1 {
                    break;
                }
            }
            self.steps += 2 + self.active.len() as u64;
            if sum < best.1 {
                best = (spot, sum);
            }
        }
        best
    }

    /// Spots become the allowed ones next to them, on either side: between two of the former the cost is
    /// concave, so that its minimum over the allowed ones is next to one of the two.
    fn keep_to(&mut self, every: Every, [first, last]: [i32; 2]) {
        let around = |&spot: &i32| {
            let spot = i64::from(spot);
            [every.at_most(spot), every.at_least(spot)]
        };
        let near: Vec<i64> = self.spots.iter().flat_map(around).collect();
        self.spots.clear();
        let ends = i64::from(first)..=i64::from(last);
        let within = near.into_iter().filter(|v| ends.contains(v));
        self.spots.extend(within.map(|v| v as i32));
    }

    fn collect(&mut self, view: &View<'_>, run: Run, fixed: i32) {
        self.stretches.clear();
        self.spots.clear();
        let (is_along, [first, last]) = (run.is_along, run.ends);
        let frame = if is_along {
            Frame {
                x: [fixed, fixed],
                y: [first, last],
            }
        } else {
            Frame {
                x: [first, last],
                y: [fixed, fixed],
            }
        };
        self.steps += view.obstacles.len() as u64 / 8 + 8;
        view.near(&frame, |obstacle, o| {
            let (offset, at) = if is_along {
                (o.y, fixed - o.x)
            } else {
                (o.x, fixed - o.y)
            };
            for part in view.fields.parts(o.region) {
                self.steps += 4;
                let Some([low, high]) = view.fields.stretch(part, at, is_along) else {
                    continue;
                };
                let (low, high) = (low + offset, high + offset);
                if high <= first || low >= last {
                    continue;
                }
                self.stretches.push(Stretch {
                    low,
                    high,
                    obstacle,
                    part: part as u32,
                });
                if low >= first {
                    self.spots.push(low);
                }
                if high <= last {
                    self.spots.push(high);
                }
            }
            true
        });
    }
}
