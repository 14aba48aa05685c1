//! A sheet as CSV (RFC 4180): UTF-8, commas, CRLF, a line of heads.
//!
//! In: a [`Sheet`]. Out: text that any spreadsheet and any script reads. Words that a spreadsheet
//! could take for a formula get a `'` in front, and so do words that begin with one: taking one `'`
//! off gives back what was written. Figures stay figures.

use super::{Cell, Sheet};
use crate::quantity::data::money;

/// The sheet as the text of a CSV file.
pub fn csv(sheet: &Sheet) -> String {
    let heads = sheet.columns.iter().map(|column| column.name.to_owned());
    let rows = sheet.rows.iter().map(|row| line(row.iter().map(text)));
    std::iter::once(line(heads)).chain(rows).collect()
}

fn line(cells: impl Iterator<Item = String>) -> String {
    let cells: Vec<String> = cells.map(|cell| quoted(&cell)).collect();
    cells.join(",") + "\r\n"
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\r', '\n']) || cell.trim() != cell {
        return format!("\"{}\"", cell.replace('"', "\"\""));
    }
    cell.to_owned()
}

fn text(cell: &Cell) -> String {
    match cell {
        Cell::Nothing => String::new(),
        Cell::Text(words) => harmless(words),
        Cell::Names(names) => harmless(&names.join(" + ")),
        Cell::Number(number) => number.to_string(),
        Cell::Whole(count) => count.to_string(),
        Cell::Money(amount) => money(*amount),
        Cell::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
    }
}

/// Words that no spreadsheet runs. Some skip space in front, and some take the wide signs for the
/// plain ones.
fn harmless(words: &str) -> String {
    let signs = ['=', '+', '-', '@', '\'', '＝', '＋', '－', '＠'];
    if words.starts_with(char::is_control) || words.trim_start().starts_with(signs) {
        return format!("'{words}");
    }
    words.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_a_spreadsheet_could_run_are_kept_from_it() {
        for words in ["=1+1", "+1", "-1", "@x", "\tx", "\r=1", " =1", "'=1", "＝1"] {
            assert_eq!(harmless(words), format!("'{words}"));
        }
        for words in ["", "a=1", "3 - 4", "Träger"] {
            assert_eq!(harmless(words), words);
        }
    }

    #[test]
    fn figures_stay_figures_whatever_their_sign_and_size() {
        assert_eq!(text(&Cell::Number(-0.5)), "-0.5");
        assert_eq!(text(&Cell::Number(1e-7)), "0.0000001");
        assert_eq!(text(&Cell::Number(1e16)), "10000000000000000");
    }
}
