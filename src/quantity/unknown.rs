//! What to write for a unit that Shimbook does not have.
//!
//! In: the text that starts at the unit, or a number with it. Out: a fault with a proposal, or with
//! the units of the likely kind. A proposal never changes what the crew measured: it is another
//! spelling of a unit of the same size, or the same quantity calculated exactly in a unit that
//! exists. A word that only resembles a unit gets no proposal.

use std::ops::Range;

use super::unit::{ROWS, Row, leading_word, power};
use super::{Dimension, LiteralError, Unit, Units, format};
use crate::diagnostics::Slug;

/// The unit to write, and other words for it: the same size, so that the word can be replaced.
const SPELLINGS: [(&str, &str); 44] = [
    ("mm", "millimetre millimetres millimeter millimeters MM Mm"),
    ("cm", "centimetre centimetres centimeter centimeters"),
    ("m", "metre metres meter meters mtr"),
    ("km", "kilometre kilometres kilometer kilometers kms"),
    ("in", "inch inches ins"),
    ("ft", "foot feet"),
    ("yd", "yard yards yds"),
    ("mi", "mile miles"),
    ("rad", "radian radians"),
    ("g", "gram grams gramme grammes gm gms"),
    (
        "kg",
        "kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
    ),
    ("t", "tonne tonnes"),
    ("oz", "ozs"),
    ("lb", "lbs lbm"),
    ("N", "newton newtons"),
    ("lbf", "lbsf"),
    ("N-m", "Nm N.m J joule joules"),
    (
        "lb-ft",
        "lbft lbsft ftlb ftlbs ftlbf lbfft ft-lb ft-lbs ft.lb lb.ft lbs-ft",
    ),
    (
        "lb-in",
        "lbin lbsin inlb inlbs inlbf lbfin in-lb in-lbs in.lb lb.in lbs-in",
    ),
    ("W", "watt watts"),
    ("kW", "kilowatt kilowatts"),
    ("hp", "bhp horsepower"),
    ("Pa", "pascal pascals"),
    ("bar", "bars"),
    ("km/h", "kmh kph kmph"),
    ("rpm", "r/min rev/min revs/min RPM"),
    ("s", "sec secs second seconds"),
    ("min", "mins minute minutes"),
    ("h", "hr hrs hour hours"),
    ("day", "days"),
    (
        "cc",
        "ml mL ccm millilitre millilitres milliliter milliliters",
    ),
    ("L", "l litre litres liter liters ltr ltrs"),
    ("cu_in", "ci cid cuin cu-in"),
    ("degC", "°C ℃ celsius Celsius centigrade"),
    ("degF", "°F ℉ fahrenheit Fahrenheit"),
    ("K", "kelvin kelvins"),
    ("V", "volt volts"),
    ("A", "amp amps ampere amperes"),
    ("ohm", "ohms Ω Ω"),
    ("L/min", "lpm LPM"),
    ("L/h", "lph LPH"),
    ("ft3/min", "cfm CFM"),
    ("kWh", "kilowatthour kilowatthours"),
    ("%", "percent pct"),
];

/// A unit that people write and Shimbook does not have: its words, and how many of which unit make
/// one, exactly.
type Foreign = (&'static str, f64, &'static str);

const FOREIGN: [Foreign; 35] = [
    (
        "um µm μm micron microns micrometre micrometres",
        0.001,
        "mm",
    ),
    ("dm", 100.0, "mm"),
    ("kgf", 9.806_65, "N"),
    ("daN", 10.0, "N"),
    ("mN", 0.001, "N"),
    ("MN", 1000.0, "kN"),
    ("kip kips", 1000.0, "lbf"),
    ("stone", 14.0, "lb"),
    ("ug µg μg", 0.001, "mg"),
    ("kJ", 1000.0, "N-m"),
    ("MJ", 1e6, "N-m"),
    ("MWh", 1000.0, "kWh"),
    ("Ncm", 0.01, "N-m"),
    ("kNm", 1000.0, "N-m"),
    ("kgfm", 9.806_65, "N-m"),
    ("mW", 0.001, "W"),
    ("GW", 1000.0, "MW"),
    ("hPa", 100.0, "Pa"),
    ("mbar millibar millibars mb", 100.0, "Pa"),
    ("kbar", 1000.0, "bar"),
    ("atm", 101_325.0, "Pa"),
    ("ksi", 1000.0, "psi"),
    ("knot knots", 1.852, "km/h"),
    ("rps", 60.0, "rpm"),
    ("rev revs turn turns", 360.0, "deg"),
    ("gon", 0.9, "deg"),
    ("us µs μs", 0.001, "ms"),
    ("week weeks", 7.0, "day"),
    ("cl cL", 10.0, "cc"),
    ("dl dL", 0.1, "L"),
    ("kA", 1000.0, "A"),
    ("uA µA μA", 0.001, "mA"),
    ("mAh", 0.001, "Ah"),
    ("kohm kΩ kΩ", 1000.0, "ohm"),
    ("Mohm MΩ MΩ", 1e6, "ohm"),
];

