//! The finish on the scale of days: a whisker from one run in ten to nine in ten, a dot at the
//! middle, the last day allowed ruled across.
//!
//! In: days. Out: a drawing. What lies beyond the last day is hatched.

use super::ink::{Ink, Side};
use super::{Drawing, WIDTH};

/// When it will be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Finish {
    /// The day it is now.
    pub today: u32,
    /// The last day allowed.
    pub deadline: u32,
    /// Done by the end of this day in one run of ten.
    pub p10: u32,
    /// In five.
    pub p50: u32,
    /// In nine.
    pub p90: u32,
}

/// More days than this are not labelled one by one.
const MOST_LABELS: u32 = 12;

/// The finish on the scale of days.
pub fn finish(finish: Finish) -> Drawing {
    let first = finish.today.min(finish.p10).min(finish.deadline);
    let last = finish.p90.max(finish.deadline).max(first + 1);
    let at = |day: u32| 16.0 + (WIDTH - 32.0) * f64::from(day - first) / f64::from(last - first);
    let mut ink = Ink::new(WIDTH);
    if finish.p90 > finish.deadline {
        ink.over(|ink| {
            ink.hatch(
                at(finish.deadline),
                14.0,
                at(finish.p90) - at(finish.deadline),
                16.0,
            );
        });
    }
    ink.whisker(22.0, at(finish.p10), at(finish.p90));
    ink.dot(at(finish.p50), 22.0, 5.0);
    ink.line((16.0, 42.0), (WIDTH - 16.0, 42.0), 1.0);
    let every = (last - first).div_ceil(MOST_LABELS).max(1);
    for day in
        (first..=last).filter(|day| (day - first).is_multiple_of(every) || *day == finish.deadline)
    {
        ink.line((at(day), 38.0), (at(day), 46.0), 1.0);
        let near_deadline = day != finish.deadline && (at(day) - at(finish.deadline)).abs() < 22.0;
        if !near_deadline {
            let write = if day == finish.deadline {
                Ink::bold
            } else {
                Ink::faint
            };
            write(
                &mut ink,
                at(day),
                62.0,
                Side::Middle,
                &day.to_string(),
                40.0,
            );
        }
    }
    ink.line((at(finish.deadline), 8.0), (at(finish.deadline), 48.0), 2.0);
    let words = format!(
        "done most likely by the end of day {}, between day {} and day {}; the last day allowed is {}",
        finish.p50, finish.p10, finish.p90, finish.deadline
    );
    ink.finish(70.0, words)
}
