//! The line a finding is about, and where the rule under its place goes.
//!
//! In: a span. Out: the line as it can be shown, and the rule, counted in columns of a terminal. A
//! long line is cut around the place; cutting costs no more than what is shown.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::visible;
use crate::source::{Sources, Span};

/// How many columns of a line are shown.
const COLUMNS: usize = 100;
/// How many of them a place leaves to what stands before and after it, where there is that much.
const AROUND: usize = 20;
/// A tab reaches to the next multiple of this.
const TAB: usize = 4;

/// A line with a rule under a part of it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Excerpt {
    /// The line.
    pub(super) line: String,
    /// Columns before the rule.
    pub(super) indent: usize,
    /// Columns of the rule.
    pub(super) rule: usize,
}

/// The first line of a span; `None` where nothing stands on it.
pub(super) fn excerpt(sources: &Sources, span: Span) -> Option<Excerpt> {
    let text = sources.text(span.file);
    let line = sources
        .file(span.file)
        .line_range(sources.position(span).line);
    let start = (span.start as usize).clamp(line.start, line.end);
    let end = (span.end as usize).clamp(start, line.end);
    let (before, place, after) = (
        text.get(line.start..start)?,
        text.get(start..end)?,
        text.get(end..line.end)?,
    );
    let blank = [before, place, after]
        .iter()
        .all(|piece| piece.trim().is_empty());
    (!blank).then(|| cut(before, place, after))
}

fn cut(before: &str, place: &str, after: &str) -> Excerpt {
    let place_room = COLUMNS - columns_upto(before, AROUND);
    let (place, place_cut) = head(place, place_room);
    let place_width = columns_upto(place, COLUMNS);
    let before_room = COLUMNS
        .saturating_sub(place_width + columns_upto(after, AROUND))
        .max(AROUND);
    let (before, before_cut) = tail(before, before_room);
    let after_room = COLUMNS.saturating_sub(place_width + columns_upto(before, COLUMNS));
    let (after, after_cut) = if place_cut {
        ("", true)
    } else {
        head(after, after_room)
    };

    let mut line = String::from(if before_cut { "…" } else { "" });
    show(&mut line, before);
    let indent = line.width();
    show(&mut line, place);
    let rule = line.width().saturating_sub(indent).max(1);
    show(&mut line, after);
    line.truncate(line.trim_end().len());
    line.push_str(if after_cut { "…" } else { "" });
    Excerpt { line, indent, rule }
}

/// Adds a text to a line as it can be shown, tabs as spaces.
fn show(line: &mut String, text: &str) {
    for c in text.chars() {
        if c == '\t' {
            let gap = TAB - line.width() % TAB;
            line.extend(std::iter::repeat_n(' ', gap));
        } else {
            visible::push(line, c);
        }
    }
}

/// The most columns a character can take.
fn columns(c: char) -> usize {
    let mut shown = String::new();
    visible::push(&mut shown, c);
    if c == '\t' {
        TAB
    } else {
        shown.chars().filter_map(UnicodeWidthChar::width).sum()
    }
}

/// The columns of a text, as far as they go up to `most`.
fn columns_upto(text: &str, most: usize) -> usize {
    columns_sum(text.chars(), most).min(most)
}

fn columns_sum(chars: impl Iterator<Item = char>, most: usize) -> usize {
    let mut sum = 0;
    // Marks without a width of their own are bounded too: nobody reads a hundred on one letter.
    for c in chars.take(8 * COLUMNS) {
        sum += columns(c);
        if sum > most {
            break;
        }
    }
    sum
}

/// As much of the beginning as fits into some columns; was anything cut?
fn head(text: &str, room: usize) -> (&str, bool) {
    let mut used = 0;
    for (count, (at, c)) in text.char_indices().enumerate() {
        used += columns(c);
        if used > room || count >= 8 * COLUMNS {
            return (&text[..at], true);
        }
    }
    (text, false)
}

/// As much of the end as fits into some columns; was anything cut?
fn tail(text: &str, room: usize) -> (&str, bool) {
    let mut used = 0;
    for (count, (at, c)) in text.char_indices().rev().enumerate() {
        used += columns(c);
        if used > room || count >= 8 * COLUMNS {
            return (&text[at + c.len_utf8()..], true);
        }
    }
    (text, false)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The excerpt as two lines, of the first `needle` in `text`.
    fn drawn(text: &str, needle: &str) -> String {
        let mut sources = Sources::default();
        let file = sources.add("a.md", text);
        let at = text.find(needle).unwrap();
        let shown = excerpt(&sources, Span::new(file, at..at + needle.len())).unwrap();
        format!(
            "{}\n{}{}",
            shown.line,
            " ".repeat(shown.indent),
            "─".repeat(shown.rule)
        )
    }

    #[test]
    fn the_rule_stands_under_the_place() {
        assert_eq!(
            drawn("one\ntail_after within 3.4 mm\n", "3.4 mm"),
            "tail_after within 3.4 mm\n                  ──────"
        );
    }

    #[test]
    fn tabs_wide_characters_and_controls_line_up() {
        assert_eq!(drawn("\ta\tb", "b"), "    a   b\n        ─");
        assert_eq!(drawn("車軸 = 9 mn", "mn"), "車軸 = 9 mn\n         ──");
        assert_eq!(drawn("\x1b[1m x", "x"), "␛[1m x\n     ─");
        assert_eq!(drawn("e\u{301} x", "x"), "e\u{301} x\n  ─");
    }

    #[test]
    fn of_a_place_over_many_lines_the_first_is_ruled() {
        assert_eq!(drawn("ab\ncd\nef", "b\ncd\ne"), "ab\n ─");
    }

    #[test]
    fn an_empty_place_is_ruled_one_column_wide_and_a_blank_line_is_not_shown() {
        let mut sources = Sources::default();
        let file = sources.add("a.md", "ab\n\n");
        let at = |offset| excerpt(&sources, Span::new(file, offset..offset));
        assert_eq!(
            at(2),
            Some(Excerpt {
                line: "ab".into(),
                indent: 2,
                rule: 1
            })
        );
        assert_eq!((at(3), at(4), at(99)), (None, None, None));
    }

    proptest::proptest! {
        #[test]
        fn any_place_in_any_text_can_be_shown(text in "(\\PC|[\t\n\x1b車]){0,300}", from in 0..900_usize, long in 0..900_usize) {
            let mut sources = Sources::default();
            let file = sources.add("a.md", &text);
            if let Some(shown) = excerpt(&sources, Span::new(file, from..from + long)) {
                // A mark may turn the letter before it into a wider picture, so the bound has room.
                assert!(shown.indent + shown.rule <= COLUMNS + COLUMNS / 2, "{shown:?}");
                assert!(!shown.line.contains(['\n', '\t', '\x1b']));
            }
        }
    }

    #[test]
    fn a_long_line_is_cut_around_the_place() {
        let text = format!("{}HERE{}", "車".repeat(500), "b".repeat(500));
        let shown = drawn(&text, "HERE");
        let (line, rule) = shown.split_once('\n').unwrap();
        assert!(line.starts_with("…車") && line.ends_with("b…") && line.width() <= COLUMNS + 2);
        assert_eq!(
            rule.find('─'),
            Some(line[..line.find("HERE").unwrap()].width())
        );
        let long = format!("a{}z", "x".repeat(500));
        let shown = drawn(&long, &"x".repeat(500));
        assert!(shown.starts_with("axxx") && shown.contains("x…\n ─"));
    }
}
