//! A copy of the example book to do harm to.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Bytes by path.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// The book; gone when the test is over.
pub(crate) struct Book {
    dir: tempfile::TempDir,
}

impl Book {
    pub(crate) fn new() -> Self {
        let book = Self { dir: tempfile::tempdir().unwrap() };
        for (path, bytes) in below(&Path::new(env!("CARGO_MANIFEST_DIR")).join("book-example")) {
            if !path.starts_with("record/") {
                book.put(&path, &bytes);
            }
        }
        book
    }

    pub(crate) fn path(&self, path: &str) -> PathBuf {
        self.dir.path().join(path)
    }

    pub(crate) fn put(&self, path: &str, bytes: &[u8]) {
        let path = self.path(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    /// The program, ready to run a command on the book.
    pub(crate) fn command(&self, name: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_shimbook"));
        command.arg(name).arg(self.dir.path());
        command
    }

    pub(crate) fn write_up(&self) -> Output {
        self.command("writeup").output().unwrap()
    }

    /// Runs the command under a shell that does something to itself first.
    pub(crate) fn write_up_after(&self, first: &str) -> Output {
        let mut command = Command::new("sh");
        command.args(["-c", &format!("{first}; exec \"$0\" \"$@\""), env!("CARGO_BIN_EXE_shimbook"), "writeup"]);
        command.arg(self.dir.path()).output().unwrap()
    }

    pub(crate) fn record(&self) -> Files {
        below(&self.path("record"))
    }

    pub(crate) fn sources(&self) -> Files {
        below(self.dir.path()).into_iter().filter(|(path, _)| !path.starts_with("record/")).collect()
    }

    /// The same book another time: one more reading on the first day, its last log gone or there.
    pub(crate) fn turn(&self, version: usize) {
        let log = self.path("days/day-01.md");
        let text = fs::read_to_string(&log).unwrap();
        let text = text.split("\nVersion ").next().unwrap().trim_end().to_owned();
        fs::write(&log, format!("{text}\n\nVersion {version} of the day.\n")).unwrap();
    }
}

/// The files below a folder; none where it is not there.
pub(crate) fn below(folder: &Path) -> Files {
    let mut files = Files::new();
    let mut todo = vec![folder.to_owned()];
    while let Some(next) = todo.pop() {
        for entry in fs::read_dir(&next).into_iter().flatten().flatten() {
            if entry.path().is_dir() {
                todo.push(entry.path());
            } else {
                let path = entry.path().strip_prefix(folder).unwrap().display().to_string();
                files.insert(path, fs::read(entry.path()).unwrap());
            }
        }
    }
    files
}

/// What a run complained of.
pub(crate) fn complaint(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    String::from_utf8_lossy(&output.stderr).into_owned()
}
