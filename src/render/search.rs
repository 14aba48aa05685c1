//! What the search line finds, as a script.
//!
//! In: [`SearchData`], through the redactor already where there is one. Out: a script that hands it
//! to `record.js`. It is a script and no JSON, for a page opened from a folder may load nothing
//! else; rows stand as lists without the names of their fields, for there are many.

use serde::Serialize;

use super::clean::clean;
use crate::pages::{FoundDay, FoundLine, FoundThing, SearchData};

/// The script's name in a record.
pub const SEARCH: &str = "search-data.js";

/// A list of texts; empty ones at its end are left out.
type Row<'a> = Vec<&'a str>;

/// [`SearchData`] without the names of its fields.
#[derive(Serialize)]
struct Rows<'a> {
    values: Vec<Row<'a>>,
    jobs: Vec<Row<'a>>,
    parts: Vec<Row<'a>>,
    days: Vec<Day<'a>>,
}

/// Day, page, title; then the texts of each place behind its anchor.
#[derive(Serialize)]
struct Day<'a>(u32, &'a str, &'a str, Vec<Row<'a>>);

pub(super) fn script(data: &SearchData) -> serde_json::Result<Vec<u8>> {
    let rows = Rows {
        values: data
            .values
            .iter()
            .map(|value| row([&value.id, &value.says, &value.href]))
            .collect(),
        jobs: data.jobs.iter().map(thing).collect(),
        parts: data.parts.iter().map(thing).collect(),
        days: data.days.iter().map(day).collect(),
    };
    let mut script = b"shimbookSearch(".to_vec();
    serde_json::to_writer(&mut script, &rows)?;
    script.extend_from_slice(b");\n");
    Ok(clean(script))
}

fn thing(of: &FoundThing) -> Row<'_> {
    row([&of.id, &of.name, &of.says])
}

fn row(texts: [&String; 3]) -> Row<'_> {
    let filled = texts
        .iter()
        .rposition(|text| !text.is_empty())
        .map_or(0, |last| last + 1);
    texts.into_iter().take(filled).map(String::as_str).collect()
}

fn day(of: &FoundDay) -> Day<'_> {
    Day(
        of.day,
        &of.href,
        &of.title,
        of.lines
            .chunk_by(|a, b| a.at == b.at)
            .filter_map(place)
            .collect(),
    )
}

/// The lines of one place behind its anchor.
fn place(lines: &[FoundLine]) -> Option<Row<'_>> {
    let at = lines.first()?.at.as_str();
    Some(
        std::iter::once(at)
            .chain(lines.iter().map(|line| line.says.as_str()))
            .collect(),
    )
}
