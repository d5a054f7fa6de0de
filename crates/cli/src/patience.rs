//! How long a search is waited for at the terminal, and Ctrl-C that ends it with the best so far.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressStyle};

/// A search that is being waited for.
pub(crate) struct Patience {
    begun: Instant,
    limit: Duration,
    bar: ProgressBar,
    is_interrupted: Arc<AtomicBool>,
    is_caught: bool,
}

impl Patience {
    /// Waits so long at most. Where standard error is no terminal, nothing is drawn.
    #[expect(
        clippy::disallowed_methods,
        reason = "how long the terminal is kept waiting is measured here; the search itself knows no clock"
    )]
    pub(crate) fn of(limit: Duration) -> Self {
        let is_interrupted = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&is_interrupted);
        let is_caught = ctrlc::set_handler(move || flag.store(true, Ordering::Relaxed)).is_ok();
        let bar = ProgressBar::new(in_ms(limit));
        if let Ok(style) = ProgressStyle::with_template("{bar:30} {msg}") {
            bar.set_style(style);
        }
        Self {
            begun: Instant::now(),
            limit,
            bar,
            is_interrupted,
            is_caught,
        }
    }

    /// Whether to search on until this part of the time is over; what is said is shown.
    pub(crate) fn keeps_on(&self, part: f64, says: String) -> bool {
        let passed = self.begun.elapsed();
        self.bar.set_position(in_ms(passed));
        self.bar.set_message(says);
        passed < self.limit.mul_f64(part.clamp(0.0, 1.0)) && !self.was_interrupted()
    }

    /// Whether Ctrl-C was pressed.
    pub(crate) fn was_interrupted(&self) -> bool {
        self.is_interrupted.load(Ordering::Relaxed)
    }

    /// What is to be known of how the search ended.
    pub(crate) fn notes(&self) -> Vec<String> {
        self.bar.finish_and_clear();
        let mut notes = Vec::new();
        if !self.is_caught {
            notes.push("Ctrl-C could not be caught here: it ends the program without an answer".to_owned());
        }
        if self.was_interrupted() {
            notes.push("the search was interrupted: this is the best plan so far".to_owned());
        }
        notes
    }
}

fn in_ms(time: Duration) -> u64 {
    u64::try_from(time.as_millis()).unwrap_or(u64::MAX)
}
