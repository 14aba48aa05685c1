//! Why it may not be done in time.

use shimbook::forecast::{Danger, Pusher};

use crate::book::Written;

fn words(danger: &Danger) -> String {
    danger.words(str::to_uppercase, |part| format!("the {part}"))
}

#[test]
fn where_it_is_likely_done_in_time_nothing_is_said() {
    assert_eq!(
        Written::plan("- [ ] One {one, takes 9 h}")
            .forecast()
            .danger,
        []
    );
}

#[test]
fn a_part_that_comes_in_too_late_is_the_first_reason() {
    let forecast =
        Written::plan("- [ ] Fit {fit, takes 2 h, needs pump}\n- [ ] Other {other, takes 2 h}")
            .parts("pump: {what: Pump, lead: 9 days}\n")
            .forecast();
    assert_eq!(forecast.outlook.on_time, 0.0);
    let first = &forecast.danger[0];
    assert_eq!(
        (&first.what, first.share),
        (
            &Pusher::Part {
                id: "pump".into(),
                job: "fit".into()
            },
            1.0
        )
    );
    assert_eq!(words(first), "FIT waits for the pump, which is in on day 9");
    assert!(
        !forecast
            .danger
            .iter()
            .any(|danger| danger.what == Pusher::Job("other".into()))
    );
}

#[test]
fn somebody_with_more_work_than_hours_is_named_with_both() {
    let forecast = Written::plan(
        "- [ ] Long {long, by Ines, takes 30 h}\n- [ ] Short {short, by Bashir, takes 2 h}",
    )
    .crew(&[("Ines", 8.0), ("Bashir", 8.0)])
    .days(3)
    .forecast();
    let person = &forecast.danger[0];
    assert_eq!(
        (&person.what, &words(person)[..]),
        (
            &Pusher::Person("Ines".into()),
            "Ines has 30.0 h of work and 24.0 h until day 3"
        )
    );
    assert_eq!(forecast.danger[1].what, Pusher::Job("long".into()));
    assert_eq!(forecast.danger.len(), 2);
}

#[test]
fn a_job_that_is_held_up_says_on_what() {
    let forecast = Written::plan("- [ ] One {one, takes 2 h}")
        .days(1)
        .log("- [ ] {one, held up: no bolts}")
        .forecast();
    assert_eq!(
        words(forecast.danger.last().unwrap()),
        "ONE decides the end in 100 of 100 late runs, held up: no bolts"
    );
}
