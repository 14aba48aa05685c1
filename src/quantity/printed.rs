//! Figures and units with the marks of print, for pages, drawings and the terminal.
//!
//! In: SI values and the unit they are shown in. Out: text such as `−12 345.6 ± 0.5 mm`: a true
//! minus, thin spaces in groups of three from five digits on, the unit as the trade prints it. All
//! of it can be written in a log as it is. Data for scripts has plain figures, see [`plain_marks`].
//!
//! What always holds: [`at_most`] is never larger than the figure, [`at_least`] and [`spread`] are
//! never smaller.

use super::{Dimension, Sides, Unit, Value, format};

/// The space between groups of digits, and between a figure and its unit: narrow, and no line
/// breaks there.
const THIN: char = '\u{202f}';
/// The minus of print.
const MINUS: char = '\u{2212}';
/// Digits before the decimal point from which on they are grouped.
const GROUPED: usize = 5;

/// A unit as print has it: `°`, `mm²`, `N·m`.
pub fn unit(unit: &Unit) -> String {
    match unit.name.as_str() {
        "deg" => "°".to_owned(),
        "degC" => "°C".to_owned(),
        "degF" => "°F".to_owned(),
        "ohm" => "Ω".to_owned(),
        "mohm" => "mΩ".to_owned(),
        "kohm" => "kΩ".to_owned(),
        "Mohm" => "MΩ".to_owned(),
        name => raised(&name.replace('-', "·")),
    }
}

/// `mm2` and `m^3` with raised figures.
fn raised(name: &str) -> String {
    let mut text = String::with_capacity(name.len());
    for c in name.chars() {
        match c {
            '^' => {}
            '2' => text.push('²'),
            '3' => text.push('³'),
            '4' => text.push('⁴'),
            c => text.push(c),
        }
    }
    text
}

/// A plain figure with the marks of print, and its unit: no space before the degree sign, a thin
/// one elsewhere.
pub fn joined(figure: &str, shown_in: &Unit) -> String {
    let (figure, unit) = (marks(figure), unit(shown_in));
    match unit.as_str() {
        "" => figure,
        "°" => format!("{figure}°"),
        _ => format!("{figure}{THIN}{unit}"),
    }
}

/// A plain figure with the marks of print, and a unit by its name: `12 345.00 EUR`.
pub fn with_name(figure: &str, name: &str) -> String {
    format!("{}{THIN}{name}", marks(figure))
}

/// Kilograms of the ledger, which have no spread.
pub fn kilograms(kg: f64) -> String {
    with_name(&format::exact(kg), "kg")
}

/// Hours of work: `4.5 h`.
pub fn hours(hours: f64) -> String {
    with_name(&format::hours(hours), "h")
}

/// A value with its spread: `3.56 ± 0.10°`.
pub fn value(value: &Value, sides: Sides, shown_in: &Unit) -> String {
    let figure = figure(
        shown_in.reading(value.nominal),
        shown_in.step(sides.up),
        shown_in.step(sides.down),
        shown_in,
    );
    joined(&figure, shown_in)
}

/// The plain figure of a value, in the unit it is shown in. Money has its two decimals.
pub fn figure(number: f64, up: f64, down: f64, shown_in: &Unit) -> String {
    if is_money(shown_in) {
        format::money(number, up, down)
    } else {
        format::with_spread(number, up, down)
    }
}

fn is_money(unit: &Unit) -> bool {
    unit.dimension == Dimension::MONEY
}

/// A difference in SI, never shown larger than it is: a margin in limits.
pub fn at_most(si: f64, shown_in: &Unit) -> String {
    rounded(si, shown_in, format::down)
}

/// A difference in SI, never shown smaller than it is: a shortfall.
pub fn at_least(si: f64, shown_in: &Unit) -> String {
    rounded(si, shown_in, format::up)
}

/// A spread in SI, to two figures, never shown smaller than it is.
pub fn spread(si: f64, shown_in: &Unit) -> String {
    rounded(si, shown_in, |number, places| match places {
        None => format::spread(number),
        places => format::up(number, places),
    })
}

/// A difference in SI, to the nearest.
pub fn difference(si: f64, shown_in: &Unit) -> String {
    rounded(si, shown_in, |number, places| {
        places.map_or_else(
            || format::exact(number),
            |places| format::fixed(number, places),
        )
    })
}

