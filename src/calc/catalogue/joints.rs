//! Universal joints: the angle between two shafts, and how unevenly one joint or a pair turns.
//!
//! Everywhere the joint is the plain cross joint without clearance, and the driving shaft turns
//! evenly.

use std::f64::consts::PI;

use super::argument::{quantity, word_or_first};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, Word, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &JOINT_ANGLE,
    &JOINT_SPEED_RATIO,
    &JOINT_FASTEST,
    &JOINT_SLOWEST,
    &JOINT_FLUCTUATION,
    &JOINT_ANGLE_FOR_FLUCTUATION,
    &JOINT_PAIR_FASTEST,
    &JOINT_PAIR_FLUCTUATION,
    &JOINT_PAIR_ANGLE,
];

const STEEPEST: f64 = PI / 4.0;
const SLOPE: Domain = Domain::Between(-STEEPEST, STEEPEST, "between -45 and 45 deg");

const fn angle(name: &'static str, says: &'static str) -> Argument {
    quantity(name, says, Dimension::ANGLE, "deg", SLOPE)
}

const JOINT: Argument = angle("joint", "the angle between the two shafts");
const JOINT_1: Argument = angle("joint_1", "the angle of the first joint");
const JOINT_2: Argument = angle(
    "joint_2",
    "the angle of the second joint, in the same plane",
);
const FORKS: Argument = word_or_first(
    "forks",
    "how the two forks of the middle shaft stand",
    FORKS_WORDS,
);
const FORKS_WORDS: &[Word] = &[
    Word {
        word: "in_phase",
        says: "both forks of the middle shaft in one plane, as they should be",
    },
    Word {
        word: "turned",
        says: "one fork of the middle shaft turned by 90 deg against the other",
    },
];

const HANDBOOK: &str =
    "kinematics of the cross joint; Mechanical Engineer's Data Handbook (J. Carvill), 2.4.3, p. 72";
const MAKER: Option<&str> = Some(
    "Keep out of the plane of a turning shaft. Fit a guard and a safety loop, and balance the shaft. The maker's greatest angle for the joint comes first. Wear and heat start before you feel roughness.",
);

const JOINT_ANGLE: Formula = Formula {
    name: "joint_angle",
    says: "the angle between two shafts from their slopes in side view and in plan view",
    arguments: &[
        angle("side_1", "slope of the first shaft seen from the side"),
        angle("side_2", "slope of the second shaft seen from the side"),
        angle("plan_1", "slope of the first shaft seen from above"),
        angle("plan_2", "slope of the second shaft seen from above"),
    ],
    dimension: Dimension::ANGLE,
    shown_in: "deg",
    equation: "angle between (1, tan plan_1, tan side_1) and (1, tan plan_2, tan side_2)",
    source: "geometry of the projected angles; for one level shaft it is tan² = tan² side + tan² plan, as in the SAE Universal Joint and Driveshaft Design Manual AE-7 (from memory)",
    caution: None,
    worked: WorkedExample {
        call: "joint_angle(4 deg, 0 deg, 3 deg, 0 deg)",
        comes_to: "4.994169 deg",
    },
    held_against: &["c11"],
    work: joint_angle,
};

fn joint_angle(inputs: &Inputs) -> Result<Outcome, Outside> {
    let (up_1, up_2) = (inputs.number(0).tan(), inputs.number(1).tan());
    let (across_1, across_2) = (inputs.number(2).tan(), inputs.number(3).tan());
    // The arc tangent of cross over dot product keeps its figures at small angles, where the arc
    // cosine loses them.
    let (rise, sweep) = (up_2 - up_1, across_2 - across_1);
    let twist = across_1 * up_2 - up_1 * across_2;
    let square = rise * rise + sweep * sweep + twist * twist;
    let dot = across_1 * across_2 + up_1 * up_2 + 1.0;
    if square.value == 0.0 {
        return Outcome::exact(in_line(rise, sweep));
    }
    Outcome::exact(square.sqrt().atan2(dot))
}

