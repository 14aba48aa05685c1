//! Handovers on disk: written whole, looked at byte by byte.
//!
//! In: files by path, or a folder or a zip. Out: a folder that holds exactly these files; or what lies there, hashed
//! as it is read, so that no file has to fit into memory. Links are told of and never followed.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{Read, Write as _};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::output::{is_empty, is_inside, may_be_written, refused};
use super::{DeskError, plain};

/// The seal's file: its bytes are kept, of all others only what they come to.
pub const SEAL: &str = "seal.json";
/// The most that a seal may hold.
const LARGEST_SEAL: u64 = 64 * 1024 * 1024;

/// What stands at a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// A plain file: SHA-256 in hex, and how many bytes.
    File(String, u64),
    /// Something else, in words: `a link`.
    Other(&'static str),
}

/// What lies in a folder or a zip.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lies {
    /// Every file by its path from there.
    pub found: BTreeMap<String, Found>,
    /// The bytes of the seal, where there is one.
    pub seal: Option<Vec<u8>>,
}

/// Looks at a folder or a zip.
pub fn look_at(path: &Path) -> Result<Lies, DeskError> {
    let about = path.metadata().map_err(|cause| DeskError::cannot("read", path, &cause))?;
    if about.is_dir() { folder(path) } else { zip(path) }
}

fn folder(root: &Path) -> Result<Lies, DeskError> {
    let mut lies = Lies::default();
    let mut todo = vec![(root.to_owned(), String::new())];
    while let Some((on_disk, prefix)) = todo.pop() {
        let entries = std::fs::read_dir(&on_disk).map_err(|cause| DeskError::cannot("read", &on_disk, &cause))?;
        for entry in entries {
            let entry = entry.map_err(|cause| DeskError::cannot("read", &on_disk, &cause))?;
            let path = format!("{prefix}{}", entry.file_name().to_string_lossy());
            match entry.file_type() {
                Ok(kind) if kind.is_dir() => todo.push((entry.path(), format!("{path}/"))),
                Ok(kind) if kind.is_file() => {
                    lies.found.insert(path, file(&entry.path()));
                }
                Ok(kind) if kind.is_symlink() => drop(lies.found.insert(path, Found::Other("a link"))),
                _ => drop(lies.found.insert(path, Found::Other("no plain file"))),
            }
        }
    }
    if let Some(Found::File(..)) = lies.found.get(SEAL) {
        // One that is larger than any seal is none.
        lies.seal = plain::bytes(&root.join(SEAL), LARGEST_SEAL).ok().flatten();
    }
    Ok(lies)
}

fn file(path: &Path) -> Found {
    File::open(path).map_or(Found::Other("not to be read"), hashed)
}

/// Hashes what can be read, piece by piece.
fn hashed(mut from: impl Read) -> Found {
    let mut hasher = Sha256::new();
    let mut piece = vec![0; 64 * 1024];
    let mut length = 0;
    loop {
        match from.read(&mut piece) {
            Ok(0) => break,
            Ok(count) => {
                hasher.update(&piece[..count]);
                length += count as u64;
            }
            Err(cause) if cause.kind() == std::io::ErrorKind::Interrupted => {}
            Err(_) => return Found::Other("not to be read"),
        }
    }
    Found::File(hex(&hasher.finalize()), length)
}

/// A digest in hex.
pub fn hex(digest: &[u8]) -> String {
    let sign = |four: u8| char::from_digit(u32::from(four), 16).unwrap_or('0');
    digest.iter().flat_map(|byte| [sign(byte >> 4), sign(byte & 15)]).collect()
}

fn zip(path: &Path) -> Result<Lies, DeskError> {
    let no_zip =
        |_| DeskError::new(format!("{} is no zip", path.display()), "name the folder or the zip of a handover");
    let file = File::open(path).map_err(|cause| DeskError::cannot("read", path, &cause))?;
    let mut archive = zip::ZipArchive::new(std::io::BufReader::new(file)).map_err(no_zip)?;
    let mut lies = Lies::default();
    for index in 0..archive.len() {
        let Ok(mut entry) = archive.by_index(index) else {
            lies.found.insert(format!("entry {}", index + 1), Found::Other("not to be read"));
            continue;
        };
        let name = String::from_utf8_lossy(entry.name_raw()).into_owned();
        if entry.is_dir() {
            continue;
        }
        if name == SEAL && entry.size() <= LARGEST_SEAL {
            let mut bytes = Vec::new();
            let whole = entry.by_ref().take(LARGEST_SEAL).read_to_end(&mut bytes).is_ok();
            lies.found.insert(name, hashed(bytes.as_slice()));
            lies.seal = whole.then_some(bytes);
            continue;
        }
        let found = if entry.is_symlink() { Found::Other("a link") } else { hashed(&mut entry) };
        lies.found.insert(name, found);
    }
    if !holds_each_once(path, archive.len()) {
        lies.found.insert(path.display().to_string(), Found::Other("a zip with more in it than it shows"));
    }
    Ok(lies)
}

