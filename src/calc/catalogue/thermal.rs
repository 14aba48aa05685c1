//! Growth with heat.

use super::argument::{length, rise, word};
use super::materials::{EXPANSION, EXPANSION_WORDS};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, WorkedExample};
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[&THERMAL_GROWTH, &RISE_FOR_GROWTH];

/// How far the figure of an alloy may lie from that of its kind, as a share.
const ALLOYS: f64 = 0.05;

const OF: Argument = word("of", "material", EXPANSION_WORDS);
const LENGTH: Argument = length("length", "cold", Domain::Positive);
const COEFFICIENTS: &str = "definition; coefficients near room temperature as the material says (handbooks, from memory), ±5 % between alloys";

const THERMAL_GROWTH: Formula = Formula {
    name: "thermal_growth",
    says: "how much longer a length becomes with a rise of temperature",
    arguments: &[
        LENGTH,
        rise(
            "rise",
            "of its temperature",
            Domain::Within(-250.0, 500.0, "from -250 to 500 K"),
        ),
        OF,
    ],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "length · coefficient · rise",
    source: COEFFICIENTS,
    caution: None,
    worked: WorkedExample {
        call: "thermal_growth(1 m, 60 K, of: steel)",
        comes_to: "0.7020 mm",
    },
    held_against: &[],
    work: thermal_growth,
};

fn thermal_growth(inputs: &Inputs) -> Result<Outcome, Outside> {
    Outcome::law(
        inputs.number(0) * inputs.number(1) * EXPANSION[inputs.word(2)],
        ALLOYS,
    )
}

const RISE_FOR_GROWTH: Formula = Formula {
    name: "rise_for_growth",
    says: "rise of temperature that makes a length or a bore grow by so much",
    arguments: &[LENGTH, length("growth", "how much longer", Domain::Any), OF],
    dimension: Dimension::TEMPERATURE,
    shown_in: "K",
    equation: "growth / (length · coefficient)",
    source: COEFFICIENTS,
    caution: Some(
        "Never heat a closed or oiled part. Wear gloves, and keep anything that burns away. Heat softens alloys, bearings and hardened parts, so the maker's limit comes first.",
    ),
    worked: WorkedExample {
        call: "rise_for_growth(80 mm, 0.08 mm, of: aluminium)",
        comes_to: "43.290043 K",
    },
    held_against: &[],
    work: |inputs| {
        let each = inputs.number(0) * EXPANSION[inputs.word(2)];
        Outcome::law(inputs.number(1) / each, ALLOYS)
    },
};
