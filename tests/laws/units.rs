//! Units never change a result.

use proptest::prelude::*;
use shimbook::quantity::{Dimension, Unit, Units};

use crate::bench::work;
use crate::sums::{Call, NAMES, Parts, call, length, readings};
use crate::{dice, same};

/// Units a crew may choose between, by what they measure.
const CHOICES: [&[&str]; 13] = [
    &["mm", "cm", "m", "km", "in", "ft", "thou", "yd", "mi"],
    &["deg", "rad"],
    &["g", "kg", "t", "oz", "lb"],
    &["N", "kN", "lbf"],
    &["N-m", "lb-ft", "lb-in", "N·m"],
    &["W", "kW", "hp", "PS"],
    &["Pa", "kPa", "MPa", "GPa", "bar", "psi", "inHg"],
    &["m/s", "km/h", "mph", "ft/s"],
    &["rpm", "rad/s", "deg/s"],
    &["s", "min", "h", "day", "ms"],
    &["mm2", "cm2", "in2", "m2", "ft^2"],
    &["A", "mA"],
    &["%", ""],
];

/// The other units of a dimension.
fn others(dimension: Dimension) -> Vec<Unit> {
    let named = |name: &&str| {
        Units::new("EUR")
            .named(name)
            .unwrap_or_else(|_| Unit::none())
    };
    let groups = CHOICES
        .iter()
        .map(|names| names.iter().map(named).collect::<Vec<_>>());
    groups
        .into_iter()
        .find(|units| units[0].dimension == dimension)
        .unwrap_or_else(|| vec![Unit::si(dimension)])
}

/// The same quantity written in a unit of the dimension, chosen by `pick`.
fn rewritten(number: f64, unit: &Unit, pick: usize) -> String {
    let choices = others(unit.dimension);
    let other = &choices[pick % choices.len()];
    format!("{} {}", other.reading(unit.to_si(number)), other.name)
        .trim()
        .to_owned()
}

fn in_other_units(call: &Call, picks: &[usize]) -> String {
    let mut text = call.clone();
    let swapped = call
        .numbers()
        .map(|(place, number, unit)| (place, rewritten(number, unit, picks[place])));
    let swapped: Vec<(usize, String)> = swapped.collect();
    for (place, written) in swapped {
        let value = shimbook::quantity::Literal::read(&written, &Units::new("EUR")).unwrap();
        text.arguments[place] =
            crate::sums::Given::Number(value.unit.reading(value.nominal), value.unit);
    }
    text.with(usize::MAX, "")
}

proptest! {
    #![proptest_config(dice(300))]

    #[test]
    fn a_sum_comes_to_the_same_in_whatever_units_its_readings_are_written(
        sum in length(Parts { differences: false, bends: true }),
        readings in readings(),
        picks in proptest::array::uniform4(0_usize..9),
    ) {
        let mm = Units::new("EUR").named("mm").unwrap();
        let mut blocks = [Vec::new(), Vec::new()];
        for ((name, (nominal, spread)), pick) in NAMES.iter().zip(readings).zip(picks) {
            blocks[0].push(format!("{name} measured {nominal} mm ± {spread} mm"));
            let [nominal, spread] = [(nominal, pick), (spread, pick + 1)].map(|(n, pick)| rewritten(n, &mm, pick));
            blocks[1].push(format!("{name} measured {nominal} ± {spread}"));
        }
        let [one, other] = blocks.map(|block| work(&[&format!("{}\nr = {sum}", block.join("\n"))]));
        let (one, other) = (one.value("r"), other.value("r"));
        prop_assert!(same(one.nominal, other.nominal, 1e-12), "{} and {}", one.nominal, other.nominal);
        for (a, b) in [(one.worst_case(), other.worst_case()), (one.rss(), other.rss())] {
            prop_assert!(same(a.up, b.up, 1e-9) && same(a.down, b.down, 1e-9), "{a:?} and {b:?}");
        }
    }

    #[test]
    fn a_formula_comes_to_the_same_in_whatever_units_it_is_called(
        call in call(),
        picks in proptest::collection::vec(0_usize..9, 8),
    ) {
        let written = format!("one = {}\nother = {}", call.with(usize::MAX, ""), in_other_units(&call, &picks));
        let bench = work(&[&written]);
        let (one, other) = (bench.value("one"), bench.value("other"));
        prop_assert!(same(one.nominal, other.nominal, 1e-11), "{written}: {} and {}", one.nominal, other.nominal);
        prop_assert_eq!(one.dimension, other.dimension);
    }

    #[test]
    fn a_value_shown_in_another_unit_is_the_same_value(number in -1e6..1e6, group in 0..CHOICES.len(), picks in (0_usize..9, 0_usize..9)) {
        let units = CHOICES[group];
        let (from, to) = (units[picks.0 % units.len()], units[picks.1 % units.len()]);
        prop_assume!(!to.is_empty());
        let bench = work(&[&format!("x = {number} {from}\ny = x as {to}\nz = y as {}", if from.is_empty() { "%" } else { from })]);
        prop_assert_eq!(bench.value("x").nominal, bench.value("z").nominal);
        let back = Units::new("EUR").named(to).unwrap().to_si(bench.shown("y"));
        prop_assert!(same(back, bench.value("x").nominal, 1e-15));
    }
}
