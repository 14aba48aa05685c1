//! A book's folder, read.
//!
//! In: the folder. Out: [`BookFiles`]: the text of its files, its photos by name, and what is wrong
//! with them. Sheet, parts, plan, then the logs by name: the same order on any machine. Only what
//! the system says is not found counts as not there; any other answer is an error of the book.

use std::collections::BTreeSet;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use rayon::prelude::*;

use super::FileError;
use super::error::reason;
use super::file_cache::{FileCache, Fingerprint, Read};
use super::files::{BookFiles, Wrong, is_log};
use super::plain_files::{self, PathKind};
use crate::diagnostics::Slug;
use crate::source::{SourceFile, Sources};

/// The file that makes a folder a book.
pub const SHEET: &str = "build-sheet.yaml";
/// The parts list.
pub const PARTS: &str = "parts.yaml";
/// The plan.
pub const PLAN: &str = "plan.md";
pub(super) const MIB: u64 = 1024 * 1024;
/// The most that sheet, parts and plan may hold.
pub(super) const SMALL: u64 = 4 * MIB;
/// The most that a log may hold.
pub(super) const LARGE: u64 = 64 * MIB;
/// The most bytes a line may have.
pub(super) const LONGEST_LINE: usize = 256 * 1024;
/// The most bytes the name of a log may have, so that its page can be named after it.
const LONGEST_NAME: usize = 200;
const LEADS_OUT: &str = "this link leads outside the book's folder";

/// The folder of the book: the one given, else the current one or its nearest parent that holds a
/// build sheet.
pub fn find_book(given: Option<&Path>) -> Result<PathBuf, FileError> {
    if let Some(folder) = given {
        return real_folder(folder);
    }
    let here = std::env::current_dir()
        .map_err(|cause| FileError::cannot("find", Path::new("."), &cause))?;
    let found = here
        .ancestors()
        .find(|folder| super::is_there(&folder.join(SHEET)));
    found.map(Path::to_owned).ok_or_else(|| {
        FileError::new(
            format!("no {SHEET} in this folder or its parents"),
            "name the book's folder, or create a book with `shimbook start DIR`",
        )
    })
}

/// The folder as the disk knows it.
fn real_folder(folder: &Path) -> Result<PathBuf, FileError> {
    let real = folder
        .canonicalize()
        .map_err(|cause| FileError::cannot("read", folder, &cause))?;
    if real.is_dir() {
        return Ok(folder.to_owned());
    }
    Err(FileError::new(
        format!("{} is not a folder", folder.display()),
        format!("name the folder that contains {SHEET}"),
    ))
}

/// Reads every file of a book. Fails only where the folder itself cannot be read.
pub fn read_book(folder: &Path) -> Result<BookFiles, FileError> {
    read_book_again(folder, &mut FileCache::default())
}

/// The same, where files that nobody touched since the last time are taken from the shelf.
pub fn read_book_again(folder: &Path, shelf: &mut FileCache) -> Result<BookFiles, FileError> {
    let root = folder
        .canonicalize()
        .map_err(|cause| FileError::cannot("read", folder, &cause))?;
    let mut reader = Reader {
        files: BookFiles::with_sheet(""),
        root,
        read: Vec::new(),
    };
    reader.sheet(shelf);
    reader.take(PARTS, SMALL, shelf);
    reader.take(PLAN, SMALL, shelf);
    let logs: Vec<String> = reader.logs().into_iter().collect();
    let loaded: Vec<_> = logs
        .par_iter()
        .map(|path| load(&reader.root, path, LARGE, shelf))
        .collect();
    for loaded in loaded {
        reader.keep(loaded);
    }
    reader.photos();
    shelf.fill(reader.read);
    Ok(reader.files)
}

/// What was made of a file.
#[derive(Debug, PartialEq)]
pub(super) struct Loaded {
    file: Arc<SourceFile>,
    wrong: Option<Wrong>,
}

