//! The same book gives the same record; only the record's own files are touched.

use crate::written::{Book, Files, below, has_ending, texts};

#[test]
fn another_place_clock_zone_and_language_give_the_same_bytes() {
    let (here, there) = (Book::example(), Book::example());
    here.writeup()
        .env("TZ", "UTC")
        .env("LANG", "C")
        .output()
        .expect("runs");
    let elsewhere = tempfile::tempdir().expect("a folder");
    std::thread::sleep(std::time::Duration::from_millis(1100));
    let out = elsewhere.path().join("a far/record");
    let surroundings = [
        ("TZ", "Pacific/Kiritimati"),
        ("LANG", "de_DE.UTF-8"),
        ("LC_ALL", "tr_TR.UTF-8"),
        ("HOME", "/"),
        ("USER", "odd"),
    ];
    let ran = there
        .writeup()
        .arg("--out")
        .arg(&out)
        .envs(surroundings)
        .current_dir("/")
        .output()
        .expect("runs");
    assert!(ran.status.success());
    assert_same(&here.record(), &below(&out));
}

fn assert_same(one: &Files, other: &Files) {
    assert_eq!(
        one.keys().collect::<Vec<_>>(),
        other.keys().collect::<Vec<_>>()
    );
    for (path, bytes) in one {
        assert!(*bytes == other[path], "{path} differs");
    }
}

#[test]
fn a_record_written_again_after_changes_is_the_one_written_at_once() {
    let book = Book::example();
    book.write_up();
    let log = std::fs::read_to_string(book.path("days/day-03.md")).expect("a log");
    book.put(
        "days/day-03.md",
        log.clone() + "\n\n```sums\nlate_reading measured 3 ± 1 mm\n```\n",
    );
    book.write_up();
    book.put("days/day-03.md", log);
    book.write_up();
    let fresh = Book::example();
    fresh.write_up();
    assert_same(&fresh.record(), &book.record());
}

#[test]
fn crlf_and_a_byte_order_mark_give_the_same_record() {
    let (plain, dressed) = (Book::example(), Book::example());
    for (path, bytes) in plain
        .sources()
        .iter()
        .filter(|(path, _)| has_ending(path, &["md", "yaml"]))
    {
        let text = String::from_utf8(bytes.clone()).expect("UTF-8");
        dressed.put(path, format!("\u{feff}{}", text.replace('\n', "\r\n")));
    }
    plain.write_up();
    dressed.write_up();
    assert_same(&plain.record(), &dressed.record());
}

#[test]
fn writing_up_changes_none_of_the_crews_files() {
    let book = Book::example();
    let before = book.sources();
    let times = |files: &Files| -> Vec<std::time::SystemTime> {
        files
            .keys()
            .map(|path| {
                book.path(path)
                    .metadata()
                    .expect("there")
                    .modified()
                    .expect("a time")
            })
            .collect()
    };
    let written = times(&before);
    book.write_up();
    assert_same(&before, &book.sources());
    assert_eq!(written, times(&before));
}

#[test]
fn nothing_of_the_machine_stands_in_the_record() {
    let book = Book::example();
    book.write_up();
    let here = book.path("").to_str().expect("UTF-8").to_owned();
    for (path, bytes) in book.record() {
        let text = String::from_utf8_lossy(&bytes);
        assert!(
            !text.contains(here.trim_end_matches('/')),
            "{path} names the folder"
        );
    }
}

#[test]
fn a_log_that_goes_takes_its_page_and_nothing_else_with_it() {
    let book = Book::example();
    book.write_up();
    let before = book.record();
    std::fs::remove_file(book.path("days/day-08.md")).expect("removed");
    book.write_up();
    let after = book.record();
    let gone: Vec<&String> = before
        .keys()
        .filter(|path| !after.contains_key(*path) && !path.starts_with("photos/"))
        .collect();
    assert_eq!(gone, [".shimbook-last/days/day-08.md", "days/day-08.html"]);
}

#[test]
fn a_file_of_somebody_elses_in_the_record_stays() {
    let book = Book::example();
    book.write_up();
    let theirs = [
        ("record/notes.txt", "ours to keep"),
        ("record/days/day-99.html", "<p>ours</p>"),
        ("record/.own", "x"),
    ];
    for (path, text) in theirs {
        book.put(path, text);
    }
    std::fs::remove_file(book.path("days/day-08.md")).expect("removed");
    book.write_up();
    for (path, text) in theirs {
        assert_eq!(
            std::fs::read_to_string(book.path(path)).expect("still there"),
            text,
            "{path}"
        );
    }
}

#[test]
fn a_change_to_one_remark_writes_few_pages() {
    let book = Book::example();
    book.write_up();
    let before = book.record();
    let log = std::fs::read_to_string(book.path("days/day-02.md")).expect("a log");
    book.put("days/day-02.md", log + "\nOne more sentence.\n");
    book.write_up();
    let changed: Vec<String> = book
        .record()
        .into_iter()
        .filter(|(path, bytes)| before.get(path) != Some(bytes))
        .map(|(path, _)| path)
        .collect();
    assert_eq!(
        changed,
        [
            ".shimbook-last/days/day-02.md",
            ".shimbook-pages",
            "days/day-02.html",
            "search-data.js"
        ]
    );
}

#[test]
fn a_book_with_errors_gives_a_complete_record_with_each_in_its_place() {
    let whole = Book::example();
    let broken = Book::example();
    let log = std::fs::read_to_string(broken.path("days/day-04.md")).expect("a log");
    broken.put("days/day-04.md", log + "\n\n```sums\nbroken_sum = 3 mm + 4 kg\nfine_sum = 3 mm + 4 mm\n```\n\n- [x] Nobody knows {nobody_knows_it, took 1,5 h}\n");
    assert_eq!(broken.write_up(), 1);
    whole.write_up();
    assert_eq!(
        whole.record().keys().collect::<Vec<_>>(),
        broken.record().keys().collect::<Vec<_>>()
    );
    let pages = broken.pages();
    let page = texts(pages.page("days/day-04.html"), "main").join(" ");
    for shown in [
        "3 mm + 4 kg",
        "a mass is added to a length",
        "fine_sum",
        "7 mm",
        "Nobody knows",
        "use a decimal point, not a comma, in hours",
    ] {
        assert!(page.contains(shown), "{shown} is not on the page");
    }
}

#[test]
fn a_book_without_a_readable_sheet_or_log_is_still_written_up() {
    for (path, text) in [
        ("build-sheet.yaml", ": ["),
        ("parts.yaml", "a: ["),
        ("plan.md", "- [ ] {"),
        ("days/day-01.md", "---\nday: [\n---\n"),
    ] {
        let book = Book::example();
        book.put(path, text);
        assert_eq!(book.write_up(), 1, "{path}");
        assert_eq!(book.pages().pages.len(), 14, "{path}");
    }
}
