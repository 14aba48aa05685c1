//! The catalogue's formulas against the printed figures, trade by trade.

use crate::published::Gives::{self, Value};
use crate::published::Held;

/// Five figures by the names `a` to `e`.
const FIVE: &[Gives] = &[Value("a"), Value("b"), Value("c"), Value("d"), Value("e")];
const FOUR: &[Gives] = &[Value("a"), Value("b"), Value("c"), Value("d")];
const THREE: &[Gives] = &[Value("a"), Value("b"), Value("c")];
const TWO: &[Gives] = &[Value("a"), Value("b")];
const ONE: &[Gives] = &[Value("a")];

/// A standard atmosphere: temperature, pressure, density.
macro_rules! atmosphere {
    ($row:literal, $height:literal, $by:literal) => {
        Held {
            row: $row,
            sums: concat!(
                "a = standard_temperature(",
                $height,
                ", by: ",
                $by,
                ") as K\n",
                "b = standard_pressure(",
                $height,
                ", by: ",
                $by,
                ") as Pa\n",
                "c = standard_density(",
                $height,
                ", by: ",
                $by,
                ")"
            ),
            gives: THREE,
        }
    };
}

/// A gauge: diameter in in, circular mils, area in mm², resistance of 1000 ft.
macro_rules! gauge {
    ($row:literal, $gauge:literal) => {
        Held {
            row: $row,
            sums: concat!(
                "a = awg_diameter(",
                $gauge,
                ") as in\n",
                "b = (awg_diameter(",
                $gauge,
                ") / 1 thou)^2\n",
                "c = awg_area(",
                $gauge,
                ") as mm2\n",
                "d = awg_resistance(",
                $gauge,
                ", 20 degC) * 1000 ft as ohm"
            ),
            gives: FOUR,
        }
    };
}

/// The tolerance grades of a band, asked for just inside its lower end and at its upper end, in µm.
macro_rules! grades {
    ($row:literal, $inside:literal, $end:literal) => {
        Held {
            row: $row,
            sums: concat!(
                "a = tolerance_width(",
                $inside,
                ", it6) / 0.001 mm\nb = tolerance_width(",
                $inside,
                ", it7) / 0.001 mm\n",
                "c = tolerance_width(",
                $inside,
                ", it8) / 0.001 mm\nd = tolerance_width(",
                $inside,
                ", it9) / 0.001 mm\n",
                "e = tolerance_width(",
                $end,
                ", it6) / 0.001 mm\nf = tolerance_width(",
                $end,
                ", it7) / 0.001 mm\n",
                "g = tolerance_width(",
                $end,
                ", it8) / 0.001 mm\nh = tolerance_width(",
                $end,
                ", it9) / 0.001 mm"
            ),
            gives: &[
                Value("a"),
                Value("b"),
                Value("c"),
                Value("d"),
                Value("e"),
                Value("f"),
                Value("g"),
                Value("h"),
            ],
        }
    };
}

/// A metric thread: stress area in mm² and the proof loads of the three classes in N, and the
/// shares that these are.
macro_rules! thread {
    ($row:literal, $thread:literal) => {
        Held {
            row: $row,
            sums: concat!(
                "a = stress_area(",
                $thread,
                ") as mm2\nb = proof_load(",
                $thread,
                ", class: 8.8) as N\n",
                "c = proof_load(",
                $thread,
                ", class: 10.9) as N\nd = proof_load(",
                $thread,
                ", class: 12.9) as N\n",
                "e = a * share_of_proof(b, ",
                $thread,
                ", class: 8.8)"
            ),
            gives: FIVE,
        }
    };
}

