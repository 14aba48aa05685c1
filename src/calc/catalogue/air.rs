//! Air: its density and moisture, the standard atmosphere, correction of measured power.

use super::argument::{quantity, reading, word, word_or_first};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, Word, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &SATURATION_PRESSURE,
    &DRY_PRESSURE,
    &AIR_DENSITY,
    &STANDARD_TEMPERATURE,
    &STANDARD_PRESSURE,
    &STANDARD_DENSITY,
    &DENSITY_ALTITUDE,
    &POWER_CORRECTION,
];

/// Gas constants of dry air (ISO 2533:1975) and of water vapour (8.314 462 618 over 0.018 015 268),
/// in J/(kg·K).
const DRY_AIR: f64 = 287.052_87;
const VAPOUR: f64 = 461.523;

/// The standard atmosphere at sea level and its fall of temperature with height: K, Pa, K/m.
const SEA_TEMPERATURE: f64 = 288.15;
const SEA_PRESSURE: f64 = 101_325.0;
const LAPSE: f64 = 0.0065;
/// Exponent of the pressure: gravity over gas constant and lapse.
const EXPONENT: f64 = 9.806_65 / (DRY_AIR * LAPSE);
/// Radius of the earth that the standard takes, in m.
const EARTH: f64 = 6_356_766.0;

const AMBIENT: Domain = Domain::Within(30e3, 120e3, "from 30 to 120 kPa absolute");

const PRESSURE: Argument = quantity(
    "pressure",
    "pressure of the air on the spot, not reduced to sea level",
    Dimension::PRESSURE,
    "kPa",
    AMBIENT,
);
const TEMPERATURE: Argument = reading(
    "temperature",
    "of the air",
    Domain::Within(243.15, 333.15, "from -30 to 60 degC"),
);
const HUMIDITY: Argument = quantity(
    "humidity",
    "relative humidity",
    Dimension::NONE,
    "%",
    Domain::Within(0.0, 1.0, "from 0 to 100 %"),
);
const HEIGHT: Argument = quantity(
    "height",
    "above sea level",
    Dimension::LENGTH,
    "m",
    Domain::Within(-1000.0, 11_000.0, "from -1000 to 11000 m"),
);
const BY: Argument = word_or_first("by", "which height", HEIGHTS);
const HEIGHTS: &[Word] = &[
    Word {
        word: "geometric",
        says: "as a tape or a map gives it",
    },
    Word {
        word: "geopotential",
        says: "as the tables of the standard atmosphere are drawn up",
    },
];

const IAPWS: &str = "IAPWS, Wagner & Pruss 2002, eq. 2.5 (coefficients from memory)";
const MOIST: &str = "two ideal gases, dry air 287.05287 J/(kg·K) (ISO 2533:1975) and vapour 461.523 J/(kg·K); saturation: IAPWS, Wagner & Pruss 2002, eq. 2.5 \
                     (coefficients from memory), below freezing carried on over liquid water";
const STANDARD: &str = "US Standard Atmosphere 1976 / ISO 2533:1975, up to 11 km";

/// Saturation pressure of water vapour at an absolute temperature, in Pa.
fn saturation(temperature: Dual) -> Dual {
    const CRITICAL: f64 = 647.096;
    const TERMS: [(f64, f64); 6] = [
        (-7.859_517_83, 1.0),
        (1.844_082_59, 1.5),
        (-11.786_649_7, 3.0),
        (22.680_741_1, 3.5),
        (-15.961_871_9, 4.0),
        (1.801_225_02, 7.5),
    ];
    let below = Dual::fixed(1.0) - temperature / CRITICAL;
    let sum = TERMS.iter().fold(Dual::fixed(0.0), |sum, (factor, power)| {
        sum + below.power(*power) * *factor
    });
    (Dual::fixed(CRITICAL) / temperature * sum).exp() * 22.064e6
}

/// Pressure of the vapour from temperature, pressure and humidity at places 0, 1 and 2.
fn vapour(inputs: &Inputs) -> Result<Dual, Outside> {
    let vapour = saturation(inputs.number(0)) * inputs.number(2);
    if vapour.value >= inputs.number(1).value {
        return Err(Outside {
            argument: 1,
            domain: "above the pressure of the vapour in it",
        });
    }
    Ok(vapour)
}

