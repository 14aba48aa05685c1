//! Factors of units, to the last figure of a double: NIST SP 811 (2008), Appendix B.8.

use crate::bench::work;
use crate::published::Gives::Value;
use crate::published::Held;

/// Each unit shown in SI.
pub const ROWS: &[Held] = &[
    Held {
        row: "a01",
        sums: "x = 1 in as m",
        gives: &[Value("x")],
    },
    Held {
        row: "a02",
        sums: "x = 1 ft as m",
        gives: &[Value("x")],
    },
    Held {
        row: "a03",
        sums: "x = 1 thou as m",
        gives: &[Value("x")],
    },
    Held {
        row: "a04",
        sums: "x = 1 lb as kg",
        gives: &[Value("x")],
    },
    Held {
        row: "a05",
        sums: "x = 1 lbf as N",
        gives: &[Value("x")],
    },
    Held {
        row: "a06",
        sums: "x = 1 lb-ft as N-m\ny = 1 lbf * 1 ft as N·m\nz = 1 lbf-ft as N-m",
        gives: &[Value("x"), Value("y"), Value("z")],
    },
    Held {
        row: "a07",
        sums: "x = 1 hp as W",
        gives: &[Value("x")],
    },
    Held {
        row: "a08",
        sums: "x = 1 PS as W",
        gives: &[Value("x")],
    },
    Held {
        row: "a09",
        sums: "x = 1 psi as Pa\ny = 1 lbf/in2 as Pa",
        gives: &[Value("x"), Value("y")],
    },
    Held {
        row: "a10",
        sums: "x = 1 bar as Pa",
        gives: &[Value("x")],
    },
    Held {
        row: "a11",
        sums: "x = 1 mph as m/s\ny = 1 mi/h as m/s",
        gives: &[Value("x"), Value("y")],
    },
    Held {
        row: "a12",
        sums: "x = 1 inHg as Pa",
        gives: &[Value("x")],
    },
    Held {
        row: "a13",
        sums: "x = 1 cu_in as m^3\ny = 1 in3 as m3",
        gives: &[Value("x"), Value("y")],
    },
    Held {
        row: "a14",
        sums: "x = 1 gal as m3",
        gives: &[Value("x")],
    },
    Held {
        row: "a15",
        sums: "a = -40 degF as degC\nb = 32 degF as degC\nc = 59 degF as degC\nd = 77 degF as degC\ne = 212 degF as degC",
        gives: &[Value("a"), Value("b"), Value("c"), Value("d"), Value("e")],
    },
    Held {
        row: "a16",
        sums: "rise = 33 degF - 32 degF",
        gives: &[Value("rise")],
    },
];

#[test]
fn every_unit_is_as_large_as_the_standard_says() {
    ROWS.iter().for_each(Held::run);
}

#[test]
fn a_tolerance_in_degrees_fahrenheit_is_a_difference_of_five_ninths() {
    let spread = work(&["t measured 59 ± 1 degF"]).value("t").worst_case();
    crate::published::row("a16").hold(&[spread.up, spread.down]);
}
