//! A writeup in one terminal while the wall stands in another.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::standing::Standing;

/// A run of `writeup` over a book.
fn write_up(book: &Path) -> Command {
    let mut run = Command::new(env!("CARGO_BIN_EXE_shimbook"));
    run.arg("writeup")
        .arg(book)
        .stdout(Stdio::null())
        .stderr(Stdio::piped());
    run
}

/// The files of a record, by path.
fn record(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut todo = vec![folder.join("record")];
    while let Some(next) = todo.pop() {
        for entry in std::fs::read_dir(&next).unwrap().flatten() {
            if entry.path().is_dir() {
                todo.push(entry.path());
            } else {
                files.insert(
                    entry.path().display().to_string()[folder.display().to_string().len()..]
                        .to_owned(),
                    std::fs::read(entry.path()).unwrap(),
                );
            }
        }
    }
    files
}

#[test]
fn writeups_beside_the_wall_leave_the_right_record_and_the_wall_serves_on() {
    let mut wall = Standing::with(&[]);
    let book = wall.book();
    let first = wall.read("days/day-01.md");
    for turn in 0..8 {
        let run = write_up(&book).spawn().unwrap();
        // Saved while the run reads, asked for while it writes.
        wall.save(
            "days/day-01.md",
            &first.replace("27 ±", &format!("2{turn} ±")),
        );
        for page in [
            "",
            "days/day-01.html",
            "days/day-02.html",
            "hold.html",
            "as-built.html",
        ] {
            assert_eq!(wall.get(page).status, 200, "{page}");
        }
        let output = run.wait_with_output().unwrap();
        assert!(
            output.status.code().is_some_and(|code| code < 2),
            "{output:?}"
        );
    }
    assert!(
        write_up(&book)
            .status()
            .unwrap()
            .code()
            .is_some_and(|code| code < 2)
    );
    assert!(
        wall.get("days/day-01.html").text().contains("27 ± 1"),
        "{}",
        wall.get("days/day-01.html").text()
    );
    let alone = tempfile::tempdir().unwrap();
    for path in ["build-sheet.yaml", "days/day-01.md", "days/day-02.md"] {
        let to = alone.path().join(path);
        std::fs::create_dir_all(to.parent().unwrap()).unwrap();
        std::fs::copy(book.join(path), to).unwrap();
    }
    assert!(
        write_up(alone.path())
            .status()
            .unwrap()
            .code()
            .is_some_and(|code| code < 2)
    );
    assert_eq!(record(&book), record(alone.path()));
}
