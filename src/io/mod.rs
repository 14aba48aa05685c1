//! The one door to the world: files, folders and today's date.
//!
//! In: paths. Out: the text of a book, and pages written into an output folder. Knows nothing of
//! Markdown. Nothing outside the book's folder is read, nothing outside the output folder is
//! written, and a file of the crew is never changed.
#![allow(
    clippy::disallowed_methods,
    reason = "this is the one module that may touch files and the clock"
)]

mod assets;
mod clock;
mod error;
mod exchange;
mod file_cache;
mod files;
mod folder;
mod handover_files;
mod last_texts;
mod lock;
mod output;
mod owner;
mod pdf;
mod place;
mod plain_files;
mod zip;

use std::io::Write as _;
use std::path::Path;

pub use assets::{is_there, read_photo, read_theme, real_path};
pub use clock::{Clock, ClockReading, Stopwatch, today};
pub use error::FileError;
pub use file_cache::{FileCache, Fingerprint, FolderId, folder_id};
pub use files::{BookFiles, LastTexts, Unread, Used};
pub use folder::{PARTS, PLAN, SHEET, find_book, read_book, read_book_again};
pub use handover_files::{FoundFile, HandoverFiles, SEAL, Sizes, hex, look_at, read_raw};
pub use last_texts::{LAST, last_texts};
pub use output::{Output, Run, Written};
pub use owner::BookMark;
pub use pdf::print_pdf;
pub use place::{HandoverFolder, Recipient, Replaced, SealCheck, Seals};
pub use zip::write_zip;

/// Writes a file that is not there yet, and the folders it stands in. Never overwrites.
pub fn create_new(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    if path.symlink_metadata().is_ok() {
        return Err(FileError::exists(path));
    }
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder)
        .map_err(|cause| FileError::cannot("make the folder", folder, &cause))?;
    let mut file = plain_files::beside(folder)?;
    file.write_all(bytes)
        .map_err(|cause| FileError::cannot("write", path, &cause))?;
    file.persist_noclobber(path)
        .map(drop)
        .map_err(|failed| match failed.error.kind() {
            std::io::ErrorKind::AlreadyExists => FileError::exists(path),
            _ => FileError::cannot("write", path, &failed.error),
        })
}

/// Writes a file of the book that is not there yet, at a path such as `days/day-02.md`. Never
/// overwrites, and never follows a folder that leads out of the book.
pub fn create_in_book(book: &Path, path: &str, bytes: &[u8]) -> Result<(), FileError> {
    let root = book
        .canonicalize()
        .map_err(|cause| FileError::cannot("read", book, &cause))?;
    let file = book.join(path);
    match file
        .parent()
        .map(|folder| (folder, plain_files::stands(folder, &root)))
    {
        Some((folder, Err(cause))) => Err(FileError::cannot("read", folder, &cause)),
        Some((folder, Ok(plain_files::PathKind::Outside))) => Err(FileError::new(
            format!("{} is a link that leads outside the book", folder.display()),
            "nothing was written; replace it with a folder",
        )),
        _ => create_new(&file, bytes),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_file_gets_its_folders_and_is_never_written_over() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("days/day-01.md");
        create_new(&path, b"one").unwrap();
        let refused = create_new(&path, b"two").unwrap_err();
        assert!(refused.message.contains("exists already"), "{refused}");
        assert_eq!(std::fs::read(&path).unwrap(), b"one");
    }
}
