//! Power, road speed and the quarter mile, against the 32 road tests of the `mtcars` data set
//! (Henderson & Velleman, Biometrics 37 (1981) 391; `road-tests.csv`, rows by number).

use std::fmt::Write;

use crate::bench::{Bench, work};
use crate::published::Gives::Value;
use crate::published::{Held, row};

pub const ROWS: &[Held] = &[
    Held {
        row: "f02",
        sums: "v = quarter_mile_speed(3200 lb, 400 hp) as mph\nt = quarter_mile_time(3200 lb, 400 hp)\n\
               p = power_for_time(3200 lb, 11.65 s) as hp\nagain = quarter_mile_time(3200 lb, p)",
        gives: &[Value("v"), Value("t"), Value("v"), Value("again")],
    },
    Held {
        row: "f03",
        sums: "v = quarter_mile_speed(3200 lb, 400 hp, by: fox_1973) as mph\n\
               t = quarter_mile_time(3200 lb, 400 hp, by: fox_1973)",
        gives: &[Value("v"), Value("t")],
    },
    Held {
        row: "f04",
        sums: "v = quarter_mile_speed(3200 lb, 400 hp, by: huntington_1958) as mph\n\
               t = quarter_mile_time(3200 lb, 400 hp, by: huntington_1958)",
        gives: &[Value("v"), Value("t")],
    },
    Held {
        row: "f12",
        sums: "v = road_speed(6500 rpm, 28 in, 4.1) as mph",
        gives: &[Value("v")],
    },
    Held {
        row: "f14",
        sums: "p = power_from_torque(400 lb-ft, 6000 rpm) as hp",
        gives: &[Value("p")],
    },
];

/// Rows about the road tests, held by the tests below.
pub const ROAD_TEST_ROWS: [&str; 6] = ["f05", "f06", "f07", "f08", "f10", "f11"];

#[test]
fn power_speed_and_time_come_to_the_printed_figures() {
    ROWS.iter().for_each(Held::run);
}

/// Mass in lb, power in hp, time in s, as written in the table.
fn road_tests() -> Vec<[&'static str; 3]> {
    let rows = include_str!("road-tests.csv")
        .lines()
        .skip(1)
        .map(|line| line.split(',').collect::<Vec<_>>());
    rows.map(|cells| [cells[1], cells[2], cells[3]]).collect()
}

/// The sum of `term` over all road tests, `@` standing for the number of the row.
fn total(term: &str) -> String {
    (1..=road_tests().len())
        .map(|n| term.replace('@', &n.to_string()))
        .collect::<Vec<_>>()
        .join(" + ")
}

/// One sum a road test: `model` writes the time that is expected from mass and power.
fn predictions(before: &str, model: impl Fn(&str, &str) -> String) -> Bench {
    let mut sums = before.to_owned();
    let count = road_tests().len();
    for (n, [mass, power, time]) in (1..).zip(road_tests()) {
        writeln!(
            sums,
            "t{n} = {}\noff{n} = t{n} - {time} s\npart{n} = off{n} / {time} s",
            model(mass, power)
        )
        .unwrap();
    }
    writeln!(sums, "mean = ({}) / {count}", total("off@")).unwrap();
    writeln!(sums, "rms = sqrt(({}) / {count})", total("off@^2")).unwrap();
    writeln!(sums, "rms_part = sqrt(({}) / {count})", total("part@^2")).unwrap();
    let bench = work(&[&sums]);
    assert!(bench.diagnostics.is_empty(), "{:?}", bench.said());
    bench
}

/// Mean error, root mean square, worst error and its row.
fn figures(bench: &Bench) -> [f64; 4] {
    let errors: Vec<f64> = (1..=road_tests().len())
        .map(|n| bench.shown(&format!("off{n}")))
        .collect();
    let worst = (0..errors.len())
        .max_by(|a, b| errors[*a].abs().total_cmp(&errors[*b].abs()))
        .unwrap_or(0);
    [
        bench.shown("mean"),
        bench.shown("rms"),
        errors[worst],
        worst as f64 + 1.0,
    ]
}

fn law(by: &'static str) -> Bench {
    predictions("", |mass, power| {
        format!("quarter_mile_time({mass} lb, {power} hp, by: {by})")
    })
}

#[test]
fn the_three_time_laws_miss_the_road_tests_by_what_the_table_says() {
    row("f05").hold(&figures(&law("usual")));
    row("f06").hold(&figures(&law("fox_1973")));
    row("f07").hold(&figures(&law("huntington_1958")));
}

#[test]
fn a_driver_of_two_hundred_pounds_brings_the_usual_law_nearer() {
    let bench = predictions("", |mass, power| {
        format!("quarter_mile_time({mass} lb + 200 lb, {power} hp)")
    });
    row("f10").hold(&figures(&bench));
}

#[test]
fn the_fitted_coefficient_can_be_worked_out_in_a_sums_block() {
    let mut sums = String::new();
    for (n, [mass, power, time]) in (1..).zip(road_tests()) {
        writeln!(sums, "x{n} = ({mass}/{power})^(1/3)\nq{n} = {time} s").unwrap();
    }
    writeln!(sums, "fit = ({}) / ({})", total("x@ * q@"), total("x@^2")).unwrap();
    let bench = predictions(&sums, |mass, power| format!("fit * ({mass}/{power})^(1/3)"));
    let [mean, rms, worst, at] = figures(&bench);
    row("f08").hold(&[bench.shown("fit"), mean, rms, worst, at]);
}

#[test]
fn the_copy_of_the_road_tests_is_whole() {
    let column = |index: usize, unit: &str| {
        road_tests()
            .iter()
            .map(|cells| format!("{} {unit}", cells[index]))
            .collect::<Vec<_>>()
            .join(" + ")
    };
    let sums = format!(
        "mass = {}\npower = {}\ntime = {}",
        column(0, "lb"),
        column(1, "hp"),
        column(2, "s")
    );
    let bench = work(&[&sums]);
    row("f11").hold(&[
        bench.shown("mass"),
        bench.shown("power"),
        bench.shown("time"),
    ]);
    assert_eq!(road_tests().len(), 32);
}

#[test]
fn each_law_carries_its_root_mean_square_miss_as_its_spread() {
    for (by, share) in [
        ("usual", 0.082),
        ("fox_1973", 0.059),
        ("huntington_1958", 0.060),
    ] {
        let bench = law(by);
        assert!(
            (bench.shown("rms_part") - share).abs() < 5e-4,
            "{by}: {}",
            bench.shown("rms_part")
        );
        let carried = bench.rss("t1").half_width() / bench.shown("t1");
        assert!((carried - share).abs() < 1e-12, "{by} carries {carried}");
        assert_eq!(
            bench.rss("t1"),
            bench.worst("t1"),
            "{by}: the law is one source"
        );
    }
}
