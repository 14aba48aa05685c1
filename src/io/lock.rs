//! A folder for one run alone.
//!
//! In: a folder to write into. Out: a lock on it; of two runs into one folder the second waits for
//! the first. The lock is on the folder itself, so nothing is written for it, and the system
//! removes it when the program ends, however it ends. Where a handover takes the place of the
//! folder while a run waits, the run takes the lock of the new folder.

use std::fs::{File, TryLockError};
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use super::FileError;
use super::file_cache::{folder_id, id_of};

/// How long a run waits for another one that writes into the same folder.
const PATIENCE: Duration = Duration::from_secs(20);

/// A folder that this run alone writes into.
#[derive(Clone, Debug, Default)]
pub(super) struct Lock {
    /// `None` where the system has no locks for folders.
    _held: Option<Arc<File>>,
    /// This run made the folder.
    pub(super) made: bool,
}

/// Makes the folder where it is missing, and locks it. `shown` is what messages call it.
pub(super) fn make_and_lock(folder: &Path, shown: &Path) -> Result<Lock, FileError> {
    let mut made = false;
    loop {
        if folder.symlink_metadata().is_err() {
            std::fs::create_dir_all(folder)
                .map_err(|cause| FileError::cannot("make the folder", shown, &cause))?;
            made = true;
        }
        let held = lock(folder, shown)?;
        // Another run may have put a new folder in its place, or removed it, while this one waited.
        if held
            .as_ref()
            .map_or_else(|| folder.is_dir(), |held| is_still_at(held, folder))
        {
            return Ok(Lock {
                _held: held.map(Arc::new),
                made,
            });
        }
        made = false;
    }
}

/// Locks a folder that is there; `None` where the system has no locks for folders.
pub(super) fn lock(folder: &Path, shown: &Path) -> Result<Option<File>, FileError> {
    let Ok(file) = File::open(folder) else {
        return Ok(None);
    };
    let begun = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => return Ok(Some(file)),
            Err(TryLockError::Error(_)) => return Ok(None),
            Err(TryLockError::WouldBlock) if begun.elapsed() < PATIENCE => {
                std::thread::sleep(PATIENCE / 2000);
            }
            Err(TryLockError::WouldBlock) => {
                return Err(FileError::new(
                    format!("another run is still writing into {}", shown.display()),
                    "nothing was written; run it again later, or name another folder with --out",
                ));
            }
        }
    }
}

/// Is an open folder the one at a path?
fn is_still_at(open: &File, path: &Path) -> bool {
    open.metadata()
        .ok()
        .and_then(|about| id_of(&about))
        .is_some_and(|id| folder_id(path) == Some(id))
}
