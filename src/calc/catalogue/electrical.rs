//! Cables and fuses.

use std::f64::consts::PI;

use super::argument::{number, quantity, reading, word_or_first};
use super::materials::{CONDUCTOR_WORDS, CONDUCTORS, Conductor};
use super::{Argument, Domain, Formula, Outcome, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &AWG_DIAMETER,
    &AWG_AREA,
    &AWG_RESISTANCE,
    &CABLE_RESISTANCE,
    &WIRE_DROP,
    &FUSE_SHARE,
    &FUSE_LOAD,
    &CURRENT_FOR_POWER,
];

const GAUGE: Argument = number(
    "gauge",
    "AWG; 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3",
    Domain::Whole(-3.0, 40.0, "a whole number from -3 (4/0) to 40"),
);
const TEMPERATURE: Argument = reading(
    "temperature",
    "of the conductor",
    Domain::Within(233.15, 473.15, "from -40 to 200 degC"),
);
const AREA: Argument = quantity(
    "area",
    "of the conductor",
    Dimension::AREA,
    "mm2",
    Domain::Positive,
);
const OF: Argument = word_or_first("of", "conductor", CONDUCTOR_WORDS);
const CURRENT: Argument = quantity(
    "current",
    "steady current",
    Dimension::CURRENT,
    "A",
    Domain::NotNegative,
);

const AWG: &str = "ASTM B258 / NBS Handbook 100 (from memory)";
const CABLE: Option<&str> = Some(
    "Voltage drop is not ampacity. Take the current a cable may carry from its maker and the rule book, and protect the cable with a fuse. High voltage is work for a trained person: isolate, lock off and prove dead.",
);
const FUSE: Option<&str> = Some(
    "Fit the fuse at the source: it protects the cable, not the load. Take the cable's current, as laid and as hot as it gets, from its maker and the rule book. Use a fuse rated for the voltage in direct current. High voltage is work for a trained person: isolate, lock off and prove dead.",
);

/// Diameter of a gauge in m; exact by the standard.
fn diameter(gauge: Dual) -> Dual {
    ((Dual::fixed(36.0) - gauge) * (92.0_f64.ln() / 39.0)).exp() * (0.005 * 0.0254)
}

fn area(gauge: Dual) -> Dual {
    let diameter = diameter(gauge);
    diameter * diameter * (PI / 4.0)
}

/// Resistivity at an absolute temperature.
fn resistivity(conductor: &Conductor, temperature: Dual) -> Dual {
    ((temperature - 293.15) * conductor.rise + 1.0) * conductor.resistivity
}

const AWG_DIAMETER: Formula = Formula {
    name: "awg_diameter",
    says: "diameter of a solid wire by its gauge",
    arguments: &[GAUGE],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "0.005 in · 92^((36 - gauge) / 39)",
    source: AWG,
    caution: None,
    worked: WorkedExample {
        call: "awg_diameter(10)",
        comes_to: "2.5881867 mm",
    },
    held_against: &[
        "h01", "h02", "h03", "h04", "h06", "h07", "h09", "h10", "h11",
    ],
    work: |inputs| Outcome::exact(diameter(inputs.number(0))),
};

const AWG_AREA: Formula = Formula {
    name: "awg_area",
    says: "cross-section of a conductor by its gauge",
    arguments: &[GAUGE],
    dimension: Dimension::AREA,
    shown_in: "mm2",
    equation: "(pi/4) · diameter², diameter from awg_diameter",
    source: AWG,
    caution: CABLE,
    worked: WorkedExample {
        call: "awg_area(10)",
        comes_to: "5.261155 mm2",
    },
    held_against: &[
        "h02", "h03", "h04", "h06", "h07", "h09", "h10", "h11", "h13",
    ],
    work: |inputs| Outcome::exact(area(inputs.number(0))),
};

const AWG_RESISTANCE: Formula = Formula {
    name: "awg_resistance",
    says: "resistance of a solid copper wire for each length, by its gauge",
    arguments: &[GAUGE, TEMPERATURE],
    dimension: Dimension::RESISTANCE_PER_LENGTH,
    shown_in: "mohm/m",
    equation: "rho · (1 + 0.00393 · (t - 20)) / area, rho = 1.7241e-8 ohm·m",
    source: "resistivity and its rise: NBS Handbook 100, annealed copper of 100 % IACS. Stranded cable is a few percent higher (from memory)",
    caution: CABLE,
    worked: WorkedExample {
        call: "awg_resistance(10, 60 degC)",
        comes_to: "3.792187 mohm/m",
    },
    held_against: &["h02", "h03", "h04", "h06", "h07", "h09", "h10", "h11"],
    work: |inputs| {
        Outcome::exact(resistivity(&CONDUCTORS[0], inputs.number(1)) / area(inputs.number(0)))
    },
};

