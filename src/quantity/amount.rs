//! One number with its unit, as it stands first in a text.
//!
//! In: text that may go on after the number. Out: the number, its unit where one follows, and how
//! many bytes they took. Shared by written values and by expressions, which differ only in when
//! `3/8` is one number.

use super::{Dimension, LiteralError, Unit, UnitFault, Units};
use crate::diagnostics::Slug;

/// A number and the unit that stood behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Amount {
    /// The number as written, in its unit.
    pub number: f64,
    /// Its unit, where one was written.
    pub unit: Option<Unit>,
}

impl Amount {
    /// The number in a unit of the same dimension: unchanged where it was bare.
    pub(crate) fn number_in(&self, unit: &Unit) -> f64 {
        match &self.unit {
            Some(own) if own != unit => unit.reading(own.to_si(self.number)),
            _ => self.number,
        }
    }
}

/// Where a number stands, which decides whether `3/8` is a fraction or a division.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberContext {
    /// In a written value: a fraction.
    Value,
    /// In an expression: a fraction where a unit of length follows.
    Expression,
    /// In an expression, straight after a name, `)`, `*` or `/`: never a fraction.
    Operand,
}

/// Blanks that may stand between a number and its unit, pasted ones included.
const BLANKS: [char; 4] = [' ', '\u{a0}', '\u{202f}', '\u{2009}'];

/// Spaces that may part groups of three digits, as pages print them.
const GROUPS: [char; 3] = ['\u{a0}', '\u{202f}', '\u{2009}'];

/// Reads the number at the very start of `text`; `None` where there is none.
///
/// # Errors
/// A decimal comma, a number too large, a fraction over zero, a unit that is misspelt.
pub fn first_in(
    text: &str,
    units: &Units,
    reading: NumberContext,
) -> Result<Option<(Amount, usize)>, LiteralError> {
    let Some(plain) = decimal(text) else {
        return Ok(None);
    };
    if reading == NumberContext::Value {
        no_decimal_comma(text, plain)?;
    }
    if let Some(fraction) = fraction(text, plain)?.filter(|_| reading != NumberContext::Operand) {
        let (amount, length) = with_unit(text, fraction, units, reading)?;
        let is_length = amount
            .unit
            .as_ref()
            .is_some_and(|unit| unit.dimension == Dimension::LENGTH);
        if is_length || reading == NumberContext::Value {
            return Ok(Some((amount, length)));
        }
    }
    let number = number(&text[..plain], plain)?;
    with_unit(text, (number, plain), units, reading).map(Some)
}

/// The length of the decimal number at the start.
fn decimal(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let whole = whole_digits(text);
    let mut length = whole;
    if bytes.get(length) == Some(&b'.') {
        let part = digits(&bytes[length + 1..]);
        if whole + part == 0 {
            return None;
        }
        length += 1 + part;
    }
    if length == 0 {
        return None;
    }
    Some(length + exponent(&bytes[length..]))
}

/// The length of the digits at the start, groups of three included: `1900000`, `1 900 000`.
fn whole_digits(text: &str) -> usize {
    let mut length = digits(text.as_bytes());
    if !(1..=3).contains(&length) {
        return length;
    }
    let group = |rest: &str| {
        let mark = rest
            .chars()
            .next()
            .filter(|c| GROUPS.contains(c))?
            .len_utf8();
        (digits(&rest.as_bytes()[mark..]) == 3).then_some(mark + 3)
    };
    while let Some(more) = group(&text[length..]) {
        length += more;
    }
    length
}

fn digits(bytes: &[u8]) -> usize {
    bytes.iter().take_while(|b| b.is_ascii_digit()).count()
}

/// The length of `e3`, `E-4` at the start.
fn exponent(bytes: &[u8]) -> usize {
    if !matches!(bytes.first(), Some(b'e' | b'E')) {
        return 0;
    }
    let sign = usize::from(matches!(bytes.get(1), Some(b'+' | b'-')));
    match digits(&bytes[1 + sign..]) {
        0 => 0,
        count => 1 + sign + count,
    }
}

fn number(text: &str, length: usize) -> Result<f64, LiteralError> {
    match text.replace(GROUPS, "").parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(number),
        _ => Err(LiteralError::new(
            Slug::BadNumber,
            0..length,
            "this number is too large",
        )),
    }
}