/// Loads the file at `path`, if there is one.
fn load(root: &Path, path: &str, limit: u64, shelf: &FileCache) -> Option<Read> {
    let on_disk = root.join(path);
    let read_at = SystemTime::now();
    let about = match on_disk.symlink_metadata() {
        Ok(about) => Some(about),
        Err(cause) if cause.kind() == ErrorKind::NotFound => return None,
        // Looking at it says why it cannot be read.
        Err(_) => None,
    };
    let stamp = about
        .filter(std::fs::Metadata::is_file)
        .map(|about| Fingerprint::of(&about));
    let read = |loaded| {
        Some(Read {
            path: path.to_owned(),
            stamp: stamp.clone(),
            read_at,
            loaded,
        })
    };
    if let Some(held) = stamp.as_ref().and_then(|stamp| shelf.held(path, stamp)) {
        return read(held);
    }
    let (text, wrong) = look(&on_disk, root, limit)?;
    let loaded = Loaded {
        file: Arc::new(SourceFile::new(path.to_owned(), &text)),
        wrong,
    };
    // The same text keeps its place in memory, so that later stages know it by that alone.
    let before = shelf.before(path).filter(|before| ***before == loaded);
    read(before.map_or_else(|| Arc::new(loaded), Arc::clone))
}

/// The text at a path, and what is wrong with it; `None` where it was deleted a moment ago.
fn look(on_disk: &Path, root: &Path, limit: u64) -> Option<(String, Option<Wrong>)> {
    let refuse =
        |slug, why: &str| Some((String::new(), Some(Wrong::Refused(slug, why.to_owned()))));
    let closed = |cause: &io::Error| Some((String::new(), Some(unreadable("file", cause))));
    match plain_files::stands(on_disk, root) {
        Ok(PathKind::Nothing) => None,
        Ok(PathKind::Dangling) => {
            refuse(Slug::Missing, "this link does not lead to a readable file")
        }
        Ok(PathKind::Outside) => refuse(Slug::OutsideBook, LEADS_OUT),
        Ok(PathKind::Folder | PathKind::Other) => refuse(Slug::Missing, "this is not a plain file"),
        Ok(PathKind::File) => match plain_files::bytes(on_disk, limit) {
            Ok(Some(bytes)) => Some(decode(&bytes)),
            Ok(None) => Some((String::new(), Some(Wrong::TooLarge(limit)))),
            Err(cause) if cause.kind() == ErrorKind::NotFound => None,
            Err(cause) => closed(&cause),
        },
        Err(cause) => closed(&cause),
    }
}

/// Says of a file or a folder that the system does not let us read it.
fn unreadable(what: &str, cause: &io::Error) -> Wrong {
    let wanted = match cause.kind() {
        ErrorKind::PermissionDenied => {
            "permission to read it and the folders above it, for the user who runs shimbook"
        }
        ErrorKind::NotADirectory => "a folder; move the file with its name away",
        _ => "a disk or network share that responds; check it, then try again",
    };
    Wrong::Unreadable {
        message: format!("this {what} cannot be read: {}", reason(cause)),
        wanted,
    }
}

fn decode(bytes: &[u8]) -> (String, Option<Wrong>) {
    let text = String::from_utf8_lossy(bytes).into_owned();
    let zero = bytes.iter().position(|byte| *byte == 0);
    let broken = std::str::from_utf8(bytes)
        .err()
        .map(|broken| broken.valid_up_to());
    let wrong = match (zero, broken) {
        (Some(zero), broken) if broken.is_none_or(|broken| zero < broken) => {
            Some(Wrong::Zero(place_of(bytes, zero)))
        }
        (_, broken) => broken.map(|broken| Wrong::NotUtf8(place_of(bytes, broken))),
    };
    if text.len() <= LONGEST_LINE || text.lines().all(|line| line.len() <= LONGEST_LINE) {
        return (text, wrong);
    }
    without_long_lines(&text)
}

/// Where a byte of a file stands in its text, which has no byte-order mark and plain line ends.
fn place_of(bytes: &[u8], at: usize) -> usize {
    let before = String::from_utf8_lossy(bytes.get(..at).unwrap_or_default());
    before
        .trim_start_matches('\u{feff}')
        .replace("\r\n", "\n")
        .len()
}

