//! The order of the program's modules, the size of its files, the names of its types, and what the
//! documents say of them.
//!
//! In: the text of `src/` and of the documents. Out: tests that fail on an import from a later
//! module, on a type name that is defined twice or that stands in a text for the crew, on a file
//! without a head or too long, on a document that names what is not there.

#![allow(clippy::disallowed_methods, reason = "tests read files")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// The modules of the library, each after all that it imports.
const ORDER: [&str; 28] = [
    "source",
    "diagnostics",
    "io",
    "quantity",
    "markdown",
    "book",
    "calc",
    "parts",
    "jobs",
    "hold",
    "warnings",
    "forecast",
    "morning",
    "photos",
    "drawings",
    "causes",
    "build",
    "pages",
    "export",
    "redaction",
    "render",
    "photo_cache",
    "open_book",
    "handover",
    "writeup",
    "wall",
    "commands",
    "testing",
];

/// A path of the repository.
fn at(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn read(path: &str) -> String {
    std::fs::read_to_string(at(path)).expect("text")
}

fn source_folder() -> PathBuf {
    at("src")
}

/// The Rust files below a folder, with their text.
fn files(folder: &Path) -> BTreeMap<PathBuf, String> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            found.extend(files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let text = std::fs::read_to_string(&path).expect("text");
            found.insert(path, text);
        }
    }
    found
}

/// Is this a file of unit tests?
fn is_test(path: &Path) -> bool {
    let of_tests = |part: &std::ffi::OsStr| part == "tests" || part == "tests.rs";
    path.components().any(|part| of_tests(part.as_os_str())) || path.ends_with("testing.rs")
}

/// The lines of a file without comments and without its unit tests, which stand at its end.
fn code(text: &str) -> Vec<&str> {
    let all: Vec<&str> = text.lines().collect();
    let tests = all
        .windows(2)
        .position(|two| two[0] == "#[cfg(test)]" && two[1].ends_with('{'));
    let code = all[..tests.unwrap_or(all.len())].iter().copied();
    code.filter(|line| !line.trim_start().starts_with("//"))
        .collect()
}

/// The module of the library that a file is part of.
fn module(path: &Path) -> String {
    let below = path.strip_prefix(source_folder()).expect("below src");
    let first = below.components().next().expect("a part").as_os_str();
    first.to_string_lossy().trim_end_matches(".rs").to_owned()
}

/// The modules of the library that some code names: `crate::book`, `use crate::{book, calc}`.
fn imports(code: &[&str]) -> BTreeSet<String> {
    let text = code.join("\n");
    let mut found = BTreeSet::new();
    for rest in text.split("crate::").skip(1) {
        let names = match rest.strip_prefix('{') {
            Some(list) => top_of_list(list),
            None => vec![rest],
        };
        found.extend(names.into_iter().map(first_word));
    }
    found
}

