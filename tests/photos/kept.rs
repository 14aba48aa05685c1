//! A picture is made once, and never taken from what cannot be trusted.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};

use shimbook::io::Output;
use shimbook::open_book::OpenBook;
use shimbook::photo_cache::{prints_of, quietly};
use shimbook::render::Theme;
use shimbook::writeup::write_up;

use crate::camera::{self, scene};
use crate::shop::{Shop, files, pictures};

/// Writes a book up as a program that was just started does; how many photos were worked.
fn worked(shop: &Shop) -> usize {
    worked_by(shop, &mut OpenBook::new(&shop.book()))
}

fn worked_by(shop: &Shop, open: &mut OpenBook) -> usize {
    let count = AtomicUsize::new(0);
    let mut book = open.look().expect("a book").expect("something new");
    let output = Output::open(&shop.out(), &shop.book()).expect("a folder");
    let told = |_, _| {
        count.fetch_add(1, Ordering::Relaxed);
    };
    write_up(
        &mut book,
        &Theme::built_in().expect("the theme"),
        &output,
        &told,
    )
    .expect("written");
    count.into_inner()
}

fn two_photos() -> Shop {
    Shop::with(&[
        ("a.jpg", camera::jpeg(&scene(900, 600), 6, "a")),
        ("b.jpg", camera::jpeg(&scene(800, 600), 1, "b")),
    ])
}

#[test]
fn a_photo_is_worked_once_and_again_only_when_its_bytes_are_others() {
    let shop = two_photos();
    assert_eq!((worked(&shop), worked(&shop)), (2, 0));
    let log = std::fs::read_to_string(shop.book().join("days/day-01.md")).expect("a log");
    shop.put("days/day-01.md", log + "\nMore.\n");
    assert_eq!(worked(&shop), 0, "a save of a log works no photo");
    shop.put("photos/b.jpg", camera::jpeg(&scene(700, 600), 1, "c"));
    assert_eq!(worked(&shop), 1);
    assert_eq!(
        pictures(&files(&shop.out())).len(),
        4,
        "the one before is gone"
    );
}

#[test]
fn an_open_book_reads_no_photo_again_that_nobody_touched() {
    let shop = two_photos();
    let mut open = OpenBook::new(&shop.book());
    assert_eq!(worked_by(&shop, &mut open), 2);
    shop.put(
        "days/day-02.md",
        "---\nday: 2\n---\n# More\n\n![again](../photos/a.jpg)\n",
    );
    assert_eq!(worked_by(&shop, &mut open), 0);
}

#[test]
fn a_picture_or_a_list_that_was_changed_is_not_trusted() {
    let shop = two_photos();
    worked(&shop);
    let whole = files(&shop.out());
    let (path, bytes) = pictures(&whole).into_iter().next().expect("a picture");
    std::fs::write(shop.out().join(path), &bytes[..bytes.len() / 2]).expect("written");
    assert_eq!(worked(&shop), 1);
    assert_eq!(files(&shop.out()), whole);
    std::fs::remove_file(shop.out().join(path)).expect("removed");
    assert_eq!(worked(&shop), 1);
    let list = shop.out().join(".shimbook-pages");
    let text = std::fs::read_to_string(&list).expect("a list");
    std::fs::write(&list, &text[..text.len() - 30]).expect("written");
    assert_eq!(worked(&shop), 2);
    std::fs::remove_file(&list).expect("removed");
    assert_eq!(worked(&shop), 2);
    assert_eq!(files(&shop.out()), whole);
}

#[test]
fn two_names_of_one_content_and_one_name_in_two_kinds_stand_beside_each_other() {
    let (one, other) = (
        camera::jpeg(&scene(900, 600), 1, "a"),
        camera::plain(&scene(800, 600), image::ImageFormat::WebP),
    );
    let shop = Shop::with(&[("a.jpg", one.clone()), ("a.webp", other), ("b.jpg", one)]);
    let files = shop.write_up();
    assert_eq!(pictures(&files).len(), 6, "{:?}", pictures(&files).keys());
}

#[test]
fn a_photo_that_changes_while_it_is_worked_is_not_taken_for_what_it_was() {
    let shop = two_photos();
    let book = OpenBook::new(&shop.book()).look_once().expect("a book");
    shop.put("photos/a.jpg", camera::jpeg(&scene(500, 600), 1, "c"));
    let wanted: Vec<_> = book.build.album.good().collect();
    let failed =
        prints_of(&book.photos, &wanted, &quietly, |_, _, _| Ok(())).expect_err("it changed");
    assert!(failed.message.contains("a.jpg changed"), "{failed}");
    let unchanged: Vec<_> = wanted
        .into_iter()
        .filter(|(path, _)| *path == "photos/b.jpg")
        .collect();
    assert_eq!(
        prints_of(&book.photos, &unchanged, &quietly, |_, _, _| Ok(())).expect("as it was"),
        BTreeMap::new()
    );
}

#[test]
fn nothing_is_said_of_progress_where_nobody_looks_on() {
    let shop = two_photos();
    let ran = shop.run("writeup", &["--out", &shop.out().to_string_lossy()]);
    assert_eq!(String::from_utf8_lossy(&ran.stderr), "");
}
