//! Work grows with the book, not with its square: formulas worked out are counted, so that no clock
//! is asked.
//!
//! The large book of the bench at one, two and four times its size; then shapes that a careless way
//! through the names would take far too long for: long chains, wide fans, ladders with a path for
//! every subset, blocks full of rings.

#[path = "../bench/big_book.rs"]
mod big_book;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use big_book::Scale;
use shimbook::build::{Build, compile};
use shimbook::diagnostics::{Severity, Slug};
use shimbook::io::BookFiles;
use shimbook::pages::{Evenings, PageSet};
use shimbook::render::{Press, Theme};

const SEED: u64 = 41;

fn built(texts: &BTreeMap<String, String>) -> Build {
    compile(BookFiles::from_texts(
        texts
            .iter()
            .map(|(path, text)| (path.as_str(), text.as_str())),
    ))
}

/// A book of sums only, a block a day.
fn sums(blocks: &[String]) -> Build {
    let sheet = format!(
        "title: x\nstart: 2031-01-06\ndays: {}\ncrew: [{{name: Ines, hours: 8}}]\n",
        blocks.len()
    );
    let mut texts = BTreeMap::from([("build-sheet.yaml".to_owned(), sheet)]);
    for (index, block) in blocks.iter().enumerate() {
        let day = index + 1;
        texts.insert(
            format!("days/day-{day:02}.md"),
            format!("---\nday: {day}\n---\n```sums\n{block}```\n"),
        );
    }
    built(&texts)
}

fn lines(count: usize, line: impl Fn(usize) -> String) -> String {
    (0..count).fold(String::new(), |mut block, index| {
        writeln!(block, "{}", line(index)).unwrap();
        block
    })
}

fn errors(build: &Build, slug: Slug) -> usize {
    build
        .diagnostics
        .iter()
        .filter(|found| found.slug == slug && found.severity == Severity::Error)
        .count()
}

#[test]
fn the_large_book_has_nothing_wrong_in_it() {
    let build = built(&big_book::book(Scale::days(120), SEED));
    let said: Vec<&str> = build
        .diagnostics
        .iter()
        .map(|found| found.message.as_str())
        .collect();
    assert_eq!(said, [""; 0]);
    assert!(
        build.worked.checks.len() > 500
            && build.jobs.jobs.len() > 900
            && build.book.parts.len() > 300
    );
}

/// Bytes of what the search line finds.
fn found(days: u32) -> f64 {
    let build = built(&big_book::book(Scale::days(days), SEED));
    let evenings = Evenings::of(&build);
    let (page_set, theme) = (PageSet::new(&build, &evenings), Theme::built_in().unwrap());
    let script = Press::new(&page_set, &theme).search().unwrap();
    script.len() as f64
}

#[test]
fn what_the_search_line_finds_grows_with_the_book_and_stays_well_below_it() {
    let sizes = [60, 120, 240].map(found);
    for (more, less) in [(1, 0), (2, 1)] {
        let grew = sizes[more] / sizes[less];
        assert!(grew < 2.1, "{sizes:?}");
    }
    let book: usize = big_book::book(Scale::days(240), SEED)
        .values()
        .map(String::len)
        .sum();
    assert!(sizes[2] < book as f64, "{} of {book}", sizes[2]);
}

#[test]
fn twice_the_book_is_little_more_than_twice_the_work() {
    let scales = [60, 120, 240].map(Scale::days);
    let work = scales.map(|scale| built(&big_book::book(scale, SEED)).worked.evaluations as f64);
    let allowed = scales.map(|scale| f64::from(scale.sums) * f64::from(scale.sums).ln());
    for (more, less) in [(1, 0), (2, 0), (2, 1)] {
        let (grew, may_grow) = (work[more] / work[less], allowed[more] / allowed[less]);
        // A tenth more than n log n: what a re-measured name moves differs from book to book.
        assert!(
            grew <= may_grow * 1.1,
            "{grew:.2} times the work for {may_grow:.2} times the book: {work:?}"
        );
    }
}

#[test]
fn a_long_chain_is_worked_out_link_by_link() {
    for count in [1_000, 4_000] {
        let chain = lines(count, |n| {
            if n == 0 {
                "c0 = 1 mm".to_owned()
            } else {
                format!("c{n} = c{} + 1 mm", n - 1)
            }
        });
        let build = sums(&[chain, "c0 = 2 mm\n".to_owned()]);
        assert_eq!(build.count(Severity::Error), 0);
        assert_in_reach(build.worked.evaluations, 2 * count);
    }
}

#[test]
fn a_chain_written_from_its_end_is_no_more_work() {
    for count in [1_000, 4_000] {
        let chain = lines(count, |n| format!("c{n} = c{} + 1 mm", n + 1));
        let build = sums(&[chain, format!("c{count} = 2 mm\n")]);
        assert_eq!(build.count(Severity::Error), 0);
        assert_in_reach(build.worked.evaluations, 2 * count);
    }
}

#[test]
fn a_wide_fan_is_worked_out_once_for_each_change() {
    for count in [1_000, 4_000] {
        let fan = lines(count, |n| format!("f{n} = hub * {} + 1 mm", n + 1));
        let build = sums(&[
            "hub measured 5 ± 0.1 mm\n".to_owned() + &fan,
            "hub measured 6 ± 0.1 mm\n".to_owned(),
        ]);
        assert_eq!(build.count(Severity::Error), 0);
        assert_in_reach(build.worked.evaluations, 2 * count);
    }
}

#[test]
fn a_ladder_with_a_path_for_every_subset_is_worked_out_rung_by_rung() {
    for count in [500, 2_000] {
        let ladder = lines(count, |n| {
            format!(
                "l{0} = (l{n} + r{n}) / 2 as mm\nr{0} = (l{n} - r{n} / 2) as mm",
                n + 1
            )
        });
        let build = sums(&[
            "l0 = 5 mm\nr0 = 4 mm\n".to_owned() + &ladder,
            "l0 = 6 mm\n".to_owned(),
        ]);
        assert_eq!(build.count(Severity::Error), 0);
        assert_in_reach(build.worked.evaluations, 4 * count);
    }
}

#[test]
fn blocks_full_of_rings_are_refused_ring_by_ring() {
    for count in [500, 2_000] {
        let one_ring = lines(count, |n| format!("a{n} = a{} + 1 mm", (n + 1) % count));
        let pairs = lines(count, |n| format!("p{n} = p{} + 1 mm", n ^ 1));
        let chords = lines(count, |n| {
            format!("x{n} = x{} + x{}", (n + 1) % count, (n * 7 + 3) % count)
        });
        for (block, rings) in [
            (one_ring, 1..=1),
            (pairs, count / 2..=count / 2),
            (chords, 1..=count),
        ] {
            let build = sums(&[block]);
            assert!(
                rings.contains(&errors(&build, Slug::Loop)),
                "{} rings",
                errors(&build, Slug::Loop)
            );
            assert_in_reach(build.worked.evaluations, count);
        }
    }
}

/// A few more than needed may be worked out, never a share more.
fn assert_in_reach(evaluations: usize, needed: usize) {
    assert!(
        evaluations <= needed + 10,
        "{evaluations} formulas worked out, {needed} are enough"
    );
}
