//! A book in a folder of its own, and the record that the program writes of it.
//!
//! In: a folder of book files, or texts. Out: the record's files by path, its pages parsed.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use scraper::{Html, Selector};

/// A copy of a book; gone when the test is over.
pub(crate) struct Book {
    dir: tempfile::TempDir,
}

/// Bytes by path.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

impl Book {
    /// A copy of the example book.
    pub(crate) fn example() -> Self {
        Self::with(&below(
            &Path::new(env!("CARGO_MANIFEST_DIR")).join("book-example"),
        ))
    }

    /// A book of one log beside a build sheet for it; further files by path.
    pub(crate) fn of(texts: &[(&str, &str)]) -> Self {
        let sheet =
            "title: A small book\nstart: 2031-05-02\ndays: 3\ncrew: [{name: Ines, hours: 8}]\n";
        let mut files = Files::from([("build-sheet.yaml".to_owned(), sheet.as_bytes().to_vec())]);
        files.extend(
            texts
                .iter()
                .map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec())),
        );
        Self::with(&files)
    }

    fn with(files: &Files) -> Self {
        let book = Self {
            dir: tempfile::tempdir().expect("a folder"),
        };
        for (path, bytes) in files
            .iter()
            .filter(|(path, _)| !path.starts_with("record/"))
        {
            book.put(path, bytes);
        }
        book
    }

    /// Where a file of the book lies.
    pub(crate) fn path(&self, path: &str) -> PathBuf {
        self.dir.path().join(path)
    }

    /// Writes a file of the book.
    pub(crate) fn put(&self, path: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(path);
        fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        fs::write(path, bytes).expect("written");
    }

    /// The crew's own files.
    pub(crate) fn sources(&self) -> Files {
        below(self.dir.path())
            .into_iter()
            .filter(|(path, _)| !path.starts_with("record/"))
            .collect()
    }

    /// The program, ready to write the record up.
    pub(crate) fn writeup(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_shimbook"));
        command.arg("writeup").arg(self.dir.path());
        command
    }

    /// Writes the record up; gives the exit status.
    pub(crate) fn write_up(&self) -> i32 {
        self.writeup()
            .output()
            .expect("the program runs")
            .status
            .code()
            .expect("no signal ended it")
    }

    /// The record's files.
    pub(crate) fn record(&self) -> Files {
        below(&self.path("record"))
    }

    /// The record written up now, its pages parsed.
    pub(crate) fn pages(&self) -> Pages {
        self.write_up();
        Pages::of(&self.record())
    }
}

/// Does a path end in one of these?
pub(crate) fn has_ending(path: &str, endings: &[&str]) -> bool {
    Path::new(path)
        .extension()
        .is_some_and(|ending| endings.iter().any(|known| ending == *known))
}

/// The files below a folder.
pub(crate) fn below(folder: &Path) -> Files {
    let mut files = Files::new();
    gather(folder, "", &mut files);
    files
}

fn gather(folder: &Path, prefix: &str, files: &mut Files) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let entry = entry.expect("an entry");
        let path = format!("{prefix}{}", entry.file_name().to_str().expect("UTF-8"));
        if entry.path().is_dir() {
            gather(&entry.path(), &format!("{path}/"), files);
        } else {
            files.insert(path, fs::read(entry.path()).expect("a file"));
        }
    }
}

/// The record's pages by path, and the paths of all its files.
pub(crate) struct Pages {
    pub(crate) pages: BTreeMap<String, Html>,
    pub(crate) texts: BTreeMap<String, String>,
    pub(crate) paths: Vec<String>,
}

impl Pages {
    fn of(files: &Files) -> Self {
        let html = files.iter().filter(|(path, _)| has_ending(path, &["html"]));
        let texts: BTreeMap<String, String> = html
            .map(|(path, bytes)| {
                (
                    path.clone(),
                    String::from_utf8(bytes.clone()).expect("UTF-8"),
                )
            })
            .collect();
        let pages = texts
            .iter()
            .map(|(path, text)| (path.clone(), Html::parse_document(text)))
            .collect();
        Self {
            pages,
            texts,
            paths: files.keys().cloned().collect(),
        }
    }

    /// One page.
    pub(crate) fn page(&self, path: &str) -> &Html {
        self.pages
            .get(path)
            .unwrap_or_else(|| panic!("no page {path} among {:?}", self.paths))
    }
}

/// The values of an attribute wherever a selector finds it.
pub(crate) fn attributes(page: &Html, selector: &str, attribute: &str) -> Vec<String> {
    let found = Selector::parse(selector).expect("a selector");
    page.select(&found)
        .filter_map(|element| element.value().attr(attribute).map(str::to_owned))
        .collect()
}

/// The text of what a selector finds, each with single spaces.
pub(crate) fn texts(page: &Html, selector: &str) -> Vec<String> {
    let found = Selector::parse(selector).expect("a selector");
    let text = |element: scraper::ElementRef| element.text().collect::<String>();
    page.select(&found)
        .map(|element| {
            text(element)
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect()
}
