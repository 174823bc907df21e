//! Ctrl-C ends a search, not the program: what has been found by then is drawn and answered.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// The exit code of a program that the keyboard has ended, by the custom of shells.
const INTERRUPTED: i32 = 130;

/// A flag that the first Ctrl-C sets from now on; the second ends the program at once. `None` where the system
/// does not let it be caught, so that the first does. To be called once.
#[must_use]
pub fn flag() -> Option<Arc<AtomicBool>> {
    let flag = Arc::new(AtomicBool::new(false));
    let set = Arc::clone(&flag);
    let handler = move || {
        if set.swap(true, Ordering::Relaxed) {
            std::process::exit(INTERRUPTED);
        }
        eprintln!("\nStopping with the best layout so far; Ctrl-C again leaves without it.");
    };
    ctrlc::set_handler(handler).ok().map(|()| flag)
}
