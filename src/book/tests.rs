//! What is made of whole small books.

mod attributes;
mod events;
mod log;
mod parts;
mod plan;
mod sheet;

use super::*;
use crate::diagnostics::Severity;
use crate::markdown::Piece;
use crate::source::Position;

const SHEET: &str = "title: Kittiwake\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 9}\n  - {name: Bashir, hours: 8}\n";
const PARTS: &str = "tray_mounts: {what: Mounts}\nmotor:\n  what: Motor\n";

/// A book, and what is said of it.
struct Desk {
    files: BookFiles,
    book: Book,
    found: Vec<Diagnostic>,
}

fn books(texts: &[(&str, &str)]) -> Desk {
    let files = BookFiles::from_texts(texts.iter().copied());
    let (book, found) = read(&files);
    Desk { files, book, found }
}

/// A book whose sheet is this.
fn sheet(text: &str) -> Desk {
    books(&[
        ("build-sheet.yaml", text),
        ("days/day-01.md", "---\nday: 1\n---\n"),
    ])
}

/// A book whose first log holds this from line 4 on.
fn log(text: &str) -> Desk {
    let text = format!("---\nday: 1\n---\n{text}");
    books(&[
        ("build-sheet.yaml", SHEET),
        ("parts.yaml", PARTS),
        ("days/day-01.md", &text),
    ])
}

/// A book whose first log holds one job with this tail, at column 8 of line 4.
fn tail(tail: &str) -> Desk {
    log(&format!("- [ ] {{{tail}}}\n"))
}

fn days(logs: &[(&str, &str)]) -> Desk {
    books(&[&[("build-sheet.yaml", SHEET)], logs].concat())
}

fn event(line: &str) -> Desk {
    log(&format!("```parts\n{line}\n```\n"))
}

impl Desk {
    /// Slug, line, column and message of everything said.
    fn said(&self) -> Vec<(&'static str, usize, usize, &str)> {
        let said = self.found.iter().map(|found| {
            let Position { line, column } = self.files.sources.position(found.at);
            (found.slug.word(), line, column, found.message.as_str())
        });
        said.collect()
    }

    /// The only thing said: slug, line, column, message, and what to write instead.
    fn only(&self) -> (&'static str, usize, usize, &str, Option<&str>) {
        let [(slug, line, column, message)] = self.said()[..] else {
            panic!("{:#?}", self.found)
        };
        (
            slug,
            line,
            column,
            message,
            self.found[0].instead.as_deref(),
        )
    }

    fn mention(&self) -> &Mention {
        let Entry::Mention(mention) = &self.book.days[0].entries[0] else {
            panic!("{:#?}", self.found)
        };
        mention
    }

    fn event(&self) -> Option<&PartEvent> {
        let Entry::Parts(block) = &self.book.days[0].entries[0] else {
            panic!("{:#?}", self.found)
        };
        block.lines[0].event.as_ref()
    }
}

fn values<T: Clone>(of: &[Spanned<T>]) -> Vec<T> {
    of.iter().map(|one| one.value.clone()).collect()
}

#[test]
fn findings_come_by_file_then_by_place_however_the_logs_are_read() {
    let logs: Vec<(String, String)> = (1..=40)
        .map(|n| {
            (
                format!("days/day-{n:02}.md"),
                format!("---\nday: {n}\n---\n- [ ] {{2x}}\n- [ ] {{x, takse 3 h}}\n"),
            )
        })
        .collect();
    let texts: Vec<(&str, &str)> = logs
        .iter()
        .map(|(path, text)| (path.as_str(), text.as_str()))
        .collect();
    let desk = days(&texts);
    let places: Vec<_> = desk
        .found
        .iter()
        .map(|found| (found.at.file, found.at.start))
        .collect();
    assert_eq!(places.len(), 80);
    assert!(places.is_sorted());
}

#[test]
fn no_text_makes_the_reader_panic() {
    let texts = [
        "---",
        "---\n",
        "---\n---",
        "- [ ] {",
        "- [ ] }{",
        "```sums",
        "> ```parts\n> x",
        "{",
        "\u{feff}---\r\nday: 1\r\n---\r\n",
        "a: |",
        "a: >5\n x",
        "'",
        "\"\\",
        "- - ? [",
        "é: é\n é",
        "|",
        "# Day",
        "![](",
        "[^1]\n\n[^1]:",
        "\0",
    ];
    for text in texts {
        books(&[
            ("build-sheet.yaml", text),
            ("parts.yaml", text),
            ("plan.md", text),
            ("days/day-01.md", text),
        ]);
        log(text);
        tail(text);
        event(text);
    }
}

mod any_text {
    use proptest::prelude::*;

    use super::*;

    /// Bits that mean something to some reader.
    const BITS: &[&str] = &[
        "- ",
        "[ ] ",
        "[x] ",
        "{",
        "}",
        "a",
        "motor",
        ", ",
        "by Ines",
        "takes 3 h",
        "held up: ",
        "```",
        "~~~",
        "sums",
        "parts",
        "shop",
        "drawing",
        "\n",
        "\n\n",
        "> ",
        "  ",
        "    ",
        "\t",
        "# ",
        "## Day 1",
        "|",
        "---",
        "`a`",
        "*",
        "_",
        "[a](b.md)",
        "![x](photos/x.png)",
        "[^1]",
        "[^1]: n",
        "<br>",
        "<b>",
        "é",
        "°",
        ": ",
        "- a",
        "'",
        "\"",
        "[",
        "]",
        "due day 3",
        "cost 3",
        "ordered",
        "#top",
        "1. ",
        "\\",
        "&",
    ];

    fn text() -> impl Strategy<Value = String> {
        prop::collection::vec(prop::sample::select(BITS), 0..60).prop_map(|bits| bits.concat())
    }

    /// Every tag that is opened is closed, in order.
    fn assert_balanced(html: &str) {
        let mut open: Vec<&str> = Vec::new();
        for tag in html.split('<').skip(1) {
            let name = tag.split(['>', ' ', '\n']).next().unwrap_or_default();
            match name.strip_prefix('/') {
                Some(name) => assert_eq!(open.pop(), Some(name), "{html}"),
                None if matches!(name, "br" | "hr" | "input") => {}
                None => open.push(name),
            }
        }
        assert!(open.is_empty(), "{open:?} in {html}");
    }

    fn html(prose: &crate::markdown::Prose) -> String {
        let piece = |piece: &Piece| match piece {
            Piece::Html(html) => html.clone(),
            Piece::Shop(prose) => html(prose),
            _ => String::new(),
        };
        prose.pieces.iter().map(piece).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn gives_balanced_pages_and_places_inside_its_file(text in text()) {
            let front = format!("---\nday: 1\n---\n{text}");
            let desk = books(&[
                ("build-sheet.yaml", &text), ("parts.yaml", &text), ("plan.md", &text), ("days/day-01.md", &front), ("days/day-02.md", &text),
            ]);
            for found in &desk.found {
                let file = desk.files.sources.text(found.at.file);
                prop_assert!(file.get(found.at.range()).is_some(), "{:?} in {:?}", found, file);
            }
            for day in &desk.book.days {
                assert_balanced(&html(&day.prose));
                for entry in &day.entries {
                    if let Entry::Sums(block) = entry {
                        for line in &block.lines {
                            prop_assert_eq!(desk.files.sources.slice(line.span), &line.text);
                        }
                    }
                }
            }
        }
    }
}
