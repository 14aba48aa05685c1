//! The least that any program does with the same files: read them, turn the Markdown into HTML,
//! write that.
//!
//! Plain Markdown with the options of the logs, no theme, no sums, one thread.

use std::path::Path;

use pulldown_cmark::{Options, Parser, html};

/// Reads every file of the book and writes a plain HTML file for each.
pub fn write_up(folder: &Path, out: &Path) {
    let days = std::fs::read_dir(folder.join("days"))
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let own = ["build-sheet.yaml", "parts.yaml", "plan.md"].map(|name| folder.join(name));
    for path in own.into_iter().chain(days) {
        let text = std::fs::read_to_string(&path).unwrap();
        let name = path.file_stem().unwrap().to_str().unwrap();
        std::fs::write(out.join(format!("{name}.html")), page(name, &text)).unwrap();
    }
}

fn page(title: &str, text: &str) -> String {
    let options = Options::ENABLE_TABLES
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_FOOTNOTES;
    let mut page = format!(
        "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>{title}</title><body>\n"
    );
    html::push_html(&mut page, Parser::new_ext(text, options));
    page
}
