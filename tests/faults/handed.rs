//! Handovers and exports under kills, full disks, two runs at once and other people's files.
//!
//! In: runs that are disturbed. Out: tests that the folder and its zip are one whole handover, the
//! old or the new one, and that no file of somebody else is lost.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering::Relaxed};
use std::time::{Duration, Instant};

use crate::shop::{Book, Files, below, complaint, run, start, verify};

const ZIPPED: &[&str] = &["--for", "customer", "--zip"];

/// A folder to write into, alone in its parent.
fn place() -> (tempfile::TempDir, PathBuf, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let (out, zip) = (dir.path().join("out"), dir.path().join("out.zip"));
    (dir, out, zip)
}

/// The folder and its zip as they are, and what a run of the program made for each version of the
/// book.
fn versions(command: &str, book: &Book, more: &[&str]) -> [Files; 2] {
    [1, 2].map(|version| {
        book.turn(version);
        let (dir, out, _) = place();
        assert_eq!(run(command, book, &out, more).0, Some(0));
        below(dir.path())
    })
}

/// Kills a run after a share of the time that a whole one takes.
fn kill_after(command: &str, book: &Book, out: &Path, more: &[&str], wait: Duration) {
    let mut run = start(command, book, out, more);
    std::thread::sleep(wait);
    run.kill().unwrap();
    run.wait().unwrap();
}

/// What lies beside and in a folder, without the files that have no name yet.
fn named(parent: &Path) -> Files {
    below(parent)
        .into_iter()
        .filter(|(path, _)| !path.contains(".shimbook-handover-"))
        .collect()
}

fn part(files: &Files, zip: bool) -> Files {
    files
        .iter()
        .filter(|(path, _)| (*path == "out.zip") == zip)
        .map(|(path, bytes)| (path.clone(), bytes.clone()))
        .collect()
}

#[test]
fn after_any_kill_a_handover_is_the_old_one_or_the_new_one_and_the_next_run_finishes_it() {
    let book = Book::small();
    let versions = versions("handover", &book, ZIPPED);
    let (dir, out, _) = place();
    book.turn(1);
    let begun = Instant::now();
    assert_eq!(run("handover", &book, &out, ZIPPED).0, Some(0));
    let whole_run = begun.elapsed();
    let mut seen = [0, 0];
    for kill in 0..60_u32 {
        let wanted = (kill as usize + 1) % 2;
        book.turn(wanted + 1);
        let share = f64::from(kill) * 0.618_034 % 1.0 * 1.2;
        kill_after("handover", &book, &out, ZIPPED, whole_run.mul_f64(share));
        let there = named(dir.path());
        let which = versions
            .iter()
            .position(|version| part(version, false) == part(&there, false));
        let which = which.unwrap_or_else(|| panic!("kill {kill}: {:?}", there.keys()));
        seen[usize::from(which == wanted)] += 1;
        let zip = part(&there, true);
        assert!(
            zip.is_empty() || zip == part(&versions[which], true),
            "kill {kill}: the zip is of another handover"
        );
        if kill % 10 == 9 {
            assert_eq!(
                run("handover", &book, &out, ZIPPED).0,
                Some(0),
                "kill {kill}"
            );
            assert_eq!(
                below(dir.path()),
                versions[wanted],
                "kill {kill}: something is left"
            );
        }
    }
    println!("old {}, new {}", seen[0], seen[1]);
}

#[test]
fn after_any_kill_an_export_has_whole_sheets_and_the_next_run_finishes_it() {
    let book = Book::small();
    let versions = versions("export", &book, &[]);
    let (dir, out, _) = place();
    book.turn(1);
    let begun = Instant::now();
    assert_eq!(run("export", &book, &out, &[]).0, Some(0));
    let whole_run = begun.elapsed();
    for kill in 0..40_u32 {
        let wanted = (kill as usize + 1) % 2;
        book.turn(wanted + 1);
        kill_after(
            "export",
            &book,
            &out,
            &[],
            whole_run.mul_f64(f64::from(kill) * 0.618_034 % 1.0 * 1.2),
        );
        for (path, bytes) in below(dir.path())
            .iter()
            .filter(|(path, _)| !path.contains(".shimbook-new-"))
        {
            assert!(
                versions
                    .iter()
                    .any(|version| version.get(path) == Some(bytes)),
                "kill {kill}: {path}"
            );
        }
        if kill % 10 == 9 {
            assert_eq!(run("export", &book, &out, &[]).0, Some(0));
            assert_eq!(
                below(dir.path()),
                versions[wanted],
                "kill {kill}: something is left"
            );
        }
    }
}

