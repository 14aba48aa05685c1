//! `handover`: the finished record for somebody outside, sealed.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use clap::Args;

use super::terminal::{self, BOLD};
use super::{Done, Failure, Status, not_current, theme};
use crate::book::Permissions;
use crate::build::Build;
use crate::diagnostics::render::terminal as findings;
use crate::diagnostics::{Severity, nearest};
use crate::handover::{
    Against, Made, Order, SEAL, SEALS, against, hand_over, hash, on_paper, over_all, shown_photos,
};
use crate::io::{self, FileError, HandoverFolder, Recipient, Replaced};
use crate::open_book::{OpenBook, WorkedBook};
use crate::photo_cache::prints_of;
use crate::photos::{Prints, Size};
use crate::render::Pages;

/// Write a sealed handover: one folder with what its audience may see.
///
/// `customer` and `audience` are built in; the build sheet can describe more. Shop blocks are never
/// included; safety information is always included. Refused while the book has errors. With lines
/// on hold or checks out of limits it needs --as-is NAME: the cover then prints them and the name.
/// If refused, nothing is written.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: shimbook handover book-example --for customer --out /tmp/kittiwake --zip"
)]
pub(super) struct Handover {
    /// The book's folder (default: this folder or its nearest parent with a book)
    book: Option<PathBuf>,
    /// Audience: `customer`, `audience`, or one of the build sheet's `audiences`
    #[arg(long = "for", value_name = "AUDIENCE")]
    audience: String,
    /// Where it goes: a folder that is new, empty, or an earlier handover of this book for the same
    /// audience, as it was sealed. A zip beside it is renewed with it.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Write over a handover of this book that was made under another title or start.
    #[arg(long)]
    take_over: bool,
    /// Name of the person who hands it over with lines on hold or checks out of limits (printed as
    /// given)
    #[arg(long, value_name = "NAME")]
    as_is: Option<String>,
    /// Also write the files as DIR.zip
    #[arg(long)]
    zip: bool,
    /// Also write the whole book as record.pdf (needs Chromium on this machine)
    #[arg(long)]
    pdf: bool,
    /// paper (warm, the usual one), apron (high contrast, for bright light), or a folder with
    /// templates and style sheets of your own; missing files come from paper.
    #[arg(long, value_name = "THEME")]
    theme: Option<PathBuf>,
}

impl Handover {
    pub(super) fn run(self) -> Done {
        let folder = io::find_book(self.book.as_deref())?;
        let mut book = OpenBook::new(&folder).look_once()?;
        let permissions = self.permissions(&book.build)?;
        if !book.build.current.is_current() {
            terminal::print(&out_of_date(&book.build))?;
            return Ok(Status::Wrong);
        }
        if book.build.count(Severity::Error) > 0 {
            terminal::print(&errors(&book.build))?;
            return Ok(Status::Wrong);
        }
        let open = against(&book.build);
        if !open.is_nothing() && self.as_is.is_none() {
            terminal::print(&stands_against(&open))?;
            return Ok(Status::Wrong);
        }
        let place = HandoverFolder::open(&self.out, &folder, SEALS)?;
        kept(place.kept());
        let photos = photos(&mut book)?;
        let as_is = self.as_is.as_deref().filter(|_| !open.is_nothing());
        let made = self.made(&book, &photos, &folder, (permissions, as_is))?;
        let to = Recipient {
            mark: &made.mark(),
            audience: &self.audience,
            take_over: self.take_over,
        };
        let zip = place.may_replace(to)? || self.zip;
        let files = self.printed(made)?.sealed()?.0;
        let replaced = place.write(&files, zip)?;
        kept(&replaced.kept);
        terminal::print(&self.done(&book.build, &files, &replaced))?;
        Ok(Status::Fine)
    }

    fn permissions(&self, build: &Build) -> Result<Permissions, Failure> {
        let audiences = &build.book.sheet.audiences;
        audiences.get(&self.audience).copied().ok_or_else(|| {
            let names: Vec<&str> = audiences.keys().map(String::as_str).collect();
            let known = format!("the book has {}", names.join(", "));
            let near = nearest(&self.audience, names)
                .map_or(known.clone(), |near| format!("{known}; write --for {near}"));
            FileError::new(format!("no audience is called `{}`", self.audience), near).into()
        })
    }

