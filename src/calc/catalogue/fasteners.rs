//! Fasteners: stress area, torque against preload, proof load.

use std::f64::consts::PI;

use super::argument::{length, number, quantity, word, word_or_first};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, Word, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[
    &STRESS_AREA,
    &NUT_FACTOR,
    &TORQUE_FOR_PRELOAD,
    &PRELOAD_FROM_TORQUE,
    &TORQUE_FROM_FRICTION,
    &BOLT_STRESS,
    &PROOF_LOAD,
    &SHARE_OF_PROOF,
];

const SIZE: Argument = length("size", "nominal diameter of the thread", Domain::Positive);
const METRIC_SIZE: Argument = length(
    "size",
    "nominal diameter of the metric thread",
    Domain::Within(1.6e-3, 39e-3, "from 1.6 to 39 mm"),
);
const PITCH: Argument = length(
    "pitch",
    "of the thread; for 20 to the inch 1/20 in",
    Domain::Positive,
);
const PRELOAD: Argument = quantity(
    "preload",
    "tension in the fastener",
    Dimension::FORCE,
    "kN",
    Domain::NotNegative,
);
const FACTOR: Argument = number(
    "nut_factor",
    "by experience or from nut_factor; carry it with ±25 to 30 %",
    Domain::Within(0.05, 0.5, "from 0.05 to 0.5"),
);
const FRICTION: Domain = Domain::Within(0.0, 0.5, "from 0 to 0.5");

const TIGHTENING: Option<&str> = Some(
    "The maker's torque comes first. Use no other for steering, brakes, restraints and wheels. Torque gives preload only to within 25 % or worse. Use new locking fasteners each time, prepare threads as the figure assumes, and mark each fastener when done.",
);
const SCREWS: &str = "Shigley's Mechanical Engineering Design, 9th ed.";

const STRESS_AREA: Formula = Formula {
    name: "stress_area",
    says: "tensile stress area of a thread",
    arguments: &[
        SIZE,
        PITCH,
        word_or_first("form", "form of the thread", FORMS),
    ],
    dimension: Dimension::AREA,
    shown_in: "mm2",
    equation: "(pi/4) · (size - 0.938194 · pitch)²; for unified threads 0.9743 · pitch",
    source: "ISO 898-1:2013 (metric); Shigley's Mechanical Engineering Design, 9th ed., Table 8-2, after ANSI B1.1 / ASME B1.1 (unified)",
    caution: None,
    worked: WorkedExample {
        call: "stress_area(8 mm, 1.25 mm)",
        comes_to: "36.608543 mm2",
    },
    held_against: &["e01", "e02", "e03", "e05", "e06", "e07"],
    work: |inputs| {
        let depth = [0.938_194, 0.974_3][inputs.word(2)];
        Outcome::exact(stress_area(inputs, 0, depth)?)
    },
};

const FORMS: &[Word] = &[
    Word {
        word: "metric",
        says: "ISO metric: size less 0.938194 of the pitch",
    },
    Word {
        word: "unified",
        says: "unified inch: size less 0.9743 of the pitch",
    },
];

/// Stress area from the size at a place and the pitch after it.
fn stress_area(inputs: &Inputs, size: usize, depth: f64) -> Result<Dual, Outside> {
    let core = core(inputs, size, depth)?;
    Ok(core * core * (PI / 4.0))
}

/// The size at a place less so many of the pitch after it.
fn core(inputs: &Inputs, size: usize, pitches: f64) -> Result<Dual, Outside> {
    let (diameter, pitch) = (inputs.number(size), inputs.number(size + 1));
    if pitch.value >= diameter.value {
        return Err(Outside {
            argument: size + 1,
            domain: "less than the size",
        });
    }
    Ok(diameter - pitch * pitches)
}

const CONDITIONS: &[Word] = &[
    Word {
        word: "dry",
        says: "0.30: not plated, black finish",
    },
    Word {
        word: "plated",
        says: "0.20: zinc plated; also where nothing is known",
    },
    Word {
        word: "lubricated",
        says: "0.18",
    },
    Word {
        word: "cadmium",
        says: "0.16: cadmium plated",
    },
    Word {
        word: "anti_seize",
        says: "0.12: with an anti-seize paste",
    },
];

