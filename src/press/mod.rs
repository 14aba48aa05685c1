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

/// A page still to be pressed.
type Job<'a> = Box<dyn FnOnce() -> Result<(String, Vec<u8>), ThemeError> + Send + 'a>;

/// Presses every page of a record.
pub fn press(record: Record, theme: &Theme) -> Result<Pages, ThemeError> {
    let frame = data(&record.frame)?;
    let press = Press { theme, frame };
    // The long sheets first, so that none is left over at the end.
    let mut jobs = vec![
        press.job("as-built.html".to_owned(), "as-built.html", record.as_built),
        press.job("jobs.html".to_owned(), "jobs.html", record.jobs),
        press.job("ledger.html".to_owned(), "ledger.html", record.ledger),
        press.job("index.html".to_owned(), "cover.html", record.cover),
        press.job("hold.html".to_owned(), "hold.html", record.hold),
        press.job("methods.html".to_owned(), "methods.html", record.methods),
    ];
    jobs.extend(record.days.into_iter().map(|day| press.job(day.href.clone(), "day.html", day)));
    let mut pages: Pages = jobs.into_par_iter().with_max_len(1).map(|job| job()).collect::<Result<_, _>>()?;
    pages.insert("style.css".to_owned(), theme.style().as_bytes().to_vec());
    Ok(pages)
}

/// What all pages share.
struct Press<'a> {
    theme: &'a Theme,
    frame: tera::Value,
}

impl Press<'_> {
    fn job<'a, T: Serialize + Send + 'a>(&'a self, href: String, template: &'static str, page: T) -> Job<'a> {
        Box::new(move || {
            let pressed = self.page(&href, template, &page)?;
            Ok((href, pressed))
        })
    }

    fn page(&self, href: &str, template: &str, page: &impl Serialize) -> Result<Vec<u8>, ThemeError> {
        let ways: Vec<Way> = WAYS.iter().map(|(to, text)| Way { href: to, text, here: *to == href }).collect();
        let mut context = Context::new();
        context.insert_value("frame", self.frame.clone());
        context.insert_value("page", data(page)?);
        context.insert("ways", &ways);
        context.insert("root", if href.contains('/') { "../" } else { "" });
        self.theme.render(template, &context)
    }
}

fn data<T: Serialize>(what: &T) -> Result<tera::Value, ThemeError> {
    Ok(tera::Value::try_from_serializable(what)?)
}
