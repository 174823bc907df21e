//! What room is worth: prices along the cloth at which the pieces still to be placed cost more than there is.
//!
//! The cloth is cut across into bands, each with a price for its width. A piece at some place costs what its
//! sections take of the bands that it lies in. If all pieces, each at its cheapest open place, cost more than the whole
//! cloth is worth, they do not fit, whatever the prices. And a place that alone makes up the difference is closed.
//! Good prices come by themselves: bands that the cheapest places take too much of become dearer.
//!
//! Sections may be charged by dual feasible functions, each with prices of its own: what is added up stays within what
//! the width is charged.
//!
//! This is the Lagrangean dual of the linear program over places of a time-indexed scheduling model (Christofides,
//! Alvarez-Valdés and Tamarit 1987, from memory), by subgradients that are averaged (Camerini, Fratta and Maffioli 1975,
//! from memory). That places are intervals costs it nothing: a profile of steps that are as long as a band
//! takes of two bands in proportion to how far it has moved, so it is cheapest at one end of the interval or where
//! its last, shorter step passes from one band to the next. Prices are rounded to whole numbers, and what is said of
//! them is exact.

use super::Job;
use crate::bound::kinds::Kind;

/// So many bands for the length of the longest piece.
const FINENESS: i64 = 40;

/// More bands than this are too many.
const MOST_BANDS: i64 = 400;

/// What the usable width counts, and the highest price: products of so many bands stay within i32.
const WIDTH: i64 = 8_192;
const HIGHEST: f32 = 2_047.0;

/// Lengths within a band are measured in such parts of it.
const PARTS: i64 = 16;

/// A stance's sections, as steps as long as a band.
struct Steps {
    /// By function: whole steps.
    whole: Vec<Vec<i16>>,
    /// By function: the last one, which is `part` parts of a band long.
    last: Vec<i16>,
    part: i64,
}

/// All that does not change with the prices.
pub(super) struct Bands {
    /// Of the cloth: so long is each.
    unit: i64,
    pub count: usize,
    functions: usize,
    /// By row: so many parts of a band are there.
    parts: Vec<i64>,
    /// By stance.
    steps: Vec<Steps>,
}

/// A price for each band, by function.
#[derive(Clone)]
pub(super) struct Prices {
    exact: Vec<f32>,
    /// How they changed lately.
    trend: Vec<f32>,
}

/// What stances cost at places, under some prices.
pub(super) struct Costs {
    /// By stance: the least over the places of a band, `None` where it was not asked for.
    by_stance: Vec<Vec<i64>>,
    /// What all bands are worth.
    pub worth: i64,
    prices: Vec<i16>,
}

impl Bands {
    /// `None` if they are too many.
    pub fn of(job: &Job<'_>, usable: i32, length: i64) -> Option<Self> {
        let longest = job.kinds.iter().map(Kind::least_height).max()?;
        let unit = (longest / FINENESS).max(1);
        let count = (length + unit - 1) / unit;
        if count > MOST_BANDS || length < PARTS * count {
            return None;
        }
        let whole = (0..count).map(|band| {
            let long = (length - band * unit).min(unit);
            (long * PARTS + unit - 1) / unit
        });
        // One more, beyond the end.
        let parts: Vec<i64> = whole.chain([0]).collect();
        let mut values: Vec<Box<dyn Fn(i64) -> i16>> = vec![Box::new(move |width| {
            scaled(width, i64::from(usable))
        })];
        for dual in job.duals {
            let whole = dual.whole(i64::from(usable));
            values.push(Box::new(move |width| {
                scaled(dual.at(width, i64::from(usable)), whole)
            }));
        }
        let steps = job.distances.stances.iter().map(|stance| {
            let along = stance.along();
            let (long, rest) = (along / unit, along % unit);
            let part = rest * PARTS / unit;
            let width = |step: i64, to: i64| {
                stance
                    .profile
                    .least_between(step * unit, to)
                    .clamp(0, i64::from(usable) + 1)
            };
            let widths: Vec<i64> = (0..long).map(|s| width(s, (s + 1) * unit)).collect();
            let end = width(long, along);
            Steps {
                whole: values
                    .iter()
                    .map(|value| widths.iter().map(|&w| value(w)).collect())
                    .collect(),
                last: values.iter().map(|value| value(end)).collect(),
                part,
            }
        });
        Some(Bands {
            unit,
            count: parts.len(),
            functions: values.len(),
            steps: steps.collect(),
            parts,
        })
    }

    /// How long a band is.
    pub fn unit(&self) -> i64 {
        self.unit
    }

    /// The bands in which the lower end of an interval of places lies, from the first to the last.
    pub fn places(&self, from: i64, to: i64) -> [usize; 2] {
        let first = from / self.unit;
        let last = ((to - 1) / self.unit).max(first);
        [first, last].map(|band| usize::try_from(band).unwrap_or(0))
    }

    /// Equal prices of the widths, none of the other functions.
    pub fn equal(&self) -> Prices {
        let mut exact = vec![0.0; self.count * self.functions];
        exact[..self.count].fill(1.0);
        Prices {
            trend: vec![0.0; exact.len()],
            exact,
        }
    }

