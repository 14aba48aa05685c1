//! The facts of a random book, computed from its text alone: nothing of the library is used here.
//!
//! In: the texts of a book of [`books`](crate::books). Out: for each check its verdict, its margin
//! and its basis. All figures are whole thousandths, so that nothing is rounded before the root of
//! a sum of squares.

use std::collections::{BTreeMap, BTreeSet};

/// A check as it stands at the end of the book; figures in thousandths of the unit.
#[derive(Clone, Debug)]
pub(crate) struct Fact {
    pub(crate) verdict: &'static str,
    /// Is the nearest limit the lower one?
    pub(crate) lower: bool,
    pub(crate) as_read: f64,
    pub(crate) spread: f64,
    pub(crate) margin: f64,
    pub(crate) basis: &'static str,
    pub(crate) limit_basis: Option<&'static str>,
    pub(crate) target: bool,
    pub(crate) hold: bool,
}

/// A value: its figure, and for each source how often it counts.
#[derive(Clone, Debug, Default)]
struct Sum {
    nominal: i64,
    sources: BTreeMap<String, i64>,
}

/// What a line says of a name.
#[derive(Clone, Debug)]
enum Line {
    Measured(Reading),
    Given(i64),
    Formula(String),
    Figure(Reading),
}

#[derive(Clone, Copy, Debug)]
struct Reading {
    nominal: i64,
    up: i64,
    down: i64,
}

/// Names as they are at the end, and whether the book judges by squares.
struct Text {
    lines: BTreeMap<String, Line>,
    by_squares: bool,
}

/// Bases, strongest first.
const BASES: [&str; 6] = [
    "measured",
    "corrected",
    "calculated",
    "given",
    "maker's figure",
    "chosen",
];

/// The facts of every check, by name and rule.
pub(crate) fn facts(texts: &[(String, String)]) -> BTreeMap<(String, String), Fact> {
    let of = |path: &str| {
        texts
            .iter()
            .find(|(of, _)| of == path)
            .map_or("", |(_, text)| text.as_str())
    };
    let sheet = of("build-sheet.yaml");
    let mut text = Text {
        lines: parts(of("parts.yaml")),
        by_squares: sheet.contains("judge: rss"),
    };
    let mut rules: Vec<(String, String, bool)> = Vec::new();
    for line in sheet
        .lines()
        .skip_while(|line| *line != "targets: |")
        .skip(1)
    {
        let (name, rule) = line.trim().split_once(' ').unwrap();
        rules.push((name.to_owned(), rule.to_owned(), true));
    }
    for (_, log) in texts.iter().filter(|(path, _)| path.starts_with("days/")) {
        for line in fences(log, "sums") {
            let (name, said) = line.split_once(' ').unwrap();
            match said_of(said) {
                Some(line) => drop(text.lines.insert(name.to_owned(), line)),
                None => rules.push((name.to_owned(), said.to_owned(), false)),
            }
        }
    }
    let fact = |(name, rule, target): (String, String, bool)| {
        let fact = text.fact(&name, &rule, target);
        ((name, rule.trim_end_matches(", hold").to_owned()), fact)
    };
    rules.into_iter().map(fact).collect()
}

/// The lines of all fences of a kind.
fn fences<'t>(log: &'t str, kind: &str) -> Vec<&'t str> {
    let (mut found, mut within) = (Vec::new(), false);
    for line in log.lines() {
        match line.strip_prefix("```") {
            Some(info) => within = info == kind,
            None if within => found.push(line),
            None => {}
        }
    }
    found
}

fn parts(text: &str) -> BTreeMap<String, Line> {
    let mass = |line: &str| {
        let (id, rest) = line.split_once(": {").unwrap();
        let mass = rest
            .split_once("mass: ")
            .unwrap()
            .1
            .split_once(',')
            .unwrap()
            .0;
        (format!("{id}.mass"), Line::Figure(reading(mass)))
    };
    text.lines().map(mass).collect()
}

/// `30.125 ± 0.3 mm`
fn reading(text: &str) -> Reading {
    let figure =
        |text: &str| thousandths(text.trim().trim_end_matches(" mm").trim_end_matches(" kg"));
    if let Some((nominal, both)) = text.split_once(" ± ") {
        return Reading {
            nominal: figure(nominal),
            up: figure(both),
            down: figure(both),
        };
    }
    if let Some((nominal, sides)) = text.split_once(" +") {
        let (up, down) = sides.split_once("/-").unwrap();
        return Reading {
            nominal: figure(nominal),
            up: figure(up),
            down: figure(down),
        };
    }
    Reading {
        nominal: figure(text),
        up: 0,
        down: 0,
    }
}

fn thousandths(text: &str) -> i64 {
    let (sign, text) = text.strip_prefix('-').map_or((1, text), |text| (-1, text));
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    sign * (whole.parse::<i64>().unwrap() * 1000 + format!("{part:0<3}").parse::<i64>().unwrap())
}

/// What a line says of a name; `None` for a check.
fn said_of(said: &str) -> Option<Line> {
    if let Some(read) = said.strip_prefix("measured ") {
        return Some(Line::Measured(reading(read.split(", by ").next().unwrap())));
    }
    let formula = said.strip_prefix("= ")?;
    let is_figure =
        formula.starts_with(|c: char| c.is_ascii_digit()) && formula.split(' ').count() == 2;
    Some(if is_figure {
        Line::Given(reading(formula).nominal)
    } else {
        Line::Formula(formula.to_owned())
    })
}

