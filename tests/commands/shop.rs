//! A folder of its own for a test, with copies of the books, and the program run in it.
//!
//! In: arguments. Out: what the process did, as text that is the same on every machine: the folder
//! is called `HERE`, milliseconds are `N ms`, and the hash of a seal is `HASH`.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The folder, gone when the test is over.
pub(crate) struct Shop {
    dir: tempfile::TempDir,
}

/// What a process did.
pub(crate) struct Ran {
    pub(crate) status: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl Shop {
    /// A folder with the books `good`, `bad` and `held` in it.
    pub(crate) fn open() -> Self {
        let shop = Self {
            dir: tempfile::tempdir().expect("a folder"),
        };
        let books = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/commands/books");
        copy(&books, shop.path());
        shop
    }

    pub(crate) fn path(&self) -> &Path {
        self.dir.path()
    }

    /// The program, ready to run here with no colours asked for.
    pub(crate) fn program(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_shimbook"));
        command
            .current_dir(self.path())
            .env_remove("NO_COLOR")
            .env_remove("CLICOLOR_FORCE")
            .env("COLUMNS", "100");
        command
    }

    /// Runs the program with a line of arguments.
    pub(crate) fn run(&self, line: &str) -> Ran {
        self.ran(
            &self
                .program()
                .args(line.split_whitespace())
                .output()
                .expect("the program runs"),
        )
    }

    /// Runs a line of `sh`, in which `shimbook` is the program.
    pub(crate) fn sh(&self, line: &str) -> Ran {
        let script = format!(
            "shimbook() {{ '{}' \"$@\"; }}\n{line}",
            env!("CARGO_BIN_EXE_shimbook")
        );
        let mut sh = Command::new("sh");
        self.ran(
            &sh.current_dir(self.path())
                .args(["-c", &script])
                .output()
                .expect("sh runs"),
        )
    }

    fn ran(&self, output: &Output) -> Ran {
        let text = |bytes: &[u8]| self.plain(std::str::from_utf8(bytes).expect("UTF-8"));
        let status = output.status.code().expect("no signal ended it");
        Ran {
            status,
            stdout: text(&output.stdout),
            stderr: text(&output.stderr),
        }
    }

    fn plain(&self, text: &str) -> String {
        let here = self.path().to_str().expect("UTF-8");
        let words = text.replace(here, "HERE");
        let lines = words
            .split_inclusive('\n')
            .map(without_milliseconds)
            .map(|line| without_hash(&line));
        lines.collect()
    }

    /// Every file below a folder, by path from there.
    pub(crate) fn files(&self, folder: &str) -> Vec<String> {
        let root = self.path().join(folder);
        let mut files: Vec<String> = below(&root)
            .iter()
            .map(|path| {
                path.strip_prefix(&root)
                    .expect("below")
                    .to_str()
                    .expect("UTF-8")
                    .to_owned()
            })
            .collect();
        files.sort();
        files
    }
}

/// A seal is another with each change of the theme; that it is the same for the same files is asked
/// in `tests/handover/`.
fn without_hash(line: &str) -> String {
    match line.split_once("SHA-256 of seal.json: ") {
        Some((before, hash)) if hash.trim_end().len() == 64 => {
            format!("{before}SHA-256 of seal.json: HASH\n")
        }
        _ => line.to_owned(),
    }
}

fn without_milliseconds(line: &str) -> String {
    let Some(end) = line.find(" ms") else {
        return line.to_owned();
    };
    let start = line[..end]
        .trim_end_matches(|c: char| c.is_ascii_digit())
        .len();
    format!("{}N{}", &line[..start], &line[end..])
}

fn below(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let paths = entries.map(|entry| entry.expect("an entry").path());
    paths
        .flat_map(|path| {
            if path.is_dir() {
                below(&path)
            } else {
                vec![path]
            }
        })
        .collect()
}

fn copy(from: &Path, to: &Path) {
    for path in below(from) {
        let target = to.join(path.strip_prefix(from).expect("below"));
        fs::create_dir_all(target.parent().expect("a folder")).expect("made");
        fs::copy(&path, &target).expect("copied");
    }
}
