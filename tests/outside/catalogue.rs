//! What the catalogue says of itself.

use shimbook::calc::catalogue::{all, find};
use shimbook::quantity::{Literal, Unit, Units};

use crate::bench::work;

#[test]
fn every_worked_example_comes_to_what_it_says_to_the_digits_printed() {
    for formula in all() {
        let (call, says) = (formula.worked.call, formula.worked.comes_to);
        let printed = Literal::read(says, &Units::new("EUR")).unwrap();
        let shown = if printed.unit.name.is_empty() {
            String::new()
        } else {
            format!(" as {}", printed.unit.name)
        };
        let bench = work(&[&format!("x = {call}{shown}")]);
        assert!(bench.diagnostics.is_empty(), "{call}: {:?}", bench.said());
        let figure = says.split(' ').next().unwrap_or_default();
        let places = figure
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        assert_eq!(
            format!("{:.places$}", bench.shown("x")),
            figure,
            "{call} comes to {}",
            bench.shown("x")
        );
    }
}

#[test]
fn every_row_a_formula_says_it_is_held_against_is_run() {
    let run = crate::rows_run();
    for formula in all() {
        for id in formula.held_against {
            assert!(
                run.contains(id),
                "{} is said to be held against {id}",
                formula.name
            );
        }
    }
}

#[test]
fn every_formula_is_shown_in_a_unit_of_what_it_gives() {
    for formula in all() {
        let unit = match formula.shown_in {
            "" => Ok(Unit::none()),
            name => Units::new("EUR").named(name),
        };
        assert!(
            unit.is_ok_and(|unit| unit.dimension == formula.dimension),
            "{}",
            formula.name
        );
    }
}

#[test]
fn formulas_are_listed_by_name_each_once_and_each_says_where_it_comes_from() {
    let names: Vec<&str> = all().map(|formula| formula.name).collect();
    assert!(names.windows(2).all(|pair| pair[0] < pair[1]), "{names:?}");
    assert!(names.len() >= 45);
    for formula in all() {
        assert!(
            formula.source.len() > 3 && formula.equation.len() > 2 && !formula.says.ends_with('.'),
            "{}",
            formula.name
        );
        assert!(
            find(formula.name).is_some_and(|found| std::ptr::eq(found, formula)),
            "{}",
            formula.name
        );
    }
}

#[test]
fn a_formula_that_can_hurt_somebody_says_what_to_mind() {
    for (word, names) in [
        (
            "closed course",
            &[
                "quarter_mile_time",
                "mass_for_time",
                "constant_power_speed",
                "stopping_distance",
            ][..],
        ),
        (
            "Keep out of the plane of a turning shaft",
            &[
                "shaft_critical_speed",
                "tube_torque",
                "joint_angle_for_fluctuation",
            ],
        ),
        (
            "Use new locking fasteners",
            &[
                "torque_for_preload",
                "preload_from_torque",
                "torque_from_friction",
                "nut_factor",
            ],
        ),
        (
            "protect the cable with a fuse",
            &["wire_drop", "awg_area", "cable_resistance"],
        ),
        ("it protects the cable, not the load", &["fuse_share"]),
        (
            "does not approve brakes",
            &[
                "line_pressure",
                "clamp_force",
                "brake_torque",
                "pedal_travel",
                "pedal_ratio",
            ],
        ),
    ] {
        for name in names {
            let caution = find(name)
                .and_then(|formula| formula.caution)
                .unwrap_or_default();
            assert!(caution.contains(word), "{name}: {caution}");
        }
    }
}

#[test]
fn a_reading_of_temperature_is_never_taken_for_a_rise_in_an_argument() {
    let said = |sum: &str| work(&[&format!("hot = 60 degC\ncold = 20 degC\nx = {sum}")]).said();
    assert!(said("thermal_growth(1 m, hot - cold, of: steel)").is_empty());
    assert!(said("thermal_growth(1 m, 40 K, of: steel)").is_empty());
    assert!(said("saturation_pressure(300 K)").is_empty());
    assert_eq!(
        said("thermal_growth(1 m, hot, of: steel)"),
        [
            "unit-mismatch: `thermal_growth` needs a rise of temperature for `rise`; this is a reading"
        ]
    );
    assert_eq!(
        said("saturation_pressure(hot - cold)"),
        [
            "unit-mismatch: `saturation_pressure` needs a reading of temperature for `temperature`; this is a rise"
        ]
    );
    assert_eq!(
        said("cold + rise_for_growth(1 m, 1 mm, of: steel) + standard_temperature(0 m)"),
        ["unit-mismatch: two temperature readings cannot be added"]
    );
}

