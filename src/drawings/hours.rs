//! Hours against hands: for each day the work that lies on it and the hours of those who are there.
//!
//! In: a row a day. Out: a ruled bar a day; what is more than the hands can do is hatched.

use super::ink::{self, Ink, Side};
use super::{Drawing, WIDTH};
use crate::quantity::{format, printed};

/// A day's hours.
#[derive(Clone, Debug, PartialEq)]
pub struct DayHours {
    /// What the day is called.
    pub label: String,
    /// Hours of those who are there.
    pub hands: f64,
    /// Hours of work that lie on the day.
    pub work: f64,
}

const ROW: f64 = 27.0;

/// Hours of work against hands, a bar a day.
pub fn hours(days: &[DayHours]) -> Drawing {
    let rows: Vec<Row> = days.iter().map(Row::new).collect();
    let left = rows
        .iter()
        .map(|row| ink::width(row.label))
        .fold(0.0, f64::max)
        .min(98.0)
        + 10.0;
    let right = WIDTH
        - rows
            .iter()
            .map(|row| ink::width(&row.text))
            .fold(0.0, f64::max)
        - 10.0;
    let most = rows
        .iter()
        .map(|row| row.hands.max(row.work))
        .fold(0.0, f64::max);
    let mut ink = Ink::new(WIDTH);
    for (index, row) in rows.iter().enumerate() {
        let per_hour = if most > 0.0 {
            (right - left).max(0.0) / most
        } else {
            0.0
        };
        row.draw(&mut ink, left, ROW * index as f64 + 2.0, per_hour);
    }
    let words: Vec<String> = rows.iter().map(Row::words).collect();
    let words = if words.is_empty() {
        "no days".to_owned()
    } else {
        words.join(", ")
    };
    ink.finish(
        ROW * rows.len() as f64 + 2.0,
        format!("hours of work against hours of hands: {words}"),
    )
}

struct Row<'a> {
    label: &'a str,
    hands: f64,
    work: f64,
    text: String,
}

impl<'a> Row<'a> {
    fn new(day: &'a DayHours) -> Self {
        let (hands, work) = (count(day.hands), count(day.work));
        let text = format!("{} h of {}", hour_text(work), hour_text(hands));
        Self {
            label: &day.label,
            hands,
            work,
            text,
        }
    }

    fn draw(&self, ink: &mut Ink, left: f64, y: f64, per_hour: f64) {
        ink.text(0.0, y + 14.0, Side::Start, self.label, left - 8.0);
        let (hands, work) = (self.hands * per_hour, self.work * per_hour);
        ink.wash(left, y, work.min(hands), 19.0, ".16");
        ink.outline(left, y + 0.5, hands, 18.0);
        if self.is_over() {
            ink.over(|ink| ink.hatch(left + hands, y + 0.5, work - hands, 18.0));
        }
        let end = left + hands.max(work) + 8.0;
        let bold = self.is_over();
        let write = if bold { Ink::bold } else { Ink::text };
        ink.over_if(bold, |ink| {
            write(ink, end, y + 14.0, Side::Start, &self.text, WIDTH - end);
        });
    }

    fn is_over(&self) -> bool {
        self.work > self.hands
    }

    fn words(&self) -> String {
        let over = format!(", {} h too much", hour_text(self.work - self.hands));
        format!(
            "{} {}{}",
            self.label,
            self.text,
            if self.is_over() { over.as_str() } else { "" }
        )
    }
}

fn hour_text(hours: f64) -> String {
    printed::marks(&format::hours(hours))
}

/// A count of hours or kilograms: never less than nothing, never endless.
pub(super) fn count(number: f64) -> f64 {
    if number.is_finite() {
        number.clamp(0.0, 1e9)
    } else {
        0.0
    }
}
