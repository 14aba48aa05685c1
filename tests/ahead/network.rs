//! Critical-path figures from textbooks.

use shimbook::diagnostics::{Severity, Slug};

use crate::book::Written;

/// id, hours, what it follows.
type Activity = (&'static str, u32, &'static [&'static str]);

fn plan(activities: &[Activity]) -> Written {
    let item = |(id, hours, follows): &Activity| {
        let follows = if follows.is_empty() {
            String::new()
        } else {
            format!(", follows {}", follows.join(" + "))
        };
        format!("- [ ] Job {id} {{{id}, takes {hours} h{follows}}}\n")
    };
    Written::plan(&activities.iter().map(item).collect::<String>())
}

fn slack(activities: &[Activity]) -> Vec<(String, f64)> {
    plan(activities)
        .forecast()
        .network
        .nodes
        .into_iter()
        .map(|node| (node.job, node.slack))
        .collect()
}

/// Taylor, Introduction to Management Science, ch. 8, Problem 5: arcs 1-2 … 5-6, here a job an arc.
/// The dummy without hours that some drawings of it have is put in as `dummy`.
const TAYLOR_5: &[Activity] = &[
    ("a12", 7, &[]),
    ("a13", 10, &[]),
    ("a24", 6, &["a12"]),
    ("a34", 5, &["a13"]),
    ("a35", 4, &["a13"]),
    ("dummy", 0, &["a24", "a34"]),
    ("a45", 3, &["dummy"]),
    ("a56", 2, &["a35", "a45"]),
];

#[test]
fn the_seven_activities_of_taylors_problem_5_have_the_printed_times() {
    let network = plan(TAYLOR_5).forecast().network;
    let printed = [
        ("a12", [0.0, 7.0, 2.0, 9.0, 2.0]),
        ("a13", [0.0, 10.0, 0.0, 10.0, 0.0]),
        ("a24", [7.0, 13.0, 9.0, 15.0, 2.0]),
        ("a34", [10.0, 15.0, 10.0, 15.0, 0.0]),
        ("a35", [10.0, 14.0, 14.0, 18.0, 4.0]),
        ("a45", [15.0, 18.0, 15.0, 18.0, 0.0]),
        ("a56", [18.0, 20.0, 18.0, 20.0, 0.0]),
    ];
    for (job, times) in printed {
        let node = network.nodes.iter().find(|node| node.job == job).unwrap();
        let found = [
            node.early_start,
            node.early_finish,
            node.late_start,
            node.late_finish,
            node.slack,
        ];
        assert_eq!(found, times, "{job}");
    }
    assert_eq!(network.length, 20.0);
}

#[test]
fn a_job_without_hours_is_scheduled_and_is_no_work_on_the_chain() {
    let forecast = plan(TAYLOR_5).forecast();
    let critical: Vec<&str> = forecast
        .network
        .critical
        .iter()
        .map(String::as_str)
        .collect();
    assert_eq!(critical, ["a13", "a34", "a45", "a56"]);
    assert!(
        forecast
            .schedule
            .slots
            .iter()
            .any(|slot| slot.job == "dummy")
    );
    assert!(!forecast.schedule.chain.iter().any(|job| job == "dummy"));
    assert!(
        !forecast
            .outlook
            .on_chain
            .iter()
            .any(|(job, _)| job == "dummy")
    );
}

/// Hillier and Lieberman, the Reliable Construction Co. prototype (durations read in a question
/// page; H's 9 and the predecessors from memory).
#[test]
fn the_fourteen_activities_of_the_construction_project_have_the_printed_slacks() {
    let activities: &[Activity] = &[
        ("A", 2, &[]),
        ("B", 4, &["A"]),
        ("C", 10, &["B"]),
        ("D", 6, &["C"]),
        ("E", 4, &["C"]),
        ("F", 5, &["E"]),
        ("G", 7, &["D"]),
        ("H", 9, &["E", "G"]),
        ("I", 7, &["C"]),
        ("J", 8, &["F", "I"]),
        ("K", 4, &["J"]),
        ("L", 5, &["J"]),
        ("M", 2, &["H"]),
        ("N", 6, &["K", "L"]),
    ];
    let network = plan(activities).forecast().network;
    assert_eq!(network.length, 44.0);
    let critical: Vec<&str> = network.critical.iter().map(String::as_str).collect();
    assert_eq!(critical, ["A", "B", "C", "E", "F", "J", "L", "N"]);
    let printed = [
        ("D", 4.0),
        ("G", 4.0),
        ("H", 4.0),
        ("M", 4.0),
        ("I", 2.0),
        ("K", 1.0),
    ];
    let slack = slack(activities);
    for (job, hours) in printed {
        assert!(slack.contains(&(job.into(), hours)), "{job}: {slack:?}");
    }
}

#[test]
fn all_chains_of_the_same_length_are_critical() {
    let network = plan(&[
        ("a", 3, &[]),
        ("b", 2, &["a"]),
        ("c", 2, &["a"]),
        ("d", 1, &["b", "c"]),
    ])
    .forecast()
    .network;
    assert_eq!(network.critical.len(), 4);
}

#[test]
fn a_loop_is_an_error_at_the_follows_that_closes_it_and_the_rest_is_worked_out() {
    let (forecast, found) = Written::plan(
        "- [ ] One {one, takes 2 h, follows three}\n- [ ] Two {two, takes 2 h, follows one}\n\
         - [ ] Three {three, takes 2 h, follows two}\n- [ ] Four {four, takes 1 h}",
    )
    .look();
    let [looped] = &found[..] else {
        panic!("{found:?}")
    };
    assert_eq!(
        (looped.slug, looped.severity),
        (Slug::Loop, Severity::Error)
    );
    assert_eq!(
        looped.message,
        "one waits for itself: one follows three, three follows two, two follows one"
    );
    assert_eq!(forecast.schedule.slots.len(), 4);
    assert_eq!(forecast.network.length, 6.0);
}

#[test]
fn a_job_that_follows_itself_is_a_loop() {
    let (_, found) = Written::plan("- [ ] One {one, takes 2 h, follows one}").look();
    assert_eq!(found[0].message, "one waits for itself: one follows one");
}

#[test]
fn the_hours_spent_on_an_open_job_are_not_ahead_any_more_but_a_fifth_always_is() {
    let book = Written::plan("- [ ] One {one, takes 8 h}\n- [ ] Two {two, takes 4 h}")
        .log("- [ ] {one, took 3 h}\n- [ ] {two, took 6 h}");
    let hours: Vec<f64> = book
        .forecast()
        .network
        .nodes
        .iter()
        .map(|node| node.hours)
        .collect();
    assert_eq!(hours, [5.0, 0.8]);
}

#[test]
fn work_that_was_lost_is_ahead_again() {
    let book = Written::plan("- [ ] One {one, takes 8 h}")
        .log("- [ ] {one, took 6 h}")
        .log("- [ ] {one, again: bent}");
    assert_eq!(book.forecast().network.nodes[0].hours, 8.0);
}

#[test]
fn jobs_without_hours_are_reckoned_with_one_and_said() {
    let (forecast, found) =
        Written::plan("- [ ] One {one}\n- [ ] Two {two, takes 4 h}\n- [ ] Three {three}").look();
    assert_eq!(forecast.network.nodes[0].hours, 1.0);
    assert_eq!(
        (found[0].slug, found[0].severity),
        (Slug::NoHours, Severity::Note)
    );
    assert!(
        found[0].message.ends_with("one, three"),
        "{}",
        found[0].message
    );
}
