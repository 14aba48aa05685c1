//! Pages, written into an output folder.
//!
//! In: bytes by path. Out: only what changed is written, beside and renamed. What the program did
//! not write is never deleted, and a folder that is not ours is never written into (see
//! [`owner`](super::owner)). Of two runs into one folder the second waits for the first.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write as _;
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;

use super::FileError;
use super::lock::{Lock, make_and_lock};
use super::owner::{
    BookMark, Claim, EXPORT_LIST, LARGEST, LIST_HEAD, OutputKind, Owner, RECORD_LIST,
    handover_above, inside, only, refused,
};
use super::plain_files::{self, PathKind};

/// How many pages a run touched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Written {
    /// New, or their bytes differ.
    pub written: usize,
    /// As they were.
    pub unchanged: usize,
    /// Written by a former run, and no longer made.
    pub removed: usize,
}

/// A folder that pages may be written into.
#[derive(Clone, Debug)]
pub struct Output {
    root: PathBuf,
    /// What messages call it.
    shown: PathBuf,
    kind: OutputKind,
    /// It is inside the book's own folder.
    inside: bool,
    /// What was in it when it was opened.
    found: Option<Owner>,
    take_over: bool,
    /// The book that this program wrote there before, as it was called then.
    continues: Option<BookMark>,
    /// Held while this run may write into it.
    _lock: Lock,
}

impl Output {
    /// Makes ready to write a record into `out`. Refused: the book's own folder or one above it,
    /// its `days/` and `photos/`, a folder inside a handover, and a folder that holds anything but
    /// a record.
    pub fn open(out: &Path, book: &Path) -> Result<Self, FileError> {
        Self::open_as(OutputKind::Record, out, book)
    }

    /// The same for an export: a folder that holds anything but an export is refused.
    pub fn open_export(out: &Path, book: &Path) -> Result<Self, FileError> {
        Self::open_as(OutputKind::Export, out, book)
    }

    fn open_as(kind: OutputKind, out: &Path, book: &Path) -> Result<Self, FileError> {
        let root = may_be_written(out, book)?;
        only(kind, inside(&root)?, out)?;
        let lock = make_and_lock(&root, out)?;
        let root = root
            .canonicalize()
            .map_err(|cause| FileError::cannot("read", out, &cause))?;
        // Looked at again behind the lock: another run may just have written there.
        let found = only(kind, inside(&root)?, out)?;
        let inside = is_inside_book(&root, book);
        let shown = out.to_owned();
        Ok(Self {
            root,
            shown,
            kind,
            inside,
            found,
            take_over: false,
            continues: None,
            _lock: lock,
        })
    }

    /// With `yes`, writes over the output of a book with another title or start.
    #[must_use]
    pub fn taking_over(self, yes: bool) -> Self {
        Self {
            take_over: yes,
            ..self
        }
    }

    /// Carries on with a folder that this program wrote before for a book that was called `before`
    /// then.
    #[must_use]
    pub fn continuing(self, before: Option<BookMark>) -> Self {
        Self {
            continues: before,
            ..self
        }
    }

