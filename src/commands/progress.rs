//! How far a long work is: on stderr, where that is a terminal, from its second second on.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// From when on it is shown. Source: chosen; what is over before needs no telling.
const AFTER: Duration = Duration::from_secs(1);
/// How it looks: no colour, so that there is none to switch off.
const LINE: &str = "{bar:30} {pos} of {len} {msg}, {eta} to go";

/// Counts what is done; its line is gone once it is dropped.
#[derive(Debug)]
pub(super) struct Progress {
    bar: ProgressBar,
    done: AtomicU64,
    started: Instant,
}

impl Progress {
    /// Nothing of this many is done yet; `what` is what is counted, in the plural.
    pub(super) fn new(total: usize, what: &'static str) -> Self {
        // Draws nothing where stderr is no terminal.
        let bar = ProgressBar::with_draw_target(Some(total as u64), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template(LINE) {
            bar.set_style(style.progress_chars("=> "));
        }
        bar.set_message(what);
        Self {
            bar,
            done: AtomicU64::new(0),
            started: Instant::now(),
        }
    }

    /// One more is done.
    pub(super) fn step(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        if self.started.elapsed() >= AFTER {
            self.bar.set_position(done);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
