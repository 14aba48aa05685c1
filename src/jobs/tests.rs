//! The rules of the job list, and what holds for any run of mentions.

use std::fmt::Write as _;

use proptest::prelude::*;

use super::{Came, JobCache, JobList, JobState, work_through, work_through_again};
use crate::book::Book;
use crate::diagnostics::{Diagnostic, Severity, Slug};
use crate::parts::ledger;
use crate::testing::write;

fn worked(text: &str) -> (JobList, Vec<Diagnostic>) {
    let book = write(text);
    let (ledger, _) = ledger::keep(&book);
    work_through(&book, &ledger)
}

fn fine(text: &str) -> JobList {
    let (list, wrong) = worked(text);
    assert_eq!(wrong, [], "nothing is wrong in this book");
    list
}

/// planned, added, early, done, carried, dropped
fn balance(list: &JobList, day: u32) -> [usize; 6] {
    let day = list.on_day(day).unwrap();
    [
        day.planned,
        day.added,
        day.early,
        day.done,
        day.carried,
        day.dropped,
    ]
}

fn slugs(wrong: &[Diagnostic]) -> Vec<(&str, Severity)> {
    wrong
        .iter()
        .map(|found| (found.slug.word(), found.severity))
        .collect()
}

#[test]
fn a_day_takes_its_planned_jobs_those_carried_and_those_of_days_without_a_log() {
    let list = fine(
        "plan 1\n[ ] A {a, takes 3}\nplan 2\n[ ] B {b, takes 2}\nplan 3\n[ ] C {c}\nplan 4\n[ ] D {d}\n\
         day 1\n[ ] {a, took 1}\nday 3\n[x] {a, took 2.5}\n[x] {d}\n[ ] New {n, took 0.5}",
    );
    assert_eq!(balance(&list, 1), [1, 0, 0, 0, 1, 0]);
    assert_eq!(balance(&list, 3), [3, 1, 1, 2, 3, 0]);
    let day = list.on_day(3).unwrap();
    assert_eq!((day.hours_planned, day.hours_spent), (4.0, 3.0));
    let came: Vec<_> = day
        .rows
        .iter()
        .map(|row| (list.jobs[row.job].id.as_str(), row.came))
        .collect();
    let expected = [
        ("a", Came::Carried),
        ("b", Came::Planned),
        ("c", Came::Planned),
        ("d", Came::Early),
        ("n", Came::Added),
    ];
    assert_eq!(came, expected);
    assert!(list.on_day(2).is_none(), "a day without a log has no list");
    assert_eq!(
        (
            list.job("a").unwrap().slipped,
            list.job("b").unwrap().slipped
        ),
        (2, 1)
    );
    assert_eq!(
        (
            list.job("d").unwrap().slipped,
            list.job("n").unwrap().slipped
        ),
        (0, 0)
    );
}

#[test]
fn the_state_of_a_job_can_be_asked_for_on_any_day() {
    let list = fine(
        "plan 2\n[ ] A {a}\nday 1\n[ ] B {b}\nday 2\n[ ] {a, held up: no bolts}\nday 4\n[ ] {a}\n[x] {b}\nday 5\n\
         [x] {a}",
    );
    let states = |id: &str| {
        (0..=6)
            .map(|day| list.job(id).unwrap().state_on(day))
            .collect::<Vec<_>>()
    };
    let (planned, held) = (Some(JobState::Planned), Some(JobState::HeldUp));
    let (carried, done) = (Some(JobState::Carried), Some(JobState::Done));
    assert_eq!(
        states("a"),
        [planned, planned, held, held, carried, done, done]
    );
    assert_eq!(
        states("b"),
        [None, carried, carried, carried, done, done, done]
    );
}

#[test]
fn a_job_that_is_held_up_stays_so_until_a_mention_without_it() {
    let text = "plan 1\n[ ] A {a}\nday 1\n[ ] {a, held up: no bolts}\nday 2\n";
    assert_eq!(fine(text).job("a").unwrap().held_up(), Some("no bolts"));
    let later = fine(&format!("{text}[ ] {{a}}"));
    assert_eq!(
        (
            later.job("a").unwrap().state,
            later.job("a").unwrap().held_up()
        ),
        (JobState::Carried, None)
    );
}

