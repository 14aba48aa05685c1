//! Verdicts: a value and its spread compared with its limits.
//!
//! In: a value, its limits as values, the spread to judge with. Out: a [`Margin`]. The decision
//! rule is that of ISO 14253-1: in limits only with the whole spread inside, out only with the
//! whole spread outside.

use super::margin::{Edge, Margin, Verdict};
use crate::book::Judge;
use crate::quantity::{Sides, Value};

/// Two figures nearer than this share of their size, or than rounding can tell, are the same figure
/// written in two ways.
const SAME: f64 = 1e-12;

/// Judges a value against the limits that there are; `None` if there is none.
pub(super) fn judge(
    value: &Value,
    lower: Option<&Value>,
    upper: Option<&Value>,
    by: Judge,
) -> Option<Margin> {
    let below = lower.map(|limit| side(value, limit, Edge::Lower, by));
    let above = upper.map(|limit| side(value, limit, Edge::Upper, by));
    let verdict = decide(
        below
            .iter()
            .chain(&above)
            .map(|side| (side.least, side.most)),
    );
    let nearest = below
        .into_iter()
        .chain(above)
        .min_by(|a, b| a.least.total_cmp(&b.least))?;
    Some(Margin {
        verdict,
        nearest: nearest.edge,
        as_read: nearest.nominal,
        facing: nearest.facing,
        signed: nearest.least,
        noise: nearest.noise,
        by,
    })
}

/// The decision, from how far the value lies inside each limit at the least and at the most.
fn decide(inside: impl Iterator<Item = (f64, f64)> + Clone) -> Verdict {
    if inside.clone().any(|(_, most)| most < 0.0) {
        Verdict::OutOfLimits
    } else if inside.clone().all(|(least, _)| least >= 0.0) {
        Verdict::InLimits
    } else {
        Verdict::TooClose
    }
}

/// The verdict that plain figures seem to give: those printed on a page, all in one unit.
pub fn verdict_of_figures(
    nominal: f64,
    spread: Sides,
    (lower, upper): (Option<f64>, Option<f64>),
) -> Verdict {
    let side = |inside: f64, limit: f64, towards: f64, away: f64| {
        let size = SAME * nominal.abs().max(limit.abs());
        (
            snapped(inside - towards, size),
            snapped(inside + away, size),
        )
    };
    let Sides { up, down } = spread;
    let above = lower.map(|lower| side(nominal - lower, lower, down, up));
    let below = upper.map(|upper| side(upper - nominal, upper, up, down));
    decide(above.into_iter().chain(below))
}

/// How far a value lies inside one limit: as read, and at the least and at the most that its spread
/// allows.
struct Side {
    edge: Edge,
    nominal: f64,
    facing: f64,
    noise: f64,
    least: f64,
    most: f64,
}

/// Value and limit may share readings, so their difference is spread as one.
fn side(value: &Value, limit: &Value, edge: Edge, by: Judge) -> Side {
    let sign = if edge == Edge::Lower { 1.0 } else { -1.0 };
    let inside = Value::result(
        sign * (value.nominal - limit.nominal),
        value.dimension,
        [(sign, value), (-sign, limit)],
    );
    let Sides { up, down } = by.spread(&inside);
    let size = inside
        .grain()
        .max(SAME * value.nominal.abs().max(limit.nominal.abs()));
    // At the ends of the scale a margin stays a number.
    let held = |figure: f64| figure.clamp(f64::MIN, f64::MAX);
    let nominal = held(inside.nominal);
    let snap = |figure: f64| snapped(held(figure), size);
    Side {
        edge,
        nominal: snap(nominal),
        facing: held(down),
        noise: held(size),
        least: snap(nominal - down),
        most: snap(nominal + up),
    }
}

fn snapped(difference: f64, size: f64) -> f64 {
    if difference.abs() <= size {
        0.0
    } else {
        difference
    }
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

    fn between(v: &Value, low: f64, high: f64) -> Margin {
        judge(v, Some(&limit(low)), Some(&limit(high)), Judge::WorstCase).unwrap()
    }

    #[test]
    fn the_whole_spread_decides() {
        assert_eq!(
            between(&value(5.0, 1.0), 3.0, 7.0).verdict,
            Verdict::InLimits
        );
        assert_eq!(
            between(&value(6.5, 1.0), 3.0, 7.0).verdict,
            Verdict::TooClose
        );
        assert_eq!(
            between(&value(9.0, 1.0), 3.0, 7.0).verdict,
            Verdict::OutOfLimits
        );
        assert_eq!(
            between(&value(5.0, 9.0), 3.0, 7.0).verdict,
            Verdict::TooClose
        );
    }

    #[test]
    fn at_the_limit_is_in_limits_however_it_is_written() {
        assert_eq!(
            between(&value(0.9 * 0.01, 0.0), 0.0, 9.0 * 0.001).verdict,
            Verdict::InLimits
        );
        assert_eq!(between(&value(0.1 + 0.2, 0.0), 0.3, 1.0).signed, 0.0);
        assert_eq!(
            between(&value(6.0, 1.0), 3.0, 7.0).verdict,
            Verdict::InLimits
        );
        assert_eq!(
            between(&value(6e-300, 1e-300), 3e-300, 7e-300).verdict,
            Verdict::InLimits
        );
        assert_eq!(
            between(&value(8.0, 1.0), 3.0, 7.0).verdict,
            Verdict::TooClose
        );
    }

    #[test]
    fn the_margin_is_to_the_nearest_limit_less_the_spread() {
        assert_eq!(between(&value(5.0, 1.0), 3.0, 9.0).signed, 1.0);
        assert_eq!(between(&value(10.0, 1.0), 3.0, 7.0).signed, -4.0);
    }

    #[test]
    fn the_nearest_limit_is_the_one_with_the_least_distance_less_its_spread() {
        let v = Value::from_source(5.0, Dimension::LENGTH, SourceId(1), 0.5, 3.0);
        let margin = between(&v, 1.0, 7.0);
        assert_eq!(
            (margin.nearest, margin.as_read, margin.facing, margin.signed),
            (Edge::Lower, 4.0, 3.0, 1.0)
        );
        let margin = between(&value(10.0, 1.0), 3.0, 7.0);
        assert_eq!(
            (margin.nearest, margin.as_read, margin.facing, margin.signed),
            (Edge::Upper, -3.0, 1.0, -4.0)
        );
    }

    #[test]
    fn a_limit_is_judged_with_the_side_that_faces_it() {
        let v = Value::from_source(5.0, Dimension::LENGTH, SourceId(1), 0.1, 2.0);
        assert_eq!(
            judge(&v, None, Some(&limit(5.5)), Judge::WorstCase)
                .unwrap()
                .verdict,
            Verdict::InLimits
        );
        assert_eq!(
            judge(&v, Some(&limit(4.5)), None, Judge::WorstCase)
                .unwrap()
                .verdict,
            Verdict::TooClose
        );
    }

    #[test]
    fn a_limit_worked_from_the_same_reading_shares_its_spread() {
        let v = value(10.0, 1.0);
        let limit = Value::result(9.9, Dimension::LENGTH, [(1.0, &v)]);
        assert_eq!(
            judge(&v, Some(&limit), None, Judge::WorstCase)
                .unwrap()
                .verdict,
            Verdict::InLimits
        );
    }
}
