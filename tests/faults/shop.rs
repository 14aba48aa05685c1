//! A copy of the example book to do harm to.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

/// Bytes by path.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// The book; gone when the test is over.
pub(crate) struct Book {
    dir: tempfile::TempDir,
}

impl Book {
    pub(crate) fn new() -> Self {
        Self::copy("book-example")
    }

    /// A book of two days without photos, for tests that run a command often.
    pub(crate) fn small() -> Self {
        Self::copy("tests/commands/books/good")
    }

    /// The small book under another title.
    pub(crate) fn small_called(title: &str) -> Self {
        let book = Self::small();
        book.set("title", title);
        book
    }

    /// Changes a field of the build sheet.
    pub(crate) fn set(&self, field: &str, value: &str) {
        let sheet = fs::read_to_string(self.path("build-sheet.yaml")).unwrap();
        let lines = sheet.lines().map(|line| match line.split_once(": ") {
            Some((name, _)) if name == field => format!("{field}: {value}\n"),
            _ => format!("{line}\n"),
        });
        self.put("build-sheet.yaml", lines.collect::<String>().as_bytes());
    }

    fn copy(of: &str) -> Self {
        let book = Self {
            dir: tempfile::tempdir().unwrap(),
        };
        for (path, bytes) in below(&Path::new(env!("CARGO_MANIFEST_DIR")).join(of)) {
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
        command.args([
            "-c",
            &format!("{first}; exec \"$0\" \"$@\""),
            env!("CARGO_BIN_EXE_shimbook"),
            "writeup",
        ]);
        command.arg(self.dir.path()).output().unwrap()
    }

    pub(crate) fn record(&self) -> Files {
        below(&self.path("record"))
    }

    pub(crate) fn sources(&self) -> Files {
        below(self.dir.path())
            .into_iter()
            .filter(|(path, _)| !path.starts_with("record/"))
            .collect()
    }

    /// The same book another time: one more reading on the first day, its last log gone or there.
    pub(crate) fn turn(&self, version: usize) {
        let log = self.path("days/day-01.md");
        let text = fs::read_to_string(&log).unwrap();
        let text = text
            .split("\nVersion ")
            .next()
            .unwrap()
            .trim_end()
            .to_owned();
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
                let path = entry
                    .path()
                    .strip_prefix(folder)
                    .unwrap()
                    .display()
                    .to_string();
                files.insert(path, fs::read(entry.path()).unwrap());
            }
        }
    }
    files
}

/// Runs a command of the program: its status, and everything it printed.
pub(crate) fn run(command: &str, book: &Book, out: &Path, more: &[&str]) -> (Option<i32>, String) {
    let output = start(command, book, out, more).wait_with_output().unwrap();
    (
        output.status.code(),
        String::from_utf8_lossy(&[output.stdout, output.stderr].concat()).into_owned(),
    )
}

/// Starts a command that writes into a folder.
pub(crate) fn start(command: &str, book: &Book, out: &Path, more: &[&str]) -> Child {
    let mut command = book.command(command);
    command
        .arg("--out")
        .arg(out)
        .args(more)
        .env("NO_COLOR", "1");
    command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// What `verify` says of a folder or a zip: its status and its words.
pub(crate) fn verify(path: &Path) -> (Option<i32>, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_shimbook"))
        .arg("verify")
        .arg(path)
        .output()
        .unwrap();
    (
        output.status.code(),
        String::from_utf8_lossy(&[output.stdout, output.stderr].concat()).into_owned(),
    )
}

/// What a run complained of.
pub(crate) fn complaint(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    String::from_utf8_lossy(&output.stderr).into_owned()
}
