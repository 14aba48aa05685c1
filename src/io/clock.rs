//! The clock on the wall: today's date for a new book, the time of the last good read, how long a
//! writeup took, how long ago the book was looked at.
//!
//! None of these ever reaches a page that is written: the same book gives the same bytes at any
//! time of day.

use std::sync::Arc;
use std::time::{Duration, Instant};

use jiff::civil::Date;

/// Today, as the clock of this machine has it.
pub fn today() -> Date {
    jiff::ZonedDateTime::now().date()
}

/// The time of day on the clock of this machine: `14:02:33`.
fn time_of_day() -> String {
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

/// A point in time, as a [`Clock`] tells it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClockReading {
    /// How long the clock had been running.
    pub running: Duration,
    /// The time of day: `14:02:33`.
    pub time_of_day: String,
}

/// Tells how long ago something was. It never goes back, whatever is done to the clock of the
/// machine.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> ClockReading + Send + Sync>);

impl Clock {
    /// The clock of this machine, started now.
    pub fn of_this_machine() -> Self {
        let started = Instant::now();
        Self::told_by(move || ClockReading {
            running: started.elapsed(),
            time_of_day: time_of_day(),
        })
    }

    /// A clock that shows what `tell` says.
    pub fn told_by(tell: impl Fn() -> ClockReading + Send + Sync + 'static) -> Self {
        Self(Arc::new(tell))
    }

    /// What it shows now.
    pub fn now(&self) -> ClockReading {
        (self.0)()
    }
}
