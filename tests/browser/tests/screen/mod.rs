//! The shop screen shows all there is: no row is missing, none is cut off, and nothing old looks
//! current.

use serde::Deserialize;
use serde_json::json;
use shimbook_in_a_browser::{Look, Page, accessibility, in_browser, layout};

use crate::hung::Hung;

/// The sizes of window that the screen is made for.
const SIZES: [(u32, u32); 5] = [
    (1920, 1080),
    (1280, 720),
    (1024, 768),
    (1280, 577),
    (390, 844),
];

/// What can be read on the screen, leaf by leaf.
#[derive(Debug, Deserialize)]
struct Seen {
    leaves: Vec<Vec<String>>,
    faults: Vec<String>,
}

impl Seen {
    fn rows(&self) -> Vec<&str> {
        self.leaves.iter().flatten().map(String::as_str).collect()
    }
}

fn size((width, height): (u32, u32)) -> Look {
    Look::at(width).high(height)
}

/// Walks through the leaves; no row is missing, on two leaves or cut off.
async fn seen(page: &Page) -> Seen {
    let seen: Seen = page.script(include_str!("leaves.js")).await;
    assert_eq!(seen.faults, Vec::<String>::new());
    seen
}

/// A book with so many hold checks out of limits, other checks out of limits, and lines in error.
fn hung(theme: &str, holds: usize, others: usize, errors: usize) -> Hung {
    let hung = Hung::in_theme(theme);
    let hold = |n: usize| format!("gap_{n} measured 21 ± 1 mm\ngap_{n} at least 25 mm, hold\n");
    let other = |n: usize| format!("play_{n} measured 6.0 ± 0.1 mm\nplay_{n} at most 5 mm\n");
    let error = |n: usize| format!("length_{n} measured 27 ± 1 bananas\n");
    let lines: Vec<String> = (1..=errors)
        .map(error)
        .chain((1..=others).map(other))
        .chain((1..=holds).map(hold))
        .collect();
    hung.save("days/day-02.md", |text| {
        format!("{text}\n```sums\n{}```\n", lines.concat())
    });
    hung
}

/// Opens the screen, and waits until it shows the book as it was saved.
async fn open(page: &Page, hung: &Hung, look: Look, errors: usize) {
    page.open(&hung.address("wall.html"), look).await;
    current(page).await;
    let band = if errors == 0 {
        "!document.querySelector('#band')?.textContent".to_owned()
    } else {
        format!("document.querySelector('#band')?.textContent.startsWith('{errors} error')")
    };
    page.until(&band).await;
}

async fn current(page: &Page) {
    page.until(
        "document.getElementById('not-current')?.textContent === '' && !document.documentElement.matches('.stale')",
    )
    .await;
}

async fn lost(page: &Page) {
    page.until("document.getElementById('not-current')?.textContent.includes('Last good read')")
        .await;
}

#[test]
fn every_row_is_on_exactly_one_leaf_and_none_is_cut_off_at_any_size() {
    in_browser(async move |page| {
        for theme in ["paper", "apron"] {
            for (holds, errors) in [(0, 0), (1, 1), (12, 5)] {
                let hung = hung(theme, holds, 3, errors);
                for at in SIZES {
                    for look in [size(at), size(at).dark()] {
                        open(&page, &hung, look, errors).await;
                        let name = format!("screen/{theme}-{holds}-{errors}-{}", look.name());
                        page.screenshot(&name).await;
                        assert_eq!(layout(&page).await, Vec::<String>::new(), "{name}");
                        let seen = seen(&page).await;
                        let on_hold = seen.rows().iter().filter(|row| row.contains("gap")).count();
                        assert!(on_hold >= holds, "{name}: {seen:?}");
                    }
                }
                if let Some(found) = accessibility(&page).await {
                    assert_eq!(found, Vec::<String>::new(), "{theme} {holds} {errors}");
                }
            }
        }
    });
}

#[test]
fn the_leaves_are_the_same_after_a_lost_connection_came_back() {
    in_browser(async move |page| {
        for at in SIZES {
            let mut hung = hung("paper", 12, 3, 1);
            open(&page, &hung, size(at), 1).await;
            let before = seen(&page).await.leaves;
            hung.cut();
            lost(&page).await;
            page.screenshot(&format!("screen/lost-{}", size(at).name()))
                .await;
            let meanwhile = seen(&page).await;
            assert_eq!(
                meanwhile
                    .rows()
                    .iter()
                    .filter(|row| row.contains("gap"))
                    .count(),
                12,
                "{meanwhile:?}"
            );
            hung.mend();
            current(&page).await;
            page.until("true").await;
            assert_eq!(seen(&page).await.leaves, before, "{at:?}");
        }
    });
}