    /// Costs of these stances at these places (by band, the last included).
    pub fn costs(&self, prices: &Prices, asked: &[Option<[usize; 2]>]) -> Costs {
        let highest = prices.exact.iter().copied().fold(0.0, f32::max);
        let scale = if highest > 0.0 { HIGHEST / highest } else { 0.0 };
        let whole: Vec<i16> = prices.exact.iter().map(|p| (p * scale) as i16).collect();
        let worth = whole
            .iter()
            .zip(self.parts.iter().cycle())
            .map(|(&price, parts)| i64::from(price) * parts * WIDTH)
            .sum();
        let of = |(steps, asked): (&Steps, &Option<[usize; 2]>)| {
            asked.map_or_else(Vec::new, |asked| self.of_stance(steps, &whole, asked))
        };
        Costs {
            by_stance: self.steps.iter().zip(asked).map(of).collect(),
            worth,
            prices: whole,
        }
    }

    /// About how many nanoseconds that takes.
    pub fn work(&self, asked: &[Option<[usize; 2]>]) -> u64 {
        let of = |(steps, asked): (&Steps, &Option<[usize; 2]>)| {
            asked.map_or(0, |[first, last]| (last + 2 - first) * (steps.whole[0].len() + 24))
        };
        let sums: usize = self.steps.iter().zip(asked).map(of).sum();
        (sums * self.functions / 8 + self.count * self.functions * 2) as u64
    }

    /// By place from 0 on; those before the first asked for are left at none.
    fn of_stance(&self, steps: &Steps, prices: &[i16], [first, last]: [usize; 2]) -> Vec<i64> {
        let mut wholes = vec![0_i64; last + 2];
        let mut lasts = vec![0_i64; last + 2];
        for function in 0..self.functions {
            let prices = &prices[function * self.count..(function + 1) * self.count];
            let widths = &steps.whole[function];
            let end = i64::from(steps.last[function]) * steps.part;
            for place in first..last + 2 {
                let of = prices.get(place..).unwrap_or(&[]);
                let sum: i32 = of
                    .iter()
                    .zip(widths)
                    .map(|(&p, &w)| i32::from(p) * i32::from(w))
                    .sum();
                wholes[place] += i64::from(sum);
                let price = of.get(widths.len()).copied().unwrap_or(0);
                lasts[place] += i64::from(price) * end;
            }
        }
        let mut costs = vec![0; last + 1];
        for place in first..=last {
            let at = |place: usize| PARTS * wholes[place] + lasts[place];
            // Where the last step begins to leave its band.
            let between = (steps.part * wholes[place]) + (PARTS - steps.part) * wholes[place + 1] + lasts[place];
            costs[place] = at(place).min(between).min(at(place + 1));
        }
        costs
    }

    /// Makes dearer what is taken too much of when stances lie at these places, so often each; by how much there
    /// is left of what the cloth is worth.
    pub fn raise(&self, prices: &mut Prices, costs: &Costs, lying: &[(usize, usize, i64)], left: i64) {
        let scale = 1.0 / (WIDTH * PARTS) as f32;
        let mut over: Vec<f32> = (0..self.count * self.functions)
            .map(|row| -(self.parts[row % self.count] as f32) / PARTS as f32)
            .collect();
        for &(stance, place, copies) in lying {
            let steps = &self.steps[stance];
            for function in 0..self.functions {
                let rows = &mut over[function * self.count..(function + 1) * self.count];
                let rows = rows.get_mut(place..).unwrap_or(&mut []);
                let widths = &steps.whole[function];
                for (row, &width) in rows.iter_mut().zip(widths) {
                    *row += f32::from(width) * copies as f32 / WIDTH as f32;
                }
                if let Some(row) = rows.get_mut(widths.len()) {
                    *row += (i64::from(steps.last[function]) * steps.part * copies) as f32 * scale;
                }
            }
        }
        let mut square = 0.0;
        for (trend, over) in prices.trend.iter_mut().zip(&over) {
            *trend = TREND * *trend + over;
            square += *trend * *trend;
        }
        if square <= 0.0 {
            return;
        }
        let highest = costs.prices.iter().copied().max().unwrap_or(0).max(1);
        // In the prices' own scale.
        let own = prices.exact.iter().copied().fold(0.0, f32::max) / f32::from(highest);
        let missing = (left as f32 + AIM * costs.worth as f32) * scale * own;
        let step = STEP * missing / square;
        for (price, trend) in prices.exact.iter_mut().zip(&prices.trend) {
            *price = (*price + step * trend).max(0.0);
        }
    }
}

impl Costs {
    /// The least over places whose bands are these.
    pub fn least(&self, stance: usize, [first, last]: [usize; 2]) -> (i64, usize) {
        let costs = &self.by_stance[stance];
        (first..=last)
            .map(|place| (costs[place], place))
            .min()
            .unwrap_or((0, first))
    }
}

/// Of the trend so far, so much stays.
const TREND: f32 = 0.6;

/// Prices aim at costs that are higher than what the cloth is worth by so much of it, and go such a part of the way.
const AIM: f32 = 0.02;
const STEP: f32 = 0.8;

/// A share of `whole` in parts of [`WIDTH`], rounded down; what is more than the whole, just more.
fn scaled(value: i64, whole: i64) -> i16 {
    let share = if value > whole {
        WIDTH + 1
    } else {
        (i128::from(value) * i128::from(WIDTH) / i128::from(whole.max(1))) as i64
    };
    i16::try_from(share).unwrap_or(0)
}
