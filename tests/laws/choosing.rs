//! What `choose` and `stack` give holds when it is cut and put back.

use proptest::prelude::*;
use shimbook::calc::{ChoiceOutcome, Results, Verdict};

use crate::bench::work;

/// Readings and checks that depend on one size in different ways; some leave a window, some do not.
fn checks(gap: f64, spread: f64, room: f64, tilt: f64) -> String {
    format!(
        "gap measured {gap} ± {spread} mm\nspan measured 300 ± 1 mm\nleft = gap - size\nleft at least 0.2 mm\n\
         turn = atan(size / span) as deg\nturn at least {tilt} deg\nsum = size * size / span + {room} mm\n\
         sum at most {} mm, hold",
        room + 2.0
    )
}

fn all_in_limits(worked: &Results) -> bool {
    worked.checks.iter().all(|check| {
        check
            .latest()
            .is_some_and(|judged| judged.verdict == Verdict::InLimits)
    })
}

/// The choice of `size`: the size taken, and every handy one, in mm.
fn sizes(worked: &Results) -> Vec<f64> {
    let id = worked.names.find("size").expect("it is asked for");
    match worked.choices[&id]
        .found
        .last()
        .map(|choice| &choice.outcome)
    {
        Some(ChoiceOutcome::Found(found)) => {
            let handy = found.handy.iter().map(|handy| handy.size);
            std::iter::once(found.taken)
                .chain(handy)
                .map(|size| size * 1e3)
                .collect()
        }
        _ => Vec::new(),
    }
}

proptest! {
    #![proptest_config(crate::dice(200))]

    #[test]
    fn a_chosen_size_put_back_as_given_puts_every_check_in_limits(
        gap in 2.0..40.0, spread in 0.01..0.5, room in 0.0..9.0, tilt in 0.05..3.0,
    ) {
        let checks = checks(gap, spread, room, tilt);
        let chosen = work(&[&format!("choose size from 0 to 50 mm\n{checks}")]).worked;
        for size in sizes(&chosen) {
            let put_back = work(&[&format!("size = {size} mm\n{checks}")]).worked;
            prop_assert!(all_in_limits(&put_back), "{size} mm does not do for\n{checks}");
        }
    }

    #[test]
    fn where_nothing_is_chosen_no_size_of_a_fine_row_does(
        gap in 2.0..40.0, spread in 0.01..0.5, room in 0.0..9.0, tilt in 0.05..3.0,
    ) {
        let checks = checks(gap, spread, room, tilt);
        let chosen = work(&[&format!("choose size from 0 to 50 mm\n{checks}")]).worked;
        if sizes(&chosen).is_empty() {
            for step in 0..=50 {
                let put_back = work(&[&format!("size = {step} mm\n{checks}")]).worked;
                prop_assert!(!all_in_limits(&put_back), "{step} mm does for\n{checks}");
            }
        }
    }

    #[test]
    fn a_stack_put_back_as_pieces_puts_every_check_in_limits(gap in 2.0..30.0, spread in 0.01..0.2, tolerance in 0.001..0.05) {
        let checks = format!("gap measured {gap} ± {spread} mm\nleft = gap - size\nleft between 0 and 1.5 mm");
        let stock = format!("5 ± {tolerance} mm x4, 2 ± {tolerance} mm x3, 0.7 mm x4");
        let stacked = work(&[&format!("{checks}\nstack size from {stock}")]).worked;
        if !sizes(&stacked).is_empty() {
            prop_assert!(all_in_limits(&stacked));
        }
    }
}
