//! A band: where a name stands to its limits, and where it stood on earlier days.
//!
//! In: the worked book, a name, a day. Out: a row a day against one bracket, the latest first, and
//! under it a line for each check. The bracket is the nearest limit on each side; farther ones are
//! dashed.

use std::fmt::Write as _;

use super::gauge;
use super::ink::{Ink, Side};
use super::place::{Wish, apart};
use super::reading::{Figure, Limits, Reading, day_text, day_words, limit_text};
use super::scale::{Scale, range};
use super::{Drawing, WIDTH, empty, ink};
use crate::book::Judge;
use crate::calc::{NameId, Results, Verdict};
use crate::quantity::Unit;

const ROW: f64 = 24.0;
/// Where the rows begin: below the heading and the figures of the limits.
const TOP: f64 = 44.0;
const LEFT: f64 = 62.0;
/// At most so many earlier days have a row.
const EARLIER: usize = 5;
/// At most so much room for the figures at the right.
const FIGURES: f64 = 172.0;
/// An earlier figure farther from the bracket than so many times its width is shown at the edge.
const FAR: f64 = 4.0;

/// The band of a name at the end of a day; `judge` is the spread that the book judges with.
pub fn band(worked: &Results, name: NameId, day: u32, judge: Judge) -> Drawing {
    let Some(reading) = Reading::on_day(worked, name, day, judge) else {
        return empty(worked, name, day);
    };
    let band = Band::new(&reading);
    let mut ink = Ink::new(WIDTH);
    ink.text(0.0, 14.0, Side::Start, &reading.heading(), WIDTH);
    band.bracket(&mut ink);
    band.rows(&mut ink);
    let height = band.captions(&mut ink);
    ink.finish(height, band.words(&reading))
}

struct Band<'a> {
    unit: &'a Unit,
    now: Figure,
    /// Earlier days that have a row, the latest first.
    earlier: Vec<Figure>,
    /// How many earlier days have none.
    left_out: usize,
    limits: Vec<Limits>,
    lower: Option<f64>,
    upper: Option<f64>,
    scale: Scale,
    right: f64,
}

impl<'a> Band<'a> {
    fn new(reading: &Reading<'a>) -> Self {
        let mut earlier: Vec<Figure> = reading
            .story()
            .into_iter()
            .filter_map(|(_, figure)| figure)
            .collect();
        earlier.pop();
        earlier.reverse();
        let left_out = earlier.len().saturating_sub(EARLIER);
        earlier.truncate(EARLIER);
        let limits = reading.checks();
        let lower =
            range(limits.iter().filter_map(|limits| limits.lower)).map(|(_, nearest)| nearest);
        let upper =
            range(limits.iter().filter_map(|limits| limits.upper)).map(|(nearest, _)| nearest);
        let now = reading.now;
        let widest = earlier
            .iter()
            .chain([&now])
            .map(|figure| ink::width(&figure.text(reading.unit)))
            .fold(0.0, f64::max);
        let right = WIDTH - widest.min(FIGURES) - 12.0;
        let core: Vec<f64> = [lower, upper, Some(now.low()), Some(now.high())]
            .into_iter()
            .flatten()
            .collect();
        let scale = Scale::over(seen(&core, &earlier), LEFT, right);
        Self {
            unit: reading.unit,
            now,
            earlier,
            left_out,
            limits,
            lower,
            upper,
            scale,
            right,
        }
    }

    fn bottom(&self) -> f64 {
        TOP + ROW * (self.earlier.len() + 1) as f64
    }

    /// The bracket over all rows, with its figures above it.
    fn bracket(&self, ink: &mut Ink) {
        let (low, high) = (
            self.lower.map(|limit| self.scale.at(limit)),
            self.upper.map(|limit| self.scale.at(limit)),
        );
        let (from, to) = (low.unwrap_or(LEFT), high.unwrap_or(self.right));
        if low.or(high).is_some() {
            ink.wash(from, TOP, to - from, self.bottom() - TOP, ".06");
        }
        let serif = ((to - from) / 3.0).clamp(2.0, 9.0);
        for (limit, inward) in [(low, serif), (high, -serif)] {
            let Some(x) = limit else { continue };
            let (top, bottom) = (TOP, self.bottom());
            ink.line_through(
                &[
                    (x + inward, top),
                    (x, top),
                    (x, bottom),
                    (x + inward, bottom),
                ],
                1.6,
            );
        }
        self.farther_limits(ink);
        self.limit_figures(ink);
    }

    fn farther_limits(&self, ink: &mut Ink) {
        let all = self
            .limits
            .iter()
            .flat_map(|limits| [limits.lower, limits.upper])
            .flatten();
        for limit in all.filter(|limit| Some(*limit) != self.lower && Some(*limit) != self.upper) {
            let x = self.scale.at(limit);
            ink.dashed((x, TOP), (x, self.bottom()));
        }
    }

    fn limit_figures(&self, ink: &mut Ink) {
        let labels: Vec<(f64, String)> = [self.lower, self.upper]
            .into_iter()
            .flatten()
            .map(|limit| (self.scale.at(limit), ink::fit(&limit_text(limit), 120.0)))
            .collect();
        let wishes: Vec<Wish> = labels
            .iter()
            .map(|(x, text)| Wish {
                middle: *x,
                size: ink::width(text) + 8.0,
            })
            .collect();
        for (middle, (_, text)) in apart(&wishes, 0.0, WIDTH).into_iter().zip(&labels) {
            ink.text(middle, TOP - 7.0, Side::Middle, text, 120.0);
        }
    }

