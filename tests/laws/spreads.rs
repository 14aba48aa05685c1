//! How spreads behave, whatever the sum.

use proptest::prelude::*;
use shimbook::quantity::{Sides, Value};

use crate::bench::work;
use crate::dice;
use crate::sums::{NAMES, Parts, block, length, readings};

const SMOOTH: Parts = Parts {
    differences: true,
    bends: false,
};
const ANY: Parts = Parts {
    differences: true,
    bends: true,
};

/// No narrower, but for rounding.
fn covers(wide: f64, narrow: f64, size: f64) -> bool {
    wide >= narrow - 1e-12 * narrow.abs() - 1e-15 * size
}

fn covers_both(wide: Sides, narrow: Sides, size: f64) -> bool {
    covers(wide.up, narrow.up, size) && covers(wide.down, narrow.down, size)
}

/// A value that has no spread at all.
fn is_bare(value: &Value) -> bool {
    value.terms().is_empty()
        && value.worst_case() == Sides::default()
        && value.rss() == Sides::default()
}

proptest! {
    #![proptest_config(dice(300))]

    #[test]
    fn a_value_less_itself_is_exactly_zero_and_over_itself_exactly_one(sum in length(SMOOTH), readings in readings()) {
        let bench = work(&[&block(&readings, &format!("r = {sum}\nzero = r - r\nagain = {sum} - ({sum})\none = r / r"))]);
        prop_assume!(bench.has_value("one"));
        for (name, nominal) in [("zero", 0.0), ("again", 0.0), ("one", 1.0)] {
            prop_assert_eq!(bench.value(name).nominal, nominal);
            prop_assert!(is_bare(bench.value(name)), "{} keeps {:?}", name, bench.value(name));
        }
    }

    #[test]
    fn a_difference_is_zero_even_of_what_has_bends(sum in length(ANY), readings in readings()) {
        let bench = work(&[&block(&readings, &format!("r = {sum}\nzero = r - r"))]);
        prop_assume!(bench.has_value("zero"));
        prop_assert!(bench.value("zero").nominal == 0.0 && is_bare(bench.value("zero")));
    }

    #[test]
    fn the_worst_case_is_never_below_the_root_sum_square(sum in length(ANY), readings in readings()) {
        let bench = work(&[&block(&readings, &format!("r = {sum}"))]);
        prop_assume!(bench.has_value("r"));
        let r = bench.value("r");
        prop_assert!(covers_both(r.worst_case(), r.rss(), 0.0), "{:?} and {:?}", r.worst_case(), r.rss());
    }

    #[test]
    fn widening_a_reading_never_narrows_either_spread(
        sum in length(SMOOTH), readings in readings(), which in 0_usize..4, wider in 1.0..20.0,
    ) {
        let mut widened = readings;
        widened[which].1 *= wider;
        let [narrow, wide] = [readings, widened].map(|readings| work(&[&block(&readings, &format!("r = {sum}"))]));
        prop_assume!(narrow.has_value("r"));
        let (narrow, wide) = (narrow.value("r"), wide.value("r"));
        prop_assert!(covers_both(wide.worst_case(), narrow.worst_case(), 0.0));
        prop_assert!(covers_both(wide.rss(), narrow.rss(), 0.0));
    }

    /// Of the worst case only: a root-sum-square spread over a bend is an estimate.
    #[test]
    fn widening_a_reading_of_a_smallest_or_largest_never_narrows_the_worst_case(
        readings in readings(), which in 0_usize..4, wider in 1.0..900.0,
    ) {
        let mut widened = readings;
        widened[which].1 *= wider;
        let more = "low = min(a, b, c + d)\nhigh = max(a, b, c, d / 2)";
        let [narrow, wide] = [readings, widened].map(|readings| work(&[&block(&readings, more)]));
        for name in ["low", "high"] {
            let (narrow, wide) = (narrow.value(name), wide.value(name));
            prop_assert!(covers_both(wide.worst_case(), narrow.worst_case(), narrow.nominal), "{name}");
        }
    }

    #[test]
    fn a_smallest_or_largest_reaches_as_far_as_any_of_its_parts_can_take_it(readings in readings()) {
        let bench = work(&[&block(&readings, "low = min(a, b, c, d)\nhigh = max(a, b, c, d)")]);
        let reach = |name: &str, sign: f64| {
            let value = bench.value(name);
            let sides = value.worst_case();
            value.nominal + if sign > 0.0 { sides.up } else { -sides.down }
        };
        let furthest = NAMES.iter().map(|name| reach(name, 1.0)).fold(f64::MIN, f64::max);
        let nearest = NAMES.iter().map(|name| reach(name, -1.0)).fold(f64::MAX, f64::min);
        prop_assert!(reach("high", 1.0) >= furthest - 1e-12);
        prop_assert!(reach("low", -1.0) <= nearest + 1e-12);
    }

    #[test]
    fn sides_change_places_when_a_value_is_turned_round(sum in length(SMOOTH), readings in readings(), low in 0.001..3.0) {
        let first = format!("a measured {} +{}/-{low} mm\n", readings[0].0, readings[0].1);
        let rest = block(&readings, &format!("r = {sum}\nturned = -({sum})"));
        let rest = rest.split_once('\n').map_or("", |(_, rest)| rest);
        let bench = work(&[&(first + rest)]);
        prop_assume!(bench.has_value("r"));
        let (r, turned) = (bench.value("r").worst_case(), bench.value("turned").worst_case());
        prop_assert_eq!((r.up, r.down), (turned.down, turned.up));
    }
}
