//! Joints, whirling tubes and hollow shafts.

use crate::published::Gives::Value;
use crate::published::Held;

/// The textbook tube is of another steel than the program's: the speed goes with sqrt(E/rho),
/// everything else is geometry. The other two figures are what cruder models of the same tube give.
const TEXTBOOK_TUBE: &str = "\
    stiffness = 29e6 psi
    density   = 0.00883 lbf-s^2/ft/in^3
    exact  = shaft_critical_speed(48 in, 3 in, 0.125 in, of: steel) * sqrt(stiffness / density / (206 GPa / 7850 kg/m^3)) as rpm
    sagged = exact * sqrt(384/5) / pi^2 as rpm
    lumped = exact * sqrt(48) / pi^2 as rpm";

pub const ROWS: &[Held] = &[
    Held {
        row: "c01",
        sums: "fast = 1/cos(3 deg)\nslow = cos(3 deg)",
        gives: &[Value("fast"), Value("slow")],
    },
    Held {
        row: "c02",
        sums: "fast = 1/cos(10 deg)\nslow = cos(10 deg)",
        gives: &[Value("fast"), Value("slow")],
    },
    Held {
        row: "c04",
        sums: "a = sin(3 deg) * tan(3 deg)\nb = 1/cos(10 deg) - cos(10 deg)\n\
               c = sin(20 deg) * tan(20 deg)\nd = 1/cos(30 deg) - cos(30 deg)",
        gives: &[Value("a"), Value("b"), Value("c"), Value("d")],
    },
    Held {
        row: "c05",
        sums: "bend = 10 deg\n\
               a = cos(bend) / (1 - sin(bend)^2 * cos(0 deg)^2)\n\
               b = cos(bend) / (1 - sin(bend)^2 * cos(30 deg)^2)\n\
               c = cos(bend) / (1 - sin(bend)^2 * cos(45 deg)^2)\n\
               d = cos(bend) / (1 - sin(bend)^2 * cos(60 deg)^2)\n\
               e = cos(bend) / (1 - sin(bend)^2 * cos(90 deg)^2)",
        gives: &[Value("a"), Value("b"), Value("c"), Value("d"), Value("e")],
    },
    Held {
        row: "c06",
        sums: "a = acos(1 / sqrt(1 + cos(18 deg))) as deg\nb = atan(sqrt(cos(18 deg))) as deg",
        gives: &[Value("a"), Value("b")],
    },
    Held {
        row: "c07",
        sums: "slowest = 500 rpm * cos(20 deg)",
        gives: &[Value("slowest")],
    },
    Held {
        row: "c11",
        sums: "seen = joint_angle(side_1: 4 deg, side_2: 0 deg, plan_1: 3 deg, plan_2: 0 deg)\n\
               turned = acos(cos(3 deg) * cos(4 deg)) as deg\n\
               rough = sqrt((3 deg)^2 + (4 deg)^2) as deg",
        gives: &[Value("seen"), Value("turned"), Value("rough")],
    },
    Held {
        row: "c15",
        sums: "fast = 1/cos(6 deg)^2\nslow = cos(6 deg)^2",
        gives: &[Value("fast"), Value("slow")],
    },
    Held {
        row: "c17",
        sums: "n = shaft_critical_speed(length: 1300 mm, od: 80 mm, wall: 2.5 mm, of: steel)",
        gives: &[Value("n")],
    },
    Held {
        row: "c19",
        sums: TEXTBOOK_TUBE,
        gives: &[Value("exact"), Value("sagged"), Value("lumped")],
    },
    Held {
        row: "c20",
        sums: "j = pi/32 * ((40 mm)^4 - (30 mm)^4) as mm4\ntorque = 50 MPa * j / 20 mm as N-m\nin_n_mm = torque / 0.001 N-m",
        gives: &[Value("j"), Value("in_n_mm")],
    },
    Held {
        row: "c22",
        sums: "j = pi/2 * ((30 mm)^4 - (20 mm)^4) as m4\n\
               torque = 120 MPa * j / 30 mm as kN-m\n\
               bore = torque * 20 mm / j as MPa",
        gives: &[Value("j"), Value("torque"), Value("bore")],
    },
];

#[test]
fn joints_tubes_and_shafts_come_to_the_printed_figures() {
    ROWS.iter().for_each(Held::run);
}