    /// The dot-file that makes it ours.
    fn list(&self) -> &'static str {
        if self.kind == OutputKind::Export {
            EXPORT_LIST
        } else {
            RECORD_LIST
        }
    }

    /// Whose the folder is from now on; refused where it is another book's.
    fn claim(&self, book: &BookMark) -> Result<BookMark, FileError> {
        let Some(found) = &self.found else {
            return Ok(book.clone());
        };
        let continued = self
            .continues
            .as_ref()
            .is_some_and(|before| before.is(&found.mark, false));
        let take_over = self.take_over || continued;
        let claim = Claim {
            mark: book,
            audience: None,
            inside: self.inside,
            take_over,
        };
        claim.same_book(found, &self.shown)?;
        Ok(book.or(&found.mark))
    }

    /// Writes the pages that changed, and removes those that a former run wrote and nobody touched
    /// since.
    pub fn write_all(
        &self,
        book: &BookMark,
        pages: &BTreeMap<String, Vec<u8>>,
    ) -> Result<Written, FileError> {
        let run = self.begin(book)?;
        pages
            .par_iter()
            .try_for_each(|(path, bytes)| run.put(path, bytes, None))?;
        run.finish()
    }

    /// Begins to write, page by page, for a book. Refused where the folder holds the output of
    /// another book.
    pub fn begin(&self, book: &BookMark) -> Result<Run<'_>, FileError> {
        let mark = self.claim(book)?;
        let former = self.former();
        // The folder is this book's from its first file on, so that a run that was stopped can be
        // taken up again.
        self.write_changed(self.list(), list(&mark, former.iter()).as_bytes())?;
        Ok(Run {
            output: self,
            mark,
            former,
            folders: Mutex::default(),
            pages: Mutex::default(),
        })
    }

    fn make_folder(&self, folder: &Path) -> Result<(), FileError> {
        let on_disk = self.root.join(folder);
        let stands = plain_files::stands(&on_disk, &self.root);
        match stands.map_err(|cause| FileError::cannot("read", &on_disk, &cause))? {
            PathKind::Folder => Ok(()),
            PathKind::Nothing | PathKind::Dangling => std::fs::create_dir(&on_disk)
                .map_err(|cause| FileError::cannot("make the folder", &on_disk, &cause)),
            PathKind::Outside => Err(refused(
                &on_disk,
                "is a link that leads outside the output folder",
            )),
            PathKind::File | PathKind::Other => Err(refused(&on_disk, "is not a folder")),
        }
    }

    /// Takes away what a run left that was broken off between writing a page and giving it its
    /// name. Nobody else is writing here: we hold the lock.
    fn sweep(&self, folder: &Path) {
        let entries = std::fs::read_dir(self.root.join(folder))
            .into_iter()
            .flatten()
            .flatten();
        let unnamed = |entry: &std::fs::DirEntry| {
            let plain = entry.file_type().is_ok_and(|kind| kind.is_file());
            plain
                && entry
                    .file_name()
                    .to_str()
                    .is_some_and(|name| name.starts_with(plain_files::UNNAMED))
        };
        for entry in entries.filter(unnamed) {
            // What cannot be taken away does no harm.
            let _ = std::fs::remove_file(entry.path());
        }
    }

    /// Writes a page whose bytes differ from what is there.
    fn write_changed(&self, path: &str, bytes: &[u8]) -> Result<bool, FileError> {
        let on_disk = self.root.join(path);
        if self
            .own_bytes(path, bytes.len() as u64)
            .is_some_and(|there| there == bytes)
        {
            return Ok(false);
        }
        let mut file = plain_files::beside(on_disk.parent().unwrap_or(&self.root))?;
        file.write_all(bytes)
            .map_err(|cause| FileError::cannot("write", &on_disk, &cause))?;
        file.persist(&on_disk)
            .map_err(|failed| FileError::cannot("write", &on_disk, &failed.error))?;
        Ok(true)
    }

    /// The bytes of a plain file of at most `limit` bytes; links are not followed.
    fn own_bytes(&self, path: &str, limit: u64) -> Option<Vec<u8>> {
        let on_disk = self.root.join(path);
        let about = on_disk.symlink_metadata().ok()?;
        let inside = on_disk
            .parent()?
            .canonicalize()
            .ok()?
            .starts_with(&self.root);
        (about.is_file() && about.len() <= limit && inside)
            .then(|| plain_files::bytes(&on_disk, limit).ok().flatten())?
    }

    /// Does the file at a path hold exactly this?
    fn holds(&self, path: &str, hash: &str) -> bool {
        self.own_bytes(path, u64::MAX - 1)
            .is_some_and(|bytes| hex(&bytes) == hash)
    }

    /// The pages the last run wrote; none where the list cannot be read.
    fn former(&self) -> BTreeMap<String, Entry> {
        let bytes = self.own_bytes(self.list(), LARGEST).unwrap_or_default();
        let text = String::from_utf8(bytes).unwrap_or_default();
        let mut lines = text.lines();
        if lines.next() != Some(LIST_HEAD) {
            return BTreeMap::new();
        }
        let lines = lines.skip_while(|line| !line.is_empty()).skip(1);
        let pages: Option<BTreeMap<String, Entry>> = lines.map(former_page).collect();
        pages.unwrap_or_default()
    }
}

