//! Small things that tails, events and sheets all write: lists, people, hours, days, money.
//!
//! In: text and its place. Out: plain values, or nothing where the text says something else.

use rust_decimal::Decimal;

use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::markdown::NAMES_LOOKED_FOR;
use crate::quantity::{Literal, Units};
use crate::source::{Sources, Span, Spanned};

use super::CrewMember;

/// The most hours one job can take or have taken.
const MOST_HOURS: f64 = 10_000.0;

/// The span without the space at both its ends.
pub(super) fn trim(sources: &Sources, span: Span) -> Span {
    let text = sources.slice(span);
    let start = span.start as usize + text.len() - text.trim_start().len();
    Span::new(span.file, start..start + text.trim().len())
}

/// The pieces between `sign`, trimmed.
pub(super) fn split(sources: &Sources, span: Span, sign: char) -> Vec<Span> {
    let mut start = span.start as usize;
    let pieces = sources.slice(span).split(sign).map(|piece| {
        let range = start..start + piece.len();
        start = range.end + sign.len_utf8();
        trim(sources, Span::new(span.file, range))
    });
    pieces.collect()
}

/// The known name nearest to one that is not, while there are few findings.
pub(super) fn near<'a>(
    word: &str,
    known: impl Iterator<Item = &'a str>,
    found: &[Diagnostic],
) -> Option<String> {
    (found.len() < NAMES_LOOKED_FOR).then(|| nearest(word, known).map(str::to_owned))?
}

/// The part of a span from byte `from` of its text on.
pub(super) fn rest(span: Span, from: usize) -> Span {
    Span::new(
        span.file,
        (span.start as usize + from).min(span.end as usize)..span.end as usize,
    )
}

/// The people named in `Ines + Bashir`; somebody unknown is said and left out.
pub(super) fn people(
    sources: &Sources,
    span: Span,
    crew: &[CrewMember],
    found: &mut Vec<Diagnostic>,
) -> Vec<Spanned<String>> {
    let written = sources.slice(span);
    if let Some(joined) = joined_people(written, crew) {
        let wrong = Diagnostic::error(
            Slug::UnknownPerson,
            span,
            "several names need ` + ` between them",
        );
        found.push(
            wrong
                .expected("names with ` + ` between them")
                .instead(joined),
        );
        return Vec::new();
    }
    let names = split(sources, span, '+')
        .into_iter()
        .map(|span| Spanned::new(sources.slice(span).to_owned(), span));
    names.filter(|name| is_known(name, crew, found)).collect()
}

/// Names of the crew with other signs between them (`Ada and Ben`, `Ada, Ben`), written with ` + `;
/// `None` where the text is anything else.
pub fn joined_people(text: &str, crew: &[CrewMember]) -> Option<String> {
    if text.contains('+') {
        return None;
    }
    let text = [" and ", " & ", "&", ",", "/", ";"]
        .iter()
        .fold(text.to_owned(), |text, sign| text.replace(sign, "+"));
    let names: Vec<&str> = text
        .split('+')
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .collect();
    let known = names
        .iter()
        .all(|name| crew.iter().any(|member| member.name == *name));
    (known && names.len() > 1).then(|| names.join(" + "))
}

/// Is somebody of that name in the crew? Nobody is unknown while the crew is not known.
pub(super) fn is_known(
    name: &Spanned<String>,
    crew: &[CrewMember],
    found: &mut Vec<Diagnostic>,
) -> bool {
    let known = !name.value.is_empty()
        && (crew.is_empty() || crew.iter().any(|member| member.name == name.value));
    if !known {
        let near = near(
            &name.value,
            crew.iter().map(|member| member.name.as_str()),
            found,
        );
        let message = if name.value.is_empty() {
            "a name is missing".to_owned()
        } else {
            format!("no crew member is called `{}`", name.value)
        };
        let wrong = Diagnostic::error(Slug::UnknownPerson, name.span, message);
        found.push(
            wrong
                .expected("names of the crew in the build sheet, with ` + ` between them")
                .maybe_instead(near),
        );
    }
    known
}