#[test]
fn the_first_title_stays_and_by_and_takes_replace_from_that_day() {
    let list = fine(
        "plan 1\n[ ] A {a, by Ines, takes 3}\nday 1\n[ ] {a}\nday 2\n[ ] Better now {a, by Odd, takes 5}\nday 3\n[x] {a}",
    );
    let job = list.job("a").unwrap();
    assert_eq!(
        (job.title.as_str(), &job.by[..]),
        ("A", &["Odd".to_owned()][..])
    );
    assert_eq!(job.history[1].remark.as_deref(), Some("Better now"));
    let planned: Vec<f64> = list.days.iter().map(|day| day.hours_planned).collect();
    assert_eq!(planned, [3.0, 5.0, 5.0]);
}

#[test]
fn who_had_a_job_on_a_day_does_not_depend_on_what_is_said_later() {
    let list = fine(
        "plan 1\n[ ] A {a, by Ines}\nday 1\n[ ] {a}\nday 2\n[x] {a, by Odd}\nday 3\n[ ] Well done {a, by Wen}",
    );
    let by: Vec<String> = (1..=3)
        .map(|day| list.job("a").unwrap().by_on(day).join(" + "))
        .collect();
    assert_eq!(by, ["Ines", "Odd", "Odd"]);
}

#[test]
fn again_opens_a_done_job_and_its_hours_so_far_were_made_twice() {
    let list =
        fine("plan 1\n[ ] A {a}\nday 1\n[x] {a, took 3}\nday 2\n[ ] {a, again: too thin, took 1}");
    let job = list.job("a").unwrap();
    assert_eq!(
        (job.state, job.hours_spent, job.hours_twice, job.done_day),
        (JobState::Carried, 4.0, 3.0, None)
    );
    assert_eq!(balance(&list, 2), [0, 1, 0, 0, 1, 0]);
}

#[test]
fn again_on_an_open_job_loses_the_work_so_far() {
    let list = fine(
        "plan 1\n[ ] A {a}\nday 1\n[ ] {a, took 2}\n[ ] {a, took 1}\n[x] {a, again: bent, took 4}",
    );
    let job = list.job("a").unwrap();
    assert_eq!(
        (job.hours_spent, job.hours_twice, job.state),
        (7.0, 3.0, JobState::Done)
    );
    assert_eq!(balance(&list, 1), [1, 0, 0, 1, 0, 0]);
}

#[test]
fn a_job_done_early_and_opened_the_same_day_is_added() {
    let list = fine("plan 5\n[ ] A {a}\nday 1\n[x] {a}\n[ ] {a, again: wrong side}\nday 5\n");
    assert_eq!(balance(&list, 1), [0, 1, 0, 0, 1, 0]);
    assert_eq!(
        balance(&list, 5),
        [1, 0, 0, 0, 1, 0],
        "it is carried into its planned day, and once only"
    );
}

#[test]
fn an_early_mention_that_does_not_finish_a_job_leaves_it_planned() {
    let list = fine(
        "plan 4\n[ ] A {a}\nday 1\n[ ] {a, took 2}\nday 2\n[ ] {a, dropped: no time}\nday 4\n",
    );
    assert_eq!(balance(&list, 1), [0; 6]);
    let first = list.on_day(1).unwrap();
    assert_eq!((first.rows.len(), first.hours_spent), (0, 2.0));
    assert_eq!(balance(&list, 2), [0, 0, 1, 0, 0, 1]);
    assert_eq!(list.on_day(2).unwrap().rows[0].came, Came::Early);
    assert_eq!(balance(&list, 4), [0; 6]);
}

#[test]
fn a_dropped_job_is_taken_up_again_by_work_and_not_by_a_remark() {
    let text = "plan 1\n[ ] A {a}\nday 1\n[ ] {a, dropped: no time}\nday 2\n[ ] What a pity {a}\n";
    assert_eq!(fine(text).job("a").unwrap().state, JobState::Dropped);
    let list = fine(&format!("{text}day 3\n[x] {{a, took 1}}"));
    assert_eq!(list.job("a").unwrap().state, JobState::Done);
    assert_eq!(balance(&list, 3), [0, 1, 0, 1, 0, 0]);
}

#[test]
fn a_done_job_ticked_again_with_hours_is_an_error_and_the_hours_do_not_count() {
    let (list, wrong) = worked("plan 1\n[ ] A {a}\nday 1\n[x] {a, took 3}\nday 2\n[x] {a, took 3}");
    assert_eq!(slugs(&wrong), [("done-already", Severity::Error)]);
    assert_eq!(
        (
            list.job("a").unwrap().hours_spent,
            list.on_day(2).unwrap().hours_spent
        ),
        (3.0, 0.0)
    );
    assert!(list.job("a").unwrap().history[1].refused);
}

