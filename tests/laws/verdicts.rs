//! Verdicts, whatever the reading and its limits.

use proptest::prelude::*;
use shimbook::book::Judge;
use shimbook::calc::Verdict;
use shimbook::quantity::{Literal, Units, format};

use crate::bench::work_judged_by;
use crate::dice;

fn judge() -> impl Strategy<Value = Judge> {
    proptest::sample::select(vec![Judge::WorstCase, Judge::Rss])
}

/// The verdict on a clearance of two readings.
fn verdict(judge: Judge, readings: [(f64, f64); 2], check: &str) -> Verdict {
    let [(a, t), (b, s)] = readings;
    let block =
        format!("a measured {a} ± {t} mm\nb measured {b} ± {s} mm\ngap = a - b\ngap {check}");
    work_judged_by(judge, &[&block]).verdict("gap")
}

fn two_readings() -> impl Strategy<Value = [(f64, f64); 2]> {
    proptest::array::uniform2((0.0..40.0, 0.0..3.0))
}

proptest! {
    #![proptest_config(dice(400))]

    #[test]
    fn moving_a_limit_outwards_never_takes_a_value_out_of_its_limits(
        judge in judge(), readings in two_readings(), low in -40.0..10.0, room in 0.0..60.0, more in (0.0..5.0, 0.0..5.0),
    ) {
        let high = low + room;
        let (lower, higher) = (low - more.0, high + more.1);
        let (middle, half) = (f64::midpoint(low, high), room / 2.0);
        let pairs = [
            (format!("at least {low} mm"), format!("at least {lower} mm")),
            (format!("at most {high} mm"), format!("at most {higher} mm")),
            (format!("between {low} mm and {high} mm"), format!("between {lower} mm and {higher} mm")),
            (format!("within {middle} ± {half} mm"), format!("within {middle} ± {} mm", half + more.0)),
            (format!("within {middle} +{half}/-{half} mm"), format!("within {middle} +{}/-{} mm", half + more.0, half + more.1)),
        ];
        for (narrow, wide) in pairs {
            let (before, after) = (verdict(judge, readings, &narrow), verdict(judge, readings, &wide));
            prop_assert!(before != Verdict::InLimits || after == Verdict::InLimits, "{narrow} {before:?}, {wide} {after:?}");
            prop_assert!(after != Verdict::OutOfLimits || before == Verdict::OutOfLimits, "{narrow} {before:?}, {wide} {after:?}");
        }
    }

    #[test]
    fn a_closer_reading_never_leaves_a_settled_verdict(
        judge in judge(), readings in two_readings(), low in -40.0..10.0, room in 0.0..60.0, closer in 0.0..1.0,
    ) {
        let check = format!("between {low} and {} mm", low + room);
        let closely = readings.map(|(nominal, spread)| (nominal, spread * closer));
        let (before, after) = (verdict(judge, readings, &check), verdict(judge, closely, &check));
        prop_assert!(before == Verdict::TooClose || before == after, "{before:?} became {after:?}");
    }

    #[test]
    fn what_is_in_limits_at_worst_is_in_limits_by_squares(readings in two_readings(), low in -40.0..10.0, room in 0.0..60.0) {
        let check = format!("between {low} and {} mm", low + room);
        let (worst, squares) = (verdict(Judge::WorstCase, readings, &check), verdict(Judge::Rss, readings, &check));
        prop_assert!(worst == Verdict::TooClose || worst == squares, "{worst:?} at worst, {squares:?} by squares");
    }

    #[test]
    fn a_hold_is_judged_at_worst_whatever_the_book_judges_by(readings in two_readings(), low in -40.0..40.0) {
        let check = format!("at least {low} mm, hold");
        prop_assert_eq!(verdict(Judge::Rss, readings, &check), verdict(Judge::WorstCase, readings, &check));
    }

    /// Printed figures have their last digit rounded: only a limit nearer than that may fall to
    /// another side.
    #[test]
    fn a_printed_value_read_back_gives_the_same_verdict(
        nominal in -500.0..500.0, up in 0.001..20.0, down in 0.001..20.0, limit in -500.0..500.0,
    ) {
        let printed = format::with_spread(nominal, up, down);
        let read = Literal::read(&format!("{printed} mm"), &Units::new("EUR")).unwrap();
        let half = 0.51 * 10.0_f64.powi(-(format::places(f64::max(up, down)) as i32));
        let gap = |edge: f64| f64::abs(edge - limit);
        prop_assume!(gap(nominal + up) > 2.0 * half && gap(nominal - down) > 2.0 * half);
        let judged = |text: &str| {
            let block = format!("x measured {text} mm\nx at least {limit} mm");
            work_judged_by(Judge::WorstCase, &[&block]).verdict("x")
        };
        prop_assert_eq!(judged(&format!("{nominal} +{up}/-{down}")), judged(&printed), "{} read back as {:?}", printed, read);
    }
}

/// ` - a - b`: the parts taken off, one after another.
fn less(parts: &[i64]) -> String {
    parts
        .iter()
        .flat_map(|part| [" - ".to_owned(), hundredths(*part)])
        .collect()
}

/// Hundredths of a millimetre as a crew writes them.
fn hundredths(count: i64) -> String {
    format!(
        "{}{}.{:02} mm",
        if count < 0 { "-" } else { "" },
        count.abs() / 100,
        count.abs() % 100
    )
}

proptest! {
    #![proptest_config(dice(600))]

    /// In decimals the gap is exactly at its limit; in the machine's figures it is only nearly so.
    #[test]
    fn a_stack_that_comes_to_its_limit_is_in_limits_and_one_hundredth_less_is_not(
        parts in proptest::collection::vec(1_i64..90_000, 1..9), limit in 0_i64..2000, scale in 0_usize..3,
    ) {
        let whole: i64 = parts.iter().sum::<i64>() + limit;
        let taken = less(&parts);
        let also = ["", " + 3 in - 3 in", " + 2 m * 3 - 6 m"][scale];
        for (short, expected) in [(0, Verdict::InLimits), (1, Verdict::OutOfLimits)] {
            let gap = format!("gap = {}{taken}{also}", hundredths(whole - short));
            for (name, check) in [
                ("gap", format!("gap at least {}", hundredths(limit))),
                ("gap", format!("gap between {} and 9 m", hundredths(limit))),
                ("turned", format!("turned = -gap\nturned at most -{}", hundredths(limit))),
            ] {
                let block = format!("{gap}\n{check}");
                prop_assert_eq!(work_judged_by(Judge::WorstCase, &[&block]).verdict(name), expected, "{}", block);
            }
        }
    }
}

proptest! {
    #![proptest_config(dice(600))]

    #[test]
    fn a_stack_that_cancels_comes_to_exactly_nothing(parts in proptest::collection::vec(1_i64..90_000, 1..12)) {
        let taken = less(&parts);
        let bench = work_judged_by(Judge::WorstCase, &[&format!("gap = {}{taken}", hundredths(parts.iter().sum()))]);
        prop_assert_eq!(bench.value("gap").nominal, 0.0);
    }
}
