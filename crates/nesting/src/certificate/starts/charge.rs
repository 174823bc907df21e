//! Charges for a unit of length of each way, and what the cloth can take for it.

use super::fill::{Alike, most};
use super::job::Job;
use super::state::State;

/// What a way is charged at most.
const DEAREST: u64 = 1 << 40;

/// What is charged for a unit of length.
pub(super) struct Charge {
    /// By way.
    each: Vec<i64>,
    /// By kind: the least that a copy pays for all of its length.
    least: Vec<i128>,
    /// The most that a set pays of what was left and lay when it was opened.
    whole: i64,
}

impl Charge {
    /// Opens a charge. `None` if it is out of range, or there is too much to sum up.
    pub fn open(job: &Job, state: &State, each: &[u64], sums: &mut u64) -> Option<Charge> {
        if each.len() != job.ways.len() || each.iter().any(|&value| value > DEAREST) {
            return None;
        }
        let each: Vec<i64> = each.iter().map(|&value| value as i64).collect();
        let choice = |way: usize| (job.ways[way].across, each[way]);
        let of = |kind: usize| (0..each.len()).filter(move |&way| job.ways[way].kind == kind);
        let new = state.left.iter().enumerate().map(|(kind, &left)| Alike {
            count: left,
            choices: of(kind).map(choice).collect(),
        });
        let lying = state.lying.iter().map(|&(_, way)| Alike {
            count: 1,
            choices: vec![choice(way)],
        });
        let all: Vec<Alike> = new.chain(lying).collect();
        let whole = most(&all, job.across, sums)?;
        let paid = |way: usize| i128::from(job.ways[way].along) * i128::from(each[way]);
        let least = |kind: usize| of(kind).map(paid).min().unwrap_or(0);
        Some(Charge {
            least: (0..job.copies.len()).map(least).collect(),
            each,
            whole,
        })
    }

    /// Whether what lies at this height and what is left pay more than the length that is left can take. For what
    /// follows from where the charge was opened.
    pub fn refuses(&self, job: &Job, state: &State, y: i64) -> bool {
        let new = self.least.iter().zip(&state.left);
        let new: i128 = new.map(|(least, &left)| least * i128::from(left)).sum();
        let lying = state.lying.iter();
        let lying = lying.map(|&(end, way)| i128::from(end - y) * i128::from(self.each[way]));
        new + lying.sum::<i128>() > i128::from(self.whole) * i128::from(job.length - y)
    }
}
