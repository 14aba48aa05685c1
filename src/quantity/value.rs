//! Values that know how far each reading can move them.
//!
//! In: nominal values and, for each source, what it does to them at its upper and its lower end.
//! Out: the same for results, and both spreads. First order, as the GUM (JCGM 100:2008, 5.1.2) has
//! it: effects are carried by the slope at the nominal value, each source once, so `x - x` is
//! exactly 0 ± 0.

use std::collections::BTreeMap;

use super::Dimension;

/// Who or what a spread comes from: an index into the book's list of sources.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// What one source does to a value, in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Term {
    /// The source.
    pub source: SourceId,
    /// How the value moves when the source is at its upper end.
    pub at_upper: f64,
    /// How the value moves when the source is at its lower end.
    pub at_lower: f64,
}

impl Term {
    /// How far the source can raise the value; not negative.
    pub fn up(&self) -> f64 {
        self.at_upper.max(self.at_lower).max(0.0)
    }

    /// How far the source can lower the value; not negative.
    pub fn down(&self) -> f64 {
        -self.at_upper.min(self.at_lower).min(0.0)
    }

    fn scaled(self, by: f64) -> Self {
        Self {
            at_upper: self.at_upper * by,
            at_lower: self.at_lower * by,
            ..self
        }
    }

    fn moves(self) -> bool {
        self.at_upper != 0.0 || self.at_lower != 0.0
    }
}

/// How far a value may lie above and below its nominal, in SI.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Sides {
    /// Above; not negative.
    pub up: f64,
    /// Below; not negative.
    pub down: f64,
}

impl Sides {
    /// The larger side: the half-width that JSON gives.
    pub fn half_width(self) -> f64 {
        self.up.max(self.down)
    }
}

/// What kind of temperature a value is, so that a reading is never taken for a rise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum TemperatureKind {
    /// No temperature, or kelvin, which can be either.
    #[default]
    Either,
    /// A reading on a scale with its own zero.
    Absolute,
    /// A difference of two readings.
    Difference,
}

/// A nominal value in SI with its dimension and what moves it.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// The value with every source at its nominal, in SI.
    pub nominal: f64,
    /// What it measures.
    pub dimension: Dimension,
    /// Reading or rise, where it is a temperature.
    pub heat: TemperatureKind,
    terms: Vec<Term>,
    /// How far the rounding of the machine may have moved the nominal value on the way to it, in
    /// SI.
    grain: f64,
}

impl Value {
    /// A value without spread.
    pub fn exact(nominal: f64, dimension: Dimension) -> Self {
        Self {
            nominal,
            dimension,
            heat: TemperatureKind::Either,
            terms: Vec::new(),
            grain: rounding(nominal),
        }
    }

    /// A value that one source moves by `plus` up and `minus` down.
    pub fn from_source(
        nominal: f64,
        dimension: Dimension,
        source: SourceId,
        plus: f64,
        minus: f64,
    ) -> Self {
        let term = Term {
            source,
            at_upper: plus,
            at_lower: -minus,
        };
        let terms = if term.moves() { vec![term] } else { Vec::new() };
        Self {
            nominal,
            dimension,
            heat: TemperatureKind::Either,
            terms,
            grain: rounding(nominal),
        }
    }

    /// The same value as a temperature of the given kind.
    #[must_use]
    pub fn with_heat(mut self, heat: TemperatureKind) -> Self {
        self.heat = heat;
        self
    }

    /// The same value taken as another dimension that agrees with its own.
    #[must_use]
    pub fn with_dimension(mut self, dimension: Dimension) -> Self {
        self.dimension = dimension;
        self
    }

    /// How far rounding alone may have moved the nominal value, in SI: differences below it say
    /// nothing.
    pub fn grain(&self) -> f64 {
        self.grain
    }

    /// What moves it, by source.
    pub fn terms(&self) -> &[Term] {
        &self.terms
    }

    /// A result of `parts`: `nominal` as worked out, each part's effects times the result's slope
    /// along it.
    pub fn result<'a>(
        nominal: f64,
        dimension: Dimension,
        parts: impl IntoIterator<Item = (f64, &'a Self)>,
    ) -> Self {
        let mut terms: Vec<Term> = Vec::new();
        let mut grain = 0.0;
        for (slope, part) in parts {
            grain += slope.abs() * part.grain;
            if slope != 0.0 {
                terms.extend(part.terms.iter().map(|term| term.scaled(slope)));
            }
        }
        let grain = if grain.is_finite() { grain } else { 0.0 };
        // What rounding alone could have left of a difference is nothing: 0.3 mm - 0.1 mm - 0.2 mm
        // is 0.
        let nominal = if nominal.abs() <= grain { 0.0 } else { nominal };
        let grain = grain + rounding(nominal);
        Self {
            nominal,
            dimension,
            heat: TemperatureKind::Either,
            terms: by_source(terms),
            grain,
        }
    }

    /// How far one source raises and lowers the value.
    pub fn reach_of(&self, source: SourceId) -> (f64, f64) {
        self.term(source)
            .map_or((0.0, 0.0), |term| (term.up(), term.down()))
    }