const SATURATION_PRESSURE: Formula = Formula {
    name: "saturation_pressure",
    says: "pressure at which water vapour is saturated",
    arguments: &[reading(
        "temperature",
        "of the air",
        Domain::Within(273.15, 373.15, "from 0 to 100 degC"),
    )],
    dimension: Dimension::PRESSURE,
    shown_in: "kPa",
    equation: "ln(p / 22.064 MPa) = (Tc/T) · (a1·u + a2·u^1.5 + a3·u^3 + a4·u^3.5 + a5·u^4 + a6·u^7.5), u = 1 - T/Tc, Tc = 647.096 K",
    source: IAPWS,
    caution: None,
    worked: WorkedExample {
        call: "saturation_pressure(25 degC)",
        comes_to: "3.1698 kPa",
    },
    held_against: &["g17"],
    work: |inputs| Outcome::exact(saturation(inputs.number(0))),
};

const DRY_PRESSURE: Formula = Formula {
    name: "dry_pressure",
    says: "pressure of the air without the vapour in it, as the power corrections want it",
    arguments: &[TEMPERATURE, PRESSURE, HUMIDITY],
    dimension: Dimension::PRESSURE,
    shown_in: "kPa",
    equation: "pressure - humidity · saturation pressure at the temperature",
    source: MOIST,
    caution: None,
    worked: WorkedExample {
        call: "dry_pressure(25 degC, 100 kPa, 50 %)",
        comes_to: "98.41509 kPa",
    },
    held_against: &["g17"],
    work: |inputs| Outcome::exact(inputs.number(1) - vapour(inputs)?),
};

const AIR_DENSITY: Formula = Formula {
    name: "air_density",
    says: "density of moist air",
    arguments: &[TEMPERATURE, PRESSURE, HUMIDITY],
    dimension: Dimension::DENSITY,
    shown_in: "kg/m^3",
    equation: "dry pressure / (287.05287 · T) + vapour pressure / (461.523 · T)",
    source: MOIST,
    caution: None,
    worked: WorkedExample {
        call: "air_density(25 degC, 100 kPa, 50 %)",
        comes_to: "1.161431 kg/m^3",
    },
    held_against: &["g01"],
    work: |inputs| {
        let vapour = vapour(inputs)?;
        let dry = inputs.number(1) - vapour;
        Outcome::exact((dry / DRY_AIR + vapour / VAPOUR) / inputs.number(0))
    },
};

/// Temperature of the standard atmosphere at the height at place 0, in K.
fn standard_temperature(inputs: &Inputs) -> Dual {
    let height = inputs.number(0);
    let geopotential = if inputs.word(1) == 0 {
        height * EARTH / (height + EARTH)
    } else {
        height
    };
    Dual::fixed(SEA_TEMPERATURE) - geopotential * LAPSE
}

fn standard_pressure(inputs: &Inputs) -> Dual {
    (standard_temperature(inputs) / SEA_TEMPERATURE).power(EXPONENT) * SEA_PRESSURE
}

const STANDARD_TEMPERATURE: Formula = Formula {
    name: "standard_temperature",
    says: "temperature of the standard atmosphere at a height",
    arguments: &[HEIGHT, BY],
    dimension: Dimension::TEMPERATURE,
    shown_in: "degC",
    equation: "15 degC - 6.5 K/km · H, H = r·z/(r + z) with r = 6356766 m for a geometric height z",
    source: STANDARD,
    caution: None,
    worked: WorkedExample {
        call: "standard_temperature(1000 m)",
        comes_to: "8.501 degC",
    },
    held_against: &["g01", "g02", "g03", "g05", "g07", "g08", "g09"],
    work: |inputs| Outcome::exact(standard_temperature(inputs)),
};

const STANDARD_PRESSURE: Formula = Formula {
    name: "standard_pressure",
    says: "pressure of the standard atmosphere at a height",
    arguments: &[HEIGHT, BY],
    dimension: Dimension::PRESSURE,
    shown_in: "kPa",
    equation: "101.325 kPa · (T / 288.15 K)^5.25588, T from standard_temperature",
    source: STANDARD,
    caution: None,
    worked: WorkedExample {
        call: "standard_pressure(1000 m)",
        comes_to: "89.87628 kPa",
    },
    held_against: &[
        "g01", "g02", "g03", "g05", "g07", "g08", "g09", "g10", "g21",
    ],
    work: |inputs| Outcome::exact(standard_pressure(inputs)),
};