/// Two shafts in line: the angle is 0 and any change opens it, whichever way. The slopes are those
/// of the change taken as if all of it went one way, which is the most it can open.
fn in_line(rise: Dual, sweep: Dual) -> Dual {
    let mut angle = Dual::fixed(0.0);
    for (slot, (a, b)) in angle
        .slope
        .iter_mut()
        .zip(rise.slope.into_iter().zip(sweep.slope))
    {
        *slot = a.hypot(b);
    }
    angle
}

const JOINT_SPEED_RATIO: Formula = Formula {
    name: "joint_speed_ratio",
    says: "turning speed out over turning speed in, at one position of the driving fork",
    arguments: &[
        JOINT,
        quantity(
            "turn",
            "how far the driving fork has turned; 0 where its pins lie in the plane of the two shafts",
            Dimension::ANGLE,
            "deg",
            Domain::Any,
        ),
    ],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "ratio = cos joint / (1 - sin² joint · cos² turn); at turn 0 it is greatest, 1 / cos joint",
    source: "kinematics of the cross joint; Mechanical Engineer's Data Handbook (J. Carvill), 2.4.3, p. 72. Books that take the zero a quarter turn off print sin² turn",
    caution: None,
    worked: WorkedExample {
        call: "joint_speed_ratio(joint: 10 deg, turn: 30 deg)",
        comes_to: "1.0075948",
    },
    held_against: &["c05", "c06"],
    work: |inputs| {
        let (joint, along) = (inputs.number(0), inputs.number(1).cos());
        let sine = joint.sin();
        Outcome::exact(joint.cos() / (Dual::fixed(1.0) - sine * sine * along * along))
    },
};

const JOINT_FASTEST: Formula = Formula {
    name: "joint_fastest",
    says: "the greatest ratio of speed out to speed in over a turn of one joint",
    arguments: &[JOINT],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "1 / cos joint",
    source: HANDBOOK,
    caution: None,
    worked: WorkedExample {
        call: "joint_fastest(10 deg)",
        comes_to: "1.0154266",
    },
    held_against: &["c01", "c02"],
    work: |inputs| Outcome::exact(Dual::fixed(1.0) / inputs.number(0).cos()),
};

const JOINT_SLOWEST: Formula = Formula {
    name: "joint_slowest",
    says: "the least ratio of speed out to speed in over a turn of one joint",
    arguments: &[JOINT],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "cos joint",
    source: HANDBOOK,
    caution: None,
    worked: WorkedExample {
        call: "joint_slowest(10 deg)",
        comes_to: "0.98480775",
    },
    held_against: &["c01", "c02", "c07"],
    work: |inputs| Outcome::exact(inputs.number(0).cos()),
};

const JOINT_FLUCTUATION: Formula = Formula {
    name: "joint_fluctuation",
    says: "how much the speed out swings in a turn, as a share of its mean: greatest less least over mean",
    arguments: &[JOINT],
    dimension: Dimension::NONE,
    shown_in: "%",
    equation: "1 / cos joint - cos joint = sin joint · tan joint; some books quote half of it, as ±",
    source: "kinematics of the cross joint, derived from Mechanical Engineer's Data Handbook (J. Carvill), 2.4.3, p. 72",
    caution: None,
    worked: WorkedExample {
        call: "joint_fluctuation(10 deg)",
        comes_to: "3.0618859 %",
    },
    held_against: &["c04"],
    work: |inputs| Outcome::exact(inputs.number(0).sin() * inputs.number(0).tan()),
};

