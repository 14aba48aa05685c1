//! Records to look at.
//!
//! In: a book, the example unless another is given, and a theme's name. Out: the folder of its
//! record under `target/browser/`.

use std::path::{Path, PathBuf};

use clap::Parser as _;
use shimbook::commands::CommandLine;

/// `target/browser`, where all that the tests make is kept.
pub fn folder() -> PathBuf {
    root().join("target/browser")
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .canonicalize()
        .expect("the project is there")
}

/// The example book, written up with a built-in theme in a folder of its own for the calling test.
pub fn record(theme: &str) -> PathBuf {
    let test = std::thread::current()
        .name()
        .unwrap_or("main")
        .replace("::", "-");
    let out = folder().join(format!("record-{theme}-{test}"));
    write_up(&root().join("book-example"), theme, &out);
    out
}

/// Writes a book up with a built-in theme.
///
/// # Panics
/// Where the program could not run; a book with errors is written up all the same.
pub fn write_up(book: &Path, theme: &str, out: &Path) {
    std::fs::create_dir_all(folder()).expect("made");
    let words = ["shimbook", "writeup", "--theme", theme, "--out"].map(Into::into);
    let line = words
        .into_iter()
        .chain([out.as_os_str().to_owned(), book.as_os_str().to_owned()]);
    let status = CommandLine::parse_from(line).run();
    assert!(status < 2, "the record of {} is written", book.display());
}

/// The example book, handed over to an audience in a folder of its own for the calling test, with
/// its PDF.
///
/// # Panics
/// Where it is not handed over.
pub fn handed(audience: &str) -> PathBuf {
    let test = std::thread::current()
        .name()
        .unwrap_or("main")
        .replace("::", "-");
    let out = folder().join(format!("handed-{audience}-{test}"));
    std::fs::create_dir_all(folder()).expect("made");
    let words = [
        "shimbook", "handover", "--for", audience, "--as-is", "Ines", "--pdf", "--out",
    ]
    .map(Into::into);
    let line = words.into_iter().chain([
        out.as_os_str().to_owned(),
        root().join("book-example").into_os_string(),
    ]);
    assert_eq!(
        CommandLine::parse_from(line).run(),
        0,
        "the example is handed over"
    );
    out
}

/// Every HTML page of a record, in the order of their paths.
pub fn html_pages(record: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![record.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder)
            .expect("the folder is there")
            .flatten()
        {
            let path = entry.path();
            match path.extension() {
                _ if path.is_dir() => folders.push(path),
                Some(ending) if ending == "html" => found.push(path),
                _ => {}
            }
        }
    }
    found.sort();
    found
}

/// The address of a file.
pub fn file_url(path: &Path) -> String {
    url::Url::from_file_path(path).expect("a full path").into()
}
