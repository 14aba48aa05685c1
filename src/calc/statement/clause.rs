//! Checks: their limits, and the units a bare number takes from the rest of its clause.
//!
//! In: the text behind `at least`, `at most`, `between`, `within`. Out: a [`Rule`].

use super::{Act, Limit, Rule, RuleKind, Signed, Text, leading, people};
use crate::calc::expression::{Expr, ExprKind, Reader};
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::{TemperatureKind, Unit, Value};
use crate::source::Span;

type Read<T> = Result<T, Box<Diagnostic>>;

/// Reads a check of the given kind. `whole` begins at the keyword, `limits` behind it.
pub(super) fn check(kind: RuleKind, whole: Text, limits: Text, reader: &mut Reader) -> Read<Rule> {
    let (limits, tail) = split_tail(limits);
    no_comma_before(limits)?;
    let (hold, act) = tail.map_or(Ok((false, Act::Set)), |tail| read_tail(tail, reader))?;
    if limits.text.is_empty() {
        return Err(Box::new(
            Diagnostic::error(Slug::BadStatement, whole.at, "the limit is missing")
                .expected("a value with its unit"),
        ));
    }
    let (lower, upper) = match kind {
        RuleKind::AtLeast => (Some(plain(single(limits, reader)?)), None),
        RuleKind::AtMost => (None, Some(plain(single(limits, reader)?))),
        RuleKind::Between => between(limits, reader)?,
        RuleKind::Within => within(limits, reader)?,
    };
    let at = Span {
        end: limits.at.end,
        ..whole.at
    };
    let length = (limits.at.end - whole.at.start) as usize;
    Ok(Rule {
        kind,
        lower,
        upper,
        hold,
        act,
        written: whole.text[..length].to_owned(),
        at,
    })
}

fn plain(base: Expr) -> Limit {
    Limit { base, side: None }
}

fn single(text: Text, reader: &mut Reader) -> Read<Expr> {
    reader.expression(text.text, text.at)
}

/// The same for one of several numbers that may share a unit: to change the number and the unit of
/// one of them would change the others.
pub(super) fn shared(text: Text, reader: &mut Reader) -> Read<Expr> {
    single(text, reader).map_err(|mut wrong| {
        let number = |instead: &String| instead.starts_with(|c: char| c.is_ascii_digit());
        wrong.instead = wrong
            .instead
            .take()
            .filter(|instead| wrong.slug != Slug::UnknownUnit || !number(instead));
        wrong
    })
}

/// Splits at the first comma behind which no digit follows: there the limits end.
fn split_tail(text: Text) -> (Text, Option<Text>) {
    let ends = |rest: &str| {
        rest.strip_prefix(',')
            .is_some_and(|word| !word.trim_start().starts_with(|c: char| c.is_ascii_digit()))
    };
    match depth_zero(text.text, ends).next() {
        Some(comma) => (
            text.part(0, comma),
            Some(text.part(comma + 1, text.text.len())),
        ),
        None => (text, None),
    }
}

/// The words that may follow the limits.
const TAILS: [&str; 3] = ["hold", "eased by", "withdrawn by"];

fn no_comma_before(limits: Text) -> Read<()> {
    for words in TAILS {
        let begins = |rest: &str| {
            rest.starts_with(' ')
                && leading(rest, words)
                    .is_some_and(|length| words != "hold" || length == rest.len())
        };
        if let Some(at) = depth_zero(limits.text, begins).next() {
            let place = limits.part(at, limits.text.len());
            return Err(Box::new(
                Diagnostic::error(
                    Slug::BadStatement,
                    place.at,
                    format!("a comma is missing before {words}"),
                )
                .expected("a comma")
                .instead(format!(", {}", place.text)),
            ));
        }
    }
    Ok(())
}

/// `hold`, `eased by NAMES: why`, `withdrawn by NAMES: why`, or `hold` and one of the others.
fn read_tail(text: Text, reader: &Reader) -> Read<(bool, Act)> {
    let behind_hold = leading(text.text, "hold").map(|length| text.part(length, text.text.len()));
    let rest = match behind_hold {
        Some(rest) if rest.text.is_empty() => return Ok((true, Act::Set)),
        Some(rest) if rest.text.starts_with(',') => rest.part(1, rest.text.len()),
        Some(rest) => return Err(no_tail(rest)),
        None => text,
    };
    let act = if let Some(length) = leading(rest.text, "eased by") {
        Act::Eased(signed(rest, length, reader)?)
    } else if let Some(length) = leading(rest.text, "withdrawn by") {
        Act::Withdrawn(signed(rest, length, reader)?)
    } else {
        return Err(no_tail(rest));
    };
    Ok((behind_hold.is_some(), act))
}

fn no_tail(rest: Text) -> Box<Diagnostic> {
    Box::new(
        Diagnostic::error(
            Slug::BadStatement,
            rest.at,
            "nothing but hold, eased by or withdrawn by may follow the limits",
        )
        .expected(", hold, or , eased by NAME + NAME: why, or , withdrawn by NAME + NAME: why"),
    )
}

