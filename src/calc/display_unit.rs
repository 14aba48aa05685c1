//! Which unit a result is shown in.
//!
//! In: a value and the formula it came from. Out: the unit written behind `as`, else a unit of the
//! formula that measures the same (the book's usual one where it is among several, else the first),
//! else the book's usual unit for it, with a prefix where the figure would be very long.

use super::bindings::Bindings;
use super::evaluate::{Halt, no_number};
use super::expression::{Expr, ExprKind, Input};
use super::results::Content;
use super::statement::cannot_be_shown;
use crate::book::UnitSystem;
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::{Dimension, TemperatureKind, Unit, Units, Value};
use crate::source::Span;

/// The book's usual units.
pub(super) struct Shown<'a> {
    pub(super) units: &'a Units,
    pub(super) system: UnitSystem,
}

/// What is measured, in metric, in US customary.
const USUAL: [(Dimension, &str, &str); 21] = [
    (Dimension::LENGTH, "mm", "in"),
    (Dimension::ANGLE, "deg", "deg"),
    (Dimension::MASS, "kg", "lb"),
    (Dimension::FORCE, "N", "lbf"),
    (Dimension::TORQUE, "N-m", "lb-ft"),
    (Dimension::POWER, "kW", "hp"),
    (Dimension::PRESSURE, "bar", "psi"),
    (Dimension::SPEED, "km/h", "mph"),
    (Dimension::TURNING, "rpm", "rpm"),
    (Dimension::TIME, "s", "s"),
    (Dimension::AREA, "mm2", "in2"),
    (Dimension::VOLUME, "L", "cu_in"),
    (Dimension::TEMPERATURE, "degC", "degF"),
    (Dimension::VOLTAGE, "V", "V"),
    (Dimension::CURRENT, "A", "A"),
    (Dimension::RESISTANCE, "ohm", "ohm"),
    (Dimension::CHARGE, "Ah", "Ah"),
    (Dimension::MASS_FLOW, "kg/h", "lb/h"),
    (Dimension::VOLUME_FLOW, "cc/min", "cc/min"),
    (Dimension::CONSUMPTION, "g/kWh", "lb/hp/h"),
    (Dimension::RESISTANCE_PER_LENGTH, "mohm/m", "mohm/ft"),
];

/// Units that a figure moves to where it is at least [`LONGEST`], or below [`SHORTEST`], in the
/// other.
const PREFIXES: [(&str, &str); 10] = [
    ("mm", "m"),
    ("m", "km"),
    ("W", "kW"),
    ("mohm", "ohm"),
    ("ohm", "kohm"),
    ("kohm", "Mohm"),
    ("mA", "A"),
    ("mm3", "cc"),
    ("cc", "L"),
    ("N", "kN"),
];
const LONGEST: f64 = 1e4;
const SHORTEST: f64 = 1e-2;

impl Shown<'_> {
    /// The value as its definition wants it, and the unit it is shown in.
    pub(super) fn settle(
        &self,
        value: Value,
        content: &Content,
        cells: &Bindings,
    ) -> Result<(Value, Unit), Halt> {
        let Content::Formula { expr, shown_in } = content else {
            let unit = self.usual(&value);
            return Ok((value, unit));
        };
        if let Some((unit, at)) = shown_in {
            return asked_for(value, unit, *at);
        }
        let unit = self.handy(
            self.found(expr, &value, cells)
                .unwrap_or_else(|| self.usual(&value)),
            &value,
        );
        let dimension = if unit.dimension.is_none() {
            value.dimension
        } else {
            unit.dimension
        };
        Ok((value.with_dimension(dimension), unit))
    }

    /// The unit of the first thing in a formula that measures what the value does. Where the
    /// formula has several such units, the book's usual one among them is taken.
    fn found(&self, expr: &Expr, value: &Value, cells: &Bindings) -> Option<Unit> {
        let mut units = Vec::new();
        units_in(expr, value, cells, &mut units);
        let usual = self.usual(value).name;
        let first = units.first()?;
        Some(
            units
                .iter()
                .find(|unit| unit.name == usual)
                .unwrap_or(first)
                .clone(),
        )
    }

    /// A unit, or one with a larger or smaller prefix where the figure would be very long.
    fn handy(&self, mut unit: Unit, value: &Value) -> Unit {
        loop {
            let reading = unit.reading(value.nominal).abs();
            let next = PREFIXES
                .iter()
                .find_map(|(smaller, larger)| match unit.name.as_str() {
                    name if name == *smaller && reading >= LONGEST => Some(larger),
                    name if name == *larger && reading > 0.0 && reading < SHORTEST => Some(smaller),
                    _ => None,
                });
            match next {
                Some(name) => unit = self.named(name, value.dimension),
                None => return unit,
            }
        }
    }

    /// The usual unit for what a value measures.
    pub(super) fn usual(&self, value: &Value) -> Unit {
        if value.heat == TemperatureKind::Difference && value.dimension == Dimension::TEMPERATURE {
            return Unit::si(Dimension::TEMPERATURE);
        }
        if value.dimension == Dimension::MONEY {
            return self.named(self.units.currency(), value.dimension);
        }
        // So many a second may be turns, strokes or radians: only the crew knows.
        if value.dimension == Dimension::FREQUENCY {
            return Unit::si(value.dimension);
        }
        let row = USUAL.iter().find(|row| row.0.agrees_with(value.dimension));
        let name = row.map(|row| {
            if self.system == UnitSystem::Us {
                row.2
            } else {
                row.1
            }
        });
        name.map_or_else(
            || Unit::si(value.dimension),
            |name| self.named(name, value.dimension),
        )
    }

    fn named(&self, name: &str, dimension: Dimension) -> Unit {
        self.units
            .named(name)
            .unwrap_or_else(|_| Unit::si(dimension))
    }
}

