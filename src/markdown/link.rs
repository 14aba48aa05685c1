//! Where links and pictures may lead.
//!
//! In: an address as a log writes it. Out: the address in the page, or why it is not followed.
//! Nothing leads out of the book's folder, and no kind of address but the plain ones is let
//! through.

use std::collections::BTreeSet;

use super::FarLink;
use super::escape::{escape_href, unpercent};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::source::Span;

/// What a log can lead to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Surroundings {
    /// The paths of all logs, such as `days/day-01.md`.
    pub logs: BTreeSet<String>,
    /// The paths of all pictures, such as `photos/arch.png`.
    pub photos: BTreeSet<String>,
    /// Pictures and folders that lead out of the book.
    pub refused_photos: BTreeSet<String>,
    /// Folders of pictures that cannot be listed.
    pub closed_photos: BTreeSet<String>,
}

/// Where a link goes.
pub(super) enum Goes {
    /// Out of the record; the address is safe to print.
    Out(String),
    /// To a page of the record; the address is safe to print.
    To(String),
    /// To a heading of another log; the address is safe to print.
    Far(String, FarLink),
    /// To an anchor of the same page, as written.
    Here(String),
}

/// Where a link of a log leads in the page.
pub(super) fn link(
    around: &Surroundings,
    address: &str,
    at: Span,
) -> Result<Goes, Box<Diagnostic>> {
    if let Some(anchor) = address.strip_prefix('#') {
        return Ok(Goes::Here(unpercent(anchor)));
    }
    if is_followed(address) {
        return Ok(Goes::Out(escape_href(address)));
    }
    let (path, anchor) = address
        .split_once('#')
        .map_or((address, None), |(path, anchor)| (path, Some(anchor)));
    let file = inside(path);
    let page = file.as_deref().and_then(|file| page_of(around, file));
    let (Some(page), Some(log)) = (page, file) else {
        return Err(Box::new(no_page(address, path, at)));
    };
    let Some(anchor) = anchor else {
        return Ok(Goes::To(escape_href(&page)));
    };
    let far = FarLink {
        log,
        anchor: unpercent(anchor),
        span: at,
    };
    Ok(Goes::Far(escape_href(&format!("{page}#{anchor}")), far))
}

/// Does the address begin as one of the plain kinds?
fn is_followed(address: &str) -> bool {
    ["http://", "https://", "mailto:"].iter().any(|kind| {
        address
            .get(..kind.len())
            .is_some_and(|begins| begins.eq_ignore_ascii_case(kind))
            && address.len() > kind.len()
    })
}

/// The page of a file of the book, as seen from a day's page.
fn page_of(around: &Surroundings, path: &str) -> Option<String> {
    match path {
        "plan.md" => return Some("../jobs.html".to_owned()),
        "parts.yaml" => return Some("../ledger.html".to_owned()),
        _ => {}
    }
    let stem = path.strip_prefix("days/")?.strip_suffix(".md")?;
    // Signs that would end the path, or read as a scheme.
    let stem = [('%', "%25"), ('?', "%3F"), ('#', "%23"), (':', "%3A")]
        .iter()
        .fold(stem.to_owned(), |stem, (sign, code)| {
            stem.replace(*sign, code)
        });
    around.logs.contains(path).then(|| format!("{stem}.html"))
}

fn no_page(address: &str, path: &str, at: Span) -> Diagnostic {
    let of_scheme =
        |b: u8| b.is_ascii_alphanumeric() || b.is_ascii_control() || b" +-.".contains(&b);
    let scheme = path
        .split_once(':')
        .is_some_and(|(kind, _)| kind.bytes().all(of_scheme));
    let (slug, message) = match () {
        () if scheme || path.starts_with("//") => (
            Slug::BadLink,
            "this kind of link is not supported".to_owned(),
        ),
        () if inside(path).is_none() => (
            Slug::OutsideBook,
            format!("`{address}` is outside the book's folder"),
        ),
        () => (Slug::BadLink, format!("`{address}` is not in the book")),
    };
    Diagnostic::warning(slug, at, message)
        .expected("a web address, `#heading`, another log, `../plan.md` or `../parts.yaml`")
}

/// The log that an address most likely means.
pub(super) fn nearest_log(around: &Surroundings, address: &str) -> Option<String> {
    let logs = around
        .logs
        .iter()
        .filter_map(|log| log.strip_prefix("days/"));
    nearest(address.split('#').next()?, logs).map(str::to_owned)
}

/// The picture that an address most likely means.
pub(super) fn nearest_photo(around: &Surroundings, address: &str) -> Option<String> {
    let path = photo_path(address)?;
    nearest(&path, around.photos.iter().map(String::as_str)).map(str::to_owned)
}

/// The path in the book that a picture's address means, if it lies in `photos/`.
pub(super) fn photo_path(address: &str) -> Option<String> {
    let path = inside(address)?;
    let path = path
        .strip_prefix("days/")
        .map(str::to_owned)
        .unwrap_or(path);
    path.starts_with("photos/").then_some(path)
}

/// The path in the book's folder that a relative path of a log (which stands in `days/`) means.
fn inside(path: &str) -> Option<String> {
    let path = unpercent(path);
    if path.starts_with('/') || path.contains(['\\', ':', '\0']) {
        return None;
    }
    let mut parts = vec!["days"];
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." => drop(parts.pop()?),
            name => parts.push(name),
        }
    }
    Some(parts.join("/"))
}

/// The path in the book of a picture: from the book's root (`photos/x.png`) or from the log
/// (`../photos/x.png`).
pub(super) fn photo(
    around: &Surroundings,
    address: &str,
    at: Span,
) -> Result<String, Box<Diagnostic>> {
    let Some(path) = photo_path(address) else {
        let found = Diagnostic::warning(
            Slug::BadLink,
            at,
            "only pictures in the book's `photos/` folder are shown",
        );
        return Err(Box::new(found.expected(
            "a picture in `photos/`, for example `../photos/picture.jpg`",
        )));
    };
    if around.photos.contains(&path) {
        return Ok(path);
    }
    let lies_in = |folders: &BTreeSet<String>| {
        let below = |folder: &String| path.strip_prefix(folder.as_str());
        folders
            .iter()
            .filter_map(below)
            .any(|rest| rest.is_empty() || rest.starts_with('/'))
    };
    if lies_in(&around.closed_photos) {
        let found = Diagnostic::warning(
            Slug::Unreadable,
            at,
            format!("`{path}` cannot be read: its folder cannot be read"),
        );
        return Err(Box::new(
            found.expected("a picture folder that can be read"),
        ));
    }
    if lies_in(&around.refused_photos) {
        let found = Diagnostic::warning(
            Slug::OutsideBook,
            at,
            format!("`{path}` is outside the book's folder"),
        );
        return Err(Box::new(
            found.expected("the picture file in `photos/`, not a link to it"),
        ));
    }
    let found = Diagnostic::warning(
        Slug::NoPhoto,
        at,
        format!("the picture `{path}` is missing"),
    );
    Err(Box::new(
        found.expected("the path of a picture in `photos/`"),
    ))
}