#[test]
fn any_other_mention_of_a_done_job_is_only_a_remark() {
    let list = fine(
        "plan 1\n[ ] A {a, by Ines}\nday 1\n[x] {a}\nday 2\n[x] Still good {a}\n[ ] {a, by Odd, held up: no}\n\
         [ ] {a, dropped: no}",
    );
    let job = list.job("a").unwrap();
    assert_eq!(
        (job.state, job.done_day, &job.by[..]),
        (JobState::Done, Some(1), &["Ines".to_owned()][..])
    );
    assert_eq!(balance(&list, 2), [0; 6]);
}

#[test]
fn an_unknown_job_is_an_error_with_the_nearest_id() {
    let (_, wrong) = worked(
        "plan 1\n[ ] A {rails_drilled}\n[ ] B {b, follows rails_driled}\nday 1\n[x] {rails_drild}",
    );
    assert_eq!(slugs(&wrong), [("unknown-job", Severity::Error); 2]);
    assert!(
        wrong
            .iter()
            .all(|found| found.instead.as_deref() == Some("rails_drilled"))
    );
}

#[test]
fn a_job_may_follow_one_that_is_added_later() {
    fine("plan 1\n[ ] B {b, follows late}\nday 1\n[ ] Late {late}");
}

#[test]
fn order_is_judged_at_the_end_of_the_day() {
    let plan = "plan 1\n[ ] A {a}\n[ ] B {b, follows a}\n";
    fine(&format!("{plan}day 1\n[x] {{b}}\n[x] {{a}}"));
    let (_, wrong) = worked(&format!("{plan}day 1\n[x] {{b}}\nday 2\n[x] {{a}}"));
    assert_eq!(slugs(&wrong), [("out-of-order", Severity::Warning)]);
    let (_, wrong) = worked(&format!(
        "{plan}day 1\n[ ] {{a, dropped: no}}\nday 2\n[x] {{b}}"
    ));
    assert_eq!(
        wrong[0].message,
        "`b` is done but `a`, which must come first, was dropped on day 1"
    );
    let (_, wrong) = worked(&format!("{plan}day 1\n[ ] {{a, dropped: no}}"));
    assert_eq!(
        wrong[0].message,
        "`b` follows `a`, which was dropped on day 1"
    );
}

#[test]
fn a_job_done_without_a_part_it_needs_is_a_warning() {
    let plan = "part pump lead 2\nplan 1\n[ ] A {a, needs pump}\nday 1\n[x] {a}\n";
    fine(&format!("{plan}event pump: in"));
    let (_, wrong) = worked(&format!("{plan}event pump: ordered\nday 2\nevent pump: in"));
    assert_eq!(
        wrong[0].message,
        "`a` is done but `pump`, which it needs, has been ordered since day 1"
    );
    let (_, wrong) = worked("part pump\nplan 1\n[ ] A {a, needs pmup}");
    assert_eq!(
        (wrong[0].slug, wrong[0].instead.as_deref()),
        (Slug::UnknownPart, Some("pump"))
    );
}

#[test]
fn a_stopgap_lasts_until_it_is_made_good_by_somebody() {
    let text = "plan 1\n[ ] A {a}\nday 1\n[x] {a, temp: blocks}\nday 2\n[ ] {a, dropped: no}\n";
    assert_eq!(fine(text).open_stopgaps().count(), 1);
    let (list, wrong) = worked(&format!("{text}[x] {{a, made good}}"));
    assert_eq!(
        (slugs(&wrong), list.open_stopgaps().count()),
        (vec![("made-good", Severity::Error)], 1)
    );
    let list = fine(&format!("{text}[x] {{a, made good by Ines, took 1}}"));
    assert_eq!(
        (
            list.open_stopgaps().count(),
            list.job("a").unwrap().hours_spent
        ),
        (0, 1.0)
    );
    let stopgap = &list.stopgaps[0];
    assert_eq!(
        (stopgap.open_on(1), stopgap.open_on(2), stopgap.why.as_str()),
        (true, false, "blocks")
    );
}

