//! What has to be ordered by when.

use crate::book::Written;

const JOBS: &str = "## Day 2\n\n- [ ] Early {early, takes 1 h}\n\n## Day 5\n\n- [ ] Fit {fit, takes 2 h, follows early, needs pump}\n\n\
                    ## Day 6\n\n- [ ] Fit more {more, takes 2 h, needs pump}\n";

fn book(parts: &str) -> Written {
    let mut book = Written::plan("").parts(parts);
    book.plan = JOBS.into();
    book
}

#[test]
fn a_part_is_ordered_so_that_the_first_job_that_needs_it_can_begin_on_its_planned_day() {
    let orders = book("pump: {what: Pump, lead: 2 days}\n").forecast().orders;
    let [order] = &orders[..] else { panic!("{orders:?}") };
    assert_eq!(
        (order.job.as_deref(), order.wanted_day, order.last_day, order.order_by_day),
        (Some("fit"), 5, 3, Some(3))
    );
    assert!(!order.is_too_late());
}

#[test]
fn a_part_can_wait_as_long_as_the_jobs_before_it() {
    let late = book("pump: {what: Pump, lead: 1 day}\n").days(20);
    let mut late = (0..7).fold(late, |book, _| book.log("Nothing done."));
    late.plan = late.plan.replace("takes 1 h", "takes 20 h");
    let order = &late.forecast().orders[0];
    // `early` takes days 8 to 10, `more` could begin on day 8.
    assert_eq!((order.job.as_deref(), order.wanted_day, order.last_day), (Some("more"), 8, 7));
    assert!(!order.is_too_late());
}

#[test]
fn an_order_that_comes_too_late_even_today_says_so() {
    let order = book("pump: {what: Pump, lead: 9 days}\n").forecast().orders.remove(0);
    assert_eq!((order.last_day, order.in_day, order.is_too_late()), (0, 9, true));
}

#[test]
fn the_day_a_part_must_be_here_by_goes_before_its_jobs() {
    let orders =
        book("pump: {what: Pump, lead: 1 day, need: day 3}\nspare: {what: Spare, need: day 4}\n").forecast().orders;
    let found: Vec<(&str, u32, u32)> =
        orders.iter().map(|order| (order.part.as_str(), order.wanted_day, order.last_day)).collect();
    assert_eq!(found, [("pump", 3, 2), ("spare", 4, 4)]);
}

#[test]
fn parts_due_after_their_job_and_parts_overdue_are_at_risk() {
    let due = |due: u32| {
        book("pump: {what: Pump}\n")
            .log(&format!("```parts\npump: ordered, due day {due}\n```"))
            .log("Day 2.")
            .forecast()
    };
    assert!(due(5).at_risk.is_empty() && due(5).orders.is_empty());
    let at_risk = due(6).at_risk;
    assert_eq!(
        (at_risk[0].job.as_deref(), at_risk[0].wanted_day, at_risk[0].due_day, at_risk[0].late),
        (Some("fit"), 5, 6, false)
    );
    assert!(due(1).at_risk[0].late);
}

#[test]
fn parts_that_are_here_are_nobodys_worry() {
    let forecast = book("pump: {what: Pump}\n").log("```parts\npump: in\n```").forecast();
    assert!(forecast.orders.is_empty() && forecast.at_risk.is_empty());
}
