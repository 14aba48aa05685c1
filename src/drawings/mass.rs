//! What weighs what: each mass laid at the end of the ones before it, against the target.
//!
//! In: labels and kilograms, and a target. Out: a stair of bars, the largest first; what lies
//! beyond the target is hatched.

use super::Drawing;
use super::hours::count;
use super::ink::{self, Ink, Side};
use crate::quantity::printed;

/// It lies across the page, wider than what stands beside a text: the parts' names need the room.
const WIDTH: f64 = 480.0;
const ROW: f64 = 19.0;
/// At most so many masses have a row.
const MOST: usize = 14;
/// Where the bars begin below the target's figure.
const TOP: f64 = 24.0;

/// The most that the whole may weigh.
#[derive(Clone, Debug, PartialEq)]
pub struct MassLimit {
    /// In kg.
    pub most: f64,
    /// The margin of its check, in words: `clear by 37 kg`.
    pub margin: String,
}

/// The masses in kg, the largest first, and their sum compared with the target.
pub fn mass(rows: &[(String, f64)], target: Option<MassLimit>) -> Drawing {
    let ledger = Ledger::new(rows, target);
    let mut ink = Ink::new(WIDTH);
    ledger.target_line(&mut ink);
    ledger.stair(&mut ink);
    let height = ledger.total(&mut ink);
    ink.finish(height, ledger.words())
}

struct Ledger {
    steps: Vec<(String, f64)>,
    sum: f64,
    target: Option<f64>,
    margin: String,
    left: f64,
    per_kg: f64,
}

impl Ledger {
    fn new(rows: &[(String, f64)], limit: Option<MassLimit>) -> Self {
        let (target, margin) = limit.map_or((None, String::new()), |limit| {
            (Some(count(limit.most)), limit.margin)
        });
        let mut steps: Vec<(String, f64)> = rows
            .iter()
            .map(|(label, kg)| (label.clone(), count(*kg)))
            .collect();
        steps.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        let sum = steps.iter().map(|step| step.1).sum();
        if steps.len() > MOST {
            let rest = steps.split_off(MOST);
            steps.push((
                format!("and {} more", rest.len()),
                rest.iter().map(|step| step.1).sum(),
            ));
        }
        let left = steps
            .iter()
            .map(|step| ink::width(&step.0))
            .fold(0.0, f64::max)
            .clamp(40.0, 225.0)
            + 10.0;
        let widest = steps
            .iter()
            .map(|step| ink::width(&kg(step.1)))
            .fold(0.0, f64::max);
        let most = target.unwrap_or(0.0).max(sum);
        let per_kg = if most > 0.0 {
            (WIDTH - widest - 10.0 - left) / most
        } else {
            0.0
        };
        Self {
            steps,
            sum,
            target,
            margin,
            left,
            per_kg,
        }
    }

    fn bottom(&self) -> f64 {
        TOP + ROW * self.steps.len() as f64
    }

    fn target_line(&self, ink: &mut Ink) {
        let Some(target) = self.target else { return };
        let x = self.left + target * self.per_kg;
        let text = format!("target {}", kg(target));
        ink.text(
            x.min(WIDTH),
            13.0,
            if x > ink::width(&text) {
                Side::End
            } else {
                Side::Start
            },
            &text,
            WIDTH,
        );
        ink.line((x, 18.0), (x, self.bottom() + 4.0), 1.6);
    }

    fn stair(&self, ink: &mut Ink) {
        let mut from = 0.0;
        for (index, (label, mass)) in self.steps.iter().enumerate() {
            let y = TOP + ROW * index as f64;
            ink.text(0.0, y + 12.0, Side::Start, label, self.left - 8.0);
            ink.text(WIDTH, y + 12.0, Side::End, &kg(*mass), WIDTH);
            self.step(ink, from, from + mass, y);
            from += mass;
        }
    }

    fn step(&self, ink: &mut Ink, from: f64, to: f64, y: f64) {
        let limit = self.target.unwrap_or(f64::INFINITY);
        let place = |mass: f64| self.left + mass * self.per_kg;
        let within = (place(from), place(to.min(limit)));
        ink.wash(within.0, y + 2.0, within.1 - within.0, 13.0, ".16");
        ink.outline(within.0, y + 2.0, within.1 - within.0, 13.0);
        if to > limit {
            let start = place(from.max(limit));
            ink.over(|ink| ink.hatch(start, y + 2.0, place(to) - start, 13.0));
        }
    }

    fn total(&self, ink: &mut Ink) -> f64 {
        let y = self.bottom() + 6.0;
        ink.line((0.0, y), (WIDTH, y), 1.0);
        ink.over_if(self.over() > 0.0, |ink| {
            ink.bold(0.0, y + 17.0, Side::Start, &self.standing(), WIDTH);
        });
        y + 24.0
    }

    fn over(&self) -> f64 {
        self.target.map_or(0.0, |target| self.sum - target)
    }

    /// `1262.3 kg of 1300 kg, clear by 37 kg`
    fn standing(&self) -> String {
        let Some(target) = self.target else {
            return format!("{} in all", kg(self.sum));
        };
        format!("{} of {}, {}", kg(self.sum), kg(target), self.margin)
    }

    fn words(&self) -> String {
        let steps: Vec<String> = self
            .steps
            .iter()
            .map(|(label, mass)| format!("{label} {}", kg(*mass)))
            .collect();
        let steps = if steps.is_empty() {
            "nothing weighed".to_owned()
        } else {
            steps.join(", ")
        };
        format!("what weighs what: {steps}; {}", self.standing())
    }
}

fn kg(mass: f64) -> String {
    printed::kilograms(mass)
}
