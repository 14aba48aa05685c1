//! `export`: the book as CSV and as one JSON document.

use std::path::PathBuf;

use clap::Args;

use super::terminal::{self, BOLD};
use super::{Done, Failure, build_with_photos, not_current, status};
use crate::build::Build;
use crate::diagnostics::Severity;
use crate::export::sheets::{csv, document, schema, sheets};
use crate::io::Output;
use crate::render::Pages;

/// Write the book as CSV for spreadsheets and as one JSON document for scripts.
///
/// ledger.csv, part-events.csv, jobs.csv, days.csv, values.csv, checks.csv, hold.csv and
/// findings.csv (RFC 4180, UTF-8, with a header line); book.json has the same rows, and
/// book.schema.json describes each key. Figures are in the unit shown, which has its own column;
/// money is `8286.00`; decimals have a point. Text that a spreadsheet could take for a formula gets
/// a `'` in front; figures never do. Exits with status 1 if the book has errors; the files are
/// still complete.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook export book-example --out /tmp/sheets")]
pub(super) struct Export {
    /// The book's folder (default: this folder or its nearest parent with a book)
    book: Option<PathBuf>,
    /// Where the files go: a folder that is new, empty, or an earlier export of this book.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Write over an export of this book that was made under another title or start.
    #[arg(long)]
    take_over: bool,
}

impl Export {
    pub(super) fn run(self) -> Done {
        let (folder, build) = build_with_photos(self.book.as_ref())?;
        let output = Output::open_export(&self.out, &folder)?.taking_over(self.take_over);
        let written = output.write_all(&build.mark(), &files(&build)?)?;
        let errors = build.count(Severity::Error);
        let mut text = format!(
            "{BOLD}{}{BOLD:#}: {} of {} files written. Open {}\n",
            build.book.sheet.title,
            written.written,
            written.written + written.unchanged,
            self.out.display()
        );
        if errors > 0 {
            text.push_str("The book has errors: see findings.csv or run `shimbook check`.\n");
        }
        text.push_str(&not_current(&build));
        terminal::print(&text)?;
        Ok(status(&build))
    }
}

fn files(build: &Build) -> Result<Pages, Failure> {
    let sheets = sheets(build);
    let mut files: Pages = sheets
        .iter()
        .map(|sheet| (format!("{}.csv", sheet.name), csv(sheet).into_bytes()))
        .collect();
    for (name, value) in [
        ("book.json", document(build, &sheets)),
        ("book.schema.json", schema(&sheets)),
    ] {
        let mut bytes = serde_json::to_vec_pretty(&value)?;
        bytes.push(b'\n');
        files.insert(name.to_owned(), bytes);
    }
    Ok(files)
}
