//! Values and limits as a drawing needs them: in the unit they are shown in.
//!
//! In: the worked book. Out: figures with their reach up and down, limits, and their texts.

use crate::book::Judge;
use crate::calc::{Check, Judgement, Moment, NameId, Verdict, Worked};
use crate::quantity::{Dimension, Sides, Unit, Value, format};

/// A value on the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Figure {
    pub(super) day: u32,
    pub(super) nominal: f64,
    pub(super) up: f64,
    pub(super) down: f64,
}

impl Figure {
    pub(super) fn low(&self) -> f64 {
        self.nominal - self.down
    }

    pub(super) fn high(&self) -> f64 {
        self.nominal + self.up
    }

    /// `3.56 ± 0.10`
    pub(super) fn text(&self) -> String {
        format::with_spread(self.nominal, self.up, self.down)
    }
}

/// The name as it stands on a day: its figure, its unit, and how its spread is reckoned.
pub(super) struct Reading<'a> {
    pub(super) worked: &'a Worked,
    pub(super) name: NameId,
    pub(super) title: &'a str,
    pub(super) day: u32,
    pub(super) unit: &'a Unit,
    pub(super) value: &'a Value,
    pub(super) judge: Judge,
    pub(super) now: Figure,
}

impl<'a> Reading<'a> {
    /// What stands there on that day, if there is a value.
    pub(super) fn on_day(worked: &'a Worked, name: NameId, day: u32, judge: Judge) -> Option<Self> {
        let moment = worked.on_day(name, day)?;
        let value = moment.value()?;
        let judge = judged_by(worked, name, judge);
        let now = figure(value, &moment.unit, moment.day, judge);
        Some(Self { worked, name, title: worked.text(name), day, unit: &moment.unit, value, judge, now })
    }

    /// What it was at the end of each day that moved it, up to this day; the last is now. Nothing
    /// where it had no value.
    pub(super) fn story(&self) -> Vec<(u32, Option<Figure>)> {
        story(self.worked, self.name, self)
    }

    /// What its formula foretold, once it was measured.
    pub(super) fn foretold(&self) -> Vec<Figure> {
        let Some(hidden) = self.worked.values[self.name.index()].prediction else { return Vec::new() };
        story(self.worked, hidden, self).into_iter().filter_map(|(_, figure)| figure).collect()
    }

    /// `tail_after, deg`
    pub(super) fn heading(&self) -> String {
        if self.unit.name.is_empty() { self.title.to_owned() } else { format!("{}, {}", self.title, self.unit.name) }
    }

    /// `3.56 ± 0.10 deg`
    pub(super) fn text(&self) -> String {
        with_unit(self.now.text(), self.unit)
    }

    /// Its checks as they were judged at the end of this day.
    pub(super) fn checks(&self) -> Vec<Limits<'a>> {
        checks_on(self.worked, self.name)
            .filter_map(|check| Some((check, check.on_day(self.day)?)))
            .filter(|(_, judgement)| judgement.verdict != Verdict::Withdrawn)
            .map(|(check, judgement)| Limits::new(check, judgement, self))
            .collect()
    }
}

/// The checks on a name itself.
pub(super) fn checks_on(worked: &Worked, name: NameId) -> impl Iterator<Item = &Check> {
    let read_by = worked.values[name.index()].checks.iter();
    read_by.filter_map(|check| Some(&**worked.checks.get(*check)?)).filter(move |check| check.name == name)
}

/// A name with a hold check is always shown with its worst-case spread.
fn judged_by(worked: &Worked, name: NameId, judge: Judge) -> Judge {
    if checks_on(worked, name).any(|check| check.hold) { Judge::WorstCase } else { judge }
}

fn story(worked: &Worked, name: NameId, reading: &Reading) -> Vec<(u32, Option<Figure>)> {
    let mut days: Vec<(u32, Option<Figure>)> = Vec::new();
    for moment in worked.values[name.index()].moments.iter().filter(|moment| moment.day <= reading.day) {
        if days.last().is_some_and(|(last, _)| *last == moment.day) {
            days.pop();
        }
        days.push((moment.day, moment_figure(moment, reading)));
    }
    days
}

fn moment_figure(moment: &Moment, reading: &Reading) -> Option<Figure> {
    let value = moment.value().filter(|value| value.dimension.agrees_with(reading.value.dimension))?;
    Some(figure(value, reading.unit, moment.day, reading.judge))
}

