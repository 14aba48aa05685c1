//! Whose an output folder is.
//!
//! In: a folder. Out: which outputs of the program are in it, of which book, and for which
//! audience; and the refusal for a command that must not write there. A command writes only into a
//! folder that is new, empty, or holds its own kind of output of the same book for the same
//! audience.
//!
//! A book is known by its **title and the date of day 1**. Both are facts of the book that every
//! copy of it has and that no machine changes: a path would differ between machines, a random mark
//! would end "same book, same bytes", and a hash of the logs would change every day. A crew may
//! edit one of them, so two rules soften the comparison:
//!
//! - A folder inside the book's own folder (`BOOK/record`) belongs to the book as long as one of
//!   the two is the same. It is refused only where both differ: such a record was moved or copied
//!   here from another book.
//! - Anywhere else both must be the same, and `--take-over` says that a folder of another title or
//!   date is this book's. It is never an answer to another kind or another audience.
//!
//! What the sheet cannot tell because it cannot be read is compared with nothing; a folder
//! elsewhere needs one of the two.

use std::path::Path;

use serde::Deserialize;

use super::plain_files::{self, UNNAMED};
use super::{FileError, SEAL};
use crate::diagnostics::render::visible;

/// The dot-file of a record: whose it is, which pages the last run wrote, and what they held.
pub(super) const RECORD_LIST: &str = ".shimbook-pages";
/// The same for an export.
pub(super) const EXPORT_LIST: &str = ".shimbook-export";
/// How such a dot-file begins.
pub(super) const LIST_HEAD: &str = "shimbook pages 3";
const GENERATOR: &[u8] = br#"<meta name="generator" content="shimbook">"#;
/// The most that a dot-file or a page may hold to be looked at.
pub(super) const LARGEST: u64 = 64 * 1024 * 1024;

/// What the program writes into a folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutputKind {
    /// The linked record.
    Record,
    /// Sheets and the document.
    Export,
    /// A sealed record for somebody outside.
    Handover,
}

impl OutputKind {
    /// All of them, each with the file that makes a folder one.
    const ALL: [(Self, &str); 3] = [
        (Self::Record, RECORD_LIST),
        (Self::Export, EXPORT_LIST),
        (Self::Handover, SEAL),
    ];

    fn called(self) -> &'static str {
        match self {
            Self::Record => "a record",
            Self::Export => "an export",
            Self::Handover => "a handover",
        }
    }
}

/// What a book is known by. A field is `None` where it could not be read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BookMark {
    /// Its title, on one line.
    pub(super) title: Option<String>,
    /// The date of day 1.
    pub(super) start: Option<String>,
}

impl BookMark {
    /// The mark of a book.
    pub fn new(title: Option<&str>, start: Option<String>) -> Self {
        Self {
            title: title.map(|title| visible(title).into_owned()),
            start,
        }
    }

    fn fields<'a>(&'a self, other: &'a Self) -> impl Iterator<Item = bool> + 'a {
        let pairs = [(&self.title, &other.title), (&self.start, &other.start)];
        pairs
            .into_iter()
            .filter_map(|(one, other)| Some(one.as_ref()? == other.as_ref()?))
    }

    /// Are the two the same book? `inside` says that the folder in question is inside the book's
    /// own folder.
    pub(super) fn is(&self, other: &Self, inside: bool) -> bool {
        let (mut same, mut different) = (0, 0);
        self.fields(other)
            .for_each(|equal| if equal { same += 1 } else { different += 1 });
        if inside {
            different < 2
        } else {
            same > 0 && different == 0
        }
    }

    /// This mark, with what it does not know from another one.
    #[must_use]
    pub fn or(&self, other: &Self) -> Self {
        let or =
            |one: &Option<String>, other: &Option<String>| one.as_ref().or(other.as_ref()).cloned();
        Self {
            title: or(&self.title, &other.title),
            start: or(&self.start, &other.start),
        }
    }

    /// The mark at the beginning of a dot-file.
    pub(super) fn read(list: &str) -> Self {
        let mut lines = list.lines();
        if lines.next() != Some(LIST_HEAD) {
            return Self::default();
        }
        let head: Vec<&str> = lines.take_while(|line| !line.is_empty()).collect();
        let field = |name: &str| {
            head.iter()
                .find_map(|line| line.strip_prefix(name))
                .map(str::to_owned)
        };
        Self {
            title: field("title "),
            start: field("start "),
        }
    }

