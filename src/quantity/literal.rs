//! Written values: `3.1 deg`, `1-3/8 in`, `5' 6"`, `3° 06'`, `7/16 ± 0.005 in`, `10 +0.2/-0 mm`.
//!
//! In: text as a crew writes it. Out: a [`Literal`] in SI, or a [`LiteralError`] that says what to
//! write instead. A bare number takes the unit of the other number of its clause; tolerances in
//! degrees of temperature are differences.

use std::ops::Range;

use super::amount::{self, Amount, NumberContext};
use super::{Unit, Units, format};
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::Span;

/// A written value with its tolerance.
#[derive(Clone, Debug, PartialEq)]
pub struct Literal {
    /// The value in SI.
    pub nominal: f64,
    /// How far it may lie above, in SI; never negative.
    pub plus: f64,
    /// How far it may lie below, in SI; never negative.
    pub minus: f64,
    /// The unit it was written in.
    pub unit: Unit,
    /// The text as written.
    pub written: String,
    /// Was a tolerance written, `± 0` included?
    pub toleranced: bool,
}

/// What is wrong with a piece of text, with byte offsets into that text.
#[derive(Clone, Debug, PartialEq)]
pub struct LiteralError {
    /// The kind.
    pub slug: Slug,
    /// The place in the text that was read.
    pub at: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// What was expected.
    pub expected: Option<String>,
    /// What to write instead.
    pub instead: Option<String>,
}

impl LiteralError {
    /// A fault at a place.
    pub fn new(slug: Slug, at: Range<usize>, message: impl Into<String>) -> Self {
        Self {
            slug,
            at,
            message: message.into(),
            expected: None,
            instead: None,
        }
    }

    /// Says what was expected.
    #[must_use]
    pub fn expected(mut self, what: impl Into<String>) -> Self {
        self.expected = Some(what.into());
        self
    }

    /// Says what to write instead.
    #[must_use]
    pub fn instead(mut self, what: impl Into<String>) -> Self {
        self.instead = Some(what.into());
        self
    }

    /// The finding, where the text that was read stands at `text`.
    pub fn in_place(self, text: Span) -> Diagnostic {
        let place = |offset: usize| (text.start as usize + offset).min(text.end as usize);
        let at = Span::new(text.file, place(self.at.start)..place(self.at.end));
        let mut finding = Diagnostic::error(self.slug, at, self.message);
        finding.expected = self.expected;
        finding.instead = self.instead;
        finding
    }

    /// The same fault, in a text that begins `by` bytes earlier.
    #[must_use]
    pub fn moved(mut self, by: usize) -> Self {
        self.at = self.at.start + by..self.at.end + by;
        self
    }
}

/// A tolerance as written, before it has a unit for sure.
struct Tolerance {
    plus: Amount,
    minus: Amount,
    at: Range<usize>,
}

impl Literal {
    /// Reads a whole text as one value: `41 kg`, `8000 ± 50 rpm`, `5 ft 6 in`.
    pub fn read(text: &str, units: &Units) -> Result<Self, LiteralError> {
        Self::read_with(text, units).map_err(|fault| rewritten(fault, text, units))
    }

    fn read_with(text: &str, units: &Units) -> Result<Self, LiteralError> {
        let (minus, start) = sign(text);
        let Some((mut value, length)) =
            amount::first_in(&text[start..], units, NumberContext::Value)
                .map_err(|f| f.moved(start))?
        else {
            return Err(not_a_value(text, start));
        };
        if minus {
            value.number = -value.number;
        }
        let end = start + length;
        let tolerance = tolerance(text, end, units)?;
        let toleranced = tolerance.is_some();
        let (unit, steps) = settle_units(&value, tolerance, text, start..end)?;
        let literal = Self {
            nominal: unit.to_si(value.number_in(&unit)),
            plus: steps[0],
            minus: steps[1],
            written: text.trim().to_owned(),
            unit,
            toleranced,
        };
        literal.finite(text)
    }

    fn finite(self, text: &str) -> Result<Self, LiteralError> {
        if self.nominal.is_finite() && self.plus.is_finite() && self.minus.is_finite() {
            return Ok(self);
        }
        Err(LiteralError::new(
            Slug::BadNumber,
            0..text.trim_end().len(),
            "this number is too large",
        ))
    }

    /// Has it a tolerance?
    pub fn has_spread(&self) -> bool {
        self.plus > 0.0 || self.minus > 0.0
    }
}