/// A value and its spread must be numbers in the unit they are shown in, too.
pub(super) fn can_be_shown(value: Value, unit: Unit, at: Span) -> Result<(Value, Unit), Halt> {
    let spread = unit.step(value.worst_case().half_width());
    if value.is_finite() && unit.reading(value.nominal).is_finite() && spread.is_finite() {
        return Ok((value, unit));
    }
    Err(no_number(at))
}

fn asked_for(value: Value, unit: &Unit, at: Span) -> Result<(Value, Unit), Halt> {
    if !unit.dimension.agrees_with(value.dimension) {
        return Err(Halt::Fault(Box::new(cannot_be_shown(
            &value.dimension.words(),
            unit,
            at,
        ))));
    }
    if unit.is_scale() && value.heat == TemperatureKind::Difference {
        return Err(Halt::Fault(Box::new(
            Diagnostic::error(
                Slug::UnitMismatch,
                at,
                format!("a rise of temperature cannot be shown in `{}`", unit.name),
            )
            .expected("K")
            .instead("K"),
        )));
    }
    Ok((value.with_dimension(unit.dimension), unit.clone()))
}

/// The unit of the first number or name of an expression.
pub(super) fn unit_of(expr: &Expr, cells: &Bindings) -> Option<Unit> {
    match &expr.kind {
        ExprKind::Number(_, unit) => unit.clone(),
        ExprKind::Name(name) | ExprKind::Past { name, .. } => Some(cells.get(*name).unit.clone()),
        ExprKind::Negative(inner) => unit_of(inner, cells),
        ExprKind::Binary(_, a, b) => unit_of(a, cells).or_else(|| unit_of(b, cells)),
        _ => None,
    }
}

/// The units of the numbers and names of an expression that measure what the value does, in order.
fn units_in(expr: &Expr, value: &Value, cells: &Bindings, units: &mut Vec<Unit>) {
    let fits = |unit: &Unit| {
        let rise_on_a_scale = unit.is_scale() && value.heat == TemperatureKind::Difference;
        unit.dimension == value.dimension && !unit.name.is_empty() && !rise_on_a_scale
    };
    match &expr.kind {
        ExprKind::Number(_, unit) => units.extend(unit.clone().filter(fits)),
        ExprKind::Name(name) | ExprKind::Past { name, .. } => {
            units.extend(Some(cells.get(*name).unit.clone()).filter(fits));
        }
        ExprKind::Negative(inner) => units_in(inner, value, cells, units),
        ExprKind::Binary(_, a, b) => [a, b]
            .into_iter()
            .for_each(|side| units_in(side, value, cells, units)),
        ExprKind::If(parts) => parts[1..]
            .iter()
            .for_each(|part| units_in(part, value, cells, units)),
        ExprKind::Math(_, arguments) => arguments
            .iter()
            .for_each(|part| units_in(part, value, cells, units)),
        ExprKind::Formula(_, inputs, _) => inputs.iter().for_each(|input| match input {
            Input::Quantity(expr) => units_in(expr, value, cells, units),
            Input::Word(_) => {}
        }),
        ExprKind::Compare(..) | ExprKind::And(..) | ExprKind::Or(..) | ExprKind::Not(_) => {}
    }
}