#[test]
fn the_leaves_depend_on_content_and_size_only() {
    in_browser(async move |page| {
        let hung = hung("paper", 12, 3, 1);
        open(&page, &hung, size((1280, 720)), 1).await;
        let before = seen(&page).await.leaves;
        for at in SIZES {
            page.resize(size(at)).await;
            page.script::<()>("return new Promise(done => setTimeout(() => done(null), 150))")
                .await;
            seen(&page).await;
        }
        page.resize(size((1280, 720))).await;
        page.script::<()>("return new Promise(done => setTimeout(() => done(null), 150))")
            .await;
        assert_eq!(seen(&page).await.leaves, before);
        // Letters that come late are wider and higher than those that stood in for them.
        let late = "document.adoptedStyleSheets = [Object.assign(new CSSStyleSheet())];
            document.adoptedStyleSheets[0].replaceSync('body{font-family:monospace;line-height:1.6}');
            return new Promise(done => setTimeout(() => done(null), 150))";
        page.script::<()>(late).await;
        seen(&page).await;
        page.script::<()>(
            "document.adoptedStyleSheets = []; return new Promise(done => setTimeout(() => done(null), 150))",
        )
        .await;
        assert_eq!(seen(&page).await.leaves, before);
        hung.save("days/day-02.md", |text| {
            text.replace("play_1 measured 6.0", "play_1 measured 6.1")
        });
        page.until("document.getElementById('main').textContent.includes('6.1')")
            .await;
        let after = seen(&page).await;
        assert_eq!(
            after
                .rows()
                .iter()
                .filter(|row| row.starts_with("gap"))
                .count(),
            12,
            "{after:?}"
        );
    });
}

#[test]
fn the_error_band_shows_count_place_and_remedy_in_full_at_every_size() {
    in_browser(async move |page| {
        for errors in [1, 5] {
            let hung = hung("paper", 1, 0, errors);
            for at in SIZES {
                open(&page, &hung, size(at), errors).await;
                let band = page.text("#band").await.to_lowercase();
                let count = if errors == 1 {
                    "1 error in the book"
                } else {
                    "5 errors in the book"
                };
                for wanted in [count, "days/day-02.md, line 9", "bananas", "mm"] {
                    assert!(band.contains(wanted), "{at:?}: {wanted}: {band}");
                }
                if errors > 1 {
                    let more = [
                        "and 4 more",
                        "days/day-02.md, line 10",
                        "days/day-02.md, line 12",
                        "cover",
                    ];
                    assert!(
                        more.iter().all(|words| band.contains(words)),
                        "{at:?}: {band}"
                    );
                }
                let whole = "const band = document.querySelector('#band'), box = band.getBoundingClientRect();
                    return box.top >= 0 && band.scrollHeight <= band.clientHeight + 1 && (innerWidth < 900 || box.bottom <= document.getElementById('main').getBoundingClientRect().top + 1)";
                assert!(page.script::<bool>(whole).await, "{at:?}");
            }
        }
    });
}

#[test]
fn hold_lines_come_first_and_are_not_repeated_among_the_checks() {
    in_browser(async move |page| {
        let hung = hung("paper", 2, 2, 0);
        open(&page, &hung, size((1920, 1080)), 0).await;
        let sections = "return [...document.querySelectorAll('.turn:not([hidden])')].map(section =>
            [section.querySelector('h2').textContent, ...[...section.querySelectorAll('li b')].map(name => name.textContent)])";
        let sections = page.script::<Vec<Vec<String>>>(sections).await;
        assert_eq!(sections[0], ["On hold", "gap_1", "gap_2"]);
        let checks = sections
            .iter()
            .find(|section| section[0].contains("checks"))
            .unwrap();
        assert_eq!(checks[1..], ["play_1", "play_2"]);
        let held = page.text(".turn li").await;
        assert!(
            held.contains("21 ± 1")
                && held.contains("at least 25 mm")
                && held.contains("out of limits"),
            "{held}"
        );
    });
}

