//! Other readers find in every cell what was exported.

use std::fs;

use proptest::prelude::*;
use shimbook::export::sheets::{Cell, CellKind, Column, Sheet, csv, sheets};

use crate::{awkward, python};

/// What a reader finds: heads first, then rows.
type Table = Vec<Vec<String>>;

const READ: &str = "import csv, json, sys\nprint(json.dumps([list(csv.reader(open(path, newline='', encoding='utf-8'), strict=True)) for path in sys.argv[1:]]))";

fn with_the_crate(text: &str) -> Table {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes());
    reader
        .records()
        .map(|record| record.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

/// The cell that a text in a column stands for.
fn cell(column: &Column, text: &str) -> Cell {
    let words = text.strip_prefix('\'').unwrap_or(text);
    match column.kind {
        CellKind::Names => Cell::Text(words.to_owned()),
        _ if text.is_empty() => Cell::Nothing,
        CellKind::Text => Cell::Text(words.to_owned()),
        CellKind::Number => Cell::Number(text.parse().unwrap()),
        CellKind::Whole => Cell::Whole(text.parse().unwrap()),
        CellKind::Money => {
            assert_eq!(text.split_once('.').unwrap().1.len(), 2, "{text}");
            Cell::Money(text.parse().unwrap())
        }
        CellKind::Flag => Cell::Flag(match text {
            "yes" => true,
            "no" => false,
            _ => panic!("{text} is neither yes nor no"),
        }),
    }
}

/// The cell as a file can hold it: a list is one text, and an empty text is nothing.
fn as_held(cell: &Cell) -> Cell {
    match cell {
        Cell::Names(names) => Cell::Text(names.join(" + ")),
        Cell::Text(text) if text.is_empty() => Cell::Nothing,
        cell => cell.clone(),
    }
}

fn holds_the_sheet(table: &Table, sheet: &Sheet) {
    assert_eq!(
        table[0],
        sheet
            .columns
            .iter()
            .map(|column| column.name)
            .collect::<Vec<_>>()
    );
    assert_eq!(table.len(), sheet.rows.len() + 1, "{}", sheet.name);
    for (read, row) in table[1..].iter().zip(&sheet.rows) {
        assert_eq!(read.len(), row.len());
        for ((column, text), exported) in sheet.columns.iter().zip(read).zip(row) {
            assert_eq!(
                cell(column, text),
                as_held(exported),
                "{}.{}",
                sheet.name,
                column.name
            );
        }
    }
}

#[test]
fn the_csv_crate_finds_every_cell() {
    for sheet in sheets(&awkward()) {
        assert!(
            !sheet.rows.is_empty(),
            "{} has a row to compare",
            sheet.name
        );
        holds_the_sheet(&with_the_crate(&csv(&sheet)), &sheet);
    }
}

#[test]
fn pythons_csv_module_finds_every_cell() {
    let (sheets, dir) = (sheets(&awkward()), tempfile::tempdir().unwrap());
    let paths: Vec<_> = sheets
        .iter()
        .map(|sheet| dir.path().join(sheet.name))
        .collect();
    for (sheet, path) in sheets.iter().zip(&paths) {
        fs::write(path, csv(sheet)).unwrap();
    }
    let Some(read) = python(
        READ,
        &paths
            .iter()
            .map(std::path::PathBuf::as_path)
            .collect::<Vec<_>>(),
    ) else {
        return;
    };
    let tables: Vec<Table> = serde_json::from_str(&read).unwrap();
    assert_eq!(tables.len(), sheets.len());
    for (table, sheet) in tables.iter().zip(&sheets) {
        holds_the_sheet(table, sheet);
    }
}

#[test]
fn no_cell_of_words_begins_as_a_formula_does_and_figures_stay_figures() {
    let mut negative = 0;
    for sheet in sheets(&awkward()) {
        for row in &with_the_crate(&csv(&sheet))[1..] {
            for (column, text) in sheet.columns.iter().zip(row) {
                match column.kind {
                    CellKind::Text | CellKind::Names => {
                        let begins = text.trim_start().chars().next().unwrap_or('x');
                        assert!(
                            !"=+-@＝＋－＠".contains(begins) && !text.starts_with(char::is_control),
                            "{text:?}"
                        );
                    }
                    CellKind::Number => negative += usize::from(text.starts_with('-')),
                    _ => {}
                }
            }
        }
    }
    assert!(negative >= 2, "the book holds figures below zero");
}

#[test]
fn figures_are_in_the_unit_shown_and_both_sides_of_a_spread_have_a_column() {
    let sheets = sheets(&awkward());
    let line = |sheet: &str, begins: &str| {
        let text = csv(sheets.iter().find(|one| one.name == sheet).unwrap());
        text.lines()
            .find(|line| line.starts_with(begins))
            .unwrap_or_else(|| panic!("{text}"))
            .to_owned()
    };
    assert!(
        line("values", "gap").starts_with("gap,measured,measured,-0.5,mm,0.2,0.1,0.2,0.1,1,"),
        "{}",
        line("values", "gap")
    );
    assert!(
        line("values", "warm").starts_with("warm,given,given,-5,degC,"),
        "{}",
        line("values", "warm")
    );
    assert!(
        line("values", "share").starts_with("share,worked,calculated,0.3,,"),
        "{}",
        line("values", "share")
    );
    assert!(
        line("values", "late").starts_with("late,no reading,,"),
        "{}",
        line("values", "late")
    );
    assert!(
        line("checks", "gap")
            .starts_with("gap,at least -3 mm,in limits,-0.5,-3,,2.4,mm,measured,,yes,no,1,"),
        "{}",
        line("checks", "gap")
    );
    assert!(
        csv(&sheets[0]).contains(",0.50,EUR,no,"),
        "{}",
        csv(&sheets[0])
    );
    assert!(
        csv(&sheets[0]).contains(",1.5,0.2,0.1,lb,86.00,EUR,yes,power 200 kW + torque 370 N-m,"),
        "{}",
        csv(&sheets[0])
    );
}

proptest! {
    #![proptest_config(crate::cases::dice("export", 500))]

    #[test]
    fn any_words_read_back_as_they_were(rows in prop::collection::vec(prop::collection::vec("[-=+@'\"a,;ö\r\n\t \u{2028}]{0,6}|\\PC{0,8}", 3), 0..4)) {
        let column = |name| Column { name, kind: CellKind::Text, always: true, about: "words" };
        let cells = |row: Vec<String>| row.into_iter().map(Cell::Text).collect();
        let rows = rows.into_iter().map(cells).collect();
        let sheet = Sheet { name: "any", about: "words", columns: ["x", "y", "z"].map(column).to_vec(), rows };
        holds_the_sheet(&with_the_crate(&csv(&sheet)), &sheet);
    }
}
