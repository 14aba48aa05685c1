//! The press: a record and a theme become pages.
//!
//! In: a [`Record`] and a [`Theme`]. Out: bytes by path, relative to the record's folder. Knows how a page
//! looks, and nothing of how a figure came about.

mod theme;

use std::collections::BTreeMap;

use rayon::prelude::*;
use serde::Serialize;
use tera::Context;

pub use theme::{Theme, ThemeError};

use crate::record::Record;

/// Bytes by path: `days/day-01.html`.
pub type Pages = BTreeMap<String, Vec<u8>>;

/// A sheet that every page links to.
#[derive(Serialize)]
struct Way {
    href: &'static str,
    text: &'static str,
    here: bool,
}

const WAYS: [(&str, &str); 6] = [
    ("index.html", "Cover"),
    ("jobs.html", "Jobs"),
    ("ledger.html", "Parts ledger"),
    ("as-built.html", "As built"),
    ("hold.html", "Hold list"),
    ("methods.html", "Methods"),
];

/// Presses every page of a record.
pub fn press(record: &Record, theme: &Theme) -> Result<Pages, ThemeError> {
    let frame = &record.frame;
    let mut pages = Pages::new();
    let sheets: [(&str, &str, tera::Value); 6] = [
        ("index.html", "cover.html", data(&record.cover)?),
        ("jobs.html", "jobs.html", data(&record.jobs)?),
        ("ledger.html", "ledger.html", data(&record.ledger)?),
        ("as-built.html", "as-built.html", data(&record.as_built)?),
        ("hold.html", "hold.html", data(&record.hold)?),
        ("methods.html", "methods.html", data(&record.methods)?),
    ];
    let frame = data(frame)?;
    for (href, template, page) in sheets {
        pages.insert(href.to_owned(), sheet(theme, &frame, href, template, page)?);
    }
    let days: Result<Vec<_>, ThemeError> = record
        .days
        .par_iter()
        .map(|day| Ok((day.href.clone(), sheet(theme, &frame, &day.href, "day.html", data(day)?)?)))
        .collect();
    pages.extend(days?);
    pages.insert("style.css".to_owned(), theme.style().as_bytes().to_vec());
    Ok(pages)
}

fn data<T: Serialize>(what: &T) -> Result<tera::Value, ThemeError> {
    Ok(tera::Value::try_from_serializable(what)?)
}

fn sheet(
    theme: &Theme,
    frame: &tera::Value,
    href: &str,
    template: &str,
    page: tera::Value,
) -> Result<Vec<u8>, ThemeError> {
    let ways: Vec<Way> = WAYS.iter().map(|(to, text)| Way { href: to, text, here: *to == href }).collect();
    let mut context = Context::new();
    context.insert_value("frame", frame.clone());
    context.insert_value("page", page);
    context.insert("ways", &ways);
    context.insert("root", if href.contains('/') { "../" } else { "" });
    theme.render(template, &context)
}
