//! A wall that stands for one test: a small book, and the program that shows it.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use crate::looker::{Answer, Looker, get};

const SHEET: &str =
    "title: Kittiwake\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 8}\n";
const DAY_1: &str = "---\nday: 1\n---\n# Arch\n\n- [x] Trim the arch {arch_trim, by Ines, takes 2 h, took 3 h}\n\n```sums\narch_gap measured 27 ± 1 mm\narch_gap at least 25 mm, hold\n```\n";
const DAY_2: &str =
    "---\nday: 2\n---\n# Tray\n\n- [ ] Hang the tray {tray_in, by Ines, takes 3 h}\n";

/// A book on a wall.
pub struct Standing {
    home: tempfile::TempDir,
    program: Child,
    pub address: String,
    pub news: Looker,
    /// Everything it said before anybody came.
    pub said: String,
}

impl Drop for Standing {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

impl Standing {
    /// A book of two days, shown with these further arguments.
    pub fn with(arguments: &[&str]) -> Self {
        Self::prepared(|_| {}, arguments)
    }

    /// The same, with something done to its folder first.
    pub fn prepared(prepare: impl FnOnce(&Path), arguments: &[&str]) -> Self {
        let home = tempfile::tempdir().unwrap();
        let book = small_book(home.path());
        prepare(&book);
        let mut wall = Self::of(home, &book, arguments);
        wall.news.current();
        wall
    }

    /// A book that is not current from the start.
    pub fn begun(prepare: impl FnOnce(&Path)) -> Self {
        let home = tempfile::tempdir().unwrap();
        let book = small_book(home.path());
        prepare(&book);
        let mut wall = Self::of(home, &book, &[]);
        // First it says that the book has not been read yet, then what it found.
        while wall.news.news()["why"]
            .as_str()
            .unwrap()
            .contains("not been read yet")
        {}
        wall
    }

    fn of(home: tempfile::TempDir, book: &Path, arguments: &[&str]) -> Self {
        let mut program = Command::new(env!("CARGO_BIN_EXE_shimbook"))
            .arg("wall")
            .arg(book)
            .args(["--port", "0"])
            .args(arguments)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut said = String::new();
        let mut lines = BufReader::new(program.stdout.take().unwrap());
        while !said.contains("Ctrl-C") {
            assert!(
                lines.read_line(&mut said).unwrap() > 0,
                "the wall came down: {said}"
            );
        }
        let address = said
            .lines()
            .next()
            .and_then(|line| line.split_once(": "))
            .unwrap()
            .1
            .replace(&own_address(&said), "127.0.0.1");
        let news = Looker::new(&address);
        Self {
            home,
            program,
            address,
            news,
            said,
        }
    }

    pub fn book(&self) -> PathBuf {
        self.home.path().join("book")
    }

    pub fn home(&self) -> &Path {
        self.home.path()
    }

    pub fn read(&self, path: &str) -> String {
        std::fs::read_to_string(self.book().join(path)).unwrap()
    }

    /// Saves a file of the book, and waits until everybody was told.
    pub fn save(&mut self, path: &str, text: &str) {
        std::fs::write(self.book().join(path), text).unwrap();
        self.news.current();
    }

    pub fn get(&self, path: &str) -> Answer {
        get(&self.address, path)
    }
}

/// A book of two days.
fn small_book(home: &Path) -> PathBuf {
    let book = home.join("book");
    std::fs::create_dir_all(book.join("days")).unwrap();
    for (path, text) in [
        ("build-sheet.yaml", SHEET),
        ("days/day-01.md", DAY_1),
        ("days/day-02.md", DAY_2),
    ] {
        std::fs::write(book.join(path), text).unwrap();
    }
    book
}

/// The host of the address it told.
fn own_address(said: &str) -> String {
    let rest = said.split("http://").nth(1).unwrap();
    rest.split(':').next().unwrap().to_owned()
}