/// Does the end of a zip tell of as many files as were read, and of nothing after them? One that holds two files of one
/// name shows only one of them.
fn holds_each_once(path: &Path, count: usize) -> bool {
    const END: usize = 22;
    let tail = || -> std::io::Result<[u8; END]> {
        use std::io::{Seek, SeekFrom};
        let mut file = File::open(path)?;
        file.seek(SeekFrom::End(-(END as i64)))?;
        let mut tail = [0; END];
        file.read_exact(&mut tail)?;
        Ok(tail)
    };
    let told = |tail: [u8; END]| {
        tail.starts_with(b"PK\x05\x06").then(|| usize::from(u16::from_le_bytes([tail[10], tail[11]])))
    };
    tail().ok().and_then(told).is_some_and(|told| told == count || told == usize::from(u16::MAX))
}

/// The bytes of files of a book as they lie on the disk, by their path in it.
pub fn read_raw<'a>(book: &Path, paths: impl Iterator<Item = &'a str>) -> Result<BTreeMap<String, Vec<u8>>, DeskError> {
    let read = |path: &str| {
        let on_disk = book.join(path);
        let bytes = std::fs::read(&on_disk).map_err(|cause| DeskError::cannot("read", &on_disk, &cause))?;
        Ok((path.to_owned(), bytes))
    };
    paths.map(read).collect()
}

/// A place where a handover goes: a folder, and perhaps a zip beside it.
#[derive(Debug)]
pub struct Place {
    root: PathBuf,
    shown: PathBuf,
}

impl Place {
    /// Makes ready to write a handover into `out`. Refused: the book's own folder or one above it, its `days/` and
    /// `photos/`.
    pub fn open(out: &Path, book: &Path) -> Result<Self, DeskError> {
        let root = may_be_written(out, book)?;
        if root.file_name().is_none() {
            return Err(refused(out, "has no name of its own"));
        }
        Ok(Self { root, shown: out.to_owned() })
    }

    /// What lies in the folder; `None` where it is new or empty.
    pub fn lies(&self) -> Result<Option<Lies>, DeskError> {
        if is_empty(&self.root)? { Ok(None) } else { folder(&self.root).map(Some) }
    }

    /// What lies in the zip beside the folder; `None` where there is none.
    pub fn zip_lies(&self) -> Result<Option<Lies>, DeskError> {
        let path = self.zip_path();
        if path.symlink_metadata().is_err() { Ok(None) } else { zip(&path).map(Some) }
    }

    /// The refusal where something lies there that is not ours to take away.
    pub fn refused(&self, zip: bool) -> DeskError {
        let path = if zip { self.shown.with_file_name(zip_name(&self.shown)) } else { self.shown.clone() };
        refused(&path, "holds something else than a handover as it was sealed")
    }

    /// Puts exactly these files there, all or none: they are written beside, and the folder takes the place of a former
    /// one.
    pub fn write(&self, files: &BTreeMap<String, Vec<u8>>) -> Result<(), DeskError> {
        if let Some(odd) = files.keys().find(|path| !is_inside(path)) {
            return Err(refused(Path::new(odd), "leads out of the output folder"));
        }
        let cannot = |cause: &std::io::Error| DeskError::cannot("write", &self.shown, cause);
        let parent = self.root.parent().unwrap_or(&self.root);
        std::fs::create_dir_all(parent).map_err(|cause| cannot(&cause))?;
        let beside =
            tempfile::Builder::new().prefix(".shimbook-").tempdir_in(parent).map_err(|cause| cannot(&cause))?;
        let (new, old) = (beside.path().join("new"), beside.path().join("old"));
        write_below(&new, files).map_err(|cause| cannot(&cause))?;
        if self.root.exists() {
            std::fs::rename(&self.root, &old).map_err(|cause| cannot(&cause))?;
        }
        std::fs::rename(&new, &self.root).map_err(|cause| {
            // What was there comes back; where even that fails, it is told by the first failure.
            let _ = std::fs::rename(&old, &self.root);
            cannot(&cause)
        })
    }

    /// Puts the zip beside the folder.
    pub fn write_zip(&self, bytes: &[u8]) -> Result<PathBuf, DeskError> {
        let path = self.zip_path();
        let mut file = plain::beside(path.parent().unwrap_or(&self.root))?;
        file.write_all(bytes).map_err(|cause| DeskError::cannot("write", &path, &cause))?;
        file.persist(&path).map_err(|failed| DeskError::cannot("write", &path, &failed.error))?;
        Ok(self.shown.with_file_name(zip_name(&self.shown)))
    }

    fn zip_path(&self) -> PathBuf {
        self.root.with_file_name(zip_name(&self.root))
    }
}

fn zip_name(folder: &Path) -> String {
    format!("{}.zip", folder.file_name().unwrap_or_default().to_string_lossy())
}

fn write_below(root: &Path, files: &BTreeMap<String, Vec<u8>>) -> std::io::Result<()> {
    std::fs::create_dir_all(root)?;
    for (path, bytes) in files {
        let on_disk = root.join(path);
        std::fs::create_dir_all(on_disk.parent().unwrap_or(root))?;
        std::fs::write(on_disk, bytes)?;
    }
    Ok(())
}
