//! The wall, looked at: pages change by themselves, keep their place, and say so when they are no
//! longer current.
#![allow(clippy::disallowed_methods, reason = "a test writes a book of its own")]

mod hung;
mod screen;

use fantoccini::key::Key;
use hung::Hung;
use shimbook_in_a_browser::{Look, Page, accessibility, in_browser, layout};

const ARCH: &str = "document.querySelector('tr.holds')?.textContent";

/// The day with the arch on it, open at a width.
async fn arch(page: &Page, hung: &Hung, width: u32) {
    page.open(&hung.address("days/day-01.html"), Look::at(width))
        .await;
    page.until("document.querySelector('tr.holds')").await;
}

#[test]
fn a_saved_reading_turns_its_verdict_and_the_page_keeps_its_place() {
    in_browser(async move |page| {
        let hung = Hung::new();
        arch(&page, &hung, 1280).await;
        assert!(page.scroll(700.0).await > 300.0);
        let read =
            "Math.round([...document.querySelectorAll('.log p')][20].getBoundingClientRect().top)";
        let before = page.script::<f64>(&format!("return {read}")).await;
        page.until(&format!(
            "{ARCH}?.includes('in limits') && !{ARCH}?.includes('out of')"
        ))
        .await;
        hung.save("days/day-01.md", |text| {
            text.replace("27 ± 1 mm", "21 ± 1 mm")
        });
        page.until(&format!("{ARCH}?.includes('out of limits')"))
            .await;
        let after = page.script::<f64>(&format!("return {read}")).await;
        assert!((after - before).abs() <= 2.0, "{before} {after}");
        page.screenshot("wall-after-a-save").await;
    });
}

#[test]
fn details_that_were_opened_stay_open() {
    in_browser(async move |page| {
        let hung = Hung::new();
        page.open(&hung.address("as-built.html"), Look::at(1280))
            .await;
        page.click("#value-arch_gap details summary").await;
        hung.save("days/day-01.md", |text| {
            text.replace("27 ± 1 mm", "21 ± 1 mm")
        });
        page.until(
            "document.querySelector('#value-arch_gap').textContent.includes('out of limits')",
        )
        .await;
        assert!(
            page.script::<bool>("return document.querySelector('#value-arch_gap details').open")
                .await
        );
    });
}

#[test]
fn what_is_looked_for_and_how_a_table_is_ordered_outlast_a_save() {
    in_browser(async move |page| {
        let hung = Hung::new();
        page.open(&hung.address("jobs.html"), Look::at(1280)).await;
        page.until("document.querySelector('table.fitted th:nth-child(4) button')")
            .await;
        page.click("table.fitted th:nth-child(4) button").await;
        page.click("#sift-jobs").await;
        page.keys("arch").await;
        page.until("document.getElementById('sift-jobs-count').textContent === '1 of 2 shown'")
            .await;
        page.click("#find-words").await;
        page.keys("tray").await;
        page.until("document.querySelector('#found a')").await;
        hung.save("days/day-02.md", |text| {
            text + "- [ ] Hang the tray cover {cover_in, takes 1 h}\n"
        });
        page.until("document.getElementById('sift-jobs-count').textContent === '1 of 3 shown'")
            .await;
        page.until("document.querySelectorAll('#found a').length > 1")
            .await;
        let kept = "return [document.querySelector('th[aria-sort=ascending]')?.textContent,
            document.getElementById('find-words').value, document.activeElement.id]";
        assert_eq!(
            page.script::<[String; 3]>(kept).await,
            ["Takes", "tray", "find-words"]
        );
    });
}

