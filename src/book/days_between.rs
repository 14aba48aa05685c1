//! What the days of a book say together: dates that go back, days without a log.
//!
//! In: the logs by their day. Out: an error where a day is not later than the one before it, and
//! one note on all days between two logs that have none.

use super::{Arc, DayLog};
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::Sources;

/// So many stretches of days are named; the others are counted.
const MOST_NAMED: usize = 6;

pub(super) fn judge(days: &[Arc<DayLog>], found: &mut Vec<Diagnostic>) {
    found.extend(without_log(days));
    let back: Vec<Diagnostic> = days
        .windows(2)
        .filter_map(|pair| not_later(&pair[0], &pair[1]))
        .collect();
    // Where a date is wrong by itself, that is said already.
    let wrong: Vec<_> = found
        .iter()
        .filter(|wrong| wrong.slug == Slug::WrongDate)
        .map(|wrong| wrong.at.file)
        .collect();
    let untold = |back: &Diagnostic| {
        !wrong.contains(&back.at.file) && !back.also.iter().any(|(at, _)| wrong.contains(&at.file))
    };
    found.extend(back.into_iter().filter(untold));
}

fn not_later(before: &DayLog, log: &DayLog) -> Option<Diagnostic> {
    let (earlier, date) = (before.date?, log.date?);
    if date > earlier {
        return None;
    }
    let message = format!(
        "day {} is on {date}, and day {} before it is on {earlier}",
        log.day, before.day
    );
    let next = earlier.tomorrow().unwrap_or(earlier);
    let expected = format!(
        "`dates:` in the build sheet, or the date and the reason in this log, for example `date: {next}, why`"
    );
    let wrong =
        Diagnostic::error(Slug::WrongDate, Sources::top(log.file), message).expected(expected);
    Some(wrong.see(
        Sources::top(before.file),
        format!("the log of day {}", before.day),
    ))
}

/// One note a book, at the first log after a gap.
fn without_log(days: &[Arc<DayLog>]) -> Option<Diagnostic> {
    let gaps = days.windows(2).filter(|pair| pair[1].day > pair[0].day + 1);
    let first = gaps.clone().next()?;
    let mut named: Vec<String> = gaps
        .clone()
        .take(MOST_NAMED)
        .map(|pair| stretch(pair[0].day + 1, pair[1].day - 1))
        .collect();
    let more = gaps.clone().count() - named.len();
    if more > 0 {
        named.push(format!("{more} more groups of days"));
    }
    let missing: u32 = gaps.map(|pair| pair[1].day - pair[0].day - 1).sum();
    let (last, rest) = named.split_last()?;
    let names = if rest.is_empty() {
        last.clone()
    } else {
        format!("{} and {last}", rest.join(", "))
    };
    let message = match missing {
        1 => format!("day {names} has no log"),
        _ => format!("days {names} have no log"),
    };
    let note = Diagnostic::note(Slug::MissingLog, Sources::top(first[1].file), message);
    Some(note.expected("a log for each day of work; a day without work needs none"))
}

fn stretch(first: u32, last: u32) -> String {
    if first == last {
        first.to_string()
    } else {
        format!("{first} to {last}")
    }
}
