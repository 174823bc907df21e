//! Pieces pushed apart in several streams at once: [`crate::separate`] within a budget.
//!
//! Streams explore on their own, each by its seed. At the end of an epoch all take over the shortest layout,
//! and in the last epoch they compress it. Epochs end by the clock where there is one, else by the steps
//! of each stream, so that without a clock the result is the same to the byte.

use std::time::Instant;

use super::{Found, Run};
use crate::separate::{Ends, Pace, Separator};

/// Shares of the budget between epochs, where streams that push apart take over the shortest layout of all; in the
/// last epoch they compress.
const EPOCHS: [f64; 6] = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0];

/// How much of a budget is used up: by the clock where there is one, else by steps.
struct Clock<'r> {
    run: &'r Run<'r>,
    begin: Instant,
    /// For each stream.
    steps: u64,
}

impl Clock<'_> {
    /// Share of an epoch, given its begin and end in shares of the budget; 1 when the run is stopped.
    fn share(&self, steps: u64, [from, to]: [f64; 2]) -> f64 {
        let used = match self.run.deadline {
            Some(_) if self.run.stopped() => return 1.0,
            Some(deadline) => {
                let whole = deadline.saturating_duration_since(self.begin);
                self.begin.elapsed().as_secs_f64() / whole.as_secs_f64().max(1e-9)
            }
            None if self.run.stopped() => return 1.0,
            None => steps as f64 / self.steps as f64,
        };
        (used - from) / (to - from)
    }
}

impl Run<'_> {
    /// Looks for a layout of `goal` or less by pushing pieces apart, in as many streams as there are threads,
    /// within the clock or so many steps. False if this job is nothing for it.
    pub(super) fn push_apart(&self, found: &mut Found<'_>, steps: u64, goal: i64) -> bool {
        if found.best.layout.length <= goal
            || steps == 0 && self.deadline.is_none()
            || self.stopped()
        {
            return true;
        }
        let clock = Clock {
            run: self,
            begin: Instant::now(),
            steps: (steps / self.streams as u64).max(1),
        };
        let Some(fields) = self.fields() else {
            return false;
        };
        let stream = |number: usize| {
            let seed = self.stream_seed(number);
            // Rows leave room everywhere, so that pieces find better neighbours on the way than in what the search
            // over orders has made tight. Every other stream begins with that all the same: now one is better, now
            // the other; and all take over the shorter after the first epoch.
            let start = if number.is_multiple_of(2) {
                &found.rows
            } else {
                &found.best.layout
            };
            Separator::new(
                self.problem,
                self.shapes,
                fields,
                start,
                Ends::Cut,
                &[],
                seed,
            )
        };
        let Some(mut streams) = (0..self.streams).map(stream).collect::<Option<Vec<_>>>() else {
            return false;
        };
        let mut shortest = found.best.layout.clone();
        for (number, window) in EPOCHS.windows(2).enumerate() {
            let epoch = [window[0], window[1]];
            let is_last = number + 2 == EPOCHS.len();
            let until = shortest.length;
            self.at_once(
                &mut streams,
                until,
                "separate",
                found.progress,
                |_, stream, tell| {
                    let pace = Pace {
                        share: &|steps| clock.share(steps, epoch),
                        goal,
                        tell,
                    };
                    if is_last {
                        stream.compress(&pace);
                    } else {
                        stream.explore(&pace);
                    }
                },
            );
            for separator in &streams {
                if separator.best().length < shortest.length {
                    shortest = separator.best().clone();
                }
            }
            for separator in &mut streams {
                separator.adopt(&shortest);
            }
        }
        found.spent += streams.iter().map(Separator::steps).sum::<u64>();
        if shortest.length < found.best.layout.length {
            let layout = self.compacted(shortest);
            self.offer(found, layout, "separate");
        }
        true
    }
}
