//! Growth.
#[path = "../bench/big_book.rs"]
mod big_book;

use std::collections::BTreeMap;

use big_book::Scale;
use shimbook::compile::{Build, compile};
use shimbook::desk::BookFiles;
use shimbook::text::Severity;

fn built(texts: &BTreeMap<String, String>) -> Build {
    compile(BookFiles::from_texts(texts.iter().map(|(path, text)| (path.as_str(), text.as_str()))))
}

#[test]
fn the_large_book_is_free_of_errors() {
    let texts = big_book::book(Scale::days(60), 41);
    let build = built(&texts);
    let said: Vec<String> = build
        .diagnostics
        .iter()
        .map(|d| {
            format!(
                "{:?} {} {}: {}",
                d.severity,
                build.sources.path(d.at.file),
                build.sources.position(d.at).line,
                d.message
            )
        })
        .collect();
    println!("{}", said.iter().take(30).cloned().collect::<Vec<_>>().join("\n"));
    println!("{} {}", said.len(), build.worked.evaluations);
    assert_eq!(build.count(Severity::Error), 0);
}
#[test]
#[allow(clippy::disallowed_methods)]
fn dump() {
    let texts = big_book::book(Scale::days(365), 41);
    std::fs::create_dir_all("/tmp/bb/days").unwrap();
    for (p, t) in texts {
        std::fs::write(format!("/tmp/bb/{p}"), t).unwrap();
    }
}
