//! Verdicts: a value and its spread against its limits.
//!
//! In: a value, its limits as values, the spread to judge with. Out: verdict and margin. The decision
//! rule is that of ISO 14253-1: in limits only with the whole spread inside, out only with the whole
//! spread outside.

use super::worked::Verdict;
use crate::book::Judge;
use crate::quantity::{Sides, Value};

/// Two figures nearer than this share of their size, or than rounding can tell, are the same figure written in two ways.
const SAME: f64 = 1e-12;

/// A verdict with its margin in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Judged {
    pub(super) verdict: Verdict,
    pub(super) margin: f64,
}

/// Judges a value against the limits that there are.
pub(super) fn judge(value: &Value, lower: Option<&Value>, upper: Option<&Value>, by: Judge) -> Judged {
    let below = lower.map(|limit| side(value, limit, 1.0, by));
    let above = upper.map(|limit| side(value, limit, -1.0, by));
    let sides = [below, above];
    let worst = |pick: fn(&Side) -> f64| sides.iter().flatten().map(pick).fold(f64::INFINITY, f64::min);
    let margin = worst(|side| side.least);
    let verdict = if sides.iter().flatten().any(|side| side.most < 0.0) {
        Verdict::OutOfLimits
    } else if margin >= 0.0 {
        Verdict::InLimits
    } else {
        Verdict::TooClose
    };
    Judged { verdict, margin }
}

/// How far a value lies inside one limit: at the least and at the most that its spread allows.
struct Side {
    least: f64,
    most: f64,
}

/// `sign` 1 for a lower limit, -1 for an upper one. Value and limit may share readings, so their
/// difference is spread as one.
fn side(value: &Value, limit: &Value, sign: f64, by: Judge) -> Side {
    let inside =
        Value::result(sign * (value.nominal - limit.nominal), value.dimension, [(sign, value), (-sign, limit)]);
    let Sides { up, down } = match by {
        Judge::WorstCase => inside.worst_case(),
        Judge::Rss => inside.rss(),
    };
    let size = inside.grain().max(SAME * value.nominal.abs().max(limit.nominal.abs()));
    // At the ends of the scale a margin stays a number.
    let held = |figure: f64| figure.clamp(f64::MIN, f64::MAX);
    let nominal = held(inside.nominal);
    Side { least: snapped(held(nominal - down), size), most: snapped(held(nominal + up), size) }
}

fn snapped(difference: f64, size: f64) -> f64 {
    if difference.abs() <= size { 0.0 } else { difference }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Dimension, SourceId};

    fn value(nominal: f64, spread: f64) -> Value {
        Value::from_source(nominal, Dimension::LENGTH, SourceId(1), spread, spread)
    }

    fn limit(nominal: f64) -> Value {
        Value::exact(nominal, Dimension::LENGTH)
    }

    fn between(v: &Value, low: f64, high: f64) -> Judged {
        judge(v, Some(&limit(low)), Some(&limit(high)), Judge::WorstCase)
    }

    #[test]
    fn the_whole_spread_decides() {
        assert_eq!(between(&value(5.0, 1.0), 3.0, 7.0).verdict, Verdict::InLimits);
        assert_eq!(between(&value(6.5, 1.0), 3.0, 7.0).verdict, Verdict::TooClose);
        assert_eq!(between(&value(9.0, 1.0), 3.0, 7.0).verdict, Verdict::OutOfLimits);
        assert_eq!(between(&value(5.0, 9.0), 3.0, 7.0).verdict, Verdict::TooClose);
    }

    #[test]
    fn at_the_limit_is_in_limits_however_it_is_written() {
        assert_eq!(between(&value(0.9 * 0.01, 0.0), 0.0, 9.0 * 0.001).verdict, Verdict::InLimits);
        assert_eq!(between(&value(0.1 + 0.2, 0.0), 0.3, 1.0).margin, 0.0);
        assert_eq!(between(&value(6.0, 1.0), 3.0, 7.0).verdict, Verdict::InLimits);
        assert_eq!(between(&value(6e-300, 1e-300), 3e-300, 7e-300).verdict, Verdict::InLimits);
        assert_eq!(between(&value(8.0, 1.0), 3.0, 7.0).verdict, Verdict::TooClose);
    }

    #[test]
    fn the_margin_is_to_the_nearest_limit_less_the_spread() {
        assert_eq!(between(&value(5.0, 1.0), 3.0, 9.0).margin, 1.0);
        assert_eq!(between(&value(10.0, 1.0), 3.0, 7.0).margin, -4.0);
    }

    #[test]
    fn a_limit_is_judged_with_the_side_that_faces_it() {
        let v = Value::from_source(5.0, Dimension::LENGTH, SourceId(1), 0.1, 2.0);
        assert_eq!(judge(&v, None, Some(&limit(5.5)), Judge::WorstCase).verdict, Verdict::InLimits);
        assert_eq!(judge(&v, Some(&limit(4.5)), None, Judge::WorstCase).verdict, Verdict::TooClose);
    }

    #[test]
    fn a_limit_worked_from_the_same_reading_shares_its_spread() {
        let v = value(10.0, 1.0);
        let limit = Value::result(9.9, Dimension::LENGTH, [(1.0, &v)]);
        assert_eq!(judge(&v, Some(&limit), None, Judge::WorstCase).verdict, Verdict::InLimits);
    }
}
