//! The sums of a large book: readings, formulas from earlier names, checks, readings taken again.
//!
//! Each day has names of its own; one name in twenty is central: later days work from it and
//! measure it again.

use std::collections::BTreeSet;
use std::f64::consts::PI;
use std::fmt::Write as _;

use super::random::Random;
use super::{CREW, Scale};

/// Lines of one block.
const BLOCK: usize = 9;
/// Chains of formulas are no longer than this, as on a real build.
const DEEPEST: u32 = 5;

/// What a value measures.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Length,
    Angle,
    Mass,
    Current,
    Turning,
    Voltage,
    Speed,
}

use Kind::{Angle, Current, Length, Mass, Speed, Turning, Voltage};

/// How a reading is called, where it lies, its tolerance.
const READINGS: [(Kind, &str, f64, f64, f64); 8] = [
    (Length, "gap", 6.0, 60.0, 0.2),
    (Length, "span", 300.0, 900.0, 0.5),
    (Length, "height", 100.0, 700.0, 1.0),
    (Length, "width", 200.0, 800.0, 0.5),
    (Angle, "slope", 1.0, 9.0, 0.1),
    (Angle, "toe", 1.0, 4.0, 0.05),
    (Mass, "load", 10.0, 300.0, 0.5),
    (Current, "draw", 4.0, 60.0, 0.5),
];

/// A formula: what it gives, its name, what it takes, how it is written, what it comes to.
type Recipe = (
    Kind,
    &'static str,
    &'static [Kind],
    &'static str,
    fn(&[f64]) -> f64,
);

const RECIPES: [Recipe; 10] = [
    (Length, "reach", &[Length, Length], "A + B / 2", |v| {
        v[0] + v[1] / 2.0
    }),
    (
        Length,
        "clear",
        &[Length, Length, Length],
        "A + B - C / 4",
        |v| v[0] + v[1] - v[2] / 4.0,
    ),
    (
        Length,
        "mean",
        &[Length, Length, Length],
        "(A + B + C) / 3 as mm",
        |v| (v[0] + v[1] + v[2]) / 3.0,
    ),
    (
        Angle,
        "lean",
        &[Length, Length],
        "atan(A / (A + 4 * B)) as deg",
        |v| (v[0] / (v[0] + 4.0 * v[1])).atan().to_degrees(),
    ),
    (Angle, "rise", &[Length, Length], "tilt(A / 20, B)", |v| {
        (v[0] / 20.0).atan2(v[1]).to_degrees()
    }),
    (Angle, "bend", &[Angle, Angle], "A + B / 2", |v| {
        v[0] + v[1] / 2.0
    }),
    (
        Mass,
        "share",
        &[Mass, Length, Length],
        "A * B / (B + C) as kg",
        |v| v[0] * v[1] / (v[1] + v[2]),
    ),
    (
        Turning,
        "whirl",
        &[Length],
        "shaft_critical_speed(length: A + 1 m, od: 76 mm, wall: 2.1 mm, of: steel)",
        whirl,
    ),
    (
        Voltage,
        "drop",
        &[Current, Length],
        "wire_drop(A, B * 4, 25 mm2)",
        |v| v[0] * v[1] * 8e-3 * 1.7241e-8 / 25e-6,
    ),
    (
        Speed,
        "run",
        &[Turning, Length],
        "road_speed(A, B + 300 mm, 4.1) as km/h",
        |v| v[0] * PI / 30.0 * (v[1] + 300.0) / 1e3 / 8.2 * 3.6,
    ),
];

fn whirl(v: &[f64]) -> f64 {
    let (outer, inner, sound) = (0.076_f64, 0.0718_f64, (206e9_f64 / 7850.0).sqrt());
    let gyration = ((outer * outer + inner * inner) / 16.0).sqrt();
    gyration * sound * PI * 30.0 / (v[0] / 1e3 + 1.0).powi(2)
}

impl Kind {
    fn unit(self) -> &'static str {
        match self {
            Length => "mm",
            Angle => "deg",
            Mass => "kg",
            Current => "A",
            Turning => "rpm",
            Voltage => "V",
            Speed => "km/h",
        }
    }
}

/// A name and what it comes to, in its kind's unit.
struct Known {
    name: String,
    kind: Kind,
    comes_to: f64,
    /// Of a reading; 0 for a formula.
    tolerance: f64,
    /// How many formulas lie below it.
    depth: u32,
    checked: bool,
}

/// All names so far.
pub struct Sums {
    lines_a_day: f64,
    owed: f64,
    known: Vec<Known>,
    central: Vec<usize>,
    /// Where today's names begin.
    today: usize,
}

impl Sums {
    pub fn new(scale: Scale) -> Self {
        let lines_a_day = f64::from(scale.sums) / f64::from(scale.days);
        Self {
            lines_a_day,
            owed: 0.0,
            known: Vec::new(),
            central: Vec::new(),
            today: 0,
        }
    }

    /// A name of the last days.
    pub fn recent(&self, random: &mut Random) -> &str {
        let from = self.today.saturating_sub(40);
        &self.known[from + random.below(self.known.len() - from)].name
    }

    /// The blocks of a day.
    pub fn on_day(&mut self, day: u32, random: &mut Random) -> Vec<String> {
        self.today = self.known.len();
        self.owed += self.lines_a_day;
        let mut blocks = Vec::new();
        while self.owed >= 1.0 {
            let lines = (self.owed as usize).min(BLOCK);
            self.owed -= lines as f64;
            blocks.push(self.block(lines, day, random));
        }
        blocks
    }

