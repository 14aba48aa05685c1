//! A handover on paper where no browser is installed: it is made all the same, and says how to
//! print it.
//!
//! `tests/browser/` reads the PDF that Chromium prints.

use std::path::Path;
use std::process::Command;

#[test]
fn without_chromium_the_handover_is_made_and_says_how_to_print_it() {
    let dir = tempfile::tempdir().expect("a folder");
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("book-example");
    let out = dir.path().join("out");
    let mut command = Command::new(env!("CARGO_BIN_EXE_shimbook"));
    command
        .arg("handover")
        .arg(example)
        .args(["--for", "customer", "--as-is", "Ines", "--pdf", "--out"])
        .arg(&out);
    let done = command
        .env("PATH", dir.path())
        .output()
        .expect("the program runs");
    let said =
        String::from_utf8_lossy(&done.stdout).into_owned() + &String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{said}");
    assert!(
        said.contains("No chromium on PATH")
            && said.contains("open book.html in any browser and print it"),
        "{said}"
    );
    assert!(out.join("book.html").is_file() && !out.join("record.pdf").exists());
}
