//! A `drawing` block: a drawing a line.
//!
//! In: the block's lines. Out: the drawings of the lines that can be read, and what is wrong with the
//! others. `#` starts a remark.

use super::{Drawing, band, driveline, history, sources};
use crate::book::{Judge, Line};
use crate::calc::{NameId, Worked};
use crate::text::{Diagnostic, Slug, Span, nearest};

const KINDS: [&str; 4] = ["driveline", "band", "sources", "history"];

/// The drawings of a block as things stand at the end of a day; `judge` is the spread that the book
/// judges with.
///
/// Each line that cannot be drawn is an error: `bad-drawing` or `unknown-name`.
pub fn read_block(lines: &[Line], worked: &Worked, day: u32, judge: Judge) -> (Vec<Drawing>, Vec<Diagnostic>) {
    let (mut drawings, mut diagnostics) = (Vec::new(), Vec::new());
    for line in lines {
        let words = words_of(line);
        let Some((kind, names)) = words.split_first() else { continue };
        match draw(*kind, names, worked, day, judge) {
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
            Word { text, at: Span::new(line.span.file, start..start + text.len()) }
        })
        .collect()
}

fn draw(kind: Word, names: &[Word], worked: &Worked, day: u32, judge: Judge) -> Result<Drawing, Box<Diagnostic>> {
    match kind.text {
        "driveline" => {
            let ids = names.iter().map(|name| known(*name, worked)).collect::<Result<Vec<_>, _>>()?;
            let whole = names.last().map_or(kind.at, |last| kind.at.to(last.at));
            driveline(worked, &ids, day, judge).map_err(|fault| {
                Box::new(
                    Diagnostic::error(Slug::BadDrawing, whole, fault)
                        .expected("the slopes of two to four shafts, from the tail to the pinion"),
                )
            })
        }
        "band" => Ok(band(worked, one(kind, names, worked)?, day, judge)),
        "sources" => Ok(sources(worked, one(kind, names, worked)?, day)),
        "history" => Ok(history(worked, one(kind, names, worked)?, day, judge)),
        _ => Err(Box::new(no_kind(kind))),
    }
}

fn no_kind(kind: Word) -> Diagnostic {
    Diagnostic::error(Slug::BadDrawing, kind.at, format!("no drawing is called {}", kind.text))
        .expected("driveline, band, sources or history")
        .maybe_instead(nearest(kind.text, KINDS))
}

/// The one name that a drawing is about.
fn one(kind: Word, names: &[Word], worked: &Worked) -> Result<NameId, Box<Diagnostic>> {
    match names {
        [name] => known(*name, worked),
        [] => Err(Box::new(
            Diagnostic::error(Slug::BadDrawing, kind.at, format!("{} needs a name", kind.text))
                .expected("the name of a value"),
        )),
        [first, second, ..] => Err(Box::new(
            Diagnostic::error(Slug::BadDrawing, second.at, format!("{} draws one name", kind.text))
                .expected("one name, and a line for each drawing")
                .instead(format!("{} {}", kind.text, first.text)),
        )),
    }
}

/// A name that some line of the book defines or checks.
fn known(name: Word, worked: &Worked) -> Result<NameId, Box<Diagnostic>> {
    let is_known = |id: NameId| {
        let story = &worked.values[id.index()];
        !story.moments.is_empty() || story.broken || !story.checks.is_empty()
    };
    if let Some(id) = worked.names.find(name.text).filter(|id| is_known(*id)) {
        return Ok(id);
    }
    let names = worked.names.iter().filter(|(_, id)| is_known(*id)).map(|(text, _)| text);
    Err(Box::new(
        Diagnostic::error(Slug::UnknownName, name.at, format!("nothing in the book says what {} is", name.text))
            .expected("the name of a value")
            .maybe_instead(nearest(name.text, names)),
    ))
}
