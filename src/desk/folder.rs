//! A book's folder, read.
//!
//! In: the folder. Out: [`BookFiles`]: the text of its files, its photos by name, and what is wrong
//! with them. Sheet, parts, plan, then the logs by name: the same order on any machine.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use rayon::prelude::*;

use super::DeskError;
use super::plain::{self, Stands};
use super::shelf::{Read, Shelf, Stamp};
use crate::text::{Diagnostic, FileId, Slug, SourceFile, Sources, Span};

/// The file that makes a folder a book.
pub const SHEET: &str = "build-sheet.yaml";
const PARTS: &str = "parts.yaml";
const PLAN: &str = "plan.md";
const MIB: u64 = 1024 * 1024;
/// The most that sheet, parts and plan may hold.
const SMALL: u64 = 4 * MIB;
/// The most that a log may hold.
const LARGE: u64 = 64 * MIB;
/// The most bytes a line may have.
const LONGEST_LINE: usize = 256 * 1024;
/// The most bytes the name of a log may have, so that its page can be named after it.
const LONGEST_NAME: usize = 200;
const LEADS_OUT: &str = "this is a link that leads out of the book's folder";

/// The files of a book.
#[derive(Clone, Debug)]
pub struct BookFiles {
    /// The text of every file.
    pub sources: Sources,
    /// `build-sheet.yaml`; an empty text where it cannot be read, which is then among the findings.
    pub sheet: FileId,
    /// `plan.md`.
    pub plan: Option<FileId>,
    /// `parts.yaml`.
    pub parts: Option<FileId>,
    /// `days/*.md`, by path.
    pub logs: Vec<FileId>,
    /// The pictures by their path in the book (`photos/x.png`), and where they lie on the disk.
    pub photos: BTreeMap<String, PathBuf>,
    /// How the disk describes each of them.
    pub photo_stamps: BTreeMap<String, Stamp>,
    /// Pictures and their folders that lead out of the book, by their path in it.
    pub refused_photos: BTreeSet<String>,
    /// What is wrong with the files themselves.
    pub diagnostics: Vec<Diagnostic>,
}

impl BookFiles {
    /// A book from texts by path, as if they had been read from a folder.
    pub fn from_texts<'a>(texts: impl IntoIterator<Item = (&'a str, &'a str)>) -> Self {
        let texts: BTreeMap<&str, &str> = texts.into_iter().collect();
        let mut files = Self::with_sheet(texts.get(SHEET).copied().unwrap_or_default());
        if !texts.contains_key(SHEET) {
            files.say_no_sheet();
        }
        let logs = texts.keys().copied().filter(|path| is_log(path));
        for path in [PARTS, PLAN].into_iter().chain(logs) {
            if let Some(text) = texts.get(path) {
                let id = files.sources.add(path, text);
                files.place(path, id);
            }
        }
        files
    }

    fn with_sheet(text: &str) -> Self {
        let mut sources = Sources::default();
        let sheet = sources.add(SHEET, text);
        Self {
            sources,
            sheet,
            plan: None,
            parts: None,
            logs: Vec::new(),
            photos: BTreeMap::new(),
            photo_stamps: BTreeMap::new(),
            refused_photos: BTreeSet::new(),
            diagnostics: Vec::new(),
        }
    }

    /// Is it the same book, file by file, as at another time?
    pub fn is_as(&self, before: &Self) -> bool {
        self.sources.are_the_same(&before.sources)
            && self.photo_stamps == before.photo_stamps
            && self.refused_photos == before.refused_photos
            && self.diagnostics == before.diagnostics
    }

    fn say_no_sheet(&mut self) {
        let found = Diagnostic::error(Slug::Missing, Sources::top(self.sheet), format!("there is no {SHEET}"));
        self.diagnostics.push(found.expected("a build sheet with title, start, days and crew"));
    }

    /// Says what is wrong with a file.
    fn say(&mut self, id: FileId, wrong: Option<Wrong>) {
        let top = Sources::top(id);
        self.diagnostics.extend(wrong.map(|wrong| {
            match wrong {
                Wrong::Refused(slug, why) => {
                    Diagnostic::error(slug, top, why).expected("a plain file inside the book's folder")
                }
                Wrong::TooLarge(limit) => Diagnostic::error(
                    Slug::TooLarge,
                    top,
                    format!("this file is larger than {} MiB and is not read", limit / MIB),
                ),
                Wrong::LongLine(at) => Diagnostic::error(
                    Slug::TooLarge,
                    Span::new(id, at..at),
                    format!("this line is longer than {} KiB and is not read", LONGEST_LINE / 1024),
                )
                .expected("shorter lines, here and further down"),
                Wrong::NotUtf8(at) => {
                    let next = self.sources.text(id).get(at..).and_then(|rest| rest.chars().next());
                    let at = Span::new(id, at..at + next.map_or(0, char::len_utf8));
                    Diagnostic::error(Slug::NotUtf8, at, "this byte is not UTF-8 text")
                        .expected("a file saved as UTF-8")
                }
            }
        }));
    }

    /// Notes which part of the book a file is.
    fn place(&mut self, path: &str, id: FileId) {
        match path {
            PARTS => self.parts = Some(id),
            PLAN => self.plan = Some(id),
            _ => self.logs.push(id),
        }
    }
}

