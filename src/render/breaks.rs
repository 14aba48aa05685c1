//! Where a long name may be broken.
//!
//! In: a name or a formula as it is shown, `drive_motor.speed`. Out: the same as HTML, with a place
//! to break after each `_` and before each member, so that narrow columns never part `spee` from
//! `d`. Figures are left whole.

use tera::{Kwargs, State, TeraResult, Value};

/// The filter's name in a template.
pub(super) const NAME: &str = "breaks";

/// The filter: `{{ row.name.text | breaks }}`.
pub(super) fn filter(shown: &str, _: Kwargs, state: &State) -> TeraResult<Value> {
    let mut out = String::with_capacity(shown.len() + 16);
    for piece in pieces(shown) {
        if !out.is_empty() {
            out.push_str("<wbr>");
        }
        out.push_str(&state.escape(piece)?);
    }
    Ok(Value::safe_string(&out))
}

/// The pieces of what is shown; put together they are the whole.
fn pieces(shown: &str) -> impl Iterator<Item = &str> {
    let mut rest = shown;
    std::iter::from_fn(move || {
        let end = first_break(rest).unwrap_or(rest.len());
        let (piece, after) = rest.split_at(end);
        rest = after;
        (!piece.is_empty()).then_some(piece)
    })
}

/// Right after the first `_` or `.` that a word goes on from; a figure goes on behind a `_` only.
fn first_break(text: &str) -> Option<usize> {
    let mut marks = text.match_indices(['_', '.']);
    marks.find_map(|(at, mark)| {
        let next = text[at + 1..].chars().next()?;
        (next.is_alphabetic() || (mark == "_" && next.is_numeric())).then_some(at + 1)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn broken(shown: &str) -> String {
        pieces(shown).collect::<Vec<_>>().join("|")
    }

    #[test]
    fn a_name_breaks_after_its_joins_and_a_figure_never() {
        assert_eq!(broken("bolt_thread_was"), "bolt_|thread_|was");
        assert_eq!(
            broken("at least 1.3 * drive_motor.speed"),
            "at least 1.3 * drive_|motor.|speed"
        );
        assert_eq!(broken("seat_2"), "seat_|2");
        assert_eq!(broken("_"), "_");
        assert_eq!(broken(""), "");
    }
}
