//! The first source line of a task-list item.
//!
//! In: the text and the range of its tick box. Out: whether it is a job, and where its title and
//! tail stand. The tail is read from the source bytes: no Markdown in it counts.

use std::ops::Range;

use super::fence::trimmed;
use super::id::is_id;

/// What a task-list item is.
pub(super) enum Task {
    /// A job: its line from `[` to `}`, its title, its tail between the braces.
    Job {
        line: Range<usize>,
        title: Range<usize>,
        tail: Range<usize>,
    },
    /// A tail that does not stand at the end of the first line, from its `{`.
    Lost(Range<usize>),
    /// A plain tick box.
    Plain,
}

/// Reads the line that `marker` (`[x]`) stands in.
pub(super) fn read(text: &str, marker: &Range<usize>) -> Task {
    let rest = text
        .get(marker.end..line_end(text, marker.end))
        .unwrap_or_default();
    let line = rest.trim_end();
    let Some(inner) = line.strip_suffix('}') else {
        return lost(line, marker.end);
    };
    let Some(brace) = opening(inner) else {
        return Task::Plain;
    };
    let at = |offset: usize| marker.end + offset;
    let title = trimmed(text, &(marker.end..at(brace))).unwrap_or(at(brace)..at(brace));
    Task::Job {
        line: marker.start..at(line.len()),
        title,
        tail: at(brace + 1)..at(inner.len()),
    }
}

/// What a job's tail says behind its id.
const KEYS: [&str; 11] = [
    "by ",
    "takes ",
    "took ",
    "follows ",
    "needs ",
    "held up",
    "again",
    "dropped",
    "temp",
    "made good",
    "caution ",
];

/// A line that was most likely meant as a tick box.
pub(super) struct NearBox {
    /// Where its `[` is.
    pub(super) at: usize,
    /// Where its title begins.
    pub(super) title_from: usize,
    /// Was it meant to be ticked?
    pub(super) ticked: bool,
}

/// What a hand may write between `[` and `]` of a box.
const IN_A_BOX: [&str; 10] = ["", " ", "  ", "x", "X", "v", "V", "✓", "✔", "-"];

/// The box that `line` most likely means: `- [] Paint`, `-[ ] Paint`, `- [x]Paint`, `[x] Paint`.
pub(super) fn near_box(text: &str, line: &Range<usize>) -> Option<NearBox> {
    let written = text.get(line.clone())?;
    let bare = written.trim_start_matches([' ', '\t', '>']);
    let bare = bare
        .strip_prefix(['-', '*', '+'])
        .unwrap_or(bare)
        .trim_start();
    let (inner, after) = bare.strip_prefix('[')?.split_once(']')?;
    if !IN_A_BOX.contains(&inner) || after.starts_with(['(', ':', '[']) {
        return None;
    }
    let at = line.end - bare.len();
    Some(NearBox {
        at,
        title_from: line.end - after.len(),
        ticked: !inner.trim().is_empty() && inner != "-",
    })
}

/// The tail that ends a line: an id between braces, and perhaps more.
pub(super) fn tail(text: &str, line: &Range<usize>) -> Option<Range<usize>> {
    let written = text.get(line.clone())?.trim_end();
    let inner = written.strip_suffix('}')?;
    let brace = opening(inner)?;
    let mut pieces = inner.get(brace + 1..)?.split(',').map(str::trim);
    let id_first = is_id(pieces.next()?);
    let then = pieces
        .next()
        .is_none_or(|said| KEYS.iter().any(|key| said.starts_with(key)));
    (id_first && then).then(|| line.start + brace..line.start + written.len())
}

/// The lines of a block's own text: up to a blank line, or one that begins something else; the
/// block's first line may. Lines longer than anybody writes end it as well.
pub(super) fn own_lines(text: &str, block: &Range<usize>) -> impl Iterator<Item = Range<usize>> {
    lines_from(text, block.clone(), true)
}

/// The lines of an item's own text below its first line, which ends at `line_end`.
pub(super) fn lines_below(
    text: &str,
    line_end: usize,
    item: &Range<usize>,
) -> impl Iterator<Item = Range<usize>> {
    lines_from(
        text,
        line_end.saturating_add(1).min(item.end)..item.end,
        false,
    )
}

fn lines_from(
    text: &str,
    block: Range<usize>,
    mut first: bool,
) -> impl Iterator<Item = Range<usize>> {
    let (mut at, end) = (block.start, block.end.min(text.len()));
    std::iter::from_fn(move || {
        let stop = first_line_end(text, &(at..end))?;
        let line = text.get(at..stop).filter(|_| at < end)?;
        let bare = line.trim_matches([' ', '\t', '>', '\r']);
        if bare.is_empty() || (!std::mem::take(&mut first) && begins_something(bare)) {
            return None;
        }
        let range = at..stop;
        at = stop + 1;
        Some(range)
    })
}