/// A value with a tolerance in a unit that Shimbook does not have is rewritten as a whole: its
/// numbers share the unit.
fn rewritten(fault: LiteralError, text: &str, units: &Units) -> LiteralError {
    let meant = Literal::read_with(text, &units.with_foreign())
        .ok()
        .filter(|_| fault.slug == Slug::UnknownUnit);
    let Some((meant, ours)) =
        meant.and_then(|meant| units.ours(&meant.unit).map(|ours| (meant, ours)))
    else {
        return fault;
    };
    let figure = |number| format::plain(number, 12);
    let nominal = figure(ours.reading(meant.nominal));
    let (plus, minus) = (
        figure(ours.step(meant.plus)),
        figure(ours.step(meant.minus)),
    );
    let value = match (meant.has_spread(), plus == minus) {
        (false, _) => format!("{nominal} {}", ours.name),
        (true, true) => format!("{nominal} ± {plus} {}", ours.name),
        (true, false) => format!("{nominal} +{plus}/-{minus} {}", ours.name),
    };
    let start = text.len() - text.trim_start().len();
    LiteralError {
        at: start..text.trim_end().len(),
        ..fault
    }
    .instead(value)
}

/// Is there a minus sign, and where does the number begin?
fn sign(text: &str) -> (bool, usize) {
    let at = text.len() - text.trim_start().len();
    match text[at..].chars().next() {
        Some(c @ ('-' | '−')) => {
            let after = at + c.len_utf8();
            (
                true,
                after + text[after..].len() - text[after..].trim_start().len(),
            )
        }
        _ => (false, at),
    }
}

fn not_a_value(text: &str, start: usize) -> LiteralError {
    LiteralError::new(
        Slug::BadNumber,
        start.min(text.len())..text.trim_end().len().max(start.min(text.len())),
        "this is not a value",
    )
    .expected("a number with its unit, for example 12.5 mm or 4.3 ± 0.1 deg")
}

/// Reads what follows the nominal value: nothing, `± t`, or `+a/-b`.
fn tolerance(text: &str, from: usize, units: &Units) -> Result<Option<Tolerance>, LiteralError> {
    let rest = text[from..].trim_start();
    let at = text.len() - rest.len();
    if rest.is_empty() {
        return Ok(None);
    }
    if let Some(mark) = plus_minus(rest) {
        let (step, end) = whole_amount(text, at + mark, units)?;
        nothing_after(text, end, units)?;
        return Ok(Some(Tolerance {
            plus: step.clone(),
            minus: step,
            at: at..end,
        }));
    }
    if rest.starts_with('+') {
        return unequal(text, at, units).map(Some);
    }
    Err(trailing(text, at, units))
}

/// Length of `±` or `+/-` at the start.
pub(crate) fn plus_minus(text: &str) -> Option<usize> {
    ["±", "+/-", "+-"]
        .iter()
        .find(|mark| text.starts_with(**mark))
        .map(|mark| mark.len())
}

/// What stands before the lower side of `+a/-b`: with the minus of the keyboard, or that of print.
const LOWER_SIDE: [&str; 2] = ["/-", "/−"];

/// Where the last lower side of `+a/-b` begins, and where its figure does.
pub(crate) fn lower_side(text: &str) -> Option<(usize, usize)> {
    let marks = LOWER_SIDE
        .iter()
        .filter_map(|mark| text.rfind(mark).map(|at| (at, at + mark.len())));
    marks.max()
}

/// Reads `+a/-b`.
fn unequal(text: &str, at: usize, units: &Units) -> Result<Tolerance, LiteralError> {
    let (plus, middle) = whole_amount(text, at + 1, units)?;
    let rest = text[middle..].trim_start();
    let slash = text.len() - rest.len();
    let Some(mark) = LOWER_SIDE.iter().find(|mark| rest.starts_with(**mark)) else {
        return Err(LiteralError::new(
            Slug::BadNumber,
            slash..text.len().max(slash),
            "the lower side of the tolerance is missing",
        )
        .expected("both sides, for example +0.2/-0.1 mm"));
    };
    let (minus, end) = whole_amount(text, slash + mark.len(), units)?;
    nothing_after(text, end, units)?;
    Ok(Tolerance {
        plus,
        minus,
        at: at..end,
    })
}

fn whole_amount(text: &str, from: usize, units: &Units) -> Result<(Amount, usize), LiteralError> {
    let start = text.len() - text[from..].trim_start().len();
    match amount::first_in(&text[start..], units, NumberContext::Value)
        .map_err(|f| f.moved(start))?
    {
        Some((step, length)) => Ok((step, start + length)),
        None => Err(LiteralError::new(
            Slug::BadNumber,
            start..text.len(),
            "the tolerance is missing",
        )
        .expected("a number that is not negative, for example 0.1 mm")),
    }
}

fn nothing_after(text: &str, end: usize, units: &Units) -> Result<(), LiteralError> {
    let rest = text[end..].trim_start();
    if rest.is_empty() {
        return Ok(());
    }
    if rest.starts_with(char::is_alphabetic) {
        let at = text.len() - rest.len();
        return Err(second_unit(text, at, units).unwrap_or_else(|| trailing(text, at, units)));
    }
    Err(LiteralError::new(
        Slug::BadNumber,
        text.len() - rest.len()..text.trim_end().len(),
        "this text after the tolerance cannot be read",
    ))
}

