//! The clock on the wall: today's date for a new book, the time of the last good read, how long a writeup took.
//!
//! None of these ever reaches a page that is written: the same book gives the same bytes at any time of day.

use std::time::Instant;

use jiff::civil::Date;

/// Today, as the clock of this machine has it.
pub fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// The time of day on the clock of this machine: `14:02:33`.
pub fn time_of_day() -> String {
    jiff::ZonedDateTime::now().strftime("%H:%M:%S").to_string()
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