#[test]
fn lines_that_come_in_above_do_not_move_what_is_being_read() {
    in_browser(async move |page| {
        let hung = Hung::new();
        arch(&page, &hung, 1280).await;
        page.script::<()>("document.querySelector('tr.holds').scrollIntoView({block: 'start', behavior: 'instant'})")
            .await;
        let top = "Math.round(document.querySelector('tr.holds').getBoundingClientRect().top)";
        let before = page.script::<f64>(&format!("return {top}")).await;
        hung.save("days/day-01.md", |text| {
            text.replace("# Arch\n", "# Arch\n\nOne line more.\n\nAnd one.\n")
        });
        page.until("document.body.textContent.includes('One line more.')")
            .await;
        let after = page.script::<f64>(&format!("return {top}")).await;
        assert!((after - before).abs() <= 2.0, "{before} {after}");
    });
}

#[test]
fn the_error_band_comes_with_a_bad_save_and_goes_with_the_next_good_one() {
    in_browser(async move |page| {
        let hung = Hung::new();
        arch(&page, &hung, 390).await;
        page.until("document.querySelector('#band')?.textContent === ''")
            .await;
        hung.save("days/day-01.md", |text| {
            text.replace("27 ± 1 mm", "27 ± 1 bananas")
        });
        page.until(
            "document.querySelector('#band')?.textContent.includes('days/day-01.md, line 9')",
        )
        .await;
        assert_eq!(layout(&page).await, Vec::<String>::new());
        page.screenshot("wall-with-an-error").await;
        hung.save("days/day-01.md", |text| {
            text.replace("27 ± 1 bananas", "27 ± 1 mm")
        });
        page.until("document.querySelector('#band')?.textContent === ''")
            .await;
    });
}

#[test]
fn a_lost_connection_says_treat_as_on_hold_and_comes_back_by_itself() {
    in_browser(async move |page| {
        let mut hung = Hung::new();
        page.open(&hung.address(""), Look::at(1280)).await;
        page.until("document.querySelector('.clear') && document.getElementById('not-current')?.textContent === ''")
            .await;
        hung.cut();
        page.until("document.getElementById('not-current').textContent.startsWith('Not current: treat as on hold.')")
            .await;
        page.until("/Last good read \\d\\d:\\d\\d:\\d\\d/.test(document.getElementById('not-current').textContent)")
            .await;
        let clear = "getComputedStyle(document.querySelector('.clear')).display";
        assert_eq!(
            page.script::<String>(&format!("return {clear}")).await,
            "none"
        );
        page.screenshot("wall-cut-off").await;
        hung.save("days/day-02.md", |text| text + "\nWritten while cut off.\n");
        hung.mend();
        page.until("document.getElementById('not-current')?.textContent === ''")
            .await;
        page.until(&format!("{clear} !== 'none'")).await;
    });
}

#[test]
fn a_folder_that_vanishes_is_said_and_its_return_too() {
    in_browser(async move |page| {
        let hung = Hung::new();
        arch(&page, &hung, 1280).await;
        hung.take_away();
        page.until("document.getElementById('not-current').textContent.includes('cannot be read')")
            .await;
        hung.bring_back();
        page.until("document.getElementById('not-current')?.textContent === ''")
            .await;
    });
}

#[test]
fn a_day_that_is_deleted_says_so_and_its_return_too() {
    in_browser(async move |page| {
        let hung = Hung::new();
        page.open(&hung.address("days/day-02.html"), Look::at(1280))
            .await;
        page.until("document.getElementById('not-current')?.textContent === ''")
            .await;
        let text = hung.delete("days/day-02.md");
        page.until(
            "document.getElementById('not-current').textContent.includes('no longer in the book')",
        )
        .await;
        hung.save("days/day-02.md", |_| text.clone());
        page.until("document.getElementById('not-current')?.textContent === ''")
            .await;
    });
}

