//! Output folders that belong to something else: another kind of output, another book, another
//! audience.
//!
//! In: folders that a command wrote, and another command that is told to write there. Out: tests
//! that it refuses, says what it found, and changes nothing.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::shop::{Book, below, run, start, verify};

const CUSTOMER: &[&str] = &["--for", "customer"];
const AUDIENCE: &[&str] = &["--for", "audience"];
/// The commands that write a folder, and what each calls its folder.
const KINDS: [(&str, &[&str], &str); 3] = [
    ("writeup", &[], "a record"),
    ("export", &[], "an export"),
    ("handover", CUSTOMER, "a handover"),
];

fn place() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("out");
    (dir, out)
}

/// Runs a command that must refuse: it names each of `words`, and changes nothing beside or in the
/// folder.
fn refused(command: &str, book: &Book, out: &Path, more: &[&str], words: &[&str]) {
    let parent = out.parent().unwrap();
    let before = below(parent);
    let (status, said) = run(command, book, out, more);
    assert_eq!(status, Some(2), "{said}");
    for word in words.iter().chain(&["nothing was written", "--out"]) {
        assert!(said.contains(word), "no {word:?} in: {said}");
    }
    assert_eq!(below(parent), before, "{said}");
}

#[test]
fn no_command_writes_over_the_folder_of_another_command() {
    let book = Book::small();
    for (first, with, found) in KINDS {
        for (second, more, _) in KINDS.into_iter().filter(|(second, ..)| *second != first) {
            let (_dir, out) = place();
            assert_eq!(run(first, &book, &out, with).0, Some(0));
            refused(
                second,
                &book,
                &out,
                more,
                &[found, "Plover, a trailer on one axle"],
            );
        }
    }
}

#[test]
fn no_command_writes_over_the_folder_of_another_book_unless_it_is_told_to_take_it_over() {
    let plover = Book::small();
    let others = [Book::small_called("Lapwing, a hoist"), Book::small()];
    others[1].set("start", "2031-06-02");
    for (command, more, found) in KINDS {
        for other in &others {
            let (_dir, out) = place();
            assert_eq!(run(command, &plover, &out, more).0, Some(0));
            let words = [
                found,
                "Plover, a trailer on one axle",
                "2031-05-02",
                "--take-over",
            ];
            refused(command, other, &out, more, &words);
            let (status, said) = run(command, other, &out, &[more, &["--take-over"]].concat());
            assert_eq!(status, Some(0), "{said}");
            refused(command, &plover, &out, more, &[found]);
        }
    }
}

#[test]
fn the_pages_of_another_book_stay_when_its_record_is_refused_and_go_when_it_is_taken_over() {
    let (long, short) = (Book::small(), Book::small_called("Lapwing, a hoist"));
    fs::remove_file(short.path("days/day-02.md")).unwrap();
    let (_dir, out) = place();
    assert_eq!(run("writeup", &long, &out, &[]).0, Some(0));
    refused("writeup", &short, &out, &[], &["a record of", "Plover"]);
    assert!(out.join("days/day-02.html").exists());
    assert_eq!(run("writeup", &short, &out, &["--take-over"]).0, Some(0));
    assert!(!out.join("days/day-02.html").exists());
}

#[test]
fn taking_over_is_for_another_title_and_never_for_another_kind_or_audience() {
    let book = Book::small();
    let (_dir, out) = place();
    assert_eq!(run("handover", &book, &out, CUSTOMER).0, Some(0));
    for (command, more) in [
        ("writeup", &[][..]),
        ("export", &[]),
        ("handover", AUDIENCE),
    ] {
        refused(
            command,
            &book,
            &out,
            &[more, &["--take-over"]].concat(),
            &["a handover"],
        );
    }
}

#[test]
fn a_record_in_the_book_s_own_folder_follows_an_edited_title_or_start() {
    let book = Book::small();
    for (field, value) in [
        ("title", "Lapwing, a hoist"),
        ("start", "2031-06-02"),
        ("title", "Dunlin, a crane"),
    ] {
        assert_eq!(book.write_up().status.code(), Some(0));
        book.set(field, value);
    }
    assert_eq!(book.write_up().status.code(), Some(0));
    // Another book's record, moved in here, is not one that this book wrote under an older title.
    let other = Book::small();
    other.write_up();
    fs::remove_dir_all(book.path("record")).unwrap();
    fs::rename(other.path("record"), book.path("record")).unwrap();
    let said = crate::shop::complaint(&book.write_up());
    assert!(
        said.contains("Plover") && said.contains("--take-over"),
        "{said}"
    );
}