/// Does a line begin a list item, a heading, a fence or a table's row?
fn begins_something(line: &str) -> bool {
    let bullet = line
        .strip_prefix(['-', '*', '+'])
        .is_some_and(|rest| rest.starts_with([' ', '\t']));
    let after_digits = line.trim_start_matches(|c: char| c.is_ascii_digit());
    let numbered = after_digits.len() < line.len()
        && after_digits
            .strip_prefix(['.', ')'])
            .is_some_and(|rest| rest.starts_with([' ', '\t']));
    bullet
        || numbered
        || line.starts_with(['#', '|'])
        || line.starts_with("```")
        || line.starts_with("~~~")
}

/// A line that would be a job or open a block of ours, were it read.
pub(super) fn looks_stated(text: &str, line: &Range<usize>) -> Option<Range<usize>> {
    let at = trimmed(text, line)?;
    let written = text.get(at.clone())?;
    let fenced = written.starts_with("```") || written.starts_with("~~~");
    let ours = fenced
        && super::fence::info(written.trim_start_matches(['`', '~'])) != super::fence::Info::Other;
    let job = written.starts_with(['-', '*', '+'])
        && near_box(text, &at).is_some()
        && tail(text, &at).is_some();
    (ours || job).then_some(at)
}

/// The tail at the end of the first line of `block`, where that line has no tick box and the tail
/// is plainly a job's.
pub(super) fn boxless(text: &str, block: &Range<usize>) -> Option<Range<usize>> {
    let end = first_line_end(text, block)?;
    let line = text.get(block.start..end)?.trim_end();
    let bare = line
        .trim_start_matches([' ', '\t', '>', '-', '*', '+', '.', ')'])
        .trim_start_matches(|c: char| c.is_ascii_digit());
    let bare = bare.trim_start_matches(['.', ')', ' ']);
    let boxed = ["[ ] ", "[x] ", "[X] "]
        .iter()
        .any(|tick| bare.starts_with(tick));
    let spaced = line
        .trim_start()
        .starts_with(['-', '*', '+'])
        .then(|| line.trim_start().chars().nth(1) == Some(' '));
    if boxed && spaced != Some(false) {
        return None;
    }
    let inner = line.strip_suffix('}')?;
    let brace = opening(inner)?;
    let mut pieces = inner.get(brace + 1..)?.split(',').map(str::trim);
    let begins_like_a_job = is_id(pieces.next()?)
        && pieces
            .next()
            .is_some_and(|said| KEYS.iter().any(|key| said.starts_with(key)));
    begins_like_a_job.then(|| block.start + brace..block.start + line.len())
}

/// A line longer than this is no job that somebody forgot to give a tick box.
const LONGEST_LINE: usize = 4096;

/// Where the first line of `block` ends, if it is no longer than [`LONGEST_LINE`]: items that nest
/// in one line would each read the whole of it. Nothing behind the block is read, for many cells of
/// a table share one line.
fn first_line_end(text: &str, block: &Range<usize>) -> Option<usize> {
    let rest = text.as_bytes().get(block.clone())?;
    let end = rest.iter().take(LONGEST_LINE).position(|b| *b == b'\n');
    end.or_else(|| (rest.len() <= LONGEST_LINE).then_some(rest.len()))
        .map(|end| block.start + end)
}

/// Where the line of `from` ends.
pub(super) fn line_end(text: &str, from: usize) -> usize {
    let rest = text.as_bytes().get(from..).unwrap_or_default();
    from + rest.iter().position(|b| *b == b'\n').unwrap_or(rest.len())
}

/// The `{` that the `}` after `inner` closes.
fn opening(inner: &str) -> Option<usize> {
    let mut depth = 0_usize;
    for (at, byte) in inner.bytes().enumerate().rev() {
        match byte {
            b'{' if depth == 0 => return Some(at),
            b'{' => depth -= 1,
            b'}' => depth += 1,
            _ => {}
        }
    }
    inner.rfind('{')
}

/// A `{` followed by an id and a comma looks like a tail that went wrong.
fn lost(line: &str, start: usize) -> Task {
    let Some(brace) = line.rfind('{') else {
        return Task::Plain;
    };
    let tail = line.get(brace + 1..).unwrap_or_default();
    let id = tail.split(',').next().unwrap_or_default();
    let open = !tail.contains('}');
    // `{paint}.` is a tail with a full stop behind it; `{paint} and more` is words.
    let stopped = tail.split_once('}').is_some_and(|(id, after)| {
        is_id(id.trim())
            && after
                .chars()
                .all(|c| c.is_ascii_punctuation() || c.is_whitespace())
    });
    if stopped || (is_id(id.trim()) && (open || tail.contains(','))) {
        return Task::Lost(start + brace..start + line.len());
    }
    Task::Plain
}
