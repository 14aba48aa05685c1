//! A history: a name's value against the days.
//!
//! In: the worked book, a name, a day. Out: a dot with its whisker for each day that moved it or
//! its limits, limits as lines with their far side ruled, what a formula predicted as open dots.

mod past;

use std::fmt::Write as _;

use past::{Judged, LimitLine, all_limit_lines, judged_days};

use super::ink::{Ink, Side};
use super::place::{Wish, apart};
use super::reading::{Figure, Reading, day_words, limits_text};
use super::scale::Scale;
use super::{Drawing, WIDTH, empty, ink};
use crate::book::Judge;
use crate::calc::{NameId, Results, Verdict};
use crate::quantity::{Unit, format, printed};

const TOP: f64 = 30.0;
const BOTTOM: f64 = 190.0;
/// At most so many days are told in words.
const TOLD: usize = 12;

/// The history of a name up to the end of a day; `judge` is the spread that the book judges with.
pub fn history(worked: &Results, name: NameId, day: u32, judge: Judge) -> Drawing {
    let Some(reading) = Reading::on_day(worked, name, day, judge) else {
        return empty(worked, name, day);
    };
    let history = History::new(&reading);
    let mut ink = Ink::new(WIDTH);
    ink.text(0.0, 14.0, Side::Start, &reading.heading(), WIDTH);
    history.axes(&mut ink);
    history.limit_lines(&mut ink);
    history.value_line(&mut ink);
    history.predicted_dots(&mut ink);
    history.dots(&mut ink);
    history.right_figures(&mut ink);
    let height = history.legend(&mut ink);
    ink.finish(height, history.words(&reading))
}

struct History<'a> {
    unit: &'a Unit,
    story: Vec<(u32, Option<Figure>)>,
    judged: Vec<Judged>,
    predicted: Vec<Figure>,
    limits: Vec<LimitLine>,
    days: (u32, u32),
    up: Scale,
    left: f64,
    right: f64,
}

impl<'a> History<'a> {
    fn new(reading: &Reading<'a>) -> Self {
        let story = reading.story();
        let figures = || story.iter().filter_map(|(_, figure)| *figure);
        let judged = judged_days(reading, &story);
        let predicted = reading.predicted();
        let limits = all_limit_lines(reading);
        let limit_figures = limits
            .iter()
            .flat_map(|line| &line.steps)
            .filter_map(|step| step.1);
        let reach = figures()
            .chain(predicted.iter().copied())
            .flat_map(|figure| [figure.low(), figure.high()]);
        let up = Scale::over(reach.chain(limit_figures), BOTTOM, TOP);
        let first = figures()
            .chain(predicted.iter().copied())
            .map(|figure| figure.day)
            .min()
            .unwrap_or(reading.day);
        let mut history = Self {
            unit: reading.unit,
            story,
            judged,
            predicted,
            limits,
            days: (first, reading.day.max(first)),
            up,
            left: 0.0,
            right: WIDTH,
        };
        let widest = |texts: &mut dyn Iterator<Item = String>| {
            texts.map(|t| ink::width(&t)).fold(0.0, f64::max)
        };
        history.left = widest(&mut history.marks().into_iter().map(|mark| mark.1)).min(90.0) + 10.0;
        history.right =
            WIDTH - widest(&mut history.labels().into_iter().map(|label| label.1)).min(90.0) - 10.0;
        history
    }

    /// Round figures of the upright scale.
    fn marks(&self) -> Vec<(f64, String)> {
        let marks = self.up.marks(4);
        let step = marks
            .windows(2)
            .map(|two| two[1] - two[0])
            .fold(f64::INFINITY, f64::min);
        let places = if step < 1.0 {
            (-step.log10()).ceil().clamp(0.0, 9.0) as usize
        } else {
            0
        };
        let text = |mark: f64| {
            let plain = if mark.abs() < 1e7 && step > 1e-9 {
                format::fixed(mark, places)
            } else {
                format::plain(mark, 3)
            };
            printed::marks(&plain)
        };
        marks.into_iter().map(|mark| (mark, text(mark))).collect()
    }

