//! A wall whose book is no longer looked at is not current, whatever hangs there.

use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use shimbook::io::{Clock, ClockReading, FileError};
use shimbook::open_book::{OpenBook, WorkedBook};
use shimbook::render::Theme;
use shimbook::wall::{Board, Guests, Notice, Wall};

use crate::looker::{Looker, get};

const BOOK: [(&str, &str); 2] = [
    (
        "build-sheet.yaml",
        "title: Kittiwake\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 8}\n",
    ),
    ("days/day-01.md", "---\nday: 1\n---\n# Arch\n"),
];

fn book() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir(dir.path().join("days")).unwrap();
    for (path, text) in BOOK {
        std::fs::write(dir.path().join(path), text).unwrap();
    }
    dir
}

/// A clock that is set by hand, in seconds.
fn by_hand() -> (Clock, Arc<AtomicU64>) {
    let hand = Arc::new(AtomicU64::new(0));
    let shown = Arc::clone(&hand);
    let tell = move || {
        let seconds = shown.load(Relaxed);
        ClockReading {
            running: Duration::from_secs(seconds),
            time_of_day: format!("14:00:{seconds:02}"),
        }
    };
    (Clock::told_by(tell), hand)
}

/// A board on which a book hangs.
fn hung(folder: &Path) -> (Board, Arc<AtomicU64>, OpenBook) {
    let (clock, hand) = by_hand();
    let (board, mut book) = (
        Board::with_clock(Theme::built_in().unwrap(), clock),
        OpenBook::new(folder),
    );
    board.look(|| book.look());
    assert!(board.news().current, "{:?}", board.news());
    (board, hand, book)
}

#[test]
fn a_look_that_is_a_few_seconds_old_is_current_and_an_older_one_is_not() {
    let dir = book();
    let (board, hand, mut book) = hung(dir.path());
    hand.store(5, Relaxed);
    assert!(board.beat().current);
    hand.store(30, Relaxed);
    let beat = board.beat();
    assert_eq!((beat.current, beat.looked.as_str()), (false, "14:00:00"));
    assert!(
        !board.news().current && board.news().why.contains("has not finished a look"),
        "{:?}",
        board.news()
    );
    // The next look that ends makes it current again, though nothing changed.
    board.look(|| book.look());
    assert_eq!(
        (board.beat().current, board.beat().looked.as_str()),
        (true, "14:00:30")
    );
}

#[test]
fn whoever_listens_is_told_once_when_looks_no_longer_end_and_once_when_they_do_again() {
    let dir = book();
    let (board, hand, mut book) = hung(dir.path());
    let (_, mut later) = board.listen();
    hand.store(30, Relaxed);
    for _ in 0..3 {
        board.tell_the_age();
    }
    board.look(|| book.look());
    let told = [later.try_recv().unwrap(), later.try_recv().unwrap()];
    assert_eq!(told.each_ref().map(|news| news.current), [false, true]);
    assert!(later.try_recv().is_err());
}

#[test]
fn a_look_that_panics_is_not_current_until_one_ends() {
    let dir = book();
    let (board, _, mut book) = hung(dir.path());
    board.look(|| panic!("this look breaks off"));
    assert!(
        !board.news().current && board.news().why.contains("failed while it read"),
        "{:?}",
        board.news()
    );
    assert!(
        board.answer("index.html").bytes.len() > 100,
        "what hung there can still be looked at"
    );
    book.forget();
    board.look(|| book.look());
    assert!(board.news().current);
}

#[test]
fn a_page_that_is_asked_for_while_the_look_hangs_says_so_itself() {
    let dir = book();
    let (board, hand, mut book) = hung(dir.path());
    let page = |path: &str| String::from_utf8(board.answer(path).bytes.to_vec()).unwrap();
    assert!(!page("wall.html").contains("Not current: treat as on hold"));
    hand.store(30, Relaxed);
    board.tell_the_age();
    for path in ["index.html", "hold.html", "wall.html", "days/day-01.html"] {
        assert!(
            page(path).contains("Not current: treat as on hold"),
            "{path}"
        );
    }
    board.look(|| book.look());
    assert!(!page("wall.html").contains("Not current: treat as on hold"));
}

type Found = Result<Option<WorkedBook>, FileError>;

/// A wall whose looks are let through one at a time, each with what it does first.
fn standing(folder: &Path, let_through: Receiver<fn()>) -> String {
    let (book, let_through) = (Mutex::new(OpenBook::new(folder)), Mutex::new(let_through));
    let look = move || -> Found {
        let first = let_through.lock().unwrap().recv().unwrap();
        first();
        let mut book = book.lock().unwrap();
        book.forget();
        book.look()
    };
    let wall = Wall::open(0, Guests::ThisMachine, Theme::built_in().unwrap()).unwrap();
    let address = wall.address().unwrap();
    let folder = folder.to_owned();
    std::thread::spawn(move || wall.stand_by(Box::new(look), &folder, Notice::Polled));
    address
}

#[test]
fn pages_are_told_that_a_look_hangs_and_that_one_broke_off() {
    let dir = book();
    let (send, receive) = channel::<fn()>();
    let address = standing(dir.path(), receive);
    let mut news = Looker::new(&address);
    assert_eq!(news.news()["current"], false);
    send.send(|| {}).unwrap();
    assert!(news.current()["at"].as_str().unwrap().len() == 8);
    // The next look is not let through, so it hangs.
    let hangs = news.news();
    assert!(
        hangs["current"] == false
            && hangs["why"]
                .as_str()
                .unwrap()
                .contains("has not finished a look"),
        "{hangs}"
    );
    let beat = news.beat();
    assert!(
        beat["current"] == false && beat["looked"].as_str().unwrap().len() == 8,
        "{beat}"
    );
    assert!(
        get(&address, "wall.html")
            .text()
            .contains("has not finished a look")
    );
    send.send(|| {}).unwrap();
    news.current();
    send.send(|| panic!("this look breaks off")).unwrap();
    let broke_off = news.news();
    assert!(
        broke_off["why"]
            .as_str()
            .unwrap()
            .contains("failed while it read"),
        "{broke_off}"
    );
    send.send(|| {}).unwrap();
    news.current();
}