/// Rows that nothing else holds the program against.
pub const ROWS: &[Held] = &[
    Held {
        row: "c08",
        sums: "a = joint_angle_for_fluctuation(0.12)",
        gives: ONE,
    },
    Held {
        row: "c09",
        sums: "a = joint_angle_for_fluctuation(100 rpm / 1200 rpm)",
        gives: ONE,
    },
    Held {
        row: "c14",
        sums: "a = joint_pair_fastest(6 deg, 6 deg, forks: in_phase)\nb = 1 / a\n\
               c = a + joint_pair_fluctuation(6 deg, 6 deg)\nd = b",
        gives: FOUR,
    },
    Held {
        row: "c16",
        sums: "a = joint_pair_fastest(6 deg, 4 deg)\nb = 1 / a\nc = joint_pair_angle(6 deg, 4 deg)\n\
               d = b + joint_pair_fluctuation(6 deg, 4 deg)\ne = joint_pair_fastest(-4 deg, 6 deg) - joint_pair_fluctuation(4 deg, 6 deg)\n\
               f = joint_pair_angle(4 deg, -6 deg)",
        gives: &[
            Value("a"),
            Value("b"),
            Value("c"),
            Value("d"),
            Value("e"),
            Value("f"),
        ],
    },
    grades!("d06", "3.001 mm", "6 mm"),
    grades!("d07", "6.001 mm", "10 mm"),
    grades!("d08", "10.001 mm", "18 mm"),
    grades!("d09", "18.001 mm", "30 mm"),
    Held {
        row: "d12",
        sums: "a = tolerance_width(25 mm, it7) / 0.001 mm\nb = 0\nc = g_deviation(25 mm) / 0.001 mm\n\
               d = (g_deviation(25 mm) - tolerance_width(25 mm, it6)) / 0.001 mm",
        gives: FOUR,
    },
    Held {
        row: "d13",
        sums: "a = -g_deviation(25 mm) / 0.001 mm\n\
               b = (tolerance_width(25 mm, it7) + tolerance_width(25 mm, it6) - g_deviation(25 mm)) / 0.001 mm",
        gives: TWO,
    },
    thread!("e01", "6 mm, 1 mm"),
    thread!("e02", "8 mm, 1.25 mm"),
    thread!("e03", "10 mm, 1.5 mm"),
    Held {
        row: "e12",
        sums: "a = torque_from_friction(25000 lbf, 0.750 in, 1/16 in, thread: 0.15, collar: 0.15) as lb-in",
        gives: ONE,
    },
    Held {
        row: "f01",
        sums: "a = constant_power_speed(1 lb, 1 hp, 1320 ft) as mph\nb = constant_power_time(1 lb, 1 hp, 1320 ft)",
        gives: TWO,
    },
    Held {
        row: "g01",
        sums: "a = standard_temperature(0 m) as K\nb = standard_pressure(0 m) as Pa\nc = standard_density(0 m)\n\
               d = a\ne = b\nf = air_density(15 degC, 101.325 kPa, 0 %)",
        gives: &[
            Value("a"),
            Value("b"),
            Value("c"),
            Value("d"),
            Value("e"),
            Value("f"),
        ],
    },
    atmosphere!("g02", "500 m", "geometric"),
    atmosphere!("g03", "1000 m", "geometric"),
    atmosphere!("g05", "1609.344 m", "geometric"),
    atmosphere!("g07", "3000 m", "geometric"),
    atmosphere!("g08", "1000 m", "geopotential"),
    atmosphere!("g09", "2000 m", "geopotential"),
    Held {
        row: "g10",
        sums: "a = standard_pressure(5000 ft) as psi",
        gives: ONE,
    },
    Held {
        row: "g11",
        sums: "a = power_correction(99 kPa, 25 degC, by: j1349_1990)\nb = power_correction(99 kPa, 25 degC, by: j1349_2004)\n\
               c = power_correction(99 kPa, 25 degC, by: iso_1585)",
        gives: THREE,
    },
    Held {
        row: "g13",
        sums: "a = power_correction(101.325 kPa, 15 degC, by: j1349_1990)\nb = power_correction(101.325 kPa, 15 degC, by: j1349_2004)\n\
               c = power_correction(101.325 kPa, 15 degC, by: iso_1585)",
        gives: THREE,
    },
    Held {
        row: "g17",
        sums: "a = saturation_pressure(20 degC) as Pa\nb = saturation_pressure(25 degC) as Pa\nc = saturation_pressure(303.15 K) as Pa\n\
               d = 100 kPa - dry_pressure(20 degC, 100 kPa, 100 %) as Pa\ne = 100 kPa - dry_pressure(25 degC, 100 kPa, 100 %) as Pa\n\
               f = 100 kPa - dry_pressure(30 degC, 100 kPa, 100 %) as Pa",
        gives: &[
            Value("a"),
            Value("b"),
            Value("c"),
            Value("d"),
            Value("e"),
            Value("f"),
        ],
    },
    Held {
        row: "g18",
        sums: "a = injector_flow(500 hp, 0.50 lb/hp/h, injectors: 8, duty: 0.8) as lb/h",
        gives: ONE,
    },
    Held {
        row: "g19",
        sums: "a = volume_flow(1 lb/h, 0.72 g/cc) as cc/min",
        gives: ONE,
    },
    Held {
        row: "g21",
        sums: "a = boost_ratio(10 psi, 14.696 psi)\nb = boost_ratio(10 psi, 12.228 psi)",
        gives: TWO,
    },
    Held {
        row: "h01",
        sums: "a = awg_diameter(36) as in\nb = awg_diameter(0) as in\nc = awg_diameter(-3) as in",
        gives: THREE,
    },
    gauge!("h02", "18"),
    gauge!("h03", "16"),
    gauge!("h04", "14"),
    gauge!("h06", "10"),
    gauge!("h07", "8"),
    gauge!("h09", "4"),
    gauge!("h10", "2"),
    gauge!("h11", "1"),
    Held {
        row: "i04",
        sums: "m0 = three_point_time(6 h, 7 h, 14 h) / 1 h\n \
               m1 = three_point_time(8 h, 10 h, 12 h) / 1 h\n \
               m2 = three_point_time(2 h, 3 h, 4 h) / 1 h\n \
               m3 = three_point_time(6 h, 7 h, 8 h) / 1 h\n \
               m4 = three_point_time(5 h, 5.5 h, 9 h) / 1 h\n \
               m5 = three_point_time(5 h, 7 h, 9 h) / 1 h\n \
               m6 = three_point_time(4 h, 6 h, 8 h) / 1 h\n \
               m7 = three_point_time(2.5 h, 3 h, 3.5 h) / 1 h\n \
               v0 = (three_point_deviation(6 h, 14 h) / 1 h)^2\n \
               v1 = (three_point_deviation(8 h, 12 h) / 1 h)^2\n \
               v2 = (three_point_deviation(2 h, 4 h) / 1 h)^2\n \
               v3 = (three_point_deviation(6 h, 8 h) / 1 h)^2\n \
               v4 = (three_point_deviation(5 h, 9 h) / 1 h)^2\n \
               v5 = (three_point_deviation(5 h, 9 h) / 1 h)^2\n \
               v6 = (three_point_deviation(4 h, 8 h) / 1 h)^2\n \
               v7 = (three_point_deviation(2.5 h, 3.5 h) / 1 h)^2\n",
        gives: &[
            Value("m0"),
            Value("m1"),
            Value("m2"),
            Value("m3"),
            Value("m4"),
            Value("m5"),
            Value("m6"),
            Value("m7"),
            Value("v0"),
            Value("v1"),
            Value("v2"),
            Value("v3"),
            Value("v4"),
            Value("v5"),
            Value("v6"),
            Value("v7"),
        ],
    },
    Held {
        row: "i06",
        sums: "mean = three_point_time(5 h, 8 h, 17 h) + three_point_time(3 h, 5 h, 7 h) + three_point_time(4 h, 6 h, 8 h) + three_point_time(3 h, 4 h, 5 h)\n \
               variance = three_point_deviation(5 h, 17 h)^2 + three_point_deviation(3 h, 7 h)^2 + three_point_deviation(4 h, 8 h)^2 + three_point_deviation(3 h, 5 h)^2\n \
               a = mean / 1 h\n \
               b = variance / (1 h)^2\n \
               c = chance_by(28 h, mean, sqrt(variance))\n",
        gives: THREE,
    },
];

