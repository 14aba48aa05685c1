//! The commands, one file each.
//!
//! In: the parsed command line. Out: text on the terminal, files through the desk, an exit status:
//! 0 fine, 1 the book has something wrong, 2 could not run.

mod check;
mod export;
mod formulas;
mod handover;
mod morning;
mod start;
mod tally;
mod terminal;
mod verify;
mod wall;
mod workings;
mod writeup;

use std::path::{Path, PathBuf};

use clap::{Parser, Subcommand, ValueEnum};

use crate::build::{Build, Current, compile};
use crate::diagnostics::Severity;
use crate::io::{self, FileError};
use crate::open_book::OpenBook;
use crate::render::Theme;

use terminal::STOP;

/// Build books in plain text: calculations, job list, parts ledger, a linked record.
#[derive(Debug, Parser)]
#[command(
    name = "shimbook",
    version,
    about,
    after_help = "Example: shimbook writeup book-example"
)]
pub struct CommandLine {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Start(start::Start),
    Morning(morning::Morning),
    Check(check::Check),
    Tally(tally::Tally),
    Writeup(writeup::Writeup),
    #[command(name = "wall")]
    HangUp(wall::HangUp),
    Workings(workings::ShowWorkings),
    Formulas(formulas::Formulas),
    Export(export::Export),
    Handover(handover::Handover),
    Verify(verify::Verify),
}

/// Formats of what a command tells.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Format {
    /// For people
    Text,
    /// One document, for scripts.
    Json,
}

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// All is well.
    Fine,
    /// The book has something wrong.
    Wrong,
}

/// Why a command could not run.
#[derive(Debug)]
pub struct Failure(String);

impl<E: std::error::Error> From<E> for Failure {
    fn from(error: E) -> Self {
        Self(error.to_string())
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

type Done = Result<Status, Failure>;

impl CommandLine {
    /// Runs the command; a failure is told on the terminal. Gives the exit status.
    pub fn run(self) -> u8 {
        let done = match self.command {
            Command::Start(start) => start.run(),
            Command::Morning(morning) => morning.run(),
            Command::Check(check) => check.run(),
            Command::Tally(tally) => tally.run(),
            Command::Writeup(writeup) => writeup.run(),
            Command::HangUp(wall) => wall.run(),
            Command::Workings(workings) => workings.run(),
            Command::Formulas(formulas) => formulas.run(),
            Command::Export(export) => export.run(),
            Command::Handover(handover) => handover.run(),
            Command::Verify(verify) => verify.run(),
        };
        match done {
            Ok(Status::Fine) => 0,
            Ok(Status::Wrong) => 1,
            Err(failure) => {
                terminal::complain(&failure);
                2
            }
        }
    }
}

/// A built-in theme by its name, or the one in a folder; the usual one where none is wanted.
fn theme(wanted: Option<&Path>) -> Result<Theme, Failure> {
    let Some(wanted) = wanted else {
        return Ok(Theme::built_in()?);
    };
    if let Some(named) = wanted.to_str().and_then(Theme::named) {
        return Ok(named?);
    }
    if !io::is_there(wanted) {
        let names: Vec<_> = Theme::names().collect();
        return Err(Failure(format!(
            "no theme or folder is called {}; the themes are {}",
            wanted.display(),
            names.join(" and ")
        )));
    }
    Ok(Theme::with(&io::read_theme(wanted)?)?)
}

/// How a command ends that told of a book: its errors and what cannot be read are something wrong.
fn status(build: &Build) -> Status {
    let fine = build.count(Severity::Error) == 0 && build.current.is_current();
    if fine { Status::Fine } else { Status::Wrong }
}

/// Says that a book is not current, and why; nothing where it is.
fn not_current(build: &Build) -> String {
    if build.current.is_current() {
        return String::new();
    }
    let mut text = format!("{STOP}{}.{STOP:#}\n", Current::NOT);
    for reason in build.current.reasons(&build.sources) {
        text.push_str(&format!("  {reason}.\n"));
    }
    text
}

/// Reads and works out the book in `folder`, or the one here or above.
fn build(folder: Option<&PathBuf>) -> Result<(PathBuf, Build), FileError> {
    let folder = io::find_book(folder.map(PathBuf::as_path))?;
    let files = OpenBook::new(&folder).files()?;
    Ok((folder, compile(files)))
}

/// The same, its photos looked at too.
fn build_with_photos(folder: Option<&PathBuf>) -> Result<(PathBuf, Build), FileError> {
    let folder = io::find_book(folder.map(PathBuf::as_path))?;
    let build = OpenBook::new(&folder).build_once()?;
    Ok((folder, build))
}
