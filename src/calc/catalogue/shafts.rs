//! Shafts between joints: whirl, torsion of a tube, the wedge that sets an angle, the length it
//! takes.

use std::f64::consts::PI;

use super::argument::{length, quantity, word};
use super::materials::{ELASTIC, ELASTIC_WORDS};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &SHAFT_CRITICAL_SPEED,
    &TUBE_SHEAR_STRESS,
    &TUBE_TORQUE,
    &TILT,
    &SPACER_FOR_TILT,
    &SHAFT_PLUNGE,
];

const OD: Argument = length("od", "outside diameter", Domain::Positive);
const WALL: Argument = length(
    "wall",
    "wall thickness; half the outside diameter for a solid bar",
    Domain::Positive,
);

const TORSION: &str = "torsion of a round tube; mechanics of materials teaching module 6.4 (read); Beer & Johnston, Mechanics of Materials, Example 3.1 (from memory)";
const PLAIN_TUBE: Option<&str> = Some(
    "Keep out of the plane of a turning shaft. Fit a guard and a safety loop, and balance the shaft. The maker's figure for the shaft comes first. This covers steady torsion of the plain tube only; welds, yokes, shock and fatigue usually fail first.",
);

/// Outside and inside diameter from the arguments at the two places.
fn diameters(inputs: &Inputs, od: usize, wall: usize) -> Result<(Dual, Dual), Outside> {
    let (outside, thickness) = (inputs.number(od), inputs.number(wall));
    if 2.0 * thickness.value > outside.value {
        return Err(Outside {
            argument: wall,
            domain: "at most half the outside diameter",
        });
    }
    Ok((outside, outside - thickness * 2.0))
}

/// Torque of a tube for each unit of shear stress at its outside.
fn torsion_modulus(inputs: &Inputs) -> Result<Dual, Outside> {
    let (od, id) = diameters(inputs, 1, 2)?;
    Ok((od.power(4.0) - id * id * id * id) / od * (PI / 16.0))
}

const SHAFT_CRITICAL_SPEED: Formula = Formula {
    name: "shaft_critical_speed",
    says: "the first whirling speed of a plain tube, simply supported at its joints",
    arguments: &[
        length("length", "between the joint centres", Domain::Positive),
        OD,
        WALL,
        word("of", "material of the tube", ELASTIC_WORDS),
    ],
    dimension: Dimension::TURNING,
    shown_in: "rpm",
    equation: "n = (pi/2) · sqrt(E·I / (rho·A·length^4)), I/A = (od² + id²)/16",
    source: "exact uniform beam; Mechanical Engineer's Data Handbook (J. Carvill), 1.6.6",
    caution: Some(
        "Keep well below this speed, by the margin that the shaft's maker asks for. End fittings, slip joints and imbalance lower it. Keep out of the plane of a turning shaft. Fit a guard and a safety loop, and balance the shaft.",
    ),
    worked: WorkedExample {
        call: "shaft_critical_speed(length: 1300 mm, od: 80 mm, wall: 2.5 mm, of: steel)",
        comes_to: "7831.9 rpm",
    },
    held_against: &["c17", "c19"],
    work: shaft_critical_speed,
};

fn shaft_critical_speed(inputs: &Inputs) -> Result<Outcome, Outside> {
    let (length, (od, id)) = (inputs.number(0), diameters(inputs, 1, 2)?);
    let material = &ELASTIC[inputs.word(3)];
    let gyration = ((od * od + id * id) / 16.0).sqrt();
    let sound = (material.modulus / material.density).sqrt();
    Outcome::exact(gyration * sound * (PI * PI) / (length * length))
}

const TUBE_SHEAR_STRESS: Formula = Formula {
    name: "tube_shear_stress",
    says: "shear stress at the outside of a tube or bar that carries a torque",
    arguments: &[
        quantity(
            "torque",
            "what it carries",
            Dimension::TORQUE,
            "N-m",
            Domain::Any,
        ),
        OD,
        WALL,
    ],
    dimension: Dimension::PRESSURE,
    shown_in: "MPa",
    equation: "stress = torque · (od/2) / J, J = (pi/32) · (od⁴ - id⁴)",
    source: TORSION,
    caution: PLAIN_TUBE,
    worked: WorkedExample {
        call: "tube_shear_stress(600 N-m, od: 80 mm, wall: 2.5 mm)",
        comes_to: "26.231587 MPa",
    },
    held_against: &["c20", "c22"],
    work: |inputs| Outcome::exact(inputs.number(0) / torsion_modulus(inputs)?),
};

