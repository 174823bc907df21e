//! Guess, round, work out, learn; again.

use super::super::search::{Search, up};
use super::master::Known;
use super::{fill, load};
use crate::certificate::Slices;

/// What a full width is worth in whole numbers: halves, thirds ... tenths of it are whole too.
const WHOLE: f64 = 2_520.0;

/// Worth is counted up to this.
const CEILING: usize = 4 * 2_520;

/// How far guesses go from the best so far towards what the program says.
const STEP: f64 = 0.4;

/// Fillings added for each zone in a round, beside the best.
const OTHERS: usize = 5;

/// Work for a number of the program, in about nanoseconds.
const A_NUMBER: u64 = 250;

/// What is left to gain, as a share of the length, below which no more is tried.
const NEAR: f64 = 2e-4;

/// What sections are worth: by kind, width and zone.
pub(super) type Guessed = Vec<Vec<Vec<f64>>>;

/// A guess in whole numbers.
struct Whole {
    worth: Vec<Vec<Vec<u32>>>,
    /// What the cloth can hold, for one of its length.
    held: f64,
    /// What the pieces bring for one that the cloth can hold; `None` where that was not found out.
    reached: Option<f64>,
    /// Whether that is too much, exactly.
    proves: bool,
}

impl Search<'_> {
    /// The best worth found that proves more than is known.
    ///
    /// Guesses lie between the best so far, at first the area, and what the program says, which is far off while it
    /// knows little (in-out separation: Ben-Ameur and Neto 2007, from memory).
    pub(super) fn rounds(&mut self, mut known: Known<'_>, alike: bool) -> Option<Slices> {
        let area = by_width(&known, self.usable);
        let (whole, _) = self.look(&mut known, &area, alike);
        let mut best = Best {
            worth: area,
            reached: 0.0,
            found: None,
        };
        best.take(self, &known, &whole, alike);
        while !(self.floor > 0 && best.found.is_some()) {
            let spent = known.size() * A_NUMBER;
            if spent > self.work_on_slices {
                break;
            }
            self.work_on_slices -= spent;
            let Some(guess) = known.guess() else {
                break;
            };
            if guess.value <= best.reached.max(1.0) * (1.0 + NEAR) {
                break;
            }
            let is_news = [STEP, 1.0].into_iter().any(|step| {
                let tried = between(&best.worth, &guess.worth, step);
                let (whole, is_news) = self.look(&mut known, &tried, alike);
                best.take(self, &known, &whole, alike);
                is_news
            });
            if !is_news {
                break;
            }
        }
        best.found
    }

    /// Rounds a guess, works it out, and adds what it breaks; whether there was any of that.
    fn look(&mut self, known: &mut Known<'_>, guess: &Guessed, alike: bool) -> (Whole, bool) {
        let mut whole = Whole {
            worth: rounded(guess),
            held: 0.0,
            reached: None,
            proves: false,
        };
        let before = (known.fillings.len(), known.places.len());
        let held = self.held(known, &whole.worth, alike);
        let brought = self.brought(known, &whole.worth);
        if let Some((held, brought)) = held.zip(brought) {
            let length = known.length;
            let all = if alike {
                held * i128::from(length)
            } else {
                held
            };
            whole.held = all as f64 / length as f64;
            whole.reached = Some(brought as f64 / all as f64);
            whole.proves = if alike {
                up(brought, held) > length
            } else {
                brought > held
            };
        }
        (whole, before != (known.fillings.len(), known.places.len()))
    }

    /// The most that the cloth can hold, all zones together, or for each micrometre where all are alike; `None` if
    /// that is nothing or was not counted to the end.
    fn held(
        &mut self,
        known: &mut Known<'_>,
        worth: &[Vec<Vec<u32>>],
        alike: bool,
    ) -> Option<i128> {
        let mut held = Some(0_i128);
        for zone in 0..known.zones() {
            let of_kind = |kind: &Vec<Vec<u32>>| kind.iter().map(|of| of[zone]).collect();
            let of_zone: Vec<Vec<u32>> = worth.iter().map(of_kind).collect();
            let filled = fill::best(known.cuts, &of_zone, self.usable, CEILING, OTHERS);
            self.work_on_slices = self.work_on_slices.saturating_sub(filled.work);
            let along = known.borders[zone + 1] - known.borders[zone];
            let along = if alike { 1 } else { along };
            let most = (!filled.is_more).then_some(filled.most as i128);
            held = held
                .zip(most)
                .map(|(held, most)| held + i128::from(along) * most);
            for filling in filled.fillings {
                let filling = (zone, filling);
                if !known.fillings.contains(&filling) {
                    known.fillings.push(filling);
                }
            }
        }
        held.filter(|&held| held > 0)
    }

    /// The least that the pieces bring; `None` if one of them is too long.
    fn brought(&mut self, known: &mut Known<'_>, worth: &[Vec<Vec<u32>>]) -> Option<i128> {
        let mut brought = Some(0_i128);
        for (kind, worth) in worth.iter().enumerate() {
            let mut work = 0;
            let least = load::least(known.cuts, kind, worth, known.borders, &mut work);
            self.work_on_slices = self.work_on_slices.saturating_sub(work);
            let copies = i128::from(known.cuts[kind].copies);
            let all = brought.zip(least);
            brought = all.map(|(all, (least, _))| all + copies * least);
            if let Some((_, place)) = least
                && !known.places.contains(&place)
            {
                known.places.push(place);
            }
        }
        brought
    }
}

/// The best so far.
struct Best {
    worth: Guessed,
    reached: f64,
    found: Option<Slices>,
}

impl Best {
    /// Takes what is better.
    fn take(&mut self, search: &Search<'_>, known: &Known<'_>, whole: &Whole, alike: bool) {
        let Some(now) = whole.reached.filter(|&now| now > self.reached) else {
            return;
        };
        (self.reached, self.worth) = (now, whole.fair());
        if whole.proves {
            self.found = Some(search.written(known, &whole.worth, alike));
        }
    }
}

impl Whole {
    /// The same, of which the cloth can hold one.
    fn fair(&self) -> Guessed {
        let share = |&worth: &u32| f64::from(worth) / self.held;
        let of = |zones: &Vec<u32>| zones.iter().map(share).collect();
        let kinds = self.worth.iter();
        kinds.map(|kind| kind.iter().map(of).collect()).collect()
    }
}

/// Sections worth as much as they are wide: the area.
fn by_width(known: &Known<'_>, room: i64) -> Guessed {
    let zones = known.zones();
    let of = |&width: &i64| vec![width as f64 / room as f64; zones];
    let kinds = known.cuts.iter();
    kinds
        .map(|cut| cut.widths.iter().map(of).collect())
        .collect()
}

/// From one towards the other.
fn between(from: &Guessed, to: &Guessed, step: f64) -> Guessed {
    let mix = |(&from, &to): (&f64, &f64)| from + step * (to - from);
    let zones = |(from, to): (&Vec<f64>, &Vec<f64>)| from.iter().zip(to).map(mix).collect();
    let kinds = from.iter().zip(to);
    kinds
        .map(|(from, to)| from.iter().zip(to).map(zones).collect())
        .collect()
}

fn rounded(worth: &Guessed) -> Vec<Vec<Vec<u32>>> {
    let whole = |&worth: &f64| (worth * WHOLE).round().clamp(0.0, CEILING as f64) as u32;
    let of = |zones: &Vec<f64>| zones.iter().map(whole).collect();
    let kinds = worth.iter();
    kinds.map(|kind| kind.iter().map(of).collect()).collect()
}
