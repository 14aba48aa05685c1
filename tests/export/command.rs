//! The command itself: where it writes, and where it does not.

use std::fs;
use std::path::Path;
use std::process::Command;

fn example() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/book-example"))
}

fn run(command: &str, book: &Path, out: &Path) -> (Option<i32>, String) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_shimbook"));
    let ran = program
        .arg(command)
        .arg(book)
        .arg("--out")
        .arg(out)
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    (
        ran.status.code(),
        String::from_utf8([ran.stdout, ran.stderr].concat()).unwrap(),
    )
}

#[test]
fn it_writes_every_sheet_the_document_and_its_schema_and_only_what_changed() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("new/sheets");
    let (status, text) = run("export", example(), &out);
    assert!(
        status == Some(0) && text.contains("12 of 12 files written"),
        "{text}"
    );
    for name in [
        "ledger",
        "part-events",
        "jobs",
        "days",
        "values",
        "checks",
        "limits",
        "hold",
        "hold-history",
        "findings",
    ] {
        assert!(
            fs::read_to_string(out.join(format!("{name}.csv")))
                .unwrap()
                .contains("\r\n"),
            "{name}"
        );
    }
    let book: serde_json::Value =
        serde_json::from_slice(&fs::read(out.join("book.json")).unwrap()).unwrap();
    assert_eq!(book["$schema"], "book.schema.json");
    assert_eq!(book["days"].as_array().unwrap().len(), 8);
    assert!(out.join("book.schema.json").exists());
    assert!(
        run("export", example(), &out)
            .1
            .contains("0 of 12 files written")
    );
}

#[test]
fn a_folder_with_other_files_is_refused_and_left_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("jobs.csv"), "mine").unwrap();
    let (status, text) = run("export", example(), dir.path());
    assert!(
        status == Some(2) && text.contains("nothing was written"),
        "{text}"
    );
    assert_eq!(
        fs::read_to_string(dir.path().join("jobs.csv")).unwrap(),
        "mine"
    );
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    assert_eq!(run("export", example(), example()).0, Some(2));
}

#[test]
fn a_record_and_an_export_never_sweep_each_other_away() {
    let dir = tempfile::tempdir().unwrap();
    let [sheets, record] = ["sheets", "record"].map(|name| dir.path().join(name));
    assert_eq!(run("export", example(), &sheets).0, Some(0));
    assert_eq!(run("writeup", example(), &record).0, Some(0));
    assert_eq!(run("writeup", example(), &sheets).0, Some(2));
    assert_eq!(run("export", example(), &record).0, Some(2));
    assert!(sheets.join("jobs.csv").exists() && record.join("index.html").exists());
}

#[test]
fn a_book_with_errors_is_exported_whole_with_its_findings_and_ends_with_status_1() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(
        dir.path().join("build-sheet.yaml"),
        "title: x\nstart: 2031-05-02\ndays: 3\n",
    )
    .unwrap();
    let out = dir.path().join("sheets");
    let (status, text) = run("export", dir.path(), &out);
    assert!(status == Some(1) && text.contains("findings.csv"), "{text}");
    let findings = fs::read_to_string(out.join("findings.csv")).unwrap();
    assert!(findings.contains("\r\nerror,"), "{findings}");
}

#[test]
fn the_help_shows_a_real_example_and_says_what_becomes_of_formulas() {
    let help = Command::new(env!("CARGO_BIN_EXE_shimbook"))
        .args(["export", "--help"])
        .output()
        .unwrap();
    let text = String::from_utf8(help.stdout).unwrap();
    assert!(
        text.contains("Example: shimbook export book-example --out /tmp/sheets"),
        "{text}"
    );
    assert!(text.contains("formula"), "{text}");
}