const TUBE_TORQUE: Formula = Formula {
    name: "tube_torque",
    says: "torque at which a tube or bar comes to a shear stress at its outside",
    arguments: &[
        quantity(
            "stress",
            "the shear stress allowed",
            Dimension::PRESSURE,
            "MPa",
            Domain::NotNegative,
        ),
        OD,
        WALL,
    ],
    dimension: Dimension::TORQUE,
    shown_in: "N-m",
    equation: "torque = stress · J / (od/2), J = (pi/32) · (od⁴ - id⁴)",
    source: TORSION,
    caution: PLAIN_TUBE,
    worked: WorkedExample {
        call: "tube_torque(50 MPa, od: 40 mm, wall: 5 mm)",
        comes_to: "429.51462 N-m",
    },
    held_against: &["c20", "c22"],
    work: |inputs| Outcome::exact(inputs.number(0) * torsion_modulus(inputs)?),
};

const TILT: Formula = Formula {
    name: "tilt",
    says: "the angle a spacer or wedge gives over a span",
    arguments: &[
        length("lift", "how much higher one end comes", Domain::Any),
        length("span", "between the two ends", Domain::Positive),
    ],
    dimension: Dimension::ANGLE,
    shown_in: "deg",
    equation: "atan(lift / span)",
    source: "geometry; lift measured square to the span",
    caution: None,
    worked: WorkedExample {
        call: "tilt(9 mm, 698 mm)",
        comes_to: "0.73873 deg",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0).atan2(inputs.number(1))),
};

const SPACER_FOR_TILT: Formula = Formula {
    name: "spacer_for_tilt",
    says: "the spacer or wedge that gives an angle over a span",
    arguments: &[
        quantity(
            "angle",
            "how far to tilt",
            Dimension::ANGLE,
            "deg",
            Domain::Between(-PI / 4.0, PI / 4.0, "between -45 and 45 deg"),
        ),
        length("span", "between the two ends", Domain::Positive),
    ],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "span · tan angle",
    source: "geometry; the spacer stands square to the span",
    caution: Some(
        "Do not carry a load on loose shims. Use one full-area plate and as few pieces as possible. Check bolt length, thread engagement and clamp faces, and fit new locking fasteners.",
    ),
    worked: WorkedExample {
        call: "spacer_for_tilt(0.74 deg, 698 mm)",
        comes_to: "9.0154759 mm",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0).tan() * inputs.number(1)),
};

const SHAFT_PLUNGE: Formula = Formula {
    name: "shaft_plunge",
    says: "how much longer a shaft must become when one end moves square to it; negative where it shortens",
    arguments: &[
        length(
            "span",
            "level distance between the joint centres",
            Domain::Positive,
        ),
        length("from", "how much higher one end sits before", Domain::Any),
        length("to", "how much higher it sits after", Domain::Any),
    ],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "sqrt(span² + to²) - sqrt(span² + from²)",
    source: "geometry, for an end that moves straight; one that swings on arms also moves along the shaft",
    caution: Some(
        "Measure the plunge at full bump, full droop and both locks before anything turns. A shaft that bottoms or pulls out breaks the parts bolted to it. Fit a guard and a safety loop.",
    ),
    worked: WorkedExample {
        call: "shaft_plunge(span: 600 mm, from: 20 mm, to: 120 mm)",
        comes_to: "11.549101 mm",
    },
    held_against: &[],
    work: |inputs| {
        let (span, from, to) = (inputs.number(0), inputs.number(1), inputs.number(2));
        let both = (span * span + from * from).sqrt() + (span * span + to * to).sqrt();
        // The difference of two roots, in the form that keeps its figures.
        Outcome::exact((to - from) * (to + from) / both)
    },
};
