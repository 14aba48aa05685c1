//! `writeup`: the linked HTML record.

use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use super::terminal::{self, BOLD};
use super::{Done, Failure, Status};
use crate::compile::{Build, compile};
use crate::desk::{self, Output, Stopwatch, Written};
use crate::press::{Pages, Theme, press};
use crate::record::document::{self, CheckDocument, TallyDocument};
use crate::record::lay_out;
use crate::text::Severity;
use crate::text::render::terminal as findings;
use crate::wall;

/// Write the linked HTML record.
///
/// Only pages that changed are written. Ends with status 1 where the book has errors; the record is
/// complete all the same, with each error shown in its place.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook writeup book-example --out /tmp/record")]
pub(super) struct Writeup {
    /// The book's folder; the one here or above when left out.
    book: Option<PathBuf>,
    /// Where the record goes; BOOK/record when left out.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// paper (warm, the usual one), apron (high contrast, for bright light), or a folder with templates and style
    /// sheets of your own; what it does not hold comes from paper.
    #[arg(long, value_name = "THEME")]
    theme: Option<PathBuf>,
    /// Stay, and write up again on every save.
    #[arg(long)]
    on_save: bool,
}

impl Writeup {
    pub(super) fn run(self) -> Done {
        let folder = desk::find_book(self.book.as_deref())?;
        let out = self.out.clone().unwrap_or_else(|| folder.join("record"));
        let status = self.once(&folder, &out)?;
        if !self.on_save {
            return Ok(status);
        }
        terminal::remark("Writing up again on every save; stop with Ctrl-C.");
        wall::on_every_save(&folder, || {
            if let Err(failure) = self.once(&folder, &out) {
                terminal::complain(&failure);
            }
        })?;
        Ok(Status::Fine)
    }

    fn once(&self, folder: &Path, out: &Path) -> Done {
        let watch = Stopwatch::start();
        let output = Output::open(out, folder)?;
        let files = desk::read_book(folder)?;
        let photos = desk::read_photos(&files.photos)?;
        let build = compile(files);
        let mut pages = self.pages(&build)?;
        pages.extend(photos);
        let written = output.write_all(&pages)?;
        report(&build, out, &written, watch.milliseconds())?;
        Ok(if build.count(Severity::Error) > 0 { Status::Wrong } else { Status::Fine })
    }

    fn pages(&self, build: &Build) -> Result<Pages, Failure> {
        let theme = theme(self.theme.as_deref())?;
        let (pages, json) = rayon::join(|| press(lay_out(build), &theme), || record_json(build));
        let mut pages = pages?;
        pages.insert("record.json".to_owned(), json?);
        Ok(pages)
    }
}

/// A built-in theme by its name, or the one in a folder.
fn theme(wanted: Option<&Path>) -> Result<Theme, Failure> {
    let Some(wanted) = wanted else { return Ok(Theme::built_in()?) };
    if let Some(named) = wanted.to_str().and_then(Theme::named) {
        return Ok(named?);
    }
    if !desk::is_there(wanted) {
        let names: Vec<_> = Theme::names().collect();
        return Err(Failure(format!(
            "no theme and no folder is called {}: the themes are {}",
            wanted.display(),
            names.join(" and ")
        )));
    }
    Ok(Theme::with(&desk::read_theme(wanted)?)?)
}

/// The `check` and `tally` documents in one.
#[derive(Serialize)]
struct RecordJson {
    check: CheckDocument,
    tally: TallyDocument,
}

fn record_json(build: &Build) -> serde_json::Result<Vec<u8>> {
    let both = RecordJson { check: document::check(build), tally: document::tally(build) };
    let mut bytes = serde_json::to_vec_pretty(&both)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn report(build: &Build, out: &Path, written: &Written, milliseconds: u128) -> Result<(), Failure> {
    let errors: Vec<_> = build.diagnostics.iter().filter(|d| d.severity == Severity::Error).cloned().collect();
    let mut text = findings::all(&errors, &build.sources, &terminal::styles());
    if !text.is_empty() {
        text.push('\n');
    }
    let all = written.written + written.unchanged;
    text.push_str(&format!(
        "{BOLD}{}{BOLD:#}: {} of {all} pages written, {} taken away, {milliseconds} ms. Open {}\n",
        build.book.sheet.title,
        written.written,
        written.removed,
        out.join("index.html").display(),
    ));
    terminal::print(&text)
}