const CABLE_RESISTANCE: Formula = Formula {
    name: "cable_resistance",
    says: "resistance of a conductor, one way",
    arguments: &[
        quantity(
            "length",
            "one way",
            Dimension::LENGTH,
            "m",
            Domain::NotNegative,
        ),
        AREA,
        TEMPERATURE,
        OF,
    ],
    dimension: Dimension::RESISTANCE,
    shown_in: "mohm",
    equation: "rho · (1 + rise · (t - 20)) · length / area",
    source: "resistivity and its rise as the conductor says. Stranded cable is a few percent higher (from memory)",
    caution: CABLE,
    worked: WorkedExample {
        call: "cable_resistance(5 m, 16 mm2, 60 degC)",
        comes_to: "6.2347766 mohm",
    },
    held_against: &[],
    work: |inputs| {
        let resistivity = resistivity(&CONDUCTORS[inputs.word(3)], inputs.number(2));
        Outcome::exact(resistivity * inputs.number(0) / inputs.number(1))
    },
};

const WIRE_DROP: Formula = Formula {
    name: "wire_drop",
    says: "voltage lost in a cable, there and back, at 20 degC",
    arguments: &[
        CURRENT,
        quantity(
            "length",
            "one way",
            Dimension::LENGTH,
            "m",
            Domain::NotNegative,
        ),
        AREA,
        OF,
    ],
    dimension: Dimension::VOLTAGE,
    shown_in: "V",
    equation: "drop = current · 2 · length · rho / area",
    source: "Ohm's law; resistivity of annealed copper from NBS Handbook 100. Stranded cable is a few percent higher, hot cable 0.39 % for each K",
    caution: CABLE,
    worked: WorkedExample {
        call: "wire_drop(20 A, 15 ft, 5.2612 mm2)",
        comes_to: "0.59930 V",
    },
    held_against: &["h13"],
    work: |inputs| {
        let loops =
            inputs.number(0) * inputs.number(1) * (2.0 * CONDUCTORS[inputs.word(3)].resistivity);
        Outcome::exact(loops / inputs.number(2))
    },
};

const FUSE_SHARE: Formula = Formula {
    name: "fuse_share",
    says: "fuse rating over what the cable may carry; above 100 % the fuse does not protect the cable",
    arguments: &[
        quantity(
            "fuse",
            "rating of the fuse",
            Dimension::CURRENT,
            "A",
            Domain::Positive,
        ),
        quantity(
            "ampacity",
            "what the cable's maker or the rule book lets it carry, as laid",
            Dimension::CURRENT,
            "A",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::NONE,
    shown_in: "%",
    equation: "fuse / ampacity",
    source: "definition; to be checked with: at most 100 %",
    caution: FUSE,
    worked: WorkedExample {
        call: "fuse_share(30 A, ampacity: 40 A)",
        comes_to: "75.000 %",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) / inputs.number(1)),
};

const FUSE_LOAD: Formula = Formula {
    name: "fuse_load",
    says: "steady current as a share of the fuse rating",
    arguments: &[
        CURRENT,
        quantity(
            "fuse",
            "rating of the fuse",
            Dimension::CURRENT,
            "A",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::NONE,
    shown_in: "%",
    equation: "current / fuse",
    source: "definition; steady loads are kept to about 75 % at room temperature (common practice), less where it is hot: see the fuse's own curve",
    caution: FUSE,
    worked: WorkedExample {
        call: "fuse_load(22 A, 30 A)",
        comes_to: "73.33333 %",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) / inputs.number(1)),
};

const CURRENT_FOR_POWER: Formula = Formula {
    name: "current_for_power",
    says: "direct current that gives a power",
    arguments: &[
        quantity(
            "power",
            "what comes out",
            Dimension::POWER,
            "W",
            Domain::NotNegative,
        ),
        quantity(
            "voltage",
            "under load",
            Dimension::VOLTAGE,
            "V",
            Domain::Positive,
        ),
        quantity(
            "efficiency",
            "of what turns current into power",
            Dimension::NONE,
            "%",
            Domain::Within(0.01, 1.0, "from 1 % to 100 %"),
        ),
    ],
    dimension: Dimension::CURRENT,
    shown_in: "A",
    equation: "power / (voltage · efficiency)",
    source: "definition",
    caution: CABLE,
    worked: WorkedExample {
        call: "current_for_power(1500 W, 12 V, 85 %)",
        comes_to: "147.05882 A",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) / (inputs.number(1) * inputs.number(2))),
};
