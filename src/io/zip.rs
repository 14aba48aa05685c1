//! The one way in which the program writes a zip, and the reading of it.
//!
//! In: files by path, or a zip. Out: the bytes of the zip; or what is in it, and how it differs
//! from the zip that the program writes for these files. The entries are sorted by path and stored
//! without compression; they have one date, one set of rights, no extra fields and no comments. So
//! the bytes follow from the files alone: another machine, version or library gives the same zip,
//! and a zip can be compared with the one that would be written, many years later too.
//!
//! [`look`] starts at the first byte and ends at the last. Each header must be the one that is
//! written for the name, the checksum and the length found; behind the last file the directory must
//! be the one for exactly these entries; behind it there must be nothing. Whatever else a reader of
//! zips could find is named.

use std::collections::btree_map::Entry as MapEntry;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom, Write};
use std::path::Path;

use crc32fast::Hasher as Checksum;
use sha2::{Digest, Sha256};

use super::handover_files::{
    FoundFile, HandoverFiles, LARGEST_SEAL, SEAL, hex, not_a_handover, pieces,
};
use super::{FileError, plain_files};
use crate::diagnostics::render::visible;

const LOCAL: [u8; 4] = *b"PK\x03\x04";
const CENTRAL: [u8; 4] = *b"PK\x01\x02";
const END: [u8; 4] = *b"PK\x05\x06";
/// How long a header before a file is, without the name; and one in the directory.
const LOCAL_LENGTH: usize = 30;
const CENTRAL_LENGTH: usize = 46;
/// A plain zip counts its entries in 16 bits and its bytes in 32; the last number of each says that
/// there are more.
const MOST_ENTRIES: usize = u16::MAX as usize - 1;
const MOST_BYTES: u64 = u32::MAX as u64 - 1;
/// A message shows so many characters of a name.
const MOST_SHOWN: usize = 100;
/// The longest path that is read.
const LONGEST_NAME: usize = 4096;
/// What is said where the end of a zip cannot be found.
const CUT_SHORT: &str = "this zip is cut short, or is not stored the way Shimbook stores it";
/// How many lines are said of one zip.
const MOST_LINES: usize = 50;

/// An entry: all that its two headers are made from.
struct Entry {
    name: Vec<u8>,
    checksum: u32,
    length: u32,
    /// Where its first header is.
    at: u32,
}

impl Entry {
    /// The fields that both headers have: version 1.0, names in UTF-8, stored, midnight of 1
    /// January 1980.
    fn common(&self) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(LOCAL_LENGTH + self.name.len());
        for field in [10, 0x800, 0, 0, 0x21_u16] {
            bytes.extend(field.to_le_bytes());
        }
        for field in [self.checksum, self.length, self.length] {
            bytes.extend(field.to_le_bytes());
        }
        // Names are never longer than a page's path may be.
        bytes.extend((self.name.len() as u16).to_le_bytes());
        bytes.extend(0_u16.to_le_bytes());
        bytes
    }

    fn local(&self) -> Vec<u8> {
        [&LOCAL[..], &self.common(), &self.name].concat()
    }

    /// Made as on Unix, a plain file that its owner may write and everybody may read; no comment,
    /// the first disk.
    fn central(&self) -> Vec<u8> {
        let rights = (0o100_644_u32 << 16).to_le_bytes();
        let made_by = 0x030a_u16.to_le_bytes();
        [
            &CENTRAL[..],
            &made_by,
            &self.common(),
            &[0; 6],
            &rights,
            &self.at.to_le_bytes(),
            &self.name,
        ]
        .concat()
    }
}

/// The directory, and the record that ends the zip.
fn tail(entries: &[Entry], at: u64) -> Vec<u8> {
    let mut bytes: Vec<u8> = entries.iter().flat_map(Entry::central).collect();
    let length = bytes.len() as u32;
    let count = (entries.len() as u16).to_le_bytes();
    bytes.extend(
        [
            &END[..],
            &[0; 4],
            &count,
            &count,
            &length.to_le_bytes(),
            &(at as u32).to_le_bytes(),
            &[0; 2],
        ]
        .concat(),
    );
    bytes
}

/// Writes the zip of some files.
pub fn write_zip(files: &BTreeMap<String, Vec<u8>>, to: &mut impl Write) -> io::Result<()> {
    let bytes: u64 = files
        .iter()
        .map(|(path, bytes)| 128 + 2 * path.len() as u64 + bytes.len() as u64)
        .sum();
    if files.len() > MOST_ENTRIES
        || bytes > MOST_BYTES
        || files.keys().any(|path| path.len() > LONGEST_NAME)
    {
        return Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "it is larger than 4 GiB or contains more than 65,534 files",
        ));
    }
    let (mut entries, mut at) = (Vec::with_capacity(files.len()), 0_u64);
    for (path, bytes) in files {
        let (name, checksum) = (path.as_bytes().to_vec(), crc32fast::hash(bytes));
        let entry = Entry {
            name,
            checksum,
            length: bytes.len() as u32,
            at: at as u32,
        };
        let header = entry.local();
        to.write_all(&header)?;
        to.write_all(bytes)?;
        at += header.len() as u64 + bytes.len() as u64;
        entries.push(entry);
    }
    to.write_all(&tail(&entries, at))
}

