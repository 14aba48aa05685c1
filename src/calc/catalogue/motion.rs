//! Stopping and energy of motion.

use super::argument::quantity;
use super::{Argument, Domain, Formula, Outcome, WorkedExample};
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] =
    &[&STOPPING_DISTANCE, &STOPPING_DECELERATION, &KINETIC_ENERGY];

const SPEED: Argument = quantity(
    "speed",
    "speed at the start",
    Dimension::SPEED,
    "km/h",
    Domain::NotNegative,
);

const NO_APPROVAL: Option<&str> = Some(
    "This does not approve brakes or a speed. Have the brakes inspected, under the event's rule book and local codes. Then test stops on a closed course, from a crawl upwards.",
);

const STOPPING_DISTANCE: Formula = Formula {
    name: "stopping_distance",
    says: "way to a standstill at an even deceleration, without the time to react",
    arguments: &[
        SPEED,
        quantity(
            "deceleration",
            "even deceleration",
            Dimension::ACCELERATION,
            "m/s^2",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::LENGTH,
    shown_in: "m",
    equation: "speed² / (2 · deceleration)",
    source: "definition of an even deceleration",
    caution: NO_APPROVAL,
    worked: WorkedExample {
        call: "stopping_distance(100 km/h, 7 m/s^2)",
        comes_to: "55.114638 m",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(0) / (inputs.number(1) * 2.0)),
};

const STOPPING_DECELERATION: Formula = Formula {
    name: "stopping_deceleration",
    says: "the even deceleration that stops within a distance",
    arguments: &[
        SPEED,
        quantity(
            "distance",
            "way to a standstill",
            Dimension::LENGTH,
            "m",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::ACCELERATION,
    shown_in: "m/s^2",
    equation: "speed² / (2 · distance)",
    source: "definition of an even deceleration",
    caution: NO_APPROVAL,
    worked: WorkedExample {
        call: "stopping_deceleration(100 km/h, 60 m)",
        comes_to: "6.4300412 m/s^2",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(0) / (inputs.number(1) * 2.0)),
};

const KINETIC_ENERGY: Formula = Formula {
    name: "kinetic_energy",
    says: "energy of a moving mass, without what turns; all of it becomes heat in the brakes",
    arguments: &[
        quantity(
            "mass",
            "ready to run, with driver",
            Dimension::MASS,
            "kg",
            Domain::Positive,
        ),
        SPEED,
    ],
    dimension: Dimension::TORQUE,
    shown_in: "N-m",
    equation: "mass · speed² / 2; 1 N-m is 1 J",
    source: "definition",
    caution: NO_APPROVAL,
    worked: WorkedExample {
        call: "kinetic_energy(1300 kg, 100 km/h)",
        comes_to: "501543.21 N-m",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1) * inputs.number(1) * 0.5),
};