#[test]
fn a_writeup_on_every_save_follows_an_edited_title_in_a_folder_elsewhere() {
    let book = Book::small();
    let (_dir, out) = place();
    let mut writing = start("writeup", &book, &out, &["--on-save"]);
    let shows = |title: &str| {
        (0..400).any(|_| {
            std::thread::sleep(Duration::from_millis(50));
            fs::read_to_string(out.join("index.html")).is_ok_and(|page| page.contains(title))
        })
    };
    let followed = shows("Plover") && {
        book.set("title", "Lapwing, a hoist");
        shows("Lapwing")
    };
    writing.kill().unwrap();
    let said = writing.wait_with_output().unwrap();
    assert!(followed, "{said:?}");
    // So the folder is known under the new title.
    assert_eq!(run("writeup", &book, &out, &[]).0, Some(0));
}

#[test]
fn while_the_build_sheet_cannot_be_read_a_record_in_the_book_is_still_written() {
    let book = Book::small();
    assert_eq!(book.write_up().status.code(), Some(0));
    book.put("build-sheet.yaml", b"title: [\n");
    assert_eq!(book.write_up().status.code(), Some(1));
    // The folder still knows whose it is.
    let other = Book::small_called("Lapwing, a hoist");
    refused("writeup", &other, &book.path("record"), &[], &["Plover"]);
}

#[test]
fn a_handover_for_one_audience_is_never_written_over_that_of_another() {
    let book = Book::small();
    let (_dir, out) = place();
    assert_eq!(run("handover", &book, &out, CUSTOMER).0, Some(0));
    refused(
        "handover",
        &book,
        &out,
        AUDIENCE,
        &["a handover", "for customer"],
    );
}

#[test]
fn a_zip_beside_a_handover_is_renewed_with_it_or_stops_it() {
    let book = Book::small();
    let (dir, out) = place();
    let zip = dir.path().join("out.zip");
    assert_eq!(
        run("handover", &book, &out, &[CUSTOMER, &["--zip"]].concat()).0,
        Some(0)
    );
    let old = fs::read(&zip).unwrap();
    book.turn(2);
    let (status, said) = run("handover", &book, &out, CUSTOMER);
    assert!(status == Some(0) && said.contains("out.zip"), "{said}");
    assert_ne!(fs::read(&zip).unwrap(), old);
    assert!(verify(&zip).0 == Some(0) && seal_hash(&zip) == seal_hash(&out));
    // The customer's zip alone, without its folder.
    fs::remove_dir_all(&out).unwrap();
    refused(
        "handover",
        &book,
        &out,
        AUDIENCE,
        &["out.zip", "for customer"],
    );
    // Something of somebody else, and a handover that was changed.
    for bytes in [b"mine".to_vec(), [old, b"x".to_vec()].concat()] {
        fs::write(&zip, bytes).unwrap();
        refused("handover", &book, &out, CUSTOMER, &["out.zip"]);
        refused(
            "handover",
            &book,
            &out,
            &[CUSTOMER, &["--zip"]].concat(),
            &["out.zip"],
        );
    }
}

fn seal_hash(path: &Path) -> String {
    let (_, said) = verify(path);
    said.lines()
        .find(|line| line.starts_with("SHA-256"))
        .unwrap()
        .to_owned()
}

#[test]
fn nothing_is_written_into_a_folder_below_a_handover() {
    let book = Book::small();
    let (_dir, out) = place();
    assert_eq!(run("handover", &book, &out, CUSTOMER).0, Some(0));
    for (command, more, _) in KINDS {
        refused(
            command,
            &book,
            &out.join("days/further"),
            more,
            &["a handover"],
        );
    }
    assert_eq!(verify(&out).0, Some(0));
}

#[test]
fn a_folder_of_mixed_outputs_is_refused_by_every_command() {
    let book = Book::small();
    let (_dir, out) = place();
    assert_eq!(run("handover", &book, &out, CUSTOMER).0, Some(0));
    fs::write(out.join(".shimbook-pages"), "shimbook pages 2\n").unwrap();
    for (command, more, _) in KINDS {
        refused(command, &book, &out, more, &["a record", "a handover"]);
    }
}

#[test]
fn a_forged_page_whose_hash_was_put_into_the_dot_file_is_written_again() {
    let book = Book::small();
    book.write_up();
    let whole = book.record();
    let list = String::from_utf8(whole[".shimbook-pages"].clone()).unwrap();
    for path in ["hold.html", "days/day-01.html"] {
        let forged = String::from_utf8(whole[path].clone())
            .unwrap()
            .replace("</body>", "<p>forged</p></body>");
        let hash = |bytes: &[u8]| blake3::hash(bytes).to_hex().to_string();
        let forged_list = list.replace(&hash(&whole[path]), &hash(forged.as_bytes()));
        assert_ne!(forged_list, list);
        book.put(&format!("record/{path}"), forged.as_bytes());
        book.put("record/.shimbook-pages", forged_list.as_bytes());
        book.write_up();
        assert!(book.record() == whole, "{path} is still forged");
    }
}