    fn rows(&self, ink: &mut Ink) {
        // A little high in its row: what is too much is ruled below it.
        let y = TOP + ROW / 2.0 - 2.0;
        self.too_much(ink, y + 7.0);
        let (low, high) = (
            self.scale.at(self.now.low()),
            self.scale.at(self.now.high()),
        );
        ink.over_if(self.is_out(), |ink| {
            if self.now.up > 0.0 || self.now.down > 0.0 {
                ink.whisker(y, low, high);
            }
            ink.dot(self.scale.at(self.now.nominal), y, 4.5);
        });
        ink.bold(
            0.0,
            y + 4.0,
            Side::Start,
            &day_text(self.now.day),
            LEFT - 4.0,
        );
        ink.bold(
            WIDTH,
            y + 4.0,
            Side::End,
            &self.now.text(self.unit),
            FIGURES,
        );
        let mut last = (self.scale.at(self.now.nominal), y);
        for (index, figure) in self.earlier.iter().enumerate() {
            let at = (self.scale.at(figure.nominal), y + ROW * (index + 1) as f64);
            ink.dashed(beside(last, at, 6.0), beside(at, last, 6.0));
            self.earlier_dot(ink, figure, at);
            ink.faint(
                0.0,
                at.1 + 4.0,
                Side::Start,
                &day_text(figure.day),
                LEFT - 4.0,
            );
            ink.faint(
                WIDTH,
                at.1 + 4.0,
                Side::End,
                &figure.text(self.unit),
                FIGURES,
            );
            last = at;
        }
    }

    fn earlier_dot(&self, ink: &mut Ink, figure: &Figure, (x, y): (f64, f64)) {
        if !self.scale.is_off(figure.nominal) {
            return ink.ring(x, y, 4.0);
        }
        let tip = if x > LEFT { 6.0 } else { -6.0 };
        ink.line_through(&[(x - tip, y - 4.0), (x, y), (x - tip, y + 4.0)], 1.3);
    }

    /// What lies beyond a limit, ruled.
    fn too_much(&self, ink: &mut Ink, y: f64) {
        let (low, high) = (
            self.scale.at(self.now.low()),
            self.scale.at(self.now.high()),
        );
        let beyond = [
            self.lower.map(|limit| (low, self.scale.at(limit))),
            self.upper.map(|limit| (self.scale.at(limit), high)),
        ];
        ink.over_if(self.is_out(), |ink| {
            for (from, to) in beyond.into_iter().flatten() {
                ink.hatch(from, y, to - from, 6.0);
            }
        });
    }

    fn is_out(&self) -> bool {
        self.limits
            .iter()
            .any(|limits| limits.verdict == Verdict::OutOfLimits)
    }

    /// A line for each check, with its sign; gives the height of the whole.
    fn captions(&self, ink: &mut Ink) -> f64 {
        let mut y = self.bottom() + 8.0;
        if self.left_out > 0 {
            y += 14.0;
            ink.faint(
                0.0,
                y,
                Side::Start,
                &format!("and {} earlier", self.left_out),
                WIDTH,
            );
            y += 4.0;
        }
        if self.limits.is_empty() {
            ink.faint(0.0, y + 14.0, Side::Start, "no limits set", WIDTH);
            y += 18.0;
        }
        for limits in &self.limits {
            y += 16.0;
            gauge::caption(ink, y, limits);
            y += 20.0;
        }
        y + 4.0
    }

    fn words(&self, reading: &Reading) -> String {
        let mut words = format!(
            "{}: {} {}",
            reading.title,
            reading.text(),
            day_words(self.now.day)
        );
        for limits in &self.limits {
            let _ = write!(words, "; {}, {}", limits.words(), limits.verdict.words());
            words.extend(limits.margin_text().map(|margin| format!(", {margin}")));
        }
        if self.limits.is_empty() {
            words.push_str("; no limits set");
        }
        let before = self
            .earlier
            .iter()
            .map(|figure| format!("{} {}", figure.text(self.unit), day_words(figure.day)));
        let before: Vec<String> = before.collect();
        if !before.is_empty() {
            let _ = write!(words, "; before that {}", before.join(", "));
        }
        if self.left_out > 0 {
            let _ = write!(words, " and {} earlier", self.left_out);
        }
        words
    }
}

/// The figures that the scale must hold: the core, and what stood not too far from it.
fn seen(core: &[f64], earlier: &[Figure]) -> Vec<f64> {
    let Some((low, high)) = range(core.iter().copied()) else {
        return Vec::new();
    };
    let reach = (high - low) * FAR;
    let near = |figure: &&Figure| {
        reach <= 0.0 || (figure.nominal >= low - reach && figure.nominal <= high + reach)
    };
    core.iter()
        .copied()
        .chain(earlier.iter().filter(near).map(|figure| figure.nominal))
        .collect()
}

/// The point `gap` away from one point on the way to another.
fn beside(from: (f64, f64), to: (f64, f64), gap: f64) -> (f64, f64) {
    let length = (to.0 - from.0).hypot(to.1 - from.1).max(1.0);
    (
        from.0 + (to.0 - from.0) * gap / length,
        from.1 + (to.1 - from.1) * gap / length,
    )
}