/// Words that mean more than one thing, or that no unit here gives exactly: what to write instead,
/// in words.
const IN_WORDS: [(&str, &str); 26] = [
    (
        "Hz kHz MHz",
        "rpm for a turning speed, for example 3000 rpm, or a number divided by a time, for example 50 / 1 s",
    ),
    ("nm", "N-m for a torque, or mm for a length"),
    ("mil mils", "thou for a thousandth of an inch, or mm"),
    ("kn Kn kt kts", "kN for a force, or km/h for a speed"),
    ("mpg", "mi/gal with the US gallon (3.785 L), or km/L"),
    ("L/100km l/100km", "km/L, or L/km, for example 0.08 L/km"),
    ("gph GPH", "gal/h with the US gallon (3.785 L), or L/h"),
    ("gpm GPM", "gal/min with the US gallon (3.785 L), or L/min"),
    ("gallon gallons", "gal for the US gallon (3.785 L), or L"),
    (
        "pint pints pt qt quart quarts fl_oz floz cup",
        "a volume in cc or L, or in gal for the US gallon (3.785 L)",
    ),
    ("slug slugs", "a mass in kg (1 slug is about 14.594 kg)"),
    ("ton tons", "t for 1000 kg, or lb"),
    ("gr grain grains", "g for a gram"),
    ("pound pounds", "lb for a mass, or lbf for a force"),
    (
        "mmHg torr Torr",
        "a pressure in Pa (1 mmHg is about 133.322 Pa)",
    ),
    (
        "inH2O inh2o",
        "a pressure in Pa (1 inH2O is about 249.09 Pa)",
    ),
    (
        "BTU btu Btu",
        "an energy in N-m or Wh (1 BTU is about 1055.06 N-m)",
    ),
    (
        "kcal cal",
        "an energy in N-m or Wh (1 kcal is about 4186.8 N-m)",
    ),
    ("arcmin", "minutes after the degrees, for example 0° 06'"),
    (
        "arcsec",
        "seconds after the degrees, for example 0° 00' 30\"",
    ),
    (
        "degree degrees degs",
        "deg for an angle, or degC for a temperature",
    ),
    ("ounce ounces", "oz for a mass, or cc for a volume"),
    ("C", "degC for a temperature, or A for a current"),
    ("F", "degF for a temperature"),
    (
        "cv ch pk PK CV",
        "PS for the metric horsepower (735.5 W), or kW",
    ),
    (
        "S mS kS G mG T H dB lux lx HRC HV HB F/m uF nF pF mF µF μF H mH",
        "a number without a unit; Shimbook does not calculate with this unit",
    ),
];

/// Dollars and other signs that stand for one of several currencies.
const MONEY_SIGNS: [(&str, &[&str]); 5] = [
    ("€", &["EUR"]),
    ("£", &["GBP"]),
    ("$", &["USD", "CAD", "AUD", "NZD", "SGD", "HKD"]),
    ("¥", &["JPY", "CNY"]),
    ("₹", &["INR"]),
];

/// Single letters that no other unit of the trade claims in the other case.
const SAFE_LETTERS: [&str; 5] = ["N", "V", "A", "W", "L"];

fn row_of(name: &str) -> Option<&'static Row> {
    ROWS.iter().find(|row| row.0 == name)
}

fn has(words: &str, word: &str) -> bool {
    words.split(' ').any(|known| known == word)
}

/// The foreign unit of that word.
fn foreign(word: &str) -> Option<&'static Foreign> {
    FOREIGN.iter().find(|row| has(row.0, word))
}

/// A foreign unit as a unit: only for reading what the crew meant.
pub(super) fn foreign_unit(word: &str) -> Option<Unit> {
    let (_, count, ours) = foreign(word)?;
    let (_, factor, _, dimension) = row_of(ours)?;
    Some(Unit {
        name: word.to_owned(),
        factor: factor * count,
        offset: 0.0,
        dimension: *dimension,
    })
}

