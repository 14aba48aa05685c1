//! Gearing: ratios, tyres, road speed, the force at the road.

use super::argument::{length, number, quantity};
use super::{Argument, Domain, Formula, Outcome, WorkedExample};
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &ROAD_SPEED,
    &TURNING_SPEED,
    &RATIO_FOR_SPEED,
    &OVERALL_RATIO,
    &TEETH_RATIO,
    &TYRE_DIAMETER,
    &DRIVING_FORCE,
];

const TURNING: Argument = quantity(
    "speed",
    "turning speed ahead of the ratio",
    Dimension::TURNING,
    "rpm",
    Domain::NotNegative,
);
const ROAD: Argument = quantity(
    "speed",
    "road speed",
    Dimension::SPEED,
    "km/h",
    Domain::NotNegative,
);
const TYRE: Argument = length("tyre", "rolling diameter of the tyre", Domain::Positive);
const RATIO: Argument = number(
    "ratio",
    "turns in for one turn of the wheel",
    Domain::Positive,
);
const TEETH: Domain = Domain::Whole(4.0, 1000.0, "a whole number from 4 to 1000");

const ROAD_SPEED: Formula = Formula {
    name: "road_speed",
    says: "road speed from turning speed, tyre and overall ratio, without slip or tyre growth",
    arguments: &[TURNING, TYRE, RATIO],
    dimension: Dimension::SPEED,
    shown_in: "km/h",
    equation: "v = speed · tyre / (2 · ratio)",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "road_speed(6500 rpm, 28 in, 4.1)",
        comes_to: "212.531 km/h",
    },
    held_against: &["f12"],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1) / (inputs.number(2) * 2.0)),
};

const TURNING_SPEED: Formula = Formula {
    name: "turning_speed",
    says: "turning speed ahead of the ratio at a road speed, without slip or tyre growth",
    arguments: &[ROAD, TYRE, RATIO],
    dimension: Dimension::TURNING,
    shown_in: "rpm",
    equation: "n = 2 · speed · ratio / tyre",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "turning_speed(100 km/h, 28 in, 4.1)",
        comes_to: "3058.3768 rpm",
    },
    held_against: &["f12"],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(2) * 2.0 / inputs.number(1)),
};

const RATIO_FOR_SPEED: Formula = Formula {
    name: "ratio_for_speed",
    says: "the overall ratio that gives a road speed at a turning speed, without slip or tyre growth",
    arguments: &[
        TURNING,
        TYRE,
        quantity(
            "road",
            "the road speed asked for",
            Dimension::SPEED,
            "km/h",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "ratio = speed · tyre / (2 · road)",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "ratio_for_speed(6500 rpm, 28 in, road: 200 km/h)",
        comes_to: "4.3568864",
    },
    held_against: &["f12"],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1) / (inputs.number(2) * 2.0)),
};

const OVERALL_RATIO: Formula = Formula {
    name: "overall_ratio",
    says: "turns of the engine or motor for one turn of the wheel",
    arguments: &[
        number(
            "gear",
            "ratio of the gear or reduction box",
            Domain::Positive,
        ),
        number("axle", "ratio of the axle", Domain::Positive),
    ],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "gear · axle",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "overall_ratio(2.5, 3.73)",
        comes_to: "9.325",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1)),
};

const TEETH_RATIO: Formula = Formula {
    name: "teeth_ratio",
    says: "turns of the driving wheel for one turn of the driven, from their teeth",
    arguments: &[
        number("driving", "teeth of the driving gear or sprocket", TEETH),
        number("driven", "teeth of the driven one", TEETH),
    ],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "driven / driving",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "teeth_ratio(driving: 17, driven: 48)",
        comes_to: "2.8235294",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(1) / inputs.number(0)),
};

const TYRE_DIAMETER: Formula = Formula {
    name: "tyre_diameter",
    says: "outside diameter of a tyre from its size, unloaded",
    arguments: &[
        length("section", "nominal section width", Domain::Positive),
        quantity(
            "aspect",
            "height of the side wall as a share of the section",
            Dimension::NONE,
            "%",
            Domain::Within(0.2, 1.0, "from 20 % to 100 %"),
        ),
        quantity(
            "rim",
            "nominal rim diameter",
            Dimension::LENGTH,
            "in",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "rim + 2 · section · aspect",
    source: "definition of the size marking; the rolling diameter is a few percent smaller: measure it loaded, or take the maker's",
    caution: None,
    worked: WorkedExample {
        call: "tyre_diameter(255 mm, 40 %, 18 in)",
        comes_to: "661.2 mm",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(2) + inputs.number(0) * inputs.number(1) * 2.0),
};

const DRIVING_FORCE: Formula = Formula {
    name: "driving_force",
    says: "force at the road from a torque ahead of the ratio, as far as the tyre grips",
    arguments: &[
        quantity(
            "torque",
            "torque ahead of the ratio",
            Dimension::TORQUE,
            "N-m",
            Domain::Any,
        ),
        RATIO,
        TYRE,
        quantity(
            "efficiency",
            "what the gears let through",
            Dimension::NONE,
            "%",
            Domain::Within(0.0, 1.0, "from 0 to 100 %"),
        ),
    ],
    dimension: Dimension::FORCE,
    shown_in: "N",
    equation: "F = torque · ratio · efficiency / (tyre / 2)",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "driving_force(400 N-m, ratio: 10, tyre: 650 mm, efficiency: 100 %)",
        comes_to: "12307.692 N",
    },
    held_against: &[],
    work: |inputs| {
        let at_wheel = inputs.number(0) * inputs.number(1) * inputs.number(3);
        Outcome::exact(at_wheel * 2.0 / inputs.number(2))
    },
};