#[test]
fn what_steers_brakes_or_holds_is_made_good_by_two_different_people() {
    let text = "plan 1\n[ ] A {a, caution steering}\nday 1\n[x] {a, temp: one bolt}\nday 2\n[x] {a, made good by ";
    for alone in ["Ines", "Ines + Ines"] {
        let (list, wrong) = worked(&format!("{text}{alone}}}"));
        assert_eq!(
            (slugs(&wrong), list.open_stopgaps().count()),
            (vec![("made-good", Severity::Error)], 1)
        );
        assert_eq!(
            wrong[0].instead.as_deref(),
            Some("made good by Ines + NAME")
        );
    }
    assert_eq!(
        fine(&format!("{text}Ines + Odd}}")).open_stopgaps().count(),
        0
    );
}

#[test]
fn made_good_of_what_was_never_temp_is_an_error() {
    let (_, wrong) = worked("plan 1\n[ ] A {a}\nday 1\n[x] {a, made good by Ines}");
    assert_eq!(slugs(&wrong), [("made-good", Severity::Error)]);
}

#[test]
fn a_stopgap_on_a_line_that_is_an_error_still_counts() {
    let (list, _) =
        worked("plan 1\n[ ] A {a}\nday 1\n[x] {a}\nday 2\n[x] {a, took 1, temp: a strap}");
    assert_eq!(list.open_stopgaps().count(), 1);
}

#[test]
fn a_stopgap_of_the_plan_is_in_place_once_a_log_says_that_work_was_done() {
    let text = "plan 1\n[ ] A {a, temp: a strap}\nday 1\n[ ] {a, by Ines, held up: no strap}\n";
    assert_eq!(fine(text).stopgaps.len(), 0);
    let list = fine(&format!(
        "{text}[x] {{a}}\nday 2\n[x] {{a, made good by Ines}}\nday 3\n[ ] {{a}}"
    ));
    assert_eq!(
        (
            list.stopgaps.len(),
            list.open_stopgaps().count(),
            list.stopgaps[0].since_day
        ),
        (1, 0, 1)
    );
}

#[test]
fn a_stopgap_in_the_place_of_another_stays_on_the_list() {
    let text = "plan 1\n[ ] A {a}\nday 1\n[x] {a, temp: a strap}\nday 2\n[x] {a, made good by Ines, temp: a block}";
    let list = fine(text);
    let open: Vec<_> = list
        .open_stopgaps()
        .map(|stopgap| (stopgap.why.as_str(), stopgap.since_day))
        .collect();
    assert_eq!((open, list.stopgaps.len()), (vec![("a block", 2)], 2));
}

#[test]
fn making_good_what_is_good_already_is_a_warning() {
    let (list, wrong) = worked(
        "plan 1\n[ ] A {a}\nday 1\n[x] {a, temp: a strap}\nday 2\n[x] {a, made good by Ines}\n[x] {a, made good by Odd}",
    );
    assert_eq!(slugs(&wrong), [("made-good", Severity::Warning)]);
    assert_eq!(list.stopgaps[0].good.as_ref().unwrap().by, ["Ines"]);
}

#[test]
fn a_book_of_three_thousand_jobs_and_a_year_is_worked_through_quickly() {
    let mut text = String::new();
    for job in 0..3000 {
        let _ = writeln!(
            text,
            "plan {}\n[ ] Job {job} {{j{job}, takes 1, follows j{}}}",
            job / 9 + 1,
            job / 2
        );
    }
    for day in 1..=365 {
        let _ = writeln!(text, "day {day}");
        for job in 0..9 {
            let _ = writeln!(text, "[x] {{j{}, took 1}}", (day - 1) * 9 + job);
        }
    }
    let (list, _) = worked(&text.replace("[x] {j3000", "[x] Extra {j3000"));
    assert_eq!(
        list.jobs
            .iter()
            .filter(|job| job.state == JobState::Done)
            .count(),
        3001
    );
    let rows: usize = list.days.iter().map(|day| day.rows.len()).sum();
    assert_eq!(
        rows, 3001,
        "a day without work left to carry has no rows beyond its own"
    );
}

#[test]
fn a_long_list_carried_for_a_year_stays_cheap() {
    let mut text = String::from("plan 1\n");
    (0..3000).for_each(|job| text += &["[ ] J {j", &job.to_string(), ", takes 1}\n"].concat());
    (1..=365).for_each(|day| text += &["day ", &day.to_string(), "\n"].concat());
    let list = fine(&text);
    assert!(
        list.days
            .iter()
            .all(|day| day.rows.len() == 3000 && day.carried == 3000)
    );
}