/// Is this the path of a day's log?
fn is_log(path: &str) -> bool {
    let stem = path.strip_prefix("days/").and_then(|name| name.strip_suffix(".md"));
    stem.is_some_and(|stem| !stem.contains('/') && !stem.starts_with('.'))
}

/// The folder of the book: the one given, else the current one or its nearest parent that holds a
/// build sheet.
pub fn find_book(given: Option<&Path>) -> Result<PathBuf, DeskError> {
    if let Some(folder) = given {
        return real_folder(folder);
    }
    let here = std::env::current_dir().map_err(|cause| DeskError::cannot("find", Path::new("."), &cause))?;
    let found = here.ancestors().find(|folder| folder.join(SHEET).symlink_metadata().is_ok());
    found.map(Path::to_owned).ok_or_else(|| {
        DeskError::new(
            format!("there is no {SHEET} here or in a folder above"),
            "name the book's folder, or begin one with `shimbook start DIR`",
        )
    })
}

/// The folder as the disk knows it.
fn real_folder(folder: &Path) -> Result<PathBuf, DeskError> {
    let real = folder.canonicalize().map_err(|cause| DeskError::cannot("read", folder, &cause))?;
    if real.is_dir() {
        return Ok(folder.to_owned());
    }
    Err(DeskError::new(format!("{} is not a folder", folder.display()), format!("name the folder that holds {SHEET}")))
}

/// Reads every file of a book. Fails only where the folder itself cannot be read.
pub fn read_book(folder: &Path) -> Result<BookFiles, DeskError> {
    read_book_again(folder, &mut Shelf::default())
}