#[test]
fn what_is_found_stands_beside_the_name_it_belongs_to() {
    in_browser(async move |page| {
        let hung = hung("paper", 2, 2, 0);
        open(&page, &hung, size((1920, 1080)), 0).await;
        let apart = "return [...document.querySelectorAll('.turn li')].filter(row => row.checkVisibility()).map(row => {
            const end = range => { range.selectNodeContents(row.querySelector('b')); return [...range.getClientRects()].at(-1); };
            const name = end(document.createRange()), next = row.querySelector('b + span').getClientRects()[0];
            return next.top < name.bottom ? next.left - name.right : 0; })";
        let apart = page.script::<Vec<f64>>(apart).await;
        assert!(
            !apart.is_empty() && apart.iter().all(|gap| *gap < 1920.0 / 20.0),
            "{apart:?}"
        );
    });
}

#[test]
fn no_letter_is_too_small_for_four_metres_and_the_title_is_not_the_longest_line() {
    in_browser(async move |page| {
        let hung = hung("paper", 1, 2, 1);
        hung.save("build-sheet.yaml", |text| {
            text.replace(
                "Kittiwake",
                "Kittiwake, the long one with the second seat and the tray behind it",
            )
        });
        for at in [(1920, 1080), (1280, 720), (1280, 577)] {
            open(&page, &hung, size(at), 1).await;
            page.until("document.querySelector('h1').textContent.includes('tray behind')")
                .await;
            let smallest = "return Math.min(...[...document.querySelectorAll('#page *')].filter(e => e.checkVisibility() &&
                [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())).map(e => parseFloat(getComputedStyle(e).fontSize)))";
            let smallest = page.script::<f64>(smallest).await;
            let wanted = (0.0165 * f64::from(at.0)).min(0.029 * f64::from(at.1));
            assert!(smallest >= wanted, "{at:?}: {smallest} px, wanted {wanted}");
            let title = "const r = document.createRange(); r.selectNodeContents(document.querySelector('h1')); return r.getBoundingClientRect().width";
            assert!(
                page.script::<f64>(title).await < f64::from(at.0) / 2.0,
                "{at:?}"
            );
        }
        let header = page.text("header").await;
        assert!(
            header.contains("6 days left") && header.contains("Day 2") && !header.contains("of 8"),
            "{header}"
        );
    });
}

/// Notes how long the page waits with each of its timers.
const NOTE_WAITS: &str = "window.waits = []; const own = window.setTimeout;
    window.setTimeout = (act, ms, ...more) => { window.waits.push(ms); return own(act, ms, ...more); };";

#[test]
fn a_round_of_leaves_takes_no_longer_than_people_wait() {
    in_browser(async move |page| {
        page.before_each_page(NOTE_WAITS).await;
        let hung = hung("paper", 4, 8, 0);
        hung.save("days/day-02.md", |text| {
            (1..=8).fold(text, |text, job| {
                format!("{text}- [ ] Job number {job} {{job_{job}, by Ines, takes 1 h}}\n")
            })
        });
        for at in [(1920, 1080), (1280, 720)] {
            open(&page, &hung, size(at), 0).await;
            page.until("document.getElementById('main').textContent.includes('Job number 8') && document.getElementById('turned').textContent").await;
            let leaves = page.script::<Seen>(include_str!("leaves.js")).await.leaves;
            let round = "const leaves = arguments[0], waits = [];
                for (let leaf = 0; leaf < leaves; leaf += 1) {
                    window.waits.length = 0;
                    document.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowRight', bubbles: true}));
                    waits.push(window.waits.at(-1));
                }
                return waits";
            let waits = page
                .script_with::<Vec<f64>>(round, vec![json!(leaves.len())])
                .await;
            assert!(
                waits.len() > 1 && waits.iter().sum::<f64>() <= 25_000.0,
                "{at:?}: {waits:?}"
            );
            assert!(
                waits.iter().all(|wait| *wait >= 3_000.0),
                "{at:?}: {waits:?}"
            );
        }
    });
}

/// Turns a leaf by hand; was a timer for the next one started?
const TURNS_ON: &str = "window.waits.length = 0;
    document.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowRight', bubbles: true}));
    return window.waits.length > 0";

