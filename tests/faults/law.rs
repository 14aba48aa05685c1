//! A law over random books: whatever of one cannot be read, nothing that was on hold goes, no page
//! goes, the book is not current, and nothing is handed over.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use shimbook::build::Build;
use shimbook::hold;
use shimbook::io::Output;
use shimbook::open_book::OpenBook;
use shimbook::photo_cache::quietly;
use shimbook::render::Theme;
use shimbook::writeup;

use crate::random::Random;
use crate::shop::below;

const BOOKS: u64 = 12;
const FAULTS: usize = 5;

/// Lines that a day may hold; most of them put something on hold.
const JOBS: [&str; 5] = [
    "- [ ] Rails on blocks {rails, temp: blocks carry it}",
    "- [ ] Brake lines {lines, took 1 h, caution brakes}",
    "- [ ] Rails on blocks {rails, made good by Ines}",
    "- [x] Brake lines {lines, took 2 h, caution brakes}",
    "- [ ] Paint {paint, takes 3 h}",
];
const SUMS: [&str; 5] = [
    "gap measured 4 ± 1 mm",
    "gap at least 5 mm, hold",
    "gap measured 9 ± 1 mm",
    "nose = gap + 1 mm",
    "nose at least 8 mm, hold",
];

/// A random book of a few days.
fn write_book(random: &mut Random, folder: &Path) {
    fs::create_dir_all(folder.join("days")).unwrap();
    let sheet = "title: Kittiwake\nstart: 2031-05-02\ndays: 9\ncrew:\n  - {name: Ines, hours: 8}\ntargets: |\n  tail at least 3 mm, hold\n";
    fs::write(folder.join("build-sheet.yaml"), sheet).unwrap();
    fs::write(
        folder.join("plan.md"),
        "## Day 1\n\n- [ ] Hang the tray {tray, takes 3 h}\n",
    )
    .unwrap();
    fs::write(
        folder.join("parts.yaml"),
        "motor:\n  what: Motor\n  mass: 43 kg\n",
    )
    .unwrap();
    for day in 1..=random.days(2, 5) {
        let mut log = format!(
            "---\nday: {day}\n---\n# Day {day}\n\n{}\n\n```sums\n",
            random.of(&JOBS)
        );
        for _ in 0..=random.below(2) {
            writeln!(log, "{}", random.of(&SUMS)).unwrap();
        }
        fs::write(folder.join(format!("days/day-0{day}.md")), log + "```\n").unwrap();
    }
}

/// Makes something of the book unreadable, and says what.
fn break_something(random: &mut Random, folder: &Path) -> String {
    let logs = below(&folder.join("days"))
        .into_keys()
        .map(|name| format!("days/{name}"));
    let files: Vec<String> = ["build-sheet.yaml", "plan.md", "parts.yaml", "days"]
        .map(str::to_owned)
        .into_iter()
        .chain(logs)
        .collect();
    let path = files[random.below(files.len())].clone();
    let on_disk = folder.join(&path);
    let how = if path == "days" {
        random.of(&["a file", "a link to nothing"])
    } else {
        random.of(&BROKEN)
    };
    match how {
        "a file" => away(&on_disk, || fs::write(&on_disk, "x").unwrap()),
        "a folder" => away(&on_disk, || fs::create_dir(&on_disk).unwrap()),
        "a link to nothing" => away(&on_disk, || {
            std::os::unix::fs::symlink("gone", &on_disk).unwrap();
        }),
        "not UTF-8" => spoil(&on_disk, &[0xff]),
        "a zero byte" => spoil(&on_disk, &[0]),
        "a merge" => spoil(&on_disk, b"\n<<<<<<< mine\n"),
        _ => unreachable!("no other way is listed"),
    }
    format!("{path} is {how}")
}

const BROKEN: [&str; 5] = [
    "a folder",
    "a link to nothing",
    "not UTF-8",
    "a zero byte",
    "a merge",
];

fn away(path: &PathBuf, replace: impl FnOnce()) {
    fs::rename(path, path.with_extension("away")).unwrap();
    replace();
}

fn spoil(path: &Path, with: &[u8]) {
    let bytes = fs::read(path).unwrap();
    fs::write(path, [with, &bytes].concat()).unwrap();
}

fn look(folder: &Path) -> Build {
    OpenBook::new(folder).build_once().unwrap()
}

fn held(build: &Build) -> BTreeSet<String> {
    let list = hold::on_day(&build.worked, &build.jobs, build.day());
    list.lines
        .into_iter()
        .map(|line| format!("{} {}: {}", line.kind.word(), line.id, line.why))
        .collect()
}

fn pages(folder: &Path) -> BTreeSet<String> {
    below(&folder.join("record")).into_keys().collect()
}

fn write_up(folder: &Path) {
    let output = Output::open(&folder.join("record"), folder).unwrap();
    let mut book = OpenBook::new(folder).look_once().unwrap();
    writeup::write_up(&mut book, &Theme::built_in().unwrap(), &output, &quietly).unwrap();
}

#[test]
fn whatever_of_a_random_book_cannot_be_read_nothing_disappears() {
    for seed in 0..BOOKS {
        for fault in 0..FAULTS {
            let dir = tempfile::tempdir().unwrap();
            write_book(&mut Random(seed), dir.path());
            write_up(dir.path());
            let (before, there) = (held(&look(dir.path())), pages(dir.path()));
            let what = break_something(&mut Random(seed * 1000 + fault as u64), dir.path());
            let what = format!("book {seed}: {what}");
            let broken = look(dir.path());
            assert!(
                !broken.current.is_current(),
                "{what}: it is taken to be current"
            );
            assert!(
                before.is_subset(&held(&broken)),
                "{what}: {before:?} became {:?}",
                held(&broken)
            );
            write_up(dir.path());
            assert!(
                there.is_subset(&pages(dir.path())),
                "{what}: a page is gone"
            );
            refused(dir.path(), &what);
        }
    }
}

/// Asks the program itself.
fn refused(folder: &Path, what: &str) {
    let out = folder.with_extension("handed");
    let mut program = Command::new(env!("CARGO_BIN_EXE_shimbook"));
    let ran = program
        .arg("handover")
        .arg(folder)
        .args(["--for", "customer", "--as-is", "Ines", "--out"])
        .arg(&out);
    let ran = ran.output().unwrap();
    assert_eq!(ran.status.code(), Some(1), "{what}: {ran:?}");
    assert!(!out.exists(), "{what}: something was handed over");
}