    fn block(&mut self, lines: usize, day: u32, random: &mut Random) -> String {
        let mut block = String::new();
        let mut set = BTreeSet::new();
        for line in 0..lines {
            let text = match random.below(100) {
                _ if line == 0 || self.known.len() < 12 => self.reading(day, random),
                0..26 => self.reading(day, random),
                26..61 => self
                    .formula(day, random)
                    .unwrap_or_else(|| self.reading(day, random)),
                61..91 => self
                    .check(random)
                    .unwrap_or_else(|| self.reading(day, random)),
                _ => self
                    .again(&mut set, random)
                    .unwrap_or_else(|| self.reading(day, random)),
            };
            writeln!(block, "{text}").unwrap();
        }
        block
    }

    fn reading(&mut self, day: u32, random: &mut Random) -> String {
        let (kind, word, least, most, tolerance) = random.of(&READINGS);
        let name = format!("{word}_{day}_{}", self.known.len());
        let comes_to = random.between(least, most);
        let remark = if random.percent(40) {
            "   # warm, at the mark"
        } else {
            ""
        };
        let text = format!(
            "{name} measured {comes_to:.2} ± {tolerance} {}, by {}{remark}",
            kind.unit(),
            random.of(&CREW)
        );
        self.add(
            Known {
                name,
                kind,
                comes_to,
                tolerance,
                depth: 0,
                checked: false,
            },
            random,
        );
        text
    }

    fn formula(&mut self, day: u32, random: &mut Random) -> Option<String> {
        let (kind, word, takes, written, work) = random.of(&RECIPES);
        let inputs: Vec<usize> = takes
            .iter()
            .map(|kind| self.pick(*kind, random))
            .collect::<Option<_>>()?;
        let values: Vec<f64> = inputs
            .iter()
            .map(|index| self.known[*index].comes_to)
            .collect();
        let depth = 1 + inputs
            .iter()
            .map(|index| self.known[*index].depth)
            .max()
            .unwrap_or(0);
        let name = format!("{word}_{day}_{}", self.known.len());
        let mut text = format!("{name} = ");
        for piece in written.split_inclusive(|c: char| !c.is_ascii_alphanumeric()) {
            let letter = piece.trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
            match ["A", "B", "C"]
                .iter()
                .position(|slot| *slot == letter)
                .and_then(|slot| inputs.get(slot))
            {
                Some(index) => text += &piece.replacen(letter, &self.known[*index].name, 1),
                None => text += piece,
            }
        }
        let known = Known {
            name,
            kind,
            comes_to: work(&values),
            tolerance: 0.0,
            depth,
            checked: false,
        };
        self.add(known, random);
        Some(text)
    }

    /// A name of today, a central one, or one of the last days.
    fn pick(&self, kind: Kind, random: &mut Random) -> Option<usize> {
        let fits =
            |index: &usize| self.known[*index].kind == kind && self.known[*index].depth < DEEPEST;
        (0..12).find_map(|_| {
            let index = match random.below(10) {
                0..6 => self.today + random.below(self.known.len() - self.today),
                6..8 if !self.central.is_empty() => random.of(&self.central),
                _ => self.known.len() - 1 - random.below(self.known.len().min(80)),
            };
            Some(index)
                .filter(|index| *index < self.known.len())
                .filter(fits)
        })
    }

    fn add(&mut self, known: Known, random: &mut Random) {
        if random.percent(5) {
            self.central.push(self.known.len());
        }
        self.known.push(known);
    }

    /// A check on the latest name without one.
    fn check(&mut self, random: &mut Random) -> Option<String> {
        let open = self.known[self.today..]
            .iter_mut()
            .rev()
            .find(|known| !known.checked)?;
        open.checked = true;
        let Known {
            name,
            comes_to,
            kind,
            ..
        } = open;
        let unit = kind.unit();
        // A few are tight: a limit within the spread.
        let room = comes_to.abs()
            * if random.percent(4) {
                0.0005
            } else {
                random.between(0.2, 0.5)
            };
        let hold = if open.tolerance > 0.0 && random.percent(8) {
            ", hold"
        } else {
            ""
        };
        Some(match random.below(4) {
            0 => format!("{name} at least {:.3} {unit}{hold}", *comes_to - room),
            1 => format!("{name} at most {:.3} {unit}{hold}", *comes_to + room),
            2 => format!(
                "{name} between {:.3} and {:.3} {unit}{hold}",
                *comes_to - room,
                *comes_to + room
            ),
            _ => format!("{name} within {comes_to:.3} ± {room:.3} {unit}{hold}"),
        })
    }

    /// A reading taken again, mostly of a central name; now and then a formula is measured.
    fn again(&mut self, set: &mut BTreeSet<usize>, random: &mut Random) -> Option<String> {
        let central = self.central.get(random.below(self.central.len())).copied();
        let recent = self.today.checked_sub(1 + random.below(60));
        let old = if random.percent(70) { central } else { recent }?;
        if old >= self.today || !set.insert(old) {
            return None;
        }
        let known = &mut self.known[old];
        let tolerance = if known.tolerance > 0.0 {
            known.tolerance
        } else {
            known.comes_to.abs() * 0.002
        };
        known.comes_to *= random.between(0.995, 1.005);
        let Known {
            name,
            comes_to,
            kind,
            ..
        } = known;
        Some(format!(
            "{name} measured {comes_to:.3} ± {tolerance:.4} {}, by {}",
            kind.unit(),
            random.of(&CREW)
        ))
    }
}