    fn x(&self, day: u32) -> f64 {
        let (first, last) = self.days;
        let (from, to) = (self.left + 12.0, self.right - 12.0);
        if first == last {
            return f64::midpoint(from, to);
        }
        from + (to - from) * f64::from(day.clamp(first, last) - first) / f64::from(last - first)
    }

    fn axes(&self, ink: &mut Ink) {
        ink.line_through(
            &[(self.left, TOP), (self.left, BOTTOM), (self.right, BOTTOM)],
            1.0,
        );
        for (mark, text) in self.marks() {
            let y = self.up.at(mark);
            ink.line((self.left - 4.0, y), (self.left, y), 1.0);
            ink.faint(self.left - 7.0, y + 4.0, Side::End, &text, 90.0);
        }
        let mut free = 0.0;
        let every = ((self.days.1 - self.days.0) / 100).max(1) as usize;
        for day in (self.days.0..=self.days.1).step_by(every) {
            let (x, text) = (self.x(day), self.day_label(day));
            let half = ink::width(&text) / 2.0;
            if x - half < free {
                continue;
            }
            ink.line((x, BOTTOM), (x, BOTTOM + 4.0), 1.0);
            ink.faint(x, BOTTOM + 17.0, Side::Middle, &text, 60.0);
            free = x + half + 10.0;
        }
    }

    fn day_label(&self, day: u32) -> String {
        match day {
            0 => "before".to_owned(),
            day if day == self.days.0.max(1) => format!("day {day}"),
            day => day.to_string(),
        }
    }

    fn limit_lines(&self, ink: &mut Ink) {
        for line in &self.limits {
            for (index, (day, limit)) in line.steps.iter().enumerate() {
                let Some(limit) = limit else { continue };
                let next = line.steps.get(index + 1);
                let from = if *day <= self.days.0 {
                    self.left
                } else {
                    self.x(*day)
                };
                let to = next.map_or(self.right, |next| self.x(next.0).max(from));
                let y = self.up.at(*limit);
                ink.line((from, y), (to, y), 1.6);
                far_side(ink, from, to, y, line.lower);
                if let Some((_, Some(next))) = next {
                    ink.line((to, y), (to, self.up.at(*next)), 1.6);
                }
            }
        }
    }

    /// A value stands until the next one; where there was none the line is broken.
    fn value_line(&self, ink: &mut Ink) {
        for (index, (day, figure)) in self.story.iter().enumerate() {
            let Some(figure) = figure else { continue };
            let next = self.story.get(index + 1);
            let (x, y) = (self.x(*day), self.up.at(figure.nominal));
            let end = next.map_or(self.right, |next| self.x(next.0));
            ink.hair((x, y), (end, y));
            if let Some((_, Some(next))) = next {
                ink.hair((end, y), (end, self.up.at(next.nominal)));
            }
        }
    }

    fn predicted_dots(&self, ink: &mut Ink) {
        for figure in &self.predicted {
            // A little before what was found that day, so that both are seen.
            ink.ring(
                self.x(figure.day) - 2.0 * self.radius(),
                self.up.at(figure.nominal),
                self.radius(),
            );
        }
    }

    fn radius(&self) -> f64 {
        if self.judged.len() + self.predicted.len() > 24 {
            2.5
        } else {
            4.0
        }
    }