/// The same, where files that nobody touched since the last time are taken from the shelf.
pub fn read_book_again(folder: &Path, shelf: &mut Shelf) -> Result<BookFiles, DeskError> {
    let root = folder.canonicalize().map_err(|cause| DeskError::cannot("read", folder, &cause))?;
    let mut reader = Reader { files: BookFiles::with_sheet(""), root, read: Vec::new() };
    reader.sheet(shelf);
    reader.take(PARTS, SMALL, shelf);
    reader.take(PLAN, SMALL, shelf);
    let logs: Vec<String> = reader.logs().into_iter().collect();
    let loaded: Vec<_> = logs.par_iter().map(|path| load(&reader.root, path, LARGE, shelf)).collect();
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

/// Why a file is not read, or not as it is.
#[derive(Clone, Debug, PartialEq)]
enum Wrong {
    /// It stays out of the book.
    Refused(Slug, String),
    /// It counts as empty.
    TooLarge(u64),
    /// Where in the text the first byte stands that is not UTF-8.
    NotUtf8(usize),
    /// Where in the text the first line stood that is too long; each of them counts as empty.
    LongLine(usize),
}

/// Loads the file at `path`, if there is one.
fn load(root: &Path, path: &str, limit: u64, shelf: &Shelf) -> Option<Read> {
    let on_disk = root.join(path);
    let read_at = SystemTime::now();
    let about = on_disk.symlink_metadata().ok()?;
    let stamp = about.is_file().then(|| Stamp::of(&about));
    let read = |loaded| Some(Read { path: path.to_owned(), stamp: stamp.clone(), read_at, loaded });
    if let Some(held) = stamp.as_ref().and_then(|stamp| shelf.held(path, stamp)) {
        return read(held);
    }
    let (text, wrong) = look(&on_disk, path, root, limit);
    let loaded = Loaded { file: Arc::new(SourceFile::new(path.to_owned(), &text)), wrong };
    // The same text keeps its place in memory, so that later stages know it by that alone.
    let before = shelf.before(path).filter(|before| ***before == loaded);
    read(before.map_or_else(|| Arc::new(loaded), Arc::clone))
}

/// The text at a path, and what is wrong with it.
fn look(on_disk: &Path, path: &str, root: &Path, limit: u64) -> (String, Option<Wrong>) {
    let refuse = |slug, why: &str| (String::new(), Some(Wrong::Refused(slug, why.to_owned())));
    match plain::stands(on_disk, root) {
        Stands::Nothing => refuse(Slug::Missing, "this is a link to nothing that can be read"),
        Stands::Outside => refuse(Slug::OutsideBook, LEADS_OUT),
        Stands::Folder | Stands::Other => refuse(Slug::Missing, "this is not a plain file"),
        Stands::File => match plain::bytes(on_disk, limit) {
            Ok(Some(bytes)) => decode(&bytes),
            Ok(None) => (String::new(), Some(Wrong::TooLarge(limit))),
            Err(cause) => refuse(Slug::Missing, &DeskError::cannot("read", Path::new(path), &cause).message),
        },
    }
}

fn decode(bytes: &[u8]) -> (String, Option<Wrong>) {
    let text = String::from_utf8_lossy(bytes).into_owned();
    let wrong = std::str::from_utf8(bytes).err().map(|broken| {
        let good = bytes.get(..broken.valid_up_to()).unwrap_or_default();
        let good = String::from_utf8_lossy(good);
        Wrong::NotUtf8(good.trim_start_matches('\u{feff}').replace("\r\n", "\n").len())
    });
    if text.len() <= LONGEST_LINE || text.lines().all(|line| line.len() <= LONGEST_LINE) {
        return (text, wrong);
    }
    without_long_lines(&text)
}

/// The text with its long lines empty, for a stage that keeps a note of every bracket in a line would need a hundred
/// times its length.
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
        return Some("the name of this file is too long to name a page after it: give it a shorter one");
    }
    let foul = name.contains(['\\', '/']) || name.chars().any(char::is_control);
    foul.then_some("the name of this file holds a character that no page can be named with: give it another name")
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
    fn sheet(&mut self, shelf: &Shelf) {
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
    fn take(&mut self, path: &str, limit: u64, shelf: &Shelf) {
        self.keep(load(&self.root, path, limit, shelf));
    }

    fn keep(&mut self, read: Option<Read>) {
        let Some(read) = read else { return };
        let id = self.files.sources.add_file(Arc::clone(&read.loaded.file));
        if !matches!(read.loaded.wrong, Some(Wrong::Refused(..))) {
            self.files.place(&read.path, id);
        }
        self.files.say(id, read.loaded.wrong.clone());
        self.read.push(read);
    }

    fn refuse(&mut self, path: &str, slug: Slug, why: &str) {
        let id = self.files.sources.add(path, "");
        self.files.say(id, Some(Wrong::Refused(slug, why.to_owned())));
    }

    /// The paths of the day logs, sorted.
    fn logs(&mut self) -> BTreeSet<String> {
        if plain::stands(&self.root.join("days"), &self.root) == Stands::Outside {
            self.refuse("days", Slug::OutsideBook, LEADS_OUT);
            return BTreeSet::new();
        }
        let mut logs = BTreeSet::new();
        for name in names(&self.root.join("days")) {
            match name {
                Ok(name) if is_log(&format!("days/{name}")) => match unfit(&name) {
                    Some(why) => self.refuse(&format!("days/{name}"), Slug::OutsideBook, why),
                    None => drop(logs.insert(format!("days/{name}"))),
                },
                Err(lossy) if is_log(&format!("days/{lossy}")) => {
                    self.refuse(&format!("days/{lossy}"), Slug::NotUtf8, "the name of this file is not UTF-8");
                }
                _ => {}
            }
        }
        logs
    }

    /// Finds the pictures; each real folder is gone through once, however links lead to it.
    fn photos(&mut self) {
        let mut seen = BTreeSet::new();
        let mut todo = vec!["photos".to_owned()];
        while let Some(path) = todo.pop() {
            let on_disk = self.root.join(&path);
            match plain::stands(&on_disk, &self.root) {
                Stands::File => self.photo(path, on_disk),
                Stands::Outside => drop(self.files.refused_photos.insert(path)),
                Stands::Folder if on_disk.canonicalize().is_ok_and(|real| seen.insert(real)) => {
                    let inside = names(&on_disk).flatten();
                    let (fit, foul): (BTreeSet<String>, BTreeSet<String>) =
                        inside.partition(|name| unfit(name).is_none());
                    self.files.refused_photos.extend(foul.into_iter().map(|name| format!("{path}/{name}")));
                    todo.extend(fit.into_iter().rev().map(|name| format!("{path}/{name}")));
                }
                _ => {}
            }
        }
    }
}