    /// The beginning of a dot-file.
    pub(super) fn head(&self) -> String {
        let field = |name: &str, value: &Option<String>| {
            value
                .as_ref()
                .map_or_else(String::new, |value| format!("{name} {value}\n"))
        };
        format!(
            "{LIST_HEAD}\n{}{}\n",
            field("title", &self.title),
            field("start", &self.start)
        )
    }
}

impl std::fmt::Display for BookMark {
    fn fmt(&self, to: &mut std::fmt::Formatter) -> std::fmt::Result {
        match (&self.title, &self.start) {
            (Some(title), Some(start)) => write!(to, "“{title}” (start {start})"),
            (Some(title), None) => write!(to, "“{title}”"),
            (None, Some(start)) => write!(to, "a book without a title (start {start})"),
            (None, None) => write!(to, "a book that is not named"),
        }
    }
}

/// An output of the program, found in a folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Owner {
    pub(super) kind: OutputKind,
    pub(super) mark: BookMark,
    /// Of a handover.
    pub(super) audience: Option<String>,
}

impl std::fmt::Display for Owner {
    fn fmt(&self, to: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(to, "{} of {}", self.kind.called(), self.mark)?;
        self.audience
            .as_ref()
            .map_or(Ok(()), |audience| write!(to, " for {audience}"))
    }
}

/// What is in a folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Inside {
    /// Nothing, or there is no folder.
    Nothing,
    /// One output of the program, or several that were mixed.
    Outputs(Vec<Owner>),
    /// Something else.
    Others,
}

/// Looks at what is in a folder.
pub(super) fn inside(folder: &Path) -> Result<Inside, FileError> {
    if is_empty(folder)? {
        return Ok(Inside::Nothing);
    }
    let found = OutputKind::ALL
        .into_iter()
        .filter(|(_, file)| is_plain(folder, file));
    let owners: Vec<Owner> = found
        .map(|(kind, file)| owner(kind, &folder.join(file)))
        .collect();
    match owners.is_empty().then(|| unlisted_record(folder)).flatten() {
        Some(record) => Ok(Inside::Outputs(vec![record])),
        None if owners.is_empty() => Ok(Inside::Others),
        None => Ok(Inside::Outputs(owners)),
    }
}

/// The handover that a folder is inside of; it would no longer be as it was sealed.
pub(super) fn handover_above(folder: &Path) -> Option<&Path> {
    folder
        .ancestors()
        .skip(1)
        .find(|above| is_plain(above, SEAL))
}

/// Is nothing in a folder? A page that a run was stopped before it could name is nothing.
fn is_empty(folder: &Path) -> Result<bool, FileError> {
    if !folder.exists() {
        return Ok(true);
    }
    let cannot = |cause| FileError::cannot("read", folder, &cause);
    for entry in std::fs::read_dir(folder).map_err(cannot)? {
        let name = entry.map_err(cannot)?.file_name();
        if !name.to_string_lossy().starts_with(UNNAMED) {
            return Ok(false);
        }
    }
    Ok(true)
}

fn is_plain(folder: &Path, file: &str) -> bool {
    folder
        .join(file)
        .symlink_metadata()
        .is_ok_and(|about| about.is_file())
}

