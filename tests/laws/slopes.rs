//! Spreads follow the slope: against differences taken over a small step, through the same sums.

use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use shimbook::calc::catalogue::all;

use crate::bench::work;
use crate::dice;
use crate::sums::{Call, call_of};

/// Sums of one reading `x`, its range, its unit.
const SUMS: [(&str, f64, f64, &str); 26] = [
    ("sin(x)", -3.0, 3.0, "rad"),
    ("cos(x)", -3.0, 3.0, "rad"),
    ("tan(x)", -80.0, 80.0, "deg"),
    ("asin(x)", -0.95, 0.95, ""),
    ("acos(x)", -0.95, 0.95, ""),
    ("atan(x)", -20.0, 20.0, ""),
    ("atan2(x, 3 mm)", -20.0, 20.0, "mm"),
    ("atan2(3 mm, x)", -20.0, 20.0, "mm"),
    ("atan2(x, -x - 1 in)", 5.0, 20.0, "mm"),
    ("sqrt(x)", 0.1, 50.0, "kg"),
    ("abs(x)", 0.1, 50.0, "N"),
    ("abs(-x)", 0.1, 50.0, "N"),
    ("min(x, 9 m)", 0.1, 900.0, "mm"),
    ("max(x, -9 m)", 0.1, 900.0, "mm"),
    ("x + 3 mm", -9.0, 9.0, "mm"),
    ("3 mm - x", -9.0, 9.0, "mm"),
    ("-x * (2 mm + x)", 1.0, 9.0, "mm"),
    ("(x - 1 m) / (x + 1 mm)", 1.0, 900.0, "mm"),
    ("x^3", 0.5, 9.0, "mm"),
    ("x^3", -9.0, -0.5, ""),
    ("x^(-1.5)", 0.5, 9.0, ""),
    ("x^0", 0.5, 9.0, ""),
    ("2.5^x", -3.0, 3.0, ""),
    ("x^x", 0.5, 3.0, ""),
    ("1 / x", 0.5, 9.0, "h"),
    ("if(x > 0 mm, x^2, 3 mm * x)", 1.0, 9.0, "mm"),
];

/// Worked out at a reading and a small step to either side of it: the spread from the slope at the
/// reading, and the spread the difference asks for.
fn spreads(sum: impl Fn(&str) -> String, x: f64, unit: &str) -> Option<(f64, f64, f64)> {
    let (step, spread) = (1e-4 * x.abs().max(1e-3), 0.01 * x.abs().max(1e-3));
    let at = |x: f64| sum(format!("{x} {unit}").trim());
    let block = format!(
        "x measured {x} ± {spread} {unit}\nr = {}\nbare = {}\nabove = {}\nbelow = {}",
        sum("x"),
        at(x),
        at(x + step),
        at(x - step)
    );
    let bench = work(&[&block]);
    if !["r", "bare", "above", "below"]
        .iter()
        .all(|name| bench.has_value(name))
    {
        return None;
    }
    // What the law itself may be off stands in `bare` too.
    let carried = bench.value("r").worst_case().up - bench.value("bare").worst_case().up;
    let asked =
        (bench.value("above").nominal - bench.value("below").nominal).abs() / (2.0 * step) * spread;
    Some((carried, asked, bench.value("r").nominal.abs()))
}

fn agree((carried, asked, size): (f64, f64, f64)) -> bool {
    (carried - asked).abs() <= 1e-5 * asked + 1e-11 * size
}

proptest! {
    #![proptest_config(dice(600))]

    #[test]
    fn the_spread_of_a_function_follows_its_slope(which in 0..SUMS.len(), part in 0.0..1.0) {
        let (sum, low, high, unit) = SUMS[which];
        let x: f64 = low + part * (high - low);
        // Near the middle of an even function the difference has no figures left.
        prop_assume!(x.abs() > 0.01);
        let written = |text: &str| sum.replace("max", "m@").replace('x', &format!("({text})")).replace("m@", "max");
        let found = spreads(written, x, unit);
        prop_assert!(found.is_some(), "{sum} at {x} {unit} has no value");
        prop_assert!(found.is_some_and(agree), "{} at {} {}: {:?}", sum, x, unit, found);
    }
}

#[test]
fn the_spread_of_every_formula_follows_its_slope_along_each_argument() {
    for formula in all() {
        let along_each = |call: Call| {
            prop_assert!(
                work(&[&format!("r = {}", call.with(usize::MAX, ""))]).has_value("r"),
                "{call:?} has no value"
            );
            for (place, number, unit) in call.numbers().filter(|(_, number, _)| number.abs() > 0.01)
            {
                let found = spreads(|text| call.with(place, text), number, &unit.name);
                prop_assert!(
                    found.is_some_and(agree),
                    "{} along {number}: {found:?}",
                    call.with(place, "x")
                );
            }
            Ok(())
        };
        TestRunner::new(dice(16))
            .run(&call_of(formula), along_each)
            .unwrap_or_else(|fault| panic!("{fault}"));
    }
}
