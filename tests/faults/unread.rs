//! What cannot be read is never nothing.
//!
//! A book with open hold lines, and one thing in it that cannot be read: nothing that was on hold
//! goes, no page goes, nothing is handed over, and everybody is told that the book is not current.

use std::collections::BTreeSet;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use crate::shop::{Files, below};

const NOT_CURRENT: &str = "Not current: treat as on hold";

const BOOK: [(&str, &str); 7] = [
    (
        "build-sheet.yaml",
        "title: Kittiwake\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 8}\n  - {name: Odd, hours: 8}\n\
         targets: |\n  nose at least 120 mm, hold\n",
    ),
    (
        "plan.md",
        "## Day 1\n\n- [ ] Hang the tray {tray, by Ines, takes 3 h}\n",
    ),
    ("parts.yaml", "motor:\n  what: Motor\n  mass: 43 kg\n"),
    (
        "days/day-01.md",
        "---\nday: 1\n---\n# Arch\n\n![arch](../photos/arch.svg)\n\n```sums\narch_gap measured 21 ± 1 mm\narch_gap at least 25 mm, hold\n```\n",
    ),
    (
        "days/day-02.md",
        "---\nday: 2\n---\n# Rails\n\n- [ ] Rails on blocks {rails, temp: blocks carry it, by Odd}\n",
    ),
    (
        "days/day-03.md",
        "---\nday: 3\n---\n# Lines\n\n- [ ] Brake lines {lines, took 1 h, by Ines, caution brakes}\n",
    ),
    (
        "photos/arch.svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 24 24\"><path d=\"M0 0h24v24z\"/></svg>",
    ),
];

/// A small book, its record written, and the program to run on it.
struct Shop {
    dir: tempfile::TempDir,
    /// Runs the program as somebody whom permissions bind.
    bound: bool,
}

