//! Chance: against the log-normal distribution itself, and always the same.

use shimbook::forecast::{Lever, Pace};

use crate::book::Written;

const ALONE: Pace = Pace {
    jobs: 0,
    mean: 0.0,
    sd: 0.3,
    mean_sd: 0.0,
};

fn one_job(hours: f64, days: u32, pace: Pace) -> f64 {
    Written::plan(&format!("- [ ] One {{one, takes {hours} h}}"))
        .days(days)
        .forecast_at(pace)
        .outlook
        .on_time
}

/// P(hours · e^(m + s·z) ≤ 8 · days), the normal distribution from its table; 2,000 runs are good
/// to 0.035 (3 σ).
#[test]
fn the_chance_of_one_job_is_that_of_the_log_normal_distribution() {
    assert!((one_job(8.0, 1, ALONE) - 0.5).abs() < 0.035);
    // ln 1.6 / 0.3 = 1.5667
    assert!((one_job(10.0, 2, ALONE) - 0.9414).abs() < 0.02);
    // (ln 1.6 - 0.2) / 0.3 = 0.9000
    assert!((one_job(10.0, 2, Pace { mean: 0.2, ..ALONE }) - 0.8159).abs() < 0.03);
    // ln 1.6 / √(0.3² + 0.4²) = 0.9400
    assert!(
        (one_job(
            10.0,
            2,
            Pace {
                mean_sd: 0.4,
                ..ALONE
            }
        ) - 0.8264)
            .abs()
            < 0.03
    );
}

fn some_book() -> Written {
    Written::plan(
        "- [ ] One {one, by Ines, takes 11 h}\n- [ ] Two {two, takes 7 h, caution hot_work}\n\
         - [ ] Three {three, by Bashir + Ines, takes 9 h, follows two}\n- [ ] Four {four, takes 5 h, follows one, needs pump}\n\
         - [ ] Check it {five, by Ines, takes 6 h, follows four}\n- [ ] Six {six, by Ines, takes 6 h, follows four}",
    )
    .crew(&[("Ines", 8.0), ("Bashir", 6.0)])
    .parts("pump: {what: Pump, lead: 4 days}\n")
    .days(7)
}

/// Kept so that a machine which comes to something else is found out.
#[test]
fn the_same_book_gives_the_same_numbers() {
    let (first, second) = (some_book().forecast(), some_book().forecast());
    assert_eq!(first, second);
    let outlook = first.outlook;
    assert_eq!(
        (outlook.p10, outlook.p50, outlook.p90, outlook.on_time),
        (5, 6, 7, 0.9795)
    );
}

#[test]
fn the_ends_the_shares_and_the_days_agree_with_each_other() {
    let outlook = some_book().forecast().outlook;
    assert_eq!(outlook.ends.values().sum::<u32>(), outlook.runs);
    let in_time: u32 = outlook.ends.range(..=7).map(|(_, runs)| runs).sum();
    assert_eq!(
        f64::from(in_time) / f64::from(outlook.runs),
        outlook.on_time
    );
    assert!(outlook.p10 <= outlook.p50 && outlook.p50 <= outlook.p90);
    let by_p90: u32 = outlook
        .ends
        .range(..=outlook.p90)
        .map(|(_, runs)| runs)
        .sum();
    let before: u32 = outlook
        .ends
        .range(..outlook.p90)
        .map(|(_, runs)| runs)
        .sum();
    assert!(f64::from(by_p90) >= 1800.0 && f64::from(before) < 1800.0);
}

#[test]
fn a_part_in_tomorrow_helps_where_everything_waits_for_it() {
    let outlook = some_book().forecast().outlook;
    assert_eq!(outlook.parts_on_chain[0].0, "pump");
    assert_eq!(outlook.helps[0].lever, Lever::Part("pump".into()));
    assert!(outlook.helps.iter().all(|help| help.days > 0.0) && outlook.helps.len() <= 3);
}

/// Each of them alone decides the end; none of them may be hurried.
#[test]
fn nobody_is_told_to_hurry_a_caution_a_stopgap_work_made_again_or_an_inspection() {
    let never = [
        "- [ ] Weld it {it, takes 9 h, caution hot_work}",
        "- [ ] Prop it {it, takes 9 h, temp: a stand carries it}",
        "- [ ] Inspect the hoop {it, takes 9 h}",
        "- [ ] The hoop {hoop_checked, takes 9 h}",
        "- [ ] Measuring round {it, takes 9 h}",
    ];
    for item in never {
        assert_eq!(Written::plan(item).forecast().outlook.helps, [], "{item}");
    }
    let again = Written::plan("- [ ] Bend it {it, takes 9 h}")
        .log("- [ ] {it, took 1 h, again: bent wrong}");
    assert_eq!(again.forecast().outlook.helps, []);
    let may = Written::plan("- [ ] Paint it {it, takes 9 h}")
        .forecast()
        .outlook
        .helps;
    assert_eq!(may[0].lever, Lever::Job("it".into()));
}

#[test]
fn an_empty_book_has_an_outlook_too() {
    let forecast = Written::plan("").forecast();
    assert_eq!(
        (
            forecast.outlook.runs,
            forecast.outlook.on_time,
            forecast.schedule.finish_day
        ),
        (0, 1.0, None)
    );
}

#[test]
fn the_most_absurd_book_is_looked_at_without_harm() {
    let mut items = String::from("- [ ] No hours {zero, takes 0 h, by Ines + Ines}\n");
    for job in 0..60 {
        let (first, second) = ((job + 1) % 60, (job * 7) % 60);
        items += &format!(
            "- [ ] Job {job} {{j{job}, takes 10000 h, follows j{first} + j{second} + nothing, needs pump + nothing}}\n"
        );
    }
    let book = Written::plan(&items)
        .crew(&[("Ines", 0.001), ("Bashir", 24.0)])
        .parts("pump: {what: Pump, lead: 4000000 days}\n")
        .log("- [ ] {j1, took 10000 h, by Nobody}");
    let (forecast, found) = book.look();
    assert_eq!(forecast.schedule.slots.len(), 61);
    assert_eq!(forecast.outlook.on_time, 0.0);
    assert!(
        found
            .iter()
            .any(|finding| finding.message.contains("and so on, 60 jobs in all")),
        "{found:?}"
    );
}
