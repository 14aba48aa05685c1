//! `choose NAME from E to E [aim E]` and `stack NAME from PIECES`.

use super::clause::{depth_zero, share_unit, shared};
use super::{ReadLine, Says, Statement, StockPiece, Text, leading, literal, subject};
use crate::calc::expression::{Expr, ExprKind, Reader, word_length};
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::Dimension;
use crate::source::Span;

/// More sizes and more pieces of one size than a rack of shims holds.
const MOST_SIZES: usize = 12;
const MOST_PIECES: u32 = 20;

/// Which of the two.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum What {
    Choose,
    Stack,
}

impl What {
    fn form(self) -> &'static str {
        match self {
            Self::Choose => "choose NAME from 0 to 60 mm, or choose NAME from 0 to 60 mm aim 25 mm",
            Self::Stack => "stack NAME from 6 mm x2, 3 mm x4, 0.5 mm",
        }
    }
}

/// Reads the line behind its first word.
pub(super) fn read(
    what: What,
    line: Text<'_>,
    rest: Text<'_>,
    remark: Option<String>,
    reader: &mut Reader,
) -> ReadLine {
    let name = rest.part(0, word_length(rest.text));
    if name.text.is_empty() {
        let wrong = Diagnostic::error(Slug::BadStatement, line.at, "the name is missing")
            .expected(what.form());
        return ReadLine::failed(Box::new(wrong));
    }
    let id = match subject(name, true, reader) {
        Ok(id) => id,
        Err(wrong) => return ReadLine::failed(wrong),
    };
    let says =
        behind_from(what, line, rest.from(name.text.len())).and_then(
            |(behind, written)| match what {
                What::Choose => choose(behind, written, reader),
                What::Stack => stack(behind, written, reader),
            },
        );
    match says {
        Ok(says) => ReadLine {
            statement: Ok(Statement {
                at: line.at,
                name: id,
                name_at: name.at,
                says,
                remark,
            }),
            broken: None,
            about: None,
        },
        Err(wrong) => ReadLine {
            statement: Err(wrong),
            broken: Some(id),
            about: None,
        },
    }
}

/// The text behind `from`, and all of it behind the name.
fn behind_from<'t>(
    what: What,
    line: Text<'t>,
    rest: Text<'t>,
) -> Result<(Text<'t>, String), Box<Diagnostic>> {
    if let Some(length) = leading(rest.text, "from") {
        return Ok((rest.from(length), rest.text.to_owned()));
    }
    let at = if rest.text.is_empty() {
        line.at
    } else {
        rest.at
    };
    Err(Box::new(
        Diagnostic::error(Slug::BadStatement, at, "`from` is missing").expected(what.form()),
    ))
}

fn choose(text: Text, written: String, reader: &mut Reader) -> Result<Says, Box<Diagnostic>> {
    let aim = depth_zero(text.text, |rest| rest.starts_with(" aim ")).last();
    let limits = text.part(0, aim.unwrap_or(text.text.len()));
    let splits: Vec<usize> = depth_zero(limits.text, |rest| rest.starts_with(" to ")).collect();
    let [split] = splits[..] else {
        return Err(Box::new(
            Diagnostic::error(Slug::BadStatement, limits.at, "the range needs two ends")
                .expected(What::Choose.form()),
        ));
    };
    let mut parts = vec![
        shared(limits.part(0, split), reader)?,
        shared(limits.part(split + 4, limits.text.len()), reader)?,
    ];
    if let Some(at) = aim {
        parts.push(shared(text.part(at + 5, text.text.len()), reader)?);
    }
    share_unit(&mut parts, false);
    right_way_round(&parts)?;
    let mut parts = parts.into_iter();
    match (parts.next(), parts.next()) {
        (Some(low), Some(high)) => Ok(Says::Choose {
            low,
            high,
            aim: parts.next(),
            written,
        }),
        _ => Err(Box::new(Diagnostic::error(
            Slug::BadStatement,
            text.at,
            "the range needs two ends",
        ))),
    }
}

/// Two written ends must measure the same and stand the lower first.
fn right_way_round(parts: &[Expr]) -> Result<(), Box<Diagnostic>> {
    let (Some((low, dimension)), Some((high, other))) =
        (written_end(&parts[0]), written_end(&parts[1]))
    else {
        return Ok(());
    };
    if dimension != other {
        let message = format!(
            "one end is {}, the other is {}",
            dimension.words(),
            other.words()
        );
        return Err(Box::new(
            Diagnostic::error(Slug::UnitMismatch, parts[1].at, message).expected(dimension.words()),
        ));
    }
    if low >= high {
        return Err(Box::new(
            Diagnostic::error(
                Slug::EmptyLimits,
                parts[0].at.to(parts[1].at),
                "this range is empty: its first end is above its second",
            )
            .expected("the lower end first"),
        ));
    }
    Ok(())
}

