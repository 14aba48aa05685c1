//! Power, mass and the quarter mile.

use super::{Argument, Domain, Formula, Inputs, Kind, Outcome, Outside, Word, Worked, quantity};
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] =
    &[&QUARTER_MILE_TIME, &QUARTER_MILE_SPEED, &POWER_FOR_TIME, &POWER_FROM_TORQUE];

const POUND: f64 = 0.453_592_37;
const HORSEPOWER: f64 = 745.699_871_582_270_2;
const MPH: f64 = 0.447_04;

/// The published pairs: speed coefficient in mph·(lb/hp)^(1/3), time coefficient in s·(hp/lb)^(1/3), and
/// the root-mean-square relative error of the time law over the 32 road tests of the `mtcars` data set.
struct Pair {
    speed: f64,
    time: f64,
    spread: f64,
}

const PAIRS: [Pair; 3] = [
    Pair { speed: 234.0, time: 5.825, spread: 0.082 },
    Pair { speed: 230.0, time: 6.269, spread: 0.059 },
    Pair { speed: 224.0, time: 6.29, spread: 0.060 },
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
    Word { word: "huntington_1958", says: "224 and 6.29: Huntington 1958, as quoted second-hand; off by 6.0 %" },
];

const BY: Argument = Argument {
    name: "by",
    says: "which published pair of coefficients",
    kind: Kind::Word { words: LAWS, optional: true },
};
const MASS: Argument = quantity("mass", "ready to run, with driver", Dimension::MASS, "kg", Domain::Positive);
const POWER: Argument = quantity("power", "peak power", Dimension::POWER, "kW", Domain::Positive);

const CLOSED_COURSE: Option<&str> =
    Some("A rule of thumb for a closed course only; it promises no time and approves no run.");
const LAW: &str = "cube-root law of constant power (derived in P. J. Nahin, In Praise of Simple Physics, 2016, p. 33); coefficients as named; \
                   spread: root-mean-square relative error over the 32 road tests of mtcars (Henderson & Velleman, Biometrics 37 (1981) 391)";

const QUARTER_MILE_TIME: Formula = Formula {
    name: "quarter_mile_time",
    says: "time for a standing quarter mile from mass and power",
    arguments: &[MASS, POWER, BY],
    dimension: Dimension::TIME,
    shown_in: "s",
    equation: "t = 5.825 s · (mass in lb / power in hp)^(1/3)",
    source: LAW,
    caution: CLOSED_COURSE,
    worked: Worked { call: "quarter_mile_time(3200 lb, 400 hp)", comes_to: "11.65 s" },
    held_against: &["f02", "f03", "f04", "f05", "f06", "f07", "f08", "f10", "f11"],
    work: quarter_mile_time,
};

fn quarter_mile_time(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pair = &PAIRS[inputs.word(2)];
    let weight_on_power = inputs.number(0) / inputs.number(1) * (HORSEPOWER / POUND);
    Ok(Outcome { value: weight_on_power.power(1.0 / 3.0) * pair.time, law_spread: pair.spread })
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
    worked: Worked { call: "quarter_mile_speed(3200 lb, 400 hp)", comes_to: "188.2932 km/h" },
    held_against: &["f02", "f03", "f04"],
    work: quarter_mile_speed,
};

fn quarter_mile_speed(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pair = &PAIRS[inputs.word(2)];
    let power_on_weight = inputs.number(1) / inputs.number(0) * (POUND / HORSEPOWER);
    Ok(Outcome { value: power_on_weight.power(1.0 / 3.0) * (pair.speed * MPH), law_spread: pair.spread })
}

const POWER_FOR_TIME: Formula = Formula {
    name: "power_for_time",
    says: "power needed for a standing quarter mile in a given time",
    arguments: &[MASS, quantity("time", "the time asked for", Dimension::TIME, "s", Domain::Positive), BY],
    dimension: Dimension::POWER,
    shown_in: "kW",
    equation: "power in hp = mass in lb · (5.825 s / time)^3",
    source: LAW,
    caution: CLOSED_COURSE,
    worked: Worked { call: "power_for_time(3200 lb, 11.65 s)", comes_to: "298.27995 kW" },
    held_against: &["f02"],
    work: power_for_time,
};

fn power_for_time(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pair = &PAIRS[inputs.word(2)];
    let ratio = (inputs.number(1) / pair.time).power(-3.0);
    // Power goes with the cube of the time, so a law that is off by a share of the time is off by three times that here.
    Ok(Outcome { value: inputs.number(0) * ratio * (HORSEPOWER / POUND), law_spread: 3.0 * pair.spread })
}

const POWER_FROM_TORQUE: Formula = Formula {
    name: "power_from_torque",
    says: "power of a shaft from torque and turning speed",
    arguments: &[
        quantity("torque", "torque of the shaft", Dimension::TORQUE, "N-m", Domain::Any),
        quantity("speed", "its turning speed", Dimension::TURNING, "rpm", Domain::NotNegative),
    ],
    dimension: Dimension::POWER,
    shown_in: "kW",
    equation: "power = torque · speed",
    source: "definition",
    caution: None,
    worked: Worked { call: "power_from_torque(400 lb-ft, 6000 rpm)", comes_to: "340.7542 kW" },
    held_against: &["f14"],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1)),
};
