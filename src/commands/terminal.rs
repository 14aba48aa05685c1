//! What goes to the terminal: colour only where it is one, quiet where nobody reads on.
//!
//! In: text. Out: the same on standard output or standard error.

use std::io::{ErrorKind, IsTerminal, Write};

use anstyle::{AnsiColor, Style};

use super::Failure;
use crate::diagnostics::render::terminal::Styles;

/// Prints text. A reader who has gone away is no failure.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    let mut out = anstream::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(Failure::from),
    }
}

/// Prints a document as JSON.
pub(super) fn print_json<T: serde::Serialize>(document: &T) -> Result<(), Failure> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    print(&text)
}

/// Says why a command could not run.
pub(super) fn complain(failure: &Failure) {
    let red = AnsiColor::Red.on_default().bold();
    // Nobody is left to tell where standard error is gone.
    let _ = writeln!(anstream::stderr(), "{red}shimbook{red:#}: {failure}");
}

/// Says what is going on, beside the output.
pub(super) fn remark(text: &str) {
    let _ = writeln!(anstream::stderr(), "{text}");
}

/// Says how many photos are worked, on a line of its own that goes when all are; only where
/// somebody looks on.
pub(super) fn photos(done: usize, all: usize) {
    let mut out = anstream::stderr().lock();
    if std::io::stderr().is_terminal() {
        let told = if done < all {
            format!("Preparing photos: {done} of {all}")
        } else {
            String::new()
        };
        // Nobody is left to tell where standard error is gone.
        let _ = write!(out, "\r{told:<50}\r{told}").and_then(|()| out.flush());
    }
}

/// Styles for findings; anstream strips them where the output is no terminal or `NO_COLOR` is set.
pub(super) fn styles() -> Styles {
    if std::io::stdout().is_terminal() {
        Styles::coloured()
    } else {
        Styles::default()
    }
}

/// Bold, for headings.
pub(super) const BOLD: Style = Style::new().bold();
/// Faint, for what is beside the point.
pub(super) const FAINT: Style = Style::new().dimmed();
/// For what must stop somebody.
pub(super) const STOP: Style = AnsiColor::Red.on_default().bold();

/// Rows as columns that line up: every column but the last as wide as its widest cell. Columns
/// listed in `right` are set to the right.
pub(super) fn columns(rows: &[Vec<String>], right: &[usize]) -> String {
    use unicode_width::UnicodeWidthStr;
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let wide = |column: usize| {
        rows.iter()
            .filter_map(|row| row.get(column))
            .map(|cell| cell.width())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..count).map(wide).collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::from("  ");
        for (column, cell) in row.iter().enumerate() {
            let gap = " ".repeat(widths[column].saturating_sub(cell.width()));
            if right.contains(&column) {
                line.push_str(&format!("{gap}{cell}  "));
            } else {
                line.push_str(&format!("{cell}{gap}  "));
            }
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}
