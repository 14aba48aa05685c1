//! `writeup`: the linked HTML record.

use std::path::{Path, PathBuf};

use clap::Args;

use super::terminal::{self, BOLD};
use super::{Done, Failure, Status, not_current, status, theme};
use crate::build::Build;
use crate::diagnostics::Severity;
use crate::diagnostics::render::terminal as findings;
use crate::io::{self, BookMark, Output, Stopwatch, Written};
use crate::open_book::{OpenBook, usual_record};
use crate::wall::{Notice, keep_looking};
use crate::writeup::write_up;

/// Write the linked HTML record.
///
/// Writes only the pages that changed. Exits with status 1 if the book has errors; the record is
/// still complete and shows each error in its place.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook writeup book-example --out /tmp/record")]
pub(super) struct Writeup {
    /// The book's folder (default: this folder or its nearest parent with a book)
    book: Option<PathBuf>,
    /// Output folder (default: BOOK/record)
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write over a record of this book that was made under another title or start.
    #[arg(long)]
    take_over: bool,
    /// paper (warm, the usual one), apron (high contrast, for bright light), or a folder with
    /// templates and style sheets of your own; missing files come from paper.
    #[arg(long, value_name = "THEME")]
    theme: Option<PathBuf>,
    /// Keep running, and write again on every save
    #[arg(long)]
    on_save: bool,
}

impl Writeup {
    pub(super) fn run(self) -> Done {
        let folder = io::find_book(self.book.as_deref())?;
        let out = self.out.clone().unwrap_or_else(|| usual_record(&folder));
        let mut book = OpenBook::beside(&folder, &out);
        let mut before = None;
        let status = self.once(&mut book, &folder, &out, &mut before)?;
        if !self.on_save {
            return Ok(status);
        }
        terminal::remark("Writing up again on every save; stop with Ctrl-C.");
        let mut last = String::new();
        keep_looking(&folder, Notice::Told, || {
            match self.once(&mut book, &folder, &out, &mut before) {
                Ok(_) => last.clear(),
                // The same trouble is told once, not at every look.
                Err(failure) if failure.to_string() != last => {
                    terminal::complain(&failure);
                    last = failure.to_string();
                }
                Err(_) => {}
            }
        })
    }

    /// `before` is what the book was called when it was written up last, by this run.
    fn once(
        &self,
        book: &mut OpenBook,
        folder: &Path,
        out: &Path,
        before: &mut Option<BookMark>,
    ) -> Done {
        let watch = Stopwatch::start();
        let output = Output::open(out, folder)?
            .taking_over(self.take_over)
            .continuing(before.clone());
        let Some(mut worked) = book.look()? else {
            return Ok(Status::Fine);
        };
        let theme = theme(self.theme.as_deref())?;
        // A record that could not be written is written with the next look, whether somebody saves
        // or not.
        let written = write_up(&mut worked, &theme, &output, &terminal::photos)
            .inspect_err(|_| book.forget())?;
        *before = Some(worked.build.mark().or(&before.take().unwrap_or_default()));
        report(&worked.build, out, &written, watch.milliseconds())?;
        Ok(status(&worked.build))
    }
}

fn report(build: &Build, out: &Path, written: &Written, milliseconds: u128) -> Result<(), Failure> {
    let errors: Vec<_> = build
        .diagnostics
        .iter()
        .filter(|d| d.severity == Severity::Error)
        .cloned()
        .collect();
    let mut text = findings::all(&errors, &build.sources, &terminal::styles());
    if !text.is_empty() {
        text.push('\n');
    }
    text.push_str(&not_current(build));
    let all = written.written + written.unchanged;
    text.push_str(&format!(
        "{BOLD}{}{BOLD:#}: {} of {all} pages written, {} removed, {milliseconds} ms. Open {}\n",
        build.book.sheet.title,
        written.written,
        written.removed,
        out.join("index.html").display(),
    ));
    terminal::print(&text)
}
