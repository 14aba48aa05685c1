//! What was read before, so that a file that nobody touched is not read again.
//!
//! In: a path, and how the disk describes the file now. Out: the text of the last time, where the
//! description is the same and old enough to be trusted: two saves within one tick of a disk's
//! clock look alike.

use std::collections::BTreeMap;
use std::fs::Metadata;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, SystemTime};

use super::folder::Loaded;

/// A description this young may hide a later save: some disks count time in steps of two seconds.
const TOO_YOUNG: Duration = Duration::from_secs(3);

/// The files of a book as they were read last.
#[derive(Debug, Default)]
pub struct FileCache {
    files: BTreeMap<String, CachedFile>,
}

#[derive(Debug)]
struct CachedFile {
    stamp: Fingerprint,
    /// When it was read, before its first byte.
    read_at: SystemTime,
    loaded: Arc<Loaded>,
}

/// How the disk describes a file: another content has another stamp, once the clock of the disk has
/// moved on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fingerprint {
    length: u64,
    modified: Option<SystemTime>,
    inode: Inode,
}

/// Which file it is, and when anything about it was changed last; a change of the time of change
/// cannot be forged.
type Inode = (u64, u64, i64, i64);

impl Fingerprint {
    pub(super) fn of(about: &Metadata) -> Self {
        Self {
            length: about.len(),
            modified: about.modified().ok(),
            inode: inode(about),
        }
    }

    /// Is it old enough now, that a later save of the file will have another one?
    pub fn is_settled(&self) -> bool {
        self.is_old_enough(SystemTime::now())
    }

    fn is_old_enough(&self, read_at: SystemTime) -> bool {
        let age = self
            .modified
            .and_then(|modified| read_at.duration_since(modified).ok());
        age.is_some_and(|age| age >= TOO_YOUNG)
    }
}

#[cfg(unix)]
fn inode(about: &Metadata) -> Inode {
    use std::os::unix::fs::MetadataExt;
    (about.dev(), about.ino(), about.ctime(), about.ctime_nsec())
}

#[cfg(not(unix))]
fn inode(_: &Metadata) -> Inode {
    (0, 0, 0, 0)
}

/// Which folder stands at a path: another one put in its place is another.
pub type FolderId = (u64, u64);

/// The folder that stands at a path now; `None` where there is none.
pub fn folder_id(path: &Path) -> Option<FolderId> {
    id_of(&path.metadata().ok()?)
}

/// The same, of what the system says about it.
pub(super) fn id_of(about: &Metadata) -> Option<FolderId> {
    let (device, number, ..) = inode(about);
    about.is_dir().then_some((device, number))
}

impl FileCache {
    /// What was read of the file at a path, where it still looks the same.
    pub(super) fn held(&self, path: &str, now: &Fingerprint) -> Option<Arc<Loaded>> {
        let held = self.files.get(path)?;
        (held.stamp == *now && held.stamp.is_old_enough(held.read_at))
            .then(|| Arc::clone(&held.loaded))
    }

    /// What was read of the file at a path before, whatever it looks like now.
    pub(super) fn before(&self, path: &str) -> Option<&Arc<Loaded>> {
        self.files.get(path).map(|held| &held.loaded)
    }

    /// Puts what was read now in place of all that was there.
    pub(super) fn fill(&mut self, read: Vec<Read>) {
        let keep = |read: Read| {
            Some((
                read.path,
                CachedFile {
                    stamp: read.stamp?,
                    read_at: read.read_at,
                    loaded: read.loaded,
                },
            ))
        };
        self.files = read.into_iter().filter_map(keep).collect();
    }
}

/// A file that was read.
#[derive(Debug)]
pub(super) struct Read {
    pub(super) path: String,
    /// `None` for what is no plain file: it is looked at anew each time.
    pub(super) stamp: Option<Fingerprint>,
    pub(super) read_at: SystemTime,
    pub(super) loaded: Arc<Loaded>,
}
