//! A zip is unchanged only where it is, byte for byte, the one that was written.
//!
//! In: the zip of a handover, edited at random and by another writer of zips. Out: tests that
//! `verify` never says unchanged of another, and names what is wrong where it can.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use proptest::prelude::*;
use proptest::test_runner::TestRunner;

const UNCHANGED: &str = "unchanged; ";

/// A folder with a handover in it, `out` and `out.zip`.
fn handed_over() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().expect("a folder");
    let book = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/commands/books/good");
    let mut command = Command::new(env!("CARGO_BIN_EXE_shimbook"));
    command
        .arg("handover")
        .arg(book)
        .args(["--for", "customer", "--zip", "--out"])
        .arg(dir.path().join("out"));
    let made = command.output().expect("the program runs");
    assert!(made.status.success(), "{made:?}");
    let zip = dir.path().join("out.zip");
    (dir, zip)
}

/// What `verify` says: does it call the zip unchanged, and its words.
fn verify(zip: &Path) -> (bool, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_shimbook"))
        .arg("verify")
        .arg(zip)
        .output()
        .expect("it runs");
    let said = String::from_utf8_lossy(&[output.stdout, output.stderr].concat()).into_owned();
    let unchanged = output.status.success();
    assert!(output.status.code().is_some_and(|code| code <= 2), "{said}");
    // The verdict is a line of its own; a forged name may hold the same words.
    assert_eq!(
        unchanged,
        said.lines().any(|line| line.starts_with(UNCHANGED)),
        "{said}"
    );
    (unchanged, said)
}

/// One edit of a zip's bytes; places are parts of 65,536 of its length.
#[derive(Clone, Debug)]
enum Edit {
    Flip(u16, u8),
    Insert(u16, Vec<u8>),
    Delete(u16, u8),
    /// A piece of the zip put elsewhere in it.
    Splice(u16, u16, u16),
    /// Two bytes, as counts and lengths are written.
    Number(u16, u16),
}

fn edit() -> impl Strategy<Value = Edit> {
    prop_oneof![
        (any::<u16>(), 1..=255_u8).prop_map(|(at, bits)| Edit::Flip(at, bits)),
        (any::<u16>(), proptest::collection::vec(any::<u8>(), 1..40))
            .prop_map(|(at, bytes)| Edit::Insert(at, bytes)),
        (any::<u16>(), 1..=255_u8).prop_map(|(at, length)| Edit::Delete(at, length)),
        (any::<u16>(), any::<u16>(), any::<u16>())
            .prop_map(|(from, to, at)| Edit::Splice(from, to, at)),
        (any::<u16>(), any::<u16>()).prop_map(|(at, number)| Edit::Number(at, number)),
    ]
}

/// Half the places are in the last 2,048 bytes, where the directory is.
fn place(part: u16, length: usize) -> usize {
    let within = if part.is_multiple_of(2) {
        length
    } else {
        length.min(2048)
    };
    length - within + ((usize::from(part / 2) * within) >> 15)
}

fn apply(bytes: &mut Vec<u8>, edit: &Edit) {
    let length = bytes.len();
    match edit {
        Edit::Flip(at, bits) => bytes[place(*at, length)] ^= bits,
        Edit::Insert(at, more) => {
            drop(bytes.splice(place(*at, length)..place(*at, length), more.iter().copied()));
        }
        Edit::Delete(at, count) => {
            let at = place(*at, length);
            bytes.drain(at..length.min(at + usize::from(*count)));
        }
        Edit::Splice(from, to, at) => {
            let (one, other) = (place(*from, length), place(*to, length));
            let piece = bytes[one.min(other)..one.max(other)].to_vec();
            let at = place(*at, length);
            bytes.splice(at..at, piece);
        }
        Edit::Number(at, number) => {
            let at = place(*at, length - 1);
            bytes[at..at + 2].copy_from_slice(&number.to_le_bytes());
        }
    }
}

#[test]
fn no_random_edit_of_a_zip_is_called_unchanged() {
    let (dir, zip) = handed_over();
    let sealed = fs::read(&zip).expect("a zip");
    assert!(verify(&zip).0);
    let path = dir.path().join("edited.zip");
    let mut runner = TestRunner::new(crate::cases::dice("handover", 400));
    let edits = proptest::collection::vec(edit(), 1..4);
    runner
        .run(&edits, |edits| {
            let mut edited = sealed.clone();
            for edit in &edits {
                apply(&mut edited, edit);
            }
            fs::write(&path, &edited).expect("written");
            let (unchanged, said) = verify(&path);
            prop_assert_eq!(unchanged, edited == sealed, "{}", said);
            Ok(())
        })
        .unwrap_or_else(|failed| panic!("{failed}"));
}

