//! Why the world did not let the program work, in words that say what to do.
//!
//! In: a path and the system's reason. Out: one sentence, and what to do about it.

use std::fmt;
use std::io::{self, ErrorKind};
use std::path::Path;

/// Something about files and folders that stops a command.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileError {
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What to do about it.
    pub instead: Option<String>,
}

impl FileError {
    /// `message`, and what to do.
    pub fn new(message: impl Into<String>, instead: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            instead: Some(instead.into()),
        }
    }

    /// The system would not let us `act` on `path`.
    pub(super) fn cannot(act: &str, path: &Path, cause: &io::Error) -> Self {
        let message = format!("cannot {act} {}: {}", path.display(), reason(cause));
        Self {
            message,
            instead: advice(cause.kind()).map(str::to_owned),
        }
    }

    /// `path` should not be there yet.
    pub(super) fn exists(path: &Path) -> Self {
        Self::new(
            format!("{} exists already", path.display()),
            "nothing was written; edit that file, or remove it first",
        )
    }
}

/// What helps where the system refuses.
fn advice(kind: ErrorKind) -> Option<&'static str> {
    match kind {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
            Some("free some disk space and run it again; every page on the disk is complete")
        }
        ErrorKind::PermissionDenied => {
            Some("get permission for it, or choose another folder with --out")
        }
        ErrorKind::ReadOnlyFilesystem => {
            Some("that file system is read-only; choose another folder with --out")
        }
        ErrorKind::IsADirectory => {
            Some("a folder is in the place of a file; remove it and run it again")
        }
        _ => None,
    }
}

/// The system's reason without its number.
pub(super) fn reason(cause: &io::Error) -> String {
    let text = cause.to_string();
    text.split(" (os error")
        .next()
        .unwrap_or_default()
        .to_lowercase()
}

impl fmt::Display for FileError {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "{}", self.message)?;
        self.instead
            .as_ref()
            .map_or(Ok(()), |instead| write!(to, "\n  {instead}"))
    }
}

impl std::error::Error for FileError {}