/// One mention of one of five jobs; any mixture of words, sensible or not.
fn any_mention() -> impl Strategy<Value = String> {
    let words = prop::sample::subsequence(
        vec![
            "took 2",
            "takes 3",
            "held up: x",
            "again: x",
            "dropped: x",
            "temp: x",
            "caution brakes",
            "follows c",
        ],
        0..4,
    );
    let good = prop::sample::select(vec![
        "",
        ", made good",
        ", made good by Ines",
        ", made good by Ines + Odd",
    ]);
    ("[abcde]", any::<bool>(), any::<bool>(), words, good).prop_map(
        |(id, ticked, titled, words, good)| {
            let tick = if ticked { "[x]" } else { "[ ]" };
            let title = if titled { "Title " } else { "" };
            let words = [&[""], &words[..]].concat().join(", ");
            format!("{tick} {title}{{{id}{words}{good}}}")
        },
    )
}

fn any_book() -> impl Strategy<Value = String> {
    let plan = prop::collection::vec(1_u32..8, 3);
    let days =
        prop::collection::btree_map(1_u32..9, prop::collection::vec(any_mention(), 0..8), 1..7);
    (plan, days).prop_map(|(plan, days)| {
        let plan = plan
            .iter()
            .zip(["a", "b", "c"])
            .map(|(day, id)| format!("plan {day}\n[ ] {id} {{{id}, takes 1}}\n"));
        let days = days
            .iter()
            .map(|(day, mentions)| format!("day {day}\n{}\n", mentions.join("\n")));
        plan.chain(days).collect()
    })
}

proptest! {
    #[test]
    fn every_day_balances_whatever_is_said(text in any_book()) {
        let (list, _) = worked(&text);
        let mut carried = Vec::new();
        for day in &list.days {
            prop_assert_eq!(day.planned + day.added + day.early, day.done + day.carried + day.dropped);
            prop_assert_eq!(day.rows.len(), day.done + day.carried + day.dropped);
            let morning: Vec<usize> =
                day.rows.iter().filter(|row| row.came == Came::Carried).map(|row| row.job).collect();
            prop_assert_eq!(&morning, &carried, "what is carried is on the next list");
            for row in &day.rows {
                prop_assert_eq!(list.jobs[row.job].state_on(day.day), Some(row.ended));
                prop_assert!(row.came != Came::Early || !row.ended.is_open());
            }
            carried = day.rows.iter().filter(|row| row.ended.is_open()).map(|row| row.job).collect();
        }
        let spent: f64 = list.jobs.iter().map(|job| job.hours_spent).sum();
        let by_day: f64 = list.days.iter().map(|day| day.hours_spent).sum();
        prop_assert!((spent - by_day).abs() < 1e-9);
        for job in &list.jobs {
            prop_assert_eq!(job.state_on(list.day), Some(job.state));
            prop_assert!(job.hours_twice <= job.hours_spent);
        }
    }

    #[test]
    fn a_walk_carried_on_from_an_earlier_one_gives_what_a_new_one_gives(
        text in any_book(),
        logs in prop::collection::vec(0_usize..9, 1..5),
    ) {
        let book = write(&text);
        let mut kept = JobCache::default();
        // The logs stay the very same; now there are more of them, now fewer.
        for logs in logs.into_iter().map(|logs| logs.min(book.days.len())).chain([book.days.len()]) {
            let book = Book { days: book.days[..logs].to_vec(), ..book.clone() };
            let (ledger, _) = ledger::keep(&book);
            let (again, anew) = (work_through_again(&book, &ledger, &mut kept), work_through(&book, &ledger));
            prop_assert_eq!(format!("{again:?}"), format!("{anew:?}"));
        }
    }

    #[test]
    fn only_made_good_ever_clears_a_stopgap(text in any_book()) {
        let (list, _) = worked(&text);
        for job in &list.jobs {
            let mut open = false;
            for said in &job.history {
                let names = said.made_good.iter().flatten().collect::<std::collections::BTreeSet<_>>().len();
                open = said.temp.is_some() || (open && names == 0);
            }
            let kept = list.open_stopgaps().any(|stopgap| stopgap.job == job.id);
            prop_assert!(kept || !open, "{} has a stopgap nobody made good", job.id);
        }
    }
}
