//! Engine: displacement, compression, fuel flow, boost.

use std::f64::consts::PI;

use super::argument::{length, number, quantity};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &DISPLACEMENT,
    &COMPRESSION_RATIO,
    &PISTON_SPEED,
    &INJECTOR_FLOW,
    &VOLUME_FLOW,
    &FLOW_AT_PRESSURE,
    &BOOST_RATIO,
];

const BORE: Argument = length("bore", "of the cylinder", Domain::Positive);
const STROKE: Argument = length("stroke", "of the piston", Domain::Positive);
const COUNT: Domain = Domain::Whole(1.0, 32.0, "a whole number from 1 to 32");

const FUEL: Option<&str> = Some(
    "Fuel burns: allow no leak, and keep an extinguisher at hand. Use lines, fittings and a pump rated for the fuel and the pressure. A lean mixture can destroy an engine without warning. The makers' figures and a measured mixture come first.",
);
const MAKER_OF_ENGINE: Option<&str> = Some(
    "Keep out of the plane the engine turns in: a burst part flies off there. The engine maker's limits come first.",
);

/// Volume of a round space.
fn cylinder(bore: Dual, height: Dual) -> Dual {
    bore * bore * height * (PI / 4.0)
}

const DISPLACEMENT: Formula = Formula {
    name: "displacement",
    says: "volume that the pistons sweep",
    arguments: &[BORE, STROKE, number("cylinders", "how many", COUNT)],
    dimension: Dimension::VOLUME,
    shown_in: "L",
    equation: "(pi/4) · bore² · stroke · cylinders",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "displacement(4.000 in, 3.480 in, 8)",
        comes_to: "5.73298 L",
    },
    held_against: &["f15", "f16"],
    work: |inputs| Outcome::exact(cylinder(inputs.number(0), inputs.number(1)) * inputs.number(2)),
};

const COMPRESSION_RATIO: Formula = Formula {
    name: "compression_ratio",
    says: "volume of a cylinder with its piston down over the volume with its piston up",
    arguments: &[
        BORE,
        STROKE,
        quantity(
            "chamber",
            "in the head",
            Dimension::VOLUME,
            "cc",
            Domain::NotNegative,
        ),
        quantity(
            "dish",
            "in the piston; below zero for a dome",
            Dimension::VOLUME,
            "cc",
            Domain::Any,
        ),
        length("gasket_bore", "of the head gasket", Domain::Positive),
        length("gasket", "head gasket, tightened", Domain::NotNegative),
        length(
            "deck",
            "how far the piston stays below the deck; below zero where it stands proud",
            Domain::Any,
        ),
    ],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "(swept + left) / left, left = chamber + dish + gasket + deck volumes",
    source: "definition",
    caution: MAKER_OF_ENGINE,
    worked: WorkedExample {
        call: "compression_ratio(4.000 in, 3.480 in, chamber: 64 cc, dish: 5 cc, gasket_bore: 4.100 in, gasket: 0.040 in, deck: 0.010 in)",
        comes_to: "9.9900",
    },
    held_against: &["f16"],
    work: compression_ratio,
};

fn compression_ratio(inputs: &Inputs) -> Result<Outcome, Outside> {
    let swept = cylinder(inputs.number(0), inputs.number(1));
    let gasket = cylinder(inputs.number(4), inputs.number(5));
    let deck = cylinder(inputs.number(0), inputs.number(6));
    let left = inputs.number(2) + inputs.number(3) + gasket + deck;
    if left.value <= 0.0 {
        return Err(Outside {
            argument: 3,
            domain: "such that some volume is left above the piston",
        });
    }
    Outcome::exact((swept + left) / left)
}

const PISTON_SPEED: Formula = Formula {
    name: "piston_speed",
    says: "mean speed of the piston",
    arguments: &[
        STROKE,
        quantity(
            "speed",
            "turning speed of the crank",
            Dimension::TURNING,
            "rpm",
            Domain::NotNegative,
        ),
    ],
    dimension: Dimension::SPEED,
    shown_in: "m/s",
    equation: "2 · stroke · turns in a second",
    source: "definition",
    caution: MAKER_OF_ENGINE,
    worked: WorkedExample {
        call: "piston_speed(3.480 in, 6500 rpm)",
        comes_to: "19.1516 m/s",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1) / PI),
};