    /// How the value moves when one source is at its upper or its lower end.
    pub fn at_end(&self, source: SourceId, upper: bool) -> f64 {
        self.term(source).map_or(
            0.0,
            |term| if upper { term.at_upper } else { term.at_lower },
        )
    }

    fn term(&self, source: SourceId) -> Option<&Term> {
        self.terms
            .binary_search_by_key(&source, |term| term.source)
            .ok()
            .map(|index| &self.terms[index])
    }

    /// The same value with the given sources moving it so at their upper and lower ends, in place
    /// of what was carried.
    #[must_use]
    pub fn reaching(mut self, ends: &BTreeMap<SourceId, (f64, f64)>) -> Self {
        self.terms.retain(|term| !ends.contains_key(&term.source));
        let taken = ends.iter().map(|(source, (at_upper, at_lower))| Term {
            source: *source,
            at_upper: *at_upper,
            at_lower: *at_lower,
        });
        self.terms.extend(taken);
        self.terms.sort_by_key(|term| term.source);
        self
    }

    /// The same value moved by one further source.
    #[must_use]
    pub fn moved_by(mut self, source: SourceId, plus: f64, minus: f64) -> Self {
        self.terms.push(Term {
            source,
            at_upper: plus,
            at_lower: -minus,
        });
        self.terms = by_source(self.terms);
        self
    }

    /// Every source at its worst end at once.
    pub fn worst_case(&self) -> Sides {
        let (up, down) = self.terms.iter().fold((0.0, 0.0), |(up, down), term| {
            (up + term.up(), down + term.down())
        });
        Sides { up, down }
    }

    /// Root-sum-square of the sources, each side by itself.
    pub fn rss(&self) -> Sides {
        // Scaled by the largest term, so that squares of very small or very large effects stay in
        // range.
        let largest = self.terms.iter().fold(0.0_f64, |largest, term| {
            largest.max(term.up()).max(term.down())
        });
        if largest == 0.0 {
            return Sides::default();
        }
        let (up, down) = self
            .terms
            .iter()
            .fold((0.0, 0.0), |(up, down): (f64, f64), term| {
                (
                    up + (term.up() / largest).powi(2),
                    down + (term.down() / largest).powi(2),
                )
            });
        Sides {
            up: largest * up.sqrt(),
            down: largest * down.sqrt(),
        }
    }

    /// Are the value and all its effects numbers, alone and together?
    pub fn is_finite(&self) -> bool {
        let Sides { up, down } = self.worst_case();
        let each = self
            .terms
            .iter()
            .all(|t| t.at_upper.is_finite() && t.at_lower.is_finite());
        self.nominal.is_finite() && each && up.is_finite() && down.is_finite()
    }
}

fn rounding(nominal: f64) -> f64 {
    nominal.abs() * f64::EPSILON
}

/// One term for each source, sorted: what it does is added up, and what moves nothing goes.
fn by_source(mut terms: Vec<Term>) -> Vec<Term> {
    terms.sort_by_key(|term| term.source);
    terms.dedup_by(|next, sum| {
        let same = next.source == sum.source;
        if same {
            sum.at_upper += next.at_upper;
            sum.at_lower += next.at_lower;
        }
        same
    });
    terms.retain(|term| term.moves());
    terms
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(source: u32, nominal: f64, tolerance: f64) -> Value {
        Value::from_source(
            nominal,
            Dimension::LENGTH,
            SourceId(source),
            tolerance,
            tolerance,
        )
    }

    #[test]
    fn a_value_less_itself_is_exactly_zero_without_spread() {
        let x = reading(1, 10.0, 0.3);
        let zero = Value::result(0.0, Dimension::LENGTH, [(1.0, &x), (-1.0, &x)]);
        assert!(zero.terms().is_empty());
    }

    #[test]
    fn two_readings_add_in_the_worst_case_and_by_squares() {
        let sum = Value::result(
            15.0,
            Dimension::LENGTH,
            [(1.0, &reading(1, 10.0, 0.3)), (1.0, &reading(2, 5.0, 0.4))],
        );
        assert!((sum.worst_case().up - 0.7).abs() < 1e-15);
        assert!((sum.rss().up - 0.5).abs() < 1e-15);
    }

    #[test]
    fn unequal_sides_change_places_where_the_slope_is_negative() {
        let x = Value::from_source(10.0, Dimension::LENGTH, SourceId(1), 0.2, 0.1);
        let minus = Value::result(-10.0, Dimension::LENGTH, [(-1.0, &x)]);
        assert_eq!(minus.worst_case(), Sides { up: 0.1, down: 0.2 });
    }

    #[test]
    fn squares_of_tiny_spreads_do_not_vanish() {
        let sum = Value::result(
            0.0,
            Dimension::LENGTH,
            [
                (1.0, &reading(1, 0.0, 3e-300)),
                (1.0, &reading(2, 0.0, 4e-300)),
            ],
        );
        assert!((sum.rss().up / 5e-300 - 1.0).abs() < 1e-12);
    }
}
