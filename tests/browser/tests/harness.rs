//! What the other tests are written with, tried on pages made for it: a check that finds nothing
//! must be able to.

use std::path::PathBuf;

use shimbook_in_a_browser::{Look, accessibility, file_url, folder, in_browser, layout, overlaps};

/// A page with this body, in the folder of a test.
#[expect(clippy::disallowed_methods, reason = "a test writes its page")]
fn page_of(name: &str, body: &str) -> PathBuf {
    let path = folder().join(format!("{name}.html"));
    std::fs::create_dir_all(folder()).expect("made");
    std::fs::write(&path, format!("<!doctype html><html lang=en><meta name=viewport content=width=device-width><title>{name}</title><body>{body}")).expect("written");
    path
}

#[test]
fn what_is_too_wide_cut_off_or_too_small_to_touch_is_found() {
    let body = "<div style='width:900px'>wide</div><p style='width:3rem;height:1rem;overflow:hidden'>all of this</p>\
                <a href=x style='display:block;width:9px;height:9px'>x</a>";
    let path = page_of("faulty", body);
    in_browser(async move |page| {
        page.open(&file_url(&path), Look::at(390)).await;
        let found = layout(&page).await.join("\n");
        for fault in [
            "px wide in a window of 390",
            "wider than the page",
            "cut off below",
            "too small to touch",
        ] {
            assert!(found.contains(fault), "{fault} is not among\n{found}");
        }
    });
}

#[test]
fn texts_of_a_drawing_that_lie_on_one_another_or_leave_it_are_found() {
    let text = |x: u32, words: &str| format!("<text x={x} y=20>{words}</text>");
    let body = format!(
        "<svg width=200 height=40>{}{}{}</svg>",
        text(5, "one"),
        text(9, "two"),
        text(190, "three")
    );
    let path = page_of("overlapping", &body);
    in_browser(async move |page| {
        page.open(&file_url(&path), Look::at(1280)).await;
        let found = overlaps(&page).await;
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(
            found[0].contains("“three” leaves") && found[1].contains("“one” lies on “two”"),
            "{found:?}"
        );
    });
}

#[test]
fn faint_letters_are_found() {
    let path = page_of(
        "faint",
        "<main><h1>Faint</h1><p style='color:#ccc;background:#fff'>who reads this</p></main>",
    );
    in_browser(async move |page| {
        page.open(&file_url(&path), Look::at(1280)).await;
        let Some(found) = accessibility(&page).await else {
            return;
        };
        assert!(
            found
                .iter()
                .any(|fault| fault.starts_with("color-contrast")),
            "{found:?}"
        );
    });
}

#[test]
fn a_page_is_scrolled_typed_into_dark_and_without_scripts() {
    let body = "<p id=said style='margin-top:3000px'>nothing</p><input autofocus onkeyup='said.textContent = value'>\
                <script>document.title = 'scripts run'</script>";
    let path = page_of("lively", body);
    in_browser(async move |page| {
        page.open(&file_url(&path), Look::at(1280).dark()).await;
        assert!(
            page.script::<bool>("return matchMedia('(prefers-color-scheme: dark)').matches")
                .await
        );
        assert!((page.scroll(700.0).await - 700.0).abs() < 1.0);
        page.click("input").await;
        page.keys("shim").await;
        page.until("said.textContent === 'shim'").await;
        assert_eq!(page.text("#said").await, "shim");
        page.open(&file_url(&path), Look::at(390).without_scripts())
            .await;
        assert_eq!(
            page.script::<String>("return document.title").await,
            "lively"
        );
    });
}
