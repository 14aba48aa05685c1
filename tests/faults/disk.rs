//! Disks that are full, folders that cannot be written, files that change while they are read.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::Command;
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};
use std::time::{Duration, SystemTime};

use crate::shop::{Book, complaint};

#[test]
fn where_a_page_is_too_large_for_the_disk_the_old_one_stays_and_it_is_said_what_to_do() {
    let book = Book::new();
    book.write_up();
    let before = book.record();
    book.turn(3);
    // Files of at most 4 KiB, and no signal that ends the program.
    let said = complaint(&book.write_up_after("trap '' XFSZ; ulimit -f 8"));
    assert!(
        said.contains("cannot write") && said.contains("free some disk space"),
        "{said}"
    );
    assert_eq!(
        book.record().keys().collect::<Vec<_>>(),
        before.keys().collect::<Vec<_>>(),
        "something half written is left"
    );
    for (path, bytes) in book.record() {
        assert!(
            bytes.len() > 4096 || !is_page(&path) || bytes.ends_with(b"</html>\n"),
            "{path} is cut off"
        );
    }
    assert!(book.write_up().status.code().is_some_and(|code| code < 2));
}

fn is_page(path: &str) -> bool {
    std::path::Path::new(path)
        .extension()
        .is_some_and(|extension| extension == "html")
}

#[test]
fn on_a_disk_that_fills_up_every_page_stays_whole() {
    let book = Book::new();
    let small = book.path("small");
    fs::create_dir(&small).unwrap();
    let script = "mount -t tmpfs -o size=200k none \"$0/small\" || exit 77; \"$1\" writeup \"$0\" --out \"$0/small/record\"; \
                  code=$?; cp -r \"$0/small/record\" \"$0/copy\"; exit $code";
    let mut command = Command::new("unshare");
    command
        .args(["-rm", "sh", "-c", script])
        .arg(book.path(""))
        .arg(env!("CARGO_BIN_EXE_shimbook"));
    let output = match command.output() {
        Ok(output) if output.status.code() != Some(77) && output.status.code() != Some(1) => output,
        refused => {
            return eprintln!("skipped: this machine lets nobody mount a small disk ({refused:?})");
        }
    };
    let said = complaint(&output);
    assert!(
        said.contains("no space left") && said.contains("free some disk space"),
        "{said}"
    );
    for (path, bytes) in crate::shop::below(&book.path("copy")) {
        let whole = String::from_utf8_lossy(&bytes)
            .trim_end()
            .ends_with("</html>");
        assert!(!is_page(&path) || whole, "{path} is cut off");
    }
}

#[test]
fn a_folder_where_a_page_belongs_is_named_and_left_alone() {
    let book = Book::new();
    fs::create_dir_all(book.path("record/index.html")).unwrap();
    fs::write(book.path("record/.shimbook-pages"), "shimbook pages 3\n\n").unwrap();
    fs::write(book.path("record/index.html/mine"), "mine").unwrap();
    let said = complaint(&book.write_up());
    assert!(
        said.contains("index.html") && said.lines().count() >= 2,
        "{said}"
    );
    assert_eq!(
        fs::read(book.path("record/index.html/mine")).unwrap(),
        b"mine"
    );
}

/// The program as somebody whom permissions bind; root is bound by none.
fn bound(book: &Book) -> Command {
    let program = book.path("shimbook");
    fs::copy(env!("CARGO_BIN_EXE_shimbook"), &program).unwrap();
    let root = Command::new("id")
        .arg("-u")
        .output()
        .is_ok_and(|id| id.stdout == b"0\n");
    let mut command = if root {
        Command::new("setpriv")
    } else {
        Command::new(&program)
    };
    if root {
        command
            .args(["--reuid=65534", "--clear-groups"])
            .arg(&program);
    }
    command.arg("writeup").arg(book.path(""));
    command
}

fn allow(book: &Book, path: &str, mode: u32) {
    fs::set_permissions(book.path(path), fs::Permissions::from_mode(mode)).unwrap();
}

#[test]
fn a_folder_that_may_not_be_written_or_lets_nobody_in_any_more_is_said_and_mended_once_it_does() {
    let book = Book::new();
    book.write_up();
    let before = book.record();
    allow(&book, "", 0o755);
    for folder in ["record", "record/days"] {
        allow(&book, folder, 0o555);
    }
    book.turn(4);
    let said = complaint(&bound(&book).output().unwrap());
    assert!(
        said.contains("permission denied") && said.contains("--out"),
        "{said}"
    );
    assert_eq!(book.record(), before);
    // The pages may be written, but those of the days not: the right was lost on the way.
    allow(&book, "record", 0o777);
    let said = complaint(&bound(&book).output().unwrap());
    assert!(said.contains("permission denied"), "{said}");
    assert!(
        book.record().keys().eq(before.keys()),
        "something half written is left"
    );
    allow(&book, "record/days", 0o755);
    assert!(book.write_up().status.code().is_some_and(|code| code < 2));
}

#[test]
fn logs_that_change_while_they_are_read_give_a_record_of_one_of_their_states() {
    let book = Book::new();
    let done = AtomicBool::new(false);
    let log = book.path("days/day-01.md");
    let text = fs::read(&log).unwrap();
    std::thread::scope(|scope| {
        scope.spawn(|| {
            for turn in 0.. {
                if done.load(Relaxed) {
                    break;
                }
                fs::write(&log, &text[..text.len() * (turn % 5) / 4]).unwrap();
                std::thread::sleep(Duration::from_millis(1));
            }
        });
        for _ in 0..10 {
            let output = book.write_up();
            assert!(
                output.status.code().is_some_and(|code| code < 2),
                "{output:?}"
            );
        }
        done.store(true, Relaxed);
    });
    fs::write(&log, &text).unwrap();
    book.write_up();
    let calm = Book::new();
    calm.write_up();
    assert_eq!(book.record(), calm.record());
}

#[test]
fn a_clock_set_back_or_forward_changes_nothing() {
    let book = Book::new();
    book.write_up();
    let before = book.record();
    let times = [
        SystemTime::UNIX_EPOCH + Duration::from_secs(1),
        SystemTime::now() + Duration::from_secs(400_000_000),
    ];
    for (time, path) in times
        .into_iter()
        .zip(["days/day-01.md", "record/index.html"])
    {
        fs::File::options()
            .append(true)
            .open(book.path(path))
            .unwrap()
            .set_modified(time)
            .unwrap();
        let output = book.write_up();
        assert!(
            String::from_utf8_lossy(&output.stdout).contains(": 0 of "),
            "{output:?}"
        );
        assert_eq!(book.record(), before);
    }
    // A log that changed and looks older than the last run is read all the same.
    book.turn(5);
    fs::File::options()
        .append(true)
        .open(book.path("days/day-01.md"))
        .unwrap()
        .set_modified(times[0])
        .unwrap();
    book.write_up();
    assert!(String::from_utf8_lossy(&book.record()["days/day-01.html"]).contains("Version 5"));
}
