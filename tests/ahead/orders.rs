//! What is wanted, late and to be ordered by when.

use shimbook::jobs::orders::{Listed, Orders, Reason, Wanted};

use crate::book::Written;

const JOBS: &str = "## Day 2\n\n- [ ] Early {early, takes 1 h}\n\n## Day 5\n\n- [ ] Fit {fit, takes 2 h, follows early, needs pump}\n\n\
                    ## Day 6\n\n- [ ] Fit more {more, takes 2 h, needs pump}\n";

fn book(parts: &str) -> Written {
    let mut book = Written::plan("").parts(parts);
    book.plan = JOBS.into();
    book
}

fn orders(book: &Written) -> Orders {
    book.forecast().orders
}

fn pump(orders: &Orders) -> &Wanted {
    orders.of("pump").expect("the pump is wanted")
}

/// The reasons for which parts are listed on a day.
fn reasons(orders: &Orders, day: u32) -> Vec<(&str, Reason)> {
    orders
        .on(day)
        .iter()
        .map(|listed| (listed.wanted.part.as_str(), listed.reason))
        .collect()
}

#[test]
fn a_part_is_ordered_so_that_the_first_job_that_needs_it_can_begin_on_its_planned_day() {
    let orders = orders(&book("pump: {what: Pump, lead: 2 days}\n"));
    let pump = pump(&orders);
    assert_eq!(
        (pump.job.as_deref(), pump.wanted_day, pump.order_by_day()),
        (Some("fit"), Some(5), Some(3))
    );
    assert_eq!(
        (orders.on(2), reasons(&orders, 3)),
        (vec![], vec![("pump", Reason::Order)])
    );
    assert!(!orders.on(3)[0].is_late());
}

#[test]
fn a_part_can_wait_as_long_as_the_jobs_before_it() {
    let late = book("pump: {what: Pump, lead: 1 day}\n").days(20);
    let mut late = (0..7).fold(late, |book, _| book.log("Nothing done."));
    late.plan = late.plan.replace("takes 1 h", "takes 20 h");
    let orders = orders(&late);
    let pump = pump(&orders);
    // `early` takes days 8 to 10, `more` could begin on day 8.
    assert_eq!(
        (pump.job.as_deref(), pump.wanted_day, pump.order_by_day()),
        (Some("more"), Some(8), Some(7))
    );
    assert!(!orders.on(7)[0].is_late());
}

#[test]
fn an_order_that_comes_too_late_even_today_says_so() {
    let orders = orders(&book("pump: {what: Pump, lead: 9 days}\n"));
    assert_eq!(
        (pump(&orders).order_by_day(), pump(&orders).in_day(1)),
        (Some(1), Some(10))
    );
    let [order] = orders.on(1)[..] else {
        panic!("{orders:?}")
    };
    assert!(order.is_late());
    assert_eq!(
        order.words(),
        "order now: it comes on day 10, wanted on day 5"
    );
}

#[test]
fn the_day_a_part_must_be_here_by_goes_before_its_jobs() {
    let orders = orders(&book(
        "pump: {what: Pump, lead: 1 day, need: day 3}\nspare: {what: Spare, need: day 4}\n",
    ));
    let found: Vec<(&str, Option<u32>, Option<u32>)> = orders
        .all()
        .map(|wanted| {
            (
                wanted.part.as_str(),
                wanted.wanted_day,
                wanted.order_by_day(),
            )
        })
        .collect();
    assert_eq!(
        found,
        [("pump", Some(3), Some(2)), ("spare", Some(4), None)]
    );
}

fn due(due: u32) -> Orders {
    let log = format!("```parts\npump: ordered, due day {due}\n```");
    orders(&book("pump: {what: Pump}\n").log(&log).log("Day 2."))
}

#[test]
fn a_part_that_is_due_after_its_job_is_at_risk() {
    assert_eq!(due(5).on(2), []);
    let orders = due(6);
    let [listed] = orders.on(2)[..] else {
        panic!("{orders:?}")
    };
    assert_eq!(
        (
            listed.wanted.job.as_deref(),
            listed.reason,
            listed.is_late()
        ),
        (Some("fit"), Reason::AtRisk, false)
    );
    assert_eq!(listed.words(), "at risk: due on day 6, wanted on day 5");
}

