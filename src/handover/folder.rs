//! The files of a handover.
//!
//! In: a worked book and an order: for whom, as it stands or not. Out: every page through the
//! redactor, the cover with what stands against it, the whole book as one page, the photos that a
//! page shows, the seal.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::seal::{Seal, seal};
use super::standing::{Against, against};
use super::{UNCHANGED, one_page};
use crate::book::Permissions;
use crate::build::Build;
use crate::io::BookMark;
use crate::open_book::WorkedBook;
use crate::pages::{Page, PageId, PageSet};
use crate::photos::{Facts, shown_outside};
use crate::redaction::Redactor;
use crate::render::{
    PRINT_STYLE, Pages, Press, SCRIPT, SCRIPT_TEXT, SEARCH, STYLE, Theme, ThemeError,
};
use crate::view_model;

/// What is to be handed over, and to whom.
#[derive(Clone, Debug)]
pub struct Order<'a> {
    /// Its name in the book.
    pub audience: &'a str,
    /// What it may see.
    pub permissions: Permissions,
    /// Who hands it over as it stands, with lines on hold or checks out of limits.
    pub as_is: Option<&'a str>,
    /// One hash over the crew's own files.
    pub sources: String,
}

view_model! {
    /// What the cover says of the handover itself.
    pub struct Handed {
        /// The audience's name.
        pub audience: String => Public,
        /// What it may not see, a few words each.
        pub withheld: Vec<&'static str> => Public,
        /// Who hands it over with what stands against it.
        pub as_is: Option<String> => Public,
        /// What stands against it.
        pub against: Against => View,
        /// What a seal says, and what it does not.
        pub unchanged: &'static str => Public,
        /// The title as a text of CSS, already as the audience may see it.
        pub running: String => Public,
    }
}

/// The photos that a page for somebody outside shows, by their path in the book: those outside
/// `shop` blocks.
pub fn shown_photos(build: &Build) -> Vec<(&str, &Facts)> {
    let shown = shown_outside(&build.book);
    build
        .album
        .good()
        .filter(|(path, _)| shown.contains(path))
        .collect()
}

/// Makes every file of a handover; the sealing comes last, in [`Made::sealed`]. `photos` holds the
/// pictures of [`shown_photos`] by their path in a record; others are left out.
pub fn hand_over(
    book: &WorkedBook,
    photos: &Pages,
    theme: &Theme,
    order: &Order,
) -> Result<Made, ThemeError> {
    let redactor = Redactor::new(&book.build, order.permissions);
    let seen = redactor.build(&book.build);
    let page_set = PageSet::new(&seen, &book.evenings);
    let open = against(&seen);
    let withheld = withheld_checks(&against(&book.build), &open);
    let mut handed = handed(&redactor, &seen, order, open);
    handed.against.out_of_limits.extend(withheld);
    let press = Press::redacted(&page_set, theme, &redactor);
    let page_ids = page_set.page_ids().into_par_iter().with_max_len(1);
    let pages: Vec<(PageId, Page)> = page_ids
        .map(|page_id| (page_id, redactor.page(page_set.lay_out(page_id))))
        .collect();
    let pressed = pages.par_iter().map(|(page_id, page)| {
        let bytes = if *page_id == PageId::Cover {
            press.handed(page, &handed)?
        } else {
            press.page(*page_id, page)?
        };
        Ok((redactor.address(&page_set.path(*page_id)), bytes))
    });
    let mut files: Pages = pressed.collect::<Result<_, ThemeError>>()?;
    let inspection = redactor.page(page_set.inspection());
    files.insert(
        one_page::PATH.to_owned(),
        press.book(&one_page::whole(pages, inspection), &handed)?,
    );
    files.insert(STYLE.to_owned(), theme.style().as_bytes().to_vec());
    files.insert(SCRIPT.to_owned(), SCRIPT_TEXT.as_bytes().to_vec());
    files.insert(SEARCH.to_owned(), press.search()?);
    files.insert(
        PRINT_STYLE.to_owned(),
        theme.print_style().as_bytes().to_vec(),
    );
    let shown = shown_photos(&seen);
    let paths = shown.iter().flat_map(|(path, facts)| {
        facts
            .sizes()
            .iter()
            .map(|size| facts.print_path(path, *size))
    });
    files.extend(
        paths.filter_map(|path| Some((redactor.address(&path), photos.get(&path)?.clone()))),
    );
    Ok(Made {
        files,
        about: about(&redactor, &seen, order),
    })
}

/// A handover that is not sealed yet.
#[derive(Debug)]
pub struct Made {
    /// Its files; more may be put among them before they are sealed.
    pub files: Pages,
    about: Seal,
}

impl Made {
    /// What the seal will call the book.
    pub fn mark(&self) -> BookMark {
        BookMark::new(Some(&self.about.title), self.about.start.clone())
    }

    /// Seals the files.
    pub fn sealed(mut self) -> Result<(Pages, Seal), ThemeError> {
        let seal = seal(&mut self.files, self.about)?;
        Ok((self.files, seal))
    }
}

fn handed(redactor: &Redactor, seen: &Build, order: &Order, against: Against) -> Handed {
    redactor.page(Handed {
        audience: order.audience.to_owned(),
        withheld: redactor.withheld(),
        as_is: order.as_is.map(str::to_owned),
        against,
        unchanged: UNCHANGED,
        running: css_text(&redactor.remark(&seen.book.sheet.title)),
    })
}

/// How many checks that the audience may not see are out of limits, without a word of which.
fn withheld_checks(whole: &Against, seen: &Against) -> Option<String> {
    match whole
        .out_of_limits
        .len()
        .saturating_sub(seen.out_of_limits.len())
    {
        0 => None,
        1 => Some("1 check on a value left out: out of limits".to_owned()),
        count => Some(format!("{count} checks on values left out: out of limits")),
    }
}

/// A text as it may stand between quotes in a style sheet, where nothing in it can end the quotes
/// or the sheet.
fn css_text(text: &str) -> String {
    let sign = |c: char| {
        if c.is_ascii_alphanumeric() {
            c.to_string()
        } else {
            format!("\\{:x} ", u32::from(c))
        }
    };
    text.chars().map(sign).collect()
}

fn about(redactor: &Redactor, seen: &Build, order: &Order) -> Seal {
    Seal {
        shape: String::new(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        title: redactor.remark(&seen.book.sheet.title),
        start: seen.book.sheet.start.map(|start| start.to_string()),
        day: seen.day(),
        date: seen
            .book
            .days
            .last()
            .and_then(|log| log.date)
            .map_or_else(String::new, |date| date.to_string()),
        audience: order.audience.to_owned(),
        as_is: order.as_is.map(str::to_owned),
        says: format!("When every file is as sealed: {UNCHANGED}."),
        sources: order.sources.clone(),
        files: BTreeMap::new(),
        seal: String::new(),
    }
}