/// A unit behind a tolerance that has one already: `200 ± 5 % mm`.
fn second_unit(text: &str, at: usize, units: &Units) -> Option<LiteralError> {
    let (unit, length) = units.first_in(&text[at..]).ok()??;
    let before = text[..at].trim_end();
    if before.ends_with(|c: char| c.is_ascii_digit() || c == '.') {
        return None;
    }
    let fault = LiteralError::new(
        Slug::BadNumber,
        at..at + length,
        "the tolerance has two units",
    )
    .expected("one unit");
    let share = before
        .strip_suffix('%')
        .and_then(|share| Literal::read(&format!("{share} {}", unit.name), units).ok());
    Some(
        match share.filter(|_| text[at + length..].trim().is_empty()) {
            Some(value) if value.plus == value.minus => {
                let nominal = unit.reading(value.nominal);
                let tolerance = unit.step(value.plus) * nominal.abs() / 100.0;
                let number = format::plain(nominal, 12);
                let whole = format!("{number} ± {} {}", format::plain(tolerance, 4), unit.name);
                LiteralError {
                    at: 0..at + length,
                    ..fault
                }
                .instead(whole)
            }
            _ => fault,
        },
    )
}

/// Something other than a tolerance follows the value: most often a unit that is not known.
fn trailing(text: &str, at: usize, units: &Units) -> LiteralError {
    let place = at..text.trim_end().len();
    let word: String = text[at..]
        .chars()
        .take_while(|c| !c.is_whitespace())
        .collect();
    if word.starts_with(|c: char| c.is_alphabetic()) {
        return units.unknown_in_words(&text[at..]).moved(at);
    }
    if word.starts_with(|c: char| c.is_ascii_digit()) {
        return LiteralError::new(Slug::BadNumber, place, "two numbers follow each other")
            .expected("one number, written without spaces, and its unit");
    }
    LiteralError::new(
        Slug::BadNumber,
        place,
        "this cannot be read as part of a value",
    )
    .expected("a unit, a tolerance after ±, or nothing")
}

/// Which unit the value is in, and its tolerance in SI.
fn settle_units(
    value: &Amount,
    tolerance: Option<Tolerance>,
    text: &str,
    at: Range<usize>,
) -> Result<(Unit, [f64; 2]), LiteralError> {
    let Some(tolerance) = tolerance else {
        return Ok((value.unit.clone().unwrap_or_else(Unit::none), [0.0; 2]));
    };
    let written = tolerance
        .minus
        .unit
        .clone()
        .or_else(|| tolerance.plus.unit.clone());
    let unit = value
        .unit
        .clone()
        .or_else(|| written.clone())
        .unwrap_or_else(Unit::none);
    let mut steps = [0.0; 2];
    for (step, side) in steps.iter_mut().zip([&tolerance.plus, &tolerance.minus]) {
        let own = side
            .unit
            .clone()
            .or_else(|| written.clone())
            .unwrap_or_else(|| unit.clone());
        if own.dimension != unit.dimension {
            return Err(tolerance_mismatch(
                value,
                &unit,
                &own,
                side,
                text,
                (at, tolerance.at),
            ));
        }
        *step = own.step_to_si(side.number_in(&own)).abs();
    }
    Ok((unit, steps))
}

