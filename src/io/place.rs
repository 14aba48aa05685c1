//! A handover, put in its place: a folder, and perhaps a zip beside it, all or nothing.
//!
//! In: files by path. Out: the folder holds exactly these files, and a zip beside it the same
//! files. What always holds, whenever a run is killed: the folder is one whole handover, the old
//! one or the new one, and a zip beside it is the zip of that handover.
//!
//! Everything is written in a **work folder** beside the place first, `.shimbook-handover-NAME`,
//! and forced onto the disk:
//!
//! 1. `making/` is filled, and `new.zip`; then `making/` is renamed to `new/`, which says that it
//!    is whole.
//! 2. The old zip is moved aside to `old.zip`.
//! 3. `new/` and the folder change places in one step. Where a system cannot do that, the folder is
//!    moved aside to `old/` and `new/` to its place; the next run puts `old/` back where it finds
//!    no folder.
//! 4. `new.zip` is moved to its place.
//! 5. The old handover is removed file by file, as far as each file is as it was sealed. What
//!    remains was put there by somebody else: it is kept in a folder beside the place, and the run
//!    says where.
//!
//! A run that finds a work folder finishes or undoes what the run before it began. Only one run at
//! a time is at work on a place: it holds the lock of the folder, and of the new folder before that
//! takes its place.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{self, BufWriter, Write as _};
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::handover_files::{HandoverFiles, LARGEST_SEAL, SEAL, Sizes, folder};
use super::lock::{Lock, lock, make_and_lock};
use super::output::{is_inside, is_inside_book, may_be_written};
use super::owner::{
    BookMark, Claim, Inside, OutputKind, inside, only, refused, refused_with, sealed,
};
use super::zip::{look, write_zip};
use super::{FileError, exchange, plain_files};

const MAKING: &str = "making";
const NEW: &str = "new";
const OLD: &str = "old";
const NEW_ZIP: &str = "new.zip";
const OLD_ZIP: &str = "old.zip";
const NOT_AS_SEALED: &str = "has changed since it was sealed, or contains other files too";

/// How seals are read.
#[derive(Clone, Copy, Debug)]
pub struct Seals {
    /// The files that a seal names, and how many bytes each holds.
    pub sizes: fn(&[u8]) -> Sizes,
    /// What is as it was sealed.
    pub judge: fn(&HandoverFiles) -> SealCheck,
}

/// How far a handover is as it was sealed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SealCheck {
    /// It is unchanged.
    pub whole: bool,
    /// The files that are as they were sealed.
    pub unchanged: BTreeSet<String>,
}

/// For whom a handover is.
#[derive(Clone, Copy, Debug)]
pub struct Recipient<'a> {
    /// The book, as its seal for this audience calls it.
    pub mark: &'a BookMark,
    /// Its name in the book.
    pub audience: &'a str,
    /// A handover of another title or start is this book's.
    pub take_over: bool,
}

/// What was put in place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Replaced {
    /// The zip, where one was written.
    pub zip: Option<PathBuf>,
    /// Where files of somebody else are kept that were put into the folder while it was replaced.
    pub kept: Vec<PathBuf>,
}

/// A place where a handover goes: a folder, and perhaps a zip beside it.
#[derive(Debug)]
pub struct HandoverFolder {
    root: PathBuf,
    /// What messages call it.
    shown: PathBuf,
    seals: Seals,
    /// It is inside the book's own folder.
    inside: bool,
    lock: Lock,
    kept: Vec<PathBuf>,
}

impl HandoverFolder {
    /// Makes ready to write a handover into `out`, and finishes or undoes what a run that was
    /// killed there began. Refused: the book's own folder or one above it, its `days/` and
    /// `photos/`, a folder inside a handover, and a folder that holds anything but a handover.
    pub fn open(out: &Path, book: &Path, seals: Seals) -> Result<Self, FileError> {
        let root = may_be_written(out, book)?;
        if root.file_name().is_none() {
            return Err(refused(out, "has no name"));
        }
        only(OutputKind::Handover, inside(&root)?, out)?;
        let inside = is_inside_book(&root, book);
        let mut place = Self {
            root,
            shown: out.to_owned(),
            seals,
            inside,
            lock: Lock::default(),
            kept: Vec::new(),
        };
        place.put_back()?;
        place.lock = make_and_lock(&place.root, out)?;
        place.mend()?;
        Ok(place)
    }

