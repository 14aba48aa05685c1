//! Handovers on disk, looked at byte by byte.
//!
//! In: a folder or a zip. Out: every file in it, hashed as it is read, so that no file has to fit
//! into memory; and what else is wrong with it. Links, pipes and devices are named and never
//! opened. A file whose length is not the sealed one is not read: it differs anyway.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read;
use std::path::Path;

use sha2::{Digest, Sha256};

use super::{FileError, plain_files, zip};

/// The seal's file: its bytes are kept, of all others only their hash.
pub const SEAL: &str = "seal.json";
/// The most that a seal may hold.
pub(super) const LARGEST_SEAL: u64 = 64 * 1024 * 1024;

/// The sealed files, and how many bytes each holds.
pub type Sizes = BTreeMap<String, u64>;

/// What is at a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FoundFile {
    /// A plain file.
    File {
        /// How many bytes it holds.
        bytes: u64,
        /// SHA-256 in hex; `None` where the file was not read because its length is not the sealed
        /// one.
        sha256: Option<String>,
    },
    /// Something else, in words: `a link`.
    Other(&'static str),
}

/// What lies in a folder or a zip.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HandoverFiles {
    /// Every file by its path from there.
    pub found: BTreeMap<String, FoundFile>,
    /// The bytes of the seal, where there is one.
    pub seal: Option<Vec<u8>>,
    /// What is wrong with the folder or the zip itself, a line each.
    pub odd: Vec<String>,
    /// It could not be read to its end, so a file that was not found may be in it all the same.
    pub cut_short: bool,
}

/// Looks at a folder or a zip. `sizes` reads a seal.
pub fn look_at(path: &Path, sizes: fn(&[u8]) -> Sizes) -> Result<HandoverFiles, FileError> {
    let about = path
        .metadata()
        .map_err(|cause| FileError::cannot("read", path, &cause))?;
    if about.is_dir() {
        return folder(path, sizes);
    }
    if !about.is_file() {
        return Err(not_a_handover(path, "is neither a folder nor a file"));
    }
    zip::look(path)
}

pub(super) fn not_a_handover(path: &Path, why: &str) -> FileError {
    FileError::new(
        format!("{} {why}", path.display()),
        "name the folder or the zip of a handover",
    )
}

/// Looks at a folder.
pub(super) fn folder(root: &Path, sizes: fn(&[u8]) -> Sizes) -> Result<HandoverFiles, FileError> {
    let mut lies = HandoverFiles::default();
    let seal = root.join(SEAL);
    if seal
        .symlink_metadata()
        .is_ok_and(|about| about.is_file() && about.len() <= LARGEST_SEAL)
    {
        lies.seal = read_seal(&seal).ok();
    }
    let sizes = lies.seal.as_deref().map(sizes).unwrap_or_default();
    let mut todo = vec![(root.to_owned(), String::new())];
    while let Some((on_disk, prefix)) = todo.pop() {
        let mut is_empty = true;
        let cannot = |cause| FileError::cannot("read", &on_disk, &cause);
        for entry in std::fs::read_dir(&on_disk).map_err(cannot)? {
            is_empty = false;
            let entry = entry.map_err(cannot)?;
            let name = entry.file_name();
            let Some(name) = name.to_str() else {
                lies.odd.push(format!(
                    "added {prefix}{}: its name is not text",
                    name.to_string_lossy()
                ));
                continue;
            };
            let path = format!("{prefix}{name}");
            match entry.file_type() {
                Ok(kind) if kind.is_dir() => todo.push((entry.path(), format!("{path}/"))),
                Ok(kind) if kind.is_symlink() => {
                    drop(lies.found.insert(path, FoundFile::Other("a link")));
                }
                Ok(kind) if kind.is_file() => {
                    let wanted = sizes.get(&path).copied();
                    lies.found.insert(path, file(&entry.path(), wanted));
                }
                _ => drop(
                    lies.found
                        .insert(path, FoundFile::Other("not a plain file")),
                ),
            }
        }
        if is_empty && !prefix.is_empty() {
            lies.found
                .insert(prefix, FoundFile::Other("an empty folder"));
        }
    }
    Ok(lies)
}

fn read_seal(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    plain_files::open(path)?
        .take(LARGEST_SEAL)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A file, hashed where its length is the one that is wanted.
fn file(path: &Path, wanted: Option<u64>) -> FoundFile {
    let Ok(file) = plain_files::open(path) else {
        return FoundFile::Other("a file that cannot be read");
    };
    match file.metadata().map(|about| about.len()) {
        Ok(bytes) if Some(bytes) != wanted => FoundFile::File {
            bytes,
            sha256: None,
        },
        Ok(bytes) => hashed(&file, bytes),
        Err(_) => FoundFile::Other("a file that cannot be read"),
    }
}

/// Hashes a file of so many bytes; it may grow or shrink meanwhile.
fn hashed(file: &File, length: u64) -> FoundFile {
    let mut hasher = Sha256::new();
    let read = pieces(&mut file.take(length + 1), |piece| hasher.update(piece));
    match read {
        Ok(bytes) if bytes == length => FoundFile::File {
            bytes,
            sha256: Some(hex(&hasher.finalize())),
        },
        Ok(bytes) => FoundFile::File {
            bytes,
            sha256: None,
        },
        Err(_) => FoundFile::Other("a file that cannot be read"),
    }
}

/// Reads to the end, piece by piece; how many bytes there were.
pub(super) fn pieces(from: &mut impl Read, mut each: impl FnMut(&[u8])) -> std::io::Result<u64> {
    let mut piece = vec![0; 64 * 1024];
    let mut length = 0;
    loop {
        match from.read(&mut piece) {
            Ok(0) => return Ok(length),
            Ok(count) => {
                each(&piece[..count]);
                length += count as u64;
            }
            Err(cause) if cause.kind() == std::io::ErrorKind::Interrupted => {}
            Err(cause) => return Err(cause),
        }
    }
}

/// A digest in hex.
pub fn hex(digest: &[u8]) -> String {
    let sign = |four: u8| char::from_digit(u32::from(four), 16).unwrap_or('0');
    digest
        .iter()
        .flat_map(|byte| [sign(byte >> 4), sign(byte & 15)])
        .collect()
}

/// The bytes of files of a book as they lie on the disk, by their path in it.
pub fn read_raw<'a>(
    book: &Path,
    paths: impl Iterator<Item = &'a str>,
) -> Result<BTreeMap<String, Vec<u8>>, FileError> {
    let read = |path: &str| {
        let on_disk = book.join(path);
        let bytes =
            std::fs::read(&on_disk).map_err(|cause| FileError::cannot("read", &on_disk, &cause))?;
        Ok((path.to_owned(), bytes))
    };
    paths.map(read).collect()
}
