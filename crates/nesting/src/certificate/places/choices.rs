//! The choices that pieces have along the cloth, and what they put on lines across it.

use super::super::beside::Lying;
use super::super::figures::Figures;
use super::super::sections::PARTS;

/// Choices and lines at most.
const MOST_CHOICES: usize = 8_000;
const MOST_LINES: u32 = 512;

/// A figure that begins in an interval.
pub(super) struct Choice {
    pub kind: usize,
    pub lying: Lying,
    /// The first line that it meets wherever it lies, and its least section there and on those after it, in parts.
    first: usize,
    loads: Vec<i64>,
}

pub(super) struct Choices {
    /// Figure by figure, from the cut end on.
    pub all: Vec<Choice>,
    pub length: i64,
    pub wider: i64,
    pub lines: usize,
    /// What the cloth holds on a line, in parts.
    room: i64,
}

impl Choices {
    /// `None` if figures that fit have no choices, or there are too many.
    pub fn of(
        figures: &Figures,
        counts: &[u32],
        lines: u32,
        wider: i64,
        length: i64,
    ) -> Option<Self> {
        if lines > MOST_LINES {
            return None;
        }
        let at = (0..i64::from(lines)).map(|line| (2 * line + 1) * length / (2 * i64::from(lines)));
        let at: Vec<i64> = at.collect();
        let mut all = Vec::new();
        for (number, (figure, &count)) in figures.all.iter().zip(counts).enumerate() {
            let (room, count) = (length - figure.along, i64::from(count));
            if room < 0 {
                continue;
            }
            if count == 0 || all.len() + count as usize > MOST_CHOICES {
                return None;
            }
            for part in 0..count {
                let (from, to) = (part * room / count, (part + 1) * room / count);
                let load = |line: &i64| {
                    let section = figure.narrowest(line - to, line - from);
                    section.map_or(0, |section| section + wider * PARTS as i64)
                };
                let loads: Vec<i64> = at.iter().map(load).collect();
                let first = loads.iter().position(|load| *load > 0).unwrap_or(0);
                let end = loads.iter().rposition(|load| *load > 0);
                all.push(Choice {
                    kind: figure.kind,
                    lying: Lying {
                        figure: number,
                        shape: None,
                        from,
                        to,
                    },
                    first,
                    loads: loads[first..end.map_or(first, |end| end + 1)].to_vec(),
                });
            }
        }
        Some(Choices {
            all,
            length,
            wider,
            lines: at.len(),
            room: (figures.usable + wider) * PARTS as i64,
        })
    }

    /// Adds what a choice puts on the lines.
    pub fn add(&self, choice: usize, used: &mut [i64]) {
        let choice = &self.all[choice];
        for (sum, load) in used[choice.first..].iter_mut().zip(&choice.loads) {
            *sum += load;
        }
    }

    /// Whether it goes on top of that.
    pub fn fits(&self, choice: usize, used: &[i64]) -> bool {
        let choice = &self.all[choice];
        let mut sums = used[choice.first..].iter().zip(&choice.loads);
        sums.all(|(sum, load)| sum + load <= self.room)
    }
}
