//! A stand: one value against its limits in a single row, to scale, small enough for a line of a
//! table.
//!
//! In: a judgement. Out: the limits as a bracket, the value as a dot with its spread as a whisker.
//! Its words are those of the row it stands in, so it says the verdict only.

use super::Drawing;
use super::ink::Ink;
use super::reading::figure;
use super::scale::Scale;
use crate::book::Judge;
use crate::calc::{Judgement, Verdict};

const WIDE: f64 = 150.0;
const HIGH: f64 = 24.0;
/// Half the height of the bracket.
const HALF: f64 = 8.0;

/// How a value stands to its limits; `None` where there is no value or no limit to draw.
pub fn stand(judgement: &Judgement, judge: Judge) -> Option<Drawing> {
    let unit = &judgement.unit;
    let at = figure(judgement.value.as_ref()?, unit, judgement.day, judge);
    let (lower, upper) = (
        judgement.lower.map(|l| unit.reading(l)),
        judgement.upper.map(|u| unit.reading(u)),
    );
    let limits = lower.into_iter().chain(upper);
    limits.clone().next()?;
    let scale = Scale::over(limits.chain([at.low(), at.high()]), 4.0, WIDE - 4.0);
    let mut ink = Ink::new(WIDE);
    let middle = HIGH / 2.0;
    ink.hair((0.0, middle), (WIDE, middle));
    let inside = (
        lower.map_or(0.0, |l| scale.at(l)),
        upper.map_or(WIDE, |u| scale.at(u)),
    );
    ink.wash(
        inside.0,
        middle - HALF,
        inside.1 - inside.0,
        2.0 * HALF,
        ".09",
    );
    for (limit, inward) in lower
        .map(|l| (scale.at(l), 5.0))
        .into_iter()
        .chain(upper.map(|u| (scale.at(u), -5.0)))
    {
        let (top, bottom) = (middle - HALF, middle + HALF);
        let hook = limit + inward;
        ink.line_through(
            &[(hook, top), (limit, top), (limit, bottom), (hook, bottom)],
            1.7,
        );
    }
    ink.over_if(judgement.verdict == Verdict::OutOfLimits, |ink| {
        ink.whisker(middle, scale.at(at.low()), scale.at(at.high()));
        ink.dot(scale.at(at.nominal), middle, 4.0);
    });
    Some(ink.finish(HIGH, judgement.verdict.words().to_owned()))
}
