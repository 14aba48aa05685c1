//! Fractions of an inch, as the shop writes them.

use crate::bench::work;
use crate::published::Gives::Value;
use crate::published::Held;

macro_rules! fraction {
    ($row:literal, $inches:literal) => {
        Held {
            row: $row,
            sums: concat!(
                "x = ",
                $inches,
                " in\ny = ",
                $inches,
                " in as mm\nz = 0 mm + ",
                $inches,
                " in"
            ),
            gives: &[Value("x"), Value("y"), Value("x"), Value("z")],
        }
    };
}

/// Each fraction in inches and in millimetres, as a value and inside a sum.
pub const ROWS: &[Held] = &[
    fraction!("j01", "1/64"),
    fraction!("j02", "1/32"),
    fraction!("j03", "3/64"),
    fraction!("j04", "1/16"),
    fraction!("j05", "7/64"),
    fraction!("j06", "1/8"),
    fraction!("j07", "13/64"),
    fraction!("j08", "1/4"),
    fraction!("j10", "3/8"),
    fraction!("j11", "27/64"),
    fraction!("j12", "7/16"),
    fraction!("j13", "1/2"),
    fraction!("j15", "5/8"),
    fraction!("j16", "63/64"),
];

#[test]
fn a_fraction_of_an_inch_is_exact_in_inches_and_in_millimetres() {
    ROWS.iter().for_each(Held::run);
}

#[test]
fn every_sixty_fourth_is_its_decimal_and_stands_for_it_with_whole_inches_too() {
    for n in 1..64 {
        let decimal = f64::from(n) / 64.0;
        let sums = format!(
            "a = {n}/64 in\nb = {decimal} in\nc = 3-{n}/64 in\nd = 3 {n}/64\"\ne = 1 in * {n} / 64"
        );
        let bench = work(&[&sums]);
        assert!(bench.diagnostics.is_empty(), "{n}/64: {:?}", bench.said());
        for name in ["a", "b", "e"] {
            assert!(
                (bench.shown(name) - decimal).abs() < 1e-15,
                "{name} of {sums}"
            );
        }
        for name in ["c", "d"] {
            assert!(
                (bench.shown(name) - 3.0 - decimal).abs() < 2e-15,
                "{name} of {sums}"
            );
        }
    }
}