const STANDARD_DENSITY: Formula = Formula {
    name: "standard_density",
    says: "density of the standard atmosphere at a height",
    arguments: &[HEIGHT, BY],
    dimension: Dimension::DENSITY,
    shown_in: "kg/m^3",
    equation: "pressure / (287.05287 · T), both of the standard atmosphere",
    source: STANDARD,
    caution: None,
    worked: WorkedExample {
        call: "standard_density(1000 m)",
        comes_to: "1.11166 kg/m^3",
    },
    held_against: &["g01", "g02", "g03", "g05", "g07", "g08", "g09"],
    work: |inputs| {
        Outcome::exact(standard_pressure(inputs) / (standard_temperature(inputs) * DRY_AIR))
    },
};

const DENSITY_ALTITUDE: Formula = Formula {
    name: "density_altitude",
    says: "the geopotential height at which the standard atmosphere is as dense",
    arguments: &[quantity(
        "density",
        "of the air",
        Dimension::DENSITY,
        "kg/m^3",
        Domain::Within(0.364, 1.347, "from 0.364 to 1.347 kg/m^3"),
    )],
    dimension: Dimension::LENGTH,
    shown_in: "m",
    equation: "(288.15 K / 6.5 K/km) · (1 - (density / 1.225)^(1 / 4.25588))",
    source: STANDARD,
    caution: None,
    worked: WorkedExample {
        call: "density_altitude(1.1116 kg/m^3)",
        comes_to: "1000.39 m",
    },
    held_against: &["g08", "g09"],
    work: |inputs| {
        let share = inputs.number(0) / (SEA_PRESSURE / (DRY_AIR * SEA_TEMPERATURE));
        let fall = Dual::fixed(1.0) - share.power(1.0 / (EXPONENT - 1.0));
        Outcome::exact(fall * (SEA_TEMPERATURE / LAPSE))
    },
};

const LAWS: &[Word] = &[
    Word {
        word: "j1349_1990",
        says: "1.180 · (99 kPa / pressure) · sqrt((t + 273) / 298) - 0.180: SAE J1349, the form of 1990, as quoted second-hand; the standard was not read",
    },
    Word {
        word: "j1349_2004",
        says: "the same with 1 / 0.85 and 0.15 / 0.85, mechanical efficiency 0.85: SAE J1349, the form of 2004, as quoted second-hand; the standard was not read",
    },
    Word {
        word: "iso_1585",
        says: "(99 kPa / pressure)^1.2 · ((t + 273) / 298)^0.6, only from 0.93 to 1.07: ISO 1585 / UN R85 Annex 5, positive ignition (exponents from memory)",
    },
];

const POWER_CORRECTION: Formula = Formula {
    name: "power_correction",
    says: "factor from power measured to power in standard air; figures by different laws are not compared",
    arguments: &[
        quantity(
            "pressure",
            "of the dry air, see dry_pressure",
            Dimension::PRESSURE,
            "kPa",
            AMBIENT,
        ),
        TEMPERATURE,
        word("by", "which law", LAWS),
    ],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "as the law named; each is 1 at 99 kPa dry and 25 degC",
    source: "SAE J1349 (1990 and 2004 forms, second-hand: the standard was not read); ISO 1585:2020 / UN R85 Annex 5 (from memory)",
    caution: None,
    worked: WorkedExample {
        call: "power_correction(96 kPa, 30 degC, by: j1349_2004)",
        comes_to: "1.046901",
    },
    held_against: &["g11", "g13"],
    work: power_correction,
};

fn power_correction(inputs: &Inputs) -> Result<Outcome, Outside> {
    let pressure = Dual::fixed(99e3) / inputs.number(0);
    // The laws are written with 273, not 273.15, so that they are exactly 1 at 25 degC.
    let temperature = (inputs.number(1) - 0.15) / 298.0;
    match inputs.word(2) {
        0 => Outcome::exact(pressure * temperature.sqrt() * 1.18 - 0.18),
        1 => Outcome::exact((pressure * temperature.sqrt() - 0.15) / 0.85),
        _ => iso_1585(pressure.power(1.2) * temperature.power(0.6)),
    }
}

/// The factor where the law holds; a warning near its edges.
fn iso_1585(factor: Dual) -> Result<Outcome, Outside> {
    const RANGE: &str = "such that the factor lies from 0.93 to 1.07, as ISO 1585 wants it";
    let law = Domain::Between(0.93, 1.07, RANGE);
    let pressure = Outside {
        argument: 0,
        domain: RANGE,
    };
    if !law.holds(factor.value) {
        return Err(pressure);
    }
    let near_edge = law.near_edge(factor.value).then_some(pressure);
    Ok(Outcome {
        value: factor,
        law_spread: 0.0,
        near_edge,
    })
}
