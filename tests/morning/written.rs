//! What stands in the log.

use crate::{Texts, built, next_day, texts};

fn log(texts: &Texts) -> String {
    next_day(&built(texts)).text
}

#[test]
fn the_list_holds_the_jobs_of_the_day_those_of_days_without_a_log_and_the_carried_ones() {
    let plan = "## Day 1\n- [ ] Rails {rails, by Ines}\n- [ ] Tray {tray}\n## Day 3\n- [ ] Motor {motor, takes 2 h}\n## Day 4\n- [ ] Pump {pump}\n## Day 5\n- [ ] Later {later}\n";
    let texts = texts(
        plan,
        &[
            (1, "- [x] {tray}\n"),
            (
                3,
                "- [ ] {rails, held up: no drill, by Odd Ö.}\n- [ ] Extra {extra}\n",
            ),
        ],
    );
    let log = log(&texts);
    let lists = "## Planned for today\n\n- [ ] Pump {pump}\n\n## Carried\n\n- [ ] Rails {rails, by Odd Ö., held up: no drill}\n- [ ] Motor {motor}\n- [ ] Extra {extra}\n";
    assert!(log.contains(lists), "{log}");
    assert!(!log.contains("later") && !log.contains("Tray"), "{log}");
}

#[test]
fn a_title_that_would_not_read_back_is_left_out_and_stays_the_jobs_title() {
    let texts = texts(
        "## Day 1\n- [ ] Brace {one {a}\n",
        &[(1, "- [ ] {a, held up: bent } there}\n")],
    );
    let log = log(&texts);
    assert!(log.contains("- [ ] {a, held up: bent } there}\n"), "{log}");
}

#[test]
fn hours_slips_parts_and_the_hold_list_are_said_in_prose() {
    let mut texts = texts(
        "## Day 1\n- [ ] Rails {rails, takes 3 h}\n- [ ] Motor {motor, takes 2 h, temp: blocks}\n",
        &[(
            1,
            "- [ ] {rails, took 1 h}\n- [x] {motor}\n\n```parts\nshaft: ordered, due day 2\n```\n\n```sums\narch_gap at least 25 mm, hold\n```\n",
        )],
    );
    let parts = "shaft: {what: Shaft _one_, from: Tern & Sons}\nfluid: {what: Fluid, lead: 1 day, need: day 3}\n";
    texts.push(("parts.yaml".to_owned(), parts.to_owned()));
    let log = log(&texts);
    for line in [
        "Today’s list is 2 h of work against 17 h of hands.",
        "Up to day 8, the last, it is 2 h of work against 119 h of hands.",
        "Slipped: Rails (1 day).",
        "Due today: Shaft \\_one\\_, from Tern & Sons.",
        "To be ordered today: Fluid.",
        "Do not move or run it. On hold: Motor, a stopgap since day 1: blocks; arch_gap, no reading, needs at least 25 mm.",
    ] {
        assert!(log.contains(&format!("\n\n{line}\n")), "{line}\n{log}");
    }
}

#[test]
fn the_log_is_named_as_the_latest_one_is() {
    let named = |stem: &str, day: u32| {
        let mut texts = texts("", &[]);
        texts.push((format!("days/{stem}.md"), format!("---\nday: {day}\n---\n")));
        next_day(&built(&texts)).stem
    };
    for (stem, day, next) in [
        ("day-08", 8, "day-09"),
        ("day-9", 9, "day-10"),
        ("day-099", 99, "day-100"),
        ("Tag_07", 7, "Tag_08"),
        ("3", 3, "4"),
        ("2031-05-03", 3, "day-04"),
        ("arches", 2, "day-03"),
    ] {
        assert_eq!(named(stem, day), next, "{stem}");
    }
    assert_eq!(next_day(&built(&texts("", &[]))).stem, "day-01");
}

#[test]
fn the_date_is_written_only_where_counting_from_the_start_gives_another() {
    let mut texts = texts("", &[(1, "")]);
    assert!(!log(&texts).contains("date:"));
    texts.push((
        "days/day-02.md".to_owned(),
        "---\nday: 2\ndate: 2031-05-05, rain\n---\n".to_owned(),
    ));
    assert!(
        log(&texts)
            .starts_with("---\nday: 3\ndate: 2031-05-06, the day after day 2 on 2031-05-05\n---\n"),
        "{}",
        log(&texts)
    );
}

#[test]
fn a_day_after_the_last_says_so() {
    let text = log(&texts("## Day 1\n- [ ] Rails {rails}\n", &[(8, "")]));
    assert!(
        text.contains("\nDay 9 is after the last day allowed, day 8.\n"),
        "{text}"
    );
}

#[test]
fn a_book_holds_no_day_beyond_its_thousandth() {
    let build = built(&texts("", &[(1000, "")]));
    let hold = shimbook::hold::HoldList::default();
    assert_eq!(
        shimbook::morning::next_day(&build.book, &build.jobs, &build.ahead.orders, &hold, ""),
        None
    );
}

#[test]
fn the_log_says_who_has_more_work_than_hours_and_counts_hours_already_spent_off() {
    let plan = "## Day 1\n- [ ] Rails {rails, by Ines + Odd Ö., takes 14 h}\n- [ ] Motor {motor, by Odd Ö., takes 5 h}\n";
    let texts = texts(
        plan,
        &[(1, "- [ ] {rails, took 4 h}\n- [ ] {motor, took 5 h}\n")],
    );
    assert!(
        log(&texts).contains("\n\nToday’s list is 11 h of work against 17 h of hands.\n"),
        "{}",
        log(&texts)
    );
    assert!(!log(&texts).contains("More work than hours"));
    let more = self::texts(
        &format!("{plan}\n## Day 2\n- [ ] Pump {{pump, by Odd Ö., takes 3 h}}\n"),
        &[(1, "")],
    );
    assert!(
        log(&more).contains("\n\nMore work than hours: Odd Ö.: 15 h of work, 8 h available.\n"),
        "{}",
        log(&more)
    );
}