impl Reader {
    fn photo(&mut self, path: String, on_disk: PathBuf) {
        if let Ok(about) = on_disk.metadata() {
            self.files.photo_stamps.insert(path.clone(), Stamp::of(&about));
        }
        self.files.photos.insert(path, on_disk);
    }
}

/// The names in a folder; a name that is not UTF-8 comes as an error with its nearest reading.
fn names(folder: &Path) -> impl Iterator<Item = Result<String, String>> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    entries.map(|entry| entry.file_name().into_string().map_err(|name| name.to_string_lossy().into_owned()))
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::text::Position;

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
        let paths: Vec<&str> = files.logs.iter().map(|id| files.sources.path(*id)).collect();
        assert_eq!(paths, ["days/day-01.md", "days/day-02.md"]);
        assert!(Some(files.sheet) < files.plan && files.plan < files.logs.first().copied());
        assert_eq!(files.photos.keys().collect::<Vec<_>>(), ["photos/arch/a.png"]);
        assert_eq!(slugs(&files), []);
    }

    #[test]
    fn a_byte_that_is_not_utf8_is_shown_where_it_stands_and_the_rest_is_read() {
        let dir = book(&[("days/day-01.md", b"\xef\xbb\xbfone\r\ntw\xffo")]);
        let files = read_book(dir.path()).unwrap();
        assert_eq!(slugs(&files), [Slug::NotUtf8]);
        assert_eq!(files.sources.position(files.diagnostics[0].at), Position { line: 2, column: 3 });
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
        assert_eq!(files.logs.len(), 2);
        assert_eq!(files.sources.text(files.sheet), "");
        assert!(files.photos.is_empty());
        assert_eq!(files.refused_photos.iter().collect::<Vec<_>>(), ["photos/out"]);
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
        assert_eq!(read_book(dir.path()).unwrap().diagnostics[0].message, "there is no build-sheet.yaml");
        let made = std::process::Command::new("mkfifo").arg(dir.path().join(SHEET)).status();
        if made.is_ok_and(|status| status.success()) {
            let files = read_book(dir.path()).unwrap();
            assert_eq!(slugs(&files), [Slug::Missing]);
        }
    }

    #[test]
    fn a_folder_that_is_not_there_is_said_in_plain_words() {
        let failed = read_book(Path::new("no/such/book")).unwrap_err();
        assert_eq!(failed.message, "cannot read no/such/book: no such file or directory");
    }
}
