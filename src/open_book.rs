//! A book kept open while the crew writes in it.
//!
//! In: the book's folder, looked at again and again. Out: the book calculated again whenever one of
//! its files changed; what did not change is neither read, parsed nor worked out again. The last
//! text of each file that could be worked with is kept, for the time when a file cannot be read.
//! Before the first look it is the one beside a record.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::book;
use crate::build::{self, Build, compile_again};
use crate::io::{BookFiles, FileCache, FileError, LastTexts, last_texts, read_book_again};
use crate::pages::{Evenings, KeptEvenings, PageSet};
use crate::photo_cache::Looked;

/// An open book.
#[derive(Debug)]
pub struct OpenBook {
    folder: PathBuf,
    /// The record beside which texts to fall back to may lie.
    record: PathBuf,
    /// The texts to fall back to; `None` before the first look.
    last: Option<LastTexts>,
    shelf: FileCache,
    /// Its files as they were worked out last.
    files: Option<BookFiles>,
    kept: build::Kept,
    evenings: KeptEvenings,
    photos: Looked,
}

/// A book worked out, ready to be laid out.
#[derive(Debug)]
pub struct WorkedBook {
    /// The book.
    pub build: Build,
    /// What was ahead on its evenings.
    pub evenings: Evenings,
    /// Its photos by their path in the book, and where they lie on the disk.
    pub photos: BTreeMap<String, PathBuf>,
}

impl WorkedBook {
    /// The record of it.
    pub fn page_set(&self) -> PageSet<'_> {
        PageSet::new(&self.build, &self.evenings)
    }
}

impl OpenBook {
    /// Opens the book in a folder; nothing is read yet. Its record is the usual one.
    pub fn new(folder: &Path) -> Self {
        Self::beside(folder, &usual_record(folder))
    }

    /// Opens the book in a folder whose record lies in another one.
    pub fn beside(folder: &Path, record: &Path) -> Self {
        Self {
            folder: folder.to_owned(),
            record: record.to_owned(),
            last: None,
            shelf: FileCache::default(),
            files: None,
            kept: build::Kept::default(),
            evenings: KeptEvenings::default(),
            photos: Looked::default(),
        }
    }

    /// Works the book out where anything in it changed since the last look; `None` where nothing
    /// did. Fails where the folder cannot be read; the next look that succeeds gives the book
    /// again.
    pub fn look(&mut self) -> Result<Option<WorkedBook>, FileError> {
        let files = match self.files() {
            Ok(files) => files,
            Err(error) => {
                self.forget();
                return Err(error);
            }
        };
        if self
            .files
            .as_ref()
            .is_some_and(|before| files.is_as(before))
        {
            return Ok(None);
        }
        self.files = Some(files.clone());
        Ok(Some(self.worked(files)))
    }

    /// Works the book out, whether anything changed or not.
    pub fn look_once(&mut self) -> Result<WorkedBook, FileError> {
        let files = self.files()?;
        Ok(self.worked(files))
    }

    /// The same for whoever needs no pages: nothing is looked at that only they show.
    pub fn build_once(&mut self) -> Result<Build, FileError> {
        let files = self.files()?;
        Ok(self.built(files).0)
    }

    /// The files of the book, with the texts to fall back to.
    pub fn files(&mut self) -> Result<BookFiles, FileError> {
        let mut files = read_book_again(&self.folder, &mut self.shelf)?;
        if self.last.is_none() && !is_current(&files) {
            let beside = Some(last_texts(&self.record)).filter(|last| !last.is_empty());
            self.last = Some(beside.unwrap_or_else(|| last_texts(&usual_record(&self.folder))));
        }
        files.last = self.last.clone().unwrap_or_default();
        Ok(files)
    }

    /// The same book with texts to fall back to.
    #[must_use]
    pub fn after(mut self, last: LastTexts) -> Self {
        self.last = Some(last);
        self
    }

    fn worked(&mut self, files: BookFiles) -> WorkedBook {
        let (build, photos) = self.built(files);
        let evenings = Evenings::again(&build, &mut self.evenings);
        WorkedBook {
            build,
            evenings,
            photos,
        }
    }

    fn built(&mut self, files: BookFiles) -> (Build, BTreeMap<String, PathBuf>) {
        let (photos, stamps) = (files.photos.clone(), files.photo_stamps.clone());
        let looked = &mut self.photos;
        let build = compile_again(files, &mut self.kept, |book| {
            looked.album(book, &photos, &stamps)
        });
        self.last = Some(build.last.clone());
        (build, photos)
    }

    /// Takes the next look for the first one: the book is given again, whether something changed or
    /// not.
    pub fn forget(&mut self) {
        self.files = None;
    }

    /// How many days' sums, and how many days' jobs, the last look worked through: growth is judged
    /// by it, not by the clock.
    pub fn days_worked(&self) -> (usize, usize) {
        (self.kept.sums.days_worked(), self.kept.jobs.days_worked())
    }
}

/// Where a record lies if nobody says otherwise.
pub fn usual_record(folder: &Path) -> PathBuf {
    folder.join("record")
}

/// Can every file be worked with as it is?
fn is_current(files: &BookFiles) -> bool {
    book::settle(files.clone(), &mut book::ParseCache::default())
        .unread
        .is_empty()
}