#[test]
fn a_part_is_due_on_its_day_and_late_when_that_day_is_over() {
    let orders = due(2);
    let on = |day: u32| orders.on(day).iter().map(Listed::words).collect::<Vec<_>>();
    assert_eq!(
        (on(1), on(2)),
        (
            vec![],
            vec!["due today, not in, wanted on day 5".to_owned()]
        )
    );
    assert_eq!(on(3), ["late: was due on day 2, wanted on day 5"]);
    assert_eq!(
        (pump(&orders).is_late(2), pump(&orders).is_late(3)),
        (false, true)
    );
}

#[test]
fn parts_that_are_here_are_not_wanted() {
    let orders = orders(&book("pump: {what: Pump, need: day 1}\n").log("```parts\npump: in\n```"));
    assert_eq!(orders.all().count(), 0);
}

#[test]
fn a_late_part_is_late_until_it_is_in_even_if_no_job_needs_it() {
    let book = Written::plan("- [ ] One {one, takes 1 h}").parts("pump: {what: Pump}\n");
    let late = book
        .log("```parts\npump: ordered, due day 2\n```\n- [x] {one, took 1 h}")
        .log("Rest.")
        .log("Rest.");
    assert_eq!(reasons(&orders(&late), 3), [("pump", Reason::Late)]);
    assert_eq!(orders(&late).on(3)[0].words(), "late: was due on day 2");
    assert_eq!(
        reasons(&orders(&late.log("```parts\npump: in\n```")), 4),
        []
    );
}

#[test]
fn a_part_on_order_without_a_due_day_is_listed() {
    let orders = orders(&book("pump: {what: Pump}\n").log("```parts\npump: ordered\n```"));
    assert_eq!(
        orders.on(1)[0].words(),
        "ordered, due day not known, wanted on day 5"
    );
}

#[test]
fn a_part_without_a_lead_time_is_listed_and_has_no_order_by_day() {
    let orders = orders(&book("pump: {what: Pump}\n"));
    assert_eq!(
        orders.on(1)[0].words(),
        "lead time not known, wanted on day 5"
    );
    assert_eq!(
        (pump(&orders).order_by_day(), orders.nothing(1, false)),
        (None, "")
    );
}

#[test]
fn a_lent_part_has_not_to_be_ordered_and_is_late_when_its_day_is_over() {
    let lent = book("pump: {what: Pump, supplied: lent, need: day 2}\n")
        .log("Day 1.")
        .log("Day 2.");
    let orders = orders(&lent);
    assert_eq!(
        orders.nothing(2, true),
        "Of what could be read, nothing has to be ordered today, and nothing is late."
    );
    assert_eq!(
        orders.nothing(2, false),
        "Nothing has to be ordered today, and nothing is late."
    );
    assert_eq!(orders.on(3)[0].words(), "late: not in, wanted on day 2");
}

#[test]
fn a_dropped_or_done_job_wants_nothing() {
    let parts = "pump: {what: Pump, lead: 1 day}\n";
    let done = book(parts).log("- [x] {fit, took 1 h}\n- [ ] {more, dropped: no time}");
    assert_eq!(orders(&done).all().count(), 0);
}

#[test]
fn a_job_done_with_a_stopgap_wants_its_part_until_the_stopgap_is_made_good() {
    let book = book("pump: {what: Pump, lead: 1 day}\n");
    let done = book.log("- [x] {fit, took 1 h, temp: a hose}\n- [ ] {more, dropped: no time}");
    let wanting = orders(&done);
    assert_eq!(
        (pump(&wanting).job.as_deref(), pump(&wanting).wanted_day),
        (Some("fit"), Some(5))
    );
    assert_eq!(
        pump(&orders(
            &done.clone().log("Day 2.").log("3").log("4").log("5")
        ))
        .wanted_day,
        Some(6)
    );
    assert_eq!(
        orders(&done.log("- [x] {fit, made good by Ines}"))
            .all()
            .count(),
        0
    );
}

#[test]
fn a_part_is_wanted_on_the_planned_day_of_its_job_if_the_plan_gives_the_job_no_title() {
    let mut untitled = book("pump: {what: Pump, lead: 1 day}\n");
    untitled.plan = "## Day 4\n\n- [ ] {x}\n".into();
    let orders = orders(&untitled.log("- [ ] {x, needs pump}"));
    assert_eq!(pump(&orders).wanted_day, Some(4));
}