const NUT_FACTOR: Formula = Formula {
    name: "nut_factor",
    says: "nut factor of a fastener by its condition, with the ±30 % that it scatters",
    arguments: &[word("condition", "of threads and face", CONDITIONS)],
    dimension: Dimension::NONE,
    shown_in: "",
    equation: "table",
    source: "Shigley's Mechanical Engineering Design, 9th ed., Table 8-15; scatter ±25 to 30 %, of which the larger is carried",
    caution: TIGHTENING,
    worked: WorkedExample {
        call: "nut_factor(lubricated)",
        comes_to: "0.1800",
    },
    held_against: &["e11"],
    work: |inputs| {
        Outcome::law(
            Dual::fixed([0.30, 0.20, 0.18, 0.16, 0.12][inputs.word(0)]),
            0.30,
        )
    },
};

const TORQUE_FOR_PRELOAD: Formula = Formula {
    name: "torque_for_preload",
    says: "tightening torque for a preload",
    arguments: &[PRELOAD, SIZE, FACTOR],
    dimension: Dimension::TORQUE,
    shown_in: "N-m",
    equation: "torque = nut_factor · preload · size",
    source: "Shigley's Mechanical Engineering Design, 9th ed., Eq. 8-27 and Example 8-3(b)",
    caution: TIGHTENING,
    worked: WorkedExample {
        call: "torque_for_preload(20 kN, 8 mm, 0.2)",
        comes_to: "32.000 N-m",
    },
    held_against: &["e11"],
    work: |inputs| Outcome::exact(inputs.number(0) * inputs.number(1) * inputs.number(2)),
};

const PRELOAD_FROM_TORQUE: Formula = Formula {
    name: "preload_from_torque",
    says: "preload that a tightening torque gives",
    arguments: &[
        quantity(
            "torque",
            "at the wrench",
            Dimension::TORQUE,
            "N-m",
            Domain::NotNegative,
        ),
        SIZE,
        FACTOR,
    ],
    dimension: Dimension::FORCE,
    shown_in: "N",
    equation: "preload = torque / (nut_factor · size)",
    source: "Shigley's Mechanical Engineering Design, 9th ed., Eq. 8-27",
    caution: TIGHTENING,
    worked: WorkedExample {
        call: "preload_from_torque(25 N-m, 8 mm, 0.2)",
        comes_to: "15625 N",
    },
    held_against: &["e11"],
    work: |inputs| Outcome::exact(inputs.number(0) / (inputs.number(1) * inputs.number(2))),
};

const TORQUE_FROM_FRICTION: Formula = Formula {
    name: "torque_from_friction",
    says: "tightening torque for a preload, from the friction in the thread and under the head",
    arguments: &[
        PRELOAD,
        SIZE,
        PITCH,
        number("thread", "friction in the thread", FRICTION),
        number("collar", "friction under the head or nut", FRICTION),
    ],
    dimension: Dimension::TORQUE,
    shown_in: "N-m",
    equation: "torque = preload · (dm/2 · (tan l + f·sec 30) / (1 - f·tan l·sec 30) + 0.625 · size · fc), tan l = pitch / (pi·dm), dm = size - 0.649519 · pitch",
    source: "Shigley's Mechanical Engineering Design, 9th ed., Eq. 8-26",
    caution: TIGHTENING,
    worked: WorkedExample {
        call: "torque_from_friction(30 kN, 10 mm, 1.5 mm, thread: 0.15, collar: 0.12)",
        comes_to: "53.39456 N-m",
    },
    held_against: &["e12"],
    work: torque_from_friction,
};

