//! Cables.

use super::materials::{CONDUCTOR_WORDS, RESISTIVITY};
use super::{Argument, Domain, Formula, Kind, Outcome, Worked, quantity};
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[&WIRE_DROP];

const WIRE_DROP: Formula = Formula {
    name: "wire_drop",
    says: "voltage lost in a cable, there and back, at 20 degC",
    arguments: &[
        quantity("current", "steady current", Dimension::CURRENT, "A", Domain::NotNegative),
        quantity("length", "one way", Dimension::LENGTH, "m", Domain::NotNegative),
        quantity("area", "of the conductor", Dimension::AREA, "mm2", Domain::Positive),
        Argument { name: "of", says: "conductor", kind: Kind::Word { words: CONDUCTOR_WORDS, optional: true } },
    ],
    dimension: Dimension::VOLTAGE,
    shown_in: "V",
    equation: "drop = current · 2 · length · rho / area",
    source: "Ohm's law; resistivity of annealed copper from NBS Handbook 100. Stranded cable is a few percent higher, hot cable 0.39 % for each K",
    caution: Some(
        "Voltage drop is not ampacity: what a cable may carry comes from its maker and the rule book, and a fuse protects the cable. \
         High voltage: isolate, lock off, prove dead, a trained person.",
    ),
    worked: Worked { call: "wire_drop(20 A, 15 ft, 5.2612 mm2)", comes_to: "0.59930 V" },
    held_against: &["h13"],
    work: |inputs| {
        let loops = inputs.number(0) * inputs.number(1) * (2.0 * RESISTIVITY[inputs.word(3)]);
        Outcome::exact(loops / inputs.number(2))
    },
};
