//! The search line and the long tables, from a folder, by keyboard only.
//!
//! Pictures of them in use are kept in `target/browser/search/`.

use fantoccini::key::Key;
use shimbook_in_a_browser::{
    Look, Page, accessibility, file_url, handed, in_browser, layout, record, skipped,
};

const WIDTHS: [u32; 3] = [390, 1280, 1920];
const COUNT: &str = "return document.getElementById('find-count').textContent";

fn key(key: Key) -> String {
    char::from(key).to_string()
}

/// Presses F, writes words, and waits until something is said about them.
async fn look_for(page: &Page, words: &str) -> String {
    // A browser without a window may not be the one that has the focus.
    page.devtools(
        "Emulation.setFocusEmulationEnabled",
        serde_json::json!({"enabled": true}),
    )
    .await;
    page.until("document.hasFocus() && document.getElementById('find-words').checkVisibility()")
        .await;
    page.keys("f").await;
    page.until("document.activeElement.id === 'find-words'")
        .await;
    page.keys(words).await;
    page.until("document.getElementById('find-count').textContent !== ''")
        .await;
    page.script(COUNT).await
}

/// The rows that are shown, by the text of one column.
async fn shown(page: &Page, table: &str, column: usize) -> Vec<String> {
    let body = "return [...document.querySelector(`table[data-sift=${arguments[0]}]`).tBodies[0].rows]
        .filter(row => row.checkVisibility()).map(row => row.cells[arguments[1]].dataset.sort ?? row.cells[arguments[1]].innerText)";
    page.script_with(body, vec![table.into(), column.into()])
        .await
}

async fn is_sound(page: &Page, what: &str) {
    let mut found = layout(page).await;
    match accessibility(page).await {
        Some(more) => found.extend(more),
        None => skipped("axe-core is not there: npm ci in tests/browser"),
    }
    assert!(found.is_empty(), "{what}:\n{}", found.join("\n"));
}

/// Finds a job from the cover and goes to its line without touching anything but keys.
async fn find_and_jump(page: &Page, cover: &str) {
    page.open(cover, Look::at(1280)).await;
    let told = look_for(page, "battery tray").await;
    assert!(told.ends_with("found"), "{told}");
    let first: String = page
        .script("return document.querySelector('#found a').innerText")
        .await;
    assert!(first.to_lowercase().contains("battery tray"), "{first}");
    page.keys(&key(Key::Down)).await;
    assert!(
        page.script::<bool>("return document.activeElement.matches('#found li:first-child a')")
            .await
    );
    let to: String = page.script("return document.activeElement.href").await;
    page.keys(&key(Key::Enter)).await;
    page.until("document.querySelector(':target')").await;
    assert_eq!(page.script::<String>("return location.href").await, to);
    assert!(
        page.script::<bool>("return document.querySelector(':target').checkVisibility()")
            .await
    );
}

#[test]
fn a_job_is_found_from_a_folder_and_jumped_to_by_keys_alone() {
    let (written, outside) = (record("paper"), handed("audience"));
    in_browser(async move |page| {
        find_and_jump(&page, &file_url(&written.join("index.html"))).await;
        find_and_jump(&page, &file_url(&outside.join("index.html"))).await;
        find_and_jump(&page, &file_url(&outside.join("days/day-03.html"))).await;
    });
}

#[test]
fn every_kind_of_thing_is_found_and_every_hit_leads_to_a_place() {
    let written = record("paper");
    in_browser(async move |page| {
        page.open(&file_url(&written.join("days/day-02.html")), Look::at(1280))
            .await;
        for (words, kind) in [
            ("arch_gap", "VALUE"),
            ("drive_motor", "PART"),
            ("Odd swept seven", "LOG"),
            ("shell up", "DAY"),
            ("tray", "JOB"),
        ] {
            look_for(&page, words).await;
            let kinds: Vec<String> = page
                .script(
                    "return [...document.querySelectorAll('#found .lbl')].map(e => e.innerText)",
                )
                .await;
            assert!(
                kinds.iter().any(|found| found == kind),
                "{words}: {kinds:?}"
            );
            page.keys(&key(Key::Escape)).await;
            assert_eq!(page.script::<String>(COUNT).await, "");
            page.keys(&key(Key::Escape)).await;
        }
        assert_eq!(look_for(&page, "zzqx").await, "Nothing found");
        let told = {
            page.keys(&key(Key::Escape)).await;
            page.keys("the").await;
            page.until("document.querySelector('#found li')").await;
            page.script::<String>(COUNT).await
        };
        assert!(told.starts_with("40 of "), "{told}");
    });
}

#[test]
fn the_list_of_what_is_found_is_sound_at_every_width() {
    let written = record("paper");
    in_browser(async move |page| {
        for look in WIDTHS
            .into_iter()
            .flat_map(|width| [Look::at(width), Look::at(width).dark()])
        {
            page.open(&file_url(&written.join("jobs.html")), look).await;
            look_for(&page, "motor").await;
            page.screenshot(&format!("search/found-{}", look.name()))
                .await;
            is_sound(&page, &look.name()).await;
        }
    });
}

