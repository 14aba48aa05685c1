//! What the wall says while a file of the book cannot be worked with.

use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;

use crate::standing::Standing;

const NOT_CURRENT: &str = "Not current: treat as on hold";

const HELD: &str = "---\nday: 1\n---\n# Arch\n\n```sums\narch_gap measured 21 ± 1 mm\narch_gap at least 25 mm, hold\n```\n";

/// A wall with one line on hold.
fn held() -> Standing {
    Standing::prepared(
        |book| std::fs::write(book.join("days/day-01.md"), HELD).unwrap(),
        &[],
    )
}

/// Puts a link in the place of another in one step, so that the wall never sees a moment without
/// either.
fn lead(wall: &Standing, link: &str, to: &str) {
    let beside = wall.book().join("beside");
    symlink(to, &beside).unwrap();
    std::fs::rename(beside, wall.book().join(link)).unwrap();
}

/// Waits until the wall says that it is not current, and gives the reason.
fn not_current(wall: &mut Standing) -> String {
    loop {
        let news = wall.news.news();
        if news["current"] == false {
            return news["why"].as_str().unwrap().to_owned();
        }
    }
}

#[test]
fn days_that_cannot_be_read_leave_the_hold_list_and_every_page_as_they_were() {
    let away = |book: &Path| {
        std::fs::write(book.join("days/day-01.md"), HELD).unwrap();
        std::fs::write(book.join("a file"), "not a folder").unwrap();
        std::fs::rename(book.join("days"), book.join("real")).unwrap();
        symlink("real", book.join("days")).unwrap();
    };
    let mut wall = Standing::prepared(away, &[]);
    lead(&wall, "days", "a file");
    let news = not_current(&mut wall);
    assert!(
        news.contains("days: this folder cannot be read: not a directory"),
        "{news}"
    );
    for path in [
        "",
        "hold.html",
        "wall.html",
        "jobs.html",
        "days/day-01.html",
    ] {
        let page = wall.get(path).text();
        assert!(
            page.contains(NOT_CURRENT) && page.contains("days: this folder cannot be read"),
            "{path}: {page}"
        );
        assert!(!page.contains("Nothing is on the hold list"), "{path}");
    }
    assert!(wall.get("hold.html").text().contains("arch_gap"));
    lead(&wall, "days", "real");
    wall.news.current();
    assert!(!wall.get("hold.html").text().contains(NOT_CURRENT));
}

#[test]
fn a_log_that_turns_into_a_folder_keeps_its_hold_line_and_its_page() {
    let away = |book: &Path| {
        std::fs::write(book.join("real.md"), HELD).unwrap();
        std::fs::remove_file(book.join("days/day-01.md")).unwrap();
        symlink("../real.md", book.join("days/day-01.md")).unwrap();
    };
    let mut wall = Standing::prepared(away, &[]);
    lead(&wall, "days/day-01.md", "../days");
    assert!(not_current(&mut wall).contains("days/day-01.md: this is not a plain file"));
    assert_eq!(wall.get("days/day-01.html").status, 200);
    assert!(
        wall.get("hold.html").text().contains("arch_gap")
            && wall.get("wall.html").text().contains(NOT_CURRENT)
    );
    lead(&wall, "days/day-01.md", "../real.md");
    wall.news.current();
}

#[test]
fn a_wall_that_is_begun_while_a_log_cannot_be_read_shows_the_text_beside_the_record() {
    let break_it = |book: &Path| {
        std::fs::write(book.join("days/day-01.md"), HELD).unwrap();
        let done = Command::new(env!("CARGO_BIN_EXE_shimbook"))
            .arg("writeup")
            .arg(book)
            .output()
            .unwrap();
        assert!(done.status.success(), "{done:?}");
        std::fs::write(book.join("days/day-01.md"), [0xff]).unwrap();
    };
    let wall = Standing::begun(break_it);
    let page = wall.get("hold.html").text();
    assert!(
        page.contains("arch_gap") && page.contains(NOT_CURRENT),
        "{page}"
    );
    // The texts to fall back to are never served.
    assert_eq!(wall.get(".shimbook-last/days/day-01.md").status, 404);
}

#[test]
fn a_tab_in_the_build_sheet_changes_neither_title_nor_last_day() {
    let mut wall = held();
    let sheet = wall.read("build-sheet.yaml");
    std::fs::write(
        wall.book().join("build-sheet.yaml"),
        sheet.replace("days: 8", "\tdays: 8"),
    )
    .unwrap();
    assert!(not_current(&mut wall).contains("YAML cannot be indented with a tab"));
    let page = wall.get("wall.html").text();
    assert!(
        page.contains("Kittiwake") && page.contains("6 days left") && page.contains("arch_gap"),
        "{page}"
    );
    wall.save("build-sheet.yaml", &sheet);
    assert!(!wall.get("wall.html").text().contains(NOT_CURRENT));
}

#[test]
fn what_is_saved_elsewhere_in_the_meantime_is_shown() {
    let mut wall = held();
    std::fs::write(wall.book().join("plan.md"), [0xff]).unwrap();
    not_current(&mut wall);
    std::fs::write(
        wall.book().join("days/day-02.md"),
        "---\nday: 2\n---\n# Written while the plan cannot be read\n",
    )
    .unwrap();
    not_current(&mut wall);
    assert!(
        wall.get("days/day-02.html")
            .text()
            .contains("Written while the plan")
    );
}