/// Hours from `4.5 h`, `20 min`, `1 h 30 min`.
pub(super) fn hours(text: &str) -> Option<f64> {
    let (hours, after) = amount(text, "h").unwrap_or((None, text));
    let (minutes, after) = amount(after, "min").unwrap_or((None, after));
    let total = hours.unwrap_or(0.0) + minutes.unwrap_or(0.0) / 60.0;
    let said = hours.is_some() || minutes.is_some();
    (said && after.trim().is_empty() && total <= MOST_HOURS).then_some(total)
}

/// A number with `unit` at the front of a text, and what comes after it.
fn amount<'t>(text: &'t str, unit: &str) -> Option<(Option<f64>, &'t str)> {
    let text = text.trim_start();
    let digits = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    let (number, after) = text.split_at(digits);
    let after = after.trim_start().strip_prefix(unit)?;
    if after.starts_with(char::is_alphabetic) {
        return None;
    }
    Some((Some(number.parse().ok()?), after))
}

/// What hours that cannot be read most likely mean.
pub(super) fn hours_meant(text: &str) -> Option<String> {
    let text = text.trim().to_lowercase();
    let digits = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(digits);
    number.parse::<f64>().ok()?;
    match unit.trim() {
        "" | "hour" | "hours" | "hr" | "hrs" => Some(format!("{number} h")),
        "m" | "mins" | "minute" | "minutes" => Some(format!("{number} min")),
        _ => None,
    }
}

/// The number in `day 4`.
pub(super) fn day(text: &str) -> Option<u32> {
    let number = text.strip_prefix("day")?.trim_start();
    plain_number(number).filter(|day| (1..=super::MOST_DAYS).contains(day))
}

/// Digits only.
pub(super) fn plain_number(text: &str) -> Option<u32> {
    text.bytes()
        .all(|b| b.is_ascii_digit())
        .then(|| text.parse().ok())?
}

/// An amount of money, with or without the book's currency after it.
pub(super) fn money(text: &str, currency: &str) -> Option<Decimal> {
    let number = text.strip_suffix(currency).unwrap_or(text).trim_end();
    let plain = number.bytes().all(|b| b.is_ascii_digit() || b == b'.') && number.len() <= 20;
    plain.then(|| Decimal::from_str_exact(number).ok())?
}

/// Reads a value that stands at `span`.
pub(super) fn literal(
    sources: &Sources,
    span: Span,
    units: &Units,
    found: &mut Vec<Diagnostic>,
) -> Option<Spanned<Literal>> {
    let written = sources.slice(span);
    let bare = written.trim_matches(['"', '\'']);
    let quoted = bare.len() + 2 == written.len() && written.starts_with(['"', '\'']);
    let span = if quoted {
        Span::new(span.file, span.start as usize + 1..span.end as usize - 1)
    } else {
        span
    };
    match Literal::read(sources.slice(span), units) {
        Ok(literal) => Some(Spanned::new(literal, span)),
        Err(fault) => {
            found.push(fault.in_place(span));
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_are_hours_minutes_or_both() {
        for (text, expected) in [
            ("4.5 h", 4.5),
            ("30 min", 0.5),
            ("1 h 30 min", 1.5),
            ("2h", 2.0),
            ("0 h", 0.0),
        ] {
            assert_eq!(hours(text), Some(expected), "{text}");
        }
        for text in [
            "",
            "3",
            "3 hours",
            "h",
            "30 min 1 h",
            "1.2.3 h",
            "-1 h",
            "1 h x",
            "20000 h",
        ] {
            assert_eq!(hours(text), None, "{text}");
        }
        assert_eq!(hours_meant("3 hours"), Some("3 h".into()));
        assert_eq!(hours_meant("3"), Some("3 h".into()));
    }

    #[test]
    fn money_is_plain_digits_with_a_point() {
        assert_eq!(money("86.00", "EUR").unwrap().to_string(), "86.00");
        assert_eq!(money("86 EUR", "EUR").unwrap().to_string(), "86");
        for text in ["", "-1", "1,5", "1e3", "86 USD"] {
            assert_eq!(money(text, "EUR"), None, "{text}");
        }
    }

    #[test]
    fn a_day_is_the_word_and_a_number() {
        assert_eq!(day("day 4"), Some(4));
        assert_eq!(day("day4"), Some(4));
        for text in ["4", "day 0", "day four", "day -1", "days 3"] {
            assert_eq!(day(text), None, "{text}");
        }
    }
}
