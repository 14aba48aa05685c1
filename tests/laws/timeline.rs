//! A book worked out day by day ends where the same definitions end when they are all written at
//! once.

use proptest::prelude::*;
use shimbook::calc::{Known, State};

use crate::bench::{Bench, work};
use crate::dice;

/// How many names a random book has.
const NAMES: usize = 9;

/// What a line says of a name.
#[derive(Clone, Debug)]
enum Says {
    Measured(f64, f64),
    Given(f64),
    /// Over two names further up the alphabet, so that no ring can close.
    Formula(usize, usize, u8),
    /// A line that cannot be read.
    Nonsense,
}

type Line = (usize, Says);

fn says() -> impl Strategy<Value = Says> {
    prop_oneof![
        3 => (1.0..50.0, 0.01..1.0).prop_map(|(nominal, spread)| Says::Measured(nominal, spread)),
        2 => (1.0..50.0).prop_map(Says::Given),
        6 => (0..NAMES, 0..NAMES, 0_u8..6).prop_map(|(a, b, form)| Says::Formula(a, b, form)),
        1 => Just(Says::Nonsense),
    ]
}

/// Days of blocks of lines; a name is set once in a block at most.
fn days() -> impl Strategy<Value = Vec<Vec<Vec<Line>>>> {
    let block =
        proptest::collection::vec((0..NAMES, says()), 1..6).prop_map(|mut lines: Vec<Line>| {
            let mut seen = [false; NAMES];
            lines.retain(|(name, _)| !std::mem::replace(&mut seen[*name], true));
            lines
        });
    proptest::collection::vec(proptest::collection::vec(block, 1..3), 1..6)
}

fn written((name, says): &Line) -> String {
    match says {
        Says::Measured(nominal, spread) => {
            format!("n{name} measured {nominal:.3} ± {spread:.3} mm")
        }
        Says::Given(nominal) => format!("n{name} = {nominal:.3} mm"),
        Says::Formula(a, b, form) => format!("n{name} = {}", formula(*name, *a, *b, *form)),
        Says::Nonsense => format!("n{name} = 3 inch"),
    }
}

fn formula(name: usize, a: usize, b: usize, form: u8) -> String {
    let above = |other: usize| {
        if other > name {
            format!("n{other}")
        } else {
            format!("{other} mm")
        }
    };
    let (a, b) = (above(a), above(b));
    match form {
        0 => format!("{a} + 2 * {b}"),
        1 => format!("{a} - {b}"),
        2 => format!("max({a}, {b}) + 1 mm"),
        3 => format!("sqrt({a} * {a} + {b} * {b}) + 1 mm"),
        4 => format!("if({a} > {b}, {a}, {b} + 1 mm)"),
        _ => format!("{a} * {b} / 7 mm"),
    }
}

fn day(blocks: &[Vec<Line>]) -> String {
    let block = |lines: &Vec<Line>| lines.iter().map(written).collect::<Vec<_>>().join("\n");
    blocks.iter().map(block).collect::<Vec<_>>().join("\n\n")
}

/// The last line of each name, and the formula it is still held against once it was measured.
#[derive(Clone, Debug, Default)]
struct Last {
    line: Option<Line>,
    predicted: Option<Line>,
}

fn last_lines(days: &[Vec<Vec<Line>>]) -> Vec<Last> {
    let mut last = vec![Last::default(); NAMES];
    for line in days.iter().flatten().flatten() {
        let own = &mut last[line.0];
        let formula = own
            .line
            .take()
            .filter(|(_, says)| matches!(says, Says::Formula(..)));
        own.predicted = match line.1 {
            Says::Measured(..) => formula.or(own.predicted.take()),
            Says::Nonsense => own.predicted.take(),
            _ => None,
        };
        own.line = Some(line.clone());
    }
    last
}

/// What a name is at the end, in words that two books can be compared by.
fn end(bench: &Bench, name: &str) -> String {
    let moment = bench
        .worked
        .names
        .find(name)
        .and_then(|id| bench.worked.latest(id));
    match moment.map(|moment| &moment.known) {
        None => "never set".into(),
        Some(Known::Broken) => "in error".into(),
        Some(Known::NoReading(_)) => "no reading".into(),
        // 0 and -0 are the same.
        Some(Known::Value(value)) => format!(
            "{} {:?} {:?}",
            value.nominal + 0.0,
            value.worst_case(),
            value.rss()
        ),
    }
}

/// The same, where a name's last line is no line at all.
fn end_of(bench: &Bench, name: usize, last: &Last) -> String {
    match last.line {
        Some((_, Says::Nonsense)) => "in error".into(),
        _ => end(bench, &format!("n{name}")),
    }
}

proptest! {
    #![proptest_config(dice(600))]

    #[test]
    fn day_by_day_ends_where_all_at_once_ends(days in days()) {
        let last = last_lines(&days);
        let texts: Vec<String> = days.iter().map(|blocks| day(blocks)).collect();
        let by_days = work(&texts.iter().map(String::as_str).collect::<Vec<_>>());
        let at_once: Vec<String> = last.iter().filter_map(|last| last.line.as_ref()).map(written).collect();
        let at_once = work(&[&at_once.join("\n")]);
        for (name, last) in last.iter().enumerate() {
            prop_assert_eq!(end_of(&by_days, name, last), end_of(&at_once, name, last), "n{} of {:#?}", name, texts);
        }
    }

    #[test]
    fn a_measured_formula_goes_on_predicting_from_what_is_known_now(days in days()) {
        let last = last_lines(&days);
        let texts: Vec<String> = days.iter().map(|blocks| day(blocks)).collect();
        let by_days = work(&texts.iter().map(String::as_str).collect::<Vec<_>>());
        for (name, last) in last.iter().enumerate() {
            let (Some((_, Says::Measured(..))), Some(predicted)) = (&last.line, &last.predicted) else { continue };
            let id = by_days.worked.names.find(&format!("n{name}")).unwrap();
            let hidden = by_days.worked.values[id.index()].prediction;
            prop_assert!(hidden.is_some(), "n{name} predicts nothing in {texts:#?}");
            let moment = by_days.worked.latest(hidden.unwrap()).unwrap();
            prop_assert_eq!(moment.defined.state, State::Worked);
            let formula = written(predicted).replacen(&format!("n{name} ="), "asked =", 1);
            let lines = last_lines(&days).into_iter().filter_map(|last| last.line).map(|line| written(&line));
            let asked = work(&[&(lines.collect::<Vec<_>>().join("\n") + "\n" + &formula)]);
            let nominal = moment.value().map(|value| value.nominal);
            let expected = asked.has_value("asked").then(|| asked.value("asked").nominal);
            prop_assert_eq!(nominal, expected, "n{} of {:#?}", name, texts);
        }
    }

    #[test]
    fn a_past_day_is_never_changed_by_a_later_one(days in days(), more in days()) {
        let texts: Vec<String> = days.iter().chain(&more).map(|blocks| day(blocks)).collect();
        let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
        let (short, long) = (work(&texts[..days.len()]), work(&texts));
        for (text, id) in short.worked.names.iter() {
            let later = long.worked.names.find(text).unwrap();
            for day in 1..=days.len() as u32 {
                let known = |bench: &Bench, id| bench.worked.on_day(id, day).and_then(|m| m.value().map(|v| v.nominal));
                prop_assert_eq!(known(&short, id), known(&long, later), "{} on day {}", text, day);
            }
        }
    }
}