const INJECTOR_FLOW: Formula = Formula {
    name: "injector_flow",
    says: "fuel that each injector must give",
    arguments: &[
        quantity(
            "power",
            "power of the engine",
            Dimension::POWER,
            "kW",
            Domain::Positive,
        ),
        quantity(
            "consumption",
            "fuel for each unit of work",
            Dimension::CONSUMPTION,
            "g/kWh",
            Domain::Positive,
        ),
        number("injectors", "how many", COUNT),
        quantity(
            "duty",
            "share of the time they may stand open",
            Dimension::NONE,
            "%",
            Domain::Within(0.01, 1.0, "from 1 % to 100 %"),
        ),
    ],
    dimension: Dimension::MASS_FLOW,
    shown_in: "kg/h",
    equation: "power · consumption / (injectors · duty)",
    source: "definition of brake specific fuel consumption; Heywood, Internal Combustion Engine Fundamentals (from memory)",
    caution: FUEL,
    worked: WorkedExample {
        call: "injector_flow(500 hp, 0.50 lb/hp/h, injectors: 8, duty: 80 %)",
        comes_to: "17.718452 kg/h",
    },
    held_against: &["g18"],
    work: |inputs| {
        Outcome::exact(inputs.number(0) * inputs.number(1) / (inputs.number(2) * inputs.number(3)))
    },
};

const VOLUME_FLOW: Formula = Formula {
    name: "volume_flow",
    says: "volume in a time from mass in a time",
    arguments: &[
        quantity(
            "flow",
            "mass in a time",
            Dimension::MASS_FLOW,
            "kg/h",
            Domain::NotNegative,
        ),
        quantity(
            "density",
            "of the fluid, at its temperature",
            Dimension::DENSITY,
            "kg/m^3",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::VOLUME_FLOW,
    shown_in: "cc/min",
    equation: "flow / density; the usual 10.5 cc/min for 1 lb/h hides 0.72 g/cc",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "volume_flow(39.0625 lb/h, 0.72 g/cc)",
        comes_to: "410.14935 cc/min",
    },
    held_against: &["g19"],
    work: |inputs| Outcome::exact(inputs.number(0) / inputs.number(1)),
};

const FLOW_AT_PRESSURE: Formula = Formula {
    name: "flow_at_pressure",
    says: "flow of an injector or jet at another pressure across it",
    arguments: &[
        quantity(
            "flow",
            "as rated",
            Dimension::VOLUME_FLOW,
            "cc/min",
            Domain::NotNegative,
        ),
        quantity(
            "rated",
            "pressure across it that it is rated at",
            Dimension::PRESSURE,
            "bar",
            Domain::Positive,
        ),
        quantity(
            "across",
            "pressure across it now",
            Dimension::PRESSURE,
            "bar",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::VOLUME_FLOW,
    shown_in: "cc/min",
    equation: "flow · sqrt(across / rated)",
    source: "flow through an orifice goes with the root of the pressure across it (Bernoulli); an injector's own sheet comes first",
    caution: FUEL,
    worked: WorkedExample {
        call: "flow_at_pressure(440 cc/min, 3 bar, 4 bar)",
        comes_to: "508.06824 cc/min",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * (inputs.number(2) / inputs.number(1)).sqrt()),
};

const BOOST_RATIO: Formula = Formula {
    name: "boost_ratio",
    says: "pressure after the compressor over pressure before it",
    arguments: &[
        quantity(
            "boost",
            "as the gauge shows it, above ambient",
            Dimension::PRESSURE,
            "bar",
            Domain::NotNegative,
        ),
        quantity(
            "ambient",
            "absolute pressure of the air",
            Dimension::PRESSURE,
            "kPa",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "(ambient + boost) / ambient, without losses in filter and cooler",
    source: "definition",
    caution: MAKER_OF_ENGINE,
    worked: WorkedExample {
        call: "boost_ratio(10 psi, 14.696 psi)",
        comes_to: "1.6804573",
    },
    held_against: &["g21"],
    work: |inputs| Outcome::exact((inputs.number(0) + inputs.number(1)) / inputs.number(1)),
};
