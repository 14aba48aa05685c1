//! Who does what when, by hand.

use shimbook::diagnostics::{Severity, Slug};
use shimbook::forecast::{Pace, Waits};
use shimbook::jobs::Job;

use crate::book::{Written, slot};

const TWO: [(&str, f64); 2] = [("Ines", 8.0), ("Bashir", 6.0)];

/// Start day and hour, finish day and hour.
fn times(book: &Written, job: &str) -> (u32, f64, u32, f64) {
    let forecast = book.forecast();
    let slot = slot(&forecast, job);
    (
        slot.start_day,
        slot.start_hour,
        slot.finish_day,
        slot.finish_hour,
    )
}

#[test]
fn a_job_longer_than_a_day_goes_on_the_next_morning() {
    let book = Written::plan(
        "- [ ] One {one, by Ines, takes 10 h}\n- [ ] Two {two, by Ines, takes 3 h, follows one}",
    );
    assert_eq!(times(&book, "one"), (1, 0.0, 2, 2.0));
    assert_eq!(times(&book, "two"), (2, 2.0, 2, 5.0));
    assert_eq!(book.forecast().schedule.chain, ["one", "two"]);
}

#[test]
fn a_job_by_two_is_shared_and_wants_both_for_as_long_as_the_shorter_day() {
    let book = Written::plan("- [ ] Both {both, by Ines + Bashir, takes 14 h}").crew(&TWO);
    assert_eq!(times(&book, "both"), (1, 0.0, 2, 1.0));
    assert_eq!(slot(&book.forecast(), "both").hours, 14.0);
}

#[test]
fn what_is_left_begins_on_the_day_after_the_latest_log() {
    let book = Written::plan("- [ ] One {one, by Ines, takes 1 h}")
        .log("A day.")
        .log("Another.");
    assert_eq!(times(&book, "one"), (3, 0.0, 3, 1.0));
}

#[test]
fn a_job_with_nobody_named_goes_to_whoever_is_free_first() {
    let book = Written::plan(
        "- [ ] One {one, by Ines, takes 5 h}\n- [ ] Two {two, takes 3 h}\n- [ ] Three {three, takes 3 h}",
    )
    .crew(&TWO);
    let forecast = book.forecast();
    assert_eq!(slot(&forecast, "two").by, ["Bashir"]);
    assert_eq!(
        (
            &slot(&forecast, "three").by[0][..],
            slot(&forecast, "three").start_hour
        ),
        ("Bashir", 3.0)
    );
}

#[test]
fn the_longer_chain_is_begun_first() {
    let book = Written::plan(
        "- [ ] Short {short, by Ines, takes 2 h}\n- [ ] Head {head, by Ines, takes 2 h}\n\
         - [ ] Tail {tail, by Bashir, takes 5 h, follows head}",
    )
    .crew(&TWO);
    assert_eq!(times(&book, "head"), (1, 0.0, 1, 2.0));
    assert_eq!(times(&book, "short"), (1, 2.0, 1, 4.0));
    assert_eq!(
        slot(&book.forecast(), "short").waits,
        Waits::Hands("head".into())
    );
}

#[test]
fn a_job_fills_the_time_somebody_waits_for_a_part() {
    let book = Written::plan(
        "- [ ] Fit {fit, by Ines, takes 6 h, needs pump}\n- [ ] Long {long, by Ines, takes 9 h, follows fit}\n\
         - [ ] Filler {filler, by Ines, takes 8 h}",
    )
    .parts("pump: {what: Pump, lead: 2 days}\n");
    let forecast = book.forecast();
    assert_eq!(
        (
            slot(&forecast, "filler").start_day,
            slot(&forecast, "fit").start_day
        ),
        (1, 2)
    );
    assert_eq!(slot(&forecast, "fit").waits, Waits::Part("pump".into()));
    assert_eq!(
        forecast.network.critical_parts.iter().collect::<Vec<_>>(),
        ["pump"]
    );
}

#[test]
fn a_part_on_order_is_in_on_its_due_day_a_late_one_tomorrow_one_in_the_shop_is_there() {
    let parts = "due: {what: A}\nlate: {what: B}\nhere: {what: C}\n";
    let book = Written::plan(
        "- [ ] One {one, takes 1 h, needs due}\n- [ ] Two {two, takes 1 h, needs late}\n- [ ] Three {three, takes 1 h, needs here}",
    )
    .parts(parts)
    .log("```parts\ndue: ordered, due day 4\nlate: ordered, due day 1\nhere: in\n```")
    .log("Nothing.");
    let starts = ["one", "two", "three"].map(|job| times(&book, job).0);
    assert_eq!(starts, [4, 3, 3]);
}

