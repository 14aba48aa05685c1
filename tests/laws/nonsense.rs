//! No text makes the program panic, and nothing ever comes to something that is not a number.

use proptest::prelude::*;
use shimbook::calc::Results;
use shimbook::quantity::{Literal, Unit, Units, Value};

use crate::bench::work;
use crate::dice;

/// Everything the grammar is made of, and a few things that it is not.
const PIECES: [&str; 76] = [
    "a",
    "b",
    "c",
    "d",
    "x",
    "pi",
    "day1.a",
    "motor.mass",
    "fitted.mass",
    "measured",
    "=",
    "at least",
    "at most",
    "between",
    "within",
    " and ",
    " or ",
    "not ",
    "hold",
    ",",
    ", hold",
    "by Ines",
    "as",
    " as mm",
    " as thou",
    "#",
    "+",
    "-",
    "*",
    "/",
    "^",
    "(",
    ")",
    "±",
    "+/-",
    "/-",
    "<",
    ">=",
    ":",
    "if(",
    "min(",
    "max(",
    "abs(",
    "sqrt(",
    "sin(",
    "tan(",
    "acos(",
    "atan2(",
    "tilt(",
    "joint_angle(",
    "quarter_mile_time(",
    "wire_drop(",
    "steel",
    "0",
    "1",
    "2.5",
    "1e308",
    "1e-300",
    "3/8",
    "1-3/8",
    "12,5",
    "mm",
    "km",
    "in",
    "deg",
    "degC",
    "kg",
    "N-m",
    "kWh",
    "rpm",
    "%",
    "°",
    "'",
    "\"",
    "km^9/mm^9",
    "\u{a0}",
];

fn pieces() -> impl Strategy<Value = String> {
    let piece = proptest::sample::select(&PIECES[..]);
    let gap = proptest::sample::select(&["", " ", " ", "  "][..]);
    proptest::collection::vec((piece, gap), 0..24).prop_map(|parts| {
        parts
            .into_iter()
            .flat_map(|(piece, gap)| [piece, gap])
            .collect()
    })
}

fn line() -> impl Strategy<Value = String> {
    prop_oneof![
        pieces(),
        pieces().prop_map(|text| format!("x = {text}")),
        pieces().prop_map(|text| format!("x measured {text}")),
        pieces().prop_map(|text| format!("a between {text}")),
        pieces().prop_map(|text| format!("b within {text}")),
        "\\PC{0,40}",
        "[a-d] = [-+*/^() a-d0-9.]{0,30}",
        "[a-d0-9.,±+/°'\" -]{0,20}( mm| deg| in)?",
    ]
}

/// A number from anywhere on the scale.
fn figure() -> impl Strategy<Value = f64> {
    prop_oneof![
        -1e3..1e3,
        Just(0.0),
        Just(1e308),
        Just(-1.7e308),
        Just(5e-324),
        Just(1e154),
        Just(1e-160)
    ]
}

fn value_is_sound(value: &Value, unit: &Unit) -> bool {
    let (worst, rss) = (value.worst_case(), value.rss());
    let spreads = [worst.up, worst.down, rss.up, rss.down];
    let shown =
        unit.reading(value.nominal).is_finite() && unit.step(worst.half_width()).is_finite();
    value.is_finite()
        && shown
        && spreads
            .iter()
            .all(|spread| spread.is_finite() && *spread >= 0.0)
}

/// What of a worked book is no number, if anything.
fn unsound(worked: &Results) -> Option<String> {
    let moments = worked.values.iter().flat_map(|story| &story.moments);
    let bad_value = moments
        .filter_map(|m| m.value().map(|v| (v, &m.unit)))
        .find(|(v, unit)| !value_is_sound(v, unit));
    let judgements = worked.checks.iter().flat_map(|check| &check.judgements);
    let bad_judgement = judgements.into_iter().find(|j| {
        let figures = [j.margin.map(|margin| margin.signed), j.lower, j.upper];
        figures.iter().flatten().any(|figure| !figure.is_finite())
    });
    let value = bad_value.map(|(value, unit)| format!("{value:?} in {unit:?}"));
    value.or_else(|| bad_judgement.map(|judgement| format!("{judgement:?}")))
}

proptest! {
    #![proptest_config(dice(3000))]

    #[test]
    fn any_lines_at_all_are_worked_out_or_refused(lines in proptest::collection::vec(line(), 1..6)) {
        let known = "a measured 3.5 ± 0.2 mm\nb measured 2 ± 0.1 deg\nc = 4 kg";
        let bench = work(&[known, &lines.join("\n")]);
        prop_assert_eq!(unsound(&bench.worked), None);
    }

    #[test]
    fn any_text_at_all_is_a_value_or_no_value(text in prop_oneof![pieces(), "\\PC{0,30}"]) {
        if let Ok(value) = Literal::read(&text, &Units::new("EUR")) {
            prop_assert!(value.nominal.is_finite() && value.plus.is_finite() && value.minus.is_finite());
            prop_assert!(value.plus >= 0.0 && value.minus >= 0.0);
        }
    }
}

proptest! {
    #![proptest_config(dice(800))]

    #[test]
    fn sums_of_figures_from_anywhere_on_the_scale_come_to_numbers_or_to_nothing(
        figures in proptest::array::uniform4(figure()),
        spreads in proptest::array::uniform4(figure()),
        sum in crate::sums::length(crate::sums::Parts { differences: true, bends: true }),
        limits in (figure(), figure()),
    ) {
        let readings = crate::sums::NAMES.iter().zip(figures).zip(spreads);
        let readings: Vec<String> =
            readings.map(|((name, n), spread)| format!("{name} measured {n} ± {} km", spread.abs())).collect();
        let (low, high) = limits;
        let checks = format!(
            "r = {sum}\nr between {low} km and {high} km\nr at least {low} m\ns = a + b + c + d\ns within {low} ± {high} m"
        );
        let block = format!("{}\n{checks}", readings.join("\n"));
        prop_assert_eq!(unsound(&work(&[&block]).worked), None);
    }
}

#[test]
fn sums_at_the_ends_of_the_scale_come_to_numbers_or_are_refused() {
    let blocks = [
        "x = 1e308 m as thou",
        "x measured 1e308 ± 1e308 m",
        "a measured 1 ± 1e308 m\nb measured 1 ± 1e308 m\nx = a + b",
        "a measured 1 ± 1e308 m\nb measured 1 ± 1e308 m\na at least 0 m\na at least b",
        "a = 1 m\na at least 1e308 km",
        "a = 1 m\na within 1e308 m ± 1e308 m",
        "a = 1 m\na at most 1 km^9/mm^9-km^9/mm^9-km^9/mm^9-km^9/mm^9-km^9/mm^9-km^9/mm^9-m",
        "x = 1 mm as mm^9/km^9-mm^9/km^9-mm^9/km^9-mm^9/km^9-mm^9/km^9-mm^9/km^9-mm",
        "a = -1e308 m\na at least 1e308 m",
        "x = 1 m\ny = if(x < 1e308 km, 1 m, 2 m)",
        "a measured 1e308 ± 1e308 m\nx = min(a, -a, 3 m)",
    ];
    for block in blocks {
        assert_eq!(unsound(&work(&[block]).worked), None, "{block}");
    }
}