/// Looks at a zip.
pub(super) fn look(path: &Path) -> Result<HandoverFiles, FileError> {
    let cannot = |cause: io::Error| FileError::cannot("read", path, &cause);
    let real = path.canonicalize().map_err(cannot)?;
    let file = plain_files::open(&real).map_err(cannot)?;
    let length = file.metadata().map_err(cannot)?.len();
    let mut zip = Zip {
        file: BufReader::new(file),
        length,
        entries: Vec::new(),
        lies: HandoverFiles::default(),
    };
    if length > MOST_BYTES {
        return Err(not_a_handover(
            path,
            "is larger than any zip file that Shimbook writes",
        ));
    }
    let Some(start) = zip.start().map_err(cannot)? else {
        return Err(not_a_handover(path, "is not a zip"));
    };
    if start > 0 {
        zip.say(format!("this zip has {start} bytes before its first file"));
    }
    let behind = zip.files(start).map_err(cannot)?;
    if !zip.lies.cut_short {
        zip.directory(behind).map_err(cannot)?;
    }
    Ok(zip.lies)
}

/// A zip that is being read.
struct Zip {
    file: BufReader<File>,
    length: u64,
    entries: Vec<Entry>,
    lies: HandoverFiles,
}

impl Zip {
    fn say(&mut self, line: String) {
        if self.lies.odd.len() < MOST_LINES && !self.lies.odd.contains(&line) {
            self.lies.odd.push(line);
        }
    }

    /// Exactly so many bytes from a place, or `None` where the zip ends before.
    fn read(&mut self, at: u64, count: usize) -> io::Result<Option<Vec<u8>>> {
        if at
            .checked_add(count as u64)
            .is_none_or(|end| end > self.length)
        {
            return Ok(None);
        }
        self.file.seek(SeekFrom::Start(at))?;
        let mut bytes = vec![0; count];
        self.file.read_exact(&mut bytes)?;
        Ok(Some(bytes))
    }

    /// Where the first header is; `None` where it is not a zip.
    fn start(&mut self) -> io::Result<Option<u64>> {
        self.file.seek(SeekFrom::Start(0))?;
        let mut last = [0; 4];
        for (at, byte) in (1_u64..).zip((&mut self.file).bytes()) {
            last = [last[1], last[2], last[3], byte?];
            if [LOCAL, END].contains(&last) {
                return Ok(Some(at - 4));
            }
        }
        Ok(None)
    }

    /// Reads file after file; gives where the last one ends.
    fn files(&mut self, start: u64) -> io::Result<u64> {
        let mut at = start;
        while self.read(at, 4)?.is_some_and(|sign| sign == LOCAL) {
            match self.one_file(at)? {
                Some(end) if self.entries.len() <= MOST_ENTRIES => at = end,
                _ => {
                    self.say(CUT_SHORT.to_owned());
                    self.lies.cut_short = true;
                    break;
                }
            }
        }
        if !self.entries.is_sorted_by(|one, next| one.name <= next.name) {
            self.say(
                "the files of this zip are not in the order that Shimbook writes them".to_owned(),
            );
        }
        Ok(at)
    }

    /// Reads one file; gives where it ends, or `None` where that cannot be told.
    fn one_file(&mut self, at: u64) -> io::Result<Option<u64>> {
        let Some(header) = self.read(at, LOCAL_LENGTH)? else {
            return Ok(None);
        };
        let short = |from: usize| u16::from_le_bytes([header[from], header[from + 1]]);
        let long = |from: usize| {
            u32::from_le_bytes([
                header[from],
                header[from + 1],
                header[from + 2],
                header[from + 3],
            ])
        };
        let (length, name_length, extra) = (long(18), usize::from(short(26)), u64::from(short(28)));
        let from = at + (LOCAL_LENGTH + name_length) as u64;
        let name = if name_length <= LONGEST_NAME {
            self.read(at + LOCAL_LENGTH as u64, name_length)?
        } else {
            None
        };
        let Some(name) = name.filter(|_| from + extra + u64::from(length) <= self.length) else {
            return Ok(None);
        };
        let entry = Entry {
            name,
            checksum: long(14),
            length,
            at: at as u32,
        };
        let shown = shown(&entry.name);
        // Unless the length is told here, it is told behind the file, where only the unpacked file
        // says where that is.
        let told = short(6) & 8 == 0 && length != u32::MAX;
        let plain = entry.local() == [header.as_slice(), &entry.name].concat();
        if !plain {
            self.say(format!("{shown} is not stored the way Shimbook stores it"));
        }
        self.content(&entry, from + extra, short(8) == 0)?;
        self.entries.push(entry);
        Ok(told.then_some(from + extra + u64::from(length)))
    }

