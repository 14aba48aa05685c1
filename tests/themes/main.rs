//! What a theme may rely on.
//!
//! The part of DEVELOPERS.md that says what data templates get is made from the types themselves;
//! after a change of them, `SHIMBOOK_DOCS=refresh cargo test --test themes` writes it anew.

#![allow(clippy::disallowed_methods, reason = "a test reads the house itself")]

mod types;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use types::{Field, Model};

/// What every template gets beside its page.
const EVERYWHERE: [(&str, &str, &str); 5] = [
    ("frame", "Frame", ""),
    ("ways", "Way", "list of "),
    ("live", "Live", "only on the wall: "),
    (
        "root",
        "",
        "text: what stands before an address of the record, empty or `../`",
    ),
    ("page", "", "what the page is about, by template:"),
];

/// The templates and the type of their `page`.
const PAGES: [(&str, &str); 10] = [
    ("cover.html", "Cover"),
    ("day.html", "DayPage"),
    ("jobs.html", "JobsPage"),
    ("ledger.html", "LedgerPage"),
    ("as-built.html", "AsBuilt"),
    ("hold.html", "HoldPage"),
    ("methods.html", "Methods"),
    ("wall.html", "WallPage"),
    ("handed.html", "Cover"),
    ("book.html", ""),
];

const BEGIN: &str = "<!-- what templates get -->";
const END: &str = "<!-- that is what they get -->";

fn at(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn all_models() -> BTreeMap<String, Model> {
    [
        "src/pages",
        "src/drawings",
        "src/export",
        "src/render",
        "src/handover",
    ]
    .into_iter()
    .flat_map(|folder| types::models(&at(folder)))
    .collect()
}

fn written() -> String {
    let models = all_models();
    let mut text = String::from("Every template gets:\n\n");
    for (name, kind, words) in EVERYWHERE {
        let kind = if kind.is_empty() {
            String::new()
        } else {
            format!("`{kind}`")
        };
        text.push_str(&format!("- `{name}`: {words}{kind}\n"));
    }
    for (template, kind) in PAGES {
        let what = match template {
            "book.html" => "`strip`, `cover`, `days`, `jobs`, `ledger`, `as_built`, `hold`, `methods`: each what its own template gets; `inspection`: `Inspection`; beside `page`, `handed`: `Handed`".to_owned(),
            "handed.html" => format!("`{kind}`; beside `page`, `handed`: `Handed`"),
            _ => format!("`{kind}`"),
        };
        text.push_str(&format!("  - `{template}`: {what}\n"));
    }
    text.push_str("\nText marked as HTML or SVG is safe as it is (`| safe`); all other text is escaped by Tera. The filter `breaks` lets a long name break at its joins.\n");
    for name in reached(&models) {
        text.push_str(&told(&name, &models[&name]));
    }
    text
}

/// The types that templates get, in the order of the alphabet.
fn reached(models: &BTreeMap<String, Model>) -> BTreeSet<String> {
    let everywhere = EVERYWHERE.iter().map(|(_, kind, _)| *kind);
    let roots = everywhere
        .chain(PAGES.iter().map(|(_, kind)| *kind))
        .chain(["Inspection", "Handed"]);
    let mut todo: Vec<String> = roots
        .filter(|kind| !kind.is_empty())
        .map(str::to_owned)
        .collect();
    let mut seen = BTreeSet::new();
    while let Some(name) = todo.pop() {
        let model = models
            .get(&name)
            .unwrap_or_else(|| panic!("{name} is no type that is written out as data"));
        if seen.insert(name) {
            todo.extend(
                model
                    .shapes
                    .iter()
                    .flat_map(|(_, fields)| fields)
                    .filter_map(|field| field.inner.clone()),
            );
        }
    }
    seen
}

fn told(name: &str, model: &Model) -> String {
    let mut text = format!("\n**{name}**: {}\n\n", model.about);
    for (kind, fields) in &model.shapes {
        if let Some(kind) = kind {
            text.push_str(&format!("- `kind` is `{kind}`\n"));
        }
        let indent = if kind.is_some() { "  " } else { "" };
        text.extend(
            fields
                .iter()
                .map(|field| format!("{indent}- {}\n", line(field))),
        );
    }
    text
}

fn line(field: &Field) -> String {
    let about = if field.about.is_empty() {
        String::new()
    } else {
        format!(". {}", field.about)
    };
    format!("`{}`: {}{about}", field.name, field.holds)
}

#[test]
fn the_developers_page_says_what_data_each_template_gets() {
    let path = at("DEVELOPERS.md");
    let page = std::fs::read_to_string(&path).expect("it is there");
    let (before, rest) = page
        .split_once(BEGIN)
        .expect("the mark stands in DEVELOPERS.md");
    let (stands, after) = rest.split_once(END).expect("its end too");
    let wanted = format!("\n\n{}\n", written());
    if std::env::var("SHIMBOOK_DOCS").is_ok_and(|what| what == "refresh") {
        std::fs::write(&path, format!("{before}{BEGIN}{wanted}{END}{after}"))
            .expect("it can be written");
        return;
    }
    assert!(
        stands == wanted,
        "the types changed: SHIMBOOK_DOCS=refresh cargo test --test themes"
    );
}

#[test]
fn every_page_template_is_told_of() {
    let shared = ["layout.html", "parts.html", "handed-parts.html"];
    for entry in std::fs::read_dir(at("themes/paper"))
        .expect("the theme is there")
        .flatten()
    {
        let name = entry.file_name().to_string_lossy().into_owned();
        let is_page = entry
            .path()
            .extension()
            .is_some_and(|ending| ending == "html");
        if is_page && !shared.contains(&name.as_str()) {
            assert!(
                PAGES.iter().any(|(template, _)| *template == name),
                "{name} gets data that nobody is told of"
            );
        }
    }
}

#[test]
fn every_field_of_a_page_says_what_it_is() {
    let models = all_models();
    for name in reached(&models) {
        assert!(!models[&name].about.is_empty(), "{name}");
        for field in models[&name].shapes.iter().flat_map(|(_, fields)| fields) {
            assert!(!field.about.is_empty(), "{name}.{}", field.name);
        }
    }
}
