//! Units: the fixed ones, the book's currency, and products, quotients and powers of them.
//!
//! In: `mm`, `N-m`, `kg/m^3`. Out: a factor to SI, an offset for readings of temperature, a
//! dimension. Factors are exact where NIST SP 811 (2008), Appendix B.8, says so.

use std::f64::consts::PI;

use super::{Dimension, unknown};

/// A unit as written.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// As the crew writes it; empty for a plain number.
    pub name: String,
    /// How many SI units one of it is.
    pub factor: f64,
    /// What its zero is in SI (only temperatures have one).
    pub offset: f64,
    /// What it measures.
    pub dimension: Dimension,
}

impl Unit {
    /// A plain number's.
    pub fn none() -> Self {
        Self {
            name: String::new(),
            factor: 1.0,
            offset: 0.0,
            dimension: Dimension::NONE,
        }
    }

    /// The SI unit of a dimension.
    pub fn si(dimension: Dimension) -> Self {
        if dimension.is_none() {
            return Self::none();
        }
        Self {
            name: dimension.symbol(),
            factor: 1.0,
            offset: 0.0,
            dimension,
        }
    }

    /// A reading in this unit, in SI.
    pub fn to_si(&self, number: f64) -> f64 {
        number * self.factor + self.offset
    }

    /// A difference in this unit, in SI.
    pub fn step_to_si(&self, number: f64) -> f64 {
        number * self.factor
    }

    /// An SI value as a reading in this unit.
    pub fn reading(&self, si: f64) -> f64 {
        // Dividing undoes the multiplication of `to_si` best: 4.3 deg stays 4.3 deg.
        (si - self.offset) / self.factor
    }

    /// An SI difference in this unit.
    pub fn step(&self, si: f64) -> f64 {
        si / self.factor
    }

    /// Is it a scale with its own zero (degC, degF)?
    pub fn is_scale(&self) -> bool {
        self.offset != 0.0
    }
}

/// The units a book knows: the fixed ones and its currency.
#[derive(Clone, Debug)]
pub struct Units {
    currency: String,
    /// Are units read that people write and Shimbook does not have, to tell what a line means?
    foreign: bool,
}

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const POUND: f64 = 0.453_592_37;
const GRAVITY: f64 = 9.806_65;
const POUND_FORCE: f64 = POUND * GRAVITY;
const MILE: f64 = 1609.344;