impl Units {
    /// The unit to write for a word: another spelling of it, of the same size.
    fn respelt(&self, word: &str) -> Option<String> {
        if let Some((_, codes)) = MONEY_SIGNS.iter().find(|(sign, _)| *sign == word) {
            return codes
                .contains(&self.currency())
                .then(|| self.currency().to_owned());
        }
        let of = |word: &str| {
            SPELLINGS
                .iter()
                .find(|(_, words)| has(words, word))
                .map(|(ours, _)| (*ours).to_owned())
        };
        // A long word means the same in capitals.
        let in_capitals = |word: &str| {
            of(&word.to_lowercase()).filter(|_| word.len() > 3 && row_of(word).is_none())
        };
        of(word)
            .or_else(|| in_capitals(word))
            .or_else(|| self.in_other_case(word))
    }

    /// A known unit in other capitals, where the capitals cannot have meant another size: `MV` is
    /// not `mV`.
    fn in_other_case(&self, word: &str) -> Option<String> {
        if self.currency().eq_ignore_ascii_case(word) {
            return Some(self.currency().to_owned());
        }
        if IN_WORDS.iter().any(|(words, _)| has(words, word)) || foreign(word).is_some() {
            return None;
        }
        let mut same = ROWS
            .iter()
            .map(|row| row.0)
            .filter(|known| known.eq_ignore_ascii_case(word));
        let known = same.next().filter(|_| same.next().is_none())?;
        let prefixed = ["mm", "MPa", "mV", "mohm", "mA", "ms", "MW", "mg"].contains(&known);
        let other_size =
            prefixed && (known.len() == 2 || known.as_bytes().first() != word.as_bytes().first());
        let safe = if known.len() == 1 {
            SAFE_LETTERS.contains(&known)
        } else {
            !other_size
        };
        safe.then(|| known.to_owned())
    }

    /// The same for the first symbol of a text with its power: what to write, and how much of the
    /// text it takes.
    fn respelt_symbol(&self, text: &str) -> Option<(String, usize)> {
        if let Some(sign) = text.chars().next().filter(|c| !c.is_alphabetic()) {
            return self
                .respelt(&text[..sign.len_utf8()])
                .map(|ours| (ours, sign.len_utf8()));
        }
        let letters = text
            .find(|c: char| !(c.is_alphabetic() || c == '_'))
            .unwrap_or(text.len());
        let exponent = power(&text[letters..]).map_or(0, |(_, length)| length);
        let word = &text[..letters];
        let ours = if row_of(word).is_some() {
            word.to_owned()
        } else {
            self.respelt(word)?
        };
        let ends =
            !text[letters + exponent..].starts_with(|c: char| c.is_alphanumeric() || c == '_');
        let simple = exponent == 0
            || row_of(&ours).is_some_and(|row| row.0.bytes().all(|b| b.is_ascii_alphabetic()));
        (ends && simple).then(|| {
            (
                ours + &text[letters..letters + exponent],
                letters + exponent,
            )
        })
    }

    /// What to write for the unit at the start of a text, a quotient included; `None` where any
    /// piece of it is not certain. A product is known as a whole or not at all: `l-in` is more
    /// likely a torque than litres.
    fn respelt_unit(&self, text: &str) -> Option<(String, usize)> {
        let run = run(text);
        // A sign that is left over would still not be read.
        if text[run.len()..].starts_with(['.', '-', '/']) {
            return None;
        }
        if let Some(whole) = self.respelt(run) {
            return Some((whole, run.len()));
        }
        let (mut ours, mut taken) = self.respelt_symbol(run)?;
        while run[taken..].starts_with('/') {
            let (next, length) = self.respelt_symbol(&run[taken + 1..])?;
            ours.push('/');
            ours.push_str(&next);
            taken += 1 + length;
        }
        (taken == run.len() && self.named(&ours).is_ok()).then_some((ours, taken))
    }

    /// What is wrong with a unit that is not known; `text` starts at it. Of `as UNIT`, which
    /// changes no number.
    pub fn unknown(&self, text: &str) -> LiteralError {
        let fault = self.unknown_in_words(text);
        match foreign(run(text)) {
            Some((_, _, ours)) => fault.instead(*ours),
            None => fault,
        }
    }

    /// The same where the unit counts a number: it is replaced only by another spelling of the same
    /// size.
    pub(super) fn unknown_in_words(&self, text: &str) -> LiteralError {
        if let Some((ours, length)) = self.respelt_unit(text) {
            let expected = self
                .named(&ours)
                .map_or_else(|_| ours.clone(), |unit| self.of_kind(unit.dimension));
            return not_known(&text[..length]).expected(expected).instead(ours);
        }
        let run = run(text);
        if is_tolerance_class(run) {
            return LiteralError::new(
                Slug::UnknownUnit,
                0..run.len(),
                format!("`{run}` is a tolerance class, not a unit"),
            )
            .expected("the size with its limits, for example 25 +0.021/-0 mm");
        }
        let words = IN_WORDS
            .iter()
            .find(|(words, _)| has(words, run))
            .map(|(_, write)| (*write).to_owned());
        let expected = words.or_else(|| self.foreign_in_words(leading(run)));
        not_known(run).expected(
            expected
                .unwrap_or_else(|| "a unit, for example mm, deg, kg, N-m, kW or bar".to_owned()),
        )
    }