/// The names and the reason behind `by`, which ends at `length`.
fn signed(text: Text, length: usize, reader: &Reader) -> Read<Signed> {
    let (names, why) = match text.text[length..].find(':') {
        Some(colon) => (
            text.part(length, length + colon),
            text.text[length + colon + 1..].trim(),
        ),
        None => (text.part(length, text.text.len()), ""),
    };
    let by = people(names, reader)?;
    if why.is_empty() {
        return Err(Box::new(
            Diagnostic::error(Slug::BadStatement, text.at, "the reason is missing")
                .expected("the reason behind a colon")
                .instead(format!("{}: why", text.text.trim_end_matches([':', ' ']))),
        ));
    }
    Ok(Signed {
        by,
        why: why.to_owned(),
        at: text.at,
    })
}

type Limits = (Option<Limit>, Option<Limit>);

fn between(text: Text, reader: &mut Reader) -> Read<Limits> {
    let splits: Vec<usize> = depth_zero(text.text, |rest| rest.starts_with(" and ")).collect();
    let [split] = splits[..] else {
        return Err(Box::new(
            Diagnostic::error(Slug::BadStatement, text.at, "`between` needs two limits")
                .expected("between 16 and 17 mm"),
        ));
    };
    let mut limits = [
        shared(text.part(0, split), reader)?,
        shared(text.part(split + 5, text.text.len()), reader)?,
    ];
    share_unit(&mut limits, false);
    let [lower, upper] = limits;
    Ok((Some(plain(lower)), Some(plain(upper))))
}

fn within(text: Text, reader: &mut Reader) -> Read<Limits> {
    let Some(mark) = tolerance_mark(text.text) else {
        return Err(Box::new(
            Diagnostic::error(
                Slug::BadStatement,
                text.at,
                "`within` needs a middle and a tolerance",
            )
            .expected("within 3.4 ± 0.4 deg, or within 10 +0.2/-0.1 mm"),
        ));
    };
    let middle = shared(text.part(0, mark), reader)?;
    let (above, below) = sides(text, mark, reader)?;
    let mut parts = [middle, above, below];
    share_unit(&mut parts, true);
    let [middle, above, below] = parts;
    let lower = Limit {
        base: middle.clone(),
        side: Some(below),
    };
    Ok((
        Some(lower),
        Some(Limit {
            base: middle,
            side: Some(above),
        }),
    ))
}

/// The sides behind `±`, or of `+a/-b`.
fn sides(text: Text, mark: usize, reader: &mut Reader) -> Read<(Expr, Expr)> {
    let rest = &text.text[mark..];
    if let Some(length) = crate::quantity::plus_minus(rest) {
        let side = shared(text.part(mark + length, text.text.len()), reader)?;
        return Ok((side.clone(), side));
    }
    let (slash, figure) = crate::quantity::lower_side(rest).unwrap_or((rest.len(), rest.len()));
    let above = shared(text.part(mark + 1, mark + slash), reader)?;
    let below = shared(text.part(mark + figure, text.text.len()), reader)?;
    Ok((above, below))
}

/// Where `±`, `+/-` or the plus of ` +a/-b` stands, outside brackets.
pub(super) fn tolerance_mark(text: &str) -> Option<usize> {
    let equal = depth_zero(text, |rest| crate::quantity::plus_minus(rest).is_some()).next();
    equal.or_else(|| {
        let (lower, _) = crate::quantity::lower_side(text)?;
        let begins = |rest: &str| rest.starts_with(" +") && !rest[2..].starts_with(' ');
        let mark = depth_zero(text, begins).next().filter(|at| *at < lower)?;
        Some(mark + 1)
    })
}

/// Byte offsets outside brackets where `test` holds of what follows.
pub(super) fn depth_zero<'t>(
    text: &'t str,
    test: impl Fn(&str) -> bool + 't,
) -> impl Iterator<Item = usize> + 't {
    let mut depth = 0_i32;
    text.char_indices().filter_map(move |(at, c)| {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        (depth == 0 && test(&text[at..])).then_some(at)
    })
}

/// A bare number takes the unit of the last number of its clause that has one. Behind `±` a step on
/// a scale of temperature is a rise.
pub(super) fn share_unit(parts: &mut [Expr], tolerance: bool) {
    let unit = parts.iter().rev().find_map(last_unit);
    for (index, part) in parts.iter_mut().enumerate() {
        let step = tolerance && index > 0;
        if let Some(unit) = &unit {
            give_unit(part, unit, step);
        }
    }
}

fn last_unit(expr: &Expr) -> Option<Unit> {
    match &expr.kind {
        ExprKind::Number(_, unit) => unit.clone(),
        ExprKind::Negative(inner) => last_unit(inner),
        ExprKind::Binary(_, left, right) => last_unit(right).or_else(|| last_unit(left)),
        _ => None,
    }
}

fn give_unit(expr: &mut Expr, shared: &Unit, step: bool) {
    match &mut expr.kind {
        ExprKind::Negative(inner) => give_unit(inner, shared, step),
        ExprKind::Number(value, unit) => {
            let number = unit
                .as_ref()
                .map_or(value.nominal, |own| own.reading(value.nominal));
            let own = unit.get_or_insert_with(|| shared.clone());
            let heat = super::super::expression::heat(own);
            *value = if step && own.is_scale() {
                Value::exact(own.step_to_si(number), own.dimension)
                    .with_heat(TemperatureKind::Difference)
            } else {
                Value::exact(own.to_si(number), own.dimension).with_heat(heat)
            };
        }
        _ => {}
    }
}
