//! Figures, units, dates and verdicts as words on a page.
//!
//! In: values and what they are shown in. Out: text such as `3.56 ± 0.10°`.

use jiff::civil::Date;
use serde::Serialize;

use super::agreeing::in_full;
use crate::book::Judge;
use crate::calc::{Judgement, Known, Moment, Verdict};
use crate::quantity::{Sides, Unit, Value, format};

/// What stands in place of a figure that needs something that cannot be read.
pub(super) const NOT_KNOWN: &str = "not known";

/// A unit as print has it: `°`, `mm²`, `N·m`.
pub(super) fn unit(unit: &Unit) -> String {
    match unit.name.as_str() {
        "deg" => "°".to_owned(),
        "degC" => "°C".to_owned(),
        "degF" => "°F".to_owned(),
        "ohm" => "Ω".to_owned(),
        "mohm" => "mΩ".to_owned(),
        name => raised(&name.replace('-', "·")),
    }
}

/// `mm2` and `m^3` with raised figures.
fn raised(name: &str) -> String {
    let mut text = String::with_capacity(name.len());
    for c in name.chars() {
        match c {
            '^' => {}
            '2' => text.push('²'),
            '3' => text.push('³'),
            '4' => text.push('⁴'),
            c => text.push(c),
        }
    }
    text
}

/// A figure and its unit: no space before the degree sign, a thin one elsewhere.
pub(super) fn joined(figure: &str, shown_in: &Unit) -> String {
    let unit = unit(shown_in);
    match unit.as_str() {
        "" => figure.to_owned(),
        "°" => format!("{figure}°"),
        _ => format!("{figure}\u{202f}{unit}"),
    }
}

/// A value with the spread it is judged with.
pub(super) fn amount(value: &Value, shown_in: &Unit, judge: Judge) -> String {
    let Sides { up, down } = spread(value, judge);
    joined(&format::with_spread(shown_in.reading(value.nominal), shown_in.step(up), shown_in.step(down)), shown_in)
}

pub(super) fn spread(value: &Value, judge: Judge) -> Sides {
    match judge {
        Judge::WorstCase => value.worst_case(),
        Judge::Rss => value.rss(),
    }
}

/// What a name was at a moment, or why there is nothing.
pub(super) fn moment(moment: &Moment, judge: Judge) -> String {
    match &moment.known {
        Known::Value(value) => amount(value, &moment.unit, judge),
        Known::NoReading(_) => "no reading".to_owned(),
        Known::Broken => "in error".to_owned(),
    }
}

/// A difference to two figures, in the unit of the value.
pub(super) fn step(si: f64, shown_in: &Unit) -> String {
    joined(&format::plain(shown_in.step(si), 2), &plain_step(shown_in))
}

/// A margin, never shown larger than it is.
pub(super) fn spare(si: f64, shown_in: &Unit) -> String {
    joined(&format::margin(shown_in.step(si)), &plain_step(shown_in))
}

/// Steps on a scale of temperature are kelvin or as many degrees.
fn plain_step(shown_in: &Unit) -> Unit {
    Unit { offset: 0.0, ..shown_in.clone() }
}

/// Hours: `4.5 h`, `–` for none.
pub(super) fn hours(hours: f64) -> String {
    if hours == 0.0 { "–".to_owned() } else { format!("{}\u{202f}h", format::plain(hours, 4)) }
}

/// Hours of several people: `8 h, 4 h each`.
pub(super) fn shared_hours(hours: f64, people: usize) -> String {
    let all = self::hours(hours);
    if people < 2 || hours == 0.0 { all } else { format!("{all}, {} each", self::hours(hours / people as f64)) }
}

/// `Friday 2031-05-02`
pub(super) fn date(date: Option<Date>) -> String {
    let Some(date) = date else { return "date not known".to_owned() };
    let names = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
    let name = names[(date.weekday().to_monday_zero_offset() as usize).min(6)];
    format!("{name} {date}")
}

/// `one job`, `3 jobs`
pub(super) fn count(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

/// A verdict as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct VerdictView {
    /// `in limits`, …
    pub words: &'static str,
    /// `in`, `close`, `out` or `none`: for the theme, and for which gauge is drawn.
    pub kind: &'static str,
    /// By how much: `0.14° to spare`, `5 mm short`, `wants length`; with the value in full where its usual print would
    /// seem to say otherwise.
    pub margin: String,
}

/// The short word of a verdict.
pub(super) fn verdict_kind(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::InLimits => "in",
        Verdict::TooClose => "close",
        Verdict::OutOfLimits => "out",
        Verdict::NoReading | Verdict::Withdrawn => "none",
    }
}

/// A judgement in words; `wanting` is the name it waits for, `shown_by` the spread that figures are shown with.
pub(super) fn verdict(judgement: &Judgement, wanting: Option<&str>, shown_by: Judge) -> VerdictView {
    let unit = &judgement.unit;
    let margin = match (judgement.verdict, judgement.margin) {
        (Verdict::InLimits, Some(margin)) => format!("{} to spare", spare(margin, unit)),
        (Verdict::TooClose, Some(margin)) => format!("{} too near", step(-margin, unit)),
        (Verdict::OutOfLimits, _) => {
            beyond(judgement).map_or_else(String::new, |by| format!("{} beyond", step(by, unit)))
        }
        _ => wanting.map_or_else(String::new, |name| format!("wants {name}")),
    };
    let margin = match in_full(judgement, shown_by) {
        Some(value) => format!("{margin}, in full {value}"),
        None => margin,
    };
    VerdictView { words: judgement.verdict.words(), kind: verdict_kind(judgement.verdict), margin }
}

/// How far the nominal value lies beyond its limit, in SI.
fn beyond(judgement: &Judgement) -> Option<f64> {
    let value = judgement.value.as_ref()?.nominal;
    let below = judgement.lower.map_or(f64::NEG_INFINITY, |lower| lower - value);
    let above = judgement.upper.map_or(f64::NEG_INFINITY, |upper| value - upper);
    Some(below.max(above))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Dimension, Units};

    #[test]
    fn units_are_printed_as_the_trade_prints_them() {
        let named = |name| unit(&Units::new("EUR").named(name).unwrap());
        assert_eq!(named("mm2"), "mm²");
        assert_eq!(named("kg/m^3"), "kg/m³");
        assert_eq!(named("N-m"), "N·m");
        assert_eq!(joined("3.56 ± 0.10", &Units::new("EUR").named("deg").unwrap()), "3.56 ± 0.10°");
    }

    #[test]
    fn a_margin_of_temperature_is_a_step_and_not_a_reading() {
        let celsius = Units::new("EUR").named("degC").unwrap();
        assert_eq!(step(5.0, &celsius), "5\u{202f}°C");
        assert_eq!(celsius.dimension, Dimension::TEMPERATURE);
    }
}
