//! What a theme can rely on.
//!
//! `themes/REFERENCE.md` says what data templates get. It is generated from the declarations of the
//! view models; after a change, `SHIMBOOK_DOCS=refresh cargo test --locked --test themes` writes it
//! again.

#![allow(
    clippy::disallowed_methods,
    reason = "a test reads the repository itself"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use shimbook::handover::{Handed, WholeBook};
use shimbook::pages::view_model::{Described, Description, FieldDescription};
use shimbook::pages::{
    AsBuilt, Cover, DayPage, Frame, HoldPage, JobsPage, LedgerPage, Methods, WallPage,
};
use shimbook::render::{Live, Way};

/// What every template gets beside its page: its name, its type, and words about it.
fn everywhere() -> [(&'static str, Option<Description>, &'static str); 5] {
    [
        ("frame", Some(Frame::description()), ""),
        ("ways", Some(Way::description()), "list of "),
        ("live", Some(Live::description()), "only on the wall: "),
        (
            "root",
            None,
            "text: the start of an address inside the record, empty or `../`",
        ),
        ("page", None, "what the page is about, by template:"),
    ]
}

/// The templates and the type of their `page`.
fn pages() -> [(&'static str, Description); 10] {
    [
        ("cover.html", Cover::description()),
        ("day.html", DayPage::description()),
        ("jobs.html", JobsPage::description()),
        ("ledger.html", LedgerPage::description()),
        ("as-built.html", AsBuilt::description()),
        ("hold.html", HoldPage::description()),
        ("methods.html", Methods::description()),
        ("wall.html", WallPage::description()),
        ("handed.html", Cover::description()),
        ("book.html", WholeBook::description()),
    ]
}

/// The templates of a handover, which get `handed` too.
const HANDED: [&str; 2] = ["handed.html", "book.html"];

const REFERENCE: &str = "themes/REFERENCE.md";

fn at(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn written() -> String {
    let mut text = String::from(
        "# What templates get\n\nThis page is generated from the declarations of the view models. \
         After a change, refresh it with\n`SHIMBOOK_DOCS=refresh cargo test --locked --test \
         themes`.\n\nEvery template gets:\n\n",
    );
    for (name, model, words) in everywhere() {
        let kind = model.map_or_else(String::new, |model| format!("`{}`", model.name));
        text.push_str(&format!("- `{name}`: {words}{kind}\n"));
    }
    for (template, model) in pages() {
        let beside = if HANDED.contains(&template) {
            format!(
                "; beside `page`, `handed`: `{}`",
                Handed::description().name
            )
        } else {
            String::new()
        };
        text.push_str(&format!("  - `{template}`: `{}`{beside}\n", model.name));
    }
    text.push_str(
        "\nText marked as HTML or SVG is safe as it is (`| safe`). Tera escapes all other text. \
         The filter `breaks` lets a long\nname break at its joins.\n",
    );
    for model in reached().values() {
        text.push_str(&told(model));
    }
    text
}

/// The types that templates get, by name.
fn reached() -> BTreeMap<&'static str, Description> {
    let everywhere = everywhere().into_iter().filter_map(|(_, model, _)| model);
    let pages = pages().into_iter().map(|(_, model)| model);
    let mut todo: Vec<Description> = everywhere
        .chain(pages)
        .chain([Handed::description()])
        .collect();
    let mut seen = BTreeMap::new();
    while let Some(model) = todo.pop() {
        if !seen.contains_key(model.name) {
            let fields = model.shapes.iter().flat_map(|shape| &shape.fields);
            todo.extend(fields.filter_map(|field| field.holds.model()));
            seen.insert(model.name, model);
        }
    }
    seen
}

fn told(model: &Description) -> String {
    let mut text = format!("\n**{}**: {}\n\n", model.name, model.about);
    for shape in &model.shapes {
        if let Some(kind) = &shape.kind {
            text.push_str(&format!("- `kind` is `{kind}`\n"));
        }
        let indent = if shape.kind.is_some() { "  " } else { "" };
        let fields = shape.fields.iter();
        text.extend(fields.map(|field| format!("{indent}- {}\n", line(field))));
    }
    text
}

fn line(field: &FieldDescription) -> String {
    format!("`{}`: {}. {}", field.name, field.holds.words(), field.about)
}

#[test]
fn the_template_reference_says_what_data_each_template_gets() {
    let path = at(REFERENCE);
    let wanted = written();
    if std::env::var("SHIMBOOK_DOCS").is_ok_and(|what| what == "refresh") {
        std::fs::write(&path, wanted).expect("it can be written");
        return;
    }
    let stands = std::fs::read_to_string(&path).expect("it is there");
    assert!(
        stands == wanted,
        "the view models changed: SHIMBOOK_DOCS=refresh cargo test --locked --test themes"
    );
}

#[test]
fn the_reference_names_every_page_template() {
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
                pages().iter().any(|(template, _)| *template == name),
                "the reference does not say what {name} gets"
            );
        }
    }
}

#[test]
fn every_view_model_and_every_field_says_what_it_is() {
    for (name, model) in reached() {
        assert!(!model.about.is_empty(), "{name}");
        for field in model.shapes.iter().flat_map(|shape| &shape.fields) {
            assert!(!field.about.is_empty(), "{name}.{}", field.name);
        }
    }
}

#[test]
fn two_view_models_do_not_share_a_name() {
    let known = reached();
    let names = |model: &Description| -> Vec<&'static str> {
        let fields = model.shapes.iter().flat_map(|shape| &shape.fields);
        fields.map(|field| field.name).collect()
    };
    let fields = known
        .values()
        .flat_map(|model| &model.shapes)
        .flat_map(|shape| &shape.fields);
    for model in fields.filter_map(|field| field.holds.model()) {
        assert_eq!(names(&model), names(&known[model.name]), "{}", model.name);
    }
}
