//! How a long run goes, on a terminal, on standard error, and only when it is long.
//!
//! Nothing is drawn in the first second, nothing where nobody looks, and the line is gone when the
//! answer comes; standard output never sees it.

use std::io::IsTerminal;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use nesting::Progress;
use pieces::{Length, Units};

/// Before this has passed a run counts as short.
const QUIET_TIME: Duration = Duration::from_secs(1);

/// A line on the terminal that says how far a layout has come.
pub struct Line {
    bar: ProgressBar,
    started: Instant,
    drawn: bool,
    units: Units,
}

impl Line {
    /// Drawn on a terminal, unless `quiet`.
    #[must_use]
    pub fn new(units: Units, quiet: bool) -> Self {
        let target = if quiet || !std::io::stderr().is_terminal() {
            ProgressDrawTarget::hidden()
        } else {
            ProgressDrawTarget::stderr()
        };
        let bar = ProgressBar::with_draw_target(None, target);
        if let Ok(style) = ProgressStyle::with_template("{spinner} {elapsed} {msg}") {
            bar.set_style(style);
        }
        Line {
            bar,
            started: Instant::now(),
            drawn: false,
            units,
        }
    }
}

impl Progress for Line {
    fn report(&mut self, best: Option<Length>, bound: Length, engine: &'static str) {
        if !self.drawn {
            if self.started.elapsed() < QUIET_TIME {
                return;
            }
            self.drawn = true;
        }
        let bound = self.units.write_down(bound);
        self.bar.set_message(match best {
            Some(best) => format!(
                "{} so far; no layout is shorter than {bound} ({engine})",
                self.units.write_up(best)
            ),
            None => format!("looking for a first layout ({engine})"),
        });
        self.bar.tick();
    }
}

impl Drop for Line {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
