//! Brakes and hydraulics: pedal, line, piston, pad. Their results approve nothing.

use std::f64::consts::PI;

use super::argument::{length, number, quantity};
use super::{Argument, Domain, Formula, Outcome, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &PEDAL_RATIO,
    &LINE_PRESSURE,
    &PISTON_AREA,
    &CLAMP_FORCE,
    &BRAKE_TORQUE,
    &PEDAL_TRAVEL,
];

const NO_APPROVAL: Option<&str> = Some(
    "This does not approve brakes. The makers' parts and figures, the event's rule book, local codes and a trained inspector decide. Then test stops on a closed course, from a crawl upwards.",
);

const MASTER_BORE: Argument = length("bore", "of the master cylinder", Domain::Positive);

fn circle(diameter: Dual) -> Dual {
    diameter * diameter * (PI / 4.0)
}

const PEDAL_RATIO: Formula = Formula {
    name: "pedal_ratio",
    says: "how much a pedal multiplies the foot's force",
    arguments: &[
        length(
            "pedal",
            "from the pivot to the middle of the pad, square to the foot's force",
            Domain::Positive,
        ),
        length(
            "pushrod",
            "from the pivot to the push rod, square to the rod",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "pedal / pushrod",
    source: "lever",
    caution: NO_APPROVAL,
    worked: WorkedExample {
        call: "pedal_ratio(pedal: 275 mm, pushrod: 50 mm)",
        comes_to: "5.5000",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) / inputs.number(1)),
};

const LINE_PRESSURE: Formula = Formula {
    name: "line_pressure",
    says: "pressure of a master cylinder, without springs and seals",
    arguments: &[
        quantity(
            "force",
            "on this master cylinder: foot · pedal ratio, shared out where a bar drives two",
            Dimension::FORCE,
            "N",
            Domain::NotNegative,
        ),
        MASTER_BORE,
    ],
    dimension: Dimension::PRESSURE,
    shown_in: "bar",
    equation: "force / ((pi/4) · bore²)",
    source: "hydrostatics",
    caution: NO_APPROVAL,
    worked: WorkedExample {
        call: "line_pressure(1500 N, 19.05 mm)",
        comes_to: "52.62734 bar",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) / circle(inputs.number(1))),
};

const PISTON_AREA: Formula = Formula {
    name: "piston_area",
    says: "area of the pistons of a caliper or cylinder, one side",
    arguments: &[
        length("bore", "diameter of one piston", Domain::Positive),
        number(
            "pistons",
            "how many on one side",
            Domain::Whole(1.0, 12.0, "a whole number from 1 to 12"),
        ),
    ],
    dimension: Dimension::AREA,
    shown_in: "mm2",
    equation: "pistons · (pi/4) · bore²",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "piston_area(38 mm, 2)",
        comes_to: "2268.2299 mm2",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(circle(inputs.number(0)) * inputs.number(1)),
};

const CLAMP_FORCE: Formula = Formula {
    name: "clamp_force",
    says: "force of hydraulic pistons: of each pad on a disc, or of a cylinder",
    arguments: &[
        quantity(
            "pressure",
            "in the line",
            Dimension::PRESSURE,
            "bar",
            Domain::NotNegative,
        ),
        quantity(
            "area",
            "of the pistons, one side",
            Dimension::AREA,
            "mm2",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::FORCE,
    shown_in: "N",
    equation: "pressure · area",
    source: "hydrostatics",
    caution: NO_APPROVAL,
    worked: WorkedExample {
        call: "clamp_force(52 bar, 2268.23 mm2)",
        comes_to: "11794.80 N",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1)),
};

const BRAKE_TORQUE: Formula = Formula {
    name: "brake_torque",
    says: "torque of a disc brake with a pad on each side, as far as the tyre grips",
    arguments: &[
        quantity(
            "clamp",
            "force of each pad",
            Dimension::FORCE,
            "N",
            Domain::NotNegative,
        ),
        number(
            "friction",
            "of the pads, from their maker",
            Domain::Within(0.0, 1.0, "from 0 to 1"),
        ),
        length(
            "radius",
            "from the hub's middle to the middle of the pad",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::TORQUE,
    shown_in: "N-m",
    equation: "2 · friction · clamp · radius",
    source: "friction on two faces",
    caution: NO_APPROVAL,
    worked: WorkedExample {
        call: "brake_torque(12000 N, friction: 0.4, radius: 140 mm)",
        comes_to: "1344.00 N-m",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1) * inputs.number(2) * 2.0),
};

const PEDAL_TRAVEL: Formula = Formula {
    name: "pedal_travel",
    says: "travel of the pedal that moves a volume of fluid, without free play, hoses and flex",
    arguments: &[
        number("ratio", "pedal ratio", Domain::Positive),
        quantity(
            "volume",
            "that the pistons take up",
            Dimension::VOLUME,
            "cc",
            Domain::NotNegative,
        ),
        MASTER_BORE,
    ],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "ratio · volume / ((pi/4) · bore²)",
    source: "the fluid keeps its volume",
    caution: NO_APPROVAL,
    worked: WorkedExample {
        call: "pedal_travel(5.5, 6 cc, 19.05 mm)",
        comes_to: "115.78015 mm",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1) / circle(inputs.number(2))),
};