const JOINT_ANGLE_FOR_FLUCTUATION: Formula = Formula {
    name: "joint_angle_for_fluctuation",
    says: "the joint angle at which the speed out swings by a share of its mean",
    arguments: &[quantity(
        "fluctuation",
        "greatest less least speed over the mean",
        Dimension::NONE,
        "%",
        Domain::Positive,
    )],
    dimension: Dimension::ANGLE,
    shown_in: "deg",
    equation: "1 / cos joint - cos joint = fluctuation, solved for the joint",
    source: "kinematics of the cross joint, as joint_fluctuation",
    caution: MAKER,
    worked: WorkedExample {
        call: "joint_angle_for_fluctuation(12 %)",
        comes_to: "19.6442 deg",
    },
    held_against: &["c08", "c09"],
    work: |inputs| {
        let fluctuation = inputs.number(0);
        // The root of c² + f·c - 1 in the form that keeps its figures for large f; 1 - c² is f·c.
        let cosine = Dual::fixed(2.0) / ((fluctuation * fluctuation + 4.0).sqrt() + fluctuation);
        Outcome::exact((fluctuation * cosine).sqrt().atan2(cosine))
    },
};

/// The greatest ratio over a turn of two joints in one plane.
fn pair_fastest(inputs: &Inputs) -> Dual {
    let (first, second) = (inputs.number(0).cos(), inputs.number(1).cos());
    match inputs.word(2) {
        0 if first.value <= second.value => second / first,
        0 => first / second,
        _ => Dual::fixed(1.0) / (first * second),
    }
}

const JOINT_PAIR_FASTEST: Formula = Formula {
    name: "joint_pair_fastest",
    says: "the greatest ratio of speed out to speed in over a turn of two joints; the least is 1 over it",
    arguments: &[JOINT_1, JOINT_2, FORKS],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "in phase: cos of the lesser angle / cos of the greater; turned: 1 / (cos joint_1 · cos joint_2)",
    source: HANDBOOK,
    caution: None,
    worked: WorkedExample {
        call: "joint_pair_fastest(6 deg, 6 deg, forks: turned)",
        comes_to: "1.0110469",
    },
    held_against: &["c14", "c15", "c16"],
    work: |inputs| Outcome::exact(pair_fastest(inputs)),
};

const JOINT_PAIR_FLUCTUATION: Formula = Formula {
    name: "joint_pair_fluctuation",
    says: "what two joints leave of the swing: greatest less least speed out over the mean",
    arguments: &[JOINT_1, JOINT_2, FORKS],
    dimension: Dimension::NONE,
    shown_in: "%",
    equation: "r - 1 / r with r from joint_pair_fastest",
    source: HANDBOOK,
    caution: None,
    worked: WorkedExample {
        call: "joint_pair_fluctuation(6 deg, 4 deg)",
        comes_to: "0.61084955 %",
    },
    held_against: &["c14", "c15", "c16"],
    work: |inputs| {
        let fastest = pair_fastest(inputs);
        Outcome::exact(fastest - Dual::fixed(1.0) / fastest)
    },
};

const JOINT_PAIR_ANGLE: Formula = Formula {
    name: "joint_pair_angle",
    says: "the angle of the single joint that turns as unevenly as two joints in phase",
    arguments: &[JOINT_1, JOINT_2],
    dimension: Dimension::ANGLE,
    shown_in: "deg",
    equation: "cos angle = cos of the greater angle / cos of the lesser; about sqrt(greater² - lesser²)",
    source: "kinematics; the approximation is the one in the SAE Universal Joint and Driveshaft Design Manual AE-7 (from memory)",
    caution: None,
    worked: WorkedExample {
        call: "joint_pair_angle(6 deg, 4 deg)",
        comes_to: "4.475776 deg",
    },
    held_against: &["c16"],
    work: joint_pair_angle,
};

fn joint_pair_angle(inputs: &Inputs) -> Result<Outcome, Outside> {
    let (first, second) = (inputs.number(0), inputs.number(1));
    // sin(a + b)·sin(a - b) is the difference of the squared sines without loss of figures.
    let product = (first + second).sin() * (first - second).sin();
    if product.value == 0.0 {
        return Err(Outside {
            argument: 1,
            domain: "another than joint_1: equal angles in phase leave nothing over",
        });
    }
    let (square, greater) = if product.value > 0.0 {
        (product, first)
    } else {
        (-product, second)
    };
    Outcome::exact(square.sqrt().atan2(greater.cos()))
}
