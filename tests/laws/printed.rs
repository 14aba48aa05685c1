//! What is printed beside a verdict never tells another one.

use std::collections::BTreeMap;

use proptest::prelude::*;
use shimbook::build::compile;
use shimbook::export::document;
use shimbook::io::BookFiles;
use shimbook::quantity::printed;

use crate::dice;

/// A book of one block: what each check's value is printed as, and its verdict.
fn checked(judge: &str, block: &str) -> BTreeMap<String, (String, &'static str)> {
    let sheet = format!(
        "title: x\nstart: 2031-05-02\ndays: 2\ncrew: [{{name: Ines, hours: 8}}]\njudge: {judge}\n"
    );
    let log = format!("---\nday: 1\n---\n```sums\n{block}```\n");
    let files = [
        ("build-sheet.yaml", sheet.as_str()),
        ("days/day-01.md", log.as_str()),
    ];
    let checks = document::check(&compile(BookFiles::from_texts(files))).checks;
    checks
        .into_iter()
        .map(|check| (check.name, (check.now, check.verdict)))
        .collect()
}

/// Nominal value and both sides of a printed value.
fn read(printed: &str) -> (f64, f64, f64) {
    let plain = printed::plain_marks(printed);
    let figures = plain.trim_end_matches(|c: char| c.is_alphabetic() || c.is_whitespace());
    let number = |text: &str| text.parse().unwrap_or_else(|_| panic!("{printed:?}"));
    let Some((nominal, spread)) = figures.split_once(' ') else {
        return (number(figures), 0.0, 0.0);
    };
    let both = spread.strip_prefix("± ");
    let (up, down) = both.map_or_else(
        || spread[1..].split_once("/-").unwrap(),
        |both| (both, both),
    );
    (number(nominal), number(up), number(down))
}

/// What somebody with the printed value in hand says of `at least LIMIT`.
fn told((nominal, up, down): (f64, f64, f64), limit: f64) -> &'static str {
    let near = 1e-12 * limit.abs();
    if nominal + up < limit - near {
        "out of limits"
    } else if nominal - down >= limit - near {
        "in limits"
    } else {
        "too close"
    }
}

/// A step from a limit that may be far too small to be printed.
fn step() -> impl Strategy<Value = f64> {
    (-1.0..1.0, -9..1).prop_map(|(step, power)| step * 10.0_f64.powi(power))
}

proptest! {
    #![proptest_config(dice(400))]

    #[test]
    fn a_printed_value_and_its_limit_come_to_the_verdict_beside_them(
        limit in 1..5000_i32, step in step(), spread in prop_oneof![Just(0.0), 0.0001..3.0],
    ) {
        let limit = f64::from(limit) / 10.0;
        // Near the limit with the value, with its upper end and with its lower end.
        let nominals = [limit + step, limit + spread + step, limit - spread + step];
        let lines = nominals.iter().enumerate().map(|(n, nominal)| {
            format!("v{n} measured {nominal} ± {spread} mm\nv{n} at least {limit} mm\n")
        });
        for (name, (printed, verdict)) in checked("worst-case", &lines.collect::<String>()) {
            prop_assert_eq!(told(read(&printed), limit), verdict, "{} is printed {}, at least {}", name, printed, limit);
        }
    }

    #[test]
    fn so_do_they_where_a_hold_is_judged_at_worst_in_a_book_that_judges_by_squares(
        limit in 1..5000_i32, spreads in (0.01..1.0, 0.01..1.0), over in -2.0..2.0,
    ) {
        let limit = f64::from(limit) / 10.0;
        let block = format!(
            "a measured {} ± {} mm\nb measured 10 ± {} mm\ngap = a + b\ngap at least {limit} mm, hold\n",
            limit - 10.0 + over, spreads.0, spreads.1
        );
        let (printed, verdict) = &checked("rss", &block)["gap"];
        prop_assert_eq!(told(read(printed), limit), *verdict, "gap is printed {}, at least {}", printed, limit);
    }
}

#[test]
fn where_five_figures_would_reach_the_limit_more_are_shown() {
    let block = "gap = 24.99999 mm\ngap at least 25 mm\nplay measured 25.1 ± 0.1004 mm\nplay at least 25 mm\n\
                 rest measured 25.101234 ± 0.1004 mm\nrest at least 25 mm\n";
    let checks = checked("worst-case", block);
    assert_eq!(
        checks["gap"],
        ("24.99999\u{202f}mm".to_owned(), "out of limits")
    );
    assert_eq!(
        checks["play"],
        ("25.10 ± 0.11\u{202f}mm".to_owned(), "too close")
    );
    assert_eq!(
        checks["rest"],
        ("25.101 ± 0.101\u{202f}mm".to_owned(), "in limits")
    );
}
