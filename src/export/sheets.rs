//! The book as sheets for a spreadsheet, and as one document for scripts.
//!
//! In: a [`Build`]. Out: [`Sheet`]s: columns that say what they hold, and a cell in each of them
//! for every row. CSV, JSON and the JSON Schema all come from the columns, so that none can say
//! what another does not. Figures are in the unit they are shown in, which has a column of its own;
//! money is exact; nothing depends on a language.

mod csv;
mod document;
mod shop;
mod sums;

use rust_decimal::Decimal;

use crate::build::Build;
use crate::diagnostics::Diagnostic;
use crate::quantity::data::figure;
use crate::source::Span;

pub use csv::csv;
pub use document::{document, schema};

/// Rows of one kind of thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Such as `part-events`: the name of the CSV file, and with `_` for `-` the key in the
    /// document.
    pub name: &'static str,
    /// What a row is.
    pub about: &'static str,
    /// The columns, in order.
    pub columns: Vec<Column>,
    /// The rows; each has a cell for every column.
    pub rows: Vec<Vec<Cell>>,
}

/// What one column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// The head of the column, and the key in the document.
    pub name: &'static str,
    /// What its cells are.
    pub kind: CellKind,
    /// Has every row something there?
    pub always: bool,
    /// What it says.
    pub about: &'static str,
}

/// What the cells of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellKind {
    /// Words.
    Text,
    /// Several words.
    Names,
    /// A figure.
    Number,
    /// A count, a day, a line.
    Whole,
    /// An amount with two decimals, in the book's currency.
    Money,
    /// Yes or no.
    Flag,
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Not known, or there is none.
    Nothing,
    /// Words.
    Text(String),
    /// Several words.
    Names(Vec<String>),
    /// A figure.
    Number(f64),
    /// A count, a day, a line.
    Whole(u64),
    /// An amount.
    Money(Decimal),
    /// Yes or no.
    Flag(bool),
}

/// Every sheet of a book.
pub fn sheets(build: &Build) -> Vec<Sheet> {
    vec![
        shop::ledger(build),
        shop::part_events(build),
        shop::jobs(build),
        shop::days(build),
        sums::values(build),
        sums::checks(build),
        sums::limits(build),
        sums::hold(build),
        sums::hold_history(build),
        findings(build),
    ]
}

fn findings(build: &Build) -> Sheet {
    let columns = [
        column("severity", CellKind::Text, "error, warning or note"),
        column("slug", CellKind::Text, "the short name of its kind"),
        column("message", CellKind::Text, "what is wrong"),
        maybe("expected", CellKind::Text, "what was expected there"),
        maybe("instead", CellKind::Text, "what to write instead"),
        PATH,
        LINE,
    ];
    let row = |found: &Diagnostic| {
        let [path, line] = place(build, found.at);
        let (severity, slug) = (found.severity.word().into(), found.slug.word().into());
        let (message, expected) = (found.message.as_str().into(), found.expected.clone().into());
        [
            severity,
            slug,
            message,
            expected,
            found.instead.clone().into(),
            path,
            line,
        ]
    };
    sheet(
        "findings",
        "Something that is wrong with the book",
        columns,
        build.diagnostics.iter().map(row),
    )
}

/// A sheet whose rows have as many cells as there are columns.
fn sheet<const N: usize>(
    name: &'static str,
    about: &'static str,
    columns: [Column; N],
    rows: impl Iterator<Item = [Cell; N]>,
) -> Sheet {
    Sheet {
        name,
        about,
        columns: columns.to_vec(),
        rows: rows.map(Vec::from).collect(),
    }
}

/// A column that every row fills.
const fn column(name: &'static str, kind: CellKind, about: &'static str) -> Column {
    Column {
        name,
        kind,
        always: true,
        about,
    }
}

/// A column that may be empty.
const fn maybe(name: &'static str, kind: CellKind, about: &'static str) -> Column {
    Column {
        name,
        kind,
        always: false,
        about,
    }
}

const PATH: Column = column("path", CellKind::Text, "the file of the book it stands in");
const LINE: Column = column("line", CellKind::Whole, "the line there, from 1");
const CURRENCY: Column = column(
    "currency",
    CellKind::Text,
    "of the money in this row, ISO 4217",
);

/// The cells of [`PATH`] and [`LINE`].
fn place(build: &Build, at: Span) -> [Cell; 2] {
    [
        build.sources.path(at.file).into(),
        build.sources.position(at).line.into(),
    ]
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<Vec<String>> for Cell {
    fn from(names: Vec<String>) -> Self {
        Self::Names(names)
    }
}

impl From<f64> for Cell {
    /// A figure without the noise of the last bit; nothing where it is none.
    fn from(number: f64) -> Self {
        if number.is_finite() {
            Self::Number(figure(number))
        } else {
            Self::Nothing
        }
    }
}

impl From<u32> for Cell {
    fn from(count: u32) -> Self {
        Self::Whole(u64::from(count))
    }
}

impl From<usize> for Cell {
    fn from(count: usize) -> Self {
        Self::Whole(count as u64)
    }
}

impl From<Decimal> for Cell {
    fn from(amount: Decimal) -> Self {
        Self::Money(amount)
    }
}

impl From<bool> for Cell {
    fn from(flag: bool) -> Self {
        Self::Flag(flag)
    }
}

impl<T: Into<Self>> From<Option<T>> for Cell {
    fn from(cell: Option<T>) -> Self {
        cell.map_or(Self::Nothing, Into::into)
    }
}
