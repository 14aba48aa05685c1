//! A book with photos on the disk, and the program run over it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A book in a folder of its own, gone when the test is over.
pub(crate) struct Shop {
    dir: tempfile::TempDir,
}

impl Shop {
    /// A book with one log that shows these photos, each with the words `what NAME shows`.
    pub(crate) fn with(photos: &[(&str, Vec<u8>)]) -> Self {
        let shop = Self {
            dir: tempfile::tempdir().expect("a folder"),
        };
        let sheet =
            "title: A truck\nstart: 2031-05-02\ndays: 3\ncrew: [{name: Ines Duarte, hours: 8}]\n";
        shop.put("build-sheet.yaml", sheet);
        shop.show(&photos.iter().map(|(name, _)| *name).collect::<Vec<_>>());
        for (name, bytes) in photos {
            shop.put(&format!("photos/{name}"), bytes);
        }
        shop
    }

    /// Writes the log anew, so that it shows these.
    pub(crate) fn show(&self, names: &[&str]) {
        let shown: Vec<String> = names
            .iter()
            .map(|name| format!("![what {name} shows](../photos/{name})\n"))
            .collect();
        self.put(
            "days/day-01.md",
            format!("---\nday: 1\n---\n# The day\n\n{}", shown.join("\n")),
        );
    }

    pub(crate) fn put(&self, path: &str, bytes: impl AsRef<[u8]>) {
        let path = self.book().join(path);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, bytes).expect("written");
    }

    pub(crate) fn book(&self) -> PathBuf {
        self.dir.path().join("book")
    }

    pub(crate) fn out(&self) -> PathBuf {
        self.dir.path().join("out")
    }

    /// Runs a command over the book; it may end with 0 or 1.
    pub(crate) fn run(&self, command: &str, further: &[&str]) -> Output {
        let mut program = Command::new(env!("CARGO_BIN_EXE_shimbook"));
        let ran = program
            .arg(command)
            .arg(self.book())
            .args(further)
            .output()
            .expect("the program runs");
        assert!(
            ran.status.code().is_some_and(|code| code < 2),
            "{}",
            String::from_utf8_lossy(&ran.stderr)
        );
        ran
    }

    /// Writes the record; its files by path.
    pub(crate) fn write_up(&self) -> BTreeMap<String, Vec<u8>> {
        let out = self.out();
        self.run("writeup", &["--out", &out.to_string_lossy()]);
        files(&out)
    }

    /// Hands the book over to an audience; its files by path.
    pub(crate) fn hand_over(&self, to: &str) -> BTreeMap<String, Vec<u8>> {
        let out = self.handed(to);
        self.run("handover", &["--for", to, "--out", &out.to_string_lossy()]);
        files(&out)
    }

    /// Where the handover for an audience goes.
    pub(crate) fn handed(&self, to: &str) -> PathBuf {
        self.dir.path().join(format!("handed-{to}"))
    }

    /// What `check --format lines` says.
    pub(crate) fn check(&self) -> String {
        String::from_utf8(self.run("check", &["--format", "lines"]).stdout).expect("text")
    }
}

/// Every file below a folder but dot-files, by its path.
pub(crate) fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut todo = vec![folder.to_owned()];
    while let Some(now) = todo.pop() {
        for entry in std::fs::read_dir(now).expect("a folder").flatten() {
            let path = entry.path();
            if path.is_dir() {
                todo.push(path);
            } else if !entry.file_name().to_string_lossy().starts_with('.') {
                let name = path
                    .strip_prefix(folder)
                    .expect("inside")
                    .to_string_lossy()
                    .into_owned();
                files.insert(name, std::fs::read(&path).expect("read"));
            }
        }
    }
    files
}

/// The pictures among files.
pub(crate) fn pictures(files: &BTreeMap<String, Vec<u8>>) -> BTreeMap<&String, &Vec<u8>> {
    files
        .iter()
        .filter(|(path, _)| path.starts_with("photos/"))
        .collect()
}
