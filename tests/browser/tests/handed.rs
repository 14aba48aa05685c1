//! A handover as somebody outside opens it: from its folder, in any browser, on paper.
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads what was handed over"
)]

use std::path::Path;
use std::process::Command;

use shimbook_in_a_browser::{
    Look, Page, accessibility, file_url, handed, html_pages, in_browser, layout, npm, program,
    skipped,
};

const WIDTHS: [u32; 3] = [390, 1280, 1920];
const READ: &str = "document.querySelectorAll('.sift').forEach(tools => tools.remove());
    return document.querySelector('main').textContent.replace(/\\s+/g, '')";

/// A page of each kind.
const PAGES: [&str; 8] = [
    "index.html",
    "book.html",
    "days/day-06.html",
    "jobs.html",
    "ledger.html",
    "as-built.html",
    "hold.html",
    "methods.html",
];

async fn faults(page: &Page, folder: &Path, path: &str) -> Vec<String> {
    let mut found = Vec::new();
    for width in WIDTHS {
        page.open(&file_url(&folder.join(path)), Look::at(width))
            .await;
        page.script::<()>(
            "document.querySelectorAll('details').forEach(folded => { folded.open = true })",
        )
        .await;
        found.extend(
            layout(page)
                .await
                .into_iter()
                .map(|fault| format!("{path} at {width}: {fault}")),
        );
    }
    match accessibility(page).await {
        Some(more) => found.extend(more.into_iter().map(|fault| format!("{path}: {fault}"))),
        None => skipped("axe-core is not there: npm ci in tests/browser"),
    }
    found
}

/// What is loaded from elsewhere, and what differs without scripts.
async fn stands_alone(page: &Page, folder: &Path, path: &str) {
    let address = file_url(&folder.join(path));
    page.open(&address, Look::at(1280)).await;
    let loaded: Vec<String> = page
        .script("return performance.getEntriesByType('resource').map(entry => entry.name)")
        .await;
    let home = file_url(folder);
    assert!(
        loaded.iter().all(|from| from.starts_with(&home)),
        "{path}: {loaded:?}"
    );
    let with: String = page.script(READ).await;
    page.open(&address, Look::at(1280).without_scripts()).await;
    assert_eq!(with, page.script::<String>(READ).await, "{path}");
    assert!(with.len() > 200, "{path} says something");
}

fn holds(audience: &'static str) {
    let folder = handed(audience);
    in_browser(async move |page| {
        let mut found = Vec::new();
        for path in PAGES {
            found.extend(faults(&page, &folder, path).await);
            stands_alone(&page, &folder, path).await;
        }
        assert!(
            found.is_empty(),
            "{} faults\n{}",
            found.len(),
            found.join("\n")
        );
    });
}

#[test]
fn every_page_for_the_customer_is_whole_sound_and_the_same_without_scripts() {
    holds("customer");
}

#[test]
fn every_page_for_the_audience_is_whole_sound_and_the_same_without_scripts() {
    holds("audience");
}

#[test]
fn every_page_of_a_handover_is_valid_html() {
    let Some(validator) = npm("vnu-jar/build/dist/vnu.jar") else {
        return skipped("vnu-jar is not there: npm ci in tests/browser");
    };
    let pages = ["customer", "audience"]
        .map(|audience| html_pages(&handed(audience)))
        .concat();
    let Ok(said) = Command::new("java")
        .arg("-jar")
        .arg(validator)
        .args(pages)
        .output()
    else {
        return skipped("java is not installed");
    };
    assert_eq!(String::from_utf8_lossy(&said.stderr), "");
}

