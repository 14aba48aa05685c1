//! The crew's time, as whole numbers: a day and the seconds worked into it.
//!
//! In: hours and days. Out: moments that compare as numbers. Work goes on from the morning for as
//! many hours as a person has in a day, then from the next morning. Whole numbers, so that every
//! machine comes to the same.

/// A moment: the build day in the upper bits, seconds since that day's start of work in the lower
/// 17.
pub(super) type Moment = u64;

const DAY_BITS: u32 = 17;
const WITHIN_DAY: u64 = (1 << DAY_BITS) - 1;

/// Whole seconds of some hours.
pub(super) fn seconds(hours: f64) -> u32 {
    (hours.max(0.0) * 3600.0).round() as u32
}

/// Hours of some seconds.
pub(super) fn hours(seconds: u64) -> f64 {
    seconds as f64 / 3600.0
}

/// When the work of a day begins.
pub(super) fn morning(day: u32) -> Moment {
    u64::from(day) << DAY_BITS
}

/// The day of a moment.
pub(super) fn day_of(moment: Moment) -> u32 {
    u32::try_from(moment >> DAY_BITS).unwrap_or(u32::MAX)
}

/// Hours worked into its day.
pub(super) fn hour_of(moment: Moment) -> f64 {
    hours(moment & WITHIN_DAY)
}

/// A moment as days with a fraction, where a day has `window` seconds.
pub(super) fn in_days(moment: Moment, window: u32) -> f64 {
    (moment >> DAY_BITS) as f64 + (moment & WITHIN_DAY) as f64 / f64::from(window.max(1))
}

/// Where work of `seconds` begins and ends that cannot begin before `from`, `window` seconds being
/// worked a day.
#[inline]
pub(super) fn work(from: Moment, seconds: u64, window: u32) -> (Moment, Moment) {
    let window = u64::from(window.max(1));
    if seconds == 0 {
        return (from, from);
    }
    let start = if from & WITHIN_DAY >= window {
        (from | WITHIN_DAY) + 1
    } else {
        from
    };
    let today = window - (start & WITHIN_DAY);
    if seconds <= today {
        return (start, start + seconds);
    }
    let rest = seconds - today;
    let whole_days = (rest - 1) / window;
    let last_day = (start >> DAY_BITS) + 1 + whole_days;
    (start, (last_day << DAY_BITS) + rest - whole_days * window)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_goes_on_the_next_morning_and_ends_in_the_evening_not_on_the_day_after() {
        let h = |hours: f64| u64::from(seconds(hours));
        let eight = seconds(8.0);
        assert_eq!(
            work(morning(3), h(8.0), eight),
            (morning(3), morning(3) + h(8.0))
        );
        assert_eq!(
            work(morning(3) + h(6.0), h(5.0), eight).1,
            morning(4) + h(3.0)
        );
        assert_eq!(
            work(morning(3) + h(8.0), h(1.0), eight),
            (morning(4), morning(4) + h(1.0))
        );
        assert_eq!(
            work(morning(3) + h(9.0), h(16.0), eight),
            (morning(4), morning(5) + h(8.0))
        );
        assert_eq!(
            work(morning(3) + h(8.0), 0, eight),
            (morning(3) + h(8.0), morning(3) + h(8.0))
        );
    }
}