/// The zips that Python makes of a sealed one, by what was done; `None` where there is no Python.
fn foreign(dir: &Path, zip: &Path, random: usize) -> Option<BTreeMap<String, PathBuf>> {
    let folder = dir.join("foreign");
    fs::create_dir(&folder).expect("made");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/handover/foreign.py");
    let mut command = Command::new("python3");
    command
        .args(["-W", "ignore"])
        .arg(script)
        .arg(zip)
        .arg(&folder)
        .arg(random.to_string());
    let Ok(made) = command.output() else {
        println!("skipped: there is no python3 to write zips with");
        return None;
    };
    assert!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );
    let files = fs::read_dir(&folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path());
    Some(
        files
            .map(|path| {
                (
                    path.file_stem()
                        .expect("a name")
                        .to_string_lossy()
                        .into_owned(),
                    path,
                )
            })
            .collect(),
    )
}

#[test]
fn no_zip_that_another_program_wrote_or_added_to_is_called_unchanged() {
    let (dir, zip) = handed_over();
    let Some(made) = foreign(dir.path(), &zip, 200) else {
        return;
    };
    assert!(made.len() > 220);
    let sealed = fs::read(&zip).expect("a zip");
    let taken: Vec<&String> = made
        .iter()
        .filter(|(_, path)| verify(path).0 && fs::read(path).expect("a zip") != sealed)
        .map(|(name, _)| name)
        .collect();
    assert_eq!(taken, Vec::<&String>::new(), "called unchanged");
}

#[test]
fn another_program_unpacks_the_zip_to_the_files_of_the_folder() {
    let (dir, zip) = handed_over();
    let unpacked = dir.path().join("unpacked");
    let mut command = Command::new("python3");
    command
        .args(["-m", "zipfile", "-e"])
        .args([&zip, &unpacked]);
    let Ok(done) = command.output() else {
        return println!("skipped: there is no python3 to unpack zips with");
    };
    assert!(done.status.success(), "{done:?}");
    let difference = Command::new("diff")
        .arg("-r")
        .args([&unpacked, &dir.path().join("out")])
        .output()
        .expect("runs");
    assert!(difference.status.success(), "{difference:?}");
    assert!(verify(&unpacked).0, "what was unpacked is unchanged too");
}

#[test]
fn what_differs_in_a_zip_is_named() {
    let (dir, zip) = handed_over();
    let Some(made) = foreign(dir.path(), &zip, 0) else {
        return;
    };
    let named = [
        ("an entry more", "added evil.html"),
        (
            "an entry more that ends in a backslash",
            "added evil.html\\",
        ),
        ("a folder more", "added evil/"),
        ("a path that leads out", "added ../slip.txt"),
        (
            "a name in another case",
            "added Index.html: only its case differs from index.html",
        ),
        (
            "a name in another form of Unicode",
            "added inde\\u{301}x.html",
        ),
        ("a duplicate", "this zip contains index.html more than once"),
        (
            "beyond the count",
            "this zip contains index.html more than once",
        ),
        ("beyond the count, leading out", "added ../slip.txt"),
        (
            "counted by zip64",
            "this zip contains index.html more than once",
        ),
        (
            "only in the directory",
            "this zip contains more than Shimbook wrote: ../slip.txt",
        ),
        (
            "outside the directory",
            "this zip contains index.html more than once",
        ),
        (
            "in front, outside the directory",
            "this zip contains index.html more than once",
        ),
        ("a local header with another name", "added ZZZZZZZZZZ"),
        (
            "bytes in front",
            "this zip has 11 bytes before its first file",
        ),
        ("bytes behind", "this zip has 8 bytes after its end"),
        (
            "packed",
            "index.html is not stored the way Shimbook stores it",
        ),
        (
            "a remark on the whole",
            "is not stored the way Shimbook stores it",
        ),
        ("a changed page", "changed index.html"),
        ("without its last file", "missing style.css"),
        ("without its seal", "missing seal.json"),
        (
            "the other way round",
            "the files of this zip are not in the order that Shimbook writes them",
        ),
    ];
    for (name, words) in named {
        let (_, said) = verify(&made[name]);
        assert!(said.contains(words), "{name}: no {words:?} in {said}");
    }
}
