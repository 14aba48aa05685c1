//! Driveline: angles of joints and wedges, critical speed of a shaft, road speed.

use std::f64::consts::PI;

use super::materials::{ELASTIC, ELASTIC_WORDS};
use super::{Argument, Domain, Formula, Inputs, Kind, Outcome, Outside, Worked, quantity};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[&JOINT_ANGLE, &TILT, &SHAFT_CRITICAL_SPEED, &ROAD_SPEED];

const STEEPEST: f64 = PI / 4.0;
const SLOPE: Domain = Domain::Between(-STEEPEST, STEEPEST, "between -45 and 45 deg");

const JOINT_ANGLE: Formula = Formula {
    name: "joint_angle",
    says: "the angle between two shafts from their slopes in side view and in plan view",
    arguments: &[
        quantity("side_1", "slope of the first shaft seen from the side", Dimension::ANGLE, "deg", SLOPE),
        quantity("side_2", "slope of the second shaft seen from the side", Dimension::ANGLE, "deg", SLOPE),
        quantity("plan_1", "slope of the first shaft seen from above", Dimension::ANGLE, "deg", SLOPE),
        quantity("plan_2", "slope of the second shaft seen from above", Dimension::ANGLE, "deg", SLOPE),
    ],
    dimension: Dimension::ANGLE,
    shown_in: "deg",
    equation: "angle between (1, tan plan_1, tan side_1) and (1, tan plan_2, tan side_2)",
    source: "geometry of the projected angles; for one level shaft it is tan² = tan² side + tan² plan, as in the SAE Universal Joint and Driveshaft Design Manual AE-7 (from memory)",
    caution: None,
    worked: Worked { call: "joint_angle(4 deg, 0 deg, 3 deg, 0 deg)", comes_to: "4.994169 deg" },
    held_against: &["c11"],
    work: joint_angle,
};

fn joint_angle(inputs: &Inputs) -> Result<Outcome, Outside> {
    let (up_1, up_2) = (inputs.number(0).tan(), inputs.number(1).tan());
    let (across_1, across_2) = (inputs.number(2).tan(), inputs.number(3).tan());
    // The arc tangent of cross over dot product keeps its figures at small angles, where the arc cosine loses them.
    let (rise, sweep) = (up_2 - up_1, across_2 - across_1);
    let twist = across_1 * up_2 - up_1 * across_2;
    let square = rise * rise + sweep * sweep + twist * twist;
    let dot = across_1 * across_2 + up_1 * up_2 + 1.0;
    if square.value == 0.0 {
        return Outcome::exact(in_line(rise, sweep));
    }
    Outcome::exact(square.sqrt().atan2(dot))
}

/// Two shafts in line: the angle is 0 and any change opens it, whichever way. The slopes are those of
/// the change taken as if all of it went one way, which is the most it can open.
fn in_line(rise: Dual, sweep: Dual) -> Dual {
    let mut angle = Dual::fixed(0.0);
    for (slot, (a, b)) in angle.slope.iter_mut().zip(rise.slope.into_iter().zip(sweep.slope)) {
        *slot = a.hypot(b);
    }
    angle
}

const TILT: Formula = Formula {
    name: "tilt",
    says: "the angle a spacer or wedge gives over a span",
    arguments: &[
        quantity("lift", "how much higher one end comes", Dimension::LENGTH, "mm", Domain::Any),
        quantity("span", "between the two ends", Dimension::LENGTH, "mm", Domain::Positive),
    ],
    dimension: Dimension::ANGLE,
    shown_in: "deg",
    equation: "atan(lift / span)",
    source: "geometry; lift measured square to the span",
    caution: None,
    worked: Worked { call: "tilt(9 mm, 698 mm)", comes_to: "0.73873 deg" },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0).atan2(inputs.number(1))),
};

const SHAFT_CRITICAL_SPEED: Formula = Formula {
    name: "shaft_critical_speed",
    says: "the first whirling speed of a plain tube, simply supported at its joints",
    arguments: &[
        quantity("length", "between the joint centres", Dimension::LENGTH, "mm", Domain::Positive),
        quantity("od", "outside diameter", Dimension::LENGTH, "mm", Domain::Positive),
        quantity("wall", "wall thickness", Dimension::LENGTH, "mm", Domain::Positive),
        Argument {
            name: "of",
            says: "material of the tube",
            kind: Kind::Word { words: ELASTIC_WORDS, optional: false },
        },
    ],
    dimension: Dimension::TURNING,
    shown_in: "rpm",
    equation: "n = (pi/2) · sqrt(E·I / (rho·A·length^4)), I/A = (od² + id²)/16",
    source: "exact uniform beam; Mechanical Engineer's Data Handbook (J. Carvill), 1.6.6",
    caution: Some(
        "Keep well below it. The makers of shafts ask for a margin; end fittings, slip joints and out-of-balance lower it. \
         A turning shaft wants a guard and a loop, must be balanced, and nobody stands in its plane.",
    ),
    worked: Worked {
        call: "shaft_critical_speed(length: 1300 mm, od: 80 mm, wall: 2.5 mm, of: steel)",
        comes_to: "7831.9 rpm",
    },
    held_against: &["c17", "c19"],
    work: shaft_critical_speed,
};

fn shaft_critical_speed(inputs: &Inputs) -> Result<Outcome, Outside> {
    let (length, od, wall) = (inputs.number(0), inputs.number(1), inputs.number(2));
    if 2.0 * wall.value > od.value {
        return Err(Outside { argument: 2, domain: "at most half the outside diameter" });
    }
    let material = &ELASTIC[inputs.word(3)];
    let id = od - wall * 2.0;
    let gyration = ((od * od + id * id) / 16.0).sqrt();
    let sound = (material.modulus / material.density).sqrt();
    Outcome::exact(gyration * sound * (PI * PI) / (length * length))
}

const ROAD_SPEED: Formula = Formula {
    name: "road_speed",
    says: "road speed from turning speed, tyre and overall ratio, without slip or tyre growth",
    arguments: &[
        quantity("speed", "turning speed ahead of the ratio", Dimension::TURNING, "rpm", Domain::NotNegative),
        quantity("tyre", "rolling diameter of the tyre", Dimension::LENGTH, "mm", Domain::Positive),
        quantity("ratio", "turns in for one turn of the wheel", Dimension::NONE, "", Domain::Positive),
    ],
    dimension: Dimension::SPEED,
    shown_in: "km/h",
    equation: "v = speed · tyre / (2 · ratio)",
    source: "definition",
    caution: None,
    worked: Worked { call: "road_speed(6500 rpm, 28 in, 4.1)", comes_to: "212.531 km/h" },
    held_against: &["f12"],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1) / (inputs.number(2) * 2.0)),
};