    fn foreign_in_words(&self, word: &str) -> Option<String> {
        let (_, count, ours) = foreign(word)?;
        let (_, _, _, dimension) = row_of(ours)?;
        Some(format!(
            "{}; 1 {word} is {} {ours}",
            self.of_kind(*dimension),
            format::plain(*count, 12)
        ))
    }

    /// `a length in mm, cm, m, km, thou, in, ft, yd or mi`
    pub(super) fn of_kind(&self, dimension: Dimension) -> String {
        let names: Vec<&str> = ROWS
            .iter()
            .filter(|row| row.3 == dimension)
            .map(|row| row.0)
            .collect();
        let words = dimension.words();
        match names.split_last() {
            _ if dimension == Dimension::MONEY => format!("{words} in {}", self.currency()),
            None => words,
            Some((last, [])) => format!("{words} in {last}"),
            Some((last, names)) => format!("{words} in {} or {last}", names.join(", ")),
        }
    }

    /// The fault of a number whose unit is not known. `text` starts at the number, `unit` is where
    /// its unit starts.
    pub(crate) fn unknown_after(&self, text: &str, number: f64, unit: usize) -> LiteralError {
        let fault = self.unknown_in_words(&text[unit..]).moved(unit);
        let word = leading(&text[unit..]);
        let end = unit + word.len();
        // What follows the unit stays as it is: `5 kgf/cm2` becomes so many N/cm2.
        let behind = run(&text[unit..]).get(word.len()..).unwrap_or_default();
        let whole = |ours: &str| {
            behind.is_empty()
                || (behind.starts_with('/') && self.named(&(ours.to_owned() + behind)).is_ok())
        };
        match foreign(word).filter(|row| fault.instead.is_none() && whole(row.2)) {
            Some((_, count, ours)) => {
                let rewritten = format!("{} {ours}", format::plain(number * count, 12));
                LiteralError {
                    at: 0..end,
                    ..fault
                }
                .instead(rewritten)
            }
            None => fault,
        }
    }

    /// The unit that a value in this unit is rewritten in: itself, or ours for a foreign one.
    pub(super) fn ours(&self, unit: &Unit) -> Option<Unit> {
        match foreign(&unit.name) {
            Some((_, _, ours)) => self.named(ours).ok(),
            None => self.named(&unit.name).ok(),
        }
    }
}

fn not_known(word: &str) -> LiteralError {
    let at: Range<usize> = 0..word.len();
    LiteralError::new(
        Slug::UnknownUnit,
        at,
        format!("`{word}` is not a unit Shimbook knows"),
    )
}

/// The letters at the start, those of other alphabets included.
pub(super) fn leading(text: &str) -> &str {
    let plain = leading_word(text);
    let end = text
        .find(|c: char| !(c.is_alphabetic() || matches!(c, '_' | '°' | '℃' | '℉')))
        .unwrap_or(text.len());
    if end > plain.len() {
        &text[..end]
    } else {
        plain
    }
}

/// All that could belong to a unit at the start of a text.
fn run(text: &str) -> &str {
    let signs = |c: char| {
        matches!(
            c,
            '_' | '/'
                | '-'
                | '·'
                | '^'
                | '%'
                | '°'
                | '²'
                | '³'
                | '€'
                | '£'
                | '$'
                | '¥'
                | '₹'
                | '℃'
                | '℉'
                | '.'
        )
    };
    let end = text
        .find(|c: char| !(c.is_alphanumeric() || signs(c)))
        .unwrap_or(text.len());
    text[..end].trim_end_matches(['.', '-', '/'])
}

/// `H7`, `g6`, `js9`: one or two letters of ISO 286 and a grade.
fn is_tolerance_class(word: &str) -> bool {
    let letters = word
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or(word.len());
    let (zone, grade) = word.split_at(letters);
    let zone = zone.to_ascii_lowercase();
    let known = [
        "a", "b", "c", "d", "e", "f", "g", "h", "js", "k", "m", "n", "p", "r", "s", "t", "u",
    ];
    known.contains(&zone.as_str())
        && grade
            .parse()
            .is_ok_and(|grade: u32| (5..=13).contains(&grade))
}
