//! What is wanted, late and to be ordered, what is left of each job and whose hours it is: the same
//! in every place.
//!
//! In: random books of jobs and parts. Out: tests that compare cover, day pages, ledger, shop
//! screen, morning, tally, its JSON and the export with facts that `facts.rs` computes from the
//! story alone.

mod book;
mod facts;
mod terminal;
mod written;

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;
use shimbook::render::Theme;

use self::book::{CREW, Story};
use self::facts::{Facts, PartFact};
use self::written::{Written, all, first, words};

/// The books of a full run.
const BOOKS: u64 = 300;
const NOTHING: &str = "Nothing has to be ordered today, and nothing is late.";
/// The lists of the morning's log.
const LISTS: [&str; 6] = [
    "Late",
    "Due today",
    "At risk",
    "To be ordered today",
    "Lead time not known",
    "Ordered, due day not known",
];

fn on_every_book(test: impl Fn(&Story, &Facts, &Written) + Sync) {
    let theme = Theme::built_in().unwrap();
    crate::cases::of_each("agree-shop", BOOKS, |seed| {
        let story = book::story(seed);
        let texts = book::texts(&story);
        let written = Written::of(&texts, &theme);
        let found = &written.build.diagnostics;
        let errors: Vec<_> = found
            .iter()
            .filter(|found| found.severity == shimbook::diagnostics::Severity::Error)
            .collect();
        assert!(errors.is_empty(), "seed {seed}: {errors:?}\n{texts:#?}");
        let facts = Facts::at(&story, story.logs.len());
        let tried = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            test(&story, &facts, &written);
        }));
        let file = |(path, text): &(String, String)| format!("{path}\n{text}");
        assert!(
            tried.is_ok(),
            "the book of seed {seed}\n{}",
            texts.iter().map(file).collect::<Vec<_>>().concat()
        );
    });
}

/// The words of each listed part on a day, by part.
fn listed(facts: &Facts, day: u32) -> BTreeMap<String, String> {
    let parts = facts.parts.iter().enumerate();
    parts
        .filter_map(|(index, part)| Some((format!("Part {index}"), part.listed(day)?.1)))
        .collect()
}

/// The rows of a table of orders.
fn rows(written: &Written, page: &str) -> BTreeMap<String, String> {
    let rows = all(written.pages[page].root_element(), "table.orders tr");
    let row = |row| {
        (
            words(first(row, "a").unwrap()),
            words(first(row, "b").unwrap()),
        )
    };
    rows.into_iter().map(row).collect()
}

#[test]
fn cover_day_pages_and_shop_screen_list_the_same_parts() {
    on_every_book(|story, facts, written| {
        let expected = listed(facts, facts.day);
        assert_eq!(rows(written, "index.html"), expected);
        for logs in 1..=story.logs.len() {
            let then = Facts::at(story, logs);
            assert_eq!(
                rows(written, &format!("days/day-0{}.html", then.day)),
                listed(&then, then.day)
            );
        }
        let sections = all(written.wall.root_element(), "section.turn").into_iter();
        let wall = sections.filter(|section| words(*section).starts_with("To order today"));
        let rows = wall.flat_map(|section| all(section, "li"));
        let row = |row| {
            (
                words(first(row, "b").unwrap()),
                words(all(row, "span").pop().unwrap()),
            )
        };
        assert_eq!(rows.map(row).collect::<BTreeMap<_, _>>(), expected);
        for page in [&written.pages["index.html"], &written.wall] {
            assert_eq!(
                words(page.root_element()).contains(NOTHING),
                expected.is_empty()
            );
        }
    });
}

#[test]
fn ledger_json_and_export_say_the_same_of_every_part() {
    on_every_book(|_, facts, written| {
        for (index, fact) in facts.parts.iter().enumerate() {
            let id = format!("part_{index}");
            let json = &written.tally["parts"][&id];
            let is_late = fact.is_late(facts.day);
            assert_eq!(json["late"], is_late, "{id}");
            assert_eq!(json["wanted"], fact.wanted, "{id}");
            assert_eq!(
                json["wanted_day"],
                Value::from(fact.wanted_day.filter(|_| fact.wanted)),
                "{id}"
            );
            assert_eq!(json["order_by_day"], Value::from(fact.order_by), "{id}");
            let row = row(written, "ledger", "part", &id);
            let keys = [
                ("late", "late"),
                ("wanted", "wanted"),
                ("need_day", "wanted_day"),
                ("lead_days", "lead_days"),
            ];
            for (exported, told) in keys.into_iter().chain([("order_by_day", "order_by_day")]) {
                assert_eq!(row[exported], json[told], "{id}: {exported}");
            }
            ledger_row(written, &id, fact, is_late);
        }
    });
}

fn row<'w>(written: &'w Written, sheet: &str, key: &str, id: &str) -> &'w Value {
    let rows = written.export[sheet].as_array().unwrap();
    rows.iter().find(|row| row[key] == id).unwrap()
}

/// The ledger's page says when a part is due and to be ordered, and that it is late.
fn ledger_row(written: &Written, id: &str, fact: &PartFact, is_late: bool) {
    let ledger = &written.pages["ledger.html"];
    let row = first(ledger.root_element(), &format!("tr#part-{id}")).unwrap();
    let when = words(first(row, "span.rem").unwrap());
    let said: BTreeSet<&str> = when
        .split(", ")
        .filter(|piece| !piece.is_empty() && !piece.starts_with("since"))
        .collect();
    let due = fact
        .due
        .map(|day| format!("{}due day {day}", if is_late { "was " } else { "" }));
    let order = fact.order_by.map(|day| format!("order by day {day}"));
    let no_lead = fact.wanted && fact.to_order && fact.lead.is_none();
    let words = [
        due.as_deref(),
        order.as_deref(),
        no_lead.then_some("lead time not known"),
        (fact.ordered && fact.due.is_none()).then_some("due day not known"),
        is_late.then_some("late"),
    ];
    assert_eq!(said, words.into_iter().flatten().collect(), "{id}: {when}");
    assert_eq!(row.attr("class") == Some("late"), is_late, "{id}");
}