#[test]
fn a_first_handover_that_was_killed_leaves_nothing_or_a_whole_one() {
    let book = Book::small();
    let [whole, _] = {
        let mut versions = versions("handover", &book, ZIPPED);
        versions.reverse();
        versions
    };
    let begun = Instant::now();
    let (_dir, out, _) = place();
    run("handover", &book, &out, ZIPPED);
    let whole_run = begun.elapsed();
    for kill in 1..=20 {
        let (dir, out, _) = place();
        kill_after(
            "handover",
            &book,
            &out,
            ZIPPED,
            whole_run.mul_f64(f64::from(kill) / 18.0),
        );
        let there = part(&named(dir.path()), false);
        assert!(
            there.is_empty() || there == part(&whole, false),
            "kill {kill}: {:?}",
            there.keys()
        );
        assert_eq!(run("handover", &book, &out, ZIPPED).0, Some(0));
        assert_eq!(below(dir.path()), whole, "kill {kill}");
    }
}

#[test]
fn a_folder_that_a_killed_run_had_moved_aside_is_put_back_even_by_a_run_that_is_refused() {
    let book = Book::small();
    let (dir, out, _) = place();
    assert_eq!(run("handover", &book, &out, ZIPPED).0, Some(0));
    let whole = below(dir.path());
    let work = dir.path().join(".shimbook-handover-out");
    fs::create_dir_all(work.join("making/days")).unwrap();
    fs::rename(&out, work.join("old")).unwrap();
    assert_eq!(
        run("handover", &book, &out, &["--for", "audience"]).0,
        Some(2)
    );
    assert_eq!(below(dir.path()), whole);
    // Somebody's file in it stays, whether the folder is put back or another one took its place.
    fs::create_dir_all(&work).unwrap();
    fs::rename(&out, work.join("old")).unwrap();
    fs::write(work.join("old/note.txt"), "mine").unwrap();
    let (dir2, out2, _) = place();
    assert_eq!(run("handover", &book, &out2, ZIPPED).0, Some(0));
    fs::rename(&out2, &out).unwrap();
    let (status, said) = run("handover", &book, &out, ZIPPED);
    assert!(status == Some(0) && said.contains("out-kept-1"), "{said}");
    assert_eq!(
        fs::read_to_string(dir.path().join("out-kept-1/note.txt")).unwrap(),
        "mine"
    );
    assert_eq!(
        fs::read_dir(dir.path().join("out-kept-1")).unwrap().count(),
        1
    );
    drop(dir2);
}

#[test]
fn on_a_disk_that_is_full_the_old_handover_and_its_zip_stay_whole() {
    let book = Book::small();
    fs::create_dir(book.path("small")).unwrap();
    let script = "mount -t tmpfs -o size=420k none \"$0/small\" || exit 77; \
                  \"$1\" handover \"$0\" --for customer --out \"$0/small/ho\" || exit 78; echo >> \"$0/days/day-01.md\"; \
                  for kib in 0 20 40 60 80; do head -c ${kib}k /dev/zero > \"$0/small/filler\"; \
                  \"$1\" handover \"$0\" --for customer --zip --out \"$0/small/ho\" && exit 79; \
                  \"$1\" verify \"$0/small/ho\" || exit 80; test ! -e \"$0/small/ho.zip\" || exit 81; done; \
                  rm \"$0/small/filler\"; ls -A \"$0/small\" > \"$0/left\"; exit 2";
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
    assert_eq!(fs::read_to_string(book.path("left")).unwrap(), "ho\n");
}

#[test]
fn two_handovers_at_once_into_one_folder_never_mix() {
    let (customer, audience) = (Book::small(), Book::small());
    for round in 0..6 {
        let (dir, out, zip) = place();
        let first = start("handover", &customer, &out, ZIPPED);
        let second = start(
            "handover",
            &audience,
            &out,
            &[
                "--for",
                if round % 2 == 0 {
                    "audience"
                } else {
                    "customer"
                },
                "--zip",
            ],
        );
        let ended = [first, second].map(|run| run.wait_with_output().unwrap());
        let fine = ended
            .iter()
            .filter(|output| output.status.code() == Some(0))
            .count();
        assert_eq!(fine, 1 + round % 2, "{ended:?}");
        assert!(
            verify(&out).0 == Some(0) && verify(&zip).0 == Some(0),
            "{ended:?}"
        );
        assert_eq!(verify(&out).1, verify(&zip).1);
        assert_eq!(
            below(dir.path())
                .keys()
                .filter(|path| !path.starts_with("out/"))
                .collect::<Vec<_>>(),
            ["out.zip"]
        );
    }
}

