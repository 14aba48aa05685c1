//! The cells of a table.
//!
//! In: the columns' alignments. Out: the tags of each cell.

use pulldown_cmark::Alignment;

/// Where we are in a table; tables do not nest.
#[derive(Default)]
pub(super) struct Table {
    columns: Vec<Alignment>,
    column: usize,
    head: bool,
}

impl Table {
    pub(super) fn new(columns: Vec<Alignment>) -> Self {
        Self {
            columns,
            column: 0,
            head: false,
        }
    }

    /// A row begins.
    pub(super) fn row(&mut self, head: bool) {
        self.column = 0;
        self.head = head;
    }

    /// The tags of the next cell; an empty one heads no column.
    pub(super) fn cell(&mut self, empty: bool) -> (String, &'static str) {
        let class = match self.columns.get(self.column) {
            Some(Alignment::Left) => " class=\"left\"",
            Some(Alignment::Center) => " class=\"center\"",
            Some(Alignment::Right) => " class=\"right\"",
            Some(Alignment::None) | None => "",
        };
        self.column += 1;
        let (name, close) = if self.head && !empty {
            ("th scope=\"col\"", "</th>")
        } else {
            ("td", "</td>")
        };
        (format!("<{name}{class}>"), close)
    }
}