    /// Hashes a file's bytes.
    fn content(&mut self, entry: &Entry, at: u64, stored: bool) -> io::Result<()> {
        let path = shown(&entry.name);
        let name = String::from_utf8(entry.name.clone());
        if name.is_err() {
            self.say(format!("added {path}: its name is not text"));
        }
        let name = name.unwrap_or(path.clone());
        self.file.seek(SeekFrom::Start(at))?;
        let (mut hasher, mut checksum, mut seal) = (Sha256::new(), Checksum::new(), Vec::new());
        let is_seal = name == SEAL && u64::from(entry.length) <= LARGEST_SEAL;
        let bytes = pieces(
            &mut (&mut self.file).take(u64::from(entry.length)),
            |piece| {
                hasher.update(piece);
                checksum.update(piece);
                if is_seal {
                    seal.extend_from_slice(piece);
                }
            },
        )?;
        if stored && checksum.finalize() != entry.checksum {
            self.say(format!("the checksum of {path} in this zip is wrong"));
        }
        let file = FoundFile::File {
            bytes,
            sha256: Some(hex(&hasher.finalize())),
        };
        let found = match name.ends_with('/') {
            true => FoundFile::Other("a folder"),
            false if stored => file,
            false => FoundFile::Other("compressed"),
        };
        match self.lies.found.entry(name) {
            MapEntry::Occupied(_) => self.say(format!("this zip contains {path} more than once")),
            MapEntry::Vacant(free) => {
                free.insert(found);
                self.lies.seal = self
                    .lies
                    .seal
                    .take()
                    .or((is_seal && stored).then_some(seal));
            }
        }
        Ok(())
    }

    /// Compares what is behind the files with what the program writes there.
    fn directory(&mut self, at: u64) -> io::Result<()> {
        let wanted = tail(&self.entries, at);
        let there = self.read(at, wanted.len())?;
        let behind = self.length.saturating_sub(at + wanted.len() as u64);
        if there.is_some_and(|there| there == wanted) {
            if behind > 0 {
                self.say(format!("this zip has {behind} bytes after its end"));
            }
            return Ok(());
        }
        let listed = self.listed(at)?;
        let known: BTreeSet<&[u8]> = self
            .entries
            .iter()
            .map(|entry| entry.name.as_slice())
            .collect();
        let more: Vec<&Vec<u8>> = listed
            .iter()
            .filter(|name| !known.contains(name.as_slice()))
            .collect();
        let more: Vec<String> = more.into_iter().map(|name| shown(name)).collect();
        for name in more {
            self.say(format!(
                "this zip contains more than Shimbook wrote: {name}"
            ));
        }
        self.say("this zip's list of files is not the one that Shimbook writes".to_owned());
        Ok(())
    }

    /// The names that the directory lists, as far as it can be read.
    fn listed(&mut self, mut at: u64) -> io::Result<Vec<Vec<u8>>> {
        let mut names = Vec::new();
        while let Some(header) = self
            .read(at, CENTRAL_LENGTH)?
            .filter(|header| header.starts_with(&CENTRAL))
        {
            let length =
                |from: usize| u64::from(u16::from_le_bytes([header[from], header[from + 1]]));
            let name = self.read(
                at + CENTRAL_LENGTH as u64,
                (length(28) as usize).min(LONGEST_NAME),
            )?;
            names.extend(name);
            at += CENTRAL_LENGTH as u64 + length(28) + length(30) + length(32);
            if names.len() > 2 * MOST_ENTRIES {
                break;
            }
        }
        Ok(names)
    }
}

/// A name as a message shows it: on one line, and short, because whoever forges a zip also chooses
/// its names.
fn shown(name: &[u8]) -> String {
    let name = String::from_utf8_lossy(name);
    let name = visible(&name);
    match name.char_indices().nth(MOST_SHOWN) {
        Some((end, _)) => format!("{}…", &name[..end]),
        None => name.into_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn looked(bytes: &[u8]) -> HandoverFiles {
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), bytes).unwrap();
        look(file.path()).unwrap()
    }

    #[test]
    fn a_zip_reads_back_and_each_changed_byte_is_seen() {
        let files = [("a.html", "one"), ("b/c.html", ""), (SEAL, "{}")];
        let files = files
            .map(|(path, text)| (path.to_owned(), text.as_bytes().to_vec()))
            .into();
        let mut bytes = Vec::new();
        write_zip(&files, &mut bytes).unwrap();
        let whole = looked(&bytes);
        assert!(
            whole.odd.is_empty() && whole.found.len() == 3 && whole.seal.as_deref() == Some(b"{}"),
            "{whole:?}"
        );
        for at in 4..bytes.len() {
            let mut changed = bytes.clone();
            changed[at] ^= 1;
            assert_ne!(looked(&changed), whole, "byte {at}");
        }
        for length in 4..bytes.len() {
            assert_ne!(looked(&bytes[..length]), whole, "cut to {length}");
        }
    }
}
