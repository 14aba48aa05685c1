//! Every kind of page of the example book, as a reader sees it: both themes, three widths, light
//! and dark.
//!
//! Pictures of all of them are kept in `target/browser/THEME/`.

use std::path::Path;
use std::process::Command;

use shimbook_in_a_browser::{
    Look, Page, accessibility, file_url, in_browser, layout, overlaps, program, record, skipped,
};

const WIDTHS: [u32; 3] = [390, 1280, 1920];

/// A page of each kind, and the days that show most.
const PAGES: [&str; 10] = [
    "index.html",
    "days/day-01.html",
    "days/day-04.html",
    "days/day-06.html",
    "days/day-08.html",
    "jobs.html",
    "ledger.html",
    "as-built.html",
    "hold.html",
    "methods.html",
];

fn looks() -> impl Iterator<Item = Look> {
    WIDTHS
        .into_iter()
        .flat_map(|width| [Look::at(width), Look::at(width).dark()])
}

/// Opens every page in every look, keeps its picture, and gives what is wrong with it, folded parts
/// opened.
async fn look_at_all(page: &Page, theme: &str, record: &Path) -> Vec<String> {
    let mut faults = Vec::new();
    for path in PAGES {
        for look in looks() {
            page.open(&file_url(&record.join(path)), look).await;
            let name = format!(
                "{theme}/{}-{}",
                path.trim_end_matches(".html").replace('/', "-"),
                look.name()
            );
            page.screenshot(&name).await;
            page.script::<()>(
                "document.querySelectorAll('details').forEach(folded => { folded.open = true })",
            )
            .await;
            faults.extend(
                faults_of(page)
                    .await
                    .into_iter()
                    .map(|fault| format!("{name}: {fault}")),
            );
        }
    }
    faults
}

async fn faults_of(page: &Page) -> Vec<String> {
    let mut found = layout(page).await;
    found.extend(overlaps(page).await);
    match accessibility(page).await {
        Some(more) => found.extend(more),
        None => skipped("axe-core is not there: npm ci in tests/browser"),
    }
    found
}

fn holds(theme: &'static str) {
    let written = record(theme);
    in_browser(async move |page| {
        let faults = look_at_all(&page, theme, &written).await;
        assert!(
            faults.is_empty(),
            "{} faults\n{}",
            faults.len(),
            faults.join("\n")
        );
    });
}

#[test]
fn nothing_is_cut_off_overlaps_or_is_hard_to_read_in_paper() {
    holds("paper");
}

#[test]
fn nothing_is_cut_off_overlaps_or_is_hard_to_read_in_apron() {
    holds("apron");
}

#[test]
fn a_long_table_has_its_head_on_every_page_of_paper() {
    let Some(to_text) = program("pdftotext") else {
        return skipped("pdftotext is not installed");
    };
    let written = record("paper");
    in_browser(async move |page| {
        page.open(&file_url(&written.join("as-built.html")), Look::at(1280))
            .await;
        let pdf = page.pdf("paper/as-built").await;
        let text = Command::new(&to_text)
            .arg("-layout")
            .arg(&pdf)
            .arg("-")
            .output()
            .expect("pdftotext runs");
        let text = String::from_utf8_lossy(&text.stdout).into_owned();
        let pages: Vec<&str> = text.split_terminator('\u{c}').collect();
        assert!(pages.len() > 5, "{} pages", pages.len());
        for (number, page) in pages.iter().enumerate() {
            assert!(
                page.to_uppercase().contains("COMES TO"),
                "page {} has no head",
                number + 1
            );
        }
    });
}

#[test]
fn every_page_reads_the_same_with_scripts_forbidden() {
    // What sifts and orders long tables comes with the script.
    const READ: &str = "document.querySelectorAll('.sift').forEach(tools => tools.remove());
        return document.querySelector('main').textContent.replace(/\\s+/g, '')";
    let written = record("paper");
    in_browser(async move |page| {
        for path in PAGES {
            let address = file_url(&written.join(path));
            page.open(&address, Look::at(1280)).await;
            let with: String = page.script(READ).await;
            page.open(&address, Look::at(1280).without_scripts()).await;
            assert_eq!(with, page.script::<String>(READ).await, "{path}");
            assert!(with.len() > 200, "{path} says something");
        }
    });
}