    /// Refuses where the folder, or the zip beside it, is anything but a handover of this book for
    /// this audience, as it was sealed. Says whether there is a zip.
    pub fn may_replace(&self, to: Recipient) -> Result<bool, FileError> {
        if let Some(found) = only(OutputKind::Handover, inside(&self.root)?, &self.shown)? {
            self.claim(to).same_book(&found, &self.shown)?;
            if !(self.seals.judge)(&folder(&self.root, self.seals.sizes)?).whole {
                return Err(not_as_sealed(&self.shown));
            }
        }
        let (zip, shown) = (self.zip_path(), self.shown_zip());
        if zip.symlink_metadata().is_err() {
            return Ok(false);
        }
        let lies = lies_of_zip(&zip).ok_or_else(|| not_as_sealed(&shown))?;
        let seal = String::from_utf8(lies.seal.clone().unwrap_or_default()).unwrap_or_default();
        if (self.seals.judge)(&lies).whole {
            return self
                .claim(to)
                .same_book(&sealed(&seal), &shown)
                .map(|()| true);
        }
        Err(not_as_sealed(&shown))
    }

    fn claim<'a>(&self, to: Recipient<'a>) -> Claim<'a> {
        let (mark, audience) = (to.mark, Some(to.audience));
        Claim {
            mark,
            audience,
            inside: self.inside,
            take_over: to.take_over,
        }
    }

    /// Puts exactly these files there, all or none, and their zip beside them where one is wanted.
    pub fn write(
        mut self,
        files: &BTreeMap<String, Vec<u8>>,
        zip: bool,
    ) -> Result<Replaced, FileError> {
        if let Some(odd) = files.keys().find(|path| !is_inside(path)) {
            return Err(refused(Path::new(odd), "leads outside the output folder"));
        }
        let put = self
            .prepare(files, zip)
            .and_then(|lock| self.put_in_place(zip).map(|()| lock));
        let put = put.map_err(|cause| {
            // What cannot be removed now is removed by the next run.
            let _ = self.mend();
            FileError::cannot("write", &self.shown, &cause)
        });
        // Held until all is done: nobody writes into the new folder before the old one is gone.
        let _lock = put?;
        self.clear_away()?;
        Ok(Replaced {
            zip: zip.then(|| self.shown_zip()),
            kept: std::mem::take(&mut self.kept),
        })
    }

    /// Writes everything into the work folder, and forces it onto the disk.
    fn prepare(&self, files: &BTreeMap<String, Vec<u8>>, zip: bool) -> io::Result<Option<File>> {
        let (work, making) = (self.work(), self.work().join(MAKING));
        std::fs::create_dir_all(&making)?;
        write_below(&making, files)?;
        if zip {
            let mut to = BufWriter::new(File::create(work.join(NEW_ZIP))?);
            write_zip(files, &mut to)?;
            to.into_inner()
                .map_err(io::IntoInnerError::into_error)?
                .sync_all()?;
        }
        let new = work.join(NEW);
        std::fs::rename(&making, &new)?;
        exchange::sync_folder(&work)?;
        exchange::sync_folder(self.parent())?;
        lock(&new, &self.shown).map_err(|error| io::Error::other(error.message))
    }

    /// Lets the new handover take the place of the old one.
    fn put_in_place(&self, zip: bool) -> io::Result<()> {
        let (work, zip_path) = (self.work(), self.zip_path());
        if zip_path.symlink_metadata().is_ok() {
            std::fs::rename(&zip_path, work.join(OLD_ZIP))?;
        }
        exchange::sync_folder(self.parent())?;
        exchange::change_places(&work.join(NEW), &self.root, &work.join(OLD))?;
        if zip {
            std::fs::rename(work.join(NEW_ZIP), &zip_path)?;
        }
        exchange::sync_folder(self.parent())
    }

    /// Puts the folder back that a killed run moved aside, on a system where two folders cannot
    /// change places.
    fn put_back(&self) -> Result<(), FileError> {
        let old = self.work().join(OLD);
        if !old.is_dir() {
            return Ok(());
        }
        // The run that moved it aside may still be at work.
        let _lock = lock(&old, &self.shown)?;
        if old.is_dir() && matches!(inside(&self.root)?, Inside::Nothing) {
            let cannot = |cause| FileError::cannot("write", &self.shown, &cause);
            if self.root.exists() {
                std::fs::remove_dir(&self.root).map_err(cannot)?;
            }
            std::fs::rename(&old, &self.root).map_err(cannot)?;
        }
        Ok(())
    }

    /// Finishes or undoes what a run that was killed, or failed, began.
    fn mend(&mut self) -> Result<(), FileError> {
        if self.work().symlink_metadata().is_err() {
            return Ok(());
        }
        let zip = self.zip_path();
        let seal = plain_files::bytes(&self.root.join(SEAL), LARGEST_SEAL)
            .ok()
            .flatten();
        for moved in [NEW_ZIP, OLD_ZIP].map(|name| self.work().join(name)) {
            let lies = lies_of_zip(&moved).filter(|lies| (self.seals.judge)(lies).whole);
            let of_this = lies.is_some_and(|lies| lies.seal.is_some() && lies.seal == seal);
            if of_this && zip.symlink_metadata().is_err() {
                std::fs::rename(&moved, &zip)
                    .map_err(|cause| FileError::cannot("write", &self.shown_zip(), &cause))?;
            }
        }
        self.clear_away()
    }

    /// Removes the work folder, and keeps whatever in it is of somebody else.
    fn clear_away(&mut self) -> Result<(), FileError> {
        let work = self.work();
        // Only this program writes there, and what cannot be removed does no harm.
        let _ = std::fs::remove_dir_all(work.join(MAKING));
        let _ = std::fs::remove_file(work.join(NEW_ZIP));
        for old in [NEW, OLD]
            .map(|name| work.join(name))
            .into_iter()
            .filter(|old| old.is_dir())
        {
            let unchanged = (self.seals.judge)(&folder(&old, self.seals.sizes)?).unchanged;
            if !exchange::remove_unchanged(&old, &unchanged, SEAL) {
                self.keep(&old, &self.root.clone())?;
            }
        }
        let old = work.join(OLD_ZIP);
        match lies_of_zip(&old).map(|lies| (self.seals.judge)(&lies).whole) {
            Some(true) => drop(std::fs::remove_file(&old)),
            _ if old.symlink_metadata().is_ok() => self.keep(&old, &self.zip_path())?,
            _ => {}
        }
        let _ = std::fs::remove_dir(&work);
        exchange::sync_folder(self.parent())
            .map_err(|cause| FileError::cannot("write", &self.shown, &cause))
    }

    /// Moves something of somebody else beside the place, under a name that is free.
    fn keep(&mut self, moved: &Path, beside: &Path) -> Result<(), FileError> {
        let name = beside
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let names = (1_u32..).map(|number| beside.with_file_name(format!("{name}-kept-{number}")));
        let free = names
            .into_iter()
            .find(|path| path.symlink_metadata().is_err());
        let to = free.unwrap_or_else(|| beside.with_file_name(format!("{name}-kept")));
        std::fs::rename(moved, &to)
            .map_err(|cause| FileError::cannot("move away", moved, &cause))?;
        self.kept.push(
            self.shown
                .with_file_name(to.file_name().unwrap_or_default()),
        );
        Ok(())
    }

    /// Where files of somebody else are kept that a killed run had moved aside.
    pub fn kept(&self) -> &[PathBuf] {
        &self.kept
    }

    fn parent(&self) -> &Path {
        self.root.parent().unwrap_or(&self.root)
    }

    fn work(&self) -> PathBuf {
        let name = self.root.file_name().unwrap_or_default().to_string_lossy();
        self.root
            .with_file_name(format!(".shimbook-handover-{name}"))
    }

    fn zip_path(&self) -> PathBuf {
        self.root.with_file_name(zip_name(&self.root))
    }

    fn shown_zip(&self) -> PathBuf {
        self.shown.with_file_name(zip_name(&self.shown))
    }
}

