//! Sums that must be read the way they are meant.

use crate::bench::work;

#[test]
fn a_number_in_brackets_is_a_number() {
    let bench = work(&["a = (3 mm)\nb = -(3 mm)\nc = ((3 mm)) as in\nd = - -3 mm\ne = -3 mm"]);
    assert!(bench.diagnostics.is_empty(), "{:?}", bench.said());
    for (name, nominal) in [("a", 3e-3), ("b", -3e-3), ("c", 3e-3), ("d", 3e-3), ("e", -3e-3)] {
        assert_eq!(bench.value(name).nominal, nominal, "{name}");
    }
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
        format!("min(1{})", many(", 1", 19)),
        format!("min(1{})", many(", 1", 100_000)),
    ];
    for sum in sums {
        let bench = work(&[&format!("x = {sum}\nx within {sum} ± 1\nx between {sum} and {sum}\ny measured {sum}")]);
        assert!(bench.has_value("x") || !bench.diagnostics.is_empty(), "{}", &sum[..sum.len().min(40)]);
    }
}
