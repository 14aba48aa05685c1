//! What each fuzzing target does with a text, and what must hold whatever the text is.
//!
//! In: any text. Out: nothing; a panic is a find. The found ones are kept by name in
//! `tests/hostile/found.rs`, which feeds them the same way.

// Each target uses one of these.
#![allow(dead_code)]

#[path = "../../bench/mod.rs"]
mod bench;
mod sound;

use std::sync::OnceLock;

use shimbook::book;
use shimbook::build::{Build, compile};
use shimbook::export::{document, sheets};
use shimbook::io::BookFiles;
use shimbook::pages::PageSet;
use shimbook::pages::ahead::Evenings;
use shimbook::quantity::{Literal, Units};
use shimbook::render::{Theme, press};

/// Stands before each file's path where a whole book is one text.
pub const FILE: &str = "=== ";

const SHEET: &str = "title: x\nstart: 2031-05-02\ndays: 5\ncrew: [{name: Ines, hours: 9}, {name: Bashir, hours: 8}]\n";
const PARTS: &str = "motor: {what: Motor, mass: 41 kg, cost: 8200.00, lead: 2 days, need: day 3, ratings: {torque: 370 N-m}}\n\
                     tray: {what: Tray, supplied: given}\n";
/// What an expression or a statement finds known.
const KNOWN: &str = "a measured 3.5 ± 0.2 mm\nb measured 2 +0.1/-0.3 deg\nc = 4 kg\nd = a * 2";

/// A written value: what was kept of it reads back to itself.
pub fn literal(text: &str) {
    let units = Units::new("EUR");
    if let Ok(read) = Literal::read(text, &units) {
        assert!(read.nominal.is_finite() && read.plus.is_finite() && read.minus.is_finite());
        assert!(read.plus >= 0.0 && read.minus >= 0.0);
        assert_eq!(Literal::read(&read.written, &units).as_ref(), Ok(&read));
    }
}

/// A unit's name.
pub fn unit(text: &str) {
    let units = Units::new("EUR");
    if let Ok(Some((unit, length))) = units.first_in(text) {
        assert!(text.is_char_boundary(length));
        // What goes on with a letter or a digit is no unit, and is refused by whoever reads on.
        if !text[length..].starts_with(|next: char| next.is_alphanumeric()) {
            assert_eq!(
                units.named(&text[..length]).ok().map(|unit| unit.dimension),
                Some(unit.dimension)
            );
        }
    }
    let _ = (units.named(text), units.unknown(text));
}

/// The right side of a formula.
pub fn expression(text: &str) {
    let line = text.replace(['\n', '\r'], " ");
    sound::worked(&bench::work(&[KNOWN, &format!("x = {line}")]).worked);
}

/// The lines of a sums block, on two days.
pub fn statement(text: &str) {
    sound::worked(&bench::work(&[KNOWN, text, text]).worked);
}

/// What stands in a job's braces.
pub fn job_tail(text: &str) {
    let line = format!(
        "- [ ] Hang the tray {{{}}}",
        text.replace(['\n', '\r'], " ")
    );
    let _ = book::read_line(&line);
    let again = format!("---\nday: 2\n---\n{}\n", line.replace("[ ]", "[x]"));
    let log = format!("---\nday: 1\n---\n- [ ] Ream {{ream, by Ines, takes 3 h}}\n{line}\n");
    built(&[
        ("build-sheet.yaml", SHEET),
        ("parts.yaml", PARTS),
        ("days/day-01.md", &log),
        ("days/day-02.md", &again),
    ]);
}

/// The lines of a parts block.
pub fn parts_event(text: &str) {
    let log = format!("---\nday: 1\n---\n```parts\n{text}\n```\n");
    built(&[
        ("build-sheet.yaml", SHEET),
        ("parts.yaml", PARTS),
        ("days/day-01.md", &log),
    ]);
}

/// The head of a log.
pub fn front_matter(text: &str) {
    let log = format!("---\n{text}\n---\n# Tray hung\n");
    read(&[("build-sheet.yaml", SHEET), ("days/day-01.md", &log)]);
}

/// A build sheet and a list of parts.
pub fn yaml(text: &str) {
    read(&[("build-sheet.yaml", text), ("parts.yaml", text)]);
}

/// A whole book, to its pages.
pub fn whole_book(text: &str) {
    static THEME: OnceLock<Theme> = OnceLock::new();
    let files: Vec<(&str, &str)> = split(text).collect();
    let build = built(&files);
    sound::worked(&build.worked);
    let _ = (
        document::check(&build),
        document::tally(&build),
        sheets::sheets(&build),
    );
    let theme = THEME.get_or_init(|| Theme::built_in().expect("the built-in theme is in order"));
    let evenings = Evenings::of(&build);
    let pages =
        press(&PageSet::new(&build, &evenings), theme).expect("every record can be pressed");
    assert!(pages.contains_key("index.html"));
}

/// The files of a book that is one text: a line with mark and path, then the file.
pub fn split(text: &str) -> impl Iterator<Item = (&str, &str)> {
    text.split(FILE)
        .skip(1)
        .filter_map(|file| file.split_once('\n'))
}

fn read(files: &[(&str, &str)]) {
    let files = BookFiles::from_texts(files.iter().copied());
    let (_, found) = book::read(&files);
    sound::findings(&files.sources, &found);
}

fn built(files: &[(&str, &str)]) -> Build {
    let build = compile(BookFiles::from_texts(files.iter().copied()));
    sound::findings(&build.sources, &build.diagnostics);
    build
}