/// The real path of a folder that is neither the book's own, nor one above it, nor among the crew's
/// own files.
pub(super) fn may_be_written(out: &Path, book: &Path) -> Result<PathBuf, FileError> {
    let root = real_path(out)?;
    let book = book
        .canonicalize()
        .map_err(|cause| FileError::cannot("read", book, &cause))?;
    if book.starts_with(&root) {
        return Err(refused(out, "contains the book itself"));
    }
    for own in ["days", "photos"] {
        let own = book.join(own);
        if root.starts_with(&own) || own.canonicalize().is_ok_and(|real| root.starts_with(real)) {
            return Err(refused(out, "is a folder for the crew's own files"));
        }
    }
    if root.exists() && !root.is_dir() {
        return Err(refused(out, "is not a folder"));
    }
    if let Some(above) = handover_above(&root) {
        return Err(refused(
            out,
            &format!("is inside a handover, {}, which is sealed", above.display()),
        ));
    }
    Ok(root)
}

/// Is a folder inside the book's own folder?
pub(super) fn is_inside_book(root: &Path, book: &Path) -> bool {
    book.canonicalize().is_ok_and(|book| root.starts_with(book))
}

/// What the list says of one page.
#[derive(Clone, Debug)]
struct Entry {
    /// Of its bytes.
    hash: String,
    /// Of its bytes and of everything it was made from, `-` where that is not known. Nobody who has
    /// only the record can make it for another page: what a page is made from is not in the record.
    bond: String,
}

impl Entry {
    fn new(hash: String, made_from: Option<&str>) -> Self {
        let bond = made_from.map_or_else(
            || "-".to_owned(),
            |made_from| hex(format!("{hash} {made_from}").as_bytes()),
        );
        Self { hash, bond }
    }
}

fn hex(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex().to_string()
}

/// One run of writing into an [`Output`]: every page that belongs there is either
/// [`kept`](Run::keep) or [`put`](Run::put), in any order and from any thread; what is neither goes
/// when the run is finished.
pub struct Run<'o> {
    output: &'o Output,
    /// Whose the folder is.
    mark: BookMark,
    former: BTreeMap<String, Entry>,
    folders: Mutex<BTreeSet<PathBuf>>,
    /// The pages of this run.
    pages: Mutex<Pages>,
}

/// What the list says of each page, and whether it was written.
type Pages = BTreeMap<String, (Entry, bool)>;

/// How many pages were written, of how many.
fn count(pages: &Pages) -> (usize, usize) {
    let shown = || pages.iter().filter(|(path, _)| is_page(path));
    (
        shown().filter(|(_, (_, wrote))| *wrote).count(),
        shown().count(),
    )
}

/// Is this something that the record shows, not one of our own notes beside it?
fn is_page(path: &str) -> bool {
    !path.starts_with('.')
}

impl Run<'_> {
    /// Keeps the page at a path as a former run wrote it, where it was made from the same and still
    /// holds what was written then; else nothing happens, and the page has to be put there.
    pub fn keep(&self, path: &str, made_from: &str) -> bool {
        let made_so =
            |entry: &&Entry| entry.bond == Entry::new(entry.hash.clone(), Some(made_from)).bond;
        let Some(entry) = self.former.get(path).filter(made_so) else {
            return false;
        };
        let kept = self.output.holds(path, &entry.hash);
        if kept {
            self.note(path, entry.clone(), false);
        }
        kept
    }

    /// Puts a page there; written only where its bytes differ from what is there. `made_from` is a
    /// hash of everything it was made from, where the page may be kept the next time.
    pub fn put(&self, path: &str, bytes: &[u8], made_from: Option<&str>) -> Result<(), FileError> {
        self.make_folders(path)?;
        let wrote = self.output.write_changed(path, bytes)?;
        self.note(path, Entry::new(hex(bytes), made_from), wrote);
        Ok(())
    }

    /// Takes away what a former run wrote, nobody touched since and this run did not put there, and
    /// writes the list.
    pub fn finish(self) -> Result<Written, FileError> {
        self.end(true)
    }

    /// The same, but whatever a former run wrote stays, and is still known as ours.
    pub fn finish_with_former(self) -> Result<Written, FileError> {
        self.end(false)
    }

    fn end(self, remove: bool) -> Result<Written, FileError> {
        let mut pages = self
            .pages
            .into_inner()
            .unwrap_or_else(PoisonError::into_inner);
        self.output.make_folder(Path::new(""))?;
        let (written, all) = count(&pages);
        let mut removed = 0;
        for (path, entry) in self.former {
            if pages.contains_key(&path) || !self.output.holds(&path, &entry.hash) {
                continue;
            }
            if !remove {
                pages.insert(path, (entry, false));
            } else if std::fs::remove_file(self.output.root.join(&path)).is_ok() {
                removed += usize::from(is_page(&path));
            }
        }
        let listed = pages.iter().map(|(path, (entry, _))| (path, entry));
        self.output
            .write_changed(self.output.list(), list(&self.mark, listed).as_bytes())?;
        Ok(Written {
            written,
            unchanged: all - written,
            removed,
        })
    }

    fn note(&self, path: &str, entry: Entry, wrote: bool) {
        let mut pages = self.pages.lock().unwrap_or_else(PoisonError::into_inner);
        pages.insert(path.to_owned(), (entry, wrote));
    }

    /// Makes the folders a page stands in, and refuses one that leads out.
    fn make_folders(&self, path: &str) -> Result<(), FileError> {
        if !is_inside(path) {
            return Err(refused(Path::new(path), "leads outside the output folder"));
        }
        let mut made = self.folders.lock().unwrap_or_else(PoisonError::into_inner);
        let folders: Vec<&Path> = Path::new(path).ancestors().skip(1).collect();
        for folder in folders.into_iter().rev() {
            if !made.contains(folder) {
                self.output.make_folder(folder)?;
                self.output.sweep(folder);
                made.insert(folder.to_owned());
            }
        }
        Ok(())
    }
}

