//! Printed figures err to the safe side only, and what a page prints can be written in a log.

use proptest::prelude::*;
use shimbook::quantity::{Literal, Unit, Units, format, printed};

use crate::{dice, same};

/// A figure of any size, with few digits or many.
fn figure() -> impl Strategy<Value = f64> {
    let many = (-1.0..1.0_f64, -6..7).prop_map(|(figure, power)| figure * 10.0_f64.powi(power));
    let few = (-99_999..99_999_i64, -4..3)
        .prop_map(|(digits, power)| (digits as f64) * 10.0_f64.powi(power));
    prop_oneof![many, few]
}

const UNITS: [&str; 14] = [
    "mm", "in", "deg", "kg", "N-m", "kg/m^3", "mm2", "ohm", "Mohm", "degC", "EUR", "%", "rpm", "",
];

fn unit() -> impl Strategy<Value = Unit> {
    proptest::sample::select(&UNITS[..]).prop_map(|name| {
        if name.is_empty() {
            Unit::none()
        } else {
            Units::new("EUR").named(name).unwrap()
        }
    })
}

/// What a log that holds the printed text means, in the unit.
fn read(text: &str, unit: &Unit) -> f64 {
    let literal = Literal::read(text, &Units::new("EUR"));
    let literal = literal.unwrap_or_else(|fault| panic!("{text:?} cannot be written: {fault:?}"));
    unit.reading(literal.nominal)
}

/// A share of a figure that is the noise of a double.
fn noise(figure: f64) -> f64 {
    1e-11 * figure.abs()
}

/// A step on a scale of temperature prints as its unit does, and one of a percentage in points:
/// only other units are read back as steps.
fn step_unit() -> impl Strategy<Value = Unit> {
    unit().prop_filter("a step that is read back", |unit| {
        !unit.is_scale() && unit.name != "%"
    })
}

proptest! {
    #![proptest_config(dice(2000))]

    #[test]
    fn a_printed_margin_is_never_better_than_it_is(figure in figure(), unit in step_unit()) {
        let si = unit.step_to_si(figure);
        let (most, least) = (read(&printed::at_most(si, &unit), &unit), read(&printed::at_least(si, &unit), &unit));
        prop_assert!(most <= figure + noise(figure), "{figure} is printed {}", printed::at_most(si, &unit));
        prop_assert!(least >= figure - noise(figure), "{figure} is printed {}", printed::at_least(si, &unit));
        let share = if unit.name == "EUR" { 0.0 } else { 0.0101 };
        let near = |printed: f64| (printed - figure).abs() <= share * figure.abs() + 0.010_000_1;
        prop_assert!(near(most) && near(least), "{figure} is printed {most} and {least}");
    }

    #[test]
    fn a_printed_spread_is_never_smaller_than_it_is(figure in figure(), unit in step_unit()) {
        let spread = figure.abs();
        let text = printed::spread(unit.step_to_si(spread), &unit);
        prop_assert!(read(&text, &unit) >= spread - noise(spread), "{spread} is printed {text}");
    }

    #[test]
    fn both_sides_of_a_printed_value_are_never_smaller_than_they_are(
        nominal in figure(), up in figure(), down in figure(), unit in unit(),
    ) {
        let (up, down) = (up.abs(), down.abs());
        let text = printed::joined(&printed::figure(nominal, up, down, &unit), &unit);
        let literal = Literal::read(&text, &Units::new("EUR"));
        prop_assert!(literal.is_ok(), "{text:?}: {literal:?}");
        let literal = literal.unwrap();
        let (plus, minus) = (unit.step(literal.plus), unit.step(literal.minus));
        prop_assert!(plus >= up - noise(up) && minus >= down - noise(down), "{up} and {down} are printed {text}");
        prop_assert!(down == 0.0 || minus > 0.0, "{text}");
    }

    #[test]
    fn a_value_with_few_digits_is_read_back_as_it_was(digits in -99_999_999..99_999_999_i64, places in 0..5_i32, unit in unit()) {
        let places = if unit.name == "EUR" { places.min(2) } else { places };
        let written = (digits as f64) / 10.0_f64.powi(places);
        let text = printed::joined(&printed::figure(written, 0.0, 0.0, &unit), &unit);
        prop_assert!(same(read(&text, &unit), written, 1e-13) || unit.is_scale(), "{written} is printed {text}");
        prop_assert!((read(&text, &unit) - written).abs() <= 1e-9 * written.abs().max(1.0), "{written} is printed {text}");
    }

    #[test]
    fn a_printed_window_lies_inside_the_window(from in figure(), width in figure()) {
        let to = from + width.abs();
        let (low, high) = format::inwards(from, to);
        let (low, high): (f64, f64) = (low.parse().unwrap(), high.parse().unwrap());
        prop_assert!(low <= high, "{from} to {to} is printed {low} to {high}");
        prop_assert!(low >= from - noise(from) && high <= to + noise(to), "{from} to {to} is printed {low} to {high}");
    }

    #[test]
    fn the_handiest_size_of_a_window_is_printed_as_it_is_and_lies_inside(
        from in figure(), width in figure(), share in 0.0..=1.0_f64,
    ) {
        let to = from + width.abs();
        let point = (from + share * width.abs()).clamp(from, to);
        let size = format::handiest(point, from, to);
        prop_assert!(size >= from && size <= to, "{size} in {from} to {to}");
        let printed: f64 = format::exact(size).parse().unwrap();
        let wide = width.abs() > 1e-6 * from.abs();
        prop_assert!(!wide || same(printed, size, 1e-12), "{size} of {from} to {to} is printed {printed}");
    }

    #[test]
    fn no_figure_is_minus_nothing(figure in figure(), scale in -14..1, unit in unit()) {
        let small = figure * 10.0_f64.powi(scale);
        let si = unit.step_to_si(small);
        for text in [
            format::exact(small),
            format::plain(small, 3),
            printed::figure(small, 0.0, 0.0, &unit),
            printed::figure(small, figure.abs(), 0.0, &unit),
            printed::at_most(si, &unit),
            printed::at_least(si, &unit),
            printed::difference(si, &unit),
        ] {
            let plain = printed::plain_marks(&text);
            let negative = plain.strip_prefix('-').and_then(|rest| rest.split(|c: char| !"0123456789.".contains(c)).next());
            let is_nothing = negative.is_some_and(|digits| !digits.contains(|c: char| ('1'..='9').contains(&c)));
            prop_assert!(!is_nothing, "{small} is printed {text}");
        }
    }
}

#[test]
fn handy_sizes_that_differ_are_printed_differently() {
    let sixty_fourths: Vec<String> = (6400..6420)
        .map(|n| format::exact(f64::from(n) / 64.0))
        .collect();
    let mut apart = sixty_fourths.clone();
    apart.dedup();
    assert_eq!(apart, sixty_fourths);
}