impl Shop {
    fn open(bound: bool) -> Self {
        let shop = Self {
            dir: tempfile::tempdir().unwrap(),
            bound,
        };
        fs::copy(
            env!("CARGO_BIN_EXE_shimbook"),
            shop.dir.path().join("shimbook"),
        )
        .unwrap();
        for (path, text) in BOOK {
            let path = shop.path(path);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        if bound && is_root() {
            let done = Command::new("chown")
                .args(["-R", "65534:65534"])
                .arg(shop.dir.path())
                .status()
                .unwrap();
            assert!(done.success());
        }
        assert_eq!(
            shop.run("writeup", &[]).status.code(),
            Some(0),
            "{:?}",
            shop.run("writeup", &[])
        );
        shop
    }

    fn path(&self, path: &str) -> PathBuf {
        self.dir.path().join("book").join(path)
    }

    fn run(&self, command: &str, arguments: &[&str]) -> Output {
        let program = self.dir.path().join("shimbook");
        let mut run = if self.bound && is_root() {
            Command::new("setpriv")
        } else {
            Command::new(&program)
        };
        if self.bound && is_root() {
            run.args(["--reuid=65534", "--regid=65534", "--clear-groups"])
                .arg(&program);
        }
        run.arg(command)
            .args(arguments)
            .arg(self.path(""))
            .output()
            .unwrap()
    }

    fn json(&self, command: &str) -> serde_json::Value {
        serde_json::from_slice(&self.run(command, &["--format", "json"]).stdout).unwrap()
    }

    fn hold(&self) -> BTreeSet<String> {
        let tally = self.json("tally");
        tally["hold"]
            .as_array()
            .unwrap()
            .iter()
            .map(|line| line["id"].as_str().unwrap().to_owned())
            .collect()
    }

    fn record(&self) -> Files {
        below(&self.path("record"))
    }

    fn allow(&self, path: &str, mode: u32) {
        fs::set_permissions(self.path(path), fs::Permissions::from_mode(mode)).unwrap();
    }
}

fn is_root() -> bool {
    Command::new("id")
        .arg("-u")
        .output()
        .is_ok_and(|id| id.stdout == b"0\n")
}

fn text(output: &Output) -> String {
    format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

fn is_page(path: &str) -> bool {
    Path::new(path)
        .extension()
        .is_some_and(|extension| extension == "html")
}

/// The ids that are on hold in the book as it is.
fn held() -> BTreeSet<String> {
    ["arch_gap", "lines", "nose", "rails"]
        .map(str::to_owned)
        .into()
}

/// Does something to a book, asks every command, puts it right again.
fn harmed(shop: &Shop, of: &str, what: &str, harm: impl Fn(), mend: impl Fn()) {
    let before = shop.record();
    assert_eq!(shop.hold(), held(), "{what}: before");
    harm();
    everybody_is_told(shop, of, what);
    assert_eq!(shop.hold(), held(), "{what}: what was on hold");
    the_record_loses_nothing(shop, what, &before);
    mend();
    assert_eq!(
        shop.run("writeup", &[]).status.code(),
        Some(0),
        "{what}: mended"
    );
    assert_eq!(
        shop.record(),
        before,
        "{what}: the record of the mended book"
    );
}

fn everybody_is_told(shop: &Shop, of: &str, what: &str) {
    let out = shop.dir.path().join("out");
    for (command, arguments) in [
        ("check", &[][..]),
        ("tally", &[]),
        ("tally", &["--day", "2"]),
        ("workings", &["arch_gap"]),
        ("export", &["--out", out.to_str().unwrap()]),
        (
            "handover",
            &[
                "--for",
                "customer",
                "--as-is",
                "Ines",
                "--out",
                out.join("handed").to_str().unwrap(),
            ],
        ),
        ("writeup", &[]),
    ] {
        let ran = shop.run(command, arguments);
        let said = text(&ran);
        assert_eq!(ran.status.code(), Some(1), "{what}: {command}: {said}");
        assert!(
            said.contains(NOT_CURRENT) && said.contains(of),
            "{what}: {command}: {said}"
        );
        assert!(!said.contains("  nothing\n"), "{what}: {command}: {said}");
    }
    assert!(
        !out.join("handed").exists(),
        "{what}: something was handed over"
    );
    for document in [shop.json("check"), shop.json("tally"), book_json(&out)] {
        assert_eq!(document["current"], false, "{what}");
        assert!(
            document["not_current"][0].to_string().contains(of),
            "{what}: {}",
            document["not_current"]
        );
    }
    fs::remove_dir_all(out).unwrap();
}

fn book_json(out: &Path) -> serde_json::Value {
    serde_json::from_slice(&fs::read(out.join("book.json")).unwrap()).unwrap()
}

fn the_record_loses_nothing(shop: &Shop, what: &str, before: &Files) {
    let now = shop.record();
    for path in before.keys() {
        assert!(now.contains_key(path), "{what}: {path} was removed");
    }
    for (path, bytes) in now.iter().filter(|(path, _)| is_page(path)) {
        let page = String::from_utf8_lossy(bytes);
        assert!(
            page.contains(NOT_CURRENT),
            "{what}: {path} does not say that it is not current"
        );
        assert!(
            !page.contains("Nothing is on the hold list"),
            "{what}: {path}"
        );
    }
    let copies = |files: &Files| -> Files {
        files
            .clone()
            .into_iter()
            .filter(|(path, _)| path.starts_with(".shimbook-last/"))
            .collect()
    };
    assert_eq!(
        copies(&now),
        copies(before),
        "{what}: the texts to fall back to"
    );
}

#[test]
fn a_file_in_place_of_a_folder_or_a_folder_in_place_of_a_file_takes_nothing_off_the_hold_list() {
    let shop = Shop::open(false);
    for path in ["days", "photos"] {
        let (here, away) = (shop.path(path), shop.path("away"));
        let harm = || {
            fs::rename(&here, &away).unwrap();
            fs::write(&here, "not a folder").unwrap();
        };
        let mend = || {
            fs::remove_file(&here).unwrap();
            fs::rename(&away, &here).unwrap();
        };
        harmed(&shop, path, &format!("{path} is a file"), harm, mend);
    }
    for path in [
        "build-sheet.yaml",
        "plan.md",
        "parts.yaml",
        "days/day-01.md",
        "days/day-03.md",
    ] {
        let (here, away) = (shop.path(path), shop.path("away"));
        let harm = || {
            fs::rename(&here, &away).unwrap();
            fs::create_dir(&here).unwrap();
        };
        let mend = || {
            fs::remove_dir(&here).unwrap();
            fs::rename(&away, &here).unwrap();
        };
        harmed(&shop, path, &format!("{path} is a folder"), harm, mend);
    }
}

#[test]
fn a_link_that_leads_nowhere_takes_nothing_off_the_hold_list() {
    let shop = Shop::open(false);
    for path in ["days", "days/day-02.md", "build-sheet.yaml"] {
        let (here, away) = (shop.path(path), shop.path("away"));
        let harm = || {
            fs::rename(&here, &away).unwrap();
            std::os::unix::fs::symlink("gone", &here).unwrap();
        };
        let mend = || {
            fs::remove_file(&here).unwrap();
            fs::rename(&away, &here).unwrap();
        };
        harmed(
            &shop,
            path,
            &format!("{path} is a link to nothing"),
            harm,
            mend,
        );
    }
}

#[test]
fn what_may_not_be_read_takes_nothing_off_the_hold_list() {
    if is_root() && Command::new("setpriv").arg("--version").output().is_err() {
        assert!(
            std::env::var("SHIMBOOK_NEEDS_TOOLS").is_err(),
            "setpriv is missing"
        );
        return eprintln!(
            "SKIPPED: root may read everything, and this machine has no setpriv to become somebody else"
        );
    }
    let shop = Shop::open(true);
    for (path, mode, usual) in [
        ("days", 0o000, 0o755),
        ("days", 0o444, 0o755),
        ("days", 0o311, 0o755),
        ("photos", 0o000, 0o755),
        ("photos", 0o311, 0o755),
        ("days/day-01.md", 0o000, 0o644),
        ("days/day-03.md", 0o200, 0o644),
        ("build-sheet.yaml", 0o000, 0o644),
        ("plan.md", 0o000, 0o644),
        ("parts.yaml", 0o000, 0o644),
    ] {
        let what = format!("{path} with the rights {mode:o}");
        harmed(
            &shop,
            path,
            &what,
            || shop.allow(path, mode),
            || shop.allow(path, usual),
        );
    }
}

#[test]
fn text_that_is_not_utf8_or_is_too_long_takes_nothing_off_the_hold_list() {
    let shop = Shop::open(false);
    for path in ["build-sheet.yaml", "days/day-01.md", "days/day-03.md"] {
        let whole = fs::read(shop.path(path)).unwrap();
        let utf16: Vec<u8> = String::from_utf8_lossy(&whole)
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        for (what, bytes) in [("UTF-16", utf16), ("one long line", vec![b'x'; 300 * 1024])] {
            let harm = || fs::write(shop.path(path), &bytes).unwrap();
            harmed(&shop, path, &format!("{path} in {what}"), harm, || {
                fs::write(shop.path(path), &whole).unwrap();
            });
        }
    }
}

#[test]
fn where_no_earlier_text_is_known_the_book_is_not_current_all_the_same() {
    let shop = Shop::open(false);
    fs::remove_dir_all(shop.path("record")).unwrap();
    fs::rename(shop.path("days"), shop.path("away")).unwrap();
    fs::write(shop.path("days"), "not a folder").unwrap();
    everybody_is_told_without("days", &shop);
    let cover = String::from_utf8(shop.record()["index.html"].clone()).unwrap();
    assert!(
        cover.contains("class=\"tag\"") && cover.contains("no earlier text is known"),
        "{cover}"
    );
    assert!(!cover.contains("there is no day log yet"), "{cover}");
}

fn everybody_is_told_without(of: &str, shop: &Shop) {
    for command in ["check", "tally", "writeup"] {
        let said = text(&shop.run(command, &[]));
        assert!(
            said.contains(NOT_CURRENT) && said.contains(of) && !said.contains("  nothing\n"),
            "{command}: {said}"
        );
    }
    for (path, bytes) in shop.record().iter().filter(|(path, _)| is_page(path)) {
        assert!(
            String::from_utf8_lossy(bytes).contains(NOT_CURRENT),
            "{path}"
        );
    }
}

#[test]
fn a_record_elsewhere_has_texts_to_fall_back_to_of_its_own() {
    let shop = Shop::open(false);
    let out = shop.dir.path().join("elsewhere");
    let arguments = ["--out", out.to_str().unwrap()];
    shop.run("writeup", &arguments);
    fs::remove_dir_all(shop.path("record")).unwrap();
    fs::write(shop.path("days/day-02.md"), [0xff]).unwrap();
    shop.run("writeup", &arguments);
    let hold = String::from_utf8(below(&out)["hold.html"].clone()).unwrap();
    assert!(
        hold.contains("Rails on blocks") && hold.contains(NOT_CURRENT),
        "{hold}"
    );
}

#[test]
fn a_log_that_was_deleted_leaves_no_text_to_fall_back_to() {
    let shop = Shop::open(false);
    fs::remove_file(shop.path("days/day-03.md")).unwrap();
    assert_eq!(shop.run("writeup", &[]).status.code(), Some(0));
    let record = shop.record();
    assert!(
        !record.contains_key(".shimbook-last/days/day-03.md")
            && !record.contains_key("days/day-03.html")
    );
    assert!(record.contains_key(".shimbook-last/days/day-02.md"));
}

#[test]
fn the_texts_to_fall_back_to_hold_no_path_and_no_time_and_are_written_where_they_differ() {
    let shop = Shop::open(false);
    let (one, other) = (shop.record(), Shop::open(false).record());
    assert_eq!(one, other);
    let changed = |path: &str| fs::metadata(shop.path(path)).unwrap().modified().unwrap();
    let before = changed("record/.shimbook-last/days/day-01.md");
    shop.run("writeup", &[]);
    assert_eq!(changed("record/.shimbook-last/days/day-01.md"), before);
}

#[test]
fn in_the_morning_of_a_book_that_is_not_current_the_log_and_the_terminal_say_so() {
    let shop = Shop::open(false);
    fs::write(shop.path("days/day-02.md"), [0xff]).unwrap();
    let ran = shop.run("morning", &[]);
    assert_eq!(ran.status.code(), Some(1), "{}", text(&ran));
    assert!(text(&ran).contains(NOT_CURRENT), "{}", text(&ran));
    let log = fs::read_to_string(shop.path("days/day-04.md")).unwrap();
    assert!(
        log.contains(NOT_CURRENT) && log.contains("Rails on blocks"),
        "{log}"
    );
    // Nobody has written in it yet, so there is no second one.
    let again = shop.run("morning", &[]);
    assert!(
        again.status.code() == Some(2) && text(&again).contains("is still as `morning` wrote it"),
        "{}",
        text(&again)
    );
}
