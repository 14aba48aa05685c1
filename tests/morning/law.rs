//! Whatever a crew writes, the next morning's log changes no job and finds nothing new.

use proptest::prelude::*;
use shimbook::book::Entry;
use shimbook::build::Build;
use shimbook::hold;
use shimbook::markdown::Piece;

use crate::{Texts, built, next_day, texts, with_log};

/// What titles and reasons are made of: words, and every sign that means something somewhere.
const PIECES: [&str; 34] = [
    "rail ",
    "Träger",
    " ",
    ",",
    ", by Ines",
    "{",
    "}",
    "{a}",
    "{a, by Odd Ö.}",
    "`",
    "`a`",
    "`arch_gap`",
    "*",
    "_",
    "~~",
    "[",
    "]",
    "[x](x.md)",
    "![p](photos/no.png)",
    "[^1]",
    "[ ] ",
    "<b>",
    "<!--",
    "&amp;",
    "#",
    "1. ",
    "- ",
    "|",
    "\\",
    "\"",
    "held up: x",
    "temp: y",
    "```sums",
    "\t",
];

const TAILS: [&str; 12] = [
    ", by Ines",
    ", by Ines + Odd Ö.",
    ", takes 3 h",
    ", took 1.5 h",
    ", again: bent",
    ", dropped: not wanted",
    ", caution steering",
    ", caution lifting",
    ", temp: a strap",
    ", temp: a {strap",
    ", made good by Ines",
    ", follows a",
];

fn words() -> impl Strategy<Value = String> {
    prop::collection::vec(prop::sample::select(PIECES.to_vec()), 0..5)
        .prop_map(|pieces| pieces.concat())
}

/// One line of a task list.
fn job() -> impl Strategy<Value = String> {
    let held_up = prop::option::weighted(0.3, words().prop_map(|why| format!(", held up: {why}")));
    let tails = prop::collection::vec(prop::sample::select(TAILS.to_vec()), 0..3);
    (
        any::<bool>(),
        words(),
        prop::sample::select(vec!["a", "b", "c", "d"]),
        tails,
        held_up,
    )
        .prop_map(|(ticked, title, id, tails, held_up)| {
            let tick = if ticked { 'x' } else { ' ' };
            format!(
                "- [{tick}] {title} {{{id}{}{}}}\n",
                tails.concat(),
                held_up.unwrap_or_default()
            )
        })
}

fn list(most: usize) -> impl Strategy<Value = String> {
    prop::collection::vec(job(), 0..most).prop_map(|jobs| jobs.concat())
}

fn part() -> impl Strategy<Value = String> {
    (words(), words(), 1..6_u32).prop_map(|(what, from, need)| {
        let quoted = |words: &str| serde_json::to_string(&format!("x{words}")).expect("text");
        format!(
            "p:\n  what: {}\n  from: {}\n  lead: 1 day\n  need: day {need}\n",
            quoted(&what),
            quoted(&from)
        )
    })
}

fn any_book() -> impl Strategy<Value = Texts> {
    let days = prop::sample::subsequence(vec![1_u32, 2, 3, 5], 0..=4);
    (
        list(3),
        list(3),
        days,
        prop::collection::vec(list(4), 4),
        part(),
    )
        .prop_map(|(first, later, days, logs, part)| {
            let plan = format!("## Day 1\n\n{first}\n## Day 4\n\n{later}");
            let logs: Vec<(u32, &str)> = days
                .iter()
                .zip(&logs)
                .map(|(day, log)| (*day, log.as_str()))
                .collect();
            let mut texts = texts(&plan, &logs);
            texts.push(("parts.yaml".to_owned(), part));
            texts
        })
}

/// Every job as it stands, in words.
fn jobs(build: &Build) -> Vec<String> {
    let plain = |why: &str| {
        why.trim()
            .replace('{', "(")
            .replace('}', ")")
            .replace('\t', " ")
    };
    let job = |job: &shimbook::jobs::Job| {
        format!(
            "{} {:?} {:?} {:?} {:?} {} {} {:?} {:?} {} {:?} {:?}",
            job.id,
            job.title,
            job.state,
            job.by,
            job.takes,
            job.hours_spent,
            job.hours_twice,
            job.listed_day,
            job.done_day,
            job.slipped,
            job.held_up().map(plain),
            job.cautions
        )
    };
    build.jobs.all().map(job).collect()
}

fn findings(build: &Build) -> Vec<String> {
    let place = |at| (build.sources.position(at), build.sources.path(at.file));
    build
        .diagnostics
        .iter()
        .map(|found| format!("{:?} {} {:?}", found.slug, found.message, place(found.at)))
        .collect()
}

fn held(build: &Build) -> Vec<String> {
    let lines = hold::on_day(&build.worked, &build.jobs, build.day()).lines;
    lines
        .iter()
        .map(|line| format!("{:?} {} {}", line.kind, line.id, line.why))
        .collect()
}

proptest! {
    #![proptest_config(crate::cases::dice("morning", 1000))]

    #[test]
    fn what_the_morning_writes_reads_back_to_the_same_jobs_and_finds_nothing_new(texts in any_book()) {
        let tomorrow = next_day(&built(&texts));
        let empty = with_log(&texts, &tomorrow, &format!("---\nday: {}\n---\n", tomorrow.day));
        let full = with_log(&texts, &tomorrow, &tomorrow.text);
        prop_assert_eq!(jobs(&full), jobs(&empty), "{}", tomorrow.text);
        prop_assert_eq!(findings(&full), findings(&empty), "{}", tomorrow.text);
        prop_assert_eq!(held(&full), held(&empty), "{}", tomorrow.text);
        prop_assert_eq!(&full.jobs.days, &empty.jobs.days);
        let log = full.book.days.last().expect("the new log");
        prop_assert_eq!(log.day, tomorrow.day);
        prop_assert_eq!(log.entries.len(), tomorrow.planned + tomorrow.carried, "{}", tomorrow.text);
        prop_assert!(log.entries.iter().all(|entry| matches!(entry, Entry::Mention(_))));
        prop_assert!(log.prose.pieces.iter().all(|piece| matches!(piece, Piece::Html(_) | Piece::Entry(_))), "{}", tomorrow.text);
        let open = full.jobs.days.last().map_or(0, |day| day.carried);
        prop_assert_eq!(log.entries.len(), open, "every open job of the day is on the list");
    }

    #[test]
    fn a_morning_after_a_morning_carries_the_same_jobs(texts in any_book()) {
        let mut texts = texts;
        let first = next_day(&built(&texts));
        texts.push((format!("days/{}.md", first.stem), first.text.clone()));
        let second = next_day(&built(&texts));
        prop_assert!(second.carried == first.planned + first.carried, "{}\n{}", first.text, second.text);
    }
}
