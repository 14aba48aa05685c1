//! What is written is read as it stands, and what is printed is read back.

use proptest::prelude::*;
use shimbook::quantity::{Literal, Units, format};

use crate::bench::work;
use crate::{dice, same};

const UNITS: [&str; 20] = [
    "mm", "in", "ft", "deg", "kg", "lb", "N-m", "lb-ft", "kW", "hp", "bar", "psi", "km/h", "rpm",
    "degC", "degF", "K", "%", "kg/m^3", "",
];

/// A number as crews write it.
fn number() -> impl Strategy<Value = String> {
    prop_oneof![
        "[0-9]{1,4}",
        "[0-9]{1,3}\\.[0-9]{1,4}",
        "\\.[0-9]{1,3}",
        "[1-9]\\.[0-9]{0,2}[1-9]e[+-]?[0-9]",
    ]
}

/// A value in one of the forms of the book.
fn value() -> impl Strategy<Value = String> {
    let unit = proptest::sample::select(&UNITS[..]);
    let sign = proptest::sample::select(&["", "-", "−", "- "][..]);
    let plain = (sign.clone(), number(), unit.clone())
        .prop_map(|(sign, n, unit)| format!("{sign}{n} {unit}"));
    let equal = (
        sign.clone(),
        number(),
        number(),
        unit.clone(),
        proptest::sample::select(&["±", "+/-", "+-"][..]),
    )
        .prop_map(|(sign, n, t, unit, mark)| format!("{sign}{n} {mark} {t} {unit}"));
    let unequal = (sign, number(), number(), number(), unit)
        .prop_map(|(sign, n, a, b, unit)| format!("{sign}{n} +{a}/-{b} {unit}"));
    let inches = (
        0..90,
        1..64,
        proptest::sample::select(&[2, 4, 8, 16, 32, 64][..]),
        proptest::sample::select(&[" in", "\""][..]),
    )
        .prop_map(|(whole, over, under, mark)| format!("{whole}-{over}/{under}{mark} ± 1/64 in"));
    let feet = (0..9, 0..12, 1..16)
        .prop_map(|(feet, inches, part)| format!("{feet} ft {inches}-{part}/16 in"));
    let marks = (0..9, 0..12).prop_map(|(feet, inches)| format!("{feet}' {inches}\""));
    let arc = (0..90, 0..60, 0..60).prop_map(|(d, m, s)| format!("{d}° {m}' {s}\""));
    prop_oneof![plain, equal, unequal, inches, feet, marks, arc]
}

proptest! {
    #![proptest_config(dice(1000))]

    #[test]
    fn a_written_value_read_again_from_what_was_kept_is_the_same(value in value(), before in " {0,2}", after in " {0,2}") {
        let units = Units::new("EUR");
        let read = Literal::read(&format!("{before}{value}{after}"), &units);
        prop_assert!(read.is_ok(), "{value:?}: {read:?}");
        let read = read.unwrap();
        prop_assert_eq!(read.written.as_str(), value.trim());
        prop_assert_eq!(Literal::read(&read.written, &units).unwrap(), read);
    }

    #[test]
    fn a_value_means_the_same_as_a_reading_and_as_given(value in value()) {
        let bench = work(&[&format!("x measured {value}\ny = {value}")]);
        prop_assert!(bench.diagnostics.is_empty(), "{value:?}: {:?}", bench.said());
        let (x, y) = (bench.value("x"), bench.value("y"));
        prop_assert_eq!((x.nominal, x.worst_case()), (y.nominal, y.worst_case()));
        prop_assert_eq!(bench.shown("x"), bench.shown("y"));
    }

    #[test]
    fn a_printed_value_is_read_back_to_its_last_digit(
        nominal in -1.0..1.0, size in -12..14, below in -1..9, up in 0.1..1.0, down in 0.1..1.0,
    ) {
        let nominal = nominal * 10.0_f64.powi(size);
        let scale = size - below;
        let (up, down) = (up * 10.0_f64.powi(scale), down * 10.0_f64.powi(scale));
        let printed = format::with_spread(nominal, up, down);
        let read = Literal::read(&printed, &Units::new("EUR"));
        prop_assert!(read.is_ok(), "{printed:?}: {read:?}");
        let read = read.unwrap();
        // Two figures of the spread are shown, rounded up: 0.994 is shown as 1.0.
        let largest = f64::max(up, down);
        let power = largest.log10().floor() as i32;
        let rounds_over = largest / 10.0_f64.powi(power - 1) > 99.0;
        let half = 0.500_001 * 10.0_f64.powi(power - 1 + i32::from(rounds_over));
        prop_assert!((read.nominal - nominal).abs() <= half, "{nominal} is printed {printed}");
        // A spread is rounded up, so it is never printed smaller than it is.
        let is_near = |read: f64, is: f64| read >= is * (1.0 - 1e-12) && read - is <= 2.0 * half;
        prop_assert!(is_near(read.plus, up) && is_near(read.minus, down), "{up} {down} {printed}");
    }

    #[test]
    fn a_bare_figure_is_read_back_to_five_figures(number in -1.0..1.0_f64, power in -30..30) {
        let number = number * 10.0_f64.powi(power);
        let printed = format::plain(number, 5);
        let read = Literal::read(&printed, &Units::new("EUR"));
        prop_assert!(read.is_ok(), "{printed:?}: {read:?}");
        prop_assert!(same(read.unwrap().nominal, number, 0.5001e-4), "{number} is printed {printed}");
    }
}
