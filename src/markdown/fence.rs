//! Fenced blocks as the source has them.
//!
//! In: a block's range and the ranges of its text. Out: which block it is, whether it is closed,
//! its lines. Counts at any depth of nesting: what stands before a line belongs to lists and
//! quotes.

use std::ops::Range;

use super::FenceKind;
use crate::diagnostics::nearest;

/// What an info string says.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Info {
    /// A block that states something.
    Stating(FenceKind),
    /// Kept in the shop.
    Shop,
    /// Somebody else's.
    Other,
}

/// Which block an info string means: its first word counts.
pub(super) fn info(info: &str) -> Info {
    match info.split_whitespace().next().unwrap_or_default() {
        "sums" => Info::Stating(FenceKind::Sums),
        "parts" => Info::Stating(FenceKind::Parts),
        "drawing" => Info::Stating(FenceKind::Drawing),
        "shop" => Info::Shop,
        _ => Info::Other,
    }
}

/// The block of ours that was meant by a word that names none: `sum`, `Sums`, `part`, `drawings`.
pub(super) fn meant(info_string: &str) -> Option<&'static str> {
    let word = info_string.split_whitespace().next().unwrap_or_default();
    if info(info_string) != Info::Other || word.len() < 3 {
        return None;
    }
    let ours = ["sums", "parts", "drawing", "shop"];
    ours.into_iter()
        .find(|known| nearest(word, [*known]).is_some())
}

/// Is the block that spans `block`, with its text up to `content_end`, closed?
pub(super) fn is_closed(text: &str, block: &Range<usize>, content_end: usize) -> bool {
    let whole = text.get(block.clone()).unwrap_or_default().trim_end();
    let opening = whole.trim_start();
    let mark = if opening.starts_with('~') { '~' } else { '`' };
    let width = opening.chars().take_while(|c| *c == mark).count();
    let Some(last) = whole.rfind('\n').map(|at| at + 1) else {
        return false;
    };
    let closing = whole
        .get(last..)
        .unwrap_or_default()
        .trim_start_matches([' ', '\t', '>']);
    block.start + last >= content_end
        && closing.chars().all(|c| c == mark)
        && closing.len() >= width
}

/// Does a line of the block open a block of ours? Then the block was never closed.
pub(super) fn opens_another(line: &str) -> bool {
    let bare = line.trim_start_matches(['`', '~']);
    line.len() >= bare.len() + 3 && !bare.trim().is_empty() && info(bare) != Info::Other
}

/// The range of the block's first line.
pub(super) fn first_line(text: &str, block: &Range<usize>) -> Range<usize> {
    let whole = text.get(block.clone()).unwrap_or_default();
    let end = whole.find('\n').unwrap_or(whole.len());
    let first = whole.get(..end).unwrap_or_default();
    let start = block.start + first.len() - first.trim_start().len();
    start..block.start + first.trim_end().len().max(start - block.start)
}

/// The ranges of text events, one a line: an event may hold part of a line only.
pub(super) fn whole_lines(text: &str, events: &[Range<usize>]) -> Vec<Range<usize>> {
    let mut lines: Vec<Range<usize>> = Vec::with_capacity(events.len());
    let mut open = false;
    for event in events {
        let piece = text.get(event.clone()).unwrap_or_default();
        let mut start = event.start;
        for part in piece.split_inclusive('\n') {
            match lines.last_mut().filter(|_| open) {
                Some(line) => line.end = start + part.len(),
                None => lines.push(start..start + part.len()),
            }
            open = !part.ends_with('\n');
            start += part.len();
        }
    }
    lines
}

/// A range without the space at both its ends; `None` where nothing is left.
pub(super) fn trimmed(text: &str, range: &Range<usize>) -> Option<Range<usize>> {
    let whole = text.get(range.clone())?;
    let start = range.start + whole.len() - whole.trim_start().len();
    let len = whole.trim().len();
    (len > 0).then_some(start..start + len)
}
