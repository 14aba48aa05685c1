//! Power, mass and the quarter mile.

use super::argument::{quantity, word_or_first};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, Word, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &QUARTER_MILE_TIME,
    &QUARTER_MILE_SPEED,
    &POWER_FOR_TIME,
    &POWER_FOR_SPEED,
    &MASS_FOR_TIME,
    &CONSTANT_POWER_TIME,
    &CONSTANT_POWER_SPEED,
    &POWER_FROM_TORQUE,
    &TORQUE_FROM_POWER,
];

const POUND: f64 = 0.453_592_37;
const HORSEPOWER: f64 = 745.699_871_582_270_2;
const MPH: f64 = 0.447_04;

/// The published pairs: speed coefficient in mph·(lb/hp)^(1/3), time coefficient in
/// s·(hp/lb)^(1/3), and the root-mean-square relative error of the time law over the 32 road tests
/// of the `mtcars` data set.
struct Pair {
    speed: f64,
    time: f64,
    spread: f64,
}

const PAIRS: [Pair; 3] = [
    Pair {
        speed: 234.0,
        time: 5.825,
        spread: 0.082,
    },
    Pair {
        speed: 230.0,
        time: 6.269,
        spread: 0.059,
    },
    Pair {
        speed: 224.0,
        time: 6.29,
        spread: 0.060,
    },
];

const LAWS: &[Word] = &[
    Word {
        word: "usual",
        says: "234 and 5.825: common practice, no primary source; off by 8.2 % (root mean square over 32 road tests of 1973–74)",
    },
    Word {
        word: "fox_1973",
        says: "230 and 6.269: Fox, Am. J. Phys. 41 (1973) 311, as quoted second-hand; off by 5.9 %",
    },
    Word {
        word: "huntington_1958",
        says: "224 and 6.29: Huntington 1958, as quoted second-hand; off by 6.0 %",
    },
];

const BY: Argument = word_or_first("by", "which published pair of coefficients", LAWS);
const MASS: Argument = quantity(
    "mass",
    "ready to run, with driver",
    Dimension::MASS,
    "kg",
    Domain::Positive,
);
const POWER: Argument = quantity(
    "power",
    "peak power",
    Dimension::POWER,
    "kW",
    Domain::Positive,
);
const TIME: Argument = quantity(
    "time",
    "the time asked for",
    Dimension::TIME,
    "s",
    Domain::Positive,
);
const STEADY: Argument = quantity(
    "power",
    "power at the road, steady",
    Dimension::POWER,
    "kW",
    Domain::Positive,
);
const DISTANCE: Argument = quantity(
    "distance",
    "from a standing start",
    Dimension::LENGTH,
    "m",
    Domain::Positive,
);

const CLOSED_COURSE: Option<&str> = Some(
    "Use this rule of thumb for a closed course only. It does not promise a time or approve a run.",
);
const LAW: &str = "cube-root law of constant power (derived in P. J. Nahin, In Praise of Simple Physics, 2016, p. 33); coefficients as named; \
                   spread: root-mean-square relative error over the 32 road tests of mtcars (Henderson & Velleman, Biometrics 37 (1981) 391)";

const IDEAL: &str = "motion at constant power; P. J. Nahin, In Praise of Simple Physics, 2016, p. 33, after Fox, Am. J. Phys. 41 (1973) 311";

const QUARTER_MILE_TIME: Formula = Formula {
    name: "quarter_mile_time",
    says: "time for a standing quarter mile from mass and power",
    arguments: &[MASS, POWER, BY],
    dimension: Dimension::TIME,
    shown_in: "s",
    equation: "t = 5.825 s · (mass in lb / power in hp)^(1/3)",
    source: LAW,
    caution: CLOSED_COURSE,
    worked: WorkedExample {
        call: "quarter_mile_time(3200 lb, 400 hp)",
        comes_to: "11.65 s",
    },
    held_against: &[
        "f02", "f03", "f04", "f05", "f06", "f07", "f08", "f10", "f11",
    ],
    work: quarter_mile_time,
};

fn quarter_mile_time(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pair = &PAIRS[inputs.word(2)];
    let weight_on_power = inputs.number(0) / inputs.number(1) * (HORSEPOWER / POUND);
    Outcome::law(weight_on_power.power(1.0 / 3.0) * pair.time, pair.spread)
}

const QUARTER_MILE_SPEED: Formula = Formula {
    name: "quarter_mile_speed",
    says: "speed at the end of a standing quarter mile from mass and power",
    arguments: &[MASS, POWER, BY],
    dimension: Dimension::SPEED,
    shown_in: "km/h",
    equation: "v = 234 mph · (power in hp / mass in lb)^(1/3)",
    source: LAW,
    caution: CLOSED_COURSE,
    worked: WorkedExample {
        call: "quarter_mile_speed(3200 lb, 400 hp)",
        comes_to: "188.2932 km/h",
    },
    held_against: &["f02", "f03", "f04"],
    work: quarter_mile_speed,
};

fn quarter_mile_speed(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pair = &PAIRS[inputs.word(2)];
    let power_on_weight = inputs.number(1) / inputs.number(0) * (POUND / HORSEPOWER);
    Outcome::law(
        power_on_weight.power(1.0 / 3.0) * (pair.speed * MPH),
        pair.spread,
    )
}

const POWER_FOR_TIME: Formula = Formula {
    name: "power_for_time",
    says: "power needed for a standing quarter mile in a given time",
    arguments: &[MASS, TIME, BY],
    dimension: Dimension::POWER,
    shown_in: "kW",
    equation: "power in hp = mass in lb · (5.825 s / time)^3",
    source: LAW,
    caution: CLOSED_COURSE,
    worked: WorkedExample {
        call: "power_for_time(3200 lb, 11.65 s)",
        comes_to: "298.27995 kW",
    },
    held_against: &["f02", "f03", "f04"],
    work: power_for_time,
};