/// The text with its long lines empty, for a stage that keeps a note of every bracket in a line
/// would need a hundred times its length.
fn without_long_lines(text: &str) -> (String, Option<Wrong>) {
    let mut kept = String::new();
    let mut first = None;
    for line in text.trim_start_matches('\u{feff}').lines() {
        if line.len() > LONGEST_LINE {
            first.get_or_insert(kept.len());
        } else {
            kept.push_str(line);
        }
        kept.push('\n');
    }
    (kept, first.map(Wrong::LongLine))
}

/// Why no page can be named after a file, if so.
fn unfit(name: &str) -> Option<&'static str> {
    if name.len() > LONGEST_NAME {
        return Some("this file name is too long for a page; choose a shorter one");
    }
    let foul = name.contains(['\\', '/']) || name.chars().any(char::is_control);
    foul.then_some(
        "this file name has a character that a page name cannot have; choose another name",
    )
}

/// Takes in one file after another.
struct Reader {
    /// The canonical folder of the book.
    root: PathBuf,
    files: BookFiles,
    /// What goes on the shelf.
    read: Vec<Read>,
}

impl Reader {
    /// Takes in the build sheet, which has its place in any book.
    fn sheet(&mut self, shelf: &FileCache) {
        match load(&self.root, SHEET, SMALL, shelf) {
            Some(read) => {
                self.files.sources = Sources::default();
                self.files.sheet = self.files.sources.add_file(Arc::clone(&read.loaded.file));
                self.files.say(self.files.sheet, read.loaded.wrong.clone());
                self.read.push(read);
            }
            None => self.files.say_no_sheet(),
        }
    }

    /// Takes in the file at `path`, if there is one.
    fn take(&mut self, path: &str, limit: u64, shelf: &FileCache) {
        self.keep(load(&self.root, path, limit, shelf));
    }

    fn keep(&mut self, read: Option<Read>) {
        let Some(read) = read else { return };
        let id = self.files.sources.add_file(Arc::clone(&read.loaded.file));
        if !read.loaded.wrong.as_ref().is_some_and(Wrong::keeps_out) {
            self.files.place(&read.path, id);
        }
        self.files.say(id, read.loaded.wrong.clone());
        self.read.push(read);
    }

    /// Says of a path that it is there and stays out of the book.
    fn keep_out(&mut self, path: &str, wrong: Wrong) {
        let id = self.files.sources.add(path, "");
        self.files.say(id, Some(wrong));
    }

    fn refuse(&mut self, path: &str, slug: Slug, why: &str) {
        self.keep_out(path, Wrong::Refused(slug, why.to_owned()));
    }

    /// The paths of the day logs, sorted.
    fn logs(&mut self) -> BTreeSet<String> {
        let mut logs = BTreeSet::new();
        for name in self.names_of_logs() {
            match name {
                Ok(name) if is_log(&format!("days/{name}")) => match unfit(&name) {
                    Some(why) => self.refuse(&format!("days/{name}"), Slug::OutsideBook, why),
                    None => drop(logs.insert(format!("days/{name}"))),
                },
                Err(lossy) if is_log(&format!("days/{lossy}")) => {
                    self.refuse(
                        &format!("days/{lossy}"),
                        Slug::NotUtf8,
                        "this file name is not UTF-8",
                    );
                }
                _ => {}
            }
        }
        logs
    }

    /// The names in `days/`, as far as it can be listed.
    fn names_of_logs(&mut self) -> Vec<Name> {
        let folder = self.root.join("days");
        match plain_files::stands(&folder, &self.root) {
            Ok(PathKind::Nothing) => Vec::new(),
            Ok(PathKind::Outside) => {
                self.refuse("days", Slug::OutsideBook, LEADS_OUT);
                Vec::new()
            }
            Ok(PathKind::Dangling) => {
                self.refuse(
                    "days",
                    Slug::Missing,
                    "this link does not lead to a readable file",
                );
                Vec::new()
            }
            Ok(PathKind::Folder | PathKind::File | PathKind::Other) => {
                let (names, failed) = names(&folder);
                if let Some(cause) = failed.filter(|cause| cause.kind() != ErrorKind::NotFound) {
                    self.keep_out("days", unreadable("folder", &cause));
                }
                names
            }
            Err(cause) => {
                self.keep_out("days", unreadable("folder", &cause));
                Vec::new()
            }
        }
    }