/// Rows that sums written out are held against as well.
const AGAIN: &[Held] = &[
    Held {
        row: "c01",
        sums: "a = joint_fastest(3 deg)\nb = joint_slowest(3 deg)",
        gives: TWO,
    },
    Held {
        row: "c02",
        sums: "a = joint_fastest(10 deg)\nb = joint_slowest(10 deg)",
        gives: TWO,
    },
    Held {
        row: "c04",
        sums: "a = joint_fluctuation(3 deg)\nb = joint_fluctuation(10 deg)\nc = joint_fluctuation(20 deg)\nd = joint_fluctuation(30 deg)",
        gives: FOUR,
    },
    Held {
        row: "c05",
        sums: "a = joint_speed_ratio(10 deg, 0 deg)\nb = joint_speed_ratio(10 deg, 30 deg)\nc = joint_speed_ratio(10 deg, 45 deg)\n\
               d = joint_speed_ratio(10 deg, 60 deg)\ne = joint_speed_ratio(10 deg, 90 deg)",
        gives: FIVE,
    },
    // The angle at which the ratio is 1, approached along the slope from 44 deg.
    Held {
        row: "c06",
        sums: "one = joint_speed_ratio(18 deg, 44 deg)\nnext = joint_speed_ratio(18 deg, 44.5 deg)\n\
               a = 44 deg + 0.5 deg * (one - 1) / (one - next)",
        gives: ONE,
    },
    Held {
        row: "c07",
        sums: "a = 500 rpm * joint_slowest(20 deg)",
        gives: ONE,
    },
    Held {
        row: "c15",
        sums: "a = joint_pair_fastest(6 deg, 6 deg, forks: turned)\nb = 1 / a\nc = b + joint_pair_fluctuation(6 deg, 6 deg, forks: turned)\nd = b",
        gives: FOUR,
    },
    Held {
        row: "c20",
        sums: "a = tube_torque(50 MPa, 40 mm, 5 mm) * 20 mm / 50 MPa as mm4\nb = tube_torque(50 MPa, 40 mm, 5 mm) / 0.001 N-m\n\
               c = a\nd = b * tube_shear_stress(b * 0.001 N-m, 40 mm, 5 mm) / 50 MPa",
        gives: FOUR,
    },
    Held {
        row: "c22",
        sums: "a = b * 30 mm / 120 MPa as m4\nb = tube_torque(120 MPa, 60 mm, 10 mm) as kN-m\n\
               c = tube_shear_stress(b, 60 mm, 10 mm) * 40 mm / 60 mm as MPa",
        gives: THREE,
    },
    Held {
        row: "e05",
        sums: "a = stress_area(0.25 in, 1/20 in, unified) as in2",
        gives: ONE,
    },
    Held {
        row: "e06",
        sums: "a = stress_area(3/8 in, 1/16 in, unified) as in2",
        gives: ONE,
    },
    Held {
        row: "e07",
        sums: "a = stress_area(7/16 in, 1/14 in, form: unified) as in2",
        gives: ONE,
    },
    Held {
        row: "e11",
        sums: "a = torque_for_preload(25000 lbf, 0.750 in, 0.2) as lb-in\n\
               b = torque_for_preload(25000 lbf, 0.750 in, nut_factor(plated)) as lb-in\n\
               c = a * preload_from_torque(a, 0.750 in, 0.2) / 25000 lbf",
        gives: THREE,
    },
    Held {
        row: "e13",
        sums: "a = bolt_stress(25000 lbf, 0.373 in2) / 1000 psi",
        gives: ONE,
    },
    Held {
        row: "f02",
        sums: "a = 117 mph * (power_for_speed(3200 lb, 117 mph) / 400 hp) as mph\nb = 11.65 s * (mass_for_time(400 hp, 11.65 s) / 3200 lb)",
        gives: TWO,
    },
    Held {
        row: "f03",
        sums: "a = 115 mph * (power_for_speed(3200 lb, 115 mph, by: fox_1973) / 400 hp) as mph\n\
               b = 12.538 s * (mass_for_time(400 hp, 12.538 s, by: fox_1973) / 3200 lb)\n\
               c = a\nd = 12.538 s * (power_for_time(3200 lb, 12.538 s, by: fox_1973) / 400 hp)",
        gives: FOUR,
    },
    Held {
        row: "f04",
        sums: "a = 112 mph * (power_for_speed(3200 lb, 112 mph, by: huntington_1958) / 400 hp) as mph\n\
               b = 12.58 s * (mass_for_time(400 hp, 12.58 s, by: huntington_1958) / 3200 lb)\n\
               c = a\nd = 12.58 s * (power_for_time(3200 lb, 12.58 s, by: huntington_1958) / 400 hp)",
        gives: FOUR,
    },
    Held {
        row: "f12",
        sums: "a = 132.0607 mph * turning_speed(132.0607 mph, 28 in, 4.1) / 6500 rpm as mph\n\
               b = 132.0607 mph * ratio_for_speed(6500 rpm, 28 in, 132.0607 mph) / 4.1 as mph",
        gives: TWO,
    },
    Held {
        row: "f14",
        sums: "a = 456.959 hp * torque_from_power(456.959 hp, 6000 rpm) / 400 lb-ft as hp",
        gives: ONE,
    },
    Held {
        row: "f15",
        sums: "a = displacement(4 in, 3.480 in, 8) as in3\nb = displacement(4 in, 3.480 in, 8) as L",
        gives: TWO,
    },
    Held {
        row: "f16",
        sums: "a = displacement(4 in, 3.480 in, 1) as cc\nb = displacement(4.100 in, 0.040 in, 1) as cc\nc = displacement(4 in, 0.010 in, 1) as cc\n\
               d = compression_ratio(4 in, 3.480 in, 64 cc, 5 cc, gasket_bore: 4.100 in, gasket: 0.040 in, deck: 0.010 in)",
        gives: FOUR,
    },
    Held {
        row: "f17",
        sums: "front = 4000 N / 9.80665 m/s^2 as kg\nrear = 3600 N / 9.80665 m/s^2 as kg\n\
               a = cg_behind_front(front, rear, 2.34 m) as m\nb = 2.34 m * front_share(front, rear) as m",
        gives: TWO,
    },
    Held {
        row: "f18",
        sums: "a = cg_height(3200 lb, 1760 lb, 1814.7317 lb, wheelbase: 104 in, lift: 24 in, axle_height: 12.5 in) as in",
        gives: ONE,
    },
    Held {
        row: "g08",
        sums: "a = standard_temperature(density_altitude(1.11164 kg/m^3), by: geopotential) as K",
        gives: ONE,
    },
    Held {
        row: "h13",
        sums: "a = wire_drop(20 A, 15 ft, awg_area(10))",
        gives: ONE,
    },
];

#[test]
fn the_formulas_of_every_trade_come_to_the_printed_figures() {
    ROWS.iter().for_each(Held::run);
}

#[test]
fn formulas_come_to_what_the_sums_written_out_come_to() {
    AGAIN.iter().for_each(Held::run_first);
}