#[test]
fn outside_its_domain_a_formula_gives_no_number_and_near_the_edge_a_warning() {
    let said = |sum: &str| work(&[&format!("x = {sum}")]).said();
    for (sum, name, argument) in [
        (
            "shaft_critical_speed(1 m, 50 mm, 26 mm, of: steel)",
            "shaft_critical_speed",
            "wall",
        ),
        ("awg_diameter(10.5)", "awg_diameter", "gauge"),
        (
            "tyre_diameter(255 mm, 40, 18 in)",
            "tyre_diameter",
            "aspect",
        ),
        (
            "cg_height(3200 lb, 1760 lb, 1800 lb, 2.6 m, 2.6 m, 0.3 m)",
            "cg_height",
            "lift",
        ),
        ("stress_area(8 mm, 8 mm)", "stress_area", "pitch"),
        (
            "joint_pair_angle(4 deg, 4 deg)",
            "joint_pair_angle",
            "joint_2",
        ),
        ("tolerance_width(501 mm, it7)", "tolerance_width", "size"),
        (
            "compression_ratio(86 mm, 86 mm, 5 cc, -20 cc, 87 mm, 1 mm, 0 mm)",
            "compression_ratio",
            "dish",
        ),
        (
            "power_correction(85 kPa, 25 degC, by: iso_1585)",
            "power_correction",
            "pressure",
        ),
    ] {
        assert_eq!(
            said(sum),
            [format!(
                "outside-domain: `{name}` is not valid for this `{argument}`"
            )]
        );
    }
    assert_eq!(
        said("power_correction(94 kPa, 25 degC, by: iso_1585)"),
        ["near-domain-edge: `pressure` is near the edge of the range of `power_correction`"]
    );
    assert!(said("power_correction(97 kPa, 25 degC, by: iso_1585)").is_empty());
}

#[test]
fn a_nut_factor_carries_its_scatter_into_the_preload() {
    let bench = work(&["f = preload_from_torque(25 N-m, 8 mm, nut_factor(plated)) as N"]);
    assert!((bench.worst("f").half_width() / bench.shown("f") - 0.30).abs() < 1e-12);
}

#[test]
fn the_proof_stress_of_class_eight_eight_steps_up_above_sixteen_millimetres() {
    let bench = work(&[
        "thin = proof_load(16 mm, 2 mm, class: 8.8) / stress_area(16 mm, 2 mm) as MPa\n\
         thick = proof_load(18 mm, 2.5 mm, class: 8.8) / stress_area(18 mm, 2.5 mm) as MPa",
    ]);
    assert!((bench.shown("thin") - 580.0).abs() < 1e-9);
    assert!((bench.shown("thick") - 600.0).abs() < 1e-9);
}

/// The formula that the table was drawn up with, a check to about 1 µm and never the table itself;
/// it holds above 3 mm.
#[test]
fn the_tolerance_table_follows_the_formula_it_was_drawn_up_with() {
    let ends = [3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500];
    for band in ends.windows(2) {
        let mean = f64::from(band[0] * band[1]).sqrt();
        let unit = 0.45 * mean.cbrt() + 0.001 * mean;
        for (grade, units) in [("it6", 10.0), ("it7", 16.0), ("it8", 25.0), ("it9", 40.0)] {
            let width = work(&[&format!(
                "w = tolerance_width({} mm, {grade}) / 0.001 mm",
                band[1]
            )])
            .shown("w");
            assert!(
                (width - units * unit).abs() < 1.0 + 0.04 * width,
                "{band:?} {grade}: {width}, {}",
                units * unit
            );
        }
        let gap = work(&[&format!("g = -g_deviation({} mm) / 0.001 mm", band[1])]).shown("g");
        assert!(
            (gap - 2.5 * mean.powf(0.34)).abs() < 1.0,
            "{band:?}: {gap}, {}",
            2.5 * mean.powf(0.34)
        );
    }
}