    /// Finds the pictures; each real folder is gone through once, however links lead to it.
    fn photos(&mut self) {
        let mut seen = BTreeSet::new();
        let mut todo = vec!["photos".to_owned()];
        while let Some(path) = todo.pop() {
            let on_disk = self.root.join(&path);
            match plain_files::stands(&on_disk, &self.root) {
                Ok(PathKind::Outside) => drop(self.files.refused_photos.insert(path)),
                // Why a picture cannot be read is said where a log shows it.
                Ok(PathKind::File) | Err(_) if path != "photos" => self.photo(path, on_disk),
                Ok(PathKind::Folder)
                    if on_disk.canonicalize().is_ok_and(|real| !seen.insert(real)) => {}
                Ok(PathKind::Nothing | PathKind::Dangling) => {}
                Ok(PathKind::Other) if path != "photos" => {}
                Ok(PathKind::Folder | PathKind::File | PathKind::Other) => {
                    todo.extend(self.pictures_in(&path).into_iter().rev());
                }
                Err(cause) => self.close_photos(&path, &cause),
            }
        }
    }

    /// The paths of what is in a folder of pictures, as far as it can be listed.
    fn pictures_in(&mut self, path: &str) -> BTreeSet<String> {
        let (inside, failed) = names(&self.root.join(path));
        if let Some(cause) = failed.filter(|cause| cause.kind() != ErrorKind::NotFound) {
            self.close_photos(path, &cause);
        }
        let inside = inside.into_iter().flatten();
        let (fit, foul): (BTreeSet<String>, BTreeSet<String>) =
            inside.partition(|name| unfit(name).is_none());
        self.files
            .refused_photos
            .extend(foul.into_iter().map(|name| format!("{path}/{name}")));
        fit.into_iter()
            .map(|name| format!("{path}/{name}"))
            .collect()
    }

    fn close_photos(&mut self, path: &str, cause: &io::Error) {
        self.keep_out(path, unreadable("folder", cause));
        self.files.closed_photos.insert(path.to_owned());
    }

    fn photo(&mut self, path: String, on_disk: PathBuf) {
        if let Ok(about) = on_disk.metadata() {
            self.files
                .photo_stamps
                .insert(path.clone(), Fingerprint::of(&about));
        }
        self.files.photos.insert(path, on_disk);
    }
}

/// A name in a folder; one that is not UTF-8 is an error with its nearest reading.
type Name = Result<String, String>;

