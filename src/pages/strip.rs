//! The strip of days: the way through the book.
//!
//! In: the job list by day. Out: a box for each job of each day near the one shown; a long book
//! shows its week and the weeks before and after as links, and every week as one line on the cover.

use super::layout::{Layout, SHORT_BOOK};
use super::words;
use crate::jobs::{DayList, JobState};
use crate::view_model;

const WEEK: u32 = 7;
/// More jobs than this on one day are only counted.
const MOST_BOXES: usize = 14;

view_model! {
    /// The days beside the one shown.
    pub struct Strip {
        /// The days.
        pub days: Vec<StripDay> => View,
        /// The last day of the week before.
        pub before: Option<StripWeek> => View,
        /// The first day of the week after.
        pub after: Option<StripWeek> => View,
    }
}

view_model! {
    /// One day of the strip.
    pub struct StripDay {
        /// The day.
        pub day: u32 => Public,
        /// Its page, where there is one.
        pub href: Option<String> => Address,
        /// `4 done of 6`, `plan 5`
        pub words: String => Public,
        /// A box for each job: `done`, `carried` or `plan`; empty where they are too many.
        pub boxes: Vec<&'static str> => Public,
        /// Is it the day shown?
        pub here: bool => Public,
        /// Is it the last day allowed?
        pub due: bool => Public,
    }
}

view_model! {
    /// One week of a long book, as one line.
    pub struct StripWeek {
        /// The week, from 1.
        pub week: u32 => Public,
        /// A day of it that has a page.
        pub href: Option<String> => Address,
        /// `31 done of 40, 9 carried`
        pub words: String => Public,
        /// Its days.
        pub days: Vec<StripDay> => View,
    }
}

/// Is the book shown by the week?
pub(super) fn is_long(layout: &Layout) -> bool {
    last_day(layout) > SHORT_BOOK
}

fn last_day(layout: &Layout) -> u32 {
    layout
        .build
        .book
        .sheet
        .days
        .unwrap_or(1)
        .max(layout.build.day())
}

/// The strip on the page of a day; `None` for the other pages.
pub(super) fn strip(layout: &Layout, here: Option<u32>) -> Strip {
    if !is_long(layout) {
        return Strip {
            days: days(layout, 1, last_day(layout), here),
            before: None,
            after: None,
        };
    }
    let shown = here.unwrap_or_else(|| layout.build.day()).max(1);
    let first = (shown - 1) / WEEK * WEEK + 1;
    let beside = |day: u32| {
        (1..=last_day(layout))
            .contains(&day)
            .then(|| week_line(layout, (day - 1) / WEEK + 1, false))
    };
    Strip {
        days: days(
            layout,
            first,
            (first + WEEK - 1).min(last_day(layout)),
            here,
        ),
        before: first.checked_sub(1).and_then(beside),
        after: beside(first + WEEK),
    }
}

/// Every week of a long book; none for a short one.
pub(super) fn weeks(layout: &Layout) -> Vec<StripWeek> {
    if !is_long(layout) {
        return Vec::new();
    }
    (1..=last_day(layout).div_ceil(WEEK))
        .map(|week| week_line(layout, week, true))
        .collect()
}

fn week_line(layout: &Layout, week: u32, with_days: bool) -> StripWeek {
    let first = (week - 1) * WEEK + 1;
    let last = (first + WEEK - 1).min(last_day(layout));
    let lists: Vec<&DayList> = (first..=last)
        .filter_map(|day| layout.build.jobs.on_day(day))
        .collect();
    let done: usize = lists.iter().map(|list| list.done).sum();
    let carried = lists.last().map_or(0, |list| list.carried);
    let words = if lists.is_empty() {
        "planned".to_owned()
    } else {
        format!("{done} done, {carried} carried on")
    };
    StripWeek {
        week,
        href: (first..=last).find_map(|day| layout.day_href(day)),
        words,
        days: if with_days {
            days(layout, first, last, None)
        } else {
            Vec::new()
        },
    }
}

fn days(layout: &Layout, first: u32, last: u32, here: Option<u32>) -> Vec<StripDay> {
    (first..=last)
        .map(|day| strip_day(layout, day, here))
        .collect()
}

fn strip_day(layout: &Layout, day: u32, here: Option<u32>) -> StripDay {
    let (words, boxes) = match layout.build.jobs.on_day(day) {
        Some(list) => (
            format!("{} done of {}", list.done, list.rows.len()),
            boxes_of(list),
        ),
        None => planned(layout, day),
    };
    StripDay {
        day,
        href: layout.day_href(day),
        words,
        boxes: if boxes.len() > MOST_BOXES {
            Vec::new()
        } else {
            boxes
        },
        here: here == Some(day),
        due: Some(day) == layout.build.book.sheet.days,
    }
}

fn boxes_of(list: &DayList) -> Vec<&'static str> {
    let done = list
        .rows
        .iter()
        .filter(|row| row.ended == JobState::Done)
        .map(|_| "done");
    let open = list
        .rows
        .iter()
        .filter(|row| row.ended.is_open())
        .map(|_| "carried");
    done.chain(open).collect()
}

fn planned(layout: &Layout, day: u32) -> (String, Vec<&'static str>) {
    let count = layout.planned_on(day);
    let words = if count == 0 {
        "nothing planned".to_owned()
    } else {
        words::count(count, "planned", "planned")
    };
    (words, vec!["plan"; count])
}
