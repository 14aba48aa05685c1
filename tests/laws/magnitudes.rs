//! Figures from the ends of the scale, differences that cancel, limits that are met exactly,
//! spreads of nothing.

use proptest::prelude::*;
use shimbook::build::compile;
use shimbook::calc::Verdict;
use shimbook::diagnostics::Slug;
use shimbook::export::document;
use shimbook::io::BookFiles;
use shimbook::quantity::{Literal, Units, format};

use crate::bench::{Bench, work};
use crate::dice;

/// A figure of any size a double has, subnormal ones and zero included.
fn any_size() -> impl Strategy<Value = f64> {
    let scaled = (1.0..10.0_f64, -300..300, any::<bool>());
    let scaled = scaled.prop_map(|(figure, power, minus)| {
        let size: f64 = format!("{figure}e{power}").parse().unwrap();
        if minus { -size } else { size }
    });
    let ends = [0.0, 5e-324, 4e-310, -2.2e-308, 1.7e308, -1.7e308];
    prop_oneof![9 => scaled, 1 => proptest::sample::select(ends.to_vec())]
}

/// Is a name worked out to a number, or is it said that there is none?
fn number_or_said(bench: &Bench, name: &str, exact: f64) -> Result<(), TestCaseError> {
    let said = bench
        .diagnostics
        .iter()
        .any(|finding| finding.slug == Slug::NoNumber);
    prop_assert_eq!(
        bench.has_value(name),
        exact.is_finite(),
        "{} should be {}: {:?}",
        name,
        exact,
        bench.said()
    );
    prop_assert_eq!(said, !exact.is_finite());
    Ok(())
}

proptest! {
    #![proptest_config(dice(500))]

    #[test]
    fn what_is_too_large_for_a_number_is_said_and_never_a_value(a in any_size(), b in any_size()) {
        for (sign, exact) in [("*", a * b), ("+", a + b), ("-", a - b)] {
            let bench = work(&[&format!("a = {a:e}\nb = {b:e}\nr = a {sign} b")]);
            number_or_said(&bench, "r", exact)?;
            if exact.is_finite() && sign == "*" {
                prop_assert_eq!(bench.value("r").nominal, exact);
            }
        }
    }

    #[test]
    fn a_sum_less_one_of_its_parts_is_the_other_as_nearly_as_a_double_can_hold_the_sum(a in -1e12..1e12_f64, power in -12..12) {
        let b = 10.0_f64.powi(power);
        let bench = work(&[&format!("a = {a} mm\nb = {b} mm\nrest = a + b - a")]);
        let rest = bench.value("rest").nominal * 1e3;
        prop_assert!((rest - b).abs() <= 8.0 * f64::EPSILON * (a.abs() + b), "{rest} mm instead of {b}");
    }

    #[test]
    fn at_its_limit_a_value_is_in_limits_whatever_its_size(value in any_size(), unit in proptest::sample::select(&["", "mm", "in", "deg"][..])) {
        let x = format!("{value:e} {unit}");
        for rule in [format!("at least {x}"), format!("at most {x}"), format!("between {x} and {x}"), format!("within {x} ± 0 {unit}")] {
            let block = format!("x = {x}\nx {rule}");
            prop_assert_eq!(work(&[&block]).verdict("x"), Verdict::InLimits, "{}", block);
        }
    }

    #[test]
    fn a_millionth_beyond_its_limit_a_value_is_out_whatever_its_size(figure in 1.0..10.0_f64, power in -290..290) {
        let (limit, less, more) = (format!("{figure}e{power}"), figure * (1.0 - 1e-6), figure * (1.0 + 1e-6));
        for block in [format!("x = {less}e{power}\nx at least {limit}"), format!("x = {more}e{power}\nx at most {limit}")] {
            prop_assert_eq!(work(&[&block]).verdict("x"), Verdict::OutOfLimits, "{}", block);
        }
    }

    #[test]
    fn a_spread_of_nothing_is_none(value in any_size(), limit in any_size()) {
        let bench = work(&[&format!("x measured {value:e} ± 0\ny = x * 2 / 2\nx at least {limit:e}\ny at most {limit:e}")]);
        prop_assert!(bench.value("x").terms().is_empty());
        prop_assert!(bench.verdict("x") != Verdict::TooClose && bench.verdict("y") != Verdict::TooClose);
        prop_assert!(!format::with_spread(value, 0.0, 0.0).contains(['±', '+']), "{}", format::with_spread(value, 0.0, 0.0));
    }

    #[test]
    fn printed_figures_have_as_many_places_as_their_spread_and_that_shows_its_first_two_figures(
        nominal in -1e6..1e6_f64, figure in 1.0..10.0_f64, power in -7..4,
    ) {
        let spread: f64 = format!("{figure}e{power}").parse().unwrap();
        let printed = format::with_spread(nominal, spread, spread);
        let (number, reach) = printed.split_once(" ± ").unwrap();
        let places = |text: &str| text.split_once('.').map_or(0, |(_, places)| places.len());
        prop_assert_eq!(places(number), places(reach), "{}", printed);
        let figures = reach.trim_start_matches(['0', '.']).bytes().filter(u8::is_ascii_digit).count();
        prop_assert!(figures == 2 || spread >= 99.5 && places(reach) == 0, "{printed}");
    }

    #[test]
    fn a_figure_in_full_is_read_back_to_the_last_bit(value in any_size()) {
        for written in [format!("{value}"), format!("{value:e}"), format!("{value:e} m")] {
            prop_assert_eq!(Literal::read(&written, &Units::new("EUR")).unwrap().nominal, value, "{}", written);
        }
    }

    #[test]
    fn what_was_written_with_twelve_figures_stands_in_the_document_as_it_was_written(
        figures in 1..999_999_999_999_i64, power in -20..20, unit in proptest::sample::select(&["mm", "in", "deg", "lb", "psi", "%"][..]),
    ) {
        let written = format!("{figures}e{power}");
        let log = format!("---\nday: 1\n---\n```sums\nx measured {written} {unit}\n```\n");
        let sheet = "title: x\nstart: 2031-05-02\ndays: 2\ncrew: [{name: Ines, hours: 8}]\n";
        let build = compile(BookFiles::from_texts([("build-sheet.yaml", sheet), ("days/day-01.md", &log)]));
        prop_assert_eq!(document::check(&build).values["x"].value, written.parse().ok(), "{} {}", written, unit);
    }
}