#[test]
fn a_handover_and_a_record_at_once_into_one_folder_never_mix() {
    let book = Book::small();
    for round in 0..6 {
        let (_dir, out, _) = place();
        let other = if round % 2 == 0 { "writeup" } else { "export" };
        let runs = [
            start("handover", &book, &out, &["--for", "customer"]),
            start(other, &book, &out, &[]),
        ];
        let ended = runs.map(|run| run.wait_with_output().unwrap());
        let fine = ended
            .iter()
            .filter(|output| output.status.code() == Some(0))
            .count();
        assert_eq!(fine, 1, "{ended:?}");
        assert_ne!(
            out.join("seal.json").exists(),
            [".shimbook-pages", ".shimbook-export"]
                .iter()
                .any(|list| out.join(list).exists())
        );
    }
}

#[test]
fn exports_at_once_into_one_folder_take_turns() {
    let book = Book::small();
    let (_dir, out, _) = place();
    let runs: Vec<_> = (0..4).map(|_| start("export", &book, &out, &[])).collect();
    for run in runs {
        let output = run.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{output:?}");
    }
}

#[test]
fn a_file_that_somebody_puts_into_a_handover_while_it_is_replaced_is_kept() {
    let book = Book::small();
    let (dir, out, _) = place();
    assert_eq!(run("handover", &book, &out, ZIPPED).0, Some(0));
    let (put, done) = (AtomicUsize::new(0), AtomicBool::new(false));
    std::thread::scope(|scope| {
        scope.spawn(|| {
            // Only while it is a sealed folder: a run that finds the file before it begins refuses.
            while !done.load(Relaxed) {
                let number = put.load(Relaxed);
                let path = out.join(format!("note-{number}.txt"));
                if fs::OpenOptions::new()
                    .write(true)
                    .create_new(true)
                    .open(&path)
                    .is_ok()
                {
                    put.store(number + 1, Relaxed);
                    // Gone again soon, so that the next run finds the handover as it was sealed; or
                    // kept elsewhere.
                    std::thread::sleep(Duration::from_micros(200));
                    if fs::remove_file(&path).is_ok() {
                        put.store(number, Relaxed);
                    }
                }
                std::thread::sleep(Duration::from_micros(300));
            }
        });
        for version in 0..60 {
            book.turn(version);
            run("handover", &book, &out, ZIPPED);
        }
        done.store(true, Relaxed);
    });
    let names = below(dir.path());
    for number in 0..put.load(Relaxed) {
        let name = format!("note-{number}.txt");
        assert!(
            names.keys().any(|path| path.ends_with(&name)),
            "{name} is lost; there are {:?}",
            names.keys()
        );
    }
    println!(
        "{} files were put there while the folder was replaced",
        put.load(Relaxed)
    );
}

#[test]
fn a_pipe_a_link_an_empty_folder_and_another_case_in_a_handover_are_named_and_never_opened() {
    let book = Book::small();
    let (dir, out, _) = place();
    assert_eq!(run("handover", &book, &out, ZIPPED).0, Some(0));
    let pipe = |path: &Path| assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
    pipe(&out.join("days/pipe"));
    fs::remove_file(out.join("jobs.html")).unwrap();
    pipe(&out.join("jobs.html"));
    symlink("index.html", out.join("start.html")).unwrap();
    symlink("days", out.join("logs")).unwrap();
    fs::create_dir_all(out.join("empty/inside")).unwrap();
    fs::rename(out.join("hold.html"), out.join("Hold.html")).unwrap();
    let (status, said) = verify(&out);
    assert_eq!(status, Some(1), "{said}");
    for line in [
        "added days/pipe: not a plain file",
        "changed jobs.html: now not a plain file",
        "added start.html: a link",
        "added logs: a link",
        "added empty/inside/: an empty folder",
        "added Hold.html: only its case differs from hold.html",
        "missing hold.html",
    ] {
        assert!(
            said.lines().any(|told| told == line),
            "no {line:?} in {said}"
        );
    }
    let alone = dir.path().join("alone");
    pipe(&alone);
    let mut child = Command::new(env!("CARGO_BIN_EXE_shimbook"))
        .arg("verify")
        .arg(&alone)
        .spawn()
        .unwrap();
    std::thread::sleep(Duration::from_secs(2));
    let ended = child.try_wait().unwrap();
    child.kill().ok();
    child.wait().unwrap();
    assert_eq!(
        ended.and_then(|status| status.code()),
        Some(2),
        "it waits for a pipe"
    );
}