fn written_end(expr: &Expr) -> Option<(f64, Dimension)> {
    match &expr.kind {
        ExprKind::Number(value, _) => Some((value.nominal, value.dimension)),
        ExprKind::Negative(inner) => {
            written_end(inner).map(|(value, dimension)| (-value, dimension))
        }
        _ => None,
    }
}

fn stack(text: Text, written: String, reader: &Reader) -> Result<Says, Box<Diagnostic>> {
    let mut pieces: Vec<StockPiece> = Vec::new();
    let mut start = 0;
    for piece in text.text.split(',') {
        let place = text.part(start, start + piece.len());
        start += piece.len() + 1;
        let piece = one_size(place, reader)?;
        if let Some(first) = pieces
            .first()
            .filter(|first| first.size.unit.dimension != piece.size.unit.dimension)
        {
            let message = format!(
                "this piece is {}, the first is {}",
                piece.size.unit.dimension.words(),
                first.size.unit.dimension.words()
            );
            return Err(Box::new(Diagnostic::error(
                Slug::UnitMismatch,
                place.at,
                message,
            )));
        }
        pieces.push(piece);
    }
    if pieces.len() > MOST_SIZES {
        return Err(too_many(text.at, format!("at most {MOST_SIZES} sizes")));
    }
    Ok(Says::Stack { pieces, written })
}

fn too_many(at: Span, expected: String) -> Box<Diagnostic> {
    Box::new(
        Diagnostic::error(
            Slug::BadStatement,
            at,
            "this is more stock than Shimbook searches",
        )
        .expected(expected),
    )
}

/// A count that stands elsewhere than straight behind its x: `6 mm x 2`, `6 mm ×2`, `6 mm 2x`, `2 x
/// 6 mm`.
fn miscounted(text: Text) -> Option<Box<Diagnostic>> {
    let plain = text.text.replace(['×', 'X'], "x");
    let is_count = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    let is_size = |word: &str| word.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    let (before, after) = plain
        .rsplit_once('x')
        .map(|(before, after)| (before.trim(), after.trim()))?;
    let (size, count) = if is_size(before) && is_count(after) {
        (before, after)
    } else if is_count(before) && is_size(after) {
        (after, before)
    } else {
        before
            .rsplit_once(' ')
            .filter(|(size, count)| after.is_empty() && is_size(size) && is_count(count))?
    };
    let wrong = Diagnostic::error(
        Slug::BadStatement,
        text.at,
        "the count of this size cannot be read",
    );
    Some(Box::new(
        wrong
            .expected("the size, then x and the count")
            .instead(format!("{} x{count}", size.trim())),
    ))
}

/// `6 mm x2`, `3 ± 0.02 mm x4`, `0.5 mm`.
fn one_size(text: Text, reader: &Reader) -> Result<StockPiece, Box<Diagnostic>> {
    if text.text.is_empty() {
        return Err(Box::new(
            Diagnostic::error(Slug::BadStatement, text.at, "a piece of stock is missing")
                .expected(What::Stack.form()),
        ));
    }
    let mark = text.text.rmatch_indices(" x").map(|(at, _)| at).find(|at| {
        let count = &text.text[at + 2..];
        !count.is_empty() && count.bytes().all(|b| b.is_ascii_digit())
    });
    let (size, count) = match mark {
        Some(at) => (
            text.part(0, at),
            text.text[at + 2..].parse().unwrap_or(u32::MAX),
        ),
        None => (text, 1),
    };
    if count == 0 || count > MOST_PIECES {
        return Err(too_many(
            text.at,
            format!("1 to {MOST_PIECES} pieces of a size"),
        ));
    }
    let literal = literal(size, reader).map_err(|wrong| miscounted(text).unwrap_or(wrong))?;
    if literal.nominal <= 0.0 || literal.unit.is_scale() {
        return Err(Box::new(
            Diagnostic::error(
                Slug::BadValue,
                size.at,
                "a piece of stock must be larger than 0",
            )
            .expected("a size, for example 3 mm"),
        ));
    }
    Ok(StockPiece {
        size: literal,
        count,
    })
}