    /// The files, but for what is printed and the seal.
    fn made(
        &self,
        book: &WorkedBook,
        photos: &Pages,
        folder: &Path,
        (permissions, as_is): (Permissions, Option<&str>),
    ) -> Result<Made, Failure> {
        let theme = theme(self.theme.as_deref())?;
        let raw = io::read_raw(folder, book.build.sources.paths())?;
        let sources = over_all(
            raw.iter()
                .map(|(path, bytes)| (path.as_str(), bytes.as_slice())),
        );
        let order = Order {
            audience: &self.audience,
            permissions,
            as_is,
            sources,
        };
        Ok(hand_over(book, photos, &theme, &order)?)
    }

    /// With the whole book as a PDF among the files, where one is wanted and can be made.
    fn printed(&self, mut made: Made) -> Result<Made, Failure> {
        if self.pdf {
            match printed(&made.files)? {
                Some(pdf) => drop(made.files.insert("record.pdf".to_owned(), pdf)),
                None => terminal::remark(
                    "No chromium on PATH, so there is no record.pdf: install it, or open book.html in any browser and print it there.",
                ),
            }
        }
        Ok(made)
    }

    fn done(&self, build: &Build, files: &Pages, replaced: &Replaced) -> String {
        let zip = replaced
            .zip
            .as_ref()
            .map_or_else(String::new, |zip| format!(" Zip: {}", zip.display()));
        format!(
            "{BOLD}{}{BOLD:#}: handed over to {}, {} files. Open {}{zip}\nSHA-256 of seal.json: {}\n",
            build.book.sheet.title,
            self.audience,
            files.len(),
            self.out.join("index.html").display(),
            files.get(SEAL).map_or_else(String::new, |seal| hash(seal)),
        )
    }
}

/// Says where files of other people are that were in the folder while it was replaced.
fn kept(places: &[PathBuf]) {
    for place in places {
        terminal::remark(&format!(
            "Files that are not part of the handover were put there while it was replaced. They are kept in {}",
            place.display()
        ));
    }
}

/// The whole book as a PDF; `None` where no browser is on this machine.
fn printed(files: &Pages) -> Result<Option<Vec<u8>>, Failure> {
    const PAGE: &str = "book.html";
    let mut files = files.clone();
    let page = String::from_utf8_lossy(&files.remove(PAGE).unwrap_or_default()).into_owned();
    let print = |page: &str| {
        files.insert(PAGE.to_owned(), page.as_bytes().to_vec());
        io::print_pdf(&files, PAGE)
    };
    Ok(on_paper(&page, print)?)
}

/// The pictures of the photos that a page for somebody outside shows; photos that turn out broken
/// are taken out of the book.
fn photos(book: &mut WorkedBook) -> Result<Pages, Failure> {
    let made = Mutex::new(Pages::new());
    let wanted: Vec<_> = shown_photos(&book.build);
    let spoilt = prints_of(
        &book.photos,
        &wanted,
        &terminal::photos,
        |path, facts, Prints { large, small }| {
            let mut made = made.lock().unwrap_or_else(PoisonError::into_inner);
            made.insert(facts.print_path(path, Size::Large), large);
            made.extend(small.map(|small| (facts.print_path(path, Size::Small), small)));
            Ok(())
        },
    )?;
    book.build.spoil(spoilt);
    Ok(made.into_inner().unwrap_or_else(PoisonError::into_inner))
}

fn out_of_date(build: &Build) -> String {
    let warning = not_current(build);
    format!(
        "{warning}\nNot handed over: what cannot be read may belong on the hold list. --as-is does not change that.\n"
    )
}

fn errors(build: &Build) -> String {
    let errors: Vec<_> = build
        .diagnostics
        .iter()
        .filter(|found| found.severity == Severity::Error)
        .cloned()
        .collect();
    let count = if errors.len() == 1 {
        "an error".to_owned()
    } else {
        format!("{} errors", errors.len())
    };
    let told = findings::all(&errors, &build.sources, &terminal::styles());
    format!(
        "{told}\nNot handed over: the book has {count}, and the lines in error may belong on the hold list.\n"
    )
}

fn stands_against(open: &Against) -> String {
    let lines: String = open
        .hold
        .iter()
        .map(|line| format!("  on hold: {line}\n"))
        .chain(open.moved.iter().map(|line| format!("  {line}\n")))
        .chain(open.out_of_limits.iter().map(|line| format!("  {line}\n")))
        .collect();
    format!(
        "{BOLD}Not handed over.{BOLD:#} Not to be used on road or course until every line is cleared:\n{lines}\
         To hand it over as it stands, say who does: --as-is NAME. The cover then prints these lines and the name.\n"
    )
}
