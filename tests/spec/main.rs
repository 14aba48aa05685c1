//! The format's specification: Markdown that people read and this program runs.
//!
//! In: `tests/spec/*.md`. A case is a heading of the second level; `case.rs` says which fences it
//! may hold. Out: a test for each file, which lists every case that the program disagrees with.
//! `SHIMBOOK_SPEC=refresh cargo test --test spec` writes the expectations anew; read the difference
//! before it is kept.
#![allow(clippy::disallowed_methods, reason = "tests read and write files")]

mod book;
mod case;
mod told;

use std::path::{Path, PathBuf};

use case::{Case, Document, Fence};
use shimbook::diagnostics::Slug;

macro_rules! sections {
    ($($name:ident: $file:literal,)*) => {
        const SECTIONS: &[&str] = &[$($file,)*];
        $(#[test] fn $name() { hold_against($file); })*
    };
}

sections! {
    a_book_is_a_folder: "01-book.md",
    the_build_sheet: "02-build-sheet.md",
    a_day_log: "03-day-log.md",
    jobs: "04-jobs.md",
    parts: "05-parts.md",
    values_and_units: "06-values-and-units.md",
    expressions: "07-expressions.md",
    spread_and_verdicts: "08-spread-and-verdicts.md",
    time: "09-time.md",
    the_hold_list: "10-hold-list.md",
    drawings: "11-drawings.md",
    cautions: "12-cautions.md",
    bad_input: "13-bad-input.md",
    choose_and_stack: "14-choose-and-stack.md",
    messages: "15-messages.md",
    current_or_not: "16-current-or-not.md",
    printed_figures: "17-printed-figures.md",
}

/// Kinds of finding that need a folder on a disk; `tests/commands`, `tests/faults` and
/// `tests/photos` show them.
const ELSEWHERE: [Slug; 4] = [
    Slug::NotUtf8,
    Slug::TooLarge,
    Slug::BadPhoto,
    Slug::Unreadable,
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/spec")
}

fn read(file: &str) -> Document {
    let text = std::fs::read_to_string(folder().join(file))
        .unwrap_or_else(|cause| panic!("{file}: {cause}"));
    Document::read(&text)
}

/// Is every expectation to be written again? Then the files are not to be judged while they change.
fn refreshing() -> bool {
    std::env::var("SHIMBOOK_SPEC").is_ok_and(|word| word == "refresh")
}

/// Runs every case of a file, or writes its expectations anew where that is asked for.
fn hold_against(file: &str) {
    let mut document = read(file);
    if refreshing() {
        document.cases.iter_mut().for_each(refresh);
        return std::fs::write(folder().join(file), document.text())
            .expect("the specification can be written");
    }
    let wrong: Vec<String> = document.cases.iter().filter_map(differs).collect();
    assert!(
        wrong.is_empty(),
        "{file}: {} of {} cases\n\n{}",
        wrong.len(),
        document.cases.len(),
        wrong.join("\n\n")
    );
}

/// What a case expects and the program does not say; `None` where they agree.
fn differs(case: &Case) -> Option<String> {
    let silent = Fence::messages();
    let messages = case
        .fences()
        .find(|fence| fence.word() == "messages")
        .unwrap_or(&silent);
    let expected = case
        .fences()
        .filter(|fence| fence.is_expected() && fence.word() != "messages")
        .chain([messages]);
    let wrong: Vec<String> = expected
        .filter_map(|fence| {
            let told = told::told(case, fence);
            (told != fence.body)
                .then(|| format!("{}, expected\n{}\ntold\n{told}", fence.info, fence.body))
        })
        .collect();
    (!wrong.is_empty()).then(|| format!("## {}\n{}", case.heading, wrong.join("\n")))
}

fn refresh(case: &mut Case) {
    let silent = case.fences().all(|fence| fence.word() != "messages");
    if silent && !told::told(case, &Fence::messages()).is_empty() {
        case.add(Fence::messages());
    }
    let told: Vec<Option<String>> = case
        .fences()
        .map(|fence| fence.is_expected().then(|| told::told(case, fence)))
        .collect();
    for (fence, told) in case.fences_mut().zip(told) {
        if let Some(told) = told {
            fence.body = told;
        }
    }
}

#[test]
fn every_file_of_the_specification_is_run() {
    let entries = std::fs::read_dir(folder()).expect("the specification is there");
    let names = entries.map(|entry| {
        entry
            .expect("a file")
            .file_name()
            .to_string_lossy()
            .into_owned()
    });
    let mut files: Vec<String> = names
        .filter(|name| Path::new(name).extension().is_some_and(|e| e == "md"))
        .collect();
    files.sort();
    assert_eq!(files, SECTIONS);
}

#[test]
fn every_case_expects_something_or_says_that_nothing_is_wrong() {
    for file in SECTIONS.iter().filter(|_| !refreshing()) {
        let document = read(file);
        assert!(!document.cases.is_empty(), "{file} holds no case");
        for case in &document.cases {
            assert!(
                case.fences().any(Fence::is_expected),
                "{file}: `{}` expects nothing",
                case.heading
            );
        }
    }
}

#[test]
fn every_kind_of_finding_is_shown() {
    if refreshing() {
        return;
    }
    let shown: String = SECTIONS
        .iter()
        .flat_map(|file| read(file).cases)
        .flat_map(|case| {
            case.fences()
                .filter(|fence| fence.word() == "messages")
                .map(|f| f.body.clone())
                .collect::<Vec<_>>()
        })
        .collect();
    let is_shown = |slug: &Slug| {
        shown
            .lines()
            .any(|line| line.split([' ', ',']).nth(1) == Some(slug.word()))
    };
    let hidden: Vec<&str> = Slug::ALL
        .iter()
        .filter(|slug| !ELSEWHERE.contains(slug) && !is_shown(slug))
        .map(|slug| slug.word())
        .collect();
    assert!(hidden.is_empty(), "no case shows {}", hidden.join(", "));
}