fn power_for_time(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pair = &PAIRS[inputs.word(2)];
    let ratio = (inputs.number(1) / pair.time).power(-3.0);
    // Power goes with the cube of the time, so a law that is off by a share of the time is off by
    // three times that here.
    Outcome::law(
        inputs.number(0) * ratio * (HORSEPOWER / POUND),
        3.0 * pair.spread,
    )
}

const POWER_FOR_SPEED: Formula = Formula {
    name: "power_for_speed",
    says: "power needed for a speed at the end of a standing quarter mile",
    arguments: &[
        MASS,
        quantity(
            "speed",
            "the speed asked for",
            Dimension::SPEED,
            "km/h",
            Domain::Positive,
        ),
        BY,
    ],
    dimension: Dimension::POWER,
    shown_in: "kW",
    equation: "power in hp = mass in lb · (speed / 234 mph)^3",
    source: LAW,
    caution: CLOSED_COURSE,
    worked: WorkedExample {
        call: "power_for_speed(3200 lb, 117 mph)",
        comes_to: "298.27995 kW",
    },
    held_against: &["f02", "f03", "f04"],
    work: power_for_speed,
};

fn power_for_speed(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pair = &PAIRS[inputs.word(2)];
    let ratio = (inputs.number(1) / (pair.speed * MPH)).power(3.0);
    Outcome::law(
        inputs.number(0) * ratio * (HORSEPOWER / POUND),
        3.0 * pair.spread,
    )
}

const MASS_FOR_TIME: Formula = Formula {
    name: "mass_for_time",
    says: "the mass that a power carries over a standing quarter mile in a given time",
    arguments: &[POWER, TIME, BY],
    dimension: Dimension::MASS,
    shown_in: "kg",
    equation: "mass in lb = power in hp · (time / 5.825 s)^3",
    source: LAW,
    caution: CLOSED_COURSE,
    worked: WorkedExample {
        call: "mass_for_time(400 hp, 11.65 s)",
        comes_to: "1451.4956 kg",
    },
    held_against: &["f02", "f03", "f04"],
    work: mass_for_time,
};

fn mass_for_time(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pair = &PAIRS[inputs.word(2)];
    let ratio = (inputs.number(1) / pair.time).power(3.0);
    Outcome::law(
        inputs.number(0) * ratio * (POUND / HORSEPOWER),
        3.0 * pair.spread,
    )
}

const CONSTANT_POWER_TIME: Formula = Formula {
    name: "constant_power_time",
    says: "the time that steady power without any loss would take from a standstill: a bound, never a prediction",
    arguments: &[MASS, STEADY, DISTANCE],
    dimension: Dimension::TIME,
    shown_in: "s",
    equation: "t = 1.5 · distance / v, v from constant_power_speed",
    source: IDEAL,
    caution: CLOSED_COURSE,
    worked: WorkedExample {
        call: "constant_power_time(1300 kg, 200 kW, 402.336 m)",
        comes_to: "10.578268 s",
    },
    held_against: &["f01"],
    work: |inputs| Outcome::exact(inputs.number(2) * 1.5 / constant_power_speed(inputs)),
};

const CONSTANT_POWER_SPEED: Formula = Formula {
    name: "constant_power_speed",
    says: "the speed that steady power without any loss would reach from a standstill: a bound, never a prediction",
    arguments: &[MASS, STEADY, DISTANCE],
    dimension: Dimension::SPEED,
    shown_in: "km/h",
    equation: "v = (3 · power · distance / mass)^(1/3)",
    source: IDEAL,
    caution: CLOSED_COURSE,
    worked: WorkedExample {
        call: "constant_power_speed(1300 kg, 200 kW, 402.336 m)",
        comes_to: "205.3847 km/h",
    },
    held_against: &["f01"],
    work: |inputs| Outcome::exact(constant_power_speed(inputs)),
};

fn constant_power_speed(inputs: &Inputs) -> Dual {
    (inputs.number(1) * inputs.number(2) * 3.0 / inputs.number(0)).power(1.0 / 3.0)
}

const POWER_FROM_TORQUE: Formula = Formula {
    name: "power_from_torque",
    says: "power of a shaft from torque and turning speed",
    arguments: &[
        quantity(
            "torque",
            "torque of the shaft",
            Dimension::TORQUE,
            "N-m",
            Domain::Any,
        ),
        quantity(
            "speed",
            "its turning speed",
            Dimension::TURNING,
            "rpm",
            Domain::NotNegative,
        ),
    ],
    dimension: Dimension::POWER,
    shown_in: "kW",
    equation: "power = torque · speed",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "power_from_torque(400 lb-ft, 6000 rpm)",
        comes_to: "340.7542 kW",
    },
    held_against: &["f14"],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1)),
};

const TORQUE_FROM_POWER: Formula = Formula {
    name: "torque_from_power",
    says: "torque of a shaft from power and turning speed",
    arguments: &[
        quantity(
            "power",
            "power of the shaft",
            Dimension::POWER,
            "kW",
            Domain::Any,
        ),
        quantity(
            "speed",
            "its turning speed",
            Dimension::TURNING,
            "rpm",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::TORQUE,
    shown_in: "N-m",
    equation: "torque = power / speed",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "torque_from_power(200 kW, 8000 rpm)",
        comes_to: "238.73241 N-m",
    },
    held_against: &["f14"],
    work: |inputs| Outcome::exact(inputs.number(0) / inputs.number(1)),
};
