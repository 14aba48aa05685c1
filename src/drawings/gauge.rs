//! A gauge: a verdict as a small sign beside its word.
//!
//! In: a verdict. Out: the dot inside the bracket (in limits), on its edge (too close), outside
//! (out of limits); the bracket alone (no reading).

use super::ink::{self, Ink, Side};
use super::reading::Limits;
use super::{Drawing, WIDTH};
use crate::calc::Verdict;

/// The sign of a verdict, as high as the text it stands in.
pub fn gauge(verdict: Verdict) -> Drawing {
    let mut ink = Ink::new(40.0);
    ink.over_if(verdict == Verdict::OutOfLimits, |ink| {
        sign(ink, 0.0, 0.0, verdict);
    });
    ink.finish_inline(16.0, verdict.words().to_owned())
}

/// The sign, 40 by 16, with its corner at a point.
pub(super) fn sign(ink: &mut Ink, x: f64, y: f64, verdict: Verdict) {
    let (left, right, top, bottom) = (x + 2.0, x + 26.0, y + 1.0, y + 15.0);
    ink.line_through(
        &[
            (left + 5.0, top),
            (left, top),
            (left, bottom),
            (left + 5.0, bottom),
        ],
        1.7,
    );
    ink.line_through(
        &[
            (right - 5.0, top),
            (right, top),
            (right, bottom),
            (right - 5.0, bottom),
        ],
        1.7,
    );
    let dot = match verdict {
        Verdict::InLimits => x + 14.0,
        Verdict::TooClose => right,
        Verdict::OutOfLimits => x + 35.0,
        Verdict::NoReading | Verdict::Withdrawn => return,
    };
    ink.dot(dot, y + 8.0, 4.0);
}

/// Two lines: the verdict with its sign and the limits, then the margin under the limits.
pub(super) fn caption(ink: &mut Ink, y: f64, limits: &Limits) {
    let is_out = limits.verdict == Verdict::OutOfLimits;
    ink.over_if(is_out, |ink| {
        sign(ink, 0.0, y - 12.0, limits.verdict);
        ink.bold(50.0, y, Side::Start, limits.verdict.words(), 100.0);
    });
    ink.text(WIDTH, y, Side::End, &limits.text(), WIDTH - 165.0);
    // The spread it was judged by is named where there is room behind the margin.
    let texts = limits
        .margin_text()
        .into_iter()
        .chain([limits.margin.clone()]);
    if let Some(text) = texts.into_iter().find(|text| ink::width(text) <= WIDTH) {
        ink.faint(WIDTH, y + 16.0, Side::End, &text, WIDTH);
    }
}