fn no_decimal_comma(text: &str, length: usize) -> Result<(), LiteralError> {
    let rest = &text.as_bytes()[length..];
    let decimals = if rest.first() == Some(&b',') {
        digits(&rest[1..])
    } else {
        0
    };
    if decimals == 0 {
        return Ok(());
    }
    Err(decimal_comma(text, length, decimals))
}

/// The fault of a comma in a number. With three figures behind it, it may also have set thousands
/// apart, so nothing is offered that could be a thousand times off; nor is a list of readings made
/// one number.
pub(crate) fn decimal_comma(text: &str, whole: usize, decimals: usize) -> LiteralError {
    let end = whole + 1 + decimals;
    let fault = LiteralError::new(
        Slug::DecimalComma,
        0..end,
        "use a decimal point, not a comma",
    );
    let goes_on = text[end..].starts_with([',', '.'])
        || text[end..].starts_with(|c: char| c.is_ascii_digit());
    match without_thousands(&text[..whole])
        .filter(|digits| !goes_on && (decimals < 3 || (decimals > 3 && decimals != digits.len())))
    {
        Some(digits) => {
            let number = format!("{digits}.{}", &text[whole + 1..end]);
            fault.expected("a decimal point").instead(number)
        }
        None => fault.expected("a decimal point, and no marks between thousands"),
    }
}

/// The digits of a whole number, points between its thousands left out.
fn without_thousands(text: &str) -> Option<String> {
    let mut groups = text.split('.');
    let first = groups.next()?;
    let threes = groups.all(|group| group.len() == 3 && group.bytes().all(|b| b.is_ascii_digit()));
    let plain =
        first.bytes().all(|b| b.is_ascii_digit()) && (first.len() <= 3 || !text.contains('.'));
    (threes && plain && !first.is_empty()).then(|| text.replace('.', ""))
}

/// `3/8`, `1-3/8` or `1 3/8` at the start: the number and its length. Whole digits only.
fn fraction(text: &str, plain: usize) -> Result<Option<(f64, usize)>, LiteralError> {
    if digits(text.as_bytes()) != plain {
        return Ok(None);
    }
    if let Some((part, length)) = ratio(text)? {
        return Ok(Some((part, length)));
    }
    let Some(rest) = text[plain..].strip_prefix(['-', ' ']) else {
        return Ok(None);
    };
    let Some((part, length)) = ratio(rest).map_err(|fault| fault.moved(plain + 1))? else {
        return Ok(None);
    };
    Ok(Some((
        number(&text[..plain], plain)? + part,
        plain + 1 + length,
    )))
}

/// `3/8` at the start, without spaces.
fn ratio(text: &str) -> Result<Option<(f64, usize)>, LiteralError> {
    let over = digits(text.as_bytes());
    let Some(rest) = text[over..].strip_prefix('/') else {
        return Ok(None);
    };
    let under = digits(rest.as_bytes());
    let length = over + 1 + under;
    let runs_on = rest[under..].starts_with(['.', '_']);
    if over == 0 || under == 0 || runs_on {
        return Ok(None);
    }
    let (above, below) = (
        number(&text[..over], over)?,
        number(&rest[..under], length)?,
    );
    if below == 0.0 {
        return Err(LiteralError::new(
            Slug::BadNumber,
            0..length,
            "a fraction cannot have 0 below its line",
        ));
    }
    Ok(Some((above / below, length)))
}

/// Adds the unit that follows a number of the given length, and the second half of `5 ft 6 in`.
fn with_unit(
    text: &str,
    (number, length): (f64, usize),
    units: &Units,
    reading: NumberContext,
) -> Result<(Amount, usize), LiteralError> {
    let rest = &text[length..];
    let gap = rest.len() - rest.trim_start_matches(BLANKS).len();
    let unit_text = &rest[gap..];
    let is_scale = ["°C", "°F"]
        .iter()
        .any(|scale| unit_text.starts_with(scale));
    if let Some(found) = marked(unit_text, number).filter(|_| !is_scale) {
        let (amount, more) = found?;
        return Ok((amount, length + gap + more));
    }
    let found = units
        .first_in(unit_text)
        .map_err(|fault| unit_fault(&fault, unit_text, length + gap, units))?;
    let Some((unit, unit_length)) = found else {
        let touching = gap == 0 && unit_text.starts_with(|c: char| c.is_alphabetic());
        if touching && reading != NumberContext::Value {
            return Err(units.unknown_after(text, number, length));
        }
        return Ok((Amount { number, unit: None }, length));
    };
    let end = length + gap + unit_length;
    if unit.name == "ft" {
        return feet_and_inches(text, number, end, units);
    }
    Ok((
        Amount {
            number,
            unit: Some(unit),
        },
        end,
    ))
}