#[test]
fn the_morning_lists_what_is_true_of_its_day() {
    on_every_book(|_, facts, written| {
        for title in LISTS {
            let start = format!("{title}: ");
            let line = written
                .morning
                .lines()
                .find_map(|line| line.strip_prefix(&start))
                .unwrap_or_default();
            let said: BTreeSet<&str> = line
                .trim_end_matches('.')
                .split("; ")
                .filter_map(|item| item.get(..6))
                .collect();
            let parts = facts.parts.iter().enumerate();
            let on_it = parts.filter(|(_, part)| {
                part.listed(facts.day + 1)
                    .is_some_and(|(list, _)| list == title)
            });
            let expected: Vec<String> = on_it.map(|(index, _)| format!("Part {index}")).collect();
            assert_eq!(
                said,
                expected.iter().map(String::as_str).collect(),
                "{title}\n{}",
                written.morning
            );
        }
    });
}

#[test]
fn the_work_left_of_a_job_is_the_same_everywhere() {
    on_every_book(|story, facts, written| {
        for (job, to_go) in &facts.to_go {
            let id = format!("job_{job}");
            let json = &written.tally["jobs"][&id]["hours_to_go"];
            assert!(near(json, *to_go), "{id}: {json} {to_go:?}");
            let exported = &row(written, "jobs", "job", &id)["hours_to_go"];
            assert_eq!(json, exported, "{id}");
            let slot = written
                .build
                .ahead
                .schedule
                .slots
                .iter()
                .find(|slot| slot.job == id);
            let foreseen = slot.filter(|_| to_go.is_some()).map(|slot| slot.hours);
            assert!(
                foreseen.is_none_or(|hours| (hours - to_go.unwrap()).abs() < 1e-3),
                "{id}: {foreseen:?} {to_go:?}"
            );
        }
        let open: f64 = facts.to_go.values().flatten().sum();
        if facts.day < book::DAYS {
            let line = format!(
                "Up to day {}, the last, it is {} h of work",
                book::DAYS,
                figure(open)
            );
            assert!(
                written.morning.contains(&line),
                "{line}\n{}",
                written.morning
            );
        }
        for (logs, log) in story.logs.iter().enumerate() {
            let then = Facts::at(story, logs + 1);
            let day = &written.tally["days"][logs];
            assert!(
                near(&day["hours_planned"], Some(then.planned)),
                "{day} {}",
                then.planned
            );
            assert_eq!(
                day["hours_planned"],
                written.export["days"][logs]["hours_planned"]
            );
            // A day with nothing on its list has no line of hours.
            let page = words(written.pages[&format!("days/day-0{}.html", log.day)].root_element());
            let planned = format!("{}\u{202f}h planned, ", figure(then.planned));
            assert!(
                then.planned == 0.0 || page.contains(&planned),
                "{planned} on day {}",
                log.day
            );
        }
    });
}

#[test]
fn the_hours_of_each_person_are_the_same_everywhere() {
    on_every_book(|story, facts, written| {
        for (name, (there, work)) in &facts.people {
            let json = &written.tally["people"][*name];
            assert!(
                near(&json["hours_there"], Some(*there))
                    && near(&json["hours_of_work"], Some(*work)),
                "{name}: {json} {work}"
            );
        }
        let wall = words(written.wall.root_element());
        assert_eq!(
            wall.contains("More work than hours today"),
            !over(&facts.people).is_empty()
        );
        assert!(
            over(&facts.people).iter().all(|words| wall.contains(words)),
            "{wall}"
        );
        for logs in 1..=story.logs.len() {
            let then = Facts::at(story, logs);
            let page = words(written.pages[&format!("days/day-0{}.html", then.day)].root_element());
            let line = format!(
                "More work than hours that morning: {}.",
                over(&then.people).join("; ")
            );
            assert_eq!(
                page.contains("More work than hours"),
                page.contains(&line),
                "{line}"
            );
            assert_eq!(
                page.contains(&line),
                !over(&then.people).is_empty(),
                "{line}"
            );
        }
        let line = format!(
            "More work than hours: {}.",
            over(&facts.tomorrow).join("; ")
        );
        assert_eq!(
            written.morning.contains(&line),
            !over(&facts.tomorrow).is_empty(),
            "{line}\n{}",
            written.morning
        );
    });
}

/// Those with more work than hours, in the order of the crew.
fn over(people: &BTreeMap<&'static str, (f64, f64)>) -> Vec<String> {
    let crew = CREW
        .iter()
        .filter_map(|(name, _)| Some((*name, *people.get(name)?)));
    let over = crew.filter(|(_, (there, work))| *work > *there + 1e-9);
    over.map(|(name, (there, work))| {
        format!(
            "{name}: {} h of work, {} h available",
            figure(work),
            figure(there)
        )
    })
    .collect()
}

fn near(json: &Value, hours: Option<f64>) -> bool {
    match (json.as_f64(), hours) {
        (Some(json), Some(hours)) => {
            (json - hours).abs() < 1e-6 && (json != 0.0 || json.is_sign_positive())
        }
        (json, hours) => json.is_none() && hours.is_none(),
    }
}

/// Hours to four figures.
fn figure(hours: f64) -> String {
    // A digit that lies between two is rounded up.
    let hours = if hours == 0.0 { 0.0 } else { hours + 1e-9 };
    format!("{hours:.3e}").parse::<f64>().unwrap().to_string()
}
