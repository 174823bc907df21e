//! How a long run goes, on a terminal, on standard error, and only when it is long.
//!
//! Nothing is drawn in the first second, nothing where nobody looks, and the line is gone when the
//! answer comes; standard output never sees it. From the second on the line says what is being done,
//! whether or not there is news: a part of the work may take minutes.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::{JoinHandle, spawn};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use nesting::Progress;
use pieces::{Length, Units};

/// Before this has passed a run counts as short.
const QUIET_TIME: Duration = Duration::from_secs(1);

/// How often the line moves.
const TICK: Duration = Duration::from_millis(200);

/// A line on the terminal that says how far a layout has come.
pub struct Line {
    bar: ProgressBar,
    clock: Option<(Sender<()>, JoinHandle<()>)>,
    units: Units,
    phase: String,
    found: String,
    cancel: Option<Arc<AtomicBool>>,
}

impl Line {
    /// Drawn on a terminal, unless `quiet`. The run ends once `cancel` is set.
    #[must_use]
    pub fn new(units: Units, quiet: bool, cancel: Option<Arc<AtomicBool>>) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{spinner} {elapsed} {wide_msg}") {
            bar.set_style(style);
        }
        let shown = !quiet && std::io::stderr().is_terminal();
        Line {
            clock: shown.then(|| clock(bar.clone())),
            bar,
            units,
            phase: String::new(),
            found: String::new(),
            cancel,
        }
    }

    fn show(&self) {
        let gap = if self.found.is_empty() { "" } else { "; " };
        self.bar
            .set_message(format!("{}{gap}{}", self.phase, self.found));
    }
}

/// Draws the line once the time has passed; ends when the sender is dropped.
fn clock(bar: ProgressBar) -> (Sender<()>, JoinHandle<()>) {
    let (send, receive) = channel::<()>();
    let wait = move || {
        if receive.recv_timeout(QUIET_TIME) == Err(RecvTimeoutError::Timeout) {
            bar.set_draw_target(ProgressDrawTarget::stderr());
            bar.enable_steady_tick(TICK);
        }
    };
    (send, spawn(wait))
}

/// What is told of one of several things: each phase is named with it.
pub struct About<'a> {
    what: &'a str,
    whole: &'a mut dyn Progress,
}

impl<'a> About<'a> {
    /// Told to `whole`, as about `what`.
    pub fn new(what: &'a str, whole: &'a mut dyn Progress) -> Self {
        About { what, whole }
    }
}

impl Progress for About<'_> {
    fn report(&mut self, best: Option<Length>, bound: Length, engine: &'static str) {
        self.whole.report(best, bound, engine);
    }

    fn phase(&mut self, name: &str) {
        self.whole.phase(&format!("{}: {name}", self.what));
    }

    fn cancel_flag(&self) -> Option<Arc<AtomicBool>> {
        self.whole.cancel_flag()
    }
}

/// From here on a job is large enough for a word about the time it takes.
const MANY_PIECES: u64 = 500;

/// How long so many pieces may take, for a job that is large. Equal pieces are laid in rows at once;
/// where they differ, time grows with the square of their number. Measured with a development build
/// on two busy cores: 10 000 equal pieces 7 s, 2 000 different ones 7 s, 10 000 different ones 105 s.
#[must_use]
pub fn patience(pieces: u64, different: u64) -> Option<String> {
    if pieces < MANY_PIECES {
        return None;
    }
    let seconds = pieces / 1_500 + different * different / 1_000_000;
    let time = match seconds {
        0..10 => "some seconds".to_owned(),
        10..60 => "up to a minute".to_owned(),
        _ => format!("up to {} minutes", seconds.div_ceil(60)),
    };
    Some(format!("{pieces} pieces: this may take {time}."))
}

impl Progress for Line {
    fn report(&mut self, best: Option<Length>, bound: Length, engine: &'static str) {
        self.found = best.map_or_else(String::new, |best| {
            format!(
                "{} so far ({engine}), bound {}",
                self.units.write_up(best),
                self.units.write_down(bound)
            )
        });
        self.show();
    }

    fn phase(&mut self, name: &str) {
        name.clone_into(&mut self.phase);
        self.show();
    }

    fn cancel_flag(&self) -> Option<Arc<AtomicBool>> {
        self.cancel.clone()
    }
}

impl Drop for Line {
    fn drop(&mut self) {
        if let Some((send, clock)) = self.clock.take() {
            drop(send);
            // It only draws; that it failed is no harm to the answer.
            let _ = clock.join();
        }
        self.bar.finish_and_clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_names_cloth_phase_and_what_is_found() {
        let mut line = Line::new(Units::Centimetres, true, None);
        let mut about = About::new("linden", &mut line);
        about.phase("looking for a shorter layout");
        about.report(Some(Length::from_cm(101)), Length::from_cm(99), "rows");
        assert_eq!(
            line.bar.message(),
            "linden: looking for a shorter layout; 101 cm so far (rows), bound 99 cm"
        );
        line.phase("laying rows");
        line.report(None, Length::ZERO, "rows");
        assert_eq!(line.bar.message(), "laying rows", "nothing is found yet");
    }

    #[test]
    fn a_word_about_the_time_grows_with_what_differs() {
        assert_eq!(patience(36, 36), None);
        let time = |pieces, different| patience(pieces, different).unwrap();
        assert!(time(10_000, 1).ends_with("some seconds."));
        assert!(time(5_000, 5_000).ends_with("up to a minute."));
        assert!(time(10_000, 10_000).ends_with("up to 2 minutes."));
    }
}