fn rounded(si: f64, shown_in: &Unit, round: impl Fn(f64, Option<usize>) -> String) -> String {
    let places = is_money(shown_in).then_some(2);
    joined(&round(shown_in.step(si), places), &step_unit(shown_in))
}

/// Steps on a scale of temperature are kelvin or as many degrees, those of a percentage are points.
fn step_unit(shown_in: &Unit) -> Unit {
    let name = if shown_in.name == "%" {
        "percentage points"
    } else {
        shown_in.name.as_str()
    };
    Unit {
        offset: 0.0,
        name: name.to_owned(),
        ..shown_in.clone()
    }
}

/// The marks of print for plain figures: `-12345.6` becomes `−12 345.6`. Exponents stay as they
/// are.
pub fn marks(plain: &str) -> String {
    let mut text = String::with_capacity(plain.len() + 8);
    let mut rest = plain;
    let mut before = ' ';
    while let Some(c) = rest.chars().next() {
        let whole = rest.bytes().take_while(u8::is_ascii_digit).count();
        if whole > 0 {
            let alone = !before.is_alphanumeric() && before != '.' && before != '_';
            if alone && whole >= GROUPED {
                group(&rest[..whole], &mut text);
            } else {
                text.push_str(&rest[..whole]);
            }
            before = '0';
            rest = &rest[whole..];
            continue;
        }
        let signs_a_figure = c == '-'
            && !before.is_alphanumeric()
            && rest[1..].starts_with(|c: char| c.is_ascii_digit());
        text.push(if signs_a_figure { MINUS } else { c });
        before = c;
        rest = &rest[c.len_utf8()..];
    }
    text
}

fn group(digits: &str, text: &mut String) {
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(THIN);
        }
        text.push(digit);
    }
}

/// The same text without the marks of print, for data that scripts read.
pub fn plain_marks(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        let in_a_number = plain.ends_with(|c: char| c.is_ascii_digit())
            && signs.peek().is_some_and(char::is_ascii_digit);
        match sign {
            MINUS => plain.push('-'),
            THIN if in_a_number => {}
            THIN => plain.push(' '),
            sign => plain.push(sign),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Units;

    fn named(name: &str) -> Unit {
        Units::new("EUR").named(name).unwrap()
    }

    #[test]
    fn units_are_printed_as_the_trade_prints_them() {
        assert_eq!(unit(&named("mm2")), "mm²");
        assert_eq!(unit(&named("kg/m^3")), "kg/m³");
        assert_eq!(unit(&named("N-m")), "N·m");
        assert_eq!(joined("3.56 ± 0.10", &named("deg")), "3.56 ± 0.10°");
    }

    #[test]
    fn five_digits_are_grouped_and_four_are_not() {
        assert_eq!(marks("1234.56789"), "1234.56789");
        assert_eq!(marks("12345.67"), "12\u{202f}345.67");
        assert_eq!(
            marks("-1900000 ± 100000"),
            "−1\u{202f}900\u{202f}000 ± 100\u{202f}000"
        );
        assert_eq!(marks("10 +0.2/-0.1"), "10 +0.2/−0.1");
        assert_eq!(marks("1.25e-8"), "1.25e-8");
    }

    #[test]
    fn data_has_plain_figures() {
        assert_eq!(
            plain_marks("over by −12\u{202f}345.6\u{202f}mm"),
            "over by -12345.6 mm"
        );
    }

    #[test]
    fn a_difference_of_temperature_is_a_step_and_not_a_reading() {
        assert_eq!(difference(5.0, &named("degC")), "5\u{202f}°C");
        assert_eq!(at_most(0.05, &named("%")), "5\u{202f}percentage points");
    }

    #[test]
    fn money_has_its_two_decimals() {
        let euro = named("EUR");
        assert_eq!(at_most(12.0, &euro), "12.00\u{202f}EUR");
        assert_eq!(at_most(12.349, &euro), "12.34\u{202f}EUR");
        assert_eq!(at_least(12.341, &euro), "12.35\u{202f}EUR");
        assert_eq!(
            joined(&figure(12345.67, 0.0, 0.0, &euro), &euro),
            "12\u{202f}345.67\u{202f}EUR"
        );
    }
}
