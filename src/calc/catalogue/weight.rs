//! Weight: where the centre of gravity lies, what each axle and diagonal carries.

use super::argument::{length, quantity};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, WorkedExample};
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] =
    &[&CG_BEHIND_FRONT, &FRONT_SHARE, &CROSS_SHARE, &CG_HEIGHT];

const fn scale(name: &'static str, says: &'static str) -> Argument {
    quantity(name, says, Dimension::MASS, "kg", Domain::Positive)
}

const FRONT: Argument = scale(
    "front",
    "what the front axle weighs on the scales, both wheels, level",
);
const REAR: Argument = scale(
    "rear",
    "what the rear axle weighs on the scales, both wheels, level",
);
const WHEELBASE: Argument = length("wheelbase", "between the axles", Domain::Positive);
const STATICS: &str = "balance of moments; Jazar, Vehicle Dynamics, Eqs 2.15 to 2.20";

const CG_BEHIND_FRONT: Formula = Formula {
    name: "cg_behind_front",
    says: "how far the centre of gravity lies behind the front axle",
    arguments: &[FRONT, REAR, WHEELBASE],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "wheelbase · rear / (front + rear)",
    source: STATICS,
    caution: None,
    worked: WorkedExample {
        call: "cg_behind_front(620 kg, 680 kg, 2600 mm)",
        comes_to: "1360.00 mm",
    },
    held_against: &["f17"],
    work: |inputs| {
        let (front, rear) = (inputs.number(0), inputs.number(1));
        Outcome::exact(inputs.number(2) * rear / (front + rear))
    },
};

const FRONT_SHARE: Formula = Formula {
    name: "front_share",
    says: "share of the weight on the front axle",
    arguments: &[FRONT, REAR],
    dimension: Dimension::NONE,
    shown_in: "%",
    equation: "front / (front + rear)",
    source: "definition",
    caution: None,
    worked: WorkedExample {
        call: "front_share(620 kg, 680 kg)",
        comes_to: "47.692308 %",
    },
    held_against: &[],
    work: |inputs| Outcome::exact(inputs.number(0) / (inputs.number(0) + inputs.number(1))),
};

const CROSS_SHARE: Formula = Formula {
    name: "cross_share",
    says: "share of the weight on the right front and left rear wheels, the cross weight",
    arguments: &[
        scale("left_front", "the left front wheel"),
        scale("right_front", "the right front wheel"),
        scale("left_rear", "the left rear wheel"),
        scale("right_rear", "the right rear wheel"),
    ],
    dimension: Dimension::NONE,
    shown_in: "%",
    equation: "(right_front + left_rear) / sum of the four",
    source: "common practice",
    caution: None,
    worked: WorkedExample {
        call: "cross_share(330 kg, 290 kg, 350 kg, 330 kg)",
        comes_to: "49.230769 %",
    },
    held_against: &[],
    work: |inputs| {
        let cross = inputs.number(1) + inputs.number(2);
        Outcome::exact(cross / (cross + inputs.number(0) + inputs.number(3)))
    },
};

const CG_HEIGHT: Formula = Formula {
    name: "cg_height",
    says: "height of the centre of gravity above the ground, from what the front axle weighs level and with the rear lifted",
    arguments: &[
        scale("mass", "the whole vehicle"),
        scale("front_level", "what the front axle weighs, level"),
        scale(
            "front_lifted",
            "what the front axle weighs with the rear axle lifted",
        ),
        WHEELBASE,
        length("lift", "how far the rear axle is lifted", Domain::Positive),
        length(
            "axle_height",
            "height of both axles above the ground, level and loaded",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "axle_height + wheelbase · (front_lifted - front_level) / (mass · tan a), sin a = lift / wheelbase",
    source: "balance of moments; Jazar, Vehicle Dynamics, Eq. 2.32; Milliken & Milliken, Race Car Vehicle Dynamics (from memory). Springs blocked, wheels free to roll",
    caution: Some(
        "Never rely on a jack alone. Set the rear axle on rated stands, at the maker's lifting points. Chock the front wheels both ways. Keep everyone out from under it and out of it: a lifted vehicle can roll or fall.",
    ),
    worked: WorkedExample {
        call: "cg_height(3200 lb, front_level: 1760 lb, front_lifted: 1814.7317 lb, wheelbase: 104 in, lift: 24 in, axle_height: 12.5 in)",
        comes_to: "508.000 mm",
    },
    held_against: &["f18"],
    work: cg_height,
};

fn cg_height(inputs: &Inputs) -> Result<Outcome, Outside> {
    let (wheelbase, lift) = (inputs.number(3), inputs.number(4));
    if lift.value >= wheelbase.value {
        return Err(Outside {
            argument: 4,
            domain: "less than the wheelbase",
        });
    }
    let level = ((wheelbase - lift) * (wheelbase + lift)).sqrt();
    let moved = inputs.number(2) - inputs.number(1);
    Outcome::exact(inputs.number(5) + wheelbase * moved * level / (inputs.number(0) * lift))
}
