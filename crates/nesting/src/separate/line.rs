//! The cheapest spot on a line through a piece's place, along the cloth or across it.
//!
//! The line runs through each open convex part of the obstacles' regions in one stretch, and the depth in
//! it is a concave function there. So between two ends of stretches the cost, a sum of such functions, is
//! concave too, and its minimum lies at an end: a place where the piece touches another. Ends are whole
//! numbers, the last outside before a stretch and the first after it, exactly.

use super::field::{Fields, Frame, HalfPlane, Part};
use super::obstacles::Obstacles;
use super::table::Place;
use crate::places::Every;

#[derive(Clone, Copy)]
struct Stretch {
    low: f64,
    high: f64,
    obstacle: u32,
    part: u32,
}

/// Where a piece may be moved: between two ends on the line through its place.
#[derive(Clone, Copy)]
pub struct Run {
    pub place: Place,
    /// Along the cloth, or across it.
    pub along: bool,
    pub ends: [f64; 2],
    /// Which spots are allowed; `None`: all.
    pub spots: Option<Every>,
}

/// Working memory, kept between lines.
#[derive(Default)]
pub struct Line {
    stretches: Vec<Stretch>,
    active: Vec<Stretch>,
    spots: Vec<f64>,
    pub steps: u64,
}

impl Line {
    /// Spot and cost of the cheapest place between the ends if it costs less than `cost`, else a spot that
    /// does not.
    pub fn cheapest(
        &mut self,
        fields: &Fields,
        obstacles: &Obstacles,
        run: Run,
        cost: f64,
    ) -> (f64, f64) {
        let Run {
            place, along, ends, ..
        } = run;
        let fixed = if along { place.x } else { place.y };
        self.collect(fields, obstacles, fixed, ends, along);
        self.spots.extend(ends);
        if let Some(every) = run.spots {
            self.keep_to(every, ends);
        }
        self.spots.sort_unstable_by(f64::total_cmp);
        self.spots.dedup();
        self.stretches
            .sort_unstable_by(|a, b| a.low.total_cmp(&b.low));
        self.active.clear();
        let mut next = 0;
        let mut best = (if along { place.y } else { place.x }, cost);
        for &spot in &self.spots {
            while next < self.stretches.len() && self.stretches[next].low < spot {
                self.active.push(self.stretches[next]);
                next += 1;
            }
            self.active.retain(|s| s.high > spot);
            let (x, y) = if along { (fixed, spot) } else { (spot, fixed) };
            let mut sum = 0.0;
            for stretch in &self.active {
                let o = obstacles.get(stretch.obstacle);
                let part = &fields.parts(o.region)[stretch.part as usize];
                sum += o.weight * fields.depth_inside(part, x - o.x, y - o.y);
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
    fn keep_to(&mut self, every: Every, [first, last]: [f64; 2]) {
        let around = |&spot: &f64| {
            let spot = spot as i64;
            [every.at_most(spot), every.at_least(spot)].map(|v| v as f64)
        };
        let near: Vec<f64> = self.spots.iter().flat_map(around).collect();
        self.spots.clear();
        let within = near.into_iter().filter(|v| (first..=last).contains(v));
        self.spots.extend(within);
    }

    fn collect(
        &mut self,
        fields: &Fields,
        obstacles: &Obstacles,
        fixed: f64,
        [first, last]: [f64; 2],
        along: bool,
    ) {
        self.stretches.clear();
        self.spots.clear();
        let frame = if along {
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
        self.steps += obstacles.len() as u64 / 8 + 8;
        obstacles.near(frame, |obstacle, o| {
            let (offset, at) = if along {
                (o.y, fixed - o.x)
            } else {
                (o.x, fixed - o.y)
            };
            for (number, part) in fields.parts(o.region).iter().enumerate() {
                self.steps += 4;
                let Some((low, high)) = stretch(part, fields.planes(part), at, along) else {
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
                    part: number as u32,
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

/// Rounded to a whole number, ties to even; for numbers below 2^51. Faster than a call of `round`.
#[inline]
fn whole(v: f64) -> f64 {
    const SHIFT: f64 = 6_755_399_441_055_744.0; // 1.5 * 2^52: no room is left for a fraction
    (v + SHIFT) - SHIFT
}

/// Where the line at `at` runs inside a part: the last whole place outside before it and the first after it.
pub fn stretch(part: &Part, planes: &[HalfPlane], at: f64, along: bool) -> Option<(f64, f64)> {
    let (side, run) = if along {
        (part.frame.x, part.frame.y)
    } else {
        (part.frame.y, part.frame.x)
    };
    if at <= side[0] || at >= side[1] {
        return None;
    }
    let [mut low, mut high] = run;
    for plane in planes {
        let (slope, other) = if along {
            (plane.b, plane.a)
        } else {
            (plane.a, plane.b)
        };
        if slope == 0.0 {
            continue;
        }
        // slope * v < rest inside; the product of whole numbers is exact.
        let rest = plane.c - other * at;
        let near = whole(rest * plane.inverse[usize::from(along)]);
        let is_outside = slope * near >= rest;
        if slope > 0.0 {
            high = high.min(if is_outside { near } else { near + 1.0 });
        } else {
            low = low.max(if is_outside { near } else { near - 1.0 });
        }
    }
    (low < high).then_some((low, high))
}
