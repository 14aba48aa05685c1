//! Planning: hours from three guesses, and the chance of keeping to them.

use std::f64::consts::PI;

use super::argument::quantity;
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[&THREE_POINT_TIME, &THREE_POINT_DEVIATION, &CHANCE_BY];

const LEAST: Argument = quantity(
    "least",
    "if all goes well",
    Dimension::TIME,
    "h",
    Domain::NotNegative,
);
const MOST: Argument = quantity(
    "most",
    "if much goes wrong",
    Dimension::TIME,
    "h",
    Domain::Positive,
);

const NO_PROMISE: Option<&str> = Some(
    "Never shorten an inspection or safety work to meet it. A calculated guess is still a guess.",
);

const SOURCE: &str = "three-point estimate of the programme evaluation and review technique (PERT); \
                      Taylor, Introduction to Management Science, chapter on project management";

const THREE_POINT_TIME: Formula = Formula {
    name: "three_point_time",
    says: "hours to plan on from three guesses",
    arguments: &[
        LEAST,
        quantity(
            "likely",
            "as it usually goes",
            Dimension::TIME,
            "h",
            Domain::Positive,
        ),
        MOST,
    ],
    dimension: Dimension::TIME,
    shown_in: "h",
    equation: "(least + 4 · likely + most) / 6",
    source: SOURCE,
    caution: NO_PROMISE,
    worked: WorkedExample {
        call: "three_point_time(6 h, 7 h, 14 h)",
        comes_to: "8 h",
    },
    held_against: &["i04", "i06"],
    work: three_point_time,
};

fn three_point_time(inputs: &Inputs) -> Result<Outcome, Outside> {
    let (least, likely, most) = (inputs.number(0), inputs.number(1), inputs.number(2));
    if likely.value < least.value {
        return Err(Outside {
            argument: 1,
            domain: "not below the least",
        });
    }
    if most.value < likely.value {
        return Err(Outside {
            argument: 2,
            domain: "not below the likely",
        });
    }
    Outcome::exact((least + likely * 4.0 + most) / 6.0)
}

const THREE_POINT_DEVIATION: Formula = Formula {
    name: "three_point_deviation",
    says: "standard deviation of hours from the least and the most guessed",
    arguments: &[LEAST, MOST],
    dimension: Dimension::TIME,
    shown_in: "h",
    equation: "(most - least) / 6; variances of jobs that follow each other add up",
    source: SOURCE,
    caution: NO_PROMISE,
    worked: WorkedExample {
        call: "three_point_deviation(5 h, 17 h)",
        comes_to: "2 h",
    },
    held_against: &["i04", "i06"],
    work: three_point_deviation,
};

fn three_point_deviation(inputs: &Inputs) -> Result<Outcome, Outside> {
    let (least, most) = (inputs.number(0), inputs.number(1));
    if most.value < least.value {
        return Err(Outside {
            argument: 1,
            domain: "not below the least",
        });
    }
    Outcome::exact((most - least) / 6.0)
}

const CHANCE_BY: Formula = Formula {
    name: "chance_by",
    says: "chance of being done by a time, where the end is normally distributed",
    arguments: &[
        quantity(
            "limit",
            "the time allowed",
            Dimension::TIME,
            "h",
            Domain::NotNegative,
        ),
        quantity(
            "mean",
            "the time expected",
            Dimension::TIME,
            "h",
            Domain::NotNegative,
        ),
        quantity(
            "deviation",
            "its standard deviation",
            Dimension::TIME,
            "h",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::NONE,
    shown_in: "%",
    equation: "normal distribution at (limit - mean) / deviation; to 1.5e-7",
    source: "central limit theorem; error function by Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.26",
    caution: NO_PROMISE,
    worked: WorkedExample {
        call: "chance_by(28 h, 24 h, sqrt(5) * 1 h)",
        comes_to: "96.318 %",
    },
    held_against: &["i06"],
    work: |inputs| {
        Outcome::exact(normal(
            (inputs.number(0) - inputs.number(1)) / inputs.number(2),
        ))
    },
};

/// The normal distribution and, as its slope, the normal density.
fn normal(z: Dual) -> Dual {
    let share = f64::midpoint(1.0, erf(z.value / 2.0_f64.sqrt()));
    let density = (-z.value * z.value / 2.0).exp() / (2.0 * PI).sqrt();
    Dual {
        value: share,
        slope: z.slope.map(|slope| slope * density),
    }
}

/// Abramowitz and Stegun 7.1.26, to 1.5e-7.
fn erf(x: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.327_591_1 * x.abs());
    let series = [
        1.061_405_429,
        -1.453_152_027,
        1.421_413_741,
        -0.284_496_736,
        0.254_829_592,
    ];
    let sum = series.iter().fold(0.0, |sum, factor| (sum + factor) * t);
    x.signum() * (1.0 - sum * (-x * x).exp())
}
