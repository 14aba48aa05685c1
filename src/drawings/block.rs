//! A `drawing` block: a drawing a line.
//!
//! In: the block's lines. Out: what the lines that can be read ask for, and what is wrong with the
//! others. `#` starts a remark. Nothing is drawn before a page shows it.

use std::collections::BTreeMap;

use super::{Drawing, band, driveline, history, sources};
use crate::book::{Judge, Line};
use crate::calc::{NameId, Results};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::source::Span;

const KINDS: [&str; 4] = ["driveline", "band", "sources", "history"];

/// The drawings that each drawing block asks for, by index into the days and into that day's
/// entries.
pub type Drawings = BTreeMap<(usize, usize), Vec<DrawingRequest>>;

/// A drawing that a line asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DrawingRequest {
    /// The side view of the slopes with these names, from the tail to the pinion.
    Driveline(Vec<NameId>),
    /// A value against its limits.
    Band(NameId),
    /// What a value's spread comes from.
    Sources(NameId),
    /// A value from day to day.
    History(NameId),
}

impl DrawingRequest {
    /// The names it is about.
    pub fn names(&self) -> &[NameId] {
        match self {
            Self::Driveline(names) => names,
            Self::Band(name) | Self::Sources(name) | Self::History(name) => {
                std::slice::from_ref(name)
            }
        }
    }

    /// Is there still something to draw? A book that somebody may not see all of has lost some of
    /// it.
    pub fn can_be_drawn(&self, worked: &Results) -> bool {
        self.names().iter().all(|name| is_known(worked, *name))
    }

    /// Draws it as things stand at the end of a day; `judge` is the spread that the book judges
    /// with. What is wrong with the slopes of a driveline comes as words.
    pub fn draw(&self, worked: &Results, day: u32, judge: Judge) -> Result<Drawing, String> {
        match self {
            Self::Driveline(names) => driveline(worked, names, day, judge),
            Self::Band(name) => Ok(band(worked, *name, day, judge)),
            Self::Sources(name) => Ok(sources(worked, *name, day)),
            Self::History(name) => Ok(history(worked, *name, day, judge)),
        }
    }
}

/// The drawings that the lines of a block ask for as things stand at the end of a day.
///
/// Each line that cannot be drawn is an error: `bad-drawing` or `unknown-name`.
pub fn read_block(
    lines: &[Line],
    worked: &Results,
    day: u32,
    judge: Judge,
) -> (Vec<DrawingRequest>, Vec<Diagnostic>) {
    let (mut drawings, mut diagnostics) = (Vec::new(), Vec::new());
    for line in lines {
        let words = words_of(line);
        let Some((kind, names)) = words.split_first() else {
            continue;
        };
        match read(*kind, names, worked, day, judge) {
            Ok(drawing) => drawings.push(drawing),
            Err(diagnostic) => diagnostics.push(*diagnostic),
        }
    }
    (drawings, diagnostics)
}

/// A word of a line and its place.
#[derive(Clone, Copy)]
struct Word<'a> {
    text: &'a str,
    at: Span,
}

/// The words before the remark.
fn words_of(line: &Line) -> Vec<Word<'_>> {
    let said = line.text.split('#').next().unwrap_or_default();
    said.split_whitespace()
        .map(|text| {
            let start = line.span.range().start + (text.as_ptr() as usize - said.as_ptr() as usize);
            Word {
                text,
                at: Span::new(line.span.file, start..start + text.len()),
            }
        })
        .collect()
}

fn read(
    kind: Word,
    names: &[Word],
    worked: &Results,
    day: u32,
    judge: Judge,
) -> Result<DrawingRequest, Box<Diagnostic>> {
    match kind.text {
        "driveline" => {
            let ids = names
                .iter()
                .map(|name| known(*name, worked))
                .collect::<Result<Vec<_>, _>>()?;
            let asked = DrawingRequest::Driveline(ids);
            let whole = names.last().map_or(kind.at, |last| kind.at.to(last.at));
            asked.draw(worked, day, judge).map_err(|fault| {
                Box::new(
                    Diagnostic::error(Slug::BadDrawing, whole, fault)
                        .expected("the slopes of two to four shafts, from the tail to the pinion"),
                )
            })?;
            Ok(asked)
        }
        "band" => Ok(DrawingRequest::Band(one(kind, names, worked)?)),
        "sources" => Ok(DrawingRequest::Sources(one(kind, names, worked)?)),
        "history" => Ok(DrawingRequest::History(one(kind, names, worked)?)),
        _ => Err(Box::new(no_kind(kind))),
    }
}

fn no_kind(kind: Word) -> Diagnostic {
    Diagnostic::error(
        Slug::BadDrawing,
        kind.at,
        format!("no drawing is called {}", kind.text),
    )
    .expected("driveline, band, sources or history")
    .maybe_instead(nearest(kind.text, KINDS))
}

/// The one name that a drawing is about.
fn one(kind: Word, names: &[Word], worked: &Results) -> Result<NameId, Box<Diagnostic>> {
    match names {
        [name] => known(*name, worked),
        [] => Err(Box::new(
            Diagnostic::error(
                Slug::BadDrawing,
                kind.at,
                format!("{} needs a name", kind.text),
            )
            .expected("the name of a value"),
        )),
        [first, second, ..] => Err(Box::new(
            Diagnostic::error(
                Slug::BadDrawing,
                second.at,
                format!("{} draws one name", kind.text),
            )
            .expected("one name, and a line for each drawing")
            .instead(format!("{} {}", kind.text, first.text)),
        )),
    }
}

/// A name that some line of the book defines or checks.
fn known(name: Word, worked: &Results) -> Result<NameId, Box<Diagnostic>> {
    if let Some(id) = worked
        .names
        .find(name.text)
        .filter(|id| is_known(worked, *id))
    {
        return Ok(id);
    }
    let names = worked
        .names
        .iter()
        .filter(|(_, id)| is_known(worked, *id))
        .map(|(text, _)| text);
    Err(Box::new(
        Diagnostic::error(
            Slug::UnknownName,
            name.at,
            format!("nothing in the book says what {} is", name.text),
        )
        .expected("the name of a value")
        .maybe_instead(nearest(name.text, names)),
    ))
}

fn is_known(worked: &Results, id: NameId) -> bool {
    let story = &worked.values[id.index()];
    !story.moments.is_empty() || story.broken || !story.checks.is_empty()
}
