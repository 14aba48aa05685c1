//! Values and limits as a drawing needs them: in the unit they are shown in.
//!
//! In: the worked book. Out: figures with their reach up and down, limits, and their texts.

use crate::book::Judge;
use crate::calc::{Judgement, NameId, Results, Verdict, Version};
use crate::quantity::{Dimension, Sides, Unit, Value, format, printed};

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
    pub(super) fn text(&self, unit: &Unit) -> String {
        printed::marks(&printed::figure(self.nominal, self.up, self.down, unit))
    }

    /// `3.56 ± 0.10°`
    pub(super) fn with_unit(&self, unit: &Unit) -> String {
        printed::joined(
            &printed::figure(self.nominal, self.up, self.down, unit),
            unit,
        )
    }
}

/// The name as it stands on a day: its figure, its unit, and how its spread is reckoned.
pub(super) struct Reading<'a> {
    pub(super) worked: &'a Results,
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
    pub(super) fn on_day(
        worked: &'a Results,
        name: NameId,
        day: u32,
        judge: Judge,
    ) -> Option<Self> {
        let moment = worked.on_day(name, day)?;
        let value = moment.value()?;
        let judge = worked.shown_by(name, judge);
        let limits = worked
            .unit_of_limits(name, day)
            .filter(|unit| unit.dimension == value.dimension);
        let unit = limits.unwrap_or(&moment.unit);
        let now = figure(value, unit, moment.day, judge);
        Some(Self {
            worked,
            name,
            title: worked.text(name),
            day,
            unit,
            value,
            judge,
            now,
        })
    }

    /// What it was at the end of each day that moved it, up to this day; the last is now. Nothing
    /// where it had no value.
    pub(super) fn story(&self) -> Vec<(u32, Option<Figure>)> {
        story(self.worked, self.name, self)
    }

    /// What its formula predicted, once it was measured.
    pub(super) fn predicted(&self) -> Vec<Figure> {
        let Some(hidden) = self.worked.values[self.name.index()].prediction else {
            return Vec::new();
        };
        story(self.worked, hidden, self)
            .into_iter()
            .filter_map(|(_, figure)| figure)
            .collect()
    }

    /// `tail_after, °`
    pub(super) fn heading(&self) -> String {
        let unit = printed::unit(self.unit);
        if unit.is_empty() {
            self.title.to_owned()
        } else {
            format!("{}, {unit}", self.title)
        }
    }

    /// `3.56 ± 0.10°`
    pub(super) fn text(&self) -> String {
        self.now.with_unit(self.unit)
    }

    /// Its checks as they were judged at the end of this day.
    pub(super) fn checks(&self) -> Vec<Limits> {
        self.worked
            .checks_on(self.name)
            .filter_map(|check| check.on_day(self.day))
            .filter(|judgement| judgement.verdict != Verdict::Withdrawn)
            .map(|judgement| Limits::new(judgement, self))
            .collect()
    }
}

fn story(worked: &Results, name: NameId, reading: &Reading) -> Vec<(u32, Option<Figure>)> {
    let mut days: Vec<(u32, Option<Figure>)> = Vec::new();
    for moment in worked.values[name.index()]
        .moments
        .iter()
        .filter(|moment| moment.day <= reading.day)
    {
        if days.last().is_some_and(|(last, _)| *last == moment.day) {
            days.pop();
        }
        days.push((moment.day, moment_figure(moment, reading)));
    }
    days
}

fn moment_figure(moment: &Version, reading: &Reading) -> Option<Figure> {
    let value = moment
        .value()
        .filter(|value| value.dimension.agrees_with(reading.value.dimension))?;
    Some(figure(value, reading.unit, moment.day, reading.judge))
}

/// A value in the unit it is shown in.
pub(super) fn figure(value: &Value, unit: &Unit, day: u32, judge: Judge) -> Figure {
    let Sides { up, down } = judge.spread(value);
    Figure {
        day,
        nominal: unit.reading(value.nominal),
        up: unit.step(up),
        down: unit.step(down),
    }
}

/// `day 4`; `before` for what was known before the first.
pub(super) fn day_text(day: u32) -> String {
    if day == 0 {
        "before".to_owned()
    } else {
        format!("day {day}")
    }
}

/// `on day 4`; `before day 1`.
pub(super) fn day_words(day: u32) -> String {
    if day == 0 {
        "before day 1".to_owned()
    } else {
        format!("on day {day}")
    }
}

/// A check's limits, in the unit of the value, its verdict and its margin.
pub(super) struct Limits {
    pub(super) verdict: Verdict,
    pub(super) lower: Option<f64>,
    pub(super) upper: Option<f64>,
    /// In words: `clear by 0.14°`; empty if there is no reading.
    pub(super) margin: String,
    /// Which spread it was judged with.
    judge: Judge,
}

impl Limits {
    fn new(judgement: &Judgement, reading: &Reading) -> Self {
        let unit = reading.unit;
        Self {
            verdict: judgement.verdict,
            lower: judgement.lower.map(|limit| unit.reading(limit)),
            upper: judgement.upper.map(|limit| unit.reading(limit)),
            margin: judgement.margin_words(),
            judge: judgement.margin.map_or(reading.judge, |margin| margin.by),
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

    /// `clear by 0.14°, worst case`
    pub(super) fn margin_text(&self) -> Option<String> {
        (!self.margin.is_empty()).then(|| format!("{}, {}", self.margin, self.judge.words()))
    }
}

/// A limit alone: as it was written, or the first figures of a calculated one.
pub(super) fn limit_text(limit: f64) -> String {
    printed::marks(&format::exact(limit))
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
pub(super) fn awaiting(worked: &Results, name: NameId, day: u32) -> Vec<String> {
    let text = |judgement: &Judgement| {
        let unit = &judgement.unit;
        let of = |limit: Option<f64>| limit.map(|limit| unit.reading(limit));
        printed::joined(&limits_text(of(judgement.lower), of(judgement.upper)), unit)
    };
    let known = |judgement: &&Judgement| judgement.lower.or(judgement.upper).is_some();
    worked
        .checks_on(name)
        .filter_map(|check| check.on_day(day))
        .filter(known)
        .map(text)
        .collect()
}

/// Is it an angle?
pub(super) fn is_angle(value: &Value) -> bool {
    value.dimension == Dimension::ANGLE
}
