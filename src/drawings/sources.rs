//! Sources: which reading a value's spread comes from.
//!
//! In: the worked book, a name, a day. Out: a row a source, the largest first: an outlined bar for
//! its share of the worst case, a filled one for its share of the root-sum-square.

use super::ink::{Ink, Side};
use super::reading::{Reading, day_words};
use super::{Drawing, WIDTH, empty, frame, ink};
use crate::book::Judge;
use crate::calc::{NameId, Results, SpreadSource, SpreadSourceKind};
use crate::quantity::Term;

const ROW: f64 = 38.0;
const TOP: f64 = 24.0;
/// At most so many sources have a row.
const MOST: usize = 8;

/// The sources of a name's spread at the end of a day.
pub fn sources(worked: &Results, name: NameId, day: u32) -> Drawing {
    let Some(reading) = Reading::on_day(worked, name, day, Judge::WorstCase) else {
        return empty(worked, name, day);
    };
    let shares = shares(worked, reading.value.terms());
    if shares.is_empty() {
        return frame(
            &reading.heading(),
            &format!("{} without spread", reading.now.text(reading.unit)),
        );
    }
    let mut ink = Ink::new(WIDTH);
    ink.text(0.0, 14.0, Side::Start, &reading.heading(), WIDTH);
    let shown = shares.len().min(MOST);
    for (index, share) in shares.iter().take(MOST).enumerate() {
        row(&mut ink, TOP + ROW * index as f64, share);
    }
    let height = legend(&mut ink, TOP + ROW * shown as f64, shares.len() - shown);
    ink.finish(height, words(&reading, &shares))
}

struct Share<'a> {
    origin: &'a SpreadSource,
    worst: f64,
    rss: f64,
}

/// Shares of the whole, the largest first.
fn shares<'a>(worked: &'a Results, terms: &[Term]) -> Vec<Share<'a>> {
    let largest = terms.iter().map(reach).fold(0.0, f64::max);
    if largest <= 0.0 || !largest.is_finite() {
        return Vec::new();
    }
    // Against the largest, so that squares of very small or very large effects stay in range.
    let relative = |term: &Term| reach(term) / largest;
    let square = |term: &Term| (term.up() / largest).powi(2) + (term.down() / largest).powi(2);
    let (whole, whole_square): (f64, f64) = (
        terms.iter().map(relative).sum(),
        terms.iter().map(square).sum(),
    );
    let mut shares: Vec<Share> = terms
        .iter()
        .map(|term| Share {
            origin: worked.origins.get(term.source),
            worst: relative(term) / whole,
            rss: square(term) / whole_square,
        })
        .collect();
    shares.sort_by(|a, b| b.worst.total_cmp(&a.worst));
    shares
}

/// How far a source moves the value, up and down together.
fn reach(term: &Term) -> f64 {
    term.up() / 2.0 + term.down() / 2.0
}

fn row(ink: &mut Ink, y: f64, share: &Share) {
    let from = whence(share.origin);
    let room = WIDTH - ink::width(&from) - 14.0;
    ink.text(0.0, y + 13.0, Side::Start, &share.origin.label, room);
    ink.faint(WIDTH, y + 13.0, Side::End, &from, WIDTH);
    let figures = format!("{} · {}", percent(share.worst), percent(share.rss));
    let bar = WIDTH - 108.0;
    ink.wash(0.0, y + 21.0, bar * share.rss, 6.0, "1");
    ink.outline(0.5, y + 18.5, (bar * share.worst).max(1.0), 11.0);
    ink.text(WIDTH, y + 28.0, Side::End, &figures, 104.0);
}

fn legend(ink: &mut Ink, y: f64, more: usize) -> f64 {
    let mut y = y + 16.0;
    if more > 0 {
        ink.faint(0.0, y, Side::Start, &format!("and {more} more"), WIDTH);
        y += 20.0;
    }
    ink.outline(0.5, y - 9.5, 22.0, 11.0);
    ink.faint(28.0, y, Side::Start, "worst case", 120.0);
    ink.wash(130.0, y - 7.0, 22.0, 6.0, "1");
    ink.faint(158.0, y, Side::Start, "root-sum-square", 180.0);
    y + 10.0
}

fn percent(share: f64) -> String {
    let percent = (share * 100.0).round();
    if percent < 1.0 {
        "< 1 %".to_owned()
    } else {
        format!("{percent:.0} %")
    }
}

/// Who read it and when, or what it is.
fn whence(origin: &SpreadSource) -> String {
    let day = if origin.day == 0 {
        "before day 1".to_owned()
    } else {
        format!("day {}", origin.day)
    };
    match (origin.kind, &origin.by) {
        (SpreadSourceKind::Law, _) => "rule of thumb".to_owned(),
        (SpreadSourceKind::Figure, _) => "part's figure".to_owned(),
        (SpreadSourceKind::Given, _) => format!("given, {day}"),
        (SpreadSourceKind::Reading, Some(by)) => format!("read {day}, {}", ink::fit(by, 110.0)),
        (SpreadSourceKind::Reading, None) => format!("read {day}"),
    }
}

fn words(reading: &Reading, shares: &[Share]) -> String {
    let rows: Vec<String> = shares
        .iter()
        .take(MOST)
        .map(|share| {
            let Share { origin, worst, rss } = share;
            format!(
                "{} ({}) {} of the worst case and {} of the root-sum-square",
                origin.label,
                whence(origin),
                percent(*worst),
                percent(*rss)
            )
        })
        .collect();
    let more = shares.len().saturating_sub(MOST);
    let more = if more > 0 {
        format!("; and {more} more")
    } else {
        String::new()
    };
    let (title, day) = (reading.title, day_words(reading.now.day));
    format!(
        "{title} {day} is {}; its spread comes from {}{more}",
        reading.text(),
        rows.join("; ")
    )
}
