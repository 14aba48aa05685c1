//! Figures with as many digits as their verdict needs.
//!
//! In: a judgement, and the spread that figures are shown with. Out: the value with more digits, or
//! with the spread that it was judged with, where the usual print would seem to say otherwise than
//! the verdict; nothing where it does not.

use crate::book::Judge;
use crate::calc::{Judgement, Verdict, verdict_of_figures};
use crate::quantity::{Dimension, Sides, Value, format, printed};

/// Further digits that are tried; a double has no more to give.
const MOST_DIGITS: usize = 12;

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
    spread: Sides,
    money: bool,
}

impl Figures {
    fn of(judgement: &Judgement, value: &Value, judge: Judge) -> Self {
        let (unit, sides) = (&judgement.unit, judge.spread(value));
        let money = unit.dimension == Dimension::MONEY;
        Self {
            nominal: unit.reading(value.nominal),
            spread: Sides {
                up: unit.step(sides.up),
                down: unit.step(sides.down),
            },
            money,
        }
    }

    fn text(&self, more: usize) -> String {
        let Sides { up, down } = self.spread;
        if self.money && more == 0 {
            return format::money(self.nominal, up, down);
        }
        format::with_more_digits(self.nominal, up, down, more)
    }

    /// Does what is printed with so many further digits come to the same verdict?
    fn agree(&self, judgement: &Judgement, more: usize) -> bool {
        read(&self.text(more)).is_none_or(|printed| printed.verdict(judgement) == judgement.verdict)
    }

    fn verdict(&self, judgement: &Judgement) -> Verdict {
        let limit = |si: Option<f64>| si.map(|si| judgement.unit.reading(si));
        verdict_of_figures(
            self.nominal,
            self.spread,
            (limit(judgement.lower), limit(judgement.upper)),
        )
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
        spread: Sides {
            up: up.parse().ok()?,
            down: down.parse().ok()?,
        },
        money: false,
    })
}
