//! Random books in which every fact can be computed by hand: readings, linear formulas, limits near
//! the values.
//!
//! In: a seed. Out: the texts of a book. The latest log has one sums block with every check in it,
//! so that each page shows the same evening. Figures have at most three decimals.

use crate::random::Random;

/// A book's texts by path.
pub(crate) type Texts = Vec<(String, String)>;

/// The crew of every book.
const CREW: [&str; 3] = ["Ines", "Bashir", "Odd"];

/// The book of a seed.
pub(crate) fn book(seed: u64) -> Texts {
    let mut dice = Random::new(seed);
    let judge = *dice.pick(&["worst-case", "rss"]);
    let (sums, checks, targets) = sums(&mut dice);
    let targets = if targets.is_empty() {
        String::new()
    } else {
        format!("targets: |\n{targets}")
    };
    let sheet = format!(
        "title: Kittiwake\nstart: 2031-05-02\ndays: 6\njudge: {judge}\ncrew:\n{}{targets}",
        CREW.map(|name| format!("  - {{name: {name}, hours: 8}}\n"))
            .concat()
    );
    let parts = parts(&mut dice);
    let first = format!("---\nday: 1\n---\n# Measured\n\n```sums\n{sums}```\n");
    let drawings: Vec<String> = names(&checks)
        .iter()
        .map(|name| format!("band {name}\n"))
        .collect();
    let drawings = drawings.concat();
    let second = format!(
        "---\nday: 2\n---\n# Checked\n\n```parts\nmotor: in\nmotor: fitted\n```\n\n```sums\n{}{checks}```\n\n```drawing\n{drawings}```\n",
        again(&mut dice)
    );
    vec![
        ("build-sheet.yaml".to_owned(), sheet),
        ("parts.yaml".to_owned(), parts),
        ("days/day-01.md".to_owned(), first),
        ("days/day-02.md".to_owned(), second),
    ]
}

/// The names that the checks are on, each once.
fn names(checks: &str) -> Vec<&str> {
    let mut names: Vec<&str> = checks
        .lines()
        .filter_map(|line| line.split(' ').next())
        .collect();
    names.sort_unstable();
    names.dedup();
    names
}

fn parts(dice: &mut Random) -> String {
    let mass = tolerance(dice, 40_000, "kg");
    format!(
        "motor: {{what: Motor, mass: {mass}, supplied: owned}}\nrack: {{what: Rack, mass: 12.5 kg, supplied: owned}}\n"
    )
}

/// `40.125 ± 0.3 kg`, sometimes without a tolerance, sometimes with uneven sides.
fn tolerance(dice: &mut Random, middle: i64, unit: &str) -> String {
    let nominal = figure(middle + dice.between(-9_999, 9_999));
    match dice.between(1, 10) {
        1..=2 => format!("{nominal} {unit}"),
        3..=4 => {
            format!(
                "{nominal} +{}/-{} {unit}",
                figure(dice.between(1, 900)),
                figure(dice.between(1, 900))
            )
        }
        _ => format!("{nominal} ± {} {unit}", figure(dice.between(1, 900))),
    }
}

/// Thousandths as a crew writes them.
pub(crate) fn figure(thousandths: i64) -> String {
    let sign = if thousandths < 0 { "-" } else { "" };
    let (whole, part) = (thousandths.abs() / 1000, thousandths.abs() % 1000);
    let text = format!("{sign}{whole}.{part:03}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

const READINGS: [&str; 5] = ["gap", "seat", "arch", "rail", "hub"];

/// The first log's sums, the second log's checks, the targets.
fn sums(dice: &mut Random) -> (String, String, String) {
    let mut sums = String::new();
    for name in READINGS {
        let by = if dice.chance(60) {
            format!(", by {}", dice.pick(&CREW))
        } else {
            String::new()
        };
        sums += &format!("{name} measured {}{by}\n", tolerance(dice, 30_000, "mm"));
    }
    sums += &format!(
        "plate = {} mm\nframe = {} kg\n",
        figure(dice.between(1_000, 9_000)),
        figure(dice.between(700_000, 900_000))
    );
    sums += &format!("ahead = {}\n", combination(dice, &READINGS));
    sums += &format!("below = ahead - {}\n", dice.pick(&READINGS));
    sums += "whole = frame + fitted.mass\n";
    let checked = ["gap", "seat", "arch", "plate", "ahead", "below"];
    let mut checks = String::new();
    for name in checked {
        if dice.chance(75) {
            let hold = if dice.chance(30) { ", hold" } else { "" };
            checks += &format!("{name} {}{hold}\n", rule(dice, name));
        }
    }
    checks += "hub at least 0 mm\n";
    let targets = if dice.chance(70) {
        format!(
            "  whole at most {} kg\n  rail {}\n",
            figure(dice.between(740_000, 950_000)),
            rule(dice, "rail")
        )
    } else {
        String::new()
    };
    (sums, checks, targets)
}

fn combination(dice: &mut Random, names: &[&str]) -> String {
    let mut text = (*dice.pick(names)).to_owned();
    for _ in 0..dice.between(1, 3) {
        let sign = dice.pick(&["+", "-"]);
        let times = dice.pick(&["", "", "2 * "]);
        text += &format!(" {sign} {times}{}", dice.pick(names));
    }
    text
}

/// A rule with its limits somewhere near the values.
fn rule(dice: &mut Random, name: &str) -> String {
    let middle = if name == "plate" { 5_000 } else { 30_000 };
    let limit = |dice: &mut Random| figure(middle + dice.between(-12_000, 12_000));
    let others: Vec<&str> = ["plate", "hub", "rail"]
        .into_iter()
        .filter(|other| *other != name)
        .collect();
    match dice.between(1, 6) {
        1 => format!("at least {} mm", limit(dice)),
        2 => format!("at most {} mm", limit(dice)),
        3 => format!("at least {}", dice.pick(&others)),
        4 => format!("at most {} + 3 mm", dice.pick(&others)),
        5 => {
            let low = middle - dice.between(0, 12_000);
            format!(
                "between {} mm and {} mm",
                figure(low),
                figure(low + dice.between(0, 20_000))
            )
        }
        _ => format!(
            "within {} ± {} mm",
            limit(dice),
            figure(dice.between(0, 9_000))
        ),
    }
}

/// What the second day measures again: a reading, or a formula that was not measured before.
fn again(dice: &mut Random) -> String {
    let mut lines = String::new();
    for name in ["gap", "arch", "ahead"] {
        if dice.chance(40) {
            lines += &format!("{name} measured {}\n", tolerance(dice, 30_000, "mm"));
        }
    }
    lines
}
