//! The record on disk: laid out, pressed where it differs from what is there, written.
//!
//! In: a worked book, a theme, an output folder. Out: the folder holds the record of the book and
//! nothing else of ours. A page whose view model is as it was when it was written is not pressed
//! again; one whose bytes are the same is not written again. Of photos nothing goes out as it is:
//! see [`photos`](crate::photos).

use std::collections::BTreeMap;

use rayon::prelude::*;
use serde::Serialize;

use crate::build::Build;
use crate::export::document::{self, CheckDocument, TallyDocument};
use crate::io::{FileError, LAST, Output, Run, Written};
use crate::open_book::WorkedBook;
use crate::pages::{Frame, Page, PageId, PageSet};
use crate::photo_cache::{Told, prints_of};
use crate::photos::{Facts, Prints, Size, Trouble};
use crate::render::{Press, SCRIPT, SCRIPT_TEXT, SEARCH, STYLE, Theme, ThemeError};

/// What every page is made with: the program's own sources, hashed when it was built.
const MADE_WITH: &str = env!("SHIMBOOK_SOURCES");

/// Why a record could not be written.
#[derive(Debug)]
pub enum WriteError {
    /// The folder does not let us.
    Desk(FileError),
    /// The theme cannot be used.
    Theme(ThemeError),
    /// A document cannot be put into words.
    Json(serde_json::Error),
}

impl std::fmt::Display for WriteError {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        match self {
            Self::Desk(error) => error.fmt(f),
            Self::Theme(error) => error.fmt(f),
            Self::Json(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for WriteError {}

impl From<FileError> for WriteError {
    fn from(error: FileError) -> Self {
        Self::Desk(error)
    }
}

impl From<ThemeError> for WriteError {
    fn from(error: ThemeError) -> Self {
        Self::Theme(error)
    }
}

impl From<serde_json::Error> for WriteError {
    fn from(error: serde_json::Error) -> Self {
        Self::Json(error)
    }
}

/// Writes the record of a book, and the photos it shows, into a folder. Photos come first: one
/// whose pixels cannot be read is taken out of the book, and the pages say so.
pub fn write_up(
    book: &mut WorkedBook,
    theme: &Theme,
    output: &Output,
    told: Told,
) -> Result<Written, WriteError> {
    let run = output.begin(&book.build.mark())?;
    let spoilt = photos(book, &run, told)?;
    book.build.spoil(spoilt);
    let page_set = book.page_set();
    let press = Press::new(&page_set, theme);
    let writer = Writer {
        page_set: &page_set,
        press: &press,
        run: &run,
        ground: ground(theme)?,
    };
    let (pages, json) = rayon::join(
        || {
            page_set
                .page_ids()
                .into_par_iter()
                .with_max_len(1)
                .try_for_each(|page_id| writer.page(page_id))
        },
        || -> Result<(), WriteError> {
            run.put("record.json", &record_json(&book.build)?, None)?;
            Ok(run.put(SEARCH, &press.search()?, None)?)
        },
    );
    pages?;
    json?;
    run.put(SCRIPT, SCRIPT_TEXT.as_bytes(), None)?;
    run.put(STYLE, theme.style().as_bytes(), None)?;
    last_texts(&book.build, &run)?;
    // What cannot be read now is no reason to remove its page.
    Ok(if book.build.current.is_current() {
        run.finish()?
    } else {
        run.finish_with_former()?
    })
}

/// Puts the texts to fall back to beside the record.
fn last_texts(build: &Build, run: &Run) -> Result<(), FileError> {
    build.last.par_iter().try_for_each(|(path, file)| {
        run.put(&format!("{LAST}/{path}"), file.text().as_bytes(), None)
    })
}

/// Puts the pictures there; those of a photo that is as it was stay. Gives back the photos that
/// turned out broken.
fn photos(
    book: &WorkedBook,
    run: &Run,
    told: Told,
) -> Result<BTreeMap<String, Trouble>, FileError> {
    let keep = |path: &str, facts: &Facts| {
        facts
            .sizes()
            .iter()
            .all(|size| run.keep(&facts.print_path(path, *size), &facts.made_from(*size)))
    };
    let good: Vec<(&str, &Facts)> = book.build.album.good().collect();
    let wanted: Vec<_> = good
        .into_par_iter()
        .filter(|(path, facts)| !keep(path, facts))
        .collect();
    prints_of(
        &book.photos,
        &wanted,
        told,
        |path, facts, Prints { large, small }| {
            let put = |size, bytes: &[u8]| {
                run.put(
                    &facts.print_path(path, size),
                    bytes,
                    Some(&facts.made_from(size)),
                )
            };
            put(Size::Large, &large)?;
            small.map_or(Ok(()), |small| put(Size::Small, &small))
        },
    )
}

struct Writer<'a> {
    page_set: &'a PageSet<'a>,
    press: &'a Press<'a>,
    run: &'a Run<'a>,
    /// The hash of what all pages are made from.
    ground: blake3::Hasher,
}

impl Writer<'_> {
    fn page(&self, page_id: PageId) -> Result<(), WriteError> {
        let (path, page) = (self.page_set.path(page_id), self.page_set.lay_out(page_id));
        let made_from = self.made_from(&self.page_set.frame(page_id), &page)?;
        if self.run.keep(&path, &made_from) {
            return Ok(());
        }
        Ok(self
            .run
            .put(&path, &self.press.page(page_id, &page)?, Some(&made_from))?)
    }

    /// A hash of everything that a page is made from.
    fn made_from(&self, frame: &Frame, page: &Page) -> Result<String, WriteError> {
        let mut hasher = self.ground.clone();
        hash_into(&mut hasher, &(frame, page))?;
        Ok(hasher.finalize().to_hex().to_string())
    }
}

/// What all pages are made from: the program and the theme.
fn ground(theme: &Theme) -> Result<blake3::Hasher, WriteError> {
    let mut hasher = blake3::Hasher::new();
    hash_into(&mut hasher, &(MADE_WITH, theme.hash()))?;
    Ok(hasher)
}

fn hash_into(hasher: &mut blake3::Hasher, what: &impl Serialize) -> Result<(), serde_json::Error> {
    serde_json::to_writer(std::io::BufWriter::with_capacity(16 * 1024, hasher), what)
}

/// The `check` and `tally` documents in one.
#[derive(Serialize)]
struct RecordJson {
    check: CheckDocument,
    tally: TallyDocument,
}

/// `record.json`: the documents of `check` and `tally` in one.
pub fn record_json(build: &Build) -> serde_json::Result<Vec<u8>> {
    let both = RecordJson {
        check: document::check(build),
        tally: document::tally(build),
    };
    let mut bytes = serde_json::to_vec_pretty(&both)?;
    bytes.push(b'\n');
    Ok(bytes)
}
