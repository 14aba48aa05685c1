//! Figures, units, dates and verdicts as words on a page.
//!
//! In: values and what they are shown in. Out: text such as `3.56 ± 0.10°`.

use jiff::civil::Date;

use super::verdict_digits::in_full;
use crate::book::Judge;
use crate::calc::{Judgement, Known, NameId, Results, Verdict, Version};
use crate::quantity::{Unit, Value, printed};
use crate::view_model;

/// What is shown in place of a figure that needs something that cannot be read.
pub(crate) const NOT_KNOWN: &str = "not known";

/// A value with the spread it is judged with.
pub(crate) fn amount(value: &Value, shown_in: &Unit, judge: Judge) -> String {
    printed::value(value, judge.spread(value), shown_in)
}

/// What a name was at a moment, or why there is nothing, as every page shows it: in its own unit,
/// and in that of its limits where they are written in another: `1.25 in (31.75 mm)`. `day` tells
/// whose limits count; `judge` is the spread that the book judges with.
pub(crate) fn moment(
    worked: &Results,
    name: NameId,
    moment: &Version,
    day: u32,
    judge: Judge,
) -> String {
    let value = match &moment.known {
        Known::Value(value) => value,
        Known::NoReading(_) => return "no reading".to_owned(),
        Known::Broken => return "in error".to_owned(),
    };
    let judge = worked.shown_by(name, judge);
    let own = amount(value, &moment.unit, judge);
    match worked
        .unit_of_limits(name, day)
        .filter(|unit| unit.name != moment.unit.name)
    {
        Some(unit) if unit.dimension == value.dimension => {
            format!("{own} ({})", amount(value, unit, judge))
        }
        _ => own,
    }
}

/// Hours: `4.5 h`, `–` for none.
pub(crate) fn hours(hours: f64) -> String {
    if hours == 0.0 {
        "–".to_owned()
    } else {
        printed::hours(hours)
    }
}

/// Hours of several people: `8 h, 4 h each`.
pub(crate) fn shared_hours(hours: f64, people: usize) -> String {
    let all = self::hours(hours);
    if people < 2 || hours == 0.0 {
        all
    } else {
        format!("{all}, {} each", self::hours(hours / people as f64))
    }
}

/// `Friday 2031-05-02`
pub(crate) fn date(date: Option<Date>) -> String {
    let Some(date) = date else {
        return "date not known".to_owned();
    };
    let names = [
        "Monday",
        "Tuesday",
        "Wednesday",
        "Thursday",
        "Friday",
        "Saturday",
        "Sunday",
    ];
    let name = names[(date.weekday().to_monday_zero_offset() as usize).min(6)];
    format!("{name} {date}")
}

/// `one job`, `3 jobs`
pub(crate) fn count(number: usize, one: &str, many: &str) -> String {
    if number == 1 {
        format!("1 {one}")
    } else {
        format!("{number} {many}")
    }
}

view_model! {
    /// A verdict as a page shows it.
    #[derive(PartialEq, Eq)]
    pub struct VerdictView {
        /// `in limits`, …
        pub words: &'static str => Public,
        /// `in`, `close`, `out` or `none`: for the theme, and for which gauge is drawn.
        pub kind: &'static str => Public,
        /// The margin: `clear by 0.14°`, `short by 5 mm (4 mm as read)`, `wants length`; with the
        /// value in full where its usual print would seem to say otherwise.
        pub margin: String => Named,
    }
}

/// The short word of a verdict.
pub(crate) fn verdict_kind(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::InLimits => "in",
        Verdict::TooClose => "close",
        Verdict::OutOfLimits => "out",
        Verdict::NoReading | Verdict::Withdrawn => "none",
    }
}

/// A judgement in words; `wanting` is the name it waits for, `shown_by` the spread that figures are
/// shown with.
pub(crate) fn verdict(
    judgement: &Judgement,
    wanting: Option<&str>,
    shown_by: Judge,
) -> VerdictView {
    let margin = match &judgement.margin {
        Some(margin) => margin.words(&judgement.unit),
        None => wanting.map_or_else(String::new, |name| format!("wants {name}")),
    };
    let margin = match in_full(judgement, shown_by) {
        Some(value) => format!("{margin}, in full {value}"),
        None => margin,
    };
    VerdictView {
        words: judgement.verdict.words(),
        kind: verdict_kind(judgement.verdict),
        margin,
    }
}
