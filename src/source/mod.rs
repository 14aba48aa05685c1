//! The files of a book as text, and places in them.
//!
//! In: path and text as read. Out: positions, slices and whole lines for a span. Text is kept
//! without a byte-order mark and with `\n` line ends, so that every later stage sees one form;
//! lines and columns stay those of the file on disk. A span is inside its file and on character
//! boundaries.

mod uri;

use std::ops::Range;
use std::sync::Arc;

pub use uri::uri;

/// Which file of a [`Sources`] a place lies in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(u32);

/// A byte range in one file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span over `range` of `file`.
    pub fn new(file: FileId, range: Range<usize>) -> Self {
        Self {
            file,
            start: range.start as u32,
            end: range.end.max(range.start) as u32,
        }
    }

    /// The byte range.
    pub fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// The smallest span that holds both; `self` where they lie in different files.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        if self.file != other.file {
            return self;
        }
        Self {
            file: self.file,
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }
}

/// Something read from a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spanned<T> {
    /// What was read.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// `value`, read at `span`.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// A place as people count: line and column from 1, the column in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// One file's path (relative to the book, with `/`) and its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceFile {
    path: String,
    text: String,
    line_starts: Vec<u32>,
}

impl SourceFile {
    /// A file of a book; a byte-order mark and CRLF are put aside.
    pub fn new(path: String, text: &str) -> Self {
        let text = one_form(text);
        let line_starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(at, _)| at as u32 + 1))
            .collect();
        Self {
            path,
            text,
            line_starts,
        }
    }

    /// The path relative to the book's folder, with `/` between its parts.
    pub fn path(&self) -> &str {
        &self.path
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Line and column of a byte offset.
    pub fn position(&self, offset: usize) -> Position {
        let line = self
            .line_starts
            .partition_point(|start| *start as usize <= offset)
            .max(1);
        let start = self.line_starts[line - 1] as usize;
        let column = self
            .text
            .get(start..offset)
            .map_or(0, |before| before.chars().count())
            + 1;
        Position { line, column }
    }

    /// The byte range of a line (from 1), without its line end.
    pub fn line_range(&self, line: usize) -> Range<usize> {
        let index = line.clamp(1, self.line_starts.len()) - 1;
        let start = self.line_starts[index] as usize;
        let end = self
            .line_starts
            .get(index + 1)
            .map_or(self.text.len(), |next| *next as usize - 1);
        start..end
    }
}

/// The text without a byte-order mark and with `\n` line ends.
fn one_form(text: &str) -> String {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.contains('\r') {
        text.replace("\r\n", "\n").replace('\r', "\n")
    } else {
        text.to_owned()
    }
}

/// All files of a book.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Arc<SourceFile>>,
}

impl Sources {
    /// Takes in a file; a byte-order mark and CRLF are put aside.
    pub fn add(&mut self, path: impl Into<String>, text: &str) -> FileId {
        self.add_file(Arc::new(SourceFile::new(path.into(), text)))
    }

    /// Takes in a file that was read before.
    pub fn add_file(&mut self, file: Arc<SourceFile>) -> FileId {
        self.files.push(file);
        FileId(self.files.len() as u32 - 1)
    }

    /// A file, to be kept beyond these sources.
    pub fn shared(&self, id: FileId) -> Arc<SourceFile> {
        Arc::clone(&self.files[id.0 as usize])
    }

    /// Are these the same files? The very same place in memory tells it at once.
    pub fn are_the_same(&self, others: &Self) -> bool {
        let same = self
            .files
            .iter()
            .zip(&others.files)
            .all(|(one, other)| Arc::ptr_eq(one, other) || one == other);
        same && self.files.len() == others.files.len()
    }

    /// The file behind an id.
    pub fn file(&self, id: FileId) -> &SourceFile {
        &self.files[id.0 as usize]
    }

    /// The paths of all files, in the order they were added.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|file| file.path())
    }

    /// The text of a file.
    pub fn text(&self, id: FileId) -> &str {
        self.file(id).text()
    }

    /// The path of a file, relative to the book.
    pub fn path(&self, id: FileId) -> &str {
        self.file(id).path()
    }

    /// The text a span covers.
    pub fn slice(&self, span: Span) -> &str {
        self.text(span.file).get(span.range()).unwrap_or("")
    }

    /// Where a span begins.
    pub fn position(&self, span: Span) -> Position {
        self.file(span.file).position(span.start as usize)
    }

    /// A span over the whole of a line (from 1) of a file.
    pub fn line(&self, file: FileId, line: usize) -> Span {
        Span::new(file, self.file(file).line_range(line))
    }

    /// An empty span at the very start of a file.
    pub fn top(file: FileId) -> Span {
        Span::new(file, 0..0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_byte_order_mark_and_crlf_leave_lines_and_columns_as_they_are_on_disk() {
        let mut sources = Sources::default();
        let id = sources.add("days/day-01.md", "\u{feff}one\r\ntwo °x\r\n");
        let at = sources.text(id).find('x').unwrap();
        assert_eq!(
            sources.position(Span::new(id, at..at + 1)),
            Position { line: 2, column: 6 }
        );
        assert_eq!(&sources.text(id)[sources.file(id).line_range(2)], "two °x");
    }

    #[test]
    fn the_end_of_the_text_has_a_position() {
        let mut sources = Sources::default();
        let id = sources.add("a", "x\n");
        assert_eq!(
            sources.position(Span::new(id, 2..2)),
            Position { line: 2, column: 1 }
        );
    }
}