    fn dots(&self, ink: &mut Ink) {
        for judged in &self.judged {
            let figure = &judged.figure;
            let (x, y) = (self.x(figure.day), self.up.at(figure.nominal));
            let (low, high) = (self.up.at(figure.low()), self.up.at(figure.high()));
            ink.over_if(judged.verdict == Some(Verdict::OutOfLimits), |ink| {
                if let Some(lower) = judged.lower.map(|limit| self.up.at(limit)) {
                    ink.hatch(x + 5.0, lower, 6.0, low - lower);
                }
                if let Some(upper) = judged.upper.map(|limit| self.up.at(limit)) {
                    ink.hatch(x + 5.0, high, 6.0, upper - high);
                }
                if figure.up > 0.0 || figure.down > 0.0 {
                    ink.upright(x, low, high);
                }
                ink.dot(x, y, self.radius());
            });
        }
    }

    /// What stands at the right edge: the limits as they are now, and the value.
    fn labels(&self) -> Vec<(f64, String, bool)> {
        let mut labels: Vec<(f64, String, bool)> = Vec::new();
        for line in &self.limits {
            let Some((_, Some(limit))) = line.steps.last() else {
                continue;
            };
            let text = if line.lower {
                limits_text(Some(*limit), None)
            } else {
                limits_text(None, Some(*limit))
            };
            if labels.iter().all(|label| label.1 != text) {
                labels.push((*limit, text, false));
            }
        }
        let now = self.judged.last().map(|judged| judged.figure);
        labels.extend(now.map(|now| (now.nominal, nominal_text(&now, self.unit), true)));
        labels
    }

    fn right_figures(&self, ink: &mut Ink) {
        let labels = self.labels();
        let wishes: Vec<Wish> = labels
            .iter()
            .map(|label| Wish {
                middle: self.up.at(label.0),
                size: 15.0,
            })
            .collect();
        for (middle, (_, text, is_now)) in apart(&wishes, TOP - 10.0, BOTTOM + 8.0)
            .into_iter()
            .zip(&labels)
        {
            let write = if *is_now { Ink::bold } else { Ink::text };
            write(
                ink,
                self.right + 6.0,
                middle + 4.0,
                Side::Start,
                text,
                WIDTH - self.right - 6.0,
            );
        }
    }

    fn legend(&self, ink: &mut Ink) -> f64 {
        let mut y = BOTTOM + 20.0;
        if !self.predicted.is_empty() {
            y += 18.0;
            ink.ring(5.0, y - 4.0, 4.0);
            ink.faint(16.0, y, Side::Start, "predicted", 80.0);
            ink.dot(105.0, y - 4.0, 4.0);
            ink.faint(116.0, y, Side::Start, "found", 80.0);
        }
        y + 8.0
    }

    fn words(&self, reading: &Reading) -> String {
        let mut words = format!("{}:", reading.heading());
        let left_out = self.judged.len().saturating_sub(TOLD);
        if left_out > 0 {
            let _ = write!(words, " {left_out} earlier, then");
        }
        let told: Vec<String> = self
            .judged
            .iter()
            .skip(left_out)
            .map(|judged| judged.words(self.unit))
            .collect();
        let _ = write!(words, " {}", told.join("; "));
        for line in &self.limits {
            let _ = write!(words, "; {}", line.words());
        }
        let from = self.predicted.len().saturating_sub(TOLD);
        for figure in &self.predicted[from..] {
            let _ = write!(
                words,
                "; predicted {} {}",
                figure.text(self.unit),
                day_words(figure.day)
            );
        }
        words
    }
}

/// The nominal to the place that its spread gives it.
fn nominal_text(figure: &Figure, unit: &Unit) -> String {
    figure
        .text(unit)
        .split([' ', '±'])
        .next()
        .unwrap_or_default()
        .to_owned()
}

/// Short strokes on the side of a limit where nothing may be.
fn far_side(ink: &mut Ink, from: f64, to: f64, y: f64, lower: bool) {
    let away = if lower { 5.0 } else { -5.0 };
    let count = ((to - from) / 9.0).clamp(0.0, 60.0) as usize;
    for stroke in 0..count {
        let x = from + 9.0 * stroke as f64 + 6.0;
        ink.line((x, y), (x - 5.0, y + away), 0.8);
    }
}