#[test]
fn without_scripts_there_is_no_search_line_and_no_button_that_does_nothing() {
    let written = record("paper");
    in_browser(async move |page| {
        for path in [
            "jobs.html",
            "ledger.html",
            "as-built.html",
            "days/day-01.html",
        ] {
            page.open(
                &file_url(&written.join(path)),
                Look::at(1280).without_scripts(),
            )
            .await;
            let there: usize = page.script("return [...document.querySelectorAll('input:not([disabled]),button,select')].filter(e => e.checkVisibility()).length").await;
            assert_eq!(there, 0, "{path}");
        }
    });
}

/// Orders a table by a column: up, down, as it was.
async fn order_by(page: &Page, table: &str, column: usize) {
    let before = shown(page, table, column).await;
    let head = format!(
        "table[data-sift={table}] th:nth-child({}) button",
        column + 1
    );
    let sorts = format!("return document.querySelector({head:?}).parentElement.ariaSort");
    page.tab_to(&head).await;
    for turned in ["ascending", "descending", "none"] {
        page.keys(&key(Key::Enter)).await;
        assert_eq!(page.script::<String>(&sorts).await, turned);
        let now = shown(page, table, column).await;
        match turned {
            "none" => assert_eq!(now, before),
            _ => assert!(
                in_order(&now, turned == "descending"),
                "{table} {column} {turned}: {now:?}"
            ),
        }
    }
}

/// Numbers by their size within a unit, what is empty last.
fn in_order(cells: &[String], down: bool) -> bool {
    let filled = cells.iter().take_while(|cell| !cell.is_empty()).count();
    let keys: Vec<(String, f64)> = cells
        .iter()
        .take(filled)
        .filter_map(|cell| {
            let (figure, unit) = cell.split_once(' ').unwrap_or((cell, ""));
            Some((unit.to_owned(), figure.parse().ok()?))
        })
        .collect();
    let pairs = keys.windows(2).filter(|two| two[0].0 == two[1].0);
    let right = |two: &[(String, f64)]| {
        if down {
            two[0].1 >= two[1].1
        } else {
            two[0].1 <= two[1].1
        }
    };
    filled > 3
        && keys.len() > 3
        && cells[filled..].iter().all(String::is_empty)
        && pairs.into_iter().all(right)
}

#[test]
fn long_tables_are_ordered_by_number_with_keys_alone() {
    let written = record("paper");
    in_browser(async move |page| {
        for (path, table, columns) in [
            ("jobs.html", "jobs", [1, 3, 4]),
            ("ledger.html", "parts", [3, 4, 3]),
            ("as-built.html", "values", [1, 1, 1]),
        ] {
            page.open(&file_url(&written.join(path)), Look::at(1280))
                .await;
            for column in columns {
                order_by(&page, table, column).await;
            }
        }
    });
}

#[test]
fn long_tables_are_sifted_by_words_and_by_the_columns_own_choices() {
    let written = record("paper");
    in_browser(async move |page| {
        for (path, table, pick, word) in [
            ("jobs.html", "jobs", 5, "dropped"),
            ("ledger.html", "parts", 1, "sent back"),
            ("as-built.html", "values", 4, "in limits"),
        ] {
            page.open(&file_url(&written.join(path)), Look::at(1280))
                .await;
            let all = shown(&page, table, 0).await.len();
            let count = format!("return document.getElementById('sift-{table}-count').textContent");
            assert_eq!(
                page.script::<String>(&count).await,
                format!("{all} of {all} shown")
            );
            page.tab_to(&format!("#sift-{table}")).await;
            page.keys("zzqx").await;
            assert_eq!(
                page.script::<String>(&count).await,
                format!("0 of {all} shown")
            );
            page.keys(&key(Key::Backspace).repeat(4)).await;
            page.tab_to(&format!("#sift-{table}-{pick}")).await;
            page.keys(word).await;
            page.until(&format!(
                "document.getElementById('sift-{table}-{pick}').value === {word:?}"
            ))
            .await;
            let left = shown(&page, table, pick).await;
            assert!(
                !left.is_empty() && left.len() < all && left.iter().all(|cell| cell.contains(word)),
                "{path}: {left:?}"
            );
            page.screenshot(&format!("search/sifted-{table}")).await;
            is_sound(&page, path).await;
            // On paper all rows stand as they were written.
            page.script::<()>("dispatchEvent(new Event('beforeprint'))")
                .await;
            page.as_printed(true).await;
            assert_eq!(shown(&page, table, 0).await.len(), all, "{path}");
            page.as_printed(false).await;
        }
    });
}

#[test]
fn a_row_that_is_sifted_out_comes_back_when_something_leads_to_it() {
    let written = record("paper");
    in_browser(async move |page| {
        page.open(&file_url(&written.join("ledger.html")), Look::at(1280))
            .await;
        page.tab_to("#sift-parts").await;
        page.keys("zzqx").await;
        page.script::<()>("document.activeElement.blur()").await;
        look_for(&page, "drive_motor").await;
        page.keys(&key(Key::Enter)).await;
        page.until("document.querySelector(':target') && document.querySelector(':target').checkVisibility()").await;
    });
}