/// The items of `a, b::{c, d}, e}…`, cut at the commas of its own depth.
fn top_of_list(list: &str) -> Vec<&str> {
    let (mut depth, mut start, mut items) = (0, 0, Vec::new());
    for (at, letter) in list.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' if depth == 0 => {
                items.push(&list[start..at]);
                break;
            }
            '}' => depth -= 1,
            ',' if depth == 0 => {
                items.push(&list[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    items
}

fn first_word(text: &str) -> String {
    let is_word = |letter: &char| letter.is_alphanumeric() || *letter == '_';
    text.trim_start().chars().take_while(is_word).collect()
}

#[test]
fn every_module_imports_from_earlier_modules_only() {
    let place = |name: &str| ORDER.iter().position(|module| *module == name);
    let mut wrong = Vec::new();
    for (path, text) in files(&source_folder()) {
        let own = module(&path);
        if is_test(&path) || ["lib", "main", "build_script"].contains(&&*own) {
            continue;
        }
        let at = place(&own).unwrap_or_else(|| panic!("give `{own}` a place in the order"));
        let imported = imports(&code(&text)).into_iter();
        let later = imported.filter(|name| place(name).is_some_and(|other| other > at));
        wrong.extend(later.map(|name| format!("{} imports {name}", path.display())));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn imports_are_found_in_each_form() {
    let found = |text: &str| imports(&code(text)).into_iter().collect::<Vec<_>>();
    assert_eq!(found("use crate::book::{Book, Part};"), ["book"]);
    assert_eq!(
        found("use crate::{parts::figures, warnings::{a, b}, io};"),
        ["io", "parts", "warnings"]
    );
    assert_eq!(found("    let day = crate::hold::on_day(1);"), ["hold"]);
    assert_eq!(found("// crate::wall"), [""; 0]);
    assert_eq!(
        found("use crate::io;\n#[cfg(test)]\nmod tests {\n use crate::wall;\n}"),
        ["io"]
    );
}

#[test]
fn every_module_of_the_library_has_a_place_in_the_order() {
    let modules: BTreeSet<String> = files(&source_folder())
        .keys()
        .map(|path| module(path))
        .collect();
    let lost: Vec<_> = ORDER
        .iter()
        .filter(|name| !modules.contains(**name))
        .collect();
    assert!(lost.is_empty(), "these are not modules: {lost:?}");
}

#[test]
fn every_file_begins_with_what_it_is_for() {
    let bare: Vec<_> = files(&source_folder())
        .into_iter()
        .filter(|(_, text)| !text.starts_with("//!"))
        .map(|(path, _)| path)
        .collect();
    assert!(bare.is_empty(), "{bare:?}");
}

/// How often each name of a public type is defined.
fn public_types() -> BTreeMap<String, usize> {
    let mut defined: BTreeMap<String, usize> = BTreeMap::new();
    let files = files(&source_folder());
    for text in files
        .iter()
        .filter(|(path, _)| !is_test(path))
        .map(|(_, text)| text)
    {
        for line in code(text) {
            let line = line.trim_start();
            let kinds = ["pub struct ", "pub enum ", "pub trait ", "pub type "];
            if let Some(rest) = kinds.iter().find_map(|kind| line.strip_prefix(kind)) {
                *defined.entry(first_word(rest)).or_default() += 1;
            }
        }
    }
    defined
}

#[test]
fn a_public_type_name_is_defined_once() {
    let types = public_types().into_iter();
    let doubled: Vec<_> = types.filter(|(_, times)| *times > 1).collect();
    assert!(doubled.is_empty(), "give each its own name: {doubled:?}");
}

#[test]
fn no_text_for_the_crew_holds_the_name_of_a_type() {
    // A name of two words, such as `HoldList`, is no word of any text.
    let is_compound = |name: &String| name.chars().skip(1).any(char::is_uppercase);
    let names: BTreeSet<String> = public_types().into_keys().filter(is_compound).collect();
    assert!(names.contains("HoldList"), "types are found");
    let mut texts: Vec<(String, String)> = ["README.md", "CHANGELOG.md"]
        .map(|path| (path.to_owned(), read(path)))
        .into();
    for formula in shimbook::calc::catalogue::all() {
        let words = [
            formula.says,
            formula.source,
            formula.caution.unwrap_or_default(),
        ];
        texts.push((formula.name.to_owned(), words.join(" ")));
    }
    for caution in shimbook::book::Caution::ALL {
        let words = shimbook::hold::cautions::entry(*caution);
        let words = [
            words.title,
            words.hazard,
            words.precautions,
            words.first_word,
        ];
        texts.push((format!("{caution:?}"), words.join(" ")));
    }
    for folder in ["tests/spec", "tests/commands/snapshots"] {
        let printed = std::fs::read_dir(at(folder)).expect("the folder is there");
        let printed = printed.map(|entry| entry.expect("an entry").path());
        for path in printed.filter(|path| path.extension().is_some_and(|ending| ending != "rs")) {
            let text = std::fs::read_to_string(&path).expect("text");
            texts.push((path.display().to_string(), text));
        }
    }
    for (place, text) in texts {
        let words = text.split(|letter: char| !letter.is_alphanumeric());
        let wrong: Vec<&str> = words.filter(|word| names.contains(*word)).collect();
        assert!(wrong.is_empty(), "{place}: {wrong:?}");
    }
}

#[test]
fn main_is_short_and_no_file_is_long() {
    for (path, text) in files(&source_folder()) {
        let most = if path.ends_with("src/main.rs") {
            40
        } else {
            800
        };
        let lines = text.lines().count();
        assert!(lines <= most, "{} has {lines} lines", path.display());
    }
}

#[test]
fn every_room_of_the_house_stands_in_the_developers_table() {
    let table = read("DEVELOPERS.md");
    for room in std::fs::read_dir(source_folder())
        .expect("src is there")
        .flatten()
    {
        let name = room.file_name().to_string_lossy().into_owned();
        assert!(
            !room.path().is_dir() || table.contains(&format!("| `src/{name}/`")),
            "DEVELOPERS.md does not tell of src/{name}/"
        );
    }
}

#[test]
fn every_file_that_the_documents_name_is_there() {
    let text = read("DEVELOPERS.md");
    let named = text.split('`').skip(1).step_by(2);
    let is_path = |word: &&str| {
        let ends = |ending: &str| word.ends_with(ending) && word.len() > ending.len();
        word.contains('/') && !word.contains(char::is_whitespace) && (ends(".rs") || ends("/"))
    };
    let places = ["", "src", "src/calc", "tests"].map(at);
    let lost: Vec<&str> = named
        .filter(is_path)
        .filter(|path| !path.contains('{') && !path.starts_with("target/"))
        .filter(|path| !places.iter().any(|place| place.join(path).exists()))
        .collect();
    assert!(lost.is_empty(), "{lost:?}");
    assert!(text.contains("src/io/"), "paths are found");
}
