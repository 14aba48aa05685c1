//! Sums a crew writes out itself: bolts, displacement, compression, balance, cables.

use crate::published::Gives::Value;
use crate::published::Held;

pub const ROWS: &[Held] = &[
    Held {
        row: "e05",
        sums: "area = pi/4 * (0.25 in - 0.9743 in / 20)^2 as in2",
        gives: &[Value("area")],
    },
    Held {
        row: "e06",
        sums: "area = pi/4 * (3/8 in - 0.9743 in / 16)^2 as in2",
        gives: &[Value("area")],
    },
    Held {
        row: "e07",
        sums: "area = pi/4 * (7/16 in - 0.9743 in / 14)^2 as in2",
        gives: &[Value("area")],
    },
    Held {
        row: "e11",
        sums: "torque = 0.2 * 25000 lbf * 0.750 in as lb-in",
        gives: &[Value("torque")],
    },
    Held {
        row: "e13",
        sums: "stress = 25000 lbf / 0.373 in2 / 1000 as psi",
        gives: &[Value("stress")],
    },
    Held {
        row: "f15",
        sums: "bore = 4.000 in\nstroke = 3.480 in\nv = pi/4 * bore^2 * stroke * 8 as in3\nlitres = v as L",
        gives: &[Value("v"), Value("litres")],
    },
    Held {
        row: "f16",
        sums: "swept = pi/4 * (4 in)^2 * 3.480 in as cc\n\
               gasket = pi/4 * (4.100 in)^2 * 0.040 in as cc\n\
               deck = pi/4 * (4 in)^2 * 0.010 in as cc\n\
               left = 64 cc + 5 cc + gasket + deck\n\
               ratio = (swept + left) / left",
        gives: &[
            Value("swept"),
            Value("gasket"),
            Value("deck"),
            Value("ratio"),
        ],
    },
    Held {
        row: "f17",
        sums: "base = 2.34 m\nfront = 2 * 2000 N\nrear = 2 * 1800 N\n\
               behind_front = base * rear / (front + rear)\nahead_of_rear = base * front / (front + rear)",
        gives: &[Value("behind_front"), Value("ahead_of_rear")],
    },
    Held {
        row: "f18",
        sums: "base = 104 in\nlean = asin(24 in / base)\nshift = 1814.7317 lb - 1760 lb\n\
               height = 12.5 in + base * shift / (3200 lb * tan(lean))",
        gives: &[Value("height")],
    },
    Held {
        row: "h13",
        sums: "area = 1.7241e-8 ohm-m * 1000 ft / 0.9989 ohm as mm2\n\
               drop = wire_drop(20 A, 15 ft, area)\nshare = drop / 12 V * 100",
        gives: &[Value("drop"), Value("share")],
    },
];

#[test]
fn sums_written_out_come_to_the_printed_figures() {
    ROWS.iter().for_each(Held::run);
}
