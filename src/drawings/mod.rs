//! Drawings: what people would rather look at than read, to scale and from the book's own values.
//!
//! In: the worked book, a name and a day; or plain rows of hours or masses. Out: [`Drawing`]s,
//! inline SVG and the same in words. The grammar: limits are a bracket, a value is a dot with its
//! spread as a whisker, where it stood earlier is an open dot, what is too much is hatched.
//! Everything is drawn in `currentColor`, so that a drawing works on light paper, on dark and in
//! print.
//!
//! A style sheet may set: `.drawing` the whole (it fills its place; give it a `max-width`), `.t`
//! faint text, `.over` what must stop somebody (drawn in `--oxide`, where that is set). Texts are
//! laid out for tabular figures of at most [`FONT_SIZE`] units; a style sheet may make them
//! smaller, never larger.
//!
//! What always holds: texts do not overlap and lie inside the frame, and every number is finite.

mod band;
mod block;
mod chain;
mod driveline;
mod finish;
mod gauge;
mod history;
mod hours;
mod ink;
mod mass;
mod place;
mod reading;
mod scale;
mod sources;
mod stand;
#[cfg(test)]
mod tests;

pub use band::band;
pub use block::{DrawingRequest, Drawings, read_block};
pub use chain::{ChainJob, LinkState, chain};
pub use driveline::driveline;
pub use finish::{Finish, finish};
pub use gauge::gauge;
pub use history::history;
pub use hours::{DayHours, hours};
pub use ink::FONT_SIZE;
pub use mass::{MassLimit, mass};
pub use sources::sources;
pub use stand::stand;

use crate::calc::{Known, NameId, Results};
use ink::{Ink, Side};

/// A drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// One `<svg>` element, every text escaped.
    pub svg: String,
    /// What it shows, in words; not escaped.
    pub words: String,
}

/// How wide a drawing is, in its own units.
const WIDTH: f64 = 360.0;

/// An empty frame for a name that has no value to draw, with the limits it will be held against.
fn empty(worked: &Results, name: NameId, day: u32) -> Drawing {
    let why = match worked.on_day(name, day).map(|moment| &moment.known) {
        Some(Known::NoReading(wanting)) if *wanting != name => {
            format!("no reading: {}", worked.text(*wanting))
        }
        Some(Known::Broken) => "in error".to_owned(),
        _ => "no reading".to_owned(),
    };
    let limits = reading::awaiting(worked, name, day)
        .into_iter()
        .map(|limits| format!("; {limits}"));
    frame(
        worked.text(name),
        &limits.fold(why, |why, limits| why + &limits),
    )
}

/// A frame with a line of text where the drawing would be.
fn frame(title: &str, why: &str) -> Drawing {
    let mut ink = Ink::new(WIDTH);
    ink.text(0.0, 14.0, Side::Start, title, WIDTH);
    ink.dashed_frame(0.5, 24.5, WIDTH - 1.0, 46.0);
    ink.faint(WIDTH / 2.0, 52.0, Side::Middle, why, WIDTH - 20.0);
    ink.finish(76.0, format!("{title}: {why}"))
}
