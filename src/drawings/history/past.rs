//! What a history shows: the value on each day that moved it or its limits, and the limits through
//! the days.

use std::collections::BTreeSet;

use crate::calc::{Check, Verdict};
use crate::drawings::reading::{Figure, Reading, day_words, limit_text};
use crate::quantity::Unit;

/// A value on a day with what was judged of it at the day's end.
pub(super) struct Judged {
    pub(super) figure: Figure,
    pub(super) verdict: Option<Verdict>,
    pub(super) lower: Option<f64>,
    pub(super) upper: Option<f64>,
}

/// One limit through the days.
pub(super) struct LimitLine {
    /// Is what lies above it inside?
    pub(super) lower: bool,
    /// What it is from a day on.
    pub(super) steps: Vec<(u32, Option<f64>)>,
}

impl Judged {
    pub(super) fn words(&self, unit: &Unit) -> String {
        let verdict = self
            .verdict
            .map(|verdict| format!(", {}", verdict.words()))
            .unwrap_or_default();
        format!(
            "{} {}{verdict}",
            self.figure.text(unit),
            day_words(self.figure.day)
        )
    }
}

impl LimitLine {
    pub(super) fn words(&self) -> String {
        let kind = if self.lower { "at least" } else { "at most" };
        let step = |(day, limit): &(u32, Option<f64>)| match limit {
            Some(limit) => format!("{kind} {} from {}", limit_text(*limit), from_day(*day)),
            None => format!("no limit from {}", from_day(*day)),
        };
        self.steps.iter().map(step).collect::<Vec<_>>().join(", ")
    }
}

fn from_day(day: u32) -> String {
    if day == 0 {
        "before day 1".to_owned()
    } else {
        format!("day {day}")
    }
}

/// The value on each day that moved it or its limits.
pub(super) fn judged_days(reading: &Reading, story: &[(u32, Option<Figure>)]) -> Vec<Judged> {
    let judgements = reading
        .worked
        .checks_on(reading.name)
        .flat_map(|check| &check.judgements);
    let days = judgements
        .map(|judgement| judgement.day)
        .chain(story.iter().map(|(day, _)| *day));
    let days: BTreeSet<u32> = days.filter(|day| *day <= reading.day).collect();
    let standing = |day: u32| {
        let later = story.partition_point(|(from, _)| *from <= day);
        let (_, figure) = story.get(later.checked_sub(1)?)?;
        figure.map(|figure| judged(reading, Figure { day, ..figure }))
    };
    days.into_iter().filter_map(standing).collect()
}

/// What was judged of a figure at the end of its day: the worst verdict and the nearest limits.
fn judged(reading: &Reading, figure: Figure) -> Judged {
    let mut judged = Judged {
        figure,
        verdict: None,
        lower: None,
        upper: None,
    };
    for judgement in reading
        .worked
        .checks_on(reading.name)
        .filter_map(|check| check.on_day(figure.day))
    {
        // The later in the list is the worse; a limit that is not known yet says nothing of the
        // value.
        let verdict = Some(judgement.verdict).filter(|verdict| *verdict < Verdict::NoReading);
        judged.verdict = judged.verdict.max(verdict);
        let lower = judgement.lower.map(|limit| reading.unit.reading(limit));
        let upper = judgement.upper.map(|limit| reading.unit.reading(limit));
        judged.lower = judged.lower.into_iter().chain(lower).reduce(f64::max);
        judged.upper = judged.upper.into_iter().chain(upper).reduce(f64::min);
    }
    judged
}

/// The lower and the upper limits of the checks on the name, through the days.
pub(super) fn all_limit_lines(reading: &Reading) -> Vec<LimitLine> {
    reading
        .worked
        .checks_on(reading.name)
        .flat_map(|check| limit_lines(check, reading))
        .collect()
}

fn limit_lines(check: &Check, reading: &Reading) -> Vec<LimitLine> {
    let mut lines = [true, false].map(|lower| LimitLine {
        lower,
        steps: Vec::new(),
    });
    for judgement in check
        .judgements
        .iter()
        .filter(|judgement| judgement.day <= reading.day)
    {
        for line in &mut lines {
            let limit = if line.lower {
                judgement.lower
            } else {
                judgement.upper
            };
            line.step(
                judgement.day,
                limit.map(|limit| reading.unit.reading(limit)),
            );
        }
    }
    lines
        .into_iter()
        .filter(|line| line.steps.iter().any(|step| step.1.is_some()))
        .collect()
}

impl LimitLine {
    /// The limit from a day on; the last word of a day stands.
    fn step(&mut self, day: u32, limit: Option<f64>) {
        if self.steps.last().is_some_and(|(last, _)| *last == day) {
            self.steps.pop();
        }
        if self.steps.last().is_none_or(|(_, last)| *last != limit) {
            self.steps.push((day, limit));
        }
    }
}