#[test]
fn the_pdf_holds_the_cover_and_every_line_on_hold() {
    let (Some(to_text), Some(_)) = (program("pdftotext"), program("chromium")) else {
        return skipped("pdftotext and chromium are not installed");
    };
    for audience in ["customer", "audience"] {
        let pdf = handed(audience).join("record.pdf");
        let text = Command::new(&to_text)
            .arg(&pdf)
            .arg("-")
            .output()
            .expect("pdftotext runs");
        let text = String::from_utf8_lossy(&text.stdout).into_owned();
        // A form feed ends each page.
        assert!(
            text.matches('\u{c}').count() > 3,
            "{audience}: {} pages",
            text.matches('\u{c}').count()
        );
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in words_of(&pdf.with_file_name("book.html")) {
            assert!(
                text.contains(&words),
                "{audience}: “{words}” is not in the PDF"
            );
        }
        // A line may end behind a hyphen, and a reader of PDFs may then leave the hyphen out.
        let joined = |text: &str| text.replace([' ', '-'], "");
        let text = joined(&text);
        for secret in [
            "Bashir",
            "Halvard",
            "Pellow",
            "K5-7731",
            "FB-64-091",
            " EUR",
        ] {
            assert_eq!(
                text.contains(&joined(secret)),
                audience == "customer",
                "{audience}: {secret}"
            );
        }
    }
}

#[test]
fn the_contents_on_paper_say_the_page_each_part_begins_on() {
    let (Some(to_text), Some(_)) = (program("pdftotext"), program("chromium")) else {
        return skipped("pdftotext and chromium are not installed");
    };
    let pdf = handed("customer").join("record.pdf");
    let text = Command::new(&to_text)
        .arg("-layout")
        .arg(&pdf)
        .arg("-")
        .output()
        .expect("pdftotext runs");
    let text = String::from_utf8_lossy(&text.stdout).into_owned();
    let pages: Vec<&str> = text.split('\u{c}').collect();
    let contents = pages
        .iter()
        .find(|page| page.contains("Contents"))
        .expect("there are contents");
    let parts: Vec<(&str, usize)> = contents.lines().filter_map(part).collect();
    assert!(parts.len() > 10, "{contents}");
    for (name, page) in parts {
        let top: String = pages[page - 1]
            .lines()
            .filter(|line| !line.trim().is_empty())
            .take(3)
            .collect();
        assert!(
            top.to_lowercase().contains(&name.to_lowercase()),
            "page {page} does not begin with {name}: {top}"
        );
    }
}

/// `10. Day 6: On the scales, and over   Wednesday 2031-05-07    48` is `Day 6` on page 48.
fn part(line: &str) -> Option<(&str, usize)> {
    let (number, rest) = line.trim().split_once(". ")?;
    number.parse::<usize>().ok()?;
    let (name, page) = rest.trim().rsplit_once(' ')?;
    Some((name.split([':', ',']).next()?.trim(), page.parse().ok()?))
}

/// The words of the cover and of the hold list that paper must have.
fn words_of(book: &Path) -> Vec<String> {
    let text = std::fs::read_to_string(book).expect("the whole book");
    let sections = ["id=\"cover\"", "id=\"hold\""].map(|id| {
        let after = text.split_once(id).expect("the section is there").1;
        after
            .split_once("</section>\n\n")
            .map_or(after, |(inside, _)| inside)
            .to_owned()
    });
    let [cover, hold] = sections;
    let title = between(&cover, "<h1 class=\"over\">", "</h1>");
    let standing = between(&cover, "<p class=\"standing-line\">", "</p>");
    let lines = between(&hold, "<td class=\"title\">", "</td>");
    let found: Vec<String> = [title, standing, lines].concat();
    assert!(found.len() > 2, "{found:?}");
    found
}

/// The texts between two marks, without tags.
fn between(html: &str, begins: &str, ends: &str) -> Vec<String> {
    let pieces = html
        .split(begins)
        .skip(1)
        .filter_map(|rest| rest.split_once(ends));
    let plain = |piece: &str| {
        let texts: Vec<&str> = piece
            .split('<')
            .map(|part| part.split_once('>').map_or(part, |(_, text)| text))
            .collect();
        texts[..texts.len().min(2)]
            .concat()
            .replace("&#39;", "'")
            .replace("&amp;", "&")
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    pieces
        .map(|(piece, _)| plain(piece))
        .filter(|text| !text.is_empty())
        .collect()
}