/// The names in a folder, and why there may be more.
fn names(folder: &Path) -> (Vec<Name>, Option<io::Error>) {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(cause) => return (Vec::new(), Some(cause)),
    };
    let mut names = Vec::new();
    for entry in entries {
        match entry {
            Ok(entry) => {
                names.push(
                    entry
                        .file_name()
                        .into_string()
                        .map_err(|name| name.to_string_lossy().into_owned()),
                );
            }
            Err(cause) => return (names, Some(cause)),
        }
    }
    (names, None)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::source::Position;

    fn book(files: &[(&str, &[u8])]) -> tempfile::TempDir {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join(SHEET), b"title: x").unwrap();
        fs::create_dir_all(dir.path().join("days")).unwrap();
        fs::create_dir_all(dir.path().join("photos/arch")).unwrap();
        for (path, bytes) in files {
            fs::write(dir.path().join(path), bytes).unwrap();
        }
        dir
    }

    fn slugs(files: &BookFiles) -> Vec<Slug> {
        files.diagnostics.iter().map(|found| found.slug).collect()
    }

    #[test]
    fn files_come_in_one_order_and_photos_by_their_path() {
        let dir = book(&[
            ("days/day-02.md", b"two"),
            ("days/day-01.md", b"one"),
            ("days/notes.txt", b"no"),
            (PLAN, b""),
            ("photos/arch/a.png", b"p"),
        ]);
        let files = read_book(dir.path()).unwrap();
        let paths: Vec<&str> = files
            .logs
            .iter()
            .map(|id| files.sources.path(*id))
            .collect();
        assert_eq!(paths, ["days/day-01.md", "days/day-02.md"]);
        assert!(Some(files.sheet) < files.plan && files.plan < files.logs.first().copied());
        assert_eq!(
            files.photos.keys().collect::<Vec<_>>(),
            ["photos/arch/a.png"]
        );
        assert_eq!(slugs(&files), []);
    }

    #[test]
    fn a_byte_that_is_not_utf8_is_shown_where_it_stands_and_the_rest_is_read() {
        let dir = book(&[("days/day-01.md", b"\xef\xbb\xbfone\r\ntw\xffo")]);
        let files = read_book(dir.path()).unwrap();
        assert_eq!(slugs(&files), [Slug::NotUtf8]);
        assert_eq!(
            files.sources.position(files.diagnostics[0].at),
            Position { line: 2, column: 3 }
        );
        assert_eq!(files.sources.text(files.logs[0]), "one\ntw\u{fffd}o");
    }

    #[test]
    fn a_file_that_is_too_large_counts_as_empty() {
        let dir = book(&[(PLAN, &vec![b'x'; 4 * MIB as usize + 1])]);
        let files = read_book(dir.path()).unwrap();
        assert_eq!(slugs(&files), [Slug::TooLarge]);
        assert_eq!(files.sources.text(files.plan.unwrap()), "");
    }

    #[cfg(unix)]
    #[test]
    fn links_that_lead_out_are_refused_and_links_inside_are_read() {
        use std::os::unix::fs::symlink;
        let outside = book(&[("secret.md", b"secret"), ("photos/s.png", b"s")]);
        let dir = book(&[("days/day-01.md", b"one")]);
        let at = |path: &str| dir.path().join(path);
        symlink(outside.path().join("secret.md"), at("days/day-02.md")).unwrap();
        symlink(at("days/day-01.md"), at("days/day-03.md")).unwrap();
        fs::remove_file(at(SHEET)).unwrap();
        symlink(outside.path().join("secret.md"), at(SHEET)).unwrap();
        symlink(outside.path().join("photos"), at("photos/out")).unwrap();
        symlink(at("photos"), at("photos/loop")).unwrap();
        let files = read_book(dir.path()).unwrap();
        assert_eq!(slugs(&files), [Slug::OutsideBook, Slug::OutsideBook]);
        assert_eq!(files.unread.len(), 2);
        assert_eq!(files.logs.len(), 2);
        assert_eq!(files.sources.text(files.sheet), "");
        assert!(files.photos.is_empty());
        assert_eq!(
            files.refused_photos.iter().collect::<Vec<_>>(),
            ["photos/out"]
        );
    }

    #[test]
    fn a_folder_in_place_of_a_file_is_refused() {
        let dir = book(&[]);
        fs::create_dir(dir.path().join("days/day-01.md")).unwrap();
        let files = read_book(dir.path()).unwrap();
        assert_eq!(slugs(&files), [Slug::Missing]);
        assert!(files.logs.is_empty());
    }

    #[cfg(unix)]
    #[test]
    fn a_pipe_in_place_of_a_file_is_refused_and_never_opened() {
        let dir = book(&[]);
        fs::remove_file(dir.path().join(SHEET)).unwrap();
        assert_eq!(
            read_book(dir.path()).unwrap().diagnostics[0].message,
            "build-sheet.yaml is missing"
        );
        let made = std::process::Command::new("mkfifo")
            .arg(dir.path().join(SHEET))
            .status();
        if made.is_ok_and(|status| status.success()) {
            let files = read_book(dir.path()).unwrap();
            assert_eq!(slugs(&files), [Slug::Missing]);
        }
    }

    #[test]
    fn a_folder_that_is_not_there_is_said_in_plain_words() {
        let failed = read_book(Path::new("no/such/book")).unwrap_err();
        assert_eq!(
            failed.message,
            "cannot read no/such/book: no such file or directory"
        );
    }
}
