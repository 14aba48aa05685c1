//! A seal tells of every file that is no longer as it was handed over.
//!
//! In: a handover on disk and in a zip, tampered with in each way there is. Out: tests.

use std::fs;
use std::path::{Path, PathBuf};

use shimbook::handover::{self, Order, SEAL, SUMS, hand_over, verify_at};
use shimbook::io::write_zip;
use shimbook::render::{Pages, Theme};

use crate::book::Made;

fn files(seed: u64) -> Pages {
    let made = Made::new(seed, 2);
    let book = made.worked();
    let sight = book.build.book.sheet.audiences["audience"];
    let order = Order {
        audience: "audience",
        sight,
        as_is: Some("The signer"),
        sources: "0".to_owned(),
    };
    let theme = Theme::built_in().expect("the theme");
    hand_over(&book, &made.prints(&book.build), &theme, &order)
        .and_then(handover::Made::sealed)
        .expect("it can be made")
        .0
}

fn write(files: &Pages, root: &Path) {
    for (path, bytes) in files {
        let on_disk = root.join(path);
        fs::create_dir_all(on_disk.parent().expect("a folder")).expect("made");
        fs::write(on_disk, bytes).expect("written");
    }
}

/// A handover on disk, and what `verify` says once something was done to it.
fn wrong_after(tamper: impl Fn(PathBuf)) -> Vec<String> {
    let dir = tempfile::tempdir().expect("a folder");
    let root = dir.path().join("handed");
    write(&files(1), &root);
    assert_eq!(wrong(&root), Vec::<String>::new(), "as it was made");
    tamper(root.clone());
    wrong(&root)
}

fn wrong(path: &Path) -> Vec<String> {
    verify_at(path).expect("it can be looked at").wrong
}

#[test]
fn one_changed_sign_in_any_file_is_named() {
    let files = files(1);
    for path in files.keys().filter(|path| *path != SEAL) {
        let told = wrong_after(|root| {
            let mut bytes = fs::read(root.join(path)).expect("read");
            let middle = bytes.len() / 2;
            bytes[middle] ^= 1;
            fs::write(root.join(path), bytes).expect("written");
        });
        assert_eq!(told, [format!("changed {path}")]);
    }
}

#[test]
fn a_missing_an_added_and_a_renamed_file_are_named() {
    let gone = wrong_after(|root| fs::remove_file(root.join("jobs.html")).expect("gone"));
    assert_eq!(gone, ["missing jobs.html"]);
    let added = wrong_after(|root| fs::write(root.join("days/extra.html"), "x").expect("written"));
    assert_eq!(added, ["added days/extra.html"]);
    let renamed = wrong_after(|root| {
        fs::rename(root.join("hold.html"), root.join("Hold.html")).expect("renamed");
    });
    assert_eq!(
        renamed,
        [
            "added Hold.html: only its case differs from hold.html",
            "missing hold.html"
        ]
    );
    let sums = wrong_after(|root| fs::remove_file(root.join(SUMS)).expect("gone"));
    assert_eq!(sums, [format!("missing {SUMS}")]);
}

#[test]
#[cfg(unix)]
fn a_link_in_the_place_of_a_file_is_named_though_what_it_leads_to_is_the_same() {
    let told = wrong_after(|root| {
        let aside = root.parent().expect("a folder").join("aside.html");
        fs::rename(root.join("index.html"), &aside).expect("moved");
        std::os::unix::fs::symlink(&aside, root.join("index.html")).expect("linked");
    });
    assert_eq!(told, ["changed index.html: now a link"]);
}

#[test]
fn a_seal_that_was_changed_or_is_gone_seals_nothing() {
    let changed = [format!(
        "changed {SEAL}: it is not a seal, or no longer the one that was made"
    )];
    let rewrite = |change: &dyn Fn(String) -> String| {
        wrong_after(|root| {
            let text = fs::read_to_string(root.join(SEAL)).expect("text");
            let other = change(text.clone());
            assert_ne!(text, other);
            fs::write(root.join(SEAL), other).expect("written");
        })
    };
    assert_eq!(
        rewrite(&|text| text.replace("\"as_is\": \"The signer\"", "\"as_is\": null")),
        changed
    );
    assert_eq!(
        rewrite(&|text| text.replace("\"audience\": \"audience\"", "\"audience\": \"customer\"")),
        changed
    );
    assert_eq!(
        rewrite(&|text| text.replacen("\"bytes\": ", "\"bytes\": 1", 1)),
        changed
    );
    assert_eq!(rewrite(&|_| "{}".to_owned()), changed);
    assert_eq!(
        wrong_after(|root| fs::remove_file(root.join(SEAL)).expect("gone")),
        [format!("missing {SEAL}")]
    );
}

#[test]
fn a_seal_made_anew_after_a_change_has_another_hash() {
    let dir = tempfile::tempdir().expect("a folder");
    let mut other = files(1);
    write(&other, &dir.path().join("first"));
    let hash = |name: &str| verify_at(&dir.path().join(name)).expect("looked at").hash;
    let seal: handover::Seal = serde_json::from_slice(&other[SEAL]).expect("a seal");
    other.retain(|path, _| path != SEAL && path != SUMS);
    other.insert("index.html".to_owned(), b"another cover".to_vec());
    handover::seal(&mut other, seal).expect("sealed");
    write(&other, &dir.path().join("second"));
    assert_eq!(wrong(&dir.path().join("second")), Vec::<String>::new());
    assert_ne!(
        hash("first"),
        hash("second"),
        "which is why the hash is told to the customer by another way"
    );
}

fn zipped(files: &Pages) -> Vec<u8> {
    let mut zip = Vec::new();
    write_zip(files, &mut zip).expect("a zip");
    zip
}

#[test]
fn the_same_book_gives_the_same_zip_to_the_byte_and_the_zip_verifies() {
    let zip = zipped(&files(5));
    assert_eq!(zip, zipped(&files(5)));
    assert_ne!(zip, zipped(&files(6)));
    let dir = tempfile::tempdir().expect("a folder");
    let path = dir.path().join("handed.zip");
    fs::write(&path, &zip).expect("written");
    assert_eq!(wrong(&path), Vec::<String>::new());
    let mut changed = files(5);
    changed.insert("ledger.html".to_owned(), b"x".to_vec());
    changed.remove("methods.html");
    fs::write(&path, zipped(&changed)).expect("written");
    assert_eq!(
        wrong(&path),
        ["changed ledger.html", "missing methods.html"]
    );
    fs::write(&path, [zip.as_slice(), b"more behind it"].concat()).expect("written");
    assert!(
        !wrong(&path).is_empty(),
        "what hangs behind a zip is told of"
    );
}