/// Symbol, SI units in one, zero in SI, dimension.
pub(super) type Row = (&'static str, f64, f64, Dimension);

pub(super) const ROWS: [Row; 63] = [
    ("mm", 1e-3, 0.0, Dimension::LENGTH),
    ("cm", 1e-2, 0.0, Dimension::LENGTH),
    ("m", 1.0, 0.0, Dimension::LENGTH),
    ("km", 1e3, 0.0, Dimension::LENGTH),
    ("thou", INCH / 1000.0, 0.0, Dimension::LENGTH),
    ("in", INCH, 0.0, Dimension::LENGTH),
    ("ft", FOOT, 0.0, Dimension::LENGTH),
    ("yd", 3.0 * FOOT, 0.0, Dimension::LENGTH),
    ("mi", MILE, 0.0, Dimension::LENGTH),
    ("deg", PI / 180.0, 0.0, Dimension::ANGLE),
    ("rad", 1.0, 0.0, Dimension::ANGLE),
    ("g", 1e-3, 0.0, Dimension::MASS),
    ("kg", 1.0, 0.0, Dimension::MASS),
    ("t", 1e3, 0.0, Dimension::MASS),
    ("oz", POUND / 16.0, 0.0, Dimension::MASS),
    ("lb", POUND, 0.0, Dimension::MASS),
    ("N", 1.0, 0.0, Dimension::FORCE),
    ("kN", 1e3, 0.0, Dimension::FORCE),
    ("lbf", POUND_FORCE, 0.0, Dimension::FORCE),
    ("N-m", 1.0, 0.0, Dimension::TORQUE),
    ("lb-ft", POUND_FORCE * FOOT, 0.0, Dimension::TORQUE),
    ("lb-in", POUND_FORCE * INCH, 0.0, Dimension::TORQUE),
    ("W", 1.0, 0.0, Dimension::POWER),
    ("kW", 1e3, 0.0, Dimension::POWER),
    ("hp", 550.0 * FOOT * POUND_FORCE, 0.0, Dimension::POWER),
    ("PS", 75.0 * GRAVITY, 0.0, Dimension::POWER),
    ("Pa", 1.0, 0.0, Dimension::PRESSURE),
    ("kPa", 1e3, 0.0, Dimension::PRESSURE),
    ("MPa", 1e6, 0.0, Dimension::PRESSURE),
    ("GPa", 1e9, 0.0, Dimension::PRESSURE),
    ("bar", 1e5, 0.0, Dimension::PRESSURE),
    ("psi", POUND_FORCE / (INCH * INCH), 0.0, Dimension::PRESSURE),
    // The conventional one: 13 595.1 kg/m^3 of mercury under standard gravity.
    ("inHg", 13_595.1 * GRAVITY * INCH, 0.0, Dimension::PRESSURE),
    ("km/h", 1e3 / 3600.0, 0.0, Dimension::SPEED),
    ("mph", MILE / 3600.0, 0.0, Dimension::SPEED),
    ("rpm", PI / 30.0, 0.0, Dimension::TURNING),
    ("s", 1.0, 0.0, Dimension::TIME),
    ("min", 60.0, 0.0, Dimension::TIME),
    ("h", 3600.0, 0.0, Dimension::TIME),
    ("day", 86_400.0, 0.0, Dimension::TIME),
    ("cc", 1e-6, 0.0, Dimension::VOLUME),
    ("L", 1e-3, 0.0, Dimension::VOLUME),
    ("cu_in", INCH * INCH * INCH, 0.0, Dimension::VOLUME),
    ("gal", 231.0 * INCH * INCH * INCH, 0.0, Dimension::VOLUME),
    ("degC", 1.0, 273.15, Dimension::TEMPERATURE),
    (
        "degF",
        5.0 / 9.0,
        459.67 * 5.0 / 9.0,
        Dimension::TEMPERATURE,
    ),
    ("K", 1.0, 0.0, Dimension::TEMPERATURE),
    ("V", 1.0, 0.0, Dimension::VOLTAGE),
    ("mV", 1e-3, 0.0, Dimension::VOLTAGE),
    ("A", 1.0, 0.0, Dimension::CURRENT),
    ("ohm", 1.0, 0.0, Dimension::RESISTANCE),
    ("mohm", 1e-3, 0.0, Dimension::RESISTANCE),
    ("kohm", 1e3, 0.0, Dimension::RESISTANCE),
    ("Mohm", 1e6, 0.0, Dimension::RESISTANCE),
    ("Ah", 3600.0, 0.0, Dimension::CHARGE),
    ("Wh", 3600.0, 0.0, Dimension::TORQUE),
    ("kWh", 3.6e6, 0.0, Dimension::TORQUE),
    ("mA", 1e-3, 0.0, Dimension::CURRENT),
    ("kV", 1e3, 0.0, Dimension::VOLTAGE),
    ("ms", 1e-3, 0.0, Dimension::TIME),
    ("MW", 1e6, 0.0, Dimension::POWER),
    ("mg", 1e-6, 0.0, Dimension::MASS),
    ("%", 1e-2, 0.0, Dimension::NONE),
];

/// Written by many hands, but a mass times a length here: the torque is meant.
const TORQUE_THE_OTHER_WAY: [(&str, &str); 2] = [("ft-lb", "lb-ft"), ("in-lb", "lb-in")];

/// Units as print has them, and as they are typed; a prefix before the bare one.
const PRINTED: [(&str, &str); 8] = [
    ("°C", "degC"),
    ("°F", "degF"),
    ("℃", "degC"),
    ("mΩ", "mohm"),
    ("kΩ", "kohm"),
    ("MΩ", "Mohm"),
    ("Ω", "ohm"),
    ("\u{2126}", "ohm"),
];

/// What is wrong with a unit.
#[derive(Clone, Debug, PartialEq)]
pub enum UnitFault {
    /// This is not a unit.
    Unknown,
    /// A torque written as mass times length; the right way round.
    Torque(&'static str),
    /// A scale with its own zero in a product.
    ScaleInProduct,
}

impl Units {
    /// The fixed units and the currency `money` (ISO 4217).
    pub fn new(money: &str) -> Self {
        Self {
            currency: money.to_owned(),
            foreign: false,
        }
    }

    /// The same with the units that people write and Shimbook does not have: only for telling what
    /// a line means.
    pub(super) fn with_foreign(&self) -> Self {
        Self {
            foreign: true,
            ..self.clone()
        }
    }

    /// The currency.
    pub fn currency(&self) -> &str {
        &self.currency
    }

    /// The unit that stands first in `text`, the longest that fits, and its length in bytes.
    /// `Ok(None)` where no unit begins there.
    pub fn first_in(&self, text: &str) -> Result<Option<(Unit, usize)>, UnitFault> {
        if let Some((_, right)) = TORQUE_THE_OTHER_WAY
            .iter()
            .find(|(wrong, _)| begins_with_word(text, wrong))
        {
            return Err(UnitFault::Torque(right));
        }
        let Some((mut unit, mut length)) = self.atom(text) else {
            return Ok(None);
        };
        while let Some((joint, sign)) = joint(&text[length..]) {
            let Some((next, more)) = self.atom(&text[length + joint..]) else {
                break;
            };
            if unit.is_scale() || next.is_scale() {
                return Err(UnitFault::ScaleInProduct);
            }
            let dimension = if sign {
                unit.dimension.times(next.dimension)
            } else {
                unit.dimension.over(next.dimension)
            };
            let factor = if sign {
                unit.factor * next.factor
            } else {
                unit.factor / next.factor
            };
            let Some(dimension) = dimension.filter(|_| factor.is_normal()) else {
                break;
            };
            length += joint + more;
            unit.factor = factor;
            unit.dimension = dimension;
        }
        unit.name = typed(&text[..length]);
        Ok(Some((unit, length)))
    }

    /// The unit that `text` is, all of it.
    pub fn named(&self, text: &str) -> Result<Unit, UnitFault> {
        match self.first_in(text)? {
            Some((unit, length)) if length == text.len() => Ok(unit),
            _ => Err(UnitFault::Unknown),
        }
    }

    /// One symbol with its power: `mm`, `mm2`, `m^3`, `lb-ft`.
    fn atom(&self, text: &str) -> Option<(Unit, usize)> {
        let whole = ["N-m", "N·m", "lb-ft", "lb·ft", "lb-in", "lb·in", "km/h"];
        let printed = PRINTED.iter().map(|(printed, _)| printed);
        let word = whole
            .iter()
            .chain(printed)
            .find(|word| begins_with_word(text, word));
        let word = word.copied();
        let word = word.unwrap_or_else(|| {
            if self.foreign {
                unknown::leading(text)
            } else {
                leading_word(text)
            }
        });
        // `KΩ` is one word, not kelvins and something else.
        if text[word.len()..].starts_with(char::is_alphabetic) {
            return None;
        }
        let unit = self.symbol(&typed(&word.replace('·', "-")))?;
        match power(&text[word.len()..]) {
            Some((exponent, length)) if !unit.is_scale() => {
                let dimension = unit.dimension.power(f64::from(exponent))?;
                Some((
                    Unit {
                        factor: unit.factor.powi(exponent),
                        dimension,
                        ..unit
                    },
                    word.len() + length,
                ))
            }
            _ => Some((unit, word.len())),
        }
    }

    fn symbol(&self, word: &str) -> Option<Unit> {
        if word == self.currency {
            return Some(Unit {
                name: word.to_owned(),
                factor: 1.0,
                offset: 0.0,
                dimension: Dimension::MONEY,
            });
        }
        let known =
            ROWS.iter()
                .find(|row| row.0 == word)
                .map(|(name, factor, offset, dimension)| Unit {
                    name: (*name).to_owned(),
                    factor: *factor,
                    offset: *offset,
                    dimension: *dimension,
                });
        known.or_else(|| unknown::foreign_unit(word).filter(|_| self.foreign))
    }
}

/// A unit as it is typed, for one that may be as print has it.
fn typed(unit: &str) -> String {
    let raised = [("²", "2"), ("³", "3"), ("⁴", "4")];
    PRINTED
        .iter()
        .chain(&raised)
        .fold(unit.to_owned(), |unit, (printed, typed)| {
            unit.replace(printed, typed)
        })
}

/// The letters (or `%`) at the start; digits belong to a power.
pub(super) fn leading_word(text: &str) -> &str {
    if text.starts_with('%') {
        return "%";
    }
    let end = text
        .find(|c: char| !(c.is_ascii_alphabetic() || c == '_'))
        .unwrap_or(text.len());
    &text[..end]
}

/// Does the text begin with `word`, and does the word end there?
fn begins_with_word(text: &str, word: &str) -> bool {
    text.strip_prefix(word)
        .is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '_'))
}

