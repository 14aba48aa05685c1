//! What goes into a record beside the text: photos, and the files of a theme of one's own.
//!
//! In: paths that were found in the book, or a theme's folder. Out: bytes and texts by name.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::{FileError, plain_files};

/// Is there anything at this path, be it a broken link? What the system does not let us look at
/// counts as there.
pub fn is_there(path: &Path) -> bool {
    !path
        .symlink_metadata()
        .is_err_and(|cause| matches!(cause.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory))
}

/// The path as the disk knows it, links followed.
pub fn real_path(path: &Path) -> std::io::Result<PathBuf> {
    path.canonicalize()
}

/// The bytes of one photo that was found in the book; `None` where it holds more than `limit`.
pub fn read_photo(path: &Path, limit: u64) -> Result<Option<Vec<u8>>, FileError> {
    plain_files::bytes(path, limit).map_err(|cause| FileError::cannot("read", path, &cause))
}

/// The templates and the style sheet of a theme of one's own, by name.
pub fn read_theme(folder: &Path) -> Result<BTreeMap<String, String>, FileError> {
    let entries = std::fs::read_dir(folder)
        .map_err(|cause| FileError::cannot("read the theme", folder, &cause))?;
    let mut files = BTreeMap::new();
    for entry in entries {
        let entry = entry.map_err(|cause| FileError::cannot("read the theme", folder, &cause))?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let of_a_theme = [".html", ".css"]
            .iter()
            .any(|ending| name.ends_with(ending));
        if of_a_theme && entry.path().is_file() {
            files.insert(name, text(&entry.path())?);
        }
    }
    if files.is_empty() {
        let message = format!("{} contains no templates or style sheet", folder.display());
        return Err(FileError::new(
            message,
            "a theme contains files, for example layout.html and style.css",
        ));
    }
    Ok(files)
}

fn text(path: &Path) -> Result<String, FileError> {
    String::from_utf8(read(path)?).map_err(|_| {
        FileError::new(
            format!("{} is not UTF-8 text", path.display()),
            "save it as UTF-8",
        )
    })
}

fn read(path: &Path) -> Result<Vec<u8>, FileError> {
    std::fs::read(path).map_err(|cause| FileError::cannot("read", path, &cause))
}
