//! What the documents say of the house, held against it.

use std::path::{Path, PathBuf};

fn read(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path))
        .expect("the file is there")
}

/// Every Rust file of the program.
fn sources() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder)
            .expect("the folder is there")
            .flatten()
        {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    found
}

#[test]
fn the_readme_lists_every_command() {
    let readme = read("README.md");
    for command in crate::commands() {
        assert!(
            readme.contains(&format!("| `shimbook {command} ")),
            "the README's table has no row for {command}"
        );
    }
}

#[test]
fn the_readme_has_the_two_commands_that_ci_runs() {
    let readme = read("README.md");
    for (mark, command) in [
        (
            "<!-- command: writeup -->",
            "$ cargo run --locked --release -- writeup book-example",
        ),
        ("<!-- command: tests -->", "$ cargo test --locked"),
    ] {
        let (_, after) = readme
            .split_once(mark)
            .expect("the mark stands in the README");
        assert!(
            after
                .trim_start()
                .starts_with(&format!("```console\n{command}\n```")),
            "{mark}"
        );
    }
}

#[test]
fn every_room_of_the_house_stands_in_the_developers_table() {
    let table = read("DEVELOPERS.md");
    let rooms = std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("src"))
        .expect("src is there")
        .flatten();
    for room in rooms.filter(|entry| entry.path().is_dir()) {
        let name = room.file_name().to_string_lossy().into_owned();
        assert!(
            table.contains(&format!("| `src/{name}/`")),
            "DEVELOPERS.md does not tell of src/{name}/"
        );
    }
}

#[test]
fn main_is_short_and_no_file_is_long() {
    for path in sources() {
        let lines = std::fs::read_to_string(&path)
            .expect("it can be read")
            .lines()
            .count();
        let most = if path.ends_with("src/main.rs") {
            40
        } else {
            800
        };
        assert!(lines <= most, "{} has {lines} lines", path.display());
    }
}
