//! The parts of a large book: ordered, in, fitted, and now and then altered.

use std::fmt::Write as _;

use super::Scale;
use super::random::Random;

const WHAT: [&str; 10] = [
    "bracket", "hose", "bearing", "bush", "panel", "cable", "pump", "clamp", "shaft", "switch",
];
const FROM: [&str; 8] = [
    "Pellow & Daughters",
    "Saltmarsh Cable",
    "Oakum Switchgear",
    "Halvard Driveline",
    "Sluice Lane Pumps",
    "Dunnage Hydraulics",
    "the village garage",
    "our own bench",
];

/// One part and its days.
pub struct Part {
    pub id: String,
    pub ordered: u32,
    pub arrives: u32,
    pub fitted: u32,
    what: &'static str,
    from: &'static str,
    mass: f64,
    cost: f64,
    rated: bool,
    altered: bool,
}

/// All parts.
pub struct Parts {
    pub parts: Vec<Part>,
    /// Parts with something happening, by day.
    days: Vec<Vec<usize>>,
}

impl Parts {
    pub fn new(scale: Scale, random: &mut Random) -> Self {
        let parts: Vec<Part> = (0..scale.parts)
            .map(|number| part(number, scale, random))
            .collect();
        let mut days = vec![Vec::new(); scale.days as usize + 1];
        for (index, part) in parts.iter().enumerate() {
            for day in [part.ordered, part.arrives, part.fitted] {
                days.get_mut(day as usize)
                    .into_iter()
                    .for_each(|day: &mut Vec<usize>| day.push(index));
            }
        }
        Self { parts, days }
    }

    /// `parts.yaml`
    pub fn list(&self) -> String {
        let mut list = String::new();
        for part in &self.parts {
            let Part {
                id,
                what,
                from,
                mass,
                cost,
                ..
            } = part;
            let tolerance = if part.rated { " ± 0.1" } else { "" };
            writeln!(
                list,
                "{id}:\n  what: A {what}, {id}\n  from: {from}\n  mass: {mass:.1}{tolerance} kg\n  cost: {cost:.2}"
            )
            .unwrap();
            if part.rated {
                writeln!(
                    list,
                    "  ratings: {{torque: {:.0} N-m, current: {:.0} A}}",
                    cost + 40.0,
                    mass * 9.0 + 5.0
                )
                .unwrap();
            }
        }
        list
    }

    /// The parts block of a day.
    pub fn on_day(&self, day: u32) -> String {
        let lines: String = self.days[day as usize]
            .iter()
            .map(|index| self.parts[*index].line(day))
            .collect();
        if lines.is_empty() {
            lines
        } else {
            format!("```parts\n{lines}```\n\n")
        }
    }

    /// One that is in by that day.
    pub fn in_by(&self, day: u32, random: &mut Random) -> Option<&Part> {
        let part = &self.parts.get(random.below(self.parts.len()))?;
        (part.arrives <= day).then_some(part)
    }
}

impl Part {
    fn line(&self, day: u32) -> String {
        let id = &self.id;
        if day == self.ordered {
            return format!(
                "{id}:  ordered, due day {}, cost {:.2}\n",
                self.arrives, self.cost
            );
        }
        if day == self.arrives {
            return format!("{id}:  in\n");
        }
        let altered = if self.altered {
            format!("{id}:  altered, drilled for the second bolt\n")
        } else {
            String::new()
        };
        format!("{altered}{id}:  fitted\n")
    }
}

fn part(number: u32, scale: Scale, random: &mut Random) -> Part {
    let what = random.of(&WHAT);
    let ordered = 1 + number * scale.days / scale.parts.max(1);
    let arrives = ordered + random.days(1, 6);
    Part {
        id: format!("{what}_{number}"),
        ordered,
        arrives,
        fitted: arrives + random.days(1, 8),
        what,
        from: random.of(&FROM),
        mass: random.between(0.2, 30.0),
        cost: random.between(5.0, 600.0),
        rated: random.percent(30),
        altered: random.percent(5),
    }
}