#[test]
fn with_the_keyboard_alone_the_reader_goes_from_day_to_day_and_a_save_leaves_the_focus() {
    in_browser(async move |page| {
        let hung = Hung::new();
        arch(&page, &hung, 1280).await;
        page.until("document.getElementById('not-current')?.textContent === ''")
            .await;
        let focus = "document.activeElement.getAttribute('href')";
        for _ in 0..40 {
            page.keys(&char::from(Key::Tab).to_string()).await;
            if page
                .script::<Option<String>>(&format!("return {focus}"))
                .await
                .as_deref()
                == Some("../days/day-02.html")
            {
                break;
            }
        }
        hung.save("days/day-01.md", |text| {
            text.replace("27 ± 1 mm", "21 ± 1 mm")
        });
        page.until(&format!("{ARCH}?.includes('out of limits')"))
            .await;
        assert_eq!(
            page.script::<String>(&format!("return {focus}")).await,
            "../days/day-02.html"
        );
        page.keys(&char::from(Key::Enter).to_string()).await;
        page.until("location.pathname.endsWith('/days/day-02.html')")
            .await;
    });
}

#[test]
fn the_shop_screen_shows_all_that_fits_turns_the_rest_and_turns_to_what_changed() {
    in_browser(async move |page| {
        let hung = Hung::new();
        page.open(&hung.address("wall.html"), Look::at(1920)).await;
        page.until("document.querySelector('.turn.up')").await;
        assert_eq!(page.text("#turned").await, "");
        page.screenshot("shop-screen").await;
        hung.save("days/day-02.md", |text| {
            (1..=30).fold(text, |text, job| {
                format!("{text}- [ ] Job number {job} {{job_{job}, by Ines, takes 1 h}}\n")
            })
        });
        page.until("document.getElementById('turned').textContent.startsWith('leaf 1 of ')")
            .await;
        assert_eq!(
            page.text(".turn.up h2").await.to_lowercase(),
            "changed with the last save"
        );
        let inside = "[...document.querySelectorAll('.turn.up li.up')].every(e => e.getBoundingClientRect().bottom <= document.getElementById('main').getBoundingClientRect().bottom + 1)";
        assert!(page.script::<bool>(&format!("return {inside}")).await);
        let high = "Math.min(...[...document.querySelectorAll('.turn.up li')].map(e => parseFloat(getComputedStyle(e).fontSize)))";
        assert!(
            page.script::<f64>(&format!("return {high}")).await >= 40.0,
            "readable from four metres"
        );
        page.screenshot("shop-screen-after-a-save").await;
        page.keys(&char::from(Key::Right).to_string()).await;
        page.until("document.getElementById('turned').textContent.startsWith('leaf 2 of ')")
            .await;
        assert!(page.script::<bool>(&format!("return {inside}")).await);
        page.until("document.getElementById('turned').textContent.startsWith('leaf 3 of ')")
            .await;
    });
}

#[test]
fn the_walls_pages_have_no_fault_that_can_be_seen_or_heard() {
    in_browser(async move |page| {
        let hung = Hung::new();
        hung.save("days/day-01.md", |text| {
            text.replace("27 ± 1 mm", "27 ± 1 bananas")
        });
        for (path, width) in [
            ("wall.html", 1920),
            ("wall.html", 390),
            ("", 390),
            ("days/day-01.html", 1280),
        ] {
            for look in [Look::at(width), Look::at(width).dark()] {
                page.open(&hung.address(path), look).await;
                page.until("document.getElementById('not-current')?.textContent === '' && document.querySelector('#band')?.textContent").await;
                assert_eq!(
                    layout(&page).await,
                    Vec::<String>::new(),
                    "{path} {}",
                    look.name()
                );
                if let Some(found) = accessibility(&page).await {
                    assert_eq!(found, Vec::<String>::new(), "{path} {}", look.name());
                }
                page.screenshot(&format!(
                    "wall-{}-{}",
                    path.replace(['/', '.'], "-"),
                    look.name()
                ))
                .await;
            }
        }
    });
}

#[test]
fn a_page_that_is_opened_before_the_book_can_be_read_comes_by_itself() {
    in_browser(async move |page| {
        let hung = Hung::missing();
        page.open(&hung.address("wall.html"), Look::at(1280)).await;
        page.until("document.body.textContent.includes('treat the vehicle as on hold')")
            .await;
        hung.bring_back();
        page.until("document.querySelector('.screen .clear')").await;
    });
}