fn torque_from_friction(inputs: &Inputs) -> Result<Outcome, Outside> {
    let mean = core(inputs, 1, 0.649_519)?;
    let lead = inputs.number(2) / (mean * PI);
    // The flanks of the thread stand at 30 degrees.
    let flank = inputs.number(3) / (PI / 6.0).cos();
    let thread = mean * 0.5 * (lead + flank) / (Dual::fixed(1.0) - flank * lead);
    let collar = inputs.number(1) * inputs.number(4) * 0.625;
    Outcome::exact(inputs.number(0) * (thread + collar))
}

const BOLT_STRESS: Formula = Formula {
    name: "bolt_stress",
    says: "tensile stress of a fastener under a force",
    arguments: &[
        quantity(
            "force",
            "tension in the fastener",
            Dimension::FORCE,
            "kN",
            Domain::NotNegative,
        ),
        quantity(
            "area",
            "its stress area",
            Dimension::AREA,
            "mm2",
            Domain::Positive,
        ),
    ],
    dimension: Dimension::PRESSURE,
    shown_in: "MPa",
    equation: "force / area",
    source: SCREWS,
    caution: Some(
        "This covers plain tension only, without bending, fatigue or shear. The makers' figures and licensed practice come first.",
    ),
    worked: WorkedExample {
        call: "bolt_stress(25000 lbf, 0.373 in2)",
        comes_to: "462.1151 MPa",
    },
    held_against: &["e13"],
    work: |inputs| Outcome::exact(inputs.number(0) / inputs.number(1)),
};

const CLASSES: &[Word] = &[
    Word {
        word: "8.8",
        says: "proof stress 580 MPa up to 16 mm, 600 MPa above (the latter from memory)",
    },
    Word {
        word: "10.9",
        says: "proof stress 830 MPa",
    },
    Word {
        word: "12.9",
        says: "proof stress 970 MPa",
    },
];
const CLASS: Argument = word("class", "property class as marked on the head", CLASSES);

/// Proof load from the size at a place, the pitch and the class after it.
fn proof_load(inputs: &Inputs, size: usize) -> Result<Dual, Outside> {
    let nanometres = (inputs.number(size).value * 1e9).round();
    let stress = match inputs.word(size + 2) {
        0 if nanometres <= 16e6 => 580e6,
        0 => 600e6,
        1 => 830e6,
        _ => 970e6,
    };
    Ok(stress_area(inputs, size, 0.938_194)? * stress)
}

const PROOF: &str = "ISO 898-1:2013 Tables 4 and 5 (read in a secondary copy), whose printed loads, from rounded areas, stray up to 0.6 %";
const MARKED: Option<&str> = Some(
    "The maker's torque comes first, and use no other for steering, brakes and restraints. Use this only for new, undamaged fasteners with trusted markings, at room temperature. Use new locking fasteners each time.",
);

const PROOF_LOAD: Formula = Formula {
    name: "proof_load",
    says: "proof load of a metric fastener",
    arguments: &[METRIC_SIZE, PITCH, CLASS],
    dimension: Dimension::FORCE,
    shown_in: "kN",
    equation: "stress area · proof stress of the class",
    source: PROOF,
    caution: MARKED,
    worked: WorkedExample {
        call: "proof_load(8 mm, 1.25 mm, class: 10.9)",
        comes_to: "30.385091 kN",
    },
    held_against: &["e01", "e02", "e03"],
    work: |inputs| Outcome::exact(proof_load(inputs, 0)?),
};

const SHARE_OF_PROOF: Formula = Formula {
    name: "share_of_proof",
    says: "preload as a share of the proof load of a metric fastener",
    arguments: &[PRELOAD, METRIC_SIZE, PITCH, CLASS],
    dimension: Dimension::NONE,
    shown_in: "%",
    equation: "preload / proof load",
    source: PROOF,
    caution: MARKED,
    worked: WorkedExample {
        call: "share_of_proof(20 kN, 8 mm, 1.25 mm, class: 10.9)",
        comes_to: "65.821755 %",
    },
    held_against: &["e01", "e02", "e03"],
    work: |inputs| Outcome::exact(inputs.number(0) / proof_load(inputs, 1)?),
};