fn text(path: &Path) -> String {
    let bytes = plain_files::bytes(path, LARGEST)
        .ok()
        .flatten()
        .unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

fn owner(kind: OutputKind, file: &Path) -> Owner {
    match kind {
        OutputKind::Handover => sealed(&text(file)),
        OutputKind::Record | OutputKind::Export => Owner {
            kind,
            mark: BookMark::read(&text(file)),
            audience: None,
        },
    }
}

/// Whose a seal says that a handover is.
pub(super) fn sealed(seal: &str) -> Owner {
    #[derive(Default, Deserialize)]
    struct Head {
        title: Option<String>,
        start: Option<String>,
        audience: Option<String>,
    }
    let head: Head = serde_json::from_str(seal).unwrap_or_default();
    let mark = BookMark::new(
        head.title.as_deref(),
        head.start.map(|start| visible(&start).into_owned()),
    );
    Owner {
        kind: OutputKind::Handover,
        mark,
        audience: head
            .audience
            .map(|audience| visible(&audience).into_owned()),
    }
}

/// A record whose dot-file somebody deleted: its cover and its document tell whose it is.
fn unlisted_record(folder: &Path) -> Option<Owner> {
    #[derive(Deserialize)]
    struct Document {
        check: Check,
    }
    #[derive(Deserialize)]
    struct Check {
        title: String,
    }
    if !is_plain(folder, "index.html") || !is_plain(folder, "record.json") {
        return None;
    }
    let cover = plain_files::bytes(&folder.join("index.html"), LARGEST)
        .ok()
        .flatten()?;
    cover
        .windows(GENERATOR.len())
        .find(|window| *window == GENERATOR)?;
    let document: Document = serde_json::from_str(&text(&folder.join("record.json"))).ok()?;
    let mark = BookMark::new(Some(&document.check.title), None);
    Some(Owner {
        kind: OutputKind::Record,
        mark,
        audience: None,
    })
}

/// The one output of a kind that is in a folder, `None` where it is empty; refuses anything else.
pub(super) fn only(
    kind: OutputKind,
    found: Inside,
    shown: &Path,
) -> Result<Option<Owner>, FileError> {
    let mut owners = match found {
        Inside::Nothing => return Ok(None),
        Inside::Others => {
            return Err(refused(
                shown,
                "contains files that this command did not write",
            ));
        }
        Inside::Outputs(owners) => owners,
    };
    let wrong = match owners.as_slice() {
        [one] if one.kind == kind => return Ok(owners.pop()),
        [one] => format!("contains {one}, not {}", kind.called()),
        several => {
            let named: Vec<String> = several.iter().map(Owner::to_string).collect();
            format!("contains {}, mixed with each other", named.join(" and "))
        }
    };
    Err(refused_with(
        shown,
        &wrong,
        "name another folder with --out, or delete this one first",
    ))
}

/// Who wants to write, and whether it may write over what is in a folder.
#[derive(Clone, Copy, Debug)]
pub(super) struct Claim<'a> {
    pub(super) mark: &'a BookMark,
    /// Of a handover.
    pub(super) audience: Option<&'a str>,
    /// The folder is inside the book's own folder.
    pub(super) inside: bool,
    /// A folder of another title or start is this book's.
    pub(super) take_over: bool,
}

impl Claim<'_> {
    /// Refuses the output of another book or for another audience; `shown` is the folder or the
    /// zip.
    pub(super) fn same_book(&self, found: &Owner, shown: &Path) -> Result<(), FileError> {
        let audience = self.audience.unwrap_or_default();
        if self.audience.is_some() && found.audience.as_deref() != self.audience {
            let wrong = format!("contains {found}, not for {audience}");
            return Err(refused_with(
                shown,
                &wrong,
                "name another folder with --out, or delete this one first",
            ));
        }
        if self.take_over || self.mark.is(&found.mark, self.inside) {
            return Ok(());
        }
        let instead = "name another folder with --out; if it is the same book with a changed title or start, add --take-over";
        let this = match self.mark {
            BookMark {
                title: None,
                start: None,
            } => "this book's sheet gives neither title nor start".to_owned(),
            mark => format!("this book is {mark}"),
        };
        Err(refused_with(
            shown,
            &format!("contains {found}; {this}"),
            instead,
        ))
    }
}

/// The refusal to write into a folder.
pub(super) fn refused(path: &Path, why: &str) -> FileError {
    refused_with(path, why, "choose another output folder with --out")
}

pub(super) fn refused_with(path: &Path, why: &str, instead: &str) -> FileError {
    FileError::new(
        format!("{} {why}; nothing was written", path.display()),
        instead,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(title: &str, start: &str) -> BookMark {
        let known = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        BookMark {
            title: known(title),
            start: known(start),
        }
    }

    #[test]
    fn a_book_is_known_by_title_and_start_and_in_its_own_folder_by_one_of_them() {
        let book = mark("Plover", "2031-05-02");
        for (other, elsewhere, inside) in [
            (mark("Plover", "2031-05-02"), true, true),
            (mark("Lapwing", "2031-05-02"), false, true),
            (mark("Plover", "2031-06-02"), false, true),
            (mark("Lapwing", "2031-06-02"), false, false),
            (mark("Plover", ""), true, true),
            (mark("Lapwing", ""), false, true),
            (mark("", ""), false, true),
        ] {
            assert_eq!(
                (book.is(&other, false), book.is(&other, true)),
                (elsewhere, inside),
                "{other}"
            );
        }
    }

    #[test]
    fn a_mark_reads_back_whatever_the_title_holds() {
        for title in [
            "Plover",
            "two\nlines",
            "start 1999-01-01",
            " spaces ",
            "ü \u{1b}[31m",
        ] {
            let mark = BookMark::new(Some(title), Some("2031-05-02".to_owned()));
            assert_eq!(BookMark::read(&mark.head()), mark);
        }
        assert_eq!(
            BookMark::read(&BookMark::default().head()),
            BookMark::default()
        );
        assert_eq!(
            BookMark::read("shimbook pages 2\nhash  made  title.html\n"),
            BookMark::default()
        );
    }
}