/// How far a value reaches, in SI.
pub(super) fn sides(value: &Value, judge: Judge) -> Sides {
    match judge {
        Judge::WorstCase => value.worst_case(),
        Judge::Rss => value.rss(),
    }
}

/// A value in the unit it is shown in.
pub(super) fn figure(value: &Value, unit: &Unit, day: u32, judge: Judge) -> Figure {
    let Sides { up, down } = sides(value, judge);
    Figure { day, nominal: unit.reading(value.nominal), up: unit.step(up), down: unit.step(down) }
}

/// The words for a spread.
pub(super) fn spread_words(judge: Judge) -> &'static str {
    match judge {
        Judge::WorstCase => "worst case",
        Judge::Rss => "root-sum-square",
    }
}

/// A text with its unit behind it.
pub(super) fn with_unit(text: String, unit: &Unit) -> String {
    if unit.name.is_empty() { text } else { format!("{text} {}", unit.name) }
}

/// `day 4`; `before` for what was known before the first.
pub(super) fn day_text(day: u32) -> String {
    if day == 0 { "before".to_owned() } else { format!("day {day}") }
}

/// `on day 4`; `before day 1`.
pub(super) fn day_words(day: u32) -> String {
    if day == 0 { "before day 1".to_owned() } else { format!("on day {day}") }
}

/// A check's limits and verdict, in the unit of the value.
pub(super) struct Limits<'a> {
    pub(super) verdict: Verdict,
    pub(super) lower: Option<f64>,
    pub(super) upper: Option<f64>,
    pub(super) margin: Option<f64>,
    pub(super) judge: Judge,
    unit: &'a Unit,
}

impl<'a> Limits<'a> {
    fn new(check: &Check, judgement: &Judgement, reading: &Reading<'a>) -> Self {
        let unit = reading.unit;
        Self {
            verdict: judgement.verdict,
            lower: judgement.lower.map(|limit| unit.reading(limit)),
            upper: judgement.upper.map(|limit| unit.reading(limit)),
            margin: judgement.margin.map(|margin| unit.step(margin)),
            // A hold check is judged worst-case whatever the book says.
            judge: if check.hold { Judge::WorstCase } else { reading.judge },
            unit,
        }
    }

    /// `3 … 3.8`, `≥ 25`, `≤ 30`
    pub(super) fn text(&self) -> String {
        limits_text(self.lower, self.upper)
    }

    /// `limits 3 to 3.8`, `at least 25`
    pub(super) fn words(&self) -> String {
        match (self.lower.map(limit_text), self.upper.map(limit_text)) {
            (Some(lower), Some(upper)) => format!("limits {lower} to {upper}"),
            (Some(lower), None) => format!("at least {lower}"),
            (None, Some(upper)) => format!("at most {upper}"),
            (None, None) => "limits not known".to_owned(),
        }
    }

    /// `margin 0.14 deg after the worst case`
    pub(super) fn margin_text(&self) -> Option<String> {
        let margin = self.margin?;
        let size = with_unit(format::plain(margin.abs(), 2), self.unit);
        let spread = spread_words(self.judge);
        Some(if margin < 0.0 {
            format!("short by {size} after {spread}")
        } else {
            format!("margin {size} after {spread}")
        })
    }
}

/// A limit alone: with more figures than a value, since it mostly is as somebody wrote it.
pub(super) fn limit_text(limit: f64) -> String {
    format::plain(limit, 7)
}

pub(super) fn limits_text(lower: Option<f64>, upper: Option<f64>) -> String {
    match (lower.map(limit_text), upper.map(limit_text)) {
        (Some(lower), Some(upper)) => format!("{lower} … {upper}"),
        (Some(lower), None) => format!("≥ {lower}"),
        (None, Some(upper)) => format!("≤ {upper}"),
        (None, None) => String::new(),
    }
}

/// The limits of the checks on a name that has no value yet.
pub(super) fn awaiting(worked: &Worked, name: NameId, day: u32) -> Vec<String> {
    let text = |judgement: &Judgement| {
        let unit = &judgement.unit;
        let of = |limit: Option<f64>| limit.map(|limit| unit.reading(limit));
        with_unit(limits_text(of(judgement.lower), of(judgement.upper)), unit)
    };
    let known = |judgement: &&Judgement| judgement.lower.or(judgement.upper).is_some();
    checks_on(worked, name).filter_map(|check| check.on_day(day)).filter(known).map(text).collect()
}

/// Is it an angle?
pub(super) fn is_angle(value: &Value) -> bool {
    value.dimension == Dimension::ANGLE
}
