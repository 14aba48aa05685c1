//! The command itself: one file, written once.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use crate::texts;

fn book() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    for (path, text) in texts(
        "## Day 2\n- [ ] Rails {rails, by Ines}\n",
        &[(1, "# One\n")],
    ) {
        let path = dir.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    dir
}

fn command(book: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_shimbook"));
    command.arg("morning").arg(book).env("NO_COLOR", "1");
    command
}

fn run(book: &Path) -> (Option<i32>, String) {
    said(&command(book).output().unwrap())
}

fn said(output: &Output) -> (Option<i32>, String) {
    let text = [output.stdout.as_slice(), output.stderr.as_slice()].concat();
    (output.status.code(), String::from_utf8(text).unwrap())
}

#[test]
fn it_says_what_it_wrote_and_what_to_do_next() {
    let book = book();
    let (status, text) = run(book.path());
    assert_eq!(status, Some(0), "{text}");
    assert!(
        text.contains("day-02.md: day 2, 1 from the plan, 0 carried.\nNext: "),
        "{text}"
    );
    let log = fs::read_to_string(book.path().join("days/day-02.md")).unwrap();
    assert!(log.contains("- [ ] Rails {rails, by Ines}\n"), "{log}");
}

#[test]
fn a_second_call_makes_no_second_day_until_somebody_wrote_in_the_first() {
    let book = book();
    run(book.path());
    let (status, text) = run(book.path());
    assert_eq!(status, Some(2));
    assert!(text.contains("days/day-02.md exists already"), "{text}");
    assert!(!book.path().join("days/day-03.md").exists());
    let log = book.path().join("days/day-02.md");
    let written = fs::read_to_string(&log)
        .unwrap()
        .replace("[ ] Rails", "[x] Rails");
    fs::write(&log, &written).unwrap();
    assert_eq!(run(book.path()).0, Some(0));
    assert_eq!(
        fs::read_to_string(&log).unwrap(),
        written,
        "what the crew wrote stays"
    );
}

#[test]
fn of_many_that_start_at_once_one_writes_a_whole_file_and_the_others_are_told() {
    let book = book();
    let pipe = std::process::Stdio::piped;
    let start = |_| {
        command(book.path())
            .stdout(pipe())
            .stderr(pipe())
            .spawn()
            .unwrap()
    };
    let running: Vec<_> = (0..6).map(start).collect();
    let ended: Vec<_> = running
        .into_iter()
        .map(|one| said(&one.wait_with_output().unwrap()))
        .collect();
    assert_eq!(
        ended
            .iter()
            .filter(|(status, _)| *status == Some(0))
            .count(),
        1,
        "{ended:?}"
    );
    for (_, text) in ended.iter().filter(|(status, _)| *status != Some(0)) {
        assert!(text.contains("day-02.md exists already"), "{text}");
    }
    let names: Vec<_> = fs::read_dir(book.path().join("days"))
        .unwrap()
        .map(|file| file.unwrap().file_name())
        .collect();
    assert_eq!(names.len(), 2, "{names:?}");
    let log = fs::read_to_string(book.path().join("days/day-02.md")).unwrap();
    assert!(
        log.starts_with("---\nday: 2\n---\n") && log.ends_with(".\n"),
        "{log}"
    );
}

#[test]
fn a_book_with_errors_gets_its_morning_and_a_folder_that_is_no_book_does_not() {
    let book = book();
    fs::write(book.path().join("build-sheet.yaml"), "title: [").unwrap();
    let (status, text) = run(book.path());
    assert_eq!(status, Some(1), "{text}");
    assert!(
        text.contains("`shimbook check` shows") && text.contains("Not current: treat as on hold"),
        "{text}"
    );
    let empty = tempfile::tempdir().unwrap();
    let (status, text) = run(empty.path());
    assert!(
        status == Some(2) && text.contains("is not a book"),
        "{text}"
    );
    assert_eq!(fs::read_dir(empty.path()).unwrap().count(), 0);
}

#[test]
fn a_day_after_the_last_is_written_and_said() {
    let book = book();
    fs::write(book.path().join("days/day-08.md"), "---\nday: 8\n---\n").unwrap();
    let (status, text) = run(book.path());
    assert!(
        status == Some(0) && text.contains("Day 9 is after the last day allowed, day 8."),
        "{text}"
    );
}

#[cfg(unix)]
#[test]
fn a_days_folder_that_leads_out_of_the_book_is_not_written_into() {
    let (book, outside) = (book(), tempfile::tempdir().unwrap());
    fs::remove_dir_all(book.path().join("days")).unwrap();
    std::os::unix::fs::symlink(outside.path(), book.path().join("days")).unwrap();
    let (status, text) = run(book.path());
    assert!(
        status == Some(2) && text.contains("leads outside the book"),
        "{text}"
    );
    assert_eq!(fs::read_dir(outside.path()).unwrap().count(), 0);
}

#[test]
fn the_help_shows_a_real_example() {
    let help = Command::new(env!("CARGO_BIN_EXE_shimbook"))
        .args(["morning", "--help"])
        .output()
        .unwrap();
    assert!(said(&help).1.contains("Example: shimbook morning my-build"));
}