/// One line of the list: the hash of the page's bytes, what binds it to what it was made from, the
/// path.
fn former_page(line: &str) -> Option<(String, Entry)> {
    let (hash, rest) = line.split_once("  ")?;
    let (bond, path) = rest.split_once("  ")?;
    let entry = Entry {
        hash: hash.to_owned(),
        bond: bond.to_owned(),
    };
    (hash.len() == 64 && is_inside(path)).then(|| (path.to_owned(), entry))
}

/// The list as it is in the dot-file.
fn list<'e>(mark: &BookMark, pages: impl Iterator<Item = (&'e String, &'e Entry)>) -> String {
    let lines = pages.map(|(path, entry)| format!("{}  {}  {path}\n", entry.hash, entry.bond));
    format!("{}{}", mark.head(), lines.collect::<String>())
}

/// Does a page's path stay inside, and is it none of our dot-files?
pub(super) fn is_inside(path: &str) -> bool {
    let plain = Path::new(path)
        .components()
        .all(|part| matches!(part, Component::Normal(_)));
    plain
        && !path.is_empty()
        && !path.ends_with('/')
        && ![RECORD_LIST, EXPORT_LIST].contains(&path)
        && !path.contains(['\\', '\n', '\0'])
}

/// The real path of a folder that may not be there yet.
fn real_path(path: &Path) -> Result<PathBuf, FileError> {
    let path =
        std::path::absolute(path).map_err(|cause| FileError::cannot("find", path, &cause))?;
    let mut missing = Vec::new();
    for there in path.ancestors() {
        if there.symlink_metadata().is_ok() {
            let real = there
                .canonicalize()
                .map_err(|cause| FileError::cannot("read", there, &cause))?;
            return Ok(missing
                .iter()
                .rev()
                .fold(real, |whole, part| whole.join(part)));
        }
        match there.components().next_back() {
            Some(Component::Normal(name)) => missing.push(name.to_owned()),
            _ => return Err(refused(&path, "leads through a missing folder")),
        }
    }
    Ok(path)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    fn pages(of: &[(&str, &str)]) -> BTreeMap<String, Vec<u8>> {
        of.iter()
            .map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec()))
            .collect()
    }

    fn mark() -> BookMark {
        BookMark::new(Some("Plover"), Some("2031-05-02".to_owned()))
    }

    fn book() -> (tempfile::TempDir, Output) {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir_all(dir.path().join("days")).unwrap();
        let output = Output::open(&dir.path().join("record"), dir.path()).unwrap();
        (dir, output)
    }

    #[test]
    fn only_what_changed_is_written_and_what_is_no_longer_made_goes() {
        let (dir, output) = book();
        let first = output
            .write_all(
                &mark(),
                &pages(&[("index.html", "a"), ("days/day-01.html", "b")]),
            )
            .unwrap();
        assert_eq!(
            first,
            Written {
                written: 2,
                unchanged: 0,
                removed: 0
            }
        );
        let second = output
            .write_all(&mark(), &pages(&[("index.html", "a2"), ("jobs.html", "c")]))
            .unwrap();
        assert_eq!(
            second,
            Written {
                written: 2,
                unchanged: 0,
                removed: 1
            }
        );
        assert!(!dir.path().join("record/days/day-01.html").exists());
        let third = output
            .write_all(&mark(), &pages(&[("index.html", "a2"), ("jobs.html", "c")]))
            .unwrap();
        assert_eq!(
            third,
            Written {
                written: 0,
                unchanged: 2,
                removed: 0
            }
        );
    }

    #[test]
    fn a_page_that_somebody_changed_is_left_alone_when_it_is_no_longer_made() {
        let (dir, output) = book();
        output
            .write_all(&mark(), &pages(&[("old.html", "ours")]))
            .unwrap();
        fs::write(dir.path().join("record/old.html"), "theirs").unwrap();
        fs::write(dir.path().join("record/note.txt"), "theirs").unwrap();
        assert_eq!(output.write_all(&mark(), &pages(&[])).unwrap().removed, 0);
        assert_eq!(
            fs::read_to_string(dir.path().join("record/old.html")).unwrap(),
            "theirs"
        );
        assert!(dir.path().join("record/note.txt").exists());
    }

    #[test]
    fn a_broken_list_is_put_aside_and_removes_nothing() {
        let (dir, output) = book();
        output
            .write_all(&mark(), &pages(&[("old.html", "ours")]))
            .unwrap();
        let list = dir.path().join("record").join(RECORD_LIST);
        fs::write(
            &list,
            fs::read_to_string(&list).unwrap() + "../../days/day-01.md\n",
        )
        .unwrap();
        assert_eq!(output.write_all(&mark(), &pages(&[])).unwrap().removed, 0);
        assert_eq!(fs::read_to_string(&list).unwrap(), mark().head());
    }

    #[test]
    fn a_page_never_leaves_the_folder() {
        let (dir, output) = book();
        for path in ["../x.html", "/x.html", "a/../../x.html", "", RECORD_LIST] {
            assert!(
                output.write_all(&mark(), &pages(&[(path, "x")])).is_err(),
                "{path}"
            );
        }
        assert!(!dir.path().join("x.html").exists());
    }

    #[cfg(unix)]
    #[test]
    fn links_are_not_written_through() {
        use std::os::unix::fs::symlink;
        let (dir, output) = book();
        symlink(dir.path().join("days"), dir.path().join("record/days")).unwrap();
        fs::write(dir.path().join("sheet"), "theirs").unwrap();
        symlink(
            dir.path().join("sheet"),
            dir.path().join("record/index.html"),
        )
        .unwrap();
        assert!(
            output
                .write_all(&mark(), &pages(&[("days/day-01.html", "x")]))
                .is_err()
        );
        output
            .write_all(&mark(), &pages(&[("index.html", "x")]))
            .unwrap();
        assert_eq!(
            fs::read_to_string(dir.path().join("sheet")).unwrap(),
            "theirs"
        );
        assert_eq!(
            fs::read_to_string(dir.path().join("record/index.html")).unwrap(),
            "x"
        );
    }

    #[test]
    fn the_book_and_folders_that_are_not_ours_are_refused() {
        let dir = tempfile::tempdir().unwrap();
        let book = dir.path().join("book");
        fs::create_dir_all(book.join("days")).unwrap();
        fs::create_dir_all(book.join("mine")).unwrap();
        fs::write(book.join("mine/letter.txt"), "dear").unwrap();
        for out in [
            "",
            "..",
            "days",
            "days/html",
            "photos/web",
            "mine",
            "mine/letter.txt",
        ] {
            let refused = Output::open(&book.join(out), &book).unwrap_err();
            assert!(
                refused.message.contains("nothing was written"),
                "{out}: {refused}"
            );
        }
        fs::write(
            book.join("mine/index.html"),
            "<meta name=\"generator\" content=\"shimbook\">",
        )
        .unwrap();
        assert!(
            Output::open(&book.join("mine"), &book).is_err(),
            "a cover alone may be that of a handover"
        );
    }
}
