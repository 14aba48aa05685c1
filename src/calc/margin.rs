//! How a value compares with its limits: the one place where a margin is made, and where it becomes
//! words.
//!
//! In: the distance to each limit and the spread that faces it. Out: a [`Margin`], and its words
//! for pages, drawings, the terminal and the hold list. No other place computes a margin or words
//! one.
//!
//! What always holds: a printed margin is never better than it is, and a printed spread is never
//! smaller.

use crate::book::Judge;
use crate::quantity::{Unit, format, printed};

/// How a value compares with its limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// The whole spread is inside.
    InLimits,
    /// A limit lies within the spread.
    TooClose,
    /// The whole spread is outside.
    OutOfLimits,
    /// Something it needs is not known.
    NoReading,
    /// The check was withdrawn.
    Withdrawn,
}

impl Verdict {
    /// The words scripts may rely on.
    pub fn words(self) -> &'static str {
        match self {
            Self::InLimits => "in limits",
            Self::TooClose => "too close",
            Self::OutOfLimits => "out of limits",
            Self::NoReading => "no reading",
            Self::Withdrawn => "withdrawn",
        }
    }
}

/// Which of the limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// The lower one.
    Lower,
    /// The upper one.
    Upper,
}

/// A verdict and its margin, in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// The verdict.
    pub verdict: Verdict,
    /// The nearest limit: the one where the distance less the facing spread is least.
    pub nearest: Edge,
    /// From the nominal value to that limit; negative outside.
    pub as_read: f64,
    /// The spread on the side of that limit, as the check is judged; never negative.
    pub facing: f64,
    /// The distance less the spread: zero or more in limits, negative otherwise.
    pub signed: f64,
    /// How far rounding alone may have moved these figures; never negative.
    pub noise: f64,
    /// Which spread the check is judged with.
    pub by: Judge,
}

impl Margin {
    /// `clear by 3 mm`, `short by 5 mm (4 mm as read)`, `0.5 mm inside the limit, spread ±2 mm`.
    pub fn words(&self, unit: &Unit) -> String {
        match self.verdict {
            Verdict::InLimits => format!(
                "clear by {}",
                printed::at_most(self.settled(self.signed, unit), unit)
            ),
            Verdict::OutOfLimits => self.outside(unit),
            Verdict::TooClose => self.within_spread(unit),
            Verdict::NoReading | Verdict::Withdrawn => String::new(),
        }
    }

    /// A figure of the margin without the noise of the machine, in SI.
    fn settled(&self, si: f64, unit: &Unit) -> f64 {
        unit.step_to_si(format::without_noise(unit.step(si), unit.step(self.noise)))
    }

    /// Outside, the larger figure is the safer one.
    fn outside(&self, unit: &Unit) -> String {
        let by = printed::at_least(-self.settled(self.signed, unit), unit);
        let read = printed::at_least(-self.settled(self.as_read, unit), unit);
        let word = match self.nearest {
            Edge::Lower => "short by",
            Edge::Upper => "over by",
        };
        if by == read {
            format!("{word} {by}")
        } else {
            format!("{word} {by} ({read} as read)")
        }
    }

    fn within_spread(&self, unit: &Unit) -> String {
        let as_read = self.settled(self.as_read, unit);
        let (distance, side) = if as_read < 0.0 {
            (printed::at_least(-as_read, unit), "outside")
        } else {
            (printed::at_most(as_read, unit), "inside")
        };
        format!(
            "{distance} {side} the limit, spread ±{}",
            printed::spread(self.facing, unit)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Units;

    fn words(verdict: Verdict, nearest: Edge, as_read: f64, facing: f64) -> String {
        let mm = Units::new("EUR").named("mm").unwrap();
        let (as_read, facing) = (as_read / 1e3, facing / 1e3);
        let margin = Margin {
            verdict,
            nearest,
            as_read,
            facing,
            signed: as_read - facing,
            noise: 0.0,
            by: Judge::WorstCase,
        };
        margin.words(&mm).replace('\u{202f}', " ")
    }

    #[test]
    fn each_verdict_has_one_form_of_words() {
        assert_eq!(
            words(Verdict::InLimits, Edge::Lower, 5.0, 2.0),
            "clear by 3 mm"
        );
        assert_eq!(
            words(Verdict::OutOfLimits, Edge::Lower, -4.0, 1.0),
            "short by 5 mm (4 mm as read)"
        );
        assert_eq!(
            words(Verdict::OutOfLimits, Edge::Upper, -4.0, 1.0),
            "over by 5 mm (4 mm as read)"
        );
        assert_eq!(
            words(Verdict::OutOfLimits, Edge::Upper, -4.0, 0.0),
            "over by 4 mm"
        );
        assert_eq!(
            words(Verdict::TooClose, Edge::Lower, 0.5, 2.0),
            "0.5 mm inside the limit, spread ±2 mm"
        );
        assert_eq!(
            words(Verdict::TooClose, Edge::Upper, -0.5, 2.0),
            "0.5 mm outside the limit, spread ±2 mm"
        );
    }

    #[test]
    fn a_margin_is_never_worded_better_than_it_is() {
        assert_eq!(
            words(Verdict::InLimits, Edge::Lower, 10.0 / 3.0, 0.0),
            "clear by 3.33 mm"
        );
        assert_eq!(
            words(Verdict::OutOfLimits, Edge::Lower, -10.0 / 3.0, 0.0),
            "short by 3.34 mm"
        );
        assert_eq!(
            words(Verdict::TooClose, Edge::Lower, 1.0 / 3.0, 2.0 / 3.0),
            "0.333 mm inside the limit, spread ±0.67 mm"
        );
    }
}