fn tolerance_mismatch(
    value: &Amount,
    unit: &Unit,
    own: &Unit,
    side: &Amount,
    text: &str,
    places: (Range<usize>, Range<usize>),
) -> LiteralError {
    let fault = LiteralError::new(
        Slug::UnitMismatch,
        places.1,
        format!(
            "the tolerance is {} but the value is {}",
            own.dimension.words(),
            unit.dimension.words()
        ),
    )
    .expected(unit.dimension.words());
    if own.name == "%" {
        let share = (value.number * side.number / 100.0).abs();
        return fault.instead(format!(
            "{} ± {} {}",
            &text[places.0],
            format::plain(share, 4),
            unit.name
        ));
    }
    fault
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Literal, LiteralError> {
        Literal::read(text, &Units::new("EUR"))
    }

    fn inches(text: &str) -> f64 {
        read(text).unwrap().nominal / 0.0254
    }

    #[test]
    fn fractions_of_an_inch_are_read_as_the_shop_writes_them() {
        assert!((inches("3/8 in") - 0.375).abs() < 1e-12);
        assert!((inches("1-3/8 in") - 1.375).abs() < 1e-12);
        assert!((inches("1 3/8\"") - 1.375).abs() < 1e-12);
        assert!((inches("5 ft 6 in") - 66.0).abs() < 1e-9);
        assert!((inches("5' 6\"") - 66.0).abs() < 1e-9);
        assert!((inches("5 ft 6 1/2 in") - 66.5).abs() < 1e-9);
        assert!((inches("15 thou") - 0.015).abs() < 1e-12);
    }

    #[test]
    fn minutes_and_seconds_of_arc_stand_only_after_the_degree_sign() {
        let degrees = |text| read(text).unwrap().nominal.to_degrees();
        assert!((degrees("3° 06'") - 3.1).abs() < 1e-12);
        assert!((degrees("3°06'36\"") - 3.11).abs() < 1e-12);
        assert!((degrees("3.1°") - 3.1).abs() < 1e-12);
        assert_eq!(read("6'").unwrap().unit.name, "ft");
    }

    #[test]
    fn a_bare_number_takes_the_unit_of_its_clause() {
        let value = read("7/16 ± 0.005 in").unwrap();
        assert!((value.nominal - 7.0 / 16.0 * 0.0254).abs() < 1e-15);
        assert!((value.plus - 0.005 * 0.0254).abs() < 1e-15);
        assert_eq!(read("10 mm ± 0.1").unwrap().plus, 0.1 * 1e-3);
        assert_eq!(read("48 ± 2 %").unwrap().nominal, 0.48);
    }

    #[test]
    fn what_a_page_prints_is_read_as_it_was_written() {
        let same = |printed: &str, written: &str| {
            let (printed, written) = (read(printed).unwrap(), read(written).unwrap());
            assert_eq!(
                (printed.nominal, printed.plus, printed.minus),
                (written.nominal, written.plus, written.minus)
            );
            assert_eq!(printed.unit, written.unit);
        };
        same(
            "−1\u{202f}900\u{202f}000 ± 100\u{202f}000\u{202f}Ω",
            "-1900000 ± 100000 ohm",
        );
        same("12\u{2009}345.67\u{a0}mm", "12345.67 mm");
        same("10.0 +0.2/−0.1\u{202f}mm", "10.0 +0.2/-0.1 mm");
        same("20\u{202f}°C", "20 degC");
        same("1.9\u{202f}MΩ", "1.9 Mohm");
        same("3\u{202f}mm⁴", "3 mm4");
        assert!(
            read("12\u{202f}34 mm").is_err(),
            "two figures are not a group"
        );
    }

    #[test]
    fn unequal_sides_are_kept_apart() {
        let value = read("10 +0.2/-0.1 mm").unwrap();
        assert_eq!((value.plus, value.minus), (0.2 * 1e-3, 0.1 * 1e-3));
        assert_eq!(read("10 +0.2/-0 mm").unwrap().minus, 0.0);
        assert_eq!(
            read("10 +0.2 mm").unwrap_err().message,
            "the lower side of the tolerance is missing"
        );
    }

    #[test]
    fn tolerances_of_temperatures_are_differences() {
        let value = read("20 ± 2 degC").unwrap();
        assert_eq!((value.nominal, value.plus), (293.15, 2.0));
        assert!((read("68 ± 9 degF").unwrap().plus - 5.0).abs() < 1e-12);
    }

    #[test]
    fn a_decimal_comma_is_pointed_out() {
        let fault = read("12,5 mm").unwrap_err();
        assert_eq!(
            (fault.slug, fault.at, fault.instead.as_deref()),
            (Slug::DecimalComma, 0..4, Some("12.5"))
        );
    }

    #[test]
    fn an_unknown_unit_names_the_nearest() {
        let fault = read("3 inch").unwrap_err();
        assert_eq!(
            (fault.slug, fault.at, fault.instead.as_deref()),
            (Slug::UnknownUnit, 2..6, Some("in"))
        );
        assert_eq!(read("12 Nm").unwrap_err().instead.as_deref(), Some("N-m"));
        assert_eq!(
            read("12 ft-lb").unwrap_err().instead.as_deref(),
            Some("lb-ft")
        );
    }

    #[test]
    fn a_tolerance_of_another_kind_is_refused_with_the_right_one() {
        let fault = read("5 mm ± 2 %").unwrap_err();
        assert_eq!(
            (fault.slug, fault.instead.as_deref()),
            (Slug::UnitMismatch, Some("5 mm ± 0.1 mm"))
        );
    }

    #[test]
    fn nonsense_is_a_fault_and_never_a_panic() {
        for text in [
            "", " ", "-", "±", "1e999 mm", "1/0 in", "3°°", "5' 6' 7'", "1.2.3", "€", "+", "1 ±",
            "1 + 2", "½ in", "1e", "0x10",
        ] {
            assert!(read(text).is_err(), "{text:?} was read as a value");
        }
    }
}
