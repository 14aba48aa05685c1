//! Sums that must be read the way they are meant.

use shimbook::calc::Verdict;

use crate::bench::work;

#[test]
fn a_number_in_brackets_is_a_number() {
    let bench = work(&["a = (3 mm)\nb = -(3 mm)\nc = ((3 mm)) as in\nd = - -3 mm\ne = -3 mm"]);
    assert!(bench.diagnostics.is_empty(), "{:?}", bench.said());
    for (name, nominal) in [
        ("a", 3e-3),
        ("b", -3e-3),
        ("c", 3e-3),
        ("d", 3e-3),
        ("e", -3e-3),
    ] {
        assert_eq!(bench.value(name).nominal, nominal, "{name}");
    }
}

#[test]
fn a_minus_before_a_temperature_is_a_temperature_below_zero() {
    let bench = work(&[
        "frost = -5 degC\nwarmer = -5 degC + 3 K\nspan = 20 degC - -5 degC\nsum = 1 K + -40 degF as degC",
    ]);
    assert!(bench.diagnostics.is_empty(), "{:?}", bench.said());
    for (name, expected) in [
        ("frost", -5.0),
        ("warmer", -2.0),
        ("span", 25.0),
        ("sum", -39.0),
    ] {
        assert!(
            (bench.shown(name) - expected).abs() < 1e-9,
            "{name} is {}",
            bench.shown(name)
        );
    }
    let bench = work(&["t measured 3 degC\nx = -t"]);
    assert!(!bench.has_value("x"), "the opposite of a reading");
}

#[test]
fn a_limit_below_zero_on_a_scale_of_temperature_is_where_it_says() {
    let checks = [
        ("at least -10 degC", true),
        ("at most -5 degC", false),
        ("between -5 and 5 degC", true),
        ("between -20 and -10 degC", false),
        ("between -10 degF and -5 degF", false),
        ("within -1 ± 2 degC", true),
        ("within -10 ± 2 degC", false),
    ];
    for (check, inside) in checks {
        let bench = work(&[&format!("t measured 0 degC\nt {check}")]);
        let expected = if inside {
            Verdict::InLimits
        } else {
            Verdict::OutOfLimits
        };
        assert_eq!(
            bench.verdict("t"),
            expected,
            "0 degC {check}: {:?}",
            bench.worked.checks[0].latest()
        );
    }
}

#[test]
fn turns_a_second_are_never_taken_for_radians_a_second() {
    let bench = work(&[
        "power = 31.416 kW\ntorque = 100 N-m\nspeed = power / torque\nturning = power / torque as rpm",
    ]);
    assert_eq!(bench.moment("speed").unit.name, "1/s");
    assert!((bench.shown("turning") - 3000.0).abs() < 0.01);
    assert!(!work(&["x = 50 Hz as rpm"]).has_value("x"));
}

#[test]
fn not_reaches_over_the_comparison_behind_it() {
    let cases = [
        ("not 1 < 2", 0.0),
        ("not 2 < 1", 1.0),
        ("not 2 < 1 and 1 < 2", 1.0),
        ("1 < 2 and not 2 < 1", 1.0),
        ("not 1 < 2 or 1 < 2", 1.0),
        ("not (1 < 2 or 1 < 2)", 0.0),
        ("not not 1 < 2", 1.0),
        ("not (not 1 < 2 + 1) and not 3 * 2 < 5", 1.0),
    ];
    for (condition, expected) in cases {
        let bench = work(&[&format!("x = if({condition}, 1, 0)")]);
        assert!(bench.has_value("x"), "{condition}: {:?}", bench.said());
        assert_eq!(bench.value("x").nominal, expected, "{condition}");
    }
}

#[test]
fn a_line_of_any_length_is_worked_out_or_refused_and_nothing_runs_out() {
    let many = |piece: &str, count: usize| piece.repeat(count);
    let sums = [
        many("-", 390) + "1",
        many("-", 100_000) + "1",
        many("not ", 390) + "1 < 2",
        format!("if({}1 < 2, 1, 2)", many("not ", 380)),
        many("not ", 50_000),
        many("(", 31) + "1" + &many(")", 31),
        many("(", 100_000) + "1" + &many(")", 100_000),
        many("abs(", 31) + "1" + &many(")", 31),
        many("abs(", 50_000),
        many("if(1<2,", 31) + "1" + &many(",2)", 31),
        many("1 + ", 199) + "1",
        many("2^", 200) + "1",
        many("-2^", 190) + "1",
        many("1 + ", 100_000) + "1",
        many("9", 300),
        many("9", 100_000),
        format!("0.{}1", many("0", 100_000)),
        many("a", 100_000),
        format!("1 {}", many("m", 100_000)),
        format!("1 m{}", many("·m", 100_000)),
        format!("1 m{}", many("/m·m", 100_000)),
        format!("1/{} in", many("9", 100_000)),
        format!("3 ± {}", many("1 ", 100_000)),
        format!("1e{}", many("9", 100_000)),
        many("°", 10_000),
        many("5' ", 10_000),
        format!("1{}", many(" +1", 100_000)),
        format!("1{}", many(" + (1) +1", 50_000)),
        format!("min(1{})", many(", 1", 19)),
        format!("min(1{})", many(", 1", 100_000)),
    ];
    for sum in sums {
        let bench = work(&[&format!(
            "x = {sum}\nx within {sum} ± 1\nx between {sum} and {sum}\ny measured {sum}"
        )]);
        assert!(
            bench.has_value("x") || !bench.diagnostics.is_empty(),
            "{}",
            &sum[..sum.len().min(40)]
        );
    }
}

#[test]
fn a_book_of_names_that_nothing_defines_is_still_read_to_its_end() {
    let block: Vec<String> = (0..6000).map(|n| format!("x{n} = y{n} + 1 mm")).collect();
    assert_eq!(work(&[&block.join("\n")]).diagnostics.len(), 6000);
}