impl Drop for HandoverFolder {
    /// A folder that was made for a handover which then was not written goes again.
    fn drop(&mut self) {
        if self.lock.made {
            // It is removed only while it is empty.
            let _ = std::fs::remove_dir(&self.root);
        }
    }
}

fn zip_name(folder: &Path) -> String {
    format!(
        "{}.zip",
        folder.file_name().unwrap_or_default().to_string_lossy()
    )
}

/// Writes files below a folder, and forces them onto the disk.
fn write_below(root: &Path, files: &BTreeMap<String, Vec<u8>>) -> io::Result<()> {
    let folders: BTreeSet<&Path> = files
        .keys()
        .flat_map(|path| Path::new(path).ancestors().skip(1))
        .collect();
    for folder in &folders {
        std::fs::create_dir_all(root.join(folder))?;
    }
    files.par_iter().try_for_each(|(path, bytes)| {
        let mut file = File::create(root.join(path))?;
        file.write_all(bytes)?;
        file.sync_all()
    })?;
    folders
        .iter()
        .try_for_each(|folder| exchange::sync_folder(&root.join(folder)))
}
fn not_as_sealed(shown: &Path) -> FileError {
    refused_with(
        shown,
        NOT_AS_SEALED,
        "name another folder with --out, or move this away first",
    )
}

/// What is in a zip that is a plain file.
fn lies_of_zip(zip: &Path) -> Option<HandoverFiles> {
    zip.symlink_metadata()
        .ok()
        .filter(std::fs::Metadata::is_file)
        .and_then(|_| look(zip).ok())
}