/// `2`, `3`, `4` or `^n` straight after a symbol: the exponent and its length in bytes. A digit
/// that runs on into a word or a further number is none.
pub(super) fn power(text: &str) -> Option<(i32, usize)> {
    if let Some((at, raised)) = ["²", "³", "⁴"]
        .iter()
        .enumerate()
        .find(|(_, raised)| text.starts_with(**raised))
    {
        return Some((at as i32 + 2, raised.len()));
    }
    let raised = text.strip_prefix('^');
    let digits = raised.unwrap_or(text);
    let (minus, digits) = match digits.strip_prefix('-') {
        Some(rest) if raised.is_some() => (true, rest),
        _ => (false, digits),
    };
    let digit = digits.chars().next()?.to_digit(10)?;
    let rest = &digits[1..];
    let range = if raised.is_some() { 1..=9 } else { 2..=4 };
    if !range.contains(&digit)
        || rest.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '_' || c == '.')
    {
        return None;
    }
    let exponent = if minus { -(digit as i32) } else { digit as i32 };
    Some((exponent, text.len() - rest.len()))
}

/// The sign between two symbols: its length and whether it multiplies.
fn joint(text: &str) -> Option<(usize, bool)> {
    match text.chars().next()? {
        c @ ('·' | '-') => Some((c.len_utf8(), true)),
        '/' => Some((1, false)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn units() -> Units {
        Units::new("EUR")
    }

    #[test]
    fn the_longest_unit_that_fits_is_read_and_no_more() {
        let length = |text| {
            units()
                .first_in(text)
                .unwrap()
                .map(|(unit, length)| (unit.name, length))
        };
        assert_eq!(length("kg/m^3 x"), Some(("kg/m^3".into(), 6)));
        assert_eq!(length("mm-wedge"), Some(("mm".into(), 2)));
        assert_eq!(length("mm/2"), Some(("mm".into(), 2)));
        assert_eq!(length("mm2)"), Some(("mm2".into(), 3)));
        assert_eq!(length("N·m"), Some(("N·m".into(), 4)));
        assert_eq!(length("wedge"), None);
        assert_eq!(length("mmm"), None);
    }

    #[test]
    fn foot_pounds_written_the_other_way_round_are_pointed_out() {
        assert_eq!(units().named("ft-lb"), Err(UnitFault::Torque("lb-ft")));
        assert!(units().named("ft-lbf").is_ok());
    }

    #[test]
    fn the_currency_is_a_unit_of_its_own_dimension() {
        assert_eq!(units().named("EUR").unwrap().dimension, Dimension::MONEY);
        assert_eq!(
            units().named("EUR/kg").unwrap().dimension,
            Dimension::MONEY.over(Dimension::MASS).unwrap()
        );
    }
}
