//! The clock on the wall: today's date for a new book, and how long a writeup took.
//!
//! Neither ever reaches a page: the same book gives the same bytes at any time of day.

use std::time::Instant;

use jiff::civil::Date;

/// Today, as the clock of this machine has it.
pub fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// How long something took.
#[derive(Clone, Copy, Debug)]
pub struct Stopwatch(Instant);

impl Stopwatch {
    /// Starts it.
    pub fn start() -> Self {
        Self(Instant::now())
    }

    /// Milliseconds since it was started.
    pub fn milliseconds(self) -> u128 {
        self.0.elapsed().as_millis()
    }
}