#[test]
fn held_up_jobs_are_reckoned_with_as_if_they_could_go_on_tomorrow() {
    let book = Written::plan("- [ ] One {one, takes 1 h}").log("- [ ] {one, held up: rain}");
    assert_eq!(times(&book, "one").0, 2);
}

#[test]
fn at_the_planned_pace_the_runs_are_the_schedule() {
    let book = Written::plan(
        "- [ ] One {one, by Ines, takes 11 h}\n- [ ] Two {two, takes 7 h}\n- [ ] Three {three, by Bashir + Ines, takes 9 h, follows two}\n\
         - [ ] Four {four, takes 3 h, follows one}\n- [ ] Five {five, takes 2 h}",
    )
    .crew(&TWO);
    let forecast = book.forecast_at(Pace::AS_PLANNED);
    let end = forecast.schedule.finish_day.unwrap();
    assert_eq!(
        (
            forecast.outlook.p10,
            forecast.outlook.p50,
            forecast.outlook.p90
        ),
        (end, end, end)
    );
    assert_eq!(
        forecast.outlook.ends.into_iter().collect::<Vec<_>>(),
        [(end, forecast.outlook.runs)]
    );
    let mut on_chain: Vec<(String, f64)> = forecast.outlook.on_chain;
    let mut chain: Vec<(String, f64)> = forecast
        .schedule
        .chain
        .into_iter()
        .map(|job| (job, 1.0))
        .collect();
    on_chain.sort_by(|a, b| a.0.cmp(&b.0));
    chain.sort_by(|a, b| a.0.cmp(&b.0));
    assert_eq!(on_chain, chain);
}

#[test]
fn more_than_ten_planned_hours_for_one_person_on_a_day_ahead_is_a_warning() {
    let book = Written::plan(
        "- [ ] One {one, by Ines, takes 6 h}\n- [ ] Two {two, by Ines + Bashir, takes 8 h}\n- [ ] Three {three, by Ines, takes 1 h}",
    )
    .crew(&TWO);
    let (forecast, found) = book.look();
    let [long] = &found[..] else {
        panic!("{found:?}")
    };
    assert_eq!(
        (long.slug, long.severity),
        (Slug::LongDay, Severity::Warning)
    );
    assert_eq!(long.message, "day 1 has 11.0 h planned for Ines");
    assert_eq!(forecast.long_days.len(), 1);
    assert!(book.log("Day 1 is over.").look().1.is_empty());
}

#[test]
fn where_nothing_is_open_the_end_is_the_day_the_last_job_was_done() {
    let book = Written::plan("- [ ] One {one, takes 1 h}")
        .days(2)
        .log("- [x] {one, took 1 h}")
        .log("Rest.")
        .log("Rest.");
    let outlook = book.forecast().outlook;
    assert_eq!(
        (outlook.p10, outlook.p50, outlook.p90, outlook.on_time),
        (1, 1, 1, 1.0)
    );
    let late = Written::plan("- [ ] One {one, takes 1 h}")
        .days(2)
        .log("Rest.")
        .log("Rest.")
        .log("- [x] {one, took 1 h}");
    assert_eq!(
        (late.forecast().outlook.p50, late.forecast().outlook.on_time),
        (3, 0.0)
    );
}

#[test]
fn the_schedule_plans_the_hours_that_are_left_of_each_job() {
    let book = Written::plan(
        "- [ ] One {one, by Ines + Bashir, takes 11 h}\n- [ ] Two {two, by Ines, takes 7 h}\n- [ ] Three {three, takes 3 h}",
    )
    .crew(&TWO)
    .log("- [ ] {one, took 4 h}\n- [ ] {two, took 6.9 h}\n- [ ] {three, took 2 h}");
    let build = book.build();
    for slot in &build.ahead.schedule.slots {
        let left = build
            .jobs
            .job(&slot.job)
            .and_then(Job::hours_to_go)
            .expect("it takes some hours");
        assert!(
            (slot.hours - left).abs() < 1e-3,
            "{}: {} and {left}",
            slot.job,
            slot.hours
        );
    }
    let left: Vec<Option<f64>> = build.jobs.all().map(Job::hours_to_go).collect();
    assert_eq!(left, [Some(7.0), Some(1.4), Some(1.0)]);
}
