//! Canaries: 200 books full of secrets, handed over to every audience, and looked through byte by
//! byte.

use rayon::prelude::*;
use shimbook::book::{NamesSeen, Sight};
use shimbook::handover::{self, Order, SEAL, hand_over};
use shimbook::io::write_zip;
use shimbook::render::{Pages, Theme, press};

use crate::book::{Kind, Made};
use crate::decode::{is_page, readings, unescaped};

const AUDIENCES: [&str; 4] = ["audience", "passer_by", "sponsor", "customer"];

/// May this audience see secrets of that kind?
fn sees(sight: Sight, kind: Kind) -> bool {
    match kind {
        Kind::Cost => sight.costs,
        Kind::Serial => sight.serials,
        Kind::Supplier => sight.suppliers,
        Kind::Name => sight.names == NamesSeen::Full,
        Kind::Shop => false,
    }
}

/// The files of a handover, and the zip that is sent.
fn handed(made: &Made, audience: &str, theme: &Theme) -> (Pages, Sight) {
    let book = made.worked();
    let errors: Vec<&String> = book
        .build
        .diagnostics
        .iter()
        .filter(|found| found.severity == shimbook::diagnostics::Severity::Error)
        .map(|found| &found.message)
        .collect();
    assert!(errors.is_empty(), "the book itself is in error: {errors:?}");
    let sight = book.build.book.sheet.audiences[audience];
    let order = Order {
        audience,
        sight,
        as_is: Some("The signer"),
        sources: String::new(),
    };
    let files = hand_over(&book, &made.prints(&book.build), theme, &order)
        .and_then(handover::Made::sealed)
        .expect("it can be made")
        .0;
    let mut zip = Vec::new();
    write_zip(&files, &mut zip).expect("a zip");
    let names: Vec<u8> = files
        .keys()
        .flat_map(|path| path.bytes().chain([b'\n']))
        .collect();
    let mut all = files;
    all.insert("the names of the files".to_owned(), names);
    all.insert("the zip".to_owned(), zip);
    (all, sight)
}

/// The seal without the sizes of its files: among so many figures one may by chance be a cost.
fn without_sizes(path: &str, bytes: &[u8]) -> Vec<u8> {
    let text = String::from_utf8_lossy(bytes);
    let lines = text
        .split_inclusive('\n')
        .filter(|line| !line.trim_start().starts_with("\"bytes\": "));
    if [SEAL, "the zip"].contains(&path) {
        lines.collect::<String>().into_bytes()
    } else {
        bytes.to_vec()
    }
}

/// Where a secret stands in a text; figures alone are found as a whole number, not in the middle of
/// a hash.
fn place(text: &str, secret: &str) -> Option<usize> {
    let figures = secret.bytes().all(|byte| byte.is_ascii_digit());
    let joins = |c: Option<char>| figures && c.is_some_and(|c| c.is_ascii_hexdigit());
    let found = text.match_indices(secret).find(|(at, _)| {
        !joins(text[..*at].chars().next_back()) && !joins(text[at + secret.len()..].chars().next())
    });
    found.map(|(at, _)| at)
}

/// The secrets of a book that stand somewhere in a handover, with where.
fn leaks(made: &Made, audience: &str, theme: &Theme) -> Vec<String> {
    let (files, sight) = handed(made, audience, theme);
    let hidden: Vec<(Kind, String)> = made
        .secrets
        .iter()
        .filter(|(kind, _)| !sees(sight, *kind))
        .map(|(kind, text)| (*kind, text.to_lowercase()))
        .collect();
    let mut leaks = Vec::new();
    let mut text = String::new();
    for (path, bytes) in &files {
        for reading in readings(&without_sizes(path, bytes)) {
            for (kind, secret, at) in hidden
                .iter()
                .filter_map(|(kind, secret)| Some((kind, secret, place(&reading, secret)?)))
            {
                let from = (0..=at.saturating_sub(60))
                    .rev()
                    .find(|at| reading.is_char_boundary(*at))
                    .unwrap_or(0);
                leaks.push(format!(
                    "{audience}: {kind:?} {secret} in {path}: …{}",
                    &reading[from..at + secret.len()]
                ));
            }
        }
        if is_page(path) {
            text.push_str(&unescaped(&String::from_utf8_lossy(bytes)));
        }
    }
    leaks.extend(
        made.safety
            .iter()
            .filter(|line| !text.contains(line.as_str()))
            .map(|line| format!("{audience}: not told: {line}")),
    );
    leaks.sort();
    leaks.dedup();
    leaks
}

fn no_leaks(seed: u64, size: u64, audiences: &[&str], theme: &Theme) {
    let made = Made::new(seed, size);
    for audience in audiences {
        let leaks = leaks(&made, audience, theme);
        assert!(
            leaks.is_empty(),
            "seed {seed}: {} leaks\n{}",
            leaks.len(),
            leaks[..leaks.len().min(20)].join("\n")
        );
    }
}

#[test]
fn no_byte_of_a_handover_holds_what_its_audience_may_not_see_and_every_safety_line_is_there() {
    let theme = Theme::built_in().expect("the theme");
    (0..200_u64).into_par_iter().for_each(|seed| {
        no_leaks(
            seed,
            1,
            &[AUDIENCES[seed as usize % AUDIENCES.len()]],
            &theme,
        );
    });
}

#[test]
fn three_hundred_secrets_stay_at_home_and_a_hundred_safety_lines_do_not() {
    let theme = Theme::built_in().expect("the theme");
    for seed in [1_000, 1_001] {
        let made = Made::new(seed, 17);
        assert!(
            made.secrets.len() > 300 && made.safety.len() > 100,
            "{} {}",
            made.secrets.len(),
            made.safety.len()
        );
        AUDIENCES
            .par_iter()
            .for_each(|audience| no_leaks(seed, 17, &[audience], &theme));
    }
}

#[test]
fn the_crews_own_record_holds_every_secret_so_that_there_is_something_to_find() {
    let theme = Theme::built_in().expect("the theme");
    let made = Made::new(7, 3);
    let book = made.worked();
    let mut files = press(&book.draft(), &theme).expect("the record");
    files.extend(made.photos.clone());
    let names: String = files
        .keys()
        .flat_map(|path| [path.as_str(), "\n"])
        .collect();
    let all: String = files
        .values()
        .flat_map(|bytes| readings(bytes))
        .collect::<Vec<_>>()
        .concat()
        + &names;
    let missing: Vec<_> = made
        .secrets
        .iter()
        .filter(|(_, secret)| place(&all, &secret.to_lowercase()).is_none())
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}
