//! Figures with as many digits as their verdict needs.
//!
//! In: a judgement, and the spread that figures are shown with. Out: the value with more digits, or
//! with the spread that it was judged with, where the usual print would seem to say otherwise than
//! the verdict; nothing where it does not.

use super::words;
use crate::book::Judge;
use crate::calc::{Judgement, Verdict};
use crate::quantity::{Dimension, Value, format, printed};

/// Further digits that are tried; a double has no more to give.
const MOST_DIGITS: usize = 12;
/// A limit and a figure nearer than this share of their size are the same, as they are for the
/// verdict.
const SAME: f64 = 1e-12;

/// The value in full, where its usual print would contradict the verdict.
pub(crate) fn in_full(judgement: &Judgement, shown_by: Judge) -> Option<String> {
    let value = judgement.value.as_ref()?;
    let usual = Figures::of(judgement, value, shown_by);
    if usual.agree(judgement, 0) {
        return None;
    }
    // The figures may be shown with another spread than the check is judged with.
    let judged = Figures::of(judgement, value, judgement.margin?.by);
    [usual, judged].into_iter().find_map(|figures| {
        let digits = (0..=MOST_DIGITS).find(|more| figures.agree(judgement, *more))?;
        Some(printed::joined(&figures.text(digits), &judgement.unit))
    })
}

/// A value and its reach, in the unit it is shown in.
struct Figures {
    nominal: f64,
    up: f64,
    down: f64,
    money: bool,
}

impl Figures {
    fn of(judgement: &Judgement, value: &Value, judge: Judge) -> Self {
        let (unit, sides) = (&judgement.unit, words::spread(value, judge));
        let money = unit.dimension == Dimension::MONEY;
        Self {
            nominal: unit.reading(value.nominal),
            up: unit.step(sides.up),
            down: unit.step(sides.down),
            money,
        }
    }

    fn text(&self, more: usize) -> String {
        if self.money && more == 0 {
            return format::money(self.nominal, self.up, self.down);
        }
        format::with_more_digits(self.nominal, self.up, self.down, more)
    }

    /// Does what is printed with so many further digits come to the same verdict?
    fn agree(&self, judgement: &Judgement, more: usize) -> bool {
        read(&self.text(more)).is_none_or(|printed| printed.verdict(judgement) == judgement.verdict)
    }

    fn verdict(&self, judgement: &Judgement) -> Verdict {
        let limit = |si: Option<f64>| si.map(|si| judgement.unit.reading(si));
        let above = limit(judgement.lower)
            .map(|lower| self.sides(self.nominal - lower, lower, (self.down, self.up)));
        let below = limit(judgement.upper)
            .map(|upper| self.sides(upper - self.nominal, upper, (self.up, self.down)));
        let sides = || above.iter().chain(&below);
        if sides().any(|(_, most)| *most < 0.0) {
            Verdict::OutOfLimits
        } else if sides().all(|(least, _)| *least >= 0.0) {
            Verdict::InLimits
        } else {
            Verdict::TooClose
        }
    }

    /// How far inside a limit it lies, at the least and at the most.
    fn sides(&self, inside: f64, limit: f64, (towards, away): (f64, f64)) -> (f64, f64) {
        let same = SAME * self.nominal.abs().max(limit.abs());
        let snapped = |figure: f64| if figure.abs() <= same { 0.0 } else { figure };
        (snapped(inside - towards), snapped(inside + away))
    }
}

/// Reads a printed value back: `3.56`, `3.56 ± 0.10`, `10.0 +0.2/-0.1`.
fn read(text: &str) -> Option<Figures> {
    let (nominal, spread) = text.split_once(' ').unwrap_or((text, "± 0"));
    let (up, down) = match spread.strip_prefix("± ") {
        Some(both) => (both, both),
        None => spread.strip_prefix('+')?.split_once("/-")?,
    };
    Some(Figures {
        nominal: nominal.parse().ok()?,
        up: up.parse().ok()?,
        down: down.parse().ok()?,
        money: false,
    })
}
