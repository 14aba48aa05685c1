//! From photos on the disk to pictures that may be shown.
//!
//! In: where the photos of a book lie. Out: an [`Album`] of those its logs show, each file read
//! again only when the disk says that it changed; pictures, each made from the very bytes that the
//! album tells of.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;

use crate::book::Book;
use crate::io::{FileError, Fingerprint, read_photo};
use crate::photos::{
    Album, Facts, MOST_BYTES, Photographed, Prints, Trouble, develop, hash, in_turns, look, shown,
};

/// What is told of long work: how much is done, of how much.
pub type Told<'t> = &'t (dyn Fn(usize, usize) + Sync);

/// Says nothing.
pub fn quietly(_: usize, _: usize) {}

/// Photos as they were looked at last.
#[derive(Debug, Default)]
pub struct Looked {
    photos: BTreeMap<String, Held>,
}

#[derive(Debug)]
struct Held {
    /// How the disk described the file, where that can be relied on.
    stamp: Option<Fingerprint>,
    found: Photographed,
}

impl Looked {
    /// The photos that a book shows, of those that are there.
    pub fn album(
        &mut self,
        book: &Book,
        photos: &BTreeMap<String, PathBuf>,
        stamps: &BTreeMap<String, Fingerprint>,
    ) -> Album {
        let there: Vec<_> = shown(book)
            .into_keys()
            .filter_map(|path| photos.get_key_value(path))
            .collect();
        let held = there
            .into_par_iter()
            .map(|(path, on_disk)| (path.clone(), self.held(path, on_disk, stamps)));
        self.photos = held.collect();
        Album::new(
            self.photos
                .iter()
                .map(|(path, held)| (path.clone(), held.found.clone()))
                .collect(),
        )
    }

    fn held(&self, path: &str, on_disk: &Path, stamps: &BTreeMap<String, Fingerprint>) -> Held {
        let stamp = stamps.get(path);
        let before = self
            .photos
            .get(path)
            .filter(|held| stamp.is_some() && held.stamp.as_ref() == stamp);
        // Looked at before it is read: what is saved meanwhile is seen the next time.
        let stamp = stamp.filter(|stamp| stamp.is_settled()).cloned();
        Held {
            stamp,
            found: before.map_or_else(|| read(on_disk), |held| held.found.clone()),
        }
    }
}

fn read(on_disk: &Path) -> Photographed {
    match read_photo(on_disk, MOST_BYTES) {
        Ok(Some(bytes)) => look(&bytes),
        Ok(None) => Err(Trouble::TooLarge),
        Err(error) => Err(Trouble::Unreadable(
            error
                .message
                .rsplit(": ")
                .next()
                .unwrap_or_default()
                .to_owned(),
        )),
    }
}

/// Makes the pictures of one photo. Fails where its file is no longer what the album tells of;
/// pixels that cannot be read are a [`Trouble`].
pub fn prints(on_disk: &Path, facts: &Facts) -> Result<Result<Prints, Trouble>, FileError> {
    let bytes = read_photo(on_disk, MOST_BYTES)?.filter(|bytes| hash(bytes) == facts.hash);
    let changed = || {
        let message = format!(
            "{} changed while the record was being made",
            on_disk.display()
        );
        FileError::new(message, "try again when it is saved")
    };
    Ok(develop(&bytes.ok_or_else(changed)?, facts))
}

/// Makes the pictures of photos, several at a time, and gives each on as soon as it is made. Gives
/// back those whose pixels cannot be read.
pub fn prints_of(
    photos: &BTreeMap<String, PathBuf>,
    wanted: &[(&str, &Facts)],
    told: Told,
    take: impl Fn(&str, &Facts, Prints) -> Result<(), FileError> + Sync,
) -> Result<BTreeMap<String, Trouble>, FileError> {
    let (spoilt, done) = (Mutex::new(BTreeMap::new()), AtomicUsize::new(0));
    let nowhere = PathBuf::new();
    in_turns(wanted, |path, facts| {
        match prints(photos.get(path).unwrap_or(&nowhere), facts)? {
            Ok(prints) => take(path, facts, prints)?,
            Err(trouble) => {
                drop(
                    spoilt
                        .lock()
                        .unwrap_or_else(PoisonError::into_inner)
                        .insert(path.to_owned(), trouble),
                );
            }
        }
        told(done.fetch_add(1, Ordering::Relaxed) + 1, wanted.len());
        Ok(())
    })?;
    Ok(spoilt.into_inner().unwrap_or_else(PoisonError::into_inner))
}
