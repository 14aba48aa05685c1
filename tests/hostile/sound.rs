//! A record as a browser would read it.
//!
//! In: its folder. Out: nothing, or what is wrong: a page that does not parse, a script or an
//! address that no page of ours has, a character that turns the reading direction.

use std::fs;
use std::path::Path;

use scraper::{Html, Selector};

/// A script that is not the one every page brings.
const NOT_OURS: &str =
    "script:not([src='record.js']):not([src='../record.js']), script:not(:empty)";
/// What the pages may not hold: scripts, frames, forms, handlers, addresses that run something.
const NEVER: [&str; 6] = [
    NOT_OURS,
    "iframe, object, embed, frame, base, link[rel=import]",
    "form",
    "meta[http-equiv]",
    "style",
    "[srcdoc]",
];
/// What the parser says of markup that a browser would read in another way than it was meant.
const MATTERS: [&str; 6] = [
    "Unexpected token",
    "Unexpected open",
    "Unexpected end tag",
    "Duplicate attribute",
    "Saw <",
    "eof",
];

/// Looks through a record.
pub(crate) fn record(folder: &Path) -> Result<(), String> {
    let mut todo = vec![folder.to_owned()];
    let mut pages = 0;
    while let Some(next) = todo.pop() {
        for entry in fs::read_dir(&next)
            .map_err(|cause| cause.to_string())?
            .flatten()
        {
            let path = entry.path();
            if path.is_dir() {
                todo.push(path);
            } else if path.extension().is_some_and(|ending| ending == "html") {
                pages += 1;
                page(&fs::read(&path).map_err(|cause| cause.to_string())?)
                    .map_err(|why| format!("{}: {why}", path.display()))?;
            }
        }
    }
    if pages < 6 {
        Err(format!("only {pages} pages"))
    } else {
        Ok(())
    }
}

/// Looks through a page.
pub(crate) fn page(bytes: &[u8]) -> Result<(), String> {
    let text = std::str::from_utf8(bytes).map_err(|_| "is not UTF-8".to_owned())?;
    if let Some(foul) = text
        .chars()
        .find(|c| turns(*c) || c.is_control() && !"\n\t\r\u{c}".contains(*c))
    {
        return Err(format!("holds {foul:?}"));
    }
    let page = Html::parse_document(text);
    if let Some(error) = page
        .errors
        .iter()
        .find(|error| MATTERS.iter().any(|matters| error.contains(matters)))
    {
        return Err(format!("does not parse: {error}"));
    }
    for never in NEVER {
        if let Some(element) = page.select(&Selector::parse(never).unwrap()).next() {
            return Err(format!("holds {}", element.html()));
        }
    }
    let all = Selector::parse("*").unwrap();
    let attributes = page
        .select(&all)
        .flat_map(|element| element.value().attrs());
    let wrong = attributes
        .filter(|(name, value)| name.starts_with("on") || is_address(name) && leads_away(value));
    let first = wrong
        .map(|(name, value)| format!("has {name}={value:?}"))
        .next();
    first.map_or(Ok(()), Err)
}

/// Does a character turn the direction of what follows?
fn turns(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn is_address(name: &str) -> bool {
    [
        "href",
        "src",
        "action",
        "formaction",
        "xlink:href",
        "poster",
        "data",
    ]
    .contains(&name)
}

/// Does an address run something, or reach for this machine?
fn leads_away(address: &str) -> bool {
    let plain: String = address
        .chars()
        .filter(|c| !c.is_control() && !c.is_whitespace())
        .collect::<String>()
        .to_lowercase();
    ["javascript:", "data:", "vbscript:", "file:"]
        .iter()
        .any(|scheme| plain.starts_with(scheme))
}