#[test]
fn the_leaves_are_stopped_with_a_key_or_a_button_and_stay_stopped_over_a_save() {
    in_browser(async move |page| {
        page.before_each_page(NOTE_WAITS).await;
        let hung = hung("paper", 12, 12, 0);
        open(&page, &hung, size((1280, 720)), 0).await;
        page.until("document.getElementById('turned').textContent")
            .await;
        assert!(page.script::<bool>(TURNS_ON).await);
        assert!(page.text("#stop").await.starts_with("Stop the leaves"));
        page.keys(" ").await;
        page.until("document.getElementById('stop').textContent.startsWith('Turn the leaves')")
            .await;
        assert!(!page.script::<bool>(TURNS_ON).await);
        hung.save("days/day-02.md", |text| {
            text.replace("play_1 measured 6.0", "play_1 measured 6.1")
        });
        page.until("document.getElementById('main').textContent.includes('6.1')")
            .await;
        assert!(!page.script::<bool>(TURNS_ON).await);
        page.click("#stop").await;
        assert!(page.script::<bool>(TURNS_ON).await);
        page.open(&hung.address("wall.html"), size((1280, 720)).still())
            .await;
        page.until("document.getElementById('turned').textContent")
            .await;
        assert!(
            !page.script::<bool>(TURNS_ON).await,
            "a reader who asks for less motion turns the leaves"
        );
    });
}

#[test]
fn what_is_read_out_is_said_once_and_not_again_at_each_save() {
    in_browser(async move |page| {
        for path in ["wall.html", "days/day-01.html"] {
            let mut hung = hung("paper", 1, 1, 1);
            page.open(&hung.address(path), Look::at(1280)).await;
            current(&page).await;
            page.until("document.querySelector('#band')?.textContent")
                .await;
            let watch = "window.regions = [document.getElementById('not-current'), document.querySelector('#band')]; window.said = [0, 0];
                regions.forEach((region, n) => new MutationObserver(() => { said[n] += 1; }).observe(region, {childList: true, characterData: true, subtree: true, attributes: true}))";
            page.script::<()>(watch).await;
            hung.save("days/day-01.md", |text| {
                text.replace("# Arch\n", "# Arch and sill\n")
                    .replace("27 ± 1", "28 ± 1")
            });
            page.until("document.getElementById('page').textContent.includes('28 ± 1')")
                .await;
            let there = "return regions.every(region => region.isConnected) && said";
            assert_eq!(
                page.script::<serde_json::Value>(there).await,
                json!([0, 0]),
                "{path}"
            );
            hung.cut();
            lost(&page).await;
            // Two further attempts to connect say nothing new.
            page.script::<()>("return new Promise(done => setTimeout(() => done(null), 4500))")
                .await;
            assert_eq!(
                page.script::<serde_json::Value>(there).await,
                json!([1, 0]),
                "{path}"
            );
            hung.mend();
            current(&page).await;
            hung.save("days/day-02.md", |text| text.replace("bananas", "mm"));
            page.until("!document.querySelector('#band').textContent")
                .await;
            assert_eq!(
                page.script::<serde_json::Value>(there).await,
                json!([2, 1]),
                "{path}"
            );
        }
    });
}

#[test]
fn a_screen_that_is_not_current_shows_the_hold_lines_and_nothing_that_looks_current() {
    in_browser(async move |page| {
        for theme in ["paper", "apron"] {
            for at in SIZES {
                let mut hung = hung(theme, 1, 0, 0);
                open(&page, &hung, size(at), 0).await;
                assert!(
                    page.script::<bool>(
                        "return /\\d\\d:\\d\\d:\\d\\d/.test(document.getElementById('as-of').textContent)"
                    )
                    .await
                );
                hung.take_away();
                page.until(
                    "document.getElementById('not-current').textContent.includes('cannot be read')",
                )
                .await;
                old(&page, &format!("screen/{theme}-unread-{}", size(at).name())).await;
                hung.cut();
                page.until(
                    "document.getElementById('not-current').textContent.includes('connection')",
                )
                .await;
                old(&page, &format!("screen/{theme}-gone-{}", size(at).name())).await;
            }
        }
    });
}

async fn old(page: &Page, name: &str) {
    page.screenshot(name).await;
    let band = page.text("#not-current").await;
    assert!(
        band.starts_with("Not current: treat as on hold.") && band.contains("Last good read "),
        "{band}"
    );
    let seen = seen(page).await;
    assert!(seen.leaves[0][0].contains("gap_1"), "{name}: {seen:?}");
    let text = page
        .script::<String>("return document.getElementById('page').innerText")
        .await;
    for calm in [
        "As of",
        "has to be ordered",
        "is in limits",
        "Nothing is on the hold list",
    ] {
        assert!(!text.contains(calm), "{name}: {calm}: {text}");
    }
    assert_eq!(layout(page).await, Vec::<String>::new(), "{name}");
}
