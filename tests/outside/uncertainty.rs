//! How spread is carried: the GUM's worked example H.1, products and powers, and a stack of parts.

use crate::published::Gives::{Highest, Lowest, Rss, Value, Worst};
use crate::published::Held;

/// Standard uncertainties are written behind ± here, so that the root-sum-square spread is the
/// combined one. A rectangular distribution of half-width a has a/sqrt(3), an arcsine one
/// a/sqrt(2).
const GAUGE_BLOCK: &str = "\
    standard measured 50.000623 ± 0.000025 mm        # l_s, from its certificate
    read     measured 0.000215 ± 0.0000058 mm        # d, mean of the observations
    random   measured 0 ± 0.0000039 mm               # of the comparator
    system   measured 0 ± 0.0000067 mm               # of the comparator
    expands  measured 11.5e-6 ± 1.154700538e-6 m/m/K # alpha_s, rectangular 2e-6
    bench    measured -0.1 ± 0.2 K                   # theta, mean
    cycle    measured 0 ± 0.353553391 K              # theta, arcsine 0.5
    unlike   measured 0 ± 0.577350269e-6 m/m/K       # d_alpha, rectangular 1e-6
    apart    measured 0 ± 0.028867513 K              # d_theta, rectangular 0.05
    length = standard + read + random + system - standard * (unlike * (bench + cycle) + expands * apart)
    in_nm  = length / 1e-6 mm";

const STACK: &str = "\
    slot    measured 1.750 ± 0.003 in
    first   measured 0.750 ± 0.001 in
    washer  measured 0.120 ± 0.005 in
    second  measured 0.875 ± 0.001 in
    gap     = slot - first - washer - second";

pub const ROWS: &[Held] = &[
    Held {
        row: "b01",
        sums: GAUGE_BLOCK,
        gives: &[Value("in_nm")],
    },
    Held {
        row: "b02",
        sums: GAUGE_BLOCK,
        gives: &[Rss("in_nm")],
    },
    Held {
        row: "b12",
        sums: "x measured 10 ± 0.3\nd = x - x",
        gives: &[Value("d"), Rss("d"), Value("d"), Worst("d")],
    },
    Held {
        row: "b13",
        sums: "x measured 10 ± 0.3\ny measured 10 ± 0.3\ntwice = x + x\nboth = x + y",
        gives: &[Rss("twice"), Rss("both")],
    },
    Held {
        row: "b14",
        sums: "x measured 10 ± 0.3\ny measured 5 ± 0.2\np = x * y",
        gives: &[Value("p"), Rss("p")],
    },
    Held {
        row: "b15",
        sums: "x measured 10 ± 0.3\ny measured 5 ± 0.2\nq = x / y",
        gives: &[Value("q"), Rss("q")],
    },
    Held {
        row: "b16",
        sums: "x measured 10 ± 0.3\nsquare = x^2\nproduct = x * x",
        gives: &[
            Value("square"),
            Rss("square"),
            Value("product"),
            Rss("product"),
        ],
    },
    Held {
        row: "b17",
        sums: "a measured 1.500 ± 0.002 in\nb measured 1.875 ± 0.003 in\nc measured 3.000 ± 0.004 in\nv = a * b * c as in3",
        gives: &[Value("v"), Rss("v"), Worst("v")],
    },
    Held {
        row: "d01",
        sums: STACK,
        gives: &[Value("gap"), Worst("gap")],
    },
    Held {
        row: "d02",
        sums: STACK,
        gives: &[Highest("gap"), Lowest("gap")],
    },
    Held {
        row: "d04",
        sums: STACK,
        gives: &[Rss("gap")],
    },
];

#[test]
fn spread_is_carried_as_the_gum_has_it() {
    ROWS.iter().for_each(Held::run);
}