impl Text {
    fn sum(&self, name: &str) -> Sum {
        if name == "fitted.mass" {
            return self.sum("motor.mass");
        }
        match &self.lines[name] {
            Line::Given(nominal) => Sum {
                nominal: *nominal,
                ..Sum::default()
            },
            Line::Measured(read) | Line::Figure(read) => Sum {
                nominal: read.nominal,
                sources: BTreeMap::from([(name.to_owned(), 1)]),
            },
            Line::Formula(formula) => self.formula(formula),
        }
    }

    /// `a + 2 * b - 3 mm`
    fn formula(&self, formula: &str) -> Sum {
        let mut sum = Sum::default();
        let mut sign = 1;
        let mut times = 1;
        let words: Vec<&str> = formula.split(' ').collect();
        for (index, word) in words.iter().enumerate() {
            match *word {
                "+" => (sign, times) = (1, 1),
                "-" => (sign, times) = (-1, 1),
                "*" | "mm" | "kg" => {}
                number
                    if number
                        .trim_start_matches('-')
                        .starts_with(|c: char| c.is_ascii_digit()) =>
                {
                    let is_factor = words.get(index + 1) == Some(&"*");
                    if is_factor {
                        times = number.parse().unwrap();
                    } else {
                        sum.nominal += sign * thousandths(number);
                    }
                }
                name => sum.add(&self.sum(name), sign * times),
            }
        }
        sum
    }

    /// How far up and down a sum may lie.
    fn sides(&self, sum: &Sum, by_squares: bool) -> (f64, f64) {
        let (mut up, mut down) = (0.0_f64, 0.0_f64);
        for (name, times) in &sum.sources {
            let (Line::Measured(read) | Line::Figure(read)) = &self.lines[name] else {
                unreachable!()
            };
            let (high, low) = if *times > 0 {
                (read.up, read.down)
            } else {
                (read.down, read.up)
            };
            let (high, low) = ((times.abs() * high) as f64, (times.abs() * low) as f64);
            (up, down) = if by_squares {
                (up + high * high, down + low * low)
            } else {
                (up + high, down + low)
            };
        }
        if by_squares {
            (up.sqrt(), down.sqrt())
        } else {
            (up, down)
        }
    }

    fn limits(rule: &str) -> (Option<String>, Option<String>) {
        let rule = rule.trim_end_matches(", hold");
        if let Some(limit) = rule.strip_prefix("at least ") {
            return (Some(limit.to_owned()), None);
        }
        if let Some(limit) = rule.strip_prefix("at most ") {
            return (None, Some(limit.to_owned()));
        }
        if let Some(limits) = rule.strip_prefix("between ") {
            let (low, high) = limits.split_once(" and ").unwrap();
            return (Some(low.to_owned()), Some(high.to_owned()));
        }
        let (middle, side) = rule
            .strip_prefix("within ")
            .unwrap()
            .split_once(" ± ")
            .unwrap();
        (
            Some(format!("{middle} mm - {side}")),
            Some(format!("{middle} mm + {side}")),
        )
    }

    fn fact(&self, name: &str, rule: &str, target: bool) -> Fact {
        let hold = rule.ends_with(", hold");
        let (value, (lower, upper)) = (self.sum(name), Self::limits(rule));
        let distance = |limit: &str, sign: i64| {
            let mut distance = Sum::default();
            distance.add(&value, sign);
            distance.add(&self.formula(limit), -sign);
            let (up, down) = self.sides(&distance, self.by_squares && !hold);
            (distance.nominal as f64, up, down)
        };
        let below = lower.as_ref().map(|limit| (distance(limit, 1), true));
        let above = upper.as_ref().map(|limit| (distance(limit, -1), false));
        let sides: Vec<_> = below.into_iter().chain(above).collect();
        let nearest = sides
            .iter()
            .min_by(|((a, _, s), _), ((b, _, t), _)| (a - s).total_cmp(&(b - t)))
            .unwrap();
        let ((as_read, _, spread), is_lower) = *nearest;
        let margin = as_read - spread;
        let is_out = sides
            .iter()
            .any(|((distance, up, _), _)| distance + up < -1e-9);
        let verdict = match margin {
            _ if is_out => "out of limits",
            margin if margin >= -1e-9 => "in limits",
            _ => "too close",
        };
        let limits: BTreeSet<String> = lower.into_iter().chain(upper).collect();
        let limit_basis = limits
            .iter()
            .flat_map(|limit| self.rests_on(limit))
            .max()
            .map(|rank| BASES[rank]);
        Fact {
            verdict,
            lower: is_lower,
            as_read,
            spread,
            margin,
            basis: BASES[self.basis(name)],
            limit_basis,
            target,
            hold,
        }
    }

    fn basis(&self, name: &str) -> usize {
        match &self.lines[name] {
            Line::Measured(_) => 0,
            Line::Formula(_) => 2,
            Line::Given(_) => 3,
            Line::Figure(_) => 4,
        }
    }

    /// The ranks of everything that an expression rests on.
    fn rests_on(&self, expression: &str) -> Vec<usize> {
        let names = expression
            .split(' ')
            .filter(|word| self.lines.contains_key(*word));
        let below = |name: &str| {
            let mut ranks = vec![self.basis(name)];
            if let Line::Formula(formula) = &self.lines[name] {
                ranks.extend(self.rests_on(formula));
            }
            ranks
        };
        names.flat_map(below).collect()
    }
}

impl Sum {
    fn add(&mut self, other: &Self, times: i64) {
        self.nominal += times * other.nominal;
        for (source, count) in &other.sources {
            *self.sources.entry(source.clone()).or_default() += times * count;
        }
        self.sources.retain(|_, count| *count != 0);
    }
}