/// Units written as marks: `°` with minutes and seconds, `'` with inches, `"`.
fn marked(text: &str, number: f64) -> Option<Result<(Amount, usize), LiteralError>> {
    let named = |name: &str, number| Amount {
        number,
        unit: Units::new("").named(name).ok(),
    };
    match text.chars().next()? {
        '°' => Some(Ok(arc(&text['°'.len_utf8()..], number)))
            .map(|arc| arc.map(|(n, l)| (named("deg", n), l + '°'.len_utf8()))),
        '"' | '″' => Some(Ok((named("in", number), text.chars().next()?.len_utf8()))),
        mark @ ('\'' | '′') => {
            let after = mark.len_utf8();
            let (inches, more) = marked_inches(&text[after..]).unwrap_or((0.0, 0));
            Some(Ok((named("ft", number + inches / 12.0), after + more)))
        }
        _ => None,
    }
}

/// Minutes and seconds of arc behind the degree sign: the whole angle in degrees and their length.
fn arc(text: &str, degrees: f64) -> (f64, usize) {
    let Some((minutes, length)) = marked_number(text, &['\'', '′']) else {
        return (degrees, 0);
    };
    let (seconds, more) = marked_number(&text[length..], &['"', '″']).unwrap_or((0.0, 0));
    (degrees + minutes / 60.0 + seconds / 3600.0, length + more)
}

fn marked_inches(text: &str) -> Option<(f64, usize)> {
    let gap = text.len() - text.trim_start_matches(' ').len();
    let plain = decimal(&text[gap..])?;
    let (number, length) = fraction(&text[gap..], plain)
        .ok()?
        .or_else(|| Some((text[gap..gap + plain].parse().ok()?, plain)))?;
    let mark = text[gap + length..]
        .chars()
        .next()
        .filter(|c| matches!(c, '"' | '″'))?;
    Some((number, gap + length + mark.len_utf8()))
}

/// Spaces, a number and one of the marks.
fn marked_number(text: &str, marks: &[char]) -> Option<(f64, usize)> {
    let gap = text.len() - text.trim_start_matches(' ').len();
    let length = decimal(&text[gap..])?;
    let number = text[gap..gap + length].parse().ok()?;
    let mark = text[gap + length..]
        .chars()
        .next()
        .filter(|c| marks.contains(c))?;
    Some((number, gap + length + mark.len_utf8()))
}

/// `5 ft` read so far; perhaps `6 in` follows.
fn feet_and_inches(
    text: &str,
    feet: f64,
    end: usize,
    units: &Units,
) -> Result<(Amount, usize), LiteralError> {
    let foot = units.named("ft").ok();
    let rest = &text[end..];
    let gap = rest.len() - rest.trim_start_matches(' ').len();
    if let Some(plain) = decimal(&rest[gap..]) {
        let inches = &rest[gap..];
        let (number, length) = match fraction(inches, plain)? {
            Some(found) => found,
            None => (number(&inches[..plain], plain)?, plain),
        };
        let (amount, length) = with_unit(inches, (number, length), units, NumberContext::Value)?;
        if amount.unit.as_ref().is_some_and(|unit| unit.name == "in") {
            return Ok((
                Amount {
                    number: feet + amount.number / 12.0,
                    unit: foot,
                },
                end + gap + length,
            ));
        }
    }
    Ok((
        Amount {
            number: feet,
            unit: foot,
        },
        end,
    ))
}

fn word(text: &str) -> String {
    text.chars()
        .take_while(|c| c.is_alphanumeric() || matches!(c, '_' | '/' | '-' | '·' | '^' | '%'))
        .collect()
}

fn unit_fault(fault: &UnitFault, text: &str, at: usize, units: &Units) -> LiteralError {
    let word = word(text);
    match fault {
        UnitFault::Unknown => units.unknown(text).moved(at),
        UnitFault::Torque(right) => LiteralError::new(
            Slug::UnknownUnit,
            at..at + word.len(),
            format!("`{word}` is a mass times a length, not a torque"),
        )
        .expected("a torque")
        .instead(*right),
        UnitFault::ScaleInProduct => LiteralError::new(
            Slug::UnknownUnit,
            at..at + word.len(),
            "degC and degF cannot be part of a product",
        )
        .expected("K, which has steps of the same size as degC")
        .instead(word.replace("degC", "K").replace("degF", "K")),
    }
}
